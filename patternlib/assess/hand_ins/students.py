"""Whose is a hand-in? The rules, in one place; nobody's mark can be touched by what another hands in.

1. The *place* is the student's folder, or the name of a loose file without its ending. The school or the
   instructor gives places; a record's own word for its student is a claim.
2. A claim counts as the student's id when the place holds it as whole words: 'ada' in `ada_skirt.ipynb`.
3. Otherwise the hand-in stays under its place's name. It is judged on the claimed id's numbers as long as
   nobody else has a right to that id; if someone has, on the place's own.
4. Two hand-ins of one student for one exercise: in one place the better counts; in two places the one whose
   place is just the id; otherwise none counts until the instructor chooses. All are reported.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from ..safe_text import folded


class Owner(NamedTuple):
    """student: under which name the hand-in is listed; numbers: whose own numbers it is judged on;
    note: a sentence where the two, or the claim, differ."""

    student: str
    numbers: str
    note: str = ""


LONGEST = 12
"""words of an id that is looked for within a longer name."""


def ids_in(place: str) -> set[str]:
    """Every id that a place's name holds as whole words, folded.

    >>> sorted(ids_in("ada_skirt"))
    ['ada', 'ada skirt', 'skirt']
    """
    words = folded(place).split()
    ends = range(1, len(words) + 1)
    return {" ".join(words[i:j]) for j in ends for i in range(max(0, j - LONGEST), j)} | {folded(place)} - {
        ""
    }


def owners(claims: Sequence[tuple[str, str]]) -> list[Owner]:
    """Give each (place, claimed id) its owner; a claim of '' claims nothing.

    >>> owners([("ada", "ada"), ("eve", "ada")])[1].student
    'eve'
    """
    by_id: dict[str, set[str]] = {}
    for place, claim in claims:
        by_id.setdefault(folded(claim), set()).add(place)
    rightful: dict[str, set[str]] = {who: set() for who in by_id}
    for place in {place for place, _ in claims}:
        for who in ids_in(place) & by_id.keys():
            rightful[who].add(place)
    found = [_owner(place, claim, by_id, rightful) for place, claim in claims]
    if sum(o.note == _OTHERWISE for o in found) * 2 > len(found):  # so it is in this school: no news
        found = [o._replace(note="") if o.note == _OTHERWISE else o for o in found]
    return found


_OTHERWISE = "Judged on the numbers of the id in the record; the folder or file is named otherwise."


def _owner(place: str, claim: str, by_id: Mapping[str, set[str]], rightful: Mapping[str, set[str]]) -> Owner:
    who = folded(claim)
    if not who:
        return Owner(
            place, place, "The record names no student; it was judged on the numbers of the file's name."
        )
    if place in rightful[who]:
        return Owner(claim, claim)
    if rightful[who]:
        return Owner(
            place,
            place,
            f"The record carries the id of another student, '{claim}', so this may be a copy. "
            "It was judged on the numbers of this hand-in's own name.",
        )
    if len(by_id[who]) > 1:
        return Owner(
            place,
            claim,
            f"Several hand-ins carry the id '{claim}' and no folder or file is named so: ask whose it is.",
        )
    return Owner(place, claim, _OTHERWISE)


class Entry(NamedTuple):
    """What is needed to choose among hand-ins of one student for one exercise."""

    place: str
    mark: float
    content: str


def counting(student: str, entries: Iterable[Entry]) -> tuple[int | None, str]:
    """Return the index of the entry that counts (None: the instructor must choose) and a sentence.

    >>> counting("ben", [Entry("ben (2)", 9, "x"), Entry("ben", 3, "y")])[0]
    1
    """
    entries = list(entries)
    if len(entries) == 1:
        return 0, ""
    places = {e.place for e in entries}
    if len(places) > 1:
        exact = [i for i, e in enumerate(entries) if folded(e.place) == folded(student)]
        if len({entries[i].place for i in exact}) != 1:
            return None, f"{len(entries)} hand-ins carry this id for this exercise: choose which one counts."
        best = max(exact, key=lambda i: (entries[i].mark, -i))
        return best, "Other hand-ins carry this id too; the one named just so counts."
    best = max(range(len(entries)), key=lambda i: (entries[i].mark, -i))
    if len({e.content for e in entries}) == 1:
        return best, ""
    return best, f"Handed in {len(entries)} times for this exercise; the best counts."

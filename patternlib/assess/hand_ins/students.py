"""Whose is a hand-in? The rules, in one place; what one student hands in cannot touch another's mark.

With a register: the folders, zips and the file's name are looked through for ids and names of the register.
One student found: it is theirs. Two: it is asked, never guessed. None: the id in the record decides, if it
stands in the register. Without a register:

1. The school or the instructor gives folders; a record's own word for its student is a claim. A folder
   with hand-ins of several ids, that is named after none of them, is no student's but a class's or a week's.
2. The outermost other folder, or the file, that holds an id of the class as whole words says whose it is.
3. Where no name holds an id, the claim decides, unless another has a right to it or several carry it.
4. Several hand-ins of one student for one exercise are attempts; where they lie in places of different
   names, the one whose place is just the id counts; otherwise none does until the instructor chooses.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from ..safe_text import folded, one_line
from .files import HandIn
from .register import Register, Student

Names = tuple[str, ...]


class Owner(NamedTuple):
    """student: under which name the hand-in is listed; numbers: whose own numbers it is judged on; note:
    a sentence where the two, or the claim, differ; place: the name that says whose it is; assumed: only
    the record says so; asked: nothing counts until the instructor has said whose it is."""

    student: str
    numbers: str
    note: str = ""
    place: str = ""
    assumed: bool = False
    asked: bool = False


LONGEST = 12
"""words of an id that is looked for within a longer name."""
_NAMELESS = "The record names no student; it was judged on the numbers of the file's name."
_ANOTHERS = (
    "The record carries the id of another student, '{}', so this may be a copy. "
    "It was judged on the numbers of this hand-in's own name."
)


def ids_in(place: str) -> set[str]:
    """Every id that a place's name holds as whole words, folded.

    >>> sorted(ids_in("ada_skirt"))
    ['ada', 'ada skirt', 'skirt']
    """
    words = folded(place).split()
    ends = range(1, len(words) + 1)
    found = {" ".join(words[i:j]) for j in ends for i in range(max(0, j - LONGEST), j)}
    return (found | {folded(place)}) - {""}


def owners(claims: Sequence[tuple[Names, str]], register: Register | None = None) -> list[Owner]:
    """Give each (names from outermost to innermost, claimed id) its owner; a claim of '' claims nothing.

    >>> owners([(("ada",), "ada"), (("eve",), "ada")])[1].student
    'eve'
    >>> [o.student for o in owners([(("week 2", "s1"), "s1"), (("week 2", "s2"), "s2")])]
    ['s1', 's2']
    """
    if register:
        shared = _shared(claims)
        return [_registered(n, claim, register, _place(n, shared, set())[0]) for n, claim in claims]
    shared = _shared(claims)
    spelled = {folded(claim): claim for _, claim in reversed(claims) if folded(claim)}
    ids = set(spelled)
    places = [_place(names, shared, ids) for names, _ in claims]
    right: dict[str, set[str]] = defaultdict(set)
    carried: dict[str, set[str]] = defaultdict(set)
    for (_, claim), (place, found) in zip(claims, places, strict=True):
        carried[folded(claim)].add(same_place(place))
        if folded(claim) in found:
            right[folded(claim)].add(place)
    return [
        _owner(claim, place, found, right, carried, spelled)
        for (_, claim), (place, found) in zip(claims, places, strict=True)
    ]


def _shared(claims: Iterable[tuple[Names, str]]) -> set[Names]:
    """The folders with hand-ins of several ids that are named after none of them."""
    below: dict[Names, set[str]] = defaultdict(set)
    for names, claim in claims:
        for i in range(1, len(names)):
            below[names[:i]].add(folded(claim))
    return {f for f, ids in below.items() if len(ids - {""}) > 1 and not ids & _longest(ids_in(f[-1]), ids)}


def _place(names: Names, shared: set[Names], ids: set[str]) -> tuple[str, set[str]]:
    """The name that says whose a hand-in is, and the ids of the class that it holds."""
    own = [n for i, n in enumerate(names, 1) if i == len(names) or names[:i] not in shared] or [""]
    for name in own:
        found = _longest(ids_in(name), ids)
        if found:
            return name, found
    return own[0], set()


def _longest(held: set[str], ids: set[str]) -> set[str]:
    """The ids held that are not only a part of a longer one: of 'ada' and 'ada b', the latter."""
    found = held & ids
    return {i for i in found if not any(i != j and f" {i} " in f" {j} " for j in found)}


def same_place(place: str) -> str:
    """A place without the numbers that a school's system or a browser puts after it.

    >>> same_place("s29 (1)"), same_place("Ada L_1234"), same_place("007")
    ('s29', 'ada l', '007')
    """
    return " ".join(w for i, w in enumerate(folded(place).split()) if i == 0 or not w.isdecimal())


def _owner(
    claim: str, place: str, found: set[str], right: Mapping, carried: Mapping, spelled: Mapping[str, str]
) -> Owner:
    who = folded(claim)
    if who and found == {who}:
        return Owner(claim, claim, place=place)
    if len(found) > 1:
        note = f"The name holds the ids of several students, {_listed(found)}. "
        note += "Rename it, so that one of them is named, and run the command again."
        return Owner(place, claim or place, note, place, asked=True)
    theirs = spelled[next(iter(found))] if found else place
    if not who:
        return Owner(theirs, theirs, _NAMELESS, place)
    if found or right[who]:
        return Owner(theirs, theirs, _ANOTHERS.format(claim), place)
    if len(carried[who]) > 1:
        note = f"Several hand-ins carry the id '{claim}' and no folder or file is named so: ask whose it is."
        return Owner(place, claim, note, place, asked=True)
    note = "The folder or file is named otherwise; whose it is was taken from the record inside."
    return Owner(claim, claim, note, place, assumed=True)


def _registered(names: Names, claim: str, register: Register, place: str) -> Owner:
    known = {folded(n): s.id for s in register.students.values() for n in (s.id, *s.aliases)}
    found = {known[i]: name for name in reversed(names) for i in _held(name, known)}
    who = folded(claim)
    if len(found) > 1:
        place = next(name for name in names if name in found.values())
        note = (
            f"Its folders and name hold several students of the register, {_listed(found)}. "
            "Rename the file or its folder, so that one of them is named, and run the command again."
        )
        return Owner(place, claim or place, note, place, asked=True)
    if found:
        ((student, place),) = found.items()
        if not who:
            return Owner(student, student, "The record names no student.", place)
        if who == folded(student):
            return Owner(student, claim, place=place)
        if who in register.students:
            return Owner(student, student, _ANOTHERS.format(claim), place)
        note = f"The record carries '{one_line(claim, 80)}', which is not in the register. "
        return Owner(student, student, note + "It was judged on the numbers of the registered id.", place)
    if who in register.students:
        note = "No folder or file is named as in the register; whose it is was taken from the record inside."
        return Owner(register.students[who].id, claim, note, place, assumed=True)
    note = (
        "Neither its names nor its record are in the register. Put its name into the column 'handed in as', "
    )
    note += "in the line of its student, and run the command again."
    return Owner(place, claim or place, note, place, asked=True)


def _held(name: str, known: Mapping[str, str]) -> set[str]:
    """Names of the register in a folder's or file's name; a bare number must be all of it."""
    held = _longest(ids_in(name), set(known))
    return {i for i in held if not i.isdecimal() or i == same_place(name) or i == folded(name)}


def _listed(names: Iterable[str]) -> str:
    return " and ".join(f"'{one_line(n, 80)}'" for n in sorted(names))


class Entry(NamedTuple):
    """What is needed to choose among hand-ins of one student for one exercise. at: when it came, to be
    sorted; counts: False where it may not count by itself."""

    place: str
    mark: float
    content: str
    at: tuple = ()
    counts: bool = True


BEST, NEWEST, EARLIEST = "best", "newest", "earliest"
RULES = (BEST, NEWEST, EARLIEST)


def counting(student: str, entries: Iterable[Entry], rule: str = BEST) -> tuple[int | None, str]:
    """Return the index of the entry that counts (None: the instructor must choose) and a sentence.

    >>> counting("ben", [Entry("ben (2)", 9, "x"), Entry("ben", 3, "y")])[0]
    0
    """
    entries = list(entries)
    open_ = [i for i, e in enumerate(entries) if e.counts]
    if len(entries) == 1:
        return (0 if open_ else None), ""
    note = ""
    if len({same_place(entries[i].place) for i in open_}) > 1:
        exact = [i for i in open_ if same_place(entries[i].place) == same_place(student)]
        if not exact:
            return None, f"{len(entries)} hand-ins carry this id for this exercise: choose which one counts."
        open_, note = exact, "Other hand-ins carry this id too; the one named just so counts."
    if not open_:
        return None, ""
    ranks = {
        BEST: lambda i: (entries[i].mark, entries[i].at, -i),
        NEWEST: lambda i: (entries[i].at, entries[i].mark, -i),
    }
    best = max(open_, key=ranks[rule]) if rule in ranks else min(open_, key=lambda i: (entries[i].at, i))
    if note or len({e.content for e in entries}) == 1:
        return best, note
    return best, f"Handed in {len(entries)} times for this exercise; the {rule} one counts."


def by_id(handin: HandIn, owner: Owner, register: Register) -> HandIn:
    """A hand-in under its student's id in place of their name, where the register knows both."""
    student = register.get(owner.student)
    if student is None or owner.asked:
        return handin
    return replace(handin, where=_unnamed(handin.where, student))


def without_names(where: str, register: Register) -> str:
    """A file's place with ids in place of all names that the register knows.

    >>> from .register import Student
    >>> without_names("week 4/Ada-Lovelace/a.jpg", Register({"s01": Student("s01", ("Ada Lovelace",))}))
    'week 4/s01/a.jpg'
    """
    for student in register.students.values():
        where = _unnamed(where, student)
    return where


def _unnamed(where: str, student: Student) -> str:
    for alias in student.aliases:
        parts = [re.escape(word) for word in re.findall(r"[^\W_]+", alias)]
        if parts and folded(alias) != folded(student.id):
            where = re.sub(r"[\W_]+".join(parts), lambda _: student.id, where, flags=re.IGNORECASE)
    return where

"""Which slip comes next: a card for each common mistake of a lesson, in boxes that come ever later.

The rule, as the page states it: a slip found at the first answer puts its card one box on, any other answer
puts it back into the first box. A card of the first box comes again after 2 drafts, of the second after 4,
of the third after 8; in the fourth it is mastered and comes after 16. Of the cards whose time has come, the
one that has waited longest comes first; new ones come in the order of the lesson. When half of the cards
are in the third box, every third draft has two slips; when all are mastered, each has.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import msgspec

from ..tasks.catalogue import exercises
from ..tasks.exercise import Exercise
from ..tasks.mistakes import Mistake

WAIT = (2, 4, 8, 16)
"""Drafts until a card of each box comes again."""
MASTERED = len(WAIT)
"""The last box."""
RULE = (
    "Each common mistake of the lesson has a card. Find it at the first answer, and its card goes one box "
    "on; else it goes back to box 1. A card in box 1 comes again after 2 drafts, in box 2 after 4, in box 3 "
    "after 8. In box 4 it is mastered and comes again after 16. When half of the cards have reached box 3, "
    "every third draft has two slips; when all are mastered, every draft has two."
)
"""The rule for the learner."""


class Drawn(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A draft that was looked at: the cards of its slips, and which were found at the first answer."""

    cards: tuple[str, ...]
    found: tuple[bool, ...]


@dataclass(frozen=True)
class Card:
    """One common mistake to be found. key: exercise and code of the mistake."""

    key: str
    work: Exercise
    mistake: Mistake


@cache
def cards_of(lesson: int) -> Mapping[str, Card]:
    """The cards of a lesson in its order, by key.

    >>> list(cards_of(2))[:2]
    ['02a hip-line-from-the-hem', '02a half-for-quarter']
    """
    found = [
        Card(f"{work.id} {mistake.code}", work, mistake)
        for work in exercises().values()
        for mistake in work.mistakes
        if work.lesson == lesson and not mistake.unseen
    ]
    return {card.key: card for card in found}


def lessons() -> dict[int, str]:
    """The lessons that have exercises, with the titles of these: {2: 'The frame of ...; ...'}."""
    found: dict[int, list[str]] = {}
    for work in exercises().values():
        found.setdefault(work.lesson, []).append(work.title)
    return {lesson: "; ".join(titles) for lesson, titles in found.items()}


def boxes(lesson: int, past: Sequence[Drawn]) -> dict[str, int]:
    """The box of each card, 0 where it has not come yet.

    >>> boxes(2, [Drawn(("02a half-for-quarter",), (True,))])["02a half-for-quarter"]
    2
    """
    box = dict.fromkeys(cards_of(lesson), 0)
    for drawn in past:
        for key, found in zip(drawn.cards, drawn.found, strict=True):
            if key in box:
                box[key] = min(max(box[key], 1) + 1, MASTERED) if found else 1
    return box


def choose(lesson: int, past: Sequence[Drawn]) -> tuple[str, ...]:
    """The cards of the next draft: one, or two of one exercise.

    >>> choose(2, []), choose(2, [Drawn(("02a hip-line-from-the-hem",), (True,))])
    (('02a hip-line-from-the-hem',), ('02a half-for-quarter',))
    """
    box = boxes(lesson, past)
    last = {key: n for n, drawn in enumerate(past) for key in drawn.cards}
    order = {key: n for n, key in enumerate(box)}

    def due(key: str) -> tuple[int, int]:
        return (last[key] + WAIT[box[key] - 1] if key in last else order[key], order[key])

    waiting = sorted(box, key=due)
    first = waiting[0]
    if not _two(list(box.values()), len(past)):
        return (first,)
    at = cards_of(lesson)
    mates = [
        key
        for key in waiting[1:]
        if at[key].work is at[first].work
        and box[key]
        and not set(at[key].mistake.at) & set(at[first].mistake.at)
    ]
    return (first, *mates[:1])


def _two(box: Sequence[int], past: int) -> bool:
    """Whether the next draft has two slips."""
    if all(b == MASTERED for b in box):
        return True
    return 2 * sum(b >= 3 for b in box) >= len(box) and past % 3 == 2

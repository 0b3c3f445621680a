"""One draft to look at: drawn by an imaginary hand, answered step by step, and explained."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

import msgspec

from ...geometry import Curve, Point
from ...operations import Value
from ...units import write_length
from ..judging import deviation
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers, numbers_for, spelled
from ..tasks.slipping import Slipped, slipped
from .cards import Card, cards_of
from .shown import Shown, look_at, write_value

KEY = "find the slip"
"""Of the class of imaginary hands: their bodies are no student's."""
BODIES = 30
"""So many bodies are tried until a slip shows."""
PLAIN = 0.15
"""cm: a slip that moves a point or a line by so much is seen with the tape."""
PLAIN_NUMBER, PLAIN_ANGLE = 0.08, 2.0
"""cm and degrees: so too for a number that is noted, with two places behind the point."""
CHOICES = 5
"""Sentences to choose from."""
TRIES = 2
"""Answers for each slip; after that it is shown."""


class Answered(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One answer: the step that went wrong, and what happened there; both '' where it was to be shown."""

    at: str = ""
    said: str = ""


class Reply(msgspec.Struct, frozen=True):
    """What is answered. verdict: 'found', 'step' (the right step, another slip), 'no' or 'shown'."""

    verdict: str
    text: str


class _Turn(NamedTuple):
    """One answer among the others.

    hit: the slip that is at this step; done: the slip that the answer finds or has shown; tried: the count of
    answers since the last one was done; left: the slips to be found after it.
    """

    at: str
    hit: Card | None
    done: Card | None
    right: bool
    tried: int
    left: tuple[Card, ...]


@dataclass(frozen=True)
class Round:
    """A draft with its slips.

    cards: of the slips; of: measures; draft: with the slips in it; seed: what it was made from.
    """

    cards: tuple[Card, ...]
    of: OwnNumbers
    draft: Slipped
    seed: str

    @property
    def work(self) -> Exercise:
        return self.cards[0].work

    def shown(self, unit: str = "cm") -> Shown:
        """What is laid before the learner."""
        return look_at(self.work, self.of, self.draft, unit=unit)

    @cached_property
    def choices(self) -> dict[str, str]:
        """What may have happened: {code: sentence}, in an order that says nothing."""
        found: dict[str, str] = {card.mistake.code: card.mistake.title for card in self.cards}
        lesson = [card for card in cards_of(self.work.lesson).values() if card.work is not self.work]
        others = [*self.work.mistakes, *(card.mistake for card in lesson)]
        for mistake in others:
            if len(found) < CHOICES and mistake.code not in found and mistake.title not in found.values():
                found[mistake.code] = mistake.title
        codes = sorted(found)
        random.Random(f"{self.seed} choices").shuffle(codes)
        return {code: f"{found[code]}." for code in codes}

    def places(self, card: Card) -> tuple[str, ...]:
        """The steps at which a slip can be seen."""
        if card.mistake.finish:
            return card.mistake.at
        return tuple(at for at in card.mistake.at if _off(self.draft, at))

    def _played(self, answers: Sequence[Answered]) -> Iterator[_Turn]:
        """The answers one by one, as far as there are slips left to find."""
        left, tried = self.cards, 0
        for answer in answers:
            if not left:
                return
            hit = next((c for c in left if answer.at in self.places(c)), None)
            right = hit is not None and answer.said == hit.mistake.code
            tried += 1
            done = (hit or left[0]) if right or not answer.at or tried >= TRIES else None
            left = tuple(card for card in left if card is not done)
            yield _Turn(answer.at, hit, done, right, tried, left)
            tried = 0 if done else tried

    def replies(self, answers: Sequence[Answered], unit: str = "cm") -> list[Reply]:
        """What is said to each answer."""
        return [self._reply(turn, unit) for turn in self._played(answers)]

    def done(self, answers: Sequence[Answered]) -> tuple[bool, ...] | None:
        """Which slips were found at the first answer, in the order of the cards; None while some are open."""
        turns = self._played(answers)
        first = {turn.done.key: turn.right and turn.tried == 1 for turn in turns if turn.done}
        return tuple(first[card.key] for card in self.cards) if len(first) == len(self.cards) else None

    # -- what is said

    def _reply(self, turn: _Turn, unit: str) -> Reply:
        if turn.done:
            more = " There is one more slip in this draft: find it, too." if turn.left else ""
            said = f"{self.explain(turn.done, unit)}{more}"
            if turn.right:
                return Reply("found", f"Right. {said}")
            return Reply("shown", f"It was: {turn.done.mistake.title}. {said}")
        if turn.hit:
            return Reply(
                "step",
                f"Yes, {turn.at} went wrong, but not in this way. Measure how far off it is, and in which "
                "direction. Then choose again.",
            )
        return Reply(
            "no",
            f"No, {turn.at} is right: it follows the rule from what was there before. Take the steps from "
            "the top: calculate each measure from its sentence, and lay the tape on the drawing.",
        )

    def explain(self, card: Card, unit: str = "cm") -> str:
        """How far off the slip is, and what is said to the hand that made it."""
        said = f"Tell this hand: “{card.mistake.remark}”"
        if card.mistake.finish:
            return said
        parts = []
        for at in self.places(card)[:1]:
            own, rule = self.draft.made[at], self.draft.should(at)
            if isinstance(own, int | float) and isinstance(rule, int | float):
                parts.append(
                    f"At “{at}” the hand has {write_value(at, own, unit)}, the rule gives "
                    f"{write_value(at, rule, unit)}."
                )
            else:
                gap = deviation.gap(own, rule)
                where = deviation.direction(own, rule, lambda cm: write_length(cm, unit))
                parts.append(f"At “{at}” the {f'mark lies {where}' if where else _curve_off(gap, unit)}.")
        return " ".join((*parts, said))

    def wanted(self) -> dict[str, Value]:
        """Where the steps that went wrong should be, by name."""
        return {
            at: value
            for card in self.cards
            if not card.mistake.finish
            for at in self.places(card)
            if isinstance(value := self.draft.should(at), Point | Curve)
        }


def _curve_off(gap: deviation.Gap, unit: str) -> str:
    if gap.distance < 0.1:
        return f"line turns off by {gap.turn:.0f}° at its end"
    return f"line lies up to {write_length(gap.distance, unit)} beside where the rule has it"


def _off(draft: Slipped, at: str) -> bool:
    """Whether a step is plainly off, judged on the draft's own earlier points and lines."""
    try:
        gap = deviation.gap(draft.made[at], draft.should(at))
    except deviation.UNDRAWABLE:
        return False
    plain = PLAIN_NUMBER if isinstance(draft.made[at], int | float) else PLAIN
    return gap.distance > (PLAIN_ANGLE if "angle" in at else plain) or gap.turn > 10


@lru_cache(maxsize=64)
def make_round(keys: tuple[str, ...], seed: str) -> Round:
    """The draft with the slips of these cards ('02a half-for-quarter'), the same for the same seed.

    >>> make_round(("02a half-for-quarter",), "lena 1").of.body.hip_girth > 70
    True
    """
    lesson = int(keys[0][:2])
    cards = tuple(cards_of(lesson)[key] for key in keys)
    best: Round | None = None
    for k in range(BODIES):
        of = numbers_for(f"{spelled(seed)[:60]} {k}", KEY)
        draft = slipped(cards[0].work, of, [card.mistake for card in cards])
        if draft is None:
            continue
        made = Round(cards, of, draft, seed)
        seen = [bool(made.places(card)) for card in cards]
        if all(seen):
            return made
        best = best or made
    if len(keys) > 1 or best is None:  # two that hide each other: one alone
        return make_round(keys[:1], seed) if len(keys) > 1 else _unmade(keys[0])
    return best


def _unmade(key: str) -> Round:
    raise LookupError(f"the slip '{key}' cannot be drawn on any body")

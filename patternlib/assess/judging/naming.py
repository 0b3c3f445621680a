"""Naming a slip: of all that could have been done in place of a step, what gives the student's value."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from ... import tolerances
from ...draft import Step
from ...geometry import Curve, Point
from ...operations import Value
from ..tasks.exercise import Exercise
from ..tasks.rework import Rework, reach
from . import deviation
from .drawing_slips import tries
from .measuring_slips import LIKELY, AtHand, Try

MOST_HIDDEN = 40
"""So many steps that were not asked are searched for a slip, the nearest first."""
MOST_SEARCHED = 6
"""So many steps of one draft are traced back to steps that were not asked, the first ones."""
NONE_KNOWN = 0.15
"""How often a step is off for no reason that has a name, beside all that have one."""
AS_LIKELY = 1.0
"""Two slips whose likelihoods differ by less than this (a factor of 2.7) are both named."""
ANYWHERE = 20.0
"""cm: such a mark may lie anywhere within about this."""
LISTED = 8.0
"""How often a mistake of the exercise's own list is made, beside LIKELY."""
AS_WRITTEN = 3.0
"""How much more likely (a logarithm) a slip is that agrees with how its measure was written on the table."""
LEFT_OUT = ("ease-forgotten", "allowance-forgotten", "part-forgotten")
"""Slips of which the part is not written."""
OF_DIGITS = ("digits-swapped", "ruler-mark", "point-misplaced")
"""Slips that cannot be made with a measure that is put together of named ones."""
FLAT, MOST_FLAT = 1.06, 1.2
"""A tape that lies flat on a curve makes it longer by so many times, and cm, at most [own judgement]."""
GIVEN = ("given", "start", "trace")
"""Steps that give what stands on the sheet: these are never blamed."""
ELSEWHERE = ("wrong-landmark", "slope-not-square", "wrong-line", "wrong-pin")
"""Slips of which many can be tried: at a step nobody asked for they must explain more than one value."""


class Mark(NamedTuple):
    """A student's value that is off, what the rule gives, how far off is allowed, the hand's spread, cm."""

    own: Any
    rule: Any
    allowed: float
    spread: float

    def times(self, other: Any) -> float:
        """A measure read too large carries its own uncertainty with it: by how much, 1 for points."""
        if isinstance(self.own, int | float) and isinstance(other, int | float) and abs(self.rule) > 1:
            return min(max(abs(other / self.rule), 1.0), 3.0)
        return 1.0


class Named(NamedTuple):
    """A slip, the step it was made at, what that step gave, and how likely it is (a logarithm).

    also: another slip that is nearly as likely.
    """

    slip: Try
    at: str
    value: Value
    score: float
    also: Try | None = None


@dataclass
class Namer:
    """Finds the slips of one draft.

    values: the student's own by step name; allowed: name -> tolerance, cm; finer: by how much this student's
    hand is finer than usual, 1 as usual, as the steps that are right show it; written: how measures were put
    together, by step, as the table keeps it.
    """

    work: Exercise
    numbers: Mapping[str, float]
    values: Mapping[str, Value]
    allowed: Callable[[str], float]
    finer: float = 1.0
    written: Mapping[str, str] = field(default_factory=dict)
    searched: int = 0

    def name(self, name: str, mark: Mark, rework: Rework, places: tuple[str, ...]) -> Named | None:
        """The likeliest slip that gives the student's value, made at this step or at one not asked for.

        places: the points and curves on the paper when the step was done.
        """
        return self._found(name, mark, rework, places) or _flat(rework, name, mark)

    def _found(self, name: str, mark: Mark, rework: Rework, places: tuple[str, ...]) -> Named | None:
        mark = mark._replace(spread=mark.spread * self.finer)
        at_hand = AtHand(rework, self.work.terms, self.numbers, places, self.work.allowance)
        step = rework.draft.step(name)
        here = self._likeliest(
            ((t, lambda t=t: rework.done(t.step)) for t in self._tries(step, at_hand)), name, mark
        )
        _, hidden = reach(rework.draft, name, rework.given)
        hidden = [n for n in hidden if rework.draft.step(n).op not in GIVEN][:MOST_HIDDEN]
        shared = self._also_off(name, rework, set(hidden)) if hidden else []
        known = self._listed_before(mark, rework, hidden, name)
        if known and (not here or (not _is_listed(here[0]) and known.score > here[0].score - AS_LIKELY)):
            return known
        close = len(here) > 1 and here[0].score - here[1].score < AS_LIKELY
        if close and (not _is_listed(here[0]) or _is_listed(here[1])):
            here[0] = here[0]._replace(also=here[1].slip)
        if (here and not shared) or self.searched >= MOST_SEARCHED:
            return here[0] if here else None
        self.searched += 1
        before = self._before(name, mark, rework, at_hand, hidden, shared)
        if here and (before is None or before[1] == 0):
            return here[0]
        if before and before[1] == 0:  # it explains nothing else: what is nearer at hand comes first
            return _flat(rework, name, mark) or before[0]
        return before[0] if before else None

    def listed(self, name: str, mark: Mark, rework: Rework) -> Named | None:
        """The mistake of the exercise's own list that gives the student's value, made here or before."""
        mark = mark._replace(spread=mark.spread * self.finer)
        at_hand = AtHand(rework, self.work.terms, self.numbers)
        step = rework.draft.step(name)
        here = self._likeliest(
            ((t, lambda t=t: rework.done(t.step)) for t in self._listed(step, at_hand)), name, mark
        )
        _, hidden = reach(rework.draft, name, rework.given)
        before = self._listed_before(mark, rework, hidden[:MOST_HIDDEN], name)
        return here[0] if here else before

    def _listed_before(self, mark: Mark, rework: Rework, hidden: list[str], name: str) -> Named | None:
        """The likeliest mistake of the list, made at a step nobody asked for."""
        found: list[Named] = []
        for at in hidden:
            if any(at in m.at for m in self.work.mistakes):
                apart = rework.without(at)
                at_hand = AtHand(rework, self.work.terms, self.numbers)
                candidates = (
                    (t, lambda t=t, apart=apart, at=at: apart.with_step(at, t.step).rule(name))
                    for t in self._listed(rework.draft.step(at), at_hand)
                )
                for named in self._likeliest(candidates, at, mark):
                    value = apart.with_step(at, named.slip.step)[at]
                    found.append(named._replace(value=value))
        return max(found, key=lambda n: n.score, default=None)

    def _tries(self, step: Step, at_hand: AtHand) -> Iterator[Try]:
        """The exercise's own list of common mistakes first, then what can go wrong with any such step."""
        yield from self._listed(step, at_hand)
        yield from tries(step, at_hand)

    def _listed(self, step: Step, at_hand: AtHand) -> Iterator[Try]:
        for mistake in self.work.mistakes:
            if step.name in mistake.at and mistake.change:
                try:
                    other = mistake.change(step, at_hand.work, at_hand.terms, self.numbers)
                except (*deviation.UNDRAWABLE, LookupError):
                    continue
                yield Try(mistake.code, other, {"said": mistake.remark})

    def _before(
        self, name: str, mark: Mark, rework: Rework, at_hand: AtHand, hidden: list[str], shared: list[str]
    ):
        """(slip at a step nobody asked for, how many of the other values that are off it explains too)."""
        best = None
        for at in hidden:
            apart = rework.without(at)
            step = rework.draft.step(at)
            paper = self._paper(at, rework, at_hand, hidden) if shared else ()
            candidates = (
                (t, lambda t=t, apart=apart, at=at: apart.with_step(at, t.step).rule(name))
                for t in self._tries(step, replace(at_hand, places=paper))
            )
            for named in self._likeliest(candidates, at, mark):
                try:
                    other = apart.with_step(at, named.slip.step)
                    explained = sum(self._fits(n, other) for n in shared)
                    broken = sum(not self._fits(n, other) for n in self._resting_on(at, rework, shared, name))
                    value = other[at]
                except deviation.UNDRAWABLE:
                    continue
                if named.slip.code in ELSEWHERE and not explained:
                    continue  # too many places to measure from: one of them fits by chance
                key = (explained - broken, named.score)
                if best is None or key > best[0]:
                    best = key, named._replace(value=value), explained
        return None if best is None or best[0][0] < 0 else (best[1], best[2])

    def _paper(self, at: str, rework: Rework, at_hand: AtHand, hidden: list[str]) -> tuple[str, ...]:
        """What was on the paper when a step nobody asked for was done."""
        before = []
        for step in rework.draft:
            if step.name == at:
                break
            if step.name in hidden or step.name in at_hand.places:
                before.append(step.name)
        return tuple(before)

    def _fits(self, name: str, rework: Rework) -> bool:
        try:
            return deviation.gap(self.values[name], rework.rule(name)).distance <= self.allowed(name)
        except deviation.UNDRAWABLE:
            return False

    def _also_off(self, name: str, rework: Rework, hidden: set[str]) -> list[str]:
        """Other values that are off as well and rest on the same steps nobody asked for."""
        found = []
        for asked in self.work.steps():
            other = asked.name
            if other == name or other not in self.values or other in rework.given:
                continue
            known = {**self.values, **rework.given}
            known.pop(other, None)
            if hidden.isdisjoint(reach(rework.draft, other, known)[1]):
                continue
            if not self._fits(other, Rework(rework.draft, known)):
                found.append(other)
        return found

    def _resting_on(self, at: str, rework: Rework, shared: list[str], name: str) -> list[str]:
        """Values that are right as they are but rest on the step nobody asked for."""
        found = []
        for asked in self.work.steps():
            other = asked.name
            if other in shared or other == name or other not in self.values:
                continue
            if at in reach(rework.draft, other, {n: v for n, v in rework.given.items() if n != other})[1]:
                found.append(other)
        return found

    def _likeliest(
        self, candidates: Iterable[tuple[Try, Callable[[], Value]]], at: str, mark: Mark
    ) -> list[Named]:
        """The likeliest slip of each kind whose value is the student's, the likeliest kind first."""
        flat = isinstance(mark.own, int | float)
        found: dict[str, tuple[float, Try, Value]] = {}
        counts: dict[str, int] = {}
        for slip, done in candidates:
            counts[slip.code] = counts.get(slip.code, 0) + 1
            try:
                value = done()
                gap = deviation.gap(mark.own, value)
            except deviation.UNDRAWABLE:
                continue
            times = mark.times(value)
            if not gap.distance <= mark.allowed * times or gap.turn > 1.5 * tolerances.HAND_DIRECTION:
                continue
            score = _likelihood(gap.distance, mark.spread * times, flat)
            if slip.code not in found or score > found[slip.code][0]:
                found[slip.code] = score, slip, value
        everything = sum(LIKELY.values())
        named = [
            Named(
                slip,
                at,
                value,
                score
                + math.log(_often(slip, counts[code]) / everything)
                + self._as_written(slip, self.written.get(at, "")),
            )
            for code, (score, slip, value) in found.items()
        ]
        least = math.log(NONE_KNOWN / (ANYWHERE if flat else ANYWHERE * ANYWHERE))
        return sorted((n for n in named if n.score > least), key=lambda n: -n.score)

    def _as_written(self, slip: Try, text: str) -> float:
        """How well a slip agrees with how the measure was put together: a logarithm, 0 if unknown."""
        text = text.casefold()
        if not any(name.replace("_", " ") in text for name in self.numbers):
            return 0.0
        part, other = slip.words.get("part", ""), slip.words.get("other", "")
        if slip.code in OF_DIGITS:
            return -AS_WRITTEN
        if slip.code in LEFT_OUT:
            return AS_WRITTEN if part not in text else -AS_WRITTEN
        if slip.code == "neighbour-measure":
            return AS_WRITTEN if other in text and part not in text else -AS_WRITTEN
        named = [name for name in part.split(" and ") if name.replace(" ", "_") in self.numbers]
        return -AS_WRITTEN if any(name not in text for name in named) else 0.0


def _flat(rework: Rework, name: str, mark: Mark) -> Named | None:
    """A curve that came out a little too long: the tape lay flat and buckled."""
    step = rework.draft.step(name)
    if step.op != "length" or rework[step.inputs[0]].is_straight or not isinstance(mark.own, int | float):
        return None
    if not mark.rule < mark.own <= min(FLAT * mark.rule, mark.rule + MOST_FLAT):
        return None
    return Named(Try("tape-flat", step, {"part": step.inputs[0]}), name, mark.own, 0.0)


def _is_listed(named: Named) -> bool:
    return "said" in named.slip.words


def _often(slip: Try, tries_of_the_kind: int) -> float:
    return LISTED if "said" in slip.words else LIKELY[slip.code] / math.sqrt(tries_of_the_kind)


def _likelihood(distance: float, spread: float, flat: bool) -> float:
    """Logarithm of the density of a mark this far from a slip's; flat: on a line, not on paper."""
    width = spread * math.sqrt(2 * math.pi) if flat else spread * spread * 2 * math.pi
    return -((distance / spread) ** 2) / 2 - math.log(width)


def trueness(gaps: Iterable[tuple[Value, float]], usual: float) -> float:
    """Spread of a student's hand (cm) from how far the steps that are right lie off: some are more exact.

    gaps: (own value, distance); usual: the spread of this way of drafting. The upper end of what the marks
    allow for, 95 in 100; few marks tell little [chi-square quantile by Wilson and Hilferty, 1931].
    """
    squares, n = 0.0, 0
    for own, distance in gaps:
        if not isinstance(own, Curve):
            squares += distance * distance
            n += 2 if isinstance(own, Point) else 1
    if n < 3:
        return usual
    low = n * (1 - 2 / (9 * n) - 1.645 * math.sqrt(2 / (9 * n))) ** 3
    return min(max(math.sqrt(squares / low), usual / 5, 0.01), 1.5 * usual)

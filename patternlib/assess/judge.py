"""Judging one hand-in record: each step on the student's own earlier steps, and slips by name.

The judge trusts nothing but the points, curves, numbers and finish of a record; body, style and every
target are reckoned afresh from student id and class key.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .. import tolerances
from ..draft import Draft, Step
from ..errors import PatternError
from ..geometry import Curve, Point
from ..operations import Value
from . import deviation
from .exercise import Asked, Exercise, exercise
from .missteps import tries
from .record import Record, read
from .rework import Rework, reach
from .rubric import Rubric, load_rubric
from .slips import LIKELY, Room, Try

MOST_PIECES_REUSED = 24
"""A curve in more pieces than this is judged, but later steps are drawn on the rule's."""
MOST_HIDDEN = 12
"""So many steps that were not asked are searched for a slip, the nearest first."""


@dataclass(frozen=True)
class Line:
    """The verdict on one thing asked.

    verdict: 'right', 'carried' (right given an earlier step), 'off' or 'missing'; got, want: cm, degrees or
    (x, y); gap: how far off, cm or degrees; slip: its code or None; text: the sentence; marks of weight.
    """

    step: str
    verdict: str
    got: Any
    want: Any
    gap: float | None
    slip: str | None
    text: str
    mark: float
    weight: float
    at: str = ""

    def to_dict(self) -> dict:
        return {
            "step": self.step,
            "verdict": self.verdict,
            "got": self.got,
            "want": self.want,
            "slip": self.slip,
            "text": self.text,
            "gap": self.gap,
            "mark": self.mark,
            "out_of": self.weight,
            "at": self.at,
        }


@dataclass(frozen=True)
class Verdict:
    """The verdict on one record: mark out of a total, and a line for each thing asked."""

    exercise: str
    student: str
    mark: float
    out_of: float
    lines: tuple[Line, ...]
    remarks: tuple[str, ...] = ()

    def to_dict(self) -> dict:
        return {
            "exercise": self.exercise,
            "student": self.student,
            "mark": self.mark,
            "out_of": self.out_of,
            "lines": [line.to_dict() for line in self.lines],
            "remarks": list(self.remarks),
        }


def judge(
    record: Record | Mapping[str, Any] | bytes, *, rubric: Rubric | None = None, key: str = ""
) -> Verdict:
    """Judge a hand-in record; the same record gives the same verdict on every machine.

    rubric: marks, tolerances and words (None: those that come with the library); key: the class's key.
    Raises RecordError for a record that cannot be read, UnknownName for an exercise that does not exist.
    """
    if not isinstance(record, Record):
        record = read(record)
    rubric = rubric or load_rubric()
    work = exercise(record.exercise)
    of = work.variant(record.student, key)
    values = record.values()
    court = Court(work, work.reference(of), work.numbers(of), rubric)
    lines = [court.step(asked, values.get(asked.name)) for asked in work.steps()]
    if work.finish is not None:
        from .finish import judge_finish

        lines += judge_finish(work, of, court, record, rubric)
    mark, out_of = math.fsum(line.mark for line in lines), math.fsum(line.weight for line in lines)
    return Verdict(
        record.exercise,
        record.student,
        round(mark, 3),
        round(out_of, 3),
        tuple(lines),
        tuple(_remarks(record, of)),
    )


def _remarks(record: Record, of) -> list[str]:
    claimed = record.variant.body
    off = [n for n in ("bust_girth", "waist_girth", "hip_girth") if claimed.get(n) != getattr(of.body, n)]
    if off:
        return [
            "This draft was made on other measures than this student's own: "
            + ", ".join(off).replace("_", " ")
            + "."
        ]
    return []


class Court:
    """Judges the steps of one draft in order and keeps the student's values for the steps that follow."""

    def __init__(self, work: Exercise, target: Draft, numbers: Mapping[str, float], rubric: Rubric):
        self.work, self.target, self.numbers, self.rubric = work, target, numbers, rubric
        self.given: dict[str, Value] = {}
        self.off: set[str] = set()
        self.places = work.given(target)

    def step(self, asked: Asked, own: Value | None) -> Line:
        """The verdict on one step; its value is kept, so that later steps are judged on it."""
        name = asked.name
        rubric, weight = self.rubric, self.rubric.weight(self.work.id, asked)
        target = self.target[name]
        if (
            own is None
            or isinstance(own, Point) != isinstance(target, Point)
            or isinstance(own, Curve) != isinstance(target, Curve)
        ):
            text = rubric.text("missing", step=name, unit=rubric.unit)
            return Line(name, "missing", None, _shown(target), None, None, text, 0.0, weight)
        least = rubric.tolerance(self.work.id, asked, _is_angle(self.target.step(name)))
        rework = Rework(self.target, self.given)
        try:
            rule = rework.rule(name)
            spread = self._spread(name, rework, rule)
        except PatternError:  # the student's earlier lines do not meet: judge on the rule's own
            rework = Rework(self.target)
            rule, spread = target, tolerances.HAND_SPREAD
        allowed = min(max(least, tolerances.HAND_SPREADS * spread), 4 * least)
        found = deviation.gap(own, rule)
        fault = self._curve_fault(own, rule, found, allowed)
        led_astray = bool(self.off) and not deviation.gap(own, target).distance <= least
        if found.distance <= allowed and not fault:
            verdict = "carried" if led_astray else "right"
            self._keep(name, own)
            text = rubric.text(verdict, step=name, unit=rubric.unit)
            return Line(
                name, verdict, _shown(own), _shown(rule), round(found.distance, 3), None, text, weight, weight
            )
        if deviation.gap(own, target).distance <= least and not self._curve_fault(
            own, target, deviation.gap(own, target), least
        ):
            self._keep(name, own)
            text = rubric.text("right", step=name, unit=rubric.unit)
            return Line(name, "right", _shown(own), _shown(target), 0.0, None, text, weight, weight)
        slip, at = self._slip(name, own, rework, allowed, spread)
        text = self._text(asked, own, rule, found, fault, slip, at)
        if at and at != name:  # a step that was not asked: what follows from it is carried
            self.given[at] = rework_value(self.target, self.given, slip.step)
        self._keep(name, own)
        self.off.add(name)
        code = slip.code if slip else None
        return Line(
            name,
            "off",
            _shown(own),
            _shown(rule),
            _bounded(found.distance),
            code,
            text,
            0.0,
            weight,
            at or name,
        )

    def _keep(self, name: str, own: Value) -> None:
        if not isinstance(own, Curve) or len(own.segments) <= MOST_PIECES_REUSED:
            self.given[name] = own
        self.places = (*self.places, name)

    def _spread(self, name: str, rework: Rework, rule: Value) -> float:
        front, _ = reach(self.target, name, self.given)
        used = {n: self.given[n] for n in front}
        return deviation.noise(
            lambda moved: Rework(self.target, {**self.given, **moved}).rule(name), used, rule
        )

    def _curve_fault(self, own: Value, rule: Value, found: deviation.Gap, allowed: float) -> str:
        """What is wrong with a curve that lies where it should."""
        if not isinstance(own, Curve) or found.distance > allowed:
            return ""
        handle = min(
            abs(own.segments[0][1] - own.segments[0][0]), abs(own.segments[-1][3] - own.segments[-1][2])
        )
        by_hand = math.degrees(tolerances.HAND_SPREADS * 1.5 * tolerances.HAND_SPREAD / max(handle, 0.3))
        if found.turn > max(tolerances.HAND_DIRECTION, by_hand):
            return "direction"
        if deviation.corners(own) > max(tolerances.HAND_DIRECTION, by_hand) + deviation.corners(rule):
            return "corner"
        if deviation.bends(own) > deviation.bends(rule) + 1:
            return "wavy"
        return ""

    # -- slips

    def _slip(
        self, name: str, own: Value, rework: Rework, allowed: float, spread: float
    ) -> tuple[Try | None, str]:
        """(the likeliest slip that gives the student's value, the step it was made at)."""
        step = self.target.step(name)
        room = Room(rework, self.work.terms, self.numbers, self.places, self.work.allowance)
        best = self._best(((t, rework.done, t.step) for t in tries(step, room)), own, allowed, spread, name)
        if best:
            return best[1], name
        _, hidden = reach(self.target, name, rework.given)
        found = []
        for other in hidden[:MOST_HIDDEN]:
            candidates = (
                (t, Rework(self.target, rework.given, {other: t.step}).done, step)
                for t in tries(self.target.step(other), room)
                if t.code not in ("wrong-landmark", "slope-not-square")
            )
            best = self._best(candidates, own, allowed, spread, other)
            if best:
                found.append((*best, other))
        if not found:
            return None, ""
        _, slip, at = max(found, key=lambda f: f[0])
        return slip, at

    def _best(
        self, candidates, own: Value, allowed: float, spread: float, at: str
    ) -> tuple[float, Try] | None:
        scored: dict[str, tuple[float, Try]] = {}
        counts: dict[str, int] = {}
        for slip, done, step in candidates:
            counts[slip.code] = counts.get(slip.code, 0) + 1
            try:
                found = deviation.gap(own, done(step))
            except PatternError:
                continue
            if not found.distance <= allowed or found.turn > 3 * tolerances.HAND_DIRECTION:
                continue
            score = _likelihood(found.distance, spread)
            if slip.code not in scored or score > scored[slip.code][0]:
                scored[slip.code] = (score, slip)
        best = [
            (score + math.log(LIKELY[code]) - math.log(counts[code]) / 2, slip)
            for code, (score, slip) in scored.items()
        ]
        return max(best, key=lambda b: b[0]) if best else None

    def _text(self, asked: Asked, own, rule, found, fault: str, slip: Try | None, at: str) -> str:
        rubric = self.rubric
        name = asked.name
        angle = _is_angle(self.target.step(name))
        by = rubric.length(found.distance, angle)
        text = rubric.text(fault or "off", step=name, by=by, turn=f"{found.turn:.0f}°")
        if not slip:
            return text + " " + rubric.text("look-again", step=name)
        words = {"part": "", "other": "", "by": "", "way": ""} | dict(slip.words)
        said = rubric.slip(slip.code, step=at, **words)
        return f"{text} {said}"


def rework_value(target: Draft, given: Mapping[str, Value], step: Step) -> Value:
    return Rework(target, given).done(step)


def _likelihood(distance: float, spread: float) -> float:
    """Log of how likely a value this far from a slip's is: marked by hand, or typed to the millimetre."""
    fine, coarse = 0.01, max(spread, tolerances.HAND_SPREAD)
    return math.log(
        math.exp(-((distance / fine) ** 2) / 2) / fine
        + math.exp(-((distance / coarse) ** 2) / 2) / coarse
        + 1e-12
    )


def _is_angle(step: Step) -> bool:
    return step.op in ("angle", "dart angle", "closing angle") or "angle" in step.name


def _bounded(number: float) -> float | None:
    return round(number, 3) if math.isfinite(number) else None


def _shown(value: Value) -> Any:
    """A value as plain data: a number, [x, y], or the length of a curve."""
    if isinstance(value, Point):
        return [round(value.x, 2) + 0.0, round(value.y, 2) + 0.0]
    if isinstance(value, Curve):
        return round(value.length, 2)
    return round(value, 2) + 0.0

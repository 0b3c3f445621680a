"""Judging one hand-in record: each step on the student's own earlier steps, and slips by name.

The judge trusts nothing but the points, curves, numbers and finish of a record; body, style and every
target are calculated again from student id and class key.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from ... import tolerances
from ...draft import Draft, Step
from ...errors import PatternError
from ...geometry import Curve, Point
from ...operations import Value
from ...piece import Piece
from ..tasks.catalogue import exercise
from ..tasks.exercise import Asked, Exercise
from ..tasks.own_numbers import OwnNumbers
from ..tasks.record import Record, read
from ..tasks.rework import Rework, reach
from . import deviation
from .finishing import judge_finish
from .naming import Mark, Named, Namer, hand
from .rubric import Rubric, load_rubric
from .verdict import Line, Verdict

MOST_PIECES_REUSED = 24
"""A curve in more pieces than this is judged, but later steps are drawn on the rule's."""
TYPED = 0.02
"""cm: a curve whose ends lie this close was not marked by hand, so its directions do not tremble."""
MEASURED = 4
"""pieces of a curve: one with so many was measured place by place, not drawn by a rule."""
LONGEST_REUSED = 3
"""So too a curve that is more than so many times as long as the rule's."""
FARTHEST_REUSED = 150.0
"""cm; so too what lies farther off than this: it is no slip of the hand any more."""
WIDEST = 4
"""Where earlier marks swing a step far, its tolerance grows, but never beyond so many times its own."""


def judge(
    record: Record | Mapping[str, Any] | bytes, *, rubric: Rubric | None = None, key: str = ""
) -> Verdict:
    """Judge a hand-in record; the same record gives the same verdict on every machine.

    rubric: marks, tolerances and words (None: those that come with the library); key: the class's key.
    Raises RecordError for a record that cannot be read, UnknownName for an exercise that does not exist.
    """
    return examine(record, rubric=rubric, key=key)[0]


def examine(
    record: Record | Mapping[str, Any] | bytes, *, rubric: Rubric | None = None, key: str = ""
) -> tuple[Verdict, Examination]:
    """The verdict of `judge`, and the examination with the values it was found on."""
    if not isinstance(record, Record):
        record = read(record)
    rubric = rubric or load_rubric()
    work = exercise(record.exercise)
    of = work.own_numbers(record.student, key)
    values = record.values()
    examination = Examination(work, of, values, rubric)
    lines = [examination.step(asked) for asked in work.steps()]
    if examination.off:  # once more, now that it is known how true this hand is
        examination = Examination(work, of, values, rubric, hand(examination.near))
        lines = [examination.step(asked) for asked in work.steps()]
    if work.finish is not None:
        lines += judge_finish(work, examination.pieces(), record, rubric, bool(examination.off))
    mark, out_of = math.fsum(line.mark for line in lines), math.fsum(line.weight for line in lines)
    remarks = tuple(_remarks(record, of))
    verdict = Verdict(work.id, record.student, round(mark, 3), round(out_of, 3), tuple(lines), remarks)
    return verdict, examination


def _remarks(record: Record, of: OwnNumbers) -> list[str]:
    claimed = record.own_numbers.body
    names = ("bust_girth", "waist_girth", "hip_girth")
    off = [n.replace("_", " ") for n in names if claimed.get(n) != getattr(of.body, n)]
    if not off:
        return []
    return [f"This draft was made on other measures than this student's own: {', '.join(off)}."]


class Examination:
    """Judges the steps of one draft in order and keeps the student's values for the steps that follow.

    values: the student's own by step name; rules: what the rule gives for those judged; hand: how far this
    student's marks spread, cm; None looks only for what is off and names nothing.
    """

    def __init__(
        self, work: Exercise, of: OwnNumbers, values: Mapping[str, Value], rubric: Rubric,
        hand: float | None = None,
    ):  # fmt: skip
        self.work, self.of, self.rubric, self.values = work, of, rubric, values
        self.target: Draft = work.reference(of)
        self.given: dict[str, Value] = {name: self.target[name] for name in work.ready}
        self.places = work.given(self.target)
        self.off: set[str] = set()
        self.near: list[tuple[Value, float]] = []
        self.rules: dict[str, Value] = {}
        least = {
            a.name: rubric.tolerance(work.id, a, _is_angle(self.target.step(a.name))) for a in work.steps()
        }
        self.least = least
        self.namer = hand and Namer(work, work.numbers(of), values, least.__getitem__, hand)

    def step(self, asked: Asked) -> Line:
        """The verdict on one step; its value is kept, so that later steps are judged on it."""
        name, rubric, least = asked.name, self.rubric, self.least[asked.name]
        weight = rubric.weight(self.work.id, asked)
        own, target = self.values.get(name), self.target[name]
        if own is None or not deviation.alike(own, target):
            return Line(
                name, "missing", None, None, None, None, rubric.text("missing", step=name), 0.0, weight
            )
        rework = Rework(self.target, self.given)
        try:
            rule = rework.rule(name)
            found = deviation.gap(own, rule)
            spread = self._spread(name, rule) if found.distance > least else 0.0
        except PatternError:  # the student's earlier lines do not meet: judge on the rule's own
            rework = Rework(self.target)
            rule, spread, found = target, tolerances.HAND_SPREAD, deviation.gap(own, target)
        self.rules[name] = rule
        allowed = min(max(least, tolerances.HAND_SPREADS * spread), WIDEST * least)
        fault = curve_fault(own, rule, found, allowed)
        if found.distance <= allowed and not fault:
            astray = self.off and not deviation.gap(own, target).distance <= least
            verdict = "carried" if astray else "right"
            if not _is_angle(self.target.step(name)):
                self.near.append((own, found.distance))
        else:
            straight = deviation.gap(own, target)
            if not straight.distance <= least or curve_fault(own, target, straight, least):
                return self._off(asked, own, rule, found, fault, rework, allowed, spread)
            verdict, found = "right", straight
            self.rules[name] = rule = target
        self._keep(name, own, rework)
        text = rubric.text(verdict, step=name)
        gap = round(found.distance, 3)
        return Line(name, verdict, shown(own), shown(rule), gap, None, text, weight, weight)

    def _off(self, asked, own, rule, found, fault, rework: Rework, allowed: float, spread: float) -> Line:
        name = asked.name
        named = None
        spread = max(spread, tolerances.HAND_SPREAD)
        if self.namer and fault not in ("corner", "wavy"):
            named = self.namer.name(name, Mark(own, rule, allowed, spread), rework, self.places)
        text = self._text(name, found, fault, named)
        if named and named.at != name:  # a step nobody asked for: what follows from it is carried
            self.given[named.at] = named.value
        self._keep(name, own, rework)
        self.off.add(name)
        gap = round(found.distance, 3) if math.isfinite(found.distance) else None
        code, at = (named.slip.code, named.at) if named else (None, name)
        weight = self.rubric.weight(self.work.id, asked)
        return Line(name, "off", shown(own), shown(rule), gap, code, text, 0.0, weight, at)

    def _text(self, name: str, found: deviation.Gap, fault: str, named: Named | None) -> str:
        rubric = self.rubric
        by = rubric.length(found.distance, _is_angle(self.target.step(name)))
        text = rubric.text(fault or "off", step=name, by=by, turn=f"{found.turn:.0f}°")
        if named is None:
            return text + " " + rubric.text("look-again", step=name)
        said = rubric.slip(named.slip.code, step=named.at, **named.slip.words)
        if named.also:
            said += (
                " "
                + rubric.text("or", step=name)
                + " "
                + rubric.slip(named.also.code, step=named.at, **named.also.words)
            )
        if named.at != name:
            said = rubric.text("earlier", step=named.at) + " " + said
        return f"{text} {said}"

    def pieces(self) -> tuple[Piece, ...]:
        """The rule's pieces on the student's own seam lines, or on the rule's where those make no piece."""
        try:
            return self.work.finish(self.target.replay(points=self.given), self.of)
        except PatternError:
            return self.work.finish(self.target, self.of)

    def _keep(self, name: str, own: Value, rework: Rework) -> None:
        """Let later steps start from the student's value; a curve runs through the student's points."""
        if not deviation.gap(own, self.target[name]).distance <= FARTHEST_REUSED:
            return
        self.places = (*self.places, name)
        if isinstance(own, Curve):
            if (
                len(own.segments) > MOST_PIECES_REUSED
                or own.length > LONGEST_REUSED * self.target[name].length
            ):
                return
            step = self.target.step(name)
            if step.op in ("curve", "line"):
                last = step.inputs[step.options.get("points", len(step.inputs)) - 1]
                own = through(own, rework[step.inputs[0]], rework[last])
        self.given[name] = own

    def _spread(self, name: str, rule: Value) -> float:
        used = {n: self.given[n] for n in reach(self.target, name, self.given)[0]}
        return deviation.noise(
            lambda moved: Rework(self.target, {**self.given, **moved}).rule(name), used, rule
        )


def curve_fault(own: Value, rule: Any, found: deviation.Gap, allowed: float) -> str:
    """What is wrong with a curve that lies where it should: 'direction', 'corner', 'wavy' or ''."""
    if not isinstance(own, Curve) or found.distance > allowed:
        return ""
    s, r = own.segments[0], own.segments[-1]
    handle = max(min(abs(s[1] - s[0]), abs(r[3] - r[2])), 0.3)
    ends = max(min(e.distance(rule.start), e.distance(rule.end)) for e in (own.start, own.end))
    by_rule = ends < TYPED and len(own.segments) < MEASURED
    marked = 0.0 if by_rule else 1.5 * tolerances.HAND_SPREADS * tolerances.HAND_SPREAD
    least = max(tolerances.HAND_DIRECTION, math.degrees(marked / handle))
    if found.turn > least:
        return "direction"
    if deviation.corners(own) > least + deviation.corners(rule):
        return "corner"
    chord = max(min(abs(s[3] - s[0]) for s in own.segments), 0.3)
    wobble = max(tolerances.HAND_DIRECTION, math.degrees(1.4 * marked / chord))
    return "wavy" if deviation.bends(own, wobble) > deviation.bends(rule) + 1 else ""


def through(curve: Curve, start: Point, end: Point) -> Curve:
    """The curve with its ends set on the points it was drawn between, where it misses them by a little."""
    if curve.start.distance(end) + curve.end.distance(start) < curve.start.distance(
        start
    ) + curve.end.distance(end):
        curve = curve.reversed()
    if max(curve.start.distance(start), curve.end.distance(end)) > 2 * tolerances.HAND_CURVE:
        return curve
    first, last = complex(*start) - curve.segments[0][0], complex(*end) - curve.segments[-1][3]
    segments = list(curve.segments)
    a, b, c, d = segments[0]
    segments[0] = (a + first, b + first, c, d)
    a, b, c, d = segments[-1]
    segments[-1] = (a, b, c + last, d + last)
    return Curve(tuple(segments))


def _is_angle(step: Step) -> bool:
    return step.op in ("angle", "dart angle", "closing angle") or "angle" in step.name


def shown(value: Value) -> Any:
    """A value as plain data: a number, [x, y], or the length of a curve."""
    if isinstance(value, Point):
        return [round(value.x, 2) + 0.0, round(value.y, 2) + 0.0]
    if isinstance(value, Curve):
        return round(value.length, 2)
    return round(value, 2) + 0.0

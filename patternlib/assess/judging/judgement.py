"""Judging one hand-in record: each step on the student's own earlier steps, and slips by name.

The judge trusts nothing but the points, curves, numbers and finish of a record; body, style and every
target are calculated again from student id and class key.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ... import tolerances
from ...draft import Draft, Step
from ...geometry import Curve, Point
from ...operations import Value
from ...pieces import Piece
from ..tasks.catalogue import exercise
from ..tasks.exercise import Asked, Exercise
from ..tasks.own_numbers import OwnNumbers
from ..tasks.record import Record, read
from ..tasks.rework import Rework, reach
from . import deviation
from .causes import gather_causes
from .finishing import judge_finish
from .hands import BOARD, EXACT, MARKS, NEAR, READINGS, Hand, hand_of
from .measuring_slips import Try
from .naming import Mark, Named, Namer, trueness
from .rubric import Rubric, load_rubric
from .verdict import Line, Verdict
from .whole_draft import find_whole

MOST_PIECES_REUSED = 24
"""A curve in more pieces than this is judged, but later steps are drawn on the rule's."""
TYPED = 0.02
"""cm: a curve whose ends lie this close was not marked by hand, so its directions do not tremble."""
MEASURED = 4
"""pieces of a curve: one with so many was measured place by place, not drawn by a rule."""
LONGEST_REUSED = 3
"""So too a curve that is more than so many times as long as the rule's, also on the student's own marks."""
FARTHEST_REUSED = 150.0
"""cm; so too what lies farther off than this: it is no slip of the hand any more. A typed number may be ten
times as large as it should be, as millimetres are."""
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
    hand = hand_of(record.way, record.scale)
    written = {step.name: step.measure for step in record.steps}
    lines, examination, whole = _judged(work, of, values, rubric, hand, written)
    if work.finish is not None:
        lines += judge_finish(work, examination.pieces(), record, rubric, hand, bool(examination.off))
    lines = gather_causes(lines, work, rubric)
    if whole:
        lines = _one_loss(lines, whole.code, rubric)
    mark, out_of = math.fsum(line.mark for line in lines), math.fsum(line.weight for line in lines)
    remarks = tuple(_remarks(record, of))
    verdict = Verdict(work.id, record.student, round(mark, 3), round(out_of, 3), tuple(lines), remarks)
    return verdict, examination


def judge_values(
    work: Exercise, of: OwnNumbers, values: Mapping[str, Value], *, way: str, rubric: Rubric | None = None
) -> list[Line]:
    """A line for each step asked of a draft that is no exercise of the catalogue, such as a lesson's."""
    return _judged(work, of, values, rubric or load_rubric(), hand_of(way, 1.0))[0]


def _judged(
    work: Exercise,
    of: OwnNumbers,
    values: Mapping[str, Value],
    rubric: Rubric,
    hand: Hand,
    written: Mapping[str, str] | None = None,
) -> tuple[list[Line], Examination, Any]:
    """A line for each step, the examination, and the one cause that explains the whole draft, if there is."""
    examination = Examination(work, of, values, rubric, hand, written=written)
    lines = [examination.step(asked) for asked in work.steps()]
    whole = find_whole(examination.target, values, examination.least) if examination.off else None
    if whole:
        values = whole.values
        examination = Examination(work, of, values, rubric, hand, written=written)
        lines = [examination.step(asked) for asked in work.steps()]
    if examination.off:  # once more, now that it is known how true this hand is
        true = trueness(examination.near, hand.point) / hand.point
        examination = Examination(work, of, values, rubric, hand, true, written)
        lines = [examination.step(asked) for asked in work.steps()]
    return lines, examination, whole


def _one_loss(lines: list[Line], code: str, rubric: Rubric) -> list[Line]:
    """A cause that explains the whole draft costs the mark of the first step that was right otherwise."""
    k = next((k for k, line in enumerate(lines) if line.verdict in ("right", "carried")), None)
    if k is None:
        return lines
    text = rubric.slip(code, step=lines[k].step)
    return [*lines[:k], replace(lines[k], verdict="off", slip=code, mark=0.0, text=text), *lines[k + 1 :]]


def _remarks(record: Record, of: OwnNumbers) -> list[str]:
    claimed = record.own_numbers.body
    names = ("bust_girth", "waist_girth", "hip_girth")
    off = [n.replace("_", " ") for n in names if claimed.get(n) != getattr(of.body, n)]
    if not off:
        return []
    return [f"This draft was made on other measures than this student's own: {', '.join(off)}."]


class Examination:
    """Judges the steps of one draft in order and keeps the student's values for the steps that follow.

    values: the student's own by step name; rules: what the rule gives for those judged; hand: how exact this
    way of drafting is; finer: by how much this student is finer; None looks only for what is off; written:
    how measures were put together on the table, by step.
    """

    def __init__(
        self, work: Exercise, of: OwnNumbers, values: Mapping[str, Value], rubric: Rubric,
        hand: Hand = EXACT, finer: float | None = None, written: Mapping[str, str] | None = None,
    ):  # fmt: skip
        self.work, self.of, self.rubric, self.values, self.hand = work, of, rubric, values, hand
        self.target: Draft = work.reference(of)
        self.given: dict[str, Value] = {name: self.target[name] for name in work.ready}
        self.places = work.given(self.target)
        self.off: set[str] = set()
        self.near: list[tuple[Value, float]] = []
        self.rules: dict[str, Value] = {}
        self.least = {
            a.name: rubric.tolerance(work.id, a, hand, _is_angle(self.target.step(a.name)))
            for a in work.steps()
        }
        self.namer = finer and Namer(
            work, work.numbers(of), values, self.least.__getitem__, finer, written or {}
        )

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
            spread = self._spread(name, rule, own) if found.distance > least else 0.0
        except deviation.UNDRAWABLE:  # the student's earlier lines do not meet: judge on the rule's own
            rework = Rework(self.target)
            rule, spread, found = target, self._own_spread(name), deviation.gap(own, target)
        self.rules[name] = rule
        times = READINGS if isinstance(own, int | float) else MARKS
        allowed = min(max(least, times * spread), WIDEST * least)
        fault = curve_fault(own, rule, found, NEAR * allowed, self.hand)
        if found.distance <= allowed and not fault:
            astray = self.off and not deviation.gap(own, target).distance <= least
            verdict = "carried" if astray else "right"
            if not _is_angle(self.target.step(name)):
                self.near.append((own, found.distance))
        else:
            straight = deviation.gap(own, target)
            if straight.distance <= least and not curve_fault(own, target, straight, least, self.hand):
                verdict, found, allowed = "right", straight, least
                self.rules[name] = rule = target
            elif found.distance <= NEAR * allowed and not fault:
                verdict = "near"
            else:
                return self._off(asked, own, rule, found, fault, rework, allowed, spread)
        self._keep(name, own, rework)
        angle = _is_angle(self.target.step(name))
        text = rubric.text(
            verdict, step=name, by=rubric.length(found.distance, angle), where=_where(own, rule, rubric),
            allowed=rubric.length(allowed, angle), hand=self.hand.said,
        )  # fmt: skip
        mark, gap, code, at = weight, round(found.distance, 3), None, ""
        if verdict == "near":
            mark = weight / 2
            self.off.add(name)
            close = Mark(own, rule, allowed / 2, max(spread, self._own_spread(name)))
            named = self.namer.listed(name, close, rework) if self.namer else None
            if named:
                code, at, text = named.slip.code, named.at, f"{text} {self._said(named, named.slip)}"
        return Line(
            name, verdict, shown(own), shown(rule), gap, code, text, mark, weight, at,
            allowed=round(allowed, 3),
        )  # fmt: skip

    def _off(self, asked, own, rule, found, fault, rework: Rework, allowed: float, spread: float) -> Line:
        name = asked.name
        named = None
        spread = max(spread, self._own_spread(name))
        if self.namer and fault not in ("corner", "wavy"):
            named = self.namer.name(name, Mark(own, rule, allowed, spread), rework, self.places)
        text = self._text(name, own, rule, found, fault, named, allowed)
        if named and named.at != name:  # a step nobody asked for: what follows from it is carried
            self.given[named.at] = named.value
        self._keep(name, own, rework)
        self.off.add(name)
        gap = round(found.distance, 3) if math.isfinite(found.distance) else None
        code, at = (named.slip.code, named.at) if named else (None, name)
        words = named.slip.words if named else {}
        about = tuple(words[w] for w in ("part", "other") if w in words)
        weight = self.rubric.weight(self.work.id, asked)
        return Line(
            name, "off", shown(own), shown(rule), gap, code, text, 0.0, weight, at, about, round(allowed, 3)
        )

    def _text(
        self, name: str, own: Value, rule: Any, found: deviation.Gap, fault: str, named: Named | None,
        allowed: float,
    ) -> str:  # fmt: skip
        rubric, angle = self.rubric, _is_angle(self.target.step(name))
        by = rubric.length(found.distance, angle)
        text = rubric.text(
            fault or "off", step=name, by=by, turn=f"{found.turn:.0f}°", where=_where(own, rule, rubric),
            allowed=rubric.length(allowed, angle), hand=self.hand.said,
        )  # fmt: skip
        if named is None:
            return text if fault else text + " " + rubric.text("look-again", step=name)
        said = self._said(named, named.slip)
        if named.also:
            said += " " + rubric.text("or", step=name) + " " + self._said(named, named.also)
        if named.at != name:
            said = rubric.text("earlier", step=named.at) + " " + said
        return f"{text} {said}"

    def _said(self, named: Named, slip: Try) -> str:
        """The remark on a slip; for what was typed and not read off a ruler in other words."""
        code, step = slip.code, self.target.step(named.at)
        typed = self.hand.exact or step.op in ("sum", "given")
        code = f"{code}-typed" if typed and f"{code}-typed" in self.rubric.slips else code
        return self.rubric.slip(code, step=named.at, **slip.words)

    def pieces(self) -> tuple[Piece, ...]:
        """The rule's pieces on the student's own seam lines, or on the rule's where those make no piece."""
        try:
            return self.work.finish(self.target.replay(points=self.given), self.of)
        except deviation.UNDRAWABLE:
            return self.work.finish(self.target, self.of)

    def _keep(self, name: str, own: Value, rework: Rework) -> None:
        """Let later steps start from the student's value; a curve runs through the student's points."""
        target = self.target[name]
        typed = 10 * abs(target) if isinstance(target, int | float) else 0.0
        if not deviation.gap(own, target).distance <= max(FARTHEST_REUSED, typed):
            return
        self.places = (*self.places, name)
        if isinstance(own, Curve):
            longest = LONGEST_REUSED * max(target.length, self.rules[name].length)
            if len(own.segments) > MOST_PIECES_REUSED or own.length > longest:
                return
            step = self.target.step(name)
            if step.op in ("curve", "line"):
                last = step.inputs[step.options.get("points", len(step.inputs)) - 1]
                own = through(own, rework[step.inputs[0]], rework[last])
        self.given[name] = own

    def _spread(self, name: str, rule: Any, own: Any) -> float:
        toward = own - rule if isinstance(own, Point) else None
        rests_on = reach(self.target, name, self.given)[0]
        printed = {n for n in self.work.ready if self.target.step(n).op == "given"}  # read off the sheet
        used = {n: self.given[n] for n in rests_on if n not in printed}
        return deviation.noise(
            lambda moved: Rework(self.target, {**self.given, **moved}).rule(name),
            used, rule, self.hand, self._own_spread(name), toward,
        )  # fmt: skip

    def _own_spread(self, name: str) -> float:
        """How far a hand that means it rightly puts this step's own mark off, cm or degrees."""
        step = self.target.step(name)
        if isinstance(step.value, int | float):
            return self.hand.angle if _is_angle(step) else self.hand.number
        return self.hand.point


def _where(own: Any, rule: Any, rubric: Rubric) -> str:
    said = deviation.direction(own, rule, rubric.length)
    return f" ({said})" if said else ""


def curve_fault(own: Value, rule: Any, found: deviation.Gap, allowed: float, hand: Hand) -> str:
    """What is wrong with a curve that lies where it should: 'direction', 'corner', 'wavy' or ''."""
    if not isinstance(own, Curve) or found.distance > allowed:
        return ""
    if found.distance < TYPED and found.turn < 1:  # the rule's own line, however it bends
        return ""
    s, r = own.segments[0], own.segments[-1]
    handle = max(min(abs(s[1] - s[0]), abs(r[3] - r[2])), 0.3)
    ends = max(min(e.distance(rule.start), e.distance(rule.end)) for e in (own.start, own.end))
    by_rule = ends < TYPED and len(own.segments) < MEASURED
    marked = 0.0 if by_rule else 6.3 * max(hand.point, BOARD.point)
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

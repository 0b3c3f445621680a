"""Steps laid on the paper of an exercise: what each gives, and a sentence for each that cannot be done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from ...draft import Draft, Step, compute
from ...errors import PatternError, ValueAtFault
from ...geometry import Curve, Point
from ...operations import Value
from ...tolerances import POINT
from ...units import write_length
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers
from ..tasks.record import StepTaken
from .adding import PieceWork
from .bending import bent
from .measure import MeasureError, Quantity, read_measure
from .steps import MEASURES, RUNNING_ON, SQUARE_TO, TAKEN, TOWARD, WAYS, inputs, sentence, written
from .tracing import TablePiece, asked_pieces
from .verbs import VERBS, Place

_WANTED = {"signed": "length", "bend": "length", "width": "length"}
_KINDS = {"point": Point, "line": Curve, "points": Point, "lines": Curve, "numbers": float, "edge": Curve}
_CALLED = {Point: "a point", Curve: "a line", float: "a number"}


@dataclass(frozen=True)
class Laid:
    """Steps as far as they could be done.

    given: what was on the paper before; steps: as they were taken; draft: the recording; faults: a sentence
    for each step that could not be done, by name; measured: what its measures came to, by name and field;
    pieces: as far as they were traced and finished, by name.
    """

    given: Mapping[str, Value]
    steps: tuple[StepTaken, ...]
    draft: Draft
    faults: Mapping[str, str]
    measured: Mapping[str, Mapping[str, Quantity]] = field(default_factory=dict)
    pieces: Mapping[str, TablePiece] = field(default_factory=dict)

    @cached_property
    def values(self) -> dict[str, Value]:
        """What was drawn and noted, by name; what was given is left out."""
        return {s.name: self.draft[s.name] for s in self.steps if s.name in self.draft}

    def said(self, step: StepTaken, unit: str) -> str:
        """A step as a sentence, lengths in 'cm' or 'in'."""
        measured = self.measured.get(step.name, {})
        text = sentence(step, measured, {f: write_quantity(q, unit) for f, q in measured.items()})
        value = self.values.get(step.name)
        if isinstance(value, float):
            text = f"{text[:-1]} = {write_quantity(Quantity(value, _kind_of(step.name)), unit)}."
        return text


def write_quantity(found: Quantity, unit: str) -> str:
    """A quantity as it is read out: lengths to the millimetre or the sixteenth of an inch."""
    if found.kind == "angle":
        return f"{found.value:.1f}".removesuffix(".0") + "°"
    if found.kind == "bare":
        return f"{found.value:.4g}"
    return write_length(found.value, unit, decimals=2 if unit == "cm" else None)


def _kind_of(name: str) -> str:
    return "angle" if "angle" in name else "length"


def numbers_of(work: Exercise, of: OwnNumbers) -> dict[str, Quantity]:
    """A student's own numbers, named as they are read: 'hip girth'."""
    return {
        name.replace("_", " "): Quantity(value, _kind_of(name)) for name, value in work.numbers(of).items()
    }


def lay(work: Exercise, of: OwnNumbers, steps: Sequence[StepTaken]) -> Laid:
    """Do the steps in order on what the exercise gives; one that cannot be done stops nothing else."""
    target = work.reference(of)
    given = {name: target[name] for name in work.given(target)}
    return lay_on(work.title, given, numbers_of(work, of), steps, pieces=asked_pieces(work.id))


def lay_on(
    title: str,
    given: Mapping[str, Value],
    numbers: Mapping[str, Quantity],
    steps: Sequence[StepTaken],
    *,
    pieces: Mapping[str, tuple[str, ...]] | None = None,
) -> Laid:
    """Do the steps on what is given; numbers: the own ones, as they are read; pieces: their edges' names."""
    laying = _Laying(given, numbers, pieces or {})
    for step in steps:
        laying.take(step)
    draft = Draft(title, (*(traced(name, value) for name, value in given.items()), *laying.done))
    return Laid(given, tuple(steps), draft, laying.faults, laying.measured, laying.work.pieces)


def handed_in(work: Exercise, of: OwnNumbers, laid: Laid, *, student: str) -> dict:
    """The hand-in record of what is on the table, without the steps."""
    record = work.record(of, laid.values, student=student, way="table")
    asked = asked_pieces(work.id)
    return record | {"finish": {name: p.record() for name, p in laid.pieces.items() if name in asked}}


def traced(name: str, value: Value) -> Step:
    """What is given, as a step of the recording."""
    return Step(name, "trace", (), None, "your paper", "", value, options={"value": value})


class _Laying:
    """Steps being done, one after the other."""

    def __init__(
        self,
        given: Mapping[str, Value],
        numbers: Mapping[str, Quantity],
        pieces: Mapping[str, tuple[str, ...]],
    ):
        self.work = PieceWork(pieces)
        self.values: dict[str, Value] = dict(given)
        self.numbers = dict(numbers)
        self.done: list[Step] = []
        self.seen: set[str] = set()
        self.faults: dict[str, str] = {}
        self.measured: dict[str, dict[str, Quantity]] = {}
        for name, value in given.items():
            self._count(name, value)

    def take(self, step: StepTaken) -> None:
        try:
            measures = self._ready(step)
            if not VERBS[step.verb].op:
                self._finish(step, measures)
                return
            made = self._made(step, measures)
            value = compute(made, made.measure, self.values)
            if isinstance(value, Point) and step.verb == "hole":
                self.work.drill(step, value)
            if isinstance(value, Curve) and not value.length > POINT:
                raise PatternError("A line needs two points that lie apart.")
        except MeasureError as fault:
            self.faults[step.name] = str(fault)
        except ValueAtFault as fault:
            self.faults[step.name] = f"{fault.got} {fault.rule}. {fault.advice}".strip()
        except PatternError as fault:
            text = str(fault).removeprefix(f"step '{step.name}': ")
            self.faults[step.name] = text[:1].upper() + text[1:]
        else:
            self.values[step.name] = value
            self._count(step.name, value)
            self.done.append(Step(**{**made.__dict__, "value": value}))

    def _finish(self, step: StepTaken, measures: Mapping[str, Quantity]) -> None:
        """Do a step that traces or finishes a piece; an edge is a line on the paper, too."""
        edge = self.work.take(step, self.values, measures)
        if edge is not None:
            self.values[step.name] = edge
            self.done.append(traced(step.name, edge))

    def _count(self, name: str, value: Value) -> None:
        if isinstance(value, float):
            self.numbers[name] = Quantity(value, _kind_of(name))

    def _ready(self, step: StepTaken) -> dict[str, Quantity]:
        """What the measures of a step come to, where it can be done with what is on the paper."""
        if step.verb not in VERBS:
            raise PatternError(f"'{step.verb}' is no verb of the table: choose another for this step.")
        if step.name in self.values or step.name in self.faults or step.name in self.seen:
            raise PatternError(f"'{step.name}' is on your paper already: give this step another name.")
        verb = VERBS[step.verb]
        for place in verb.places():
            self._look(step, place)
        measures = {
            place.field: self._measure(step, place)
            for place in verb.places()
            if place.kind in MEASURES and (written(step, place) or not place.optional)
        }
        self.measured[step.name] = measures
        self.seen.add(step.name)
        return measures

    def _made(self, step: StepTaken, measures: Mapping[str, Quantity]) -> Step:
        """The step of the recording that a step of the table stands for."""
        verb = VERBS[step.verb]
        measure = measures.get("measure")
        options = self._options(step, measures)
        source, measured_by = step.measure if measure and measure.composed else "", ""
        if measure and measure.names == (step.measure,):
            source, measured_by = ("", step.measure) if step.measure in self.values else (source, "")
        of = step.of[:1] if step.verb == "square from" else step.of
        number = measure.value if measure else None
        if step.verb == "note":
            source, measured_by = step.measure, ""
        return Step(step.name, verb.op, of, number, source, "", 0.0, options=options, measured_by=measured_by)

    def _look(self, step: StepTaken, place: Place) -> None:
        """Refuse what is not on the paper, or of another kind."""
        if place.kind not in TAKEN:
            return
        names = inputs(step, place)
        if not names and not place.optional:
            raise PatternError("A place of this sentence is still empty.")
        for name in names:
            if name in self.faults:
                raise PatternError(f"This hangs from '{name}', which cannot be drawn.")
            if name not in self.values:
                raise PatternError(f"'{name}' is not on the paper at this step.")
            if place.kind == "edge" and name not in self.work.edges:
                raise PatternError(f"'{name}' is not an edge of a piece: trace it with the wheel first.")
            wanted = _KINDS.get(place.kind, Point | Curve)
            if not isinstance(self.values[name], wanted):
                is_now = _CALLED[type(self.values[name])]
                belongs = (
                    "a point or a line" if place.kind in ("thing", "at") else _CALLED[_KINDS[place.kind]]
                )
                raise PatternError(f"'{name}' is {is_now}; here belongs {belongs}.")

    def _measure(self, step: StepTaken, place: Place) -> Quantity:
        wanted = _WANTED.get(place.kind, place.kind)
        text = written(step, place)
        if place.kind == "number" and "angle" in step.name:
            wanted = "angle"
        found = read_measure(text, self.numbers, wanted=wanted, unit=step.unit)
        if place.kind == "length" and step.verb != "walk" and not found.value > 0:
            raise MeasureError("A measure must be over 0: to go the other way, choose the other direction.")
        return found

    # -- directions

    def _options(self, step: StepTaken, measures: Mapping[str, Quantity]) -> dict:
        options: dict = {}
        match step.verb:
            case "go" | "hole":
                options["way"] = self._way(step)
            case "square" | "beside" | "swing":
                options["side"] = step.side or "left"
            case "square from":
                turn = 90.0 if step.side == "left" else -90.0
                start, line = (self.values[n] for n in step.of)
                options["way"] = self._running(line, start).angle + turn
            case "walk":
                options["from_end"] = step.end == "end"
            case "end" | "direction":
                options["at"] = step.end or "end"
            case "curve":
                options |= self._curve(step, measures.get("bend"))
        return options

    def _way(self, step: StepTaken) -> str | float:
        text = step.way.strip().casefold()
        if text in WAYS:
            return text
        if not text:
            raise PatternError("Say which way: up, down, left, right or an angle.")
        return read_measure(step.way.removeprefix("at "), self.numbers, wanted="angle").value

    def _curve(self, step: StepTaken, bend: Quantity | None) -> dict:
        points = [self.values[name] for name in step.of]
        if len(points) < 2:
            raise PatternError("A curve runs from one point to another: fill both places.")
        start = self._bearing(step.leaving, points[0], points[1] - points[0])
        end = self._bearing(step.arriving, points[-1], points[-1] - points[-2])
        options = {"points": len(points), "start": start, "end": end}
        if bend is not None:
            if len(points) > 2:
                raise PatternError("A half-way mark bends a curve from point to point: leave out the others.")
            options |= bent(*points, start, end, bend.value * (1 if step.side == "left" else -1))
        return options

    def _bearing(self, text: str, at: Point, onward: Point) -> str | float | None:
        """A curve's direction at a point; onward: the way it must go on, which tells left from right."""
        text = text.strip()
        if not text:
            return None
        if text.casefold() in WAYS:
            return text.casefold()
        if text.startswith(TOWARD):
            return (self._named(text.removeprefix(TOWARD), Point) - at).angle
        for word in (SQUARE_TO, RUNNING_ON):
            if text.startswith(word):
                way = self._running(self._named(text.removeprefix(word), Curve), at)
                way = way.left() if word == SQUARE_TO else way
                return way.angle if way.dot(onward) >= 0 else way.angle + 180.0
        return read_measure(text.removeprefix("at "), self.numbers, wanted="angle").value

    def _named(self, name: str, kind: type) -> Value:
        value = self.values.get(name)
        if not isinstance(value, kind):
            raise PatternError(f"'{name}' is not {_CALLED[kind]} on the paper at this step.")
        return value

    def _running(self, line: Curve, at: Point) -> Point:
        """The way a line runs where it is nearest to a point."""
        return line.direction(min(max(line.closest(at)[0], 0.0), line.length))

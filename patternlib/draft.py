"""A draft is a recording of named steps; everything else replays it.

`Drafting` writes the recording, `Draft` is the finished one. A step names its operation, the earlier
steps it starts from, its measure in cm (degrees for a turn), where the measure comes from, and why.

>>> d = Drafting("a square")
>>> a = d.start("A", (0, 0))
>>> b = d.go("B", "A", "down", 20.5, source="waist to hip", because="the hip line lies here")
>>> draft = d.finish()
>>> draft["B"]
Point(x=0.0, y=-20.5)
>>> print(draft.step("B").text())
From A go down 20.5 cm (waist to hip): mark B, because the hip line lies here.
>>> draft.replay(measures={"B": 18})["B"]
Point(x=0.0, y=-18.0)
"""

from __future__ import annotations

import re
from collections.abc import Iterator, KeysView, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from .errors import PatternError, ValueAtFault, look_up, unknown
from .geometry import Curve, Point
from .notebook import Pictured, Told, bullets, told
from .operations import OPERATIONS, WAYS, Operation, Value
from .steps import Step, half_way, listed
from .units import Length, read_length, read_number, shown

__all__ = ["Draft", "Drafting", "Step", "compute", "half_way", "listed"]


@dataclass(frozen=True)
class Draft(Pictured):
    """A finished recording. `draft[name]` is the point, curve or number a step made.

    `point`, `curve` and `number` give it only where it is one; `len(draft)` counts the steps, `draft.keys()`
    has their names. As the last line of a notebook's cell a draft shows its picture.
    """

    title: str
    steps: tuple[Step, ...]

    @cached_property
    def _by_name(self) -> dict[str, Step]:
        return {step.name: step for step in self.steps}

    def step(self, name: str) -> Step:
        """One step by its name. Raises UnknownName."""
        return look_up(f"step of {self.title}", name, self._by_name)

    def __getitem__(self, name: str) -> Any:
        return self.step(name).value

    def read(self, first: str, last: str = "", *, unit: str = "cm", otherwise: str = "") -> Told:
        """The sentences of the steps from `first` to `last` as a list, lengths in 'cm' or 'in'.

        Without `last` it is one step. otherwise: what is said where this draft has no such steps, such as a
        dart that a body does not need; left out, UnknownName is raised.

        >>> d = Drafting("a line")
        >>> ends = d.start("A", (0, 0)), d.start("B", (3, 4))
        >>> edge = d.line("edge", "A", "B")
        >>> d.finish().read("edge")
        · Rule edge from A to B.
        """
        if otherwise and not {first, last or first} <= self.keys():
            return told(otherwise)
        start, end = (self.steps.index(self.step(name)) for name in (first, last or first))
        return bullets(step.text(unit) for step in self.steps[start : end + 1])

    def point(self, name: str) -> Point:
        """The point that a step makes; ValueAtFault for a step that makes none.

        >>> d = Drafting("a line")
        >>> ends = d.start("A", (0, 0)), d.start("B", (3, 4))
        >>> edge = d.line("edge", "A", "B")
        >>> d.finish().point("B"), d.finish().curve("edge").length
        (Point(x=3.0, y=4.0), 5.0)
        """
        value = self[name]
        if not isinstance(value, Point):
            raise _other_kind(name, value, "point")
        return value

    def curve(self, name: str) -> Curve:
        """The line or curve that a step draws; ValueAtFault for a step that draws none."""
        value = self[name]
        if not isinstance(value, Curve):
            raise _other_kind(name, value, "curve")
        return value

    def number(self, name: str) -> float:
        """The length (cm) or angle (degrees) that a step gives; ValueAtFault for a step that gives none."""
        value = self[name]
        if not isinstance(value, int | float):
            raise _other_kind(name, value, "number")
        return value

    def keys(self) -> KeysView[str]:
        """The names of the steps, in order; with them `dict(draft)` holds what each step made."""
        return self._by_name.keys()

    def _ipython_key_completions_(self) -> list[str]:
        return list(self._by_name)

    def __contains__(self, name: object) -> bool:
        return name in self._by_name

    def __len__(self) -> int:
        return len(self.steps)

    def __bool__(self) -> bool:
        return True

    def __repr__(self) -> str:
        return f"<draft of {self.title}: {len(self.steps)} steps>"

    def __iter__(self) -> Iterator[Step]:
        return iter(self.steps)

    def points(self) -> dict[str, Point]:
        """All points by name."""
        return {s.name: s.value for s in self.steps if isinstance(s.value, Point)}

    def curves(self) -> dict[str, Curve]:
        """All lines and curves by name."""
        return {s.name: s.value for s in self.steps if isinstance(s.value, Curve)}

    def replay(
        self, measures: Mapping[str, Length] | None = None, points: Mapping[str, Any] | None = None
    ) -> Draft:
        """The same steps with other measures (cm or text with a unit, by step name) and given points put in.

        A point put in stands for the step's own result; all later steps start from it. A Curve or a
        number may be put in for a step that makes one. Unknown names raise UnknownName.
        """
        measures, points = dict(measures or {}), dict(points or {})
        for name in (*measures, *points):
            self.step(name)
        values: dict[str, Value] = {}
        steps = []
        for step in self.steps:
            measure: Any = values[step.measured_by] if step.measured_by else step.measure
            if step.name in measures:
                measure = _measured(step.name, measures[step.name], step.op)
            if step.name in points:
                value = _put_in(step, points[step.name])
            else:
                value = compute(step, measure, values)
            values[step.name] = value
            steps.append(replace(step, measure=measure, value=value))
        return Draft(self.title, tuple(steps))


NOT_LENGTHS = {"turn": "degrees", "angle": "degrees", "share": "a share of the way"}
"""What the measure of an operation is where it is not a length."""

_WRITTEN = re.compile(r"\s*[-+−–]?\s*[0-9.,½¼¾⅛⅜⅝⅞⅓⅔]")


def _measured(name: str, value: Any, op: str = "") -> float:
    """The measure of a step: a number, or text with a unit where the measure is a length."""
    if isinstance(value, str) and op not in NOT_LENGTHS:
        return read_length(value, name=name)
    return read_number(value, name=name, of=NOT_LENGTHS.get(op, "cm"))


def _place(name: str, at: Any) -> Point:
    """A point given as two numbers of cm."""
    if not isinstance(at, Sequence) or isinstance(at, str) or len(at) != 2:
        raise ValueAtFault(name, shown(at), "must be two numbers of cm", "For example (0, 12.5).")
    return Point(_measured(name, at[0]), _measured(name, at[1]))


def _kind(value: object) -> str:
    return "point" if isinstance(value, Point) else "curve" if isinstance(value, Curve) else "number"


def _other_kind(name: str, value: object, wanted: str) -> ValueAtFault:
    got = _kind(value)
    return ValueAtFault(name, f"a {got}", f"is not a {wanted}", f"Ask for it with .{got}({name!r}).")


def _put_in(step: Step, given: Any) -> Value:
    if isinstance(step.value, Point):
        return _place(step.name, given)
    if isinstance(step.value, Curve):
        if not isinstance(given, Curve):
            raise ValueAtFault(step.name, shown(given), "must be a curve", "Put in a Curve here.")
        return given
    return _measured(step.name, given)


def compute(step: Step, measure: float | None, values: Mapping[str, Value]) -> Value:
    """What a step gives with a measure (cm or degrees) on the values of earlier steps, by name."""
    args = [values[i] for i in step.inputs[: step.options.get("points", len(step.inputs))]]
    try:
        return _operation(step.op).compute(args, measure, step.options, values.__getitem__)
    except PatternError as error:
        raise type(error)(*_named(error, step.name)) from None
    except (TypeError, AttributeError, LookupError, ValueError) as error:
        given = ", ".join(f"{i} (a {_kind(values[i])})" for i in step.inputs) or "no step"
        raise PatternError(
            f"step '{step.name}': '{step.op}' cannot be done with {given}. Name steps of the kind it needs."
        ) from error


def _operation(op: str) -> Operation:
    return look_up("operation", op, OPERATIONS)


def _named(error: PatternError, name: str) -> tuple:
    if isinstance(error, ValueAtFault):
        return error.name, error.got, error.rule, error.advice
    return (f"step '{name}': {error}",)


class Drafting:
    """Writes a draft, one step with each call; every call gives the value it made.

    measure: a number (cm), text with a unit such as "7.5 cm", or the name of an earlier step whose number is
    taken; draft: a finished one to go on from.

    >>> d = Drafting("a line")
    >>> start = d.start("A")
    >>> d.go("B", "A", "right", "3 in")
    Point(x=7.62, y=0.0)
    """

    def __init__(self, title: str, draft: Draft | None = None) -> None:
        self.title = title
        self._steps: list[Step] = list(draft.steps) if draft else []
        self._values: dict[str, Value] = {step.name: step.value for step in self._steps}

    def __getitem__(self, name: str) -> Any:
        return look_up(f"step of {self.title}", name, self._values)

    def __contains__(self, name: object) -> bool:
        return name in self._values

    def finish(self) -> Draft:
        """The draft as written so far."""
        return Draft(self.title, tuple(self._steps))

    def add(
        self,
        name: str,
        op: str,
        inputs: Sequence[str] = (),
        measure: Length | None = None,
        *,
        source: str = "",
        because: str = "",
        style: str = "construct",
        **options: Any,
    ) -> Any:
        """Record one step of any operation (see operations.OPERATIONS)."""
        if not isinstance(name, str) or not name:
            raise ValueAtFault("name", shown(name), "must be a word or two", 'For example "side hip".')
        _operation(op)
        if name in self._values:
            raise ValueAtFault(name, "a second step of this name", "cannot be added", "Give it another name.")
        for i in inputs:
            self[i]  # an unknown name is refused; near names are offered
        measured_by, number = "", measure
        if isinstance(measure, str) and (measure in self._values or not _WRITTEN.match(measure)):
            measured_by, number = measure, self[measure]
        if number is not None:
            number = _measured(name, number, op)
        step = Step(name, op, tuple(inputs), number, source, because, 0.0, style, options, measured_by)
        value = compute(step, number, self._values)
        self._values[name] = value
        self._steps.append(replace(step, value=value))
        return value

    def start(self, name: str, at: Sequence[Length] = (0.0, 0.0), **more: Any) -> Point:
        """Mark a point to start from; at: x and y."""
        return self.add(name, "start", at=tuple(_place(name, at)), **more)

    def trace(self, name: str, value: Value, of: str, *, style: str = "block", **more: Any) -> Any:
        """Take a point or line over from another draft; `of` says which."""
        return self.add(name, "trace", source=of, value=value, style=style, **more)

    def go(self, name: str, start: str, way: str | float, measure: Length, **more: Any) -> Point:
        """From a point straight 'up', 'down', 'left', 'right' or at an angle (degrees, or a step's name)."""
        if isinstance(way, str) and way not in WAYS and way not in self._values:
            raise unknown("direction or step", way, [*WAYS, *self._values])
        if not isinstance(way, str):
            way = _measured(name, way, "angle")
        inputs = (start, way) if isinstance(way, str) and way not in WAYS else (start,)
        return self.add(name, "go", inputs, measure, way=way, **more)

    def along(self, name: str, start: str, toward: str, measure: Length, **more: Any) -> Point:
        """From a point straight toward another one."""
        return self.add(name, "along", (start, toward), measure, **more)

    def on(self, name: str, curve: str, measure: Length, *, from_end: bool = False, **more: Any) -> Point:
        """A point on a curve, walked from its start or its end."""
        return self.add(name, "on", (curve,), measure, from_end=from_end, **more)

    def line(self, name: str, start: str, end: str, **more: Any) -> Curve:
        """A straight line between two points."""
        return self.add(name, "line", (start, end), **more)

    def curve(
        self,
        name: str,
        points: Sequence[str],
        *,
        start: str | float | None = None,
        end: str | float | None = None,
        **more: Any,
    ) -> Curve:
        """A fair curve through points; start, end: direction words, degrees, or steps that give angles."""
        if not isinstance(points, list | tuple) or len(points) < 2:
            advice = 'For example ["front neck point", "shoulder tip"].'
            raise ValueAtFault(name, shown(points), "must be a list of two or more points", advice)
        extra = [w for w in (start, end) if isinstance(w, str) and w not in WAYS]
        return self.add(name, "curve", (*points, *extra), points=len(points), start=start, end=end, **more)

    def given(self, name: str, measure: Length, **more: Any) -> float:
        """A length to work with, such as an ease."""
        return self.add(name, "given", (), measure, **more)

    def length(self, name: str, curve: str, **more: Any) -> float:
        """The length of a curve."""
        return self.add(name, "length", (curve,), **more)

    def sum(self, name: str, terms: Mapping[str, float], constant: Length = 0.0, **more: Any) -> float:
        """constant + factor x number for each named number."""
        if not isinstance(terms, Mapping):
            advice = 'For example {"hip": 0.25}.'
            raise ValueAtFault(name, shown(terms), "must be a table of steps and factors", advice)
        return self.add(name, "sum", tuple(terms), constant, factors=tuple(terms.values()), **more)

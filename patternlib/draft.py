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

import math
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from .errors import PatternError, ValueAtFault, unknown
from .geometry import Curve, Point
from .operations import OPERATIONS, WAYS, Value


@dataclass(frozen=True)
class Step:
    """One step of a draft.

    name: what it makes; op: the operation; inputs: the earlier steps it reads; measure: cm (degrees for
    'turn' and 'angle', a fraction for 'share'), None where the step has none; source: where the measure
    comes from; reason: why; value: the Point, Curve or number it gave; style: how it is drawn (aside: not);
    measured_by: the earlier step that gives the measure, '' where the measure is a plain number.
    """

    name: str
    op: str
    inputs: tuple[str, ...]
    measure: float | None
    source: str
    reason: str
    value: Value
    style: str = "construct"
    options: Mapping[str, Any] = field(default_factory=dict)
    measured_by: str = ""

    def text(self, unit: str = "cm") -> str:
        """The step as one sentence of plain trade English, lengths in 'cm' or 'in'."""
        from .units import write_length

        o = self.options
        upward = self.op == "dart point" and (self.measure or 0) < 0
        measure = (
            "" if self.measure is None else write_length(abs(self.measure) if upward else self.measure, unit)
        )
        if self.source:
            measure += f" ({self.source})"
        elif self.measured_by:
            measure += f" ({self.measured_by})"
        way = o.get("way", "")
        said = OPERATIONS[self.op].said.format(
            *self.inputs,
            name=self.name,
            measure=measure,
            way=way if isinstance(way, str) and way in WAYS else f"at {_degrees(way)}",
            side="above" if upward else "below" if self.op == "dart point" else o.get("side", ""),
            square="square to " if self.op == "angle" and abs(self.measure or 0) == 90 else "of ",
            of=self.source or "the block",
            at=o.get("at", ""),
            end_word="end" if o.get("from_end") else "start",
            share="" if self.measure is None else f"{self.measure:.3g}",
            angle="" if self.measure is None else f"{abs(self.measure):.1f}°",
            last=self.inputs[o.get("points", 2) - 1] if self.op == "curve" else "",
            through=_through(self) if self.op == "curve" else "",
            directions=_directions(self) if self.op == "curve" else "",
            all=", ".join(self.inputs),
            reckoned=f"{self.source} = {_number(self, unit)}" if self.op == "sum" else "",
        )
        if self.op in ("length", "distance") and isinstance(self.value, float):
            said += f" = {write_length(self.value, unit)}"
        return said + (f", because {self.reason}" if self.reason else "") + "."


def listed(sentences: Iterable[str], *, width: int = 72) -> str:
    """Write sentences as a list, a mark before each; lines are broken between words after `width` letters.

    >>> print(listed(["From A go down 20.5 cm.", "Rule A B."], width=20))
    · From A go down
      20.5 cm.
    · Rule A B.
    """
    marks = {"initial_indent": "· ", "subsequent_indent": "  "}
    return "\n".join(
        textwrap.fill(said, width, break_long_words=False, break_on_hyphens=False, **marks)
        for said in sentences
    )


def half_way(step: Step, unit: str = "cm") -> str:
    """How the curve of a step lies to the straight line between its ends, lengths in 'cm' or 'in'.

    With both ends and the directions there this settles a fair curve on paper: from the middle of the ruled
    line one goes square out to it, and the tape tells its length. A step without a curve: ValueAtFault.

    >>> d = Drafting("a quarter of a circle")
    >>> ends = d.start("A", (10, 0)), d.start("B", (0, 10))
    >>> arc = d.curve("arc", ["A", "B"], start="up", end="left")
    >>> half_way(d.finish().step("arc"))
    'arc: 14.1 cm from end to end; half-way 2.9 cm off this line, above and to the right; 15.7 cm walked'
    """
    from .units import write_length

    curve = step.value
    if not isinstance(curve, Curve):
        raise ValueAtFault("step", step.name, "makes no curve", "Name a step that draws one.")
    middle, across = curve.start.middle(curve.end), (curve.end - curve.start).unit().left()
    off = min(
        (curve.at(s) - middle for s in curve.meets_line(middle, middle + across)), key=lambda p: p.length
    )
    parts = ((off.y, ("above", "below")), (off.x, ("to the right", "to the left")))
    ways = [words[part < 0] for part, words in parts if abs(part) > 0.38 * off.length]
    lies = "on this line"
    if off.length >= 0.05:
        lies = f"{write_length(off.length, unit)} off this line, {' and '.join(ways)}"
    chord, walked = (write_length(v, unit) for v in (curve.start.distance(curve.end), curve.length))
    return f"{step.name}: {chord} from end to end; half-way {lies}; {walked} walked"


def _degrees(way) -> str:
    return f"{way:.0f}°" if isinstance(way, int | float) else f"the angle of {way.removesuffix(', angle')}"


def _number(step: Step, unit: str) -> str:
    """The result of a reckoning: degrees where the step gives an angle, else a length."""
    from .units import write_length

    return f"{step.value:.1f}°" if step.name.endswith("angle") else write_length(step.value, unit)


def _through(step: Step) -> str:
    between = step.inputs[1 : step.options["points"] - 1]
    return f" through {', '.join(between)}" if between else ""


def _directions(step: Step) -> str:
    said = []
    for key, verb in (("start", "leaving"), ("end", "arriving")):
        way = step.options.get(key)
        if way is not None:
            said.append(f"{verb} {way if way in WAYS else 'at ' + _degrees(way)}")
    return ", " + " and ".join(said) if said else ""


@dataclass(frozen=True)
class Draft:
    """A finished recording. `draft[name]` is the point, curve or number a step made."""

    title: str
    steps: tuple[Step, ...]

    @cached_property
    def _by_name(self) -> dict[str, Step]:
        return {step.name: step for step in self.steps}

    def step(self, name: str) -> Step:
        if name not in self._by_name:
            raise unknown(f"step of {self.title}", name, self._by_name)
        return self._by_name[name]

    def __getitem__(self, name: str) -> Value:
        return self.step(name).value

    def __contains__(self, name: str) -> bool:
        return name in self._by_name

    def __iter__(self) -> Iterator[Step]:
        return iter(self.steps)

    def points(self) -> dict[str, Point]:
        return {s.name: s.value for s in self.steps if isinstance(s.value, Point)}

    def curves(self) -> dict[str, Curve]:
        return {s.name: s.value for s in self.steps if isinstance(s.value, Curve)}

    def replay(
        self, measures: Mapping[str, float] | None = None, points: Mapping[str, Any] | None = None
    ) -> Draft:
        """The same steps with other measures (cm, by step name) and with given points put in.

        A point put in stands for the step's own result; all later steps start from it. A Curve or a
        number may be put in for a step that makes one. Unknown names raise UnknownName.
        """
        measures, points = dict(measures or {}), dict(points or {})
        for name in (*measures, *points):
            self.step(name)
        values: dict[str, Value] = {}
        steps = []
        for step in self.steps:
            measure = values[step.measured_by] if step.measured_by else step.measure
            if step.name in measures:
                measure = _finite(step.name, measures[step.name])
            if step.name in points:
                value = _put_in(step, points[step.name])
            else:
                value = compute(step, measure, values)
            values[step.name] = value
            steps.append(replace(step, measure=measure, value=value))
        return Draft(self.title, tuple(steps))


def _finite(name: str, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueAtFault(name, value, "must be a number of cm", "Give a plain number, such as 12.5.")
    return float(value)


def _put_in(step: Step, given: Any) -> Value:
    if isinstance(step.value, Point):
        return Point(*(_finite(step.name, c) for c in given))
    if isinstance(step.value, Curve):
        if not isinstance(given, Curve):
            raise ValueAtFault(step.name, type(given).__name__, "must be a curve", "Put in a Curve here.")
        return given
    return _finite(step.name, given)


def compute(step: Step, measure: float | None, values: Mapping[str, Value]) -> Value:
    """What a step gives with a measure (cm or degrees) on the values of earlier steps, by name."""
    args = [values[i] for i in step.inputs[: step.options.get("points", len(step.inputs))]]
    try:
        return OPERATIONS[step.op].compute(args, measure, step.options, values.__getitem__)
    except PatternError as error:
        raise type(error)(*_named(error, step.name)) from None


def _named(error: PatternError, name: str) -> tuple:
    if isinstance(error, ValueAtFault):
        return error.name, error.got, error.rule, error.advice
    return (f"step '{name}': {error}",)


class Drafting:
    """Writes a draft, a step a call; every call gives the value it made.

    measure: a number (cm), or the name of an earlier step whose number is taken; draft: a finished one to
    go on from.
    """

    def __init__(self, title: str, draft: Draft | None = None):
        self.title = title
        self._steps: list[Step] = list(draft.steps) if draft else []
        self._values: dict[str, Value] = {step.name: step.value for step in self._steps}

    def __getitem__(self, name: str) -> Value:
        if name not in self._values:
            raise unknown(f"step of {self.title}", name, self._values)
        return self._values[name]

    def finish(self) -> Draft:
        return Draft(self.title, tuple(self._steps))

    def add(
        self,
        name: str,
        op: str,
        inputs: Sequence[str] = (),
        measure: float | str | None = None,
        *,
        source: str = "",
        because: str = "",
        style: str = "construct",
        **options: Any,
    ) -> Value:
        """Record one step of any operation (see operations.OPERATIONS)."""
        if name in self._values:
            raise ValueAtFault(name, "a second step of this name", "cannot be added", "Name it apart.")
        for i in inputs:
            self[i]  # unknown names are refused with near ones
        measured_by = measure if isinstance(measure, str) else ""
        number = self[measure] if isinstance(measure, str) else measure
        if number is not None:
            number = _finite(name, number)
        step = Step(name, op, tuple(inputs), number, source, because, 0.0, style, options, measured_by)
        value = compute(step, number, self._values)
        self._values[name] = value
        self._steps.append(replace(step, value=value))
        return value

    def start(self, name: str, at=(0.0, 0.0), **more) -> Point:
        return self.add(name, "start", at=(float(at[0]), float(at[1])), **more)

    def trace(self, name: str, value: Value, of: str, *, style: str = "block", **more) -> Value:
        """Take a point or line over from another draft; `of` says which."""
        return self.add(name, "trace", source=of, value=value, style=style, **more)

    def go(self, name: str, start: str, way: str | float, measure: float | str, **more) -> Point:
        """From a point straight 'up', 'down', 'left', 'right' or at an angle (degrees, or a step's name)."""
        inputs = (start, way) if isinstance(way, str) and way not in WAYS else (start,)
        return self.add(name, "go", inputs, measure, way=way, **more)

    def along(self, name: str, start: str, toward: str, measure: float | str, **more) -> Point:
        return self.add(name, "along", (start, toward), measure, **more)

    def on(self, name: str, curve: str, measure: float | str, *, from_end: bool = False, **more) -> Point:
        return self.add(name, "on", (curve,), measure, from_end=from_end, **more)

    def line(self, name: str, start: str, end: str, **more) -> Curve:
        return self.add(name, "line", (start, end), **more)

    def curve(
        self,
        name: str,
        points: Sequence[str],
        *,
        start: str | float | None = None,
        end: str | float | None = None,
        **more,
    ) -> Curve:
        """A fair curve through points; start, end: direction words, degrees, or steps that give angles."""
        extra = [w for w in (start, end) if isinstance(w, str) and w not in WAYS]
        return self.add(name, "curve", (*points, *extra), points=len(points), start=start, end=end, **more)

    def given(self, name: str, measure: float, **more) -> float:
        return self.add(name, "given", (), measure, **more)

    def length(self, name: str, curve: str, **more) -> float:
        return self.add(name, "length", (curve,), **more)

    def sum(self, name: str, terms: Mapping[str, float], constant: float = 0.0, **more) -> float:
        """constant + factor x number for each named number; options least, most bound it."""
        return self.add(name, "sum", tuple(terms), constant, factors=tuple(terms.values()), **more)

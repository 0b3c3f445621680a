"""The sheet: calls for code cells, to be read aloud by people who do not program.

>>> sheet = begin("02a", student="lena")
>>> sheet.mark("centre back hip", 24, below="waist at centre back")
>>> sheet.mark("side hip", sheet.measure("hip girth") / 4 + 1.4, right_of="centre back hip")
>>> sheet.mark("side hem", level_with="centre back hem", straight_below="side hip")
'centre back hem' is not on the paper yet. Mark it first, or check its spelling: on the paper are \
'waist at centre back', 'centre back hip', 'side hip'.
>>> sheet.mark("centre back hem", 62, below="waist at centre back")
>>> sheet.mark("side hem", level_with="centre back hem", straight_below="side hip")
>>> sheet["side hem"]
Point(x=27.025, y=-62.0)

A mistake is answered by a sentence, never by a traceback, and the sheet stays as it was. Marking a point
again moves it, and all that was drawn from it follows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from ...draft import Draft, Step, compute, listed
from ...errors import PatternError, ValueAtFault, unknown
from ...geometry import Curve, Point
from ...operations import WAYS, Value
from ...units import read_length
from ..tasks.catalogue import exercise
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import NO_NAME, OwnNumbers, is_nobody
from .sheet_calls import Finishing, spoken

SIDES = {"below": "down", "above": "up", "right_of": "right", "left_of": "left"}
_MARKS = (
    "below, above, right_of, left_of; from_ and toward, or from_ and at_angle; along; halfway; level_with "
    "and straight_below; on and straight_below; where; square_at, away_from and to_the; square_onto and from_"
)


class Sheet(Finishing):
    """A student's paper for one exercise: what is given is drawn already. Make one with `begin`."""

    def __init__(self, work: Exercise, of: OwnNumbers, student: str, unit: str = "cm"):
        self.work, self.of, self.student, self.unit = work, of, student, unit
        self.said: list[str] = []
        self.finish: dict[str, dict] = {}
        target = work.reference(of)
        self._steps: dict[str, Step] = {name: _placed(name, target[name]) for name in work.given(target)}
        self._ready = frozenset(self._steps)
        self._values: dict[str, Value] = {name: target[name] for name in self._steps}

    def __getitem__(self, name: str) -> Any:
        """A point, curve or number on the sheet."""
        if name not in self._values:
            drawn = ", ".join(f"'{n}'" for n in list(self._values)[:12])
            raise PatternError(
                f"'{name}' is not on the paper yet. Mark it first, or check its spelling: on the paper "
                f"are {drawn}."
            )
        return self._values[name]

    def __contains__(self, name: str) -> bool:
        return name in self._values

    @property
    def draft(self) -> Draft:
        """What is on the sheet, as a recording."""
        return Draft(self.work.title, tuple(self._steps.values()))

    # -- what is known

    def instructions(self) -> str:
        """The steps of the exercise as a list to print, lengths in the sheet's unit.

        >>> print(begin("02a", student="lena", unit="in").instructions().splitlines()[-2])
        · From waist at centre back go down 3/8 in: mark centre back waist,
        """
        return listed([*self._unnamed(), *self.work.sheet(self.of, self.unit)])

    def questions(self) -> str:
        """What is given and the names of what is asked, as a list to print: for a free exercise.

        >>> print(begin("08b", student="lena").questions())
        · Asked: strap width; base width; straight side, length; curved side,
          length; cut width; worn length; cut length.
        """
        given = [line for line in self.work.sheet(self.of, self.unit) if line.startswith("Given")]
        return listed(
            [*self._unnamed(), *given, "Asked: " + "; ".join(asked.name for asked in self.work.asked) + "."]
        )

    def _unnamed(self) -> list[str]:
        return [NO_NAME] if is_nobody(self.student) else []

    @spoken
    def measure(self, name: str) -> float | None:
        """sheet.measure("hip girth")

        A measure of your body or a value of your style, cm. Names may be written with spaces."""
        numbers = self.work.numbers(self.of)
        key = name.replace(" ", "_")
        if key not in numbers:
            raise unknown("measure", name, [n.replace("_", " ") for n in numbers])
        return numbers[key]

    @spoken
    def distance(self, start: str, end: str) -> float | None:
        """sheet.distance("A", "B")

        The straight distance between two points on your sheet, cm."""
        return self._one(start, Point).distance(self._one(end, Point))

    @spoken
    def length(self, name: str) -> float | None:
        """sheet.length("side")

        The length of a line on your sheet, walked with the tape on its edge, cm."""
        return self._one(name, Curve).length

    # -- marking points

    @spoken
    def mark(
        self, name: str, measure: float | str | None = None, *, below="", above="", right_of="", left_of="",
        from_="", toward="", at_angle: float | str | None = None, along="", from_its="start",
        halfway: Sequence[str] = (), share: float = 0.5, level_with="", on="", straight_below="",
        straight_above="", where: Sequence[str] = (), square_at="", away_from="", to_the="",
        square_onto: Sequence[str] = (),
    ) -> None:  # fmt: skip
        """sheet.mark("side hip", 27, right_of="centre back hip")

        Mark a point. measure: cm, or text with its unit such as "10 5/8 in". Ways to say where:
        below=, above=, right_of=, left_of= a point; from_= a point, toward= another or at_angle= degrees
        (from the right, anticlockwise); along= a line, from_its= "start" or "end"; halfway=("A", "B"), or
        share=1/3 of the way; level_with="A", straight_below="B" (or straight_above); on= a line,
        straight_below= or straight_above= a point; where=("one line", "another") cross, or where=("A", "B",
        "C", "D") for the lines A to B and C to D run on; square_at="A", away_from="B", to_the= "left" or
        "right"; square_onto=("A", "B"), from_="C".
        """
        cm = None if measure is None else read_length(measure, self.unit, name=name)
        upright = straight_below or straight_above
        beside = [(w, p) for w, p in zip(SIDES, (below, above, right_of, left_of), strict=True) if p]
        if len(beside) == 1:
            self._do(name, "go", (beside[0][1],), self._needed(name, cm), way=SIDES[beside[0][0]])
        elif square_onto and from_:
            self._do(name, "foot", (*square_onto, from_))
        elif from_ and toward:
            self._do(name, "along", (from_, toward), self._needed(name, cm))
        elif from_ and at_angle is not None:
            self._do(name, "go", (from_,), self._needed(name, cm), way=_way(at_angle))
        elif along:
            if from_its not in ("start", "end"):
                raise ValueAtFault(
                    "from_its", from_its, "must be 'start' or 'end'", "A line runs the way it was drawn."
                )
            self._do(name, "on", (along,), self._needed(name, cm), from_end=from_its == "end")
        elif halfway:
            self._do(name, "share", tuple(halfway), float(share))
        elif level_with and upright:
            self._do(name, "level", (level_with, upright))
        elif on and upright:
            self._do(name, "upright crossing", (on, upright))
        elif len(where) in (2, 4):
            self._do(name, "crossing" if len(where) == 2 else "meeting", tuple(where))
        elif square_at and away_from and to_the in ("left", "right"):
            self._do(name, "square", (square_at, away_from), self._needed(name, cm), side=to_the)
        else:
            raise ValueAtFault(
                name, "the place", "cannot be read from this", f"Say where with one of: {_MARKS}."
            )

    @spoken
    def place(self, name: str, across: float | str, up: float | str) -> None:
        """sheet.place("side hip", 27, -24)

        Mark a point by its distance across from the centre line of the sheet and up from the waist level, cm;
        left and down are below 0."""
        where = (read_length(c, self.unit, name=name) for c in (across, up))
        self._put(_placed(name, Point(*where)))

    @spoken
    def turn(self, name: str, what: str, *, about: str, by: float) -> None:
        """sheet.turn("side waist, closed", "side waist", about="dart point", by=-12.5)

        Pin the paper at a point and turn a point or line by degrees, anticlockwise above 0."""
        self._do(name, "turn", (what, about), float(by))

    @spoken
    def fold_over(self, name: str, what: str, *, along: Sequence[str]) -> None:
        """sheet.fold_over("waist folded over", "waist", along=("dart point", "leg"))

        Fold the paper along the line through two points and trace a point or line through."""
        self._do(name, "mirror", (what, *along))

    @spoken
    def lay(self, name: str, what: str, *, corner: str, toward: str, on: str, along: str) -> None:
        """sheet.lay("bib corner, joined", "bib corner", corner="A", toward="B", on="C", along="D")

        Lay the paper with one of its points on another and its line on a line; trace a point or line."""
        self._do(name, "lay", (what, corner, toward, on, along))

    # -- drawing lines, noting numbers

    @spoken
    def rule(self, name: str, start: str, end: str) -> None:
        """sheet.rule("hip line", "centre back hip", "centre front hip")

        Rule a straight line."""
        self._do(name, "line", (start, end))

    @spoken
    def draw(
        self, name: str, *points: str, leaving: float | str | None = None, arriving: float | str | None = None
    ) -> None:
        """sheet.draw("front waist", "waist at centre front", "front side waist", leaving="left")

        Draw a fair curve through points. leaving, arriving: "up", "down", "left", "right" or degrees."""
        for p in points:
            if not isinstance(self[p], Point):
                raise ValueAtFault(name, p, "is not a point", "A curve is drawn through points.")
        self._do(name, "curve", points, points=len(points), start=_way(leaving), end=_way(arriving))

    @spoken
    def part(self, name: str, of: str, start: str, end: str) -> None:
        """sheet.part("side seam", "side", "side hem", "opening end")

        Take the part of a line between two points on it."""
        self._do(name, "part", (of, start, end))

    @spoken
    def beside(self, name: str, line: str, measure: float | str, *, to_the: str) -> None:
        """sheet.beside("button line", "opening edge", 1.5, to_the="right")

        Draw a line at an even distance from another, to the left or right of the way it runs."""
        if to_the not in ("left", "right"):
            raise ValueAtFault("to_the", to_the, "must be 'left' or 'right'")
        self._do(name, "parallel", (line,), read_length(measure, self.unit, name=name), side=to_the)

    @spoken
    def note(self, name: str, number: float | str) -> None:
        """sheet.note("side shaping", 2.5)

        Note a number you calculated or measured: cm, or degrees for an angle."""
        value = read_length(number, self.unit, name=name) if "angle" not in name else float(number)
        self._put(Step(name, "given", (), value, "", "", value))

    # -- handing in

    def record(self) -> dict:
        """What is on the sheet, as it is handed in."""
        found = self.work.record(self.of, self._values_drawn(), student=self.student)
        empty = {"allowances": {}, "notches": [], "grain": None, "label": [], "corners": {}, "cut_line": []}
        return found | {"finish": {piece: empty | given for piece, given in self.finish.items()}}

    # -- inside

    def _values_drawn(self) -> dict[str, Value]:
        return {name: value for name, value in self._values.items() if name not in self._ready}

    def _one(self, name: str, kind: type) -> Any:
        """What has this name on the sheet, a Point or a Curve."""
        value = self[name]
        if not isinstance(value, kind):
            wanted = "point" if kind is Point else "line"
            raise ValueAtFault(
                name, f"is not a {wanted}", "and cannot be measured like one", f"Name a {wanted}."
            )
        return value

    def _needed(self, name: str, cm: float | None) -> float:
        if cm is None:
            raise ValueAtFault(
                name, "no measure", "was given", 'Write the cm after the name: mark("A", 20, below="B").'
            )
        return cm

    def _do(
        self, name: str, op: str, inputs: tuple[str, ...], measure: float | None = None, **options: Any
    ) -> None:
        for i in inputs:
            self[i]
        step = Step(name, op, inputs, measure, "", "", 0.0, options=options)
        try:
            compute(step, measure, self._values)
        except (AttributeError, TypeError):
            raise ValueAtFault(
                name,
                " and ".join(inputs),
                "cannot be used like this",
                "Look whether a point or a line is meant.",
            ) from None
        self._put(step)

    def _put(self, step: Step) -> None:
        """Add a step or put it in place of an earlier one; what rests on it is drawn again."""
        if step.name in self._ready:
            raise ValueAtFault(
                step.name, "this name", "is on your paper already", "Give the new point another name."
            )
        if not isinstance(step.name, str) or not 1 <= len(step.name) <= 80:
            raise ValueAtFault("name", str(step.name)[:80], "must be a text of 1 to 80 characters")
        steps = {**self._steps, step.name: step}
        values: dict[str, Value] = {}
        for name, each in steps.items():
            values[name] = compute(each, each.measure, values)
        self._steps = steps
        self._values = values


def _placed(name: str, value: Value) -> Step:
    return Step(name, "trace", (), None, "your sheet", "", value, options={"value": value})


def _way(way: float | str | None) -> float | str | None:
    if way is None or way in WAYS:
        return way
    if isinstance(way, bool) or not isinstance(way, int | float) or not math.isfinite(way):
        raise ValueAtFault("direction", str(way), "must be up, down, left, right or degrees")
    return float(way)


def begin(id: str, *, student: str, key: str = "", unit: str = "cm") -> Sheet:
    """A new sheet for an exercise, with the student's own measures; unit: of bare numbers, 'cm' or 'in'.

    Raises UnknownName for an exercise that does not exist.
    """
    work = exercise(id)
    return Sheet(work, work.own_numbers(student, key), student, unit)

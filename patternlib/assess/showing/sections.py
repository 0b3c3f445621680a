"""A part of a draft to be shown: what is on the paper before it, its steps, their dimension lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from ...draft import Draft, Step
from ...geometry import Curve, Point
from ...output.items import Box
from ...units import write_length
from ..table.steps import packed
from ..tasks.exercise import Asked, Exercise

DIMENSIONED = ("go", "along", "square", "swing", "swing down", "shift")
"""Operations whose measure runs straight from their first point to the new one."""
BEFORE = ("start", "trace", "given")
"""What is on the paper, or in the head, before a hand draws."""
TOLD = ("closing angle",)
"""What no hand measures: the number is told, though its step is shown."""
ASIDE = 1.0
"""cm: dimension lines of one direction this close lie beside each other, not on each other."""
NEAR, MARGIN, WIDE = 0.75, 0.15, 1.6
"""Work lower than this share of the paper is seen from near: margin, and how much wider than high."""
PARALLEL = 0.02
"""The sine of the angle up to which they count as one direction."""


@dataclass(frozen=True)
class Dimension:
    """The dimension line of a step. lane: how many places it stands aside, to the left of the way it runs."""

    start: Point
    end: Point
    lane: int

    def said(self, unit: str) -> str:
        return write_length(self.start.distance(self.end), unit)


@dataclass(frozen=True)
class Section:
    """Steps of a draft, in order, with what is on the paper before them.

    place: a short name that no other section of the folder has, such as '02 frame'; window: (x0, y0, x1, y1)
    in cm, the part of the paper that is looked at.
    """

    place: str
    title: str
    draft: Draft
    steps: tuple[Step, ...]
    window: Box | None = None

    @cached_property
    def given(self) -> dict[str, Any]:
        """What is there before: all that is drawn earlier or hung from, and numbers that are told."""
        new = {step.name for step in self.steps}
        first, last = (self.draft.steps.index(self.steps[k]) for k in (0, -1))
        before = {s.name for s in self.draft.steps[:first]}
        before |= {s.name for s in self.draft.steps[:last] if s.op in BEFORE}
        for step in reversed(self.draft.steps[:last]):
            if step.name in new or step.name in before:
                continue
            if any(step.name in s.inputs for s in self.draft.steps if s.name in new or s.name in before):
                before.add(step.name)
        told = {step.name for step in self.steps if step.op in TOLD}
        before |= {s.name for s in self.draft.steps if s.op == "line" and before.issuperset(s.inputs)}
        there = (before - new) | told
        return {s.name: s.value for s in self.draft.steps if s.name in there and s.style != "aside"}

    @cached_property
    def dimensions(self) -> dict[str, Dimension]:
        """The dimension line of each step that has one."""
        ends = {
            step.name: (self.draft[step.inputs[0]], step.value)
            for step in self.steps
            if step.op in DIMENSIONED and isinstance(step.value, Point)
        }
        found: dict[str, Dimension] = {}
        for name, (start, end) in sorted(ends.items(), key=lambda item: item[1][0].distance(item[1][1])):
            if start.distance(end) > 0.05:  # the shortest lies next to the drawing
                found[name] = Dimension(start, end, self._lane(start, end, found.values()))
        return found

    def _lane(self, start: Point, end: Point, others: Iterable[Dimension]) -> int:
        """The first free place beside a line, on the side that looks away from the middle of the drawing."""
        way, middle = (end - start).unit(), start.middle(end)
        x0, y0, x1, y1 = self.box
        side = -1 if way.left().dot(Point((x0 + x1) / 2, (y0 + y1) / 2) - middle) > 0 else 1
        span = sorted((0.0, way.dot(end - start)))
        over = [
            abs(d.lane)
            for d in others
            if abs(way.left().dot((d.end - d.start).unit())) < PARALLEL
            and abs(way.left().dot(d.start - start)) < ASIDE
            and _overlap(*span, *sorted(way.dot(p - start) for p in (d.start, d.end)))
        ]
        return side * next(k for k in range(1, len(over) + 2) if k not in over)

    @cached_property
    def box(self) -> Box:
        """The part of the paper that is looked at, cm: all of it, or where the work is if that is small."""
        if self.window:
            return self.window
        new = [step.value for step in self.steps]
        used = {name for step in self.steps for name in step.inputs}
        whole = _box([*self.given.values(), *new])
        near = _box([*new, *(v for n, v in self.given.items() if n in used and isinstance(v, Point))])
        room = MARGIN * max(near[2] - near[0], near[3] - near[1])
        wide = max(0.0, WIDE * (near[3] - near[1] + 2 * room) - (near[2] - near[0] + 2 * room)) / 2
        near = (near[0] - room - wide, near[1] - room, near[2] + room + wide, near[3] + room)
        return near if near[3] - near[1] < NEAR * (whole[3] - whole[1]) else whole

    @property
    def whole(self) -> bool:
        """Whether all of the paper is looked at."""
        return all(inside(v, self.box) for v in self.given.values())

    def exercise(self) -> Exercise:
        """The section as something to draw and compare; it is no exercise of the catalogue.

        Asked are its points and lines. Numbers may stay on scrap paper, and what hangs from paper that is
        put away again is only shown.
        """
        last = self.draft.steps.index(self.steps[-1])
        upto = tuple(s for k, s in enumerate(self.draft.steps) if k <= last or s.name in self.given)
        draft = Draft(self.title, upto)
        away = {s.name for s in upto if s.style == "aside"}
        asked = tuple(
            Asked(s.name, "point" if isinstance(s.value, Point) else "curve")
            for s in self.steps
            if isinstance(s.value, Point | Curve) and away.isdisjoint(s.inputs)
        )
        return Exercise(
            id=self.place, title=self.title, lesson=0, task="", asked=asked, draw=lambda _: draft,
            ready=tuple(self.given),
        )  # fmt: skip

    def to_page(self) -> list[dict[str, Any]]:
        """Each step for the page: name, sentence in both units, value, what it hangs from, dimension."""
        return [self._step(step) for step in self.steps]

    def _step(self, step: Step) -> dict[str, Any]:
        found: dict[str, Any] = {
            "name": step.name,
            "said": {unit: step.text(unit) for unit in ("cm", "in")},
            "value": packed(step.value),
            "hangs": [n for n in step.inputs if isinstance(self.draft[n], Point | Curve)],
        }
        if (d := self.dimensions.get(step.name)) is not None:
            said = {unit: d.said(unit) for unit in ("cm", "in")}
            found["dimension"] = {
                "start": packed(d.start), "end": packed(d.end), "lane": d.lane, "said": said,
            }  # fmt: skip
        if step.op == "on" and isinstance(step.measure, float):
            line, at = self.draft[step.inputs[0]], step.measure
            walked = (line.length - at, line.length) if step.options.get("from_end") else (0.0, at)
            found["walked"] = packed(line.part(*walked))
        return found


def section(
    draft: Draft, *parts: tuple[str, str], place: str, title: str = "", window: Box | None = None
) -> Section:
    """The steps of a draft in the parts, each from a first to a last step, without those that take over.

    Raises UnknownName for a step that the draft does not have.

    >>> from patternlib import chart, skirt_block
    >>> part = section(skirt_block(chart("course").body("12")), ("centre back hip", "side hip"), place="x")
    >>> [step.name for step in part.steps]
    ['centre back hip', 'centre back hem', 'side hip']
    >>> part.dimensions["centre back hem"].lane - part.dimensions["centre back hip"].lane
    -1
    """
    ends = [[draft.steps.index(draft.step(name)) for name in part] for part in parts]
    steps = tuple(
        s
        for first, last in ends
        for s in draft.steps[first : last + 1]
        if s.op not in BEFORE and s.style != "aside"
    )
    return Section(place, title or draft.title, draft, steps, window)


def _overlap(a0: float, a1: float, b0: float, b1: float) -> bool:
    return min(a1, b1) - max(a0, b0) > 0.05


def _box(values: Iterable[Any]) -> Box:
    places = [p for v in values for p in _places(v)]
    xs, ys = [p.x for p in places], [p.y for p in places]
    return min(xs), min(ys), max(xs), max(ys)


def inside(value: Any, box: Box) -> bool:
    """Whether a point or line lies wholly in a box."""
    return all(box[0] <= p.x <= box[2] and box[1] <= p.y <= box[3] for p in _places(value))


def _places(value: Any) -> Sequence[Point]:
    return [value] if isinstance(value, Point) else value.flat(0.2) if isinstance(value, Curve) else []

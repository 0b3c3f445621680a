"""A block on the table: what is done to it is written as steps, and the block follows.

An alteration marks some points of a block at new places, draws some lines again and notes some lengths. Each
of these is a step of the block's own name in a recording of its own. All later steps of the block then start
from the new places, so the darts, the curves and the plans of a garment follow.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ..draft import Draft, Drafting, compute
from ..geometry import Curve, Point, fair
from ..notebook import Told, bullets
from ..operations import arrow
from ..steps import Step
from ..tolerances import SEAM
from ..units import write_length

FOLLOWS = "the changes at the fitting"
"""Where an altered block says that a step of it comes from."""

FULLNESS = (0.7, 1.5)
"""How far a line that is drawn again may be flatter or fuller than the fair one, so that it keeps its
length."""


@dataclass(frozen=True)
class Altered:
    """A block before and after an alteration.

    moves: what is done on the paper, step by step; a step with the name of a step of the block puts its
    point,
    line or number in the place of the block's.
    """

    before: Draft
    moves: Draft
    after: Draft

    def read(self, unit: str = "cm") -> Told:
        """What is done on the paper, a sentence a step; what is only traced to start from is left out.

        A point that moves along, by its rule in the block, says where it lies now.
        """
        said = (
            self._moved_along(step, unit) if step.op == "trace" else step.text(unit)
            for step in self.moves if step.style != "aside"
        )  # fmt: skip
        return bullets(text for text in said if text)

    def _moved_along(self, step: Step, unit: str) -> str:
        if step.name not in self.before or not isinstance(step.value, Point):
            return ""
        by = step.value - self.before[step.name]
        parts = ((by.x, "right", "left"), (by.y, "up", "down"))
        far = [f"{write_length(abs(cm), unit)} {a if cm > 0 else b}" for cm, a, b in parts if abs(cm) > SEAM]
        if not far:
            return ""
        return f"Note that {step.name} moves along, by its rule: it lies {' and '.join(far)} of before."


class Paper:
    """Writes an alteration of a block; `now` is the block as it follows so far.

    >>> from patternlib.blocks import skirt_block
    >>> paper = Paper(skirt_block("12"), "a longer skirt")
    >>> hem = paper.move("centre back hem", "down", 2, because="it is too short")
    >>> paper.now["side hem"].y
    -62.0
    """

    def __init__(self, block: Draft, title: str) -> None:
        self.before = block
        self.d = Drafting(title)
        self._kept: set[str] = set()
        self._now: Draft | None = block

    @property
    def now(self) -> Draft:
        if self._now is None:
            self._now = _follow(self.before, self.d.finish(), self._kept)
        return self._now

    def old(self, *names: str) -> None:
        """Trace points and lines of the block under the name '..., before'."""
        for name in names:
            if f"{name}, before" not in self.d:
                self.d.trace(f"{name}, before", self.before[name], "the block")

    def move(self, name: str, way: str, cm: float, *, because: str = "", source: str = "pinched") -> Point:
        """Mark a point of the block so far 'up', 'down', 'left' or 'right' of its old place."""
        self.old(name)
        if cm < 0:
            way, cm = {"up": "down", "down": "up", "left": "right", "right": "left"}[way], -cm
        self._now = None
        return self.d.go(name, f"{name}, before", way, cm, source=source, because=because)

    def add(self, name: str, op: str, inputs: Sequence[str] = (), measure: float | str | None = None, **more):
        """A step of any operation; inputs that are not yet on the paper are traced as they lie now."""
        self.lay(*inputs)
        self._now = None
        return self.d.add(name, op, tuple(inputs), measure, **more)

    def lay(self, *names: str) -> None:
        """Trace steps of the block as they lie now, to start from; nothing is changed by it."""
        for name in names:
            if name not in self.d:
                self.d.trace(name, self.now[name], "the block")

    def note(self, name: str, cm: float, *, source: str = "", because: str = "") -> None:
        """Put another number, cm or the degrees of an angle, in the place of the block's."""
        self._now = None
        if name.endswith("angle"):
            self.d.sum(name, {}, cm, source=source, because=because)
        else:
            self.d.given(name, cm, source=source, because=because)

    def keep(self, *names: str) -> None:
        """Steps that stay where they were although something that they start from is moved."""
        self._now = None
        self._kept.update(name for name in names if name in self.before)

    def draw(
        self,
        name: str,
        points: Sequence[str],
        *,
        start: str | float,
        end: str | float,
        length: float | None = None,
        because: str = "",
    ) -> Curve:
        """Draw a line of the block again as a fair curve; length: what it is to measure, cm, if it can."""
        self.lay(*points)
        self._now = None
        more = {}
        if length is not None:
            fullness = _fullness([self.d[p] for p in points], start, end, length)
            more = {} if abs(fullness - 1) < 1e-9 else {"fullness": fullness}
        return self.d.curve(name, list(points), start=start, end=end, style="block", because=because, **more)

    def dart_point(self, name: str, *, up: float, because: str) -> None:
        """Mark the point of a waist dart higher by so many cm; both legs come out equally long."""
        step = _origin(self.before.step(f"{name} point"))
        self.add(step.name, "dart point", step.inputs, (step.measure or 0.0) - up, because=because)

    def finish(self) -> Altered:
        return Altered(self.before, self.d.finish(), self.now)


def _follow(block: Draft, moves: Draft, kept: set[str]) -> Draft:
    values: dict = {}
    steps: list[Step] = []
    for step in block.steps:
        move = moves.step(step.name) if step.name in moves else None
        if move is not None and move.op != "trace":
            steps.append(_put_in(step, move, values))
        elif step.name in kept:
            steps.append(_altered(step, _origin(step), step.value, "", values))
        elif "was" in step.options:
            value = _computed(_origin(step), values)
            value = value if isinstance(value, Curve) else value + step.options["off"]
            steps.append(replace(step, value=value, options={**step.options, "value": value}))
        else:
            measure = values[step.measured_by] if step.measured_by else step.measure
            steps.append(replace(step, measure=measure, value=compute(step, measure, values)))
        values[step.name] = steps[-1].value
    added = [s for s in moves if s.name not in block and s.style == "block" and s.op != "trace"]
    steps += [
        Step(s.name, "trace", (), None, FOLLOWS, s.reason, s.value, s.style, {"value": s.value})
        for s in added
    ]
    return Draft(block.title, tuple(steps))


def _origin(step: Step) -> Step:
    """The step by which a point, line or number of an altered block follows what it starts from."""
    return step.options.get("was", step)


def _computed(step: Step, values: dict) -> Any:
    return compute(step, values[step.measured_by] if step.measured_by else step.measure, values)


def _put_in(step: Step, move: Step, values: dict) -> Step:
    """A step of the block with what the paper gives in its place.

    Where the paper started from points of the block alone, its own step is kept to be followed by later
    alterations; else the block's step with the distance that was moved.
    """
    of_block = all(
        name in values for name in (*move.inputs, *([move.measured_by] if move.measured_by else []))
    )
    was = move if of_block and move.inputs else _origin(step)
    return _altered(step, was, move.value, move.reason, values)


def _altered(step: Step, was: Step, value: Any, reason: str, values: dict) -> Step:
    off = 0.0 if isinstance(value, Curve) else value - _computed(was, values)
    options = {"value": value, "was": was, "off": off}
    number = not isinstance(value, Point | Curve)
    return Step(
        step.name, "given" if number else "trace", (), value if number else None, FOLLOWS, reason, value,
        step.style, options,
    )  # fmt: skip


def _fullness(points: Sequence[Point], start: str | float, end: str | float, length: float) -> float:
    ways = {"start": arrow(start, _no_step), "end": arrow(end, _no_step)}

    def over(fullness: float) -> float:
        return fair(points, **ways, fullness=fullness).length - length

    return solved(over, *FULLNESS, near=1.0)


def _no_step(name: str) -> float:
    raise LookupError(name)


def solved(over: Callable[[float], float], low: float, high: float, *, near: float | None = None) -> float:
    """Where `over` is 0 between two places; where it has one sign, the end where it is nearest to 0.

    near: a place that is taken if `over` is 0 there.

    >>> round(solved(lambda x: x * x - 2, 0, 2), 6)
    1.414214
    """
    if near is not None and abs(over(near)) < 1e-9:
        return near
    f, g = over(low), over(high)
    if f * g > 0:
        return low if abs(f) < abs(g) else high
    for _ in range(60):
        middle = (low + high) / 2
        h = over(middle)
        if abs(h) < 1e-10:
            return middle
        low, high, f = (middle, high, h) if f * h > 0 else (low, middle, f)
    return (low + high) / 2

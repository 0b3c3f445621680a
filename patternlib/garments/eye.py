"""What a cutter's eye sees on a drawn line: one bend where one is meant, and a hollow that can be turned."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

from ..draft import Draft
from ..geometry import Curve, fair
from ..walk import Finding

SEEN = 5.0
"""degrees; a line that turns back by less looks as if it bent one way (common practice, no source)."""


def turnings(curve: Curve, *, places: int = 24) -> tuple[float, float]:
    """How far a curve turns to the left and to the right on its way, degrees, both positive."""
    ways = [complex(*curve.direction(curve.length * k / places)) for k in range(places + 1)]
    turns = [math.degrees(cmath.phase(b / a)) for a, b in pairwise(ways)]
    return sum(t for t in turns if t > 0), -sum(t for t in turns if t < 0)


def bends_once(curve: Curve) -> bool:
    """Whether the eye sees one bend, or a straight line.

    >>> from patternlib.geometry import Point, fair
    >>> ends = [Point(0, 0), Point(10, 4)]
    >>> bends_once(fair(ends, start=Point(1, 0))), bends_once(fair(ends, start=Point(1, 0), end=Point(1, 0)))
    (True, False)
    """
    return min(turnings(curve)) < SEEN


def tightest(curve: Curve, *, places: int = 40) -> float:
    """The smallest radius of a curve, cm; infinite where it is straight."""
    most = max(abs(curve.curvature(curve.length * k / places)) for k in range(places + 1))
    return 1 / most if most > 1e-9 else math.inf


def nearest_that(draws: Callable[[float], bool], start: float, places: Iterable[float]) -> float | None:
    """The value nearest to `start` that draws, None where none does."""
    for value in sorted(places, key=lambda v: abs(v - start)):
        if draws(value):
            return value
    return None


def steps_between(low: float, high: float, step: float = 0.5) -> list[float]:
    n = round((high - low) / step)
    return [round(low + step * k, 6) for k in range(n + 1)]


def level_line(plan: Draft, name: str) -> Iterator[Finding]:
    """A finding where a line that stands square on centre and side bends both ways.

    name: 'yoke', of a back plan, or 'waistband', of a front plan. The finding names the depth at the side
    nearest to the one drawn for which the line bends once.
    """
    curve, side = plan[f"{name} line"], plan["side"]
    back = min(turnings(curve))
    if back < SEEN:
        return

    def draws(depth: float) -> bool:
        at = side.length - depth
        along = side.direction(at)
        square = along.right() if curve.end.x > curve.start.x else along.left()
        return bends_once(fair([curve.start, side.at(at)], start=curve.start_direction, end=square))

    found = nearest_that(draws, plan[f"{name} side part"].length, steps_between(3.0, 9.0))
    value = "yoke_side_depth" if name == "yoke" else "waistband"
    mend = f"take {value} {found:g} cm" if found else f"take another {name}_depth"
    text = f"the line bends both ways, {back:.0f} degrees back: {mend}."
    yield Finding(751, "warning", f"{name} line", back, 0.0, SEEN, text)

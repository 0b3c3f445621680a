"""What a cutter's eye sees on a drawn line: one bend where one is meant, and a hollow that can be turned."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator
from itertools import pairwise

from ..checking import Finding
from ..draft import Draft
from ..geometry import Curve, Point, fair_between

SEEN = 6.0
"""degrees; a line that turns back by less looks as if it bent one way (common practice, no source)."""

WAVE = 15.0
"""degrees; a free edge that turns back by more waves for every eye (common practice, no source)."""
SAME_LEVEL = 0.1
"""cm; two lines that meet at a seam look like one within it (common practice, no source)."""


def turnings(curve: Curve, *, places: int = 24) -> tuple[float, float]:
    """How far a curve turns to the left and to the right on its way, degrees, both positive."""
    ways = [complex(*curve.direction(curve.length * k / places)) for k in range(places + 1)]
    turns = [math.degrees(cmath.phase(b / a)) for a, b in pairwise(ways)]
    return sum(t for t in turns if t > 0), -sum(t for t in turns if t < 0)


def tightest(curve: Curve, *, places: int = 40) -> float:
    """The smallest radius of a curve, cm; infinite where it is straight."""
    most = max(abs(curve.curvature(curve.length * k / places)) for k in range(places + 1))
    return 1 / most if most > 1e-9 else math.inf


def steps_between(low: float, high: float, step: float = 0.5) -> list[float]:
    n = round((high - low) / step)
    return [round(low + step * k, 6) for k in range(n + 1)]


def level_line(plan: Draft, name: str) -> Iterator[Finding]:
    """A finding where a line that stands square on centre and side bends both ways.

    name: 'yoke', of a back plan. The finding names the depth at the side, or else at the centre, nearest to
    the one drawn for which the line bends once.
    """
    curve, side = plan[f"{name} line"], plan["side"]
    back, most = min(turnings(curve)), max(SEEN, min(turnings(plan["waistline"])))
    if back < most:  # the waist of a body with small hips bends both ways itself: the line follows it
        return

    def draws(start: Point, depth: float) -> bool:
        at = side.length - depth
        along = side.direction(at)
        square = along.right() if curve.end.x > curve.start.x else along.left()
        line = fair_between(start, side.at(at), start=curve.start_direction, end=square)
        return min(turnings(line)) < most

    depth, waist = plan[f"{name} side part"].length, plan["centre waist"]
    centre = (waist - curve.start).length
    pairs = [(centre, v) for v in steps_between(3.0, 9.0)] + [(v, depth) for v in steps_between(4.0, 12.0)]
    pairs.sort(key=lambda pair: abs(pair[0] - centre) + abs(pair[1] - depth))
    pairs += [(v, 5.0) for v in reversed(steps_between(4.0, 12.0))]  # both, the side as the waistband starts
    found = next((pair for pair in pairs if draws(waist - Point(0, pair[0]), pair[1])), None)
    mend = "take less flare"
    if found:
        new = (("yoke_depth", found[0], centre), ("yoke_side_depth", found[1], depth))
        mend = "take " + " and ".join(f"{value} {cm:g} cm" for value, cm, was in new if abs(cm - was) > 0.01)
    text = f"the line bends both ways, {back:.0f} degrees back: {mend}."
    yield Finding(751, "warning", f"{name} line", back, 0.0, most, text)


def meets_at_the_side(waistband: float, yoke: float) -> Iterator[Finding]:
    """A note where waistband and yoke end at different depths of the side, cm below the waist.

    >>> [finding.text for finding in meets_at_the_side(8, 5)]
    ['the waistband ends 8 cm below the waist and the yoke 5 cm: for one line take the same depth.']
    """
    if abs(waistband - yoke) > SAME_LEVEL:
        text = (
            f"the waistband ends {waistband:g} cm below the waist and the yoke {yoke:g} cm: "
            "for one line take the same depth."
        )
        yield Finding(754, "note", "side", waistband, yoke, SAME_LEVEL, text)

"""How full a fair curve must be to pass a mark half-way, square off the straight line between its ends."""

from __future__ import annotations

import math

from ...errors import GeometryError
from ...geometry import Point, direction, fair, half_way_off
from ...operations import WAYS

LEAST, MOST = 0.05, 4.0
"""Shares of the fair handles between which a curve is bent."""
CLOSE = 1e-7
"""cm"""


def bent(first: Point, last: Point, start: str | float | None, end: str | float | None, bend: float) -> dict:
    """The options of a curve from point to point that lies `bend` cm off half-way (above 0: to the left).

    start, end: its directions; where there are none it runs as part of a circle. Raises GeometryError with
    the bends that are possible.

    >>> options = bent(Point(0, 0), Point(10, 0), None, None, 5.0)  # half of a circle
    >>> round(options["start"]), round(options["end"])
    (90, -90)
    """
    chord = last - first
    if start is None and end is None:
        lean = math.degrees(2 * math.atan2(2 * bend, chord.length))
        start, end = chord.angle + lean, chord.angle - lean

    def off(fullness: float) -> float:
        ways = (None if w is None else direction(WAYS.get(w, w)) for w in (start, end))
        ahead, behind = ways
        return half_way_off(fair([first, last], start=ahead, end=behind, fullness=fullness)) - bend

    low, high = LEAST, MOST
    at_low, at_high = off(low), off(high)
    if at_low * at_high > 0:
        ends = sorted((at_low + bend, at_high + bend))
        side = "left" if sum(ends) > 0 else "right"
        least, most = sorted(abs(e) for e in ends)
        raise GeometryError(
            f"With these directions the curve lies {least:.1f} to {most:.1f} cm to the {side} half-way: "
            "take a bend between, or change a direction."
        )
    while high - low > 1e-12:
        middle = (low + high) / 2
        here = off(middle)
        if abs(here) < CLOSE:
            break
        low, high, at_low = (middle, high, here) if here * at_low > 0 else (low, middle, at_low)
    return {"start": start, "end": end, "fullness": (low + high) / 2}

"""The small signs of a drawing: a cross at a point, an arrow head, a ring, a drill hole."""

from __future__ import annotations

import math

from ..geometry import Point
from .items import Command, Stroke

CROSS = 0.25
"""cm: half the size of the cross drawn at a point."""
HOLE = 0.25
"""cm: radius of the ring drawn round a drill hole."""
HEAD = 0.9
"""cm: length of an arrow head."""
ROUND = 4 / 3 * (math.sqrt(2) - 1)
"""Handle of the cubic that stands for a quarter of a circle of radius 1 [Riškus 2006, from memory]."""


def layer(style: str) -> str:
    """The layer a line of a draft lies on."""
    return "blocks" if style == "block" else "plan"


def cross(at: Point, style: str, of: str, name: str) -> Stroke:
    """The cross at a point; of: the style whose layer it lies on."""
    x, y = at
    d = (("M", x - CROSS, y), ("L", x + CROSS, y), ("M", x, y - CROSS), ("L", x, y + CROSS))
    return Stroke(d, style, layer(of), "", name)


def arrow(tip: Point, way: Point, size: float = HEAD) -> list[Command]:
    """An open arrow head whose tip points along `way` (length 1)."""
    back, side = tip - way * size, way.left() * (size * 0.3)
    return [("M", *(back + side)), ("L", *tip), ("L", *(back - side))]


def grain_line(start: Point, end: Point, *, one_way: bool = False, head: float = HEAD) -> list[Command]:
    """A line with an arrow head at its end, and at its start unless it is one way; head: cm."""
    way = (end - start).unit()
    d: list[Command] = [("M", *start), ("L", *end), *arrow(end, way, head)]
    return d if one_way else d + arrow(start, -way, head)


def ring(x: float, y: float, r: float) -> list[Command]:
    """A circle of radius r about (x, y), in four cubics."""
    h = r * ROUND
    return [
        ("M", x + r, y), ("C", x + r, y + h, x + h, y + r, x, y + r),
        ("C", x - h, y + r, x - r, y + h, x - r, y), ("C", x - r, y - h, x - h, y - r, x, y - r),
        ("C", x + h, y - r, x + r, y - h, x + r, y), ("Z",),
    ]  # fmt: skip


def plus(x: float, y: float, arm: float) -> list[Command]:
    """Two lines that cross at right angles in (x, y); arm: half the length of each."""
    return [("M", x - arm, y), ("L", x + arm, y), ("M", x, y - arm), ("L", x, y + arm)]


def drill_hole(x: float, y: float) -> list[Command]:
    """A ring with a cross through it."""
    return [*ring(x, y, HOLE), *plus(x, y, 1.5 * HOLE)]

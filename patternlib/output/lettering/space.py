"""Free space for lettering: free stretches between the lines of a drawing, found level by level.

The space is looked at along one direction. A strip of it is as high as a block of text; every line that
enters the strip blocks a stretch, and the text goes into a gap wide enough for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from ...geometry import Point
from ..items import ASCENT, Command, flat_path
from .sizes import LEADING, Line, block_width

StraightLine = tuple[float, float, float, float]
"""A straight piece x1, y1, x2, y2, cm."""

COARSE = 0.05
"""cm: how closely straight lines follow the curves that lettering keeps clear of."""
CLEARANCE = 0.2
"""cm kept free round a text."""
LEVELS = (0.5, 0.62, 0.38, 0.74, 0.26, 0.85, 0.15, 0.93, 0.07)
"""Where a text is tried, as shares of the height: near the middle first."""


def straight_lines(d: Iterable[Command]) -> list[StraightLine]:
    """Path commands as straight pieces, close enough to keep lettering clear of them."""
    return [(*p, *q) for run in flat_path(d, COARSE) for p, q in pairwise(run)]


class Written(NamedTuple):
    """A text that has found its place; fields as of items.Text."""

    x: float
    y: float
    text: str
    size: float
    anchor: str
    angle: float
    style: str


class Space:
    """The inside of a closed round of straight pieces, with obstacles in it, seen along `angle` degrees."""

    def __init__(
        self, outline: Sequence[StraightLine], obstacles: Iterable[StraightLine], angle: float = 0.0
    ):
        self.angle = angle
        a = math.radians(angle)
        c, s = round(math.cos(a), 12), round(math.sin(a), 12)
        self._turn = c, s
        self._widest: dict[int, float] = {}
        if angle:
            outline = [(x * c + y * s, y * c - x * s, u * c + v * s, v * c - u * s) for x, y, u, v in outline]
            obstacles = [
                (x * c + y * s, y * c - x * s, u * c + v * s, v * c - u * s) for x, y, u, v in obstacles
            ]
        self.outline, self.obstacles = outline, list(obstacles)
        self.left, self.right = min(w[0] for w in outline), max(w[0] for w in outline)
        self.low, self.high = min(w[1] for w in outline), max(w[1] for w in outline)

    def back(self, u: float, v: float) -> tuple[float, float]:
        """A place seen along the angle, as a place of the drawing."""
        c, s = self._turn
        return u * c - v * s, u * s + v * c

    def seen(self, x: float, y: float) -> tuple[float, float]:
        """A place of the drawing, as seen along the angle."""
        c, s = self._turn
        return x * c + y * s, y * c - x * s

    def gaps(self, low: float, high: float, least: float = 0.0) -> list[tuple[float, float]]:
        """Free stretches inside the outline at all levels from low to high, no shorter than `least`."""
        blocked = []
        for lines in (self.outline, self.obstacles):
            for x1, y1, x2, y2 in lines:
                if y1 > y2:
                    x1, y1, x2, y2 = x2, y2, x1, y1
                if y2 < low or y1 > high:
                    continue
                if y1 < low:
                    x1, y1 = x1 + (x2 - x1) * (low - y1) / (y2 - y1), low
                if y2 > high:
                    x2 = x1 + (x2 - x1) * (high - y1) / (y2 - y1)
                blocked.append((x1, x2) if x1 < x2 else (x2, x1))
        blocked.sort()
        free, reached = [], math.inf
        for start, end in blocked:
            if start - reached > least and self._inside((start + reached) / 2, (low + high) / 2):
                free.append((reached, start))
            reached = end if reached is math.inf else max(reached, end)
        return free

    def _inside(self, x: float, y: float) -> bool:
        odd = False
        for x1, y1, x2, y2 in self.outline:
            if (y1 > y) != (y2 > y) and x1 + (x2 - x1) * (y - y1) / (y2 - y1) < x:
                odd = not odd
        return odd

    def fits(self, u: float, low: float, high: float, half: float) -> bool:
        """Whether a text of half width `half` about u is free between two levels."""
        need = half + CLEARANCE
        gaps = self.gaps(low - CLEARANCE, high + CLEARANCE, 2 * need)
        return any(a <= u - need and u + need <= b for a, b in gaps)

    def find(self, width: float, height: float) -> tuple[float, float] | None:
        """(middle, top), as seen, of the widest gap on the first level that takes such a box; or None."""
        if width > self.right - self.left or height > self.high - self.low:
            return None
        for k, share in enumerate(LEVELS):
            level = self.low + share * (self.high - self.low)
            top = level + height / 2
            if top > self.high or top - height < self.low:
                continue
            if k not in self._widest:  # no strip has a gap wider than the level in its middle
                self._widest[k] = max((b - a for a, b in self.gaps(level, level)), default=0.0)
            if self._widest[k] < width:
                continue
            gaps = self.gaps(top - height, top, width)
            if gaps:
                a, b = max(gaps, key=lambda gap: gap[1] - gap[0])
                return (a + b) / 2, top
        return None

    def place(self, lines: Sequence[Line]) -> list[Written] | None:
        """The block of lines in the middle of free space that takes it; or None."""
        height = sum(size for _, size, _ in lines) * LEADING
        found = self.find(block_width(lines) + 2 * CLEARANCE, height)
        return self.written(lines, *found) if found else None

    def written(self, lines: Sequence[Line], u: float, top: float, anchor: str = "middle") -> list[Written]:
        """The lines one below another under the level `top`, anchored at u."""
        out = []
        for text, size, style in lines:
            v = top - size * (LEADING + ASCENT - 0.22) / 2
            top -= size * LEADING
            out.append(Written(*self.back(u, v), text, size, anchor, self.angle, style))
        return out


def reading_angle(way: Point) -> float:
    """The angle of a text along a line: read from below or from the right."""
    angle = way.angle
    return angle if -89.9 < angle <= 90.1 else angle - math.copysign(180.0, angle)

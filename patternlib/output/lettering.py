"""Room for lettering: free stretches between the lines of a drawing, found level by level.

A room is looked at along one direction. A strip of it is as high as a block of text; every line that
enters the strip blocks a stretch, and the text goes into a gap wide enough for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from .items import ASCENT, text_width
from .styles import LEAST_TEXT

Piece4 = tuple[float, float, float, float]
"""A straight piece x1, y1, x2, y2, cm."""

CLEAR = 0.25
"""cm kept free round a text."""
LEADING = 1.35
"""From base line to base line, in sizes."""
LEVELS = (0.5, 0.62, 0.38, 0.74, 0.26, 0.85, 0.15, 0.93, 0.07)
"""Where a text is tried, as shares of the height: near the middle first."""


class Written(NamedTuple):
    """A text that has found its place; fields as of items.Text."""

    x: float
    y: float
    text: str
    size: float
    anchor: str
    angle: float
    style: str


Line = tuple[str, float, str]
"""Text, size (cm), style of one line of a block."""


class Room:
    """The inside of a closed round of straight pieces, with things in it, seen along `angle` degrees."""

    def __init__(self, walls: Sequence[Piece4], things: Iterable[Piece4], angle: float = 0.0):
        self.angle = angle
        a = math.radians(angle)
        c, s = round(math.cos(a), 12), round(math.sin(a), 12)
        self._turn = c, s
        if angle:
            walls = [(x * c + y * s, y * c - x * s, u * c + v * s, v * c - u * s) for x, y, u, v in walls]
            things = [(x * c + y * s, y * c - x * s, u * c + v * s, v * c - u * s) for x, y, u, v in things]
        self.walls, self.things = walls, list(things)
        self.left, self.right = min(w[0] for w in walls), max(w[0] for w in walls)
        self.low, self.high = min(w[1] for w in walls), max(w[1] for w in walls)

    def back(self, u: float, v: float) -> tuple[float, float]:
        """A place seen along the angle, as a place of the drawing."""
        c, s = self._turn
        return u * c - v * s, u * s + v * c

    def seen(self, x: float, y: float) -> tuple[float, float]:
        """A place of the drawing, as seen along the angle."""
        c, s = self._turn
        return x * c + y * s, y * c - x * s

    def gaps(self, low: float, high: float) -> list[tuple[float, float]]:
        """Free stretches inside the walls at all levels from low to high."""
        blocked = []
        for lines in (self.walls, self.things):
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
            if start > reached and self._inside((start + reached) / 2, (low + high) / 2):
                free.append((reached, start))
            reached = end if reached is math.inf else max(reached, end)
        return free

    def _inside(self, x: float, y: float) -> bool:
        odd = False
        for x1, y1, x2, y2 in self.walls:
            if (y1 > y) != (y2 > y) and x1 + (x2 - x1) * (y - y1) / (y2 - y1) < x:
                odd = not odd
        return odd

    def fits(self, u: float, low: float, high: float, half: float) -> bool:
        """Whether a text of half width `half` about u is free between two levels."""
        need = half + CLEAR
        return any(a <= u - need and u + need <= b for a, b in self.gaps(low - CLEAR, high + CLEAR))

    def place(self, lines: Sequence[Line]) -> list[Written] | None:
        """The block of lines, centred in the widest gap of the first level that takes it; or None."""
        width = max(text_width(text, size) for text, size, _ in lines) + 2 * CLEAR
        height = sum(size for _, size, _ in lines) * LEADING
        if width > self.right - self.left or height > self.high - self.low:
            return None
        for share in LEVELS:
            top = self.low + share * (self.high - self.low) + height / 2
            if top > self.high or top - height < self.low:
                continue
            gaps = self.gaps(top - height, top)
            if not gaps:
                continue
            a, b = max(gaps, key=lambda gap: gap[1] - gap[0])
            if b - a >= width:
                return self.written(lines, (a + b) / 2, top)
        return None

    def written(self, lines: Sequence[Line], u: float, top: float, anchor: str = "middle") -> list[Written]:
        """The lines one below another under the level `top`, anchored at u."""
        out = []
        for text, size, style in lines:
            v = top - size * (LEADING + ASCENT - 0.22) / 2
            top -= size * LEADING
            out.append(Written(*self.back(u, v), text, size, anchor, self.angle, style))
        return out


def blocks(lines: Sequence[str], heading: str, size: float) -> Iterable[list[Line]]:
    """The same words as a block, on two lines, on one line; then all of it smaller, never below LEAST_TEXT."""
    head = [line for line in lines if line == heading] or list(lines[:1])
    rest = [line for line in lines if line not in head]
    for factor in (1.0, 0.8, 0.62, 0.5):
        small = max(size * factor, LEAST_TEXT)
        large = max(1.5 * small, LEAST_TEXT)
        yield [(line, large if line in head else small, "heading" if line in head else "label") for line in lines]
        if rest:
            joined = " · ".join(rest)
            yield [(head[0], 1.2 * small, "heading"), (joined, small, "label")]
            yield [(f"{head[0]} · {joined}", small, "label")]
        if small == LEAST_TEXT:
            return

"""Room for lettering: free stretches between the lines of a drawing, found level by level.

A room is looked at along one direction. A strip of it is as high as a block of text; every line that
enters the strip blocks a stretch, and the text goes into a gap wide enough for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from ..errors import unknown
from .items import ASCENT, text_width
from .styles import LEAST_TEXT, LETTERINGS

Piece4 = tuple[float, float, float, float]
"""A straight piece x1, y1, x2, y2, cm."""

CLEAR = 0.2
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


class Letters(NamedTuple):
    """Size of plain lettering and the least size, cm; short: only what a picture on a screen has room for."""

    size: float
    least: float
    short: bool = False


PAPER = Letters(0.6, LEAST_TEXT)
SCREEN_SHARE = 70
"""On a screen a sheet is as wide as this many plain letters are high: 12 px where it is shown 900 px wide."""


def letters(lettering: str, sheet_width: float) -> Letters:
    """The sizes for 'paper' or 'screen'; sheet_width: cm. Anything else raises UnknownName."""
    if lettering not in ("paper", "screen"):
        raise unknown("lettering", lettering, ("paper", "screen"))
    if lettering == "paper":
        return PAPER
    # in steps, so that lettering keeps its size while a small change widens the sheet
    size = max(10 * math.ceil(sheet_width / 10) / SCREEN_SHARE, PAPER.size)
    return Letters(size, 0.9 * size, True)


Line = tuple[str, float, str]
"""Text, size (cm), style of one line of a block."""


def block_width(lines: Iterable[Line]) -> float:
    """Width of the widest line of a block, cm."""
    return max(text_width(text, size, bold=LETTERINGS[style].bold) for text, size, style in lines)


class Room:
    """The inside of a closed round of straight pieces, with things in it, seen along `angle` degrees."""

    def __init__(self, walls: Sequence[Piece4], things: Iterable[Piece4], angle: float = 0.0):
        self.angle = angle
        a = math.radians(angle)
        c, s = round(math.cos(a), 12), round(math.sin(a), 12)
        self._turn = c, s
        self._widest: dict[int, float] = {}
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

    def gaps(self, low: float, high: float, least: float = 0.0) -> list[tuple[float, float]]:
        """Free stretches inside the walls at all levels from low to high, no shorter than `least`."""
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
            if start - reached > least and self._inside((start + reached) / 2, (low + high) / 2):
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
        gaps = self.gaps(low - CLEAR, high + CLEAR, 2 * need)
        return any(a <= u - need and u + need <= b for a, b in gaps)

    def place(self, lines: Sequence[Line]) -> list[Written] | None:
        """The block of lines, centred in the widest gap of the first level that takes it; or None."""
        width = block_width(lines) + 2 * CLEAR
        height = sum(size for _, size, _ in lines) * LEADING
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


def blocks(lines: Sequence[str], heading: str, letters: Letters) -> Iterator[list[Line]]:
    """The same words on ever fewer lines; then all of it smaller, down to the least size."""
    head = heading if heading in lines else lines[0]
    rest = [line for line in lines if line != head]
    last = 0.0
    for factor in (1.0, 0.8, 0.65, 0.5):
        small = max(letters.size * factor, letters.least)
        if small == last:
            return
        last = small
        for count in range(len(rest), 0, -1):
            below = ((line, small, "label") for line in wrapped(rest, count))
            yield [(head, small * (1.1 if letters.short else 1.35), "heading"), *below]
        yield [(" · ".join((head, *rest)), small, "label")]


@lru_cache(maxsize=512)
def _wrapped(words: tuple[str, ...], count: int) -> tuple[str, ...]:
    if count == 1:
        return (" · ".join(words),)
    ways = (
        (" · ".join(words[:k]), *_wrapped(words[k:], count - 1)) for k in range(1, len(words) - count + 2)
    )
    return min(ways, key=lambda lines: max(text_width(line) for line in lines))


def wrapped(words: Sequence[str], count: int) -> tuple[str, ...]:
    """Words run together on `count` lines, the longest as short as can be.

    >>> wrapped(["size 12", "cut 2 as a pair", "main cloth"], 2)
    ('size 12 · cut 2 as a pair', 'main cloth')
    """
    return _wrapped(tuple(words), min(count, len(words)))

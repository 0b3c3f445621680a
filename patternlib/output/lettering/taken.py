"""Places of a drawing that are drawn or written on already, and texts put where they cover nothing."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from ...geometry import Curve, Point
from ..items import Text
from ..signs import CROSS

COARSE = 0.05
"""cm: how closely the lines that lettering keeps clear of follow their curves."""
PX_TEXT = (11.0, 17.0)
"""px: no lettering on a screen is smaller or larger; what then covers other lettering is left out."""


class Taken:
    """The small squares of the sheet that are written or drawn on already."""

    def __init__(self, cell: float):
        self.cell = cell
        self.drawn: set[tuple[int, int]] = set()
        self.written: set[tuple[int, int]] = set()

    def draw(self, points: Sequence) -> None:
        cell, drawn = self.cell, self.drawn
        for (x0, y0), (x1, y1) in pairwise(points):
            n = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) / (0.6 * cell)))
            for k in range(n + 1):
                drawn.add(
                    (math.floor((x0 + (x1 - x0) * k / n) / cell), math.floor((y0 + (y1 - y0) * k / n) / cell))
                )

    def cells(self, text: Text) -> set[tuple[int, int]]:
        """The squares a text covers."""
        (x0, y0), (x1, y1), (_, y2), (x3, y3) = text.corners()
        cell = self.cell
        if not text.angle:
            columns = range(math.floor(x0 / cell), math.floor(x1 / cell) + 1)
            return {(i, j) for j in range(math.floor(y0 / cell), math.floor(y2 / cell) + 1) for i in columns}
        along = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) / (0.6 * cell)))
        up = max(1, math.ceil(math.hypot(x3 - x0, y3 - y0) / (0.6 * cell)))
        return {
            (
                math.floor((x0 + (x1 - x0) * i / along + (x3 - x0) * j / up) / cell),
                math.floor((y0 + (y1 - y0) * i / along + (y3 - y0) * j / up) / cell),
            )
            for i in range(along + 1)
            for j in range(up + 1)
        }

    def write(self, candidates: Iterable[Text], *, over_lines: bool = False) -> Text | None:
        """The first text that covers no other text, and no line unless `over_lines`; it is then taken."""
        second = None
        for text in candidates:
            cells = self.cells(text)
            if cells & self.written:
                continue
            if not cells & self.drawn:
                self.written |= cells
                return text
            second = second or (text, cells)
        if over_lines and second:
            self.written |= second[1]
            return second[0]
        return None


@lru_cache(maxsize=4096)
def coarse(curve: Curve) -> tuple[Point, ...]:
    """A curve as the few points that lettering keeps clear of."""
    return tuple(curve.flat(COARSE))


def round_point(
    name: str, at: Point, size: float, *, key: bool = False, off: Sequence[float] = ()
) -> Iterable[Text]:
    """Places for a point's name, the best first; off: how far from it, in sizes."""
    x, y = at
    style = "point shown" if key else "point"
    for far in off or ((0.35, 0.9) if not key else (0.35, 0.9, 1.6)):
        gap = far * size + CROSS * 0.6
        below = gap + 0.7 * size
        for dx, dy, anchor in (
            (gap, gap, "start"), (-gap, gap, "end"), (gap, -below, "start"), (-gap, -below, "end"),
            (gap + CROSS, -0.3 * size, "start"), (-gap - CROSS, -0.3 * size, "end"),
            (0.0, gap + CROSS, "middle"), (0.0, -below - CROSS, "middle"),
        ):  # fmt: skip
            yield Text(x + dx, y + dy, name, size, anchor, 0.0, "labels", style)


def texts_for_screen(texts: Sequence[Text], scale: float) -> list[Text]:
    """The texts for a screen of `scale` px a cm: neither too small nor too large; the greater go first."""
    low, high = (px / scale for px in PX_TEXT)
    taken = Taken(0.3 * low)
    out = []
    for text in sorted(texts, key=lambda text: -text.size_cm):
        kept = taken.write([replace(text, size_cm=min(max(text.size_cm, low), high))])
        if kept:
            out.append(kept)
    return out

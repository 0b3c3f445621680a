"""Places of a drawing that are drawn or written on already, and texts put where they cover nothing."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise, product

from ...geometry import Curve, Point
from ..items import Handle, Stroke, Text
from ..signs import CROSS
from .space import StraightLine, straight_lines

COARSE = 0.05
"""cm: how closely the lines that lettering keeps clear of follow their curves."""
FINE = 0.4
"""Sizes of lettering: the side of the squares that lines and names of a drawing take up."""
NEAR = 0.5
"""Sizes of lettering: a name nearer than this to its point belongs to no other."""
PX_CELL = 3.3
"""px: the side of the squares on a screen."""
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
            n = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) / (0.3 * cell)))
            for k in range(n + 1):
                drawn.add(
                    (math.floor((x0 + (x1 - x0) * k / n) / cell), math.floor((y0 + (y1 - y0) * k / n) / cell))
                )

    def draw_cross(self, at: Point) -> None:
        """Keep the cross of a point free."""
        x, y = at
        self.draw(((x - CROSS, y), (x + CROSS, y)))
        self.draw(((x, y - CROSS), (x, y + CROSS)))

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
        """The first text that covers no other text and no line; it is then taken.

        over_lines: where there is none, the text that covers the least of the lines.
        """
        second: tuple[int, Text, set[tuple[int, int]]] | None = None
        for text in candidates:
            cells = self.cells(text)
            if cells & self.written:
                continue
            crossed = len(cells & self.drawn)
            if not crossed:
                self.written |= cells
                return text
            if over_lines and (second is None or crossed < second[0]):
                second = crossed, text, cells
        if second:
            self.written |= second[2]
            return second[1]
        return None


@lru_cache(maxsize=4096)
def coarse(curve: Curve) -> tuple[Point, ...]:
    """A curve as the few points that lettering keeps clear of."""
    return tuple(curve.flat(COARSE))


def round_point(
    name: str,
    at: Point,
    size: float,
    *,
    key: bool = False,
    off: Sequence[float] = (),
    others: Sequence[Point] = (),
) -> Iterable[Text]:
    """Places for a point's name, the best first; off: how far from it, in sizes.

    others: points that are drawn too; a name far from its point stands nowhere nearer to one of them.
    """
    x, y = at
    style = "point shown" if key else "point"
    reach = (len(name) + 4) * size
    close = [p for p in others if abs(p[0] - x) < reach and abs(p[1] - y) < 8 * size]
    for far in off or ((0.35, 0.9, 1.6) if not key else (0.35, 0.9, 1.6, 2.4, 3.4)):
        gap = far * size + CROSS * 0.6
        below = gap + 0.7 * size
        for dx, dy, anchor in (
            (gap, gap, "start"), (-gap, gap, "end"), (gap, -below, "start"), (-gap, -below, "end"),
            (gap + CROSS, -0.3 * size, "start"), (-gap - CROSS, -0.3 * size, "end"),
            (0.0, gap + CROSS, "middle"), (0.0, -below - CROSS, "middle"),
        ):  # fmt: skip
            text = Text(x + dx, y + dy, name, size, anchor, 0.0, "labels", style)
            if far < NEAR or _nearest(text, at, close):
                yield text


def _nearest(text: Text, at: Point, others: Sequence[Point]) -> bool:
    """Whether a level text stands no nearer to one of the other points than to its own."""
    (left, low), _, (right, high), _ = text.corners()

    def away(x: float, y: float) -> float:
        across = left - x if x < left else x - right if x > right else 0.0
        up = low - y if y < low else y - high if y > high else 0.0
        return across * across + up * up

    own = away(*at) - 1e-9
    return all(away(x, y) >= own for x, y in others)


def texts_for_screen(items: Iterable[Stroke | Text | Handle], scale: float) -> list[Text]:
    """The texts of a drawing for a screen of `scale` px a cm: neither too small nor too large.

    The greater go first. What covers other words is left out, and so is what covers a line of its piece only
    because it is enlarged, the names of pieces excepted. A text may move a little to keep clear.
    """
    items = list(items)
    low, high = (px / scale for px in PX_TEXT)
    taken = Taken(PX_CELL / scale)
    lines: dict[str, list[StraightLine]] = {}
    if any(isinstance(item, Text) and item.size_cm < low for item in items):
        for item in items:
            if isinstance(item, Stroke) and item.piece:
                lines.setdefault(item.piece, []).extend(straight_lines(item.d))
    out = []
    for text in sorted((item for item in items if isinstance(item, Text)), key=lambda text: -text.size_cm):
        shown = replace(text, size_cm=min(max(text.size_cm, low), high))
        if shown.size_cm > text.size_cm and text.piece in lines:
            own = lines[text.piece]
            free = (
                one for one in _moved_a_little(shown) if not covers_line(one, own) and _clear(shown, one, own)
            )
            kept = taken.write(free) or (taken.write([shown]) if text.style == "heading" else None)
        else:
            kept = taken.write([shown])
        if kept:
            out.append(kept)
    return out


_STEPS = (0.0, 0.4, -0.4, 0.8, -0.8, 1.2, -1.2)


def _moved_a_little(text: Text) -> Iterable[Text]:
    """A text where it is, then further off across its base line; the name of a piece along it as well."""
    a = math.radians(text.angle)
    along = (0.0, 1.5, -1.5, 3.0, -3.0) if text.style == "heading" else (0.0,)
    for by, over in sorted(product(along, _STEPS), key=lambda step: math.hypot(*step)):
        u, v = by * text.size_cm, over * text.size_cm
        x, y = u * math.cos(a) - v * math.sin(a), u * math.sin(a) + v * math.cos(a)
        yield replace(text, x=text.x + x, y=text.y + y)


def _clear(before: Text, after: Text, lines: Iterable[StraightLine]) -> bool:
    """Whether a text meets no line on its way to another place: it stays on its side of every line."""
    (x0, y0, *_), (x1, y1, *_) = (
        (sum(v) / 4 for v in zip(*text.corners(), strict=True)) for text in (before, after)
    )
    for x2, y2, x3, y3 in lines:
        a = (x1 - x0) * (y2 - y0) - (y1 - y0) * (x2 - x0)
        b = (x1 - x0) * (y3 - y0) - (y1 - y0) * (x3 - x0)
        c = (x3 - x2) * (y0 - y2) - (y3 - y2) * (x0 - x2)
        d = (x3 - x2) * (y1 - y2) - (y3 - y2) * (x1 - x2)
        if a * b < 0 and c * d < 0:
            return False
    return True


def covers_line(text: Text, lines: Iterable[StraightLine]) -> bool:
    """Whether one of the straight lines runs through the space of a text.

    >>> covers_line(Text(0, 0, "hem"), [(-9, 0.2, 9, 0.2)]), covers_line(Text(0, 0, "hem"), [(-9, 2, 9, 2)])
    (True, False)
    """
    corner, right, _, up = text.corners()
    ux, uy, vx, vy = right[0] - corner[0], right[1] - corner[1], up[0] - corner[0], up[1] - corner[1]
    wide, high = ux * ux + uy * uy, vx * vx + vy * vy
    for x1, y1, x2, y2 in lines:
        low, top = 0.0, 1.0  # the shares of the line between which it is inside the text
        for ax, ay, length in ((ux, uy, wide), (vx, vy, high)):
            start = ((x1 - corner[0]) * ax + (y1 - corner[1]) * ay) / length
            end = ((x2 - corner[0]) * ax + (y2 - corner[1]) * ay) / length
            if abs(end - start) < 1e-12:
                if not 0 < start < 1:
                    break
                continue
            first, last = sorted((-start / (end - start), (1 - start) / (end - start)))
            low, top = max(low, first), min(top, last)
            if low >= top:
                break
        else:
            return True
    return False

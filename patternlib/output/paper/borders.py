"""Pieces moved a little on their sheet of pages, where a page would show only some millimetres of one."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from ..items import Box

LEAST = 1.0
"""cm: what a page shows of a piece is at least so wide and so high (no source; a strip to hold and glue)."""
APART = 0.4
"""cm between the boxes of two pieces after a move."""
REACH, STEP = 2.4, 0.2
"""cm: how far a piece is moved each way, and in what steps."""

_STEPS = range(-round(REACH / STEP), round(REACH / STEP) + 1)
MOVES = sorted(((i * STEP, j * STEP) for i in _STEPS for j in _STEPS), key=lambda move: math.hypot(*move))
"""cm: what is tried, the shortest first."""

Place = tuple[float, float]
Cells = set[tuple[int, int]]


def off_borders(
    shapes: Sequence[Any],
    sizes: Sequence[Place],
    places: Sequence[Place],
    cell: Box,
    cells_of: Callable[[int, Place], Cells],
) -> list[Place]:
    """The places of pieces, some moved by up to REACH.

    shapes: a polygon of each piece whose box starts in (0, 0), None for what is left where it is; sizes: of
    the boxes; places: their lower left corners; cell: the first page (left, low, right, top), the others
    follow on it to the right and downward; cells_of: the pages that a piece needs at a place. No move lets
    boxes come nearer to each other than APART, needs a page more, or leaves the sheet.
    """
    sheet = _Sheet(shapes, sizes, list(places), cell, cells_of)
    for k in range(len(shapes)):
        if not sheet.is_cut_narrowly(k):
            continue
        right, low = sheet.places[k][0] + sizes[k][0], sheet.places[k][1]
        beside = [i for i, (x, _) in enumerate(sheet.places) if x >= right]
        below = [i for i, (_, y) in enumerate(sheet.places) if y + sizes[i][1] <= low]
        for group in ((k,), (k, *beside), (k, *below)):
            if sheet.move(group):
                break
    return sheet.places


class _Sheet:
    """Pieces at their places on the pages."""

    def __init__(self, shapes, sizes, places, cell: Box, cells_of):
        self.shapes, self.sizes, self.places = shapes, sizes, places
        self.cell, self.cells_of = cell, cells_of
        self.needed: list[Cells] = [cells_of(k, place) for k, place in enumerate(places)]
        columns = 1 + max(column for cells in self.needed for _, column in cells)
        right = max(x + w for (x, _), (w, _) in zip(places, sizes, strict=True))
        self.right = max(right, cell[0] + columns * (cell[2] - cell[0]))
        self.low = min(y for _, y in places) - REACH

    def is_cut_narrowly(self, k: int, place: Place | None = None) -> bool:
        shape = self.shapes[k]
        return shape is not None and any(_slivers(shape, place or self.places[k], self.cell))

    def move(self, group: Sequence[int]) -> bool:
        """Move pieces together by as little as frees them all, where that is possible."""
        others = [i for i in range(len(self.places)) if i not in group]
        elsewhere = set().union(*(self.needed[i] for i in others))
        pages = len(elsewhere.union(*(self.needed[i] for i in group)))
        for dx, dy in MOVES:
            moved = {i: (self.places[i][0] + dx, self.places[i][1] + dy) for i in group}
            if not all(self._free(i, place, others) for i, place in moved.items()):
                continue
            if any(self.is_cut_narrowly(i, place) for i, place in moved.items()):
                continue
            needed = {i: self.cells_of(i, place) for i, place in moved.items()}
            if len(elsewhere.union(*needed.values())) <= pages:
                for i in group:
                    self.places[i], self.needed[i] = moved[i], needed[i]
                return True
        return False

    def _free(self, k: int, place: Place, others: Sequence[int]) -> bool:
        """Whether a piece's box is on the sheet and clear of the others'."""
        (x, y), (w, h) = place, self.sizes[k]
        if x < 0 or x + w > self.right or y + h > self.cell[3] or y < self.low:
            return False
        for i in others:
            (u, v), (wide, high) = self.places[i], self.sizes[i]
            if u - APART < x + w and x < u + wide + APART and v - APART < y + h and y < v + high + APART:
                return False
        return True


def _slivers(shape: Any, place: Place, cell: Box) -> Iterator[Any]:
    """The parts of a shape that a page shows less than LEAST of, one way or the other."""
    import shapely

    x0, y0, x1, y1 = shape.bounds
    x0, y0, x1, y1 = x0 + place[0], y0 + place[1], x1 + place[0], y1 + place[1]
    wide, high = cell[2] - cell[0], cell[3] - cell[1]
    columns = range(math.floor((x0 - cell[0]) / wide), math.floor((x1 - cell[0]) / wide) + 1)
    rows = range(math.floor((cell[3] - y1) / high), math.floor((cell[3] - y0) / high) + 1)
    if len(columns) * len(rows) == 1:
        return
    for row in rows:
        top = cell[3] - row * high - place[1]
        for column in columns:
            left = cell[0] + column * wide - place[0]
            shown = shapely.clip_by_rect(shape, left, top - high, left + wide, top)
            for part in getattr(shown, "geoms", (shown,)):
                if part.area > 1e-4:
                    a, b, c, d = part.bounds
                    if min(c - a, d - b) < LEAST:
                        yield part

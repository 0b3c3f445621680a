"""Boxes side by side on one sheet: shelves filled in the given order, small boxes stacked within a shelf."""

from __future__ import annotations

import math
from collections.abc import Sequence

STACK = 1.5
"""A box joins a stack if it makes it no more than this many times as wide."""


def shelves(sizes: Sequence[tuple[float, float]], *, gap: float, width: float | None = None) -> list[tuple[float, float]]:
    """Lower left corners for boxes of (width, height), cm, no two nearer than `gap`.

    Shelf follows shelf downward from y = 0, in the order given. width: of the sheet; None takes one that
    makes the whole about half as wide again as high, in steps of 50 so that small changes leave it alone.
    A box wider than the sheet has a shelf that is wider too.

    >>> shelves([(10, 20), (5, 8), (4, 9), (10, 5)], gap=1, width=22)
    [(0.0, -20.0), (11.0, -8.0), (11.0, -18.0), (0.0, -26.0)]
    """
    if width is None:
        area = sum((w + gap) * (h + gap) for w, h in sizes)
        width = 50.0 * max(1, math.ceil(math.sqrt(1.9 * area) / 50))
    places: list[tuple[float, float]] = []
    top = 0.0
    shelf = 0.0  # height of the shelf at hand
    left = right = 0.0  # of the stack at hand
    used = 0.0  # height of that stack
    for w, h in sizes:
        stacked = used and used + gap + h <= shelf and w <= STACK * (right - left) and left + w <= width
        if stacked:
            places.append((left, top - used - gap - h))
            used += gap + h
            right = max(right, left + w)
            continue
        x = right + gap if used else 0.0
        if used and x + w > width:
            top -= shelf + gap
            x, shelf = 0.0, 0.0
        places.append((x, top - h))
        left, right, used, shelf = x, x + w, h, max(shelf, h)
    return places

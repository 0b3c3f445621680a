"""Boxes side by side on one sheet: shelf below shelf, small boxes stacked beside tall ones."""

from __future__ import annotations

import math
from collections.abc import Sequence

TALL = 0.6
"""A box of this share of the highest one's height goes before the others, so that they stack beside it."""


def sheet_width(sizes: Sequence[tuple[float, float]], *, gap: float) -> float:
    """Width of a sheet that holds the boxes and is about half as wide again as high, in steps of 50 cm."""
    return 50.0 * max(1, math.ceil(math.sqrt(1.9 * sum((w + gap) * (h + gap) for w, h in sizes)) / 50))


def shelves(
    sizes: Sequence[tuple[float, float]], *, gap: float, width: float | None = None
) -> list[tuple[float, float]]:
    """Lower left corners for boxes of (width, height), cm, no two nearer than `gap`.

    Shelf follows shelf downward from y = 0; tall boxes first, otherwise in the order given. width: of the
    sheet; None takes `sheet_width`, whose steps are so wide that small changes leave it alone. A box wider
    than the sheet sticks out of it.

    >>> shelves([(10, 20), (5, 8), (4, 9), (10, 5)], gap=1, width=22)
    [(0.0, -20.0), (11.0, -8.0), (11.0, -18.0), (0.0, -26.0)]
    """
    if width is None:
        width = sheet_width(sizes, gap=gap)
    places = [(0.0, 0.0)] * len(sizes)
    top = shelf = right = 0.0  # upper edge and height of the shelf at hand, and where its next stack starts
    stacks: list[list[float]] = []  # of that shelf: left edge, width, height used
    tall = TALL * max(h for _, h in sizes)
    for k in sorted(range(len(sizes)), key=lambda k: sizes[k][1] < tall):  # sorted keeps the order of equals
        w, h = sizes[k]
        for stack in stacks:
            left, wide, used = stack
            if used + gap + h <= shelf and w <= wide:
                places[k] = left, top - used - gap - h
                stack[2] += gap + h
                break
        else:
            if stacks and right + w > width:
                top -= shelf + gap
                shelf = right = 0.0
                stacks = []
            places[k] = right, top - h
            stacks.append([right, w, h])
            right, shelf = right + w + gap, max(shelf, h)
    return places

"""Allowances, grain lines and labels for the pieces of any garment."""

from __future__ import annotations

from ..alterations import Changes
from ..geometry import Point
from ..pieces import Grain, Piece

SEAM, ENCLOSED, TURNED, OPENING_HEM = 1.0, 0.6, 1.5, 2.5
"""cm: plain seams [Lo 2011]; enclosed tight curves [allowance tables of the trade: 1/4 in]; a free edge
turned twice and stitched, a patch pocket's opening (common practice, no source)."""

GRAIN, SHORTEST_GRAIN = 3.0, 2.0
"""cm: length of a grain line in a low piece, and of one that runs on into the allowances (no source)."""


def grained(piece: Piece) -> Piece:
    """A grain line parallel to the centre through the middle of the piece.

    It takes up three fifths of the piece's height there; in a low piece more, for a line that is shorter than
    GRAIN is hard to lay straight.
    """
    low, high = _span(piece, 1)
    y = low + 0.45 * (high - low)
    x = sum(_chord(piece, y, 0)) / 2
    foot, head = _chord(piece, x, 1)
    height, middle = head - foot, (foot + head) / 2
    half = max(0.6 * height, min(GRAIN, 0.95 * height), SHORTEST_GRAIN) / 2
    return piece.replace(grain=Grain(Point(x, middle - half), Point(x, middle + half)))


def _span(piece: Piece, axis: int) -> tuple[float, float]:
    places = [p[axis] for p in piece.outline.flat(0.1)]
    return min(places), max(places)


def _chord(piece: Piece, at: float, axis: int) -> tuple[float, float]:
    """The widest stretch inside the seam line on the level (axis 0) or upright (axis 1) through `at`."""
    points = piece.outline.flat(0.1)
    other = 1 - axis
    hits = sorted(
        p[axis] + (at - p[other]) * (q[axis] - p[axis]) / (q[other] - p[other])
        for p, q in zip(points, points[1:] + points[:1], strict=True)
        if (p[other] <= at) != (q[other] <= at)
    )
    return max(zip(hits[::2], hits[1::2], strict=False), key=lambda pair: pair[1] - pair[0])


def label_lines(garment: str, size: str, date: str, changes: Changes) -> tuple[str, ...]:
    """What is said of a garment on each of its pieces, for `labelled`; date: '' for none.

    >>> from patternlib.alterations import NONE
    >>> label_lines("kiln-room pinafore", "12", "", NONE)
    ('kiln-room pinafore', 'size 12')
    """
    whose = f"size {size}" if size else "own measures"
    return (garment, whose, *((date,) if date else ()), *changes.label())


def labelled(piece: Piece, about: tuple[str, ...]) -> Piece:
    """The piece with its label: name, two lines `about` it, how it is cut, its cloths, the other lines."""
    how = f"cut {piece.cut}" + (" on the fold" if piece.on_fold else " as a pair" if piece.pair else "")
    cloths = [c if piece.copies(c) == piece.cut else f"{c}: cut {piece.copies(c)}" for c in piece.cloths]
    return piece.replace(label=(piece.name, *about[:2], how, *cloths, *about[2:]))

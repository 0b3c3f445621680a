"""How each line and each lettering of a drawing looks: one table for paper, pictures and boards.

Width and dashes carry the meaning; grey and colour only support it, so that a drawing survives a
black-and-white copier and every kind of colour vision. Widths and dashes are mm on full-size paper.
"""

from __future__ import annotations

from typing import NamedTuple

BLUE, VERMILION = "#0072b2", "#d55e00"
"""Two colours told apart with every kind of colour vision [Okabe and Ito, Color Universal Design, 2008]."""


class Line(NamedTuple):
    """width: mm; dashes: mm drawn, mm left out, and so on (empty: unbroken); grey: 0 black to 255 white;
    colour: for the screen; words: for a key to the lines."""

    width: float
    dashes: tuple[float, ...]
    grey: int
    colour: str
    words: str


class Lettering(NamedTuple):
    """bold and slanted letters, grey and colour as for lines."""

    bold: bool
    slanted: bool
    grey: int
    colour: str


LINES: dict[str, Line] = {
    "cut": Line(0.55, (), 0, "#000000", "cut line"),
    "seam": Line(0.35, (5.0, 2.0), 0, "#000000", "seam line"),
    "fold": Line(0.45, (10.0, 1.8, 1.8, 1.8), 0, "#000000", "fold"),
    "grain": Line(0.3, (), 0, "#000000", "grain line"),
    "notch": Line(0.6, (), 0, "#000000", "notch"),
    "hole": Line(0.25, (), 0, "#000000", "drill hole"),
    "placement": Line(0.35, (0.9, 1.3), 40, "#222222", "placement line"),
    "buttonhole": Line(0.35, (2.2, 0.5), 0, "#000000", "buttonhole"),
    "style line": Line(0.5, (), 0, BLUE, "style line"),
    "block": Line(0.25, (7.0, 2.5), 110, "#6a6a6a", "block underneath"),
    "construct": Line(0.18, (1.8, 1.4), 130, "#7d7d7d", "construction line"),
    "measure": Line(0.15, (), 90, "#555555", "measure"),
    "target": Line(1.0, (1.2, 2.4), 120, "#777777", "target"),
    "walked": Line(0.9, (), 0, BLUE, "seam line, walked"),
    "own": Line(0.7, (), 60, VERMILION, "your line"),
    "grid": Line(0.1, (), 200, "#c8c8c8", "grid"),
    "square": Line(0.11, (), 204, "#a5d3f7", "squares to draw on"),
    "tenth": Line(0.26, (), 196, "#9ccff8", "every 10 cm of the pattern"),
    "contour": Line(0.65, (), 0, "#000000", "finished edge"),
    "sewn": Line(0.4, (), 0, "#000000", "seam, sewn"),
    "stitching": Line(0.3, (1.5, 1.0), 0, "#000000", "stitching that shows"),
    "sewing": Line(1.2, (), 0, VERMILION, "sewn in this step"),
    "tight": Line(0.8, (), 0, VERMILION, "tight crease"),
    "loose": Line(0.8, (4.0, 1.2), 0, BLUE, "loose fold"),
    "shade": Line(0.12, (), 140, "#8a8a8a", "wrong side or inside"),
}

_SIZE_DASHES = (
    (6.0, 1.5), (), (2.5, 1.2), (0.5, 1.2), (8.0, 1.5, 0.6, 1.5), (8.0, 1.5, 0.6, 1.2, 0.6, 1.5),
    (8.0, 1.5, 0.6, 1.2, 0.6, 1.2, 0.6, 1.5), (8.0, 1.5, 2.5, 1.5), (8.0, 1.5, 2.5, 1.2, 2.5, 1.5),
    (3.0, 1.2, 0.6, 1.2),
)  # fmt: skip
SIZES = tuple(f"size {k + 1}" for k in range(2 * len(_SIZE_DASHES)))
"""One line style for each size of a nest, smallest first; from the eleventh on the lines are thick."""
LINES |= {
    name: Line(width, dashes, 0, (BLUE, "#000000", VERMILION)[k % 3], "a size")
    for k, (name, dashes) in enumerate(zip(SIZES, _SIZE_DASHES * 2, strict=True))
    for width in (0.35 if k < 10 else 0.7,)
}

PX_WIDTH, PX_DASH = 3.2, 2.0
"""px of a screen for each mm of a line's width and of its dashes."""

LETTERINGS: dict[str, Lettering] = {
    "label": Lettering(False, False, 0, "#000000"),
    "heading": Lettering(True, False, 0, "#000000"),
    "measure": Lettering(False, True, 60, "#333333"),
    "point": Lettering(False, False, 90, "#555555"),
    "point shown": Lettering(True, False, 0, "#000000"),
}

LEAST_TEXT = 0.3
"""cm; no lettering on paper is smaller (8.5 points)."""

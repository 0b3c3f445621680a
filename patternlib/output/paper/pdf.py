"""Drawings as PDF pages of true size: sheets to be joined, or one sheet of a roll.

Written with ReportLab: it writes vector paths with true cubics and dashes, needs no other program, repeats
its output byte for byte, and has been kept up for more than twenty years (BSD licence).
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any

from ..items import Box, Stroke, Text, item_box, join_boxes
from ..scene import Scene
from ..signs import plus, ring
from ..styles import Line
from .first import first_page, first_strip, overlap
from .pen import POINTS, Pen, new_canvas, printable
from .tiles import LAP, MARGIN, TRIM, Page, Tiling, outlines, read_paper, tile, wanted

CUT_OFF = Line(0.2, (), 120, "#787878", "cut off the strip outside this line")
LAY_ON = Line(0.2, (3.0, 2.0), 120, "#787878", "lay the next page's cut edge here")
MARK = Line(0.25, (), 120, "#787878", "corner mark")
ARM, RING = 0.65, 0.4
"""cm: arms and radius of a corner mark."""
NAME = 1.3
"""cm: size of a page's name."""
NOTE = 0.28
"""cm: size of the words on the strip that the next page covers."""
ALONG = (0.5, 0.25, 0.75)
"""Where these words are tried, as shares of the strip."""
ACROSS = (0.14, 0.5, 0.85, 0.32, 0.68)
"""Where the page's name is tried, as shares of its width and height."""
GREY, PALE = 120, 205
ON_FIRST_PAGE = ("key", "test square")
"""Parts of a drawing that the first page shows anyway."""


def as_pdf(
    scene: Scene,
    *,
    paper: str = "a4",
    pieces: Sequence[str] | None = None,
    layers: Sequence[str] | None = None,
    colour: bool = True,
) -> bytes:
    """Give a scene as PDF pages of true size, the same bytes for the same scene.

    paper: 'a4', 'letter', 'a3', 'a0', or a roll such as 'roll=90' (cm); pieces, layers: only these are
    printed; colour: False prints in greys. The pieces are laid out again to save pages. The first page holds
    the test square, the map of the pages and the key to the lines; large sheets carry these in a strip.
    Raises UnknownName for a paper, piece or layer that does not exist.

    >>> from patternlib.output.items import Stroke
    >>> from patternlib.output.scene import Scene
    >>> line = Stroke((("M", 0, 0), ("L", 30, 0)), "cut", "cut lines")
    >>> as_pdf(Scene((line,), "a line", (0, 0, 30, 1)))[:5]
    b'%PDF-'
    """
    if pieces is None:
        scene = replace(
            scene, items=tuple(i for i in scene.items if getattr(i, "piece", "") not in ON_FIRST_PAGE)
        )
    return pages(tile(wanted(scene, pieces=pieces, layers=layers), read_paper(paper)), colour=colour)


def save_pdf(scene: Scene, path: str | Path, **options) -> Path:
    """Write a scene to a PDF file, options as for `as_pdf`; gives the path."""
    path = Path(path)
    path.write_bytes(as_pdf(scene, **options))
    return path


def pages(tiling: Tiling, *, colour: bool = True) -> bytes:
    """The pages of a tiling as a PDF."""
    out = io.BytesIO()
    canvas = new_canvas(out)
    canvas.setTitle(printable(tiling.scene.title))
    canvas.setCreator("patternlib")
    canvas.setViewerPreference("PrintScaling", "None")
    draw_pages(canvas, tiling, colour=colour)
    canvas.save()
    return out.getvalue()


def draw_pages(
    canvas: Any,
    tiling: Tiling,
    *,
    colour: bool = True,
    fine: Sequence[str] = (),
    also: Callable[[Pen, Page], None] | None = None,
) -> None:
    """Add the pages of a tiling to a ReportLab canvas.

    fine: styles too dense for the map of the pages; also: draws what lies on top of each page, in cm from its
    lower left corner.
    """
    pen = Pen(canvas, colour=colour)
    if not tiling.paper.large:
        canvas.setPageSize((tiling.paper.width * POINTS, (tiling.paper.height or 0.0) * POINTS))
        seen = tuple(i for i in tiling.scene.items if not (isinstance(i, Stroke) and i.style in fine))
        first_page(pen, replace(tiling, scene=replace(tiling.scene, items=seen)))
        canvas.showPage()
    boxes: list[tuple[Any, Box]] = [(item, item_box(item)) for item in tiling.scene.items]
    for page in tiling.pages:
        canvas.setPageSize((tiling.width * POINTS, tiling.height * POINTS))
        _page(pen, page, tiling, [item for item, box in boxes if _touches(box, page.shown)])
        if tiling.paper.large and page is tiling.pages[0]:
            pen.start()
            first_strip(pen, MARGIN + TRIM, tiling.height - MARGIN - TRIM, tiling)
            pen.end()
        if also is not None:
            also(pen, page)
        canvas.showPage()


def _touches(a: Box, b: Box) -> bool:
    return a[0] <= b[2] + 0.1 and b[0] <= a[2] + 0.1 and a[1] <= b[3] + 0.1 and b[1] <= a[3] + 0.1


def _page(pen: Pen, page: Page, tiling: Tiling, items: Sequence[Stroke | Text]) -> None:
    x0, y0, *_ = page.shown
    pen.start(MARGIN - x0, MARGIN - y0, page.shown)
    if len(tiling.pages) > 1:
        _page_name(pen, page, tiling.scene.title, items)
        _joins(pen, page, tiling, items)
    for item in items:
        if isinstance(item, Stroke):
            pen.stroke(item)
    for item in items:
        if isinstance(item, Text):
            pen.text(item)
    pen.end()


def _page_name(pen: Pen, page: Page, title: str, items: Sequence[Stroke | Text]) -> None:
    """The page's name, large and pale under the drawing, and what is printed, where they cover no words."""
    x0, y0, x1, y1 = page.cell
    words = [item_box(item) for item in items if isinstance(item, Text)]
    lines = [
        (min(x, u), min(y, v), max(x, u), max(y, v))
        for _, run in outlines(items, rough=True)
        for x, y, u, v in run
    ]
    for taken in (words + lines, words):
        for down, across in product(ACROSS, ACROSS):
            text = Text(x0 + across * (x1 - x0), y1 - down * (y1 - y0), page.name, NAME, style="heading")
            below = Text(text.x, text.y - 2 * NOTE, title, NOTE)
            room = join_boxes((item_box(text), item_box(below)))
            if room[0] > x0 and room[2] < x1 and not any(overlap(room, box) for box in taken):
                pen.words(text.x, text.y, text.text, NAME, anchor="middle", bold=True, grey=PALE)
                pen.words(below.x, below.y, title, NOTE, anchor="middle", grey=GREY)
                return


def _joins(pen: Pen, page: Page, tiling: Tiling, items: Sequence[Stroke | Text]) -> None:
    """Lines to cut and to lay the next page on, corner marks, and what is joined where."""
    x0, y0, x1, y1 = page.cell
    low_x, low_y, high_x, high_y = page.shown
    known = {(p.row, p.column): p.name for p in tiling.pages}
    r, c = page.row, page.column
    if (r, c - 1) in known:
        pen.line((("M", x0, low_y), ("L", x0, high_y)), CUT_OFF)
    if (r - 1, c) in known:
        pen.line((("M", low_x, y1), ("L", high_x, y1)), CUT_OFF)
    if (r, c + 1) in known:
        pen.line((("M", x1, high_y), ("L", x1, low_y)), LAY_ON)
        _note(pen, f"{page.name}: lay the cut edge of {known[r, c + 1]} along this line", items,
              [(x1 + 0.65 * LAP, y0 + share * (y1 - y0)) for share in ALONG], 90.0)  # fmt: skip
    if (r + 1, c) in known:
        pen.line((("M", low_x, y0), ("L", high_x, y0)), LAY_ON)
        _note(pen, f"{page.name}: lay the cut edge of {known[r + 1, c]} along this line", items,
              [(x0 + share * (x1 - x0), y0 - 0.38 * LAP) for share in ALONG], 0.0)  # fmt: skip
    for down, right in ((0, 0), (0, 1), (1, 0), (1, 1)):
        around = {(r + down - i, c + right - j) for i in (0, 1) for j in (0, 1)}
        if len(around & known.keys()) > 1:
            _corner_mark(pen, x1 if right else x0, y0 if down else y1)


def _note(pen: Pen, words: str, items: Sequence[Stroke | Text], places: Sequence, angle: float) -> None:
    """Words on the strip, at the first of the places where they cover none of the drawing's."""
    taken = [item_box(item) for item in items if isinstance(item, Text)]
    notes = [Text(x, y, words, NOTE, angle=angle) for x, y in places]
    free = [note for note in notes if not any(overlap(item_box(note), box) for box in taken)]
    note = (free or notes)[0]
    pen.words(note.x, note.y, words, NOTE, anchor="middle", angle=angle, grey=GREY)


def _corner_mark(pen: Pen, x: float, y: float) -> None:
    """A ring with a cross, its middle on the corner where pages meet."""
    pen.line([*ring(x, y, RING), *plus(x, y, ARM)], MARK)

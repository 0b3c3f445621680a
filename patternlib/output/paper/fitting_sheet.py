"""The sheet of changes as a page: version, day, what was seen, what was pinched, what was done and why."""

from __future__ import annotations

import io

from ...alterations import ONE_SIDE, Changes
from .pen import POINTS, Pen, new_canvas, printable
from .tiles import read_paper

EDGE, LARGE, PLAIN, SMALL, GAP = 1.5, 0.6, 0.36, 0.3, 0.5
"""cm: margin, sizes of lettering, room between what stands on a page."""
COLUMNS = (1.6, 2.6, 4.4, 2.2)
"""cm: width of version, day, sign and pinch; what was done takes the rest."""
HEADS = ("Version", "Day", "Sign on the body", "Pinched", "What was done on the paper, and why")
EMPTY = 4
"""Empty lines for what is written by hand."""


def changes_pdf(changes: Changes, *, title: str, paper: str = "a4", unit: str = "cm") -> bytes:
    """The sheet as a PDF, with empty lines for the next fitting. unit: of the pinches, 'cm' or 'in'.

    >>> changes_pdf(Changes(), title="Pinafore: changes")[:5]
    b'%PDF-'
    """
    sheet = read_paper(paper)
    wide, high = sheet.width, sheet.height or 29.7
    out = io.BytesIO()
    canvas = new_canvas(out, pagesize=(wide * POINTS, high * POINTS))
    canvas.setTitle(printable(title))
    canvas.setCreator("patternlib")
    pen = Pen(canvas)
    y = pen.block(EDGE, high - EDGE, wide - 2 * EDGE, title, LARGE, bold=True) - GAP
    y = _row(pen, y, wide, HEADS, bold=True) - 0.2
    drafted = ("1", "", "as drafted", "", "")
    for row in (drafted, *changes.rows(unit)):
        if y < EDGE + 4:
            canvas.showPage()
            y = _row(pen, high - EDGE, wide, HEADS, bold=True) - 0.2
        y = _row(pen, y, wide, row) - 0.25
    if changes.one_sided():
        y = pen.block(EDGE, y - 0.2, wide - 2 * EDGE, ONE_SIDE, SMALL, slanted=True) - GAP
    for k in range(EMPTY):
        level = y - 0.4 - 1.3 * (k + 1)
        if level > EDGE:
            canvas.setLineWidth(0.5)
            canvas.line(EDGE * POINTS, level * POINTS, (wide - EDGE) * POINTS, level * POINTS)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def _row(pen: Pen, y: float, wide: float, cells: tuple[str, ...], **look) -> float:
    """One row of the table; gives the level under its longest cell."""
    x, low = EDGE, y
    widths = (*COLUMNS, wide - 2 * EDGE - sum(COLUMNS))
    for text, width in zip(cells, widths, strict=True):
        if text:
            low = min(low, pen.block(x, y, width - 0.3, text, SMALL, **look))
        x += width
    return low

"""Markers, the two-dimensional code and the test line, drawn on a page with a pen.

Lengths in cm on the page, y up. The two-dimensional code is a QR code [ISO/IEC 18004], its cells
calculated by ReportLab; its white border is four cells wide, as the standard asks.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..geometry import Point
from ..output.items import Box
from ..output.paper.pen import POINTS, Pen
from ..output.styles import Line
from .codes import marker_cells
from .layouts import QUIET, TEST_LINE, Layout

BORDER = 4
"""White cells round a two-dimensional code."""
INK = Line(0.3, (), 0, "#000000", "test line")
CUT = Line(0.2, (), 120, "#787878", "cut along this line")
TICK = 0.15
"""cm: half of the height of the ends of the test line."""
LETTERS = 0.24
"""cm: size of the words at the test line."""


def draw_layout(pen: Pen, layout: Layout, *, code: str = "", measured: bool = True) -> None:
    """Draw all that a layout has on the page at hand; code: the text of the two-dimensional code.

    measured: with the test line, where the layout has one.
    """
    for number, corners in layout.markers.items():
        draw_marker(pen, number, corners)
    if code and layout.code is not None:
        draw_code(pen, code, layout.code)
    if measured and layout.test_line is not None:
        draw_test_line(pen, *layout.test_line)


def draw_marker(pen: Pen, number: int, corners: Sequence[Point]) -> None:
    """One marker on white ground; corners of its black square from the upper left one clockwise."""
    (x0, y1), (x1, y0) = corners[0], corners[2]
    blank(pen, (x0 - QUIET, y0 - QUIET, x1 + QUIET, y1 + QUIET))
    cells = marker_cells(number)
    black = [
        (row, column) for row, line in enumerate(cells) for column, white in enumerate(line) if not white
    ]
    _cells(pen, black, x0, y1, (x1 - x0) / len(cells))


def draw_code(pen: Pen, text: str, box: Box) -> None:
    """A two-dimensional code in a square box, its white border in it."""
    from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel

    made = QRCode(None, QRErrorCorrectLevel.L)
    made.addData(text)
    made.make()
    x0, _, x1, y1 = box
    side = (x1 - x0) / (made.getModuleCount() + 2 * BORDER)
    black = [
        (row, column) for row, line in enumerate(made.modules) for column, dark in enumerate(line) if dark
    ]
    blank(pen, box)
    _cells(pen, black, x0 + BORDER * side, y1 - BORDER * side, side)


def draw_test_line(pen: Pen, start: Point, end: Point) -> None:
    """The line that is measured after printing, with its length in words."""
    blank(pen, (start.x - 0.3, start.y - 0.4, end.x + 0.3, start.y + 0.2))
    ends = [
        command
        for x, y in (start, end)
        for command in (("M", x, y - TICK), ("L", x, y + TICK))
    ]  # fmt: skip
    pen.line((("M", *start), ("L", *end), *ends), INK)
    words = f"test line: {TEST_LINE:g} cm from end to end. Measure it after printing and note its length."
    pen.words(start.x + 0.3, start.y - 0.32, words, LETTERS, grey=60)


def blank(pen: Pen, box: Box) -> None:
    """White ground over what was drawn before."""
    x0, y0, x1, y1 = box
    pen.canvas.saveState()
    pen.canvas.setFillColorRGB(1, 1, 1)
    pen.canvas.rect(*pen.at(x0, y0), (x1 - x0) * POINTS, (y1 - y0) * POINTS, stroke=0, fill=1)
    pen.canvas.restoreState()


def _cells(pen: Pen, black: Iterable[tuple[int, int]], left: float, top: float, side: float) -> None:
    """Black cells, (row, column) from the upper left one, as one area, with no seams where they touch."""
    path = pen.canvas.beginPath()
    runs: dict[int, list[list[int]]] = {}
    for row, column in black:
        line = runs.setdefault(row, [])
        if line and line[-1][1] == column:
            line[-1][1] = column + 1
        else:
            line.append([column, column + 1])
    over = side / 50  # rows overlap by a hair: touching areas show a pale seam on screens
    for row, line in runs.items():
        for first, end in line:
            x, y = left + first * side, top - (row + 1) * side
            below = over if row + 1 in runs else 0.0
            path.rect(*pen.at(x, y - below), (end - first) * side * POINTS, (side + below) * POINTS)
    pen.canvas.saveState()
    pen.canvas.setFillColorRGB(0, 0, 0)
    pen.canvas.drawPath(path, stroke=0, fill=1, fillMode=1)
    pen.canvas.restoreState()

"""Where the printed markers lie: on the pages of a worksheet, on strips for full-size drafts, on flags.

Lengths in cm on the paper as printed; the origin is the lower left corner of the page, y points up.
Worksheets have the numbers 0 to 299, flags 300 to 479, strips 480 to 575.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from ..errors import ValueAtFault, unknown
from ..geometry import Point
from ..output.items import Box
from ..output.paper.tiles import LAP, MARGIN, SHEETS, TRIM

PAPERS = tuple(name for name in SHEETS if name != "a0")
"""Papers that a telephone sees whole."""
A_PAGE, PAGES = 20, 15
"""Markers on a page of a worksheet; so many pages in a row have markers of their own."""
FLAGS, STRIPS = 300, 480
"""First numbers of flags and of strips."""
SHEET_MARKER, FLAG_MARKER, STRIP_MARKER = 0.8, 1.2, 1.8
"""cm: sides of the black squares."""
QUIET = 0.2
"""cm: what stays white round a marker; readers need one cell, an eighth of the side."""
ACROSS_SHEET, ALONG_SHEET = 5, 7
"""Markers on a short and on a long side of a page, those in the corners counted on both."""
CODE = 1.8
"""cm: side of the room for the two-dimensional code, with its own white border."""
TEST_LINE = 15.0
"""cm: the line that is measured after printing, on pages and on strips."""
A_STRIP = 12
"""Markers on a strip."""
STRIP_SIZE = (25.0, 4.5)
"""cm: length and width of a strip; four lie on A4 and on Letter."""
STRIP_PITCH = 4.1
"""cm from marker to marker in a row of a strip; the second row is shifted by half of this."""
STRIP_TOP = 0.8
"""cm above the strips on the page; the test line has its place below them."""
LINE_HEIGHT = 1.4
"""cm: the test line above the lower edge of the page."""
NAMES = "ABCDEFGH"
"""Strips by name: A to D on the first page, E to H on the second."""
FLAG_SIZE = (1.6, 2.4)
"""cm: a flag's width, and its height with the tip."""

Corners = tuple[Point, Point, Point, Point]


@dataclass(frozen=True)
class Layout:
    """What is printed on one body of paper, a page, a strip or a flag.

    size: of the page, the strip or the flag; markers: the corners of the black squares by number, from the
    upper left one clockwise as printed; box: the part of the page that the rim of markers goes round, or the
    box of the strip or flag; code: room for the two-dimensional code; test_line: its ends; marks: places
    between which distances are measured, by the strip's name; tip: what a flag points at.
    """

    name: str
    size: tuple[float, float]
    markers: Mapping[int, Corners]
    box: Box
    code: Box | None = None
    test_line: tuple[Point, Point] | None = None
    marks: Mapping[str, Point] = field(default_factory=lambda: MappingProxyType({}))
    tip: Point | None = None


def sheet_layout(paper: str, page: int, *, across: bool = False) -> Layout:
    """The markers on a page of a worksheet, inside what is left of it when pages are cut and joined.

    paper: 'a4', 'letter' or 'a3'; page: from 0, after 15 pages the numbers start again; across: the page lies
    on its long side. Raises UnknownName for another paper, ValueAtFault for a page below 0.

    >>> layout = sheet_layout("a4", 1)
    >>> len(layout.markers), min(layout.markers), layout.markers[20][0]
    (20, 20, Point(x=1.4, y=28.3))
    """
    if paper not in PAPERS:
        raise unknown("paper for worksheets", paper, PAPERS)
    if page < 0:
        raise ValueAtFault("page", page, "must be 0 or more")
    short, long = SHEETS[paper]
    wide, high = (long, short) if across else (short, long)
    columns, rows = (ALONG_SHEET, ACROSS_SHEET) if across else (ACROSS_SHEET, ALONG_SHEET)
    left, low = MARGIN + TRIM + QUIET, MARGIN + LAP + QUIET
    right, top = wide - MARGIN - LAP - QUIET - SHEET_MARKER, high - MARGIN - TRIM - QUIET - SHEET_MARKER
    xs = [left + k * (right - left) / (columns - 1) for k in range(columns)]
    ys = [top + k * (low - top) / (rows - 1) for k in range(rows)]
    places = [(x, top) for x in xs]
    places += [(x, y) for y in ys[1:-1] for x in (left, right)]
    places += [(x, low) for x in xs]
    first = A_PAGE * (page % PAGES)
    markers = {first + k: _square(x, y, SHEET_MARKER) for k, (x, y) in enumerate(places)}
    depth = SHEET_MARKER + QUIET
    middle = (xs[0] + xs[1] + SHEET_MARKER) / 2
    high_edge = top + SHEET_MARKER + QUIET
    code = tuple(map(_exact, (middle - CODE / 2, high_edge - CODE, middle + CODE / 2, high_edge)))
    return Layout(
        f"{paper}{' across' if across else ''}, page {page}",
        (wide, high),
        MappingProxyType(markers),
        (_exact(left + depth), _exact(low + depth), _exact(right - QUIET), _exact(top - QUIET)),
        code=(code[0], code[1], code[2], code[3]),
        test_line=_test_line(wide),
    )


def strips_layout(paper: str, page: int = 0) -> tuple[Layout, ...]:
    """Four strips that one page is cut into, each with 12 markers, a mark to measure from, and the test line.

    paper: 'a4' or 'letter'; page: 0 for the strips A to D, 1 for E to H, where more are wanted. A strip's
    measures are those on the page. Raises UnknownName for another paper, ValueAtFault for another page.

    >>> [strip.name for strip in strips_layout("a4")], min(strips_layout("a4")[1].markers)
    (['strip A', 'strip B', 'strip C', 'strip D'], 492)
    """
    if paper not in ("a4", "letter"):
        raise unknown("paper for strips", paper, ("a4", "letter"))
    if page not in (0, 1):
        raise ValueAtFault("page of strips", page, "must be 0 or 1", "Eight strips are enough for any draft.")
    wide, high = SHEETS[paper]
    return tuple(_strip(4 * page + k, k, wide, high) for k in range(4))


def _strip(number: int, k: int, wide: float, high: float) -> Layout:
    """A strip stands upright on the page, its rows of markers beside each other."""
    length, width = STRIP_SIZE
    x, y = (wide - 4 * width) / 2 + k * width, high - STRIP_TOP - length
    side, gap = STRIP_MARKER, (width - 2 * STRIP_MARKER) / 3
    markers = {}
    for n in range(A_STRIP):
        step, row = divmod(n, 2)
        at = y + length - 2 * QUIET - side - STRIP_PITCH * (step + row / 2)
        markers[STRIPS + A_STRIP * number + n] = _square(x + gap + row * (side + gap), at, side)
    name = NAMES[number]
    # in the room beside a marker, where the rows are shifted: half a pitch below the third marker of a row
    mark = Point(_exact(x + gap + side / 2), _exact(y + length - 2 * QUIET - side / 2 - 2.5 * STRIP_PITCH))
    return Layout(
        f"strip {name}",
        (width, length),
        MappingProxyType(markers),
        (x, y, x + width, y + length),
        test_line=_test_line(wide),
        marks=MappingProxyType({name: mark}),
    )


def flag_layout(number: int) -> Layout:
    """A flag: a marker above a tip that is put on a point; number from 0.

    Raises ValueAtFault for a number that is not between 0 and 179.

    >>> flag = flag_layout(3)
    >>> list(flag.markers), flag.tip
    ([303], Point(x=0.8, y=0.0))
    """
    if not 0 <= number < STRIPS - FLAGS:
        raise ValueAtFault("flag", number, f"must lie between 0 and {STRIPS - FLAGS - 1}")
    wide, high = FLAG_SIZE
    corners = _square((wide - FLAG_MARKER) / 2, high - QUIET - FLAG_MARKER, FLAG_MARKER)
    return Layout(
        f"flag {number}",
        FLAG_SIZE,
        MappingProxyType({FLAGS + number: corners}),
        (0.0, 0.0, wide, high),
        tip=Point(wide / 2, 0.0),
    )


def _test_line(wide: float) -> tuple[Point, Point]:
    """In the middle, near the lower edge, on what is cut off or covered later."""
    start = (wide - TEST_LINE) / 2
    return Point(_exact(start), LINE_HEIGHT), Point(_exact(start + TEST_LINE), LINE_HEIGHT)


def _square(x: float, y: float, side: float) -> Corners:
    x0, y0, x1, y1 = _exact(x), _exact(y), _exact(x + side), _exact(y + side)
    return Point(x0, y1), Point(x1, y1), Point(x1, y0), Point(x0, y0)


def _exact(cm: float) -> float:
    """A place to a ten thousandth of a mm, so that what is printed and what is read agree."""
    return round(cm, 5) + 0.0

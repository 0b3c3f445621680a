"""A drawing cut into pages: which paper, how the pieces lie on it, which pages are needed.

Every page shows its own cell of the drawing, a narrow strip beyond it on the left and at the top, which is
cut off, and a wide one on the right and at the bottom, on which the next page is laid. A cell is needed
where a line or a word falls into it, or where it lies inside a piece: pages without a line, but with paper
of a piece, are kept, so that the piece comes out whole. Lengths in cm, y up, as in a scene.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from typing import Any

from ...errors import ValueAtFault, unknown
from ...units import read_length
from ..items import Box, Handle, Stroke, Text, flat_path, item_box, join_boxes, shifted
from ..layout import shelves
from ..scene import Scene
from ..styles import SIZES
from .borders import off_borders

MARGIN = 1.0
"""cm that stay blank round every page: few printers reach the edge."""
LAP = 1.0
"""cm: the strip on the right and at the bottom on which the next page is laid."""
TRIM = 0.2
"""cm drawn beyond the cell on the left and at the top, so that a crooked cut shows no blank."""
GAP = 1.0
"""cm between pieces."""
HEAD = 12.0
"""cm: height of the strip on the first large sheet that carries the map and the test square."""
LONGEST = 500.0
"""cm: a page of a roll is no longer; a page of a PDF ends at 14,400 points, 508 cm [ISO 32000-1, annex C]."""
SHEETS = {"a4": (21.0, 29.7), "letter": (21.59, 27.94), "a3": (29.7, 42.0), "a0": (84.1, 118.9)}
"""Width and height, cm [ISO 216; Letter: ANSI/ASME Y14.1, 8 1/2 by 11 in]."""
LARGE = 40.0
"""cm: on paper this wide the map has a strip of the first sheet, not a page of its own."""
MANY = 14
"""No drawing is spread over more columns of pages, unless a piece is wider; a roll has one column."""
STRIP = 0.05
"""How much more paper a layout may take, as a share, for being less of a strip by one of its widths."""
JOIN = 0.01
"""How much more paper, as a share, for a piece that lies on one page less."""
ROLLS = (45.0, 200.0)
"""cm: narrowest and widest roll."""

Run = list[tuple[float, float, float, float]]
Lines = list[tuple[bool, Run]]


@dataclass(frozen=True)
class Paper:
    """A sheet of width and height, cm; height None: a roll, cut off where the drawing ends."""

    name: str
    width: float
    height: float | None

    @property
    def large(self) -> bool:
        return self.width >= LARGE


@dataclass(frozen=True)
class Page:
    """One page. row, column: from 0; cell: the part of the drawing that it adds, a box."""

    row: int
    column: int
    cell: Box

    @property
    def name(self) -> str:
        """Row letter and column number: A1 is at the top on the left."""
        return row_letters(self.row) + str(self.column + 1)

    @property
    def shown(self) -> Box:
        """The part of the drawing seen on the page."""
        x0, y0, x1, y1 = self.cell
        return x0 - TRIM, y0 - LAP, x1 + LAP, y1 + TRIM


@dataclass(frozen=True)
class Tiling:
    """A drawing on pages of width and height, cm. scene: as laid out for them."""

    paper: Paper
    width: float
    height: float
    scene: Scene
    pages: tuple[Page, ...]

    @property
    def columns(self) -> int:
        return 1 + max(page.column for page in self.pages)

    @property
    def rows(self) -> int:
        return 1 + max(page.row for page in self.pages)


def read_paper(text: str) -> Paper:
    """The paper called 'a4', 'letter', 'a3' or 'a0', or a roll such as 'roll=90' (cm) or 'roll=36 in'.

    An unknown name raises UnknownName, a roll that is not 45 to 200 cm wide ValueAtFault.

    >>> read_paper("A4"), read_paper("roll=36 in").width
    (Paper(name='a4', width=21.0, height=29.7), 91.44)
    """
    name, sign, width = text.strip().partition("=")
    name = name.strip().lower()
    if name == "roll":
        if not sign:
            raise ValueAtFault("paper", text, "says no width", "For example roll=90, in cm, or 'roll=36 in'.")
        wide = read_length(width.strip(), name="width of the roll")
        if not ROLLS[0] <= wide <= ROLLS[1]:
            raise ValueAtFault(
                "width of the roll", wide, f"must lie between {ROLLS[0]:g} and {ROLLS[1]:g} cm",
                "Rolls are about 61, 91 or 107 cm wide; for less take a3 or a4.",
            )  # fmt: skip
        return Paper(f"roll-{wide:g}", wide, None)
    if name not in SHEETS or sign:
        raise unknown("paper", text, (*SHEETS, "roll=90"))
    return Paper(name, *SHEETS[name])


def row_letters(row: int) -> str:
    """A, B, ... Z, AA, AB, ... for rows from 0.

    >>> row_letters(0), row_letters(25), row_letters(26), row_letters(52)
    ('A', 'Z', 'AA', 'BA')
    """
    out = ""
    row += 1
    while row:
        row, letter = divmod(row - 1, 26)
        out = chr(65 + letter) + out
    return out


def wanted(
    scene: Scene, *, pieces: Sequence[str] | None = None, layers: Sequence[str] | None = None
) -> Scene:
    """The scene with these pieces and layers only; None: all. Names it does not have raise UnknownName."""
    items = [item for item in scene.items if not isinstance(item, Handle)]
    for what, names, has in (
        ("piece", pieces, dict.fromkeys(item.piece for item in items if item.piece)),
        ("layer", layers, dict.fromkeys(item.layer for item in items)),
    ):
        for name in names or ():
            if name not in has:
                raise unknown(what, name, has)
    kept = tuple(
        item
        for item in items
        if (pieces is None or item.piece in pieces) and (layers is None or item.layer in layers)
    )
    if not kept:
        raise ValueAtFault(
            "pieces and layers", "these", "leave nothing to print", "Name a layer that the piece has."
        )
    return replace(scene, items=kept)


def tile(scene: Scene, paper: Paper) -> Tiling:
    """Lay the pieces of a scene out for a paper, with as few pages as are found, and name the pages needed.

    A scene with lines that belong to no piece keeps its layout. The pages come row by row.
    """
    parts = _parts(scene)
    head = HEAD if paper.large else 0.0
    sizes = [(x1 - x0, y1 - y0) for _, (x0, y0, x1, y1), _ in parts]
    best: tuple[float, Any, float, float, float] | None = None
    for wide, high in _ways(paper):
        step = wide - 2 * MARGIN - TRIM - LAP
        rise = (high or LONGEST) - 2 * MARGIN - TRIM - LAP
        least = math.ceil(max(w for w, _ in sizes) / step - 1e-9)
        for columns in range(least, max(least, MANY if high else 1) + 1):
            places = shelves(sizes, gap=GAP, width=columns * step)
            low = min(y for _, y in places)
            right = max(x + w for (x, _), (w, _) in zip(places, sizes, strict=True))
            cells = {(0, 0)} if head else set()
            lies = 0  # on how many pages the pieces lie, each counted by itself
            for (_, box, lines), (x, y) in zip(parts, places, strict=True):
                own = _cells(lines, box[0] - x, box[1] - y + head, step, rise)
                cells |= own
                lies += len(own)
            long = min(rise, head - low + TRIM) if high is None else rise
            area = len(cells) * wide * (long + 2 * MARGIN + TRIM + LAP)
            if not paper.large:  # a long strip of pages is hard to lay out on a table and to show on a map
                rows, many = (1 + max(numbers) for numbers in zip(*cells, strict=True))
                shape = rows * rise / (many * step)
                area *= 1 + STRIP * max(shape - 1.6, 1 / shape - 2.4, 0)
            area *= 1 + JOIN * lies
            if best is None or area < best[0] - 1e-6:
                best = area, places, wide, step, long
            if right <= (columns - 1) * step or len(parts) == 1:
                break  # more columns change nothing
    if best is None:
        raise ValueAtFault("paper", paper.name, "takes no page", "Choose a larger paper.")
    _, places, wide, step, rise = best

    def cells_of(k: int, place: tuple[float, float]) -> set:
        _, box, lines = parts[k]
        return _cells(lines, box[0] - place[0], box[1] - place[1] + head, step, rise)

    if all(own[0].piece for own, *_ in parts):
        shapes = [_shape(outlines(own), box) for own, box, _ in parts]
        places = off_borders(shapes, sizes, places, (0.0, head - rise, step, head), cells_of)
    items: list[Any] = []
    for (drawn, box, _), (x, y) in zip(parts, places, strict=True):
        items += [shifted(item, x - box[0], y - box[1]) for item in drawn]
    used = _cells(outlines(items), 0.0, head, step, rise) | ({(0, 0)} if head else set())
    pages = [
        Page(row, column, (column * step, head - (row + 1) * rise, (column + 1) * step, head - row * rise))
        for row, column in sorted(used)
    ]
    laid = Scene(tuple(items), scene.title, join_boxes(map(item_box, items)))
    high = rise + 2 * MARGIN + TRIM + LAP
    return Tiling(paper, wide, high, laid, tuple(pages))


def _ways(paper: Paper) -> list[tuple[float, float | None]]:
    """Upright and across; a roll lies one way only."""
    if paper.height is None:
        return [(paper.width, None)]
    return [(paper.width, paper.height), (paper.height, paper.width)]


def _parts(scene: Scene) -> list[tuple[list, Box, Lines]]:
    """(items, box, rough lines) of each piece, or of the whole where some lines belong to no piece."""
    groups: dict[str, list] = {}
    for item in scene.items:
        groups.setdefault("" if isinstance(item, Handle) else item.piece, []).append(item)
    if "" in groups:
        groups = {"": list(scene.items)}
    return [(own, join_boxes(map(item_box, own)), outlines(own, rough=True)) for own in groups.values()]


def _shape(lines: Lines, box: Box) -> Any:
    """The area that the outlines of a piece go round, its box at (0, 0); None where they do not close.

    Also None where shapely is missing, as in a browser: the pages then follow the box of the piece.
    """
    try:
        from shapely import LineString, polygonize, union_all
        from shapely.affinity import translate
    except ModuleNotFoundError:
        return None

    around = [
        LineString([run[0][:2], *(line[2:] for line in run)]) for closed, run in lines if closed and run
    ]
    areas = polygonize([union_all(around)]).geoms if around else ()
    area = max(areas, key=lambda part: part.area, default=None)
    return area and translate(area.simplify(0.01), -box[0], -box[1])


def outlines(items: Iterable[Stroke | Text], *, rough: bool = False) -> Lines:
    """(whether it goes round a piece, straight pieces) of every stroke and text.

    rough: corners, and a point every 2 cm: enough to count pages with.
    """
    out = []
    for item in items:
        if isinstance(item, Text):
            corners = item.corners()
            out.append((False, [(*p, *q) for p, q in pairwise((*corners, corners[0]))]))
            continue
        around = item.style == "cut" or item.style in SIZES or (item.style == "fold" and bool(item.id))
        for points in flat_path(item.d):
            points = _fewer(points) if rough else points
            out.append((around, [(*p, *q) for p, q in pairwise(points)]))
    return out


def _fewer(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Corners, and points at least 2 cm apart."""
    out = [points[0]]
    for before, p, after in zip(points, points[1:], points[2:], strict=False):
        ux, uy, vx, vy = p[0] - before[0], p[1] - before[1], after[0] - p[0], after[1] - p[1]
        turns = abs(ux * vy - uy * vx) > 0.3 * math.hypot(ux, uy) * math.hypot(vx, vy)
        if turns or math.dist(out[-1], p) > 2:
            out.append(p)
    return [*out, points[-1]]


def _cells(lines: Lines, left: float, top: float, wide: float, high: float) -> set:
    """(row, column) of every cell with a line or inside a piece; the first one's corner is (left, top)."""
    found: set[tuple[int, int]] = set()
    rounds: list[Run] = [[]]  # all of them, then each closed by itself: a fold may not be printed
    for around, pieces in lines:
        seen = [(x - left, top - y, u - left, top - v) for x, y, u, v in pieces]
        if around:
            rounds[0] += seen
            seen.append((*seen[-1][2:], *seen[0][:2]))
            rounds.append(seen)
        for piece in seen:
            found.update(_crossed(*piece, wide, high))
    rows, columns = (range(min(numbers), 1 + max(numbers)) for numbers in zip(*found, strict=True))
    bare = set(product(rows, columns)) - found
    return found | {
        (row, column)
        for row, column in bare
        if any(_inside(ring, (column + 0.5) * wide, (row + 0.5) * high) for ring in rounds)
    }


def _crossed(x: float, y: float, u: float, v: float, wide: float, high: float) -> Iterator[tuple[int, int]]:
    """The cells that a straight piece runs through; a line along a border belongs to the cell after it."""
    if y > v:
        x, y, u, v = u, v, x, y
    first, last = math.floor(y / high), math.floor(v / high)
    for row in range(first, last + 1):
        a = x if row == first else x + (u - x) * (row * high - y) / (v - y)
        b = u if row == last else x + (u - x) * ((row + 1) * high - y) / (v - y)
        for column in range(math.floor(min(a, b) / wide), math.floor(max(a, b) / wide) + 1):
            yield max(row, 0), max(column, 0)


def _inside(ring: Run, x: float, y: float) -> bool:
    """Whether a ring winds about a place."""
    turns = 0
    for x1, y1, x2, y2 in ring:
        if (y1 > y) != (y2 > y) and x1 + (x2 - x1) * (y - y1) / (y2 - y1) > x:
            turns += 1 if y2 > y1 else -1
    return turns != 0

"""A nest as a drawing: one piece in all sizes, laid on one another at a point, a line style for each size."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ...errors import ValueAtFault, unknown
from ...geometry import Move, Point
from ...pieces import Edge, Piece
from ...sizes import SizeRange
from ..items import Stroke, Text, curve_path, item_box, join_boxes, path_box, shifted
from ..layout import shelves
from ..lettering.sizes import PAPER, Letters, blocks
from ..lettering.sizes import letters as on_page
from ..lettering.space import Space, StraightLine, straight_lines
from ..signs import drill_hole, grain_line, plus
from ..styles import LEAST_TEXT, SIZES
from .base import Scene, page_width
from .lays import open_at_fold
from .pieces import Sheet, along_longest_edge, fold_bracket

GAP = 3.0
"""cm between nests."""
TEXT = 1.0
"""cm of lettering in the key."""
LETTERS = Letters(TEXT, LEAST_TEXT)
ROW = 3.0
"""cm from one line of the key to the next: letters keep a least size on a narrow board and need room."""


def nest_scene(
    sizes: SizeRange,
    pieces: Iterable[str] | None = None,
    *,
    at: Mapping[str, str] | None = None,
    lines: str = "cut",
) -> Scene:
    """Draw pieces as nests, side by side, with a key to the sizes; each size is a layer of its own.

    pieces: their names, all if left out; at: for some pieces the point where all sizes lie on one another
    (see `SizeRange.nest`); lines: 'cut' or 'seam', the line that is drawn. Raises UnknownName for a piece or
    point that does not exist, ValueAtFault for more sizes than there are line styles.

    >>> from patternlib.sizes import size_range
    >>> nest_scene(size_range("pinafore", "course", ["10", "12"]), ["bib"]).title
    'pinafore, sizes 10 to 12'
    """
    if lines not in ("cut", "seam"):
        raise ValueAtFault(
            "lines", lines, "must be 'cut' or 'seam'", "Paper for cutting shows the cut lines."
        )
    if len(sizes.sizes) > len(SIZES):
        rule = f"are too many: only {len(SIZES)} line styles differ enough"
        raise ValueAtFault("sizes", len(sizes.sizes), rule, "Draw fewer in one nest.")
    names = tuple(pieces) if pieces is not None else sizes.piece_names
    for name in (*names, *(at or {})):
        if name not in sizes.piece_names:
            raise unknown("piece", name, sizes.piece_names)
    drawn = [_nest(sizes, name, (at or {}).get(name), lines) for name in names]
    title = f"{sizes.garment}, {_from_to(sizes.sizes)}"
    drawn.append(_key(sizes, title, lines))
    boxes = [join_boxes(map(item_box, items)) for items in drawn]
    places = shelves([(b[2] - b[0], b[3] - b[1]) for b in boxes], gap=GAP)
    items = []
    for group, box, (x, y) in zip(drawn, boxes, places, strict=True):
        items += [shifted(item, x - box[0], y - box[1]) for item in group]
    x0, y0, x1, y1 = join_boxes(map(item_box, items))
    return Scene(tuple(items), title, (x0 - 1, y0 - 1, x1 + 1, y1 + 1))


def _nest(sizes: SizeRange, name: str, at: str | None, lines: str) -> list[Stroke | Text]:
    """One piece in all sizes; what belongs to one size lies on the layer of that size."""
    sheet = Sheet(name)
    nest = sizes.nest(name, at)
    for size, (piece, move) in nest.items():
        _one_size(sheet, piece, move, size, SIZES[sizes.sizes.index(size)], lines)
    middle, move = list(nest.values())[len(nest) // 2]
    if middle.grain:
        p, q = move(middle.grain.start), move(middle.grain.end)
        d = grain_line(p, q, one_way=middle.grain.one_way)
        sheet.stroke(d, "grain", "marks", "", "grain line")
        sheet.obstacles += straight_lines(d)
    sheet.stroke(plus(0.0, 0.0, 0.6), "construct", "marks", "", "all sizes lie on one another here")
    smallest, move = next(iter(nest.values()))
    seen = page_width(join_boxes(path_box(d) for d, *_ in sheet.strokes), 1.0)
    letters = LETTERS._replace(size=max(TEXT, on_page("screen", seen).size))
    outline = [line for edge in smallest.edges for line in straight_lines(curve_path(edge.curve.moved(move)))]
    for edge in smallest.edges:
        if edge.turn == "fold":
            fold_bracket(sheet, Edge(edge.name, edge.curve.moved(move), 0.0, "fold"), outline, letters)
    pieces = [piece for piece, _ in nest.values()]
    _label(sheet, pieces, outline, list(nest), along_longest_edge(smallest), letters)
    return sheet.items()


def _one_size(sheet: Sheet, piece: Piece, move: Move, size: str, style: str, lines: str) -> None:
    """Outline, fold, notches, drill holes, placement and fold lines of one size, on its own layer."""
    layer = f"size {size}"

    def stroke(d, style: str, title: str) -> None:
        sheet.stroke(tuple(d), style, layer, "", f"{title}, size {size}")
        sheet.obstacles += straight_lines(d)

    ring = [move(p) for p in (piece.cut_line if lines == "cut" and piece.cut_line else piece.outline.flat())]
    fold = _fold_ends(piece, move, ring)
    sheet.stroke(open_at_fold(ring, fold), style, layer, "", f"{sheet.name}, size {size}")
    for edge in piece.edges:  # the seam lines are enough for lettering to keep clear of; they have few points
        sheet.obstacles += straight_lines(curve_path(edge.curve.moved(move)))
    if fold:
        stroke([("M", *fold[0]), ("L", *fold[1])], "fold", f"{sheet.name}, fold")
    ticks = [command for notch in piece.notches for command in _tick(piece, notch, move, lines)]
    if ticks:
        stroke(ticks, "notch", "notches")
    for mark in piece.marks:
        stroke(curve_path(mark.curve.moved(move)), "fold" if mark.style == "fold" else style, mark.name)
    for hole in piece.drill_holes:
        stroke(drill_hole(*move(hole.point)), "hole", f"drill hole: {hole.purpose}")


def _fold_ends(piece: Piece, move: Move, ring: Sequence[Point]) -> tuple[Point, Point] | None:
    """Where the fold of a piece meets the line that is drawn; None where it has no fold."""
    edge = next((edge.curve for edge in piece.edges if edge.turn == "fold"), None)
    if edge is None:
        return None
    p, q = move(edge.start), move(edge.end)
    way = (q - p).unit()
    on = sorted(way.dot(c - p) for c in ring if abs(way.cross(c - p)) < 0.02)
    return (p + way * on[0], p + way * on[-1]) if len(on) > 1 else None


def _tick(piece: Piece, notch, move: Move, lines: str):
    """A notch as a short line across the seam line, out to the cut line where that is drawn."""
    edge = piece.edge(notch.edge)
    long = edge.curve.length
    for off in (0.0,) if notch.count == 1 else (-0.5, 0.5):
        place = min(max(notch.at + off, 0.0), long)
        p, out = edge.curve.at(place), edge.curve.direction(place).right()
        far = edge.allowance if lines == "cut" else 0.25
        near = far - min(0.3, edge.allowance / 2 or 0.3) if lines == "cut" else -0.25
        yield ("M", *move(p + out * near))
        yield ("L", *move(p + out * far))


def _label(
    sheet: Sheet,
    pieces: list[Piece],
    outline: list[StraightLine],
    sizes: list[str],
    along: float,
    letters: Letters,
) -> None:
    """The name, the sizes and what else the labels of all sizes say, inside the smallest where it fits."""
    shared = [line for line in pieces[0].label if all(line in piece.label for piece in pieces)]
    rest = [line for line in shared if line != sheet.name]
    lines = [sheet.name, _from_to(sizes), *rest]
    spaces = [Space(outline, sheet.obstacles, angle) for angle in (0.0, 90.0, along)]
    for block in (*blocks(lines, sheet.name, letters), *blocks(lines, sheet.name, PAPER)):
        for space in spaces:
            found = space.place(block)
            if found:
                sheet.write(found)
                return
    block = next(iter(blocks(lines, sheet.name, letters)))
    low = min(min(y, v) for _, y, _, v in sheet.obstacles)
    sheet.write(spaces[0].written(block, spaces[0].left, low - letters.size, "start"))


def called(size: str) -> str:
    """What a size is called: one of a chart by the word and its name, somebody's own by a word alone.

    >>> called("12"), called("M"), called("mine")
    ('size 12', 'size M', 'mine')
    """
    return size if size.isalpha() and size.islower() else f"size {size}"


def _from_to(sizes: Sequence[str]) -> str:
    """The sizes of a nest in words.

    >>> _from_to(["8", "10", "12"]), _from_to(["12", "mine"])
    ('sizes 8 to 12', 'size 12 and mine')
    """
    first, last = sizes[0], sizes[-1]
    if called(last) == last:
        return f"{called(first)} and {last}"
    return f"sizes {first} to {last}"


def _key(sizes: SizeRange, title: str, lines: str) -> list[Stroke | Text]:
    """A line of each size with the size beside it."""
    items: list[Stroke | Text] = [Text(0.0, 0.0, title, 1.3 * TEXT, "start", style="heading", piece="key")]
    words = {"cut": "cut lines", "seam": "seam lines, without allowances"}[lines]
    items.append(Text(0.0, -ROW, words, TEXT, "start", piece="key"))
    for k, size in enumerate(sizes.sizes):
        y = -(k + 2) * ROW
        items.append(
            Stroke((("M", 0.0, y), ("L", 9.0, y)), SIZES[k], f"size {size}", "", f"size {size}", "key")
        )
        items.append(Text(9.8, y - 0.3 * TEXT, called(size), TEXT, "start", piece="key"))
    return items

"""A nest as a drawing: one piece in all sizes, laid on one another at a point, a line style for each size."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ...errors import ValueAtFault, unknown
from ...geometry import Move
from ...piece import Piece
from ...sizes import SizeRange
from ..items import Stroke, Text, curve_path, item_box, join_boxes, shifted
from ..layout import shelves
from ..lettering.space import Space
from ..signs import arrow
from ..styles import SIZES
from .base import Scene
from .lays import open_at_fold

GAP = 3.0
"""cm between nests."""
TEXT = 1.0
"""cm of lettering."""
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
        rule = f"are too many: {len(SIZES)} can be told apart"
        raise ValueAtFault("sizes", len(sizes.sizes), rule, "Draw fewer in one nest.")
    names = tuple(pieces) if pieces is not None else sizes.piece_names
    for name in (*names, *(at or {})):
        if name not in sizes.piece_names:
            raise unknown("piece", name, sizes.piece_names)
    drawn = [_nest(sizes, name, (at or {}).get(name), lines) for name in names]
    title = f"{sizes.garment}, sizes {sizes.sizes[0]} to {sizes.sizes[-1]}"
    drawn.append(_key(sizes, title, lines))
    boxes = [join_boxes(map(item_box, items)) for items in drawn]
    places = shelves([(b[2] - b[0], b[3] - b[1]) for b in boxes], gap=GAP)
    items = []
    for group, box, (x, y) in zip(drawn, boxes, places, strict=True):
        items += [shifted(item, x - box[0], y - box[1]) for item in group]
    x0, y0, x1, y1 = join_boxes(map(item_box, items))
    return Scene(tuple(items), title, (x0 - 1, y0 - 1, x1 + 1, y1 + 1))


def _nest(sizes: SizeRange, name: str, at: str | None, lines: str) -> list[Stroke | Text]:
    items: list[Stroke | Text] = []
    nest = sizes.nest(name, at)
    for size, (piece, move) in nest.items():
        style = SIZES[sizes.sizes.index(size)]
        d = _outline(piece, move, lines)
        items.append(Stroke(d, style, f"size {size}", "", f"{name}, size {size}", name))
        ticks = [command for notch in piece.notches for command in _tick(piece, notch, move, lines)]
        if ticks:
            items.append(Stroke(tuple(ticks), "notch", f"size {size}", "", f"notches, size {size}", name))
    middle, move = list(nest.values())[len(nest) // 2]
    obstacles = []
    if middle.grain:
        p, q = move(middle.grain.start), move(middle.grain.end)
        d = [("M", *p), ("L", *q), *arrow(q, (q - p).unit())]
        d += [] if middle.grain.one_way else arrow(p, (p - q).unit())
        items.append(Stroke(tuple(d), "grain", "marks", "", "grain line", name))
        obstacles = [(*p, *q)]
    for edge in middle.edges:
        if edge.turn == "fold":
            items.append(
                Stroke(curve_path(edge.curve.moved(move)), "fold", "marks", "", f"{name}, fold", name)
            )
    cross = (("M", -0.6, 0.0), ("L", 0.6, 0.0), ("M", 0.0, -0.6), ("L", 0.0, 0.6))
    items.append(Stroke(cross, "construct", "marks", "", "all sizes lie on one another here", name))
    smallest, move = next(iter(nest.values()))
    return [*items, *_label(name, smallest, move, list(nest), obstacles)]


def _outline(piece: Piece, move: Move, lines: str):
    ring = [move(p) for p in (piece.cut_line if lines == "cut" and piece.cut_line else piece.outline.flat())]
    edge = next((edge.curve for edge in piece.edges if edge.turn == "fold"), None)
    if edge is None:
        return open_at_fold(ring, None)
    p, q = move(edge.start), move(edge.end)
    way = (q - p).unit()
    on = sorted(way.dot(c - p) for c in ring if abs(way.cross(c - p)) < 0.02)
    if len(on) < 2:
        return open_at_fold(ring, None)
    return open_at_fold(ring, (p + way * on[0], p + way * on[-1]))


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


def _label(name: str, piece: Piece, move: Move, sizes: list[str], obstacles) -> list[Text]:
    ring = [move(p) for p in piece.outline.flat(0.05)]
    outline = [(*p, *q) for p, q in zip(ring, [*ring[1:], ring[0]], strict=True)]
    said = f"sizes {sizes[0]} to {sizes[-1]}"
    for size in (1.3 * TEXT, TEXT, 0.7 * TEXT):
        for lines in ([(name, size, "heading"), (said, 0.8 * size, "label")], [(name, size, "heading")]):
            for angle in (0.0, 90.0):
                found = Space(outline, obstacles, angle).place(lines)
                if found:
                    return [Text(*t[:6], "labels", t.style, name) for t in found]
    box = min(p.x for p in ring), min(p.y for p in ring)
    return [Text(box[0], box[1] - 4 * TEXT, name, TEXT, "start", 0.0, "labels", "heading", name)]


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
        items.append(Text(9.8, y - 0.3 * TEXT, f"size {size}", TEXT, "start", piece="key"))
    return items

"""A lay as a drawing: the cloth with its edges and folds, and the pieces on it with their grain."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from ...errors import ValueAtFault
from ...geometry import Point
from ...laying import Laid, Lay
from ...units import write_length
from ..items import Command, Stroke, Text, item_box, join_boxes
from ..lettering.space import Space
from ..signs import arrow
from .base import Scene

SIZES = (2.4, 1.9, 1.5, 1.2, 0.9)
"""cm of lettering on the cloth, largest first."""


def lay_scene(lay: Lay, *, unit: str = "cm") -> Scene:
    """Draw a lay with the cloth's length from left to right; one fold of the cloth lies below.

    unit: of written measures, 'cm' or 'in'. Raises ValueAtFault for another unit.

    >>> from patternlib import chart, make
    >>> from patternlib.laying import lay
    >>> made = lay(make("pinafore", chart("course").body("12")), width=150, seconds=0)
    >>> lay_scene(made).title
    'main cloth, 150 cm wide, flat'
    """
    if unit not in ("cm", "in"):
        raise ValueAtFault("unit", unit, "must be 'cm' or 'in'", "Measures are written in one of these.")
    items: list[Stroke | Text] = [*_cloth(lay, unit)]
    for piece in lay.pieces:
        items += _piece(piece, lay.one_way, several=len({p.size for p in lay.pieces}) > 1)
    x0, y0, x1, y1 = join_boxes(item_box(item) for item in items)
    return Scene(tuple(items), _title(lay, unit), (x0 - 1, y0 - 1, x1 + 1, y1 + 1))


def _title(lay: Lay, unit: str) -> str:
    folded = ("flat", "folded once", "both edges folded in")[lay.folds]
    return f"{lay.cloth}, {write_length(lay.width, unit)} wide, {folded}"


def _cloth(lay: Lay, unit: str):
    deep = lay.width / 2 if lay.folds else lay.width
    end = lay.length
    lines = {
        0: [(0.0, "measure", "edge of the cloth"), (deep, "measure", "edge of the cloth")],
        1: [(0.0, "fold", "fold of the cloth"), (deep, "measure", "edges of the cloth")],
        2: [(0.0, "fold", "fold of the cloth"), (deep, "fold", "fold of the cloth")],
    }[lay.folds]
    inside = deep - lay.selvedge
    inner = {0: (lay.selvedge, inside), 1: (inside,), 2: lay.closed or ()}[lay.folds]
    for y, style, words in lines:
        yield Stroke((("M", 0.0, y), ("L", end, y)), style, "cloth", "", words)
    for y in inner if lay.selvedge else ():
        yield Stroke((("M", 0.0, y), ("L", end, y)), "construct", "cloth", "", "selvedge")
    for x in (0.0, end):
        yield Stroke((("M", x, 0.0), ("L", x, deep)), "measure", "cloth", "", "end of the lay")
    if lay.closed:
        y = sum(lay.closed) / 2
        yield Stroke((("M", 0.0, y), ("L", end, y)), "measure", "cloth", "", "edges of the cloth meet")
    repeat = lay.stripe_repeat or math.inf
    for k in range(1, int(end / repeat) + 1):
        x = k * repeat
        yield Stroke((("M", x, 0.0), ("L", x, deep)), "grid", "stripes", "", "stripe")
    size = SIZES[1]
    fold = "fold" if lay.folds else "selvedge"
    far = {0: "selvedge", 1: "selvedges", 2: "fold"}[lay.folds]
    yield Text(0.0, deep + 0.8, far, size, "start", layer="cloth", style="measure")
    yield Text(0.0, -0.8 - 0.8 * size, fold, size, "start", layer="cloth", style="measure")
    measures = f"{write_length(end, unit)} along the cloth · {write_length(deep, unit)} across"
    yield Text(end, -0.8 - 0.8 * size, measures, size, "end", layer="cloth", style="measure")
    words = f"{_title(lay, unit)} · use of cloth {lay.use:.0f} %"
    yield Text(end, deep + 0.8, words, size, "end", layer="cloth", style="heading")


def _piece(laid: Laid, one_way: bool, several: bool):
    name = laid.name + (f" {laid.copy}" if laid.piece.cut > 1 else "")
    ring = laid.outline
    around = list(zip(ring, (*ring[1:], ring[0]), strict=True))
    group = f"{laid.name}, size {laid.size}, {laid.copy}" if several else f"{laid.name} {laid.copy}"
    obstacles = []
    folded = _centre(laid) if laid.on_fold else None
    yield Stroke(open_at_fold(ring, folded), "cut", "cut lines", "", laid.name, group)
    if laid.on_fold or laid.opened:
        p, q = _centre(laid)
        style = "fold" if laid.on_fold else "construct"
        yield Stroke((("M", *p), ("L", *q)), style, "marks", "", "fold" if laid.on_fold else "centre", group)
        obstacles.append((*p, *q))
    start, end = _grain(laid)
    way = (end - start).unit()
    size = min(2.0, 0.4 * start.distance(end))
    heads = arrow(end, way, size)
    if not (one_way or (laid.piece.grain and laid.piece.grain.one_way)):
        heads += arrow(start, -way, size)
    yield Stroke((("M", *start), ("L", *end), *heads), "grain", "marks", "", "grain line", group)
    obstacles.append((*start, *end))
    outline = [(*p, *q) for p, q in around]
    spaces = [Space(outline, obstacles, angle) for angle in (0.0, 90.0, _lie(ring))]
    notes = [note for note in (f"size {laid.size}" if several else "", _how(laid)) if note]
    for lines in ([name, *notes], [" · ".join([name, *notes])], [name]):
        for size in SIZES[:-1] if len(lines) > 1 else SIZES:
            block = [(line, size if k == 0 else 0.8 * size, "label") for k, line in enumerate(lines)]
            for space in spaces:
                found = space.place(block)
                if found:
                    for t in found:
                        yield Text(t.x, t.y, t.text, t.size, t.anchor, t.angle, "labels", t.style, group)
                    return


def _how(laid: Laid) -> str:
    if laid.spare:
        return "cut one layer"
    return "on the fold" if laid.on_fold else ""


def _centre(laid: Laid) -> tuple[Point, Point]:
    """The fold or the centre line of a piece, to the ends of its cut line."""
    edge = next(e.curve for e in laid.piece.edges if e.turn == "fold")
    p, q = laid.move(edge.start), laid.move(edge.end)
    way = (q - p).unit()
    along = [way.dot(c - p) for c in laid.outline if abs(way.cross(c - p)) < 0.05]
    return p + way * min(along), p + way * max(along)


def open_at_fold(ring: Sequence[Point], fold: Sequence[Point] | None) -> tuple[Command, ...]:
    """A cut line, left open between the two ends of a fold; closed for None."""
    n = len(ring)
    if fold is None:
        return (("M", *ring[0]), *(("L", *p) for p in ring[1:]), ("Z",))
    on = [any(p.distance(end) < 0.05 for end in fold) for p in ring]
    first = next(k for k in range(n) if on[k] and not on[(k + 1) % n])
    run = [ring[(first + k) % n] for k in range(n)]
    return (("M", *run[0]), *(("L", *p) for p in run[1:]))


def _lie(ring) -> float:
    """The direction of text along a piece: the long side of the least rectangle round it, degrees."""
    from shapely import Polygon

    corners = [Point(*p) for p in Polygon(ring).minimum_rotated_rectangle.exterior.coords]
    p, q = max(pairwise(corners), key=lambda pair: pair[0].distance(pair[1]))
    return ((q - p).angle + 90.0) % 180.0 - 90.0


def _grain(laid: Laid) -> tuple[Point, Point]:
    """The grain line where the piece lies; the middle half of its length where none is drawn."""
    grain = laid.piece.grain
    if grain:
        return laid.move(grain.start), laid.move(grain.end)
    xs, ys = [p.x for p in laid.outline], [p.y for p in laid.outline]
    y, x0, long = (min(ys) + max(ys)) / 2, min(xs), max(xs) - min(xs)
    return Point(x0 + long / 4, y), Point(x0 + 3 * long / 4, y)

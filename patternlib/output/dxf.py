"""Pieces for the cutting room as DXF, release 12, arranged after ASTM D6673 (ANSI/AAMA-292).

The standard was withdrawn in 2019; cutting rooms still exchange files of this kind. Only its scope and part
of its terms were read; the layer numbers and text keys used here are from memory. Try a file with the
cutting room before you rely on it, and measure the scale square.

Covered: one BLOCK a piece, inserted once, side by side. Layer 1 the boundary, a closed polyline that is the
cut line, along the fold for a half piece; 2 turn points and 3 curve points of the boundary; 4 notches, points
on the boundary; 6 the mirror line of a half piece; 7 the grain line; 8 internal lines (placement and fold
lines); 13 drill holes; 14 sew lines, one polyline an edge, in the order of the edges; 15 the text keys and
the scale square. Curves become straight pieces that stay within 0.01 cm. A double notch is two points. A pair
is one block; its quantity counts both, and how they are cut is said in an annotation.

Not covered: grading (layer 5 and rule tables), shapes and depths of notches, internal cut-outs (11; no piece
has one), stripes and plaids, attributes of points. Lengths are mm, although 'Units: METRIC' is read as cm by
some: the scale square, 100 mm both ways, shows which.
"""

from __future__ import annotations

import io
import logging
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise, product
from typing import Any

from ..garments.base import Garment
from ..geometry import Point
from ..pieces import Piece
from ..units import MM_PER_CM
from .items import Box, Stroke, flat_path, item_box, join_boxes
from .lettering.space import CLEARANCE, Space, StraightLine, reading_angle
from .paper.pen import printable
from .scene import Scene, garment_scene

LAYERS = {
    1: "boundary", 2: "turn points", 3: "curve points", 4: "notches", 6: "mirror line", 7: "grain line",
    8: "internal lines", 13: "drill holes", 14: "sew lines", 15: "annotation",
}  # fmt: skip
"""The layers used; their names are their numbers."""
SQUARE = 100.0
"""mm: side of the scale square."""
TURN = 12.0
"""degrees: where the boundary turns by more it has a turn point."""
LETTERS = 5.0
"""mm: height of the text keys."""
HEIGHTS = (LETTERS, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0)
"""mm: heights that the text keys of a piece may have, the largest that fits."""
LINE = 1.6
"""From base line to base line, in heights of the letters."""
NAME = 31
"""Letters of a block's name in release 12 [DXF reference, from memory]."""

Points = list[tuple[float, float]]


def as_dxf(garment: Garment, *, scene: Scene | None = None) -> str:
    """Give the pieces of a garment as the text of a DXF file, lengths in mm; always the same text.

    scene: the garment's drawing where it is at hand already.

    >>> from patternlib import chart, make
    >>> text = as_dxf(make("pinafore", chart("course").body("12")))
    >>> "Piece Name: front skirt" in text, "AC1009" in text
    (True, True)
    """
    scene = scene or garment_scene(garment)
    with _undated():
        out = io.StringIO()
        _drawing(garment, scene).write(out)
    return out.getvalue().encode("ascii", errors="dxfreplace").decode("ascii")  # other letters as \\U+00E9


def _drawing(garment: Garment, scene: Scene) -> Any:
    import ezdxf

    doc = ezdxf.new("R12")
    for number in LAYERS:
        doc.layers.add(str(number))
    space = doc.modelspace()
    names: dict[str, str] = {}
    boxes: list[Box] = []
    for piece in garment.pieces:
        strokes = [i for i in scene.items if isinstance(i, Stroke) and i.piece == piece.name]
        box = left, low, *_ = join_boxes(
            item_box(i) for i in strokes if i.layer in ("cut lines", "seam lines")
        )
        name = names[piece.name] = _block_name(piece.name, names.values())
        _piece(doc.blocks.new(name), piece, strokes, left, low, garment.size)
        space.add_blockref(name, (left * MM_PER_CM, low * MM_PER_CM), dxfattribs={"layer": "1"})
        x0, y0, x1, y1 = (v * MM_PER_CM for v in box)
        boxes.append((x0, y0, x1, y1))
    x, _, _, high = join_boxes(boxes)
    y = high + 2 * SQUARE
    corners = [(x, y), (x + SQUARE, y), (x + SQUARE, y + SQUARE), (x, y + SQUARE)]
    space.add_polyline2d(corners, close=True, dxfattribs={"layer": "15"})
    keys = [
        f"Style Name: {garment.name}",
        *([f"Sample Size: {garment.size}"] if garment.size else []),
        "Units: METRIC",
        f"Scale square: {SQUARE:g} mm by {SQUARE:g} mm",
    ]
    right = x + max(SQUARE, LETTERS * max(map(len, keys)))
    for k, line in enumerate(keys):
        _text(space, line, x, y - (2 + LINE * k) * LETTERS, LETTERS)
    x0, y0, x1, y1 = join_boxes([*boxes, (x, y - (2 + LINE * len(keys)) * LETTERS, right, y + SQUARE)])
    space.reset_extents((x0, y0, 0), (x1, y1, 0))  # the writer takes the header's extents from here
    space.reset_limits((x0, y0), (x1, y1))
    return doc


@contextmanager
def _undated() -> Iterator[None]:
    """Files written meanwhile carry no time and no machine's mark; the writer's hint on units is hidden."""
    from ezdxf import options

    log = logging.getLogger("ezdxf")
    level = log.level
    log.setLevel(logging.ERROR)
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
        log.setLevel(level)


def _block_name(name: str, taken: Iterable[str]) -> str:
    """A name in the letters that release 12 allows: capitals, figures, - and _."""
    stem = re.sub(r"[^A-Z0-9_-]+", "_", name.upper()).strip("_")[: NAME - 3] or "PIECE"
    taken, made, n = set(taken), stem, 1
    while made in taken:
        n += 1
        made = f"{stem}_{n}"
    return made


def _piece(block: Any, piece: Piece, strokes: Sequence[Stroke], left: float, low: float, size: str) -> None:
    """Fill a block; its origin is the corner of the piece's box."""

    def runs(stroke: Stroke) -> Iterator[Points]:
        for run in flat_path(stroke.d):
            yield [((x - left) * MM_PER_CM, (y - low) * MM_PER_CM) for x, y in run]

    def on(layer: int) -> dict[str, str]:
        return {"layer": str(layer)}

    boundary: Points = []
    for stroke in strokes:
        kind = stroke.style
        if kind == "cut" or (kind == "fold" and stroke.id):
            boundary += [p for run in runs(stroke) for p in run]
        if kind == "fold" and stroke.id:
            (run,) = runs(stroke)
            block.add_line(run[0], run[-1], on(6))
        elif kind == "seam":
            for run in runs(stroke):
                block.add_polyline2d(run, dxfattribs=on(14))
        elif kind == "notch":
            for run in runs(stroke):
                block.add_point(run[0], on(4))
        elif kind == "hole":
            ring = next(runs(stroke))
            xs, ys = zip(*ring, strict=True)
            block.add_point(((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2), on(13))
        elif kind == "grain" and stroke.layer == "marks":
            run = next(runs(stroke))
            block.add_line(run[0], run[1], on(7))
        elif kind in ("placement", "fold", "buttonhole"):
            for run in runs(stroke):
                block.add_polyline2d(run, dxfattribs=on(8))
    boundary = _round(boundary)
    block.add_polyline2d(boundary, close=True, dxfattribs=on(1))
    for point, turns in _turns(boundary):
        block.add_point(point, on(2 if turns else 3))
    how = " on the fold" if piece.on_fold else " as a pair" if piece.pair else ""
    keys = [
        f"Piece Name: {piece.name}",
        *([f"Size: {size}"] if size else []),
        f"Quantity: {sum(map(piece.copies, piece.cloths))}",
        f"Material: {', '.join(piece.cloths)}",
        f"Annotation: cut {piece.cut}{how}",
    ]
    inside = [*(r for k in (4, 6, 7, 8, 14) for r in _drawn_on(block, k)), *_round_holes(block)]
    _keys_inside(block, keys, boundary, inside)


def _round(points: Points) -> Points:
    """The runs of a boundary as one closed round: no point twice."""
    return [p for p, q in pairwise([*points, points[0]]) if math.dist(p, q) > 1e-6]


def _turns(ring: Points) -> Iterator[tuple[tuple[float, float], bool]]:
    """Each point where the boundary turns, and whether it is a corner."""
    n = len(ring)
    for k, p in enumerate(ring):
        (ax, ay), (bx, by) = ring[k - 1], ring[(k + 1) % n]
        ux, uy, vx, vy = p[0] - ax, p[1] - ay, bx - p[0], by - p[1]
        angle = abs(math.degrees(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)))
        if angle > 0.01:
            yield p, angle > TURN


def _drawn_on(block: Any, layer: int) -> Iterator[StraightLine]:
    """The straight pieces of what is drawn on a layer, cm."""
    for entity in block.query(f'*[layer=="{layer}"]'):
        kind = entity.dxftype()
        if kind == "LINE":
            run = [entity.dxf.start, entity.dxf.end]
        elif kind == "POLYLINE":
            run = list(entity.points())
        else:
            continue
        for p, q in pairwise(run):
            yield p.x / MM_PER_CM, p.y / MM_PER_CM, q.x / MM_PER_CM, q.y / MM_PER_CM


def _round_holes(block: Any) -> Iterator[StraightLine]:
    """A cross on every drill hole, cm."""
    for hole in block.query('POINT[layer=="13"]'):
        x, y, arm = hole.dxf.location.x / MM_PER_CM, hole.dxf.location.y / MM_PER_CM, 0.3
        yield x - arm, y, x + arm, y
        yield x, y - arm, x, y + arm


def _keys_inside(block: Any, lines: Sequence[str], boundary: Points, drawn: Sequence[StraightLine]) -> None:
    """Write the text keys inside the piece, clear of its lines; smaller in a small piece."""
    ring = [(x / MM_PER_CM, y / MM_PER_CM) for x, y in boundary]
    outline = [(*p, *q) for p, q in pairwise([*ring, ring[0]])]
    lines = [printable(line) for line in lines]
    longest = max(pairwise([*ring, ring[0]]), key=lambda side: math.dist(*side))
    along = reading_angle(Point(*longest[1]) - Point(*longest[0]))
    letters = max(map(len, lines))  # release 12 states no widths: a letter counts as wide as it is high
    for obstacles in (drawn, ()):
        spaces = [Space(outline, obstacles, angle) for angle in (0.0, 90.0, along)]
        for height, space in product(HEIGHTS, spaces):
            wide, step = letters * height / MM_PER_CM, LINE * height / MM_PER_CM
            found = space.find(wide + 2 * CLEARANCE, step * len(lines))
            if found:
                u, top = found
                for k, line in enumerate(lines):
                    x, y = space.back(u - wide / 2, top - (k + 0.8) * step)
                    _text(block, line, x * MM_PER_CM, y * MM_PER_CM, height, space.angle)
                return
    x, y = (sum(values) / len(boundary) for values in zip(*boundary, strict=True))
    for k, line in enumerate(lines):
        _text(block, line, x, y - LINE * HEIGHTS[-1] * k, HEIGHTS[-1])


def _text(place: Any, line: str, x: float, y: float, height: float, angle: float = 0.0) -> None:
    look = {"layer": "15", "insert": (x, y), "rotation": angle}
    place.add_text(printable(line), height=height, dxfattribs=look)

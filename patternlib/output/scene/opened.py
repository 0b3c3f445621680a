"""The end of a seam, sewn and opened flat: allowances folded back, corners as they come to lie."""

from __future__ import annotations

from dataclasses import dataclass

from ...errors import unknown
from ...garments.base import Garment
from ...geometry import Curve, Move, Point
from ...not_here import said_if_missing
from ...pieces import TURNED_OVER, Edge, Piece
from ...units import write_length
from ..items import Stroke, Text
from ..lettering.sizes import letters
from .base import Scene
from .walking import ENDS, find_seam

with said_if_missing("The picture of an opened seam"):
    import shapely
    from shapely.geometry import LineString, MultiLineString, Polygon, box
    from shapely.geometry import Point as Spot
    from shapely.ops import linemerge

REACH = 7.0
"""cm: how much of the pieces is shown round the end of a seam, beyond the widest allowance there."""
CLOSE = 0.015
"""cm: how closely lines follow their curves here."""
SEEN = 0.1
"""cm: an allowance that stands out by less is trimmed well enough (a millimetre)."""


@dataclass(frozen=True)
class _Half:
    """One piece at the seam's end: the end in (0, 0), the seam running upward, the piece to one side."""

    piece: Piece
    edge: Edge
    neighbour: Edge
    move: Move
    seam: Curve  # from the end upward
    beside: Curve  # the neighbour's line from the end outward
    left: bool

    @property
    def paper(self) -> Polygon:
        points = self.piece.cut_line or self.piece.outline.flat(CLOSE)
        return Polygon([self.move(p) for p in points]).buffer(0)


def opened_scene(garment: Garment, seam: str, end: str, *, folded: bool = False, unit: str = "cm") -> Scene:
    """Draw one end of a seam after sewing, from the inside: both pieces opened flat, allowances folded back.

    end: 'start' or 'end' of the seam as it is walked; folded: hems and fold-backs that run across the seam's
    end are folded as well. What stands out beyond the edges is drawn in the style 'target' and measured in
    the scene's title. Unknown seams and ends raise UnknownName.

    >>> from patternlib import chart, make
    >>> garment = make("pinafore", chart("course").body("12"))
    >>> opened_scene(garment, "side seam", "end").title
    'side seam, end: opened flat, nothing stands out'
    """
    sewn = find_seam(garment, seam)
    if end not in ENDS:
        raise unknown("end of a seam", end, ENDS)
    pieces = {piece.name: piece for piece in garment.pieces}
    last = end == "end"
    a = _half(pieces, sewn.a, sewn.against_a, last, left=True)
    b = _half(pieces, sewn.b, sewn.against_b, last, left=False)
    reach = REACH + max(e.allowance for half in (a, b) for e in (half.edge, half.neighbour))
    size = letters("screen", 2 * reach).size
    low = max(half.neighbour.allowance for half in (a, b)) + 2.0
    window = box(-reach, -low, reach, reach)
    layers, folds = [], []
    for half in (a, b):
        flap, body = _folded(half.paper & window.buffer(reach), half.seam, out_left=not half.left)
        layers.append([body, flap])
        folds.append(half.seam)
    standing = _standing(a, b, layers)
    done = folded and any(half.neighbour.turn in TURNED_OVER for half in (a, b))
    if done:
        folds += [half.beside for half in (a, b) if half.neighbour.turn in TURNED_OVER]
        layers = [_turned(half, pair) for half, pair in zip((a, b), layers, strict=True)]
    items = _paper([part for pair in layers for part in pair], folds, window)
    items += [item for half in (a, b) for item in _lines_and_name(half, window, reach, size)]
    words = "opened flat" + (", edges folded back" if done else "")
    said = []
    for half, (part, by) in zip((a, b), standing, strict=True):
        if by > SEEN:
            items += strokes(part.boundary & window, "target", "marks", "stands out")
            said.append(f"the allowance of {half.piece.name} stands out by {write_length(by, unit)}")
    title = f"{seam}, {end}: {words}, {'; '.join(said) or 'nothing stands out'}"
    items.append(Text(0, reach + 0.5 * size, f"{end} of the seam, seen from the inside", size, "middle"))
    return Scene(tuple(items), title, (-reach, -low, reach, reach + 2 * size))


def _turned(half: _Half, pair: list) -> list:
    """The layers of one side, lowest first, once its hem or fold-back across the seam's end is folded."""
    if half.neighbour.turn not in TURNED_OVER:
        return pair
    turned = [_folded(part, half.beside, out_left=half.left) for part in pair]
    return [body for _, body in turned] + [flap for flap, _ in turned[::-1]]


def _paper(opened: list, folds: list[Curve], window) -> list[Stroke | Text]:
    """The cut edges of all layers, lowest first: what lies beneath another layer is drawn as hidden."""
    items: list[Stroke | Text] = []
    for k, part in enumerate(opened):
        above = shapely.union_all(opened[k + 1 :]) if opened[k + 1 :] else Polygon()
        lines = part.boundary.difference(_near(folds)).intersection(window)
        items += strokes(lines.difference(above.buffer(-1e-3)), "cut", "cut lines", "cut edge")
        items += strokes(
            lines.intersection(above.buffer(-1e-3)), "placement", "cut lines", "cut edge, beneath"
        )
    return items


def _lines_and_name(half: _Half, window, reach: float, size: float) -> list[Stroke | Text]:
    """Seam line, neighbouring line and name of one side; reach: half the picture's width, cm."""
    title = f"{half.piece.name}, {half.edge.name}"
    items: list[Stroke | Text] = list(strokes(_line(half.seam) & window, "seam", "seam lines", title))
    style = "fold" if half.neighbour.turn != "seam" else "seam"
    title = f"{half.piece.name}, {half.neighbour.name}"
    items += strokes(_line(half.beside) & window, style, "seam lines", title)
    x = (-0.55 if half.left else 0.55) * reach
    items.append(Text(x, 0.75 * reach, half.piece.name, size, "middle", 0.0, "labels", "heading"))
    return items


def _half(pieces, side, against: bool, last: bool, *, left: bool) -> _Half:
    name, edge_name = side[-1 if last else 0]
    piece = pieces[name]
    k = next(i for i, edge in enumerate(piece.edges) if edge.name == edge_name)
    back = against != last  # the seam's end is the end of the edge, which is then followed backward
    edge, neighbour = piece.edges[k], piece.edges[(k + (1 if back else -1)) % len(piece.edges)]
    seam = edge.curve.reversed() if back else edge.curve
    beside = neighbour.curve if back else neighbour.curve.reversed()
    p, way = seam.start, seam.start_direction
    # an edge that is followed as drawn has its piece on the left
    move = Move.onto(p, p + way, Point(0, 0), Point(0, 1), over=back == left)
    return _Half(piece, edge, neighbour, move, seam.moved(move), beside.moved(move), left)


def _line(curve: Curve, run_on: float = 0.0) -> LineString:
    """A curve as a line, run on straight at both ends."""
    points = curve.flat(CLOSE)
    if run_on:
        first, last = curve.start_direction, curve.end_direction
        points = [points[0] - first * run_on, *points, points[-1] + last * run_on]
    return LineString(points)


def _folded(paper, curve: Curve, *, out_left: bool):
    """(what lies beyond the curve folded over it, the rest); out_left: the outside lies left of the curve."""
    run = 4 * REACH
    near = curve.part(0, min(curve.length, 2.5 * REACH)) if curve.length > 2.5 * REACH else curve
    line = _line(near, run)
    out = [p.left() if out_left else p.right() for p in (near.start_direction, near.end_direction)]
    a, b = (Point(*line.coords[k]) + out[k] * run for k in (0, -1))
    beyond = Polygon([*line.coords, b, a]).buffer(0)
    flap = paper & beyond
    parts = getattr(flap, "geoms", [flap])
    flap = shapely.union_all([p for p in parts if p.area > 1e-6 and p.distance(_line(near)) < 1e-3])
    over = shapely.transform(flap.segmentize(0.2), lambda places: [_over(near, z) for z in places])
    return over.buffer(0), paper - flap


def _over(curve: Curve, place) -> tuple[float, float]:
    """A place folded over a curve, beyond its ends over the straight line it would run on in."""
    p = Point(*place)
    at, _ = curve.closest(p)
    if 1e-6 < at < curve.length - 1e-6:
        foot = curve.at(at)
    else:
        end, way = (curve.start, curve.start_direction) if at < 1 else (curve.end, curve.end_direction)
        foot = end + way * (p - end).dot(way)
    return foot + foot - p


def _standing(a: _Half, b: _Half, layers):
    """For each piece (what of its folded allowance stands out beyond both pieces, by how much, cm)."""
    bodies = shapely.union_all([layers[0][0], layers[1][0]]).buffer(2e-3)
    out = []
    for half, (_, flap) in zip((a, b), layers, strict=True):
        near = flap & Spot(0, 0).buffer(half.edge.allowance + half.neighbour.allowance + 1)
        part = near - bodies
        reach = max((bodies.distance(Spot(z)) for z in shapely.get_coordinates(part)), default=0.0)
        out.append((part, reach))
    return out


def _near(folds):
    return shapely.union_all([_line(fold, 4 * REACH).buffer(2e-3) for fold in folds])


def strokes(lines, style: str, layer: str, title: str) -> list[Stroke]:
    """Lines of shapely as strokes, the shortest left out."""
    if isinstance(lines, MultiLineString):
        lines = linemerge(lines)
    out = []
    for one in getattr(lines, "geoms", [lines]):
        if one.geom_type == "LineString" and one.length > 0.02:
            d = tuple(("M" if k == 0 else "L", x, y) for k, (x, y) in enumerate(one.coords))
            out.append(Stroke(d, style, layer, "", title))
    return out

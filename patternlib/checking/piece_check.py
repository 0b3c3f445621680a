"""Checks of one piece alone: its outline, allowances, turnings, corners, notches, grain and label.

The check is independent: it reads only the piece's curves and the points of its cut line, and uses none of
the code that made them.
"""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Iterator

from .. import tolerances
from ..errors import GeometryError
from ..geometry import Curve, Point
from ..geometry.segment import speed_terms, straight, tangent, value
from ..pieces import TURNED_OVER, Edge, Piece
from .findings import Finding

DESIGNED = 20.0
"""degrees; a line that bends by more at a join counts as a corner that is meant; no source."""

SLIT = 0.3
"""cm; depth of a notch as it is cut [0.2 to 0.3: common practice, no source]."""

NOTCH_TO_CORNER = 1.0
"""cm; a notch keeps this far from a corner: common practice, no source."""

EXCESS = 1.5
"""cm; a flared hem whose allowance is too long by more is worth a note: common practice, no source."""


SEWN = ("seam", "caught")
"""Edges whose allowance is not folded back before it is sewn."""


def check_piece(piece: Piece, sewn: set[tuple[str, str]] | None = None) -> Iterator[Finding]:
    """All findings on one finished piece; sewn: the (piece, edge) that seams name, None where unknown."""
    yield from _marks(piece)
    yield from _notches(piece)
    yield from _edges(piece, sewn)
    yield from _outlines(piece)


def _marks(piece: Piece) -> Iterator[Finding]:
    name = piece.name
    if piece.grain is None or piece.grain.start.distance(piece.grain.end) < 1:
        yield Finding(501, "error", name, None, None, None,
                      "there is no grain line: draw one, along the centre unless the style says otherwise.")
    if not any(line.strip() for line in piece.label):
        yield Finding(502, "error", name, None, None, None,
                      "there is no label: write style, piece, size, quantity, cloth and date on it.")
    elif not re.search(rf"(?<!\d){piece.cut}(?!\d)", " ".join(s for s in piece.label if "cut" in s.lower())):
        yield Finding(503, "error", name, None, piece.cut, 0,
                      f"the label does not say how many to cut: write 'cut {piece.cut}' on it.")
    if piece.cut < 1:
        yield Finding(505, "error", name, piece.cut, 1, 0, "no quantity is given: say how many to cut.")
    elif piece.pair and piece.cut % 2:
        yield Finding(504, "error", name, piece.cut, piece.cut + 1, 0,
                      f"a pair needs an even number, but {piece.cut} are to be cut: cut {piece.cut + 1}.")


def _notches(piece: Piece) -> Iterator[Finding]:
    for n in piece.notches:
        where = f"{piece.name}, {n.edge}"
        i = next((k for k, edge in enumerate(piece.edges) if edge.name == n.edge), None)
        if i is None or not -1e-6 <= n.at <= piece.edges[i].curve.length + 1e-6:
            what = "no edge has this name" if i is None else "the edge is shorter"
            yield Finding(207, "error", where, n.at, None, None,
                          f"a notch lies {n.at:.2f} cm along the edge, but {what}: move the notch.")
            continue
        edge = piece.edges[i]
        if edge.allowance / 2 + 1e-9 < SLIT:
            yield Finding(205, "error", where, SLIT, edge.allowance / 2, 0.0,
                          f"a notch {SLIT:.1f} cm deep goes through more than half of an allowance of "
                          f"{edge.allowance:.2f} cm: widen the allowance or mark the place with chalk.",
                          (piece.name, piece.notch_point(n)))
        reach = 0.5 * (n.count - 1)
        ends = ((n.at - reach, piece.edges[i - 1]),
                (edge.curve.length - n.at - reach, piece.edges[(i + 1) % len(piece.edges)]))
        for k, (gap, other) in enumerate(ends):
            if gap > NOTCH_TO_CORNER - 1e-6 or (abs(gap) < 1e-6 and other.turn in TURNED_OVER):
                continue  # a notch at a corner marks where the hem is folded
            before, after = (edge.curve, other.curve) if k else (other.curve, edge.curve)
            if n.seam and _bend(before, after) > tolerances.SMOOTH:
                yield Finding(206, "warning", where, gap, NOTCH_TO_CORNER, 0.0,
                              f"a notch lies {max(gap, 0):.2f} cm from a corner, where it weakens the "
                              f"point: keep it {NOTCH_TO_CORNER:.0f} cm away.",
                              (piece.name, piece.notch_point(n)))


def _bend(before: Curve, after: Curve) -> float:
    """How far the line turns at a corner, degrees, 0 where it runs on."""
    return abs(math.degrees(cmath.phase(complex(*after.start_direction) / complex(*before.end_direction))))


def _edges(piece: Piece, sewn) -> Iterator[Finding]:
    folds = [edge for edge in piece.edges if edge.turn == "fold"]
    if bool(folds) != piece.on_fold:
        yield Finding(402, "error", piece.name, len(folds), int(piece.on_fold), 0,
                      "the piece is cut on the fold, but no edge is a fold: name its fold edge."
                      if piece.on_fold
                      else "an edge lies on the fold, but the piece is not cut on the fold: say which.")
    for i, edge in enumerate(piece.edges):
        where = f"{piece.name}, {edge.name}"
        if edge.turn == "fold":
            if edge.allowance:
                yield Finding(401, "error", where, edge.allowance, 0.0, 0.0,
                              f"the fold has an allowance of {edge.allowance:.2f} cm, which would widen the "
                              "piece by twice as much: a fold takes none.")
            around = (piece.edges[i - 1], edge), (edge, piece.edges[(i + 1) % len(piece.edges)])
            for before, after in around:
                other, off = before if after is edge else after, _bend(before.curve, after.curve) - 90
                if tolerances.SQUARE < abs(off) <= DESIGNED and other.turn != "fold-back":
                    yield Finding(304, "warning", f"{piece.name}, {other.name}", 90 + off, 90.0,
                                  tolerances.SQUARE,
                                  f"the edge meets the fold {abs(off):.1f} degrees off square, so the opened "
                                  "piece shows a point or a dip there: square the edge to the fold.",
                                  (piece.name, after.curve.start))
        elif edge.turn == "seam" and sewn is not None and (piece.name, edge.name) not in sewn:
            yield Finding(103, "warning", where, None, None, None,
                          "no seam names this edge: sew it to something, or make it a hem or a fold-back.")
        elif edge.turn in TURNED_OVER:
            yield from _bent(piece, edge, where)


def _bent(piece: Piece, edge: Edge, where: str) -> Iterator[Finding]:
    """A turned edge whose bend is tighter than its depth, or whose allowance is far too long or short."""
    depth, tightest, turned, before = edge.allowance, math.inf, 0.0, None
    for s in edge.curve.segments:
        if straight(s):
            continue
        a, b, c = speed_terms(s)
        for k in range(9):
            t = 0.01 + 0.98 * k / 8
            d, dd = a + t * (b + t * c), b + 2 * t * c
            bend = abs((d.conjugate() * dd).imag)
            if bend > 1e-9:
                tightest = min(tightest, abs(d) ** 3 / bend)
            turned += cmath.phase(d / before) if before else 0.0
            before = d
    if tightest < depth:
        yield Finding(406, "error", where, tightest, depth, 0.0,
                      f"the edge bends with a radius of {tightest:.2f} cm, tighter than its turning of "
                      f"{depth:.2f} cm: make the turning narrower, or face the edge.")
    over = 2 * abs(turned) * depth
    if over > EXCESS:
        fault, cure = ("long", "ease it in, or turn less") if turned > 0 else ("short", "bind it, or face it")
        yield Finding(407, "note", where, over, EXCESS, 0.0,
                      f"folded up, the raw edge is {over:.2f} cm too {fault} for where it lies: {cure}.")


def _outlines(piece: Piece) -> Iterator[Finding]:
    name = piece.name
    try:
        import shapely
    except ModuleNotFoundError:
        yield Finding(801, "unchecked", name, None, None, None,
                      "outline, cut line and turnings were not checked: the package shapely is missing here.")
        return
    try:
        seam_line = piece.outline.flat(0.05)
    except GeometryError as error:
        yield Finding(410, "error", name, None, None, None, str(error))
        return
    if not shapely.LinearRing(seam_line).is_simple:
        yield Finding(410, "error", name, None, None, None,
                      "the seam line crosses itself: check the edges where they meet.")
        return
    if len(piece.cut_line) < 3:
        yield Finding(408, "error", name, None, None, None, "there is no cut line yet: finish the piece.")
        return
    cut = shapely.LinearRing(piece.cut_line)
    if not cut.is_simple:
        yield Finding(409, "error", name, None, None, None,
                      "the cut line crosses itself: an allowance is wider than the piece leaves room for.")
        return
    yield from _turnings(piece, cut, shapely)


def _turnings(piece: Piece, cut, shapely) -> Iterator[Finding]:
    """Every allowance at its depth, and every hem and fold-back laid on the piece once it is turned.

    A turned allowance is mirrored over its seam line, point by point, over the line's own direction there.
    """
    spots = _spots(piece)
    outer = [q + out * edge.allowance for edge, q, out in spots]
    yield from _depths(piece, cut, spots, outer, shapely)
    # a corner may have trimmed the allowance away at a spot near it: there is nothing to fold back there
    sheet = shapely.Polygon(cut)
    there = shapely.distance(sheet, shapely.points(outer)) <= tolerances.SEAM if spots else ()
    back = [
        (edge, q, q - out * edge.allowance)
        for (edge, q, out), kept in zip(spots, there, strict=True)
        if edge.turn not in SEWN and kept
    ]
    corners = _corners_turned(piece)
    places = [_unfolded(piece, p) for p in [p for _, _, p in back] + [p for _, _, p in corners]]
    if not places:
        return
    over = shapely.distance(sheet, shapely.points(places))
    worst: dict[str, tuple[float, Edge, Point]] = {}
    for (edge, q, _), gap in zip(back, over, strict=False):
        if gap > max(tolerances.FOLDED, worst.get(edge.name, (0.0,))[0]):
            worst[edge.name] = (float(gap), edge, q)
    for gap, edge, q in worst.values():
        yield Finding(404, "error", f"{piece.name}, {edge.name}", gap, 0.0, tolerances.FOLDED,
                      f"folded back, the allowance of {edge.allowance:.2f} cm stands {gap:.2f} cm over the "
                      "piece: make it narrower, or the piece wider there.", (piece.name, q))
    yield from _corners_over(piece, corners, over[len(back) :], worst)


def _spots(piece: Piece) -> list[tuple[Edge, Point, Point]]:
    """(edge, place on the seam line, arrow outward), the middle of each edge first."""
    spots: list[tuple[Edge, Point, Point]] = []
    for edge in piece.edges:
        if edge.turn == "fold":
            continue
        parts = edge.curve.segments
        middle = parts[len(parts) // 2]
        spots.append((edge, *_spot(middle, 0.5)))
        if edge.turn not in SEWN:
            spots += [(edge, *_spot(parts[0], 0.02)), (edge, *_spot(parts[-1], 0.98))]
            spots += [(edge, *_spot(s, t)) for s in parts if not straight(s) for t in (0.25, 0.75)]
    return spots


def _depths(piece: Piece, cut, spots, outer: list[Point], shapely) -> Iterator[Finding]:
    """Every allowance at its depth, looked at in the middle of its edge; outer: each spot moved out by it."""
    gaps = shapely.distance(cut, shapely.points(outer)) if spots else ()
    measured = set()
    for (edge, q, _), gap in zip(spots, gaps, strict=True):
        if edge.name in measured:
            continue
        measured.add(edge.name)
        if gap > tolerances.SEAM:
            yield Finding(403, "error", f"{piece.name}, {edge.name}", float(gap), 0.0, tolerances.SEAM,
                          f"the cut line lies {gap:.2f} cm off its allowance of {edge.allowance:.2f} cm: "
                          "finish the piece again after changing an allowance.", (piece.name, q))


def _corners_over(piece: Piece, corners, over, worst) -> Iterator[Finding]:
    """Corners whose ends stand over the piece; over: by how much, cm; worst: edges told already.

    A corner between two turned edges is folded by one of them first: the better one counts.
    """
    least: dict[int, tuple[float, Edge]] = {}
    most: dict[tuple[int, str], tuple[float, Edge]] = {}
    for (i, edge, _), gap in zip(corners, over, strict=True):
        if gap >= most.get((i, edge.name), (0.0,))[0]:
            most[i, edge.name] = (float(gap), edge)
    for (i, _), found in most.items():
        least[i] = min(least.get(i, found), found, key=lambda m: m[0])
    for i, (gap, edge) in least.items():
        if gap > tolerances.FOLDED and edge.name not in worst:
            yield Finding(405, "error", f"{piece.name}, {edge.name}", gap, 0.0, tolerances.FOLDED,
                          f"folded back, the end of this allowance stands {gap:.2f} cm over the "
                          "neighbouring cut edge: mirror the corner over the fold line before cutting.",
                          (piece.name, piece.edges[i].curve.end))


def _spot(s, t: float) -> tuple[Point, Point]:
    """A place on a cubic and the arrow outward."""
    z, way = value(s, t), tangent(s, t)
    way *= -1j / abs(way)
    return Point(z.real, z.imag), Point(way.real, way.imag)


def _corners_turned(piece: Piece) -> list[tuple[int, Edge, Point]]:
    """(corner, turned edge, cut point mirrored over it) for cut points that lie beyond the edge's end."""
    out = []
    for i, before in enumerate(piece.edges):
        after, corner = piece.edges[(i + 1) % len(piece.edges)], before.curve.end
        if "fold" in (before.turn, after.turn):
            continue
        for edge, along in ((before, before.curve.end_direction), (after, -after.curve.start_direction)):
            if edge.turn in SEWN:
                continue
            outward = along.right() if edge is before else along.left()
            reach = 3 * max(before.allowance, after.allowance)
            cx, cy, ax, ay, ox, oy = *corner, *along, *outward
            for x, y in piece.cut_line:
                dx, dy = x - cx, y - cy
                if abs(dx) > reach or abs(dy) > reach:
                    continue
                beyond, depth = dx * ax + dy * ay, dx * ox + dy * oy
                if beyond > -1e-6 and 1e-6 < depth < edge.allowance + tolerances.FOLDED:
                    out.append((i, edge, Point(x - 2 * depth * ox, y - 2 * depth * oy)))
    return out


def _unfolded(piece: Piece, p: Point) -> Point:
    """A point brought back over the fold where it lies on the half that is not drawn."""
    for edge in piece.edges:
        if edge.turn == "fold":
            way = (edge.curve.end - edge.curve.start).unit()
            out = (p - edge.curve.start).dot(way.right())
            if out > 0:
                p = p - way.right() * (2 * out)
    return p

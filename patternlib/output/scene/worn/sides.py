"""How wide a garment lies: front and back share the girth at every level, whichever of them is wider.

Laid flat, half of the whole girth lies in front and half behind. Where the front is the wider one, the side
seam rolls to the back, and the back view shows a strip of the front beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from ....garments.base import Garment
from ....geometry import Curve, Move, Point
from ....making import hem_depth
from ....pieces import Piece, Seam
from ..layers import CLOSE, HAIR, MIDDLE, Layer, Line, Placing, moved, piece_layer

STEPS = 48
"""Levels of a side."""
FAR = 500.0
"""cm: beyond any garment."""


FADE = 10.0
"""cm above the waist within which a bib's side comes out of the fold round the body (no source)."""
BAR = 1.0
"""cm: a bar tack (common practice, no source)."""
EDGE, SECOND = 0.2, 0.7
"""cm: rows of stitching from an edge or a seam, as the order of making has them (common practice, no
source)."""


@dataclass(frozen=True)
class Sides:
    """One view of both sides. own: its side, other: that of the other view; both from the hem upward.

    above: the edge that runs on upward from the top of `own`, where there is one.
    """

    own: Curve
    other: Curve
    above: Curve | None = None

    def rim(self) -> list[tuple[float, float]]:
        """(half of the width at which the garment lies folded, level) up the side, cm."""
        out = []
        for k in range(STEPS + 1):
            p = self.own.at(self.own.length * k / STEPS)
            q = self.other.at(self.other.length * k / STEPS)
            out.append(((abs(p.x) + abs(q.x)) / 2, p.y))
        return out

    def room(self) -> Polygon:
        """All that this view can show between both rims; above and below it is as wide as at their ends."""
        rim = self.rim()
        right = [(rim[0][0], -FAR), *rim]
        if self.above is None:
            right.append((rim[-1][0], FAR))
        else:
            gap = abs(self.own.end.x) - rim[-1][0]
            for k in range(1, STEPS + 1):
                p, left = self.above.at(min(FADE, self.above.length) * k / STEPS), 1 - k / STEPS
                right.append((abs(p.x) - gap * left, p.y))
            right += [(FAR, right[-1][1]), (FAR, FAR)]
        return Polygon([*right, *((-x, y) for x, y in reversed(right))]).buffer(0)

    def strips(self, name: str) -> Layer:
        """What of the other view's cloth is seen beside this one's side seams, with its fold as the rim."""
        rim = [(x, y) for x, y in self.rim() if x > 0]
        own = [(abs(p.x), p.y) for p in self.own.flat(CLOSE)]
        strip = Polygon([*own, *reversed(rim)]).buffer(0)
        strip -= Polygon([(0, own[0][1] - FAR), *own, (0, own[-1][1] + FAR)]).buffer(0)
        edge = LineString([*rim, own[-1]])
        lines = both(Line(edge & strip.buffer(HAIR), "contour", "", "side"))
        return Layer(name, strip | flipped(strip), lines)


def flipped(shape: BaseGeometry) -> BaseGeometry:
    """The mirror image of a shape about the centre, x = 0."""
    return shapely.transform(shape, lambda xy: xy * (-1, 1))


def edge_styles(garment: Garment, piece: Piece, unseen: frozenset[str]) -> dict[str, str]:
    """The line of each edge as it looks when all is sewn: a seam, or a finished edge.

    unseen: pieces that lie inside; an edge sewn only to these, or to its own second layer, is finished.
    """
    out = {}
    for edge in piece.edges:
        if edge.turn == "fold":
            continue
        partners = {p for s in garment.seams for p, _ in _opposite(s, piece.name, edge.name)}
        out[edge.name] = "sewn" if partners - unseen - {piece.name} else "contour"
    return out


def _opposite(seam: Seam, piece: str, edge: str):
    if (piece, edge) in seam.a:
        yield from seam.b
    if (piece, edge) in seam.b:
        yield from seam.a


def through(own: Point, other: Point) -> Callable[[Point], Point]:
    """Takes places of the other view to where they show through on this one.

    own, other: one place at the shoulder, as each view has it. Above the waist the other view is scaled in
    height so that they meet: seen from outside, a body's front and back differ in height there.
    """
    lean, high = (own.x + other.x) / other.y, own.y / other.y
    return lambda p: Point(-p.x + max(p.y, 0.0) * lean, p.y * (high if p.y > 0 else 1.0))


def band(low: float, high: float) -> Polygon:
    """All that lies between two levels, cm."""
    return Polygon([(-FAR, low), (FAR, low), (FAR, high), (-FAR, high)])


def below(p: Point, q: Point) -> Polygon:
    """All that lies below the line through p and q, without end."""
    out = (q - p).unit() * (1 if q.x > p.x else -1)
    a, b = p - out * FAR, p + out * FAR
    return Polygon([a, a + out.right() * FAR, b + out.right() * FAR, b]).buffer(0)


def rows(piece: Piece) -> dict[str, tuple[float, ...]]:
    """The row of stitching along each hem of a piece, from its folded edge, cm."""
    return {edge.name: (hem_depth(edge.allowance) - EDGE,) for edge in piece.edges if edge.turn == "hem"}


def moved_layer(layer: Layer, move: Placing) -> Layer:
    """A layer with every point moved."""
    lines = (Line(moved(one.shape, move), one.style, one.id, one.title) for one in layer.lines)
    return Layer(layer.name, moved(layer.shape, move).buffer(0), tuple(lines), layer.wrong)


def pair(layer: Layer) -> list[Layer]:
    """A layer and its mirror image about the centre."""
    return [layer, moved_layer(layer, MIDDLE)]


def patch(piece: Piece, *, halves: bool = False, move: Move | None = None, bars: bool = False) -> Layer:
    """A patch pocket with its stitching and its opening's hem; bars: with bar tacks at the opening's ends."""
    styles = {edge.name: "contour" for edge in piece.edges if edge.turn != "fold"}
    opening = piece.edge("opening")
    stitched = {edge.name: (EDGE,) for edge in piece.edges if edge.turn == "fold-back"}
    layer = piece_layer(piece, styles, move, halves=halves, rows={**stitched, **rows(piece)})
    ends = [(opening.curve.end, -1)] if halves else [(opening.curve.end, -1), (opening.curve.start, 1)]
    tacks: list[Line] = []
    for p, way in ends if bars else ():
        at = p + opening.curve.start_direction * (way * EDGE)
        tacks += both(bar(at, at + Point(0, -BAR))) if halves else [bar(at, at + Point(0, -BAR))]
    return layer.with_lines(*tacks)


def bar(p: Point, q: Point) -> Line:
    """A bar tack from p to q: a short bar of close stitches."""
    return Line(LineString([p, q]), "contour", "", "bar tack")


def both(line: Line) -> tuple[Line, Line]:
    """A line and its mirror image about the centre."""
    return line, Line(flipped(line.shape), line.style, line.id, line.title)

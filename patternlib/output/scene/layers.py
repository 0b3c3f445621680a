"""Cloth in layers: each layer hides the lines of those under it, and its wrong side is shaded.

What a drawing shows of a sewn garment is found so: the pieces are laid on one another in their order, and a
line is drawn where nothing lies over it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import linemerge

from ...geometry import Curve, Move, Point
from ...pieces import Piece
from ..items import Command, Stroke

CLOSE = 0.05
"""cm: how closely lines follow their curves here."""
SHADES = 1.1
"""cm between the lines that shade a wrong side."""
HAIR = 2e-3
"""cm: a line on the very edge of the layer over it is still seen."""
MIDDLE = Move.mirror((0, 0), (0, 1))
"""The other half of a piece whose centre lies on x = 0."""


@dataclass(frozen=True)
class Line:
    """One line on a layer. style: a name of styles.LINES; id: 'piece/edge' for an edge; title: in words."""

    shape: BaseGeometry
    style: str
    id: str = ""
    title: str = ""


@dataclass(frozen=True)
class Layer:
    """One layer of cloth: what it hides, the lines on it, and whether its wrong side is seen."""

    name: str
    shape: BaseGeometry
    lines: tuple[Line, ...] = ()
    wrong: bool = False

    def within(self, room: BaseGeometry) -> Layer:
        """What of the layer lies in a room."""
        edge = room.buffer(HAIR, 1)  # a line on the room's own edge is in it
        lines = (Line(line.shape & edge, line.style, line.id, line.title) for line in self.lines)
        return Layer(self.name, self.shape & room, tuple(lines), self.wrong)

    def cut_to(self, room: BaseGeometry) -> Layer:
        """What of the layer lies in a room, with the room's rim where the cloth runs on round it."""
        kept, rim = self.within(room), Line(room.boundary & self.shape.buffer(0.05), "contour", "", "side")
        return kept.with_lines(rim)

    def with_lines(self, *lines: Line) -> Layer:
        """The layer with more lines on it."""
        return Layer(self.name, self.shape, (*self.lines, *lines), self.wrong)


def way(curve: Curve, move: Move | None = None) -> LineString:
    """A curve as a line of shapely, moved."""
    return LineString((curve.moved(move) if move else curve).flat(CLOSE))


def sheet(piece: Piece, move: Move | None = None, *, halves: bool = False) -> BaseGeometry:
    """The room of a piece on its seam line, moved; halves: with its other half, mirrored about x = 0."""
    move = move or Move()
    flat = piece.outline.flat(CLOSE)
    whole = Polygon([move(p) for p in flat]).buffer(0)
    if halves:
        whole = (whole | Polygon([move(MIDDLE(p)) for p in flat]).buffer(0)).buffer(HAIR, 1).buffer(-HAIR, 1)
    return whole


def piece_layer(
    piece: Piece,
    styles: Mapping[str, str],
    move: Move | None = None,
    *,
    halves: bool = False,
    rows: Mapping[str, Sequence[float]] | None = None,
    wrong: bool = False,
    name: str = "",
) -> Layer:
    """A piece as a layer with its edges and the rows of stitching that run along them.

    styles: the line of each edge by its name, an edge without one is not drawn; halves: as for `sheet`;
    rows: for an edge, the distances from it inward at which it is stitched, cm.
    """
    move = move or Move()
    room, lines = sheet(piece, move, halves=halves), []
    moves = [move, MIDDLE.then(move)] if halves else [move]
    for edge in piece.edges:
        for m in moves:
            if styles.get(edge.name):
                lines.append(
                    Line(way(edge.curve, m), styles[edge.name], f"{piece.name}/{edge.name}", edge.name)
                )
    for edge_name, distances in (rows or {}).items():
        curve = piece.edge(edge_name).curve
        for distance in distances:
            inside = inward(curve, distance)
            for m in moves:
                row = moved(inside, m) & sheet(piece, m)
                lines.append(Line(row, "stitching", "", f"{edge_name}, stitched"))
    return Layer(name or piece.name, room, tuple(lines), wrong)


Placing = Move | Callable[[Point], Point]
"""A move of the paper, or any way that takes places to places."""


def moved(shape: BaseGeometry, move: Placing) -> BaseGeometry:
    """A shape with every point moved."""
    import numpy

    def rigid(xy):
        z = xy[:, 0] + 1j * xy[:, 1]
        z = move.a * (z.conj() if move.over else z) + move.b
        return numpy.column_stack([z.real, z.imag])

    def any_way(xy):
        return numpy.array([move(Point(*p)) for p in xy.tolist()])

    return shapely.transform(shape, rigid if isinstance(move, Move) else any_way)


def inward(curve: Curve, distance: float) -> BaseGeometry:
    """The line at a distance to the left of a curve, run on a little at both ends."""
    far = 2 * distance + 0.5
    start = curve.start - curve.start_direction * far
    end = curve.end + curve.end_direction * far
    return LineString([start, *curve.flat(CLOSE), end]).offset_curve(distance, join_style="mitre")


def outline_of(layer: Layer, style: str = "contour") -> Layer:
    """The layer with its whole edge as a line."""
    return layer.with_lines(Line(layer.shape.boundary, style, "", layer.name))


def stacked(layers: Sequence[Layer], *, shades: float = SHADES) -> list[Stroke]:
    """The strokes of layers from the lowest to the highest, what is hidden left out.

    shades: cm between the lines that shade a wrong side.
    """
    out: list[list[Stroke]] = []
    above: BaseGeometry = Polygon()
    for layer in reversed(layers):
        over = above.buffer(-HAIR, 1) if not above.is_empty else above
        drawn = [_shading(layer.shape - over, layer.name, shades)] if layer.wrong else []
        for line in layer.lines:
            drawn.append(stroke(line.shape - over, line, layer.name))
        out.append([item for item in drawn if item])
        above = above | layer.shape
    return [item for drawn in reversed(out) for item in drawn]


def stroke(shape: BaseGeometry, line: Line, piece: str) -> Stroke | None:
    """The lines of a shape as one stroke, None where there are none."""
    d = commands(shape)
    return Stroke(d, line.style, "garment", line.id, line.title, piece) if d else None


def commands(shape: BaseGeometry) -> tuple[Command, ...]:
    """Lines of shapely as path commands, the shortest left out."""
    if isinstance(shape, MultiLineString):
        shape = linemerge(shape)
    d: list[Command] = []
    for one in getattr(shape, "geoms", [shape]):
        if one.geom_type in ("LineString", "LinearRing") and one.length > 0.05:
            d += [("M" if k == 0 else "L", x, y) for k, (x, y) in enumerate(one.coords)]
        elif one.geom_type == "MultiLineString":
            d += commands(one)
    return tuple(d)


def _shading(room: BaseGeometry, piece: str, shades: float) -> Stroke | None:
    """A room filled with slanting lines, all of them on one raster, so that layers shade alike."""
    if room.is_empty:
        return None
    x0, y0, x1, y1 = room.bounds
    step = shades * math.sqrt(2)
    first, last = math.floor((x0 + y0) / step), math.ceil((x1 + y1) / step)
    slants = MultiLineString([[(k * step - y0, y0), (k * step - y1, y1)] for k in range(first, last + 1)])
    return stroke(slants & room, Line(room, "shade", "", "wrong side"), piece)

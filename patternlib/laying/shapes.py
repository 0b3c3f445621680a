"""What is laid: shapes with the ways they may lie, and the places they are given.

Cloth lies with its length along x and its width along y; the grain of every piece runs along x. cm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from .. import tolerances
from ..errors import PatternError, ValueAtFault

Ring = tuple[tuple[float, float], ...]

CLOSE = 0.01
"""cm: a ring with many points is replaced by a simpler one round it, at most twice this further out."""
MANY = 48
"""A ring with more points than this is made simpler first."""


class Way(NamedTuple):
    """One way a shape may lie.

    turn: degrees that gave its ring; over: whether it was turned over first; level: x of what is kept on a
    stripe; fold: 'low' or 'high' where its y = 0 must lie on a fold of the cloth, at y = 0 or at the far
    edge, '' where it lies anywhere.
    """

    ring: Ring
    turn: float = 0.0
    over: bool = False
    level: float = 0.0
    fold: str = ""


@dataclass(frozen=True)
class Shape:
    """A shape to be laid `count` times, in one of its ways each time."""

    name: str
    ways: tuple[Way, ...]
    count: int = 1


class Strip(NamedTuple):
    """The cloth to lay on, cm: its width without selvedges, the least gap between pieces, the length of a
    stripe repeat, and the stretch of y where nothing may lie because selvedges meet there."""

    width: float
    gap: float = 0.0
    repeat: float | None = None
    closed: tuple[float, float] | None = None


class Place(NamedTuple):
    """Where a copy of a shape lies: the numbers of its shape and its way, and the shift of the way's ring."""

    shape: int
    way: int
    dx: float
    dy: float


def box(ring: Ring) -> tuple[float, float, float, float]:
    """x0, y0, x1, y1 round a ring."""
    xs, ys = [p[0] for p in ring], [p[1] for p in ring]
    return min(xs), min(ys), max(xs), max(ys)


def laid_ring(shapes: Sequence[Shape], place: Place) -> Ring:
    """The ring of a shape where it lies."""
    return tuple((x + place.dx, y + place.dy) for x, y in shapes[place.shape].ways[place.way].ring)


def room_needed(rings: Sequence[Ring], gap: float) -> float:
    """How far each ring is widened before it is laid, cm: half the gap; a little more for many points."""
    return gap / 2 + (CLOSE if any(len(ring) > MANY for ring in rings) else 0.0)


def widened(ring: Ring, by: float, gap: float) -> Ring:
    """A simple ring round the given one, between `gap`/2 and `by` cm away from it; the same ring for by = 0.

    It never reaches further than `by` beyond the box round the ring.
    """
    if by == 0:
        return ring
    from shapely import Polygon
    from shapely import box as rectangle

    close = by - gap / 2
    round_it = Polygon(ring).buffer(by, join_style="mitre", mitre_limit=3.0)
    if close:
        round_it = round_it.simplify(0.98 * close)
    x0, y0, x1, y1 = box(ring)
    round_it = round_it.intersection(rectangle(x0 - by, y0 - by, x1 + by, y1 + by))
    return tuple(round_it.exterior.coords[:-1])


def with_room(shapes: Sequence[Shape], strip: Strip) -> list[Shape]:
    """The shapes with the ways that fit across the cloth; refuses a shape that fits in none."""
    out = []
    for shape in shapes:
        ways = tuple(way for way in shape.ways if _needs(way) <= _offers(strip, way) + tolerances.POINT)
        if not ways:
            needs = min(map(_needs, shape.ways))
            raise ValueAtFault(
                "width", round(_offers(strip, shape.ways[0]), 1),
                f"cm of cloth lie free from edge to edge, and {shape.name} needs {needs:.1f} cm",
                "Take wider cloth, or lay it flat if it is folded.",
            )  # fmt: skip
        out.append(Shape(shape.name, ways, shape.count))
    return out


def _needs(way: Way) -> float:
    _, y0, _, y1 = box(way.ring)
    return {"low": y1, "high": -y0, "": y1 - y0}[way.fold]


def _offers(strip: Strip, way: Way) -> float:
    low, high = strip.closed or (strip.width, strip.width)
    below, above = low, strip.width - high
    return {"low": below, "high": above, "": max(below, above)}[way.fold]


def faults(shapes: Sequence[Shape], places: Sequence[Place], strip: Strip) -> list[str]:
    """What is wrong with a lay, measured on the rings themselves; empty where pieces keep clear of each other
    and of the edges."""
    from shapely import Polygon, STRtree

    slack = 10 * tolerances.POINT * max(strip.width, 1.0)  # the packing engine calculates with short floats
    polygons = [Polygon(laid_ring(shapes, place)) for place in places]
    names = [shapes[place.shape].name for place in places]
    found = []
    for name, polygon in zip(names, polygons, strict=True):
        x0, y0, _, y1 = polygon.bounds
        if min(x0, y0, strip.width - y1) < -slack:
            found.append(f"{name} lies over the edge")
    tree = STRtree(polygons)
    for i, polygon in enumerate(polygons):
        for j in tree.query(polygon, predicate="dwithin", distance=strip.gap + slack):
            near = polygons[j]
            if j <= i:
                continue
            if strip.gap and polygon.distance(near) < strip.gap - slack:
                found.append(f"{names[i]} lies nearer than {strip.gap:g} cm to {names[j]}")
            elif polygon.intersection(near).area > slack * min(polygon.length, near.length):
                found.append(f"{names[i]} lies on {names[j]}")
    return found


def no_room(shape: Shape) -> PatternError:
    return PatternError(f"lay: no place was found for {shape.name}. Take wider cloth.")

"""The cut line of one edge, and how two cut lines meet at a corner.

There is no offset of a whole outline here: each edge has its own allowance, and each corner is shaped
for the way it is sewn.
"""

from __future__ import annotations

import itertools
import math

from .. import tolerances
from ..errors import GeometryError
from .curve import Curve
from .point import Move, Point
from .segment import Segment, speed_terms, straight, tangent, value

Points = list[Point]


def offset(curve: Curve, distance: float, within: float = tolerances.FLATTEN) -> Points:
    """Points of the line at `distance` cm to the right of a curve, within `within` cm of the true one.

    Where the curve bends to the right more tightly than the distance, the loop is cut off; at a corner
    inside the curve both sides run on until they meet. GeometryError where nothing is left.

    >>> from patternlib.geometry import line
    >>> offset(line(Point(0, 0), Point(5, 0)), 1)
    [Point(x=0.0, y=-1.0), Point(x=5.0, y=-1.0)]
    """
    if not math.isfinite(distance):
        raise GeometryError(f"an allowance of {distance:g} cm cannot be drawn: give it in cm.")
    if distance == 0:
        return curve.flat(within)
    out: Points = []
    tight = False
    way: complex | None = None
    for s in curve.segments:
        if max(abs(z - s[0]) for z in s) < 1e-9:
            continue
        n = 1 if straight(s) else _steps(s, distance, within)
        _a, b, c = speed_terms(s)
        for k in range(n + 1):
            t = k / n
            d = tangent(s, t)
            speed = abs(d)
            z, ahead = value(s, t), d / speed
            if k == 0 and way is not None:
                corner = _at_corner(z, way, ahead, distance)
                tight = tight or corner is None
                if isinstance(corner, Point):
                    out.append(corner)
            way = ahead
            z -= 1j * distance * way
            p = Point(z.real, z.imag)
            dd = b + 2 * t * c
            tight = tight or (d.imag * dd.real - d.real * dd.imag) * distance > speed**3
            if not out or p.distance(out[-1]) > tolerances.POINT:
                tight = tight or bool(k and (p - out[-1]).dot((d.real, d.imag)) < 0)
                out.append(p)
    if not out:
        raise GeometryError("an edge of no length cannot have an allowance: leave it out or draw it longer.")
    return _without_loops(out, curve, abs(distance), within) if tight else out


def _at_corner(z: complex, way: complex, ahead: complex, distance: float) -> Point | tuple[()] | None:
    """At a corner inside an edge: where both sides meet; () where there is none; None for one to be cut."""
    cross, dot = (way.conjugate() * ahead).imag, (way.conjugate() * ahead).real
    if dot > 0 and abs(cross) < 1e-4:
        return ()
    if cross * distance < 0:
        return None
    if dot < -0.5:  # sharper than 60 degrees: left blunt
        return ()
    z -= 1j * distance * (way + ahead) / (1 + dot)
    return Point(z.real, z.imag)


def _steps(s: Segment, distance: float, within: float) -> int:
    """How many straight pieces follow the offset of one cubic closely enough."""
    legs = [z for z in (s[1] - s[0], s[2] - s[1], s[3] - s[2]) if abs(z) > 1e-9]
    turn = sum(
        abs(math.atan2((q * p.conjugate()).imag, (q * p.conjugate()).real))
        for p, q in itertools.pairwise(legs)
    )
    radius = sum(abs(z) for z in legs) / max(turn, 1e-6) + abs(distance)
    return max(1, math.ceil(1.5 * turn * math.sqrt(radius / (8 * within))))


def _without_loops(points: Points, curve: Curve, distance: float, within: float) -> Points:
    """Cut off the loops an offset makes where the bend is tighter than the allowance."""
    closed = points[0].distance(points[-1]) < tolerances.POINT
    i = 0
    while i < len(points) - 2:
        for j in range(len(points) - 2 - (closed and i == 0), i + 1, -1):
            x = cross_pieces(points[i], points[i + 1], points[j], points[j + 1])
            if x is not None:
                points = [*points[: i + 1], x, *points[j + 1 :]]
                break
        i += 1
    # a bend too tight at the very end of an edge leaves a tail without a crossing
    points = [p for p in points if curve.closest(p)[1] > distance - 2 * within]
    if len(points) < 2:
        raise GeometryError(
            f"an edge bends so tightly that an allowance of {distance:.2f} cm finds no room: "
            "take less allowance or draw the bend rounder."
        )
    return points


def cross_pieces(p: Point, q: Point, r: Point, s: Point) -> Point | None:
    """Where two straight pieces p-q and r-s meet, ends included; None where they do not."""
    d, e, f = q - p, s - r, r - p
    den = d.cross(e)
    if abs(den) < 1e-14:
        return None
    t, u = f.cross(e) / den, f.cross(d) / den
    if -1e-9 <= t <= 1 + 1e-9 and -1e-9 <= u <= 1 + 1e-9:
        return p + d * t
    return None


def _meeting(a: Points, b: Points, near: Point, within: float) -> tuple[int, int, Point] | None:
    """The meeting of two polylines nearest to a point: (piece of a, piece of b, point).

    Looks from the end of a, and is content with a meeting `within` cm.
    """
    best, least = None, math.inf
    for i in range(len(a) - 2, -1, -1):
        for j in range(len(b) - 1):
            x = cross_pieces(a[i], a[i + 1], b[j], b[j + 1])
            if x is not None and near.distance(x) < least:
                best, least = (i, j, x), near.distance(x)
        if least <= within:
            break
    return best


def _extended(points: Points, by: float) -> Points:
    last = points[-1]  # cut at an earlier corner, a line may end in two points on one spot
    before = next((p for p in reversed(points) if p.distance(last) > tolerances.POINT), None)
    return points if before is None else [*points, last + (last - before).unit() * by]


def corner_cut(
    before: Points, after: Points, corner: Point, along: Point, along2: Point, *, folds: str = "", cap: float
) -> tuple[Points, Points]:
    """Shape the corner between two cut lines; gives both, shortened or run on so that they meet.

    before, after: cut lines of the edge that ends at `corner` and of the one that starts there;
    along, along2: the way those edges run there (arrows of length 1).
    folds: 'before' or 'after' names the edge whose allowance is folded back on its seam line first: its
    end is the mirror image, over that line, of the other cut line, so that folded back it lies on the
    piece. '' runs both cut lines on until they meet, and blunts the point `cap` cm from the corner (at
    least the wider allowance). Lines that would meet only further off keep their ends: a step.
    """
    gap = before[-1].distance(after[0])
    if gap < tolerances.POINT:
        return before, after
    turn = math.degrees(math.atan2(along.cross(along2), along.dot(along2)))
    width, width2 = corner.distance(before[-1]), corner.distance(after[0])
    if abs(turn) < tolerances.SMOOTH and abs(width - width2) > tolerances.SEAM:
        return before, after
    cap = max(cap, width, width2)
    if turn < 0:  # an inner corner: the cut lines cross, unless their widths differ more than it turns
        hit = _meeting(before, after, corner, cap)
        if hit is not None:
            i, j, x = hit
            return [*before[: i + 1], x], [x, *after[j + 1 :]]
    reach = 4 * cap + gap
    long_before = _extended(before, reach)
    long_after = _extended(after[::-1], reach)[::-1]
    if turn > tolerances.SMOOTH and folds == "before":
        shaped = _folded(long_before, long_after, corner, along, reach)
        if shaped:
            return shaped
    elif turn > tolerances.SMOOTH and folds == "after":  # the same, walking round the piece the other way
        shaped = _folded(long_after[::-1], long_before[::-1], corner, -along2, reach)
        if shaped:
            return shaped[1][::-1], shaped[0][::-1]
    hit = _meeting(long_before, long_after, corner, cap)
    out = (along - along2).unit()
    if turn > 0 and ((hit and (hit[2] - corner).dot(out) > cap) or (hit is None and turn > 90)):
        p = corner + out * cap
        return _blunted(long_before, p, out.left()), _blunted(long_after[::-1], p, out.left())[::-1]
    if hit is None or corner.distance(hit[2]) > cap:
        return before, after
    i, j, x = hit
    return [*long_before[: i + 1], x], [x, *long_after[j + 1 :]]


def _blunted(points: Points, p: Point, across: Point) -> Points:
    """A cut line ended on the line through p, the last time it crosses it."""
    across = across * 1e3
    for i in range(len(points) - 2, -1, -1):
        x = cross_pieces(points[i], points[i + 1], p - across, p + across)
        if x is not None:
            return [*points[: i + 1], x]
    return points


def _folded(
    first: Points, second: Points, corner: Point, along: Point, reach: float
) -> tuple[Points, Points] | None:
    """End the first allowance with the mirror image of the second cut line over the first seam line."""
    hit = _meeting([corner - along * tolerances.SEAM, corner + along * reach], second, corner, 0.0)
    if hit is None:
        return None
    _, j, p = hit
    mirror = Move.mirror(corner, corner + along)
    # a fold-back deeper than the second edge is long needs the mirrored line to run on
    image = [p, *(mirror(x) for x in _extended(second, reach)[j + 1 :])]
    for k in range(len(image) - 1):
        for i in range(len(first) - 2, -1, -1):
            q = cross_pieces(first[i], first[i + 1], image[k], image[k + 1])
            if q is not None:
                return [*first[: i + 1], q, *image[k:0:-1], p], [p, *second[j + 1 :]]
    return None

"""The cut line of one edge, and how two cut lines meet at a corner.

There is no offset of a whole outline here: each edge has its own allowance, and each corner is shaped
for the way it is sewn.
"""

from __future__ import annotations

import math

from .. import tolerances
from .curve import Curve, _speed_terms, _straight, _value
from .point import Move, Point

Points = list[Point]


def offset(curve: Curve, distance: float, within: float = tolerances.FLATTEN) -> Points:
    """Points of the line at `distance` cm to the right of a curve, within `within` cm of the true one.

    Where the curve bends to the right more tightly than the distance, the loop is cut off.

    >>> from patternlib.geometry import line
    >>> offset(line(Point(0, 0), Point(5, 0)), 1)
    [Point(x=0.0, y=-1.0), Point(x=5.0, y=-1.0)]
    """
    if distance == 0:
        return curve.flat(within)
    out: Points = []
    tight = False
    for s in curve.segments:
        n = 1 if _straight(s) else _steps(s, distance, within)
        a, b, c = _speed_terms(s)
        for k in range(n + 1):
            t = k / n
            d = a + t * (b + t * c)
            if abs(d) < 1e-9:
                d = (s[2] - s[0]) if t < 0.5 else (s[3] - s[1])
            speed = abs(d)
            dd = b + 2 * t * c
            tight = tight or (d.imag * dd.real - d.real * dd.imag) * distance > speed**3
            z = _value(s, t) - 1j * distance * d / speed
            p = Point(z.real, z.imag)
            if not out or p.distance(out[-1]) > tolerances.POINT:
                out.append(p)
    return _without_loops(out) if tight else out


def _steps(s, distance: float, within: float) -> int:
    """How many straight pieces follow the offset of one cubic closely enough."""
    legs = [z for z in (s[1] - s[0], s[2] - s[1], s[3] - s[2]) if abs(z) > 1e-9]
    turn = sum(
        abs(math.atan2((q * p.conjugate()).imag, (q * p.conjugate()).real))
        for p, q in zip(legs, legs[1:], strict=False)
    )
    radius = sum(abs(z) for z in legs) / max(turn, 1e-6) + abs(distance)
    return max(1, math.ceil(1.5 * turn * math.sqrt(radius / (8 * within))))


def _without_loops(points: Points) -> Points:
    """Cut off the loops an offset makes where the bend is tighter than the allowance."""
    i = 0
    while i < len(points) - 2:
        for j in range(len(points) - 2, i + 1, -1):
            x = cross_pieces(points[i], points[i + 1], points[j], points[j + 1])
            if x is not None and j > i + 1:
                points = [*points[: i + 1], x, *points[j + 1 :]]
                break
        i += 1
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


def _first_meeting(a: Points, b: Points) -> tuple[int, int, Point] | None:
    """The meeting of two polylines nearest to the end of a: (piece of a, piece of b, point)."""
    for i in range(len(a) - 2, -1, -1):
        hits = []
        for j in range(len(b) - 1):
            x = cross_pieces(a[i], a[i + 1], b[j], b[j + 1])
            if x is not None:
                hits.append((-a[i].distance(x), j, x))
        if hits:
            _, j, x = min(hits)
            return i, j, x
    return None


def _extended(points: Points, by: float) -> Points:
    return [*points, points[-1] + (points[-1] - points[-2]).unit() * by]


def corner_cut(
    before: Points, after: Points, corner: Point, along: Point, along2: Point, *, folds: str = "", cap: float
) -> tuple[Points, Points]:
    """Shape the corner between two cut lines; gives both, shortened or run on so that they meet.

    before, after: cut lines of the edge that ends at `corner` and of the one that starts there;
    along, along2: the way those edges run there (arrows of length 1).
    folds: 'before' or 'after' names the edge whose allowance is folded back on its seam line first: its
    end is the mirror image, over that line, of the other cut line, so that folded back it lies on the
    piece. '' runs both cut lines on until they meet, and blunts the point `cap` cm from the corner.
    """
    if folds == "after":
        b, a = corner_cut(
            after[::-1], before[::-1], corner, -along2, -along, folds="before", cap=cap
        )  # the mirror case: walk the corner the other way round
        return a[::-1], b[::-1]
    turn = math.degrees(math.atan2(along.cross(along2), along.dot(along2)))
    if before[-1].distance(after[0]) < tolerances.POINT:
        return before, after
    if abs(turn) < tolerances.SMOOTH:  # one line runs on into the other: a step where allowances differ
        return before, after
    reach = 4 * cap + before[-1].distance(after[0])
    long_before = _extended(before, reach)
    long_after = _extended(after[::-1], reach)[::-1]
    if folds == "before" and turn > 0:
        shaped = _folded(long_before, long_after, corner, along, reach)
        if shaped:
            return shaped
    hit = _first_meeting(long_before, long_after)
    if hit is None:
        return before, after
    i, j, x = hit
    first, second = [*long_before[: i + 1], x], [x, *long_after[j + 1 :]]
    if corner.distance(x) <= cap:
        return first, second
    out = (along - along2).unit()
    p, q = corner + out * cap, corner + out * cap + out.left()
    return _blunted(long_before, p, q), _blunted(long_after[::-1], p, q)[::-1]


def _blunted(points: Points, p: Point, q: Point) -> Points:
    """A cut line ended on the line p-q, the last time it crosses it."""
    across = (q - p).unit() * 1e3
    for i in range(len(points) - 2, -1, -1):
        x = cross_pieces(points[i], points[i + 1], p - across, p + across)
        if x is not None:
            return [*points[: i + 1], x]
    return points


def _folded(before: Points, after: Points, corner: Point, along: Point, reach: float):
    """End the first allowance with the mirror image of the second cut line over the first seam line."""
    fold = [corner - along * (reach / 8), corner + along * reach]
    hit = _first_meeting(fold, after)
    if hit is None:
        return None
    _, j, p = hit
    mirror = Move.mirror(corner, corner + along)
    image = [p, *(mirror(x) for x in after[j + 1 :])]
    meeting = None
    for k in range(len(image) - 1):
        for i in range(len(before) - 2, -1, -1):
            x = cross_pieces(before[i], before[i + 1], image[k], image[k + 1])
            if x is not None:
                meeting = (i, k, x)
                break
        if meeting:
            break
    if meeting is None:
        return None
    i, k, q = meeting
    return [*before[: i + 1], q, *image[k:0:-1], p], [p, *after[j + 1 :]]

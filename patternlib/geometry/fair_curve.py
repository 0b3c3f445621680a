"""Fair curves through given points with given end directions.

The directions between the points and the length of the handles follow J. D. Hobby, 'Smooth, easy to
compute interpolating splines', Discrete & Computational Geometry 1 (1986): the bend changes as evenly
as the points allow, much as a thin spline of wood would.
"""

from __future__ import annotations

import cmath
import itertools
import math
from collections.abc import Sequence

from ..errors import GeometryError
from .curve import Curve
from .point import Spot
from .segment import place


def _handle(theta: float, phi: float) -> float:
    st, sp, ct, cp = math.sin(theta), math.sin(phi), math.cos(theta), math.cos(phi)
    above = 2 + math.sqrt(2) * (st - sp / 16) * (sp - st / 16) * (ct - cp)
    below = 3 * (1 + (math.sqrt(5) - 1) / 2 * ct + (3 - math.sqrt(5)) / 2 * cp)
    return above / below if above < 4 / 3 * below else 4 / 3  # a turn right back asks for no end of handle


def _angle(z: complex) -> float:
    return cmath.phase(z)


def _way(arrow: Spot) -> complex:
    z = place(arrow)
    if abs(z) < 1e-12:
        raise GeometryError("a curve's direction needs an arrow that is longer than 0 cm.")
    return z


def fair(
    points: Sequence[Spot], *, start: Spot | None = None, end: Spot | None = None, fullness: float = 1.0
) -> Curve:
    """A fair curve through two or more points.

    start, end: the way the curve leaves its first point and arrives at its last (arrows of any length);
    None lets it run as it likes. fullness: length of all handles against the fair length, 1 is fair,
    more is fuller. Two points and no direction give a straight line. Points on one spot: GeometryError.

    >>> from patternlib.geometry import Point
    >>> quarter = fair([Point(10, 0), Point(0, 10)], start=Point(0, 1), end=Point(-1, 0))
    >>> round(quarter.length, 2)  # a quarter of a circle of radius 10 measures 15.71
    15.71
    """
    z = [place(p) for p in points]
    n = len(z) - 1
    if n < 1 or any(abs(b - a) < 1e-9 for a, b in itertools.pairwise(z)):
        raise GeometryError("a curve needs two or more points, and no two of them on one spot.")
    if not 0 < fullness <= 4:
        raise GeometryError(f"the fullness of a curve must lie above 0, at most 4; {fullness:g} came in.")
    chord = [b - a for a, b in itertools.pairwise(z)]
    d = [abs(c) for c in chord]
    psi = [0.0] + [_angle(chord[k] / chord[k - 1]) for k in range(1, n)] + [0.0]
    below, middle, above, given = [0.0] * (n + 1), [1.0] * (n + 1), [0.0] * (n + 1), [0.0] * (n + 1)
    if start is not None:
        given[0] = _angle(_way(start) / chord[0])
    else:
        above[0], given[0] = 1.0, -psi[1]
    for k in range(1, n):
        below[k], above[k] = 1 / d[k - 1], 1 / d[k]
        middle[k] = 2 / d[k - 1] + 2 / d[k]
        given[k] = -2 * psi[k] / d[k - 1] - psi[k + 1] / d[k]
    if end is not None:
        given[n] = _angle(_way(end) / chord[-1])
    elif start is None and n == 1:
        above[0] = 0.0  # straight
    else:
        below[n] = 1.0
    for k in range(1, n + 1):  # elimination, then back
        f = below[k] / middle[k - 1]
        middle[k] -= f * above[k - 1]
        given[k] -= f * given[k - 1]
    theta = [0.0] * (n + 1)
    theta[n] = given[n] / middle[n]
    for k in range(n - 1, -1, -1):
        theta[k] = (given[k] - above[k] * theta[k + 1]) / middle[k]
    segments = []
    for k in range(n):
        t, p = theta[k], -psi[k + 1] - theta[k + 1]
        a = z[k] + cmath.exp(1j * t) * chord[k] * _handle(t, p) * fullness
        b = z[k + 1] - cmath.exp(-1j * p) * chord[k] * _handle(p, t) * fullness
        segments.append((z[k], a, b, z[k + 1]))
    return Curve(tuple(segments))


BENDS_ONCE = 5.0
"""degrees; a curve that turns back by no more looks as if it bent once (common practice, no source)."""
_LEAST = 0.6
"""Handles are not made shorter than this share of the fair ones: the bend would gather at the ends."""
_NEARLY_S = 0.1
"""Share of one end's angle to the straight line in the other's, below which a curve is nearly an S."""


def fair_between(first: Spot, last: Spot, *, start: Spot, end: Spot) -> Curve:
    """A fair curve between two points with both directions given; it bends once where one bend can do it.

    Where the fair curve turns back by more than BENDS_ONCE, its handles are made as much shorter as takes to
    turn back by no more. A curve that cannot do so keeps its fair handles, with an even passage between the
    two: a point moved by a little moves the curve by a little.

    >>> from patternlib.geometry import Point, direction
    >>> curve = fair_between(Point(0, 0), Point(20, 0), start=direction(8), end=direction(-60))
    >>> fair_one = fair([(0, 0), (20, 0)], start=direction(8), end=direction(-60))
    >>> round(half_way_off(curve), 2), round(half_way_off(fair_one), 2)  # less bent half-way
    (2.08, 2.59)
    """
    chord = place(last) - place(first)
    fair_one = fair([first, last], start=start, end=end)
    leaves, arrives = _angle(_way(start) / chord), -_angle(_way(end) / chord)
    small, large = sorted((abs(leaves), abs(arrives)))
    if leaves * arrives <= 0 or _turns_back(fair_one) <= BENDS_ONCE:
        return fair_one

    def back(fullness: float) -> float:
        return _turns_back(fair([first, last], start=start, end=end, fullness=fullness))

    at_least = back(_LEAST)
    if at_least > BENDS_ONCE:
        fullness = _LEAST + (1 - _LEAST) * min(1.0, at_least / BENDS_ONCE - 1)
    else:
        low, high = _LEAST, 1.0
        for _ in range(40):
            middle = (low + high) / 2
            low, high = (middle, high) if back(middle) <= BENDS_ONCE else (low, middle)
        fullness = low
    return fair(
        [first, last],
        start=start,
        end=end,
        fullness=1 - min(1.0, small / large / _NEARLY_S) * (1 - fullness),
    )


def _turns_back(curve: Curve) -> float:
    """The smaller of the angles by which a single cubic turns to the left and to the right, degrees."""
    a, b, c = (q - p for p, q in itertools.pairwise(curve.segments[0]))
    ab, ac, bc = ((p.conjugate() * q).imag for p, q in ((a, b), (a, c), (b, c)))
    square, linear = ab - ac + bc, ac - 2 * ab  # the bend's sign is that of square u^2 + linear u + ab
    root = linear * linear - 4 * square * ab
    places = [0.0, 1.0]
    if root > 0:
        far = -(linear + math.copysign(math.sqrt(root), linear)) / 2
        places += [u for u in (ab / far if far else 0.0, far / square if square else 0.0) if 0 < u < 1]
    ways = [(1 - u) ** 2 * a + 2 * u * (1 - u) * b + u * u * c for u in sorted(places)]
    turns = [math.degrees(_angle(q * p.conjugate())) for p, q in itertools.pairwise(ways)]
    return min(sum(t for t in turns if t > 0), -sum(t for t in turns if t < 0))


def half_way_off(curve: Curve) -> float:
    """How far a curve lies off the straight line between its ends half-way, cm; above 0 to the left."""
    middle, across = curve.start.middle(curve.end), (curve.end - curve.start).unit().left()
    places = [curve.at(s) - middle for s in curve.meets_line(middle, middle + across)]
    return min((p.dot(across) for p in places), key=abs) if places else 0.0


def arc(centre: Spot, radius: float, from_degrees: float, to_degrees: float) -> Curve:
    """Part of a circle, anticlockwise where to > from; cubics of at most 45 degrees (error < 5e-6 radius).

    >>> from patternlib.geometry import Point
    >>> round(arc(Point(0, 0), 10, 0, 180).length, 3)
    31.416
    """
    if not 0 < radius < math.inf:
        raise GeometryError(f"a circle needs a radius above 0 cm; {radius:g} came in.")
    sweep = math.radians(to_degrees - from_degrees)
    if not 0 < abs(sweep) < math.inf:
        raise GeometryError("part of a circle needs two different angles: change one of them.")
    n = max(1, math.ceil(abs(sweep) / (math.pi / 4) - 1e-9))
    step = sweep / n
    k = 4 / 3 * math.tan(step / 4)
    c, segments = place(centre), []
    for i in range(n):
        u = cmath.exp(1j * (math.radians(from_degrees) + i * step))
        v = u * cmath.exp(1j * step)
        segments.append(
            (c + radius * u, c + radius * u * (1 + 1j * k), c + radius * v * (1 - 1j * k), c + radius * v)
        )
    return Curve(tuple(segments))

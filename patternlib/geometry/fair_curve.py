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

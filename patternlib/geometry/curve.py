"""Curves: chains of cubic Béziers, measured along the true curve.

A straight line is a chain of one cubic with its handles at the thirds, so every call serves both.
Control points are held as complex numbers x + iy; everything that comes out is a Point.
Places on a curve are named by the distance walked from its start, cm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from .. import tolerances
from ..errors import GeometryError
from .point import Move, Point

Segment = tuple[complex, complex, complex, complex]


def _gauss(n: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights of Gauss-Legendre quadrature on 0..1 (Newton on the Legendre polynomial)."""
    rows = []
    for k in range(1, n + 1):
        x = math.cos(math.pi * (k - 0.25) / (n + 0.5))
        for _ in range(50):
            p0, p1 = 1.0, x
            for j in range(2, n + 1):
                p0, p1 = p1, ((2 * j - 1) * x * p1 - (j - 1) * p0) / j
            slope = n * (x * p1 - p0) / (x * x - 1)
            x -= (step := p1 / slope)
            if abs(step) < 1e-15:
                break
        rows.append(((1 + x) / 2, 1 / ((1 - x * x) * slope * slope)))
    return tuple(rows)


_NODES = _gauss(12)


def _speed_terms(s: Segment) -> tuple[complex, complex, complex]:
    d0, d1, d2 = 3 * (s[1] - s[0]), 3 * (s[2] - s[1]), 3 * (s[3] - s[2])
    return d0, 2 * (d1 - d0), d0 - 2 * d1 + d2


def _measure(terms, t0: float, t1: float) -> float:
    a, b, c = terms
    h = t1 - t0
    total = 0.0
    for node, weight in _NODES:
        t = t0 + h * node
        total += weight * abs(a + t * (b + t * c))
    return total * h


def _measure_closely(terms, t0: float, t1: float, depth: int = 0) -> float:
    """Quadrature, halved until two halves agree with the whole (sharp bends near a handle)."""
    whole = _measure(terms, t0, t1)
    mid = (t0 + t1) / 2
    halves = _measure(terms, t0, mid) + _measure(terms, mid, t1)
    if abs(whole - halves) < 1e-9 or depth > 12:
        return halves
    return _measure_closely(terms, t0, mid, depth + 1) + _measure_closely(terms, mid, t1, depth + 1)


def _value(s: Segment, t: float) -> complex:
    u = 1 - t
    return u * u * u * s[0] + 3 * u * u * t * s[1] + 3 * u * t * t * s[2] + t * t * t * s[3]


def _split(s: Segment, t: float) -> tuple[Segment, Segment]:
    a, b, c = s[0] + t * (s[1] - s[0]), s[1] + t * (s[2] - s[1]), s[2] + t * (s[3] - s[2])
    d, e = a + t * (b - a), b + t * (c - b)
    m = d + t * (e - d)
    return (s[0], a, d, m), (m, e, c, s[3])


def _straight(s: Segment) -> bool:
    return abs(s[1] - (2 * s[0] + s[3]) / 3) + abs(s[2] - (s[0] + 2 * s[3]) / 3) < 1e-9


@dataclass(frozen=True)
class Curve:
    """A chain of cubic Béziers, end to start. Make one with `line`, `cubic`, `polyline`, `fair` or `arc`.

    >>> edge = line(Point(0, 0), Point(30, 40))
    >>> edge.length, edge.at(25)
    (50.0, Point(x=15.0, y=20.0))
    """

    segments: tuple[Segment, ...]

    # -- measuring

    @cached_property
    def lengths(self) -> tuple[float, ...]:
        """Length of each cubic, cm."""
        return tuple(
            abs(s[3] - s[0]) if _straight(s) else _measure_closely(_speed_terms(s), 0.0, 1.0)
            for s in self.segments
        )

    @property
    def length(self) -> float:
        """Length along the true curve, cm (quadrature, error under 1e-8 cm)."""
        return sum(self.lengths)

    @property
    def start(self) -> Point:
        z = self.segments[0][0]
        return Point(z.real, z.imag)

    @property
    def end(self) -> Point:
        z = self.segments[-1][3]
        return Point(z.real, z.imag)

    @cached_property
    def is_straight(self) -> bool:
        """One straight line from start to end."""
        z0, z1 = self.segments[0][0], self.segments[-1][3]
        chord = abs(z1 - z0)
        return chord > 0 and self.length - chord < 1e-9

    def _locate(self, distance: float) -> tuple[int, float]:
        """(segment, t) at a distance walked from the start; beyond an end by more than rounding: refused."""
        if not -1e-6 <= distance <= self.length + 1e-6:
            raise GeometryError(
                f"a point {distance:.2f} cm along an edge was asked for, but the edge is only "
                f"{self.length:.2f} cm long: take a smaller measure."
            )
        last = len(self.segments) - 1
        for i, piece in enumerate(self.lengths):
            if distance <= piece or i == last:
                break
            distance -= piece
        if distance <= 0:
            return i, 0.0
        if distance >= piece:
            return i, 1.0
        s = self.segments[i]
        t = distance / piece
        if not _straight(s):
            terms = _speed_terms(s)
            low, high = 0.0, 1.0
            for _ in range(40):
                gap = _measure(terms, 0.0, t) - distance
                if abs(gap) < 1e-10:
                    break
                low, high = (low, t) if gap > 0 else (t, high)
                speed = abs(terms[0] + t * (terms[1] + t * terms[2]))
                guess = t - gap / speed if speed > 1e-12 else low
                t = guess if low < guess < high else (low + high) / 2
        return i, t

    def at(self, distance: float) -> Point:
        """The point at a distance (cm) walked from the start. Beyond the end: GeometryError."""
        i, t = self._locate(distance)
        z = _value(self.segments[i], t)
        return Point(z.real, z.imag)

    def direction(self, distance: float) -> Point:
        """The way the curve runs at a distance from its start, an arrow of length 1."""
        i, t = self._locate(distance)
        return self._tangent(i, t)

    def _tangent(self, i: int, t: float) -> Point:
        s = self.segments[i]
        a, b, c = _speed_terms(s)
        d = a + t * (b + t * c)
        if abs(d) < 1e-9:  # a handle of no length: the second derivative tells the way
            d = (s[2] - s[0]) if t < 0.5 else (s[3] - s[1])
            if abs(d) < 1e-9:
                d = s[3] - s[0]
        return Point(d.real, d.imag).unit()

    @property
    def start_direction(self) -> Point:
        return self._tangent(0, 0.0)

    @property
    def end_direction(self) -> Point:
        return self._tangent(len(self.segments) - 1, 1.0)

    def curvature(self, distance: float) -> float:
        """1 / radius at a distance from the start, per cm; positive where the curve bends to the left."""
        i, t = self._locate(distance)
        a, b, c = _speed_terms(self.segments[i])
        d, dd = a + t * (b + t * c), b + 2 * t * c
        speed = abs(d)
        return 0.0 if speed < 1e-9 else (d.real * dd.imag - d.imag * dd.real) / speed**3

    # -- cutting and joining

    def split(self, distance: float) -> tuple[Curve, Curve]:
        """The two curves on either side of a point; a cut at an end is refused."""
        if not 1e-7 < distance < self.length - 1e-7:
            raise GeometryError(
                f"an edge of {self.length:.2f} cm cannot be cut at {distance:.2f} cm: "
                "the cut must lie between its ends."
            )
        i, t = self._locate(distance)
        if t < 1e-9 and i > 0:
            return Curve(self.segments[:i]), Curve(self.segments[i:])
        if t > 1 - 1e-9 and i < len(self.segments) - 1:
            return Curve(self.segments[: i + 1]), Curve(self.segments[i + 1 :])
        first, second = _split(self.segments[i], t)
        return Curve((*self.segments[:i], first)), Curve((second, *self.segments[i + 1 :]))

    def part(self, start: float, end: float) -> Curve:
        """The curve between two distances from the start; start > end gives it reversed."""
        if start > end:
            return self.part(end, start).reversed()
        tail = self if start < 1e-7 else self.split(start)[1]
        return tail if end > self.length - 1e-7 else tail.split(end - max(start, 0.0))[0]

    def reversed(self) -> Curve:
        return Curve(tuple((s[3], s[2], s[1], s[0]) for s in reversed(self.segments)))

    def moved(self, move: Move) -> Curve:
        z = move.z
        return Curve(tuple((z(s[0]), z(s[1]), z(s[2]), z(s[3])) for s in self.segments))

    def joined(self, *others: Curve) -> Curve:
        """This curve and others run on as one; each must start where the one before ends."""
        segments = list(self.segments)
        for other in others:
            if abs(segments[-1][3] - other.segments[0][0]) > tolerances.POINT:
                raise GeometryError("two edges are to run on as one but do not touch: check their ends.")
            segments.extend(other.segments)
        return Curve(tuple(segments))

    # -- finding places

    def closest(self, point) -> tuple[float, float]:
        """(distance from the start, gap) of the curve's point nearest to a given point, cm."""
        z = complex(*point)
        best = (math.inf, 0, 0.0)
        for i, s in enumerate(self.segments):
            n = 1 if _straight(s) else 12
            for k in range(n + 1):
                gap = abs(_value(s, k / n) - z)
                if gap < best[0]:
                    best = (gap, i, k / n)
        candidates = [best]
        for i in {max(best[1] - 1, 0), best[1], min(best[1] + 1, len(self.segments) - 1)}:
            s = self.segments[i]
            if _straight(s):
                d = s[3] - s[0]
                t = ((z - s[0]) * d.conjugate()).real / max(abs(d) ** 2, 1e-18)
            else:
                t = _nearest_t(s, z, best[2] if i == best[1] else (1.0 if i < best[1] else 0.0))
            t = min(max(t, 0.0), 1.0)
            candidates.append((abs(_value(s, t) - z), i, t))
        gap, i, t = min(candidates)
        return self._distance_of(i, t), gap

    def _distance_of(self, i: int, t: float) -> float:
        s = self.segments[i]
        inside = t * self.lengths[i] if _straight(s) else _measure_closely(_speed_terms(s), 0.0, t)
        return sum(self.lengths[:i]) + inside

    def meets_line(self, p, q) -> tuple[float, ...]:
        """Distances from the start where the curve crosses the line through p and q (without end)."""
        p = complex(*p)
        d = complex(*(Point(*q) - (p.real, p.imag)).unit())
        found: list[float] = []
        for i, s in enumerate(self.segments):
            heights = tuple(((z - p) * d.conjugate()).imag for z in s)
            for t in _bernstein_roots(heights):
                distance = self._distance_of(i, t)
                if not found or distance - found[-1] > 1e-6:
                    found.append(distance)
        return tuple(found)

    def meets(self, other: Curve) -> tuple[float, ...]:
        """Distances from this curve's start where it crosses another curve, in order."""
        found: list[float] = []
        for i, s in enumerate(self.segments):
            for r in other.segments:
                found.extend(self._distance_of(i, t) for t in _crossings(s, r))
        found.sort()
        kept: list[float] = []
        for distance in found:
            if not kept or distance - kept[-1] > 1e-5:
                kept.append(distance)
        return tuple(kept)

    # -- output

    def flat(self, within: float = tolerances.FLATTEN) -> list[Point]:
        """Points of a polyline that stays within `within` cm of the curve, both ends included."""
        out = [self.start]
        for s in self.segments:
            if not _straight(s):
                bend = max(abs(s[0] - 2 * s[1] + s[2]), abs(s[1] - 2 * s[2] + s[3]))
                n = max(1, math.ceil(math.sqrt(0.75 * bend / within)))
                for k in range(1, n):
                    z = _value(s, k / n)
                    out.append(Point(z.real, z.imag))
            out.append(Point(s[3].real, s[3].imag))
        return out


def _nearest_t(s: Segment, z: complex, t: float) -> float:
    """Newton on the square of the gap, kept inside 0..1."""
    a, b, c = _speed_terms(s)
    low, high = max(0.0, t - 1 / 12), min(1.0, t + 1 / 12)
    for _ in range(30):
        r, d, dd = _value(s, t) - z, a + t * (b + t * c), b + 2 * t * c
        g = (r * d.conjugate()).real
        h = abs(d) ** 2 + (r * dd.conjugate()).real
        step = g / h if h > 1e-12 else (1e-3 if g > 0 else -1e-3)
        new = min(max(t - step, low), high)
        if abs(new - t) < 1e-13:
            break
        t = new
    return t


def _bernstein_roots(h: tuple[float, float, float, float], t0=0.0, t1=1.0, depth=0) -> list[float]:
    """Zeros in 0..1 of a cubic given by its heights at the control points."""
    low, high = min(h), max(h)
    if low > 1e-10 or high < -1e-10:
        return []
    if max(-low, high) < 1e-10:  # lies on the line: its start stands for it
        return [t0]
    if depth > 44 or high - low < 1e-13:
        return [(t0 + t1) / 2]
    a, b, c = (h[0] + h[1]) / 2, (h[1] + h[2]) / 2, (h[2] + h[3]) / 2
    d, e = (a + b) / 2, (b + c) / 2
    m = (d + e) / 2
    mid = (t0 + t1) / 2
    left = _bernstein_roots((h[0], a, d, m), t0, mid, depth + 1)
    right = _bernstein_roots((m, e, c, h[3]), mid, t1, depth + 1)
    return left + [t for t in right if not left or t - left[-1] > 1e-9]


def _box(s: Segment) -> tuple[float, float, float, float]:
    xs, ys = [z.real for z in s], [z.imag for z in s]
    return min(xs), min(ys), max(xs), max(ys)


def _crossings(s: Segment, r: Segment, t0=0.0, t1=1.0, u0=0.0, u1=1.0, depth=0) -> list[float]:
    """Parameters on s where it meets r: boxes halved in turn until they are points."""
    a, b = _box(s), _box(r)
    e = 1e-9
    if a[0] > b[2] + e or b[0] > a[2] + e or a[1] > b[3] + e or b[1] > a[3] + e:
        return []
    if depth >= 56 or (t1 - t0 < 1e-9 and u1 - u0 < 1e-9):
        return [(t0 + t1) / 2]
    if depth % 2 == 0:
        first, second = _split(s, 0.5)
        m = (t0 + t1) / 2
        found = _crossings(first, r, t0, m, u0, u1, depth + 1)
        return _apart(found + _crossings(second, r, m, t1, u0, u1, depth + 1))
    first, second = _split(r, 0.5)
    m = (u0 + u1) / 2
    found = _crossings(s, first, t0, t1, u0, m, depth + 1)
    return _apart(found + _crossings(s, second, t0, t1, m, u1, depth + 1))


def _apart(found: list[float]) -> list[float]:
    """Neighbouring boxes report one crossing twice: keep one of them."""
    kept: list[float] = []
    for t in sorted(found):
        if not kept or t - kept[-1] > 1e-6:
            kept.append(t)
    return kept


def line(p, q) -> Curve:
    """A straight line from p to q.

    >>> line(Point(0, 0), Point(3, 4)).length
    5.0
    """
    a, b = complex(*p), complex(*q)
    return Curve(((a, (2 * a + b) / 3, (a + 2 * b) / 3, b),))


def cubic(p, handle, handle2, q) -> Curve:
    """One cubic Bézier from p to q with its two handles' end points."""
    return Curve(((complex(*p), complex(*handle), complex(*handle2), complex(*q)),))


def polyline(points: Sequence) -> Curve:
    """Straight lines through two or more points, as one curve."""
    if len(points) < 2:
        raise GeometryError("a line needs two points.")
    return Curve(tuple(line(p, q).segments[0] for p, q in zip(points, points[1:], strict=False)))

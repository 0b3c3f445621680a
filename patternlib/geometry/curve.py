"""Curves: chains of cubic Béziers, measured along the true curve.

A straight line is a chain of one cubic with its handles at the thirds, so every call serves both.
Control points are held as complex numbers x + iy; everything that comes out is a Point.
Places on a curve are named by the distance walked from its start, cm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from .. import tolerances
from ..errors import GeometryError
from .point import Move, Point, Spot
from .segment import (
    Segment,
    crossings,
    measure,
    measure_closely,
    meets_straight,
    nearest,
    place,
    speed_terms,
    split,
    straight,
    tangent,
    value,
)


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
            abs(s[3] - s[0]) if straight(s) else measure_closely(speed_terms(s), 0.0, 1.0)
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
        if not straight(s):
            terms = speed_terms(s)
            even = abs(measure(terms, 0.0, 1.0) - piece) < 1e-9
            walked = measure if even else measure_closely  # the finer one where the speed jumps
            low, high = 0.0, 1.0
            for _ in range(60):
                gap = walked(terms, 0.0, t) - distance
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
        z = value(self.segments[i], t)
        return Point(z.real, z.imag)

    def direction(self, distance: float) -> Point:
        """The way the curve runs at a distance from its start, an arrow of length 1."""
        i, t = self._locate(distance)
        return self._tangent(i, t)

    def _tangent(self, i: int, t: float) -> Point:
        d = tangent(self.segments[i], t)
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
        a, b, c = speed_terms(self.segments[i])
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
        whole, inside = self.lengths[i], distance - sum(self.lengths[:i])
        if inside < 1e-7 and i > 0:  # no crumbs beside a joint
            return Curve(self.segments[:i]), Curve(self.segments[i:])
        if inside > whole - 1e-7 and i < len(self.segments) - 1:
            return Curve(self.segments[: i + 1]), Curve(self.segments[i + 1 :])
        first, second = split(self.segments[i], t)
        return Curve((*self.segments[:i], first)), Curve((second, *self.segments[i + 1 :]))

    def part(self, start: float, end: float) -> Curve:
        """The curve between two distances from the start; start > end gives it reversed.

        A place beyond an end, or twice the same place: GeometryError.
        """
        if start > end:
            return self.part(end, start).reversed()
        if not (start >= -1e-6 and end <= self.length + 1e-6 and end - start > 1e-7):
            raise GeometryError(
                f"a part from {start:.2f} to {end:.2f} cm was asked for, of an edge of {self.length:.2f} cm: "
                "both ends must lie on the edge, and apart."
            )
        tail = self if start < 1e-7 else self.split(start)[1]
        wanted = end - start if tail is not self else end
        return tail if end > self.length - 1e-7 else tail.split(wanted)[0]

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

    def closest(self, point: Spot) -> tuple[float, float]:
        """(distance from the start, gap) of the curve's point nearest to a given point, cm."""
        z = place(point)
        best = (math.inf, 0, 0.0)
        for i, s in enumerate(self.segments):
            if _box_gap(s, z) < best[0]:
                gap, t = nearest(s, z)
                best = min(best, (gap, i, t))
        gap, i, t = best
        return self._distance_of(i, t), gap

    def _distance_of(self, i: int, t: float) -> float:
        s = self.segments[i]
        inside = t * self.lengths[i] if straight(s) else measure_closely(speed_terms(s), 0.0, t)
        return sum(self.lengths[:i]) + inside

    def meets_line(self, p: Spot, q: Spot) -> tuple[float, ...]:
        """Distances from the start where the curve crosses or touches the line through p and q (without end).

        Where a stretch of the curve lies on the line, the start of the stretch stands for it.
        """
        d = complex(*(Point(*q) - p).unit())
        z = place(p)
        return self._starts((i, meets_straight(s, z, d)) for i, s in enumerate(self.segments))

    def meets(self, other: Curve) -> tuple[float, ...]:
        """Distances from this curve's start where it crosses or touches another curve, in order.

        Where both run along one another, the start of the stretch stands for it.
        """
        return self._starts((i, crossings(s, r)) for i, s in enumerate(self.segments) for r in other.segments)

    def _starts(self, found: Iterable[tuple[int, Iterable[tuple[float, float]]]]) -> tuple[float, ...]:
        """Distances of the starts of stretches; those that run on into each other are one."""
        stretches = sorted(
            (self._distance_of(i, t), self._distance_of(i, t2)) for i, many in found for t, t2 in many
        )
        kept: list[float] = []
        reached = -math.inf
        for start, end in stretches:
            if start - reached > 1e-5:
                kept.append(start)
            reached = max(reached, end)
        return tuple(kept)

    # -- output

    def flat(self, within: float = tolerances.FLATTEN) -> list[Point]:
        """Points of a polyline that stays within `within` cm of the curve, both ends included."""
        out = [self.start]
        for s in self.segments:
            if not straight(s):
                bend = max(abs(s[0] - 2 * s[1] + s[2]), abs(s[1] - 2 * s[2] + s[3]))
                n = max(1, math.ceil(math.sqrt(0.75 * bend / within)))
                for k in range(1, n):
                    z = value(s, k / n)
                    out.append(Point(z.real, z.imag))
            out.append(Point(s[3].real, s[3].imag))
        return out


def _box_gap(s: Segment, z: complex) -> float:
    """No point of the cubic is nearer to z than this."""
    xs, ys = [p.real for p in s], [p.imag for p in s]
    return math.hypot(
        max(min(xs) - z.real, z.real - max(xs), 0.0), max(min(ys) - z.imag, z.imag - max(ys), 0.0)
    )


def line(p: Spot, q: Spot) -> Curve:
    """A straight line from p to q.

    >>> line(Point(0, 0), Point(3, 4)).length
    5.0
    """
    a, b = place(p), place(q)
    return Curve(((a, (2 * a + b) / 3, (a + 2 * b) / 3, b),))


def cubic(p: Spot, handle: Spot, handle2: Spot, q: Spot) -> Curve:
    """One cubic Bézier from p to q with its two handles' end points."""
    return Curve(((place(p), place(handle), place(handle2), place(q)),))


def polyline(points: Sequence[Spot]) -> Curve:
    """Straight lines through two or more points, as one curve."""
    if len(points) < 2:
        raise GeometryError("a line needs two points.")
    return Curve(tuple(line(p, q).segments[0] for p, q in itertools.pairwise(points)))

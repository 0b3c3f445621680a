"""Points of the plane and the rigid moves of paper: shift, turn, turn over."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

from ..errors import GeometryError

Spot: TypeAlias = Sequence[float]
"""A point, or two plain numbers x and y, cm."""


class Point(NamedTuple):
    """A point or an arrow, x to the right and y up, cm.

    >>> Point(1, 2) + Point(3, 4)
    Point(x=4, y=6)
    >>> Point(3, 4).length
    5.0
    """

    x: float
    y: float

    def __add__(self, other: Spot) -> Point:  # type: ignore[override]  # an arrow is added, not a tuple joined
        return Point(self.x + other[0], self.y + other[1])

    def __sub__(self, other: Spot) -> Point:
        return Point(self.x - other[0], self.y - other[1])

    def __mul__(self, factor: float) -> Point:  # type: ignore[override]
        return Point(self.x * factor, self.y * factor)

    def __rmul__(self, factor: float) -> Point:  # type: ignore[override]
        return Point(self.x * factor, self.y * factor)

    def __neg__(self) -> Point:
        return Point(-self.x, -self.y)

    @property
    def length(self) -> float:
        return math.hypot(self.x, self.y)

    @property
    def angle(self) -> float:
        """Direction in degrees, -180 to 180, anticlockwise from 'right'."""
        return math.degrees(math.atan2(self.y, self.x))

    def distance(self, other: Spot) -> float:
        """Straight to another point, cm."""
        return math.hypot(self.x - other[0], self.y - other[1])

    def dot(self, other: Spot) -> float:
        return self.x * other[0] + self.y * other[1]

    def cross(self, other: Spot) -> float:
        """Positive where `other` points to the left of this arrow."""
        return self.x * other[1] - self.y * other[0]

    def unit(self) -> Point:
        """The arrow of length 1; refuses an arrow without length."""
        length = self.length
        if not 1e-12 <= length < math.inf:
            raise GeometryError("two points lie on one spot, so they give no direction: move one of them.")
        return Point(self.x / length, self.y / length)

    def left(self) -> Point:
        """The arrow turned by a right angle to the left."""
        return Point(-self.y, self.x)

    def right(self) -> Point:
        """The arrow turned by a right angle to the right."""
        return Point(self.y, -self.x)

    def turned(self, degrees: float) -> Point:
        a = math.radians(degrees)
        c, s = math.cos(a), math.sin(a)
        return Point(c * self.x - s * self.y, s * self.x + c * self.y)

    def toward(self, other: Spot, distance: float) -> Point:
        """The point `distance` cm from here on the straight line to `other`."""
        return self + (Point(*other) - self).unit() * distance

    def middle(self, other: Spot) -> Point:
        return Point((self.x + other[0]) / 2, (self.y + other[1]) / 2)


RIGHT, UP, LEFT, DOWN = Point(1.0, 0.0), Point(0.0, 1.0), Point(-1.0, 0.0), Point(0.0, -1.0)


def direction(degrees: float) -> Point:
    """The arrow of length 1 at an angle from 'right'.

    >>> direction(90)
    Point(x=0.0, y=1.0)
    """
    quarter = {0.0: RIGHT, 90.0: UP, 180.0: LEFT, 270.0: DOWN}.get(degrees % 360)
    if quarter is not None:
        return quarter
    a = math.radians(degrees)
    return Point(math.cos(a), math.sin(a))


def meet_lines(p: Spot, along: Spot, q: Spot, along2: Spot) -> Point:
    """Where the straight line through p (arrow `along`) meets the one through q; both without end.

    Raises GeometryError where they are parallel (under 0.006 degrees).

    >>> meet_lines(Point(0, 0), RIGHT, Point(3, 1), DOWN)
    Point(x=3.0, y=0.0)
    """
    way, way2 = Point(*along).unit(), Point(*along2).unit()
    denominator = way.cross(way2)
    if abs(denominator) < 1e-4:
        raise GeometryError("two lines run parallel and do not meet: change the direction of one.")
    return Point(*p) + way * ((Point(*q) - p).cross(way2) / denominator)


class Move(NamedTuple):
    """A rigid move of paper: z -> a z + b, or a conj(z) + b where the paper is turned over.

    >>> Move.turn(Point(1, 0), 90)(Point(2, 0))
    Point(x=1.0, y=1.0)
    >>> Move.mirror(Point(0, 0), Point(0, 1))(Point(2, 5))
    Point(x=-2.0, y=5.0)
    """

    a: complex = 1 + 0j
    b: complex = 0j
    over: bool = False

    @classmethod
    def shift(cls, dx: float, dy: float) -> Move:
        return cls(1 + 0j, complex(dx, dy))

    @classmethod
    def turn(cls, about: Spot, degrees: float) -> Move:
        """Anticlockwise about a pin."""
        a = complex(*direction(degrees))
        c = complex(*about)
        return cls(a, c - a * c)

    @classmethod
    def mirror(cls, p: Spot, q: Spot) -> Move:
        """Turned over about the line through p and q (a fold)."""
        c, d = complex(*p), complex(*(Point(*q) - p).unit())
        a = d * d
        return cls(a, c - a * c.conjugate(), True)

    @classmethod
    def onto(cls, p: Spot, q: Spot, p2: Spot, q2: Spot, *, over: bool = False) -> Move:
        """Lays p on p2 with the arrow p-q along p2-q2; `over` turns the paper over."""
        u, v = complex(*(Point(*q) - p).unit()), complex(*(Point(*q2) - p2).unit())
        a = v / (u.conjugate() if over else u)
        c = complex(*p)
        return cls(a, complex(*p2) - a * (c.conjugate() if over else c), over)

    def z(self, z: complex) -> complex:
        return self.a * (z.conjugate() if self.over else z) + self.b

    def __call__(self, point: Spot) -> Point:
        z = self.z(complex(*point))
        return Point(z.real, z.imag)

    def then(self, other: Move) -> Move:
        """This move first, the other after it."""
        if other.over:
            return Move(other.a * self.a.conjugate(), other.a * self.b.conjugate() + other.b, not self.over)
        return Move(other.a * self.a, other.a * self.b + other.b, self.over)

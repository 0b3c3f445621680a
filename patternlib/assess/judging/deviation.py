"""How far a student's point, curve or number lies from what a rule gives."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any, NamedTuple

from ... import tolerances
from ...geometry import Curve, Move, Point
from ...geometry.segment import tangent, value
from ...operations import Value
from ..tasks.slipping import UNDRAWABLE as UNDRAWABLE
from .hands import Hand

SAMPLES = 16
"""Places of each curve that are compared."""
CLOSE = 0.03
"""cm: curves this close need no closer look."""


class Gap(NamedTuple):
    """distance: cm (degrees for an angle); turn: how far a curve's ends run off, the larger, degrees."""

    distance: float
    turn: float = 0.0


def alike(own: Value, want: Value) -> bool:
    """Whether two values are of one kind: points, curves or numbers."""
    return any(isinstance(own, kind) and isinstance(want, kind) for kind in (Point, Curve, int | float))


def gap(own: Any, want: Any) -> Gap:
    """The deviation of a value; without end where the two are not of one kind.

    >>> gap(Point(0, 3), Point(4, 0)).distance
    5.0
    """
    if not alike(own, want):
        return Gap(math.inf)
    if isinstance(own, Point):
        return Gap(own.distance(want))
    return _curves(own, want) if isinstance(own, Curve) else Gap(abs(own - want))


def _curves(own: Curve, want: Curve) -> Gap:
    """Distance both ways; a curve drawn from its other end counts as the same."""
    straight = own.start.distance(want.start) + own.end.distance(want.end)
    crossed = own.start.distance(want.end) + own.end.distance(want.start)
    if crossed < straight:
        own = own.reversed()
    ends = max(own.start.distance(want.start), own.end.distance(want.end))
    if ends > 3:  # far off: the ends tell enough
        return Gap(ends, _turn(own, want))
    away = _side_by_side(own, want)  # never less than the true deviation
    if away > CLOSE:
        away = max(ends, _away(own, want), _away(want, own))
    return Gap(away, _turn(own, want))


def _side_by_side(a: Curve, b: Curve) -> float:
    """How far two curves in as many pieces lie apart at like places of their pieces; else without end."""
    if len(a.segments) != len(b.segments):
        return math.inf
    pairs = zip(a.segments, b.segments, strict=True)
    return max(abs(value(s, t) - value(r, t)) for s, r in pairs for t in (0.0, 0.25, 0.5, 0.75, 1.0))


def _away(a: Curve, b: Curve) -> float:
    """The farthest that sampled places of a lie from b."""
    places = _sampled(a)
    return max(b.closest(p)[1] for p in places)


def _sampled(curve: Curve) -> list[Point]:
    """SAMPLES places or fewer, spread over the cubics, ends left out."""
    segments = curve.segments
    per = max(1, SAMPLES // len(segments))
    step = max(1, len(segments) // SAMPLES)
    found = [value(s, (k + 0.5) / per) for s in segments[::step] for k in range(per)]
    return [Point(z.real, z.imag) for z in found[:SAMPLES]]


def _turn(own: Curve, want: Curve) -> float:
    angles = [
        abs((a.angle - b.angle + 180) % 360 - 180)
        for a, b in ((own.start_direction, want.start_direction), (own.end_direction, want.end_direction))
    ]
    return max(angles)


def bends(curve: Curve, least: float = tolerances.HAND_DIRECTION) -> int:
    """How often a curve changes from bending left to bending right, small wobbles left out.

    >>> from patternlib.geometry import fair, DOWN, RIGHT
    >>> bends(fair([Point(0, 0), Point(10, 5)], start=RIGHT, end=RIGHT))
    1
    """
    segments = curve.segments[:: max(1, len(curve.segments) // SAMPLES)]
    per = max(2, SAMPLES // len(segments))
    ways = [tangent(s, k / per) for s in segments for k in range(per + 1)]
    ways = [w / abs(w) for w in ways if abs(w) > 1e-12]
    signs: list[float] = []
    run = 0.0
    for u, v in pairwise(ways):
        turn = math.degrees((u.conjugate() * v).imag)
        run = turn if run * turn < 0 else run + turn
        if abs(run) > least and (not signs or signs[-1] != (run > 0)):
            signs.append(run > 0)
    return max(len(signs) - 1, 0)


def corners(curve: Curve) -> float:
    """The sharpest corner where a curve's cubics join, degrees."""
    worst = 0.0
    for s, r in pairwise(curve.segments):
        u, v = tangent(s, 1.0), tangent(r, 0.0)
        if abs(u) > 1e-12 and abs(v) > 1e-12:
            worst = max(
                worst, abs(math.degrees(math.atan2((u.conjugate() * v).imag, (u.conjugate() * v).real)))
            )
    return worst


def noise(
    value_at: Callable[[dict[str, Value]], Any],
    used: dict[str, Value],
    base: Any,
    hand: Hand,
    own: float,
    toward: Point | None = None,
) -> float:
    """Standard deviation (cm, degrees) of a step's value where each value it rests on is marked by a hand.

    value_at: {name: value} -> the step's value with those put in; used: the values it rests on; base: its
    value on them; own: the spread of the step's own mark. Points spread more one way than the other:
    toward is the way that is asked for, None the widest.
    """
    xx = yy = own * own
    xy = 0.0
    for name, marked in used.items():
        for moved in _nudged(name, marked, hand):
            try:
                other = value_at({name: moved})
            except UNDRAWABLE:
                continue
            if isinstance(base, Point):
                d = other - base
                xx, yy, xy = xx + d.x * d.x, yy + d.y * d.y, xy + d.x * d.y
            elif isinstance(base, Curve):
                xx += _drift(other, base) ** 2
            else:
                xx += (other - base) ** 2
    if not isinstance(base, Point):
        return math.sqrt(xx)
    if toward is not None and toward.length > 1e-9:
        u = toward.unit()
        across = yy * u.x * u.x - 2 * xy * u.x * u.y + xx * u.y * u.y
        return math.sqrt((xx * yy - xy * xy) / across)
    return math.sqrt((xx + yy) / 2 + math.hypot((xx - yy) / 2, xy))


def _drift(a: Curve, b: Curve) -> float:
    """About how far two curves in as many pieces lie apart: their ends and the middles of their pieces."""
    return max(
        max(
            abs(s[3] - r[3]),
            abs(s[0] - r[0]),
            abs(s[0] + 3 * (s[1] + s[2]) + s[3] - r[0] - 3 * (r[1] + r[2]) - r[3]) / 8,
        )
        for s, r in zip(a.segments, b.segments, strict=False)
    )


def _nudged(name: str, value: Any, hand: Hand) -> tuple[Any, ...]:
    if isinstance(value, Point):
        return value + Point(hand.point, 0), value + Point(0, hand.point)
    if isinstance(value, Curve):
        return value.moved(Move.shift(hand.point, 0)), value.moved(Move.shift(0, hand.point))
    return (value + (hand.angle if "angle" in name else hand.number),)


def direction(own: Any, want: Any, write: Callable[[float], str] = "{:.1f} cm".format) -> str:
    """Which way a value is off, in words; nothing for a curve. write: cm -> text.

    >>> direction(Point(1.2, 0), Point(0, 0.5)), direction(3.0, 4.0)
    ('1.2 cm too far right and 0.5 cm too low', 'too small')
    """
    if isinstance(own, int | float):
        return "too large" if own > want else "too small"
    if not isinstance(own, Point):
        return ""
    d = own - want
    across = f"{write(abs(d.x))} too far {'right' if d.x > 0 else 'left'}" if abs(d.x) >= 0.05 else ""
    up = f"{write(abs(d.y))} too {'high' if d.y > 0 else 'low'}" if abs(d.y) >= 0.05 else ""
    return " and ".join(filter(None, (across, up)))

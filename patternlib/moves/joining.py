"""From one draft to another: levels carried over, seams laid together, edges that run on."""

from __future__ import annotations

import math

from .. import tolerances
from ..errors import GeometryError, ValueAtFault
from ..geometry import Curve, Move, Point, Spot
from ..units import Length, read_length

Where = Length | Point


def carry_level(curve_from: Curve, curve_to: Curve, place: Where, *, from_end: bool = False) -> Point:
    """The point of one seam line that meets a place on another when both are walked from a common end.

    place: distance walked along `curve_from` (cm), or a point on it; from_end: both are walked from their
    ends. A point off the first curve by more than 0.05 cm, or a place beyond the second, is refused.

    >>> from patternlib.geometry import line
    >>> carry_level(line(Point(0, 0), Point(0, 20)), line(Point(30, 0), Point(36, 8)), 5)
    Point(x=33.0, y=4.0)
    """
    walked, gap = curve_from.closest(place) if isinstance(place, tuple) else (read_length(place), 0.0)
    if gap > tolerances.SEAM:
        raise GeometryError(f"the point lies {gap:.2f} cm away from the seam line: name a point on the line.")
    if from_end and isinstance(place, tuple):
        walked = curve_from.length - walked
    shorter = min(curve_from.length, curve_to.length)
    if not -tolerances.POINT <= walked <= shorter + tolerances.POINT:
        rule = f"must lie between 0 and {shorter:.1f} cm, the shorter line"
        raise ValueAtFault("level", walked, rule, "Walk both lines from the same end.")
    return curve_to.at(curve_to.length - walked if from_end else walked)


def align(p: Spot, q: Spot, p2: Spot, q2: Spot, *, ease: Length = 0.0, over: bool = False) -> Move:
    """The move that lays one draft against another at a seam: p on p2 and the way to q along that to q2.

    ease: how much longer p-q is meant to be than p2-q2, cm; over: the paper is turned over. Seams that
    differ by more than that and 0.05 cm are refused with GeometryError.

    >>> align((0, 0), (0, 5), (10, 10), (15, 10))(Point(0, 5))
    Point(x=15.0, y=10.0)
    """
    ease, length, length2 = read_length(ease, name="ease"), Point(*p).distance(q), Point(*p2).distance(q2)
    if abs(length - length2 - ease) > tolerances.SEAM:
        raise GeometryError(
            f"the seam measures {length:.2f} cm on one draft and {length2:.2f} cm on the other, with "
            f"{ease:.2f} cm of ease: true the seam first, or state its ease."
        )
    return Move.onto(Point(*p), Point(*q), Point(*p2), Point(*q2), over=over)


def joined_angle(edge: Curve, seam: Curve, edge2: Curve, seam2: Curve) -> float:
    """The angle (degrees) at which two edges run into each other once the seam between them is joined.

    edge, seam: two edges of one piece that share a corner; edge2, seam2: those of the other. 180 runs on
    smoothly. An edge that shares no corner with its seam is refused with GeometryError.

    >>> from patternlib.geometry import line
    >>> a, b, c = Point(0, 0), Point(10, 0), Point(10, 8)
    >>> joined_angle(line(a, b), line(b, c), line(b, Point(18, 0)), line(c, b))
    180.0
    """
    return _corner_angle(edge, seam) + _corner_angle(edge2, seam2)


def _corner_angle(edge: Curve, seam: Curve) -> float:
    for u, at in ((edge.start_direction, edge.start), (-edge.end_direction, edge.end)):
        for v, at2 in ((seam.start_direction, seam.start), (-seam.end_direction, seam.end)):
            if at.distance(at2) < tolerances.SEAM:
                return math.degrees(math.atan2(abs(u.cross(v)), u.dot(v)))
    raise GeometryError("an edge and its seam share no corner: name two edges that meet.")

"""Darts: how wide one is, close it and open it elsewhere, share it over several places."""

from __future__ import annotations

import math
from collections.abc import Sequence

from .. import tolerances
from ..errors import GeometryError, ValueAtFault
from ..geometry import Move, Outline, line
from ..units import read_number
from .outlines import (
    Place,
    chain,
    index_of,
    moved,
    place_on,
    refuse_cut_off_paper,
    round_outline,
    undone,
)


def dart_angle(outline: Outline, legs: tuple[str, str]) -> float:
    """The angle of a dart in degrees; legs that are not a dart are refused with GeometryError.

    legs: the edge that runs in to the dart point and the one that runs out of it.
    """
    (i, j), (leg, leg2) = (index_of(outline, name) for name in legs), (outline[name] for name in legs)
    u, v = leg.start - leg.end, leg2.end - leg2.start
    angle = math.degrees(math.atan2(u.cross(v), u.dot(v)))
    if (i + 1) % len(outline.edges) != j:
        why = "the second must follow the first. Name them in the outline's order"
    elif not (leg.is_straight and leg2.is_straight):
        why = "a leg is curved. Straighten the legs before the dart is moved"
    elif abs(leg.length - leg2.length) > tolerances.POINT:
        why = f"they measure {leg.length:.2f} and {leg2.length:.2f} cm. True them to one length first"
    elif not 0.01 < angle < 170:
        why = "they enclose no cloth to take up. Name the two edges that are sewn together"
    else:
        return angle
    raise GeometryError(f"'{legs[0]}' and '{legs[1]}' are not the legs of a dart: {why}.")


def close_dart(
    outline: Outline,
    legs: tuple[str, str],
    *,
    open_at: Place,
    share: float = 1.0,
    name: str = "moved dart",
    still: str | None = None,
) -> Outline:
    """The outline with a dart closed about its point and opened where it is cut from another edge.

    legs: names of the leg that runs in to the dart point and of the one that runs out; open_at: (edge,
    distance from its start, cm) where the cut begins that runs straight to the dart point; share: how much
    of the angle is moved, above 0 to 1; name: the new legs are called '<name>, first leg' and '<name>,
    second leg'; still: an edge that stays where it lies, None: the one before the first leg.
    The angle is kept, so that legs of length d open 2 d sin(angle / 2). What is not a dart, and a cut that
    leaves the paper, is refused with GeometryError, a share or distance out of range with ValueAtFault.

    >>> from patternlib.geometry import Outline, Point, line
    >>> c = [Point(0, 0), Point(8, 0), Point(10, 10), Point(12, 0), Point(20, 0), Point(20, 20), Point(0, 20)]
    >>> edges = zip(("hem 1", "leg", "leg 2", "hem 2", "side", "top", "centre"), c, c[1:] + c[:1])
    >>> moved = close_dart(Outline(tuple((n, line(p, q)) for n, p, q in edges)), ("leg", "leg 2"),
    ...     open_at=("side", 10))
    >>> moved.names[:5]
    ('hem 2', 'side, part 1', 'moved dart, first leg', 'moved dart, second leg', 'side, part 2')
    >>> round(dart_angle(moved, ("moved dart, first leg", "moved dart, second leg")), 2)
    22.62
    """
    angle = dart_angle(outline, legs)
    if not 0 < read_number(share, name="share") <= 1:
        raise ValueAtFault("share", share, "must lie above 0 and be at most 1", "1 moves the whole dart.")
    i, j = index_of(outline, legs[0]), index_of(outline, legs[1])
    leg2 = outline.edges[j][1]
    pin, cut = leg2.start, place_on(outline, open_at, "open_at")
    mouth = outline.edges[cut[0]][1].at(cut[1])
    if cut[0] in (i, j) or min(mouth.distance(p) for p in (leg2.end, outline.edges[i][1].start)) < 0.5:
        raise GeometryError("the dart is to open where it already lies: name a place on another edge.")
    refuse_cut_off_paper(outline, mouth, pin)
    turn = Move.turn(pin, -angle * share)
    swung = moved(chain(outline, (j, leg2.length), cut), turn)
    stays = chain(outline, cut, (i, 0.0))
    opened = [(f"{name}, first leg", line(turn(mouth), pin)), (f"{name}, second leg", line(pin, mouth))]
    # with part of it left, the outline comes to its dart point twice
    kept = [outline.edges[i], (legs[1], leg2.moved(turn))] if share < 1 else []
    made = round_outline([*kept, *swung, *opened, *stays])
    back = still is not None and outline[still] and still in {n for n, _ in swung}
    return made.moved(undone(turn)) if back else made


def split_dart(
    outline: Outline,
    legs: tuple[str, str],
    *,
    into: Sequence[tuple[Place, float]],
    name: str = "moved dart",
    still: str | None = None,
) -> Outline:
    """The outline with one dart shared out to several places about the same point.

    into: (place, share of the angle) for each new dart; what the shares leave up to 1 stays in the old one.
    The new legs are called '<name> 1, first leg' and so on. Refused as by close_dart, and shares above 1.
    """
    total, left = sum(share for _, share in into), 1.0
    if not into or total > 1 + 1e-9:
        rule = "must be one or more that add up to at most 1"
        raise ValueAtFault("shares", total, rule, "Give each new dart its share of the angle, such as 0.5.")
    for k, (place, share) in enumerate(into, 1):
        rest = 1.0 if abs(share - left) < 1e-9 else share / left
        outline = close_dart(outline, legs, open_at=place, share=rest, name=f"{name} {k}", still=still)
        left -= share
    return outline

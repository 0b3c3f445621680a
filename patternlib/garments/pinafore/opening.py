"""What the pinafore's sides follow from: the skirt block and its flare.

How deep the side opening starts, and which depths of the yoke go together, is read from the drafts.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

from ...alterations import NONE, Changes
from ...blocks.skirt import skirt_block
from ...body import Body
from ...draft import Draft, Drafting
from ..aline import dart_mouth, share_flare, write_quarter
from ..closing_check import ROOM, STEP

_KEPT = 256
"""Blocks kept; a slider has fewer places."""

LEAN_READS = "skirt_length", "flare", "hip_ease", "waist_ease"


@lru_cache(_KEPT)
def _leans(
    body: Body, length: float, flare: float, hip_ease: float, waist_ease: float
) -> tuple[Draft, float, float]:
    """Skirt block, lean of the back's side and of the front's."""
    skirt = skirt_block(body, length=length, hip_ease=hip_ease, waist_ease=waist_ease, one_dart=True)
    mouths = dart_mouth(skirt, "back"), dart_mouth(skirt, "front")
    return skirt, *share_flare(mouths, length, body.waist_to_hip, flare)


def skirt_and_leans(
    body: Body, values: Mapping[str, float], changes: Changes = NONE
) -> tuple[Draft, float, float]:
    """Skirt block, lean of the back's side and of the front's (degrees) for a body and style values, cm.

    changes: made to the block after the toile.
    """
    skirt, *leans = _leans(body, *(values[name] for name in LEAN_READS))
    return changes.block(skirt), *changes.leans(skirt, *leans)


LEAST_OPENING = 15.0
"""cm; a shallower opening tears at its ends even where the hips would pass (common practice, no source)."""


def opening_for(body: Body, values: Mapping[str, float], changes: Changes = NONE) -> float:
    """How deep the side opening starts for a body: so deep that the hips pass through its end, cm.

    changes: made to the block after the toile.
    """
    return _opening_for(body, changes, *(values[name] for name in LEAN_READS))


@lru_cache(_KEPT)
def _quarters(body: Body, changes: Changes, *read: float) -> tuple[Draft, Draft]:
    """Back and front quarter with their flare."""
    skirt, *leans = skirt_and_leans(body, dict(zip(LEAN_READS, read, strict=True)), changes)
    made = []
    for part, lean in zip(("back", "front"), leans, strict=True):
        d = Drafting(f"{part} quarter")
        write_quarter(d, skirt, part, lean, below_hip=skirt["side below the hip"].length)
        made.append(d.finish())
    return made[0], made[1]


@lru_cache(_KEPT)
def _opening_for(body: Body, changes: Changes, *read: float) -> float:
    sides = [quarter["side"] for quarter in _quarters(body, changes, *read)]
    for k in range(round(LEAST_OPENING / STEP), round(40 / STEP)):
        if 2 * sum(abs(side.at(side.length - k * STEP).x) for side in sides) >= body.hip_girth + ROOM:
            return k * STEP
    return 40.0


OFF = 2.2
"""degrees that the straight way from a line's start to its end may lie off the ways in which it leaves and
arrives, to the outside: so far it hardly bends back (fitted to `eye.SEEN`)."""
SIDE_DEPTHS, CENTRE_DEPTHS = (3.0, 9.0), (4.0, 12.0)
"""cm; least and most depth of a yoke at the side and at the centre back."""


def yoke_side_range(body: Body, values: Mapping[str, float]) -> tuple[float, float]:
    """(least, most) depth of the yoke at the side with which its line bends once, cm."""
    wanted = values["yoke_depth"]
    fair = [cm for cm, (low, high) in _fair_depths(body, values) if low <= wanted <= high]
    return (fair[0], fair[-1]) if fair else SIDE_DEPTHS


def yoke_centre_range(body: Body, values: Mapping[str, float]) -> tuple[float, float]:
    """(least, most) depth of the yoke at the centre that goes with some depth at the side, cm."""
    lows, highs = zip(*(fair for _, fair in _fair_depths(body, values)), strict=True)
    return min(lows), max(highs)


def _fair_depths(body: Body, values: Mapping[str, float]) -> tuple[tuple[float, tuple[float, float]], ...]:
    return _fair(body, *(values[name] for name in LEAN_READS))


@lru_cache(_KEPT)
def _fair(body: Body, *read: float) -> tuple[tuple[float, tuple[float, float]], ...]:
    """(depth at the side, (least, most) depth at the centre with which the line bends once), cm."""
    back, _ = _quarters(body, NONE, *read)
    side, off, found = back["side"], math.radians(OFF), []
    for k in range(round(2 * SIDE_DEPTHS[0]), round(2 * SIDE_DEPTHS[1]) + 1):
        end, way = side.at(side.length - k / 2), side.direction(side.length - k / 2)
        level = back["centre waist"].y - end.y
        lean = math.atan2(-way.x, way.y)
        found.append((k / 2, (level + end.x * math.tan(-off), level + end.x * math.tan(lean + off))))
    return tuple(found)

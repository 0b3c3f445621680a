"""What the pinafore's sides follow from: the skirt block and its flare; how deep the side opening starts."""

from __future__ import annotations

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
def _opening_for(body: Body, changes: Changes, *read: float) -> float:
    skirt, *leans = skirt_and_leans(body, dict(zip(LEAN_READS, read, strict=True)), changes)
    sides = []
    for part, lean in zip(("back", "front"), leans, strict=True):
        d = Drafting(f"{part} quarter")
        write_quarter(d, skirt, part, lean, below_hip=skirt["side below the hip"].length)
        sides.append(d["side"])
    for k in range(round(LEAST_OPENING / STEP), round(40 / STEP)):
        if 2 * sum(abs(side.at(side.length - k * STEP).x) for side in sides) >= body.hip_girth + ROOM:
            return k * STEP
    return 40.0

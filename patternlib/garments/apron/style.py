"""The style values of the glaze-day apron, and what they follow of the body and of one another."""

from __future__ import annotations

from collections.abc import Mapping

from ...body import Body
from ..aline import FLARE, HIP_EASE, HIP_EASE_MOST, flare_for, hip_ease_range
from ..base import StyleValue
from ..pinafore.front import BELOW_NECK
from ..pinafore.style import BIB_BELOW_NECK

BIB_OF_CHEST = 0.68
"""To start with: the bib's width at the top as a share of the chest width (common practice, no source)."""

HEM_BELOW_HIP, BIB_CURVE, BESIDE_POCKET, HAND = 15.0, 3.5, 1.5, 11.0
"""cm at least: from hip to hem, for the curve of the bib's side, beside the pocket, for a hand in the pocket
beside the tools (common practice, no source)."""

KNOT, SPARE = 30.0, 35.0
"""cm of both ties together for a knot and its ends, at least and to start with (common practice, no
source)."""


def shortest_tie(body: Body, v: Mapping[str, float]) -> float:
    """How long each tie must be, cm: from the wrapped edges both go on round the waist and are knotted."""
    return (body.waist_girth + v["waist_ease"] - 2 * v["wrap"] + KNOT) / 2


STYLE = (
    StyleValue(
        "skirt_length",
        "Skirt length",
        60,
        40,
        95,
        "It is measured from the waist to the hem.",
        within=lambda body, v: (body.waist_to_hip + HEM_BELOW_HIP, 95),
    ),
    StyleValue(
        "flare",
        "Flare of a quarter at the hem",
        6,
        2,
        20,
        "Too little hinders walking, too much drags.",
        follows=lambda body: flare_for(6, body),
        within=lambda body, v: (2, FLARE * (v["skirt_length"] - body.waist_to_hip)),
    ),
    StyleValue(
        "hip_ease",
        "Ease round the hip",
        8,
        HIP_EASE[0],
        HIP_EASE_MOST,
        "It is worn over other clothes.",
        within=hip_ease_range,
    ),
    StyleValue("waist_ease", "Ease round the waist", 5, 2, 16, "It is worn over other clothes."),
    StyleValue("wrap", "Wrap beyond the centre back", 8, 2, 15, "It stays closed when its wearer bends."),
    StyleValue(
        "bib_top",
        "Bib, width at the top",
        22,
        16,
        32,
        "It stays clear of the arms.",
        follows=lambda body: BIB_OF_CHEST * body.chest_width,
        within=lambda body, v: (16, (body.waist_girth + v["waist_ease"]) / 2 - 2 * BIB_CURVE - 1),
    ),
    StyleValue(
        "bib_height",
        "Bib height",
        25,
        16,
        32,
        "It ends between the bust and the neck.",
        follows=lambda body: body.front_waist_length - BIB_BELOW_NECK,
        within=lambda body, v: (16, body.front_waist_length - BELOW_NECK),
    ),
    StyleValue("strap_width", "Strap, width", 4, 2.5, 6, "A narrow strap cuts into the shoulder."),
    StyleValue(
        "strap_from_neck",
        "Strap's middle from the neck",
        5,
        3.5,
        8,
        "It must not slip off.",
        within=lambda body, v: (3.5, body.shoulder_length - v["strap_width"] / 2 - 1),
    ),
    StyleValue("strap_from_centre", "Strap's middle from the centre back", 8, 4, 14, "They cross between."),
    StyleValue("tie_width", "Tie, width", 3, 2, 5, "A tie turned twice at both sides needs 2 cm."),
    StyleValue(
        "tie_length",
        "Tie, length",
        70,
        40,
        130,
        "It reaches round to a knot with short ends.",
        5,
        follows=lambda body: max(70.0, (body.waist_girth + SPARE) / 2 + 5),
        within=lambda body, v: (shortest_tie(body, v), 130),
    ),
    StyleValue(
        "pocket_width",
        "Pocket, width",
        30,
        20,
        40,
        "It holds a hand and, beside it, tools.",
        within=lambda body, v: (
            20,
            (body.waist_girth + body.hip_girth + v["waist_ease"] + v["hip_ease"]) / 4 - 2 * BESIDE_POCKET,
        ),
    ),
    StyleValue(
        "pocket_depth",
        "Pocket, depth",
        18,
        12,
        24,
        "A hand must reach its bottom.",
        within=lambda body, v: (12, v["skirt_length"] - v["pocket_below_waist"] - v["hem"] - 3),
    ),
    StyleValue(
        "pocket_below_waist",
        "Pocket below the waist",
        8,
        3,
        16,
        "A bent arm must reach in.",
        within=lambda body, v: (3, v["skirt_length"] - v["pocket_depth"] - v["hem"] - 3),
    ),
    StyleValue(
        "tool_part",
        "Pocket, width of the tool part",
        9,
        6,
        16,
        "A rib or a sponge goes in.",
        within=lambda body, v: (6, v["pocket_width"] - HAND),
    ),
    StyleValue("hem", "Hem depth", 3, 1, 5, "A flared hem takes less than a straight one."),
)

"""The style values of the kiln-room pinafore, and what they follow of the body and of one another."""

from __future__ import annotations

from collections.abc import Mapping

from ...body import Body
from .. import closing
from ..aline import FLARE, HIP_EASE, HIP_EASE_MOST, flare_for, hip_ease_range
from ..base import StyleValue
from ..straps import highest_bib, turn_back_range
from .front import ABOVE_FOOT, BELOW_NECK, BESIDE_POCKET
from .opening import CENTRE_DEPTHS, SIDE_DEPTHS, opening_for, yoke_centre_range, yoke_side_range

BIB_OF_CHEST, BIB_BELOW_NECK = 0.71, 6.0
"""To start with: a bib's width at the top as a share of the chest width, and cm from the pit of the neck down
to it. The yoke is deeper at the centre where the hips are larger than the waist (common practice, no
source)."""

HEM_BELOW_HIP, YOKE_ABOVE_HIP, OPENING_BELOW, OPENING_BELOW_HIP, STRAP_ABOVE_RISE = 15.0, 3.0, 5.0, 8.0, 2.0
"""cm at least from hip to hem, yoke to hip, waistband or yoke to the opening's end, centre back up to the
straps; at most from hip to the opening's end (common practice, no source)."""

TO_SIDE = 9.4
"""cm that a quarter of the waist needs outside the strap's straight side: the strap, and a hollow beside it
that can be turned out (common practice, no source)."""

STEEP_NECK = 2.2
"""How steeply the back's neck edge rises to the strap at most: cm up for each cm across (no source)."""


def _yoke_centre(body: Body, v: Mapping[str, float]) -> tuple[float, float]:
    low, high = yoke_centre_range(body, v)
    return low, min(high, body.waist_to_hip - YOKE_ABOVE_HIP)


def _yoke_side(body: Body, v: Mapping[str, float]) -> tuple[float, float]:
    low, high = yoke_side_range(body, v)
    return low, min(high, v["opening"] - OPENING_BELOW)


STYLE: tuple[StyleValue, ...] = (
    StyleValue(
        "skirt_length",
        "Skirt length",
        62,
        40,
        100,
        "It is measured from the waist to the hem.",
        within=lambda body, v: (body.waist_to_hip + HEM_BELOW_HIP, 100),
    ),
    StyleValue(
        "flare",
        "Flare of a quarter at the hem",
        10,
        3,
        25,
        "Too little hinders walking, too much drags in the clay.",
        follows=lambda body: flare_for(10, body),
        within=lambda body, v: (3, FLARE * (v["skirt_length"] - body.waist_to_hip)),
    ),
    StyleValue(
        "hip_ease",
        "Ease round the hip",
        6,
        HIP_EASE[0],
        HIP_EASE_MOST,
        "It is worn over other clothes.",
        within=hip_ease_range,
    ),
    StyleValue("waist_ease", "Ease round the waist", 4, 1.5, 16, "It is worn over other clothes.", 0.5),
    StyleValue("waistband", "Waistband depth", 5, 3, 8, "A shaped band deeper than 8 cm rides up."),
    StyleValue(
        "bib_top",
        "Bib, width at the top",
        23,
        16,
        34,
        "A narrow one shows the shirt's buttons, a wide one meets the arm.",
        follows=lambda body: BIB_OF_CHEST * body.chest_width,
        within=lambda body, v: (16, (body.waist_girth + v["waist_ease"]) / 2 - 3),
    ),
    StyleValue(
        "bib_height",
        "Bib height",
        25,
        18,
        32,
        "It ends between the bust and the neck.",
        follows=lambda body: body.front_waist_length - BIB_BELOW_NECK,
        within=lambda body, v: (18, min(body.front_waist_length - BELOW_NECK, highest_bib(body, v))),
    ),
    StyleValue(
        "bib_pocket_width",
        "Bib pocket, width",
        14,
        8,
        22,
        "A hand must go in.",
        within=lambda body, v: (8, v["bib_top"] - 2 * BESIDE_POCKET),
    ),
    StyleValue(
        "bib_pocket_depth",
        "Bib pocket, depth",
        12,
        7,
        18,
        "A loop tool must not fall out.",
        within=lambda body, v: (7, v["bib_height"] - v["bib_pocket_below_top"] - ABOVE_FOOT),
    ),
    StyleValue(
        "bib_pocket_below_top",
        "Bib pocket below the bib's top",
        5,
        3,
        12,
        "It must stay clear of the facing's stitching.",
        within=lambda body, v: (3, v["bib_height"] - v["bib_pocket_depth"] - ABOVE_FOOT),
    ),
    StyleValue(
        "opening",
        "Side opening",
        19.5,
        14,
        28,
        "The hips must pass through its end; it is measured from the waist down.",
        follows=lambda body: opening_for(body, {value.name: value.start for value in STYLE}),
        within=lambda body, v: (
            max(v["waistband"], v["yoke_side_depth"]) + OPENING_BELOW,
            body.waist_to_hip + OPENING_BELOW_HIP,
        ),
    ),
    *closing.STYLE,
    StyleValue(
        "yoke_depth",
        "Yoke depth at centre back",
        7,
        *CENTRE_DEPTHS,
        "It ends above the fullest part of the hip.",
        follows=lambda body: 5 + min(max((body.hip_girth - body.waist_girth - 10) / 7, 0.0), 2.0),
        within=_yoke_centre,
    ),
    StyleValue(
        "yoke_side_depth",
        "Yoke depth at the side",
        5,
        *SIDE_DEPTHS,
        "At the waistband's depth, back and front meet at one level.",
        within=_yoke_side,
    ),
    StyleValue("back_rise", "Back rise at the centre", 8, 3, 16, "It is measured from the back waist up."),
    StyleValue(
        "strap_level",
        "Level of the straps at the back",
        12,
        8,
        22,
        "The straps start higher than the centre back.",
        within=lambda body, v: (v["back_rise"] + STRAP_ABOVE_RISE, 22),
    ),
    StyleValue(
        "strap_from_centre",
        "Strap from the centre back",
        5.5,
        3,
        10,
        "Near the centre it rubs the spine, far out it slips off.",
        follows=lambda body: min(5.5, body.waist_girth / 4 - TO_SIDE),
        within=lambda body, v: (
            (v["strap_level"] - v["back_rise"]) / STEEP_NECK,
            (body.waist_girth + v["waist_ease"]) / 4 - 3.9 - v["fitting"] - v["strap_spread"],
        ),
    ),
    StyleValue(
        "strap_spread", "Strap, wider at its base by", 1.7, 0.5, 4, "It spreads the pull over the yoke.", 0.1
    ),
    StyleValue(
        "fitting",
        "Strap fitting, inside width",
        3.2,
        2.0,
        5.0,
        "Fittings are sold as 2, 2.5, 3.2, 3.8, 4 and 5 cm.",
        0.1,
    ),
    StyleValue(
        "cloth_thickness", "Room for the cloth in the fitting", 0.3, 0.1, 0.6, "The strap must slide.", 0.1
    ),
    StyleValue("loop", "Strap loop above the bib", 1.5, 1, 3, "It holds the ring and lets it turn."),
    StyleValue("ring", "Ring, from bar to bar inside", 1, 0.5, 2.5, "It stands between loop and strap.", 0.1),
    StyleValue(
        "turn_back",
        "Strap from the ring back up to the slide",
        4.5,
        3,
        10,
        "The strap can be let out by so much.",
        within=turn_back_range,
    ),
    StyleValue(
        "pocket_width",
        "Back pocket, width",
        13,
        9,
        18,
        "A hand must go in.",
        within=lambda body, v: (9, _pocket_room(body, v) - v["pocket_from_centre"]),
    ),
    StyleValue(
        "pocket_below_yoke",
        "Back pocket below the yoke",
        2,
        1,
        6,
        "It must stay clear of the yoke's stitching.",
    ),
    StyleValue(
        "pocket_length",
        "Back pocket, length nearest the centre",
        13,
        9,
        20,
        "A hand must go in.",
        within=lambda body, v: (
            9,
            v["skirt_length"] - v["yoke_depth"] - v["pocket_below_yoke"] - v["pocket_point"] - v["hem"] - 4,
        ),
    ),
    StyleValue("pocket_point", "Pocket point", 2.5, 0, 4.5, "A sharper tip does not fold flat."),
    StyleValue(
        "pocket_from_centre",
        "Back pocket from the centre back",
        3,
        1.5,
        9,
        "Nearer the centre you would sit on it.",
        within=lambda body, v: (1.5, _pocket_room(body, v) - v["pocket_width"]),
    ),
    StyleValue("hem", "Hem depth", 3, 1, 5, "A flared hem takes less than a straight one."),
)


def _pocket_room(body: Body, v: Mapping[str, float]) -> float:
    """Width of half the back below the yoke, cm, as far as the girths tell."""
    waist, hip = (body.waist_girth + v["waist_ease"]) / 4, (body.hip_girth + v["hip_ease"]) / 4
    above = max(0.0, 1 - (v["yoke_side_depth"] + v["pocket_below_yoke"]) / body.waist_to_hip)
    return hip - (hip - waist) * above**2 - 3

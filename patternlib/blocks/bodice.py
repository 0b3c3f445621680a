"""The darted bodice block to the waist: centre back on the left, centre front on the right, waist level y = 0.

A bust dart from the shoulder (women), waist dart and back waist dart. Every joined line runs on smoothly:
necklines and armholes stand square on the shoulder, armholes and waist square on the side seam.
"""

from __future__ import annotations

import math
from functools import cache

from ..body import Body
from ..draft import Draft, Drafting
from ..errors import ValueAtFault
from ..geometry import Point, direction, fair

BACK_NECK, FRONT_NECK = 0.32, 1.06
"""Depth of the neckline at the back (above the nape) and at the front, for each cm of neck width.
Handbooks of 1911 to 1916 place width and front depth between neck/6 and neck/5 + 0.6."""

SLOPE_TURN = 2.5
"""degrees; the back shoulder slopes this much more and the front this much less than their mean:
common practice, no source."""


def bodice_block(
    body: Body,
    *,
    bust_ease: float = 10.0,
    waist_ease: float = 5.0,
    armhole_ease: float = 2.5,
    shoulder_slope: float = 19.5,
    back_shoulder_ease: float = 0.8,
    bust_dart: float | None = None,
) -> Draft:
    """Draft the bodice block of a body, back and front, from the neck to the natural waist.

    bust_ease, waist_ease: in all round the body; armhole_ease: the armhole line below the measured armpit
    depth; back_shoulder_ease: how much longer the back shoulder is than the front (at most 1.3 [Browne
    1911]); bust_dart: width of the bust dart at the shoulder, None: 7 cm at bust 88 and 0.15 cm more for
    each cm of bust (from memory), none for men; all cm. shoulder_slope: mean slope in degrees [17 to 23,
    Burton 1916].

    Measures that do not go together are refused with ValueAtFault naming the one to take again.

    >>> from patternlib.body import Body
    >>> block = bodice_block(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165))
    >>> round(block["bust line"].length, 6)  # (88 + 10) / 2
    49.0
    """
    _check(bust_ease, waist_ease, armhole_ease, shoulder_slope, back_shoulder_ease, bust_dart)
    half = (body.bust_girth + bust_ease) / 2
    half_waist = (body.waist_girth + waist_ease) / 2
    shaping = half - half_waist
    side = min(max(0.17 * shaping, 0.8), 2.5)
    darted = shaping - 2 * side >= 1.2
    if not darted:
        side = shaping / 2
    rules = (half, half_waist, armhole_ease, shoulder_slope, back_shoulder_ease, _bust_dart(body, bust_dart))
    block = _write(body, rules, side, darted)
    if not darted:  # no dart takes up what the waist curves are too long: the side seams do
        for _ in range(20):
            over = block["back waist"].length + block["front waist"].length - half_waist
            if abs(over) < 1e-9:
                break
            side += over / 2
            block = _write(body, rules, side, darted)
    return block


def _bust_dart(body: Body, given: float | None) -> float:
    if given is not None:
        return given
    if body.sex == "men":
        return 0.0
    return min(max(7.0 + 0.15 * (body.bust_girth - 88), 3.0), 12.0)


def _check(bust_ease, waist_ease, armhole_ease, slope, back_ease, dart) -> None:
    for name, value, low, high in (
        ("bust_ease", bust_ease, 0, 40),
        ("waist_ease", waist_ease, 0, 50),
        ("armhole_ease", armhole_ease, 0, 8),
        ("back_shoulder_ease", back_ease, 0, 1.3),
        ("bust_dart", dart if dart is not None else 0, 0, 14),
    ):
        if not low <= value <= high:
            raise ValueAtFault(name, value, f"must lie between {low} and {high} cm")
    if not 12 <= slope <= 28:
        raise ValueAtFault("shoulder_slope", slope, "must lie between 12 and 28 degrees")


@cache
def neck_share(slope: float) -> float:
    """Neck girth / neck width for which the two necklines measure the neck exactly.

    The necklines' shape depends on the shoulder slopes alone, so their length grows with the width.
    """
    back, front = slope + SLOPE_TURN, slope - SLOPE_TURN
    curve = fair([Point(0, 0), Point(1, BACK_NECK)], start=Point(1, 0), end=direction(90 - back))
    curve2 = fair([Point(-1, FRONT_NECK), Point(0, 0)], start=direction(front - 90), end=Point(1, 0))
    return 2 * (curve.length + curve2.length)


def _write(body: Body, rules, side: float, darted: bool) -> Draft:
    half, half_waist, armhole_ease, slope, back_ease, bust_dart = rules
    share = neck_share(slope)
    width = body.neck_girth / share
    back_slope, front_slope = slope + SLOPE_TURN, slope - SLOPE_TURN
    d = Drafting("bodice block")
    d.start("waist at centre back", because="the waist line is the foot of the block")
    d.go(
        "nape",
        "waist at centre back",
        "up",
        body.back_waist_length,
        source="back waist length",
        because="the nape is where the back length starts",
    )
    d.go(
        "centre back bust line",
        "nape",
        "down",
        body.armhole_depth + armhole_ease,
        source=f"armhole depth + {armhole_ease:g} ease",
        because="a sleeve needs room below the armpit",
    )
    d.go(
        "centre front bust line",
        "centre back bust line",
        "right",
        half,
        source="half of bust + ease",
        because="this is half of the bust with its ease",
    )
    d.line("bust line", "centre back bust line", "centre front bust line")
    d.add("waist at centre front", "level", ("waist at centre back", "centre front bust line"))
    # back neck and shoulder
    d.go(
        "neck width at the back",
        "nape",
        "right",
        width,
        source=f"neck / {share:.2f}",
        because="with this width both necklines together measure the neck",
    )
    d.go(
        "back neck point",
        "neck width at the back",
        "up",
        BACK_NECK * width,
        source=f"{BACK_NECK:g} of the neck width",
    )
    d.go(
        "back shoulder tip",
        "back neck point",
        -back_slope,
        body.shoulder_length + back_ease,
        source=f"shoulder length + {back_ease:g} ease",
        because="the back shoulder is eased onto the front over the shoulder blade",
    )
    d.curve(
        "back neckline",
        ["nape", "back neck point"],
        start="right",
        end=90 - back_slope,
        style="block",
        because="a neckline starts square to the centre and ends square to the shoulder",
    )
    d.line("back shoulder", "back neck point", "back shoulder tip", style="block")
    # front neck
    d.go(
        "centre front neck",
        "waist at centre front",
        "up",
        body.front_waist_length,
        source="front waist length",
    )
    d.go("neck width at the front", "centre front neck", "left", width, source=f"neck / {share:.2f}")
    d.go(
        "front neck point",
        "neck width at the front",
        "up",
        FRONT_NECK * width,
        source=f"{FRONT_NECK:g} of the neck width",
    )
    d.curve(
        "front neckline",
        ["front neck point", "centre front neck"],
        start=front_slope - 90,
        end="right",
        style="block",
    )
    _bust_and_shoulder(d, body, bust_dart, front_slope)
    _armholes(d, body, half, side, bust_dart, back_slope, front_slope)
    _waist(d, body, half_waist, darted)
    d.line("centre back", "nape", "waist at centre back", style="block")
    d.line("centre front", "waist at centre front", "centre front neck", style="block")
    return d.finish()


def _bust_and_shoulder(d: Drafting, body: Body, bust_dart: float, slope: float) -> None:
    d.go("bust point upright", "waist at centre front", "left", body.bust_span / 2, source="bust span / 2")
    neck, foot = d["front neck point"], d["bust point upright"]
    aside = abs(neck.x - foot.x)
    if body.neck_to_bust <= aside + 5:
        raise ValueAtFault(
            "neck_to_bust",
            body.neck_to_bust,
            "is too short for this bust span",
            "Measure from the side of the neck to the bust point again.",
        )
    height = neck.y - math.sqrt(body.neck_to_bust**2 - aside**2)
    line = d["centre back bust line"].y
    lowest, highest = 0.2 * line, line + 2
    bounded = min(max(height, lowest), highest)
    d.go(
        "bust point",
        "bust point upright",
        "up",
        bounded,
        source="so that it lies neck to bust from the neck point"
        if bounded == height
        else "kept between the waist and the armhole",
        because="the darts point at it",
    )
    shoulder = body.shoulder_length
    d.go("shoulder tip, dart closed", "front neck point", 180 + slope, shoulder, source="shoulder length")
    if bust_dart <= 0:
        d.add("front shoulder tip", "shift", ("shoulder tip, dart closed",), by=(0.0, 0.0))
        d.line("front shoulder", "front neck point", "front shoulder tip", style="block")
        d.given("bust dart angle", 0.0, because="this block has no bust dart")
        return
    d.add("bust dart leg", "middle", ("front neck point", "shoulder tip, dart closed"))
    d.add(
        "bust dart angle",
        "dart angle",
        ("bust point", "bust dart leg"),
        bust_dart,
        source="bust dart",
        because="the angle stays the same wherever the dart is moved",
    )
    d.add("bust dart leg 2", "turn", ("bust dart leg", "bust point"), "bust dart angle")
    d.add("front shoulder tip", "turn", ("shoulder tip, dart closed", "bust point"), "bust dart angle")
    d.line("front shoulder, neck part", "front neck point", "bust dart leg", style="block")
    d.line("front shoulder, armhole part", "bust dart leg 2", "front shoulder tip", style="block")
    d.line("bust dart, neck leg", "bust dart leg", "bust point", style="block")
    d.line("bust dart, armhole leg", "bust dart leg 2", "bust point", style="block")
    d.along(
        "bust dart end",
        "bust point",
        "bust dart leg",
        2.0,
        because="a sewn dart stops short of the bust point",
    )


def _armholes(d: Drafting, body: Body, half, side, bust_dart, back_slope, front_slope) -> None:
    line = d["centre back bust line"].y
    back_tip, front_tip = d["back shoulder tip"], d["front shoulder tip"]
    for tip, name in ((back_tip, "armhole_depth"), (front_tip, "front_waist_length")):
        if tip.y - line < 6:
            raise ValueAtFault(
                name,
                getattr(body, name),
                f"leaves an armhole only {tip.y - line:.1f} cm high",
                "Measure the armhole depth, the back and the front waist length again.",
            )
    # the widest the body allows, kept inside the shoulder and clear of the side
    wide = min(body.back_width / 2 + 0.5, back_tip.x - 0.6, half / 2 - 3.5)
    d.go(
        "back width level",
        "centre back bust line",
        "up",
        0.45 * (back_tip.y - line),
        source="under half of the armhole's height",
    )
    d.go(
        "back width point",
        "back width level",
        "right",
        wide,
        source="back width / 2 + 0.5"
        if wide == body.back_width / 2 + 0.5
        else "kept inside the shoulder tip and the side",
    )
    closed = d["shoulder tip, dart closed"]
    chest = min(body.chest_width / 2 + 0.3, half - closed.x - 0.6, half / 2 - 3.5)
    d.go(
        "chest level",
        "centre front bust line",
        "up",
        0.38 * (closed.y - line),
        source="over a third of the armhole's height",
    )
    d.go(
        "chest point, dart closed",
        "chest level",
        "left",
        chest,
        source="chest width / 2 + 0.3"
        if chest == body.chest_width / 2 + 0.3
        else "kept inside the shoulder tip and the side",
    )
    d.add(
        "chest point",
        "turn",
        ("chest point, dart closed", "bust point"),
        "bust dart angle",
        because="the open dart moves it out",
    )
    gap = d["chest point"].x - wide
    place = min(max(half / 2 - 0.5, wide + 0.42 * gap), wide + 0.58 * gap)
    if gap < 6:
        raise ValueAtFault(
            "bust_girth",
            body.bust_girth,
            f"leaves only {gap:.1f} cm for the armhole between back and chest",
            "Measure bust, back width and chest width again.",
        )
    d.go(
        "underarm point",
        "centre back bust line",
        "right",
        place,
        source="between back width and chest",
        because="the side seam starts in the middle of the armhole",
    )
    d.add("side waist level", "level", ("waist at centre back", "underarm point"))
    d.given("side shaping", side, source="the side's share of bust less waist")
    d.given(
        "side drop",
        0.3 * side,
        source="0.3 of the side shaping",
        because="the waist meets the leaning side at a right angle",
    )
    for part, way in (("back", "left"), ("front", "right")):
        d.go(f"{part} side waist level", "side waist level", way, "side shaping")
        d.go(f"{part} side waist", f"{part} side waist level", "down", "side drop")
        d.line(f"{part} side", "underarm point", f"{part} side waist", style="block")
        d.add(
            f"{part} underarm, angle",
            "angle",
            (f"{part} side",),
            90.0 if part == "back" else -90.0,
            at="end",
            because="the armhole meets the side at a right angle",
        )
    d.curve(
        "back armhole",
        ["back shoulder tip", "back width point", "underarm point"],
        start=-90 - back_slope,
        end="back underarm, angle",
        style="block",
    )
    turn = d["bust dart angle"]
    d.curve(
        "front armhole",
        ["front shoulder tip", "chest point", "underarm point"],
        start=front_slope + turn - 90,
        end="front underarm, angle",
        style="block",
    )


def _waist(d: Drafting, body: Body, half_waist: float, darted: bool) -> None:
    for part, centre, way in (
        ("back", "waist at centre back", "right"),
        ("front", "waist at centre front", "left"),
    ):
        d.curve(
            f"{part} waist",
            [centre, f"{part} side waist"],
            start=way,
            end=f"{part} underarm, angle",
            style="block",
        )
        d.length(f"{part} waist as drawn", f"{part} waist")
    if not darted:
        return
    d.sum(
        "waist dart mouths",
        {"back waist as drawn": 1.0, "front waist as drawn": 1.0},
        -half_waist,
        source=f"both waists as drawn less {half_waist:.1f}, half of waist + ease",
    )
    front_share = 0.55 if body.sex == "women" else 0.4
    line = d["centre back bust line"].y
    back_centre = 0.5 * d["back side waist"].x
    for part, share, centre, top in (
        ("back", 1 - front_share, back_centre, line - 1.5),
        ("front", front_share, None, d["bust point"].y - 2.0),
    ):
        mouth = f"{part} dart mouth"
        d.sum(mouth, {"waist dart mouths": share}, source=f"{share:.2g} of the waist dart mouths")
        curve = d[f"{part} waist"]
        at = d["bust point"] if part == "front" else Point(centre, 0)
        place = curve.closest(Point(at.x, 0))[0]
        place = min(max(place, d[mouth] / 2 + 1.5), curve.length - d[mouth] / 2 - 1.5)
        d.given(
            f"{part} dart centre",
            place,
            source="under the bust point" if part == "front" else "midway to the side",
        )
        d.sum(
            f"{part} dart, first leg at",
            {f"{part} dart centre": 1.0, mouth: -0.5},
            source="centre less half the mouth",
        )
        d.sum(
            f"{part} dart, second leg at",
            {f"{part} dart centre": 1.0, mouth: 0.5},
            source="centre + half the mouth",
        )
        d.on(f"{part} dart leg", f"{part} waist", f"{part} dart, first leg at")
        d.on(f"{part} dart leg 2", f"{part} waist", f"{part} dart, second leg at")
        d.add(
            f"{part} dart point",
            "dart point",
            (f"{part} dart leg", f"{part} dart leg 2", "waist at centre back"),
            -max(top, 3.0),
            because="square from the middle of the mouth both legs come out equal",
        )
        for n, leg in enumerate((f"{part} dart leg", f"{part} dart leg 2"), 1):
            d.line(f"{part} dart, line {n}", leg, f"{part} dart point", style="block")

"""Steps of the bodice block: bust point and front shoulder, armholes and sides, waist and its darts."""

from __future__ import annotations

import math

from ..body import Body
from ..draft import Drafting
from ..errors import ValueAtFault
from ..geometry import Move, Point

NARROWEST_ARMHOLE = 6.0
"""cm between back width and chest; where the measures leave less, both are drawn narrower."""


def bust_and_shoulder(d: Drafting, body: Body, bust_dart: float, slope: float) -> None:
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
    d.add("bust dart middle", "middle", ("bust dart leg", "bust dart leg 2"))
    d.along(
        "bust dart end",
        "bust point",
        "bust dart middle",
        2.0,
        because="a sewn dart stops short of the bust point",
    )


def _widths(d: Drafting, body: Body, half: float) -> tuple[float, float]:
    """Half back width and half chest width as drawn: inside the shoulder tips, with room for an armhole."""
    closed, bust = d["shoulder tip, dart closed"], d["bust point"]
    level = d["centre back bust line"].y + 0.38 * (closed.y - d["centre back bust line"].y)
    if (body.back_width + body.chest_width) / 2 > half - 4:
        raise ValueAtFault(
            "chest_width",
            body.chest_width,
            f"and the back width of {body.back_width:g} cm leave no room for an armhole on this bust",
            "Measure bust, back width and chest width again.",
        )
    wide = min(body.back_width / 2 + 0.5, d["back shoulder tip"].x - 0.6, half / 2 - 3.5)
    chest = min(body.chest_width / 2 + 0.3, half - closed.x - 0.6, half / 2 - 3.5)
    gap = Move.turn(bust, d["bust dart angle"])(Point(half - chest, level)).x - wide
    over = max(0.0, NARROWEST_ARMHOLE - gap) / 2
    return wide - over, chest - over


def armholes(d: Drafting, body: Body, half, side, bust_dart, back_slope, front_slope) -> None:
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
    if line < 6:
        raise ValueAtFault(
            "armhole_depth",
            body.armhole_depth,
            f"leaves a side seam of only {line:.1f} cm under this back of {body.back_waist_length:g} cm",
            "Measure the armhole depth and the back waist length again.",
        )
    wide, chest = _widths(d, body, half)
    measured = body.back_width / 2 + 0.5, body.chest_width / 2 + 0.3
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
        source="back width / 2 + 0.5" if wide == measured[0] else "kept clear of the armhole",
    )
    closed = d["shoulder tip, dart closed"]
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
        source="chest width / 2 + 0.3" if chest == measured[1] else "kept clear of the armhole",
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


def _front_share(d: Drafting, body: Body) -> float:
    """The front's share of the waist darts; a mouth never wider than 0.6 of the dart's length."""
    share = 0.55 if body.sex == "women" else 0.4
    mouths = d["waist dart mouths"]
    return min(share, max(0.4, 0.6 * _front_dart(d) / mouths)) if mouths > 0 else share


def _front_dart(d: Drafting) -> float:
    """Height of the front waist dart: 2 cm short of the bust point, less where that lies low."""
    bust = d["bust point"].y
    return max(bust - 2.0, min(7.0, bust - 0.5))


def waist(d: Drafting, body: Body, half_waist: float, darted: bool) -> None:
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
    front_share = _front_share(d, body)
    line = d["centre back bust line"].y
    back_centre = 0.5 * d["back side waist"].x
    for part, share, centre, top in (
        ("back", 1 - front_share, back_centre, line - 1.5),
        ("front", front_share, d["bust point"].x, _front_dart(d)),
    ):
        mouth = f"{part} dart mouth"
        d.sum(mouth, {"waist dart mouths": share}, source=f"{share:.2g} of the waist dart mouths")
        curve = d[f"{part} waist"]
        place = curve.closest(Point(centre, 0))[0]
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

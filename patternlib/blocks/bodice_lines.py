"""Steps of the bodice block: bust point and front shoulder, sides, armholes."""

from __future__ import annotations

import math

from ..body import Body
from ..draft import Drafting
from ..errors import ValueAtFault
from ..geometry import Move, Point

NARROWEST_ARMHOLE = 6.0
"""cm between back width and chest; where the measures leave less, both are drawn narrower."""

WIDEST, BESIDE_TIP = 1.0, 2.5
"""A wide armhole: its width against its height, from where back and chest are drawn out beyond the shoulder
tips, by so many cm at most. On a very large girth the armhole would else be flat and wide (common practice,
no source)."""

MARK = 0.3
"""Of neck to bust, and the fullness added: so far from the bust point, on its first leg, the bust dart is as
wide as the fullness, a quarter of bust less underbust girth. At bust 88 this gives the 7 cm at the shoulder
that a handbook has (from memory). A bust that stands out further has a longer slope, too; so the mark moves
outward with it, and the angle grows more and more slowly."""

SIDE_SHARE, SIDE_LEAST, SIDE_MOST = 0.15, 0.8, 2.5
"""Side shaping: its share of what the bust line is more than the waist, and its bounds, cm (taste)."""

SIDE_LEAN = 0.2
"""The side shaping is at most this share of the height over which the side leans in (taste)."""

SIDE_DROP = 0.8
"""The side waist lies this share of the side shaping below the centre (taste)."""

SHORT = 2.0
"""cm a sewn dart stops short of the bust point [1.3 to 2.5 for waist darts, from memory]."""


def bust_and_shoulder(d: Drafting, body: Body, bust_dart: float | None, slope: float) -> None:
    """Bust point, front shoulder and bust dart; bust_dart: width at the shoulder, None: by the fullness."""
    reach = _write_bust_point(d, body)
    shoulder = body.shoulder_length
    d.go("shoulder tip, dart closed", "front neck point", 180 + slope, shoulder, source="shoulder length")
    fullness = (body.bust_girth - body.underbust_girth) / 4
    if bust_dart == 0 or (bust_dart is None and fullness < 0.5):
        d.add("front shoulder tip", "shift", ("shoulder tip, dart closed",), by=(0.0, 0.0))
        d.line("front shoulder", "front neck point", "front shoulder tip", style="block")
        d.given("bust dart angle", 0.0, because="this block has no bust dart")
        return
    _write_bust_dart(d, bust_dart, fullness, reach)


def _write_bust_point(d: Drafting, body: Body) -> float:
    """The bust point; gives its distance from the front neck point, cm."""
    d.go(
        "bust point upright",
        "waist at centre front",
        "left",
        body.bust_span / 2,
        source="half of the bust span",
    )
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
    bounded = min(max(height, 0.2 * line), line + 2)
    reach = body.neck_to_bust if bounded == height else math.hypot(neck.y - bounded, aside)
    d.add(
        "bust point",
        "swing down",
        ("front neck point", "bust point upright"),
        reach,
        source="neck to bust" if bounded == height else "kept between the waist and the armhole",
        because="the darts point at it",
    )
    return reach


def _write_bust_dart(d: Drafting, bust_dart: float | None, fullness: float, reach: float) -> None:
    """The bust dart's legs and its end, and the shoulder that it opens; reach: neck to bust as drawn, cm."""
    d.add("bust dart leg", "middle", ("front neck point", "shoulder tip, dart closed"))
    why = "the angle stays the same wherever the dart is moved"
    if bust_dart is None:
        d.given("fullness", fullness, source="a quarter of bust less underbust")
        mark = f"{MARK:g} of neck to bust + the fullness"
        d.along("fullness mark", "bust point", "bust dart leg", MARK * reach + fullness, source=mark)
        inputs = ("bust point", "fullness mark")
        d.add("bust dart angle", "dart angle", inputs, "fullness", source="fullness", because=why)
    else:
        inputs = ("bust point", "bust dart leg")
        d.add("bust dart angle", "dart angle", inputs, bust_dart, source="bust dart", because=why)
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
        SHORT,
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
    measured = body.back_width / 2 + 0.5, body.chest_width / 2 + 0.3
    tips = d["back shoulder tip"].x - 0.6, half - closed.x - 0.6
    wide, chest = (min(cm, tip, half / 2 - 3.5) for cm, tip in zip(measured, tips, strict=True))

    def room() -> float:
        return Move.turn(bust, d["bust dart angle"])(Point(half - chest, level)).x - wide

    height = (d["back shoulder tip"].y + closed.y) / 2 - d["centre back bust line"].y
    flat = (room() - WIDEST * height) / 2
    if flat > 0:
        wide, chest = (
            max(now, min(now + flat, cm, tip + BESIDE_TIP))
            for now, cm, tip in zip((wide, chest), measured, tips, strict=True)
        )
    gap = room()
    over = max(0.0, NARROWEST_ARMHOLE - gap) / 2
    return wide - over, chest - over


def sides(d: Drafting, body: Body, half: float, shaping: float, side: float | None) -> tuple[float, bool]:
    """Guide points of the armholes, underarm point and side seams; gives side shaping and whether the waist
    has darts. half: the bust line; shaping: the bust line less half the waist; side: None by the rule.

    The side runs upright down to the level of the bust point, so that the girth there is the bust line's.
    """
    line = d["centre back bust line"].y
    _check_heights(d, body, line)
    wide = _write_width_points(d, body, half)
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
    level = min(max(d["bust point"].y, 0.4 * line), 0.8 * line)
    inward = min(max(SIDE_SHARE * shaping, SIDE_LEAST), SIDE_MOST, SIDE_LEAN * level)
    darted = shaping - 2 * inward >= 1.2
    if side is None or darted:
        side = inward if darted else shaping / 2
    _write_side_seams(d, level, side)
    return side, darted


def _check_heights(d: Drafting, body: Body, line: float) -> None:
    """Refuse a low armhole or a short side seam; line: the bust line above the waist, cm."""
    for tip, name in (("back shoulder tip", "armhole_depth"), ("front shoulder tip", "front_waist_length")):
        height = d[tip].y - line
        if height < 6:
            raise ValueAtFault(
                name,
                getattr(body, name),
                f"leaves an armhole only {height:.1f} cm high",
                "Measure the armhole depth, the back and the front waist length again.",
            )
    if line < 6:
        raise ValueAtFault(
            "armhole_depth",
            body.armhole_depth,
            f"leaves a side seam of only {line:.1f} cm under this back of {body.back_waist_length:g} cm",
            "Measure the armhole depth and the back waist length again.",
        )


def _write_width_points(d: Drafting, body: Body, half: float) -> float:
    """The points of back width and chest that guide the armholes; gives half the back width as drawn, cm."""
    wide, chest = _widths(d, body, half)
    line = d["centre back bust line"].y
    measured = body.back_width / 2 + 0.5, body.chest_width / 2 + 0.3
    d.go(
        "back width level",
        "centre back bust line",
        "up",
        0.45 * (d["back shoulder tip"].y - line),
        source="under half of the armhole's height",
    )
    d.go(
        "back width point",
        "back width level",
        "right",
        wide,
        source="half of the back width + 0.5 cm" if wide == measured[0] else "kept clear of the armhole",
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
        source="half of the chest width + 0.3 cm" if chest == measured[1] else "kept clear of the armhole",
    )
    d.add(
        "chest point",
        "turn",
        ("chest point, dart closed", "bust point"),
        "bust dart angle",
        because="the open dart moves it out",
    )
    return wide


def _write_side_seams(d: Drafting, level: float, side: float) -> None:
    """Both side seams; level: of the bust above the waist, cm; side: their shaping, cm."""
    d.add("side waist level", "level", ("waist at centre back", "underarm point"))
    why = "down to the bust the side runs upright and takes nothing away"
    if level == d["bust point"].y:
        d.add("side bust level", "level", ("bust point", "underarm point"), because=why)
    else:
        source = "near the height of the bust point"
        d.go("side bust level", "side waist level", "up", level, source=source, because=why)
    d.line("side, upper part", "underarm point", "side bust level")
    d.given("side shaping", side, source="the side's share of bust less waist")
    d.given(
        "side drop",
        SIDE_DROP * side,
        source=f"{SIDE_DROP:g} of the side shaping",
        because="the waist meets the leaning side at a right angle",
    )
    for part, way in (("back", "left"), ("front", "right")):
        d.go(f"{part} side waist level", "side waist level", way, "side shaping")
        d.go(f"{part} side waist", f"{part} side waist level", "down", "side drop")
        d.curve(f"{part} side, lower part", ["side bust level", f"{part} side waist"], start="down")
        lower = f"{part} side, lower part"
        d.add(f"{part} side", "joined", ("side, upper part", lower), style="block")
        d.add(
            f"{part} side waist, angle",
            "angle",
            (f"{part} side",),
            90.0 if part == "back" else -90.0,
            at="end",
            because="the waist meets the side at a right angle",
        )


def armholes(d: Drafting, back_slope: float, front_slope: float) -> None:
    """Both armholes, square to shoulder and side."""
    d.curve(
        "back armhole",
        ["back shoulder tip", "back width point", "underarm point"],
        start=-90 - back_slope,
        end="right",
        style="block",
    )
    turn = d["bust dart angle"]
    d.curve(
        "front armhole",
        ["front shoulder tip", "chest point", "underarm point"],
        start=front_slope + turn - 90,
        end="left",
        style="block",
    )

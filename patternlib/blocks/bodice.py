"""The darted bodice block to the waist: centre back left, centre front right, waist level y = 0.

A bust dart from the shoulder (women), waist dart and back waist dart. Every joined line runs on smoothly:
necklines and armholes stand square on the shoulder, armholes and waist square on the side seam.
"""

from __future__ import annotations

from functools import cache

from ..body import Body, as_body
from ..draft import Draft, Drafting
from ..errors import ValueAtFault
from ..geometry import Point, direction, fair
from ..units import Length, read_length, read_lengths, read_number
from .bodice_lines import armholes, bust_and_shoulder, waist

BACK_NECK, FRONT_NECK = 0.32, 1.06
"""Depth of the neckline at the back (above the nape) and at the front, for each cm of neck width.
Handbooks of 1911 to 1916 place width and front depth between neck/6 and neck/5 + 0.6."""

SLOPE_TURN = 2.5
"""degrees; the back shoulder slopes this much more and the front this much less than their mean:
common practice, no source."""


def bodice_block(
    body: Body | str,
    *,
    bust_ease: Length = 10.0,
    waist_ease: Length = 5.0,
    armhole_ease: Length = 2.5,
    shoulder_slope: float = 19.5,
    back_shoulder_ease: Length = 0.8,
    bust_dart: Length | None = None,
) -> Draft:
    """Draft the bodice block of a body, back and front, from the neck to the natural waist.

    bust_ease, waist_ease: in all round the body; armhole_ease: the armhole line below the measured armpit
    depth; back_shoulder_ease: how much longer the back shoulder is than the front (at most 1.3 [Browne
    1911]); bust_dart: width of the bust dart at the shoulder, None: 7 cm at bust 88 and 0.15 cm more for
    each cm of bust (from memory), none for men; all cm, or text with a unit. shoulder_slope: mean slope in
    degrees [17 to 23, Burton 1916].

    Measures that do not go together are refused with ValueAtFault naming the one to take again.

    >>> from patternlib.body import Body
    >>> block = bodice_block(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165))
    >>> round(block["bust line"].length, 6)  # (88 + 10) / 2
    49.0
    """
    body = as_body(body)
    bust_ease, waist_ease, armhole_ease, back_shoulder_ease = read_lengths(
        bust_ease=bust_ease,
        waist_ease=waist_ease,
        armhole_ease=armhole_ease,
        back_shoulder_ease=back_shoulder_ease,
    )
    shoulder_slope = read_number(shoulder_slope, name="shoulder_slope", of="degrees")
    bust_dart = None if bust_dart is None else read_length(bust_dart, name="bust_dart")
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
            raise ValueAtFault(
                name, value, f"must lie between {low} and {high} cm", "Take a value in between."
            )
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
    bust_and_shoulder(d, body, bust_dart, front_slope)
    armholes(d, body, half, side, bust_dart, back_slope, front_slope)
    waist(d, body, half_waist, darted)
    d.line("centre back", "nape", "waist at centre back", style="block")
    d.line("centre front", "waist at centre front", "centre front neck", style="block")
    return d.finish()

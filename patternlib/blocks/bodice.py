"""The darted bodice block to the waist: centre back left, centre front right, waist level y = 0.

A bust dart from the shoulder (women), waist dart and back waist dart. Every joined line runs on smoothly:
necklines and armholes stand square on the shoulder, armholes and waist square on the side seam.
With its darts closed the block measures bust + ease at the level of the bust point, waist + ease at the
waist, the shoulder, and the length over the bust from neck point to waist.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from ..body import Body, as_body
from ..draft import Draft, Drafting
from ..errors import ValueAtFault
from ..geometry import Point, direction, fair
from ..units import Length, read_length, read_lengths
from .bodice_lines import armholes, bust_and_shoulder, sides
from .bodice_waist import waist

NECK_WIDTH, BACK_NECK = 5.37, 0.32
"""The neck girth through the neck width, and the depth of the back neckline, from the nape up, for each cm of
neck width; the front's depth follows, see `front_neck`. Handbooks of 1911 to 1916 place width and front depth
between a sixth of the neck and a fifth + 0.6."""

SLOPE_TURN = 2.5
"""degrees; the back shoulder slopes this much more and the front this much less than their mean:
common practice, no source."""

SHOULDER_ROOM = 1.5
"""cm; the drafted shoulder tip lies so much above the measured shoulder point, so that the arm can be lifted.
With it the mean slope of the survey's women, 26 degrees on the body, is 19.5 on the block, in the middle of
the 17 to 23 of Burton 1916; room over the shoulder is common practice, its amount has no source."""

FLATTEST = 1.15
"""An armhole's width against its height at most: a wider one is drawn deeper (common practice, no source)."""

TRUED = 0.15
"""cm; a length over the bust that comes out farther off than this is trued at the leg of the front dart."""

NEAR_LEVEL, STEEPEST = 2.5, 33.0
"""degrees; a shoulder that slopes less or more is taken for a slip of the tape."""


def bodice_block(
    body: Body | str,
    *,
    bust_ease: Length = 10.0,
    waist_ease: Length = 5.0,
    armhole_ease: Length = 2.5,
    shoulder_room: Length = SHOULDER_ROOM,
    back_shoulder_ease: Length = 0.8,
    bust_dart: Length | None = None,
    one_dart: bool = False,
) -> Draft:
    """Draft the bodice block of a body, back and front, from the neck to the natural waist.

    bust_ease, waist_ease: in all round the body; armhole_ease: the armhole line below the measured armpit
    depth; shoulder_room: the shoulder tip above the measured shoulder drop; back_shoulder_ease: how much
    longer the back shoulder is than the front (at most 1.3 [Browne 1911]); bust_dart: width of the bust dart
    at the shoulder, None: an angle that grows with bust less underbust girth, see `bust_and_shoulder`, none
    for men; all cm, or text with a unit. one_dart: one waist dart in the back and one in the front, however
    wide.

    Measures that do not go together are refused with ValueAtFault naming the one to take again.

    >>> from patternlib.body import Body
    >>> block = bodice_block(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165))
    >>> round(block["bust line"].length, 6)  # half of 88 + 10
    49.0
    """
    body = as_body(body)
    bust_ease, waist_ease, armhole_ease, shoulder_room, back_shoulder_ease = read_lengths(
        bust_ease=bust_ease,
        waist_ease=waist_ease,
        armhole_ease=armhole_ease,
        shoulder_room=shoulder_room,
        back_shoulder_ease=back_shoulder_ease,
    )
    bust_dart = None if bust_dart is None else read_length(bust_dart, name="bust_dart")
    _check(bust_ease, waist_ease, armhole_ease, shoulder_room, back_shoulder_ease, bust_dart)
    rules = _Rules(
        half=(body.bust_girth + bust_ease) / 2,
        half_waist=(body.waist_girth + waist_ease) / 2,
        armhole_ease=armhole_ease,
        fall=body.shoulder_drop - shoulder_room,
        room=shoulder_room,
        slope=_slope(body, shoulder_room),
        back_ease=back_shoulder_ease,
        bust_dart=0.0 if bust_dart is None and body.sex == "men" else bust_dart,
        one_dart=one_dart,
    )
    return _written_true(body, rules)


@dataclass(frozen=True)
class _Rules:
    """What a block is drawn by, cm and degrees.

    half, half_waist: half girths with ease; wider: how much the bust line is wider than half; leg: what the
    leg of the front waist dart is trued by; side: the side shaping, None: by its rule; bust_dart: None: by
    fullness; deeper: what a wide armhole is deepened by.
    """

    half: float
    half_waist: float
    armhole_ease: float
    fall: float
    room: float
    slope: float
    back_ease: float
    bust_dart: float | None
    one_dart: bool
    wider: float = 0.0
    leg: float = 0.0
    side: float | None = None
    deeper: float = 0.0


def waist_darts(block: Draft, part: str) -> tuple[str, ...]:
    """The names of the waist darts of the 'back' or 'front', from the centre to the side."""
    names = (f"{part} dart", f"{part} dart 1", f"{part} dart 2")
    return tuple(name for name in names if f"{name} point" in block)


def girth_at_bust(block: Draft) -> float:
    """Half the girth of the block at the level of the bust point, its darts closed, cm."""
    level = block["bust point"]
    total = block["waist at centre front"].x
    for part, sign in (("back", 1), ("front", -1)):
        side = block[f"{part} side"]
        places = side.meets_line(level, level + Point(1, 0))
        at = side.at(places[0]).x if places else block["underarm point"].x
        total += sign * at
        for name in waist_darts(block, part):
            if block[f"{name} point"].y <= level.y:
                continue
            legs = (block[f"{name}, line {n}"] for n in (1, 2))
            first, second = (leg.at(leg.meets_line(level, level + Point(1, 0))[0]).x for leg in legs)
            total -= abs(second - first)
    return total


def length_over_bust(block: Draft) -> float:
    """From the front neck point over the bust point along the closed front dart to the waist, cm."""
    neck, bust = block["front neck point"], block["bust point"]
    for name in waist_darts(block, "front")[:1]:
        point = block[f"{name} point"]
        return neck.distance(bust) + bust.distance(point) + point.distance(block[f"{name} leg"])
    front = block["front waist"]
    return neck.distance(bust) + bust.distance(front.at(front.meets_line(bust, bust + Point(0, 1))[0]))


def armhole_gap(block: Draft) -> float:
    """From the back width point across to the chest point, the bust dart open, cm."""
    return block["chest point"].x - block["back width point"].x


def armhole_height(block: Draft) -> float:
    """From the underarm up to the middle of both shoulder tips, the bust dart closed, cm."""
    tips = block["back shoulder tip"].y + block["shoulder tip, dart closed"].y
    return tips / 2 - block["underarm point"].y


def _slope(body: Body, room: float) -> float:
    """Mean slope of the drafted shoulder, degrees: its fall over its length."""
    fall, length = body.shoulder_drop - room, body.shoulder_length
    least, most = (length * math.sin(math.radians(angle)) + room for angle in (NEAR_LEVEL, STEEPEST))
    if not least <= body.shoulder_drop <= most:
        raise ValueAtFault(
            "shoulder_drop",
            body.shoulder_drop,
            f"does not go with a shoulder of {length:g} cm: {math.ceil(least * 10) / 10:g} to "
            f"{math.floor(most * 10) / 10:g} cm can be drawn",
            "Measure straight down from the level of the side neck point to the shoulder point again.",
        )
    return math.degrees(math.asin(fall / length))


def _check(bust_ease, waist_ease, armhole_ease, room, back_ease, dart) -> None:
    for name, value, low, high in (
        ("bust_ease", bust_ease, 0, 40),
        ("waist_ease", waist_ease, 0, 50),
        ("armhole_ease", armhole_ease, 0, 8),
        ("shoulder_room", room, 0, 3),
        ("back_shoulder_ease", back_ease, 0, 1.3),
        ("bust_dart", dart if dart is not None else 0, 0, 14),
    ):
        if not low <= value <= high:
            raise ValueAtFault(
                name, value, f"must lie between {low} and {high} cm", "Take a value in between."
            )


@lru_cache(1024)
def front_neck(slope: float) -> float:
    """Depth of the front neckline for each cm of neck width; slope: mean of the shoulders, degrees.

    With it both necklines together measure the neck exactly. They stand square on the shoulders, so the
    slope has a share in their length.

    >>> round(front_neck(19.5), 2), round(front_neck(26), 2)
    (1.06, 1.1)
    """
    back, front = slope + SLOPE_TURN, slope - SLOPE_TURN
    behind = fair([Point(0, 0), Point(1, BACK_NECK)], start=Point(1, 0), end=direction(90 - back)).length

    def over(depth: float) -> float:
        ends = [Point(-1, depth), Point(0, 0)]
        before = fair(ends, start=direction(front - 90), end=Point(1, 0)).length
        return 2 * (behind + before) - NECK_WIDTH

    low, high = 0.6, 1.6
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if over(middle) < 0 else (low, middle)
    return (low + high) / 2


def _written_true(body: Body, rules: _Rules) -> Draft:
    """The block written until bust line, waist and length over the bust are those of the body."""
    block = _write(body, rules)
    tape = body.length_over_bust
    if "length_over_bust" in body.estimated and abs(tape - length_over_bust(block)) > 0.5:
        tape = length_over_bust(block)  # a guess gives way where it does not go with the rest
    deeper = armhole_gap(block) / FLATTEST - armhole_height(block)
    if deeper > 0.05:
        rules = replace(rules, deeper=deeper)
        block = _write(body, rules)
    for _ in range(30):  # a low bust needs a wider bust line; without darts the side takes what is over
        wider = rules.half - girth_at_bust(block)
        over = 0.0
        if "waist dart mouths" not in block:
            over = block["back waist"].length + block["front waist"].length - rules.half_waist
        short = tape - length_over_bust(block)
        if abs(wider) < 1e-7 and abs(over) < 1e-9 and abs(short) < TRUED:
            break
        leg = rules.leg + (short if abs(short) >= TRUED else 0.0)
        side = block["side shaping"] + over / 2 if over else rules.side
        rules = replace(rules, wider=rules.wider + wider, side=side, leg=leg)
        block = _write(body, rules)
    return block


def _write(body: Body, r: _Rules) -> Draft:
    back_slope, front_slope = r.slope + SLOPE_TURN, r.slope - SLOPE_TURN
    half = r.half + r.wider
    d = Drafting("bodice block")
    _write_levels(d, body, r)
    _write_back_neck(d, body, back_slope, r.back_ease)
    _write_front_neck(d, body, r.slope)
    bust_and_shoulder(d, body, r.bust_dart, front_slope)
    side, darted = sides(d, body, half, half - r.half_waist, r.side)
    armholes(d, back_slope, front_slope)
    waist(d, body, r.half_waist, half - r.half_waist - 2 * side if darted else 0.0, r.leg, r.one_dart)
    d.line("centre back", "nape", "waist at centre back", style="block")
    d.line("centre front", "waist at centre front", "centre front neck", style="block")
    return d.finish()


def _write_levels(d: Drafting, body: Body, r: _Rules) -> None:
    """Waist, nape and bust line."""
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
        body.armhole_depth + r.armhole_ease + r.deeper,
        source=f"armhole depth + {r.armhole_ease:g} cm of ease"
        + (f" + {r.deeper:.1f} cm for a wide armhole" if r.deeper else ""),
        because="a sleeve needs room below the armpit",
    )
    d.go(
        "centre front bust line",
        "centre back bust line",
        "right",
        r.half + r.wider,
        source="half of bust + ease" + (f" + {r.wider:.1f} cm for a low bust" if r.wider > 1e-4 else ""),
        because="this is half of the bust with its ease",
    )
    d.line("bust line", "centre back bust line", "centre front bust line")
    d.add("waist at centre front", "level", ("waist at centre back", "centre front bust line"))


def _write_back_neck(d: Drafting, body: Body, slope: float, ease: float) -> None:
    """Neckline and shoulder of the back; slope: of its shoulder, degrees; ease: of its shoulder, cm."""
    width = body.neck_girth / NECK_WIDTH
    d.go(
        "neck width at the back",
        "nape",
        "right",
        width,
        source=f"neck girth divided by {NECK_WIDTH:g}",
        because="handbooks have the neck width between a sixth and a fifth of the neck",
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
        -slope,
        body.shoulder_length + ease,
        source=f"shoulder length + {ease:g} cm of ease",
        because="the back shoulder is eased onto the front over the shoulder blade",
    )
    d.curve(
        "back neckline",
        ["nape", "back neck point"],
        start="right",
        end=90 - slope,
        style="block",
        because="a neckline starts square to the centre and ends square to the shoulder",
    )
    d.line("back shoulder", "back neck point", "back shoulder tip", style="block")


def _write_front_neck(d: Drafting, body: Body, slope: float) -> None:
    """The front's neckline; slope: of the shoulders on the body, degrees."""
    width, depth = body.neck_girth / NECK_WIDTH, front_neck(slope)
    d.go(
        "centre front neck",
        "waist at centre front",
        "up",
        body.front_waist_length,
        source="front waist length",
    )
    d.go(
        "neck width at the front",
        "centre front neck",
        "left",
        width,
        source=f"neck girth divided by {NECK_WIDTH:g}",
    )
    d.go(
        "front neck point",
        "neck width at the front",
        "up",
        depth * width,
        source=f"{depth:.3g} of the neck width",
        because="with this depth both necklines together measure the neck",
    )
    d.curve(
        "front neckline",
        ["front neck point", "centre front neck"],
        start=slope - SLOPE_TURN - 90,
        end="right",
        style="block",
    )

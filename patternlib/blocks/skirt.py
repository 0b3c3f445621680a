"""The straight skirt block, back and front side by side: centre back on the left, centre front on the right.

The bookkeeping of every skirt, on the half pattern, holds exactly:

    (hip/2 + ease) - (waist/2 + ease) = side shaping, back and front + all dart mouths
"""

from __future__ import annotations

from typing import NamedTuple

from ..body import Body, as_body
from ..draft import Draft, Drafting
from ..errors import ValueAtFault
from ..units import Length, read_length, read_lengths
from .skirt_darts import (
    BACK_SHARE,
    SkirtDart,
    back_darts_for,
    dart_names,
    front_darts_for,
    widths,
    write_darts,
)

SIDE_SHARE, SIDE_LEAST, SIDE_MOST = 0.22, 1.0, 4.5
"""Side shaping of one quarter: its share of the half pattern's shaping and its bounds, cm.
A fitted side takes about 1.5 to 3 cm, darts the rest: common practice, no source."""

SIDE_RISE = 1.25
"""cm that the waist rises at a side that leans in by 1 cm or more. Beside a straighter side it rises less and
beside one that leans out it falls: with more it would bend both ways (common practice, no source)."""

WAIST_DROP = 1.0
"""cm; the waist is lowered so much at the centre back: 0.5 to 1 is usual (common practice, no source)."""


def skirt_block(
    body: Body | str,
    *,
    length: Length = 60.0,
    hip_ease: Length = 5.0,
    waist_ease: Length = 2.4,
    back_wider: Length = 0.0,
    waist_drop: Length = WAIST_DROP,
    side_rise: Length | None = None,
    back_darts: tuple[SkirtDart, ...] | None = None,
    front_darts: tuple[SkirtDart, ...] | None = None,
    one_dart: bool = False,
) -> Draft:
    """Draft the straight skirt block of a body.

    length: waist to hem; hip_ease, waist_ease: in all round the body [WikiEducator, Handout for drafting
    skirt block: 5 and 2.4]; back_wider: how much wider than the plain quarter the back is at the hip;
    waist_drop: lowering at centre back; side_rise: raising at the side, None: 1.25, more where the side leans
    in by more than 3, less where it leans in by less than 1; where it leans out it lies lower; all cm.
    back_darts, front_darts: None shares the shaping out; a tuple sets mouths, lengths and places, () no dart.
    Given mouths are drawn as given; a width of None takes what is left over in its quarter. Where no dart is
    left to take it, the side takes the rest.
    one_dart: never share a quarter's shaping between two darts (for a dart that is to be closed).

    Where the hip is little larger than the waist the darts fall away, where it is smaller the sides lean
    out toward the waist. A body whose waist exceeds its hip by more than 30 cm, or whose hip exceeds its
    waist by more than 60, is refused with ValueAtFault.

    >>> from patternlib.body import Body
    >>> block = skirt_block(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165))
    >>> round(block["centre front hip"].x, 2)  # 94 / 2 + 2.5
    49.5
    """
    body = as_body(body)
    length, hip_ease, waist_ease, back_wider, waist_drop = read_lengths(
        length=length,
        hip_ease=hip_ease,
        waist_ease=waist_ease,
        back_wider=back_wider,
        waist_drop=waist_drop,
    )
    side_rise = None if side_rise is None else read_length(side_rise, name="side_rise")
    hip, waist = body.hip_girth, body.waist_girth
    _check(body, length, hip_ease, waist_ease)
    shaping = (hip + hip_ease - waist - waist_ease) / 2
    given = {"back": back_darts, "front": front_darts}
    side, totals = _share_out(shaping, given)
    depth = body.waist_to_hip
    made = {
        "back": back_darts_for(totals["back"], depth, one_dart) if back_darts is None else back_darts,
        "front": front_darts_for(totals["front"], depth, one_dart) if front_darts is None else front_darts,
    }
    as_given = {part: darts is not None and None not in widths(darts) for part, darts in given.items()}
    back_hip = (hip + hip_ease) / 4 + back_wider
    front_hip = (hip + hip_ease) / 2 - back_hip
    if side_rise is None:
        side_rise = SIDE_RISE * min(side, 1.0) + 0.6 * max(0.0, side - 3)
    rules = _Rules(length, back_hip, front_hip, depth, waist_drop, side_rise, back_wider)
    block = _written_to_waist(rules, side, made, as_given, totals["front"], (waist + waist_ease) / 2)
    _fits(block, made, given)
    return block


class _Rules(NamedTuple):
    """What the block is written from, cm."""

    length: float
    back_hip: float
    front_hip: float
    depth: float
    waist_drop: float
    side_rise: float
    back_wider: float


def _written_to_waist(
    rules: _Rules, side: float, made, as_given, front_darts: float, half_waist: float
) -> Draft:
    """The block whose waist, its darts closed, measures half_waist, cm: written until the curves agree.

    front_darts: mouths of the front's darts to begin with, cm.
    """
    front_waist = rules.front_hip - side - front_darts  # its darts closed, so that both sides lean alike
    targets = {"back": half_waist - front_waist, "front": front_waist}
    side_takes = all(as_given[part] or not made[part] for part in made)
    for _ in range(30):
        block = _write(rules, side, made, as_given, targets)
        closed = {
            part: block[f"{part} waist"].length - block[f"{part} dart mouths"]
            if darts
            else block[f"{part} waist"].length
            for part, darts in made.items()
        }
        over = sum(closed.values()) - half_waist
        if abs(over) < 1e-9:
            break
        if side_takes:  # no dart may take up what the curves are too long: the side does
            side += over / 2
        else:
            part = "back" if as_given["front"] or not made["front"] else "front"
            targets[part] -= over
    return block


def _fits(block: Draft, made, given) -> None:
    """Refuse given darts that take more than hip and waist differ by."""
    for part, darts in made.items():
        for name in dart_names(part, len(darts)):
            mouth = block[f"{part} dart mouths" if len(darts) == 1 else f"{name} mouth"]
            if mouth < 0.0 or (mouth == 0.0 and given[part] is None):
                other = part if given[part] is not None else {"back": "front", "front": "back"}[part]
                raise ValueAtFault(
                    f"{other}_darts",
                    " and ".join(f"{w:g}" for w in widths(given[other]) if w is not None) or "none",
                    f"leave {mouth:.1f} cm for the {name}",
                    f"Take {-mouth + 0.05:.1f} cm less in all, or give one of them no width.",
                )
    if block["side shaping"] < -2.0 and any(made.values()):
        both = sum(w or 0.0 for darts in made.values() for w in widths(darts))
        raise ValueAtFault(
            "front_darts" if given["front"] else "back_darts",
            both,
            "take more than hip and waist differ by, so the sides would lean out",
            f"Take {2 * -block['side shaping'] + 0.05:.1f} cm less in all, or give one of them no width.",
        )


def _more(cm: float) -> str:
    """What is added to a measure in words, '' for nothing."""
    return f" {'+' if cm > 0 else 'less'} {abs(cm):g} cm" if cm else ""


def _write(rules: _Rules, side: float, made, as_given, targets) -> Draft:
    d = Drafting("straight skirt block")
    _write_frame(d, rules)
    _write_side(d, rules, side)
    for part, centre, way in (
        ("back", "centre back waist", "right"),
        ("front", "waist at centre front", "left"),
    ):
        _quarter(d, part, centre, way, made[part], targets[part], as_given[part])
    return d.finish()


def _write_frame(d: Drafting, rules: _Rules) -> None:
    """Centre lines, hip line, hem and the side below the hip."""
    d.start("waist at centre back", because="the block starts with the natural waist level")
    d.go(
        "centre back hip",
        "waist at centre back",
        "down",
        rules.depth,
        source="waist to hip",
        because="the hip line lies at the fullest part of the hip",
    )
    d.go("centre back hem", "waist at centre back", "down", rules.length, source="skirt length")
    d.go(
        "side hip",
        "centre back hip",
        "right",
        rules.back_hip,
        source="a quarter of the hip + a quarter of the hip ease" + _more(rules.back_wider),
        because="this is where the side seam crosses the hip line",
    )
    d.go(
        "centre front hip",
        "side hip",
        "right",
        rules.front_hip,
        source="a quarter of the hip + a quarter of the hip ease" + _more(-rules.back_wider),
    )
    d.add("side hem", "level", ("centre back hem", "side hip"))
    d.add("centre front hem", "level", ("centre back hem", "centre front hip"))
    d.add("waist at centre front", "level", ("waist at centre back", "centre front hip"))
    d.go(
        "centre back waist",
        "waist at centre back",
        "down",
        rules.waist_drop,
        because="the back waist dips at the spine",
    )
    d.line("hip line", "centre back hip", "centre front hip")
    d.line("centre back", "centre back hem", "centre back waist", style="block")
    d.line("centre front", "waist at centre front", "centre front hem", style="block")
    d.line("side below the hip", "side hip", "side hem", style="block")
    d.line("back hem", "centre back hem", "side hem", style="block")
    d.line("front hem", "side hem", "centre front hem", style="block")


def _write_side(d: Drafting, rules: _Rules, side: float) -> None:
    """Where the sides meet the waist, back and front; side: their shaping, cm."""
    d.given(
        "side shaping", side, source="the side's share of hip less waist", because="both sides lean alike"
    )
    d.go("side waist level back", "side hip", "up", rules.depth, source="waist to hip")
    d.go("back side waist level", "side waist level back", "left", "side shaping")
    d.go("front side waist level", "side waist level back", "right", "side shaping")
    way, why = "up", "over the hip bone the waist sits higher than at the centre"
    if rules.side_rise < 0:
        way, why = "down", "the side leans out, and the waist stands square on it"
    for part in ("back", "front"):
        d.go(f"{part} side waist", f"{part} side waist level", way, abs(rules.side_rise), because=why)


def _check(body: Body, length: float, hip_ease: float, waist_ease: float) -> None:
    if not body.waist_to_hip + 5 <= length <= 130:
        raise ValueAtFault(
            "length",
            length,
            f"must lie between {body.waist_to_hip + 5:.0f} and 130 cm",
            "The hem lies below the hip line; measure from the waist.",
        )
    for name, ease, most in (("hip_ease", hip_ease, 45), ("waist_ease", waist_ease, 30)):
        if not 0 <= ease <= most:
            raise ValueAtFault(
                name, ease, f"must lie between 0 and {most} cm", "It is the ease all round the body."
            )
    gap = body.hip_girth - body.waist_girth
    if not -30 <= gap <= 60:
        raise ValueAtFault(
            "hip_girth",
            body.hip_girth,
            f"does not go with a waist of {body.waist_girth:g} cm",
            "Measure both again: the hip at its fullest, the waist at its narrowest.",
        )


def _share_out(shaping: float, given) -> tuple[float, dict[str, float]]:
    """(side shaping of each quarter, dart mouths of 'back' and 'front'), cm; given: the darts asked for."""
    taken = {part: sum(w or 0.0 for w in widths(darts)) for part, darts in given.items() if darts is not None}
    free = [part for part, darts in given.items() if darts is None or None in widths(darts)]
    left = shaping - sum(taken.values())
    side = min(max(SIDE_SHARE * shaping, SIDE_LEAST), SIDE_MOST)
    asked = any(given[part] is not None for part in free)  # a width of None is a dart that is wanted
    if not free or (left - 2 * side < 1.2 and not asked):  # too little for darts
        return left / 2, {"back": 0.0, "front": 0.0} | taken
    darts = left - 2 * side
    shares = {"back": BACK_SHARE, "front": 1 - BACK_SHARE} if len(free) == 2 else {free[0]: 1.0}
    return side, {part: taken.get(part, 0.0) + darts * shares.get(part, 0.0) for part in given}


def _quarter(d: Drafting, part: str, centre: str, way: str, darts, waist: float, as_given: bool) -> None:
    """Side curve, waist curve and darts of one quarter.

    waist: of this quarter with its darts closed, cm; as_given: the mouths are the widths of the darts; else
    the darts take up what the curve is too long.
    """
    _write_side_and_waist(d, part, centre, way)
    if darts:
        write_darts(d, part, darts, waist, as_given)


def _write_side_and_waist(d: Drafting, part: str, centre: str, way: str) -> None:
    back = part == "back"
    d.curve(
        f"{part} hip curve",
        ["side hip", f"{part} side waist"],
        start="up",
        style="block",
        because="the side runs straight into the hip curve",
    )
    d.add(
        f"{part} waist at the side, angle",
        "angle",
        (f"{part} hip curve",),
        -90.0 if back else 90.0,
        at="end",
        because="the waist meets the side at a right angle",
    )
    d.curve(
        f"{part} waist",
        [centre, f"{part} side waist"],
        start=way,
        end=f"{part} waist at the side, angle",
        style="block",
    )
    d.length(f"{part} waist as drawn", f"{part} waist")

"""The straight skirt block, back and front side by side: centre back on the left, centre front on the right.

The bookkeeping of every skirt, on the half pattern, holds exactly:

    (hip/2 + ease) - (waist/2 + ease) = side shaping, back and front + all dart mouths
"""

from __future__ import annotations

from dataclasses import dataclass

from ..body import Body, as_body
from ..draft import Draft, Drafting
from ..errors import ValueAtFault
from ..units import Length, read_length, read_lengths


@dataclass(frozen=True)
class SkirtDart:
    """A waist dart: width of the mouth (cm; None: what is left over), length (cm), place on the waist.

    place: share of the way along the waist from the centre to the side, 0 to 1.
    """

    width: float | None
    length: float
    place: float


SIDE_SHARE, SIDE_LEAST, SIDE_MOST = 0.22, 1.0, 4.5
"""Side shaping of one quarter: its share of the half pattern's shaping and its bounds, cm.
A fitted side takes about 1.5 to 3 cm, darts the rest: common practice, no source."""

BACK_SHARE = 0.6
"""The back darts' share of all dart mouths: common practice, no source."""

WIDE_DART = 3.2
"""cm; a wider mouth is shared between two darts: common practice, no source."""


def skirt_block(
    body: Body | str,
    *,
    length: Length = 60.0,
    hip_ease: Length = 5.0,
    waist_ease: Length = 2.4,
    back_wider: Length = 0.0,
    waist_drop: Length = 1.0,
    side_rise: Length | None = None,
    back_darts: tuple[SkirtDart, ...] | None = None,
    front_darts: tuple[SkirtDart, ...] | None = None,
    one_dart: bool = False,
) -> Draft:
    """Draft the straight skirt block of a body.

    length: waist to hem; hip_ease, waist_ease: in all round the body [WikiEducator, Handout for drafting
    skirt block: 5 and 2.4]; back_wider: how much wider than the plain quarter the back is at the hip;
    waist_drop: lowering at centre back; side_rise: raising at the side, None: 1.25 and more
    where the side leans in by more than 3; all cm.
    back_darts, front_darts: None shares the shaping out; a tuple sets mouths, lengths and places.
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
    side, back_total, front_total = _share_out(shaping, back_darts, front_darts)
    back_hip = (hip + hip_ease) / 4 + back_wider
    front_hip = (hip + hip_ease) / 2 - back_hip
    depth = body.waist_to_hip
    b_darts = back_darts if back_darts is not None else _back_darts(back_total, depth, one_dart)
    f_darts = front_darts if front_darts is not None else _front_darts(front_total, depth, one_dart)

    if side_rise is None:
        side_rise = 1.25 + 0.6 * max(0.0, side - 3)
    rules = (length, back_hip, front_hip, depth, waist_drop, side_rise, back_wider)
    block = _write(rules, side, front_total, b_darts, f_darts, (waist + waist_ease) / 2)
    if not (b_darts and f_darts):  # no dart takes up what the curves are too long: the side does
        for _ in range(20):
            over = block["back waist"].length + block["front waist"].length - (waist + waist_ease) / 2
            if abs(over) < 1e-9:
                break
            side += over / 2
            block = _write(rules, side, front_total, b_darts, f_darts, (waist + waist_ease) / 2)
    return block


def _write(rules, side, front_total, b_darts, f_darts, half_waist) -> Draft:
    length, back_hip, front_hip, depth, waist_drop, side_rise, back_wider = rules
    front_waist = front_hip - side - front_total  # with its darts closed, so that both sides lean alike
    d = Drafting("straight skirt block")
    d.start("waist at centre back", because="the block starts with the natural waist level")
    d.go(
        "centre back hip",
        "waist at centre back",
        "down",
        depth,
        source="waist to hip",
        because="the hip line lies at the fullest part of the hip",
    )
    d.go("centre back hem", "waist at centre back", "down", length, source="skirt length")
    d.go(
        "side hip",
        "centre back hip",
        "right",
        back_hip,
        source="hip/4 + a quarter of the hip ease" + (f" + {back_wider:g}" if back_wider else ""),
        because="this is where the side seam crosses the hip line",
    )
    d.go(
        "centre front hip",
        "side hip",
        "right",
        front_hip,
        source="hip/4 + a quarter of the hip ease" + (f" - {back_wider:g}" if back_wider else ""),
    )
    d.add("side hem", "level", ("centre back hem", "side hip"))
    d.add("centre front hem", "level", ("centre back hem", "centre front hip"))
    d.add("waist at centre front", "level", ("waist at centre back", "centre front hip"))
    d.go(
        "centre back waist",
        "waist at centre back",
        "down",
        waist_drop,
        because="the back waist dips at the spine",
    )
    d.line("hip line", "centre back hip", "centre front hip")
    d.line("centre back", "centre back hem", "centre back waist", style="block")
    d.line("centre front", "waist at centre front", "centre front hem", style="block")
    d.line("side below the hip", "side hip", "side hem", style="block")
    d.line("back hem", "centre back hem", "side hem", style="block")
    d.line("front hem", "side hem", "centre front hem", style="block")
    d.given(
        "side shaping", side, source="the side's share of hip less waist", because="both sides lean alike"
    )
    d.go("side waist level back", "side hip", "up", depth, source="waist to hip")
    d.go("back side waist level", "side waist level back", "left", "side shaping")
    d.go("front side waist level", "side waist level back", "right", "side shaping")
    d.go(
        "back side waist",
        "back side waist level",
        "up",
        side_rise,
        because="over the hip bone the waist sits higher than at the centre",
    )
    d.go("front side waist", "front side waist level", "up", side_rise)
    _quarter(d, "back", "centre back waist", "right", b_darts, half_waist - front_waist)
    _quarter(d, "front", "waist at centre front", "left", f_darts, front_waist)
    return d.finish()


def _check(body: Body, length: float, hip_ease: float, waist_ease: float) -> None:
    if not body.waist_to_hip + 5 <= length <= 130:
        raise ValueAtFault(
            "length",
            length,
            f"must lie between {body.waist_to_hip + 5:.0f} and 130 cm",
            "The hem lies below the hip line; measure from the waist.",
        )
    for name, ease in (("hip_ease", hip_ease), ("waist_ease", waist_ease)):
        if not 0 <= ease <= 30:
            raise ValueAtFault(
                name, ease, "must lie between 0 and 30 cm", "It is the ease all round the body."
            )
    gap = body.hip_girth - body.waist_girth
    if not -30 <= gap <= 60:
        raise ValueAtFault(
            "hip_girth",
            body.hip_girth,
            f"does not go with a waist of {body.waist_girth:g} cm",
            "Measure both again: the hip at its fullest, the waist at its narrowest.",
        )


def _share_out(shaping: float, back, front) -> tuple[float, float, float]:
    """(side shaping of each quarter, back dart mouths, front dart mouths), cm."""
    given = [sum(dart.width or 0.0 for dart in darts) for darts in (back, front) if darts is not None]
    if len(given) == 2:
        return (shaping - sum(given)) / 2, given[0], given[1]
    side = min(max(SIDE_SHARE * shaping, SIDE_LEAST), SIDE_MOST)
    if shaping - 2 * side < 1.2:  # too little for darts
        return shaping / 2, 0.0, 0.0
    darts = shaping - 2 * side
    return side, darts * BACK_SHARE, darts * (1 - BACK_SHARE)


def _back_darts(total: float, depth: float, one: bool) -> tuple[SkirtDart, ...]:
    most = depth - 4
    if total <= 0:
        return ()
    if one or total <= WIDE_DART:
        return (SkirtDart(total, min(13.0, most), 0.5),)
    return (
        SkirtDart(total / 2, min(14.0, most), 1 / 3),
        SkirtDart(total / 2, min(12.5, most), 2 / 3),
    )


def _front_darts(total: float, depth: float, one: bool) -> tuple[SkirtDart, ...]:
    most = depth - 5
    if total <= 0:
        return ()
    if one or total <= WIDE_DART:
        return (SkirtDart(total, min(10.0, most), 0.5),)
    return (
        SkirtDart(total / 2, min(10.0, most), 0.45),
        SkirtDart(total / 2, min(9.0, most), 0.75),
    )


def _quarter(d: Drafting, part: str, centre: str, way: str, darts, waist: float) -> None:
    """Side curve, waist curve and darts of one quarter; the darts take up what the curve is too long."""
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
    if not darts:
        return
    d.sum(
        f"{part} dart mouths",
        {f"{part} waist as drawn": 1.0},
        -waist,
        source=f"{part} waist as drawn less {waist:.1f}, the {part} quarter of waist and ease",
        because="the darts take up all the waist curve is too long",
    )
    whole = sum(dart.width for dart in darts)
    for k, dart in enumerate(darts, 1):
        name = f"{part} dart" if len(darts) == 1 else f"{part} dart {k}"
        share = dart.width / whole
        if len(darts) == 1:
            mouth = f"{part} dart mouths"
        else:
            mouth = f"{name} mouth"
            d.sum(mouth, {f"{part} dart mouths": share}, source=f"{share:.2g} of the {part} dart mouths")
        d.sum(
            f"{name}, first leg at",
            {f"{part} waist as drawn": dart.place, mouth: -0.5},
            source=f"{dart.place:.2f} of the {part} waist less half the mouth",
        )
        d.sum(
            f"{name}, second leg at", {f"{name}, first leg at": 1.0, mouth: 1.0}, source="first leg + mouth"
        )
        d.on(f"{name} leg", f"{part} waist", f"{name}, first leg at")
        d.on(f"{name} leg 2", f"{part} waist", f"{name}, second leg at")
        d.add(
            f"{name} point",
            "dart point",
            (f"{name} leg", f"{name} leg 2", "waist at centre back"),
            dart.length,
            because="square from the middle of the mouth both legs come out equal",
        )
        d.line(f"{name}, leg nearer the centre", f"{name} leg", f"{name} point", style="block")
        d.line(f"{name}, leg nearer the side", f"{name} leg 2", f"{name} point", style="block")

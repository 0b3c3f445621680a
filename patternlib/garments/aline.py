"""An A-line quarter from the straight skirt block: the waist dart closed into flare at the hem.

The dart is closed about a point on the hip line, so that closing it adds nothing there: the ease that the
block has round the hip is the ease of the garment. (A pin above the hip line opens the hem further, but adds
5 to 13 cm round the hip as well.) What the dart does not give is added at the side seam, below the hip. Back
and front then flare alike and hang alike.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from ..blocks.skirt import WAIST_DROP
from ..body import Body
from ..draft import Draft, Drafting
from ..errors import ValueAtFault
from ..geometry import Move, Point
from .eye import SEEN, turnings


def share_flare(mouths: tuple[float, float], length: float, hip: float, wanted: float) -> tuple[float, float]:
    """Leans of the side of back and front (degrees) for a wanted flare (cm at the hem, a quarter), alike.

    A wide dart may open the hem further than wanted; both quarters then take the larger flare.
    """
    opened = [mouth * (length - hip) / hip for mouth in mouths]
    flare = max(wanted, *opened)
    back, front = (math.degrees(math.atan2(flare - o, length - hip)) for o in opened)
    return back, front


STEEPEST = 40.0
"""degrees; a side that leans out more no longer hangs as an A-line: its hem drops at the side and the cloth
stands off (common practice, no source)."""
FLARE = 0.7
"""Flare for each cm from hip to hem, at most: the tangent of 35 degrees, some way under STEEPEST."""


def refuse_lean(plan: Draft | Drafting, flare: float) -> None:
    """Refuse a side that leans out too much; plan: with a quarter drawn by `write_quarter`."""
    way = plan["side line"].start_direction
    lean = math.degrees(math.atan2(abs(way.x), way.y))
    if lean > STEEPEST:
        raise ValueAtFault(
            "flare",
            flare,
            f"makes the side lean {lean:.0f} degrees, more than {STEEPEST:.0f}, on this length",
        )


FLARE_STRAIGHT, FLARE_FROM = 0.6, 12.0
"""To start with: the share of the usual flare where the hips are no larger than the waist, and how much
larger they are, cm, where the whole is taken (common practice, no source)."""
AT_WAIST = 2.0
"""degrees that a side leans in at the waist, at least: beside a side that stands upright or leans out there,
a waist that rises to the side bends both ways (common practice, no source)."""
FRONT_SHARE, STEEP_FROM, STEEP_MORE = 0.865, 0.33, 0.8
"""How far the front's side leans in between waist and hip, against back and front in the middle: the back has
the wider dart. From so much flare for each cm from hip to hem a side must lean in more, by this share for
each further cm (all fitted to drafts of simulated bodies)."""
HIP_EASE, HIP_EASE_MOST = (3.0, 20.0), 45.0
"""cm; least and most ease round the hip; a figure whose waist is wider than its hip takes more, so as to hang
straight from the waist (common practice, no source)."""


def flare_for(usual: float, body: Body) -> float:
    """The flare to start with, cm: less on a straight figure, or the side would be hollow at the hip."""
    share = min(max((body.hip_girth - body.waist_girth) / FLARE_FROM, 0.0), 1.0)
    return usual * (FLARE_STRAIGHT + (1 - FLARE_STRAIGHT) * share)


def hip_ease_for(body: Body, v: Mapping[str, float]) -> float:
    """The least ease round the hip, cm, with which the side hangs from the waist without a hollow.

    Between waist and hip the side must lean in half as much as below the hip, and a little more. v: skirt
    length, flare and waist ease. As far as the girths tell; `refuse_waist` looks at the drafted lines.
    """
    each_cm = v["flare"] / max(v["skirt_length"] - body.waist_to_hip, 1.0)
    lean, more = math.atan(each_cm), 1 + STEEP_MORE * max(each_cm - STEEP_FROM, 0.0)
    inward = body.waist_to_hip * math.tan((lean / 2 + math.radians(AT_WAIST)) / FRONT_SHARE)
    return body.waist_girth + v["waist_ease"] + 4 * more * inward - body.hip_girth


def hip_ease_range(body: Body, v: Mapping[str, float]) -> tuple[float, float]:
    """(lowest, highest) ease round the hip of an A-line for a body and style values, cm."""
    low = max(hip_ease_for(body, v), HIP_EASE[0])
    return low, max(HIP_EASE[1], low + HIP_EASE[0])


def refuse_waist(plan: Draft | Drafting, hip_ease: float) -> None:
    """Refuse a waist that bends both ways; plan: with a quarter drawn by `write_quarter`."""
    back = min(turnings(plan["waistline"]))
    if back > SEEN:
        raise ValueAtFault(
            "hip_ease",
            hip_ease,
            f"makes the sides hollow and the waist bend both ways, {back:.0f} degrees back, on these girths",
        )


def bodice_shift(skirt: Draft, bodice: Draft, part: str) -> Move:
    """How the 'back' or 'front' of the bodice block is laid on the plan: waist on waist, centre on x = 0.

    Where the waist of a block has been raised or lowered at the centre, the bodice goes with it.
    """
    if part == "back":
        up = skirt["centre back waist"].y + WAIST_DROP - bodice["waist at centre back"].y
        return Move.shift(0, up)
    return Move.shift(-bodice["waist at centre front"].x, skirt["waist at centre front"].y)


def dart_mouth(block: Draft, part: str) -> float:
    name = f"{part} dart mouths"
    return block[name] if name in block else 0.0  # noqa: SIM401 (a draft is no dict)


def write_quarter(d: Drafting, block: Draft, part: str, lean: float, *, below_hip: float | str) -> None:
    """Trace one quarter of the block, close its dart about the pin, redraw waist, side and hem.

    part: 'back' or 'front'; lean: of the side below the hip beyond what the dart gives, degrees; below_hip:
    length of the side from hip to hem, or the step that gives it.
    Gives the steps 'waistline' (centre to side), 'side' (hem to waist) and 'hemline' (centre to side);
    the centre lies on x = 0, the body to the right of it for the back and to the left for the front.
    """
    sign, out = (1, "right") if part == "back" else (-1, "left")
    _trace_block(d, block, part)
    _write_pin(d, block, part)
    _write_closing(d, block, part, sign, lean)
    _write_waist(d, sign, out)
    _write_side_below_hip(d, below_hip)
    _write_hem(d, sign, out)


def _trace_block(d: Drafting, block: Draft, part: str) -> None:
    """Trace the lines of one quarter, its centre laid on x = 0."""
    shift = Move() if part == "back" else Move.shift(-block["waist at centre front"].x, 0)
    centre = "centre back waist" if part == "back" else "waist at centre front"
    of = f"the skirt block, {part}"

    def trace(name: str, source: str) -> None:
        value = block[source]
        d.trace(name, shift(value) if isinstance(value, Point) else value.moved(shift), of)

    trace("centre waist", centre)
    trace("block waist", f"{part} waist")
    trace("block hip curve", f"{part} hip curve")
    trace("block side waist", f"{part} side waist")
    trace("block side hip", "side hip")
    trace("centre hem", f"centre {part} hem")
    trace("block side line", "side below the hip")
    trace("block hem", f"{part} hem")
    if dart_mouth(block, part):
        trace("dart leg", f"{part} dart leg")
        trace("dart leg 2", f"{part} dart leg 2")
        trace("dart point", f"{part} dart point")
        trace("block dart, centre leg", f"{part} dart, leg nearer the centre")
        trace("block dart, side leg", f"{part} dart, leg nearer the side")


def _write_pin(d: Drafting, block: Draft, part: str) -> None:
    """The pin on the hip line about which the paper is turned, below the dart or the waist's middle."""
    if dart_mouth(block, part):
        d.add("dart mouth", "middle", ("dart leg", "dart leg 2"))
        d.along(
            "pin",
            "dart mouth",
            "dart point",
            d["dart mouth"].y - d["block side hip"].y,
            source="down to the hip line",
            because="a dart closed about the hip line opens the hem and adds nothing at the hip",
        )
    else:
        d.on("dart mouth", "block waist", block[f"{part} waist"].length / 2)
        d.go(
            "pin",
            "dart mouth",
            "down",
            d["dart mouth"].y - d["block side hip"].y,
            source="down to the hip line",
            because="the paper is turned very little about this point",
        )


def _write_closing(d: Drafting, block: Draft, part: str, sign: int, lean: float) -> None:
    """Turn the side about the pin, so that waist and flare are as asked, and draw its hip curve."""
    mouth = dart_mouth(block, part)
    depth = d["dart mouth"].distance(d["pin"])
    first = sign * math.degrees(2 * math.asin(min(mouth / 2 / depth, 0.9)))
    d.add(
        "closing angle",
        "closing angle",
        ("centre waist", "block side waist", "block side hip", "pin"),
        block[f"{part} waist"].length - mouth,
        first=first,
        lean=sign * lean,
        source=f"the {part} quarter of waist and ease",
    )
    d.add("side hip", "turn", ("block side hip", "pin"), "closing angle")
    d.add("side waist", "turn", ("block side waist", "pin"), "closing angle")
    lean = sign * lean
    d.sum(
        "side line, angle",
        {"closing angle": 1.0},
        90 + lean,
        source="upright + closing angle" + (f" {lean:+.1f}°" if abs(lean) > 0.05 else ""),
        because="back and front must flare alike",
    )
    d.curve(
        "hip curve",
        ["side hip", "side waist"],
        start="side line, angle",
        because="the side runs straight into the hip curve",
    )


def _write_waist(d: Drafting, sign: int, out: str) -> None:
    d.add("waist end, angle", "angle", ("hip curve",), -90.0 * sign, at="end")
    d.curve(
        "waistline",
        ["centre waist", "side waist"],
        start=out,
        end="waist end, angle",
        style="style line",
        because="a waist stands square on the centre and on the side",
    )


def _write_side_below_hip(d: Drafting, below_hip: float | str) -> None:
    """The side from the hip to the hem, and the whole side; below_hip as in `write_quarter`."""
    d.sum("down the side, angle", {"side line, angle": 1.0}, 180.0, source="side line turned about")
    if below_hip == "carried over":
        d.length("hip curve as drawn", "hip curve")
        d.sum(
            "below the hip",
            {"whole side": 1.0, "hip curve as drawn": -1.0},
            source="whole side less the hip curve",
            because="both sides of the side seam are equally long",
        )
        below_hip = "below the hip"
    d.go("side hem", "side hip", "down the side, angle", below_hip)
    d.line("side line", "side hem", "side hip")
    d.add("side", "joined", ("side line", "hip curve"), style="style line")


def _write_hem(d: Drafting, sign: int, out: str) -> None:
    """The hem, and the centre down to it."""
    d.sum("hem end, angle", {"side line, angle": 1.0}, -90.0 * sign, source="square to the side line")
    d.curve(
        "hemline",
        ["centre hem", "side hem"],
        start=out,
        end="hem end, angle",
        style="style line",
        because="a hem stands square on the centre and on the side, or it shows a corner when sewn",
    )
    d.line("centre", "centre hem", "centre waist", style="style line")

"""Straps that adjust: a loop on the bib holds a ring, the strap runs through it and back up to a slide.

The strap's end is sewn round the middle bar of the slide. Moved up, the slide shortens the strap, moved down
to the ring it lengthens it. No end hangs loose where a wheel could catch it.

On the way from the seat on the yoke over the shoulder to the bib's top, loop and ring take up the last part.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from ..blocks.bodice import SHOULDER_ROOM
from ..blocks.skirt import WAIST_DROP
from ..body import Body
from ..checking import Finding
from ..draft import Draft, Drafting
from ..geometry import Point, line
from ..pieces import Edge, Grain, Mark, Notch, Piece
from .marking import SEAM, TURNED

SLIDE = 2.5
"""cm above the ring that the slide needs when it is pushed down to it (common practice, no source)."""
CLEAR = 1.0
"""cm that the slide stays in front of the shoulder (common practice, no source)."""
SLIDE_END = 3.0
"""cm turned round the slide's bar: 1 folded under, 2 stitched down (common practice, no source)."""
LEAST = 1.0
"""cm that a strap must let out and take in at least: a jumper more or less (common practice, no source)."""
NECK_SHARE, NECK_DEPTH, NAPE_RISE = 5.5, 0.6, 2.0
"""A neck's width and depth as its girth / 5.5, the depth 0.6 cm more [neck/6 to neck/5: Baldt 1916; Ingalls
1911; Rosenfeld 1911]; cm from the nape up to the side neck point (common practice, no source)."""


def write_strap_length(d: Drafting, style: Mapping[str, float]) -> None:
    """What loop and ring take up of the way, where the ring lies, and where the slide's bar is sewn in."""
    d.add("strap middle", "middle", ("strap outer point", "strap point"))
    d.length("strap's way", "strap straight side")
    d.sum(
        "strap, worn",
        {"strap's way": 1.0},
        -style["loop"] - style["ring"],
        source="the strap's way less loop and ring",
        because="loop and ring stand between the bib and the strap",
    )
    d.along("ring", "strap point", "strap end", "strap, worn", because="here the strap turns back")
    d.sum(
        "strap, sewn",
        {"strap, worn": 1.0},
        style["turn_back"],
        source="the strap as worn + what runs back up to the slide",
    )
    d.along("slide bar", "strap point", "strap end", "strap, sewn", because="the end is sewn round this bar")
    d.go(
        "slide bar outside",
        "slide bar",
        "strap across, angle",
        style["fitting"] - style["cloth_thickness"],
        source="fitting less the thickness of the cloth",
    )


def path_as_drafted(back: Draft, style: Mapping[str, float]) -> float:
    """From the waist below a strap's seat up the back, over the shoulder, down the bib to the waist, cm.

    It is held against the strap path that was measured on the body.
    """
    return back["strap middle"].y + back["strap straight side"].length + style["bib_height"]


@dataclass(frozen=True)
class StrapFit:
    """Lengths from the yoke's seat to the ring, cm: as drafted, and what the slide allows.

    way: from the seat to the bib's top; before: from the ring to the shoulder; asked: what the body's own
    measures ask for, calculated without the draft.
    """

    way: float
    before: float
    worn: float
    shortest: float
    longest: float
    asked: float


def strap_fit(body: Body, back: Draft, style: Mapping[str, float]) -> StrapFit:
    """How the straps fit and adjust. See `StrapFit`."""
    side = back["strap straight side"]
    crossed = side.meets(back["back shoulder"])
    worn, end = back["strap, worn"], style["turn_back"]
    behind = crossed[0] if crossed else 0.7 * side.length
    before = worn - behind
    # taken in by x, the ring stands x nearer the shoulder and the slide x farther from the ring
    shorter = max((before - end - CLEAR) / 2, 0.0)
    seat = back["strap middle"] - Point(0, back["centre waist"].y + WAIST_DROP)
    asked = body_way(body, seat, style) - style["loop"] - style["ring"]
    return StrapFit(side.length, before, worn, worn - shorter, worn + max(end - SLIDE, 0.0), asked)


def body_way(body: Body, seat: Point, style: Mapping[str, float]) -> float:
    """The shortest way over the shoulder from a strap's seat to the bib's top, cm, by the measures."""
    return sum(ways_over(body, seat, style))


def ways_over(body: Body, seat: Point, style: Mapping[str, float]) -> tuple[float, float]:
    """(from a strap's seat to the shoulder, from there to the bib's top) by the shortest way over it, cm.

    seat: the middle of the seat, right of the centre back and above the waist. Front and back are laid flat
    on both sides of the shoulder; neck and shoulder as in the figures named in this module.
    """
    neck = body.neck_girth / NECK_SHARE
    back_neck = Point(neck, body.back_waist_length + NAPE_RISE)
    front_neck = Point(neck, body.front_waist_length + neck + NECK_DEPTH)
    fall = min(max((body.shoulder_drop - SHOULDER_ROOM) / body.shoulder_length, 0.0), 0.6)
    down = Point(math.sqrt(1 - fall**2), -fall)
    width = style["fitting"] - style["cloth_thickness"]
    bib = Point(style["bib_top"] / 2 - INSET - width / 2, style["bib_height"])
    places = (body.shoulder_length * k / 40 for k in range(41))
    ways = ((seat.distance(back_neck + down * at), bib.distance(front_neck + down * at)) for at in places)
    return min(ways, key=sum)


INSET = 0.3
"""cm from the bib's corner to the strap: the loop stays clear of the seam beside it (common practice, no
source)."""


def strap_piece(d: Draft, upright) -> Piece:
    """The strap with the places where the ring lies when it is worn long, as drafted, and short."""
    end = line(d["slide bar outside"], d["slide bar"])
    curved = d["strap taper"].joined(line(d["taper end"], d["slide bar outside"]))
    return Piece(
        "strap",
        (
            Edge("straight side", line(d["slide bar"], d["strap point"]).moved(upright), TURNED, "hem"),
            Edge("base", d["strap seat"].reversed().moved(upright), TURNED),
            Edge("curved side", curved.moved(upright), TURNED, "hem"),
            Edge("end", end.moved(upright), SLIDE_END, "fold-back"),
        ),
        cut=2,
        pair=True,
    )


def with_range(strap: Piece, fit: StrapFit) -> Piece:
    """The strap with a line across it where it lies in the ring: as drafted, at its longest, its shortest."""
    width = strap.edge("end").curve.length
    foot = strap.edge("base").curve.start
    marks = tuple(
        Mark(f"ring, {name}", line(foot + Point(0, up), foot + Point(width, up)), "fold")
        for name, up in (("longest", fit.longest), ("as drafted", fit.worn), ("shortest", fit.shortest))
    )
    return strap.replace(marks=marks)


def loop_piece(style: Mapping[str, float]) -> Piece:
    """One strip for both loops, hemmed first and then cut across where it is notched.

    A loop is folded round its ring's bar, both ends are caught in the bib's top.
    """
    width, length = style["fitting"] - style["cloth_thickness"], 4 * style["loop"] + 2 * SEAM
    c = [Point(0, 0), Point(width, 0), Point(width, length), Point(0, length)]
    low, right, top, left = (line(p, q) for p, q in zip(c, c[1:] + c[:1], strict=True))
    return Piece(
        "strap loop",
        (
            Edge("lower end", low, SEAM),
            Edge("side", right, TURNED, "hem"),
            Edge("upper end", top, SEAM),
            Edge("other side", left, TURNED, "hem"),
        ),
        notches=(Notch("side", length / 2), Notch("other side", length / 2)),
        grain=Grain(Point(0.3, 0.2), Point(0.3, length - 0.2)),
    )


def loop_place(d: Draft, style: Mapping[str, float]) -> Mark:
    """The loop as it is tacked on the bib, hanging down from the top's seam line."""
    width, corner = style["fitting"] - style["cloth_thickness"], d["bib corner"]
    outer, inner = corner + Point(INSET, 0), corner + Point(INSET + width, 0)
    low = Point(0, -style["loop"])
    c = [outer, outer + low, inner + low, inner]
    first, *rest = (line(p, q) for p, q in pairwise(c))
    return Mark("strap loop", first.joined(*rest))


def strap_findings(fit: StrapFit, style: Mapping[str, float]) -> Iterator[Finding]:
    """Straps that let out or take in too little, or whose range misses the body's way over the shoulder."""
    out, in_ = fit.longest - fit.worn, fit.worn - fit.shortest
    if min(out, in_) < LEAST - 1e-6:
        text = f"the strap lets out {out:.1f} cm and takes in {in_:.1f} cm, which is little: "
        yield Finding(752, "warning", "strap", min(out, in_), LEAST, 0.0, text + _mend(fit, style) + ".")
    if not fit.shortest - 1e-6 <= fit.asked <= fit.longest + 1e-6:
        text = (
            f"the way over the shoulder asks for a strap of {fit.asked:.1f} cm, this one goes from "
            f"{fit.shortest:.1f} to {fit.longest:.1f} cm: "
        )
        yield Finding(753, "warning", "strap", fit.worn, fit.asked, 0.0, text + _mend(fit, style) + ".")


def _mend(fit: StrapFit, style: Mapping[str, float]) -> str:
    """What to take so that the strap lets out and takes in enough, and reaches over the shoulder."""
    low = SLIDE + max(LEAST, fit.asked - fit.worn)
    high = fit.before - CLEAR - 2 * max(LEAST, fit.worn - fit.asked)
    lower = 0.0
    if _half(high, down=True) < _half(low, up=True):  # a lower bib leaves more strap in front of the shoulder
        lower = _half(low - high + 0.5, up=True)
        high += lower
    wanted = min(max(style["turn_back"], _half(low, up=True)), _half(high, down=True))
    changes = [f"bib_height {_half(style['bib_height'], down=True) - lower:g} cm"] if lower else []
    if abs(wanted - style["turn_back"]) > 1e-6:
        changes.append(f"turn_back {_half(wanted):g} cm")
    return "take " + " and ".join(changes)


def _half(cm: float, *, down: bool = False, up: bool = False) -> float:
    way = math.floor(2 * cm + 1e-6) if down else math.ceil(2 * cm - 1e-6) if up else round(2 * cm)
    return way / 2


TAKE_IN = 1.25
"""cm that a strap takes in to start with: a jumper, and what the way over the shoulder is shorter than the
draft's (common practice, no source)."""


def turn_back_range(body: Body, style: Mapping[str, float]) -> tuple[float, float]:
    """(least, most) of the strap from the ring back up to the slide that lets it out and takes it in, cm."""
    return SLIDE + LEAST, before_for(body, style) - CLEAR - 2 * TAKE_IN


def highest_bib(body: Body, style: Mapping[str, float]) -> float:
    """The height of a bib above which the strap in front of the shoulder is too short for its slide, cm."""
    return style["bib_height"] + before_for(body, style) - SLIDE - LEAST - CLEAR - 2 * TAKE_IN


def before_for(body: Body, style: Mapping[str, float]) -> float:
    """From the ring to the shoulder, cm, as far as the measures tell."""
    middle = (style["fitting"] - style["cloth_thickness"] + style["strap_spread"]) / 2
    seat = Point(style["strap_from_centre"] + middle, style["strap_level"])
    return ways_over(body, seat, style)[1] - style["loop"] - style["ring"]


def strap_facts(fit: StrapFit) -> tuple[str, ...]:
    """The range as sentences for the checks."""
    return (
        f"strap: {fit.worn:.1f} cm from the yoke to the ring as drafted; the slide lets it be "
        f"{fit.shortest:.1f} to {fit.longest:.1f} cm.",
        f"strap: neck, shoulder and waist lengths of the body ask for {fit.asked:.1f} cm over the shoulder.",
    )

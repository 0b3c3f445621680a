"""The front plan of the kiln-room pinafore, and the side lines that back and front share.

The centre front lies on x = 0, the body to its left, the waist level on y = 0. The front gives the back
its levels: the waistband's top, the end of the opening, the length of the side.
"""

from __future__ import annotations

from collections.abc import Mapping

from ...draft import Draft, Drafting
from ...errors import ValueAtFault
from ...tolerances import POINT
from ..aline import bodice_shift, refuse_lean, refuse_waist, write_quarter
from ..closing import write_closing


def front_plan(skirt: Draft, bodice: Draft, style: Mapping[str, float], lean: float) -> Draft:
    """Draw the front: skirt, waistband, bib and its pocket, the opening with its facing and its extension."""
    d = Drafting("front plan of the pinafore")
    write_quarter(d, skirt, "front", lean, below_hip=skirt["side below the hip"].length)
    refuse_lean(d, style["flare"])
    refuse_waist(d, style["hip_ease"])
    d.length("whole side", "side")
    _level(d, "waistband", style["waistband"], "left", -90.0, "front")
    _bib(d, bodice["centre front neck"].y, style)
    write_opening(d, style)
    write_closing(d, style)
    shift = bodice_shift(skirt, bodice, "front")
    d.trace("front neckline", bodice["front neckline"].moved(shift), "the bodice block, front")
    for name in ("front neck point", "shoulder tip, dart closed"):
        d.trace(name, shift(bodice[name]), "the bodice block, front")
    d.line("front shoulder", "front neck point", "shoulder tip, dart closed", style="block")
    return d.finish()


def _level(d: Drafting, name: str, depth: float, way: str, quarter: float, part: str) -> None:
    """A line `depth` below the waist at the centre and, walked, at the side; square to both."""
    d.go(f"{name} at centre {part}", "centre waist", "down", depth, source=f"{name} depth")
    side_level(d, name, depth, way, quarter, part)


def side_level(d: Drafting, name: str, depth: float, way: str, quarter: float, part: str) -> None:
    d.on(
        f"{name} at the side",
        "side",
        depth,
        from_end=True,
        source=f"{name} depth at the side",
        because="it is walked along the side from the waist",
    )
    d.add(f"{name} side part", "part", ("side", f"{name} at the side", "side waist"))
    d.add(
        f"{name} end, angle", "angle", (f"{name} side part",), quarter + 180 * (part == "front"), at="start"
    )
    d.curve(
        f"{name} line",
        [f"{name} at centre {part}", f"{name} at the side"],
        start=way,
        end=f"{name} end, angle",
        style="style line",
        because="it stands square on the centre and on the side",
    )


HOLLOWED = 0.4
"""How much flatter than the ruled line a bib's side leaves the waist, as a share of what this line lacks to
the upright: with less the side looks straight, or bends both ways (no source)."""

BELOW_NECK = 2.0
"""cm that a bib ends below the pit of the neck at least (common practice, no source)."""

BESIDE_POCKET, ABOVE_FOOT = 1.5, 1.0
"""cm of the bib on each side of its pocket and below it, at least (common practice, no source)."""


def refuse_high_bib(height: float, neck: float) -> None:
    """Refuse a bib that ends too near the pit of the neck; neck: the pit above the waist, cm."""
    if height > neck - BELOW_NECK + POINT:
        where = f"{neck - height:.1f} cm below" if height < neck else "above"
        raise ValueAtFault("bib_height", height, f"ends {where} the pit of the neck")


def _bib(d: Drafting, neck: float, style: Mapping[str, float]) -> None:
    """neck: the pit of the neck above the waist, cm."""
    _write_bib(d, neck, style)
    _write_bib_pocket(d, style)
    _check_bib_pocket(d, style)


def _write_bib(d: Drafting, neck: float, style: Mapping[str, float]) -> None:
    half = style["bib_top"] / 2
    refuse_high_bib(style["bib_height"], neck)
    waist = abs(d["side waist"].x)
    if half > waist - 1:
        raise ValueAtFault(
            "bib_top",
            style["bib_top"],
            f"is wider than this bib's foot of {2 * waist:.0f} cm",
        )
    d.go("bib top at centre front", "centre waist", "up", style["bib_height"], source="bib height")
    d.go("bib corner", "bib top at centre front", "left", half, source="half of the bib's top width")
    d.line("bib top", "bib top at centre front", "bib corner", style="style line")
    d.add("side's run, angle", "angle", ("waistband side part",), 0.0, at="end")
    d.add("bib ruled, angle", "angle", ("side waist", "bib corner"))
    d.sum(
        "bib hollow, angle",
        {"bib ruled, angle": 1 + HOLLOWED},
        -90 * HOLLOWED,
        source=f"the ruled line, flatter by {HOLLOWED:g} of what it lacks to the upright",
    )
    d.add(
        "bib foot, angle",
        "smallest",
        ("side's run, angle", "bib hollow, angle"),
        because="run on from a steeper side, the bib's would bend both ways",
    )
    d.curve(
        "bib side",
        ["side waist", "bib corner"],
        start="bib foot, angle",
        end="up",
        style="style line",
        because="it bends one way only and meets the top square",
    )
    d.line("bib centre", "centre waist", "bib top at centre front", style="style line")


def _write_bib_pocket(d: Drafting, style: Mapping[str, float]) -> None:
    d.go(
        "bib pocket top",
        "bib top at centre front",
        "down",
        style["bib_pocket_below_top"],
        source="below the bib's top",
    )
    d.go(
        "bib pocket corner",
        "bib pocket top",
        "left",
        style["bib_pocket_width"] / 2,
        source="half of the pocket's width",
    )
    d.go(
        "bib pocket foot corner",
        "bib pocket corner",
        "down",
        style["bib_pocket_depth"],
        source="pocket depth",
    )
    d.go("bib pocket foot", "bib pocket top", "down", style["bib_pocket_depth"], source="pocket depth")
    d.line("bib pocket opening", "bib pocket top", "bib pocket corner", style="style line")
    d.line("bib pocket side", "bib pocket corner", "bib pocket foot corner", style="style line")
    d.line("bib pocket bottom", "bib pocket foot corner", "bib pocket foot", style="style line")


def _check_bib_pocket(d: Drafting, style: Mapping[str, float]) -> None:
    """Refuse a pocket with too little of the bib beside it or below it."""
    half = style["bib_top"] / 2
    inside = d["bib side"].meets_line(d["bib pocket foot corner"], d["bib pocket foot"])
    edge = abs(d["bib side"].at(inside[0]).x) if inside else half
    room = min(edge, half) - style["bib_pocket_width"] / 2
    if room < BESIDE_POCKET - POINT:
        raise ValueAtFault(
            "bib_pocket_width",
            style["bib_pocket_width"],
            f"leaves {max(room, 0):.1f} cm beside the pocket on this bib",
        )
    low = style["bib_height"] - style["bib_pocket_below_top"] - style["bib_pocket_depth"]
    if low < ABOVE_FOOT - POINT:
        raise ValueAtFault(
            "bib_pocket_depth",
            style["bib_pocket_depth"],
            "brings the pocket too near the foot of the bib",
        )


def write_opening(d: Drafting, style: Mapping[str, float], carried: str = "") -> None:
    """Where the side opening ends, and how far the pieces that close it run on below; on front and back."""
    d.on(
        "opening end",
        "side",
        style["opening"],
        from_end=True,
        source="opening" + carried,
        because="the opening ends level on back and front",
    )
    d.on(
        "run-on end",
        "side",
        style["opening"] + style["extension_run_on"],
        from_end=True,
        source="opening + run-on",
        because="what closes the opening is caught in the side seam below it",
    )
    d.add("opening edge", "part", ("side", "opening end", "side waist"), style="style line")
    d.add("run-on edge", "part", ("side", "run-on end", "opening end"))

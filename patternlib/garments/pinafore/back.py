"""The back plan of the kiln-room pinafore: yoke, upper edge, strap over the shoulder, patch pocket.

The centre back lies on x = 0, the body to its right, the waist level on y = 0. The levels of the side are
carried over from the front.
"""

from __future__ import annotations

from collections.abc import Mapping

from ...draft import Draft, Drafting
from ...errors import ValueAtFault
from ...geometry import Point
from ..aline import bodice_shift, refuse_waist, write_quarter
from ..eye import WAVE, tightest, turnings
from ..straps import INSET, write_strap_length
from .front import side_level, write_opening

JOINED = (
    "front neck point as drafted",
    "shoulder tip, dart closed as drafted",
    "back neck point",
    "back shoulder tip",
)
"""Where the front is laid on the back, so that the shoulders lie on each other."""


def back_plan(skirt: Draft, bodice: Draft, front: Draft, style: Mapping[str, float], lean: float) -> Draft:
    """Draw the back on its blocks, with the levels carried over from the front."""
    d = Drafting("back plan of the pinafore")
    d.given(
        "whole side",
        front["whole side"],
        source="side of the front",
        because="both sides of the side seam are equally long",
    )
    write_quarter(d, skirt, "back", lean, below_hip="carried over")
    refuse_waist(d, style["hip_ease"])
    _yoke_line(d, style)
    write_opening(d, style, ", carried over from the front")
    _shoulder(d, skirt, bodice)
    _strap_and_top(d, front, style)
    _pocket(d, style)
    return d.finish()


def _yoke_line(d: Drafting, style: Mapping[str, float]) -> None:
    d.go(
        "yoke at centre back", "centre waist", "down", style["yoke_depth"], source="yoke depth at centre back"
    )
    side_level(d, "yoke", style["yoke_side_depth"], "right", -90.0, "back")
    if (back := min(turnings(d["yoke line"]))) > WAVE:
        rule = f"makes the yoke's line bend both ways, {back:.0f} degrees back"
        raise ValueAtFault("yoke_side_depth", style["yoke_side_depth"], rule)


def _shoulder(d: Drafting, skirt: Draft, bodice: Draft) -> None:
    """Trace the back bodice, then the front laid at the shoulder seam as if folded open over it."""
    back = bodice_shift(skirt, bodice, "back")
    for name in ("nape", "back neck point", "back shoulder tip"):
        d.trace(name, back(bodice[name]), "the bodice block, back")
    for name in ("back neckline", "back shoulder", "back armhole", "back side"):
        d.trace(name, bodice[name].moved(back), "the bodice block, back")
    shift = bodice_shift(skirt, bodice, "front")
    for name in ("front neck point", "shoulder tip, dart closed", "centre front neck"):
        d.trace(f"{name} as drafted", shift(bodice[name]), "the bodice block, front", style="aside")
    d.trace(
        "front neckline as drafted",
        bodice["front neckline"].moved(shift),
        "the bodice block, front",
        style="aside",
    )
    d.add(
        "front neckline, joined",
        "lay",
        ("front neckline as drafted", *JOINED),
        style="block",
        because="the strap is drawn over the shoulder in one line",
    )
    d.add("centre front neck, joined", "lay", ("centre front neck as drafted", *JOINED))


def _strap_and_top(d: Drafting, front: Draft, style: Mapping[str, float]) -> None:
    width = style["fitting"] - style["cloth_thickness"]
    _write_strap_end(d, front, width)
    _write_strap_line(d, style, width)
    _write_strap_side(d, width)
    write_strap_length(d, style)
    _write_top_edges(d)
    _check_top(d, style)


def _write_strap_end(d: Drafting, front: Draft, width: float) -> None:
    """Where the strap meets the bib's top once the shoulders are joined; width: of the strap, cm."""
    corner = front["bib corner"]
    d.trace("bib corner as drafted", corner, "the front plan", style="aside")
    d.trace(
        "strap end as drafted",
        corner + Point(width + INSET, 0),
        "the front plan, a strap's width and a little inside the corner",
        style="aside",
    )
    d.add("bib corner, joined", "lay", ("bib corner as drafted", *JOINED))
    d.add("strap end", "lay", ("strap end as drafted", *JOINED), because="here the strap meets the bib's top")


def _write_strap_line(d: Drafting, style: Mapping[str, float], width: float) -> None:
    """The top at the centre back, and the strap's straight side on its seat."""
    d.go("centre back top", "centre waist", "up", style["back_rise"], source="back rise")
    d.line("centre above the waist", "centre waist", "centre back top", style="style line")
    d.go("strap level", "centre waist", "up", style["strap_level"], source="level of the strap")
    d.go(
        "strap point",
        "strap level",
        "right",
        style["strap_from_centre"],
        source="strap from the centre",
        because="the strap's straight side starts here",
    )
    d.line(
        "strap straight side",
        "strap point",
        "strap end",
        style="style line",
        because="a straight side keeps the strap on the grain",
    )
    d.add("strap, angle", "angle", ("strap straight side",), at="start")
    d.sum("strap across, angle", {"strap, angle": 1.0}, -90.0, source="square to the strap, toward the side")
    d.sum("strap back, angle", {"strap, angle": 1.0}, 180.0, source="the strap's line turned about")
    d.go(
        "strap outer point",
        "strap point",
        "strap across, angle",
        width + style["strap_spread"],
        source="strap's width + spread at the base",
    )
    d.line(
        "strap seat",
        "strap outer point",
        "strap point",
        style="style line",
        because="a seat square to the strap lets both its edges run on smoothly",
    )


def _write_strap_side(d: Drafting, width: float) -> None:
    """The strap's other side: tapered from the seat, then parallel to the straight side."""
    d.go(
        "strap end outside",
        "strap end",
        "strap across, angle",
        width,
        source="fitting less the thickness of the cloth",
    )
    taper = min(14.0, 0.6 * d["strap straight side"].length)
    d.along(
        "taper on the straight side",
        "strap point",
        "strap end",
        taper,
        source="where the taper ends",
        because="the taper takes 14 cm, or 0.6 of a shorter strap",
    )
    d.go(
        "taper end",
        "taper on the straight side",
        "strap across, angle",
        width,
        source="fitting less the thickness of the cloth",
    )
    d.curve("strap taper", ["strap outer point", "taper end"], start="strap, angle", end="strap, angle")
    d.line("strap outer line", "taper end", "strap end outside")
    d.add("strap curved side", "joined", ("strap taper", "strap outer line"), style="style line")
    d.line("strap end line", "strap end outside", "strap end", style="style line")


def _write_top_edges(d: Drafting) -> None:
    """The upper edge from the centre back to the strap, and from the strap to the side."""
    d.curve(
        "back neck edge",
        ["centre back top", "strap point"],
        start="right",
        end="strap, angle",
        style="style line",
        because="it starts square to the centre and runs on into the strap",
    )
    d.curve(
        "back side edge",
        ["strap outer point", "side waist"],
        start="strap back, angle",
        end="waist end, angle",
        style="style line",
        because="it leaves the strap smoothly and runs into the top of the extension",
    )


def _check_top(d: Drafting, style: Mapping[str, float]) -> None:
    """Refuse an upper edge that is bent too tightly to be turned, or that crosses itself."""
    side, outer = d["side waist"], d["strap outer point"]
    room = side.x - outer.x
    if room < 3:
        raise ValueAtFault(
            "strap_from_centre",
            style["strap_from_centre"],
            f"sets the strap's outer edge {max(room, 0):.1f} cm from the side",
        )
    if outer.y < side.y + 3:
        raise ValueAtFault(
            "strap_level", style["strap_level"], "is too low for a back edge that curves down to the side"
        )
    neck, edge = d["back neck edge"], d["back side edge"]
    for name, curve in (("side", edge), ("neck", neck)):
        if (radius := tightest(curve)) < HOLLOW:
            raise ValueAtFault(
                "strap_from_centre",
                style["strap_from_centre"],
                f"bends the back's {name} edge to a radius of {radius:.1f} cm, too tight to be turned out",
            )
    back = min(turnings(neck))
    if back > WAVE:
        raise ValueAtFault(
            "strap_level",
            style["strap_level"],
            f"makes the back's neck edge bend both ways, {back:.0f} degrees back",
        )
    if neck.meets(edge) or neck.meets_line(d["strap point"], outer)[:-1]:
        raise ValueAtFault(
            "strap_level", style["strap_level"], "makes the upper edge of the back cross itself"
        )


HOLLOW = 1.5
"""cm; a faced edge with a tighter hollow does not turn out flat, however it is snipped (no source)."""


def _pocket(d: Drafting, style: Mapping[str, float]) -> None:
    """The patch pocket: sides on the grain, top along the yoke, squared corners, point in the middle."""
    _write_pocket_top(d, style)
    _write_pocket_foot(d, style)
    _check_pocket(d, style)


def _write_pocket_top(d: Drafting, style: Mapping[str, float]) -> None:
    """The opening, straight between the pocket's two uprights at an even distance below the yoke."""
    left, right = style["pocket_from_centre"], style["pocket_from_centre"] + style["pocket_width"]
    d.add(
        "pocket top line",
        "parallel",
        ("yoke line",),
        style["pocket_below_yoke"],
        side="right",
        because="the pocket follows the yoke at an even distance below it",
    )
    room = d["pocket top line"].end.x - 0.6 - right
    if room < 0:
        raise ValueAtFault(
            "pocket_width",
            style["pocket_width"],
            "runs past the side of the skirt",
        )
    for name, x in (("inner", left), ("outer", right)):
        d.go(
            f"pocket {name} upright",
            "centre hem",
            "right",
            x,
            source="pocket from the centre" + ("" if name == "inner" else " + pocket width"),
            because="the pocket's sides lie on the grain, parallel to the centre back",
        )
        d.add(f"pocket {name} top", "upright crossing", ("pocket top line", f"pocket {name} upright"))
    d.line(
        "pocket opening",
        "pocket outer top",
        "pocket inner top",
        style="style line",
        because="the opening is straight so that its hem folds flat",
    )


def _write_pocket_foot(d: Drafting, style: Mapping[str, float]) -> None:
    """Both bottom corners, squared from the grain, the point between them, and the sides."""
    d.go(
        "pocket inner corner",
        "pocket inner top",
        "down",
        style["pocket_length"],
        source="pocket length",
        because="this side is measured, the others follow",
    )
    d.add(
        "pocket outer corner",
        "level",
        ("pocket inner corner", "pocket outer top"),
        because="both bottom corners are squared from the grain",
    )
    d.add("pocket bottom middle", "middle", ("pocket inner corner", "pocket outer corner"))
    d.go("pocket point", "pocket bottom middle", "down", style["pocket_point"], source="pocket point")
    d.line("pocket inner side", "pocket inner top", "pocket inner corner", style="style line")
    d.line("pocket inner foot", "pocket inner corner", "pocket point", style="style line")
    d.line("pocket outer foot", "pocket point", "pocket outer corner", style="style line")
    d.line("pocket outer side", "pocket outer corner", "pocket outer top", style="style line")


def _check_pocket(d: Drafting, style: Mapping[str, float]) -> None:
    """Refuse a pocket too near the hem, or with too short a side."""
    room = d["pocket point"].y - d["centre hem"].y - style["hem"]
    if room < 3:
        raise ValueAtFault(
            "pocket_length",
            style["pocket_length"],
            f"brings the pocket {max(room, 0):.1f} cm above the hem",
        )
    if d["pocket outer top"].y - d["pocket outer corner"].y < 4:
        raise ValueAtFault(
            "pocket_length",
            style["pocket_length"],
            "leaves the pocket's outer side under 4 cm",
        )

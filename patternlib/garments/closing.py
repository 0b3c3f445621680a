"""How the pinafore's side opening is closed: front facing, back extension, the places of the fastenings.

The front laps over the back. Its edge is the side line itself: a facing cut from the front's own lines is
sewn to it and turned in. The back keeps its side line as a seam, and beyond it the extension lies under the
front. It is cut from the front's lines, too, and sewn to the back as the front is sewn to it below the
opening: so it has the front's shape over the hip, and closed the two side lines lie on each other at every
level. It is cut in one with its second layer; the fold lies on the straight grain.

Not taken: two equal extensions outside both side lines, each lapping over the other, would set the button
line on the side line, where the seams of both extensions make a ridge under the buttons. An extension drawn
parallel to the back's own side bends the other way than the front that lies on it, and puckers.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from ..draft import Draft, Drafting
from ..errors import ValueAtFault
from ..geometry import Curve, Move, Point, line
from ..pieces import FUSING, DrillHole, Edge, Grain, Mark, Piece
from .base import StyleValue
from .marking import ENCLOSED, SEAM

FUSED = ("main cloth", FUSING)
BEYOND_LAP = 1.5
"""cm; the facing is wider than the lap, so that its inner edge does not lie on the extension's fold."""
END_FREE, SEAM_FREE, BESIDE, APART = 3.0, 1.5, 0.5, 1.0
"""cm; from the lowest fastening to the opening's end; from a fastening to the waistband's seam; cloth beside
a fastening; cloth between two. All common practice, no source."""
SHANK = 0.3
"""cm; a buttonhole begins this far beyond the button's place, toward the edge: the pull draws the button to
the hole's end (1/8 in: common practice, no source)."""
TRIMMED, BAR = 0.6, 1.0
"""cm; what the enclosed allowance at the front's edge is trimmed to before it is turned in; a bar of stitches
at the opening's end (common practice, no source)."""
PRESS = 1
"""The fastening that is not a button."""

STYLE = (
    StyleValue("extension", "Extension, width: the lap", 3, 2.5, 5, "It carries the buttons."),
    StyleValue(
        "extension_run_on", "Extension's run-on below the opening", 1.8, 1, 4,
        "It is caught in the side seam here.", 0.1,
    ),
    StyleValue(
        "fastening", "Fastening", 0, 0, 1, "Choose one of the two.", 1, "",
        choices=("Buttons", "Press fasteners"),
    ),
    StyleValue(
        "fastenings", "Fastenings on each side", 3, 2, 5, "When they are far apart, the edge gapes.", 1, "",
        within=lambda body, v: (2, most_fastenings(v)),
    ),
    StyleValue(
        "button", "Button or press fastener, diameter", 1.5, 1, 2.5,
        "They are sold as 1.1, 1.5, 1.8, 2 and 2.3 cm.", 0.1,
        within=lambda body, v: (1, largest_button(v)),
    ),
    StyleValue(
        "button_thickness", "Button, thickness", 0.3, 0.1, 0.8, "A thick button needs a longer hole.", 0.1,
    ),
)  # fmt: skip


def write_closing(d: Drafting, style: Mapping[str, float]) -> None:
    """On the front plan: the button line, the facing's inner edge, and the extension traced from the side."""
    lap = style["extension"]
    d.add(
        "button line", "parallel", ("opening edge",), lap / 2, side="right", style="style line",
        because="the buttons stand in the middle of the lap, clear of the seams on both its sides",
    )  # fmt: skip
    d.add("closing side", "part", ("side", "run-on end", "side waist"))
    d.add(
        "facing line", "parallel", ("closing side",), lap + BEYOND_LAP, side="right",
        because="the facing is wider than the lap",
    )  # fmt: skip
    d.add("facing foot", "end", ("facing line",), at="start")
    d.add("facing top", "crossing", ("waistband line", "facing line"))
    d.add("facing edge", "part", ("facing line", "facing foot", "facing top"), style="style line")
    d.line("facing bottom", "run-on end", "facing foot", style="style line")
    d.line("closing chord", "run-on end", "side waist")
    d.add("extension across, angle", "angle", ("closing chord",), -90.0, at="start")
    width = lap + _hollow(d["closing side"])
    for name, start in (("fold aim", "run-on end"), ("fold aim 2", "side waist")):
        d.go(
            name, start, "extension across, angle", width, source="lap, square to the chord",
            because="a straight fold lets the extension be cut in one with its second layer",
        )  # fmt: skip
    d.add("extension foot", "meeting", ("run-on end", "facing foot", "fold aim", "fold aim 2"))
    d.sum(
        "extension top, angle", {"waist end, angle": 1.0}, 180.0, source="the waist's direction turned about"
    )
    d.go("extension top, aim", "side waist", "extension top, angle", lap, source="lap")
    d.add(
        "extension corner", "meeting",
        ("side waist", "extension top, aim", "fold aim", "fold aim 2"),
        because="its top follows the waist, hidden under the front",
    )  # fmt: skip
    d.line("extension fold", "extension foot", "extension corner", style="style line")
    d.line("extension top", "side waist", "extension corner", style="style line")
    d.line("extension bottom", "run-on end", "extension foot", style="style line")


def _hollow(side: Curve) -> float:
    """How far a side bends inward of the line between its ends, cm; 0 where it is round."""
    way = (side.end - side.start).unit().right()
    return max(0.0, *((side.at(side.length * k / 12) - side.start).dot(way) for k in range(13)))


def fastening_places(v: Mapping[str, float]) -> tuple[float, ...]:
    """How far below the waist, walked along the side, each fastening lies, cm.

    The first in the middle of the waistband, which carries the pull; the last 3 cm above the opening's end;
    the others evenly between, clear of the seam under the waistband. ValueAtFault where they do not fit.

    >>> fastening_places({"fastenings": 3, "button": 1.5, "extension": 3, "waistband": 5, "opening": 19})
    (2.5, 9.25, 16.0)
    """
    n, size, band, last = int(v["fastenings"]), v["button"], v["waistband"], v["opening"] - END_FREE
    if size > v["extension"] - 2 * BESIDE + 1e-9:
        raise ValueAtFault(
            "button", size, f"does not fit on a lap of {v['extension']:g} cm",
        )  # fmt: skip
    top = band + SEAM_FREE
    if n > most_fastenings(v):
        raise ValueAtFault("fastenings", n, f"do not fit in an opening of {v['opening']:g} cm")
    first = band / 2
    places = [first + (last - first) * k / (n - 1) for k in range(n)]
    if any(abs(place - band) < SEAM_FREE for place in places[1:]) or places[1] < band:
        rest = n - 2
        places[1:] = [last - (last - top) * k / rest for k in range(rest, -1, -1)] if rest else [last]
    return tuple(places)


def most_fastenings(v: Mapping[str, float]) -> int:
    """How many fastenings have room on each side of an opening."""
    room = v["opening"] - END_FREE - v["waistband"] - SEAM_FREE
    return 2 + max(0, math.floor(room / (v["button"] + APART) + 1e-9))


def largest_button(v: Mapping[str, float]) -> float:
    """The diameter that a lap has room for, and an opening with so many fastenings, cm."""
    room, between = v["opening"] - END_FREE - v["waistband"] - SEAM_FREE, v["fastenings"] - 2
    return min(v["extension"] - 2 * BESIDE, room / between - APART if between > 0 else 9.0)


def buttonhole(v: Mapping[str, float]) -> float:
    """Length of a buttonhole, cm: the button's diameter and thickness."""
    return v["button"] + v["button_thickness"]


def _at(d: Draft, v: Mapping[str, float], place: float) -> tuple[Point, Point]:
    """(a fastening's place on the front plan, the way square to the side toward the centre)."""
    side = d["side"]
    at = side.length - place
    way = side.direction(at).right()
    return side.at(at) + way * (v["extension"] / 2), way


def front_marks(d: Draft, v: Mapping[str, float], part: str) -> dict:
    """The fastenings on 'waistband' or 'front skirt' as fields of Piece: buttonholes, or drill holes."""
    marks, holes, long = [], [], buttonhole(v)
    for k, place in enumerate(fastening_places(v), 1):
        if (place < v["waistband"]) != (part == "waistband"):
            continue
        p, way = _at(d, v, place)
        if v["fastening"] == PRESS:
            holes.append(DrillHole(p, f"press fastener {k}"))
        else:
            marks.append(
                Mark(f"buttonhole {k}", line(p - way * SHANK, p + way * (long - SHANK)), "buttonhole")
            )
    return {"marks": tuple(marks), "drill_holes": tuple(holes)}


def facing_piece(d: Draft, v: Mapping[str, float]) -> Piece:
    """The front's facing below the waistband, whose second layer faces the opening above."""
    side, band = d["side"], d["waistband line"]  # to the waist; to the side
    total = side.length
    return Piece(
        "front facing",
        (
            Edge("opening edge", side.part(total - v["waistband"], total - v["opening"]), SEAM),
            Edge("run-on", d["run-on edge"].reversed(), SEAM, "caught"),
            Edge("bottom", d["facing bottom"], ENCLOSED, "fold-back"),
            Edge("inner edge", d["facing edge"], ENCLOSED, "fold-back"),
            Edge("waistband edge", band.part(band.closest(d["facing top"])[0], band.length), SEAM, "caught"),
        ),
        cut=2,
        pair=True,
        cloths=FUSED,
    )


def extension_piece(d: Draft, v: Mapping[str, float]) -> Piece:
    """The back's extension with its second layer beyond the fold, upright, the fold on the grain."""
    foot, corner = d["extension foot"], d["extension corner"]
    upright = Move.onto(foot, corner, Point(0, 0), Point(0, 1))
    over = Move.mirror(Point(0, 0), Point(0, 1))
    opening, run_on, top, bottom = (
        d[name].moved(upright)
        for name in ("opening edge", "run-on edge", "extension top", "extension bottom")
    )
    whole = d["closing side"].moved(upright)
    name = "press fastener" if v["fastening"] == PRESS else "button"
    lap, corner_up = v["extension"], upright(corner).y
    return Piece(
        "back extension",
        (
            Edge("opening edge", opening.reversed(), SEAM),
            Edge("run-on", run_on.reversed(), SEAM, "caught"),
            Edge("bottom", bottom, ENCLOSED),
            Edge("under bottom", bottom.moved(over).reversed(), ENCLOSED),
            Edge("under edge", whole.moved(over), SEAM, "caught"),
            Edge("under top", top.moved(over), ENCLOSED),
            Edge("top", top.reversed(), ENCLOSED),
        ),
        cut=2,
        pair=True,
        drill_holes=tuple(
            DrillHole(upright(_at(d, v, place)[0]), f"{name} {k}")
            for k, place in enumerate(fastening_places(v), 1)
        ),
        grain=Grain(Point(lap / 2, 0.2 * corner_up), Point(lap / 2, 0.8 * corner_up)),  # in the under layer
        marks=(Mark("fold of the extension", line(Point(0, 0), upright(corner)), "fold"),),
    )


def bought(v: Mapping[str, float]) -> str:
    """What is bought to fasten both sides."""
    what = "press fasteners" if v["fastening"] == PRESS else "buttons"
    return f"{2 * int(v['fastenings'])} {what}, {v['button'] * 10:.0f} mm"


def fasten(v: Mapping[str, float]) -> str:
    """How the fastenings are put in."""
    if v["fastening"] == PRESS:
        how = (
            "Set the press fasteners at their marks on both sides: the upper part through front and facing, "
            "the lower part through both layers of the extension."
        )
    else:
        how = (
            f"Work {int(v['fastenings'])} buttonholes of {buttonhole(v):g} cm on each side of the front, "
            "square to the edge, through both layers; sew the buttons on both layers of the extension."
        )
    return f"{how} The front lies over the back."


def making(also: Mapping[tuple[str, str] | str, str]) -> dict[tuple[str, str] | str, str]:
    """What is also done in the steps that close the opening; also: the same for the other steps."""
    own = {
        "front opening": "Fuse the front facing first, wrong side. After stitching snip the front skirt's "
        "allowance at the end of the opening, to the last stitch; trim the enclosed allowances to "
        f"{TRIMMED:g} cm; stitch the facing to them close to the seam; turn it in and press.",
        "waistband to front skirt": "The upper edge of the front facing is caught in this seam. Press the "
        "allowances into the waistband.",
        "top of the extension": "Turn right side out and press the fold.",
        "back opening": "Press the seam toward the back and neaten it; fold the extension's under edge in by "
        "1 cm and stitch it down over the seam.",
        "side seam": "The ends of facing and extension below the opening are caught in this seam. Neaten it "
        f"and press it toward the back. At the end of the opening stitch a bar of {BAR:g} cm, level, through "
        "front, facing and extension: it takes the pull.",
    }
    return dict(also) | own

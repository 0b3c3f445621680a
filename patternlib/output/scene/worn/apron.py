"""The glaze-day apron as it is worn: wrapped over at the back, straps crossed, ties knotted in front."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry import Point as Spot

from ....garments.apron import LAID_ON
from ....garments.base import Garment
from ....geometry import Curve, Move, Point
from ...items import Stroke
from ..layers import MIDDLE, Layer, Line, moved, outline_of, piece_layer, stacked
from .sides import (
    EDGE,
    FAR,
    Sides,
    band,
    below,
    edge_styles,
    moved_layer,
    pair,
    patch,
    rows,
    through,
)  # fmt: skip

KNOT_TAKES, SHORT = 6.0, 10.0
"""cm of each tie in the knot, and of its end that is seen: the rest is tucked in (common practice)."""
FOLDED_OVER = 10.0
"""cm: a tie runs on beyond the side, so that it is cut off at the rim of the view."""
FACED_ROW = 0.5
"""cm from the edge: the topstitching of the faced bib, as the order of making has it."""


def apron_views(garment: Garment) -> tuple[list[Stroke], list[Stroke]]:
    """(front view, back view) as strokes, cm; the centre on x = 0, the waist level on y = 0."""
    front, back = apron_layers(garment)
    return stacked(front), stacked(back)


def apron_layers(garment: Garment) -> tuple[list[Layer], list[Layer]]:
    """Front view and back view as layers of cloth, the lowest first."""
    f, b = garment.drafts["front plan"], garment.drafts["back plan"]
    pieces = {piece.name: piece for piece in garment.pieces}
    sides = Sides(f["side"], b["side"], f["bib side"])
    behind = Sides(b["side"], f["side"])

    panel = pieces["front panel"]
    topstitched = rows(panel) | {"top": (FACED_ROW,), "bib side": (FACED_ROW,)}
    styles = edge_styles(garment, panel, frozenset({"bib facing"}))
    front = piece_layer(panel, styles, halves=True, rows=topstitched)
    front = front.cut_to(sides.room())
    low = garment.style["pocket_below_waist"] + garment.style["pocket_depth"]
    pocket = patch(pieces["pocket"], move=_onto_panel(pieces["pocket"], Point(0, -low)))
    division = next(m for m in pieces["pocket"].marks if m.name == "division").curve
    move = _onto_panel(pieces["pocket"], Point(0, -low))
    pocket = pocket.with_lines(Line(LineString([move(division.start), move(division.end)]), "stitching", "",
                                    "division"))  # fmt: skip

    wide = garment.style["strap_width"]
    on_front = _strap(f["strap on the bib"], f["strap on the shoulder"], wide)
    shoulder = below(f["front neck point"], f["shoulder tip, dart closed"])
    strap_front = on_front.cut_to(shoulder)
    over_back = below(b["back neck point"], b["back shoulder tip"])
    strap_back = _strap(b["strap end of the other side"], b["strap on the shoulder"], wide).cut_to(over_back)

    own, other = f["strap on the shoulder"], b["strap on the shoulder"]
    see = through(own, other)
    inside = [replace(moved_layer(one, see), wrong=True) for one in pair(strap_back)]
    stitched = _square(f["strap on the bib"], f["strap on the shoulder"], wide)
    front = front.with_lines(stitched, replace(stitched, shape=moved(stitched.shape, MIDDLE)))
    front_view = [
        *inside, sides.strips("back panel"), *pair(strap_front), front, pocket, *_tied(garment, sides)
    ]  # fmt: skip

    see = through(other, own)
    bib = moved_layer(replace(front, wrong=True, name="bib, inside"), see).within(band(0.0, FAR))
    loose = [replace(moved_layer(one.within(band(f["bib corner"].y, FAR)), see), wrong=True)
             for one in pair(strap_front)]  # fmt: skip
    piece = pieces["back panel"]
    upper = piece_layer(piece, edge_styles(garment, piece, frozenset()), rows=rows(piece))
    stitched = _square(b["strap end of the other side"], b["strap on the shoulder"], wide)
    stitched = replace(stitched, shape=moved(stitched.shape, MIDDLE))
    upper = upper.cut_to(behind.room()).with_lines(stitched)
    under = moved_layer(upper, MIDDLE)
    # one tie runs over the wearer's left side to the front; that of the back below has gone out at her right
    tie = _to_the_side(b["wrap waist"], b["tie foot"], _tie_opening(garment, b["side"])).cut_to(behind.room())
    back_view = [bib, *loose, behind.strips("front panel"), *pair(strap_back), under, upper, tie]
    return front_view, back_view


def _onto_panel(pocket, foot: Point) -> Move:
    """Lays the pocket on the front, the middle of its bottom on a place."""
    bottom = pocket.edge("bottom").curve
    return Move.shift(*(foot - bottom.start.middle(bottom.end)))


def _strap(end: Point, shoulder: Point, wide: float) -> Layer:
    """A strap from where it is laid on to beyond the shoulder, with its hems."""
    along = (shoulder - end).unit()
    start, stop, half = end - along * LAID_ON, shoulder + along * wide, along.left() * (wide / 2)
    shape = Polygon([start - half, stop - half, stop + half, start + half])
    hems = [LineString([start + half * share, stop + half * share]) for share in (-0.85, 0.85)]
    return outline_of(
        Layer("strap", shape, tuple(Line(hem, "stitching", "", "strap, hemmed") for hem in hems))
    )


def _square(end: Point, shoulder: Point, wide: float) -> Line:
    """The square with a cross that holds the strap's end, seen on the other side of what it is laid on."""
    along = (shoulder - end).unit()
    a, b, side = end - along * (LAID_ON - EDGE), end - along * EDGE, along.left() * (0.425 * wide)
    box = MultiLineString([[a - side, b - side, b + side, a + side, a - side], [a - side, b + side],
                           [a + side, b - side]])  # fmt: skip
    return Line(box, "stitching", "", "square with a cross")


def _tie_opening(garment: Garment, side: Curve) -> tuple[Point, Point]:
    """Upper and lower end of the opening in the side seam; side: of the plan, from the hem to the waist."""
    upper, lower = garment.left_open["side seam"]
    return side.at(side.length - upper), side.at(side.length - lower)


def _to_the_side(top: Point, foot: Point, opening: tuple[Point, Point]) -> Layer:
    """A tie from its seat on the wrapped edge over the left side, where the level is that of the opening."""
    ends = [Point(-p.x, p.y) for p in opening]
    far = [p + (p - start).unit() * FOLDED_OVER for p, start in zip(ends, (top, foot), strict=True)]
    return outline_of(Layer("tie", Polygon([top, *far, foot])))


def _tied(garment: Garment, sides: Sides) -> list[Layer]:
    """Both ties knotted in front: one from the opening at the wearer's right, one from behind at her left."""
    style, wide = garment.style, garment.style["tie_width"]
    top, foot = _tie_opening(garment, sides.own)
    level = (top.y + foot.y) / 2
    right = [(-abs(top.x), level + wide / 2), (-abs(foot.x), level - wide / 2)]
    whole = Polygon([*right, (FAR, level - wide / 2), (FAR, level + wide / 2)])
    rest = style["tie_length"] + style["wrap"] - (garment.body.waist_girth + style["waist_ease"]) / 2
    long = min(max(rest - KNOT_TAKES, wide), SHORT)  # what is longer is tucked in
    ends = []
    for lean in (-0.35, 0.35):
        down, across = Point(lean, -1.0).unit(), Point(1.0, lean).unit() * (wide / 2)
        start = Point(lean * wide, level)
        stop = start + down * long
        ends.append(
            outline_of(Layer("tie", Polygon([start - across, stop - across, stop + across, start + across])))
        )
    knot = outline_of(Layer("tie", Spot(0, level).buffer(0.7 * wide)))
    return [outline_of(Layer("tie", whole)).cut_to(sides.room()), *ends, knot]

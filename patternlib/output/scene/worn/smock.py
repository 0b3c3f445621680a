"""The throwing-room smock as it is worn, its sleeves laid out as their caps let them hang."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shapely.geometry import LineString, Polygon

from ....garments.base import Garment
from ....geometry import Curve, Move, Point
from ....pieces import Piece
from ...items import Stroke
from ..layers import CLOSE, Layer, Line, outline_of, piece_layer, stacked
from .sides import (
    FAR,
    Sides,
    band,
    below,
    edge_styles,
    flipped,
    moved_layer,
    pair,
    patch,
    rows,
    through,
)  # fmt: skip

UNSEEN = frozenset({"front facing", "back facing"})
RUN_ON = 8.0
"""cm that a sleeve's lower edge runs on under the body, far enough to be hidden (no source)."""
STAND_LEAN = 0.12
"""How much narrower a stand collar is at its top, seen flat (no source)."""
STAND_SIDE, STAND_ARCH = 0.62, 0.4
"""Its height at the side of the neck, where it leans most, as a share; cm that its back rises to the middle
(no source)."""


def smock_views(garment: Garment) -> tuple[list[Stroke], list[Stroke]]:
    """(front view, back view) as strokes, cm; the centre on x = 0, the waist level on y = 0."""
    f, b = garment.drafts["front plan"], garment.drafts["back plan"]
    pieces = {piece.name: piece for piece in garment.pieces}
    front = _body(garment, pieces["front"], Sides(f["side"].reversed(), b["side"].reversed()))
    back = _body(garment, pieces["back"], Sides(b["side"].reversed(), f["side"].reversed()))
    sleeves = [
        _sleeve(pieces["sleeve"], part, plan["shoulder tip"], plan["underarm"])
        for part, plan in (("front", f), ("back", b))
    ]
    collars = [_collar(garment, part) for part in ("front", "back")]
    see = through(f["neck point"], b["neck point"])
    inside = replace(moved_layer(back[-1], see), wrong=True, name="back, inside")
    wide = abs(f["neck point"].x)
    inside = inside.within(Polygon([(-wide, 0), (wide, 0), (wide, FAR), (-wide, FAR)]))
    stands = collars[1] if garment.style["collar"] == 1 else []
    behind = [replace(moved_layer(one, see), wrong=True) for one in stands]
    pockets = pair(patch(pieces["pocket"], move=_laid(pieces["pocket"], f["pocket inner top"])))
    return (
        stacked([*behind, inside, *pair(sleeves[0]), *front, *pockets, *collars[0]]),
        stacked([*pair(sleeves[1]), *back, *collars[1]]),
    )


def _body(garment: Garment, piece: Piece, sides: Sides) -> list[Layer]:
    styles = edge_styles(garment, piece, UNSEEN) | {"shoulder": "contour"}
    if "centre front" in styles:
        styles |= {"centre front": "sewn", "slit": "contour"}
    layer = piece_layer(piece, styles, halves=True, rows=rows(piece))
    return [sides.strips("other side"), layer.cut_to(sides.room() | band(sides.own.end.y, FAR))]


def _laid(pocket: Piece, inner_top: Point) -> Move:
    return Move.shift(*(inner_top - pocket.edge("inner side").curve.end))


def _sleeve(piece: Piece, part: str, tip: Point, underarm: Point) -> Layer:
    """Half of the sleeve, folded along its middle, its cap set to the armhole from the shoulder's tip."""
    cap, seam = piece.edge(f"{part} cap").curve, piece.edge(f"{part} underarm").curve
    top = cap.end if part == "front" else cap.start
    under = cap.start if part == "front" else cap.end
    move = Move.onto(top, under, tip, underarm)
    half = Polygon([(0, FAR), (FAR, FAR), (FAR, -FAR), (0, -FAR)])
    keep = half if under.x > top.x else flipped(half)
    whole = piece_layer(piece, {"hem": "contour", f"{part} underarm": "contour"}, rows=rows(piece))
    middle = LineString([(top.x, FAR), (top.x, -FAR)])
    fold = Line(middle & whole.shape, "contour", "", "fold of the sleeve")
    sleeve = moved_layer(whole.within(keep).with_lines(fold), move)
    # under the body the cloth runs on to the armhole, and its lower edge with it
    other = seam.start if seam.end.distance(under) < seam.start.distance(under) else seam.end
    run_on = move(under + (under - other).unit() * RUN_ON)
    filled = Polygon([tip, move(under), run_on, (0.0, run_on.y), (0.0, tip.y)]).buffer(0)
    edge = Line(LineString([move(under), run_on]), "contour", "", "underarm")
    return replace(sleeve, shape=sleeve.shape | filled).with_lines(edge)


def _collar(garment: Garment, part: str) -> list[Layer]:
    """The collar's part in front or behind, on the plan of that part."""
    f, b, c = (garment.drafts[f"{name} plan"] for name in ("front", "back", "collar"))
    if garment.style["collar"] == 1:
        plan = f if part == "front" else b
        return _stand(plan["neckline"], garment.style["stand_height"], part)
    piece = next(p for p in garment.pieces if p.name == "collar")
    styles = {"outer edge": "contour", "front edge": "contour", "neck edge": "contour"}
    whole = piece_layer(piece, styles)
    if part == "back":
        room = below(c["back neck point"], c["back shoulder tip"])
        return [_joined_halves(whole.cut_to(room))]
    lay = Move.onto(c["back neck point"], c["overlapped shoulder tip"], f["neck point"], f["shoulder tip"])
    room = below(f["neck point"], f["shoulder tip"])
    return pair(moved_layer(whole, lay).cut_to(room))


def _joined_halves(layer: Layer) -> Layer:
    other = moved_layer(layer, lambda p: Point(-p.x, p.y))
    shape = (layer.shape | other.shape).buffer(2e-3).buffer(-2e-3)
    return Layer(layer.name, shape, (*layer.lines, *other.lines))


def _stand(neckline: Curve, height: float, part: str) -> list[Layer]:
    """A stand collar seen flat, upright on the neckline; its upper edge is a ring round the neck.

    So that edge is level at the back, where the neckline dips, and dips in front as the neckline does.
    """
    low: Sequence[Point] = neckline.flat(CLOSE)
    side = max(low, key=lambda p: abs(p.x))
    centre = min(low, key=lambda p: abs(p.x))
    top, middle = side.y + STAND_SIDE * height, centre.y + height
    fall = side.y - centre.y

    def level(p: Point) -> float:
        if part == "back":
            return top + STAND_ARCH * (1 - (p.x / side.x) ** 2)
        return middle + (p.y - centre.y) / fall * (top - middle)

    high = [Point(p.x * (1 - STAND_LEAN), level(p)) for p in low]
    shape = Polygon([*low, *reversed(high)]).buffer(0)
    one = outline_of(Layer("collar", shape))
    return pair(one) if part == "front" else [outline_of(_joined_halves(Layer("collar", shape)))]

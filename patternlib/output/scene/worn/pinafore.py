"""The pinafore as it is worn: the front lies over the back at the sides, the straps run over the shoulders.

Each view keeps its own plan's measures. What is seen of the other side above the waist is scaled in height,
so that the straps meet at the shoulder; seen from outside, a body's front and back differ in height there.
"""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry import Point as Spot

from ....draft import Draft
from ....garments.base import Garment
from ....garments.straps import INSET
from ....geometry import Move, Point, line
from ....making import hem_depth
from ...items import Stroke
from ..layers import Layer, Line, moved, outline_of, piece_layer, sheet, stacked
from .sides import (
    BAR,
    EDGE,
    FAR,
    SECOND,
    Sides,
    band,
    bar,
    below,
    both,
    edge_styles,
    moved_layer,
    pair,
    patch,
    rows,
    through,
)  # fmt: skip

UNSEEN = frozenset({"bib facing", "yoke facing", "front facing", "back extension"})
WIRE = 0.3
"""cm: how thick a ring's or a slide's bar is drawn."""


def pinafore_views(garment: Garment) -> tuple[list[Stroke], list[Stroke]]:
    """(front view, back view) as strokes, cm; the centre on x = 0, the waist level on y = 0."""
    return _Views(garment).front(), _Views(garment).back()


def strap_at_ring(garment: Garment) -> list[Layer]:
    """The end of a strap in its ring and slide as it is worn, lowest layer first."""
    views = _Views(garment)
    ring = views.f["bib corner"]
    around = Polygon([ring + Point(*p) for p in ((-12, -4), (12, -4), (12, 14), (-12, 14))])
    bib = views._layer("bib").within(around)
    return [*views._loops(), *views.strap("front"), bib]


class _Views:
    def __init__(self, garment: Garment):
        self.garment, self.v = garment, garment.style
        self.pieces = {piece.name: piece for piece in garment.pieces}
        self.f, self.b = garment.drafts["front plan"], garment.drafts["back plan"]
        self.width = self.v["fitting"] - self.v["cloth_thickness"]
        b = self.b
        # the strap as drafted, on the back plan; and its part beyond the shoulder, on the front plan
        self.upright = Move.onto(Point(0, 0), Point(0, 1), b["strap point"], b["strap end"])
        self.down = Move.onto(
            b["back neck point"], b["back shoulder tip"], self.f["front neck point"],
            self.f["shoulder tip, dart closed"],
        )  # fmt: skip
        crossing = self._crossing(b)
        self.top_back, self.top_front = crossing, self.down(crossing)

    def _crossing(self, b: Draft) -> Point:
        """Where the middle of the strap crosses the shoulder, on the back plan."""
        middle = line(b["strap middle"], b["strap end"].middle(b["strap end outside"]))
        hits = middle.meets_line(b["back neck point"], b["back shoulder tip"])
        return middle.at(hits[0] if hits else middle.length)

    # -- parts of the strap, on the back plan

    def strap(self, part: str) -> list[Layer]:
        """The strap's 'back' or 'front' part of the wearer's right side, where its own plan has it."""
        piece, b = self.pieces["strap"], self.b
        neck, tip = b["back neck point"], b["back shoulder tip"]
        out = (tip - neck).unit()
        behind = below(neck, tip)
        styles = {"straight side": "contour", "curved side": "contour", "base": "sewn"}
        whole = piece_layer(piece, styles, self.upright, rows=rows(piece))
        over = LineString([neck - out * FAR, neck + out * FAR]) & whole.shape
        fold = Line(over, "contour", "", "fold over the shoulder")
        if part == "back":
            return [whole.within(behind).with_lines(fold)]
        worn, slide = b["strap, worn"], b["strap, worn"] - self.v["turn_back"]
        up = self.upright.then(self.down)
        front = whole.within(moved(band(0, worn), self.upright)).within(whole.shape - behind)
        front = moved_layer(front.with_lines(fold), self.down)
        doubled = piece_layer(piece, {"straight side": "contour", "curved side": "contour"}, self.upright)
        doubled = moved_layer(doubled.within(moved(band(slide, worn), self.upright)), self.down)
        doubled = replace(outline_of(doubled), name="strap, turned back")
        w = self.width
        corners = [up(Point(x, y)) for x, y in ((0.2, slide + 0.6), (w - 0.2, slide + 0.6),
                                               (w - 0.2, slide + 2.4), (0.2, slide + 2.4))]  # fmt: skip
        box = MultiLineString([[*corners, corners[0]], [corners[0], corners[2]], [corners[1], corners[3]]])
        doubled = doubled.with_lines(Line(box & doubled.shape, "stitching", "", "square with a cross"))
        return [front, doubled, self._metal(up, slide - WIRE, slide + WIRE, "slide"),
                self._metal(up, worn - WIRE, worn + self.v["ring"] + WIRE, "ring")]  # fmt: skip

    def _metal(self, up: Move, low: float, high: float, name: str) -> Layer:
        """A ring or slide as wide as is bought, seen flat; low, high: along the strap."""
        x0, x1 = (self.width - self.v["fitting"]) / 2, (self.width + self.v["fitting"]) / 2
        hole = Polygon([up(Point(x, y)) for x, y in ((x0, low + WIRE), (x1, low + WIRE), (x1, high - WIRE),
                                                     (x0, high - WIRE))]).buffer(0.02)  # fmt: skip
        ring = hole.buffer(WIRE)
        lines = (Line(ring.exterior, "sewn", "", name), Line(hole.exterior, "sewn", "", name))
        return Layer(name, ring, lines)

    # -- the views

    def _front_sides(self) -> Sides:
        return Sides(self.f["side"], self.b["side"], self.f["bib side"])

    def front(self) -> list[Stroke]:
        pieces, v = self.pieces, self.v
        see = through(self.top_front, self.top_back)
        sides = self._front_sides()
        inside = [moved_layer(layer, see) for layer in self._back_above(inside=True)]
        inside = [layer for one in inside for layer in pair(one)]
        straps = [one for layer in self.strap("front") for one in pair(layer)]
        skirt = self._layer("front skirt", hem=(("hem", (hem_depth(v["hem"]) - EDGE,)),))
        skirt = skirt.with_lines(*self._bars())
        band = self._layer("waistband", hem=(("skirt edge", (EDGE,)),))
        top = ("top", (SECOND,)), ("side", (SECOND,))
        bib = self._layer("bib", hem=top).with_lines(*self._loop_bars())
        loop = [one for layer in self._loops() for one in pair(layer)]
        pocket = patch(pieces["bib pocket"], halves=True, bars=True)
        room = sides.room()
        body = [layer.cut_to(room) for layer in (skirt, bib, band, pocket)]
        return stacked([*inside, *loop, *straps, sides.strips("back skirt"), *body, *self._buttons(room)])

    def back(self) -> list[Stroke]:
        b, v = self.b, self.v
        see = through(self.top_back, self.top_front)
        sides = Sides(b["side"], self.f["side"])
        bib = replace(self._layer("bib"), wrong=True, name="bib, inside")
        loops = [*self._loops(), *self.strap("front")]
        inside = [replace(moved_layer(layer, see), wrong=layer.name.startswith("strap")) for layer in loops]
        inside = [one for layer in inside for one in pair(layer)]
        room, front_room = sides.room(), self._front_sides().room()
        skirt = self._layer("back skirt", hem=(("hem", (hem_depth(v["hem"]) - EDGE,)),))
        yoke = self._layer("back yoke", hem=(("skirt edge", (EDGE, SECOND)),)).with_lines(self._across())
        pockets = pair(patch(self.pieces["back pocket"], bars=True))
        straps = pair(self.strap("back")[0])
        body = [layer.cut_to(room) for layer in (skirt, yoke)]
        bib = moved_layer(bib.cut_to(front_room), see).within(band(0.0, FAR))
        return stacked([bib, *inside, sides.strips("front skirt"), *body, *pockets, *straps])

    def _layer(self, name: str, hem=()) -> Layer:
        piece = self.pieces[name]
        return piece_layer(piece, edge_styles(self.garment, piece, UNSEEN), halves=True, rows=dict(hem))

    def _back_above(self, *, inside: bool) -> list[Layer]:
        """Yoke and straps of the wearer's right side, seen through from the front."""
        yoke = piece_layer(
            self.pieces["back yoke"], edge_styles(self.garment, self.pieces["back yoke"], UNSEEN)
        )
        yoke = replace(yoke, wrong=inside, name="back yoke, inside").within(band(0.0, FAR))
        return [replace(self.strap("back")[0], wrong=inside), yoke]

    def _bars(self) -> list[Line]:
        """A level bar at the end of each opening."""
        side = self.f["side"]
        p = side.at(side.length - self.v["opening"])
        return list(both(bar(p, p + Point(BAR, 0))))

    def _loop_bars(self) -> list[Line]:
        corner = self.f["bib corner"] + Point(INSET, -SECOND)
        return list(both(bar(corner, corner + Point(self.width, 0))))

    def _loops(self) -> list[Layer]:
        """The loop from the bib's top to the ring, on the wearer's right; it follows the strap's pull."""
        corner, w, up = self.f["bib corner"] + Point(INSET, 0), self.width, self.upright.then(self.down)
        ring = self.b["strap, worn"] + self.v["ring"] + WIRE
        shape = Polygon([corner, corner + Point(w, 0), up(Point(0, ring)), up(Point(w, ring))]).buffer(0)
        return [outline_of(Layer("strap loop", shape))]

    def _across(self) -> Line:
        """The row across the yoke below the seats, from side edge to side edge."""
        b = self.b
        low = min(b["strap point"].y, b["strap outer point"].y, b["centre back top"].y) - 1.0
        room = sheet(self.pieces["back yoke"], halves=True)
        return Line(LineString([(-FAR, low), (FAR, low)]) & room, "stitching", "", "topstitching of the yoke")

    def _buttons(self, room) -> list[Layer]:
        """Buttonholes with their buttons, or press fasteners, as rounds."""
        out = []
        for name in ("waistband", "front skirt"):
            piece = self.pieces[name]
            holes = [m for m in piece.marks if m.style == "buttonhole"]
            places = [m.curve.at(0.3) for m in holes]
            places += [h.point for h in piece.drill_holes if h.purpose.startswith("press fastener")]
            lines = [Line(LineString(m.curve.flat(0.05)), "sewn", "", m.name) for m in holes]
            out += pair(Layer("buttonholes", Polygon(), tuple(lines)))
            for p in places:
                ring = Spot(*p).buffer(self.v["button"] / 2, 6)
                out += pair(Layer("button", ring, (Line(ring.exterior, "sewn", "", "button"),)))
        return [replace(layer, lines=layer.within(room).lines) for layer in out]

"""A side opening as it lies open and closed, seen from the right side, at true scale, made from the pieces.

Allowances are turned, so seam lines are drawn. Each layer hides what lies under it; hidden lines are dotted.
"""

from __future__ import annotations

from collections.abc import Iterable

from ...garments.base import Garment
from ...garments.closing_check import fastenings, laid_on, side_of_front
from ...geometry import Move, Point
from ...not_here import said_if_missing
from ...pieces import Piece, side_length
from ...units import write_length
from ..items import Command, Stroke, Text
from ..lettering.sizes import letters
from ..signs import arrow
from .base import Scene

with said_if_missing("The picture of the opening"):
    import shapely
    from shapely.geometry import LineString, Polygon, box
    from shapely.geometry import Point as Spot

    from .opened import CLOSE, strokes

OPENED = 14.0
"""degrees by which the front is swung open about the opening's end."""
REACH, ABOVE, BELOW = 11.0, 5.0, 6.0
"""cm: what is shown beside the side line, above the waist and below the opening's end."""
STEPS = 24
"""Corners of a drawn button."""


def closing_scene(garment: Garment, *, opened: bool = False, unit: str = "cm") -> Scene:
    """Draw a side opening of a pinafore, closed or swung open; its side line runs upward in the middle.

    The scene's title says what the closed girth at the waist measures and how far the layers are apart.

    >>> from patternlib import chart, make
    >>> closing_scene(make("pinafore", chart("course").body("12"))).title
    'closed: the side lines meet; waist 74.2 cm'
    """
    pieces = {piece.name: piece for piece in garment.pieces}
    moves, front_edge = _places(pieces, opened)
    layers: list[tuple[str, Polygon]] = []
    for name, move in moves.items():
        flat = [move(p) for p in pieces[name].outline.flat(CLOSE)]
        if name == "back extension":  # folded: its under layer lies under it
            fold = [move(p) for m in pieces[name].marks if m.style == "fold" for p in m.curve.flat(CLOSE)]
            flat = [p for p in flat if (fold[-1] - fold[0]).cross(p - fold[0]) >= -1e-9]
        sheet = Polygon(flat).buffer(0)
        if opened and name in ("front skirt", "front facing"):  # below the opening it is sewn, and stays
            sheet = _swung(pieces[name], sheet, front_edge.end)
        layers.append((name, sheet))
    top, foot = front_edge.start, front_edge.end
    window = box(foot.x - REACH, foot.y - BELOW, max(top.x, foot.x) + REACH, top.y + ABOVE)
    items: list[Stroke | Text] = []
    for k, (name, sheet) in enumerate(layers):
        above = shapely.union_all([p for _, p in layers[k + 1 :]]) if layers[k + 1 :] else Polygon()
        line = sheet.boundary & window
        hidden = line & above.buffer(-1e-3)
        for part, style in ((line - above.buffer(-1e-3), "cut"), (hidden, "placement")):
            items += strokes(part, style, "cut lines", name)
    items += _fastened(pieces, moves, layers, window)
    size = letters("screen", 2 * REACH).size
    items += _words(garment, pieces, window, size, opened, unit)
    x0, y0, x1, y1 = window.bounds
    return Scene(tuple(items), _title(garment, pieces, opened, unit), (x0, y0, x1, y1 + 2 * size))


def _places(pieces: dict[str, Piece], opened: bool):
    """({piece: its move, lowest layer first}, the front's edge as it lies); the front as on its plan."""
    edge = side_of_front(pieces)
    back = pieces["back yoke"].edge("side").curve, pieces["back skirt"].edge("opening").curve
    lay = Move.onto(back[1].start, back[0].end, edge.end, edge.start)
    under = pieces["back extension"].edge("opening edge").curve
    closed = Move.onto(under.start, under.end, edge.start, edge.end)
    front = Move.turn(edge.end, -OPENED) if opened else Move()
    moves = {"back extension": closed, "back skirt": lay, "back yoke": lay}
    on_top = ("bib", "waistband", "front skirt")
    return moves | {"front facing": front} | dict.fromkeys(on_top, front), edge


def _swung(piece: Piece, swung: Polygon, foot: Point) -> Polygon:
    """A front piece swung open above the opening's end, and as it lies below."""
    low = box(-1e3, -1e3, 1e3, foot.y)
    lies = Polygon(piece.outline.flat(CLOSE)).buffer(0)
    return shapely.union_all([swung - low, lies & low]).buffer(0.01).buffer(-0.01)


def _fastened(pieces, moves, layers, window) -> Iterable[Stroke]:
    """Buttons as rounds, dotted under the front, and buttonholes as lines."""
    over = shapely.union_all([p for name, p in layers if name in ("waistband", "front skirt")])
    wide = _diameter(pieces)
    for _, front, back in fastenings(pieces):
        if back is not None:
            p = moves["back extension"](back.at[1])
            ring = Spot(*p).buffer(wide / 2, STEPS // 4).exterior
            style = "placement" if over.contains(Spot(*p)) else "buttonhole"
            yield from strokes(LineString(ring.coords) & window, style, "marks", "button")
        if front is not None:
            for mark in pieces[front.at[0]].marks:
                if mark.style == "buttonhole" and mark.curve.closest(front.at[1])[1] < 1e-6:
                    line = LineString([moves[front.at[0]](q) for q in mark.curve.flat(CLOSE)])
                    yield from strokes(line & window, "buttonhole", "marks", mark.name)


def _diameter(pieces) -> float:
    """A button as wide as its hole lets pass; press fasteners are drawn 1.2 cm wide."""
    holes = [m.curve.length for n in ("waistband", "front skirt") for m in pieces[n].marks
             if m.style == "buttonhole"]  # fmt: skip
    return 0.85 * holes[0] if holes else 1.2


def _words(garment, pieces, window, size: float, opened: bool, unit: str) -> Iterable[Stroke | Text]:
    x0, y0, x1, y1 = window.bounds
    head = "open" if opened else "closed"
    yield Text((x0 + x1) / 2, y1 + 0.5 * size, head, 1.3 * size, "middle", 0.0, "labels", "heading")
    yield Text(x0 + 0.5, y0 + 2.2 * size, "back", size, "start")
    yield Text(x1 - 0.5, y0 + 2.2 * size, "front", size, "end")
    if not opened:
        edge = side_of_front(pieces)
        p, way = edge.at(0.93 * edge.length), edge.direction(0.93 * edge.length).left()
        q = p + way * garment.style["extension"]
        d: list[Command] = [("M", *p), ("L", *q), *arrow(q, way, 0.5), *arrow(p, -way, 0.5)]
        yield Stroke(tuple(d), "measure", "measures", "", "lap")
        words = f"lap {write_length(garment.style['extension'], unit)}"
        clear = p + way * (
            max(garment.style["extension"], pieces["front facing"].edge("bottom").curve.length) + 0.6
        )
        yield Text(clear.x, clear.y - 0.3 * size, words, size, "start", 0.0, "measures", "measure")


def _title(garment: Garment, pieces, opened: bool, unit: str) -> str:
    if opened:
        return f"open, {write_length(garment.style['opening'], unit)} deep"
    move, apart = laid_on(pieces), 0.0
    if move is not None:
        edge, under = side_of_front(pieces).moved(move), pieces["back extension"].edge("opening edge").curve
        apart = max(under.closest(edge.at(edge.length * k / 12))[1] for k in range(13))
    said = "the side lines meet" if apart < 0.1 else f"the side lines lie {write_length(apart, unit)} apart"
    front = side_length(pieces, (("bib", "waistband edge"),))
    back = garment.drafts["back plan"]["waistline"].length
    waist = 2 * (front + back) + (2 * apart if apart >= 0.1 else 0.0)
    return f"closed: {said}; waist {write_length(waist, unit)}"

"""Pictures of edges that are turned: hems, patches, a second layer stitched down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from shapely.geometry import Polygon

from ....garments.apron import LAID_ON
from ....geometry import Curve, Move, Point
from ....making import hem_depth
from ....pieces import Piece
from ..layers import MIDDLE, Layer, moved, outline_of, sheet, way
from ..worn.apron import apron_layers
from ..worn.pinafore import strap_at_ring
from ..worn.sides import EDGE, FAR, band, moved_layer
from .panel import Panel
from .work import Place, Work


def turned(work: Work) -> Sequence[Panel]:
    """Hems and folded edges, from the wrong side."""
    at = work.spread(sorted(work.step.pieces, key=lambda name: not work.pieces[name].on_fold))
    work.twice = _shown_twice(work, at)
    places = work.step.edges
    layers = [layer for name in at for layer in work.cloths(name, at[name], wrong=True, done=places)]
    rows = []
    for name, edge in places:
        e = work.pieces[name].edge(edge)
        deep = hem_depth(e.allowance) if e.turn == "hem" else e.allowance
        rows.append(work.heavy([(name, edge)], at, deep - EDGE))
    if "strap" in work.garment.through and set(work.step.pieces) == {"strap"} and _passes_ring(work):
        return (
            Panel([*layers, *_flaps(work, places, at), *rows], "wrong side up: the end turned back"),
            Panel(strap_at_ring(work.garment), "as it is worn, through slide and ring"),
        )
    before = [layer for name in at for layer in work.cloths(name, at[name], wrong=True)]
    fold = [Layer("", Polygon(), tuple(replace(line, style="fold") for line in work.heavy(places, at).lines
                                        if line.style != "notch"))]  # fmt: skip
    return (
        Panel([*before, *fold], "wrong side up: turn along the broken lines" + work.drawn_open(at)),
        Panel([*layers, *_flaps(work, places, at), *rows], "turned and stitched"),
    )


def _shown_twice(work: Work, at: Mapping[str, Move]) -> set[str]:
    """Pieces whose copy for the other side is sewn to the same work already."""
    pairs = {name for name in at if work.pieces[name].pair}
    if any(work.pieces[name].on_fold for name in at):
        return pairs
    return {name for name in pairs if any(s.a == s.b and s.a[0][0] == name for s in work.sewn)}


def _passes_ring(work: Work) -> bool:
    """Whether this step passes the strap's end through ring and slide."""
    return any(work.pieces[p].edge(e).turn == "fold-back" for p, e in work.step.edges)


def patched(work: Work) -> Sequence[Panel]:
    """A patch with its edges pressed, and sewn on."""
    places = work.step.edges
    name = places[0][0]
    here = {name: Move()}
    pressed = work.cloth(name, Move(), wrong=True, done=places)
    first = Panel([pressed, *_flaps(work, places, here)], "edges pressed, wrong side up")
    base, move = _base(work, name)
    if base is None:
        return (first,)
    piece = work.pieces[name]
    at = {name: move, base.name: Move()}
    if "opening" not in piece:
        return first, *_strap_laid_on(work, base, name, move)
    under = work.cloth(base.name, Move(), wrong=False)
    patch = work.cloth(name, move, wrong=False, done=places)
    folded = [(name, e.name) for e in piece.edges if e.turn == "fold-back"]
    sewn = work.heavy(folded, at, EDGE)
    layers = [under, patch, sewn]
    if base.pair or not (base.on_fold and not piece.on_fold and piece.cut > 1):
        return first, Panel(layers, "sewn on, right side up")
    other = [moved_layer(layer, MIDDLE) for layer in (patch, sewn)]
    return first, Panel([*layers, *other], "sewn on, right side up")


def _strap_laid_on(work: Work, base: Piece, name: str, move: Move) -> Sequence[Panel]:
    """A strap stitched on the inside of a piece by its lower end, and how both run over the back."""
    places = work.step.edges
    under = work.cloth(base.name, Move(), wrong=True)
    strap = work.cloth(name, move, wrong=False, done=places)
    end = work.pieces[name].edges[0]
    rows = work.heavy([(name, end.name)], {name: move}, EDGE)
    laid = moved(way(end.curve).buffer(LAID_ON, cap_style="flat") & sheet(work.pieces[name]), move)
    box = Layer("", Polygon(), (replace(rows.lines[0], shape=laid.buffer(-EDGE).boundary),))
    both = [moved_layer(layer, m) for layer in (strap, box) for m in (Move(), MIDDLE)]
    low = base.outline.flat()
    seen = max(p.y for p in low) - 3 * LAID_ON
    top = [layer.within(band(seen, FAR)) for layer in (under, *both)]
    inside = Panel(
        [layer.within(band(-FAR, seen + 5 * LAID_ON)) for layer in top], "on the inside of the top"
    )
    _, worn = apron_layers(work.garment)
    shown = [layer if layer.name == "strap" else replace(layer, name="") for layer in worn]
    return inside, Panel(shown, "as it is worn: crossed, ends inside")


def closed(work: Work) -> Sequence[Panel]:
    """A second layer folded in and stitched down, from the inside."""
    at = work.spread(work.step.pieces)
    places = work.step.edges
    layers = [work.cloth(name, at[name], wrong=False, done=places) for name in at]
    rows = work.heavy(places, at, EDGE)
    return (Panel([*layers, rows], "from the inside: folded in and stitched down"),)


def _base(work: Work, name: str) -> tuple[Piece | None, Move]:
    """The piece a patch is sewn on, and how the patch lies there: on its mark, or at its drill hole."""
    piece = work.pieces[name]
    for base in work.garment.pieces:
        holes = [hole.point for hole in base.drill_holes if hole.purpose == name]
        if not holes:
            continue
        mark = next((m for m in base.marks if m.name.endswith("opening")), None)
        if mark is None or "opening" not in piece:
            end = piece.edges[0].curve
            foot = end.start.middle(end.end)
            return base, Move.shift(*(holes[0] - Point(0, 2.0) - foot))
        opening = piece.edge("opening").curve
        if opening.length > 1.5 * mark.curve.length:  # the mark is half of it, from the centre
            far = min((mark.curve.start, mark.curve.end), key=lambda p: p.x)
            top = max((opening.start, opening.end), key=lambda p: -p.x)
            return base, Move.shift(*(far - top))
        return base, _nearest(opening, mark.curve)
    return None, Move()


def _flaps(work: Work, places: Sequence[Place], at: dict[str, Move]) -> list[Layer]:
    """The turned strips of edges, their right side up, on the wrong side of their pieces."""
    out = []
    for name, edge in places:
        piece = work.pieces[name]
        e = piece.edge(edge)
        deep = hem_depth(e.allowance) if e.turn == "hem" else e.allowance
        strip = way(e.curve).buffer(deep, cap_style="flat") & sheet(piece)
        for move in work.moves(name, at[name]):
            out.append(outline_of(Layer("", moved(strip, move))))
    return out


def _nearest(own: Curve, mark: Curve) -> Move:
    """Lays a curve on another without turning the paper over, upright if it can be."""
    turns = [Move.onto(own.start, own.end, a, b) for a, b in ((mark.start, mark.end), (mark.end, mark.start))]
    return min(turns, key=lambda move: abs(move.a - 1))

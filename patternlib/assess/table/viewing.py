"""How a piece on the table is seen: plain data for the page, and lines for the still picture."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

from ...geometry import Curve, Point
from ...output.items import curve_path
from ..answers.sketch import Sketch
from .steps import packed
from .tracing import NotchSet, TablePiece, Traced

OUTWARD = 0.7
"""cm: how far the line of a notch stands out from the seam line."""
APART = 0.5
"""cm: how far either line of a double notch lies from its middle."""
FLAT = 0.05
"""cm."""
BESIDE = 0.6
"""cm: what is written on a piece keeps so far from its grain line."""


def viewed(piece: TablePiece) -> dict[str, Any]:
    """A piece for the page, all places [x, y] in cm.

    edges: name, turn, allowance and cubics as they run round the piece, by step; fill: the outline of a
    closed piece; cut: the line round the allowances there are, drawn: whether it was drawn; ticks: of
    notches; arrow: the grain; label, at: its lines and its place; spots: where the remark on each thing that
    was added belongs; said: a sentence.
    """
    edges = (*piece.round.edges, *piece.round.apart)
    return {
        "name": piece.name,
        "edges": {e.step: _edge(piece, e) for e in edges},
        "fill": [list(p) for p in piece.piece().outline.flat(FLAT)] if piece.closed else [],
        "cut": [list(p) for p in piece.cut_line],
        "drawn": piece.cut,
        "ticks": [[*start, *end] for start, end in ticks(piece)],
        "holes": [list(p) for p in piece.holes],
        "arrow": [list(p) for p in piece.grain] if piece.grain else [],
        "label": list(piece.label),
        "at": list(middle_of(piece)),
        "spots": {name: list(spot) for name, spot in spots(piece).items()},
        "said": said(piece),
    }


def said(piece: TablePiece) -> str:
    """How far a piece is traced, as a sentence."""
    if piece.closed:
        return f"The wheel is back where it began: the {piece.name} is cut free."
    if piece.round.apart:
        lying = " and ".join(edge.edge for edge in piece.round.apart)
        return f"{piece.name}: {lying} does not touch the other edges yet."
    if not piece.traced:
        return f"{piece.name}: no edge is traced."
    count = len(piece.traced)
    return (
        f"{piece.name}: {count} edge{'s' if count > 1 else ''} traced, not cut free yet. "
        "Trace on until the wheel is back where it began."
    )


def _edge(piece: TablePiece, edge: Traced) -> dict[str, Any]:
    wide, turn = piece.allowances.get(edge.edge, (None, ""))
    return {"edge": edge.edge, "wide": wide, "turn": turn, **packed(edge.curve)}


def ticks(piece: TablePiece) -> list[tuple[Point, Point]]:
    """The lines of all notches, from the seam line outward."""
    found = []
    for notch in piece.notches:
        curve, at = _placed(piece, notch)
        for place in (at,) if notch.count == 1 else (at - APART, at + APART):
            place = min(max(place, 0.0), curve.length)
            foot = curve.at(place)
            found.append((foot, foot + curve.direction(place).right() * OUTWARD))
    return found


def _placed(piece: TablePiece, notch: NotchSet) -> tuple[Curve, float]:
    return piece.edge(notch.traced.step).curve, piece.from_start(notch)


def middle_of(piece: TablePiece) -> Point:
    """A place inside a closed piece; else the middle of what is traced, or of its grain."""
    if piece.closed and (widest := _widest(piece)):
        return widest
    spots = [p for edge in piece.traced for p in (edge.curve.start, edge.curve.end)] or list(
        piece.grain or ()
    )
    if not spots:
        return Point(0.0, 0.0)
    return Point(sum(p.x for p in spots) / len(spots), sum(p.y for p in spots) / len(spots))


def _widest(piece: TablePiece) -> Point | None:
    """The middle of the widest place inside a closed piece, clear of its grain line; None without shapely."""
    try:
        import shapely
        from shapely.ops import polylabel
    except ModuleNotFoundError:
        return None
    inside = shapely.Polygon(piece.piece().outline.flat(FLAT)).buffer(0)
    if piece.grain:
        inside = inside.difference(shapely.LineString(piece.grain).buffer(BESIDE))
    parts = [part for part in shapely.get_parts(inside) if part.area > 0]
    if not parts:
        return piece.traced[0].curve.start
    middle = polylabel(max(parts, key=shapely.area), 0.5)
    return Point(middle.x, middle.y)


def spots(piece: TablePiece) -> dict[str, Point]:
    """Where the remark on each thing that was added belongs."""
    found = {}
    for edge in (*piece.round.edges, *piece.round.apart):
        middle = edge.curve.length / 2
        wide = piece.allowances.get(edge.edge, (0.0, ""))[0]
        out = edge.curve.direction(middle).right() * wide
        found[f"{piece.name}: allowance of {edge.edge}"] = edge.curve.at(middle) + out
    for before, after in piece.folds:
        end = next(e.curve.end for e in piece.round.edges if e.edge == before)
        found[f"{piece.name}: corner of {before} / {after}"] = end
    for notch in reversed(piece.notches):
        curve, at = _placed(piece, notch)
        found[f"{piece.name}: notches of {notch.traced.edge}"] = curve.at(min(max(at, 0.0), curve.length))
    if piece.grain:
        found[f"{piece.name}: grain"] = piece.grain[0].middle(piece.grain[1])
    if piece.label:
        found[f"{piece.name}: label"] = middle_of(piece)
    if piece.cut and piece.cut_line:
        ring = piece.cut_line
        start, end = max(pairwise((*ring, ring[0])), key=lambda side: side[0].distance(side[1]))
        found[f"{piece.name}: cut line"] = start.toward(end, start.distance(end) / 4)
    return {name: spot for name, spot in found.items() if name in piece.steps}


def sketch_pieces(sketch: Sketch, pieces: Iterable[TablePiece]) -> None:
    """Draw cut lines, notches, holes and grain lines into a still picture."""
    for piece in pieces:
        lines: list[tuple[str, list[Point]]] = [("notch", list(tick)) for tick in ticks(piece)]
        lines += [("grain line", list(piece.grain))] if piece.grain else []
        lines += [("cut line", [*piece.cut_line, piece.cut_line[0]])] if piece.cut_line else []
        for what, (first, *rest) in lines:
            path = (("M", *first), *(("L", *p) for p in rest))
            sketch.line(path, "own", f"{piece.name}: {what}", (first, *rest))
        for edge in piece.traced:
            sketch.line(curve_path(edge.curve), "own", edge.step)

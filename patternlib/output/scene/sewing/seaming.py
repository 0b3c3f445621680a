"""Pictures of seams: pieces right sides together, and what the seam gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from ....geometry import Move, Point
from ....pieces import Piece, Seam
from ..layers import HAIR, MIDDLE, Layer, Line, outline_of
from ..worn.sides import moved_layer
from .panel import Panel
from .work import Place, Work, side_of

TOGETHER, OPENED, TURNED = "right sides together", "opened and pressed", "turned right side out and pressed"
SHOWN, LARGER, SHORT = 14.0, 0.6, 0.2
"""cm of the work round an opening that are shown larger; how large, as a share of the whole picture; a seam
that is shorter than this share of the picture is shown larger as well."""
BESIDE_GAP, BAR = 0.5, 0.5
"""cm from an opening to the stitching round it, and half of a bar across its end (common practice)."""
SAME = 0.05
"""cm: two places of the made work that are one."""


def seamed(work: Work) -> Sequence[Panel]:
    """Pieces right sides together, and what the seam gives."""
    own = [seam for seam in work.seams if {p for p, _ in seam.a} == {p for p, _ in seam.b}]
    if len(own) == len(work.seams):
        return _layers_of_one(work, own)
    sewn = {p for seam in work.seams for side in (seam.a, seam.b) for p, _ in side}
    names = [name for name in work.step.pieces if name in sewn]
    bags = _bags(work, names)
    names = [name for name in names if name not in bags.values()]
    names.sort(key=lambda n: (not work.pieces[n].on_fold, -work.pieces[n].outline.area))
    base = names[0]
    if work.pieces[base].on_fold:
        work.twice = {name for name in names if work.pieces[name].pair}
    beside, at = work.placed(names, over=False), work.placed(names, over=True)
    places = [place for place in work.step.edges if place[0] in at]
    twins = _twins(work)
    order = sorted(at, key=lambda name: (name in twins[1:], name in work.down, "facing" in name))
    lying = []
    for name in order:
        layers = work.cloths(name, at[name], wrong=name in work.down and name not in bags)
        if name in bags and name in work.down:  # its facing is turned out already and lies on top
            layers = [replace(layer, name=bags[name]) for layer in layers]
        lying += layers
    walked = [p for seam in work.seams for side in (seam.a, seam.b) for p in side]
    top = [p for p in dict.fromkeys(walked) if p[0] in work.down]
    top = [p for p in top if "facing" in p[0]] or top or places  # facings lie uppermost
    gap = next((place for place in places if work.gap(place)), None)
    there = "; open on the wearer's right" if gap else ""
    heavy = work.heavy(top, at)
    detail = _small(heavy, lying)
    more, named = ((detail,) if detail else ()), not (detail or gap)
    first = Panel([*lying, heavy], TOGETHER + work.drawn_flat(names) + there, named)

    def shown(name: str, move: Move, *, wrong: bool = False) -> list[Layer]:
        return work.cloths(name, move, wrong=wrong, done=places)

    if twins:
        after = [layer for name in names if name not in twins for layer in shown(name, beside[name])]
        return first, *more, Panel([*after, *shown(twins[0], at[twins[0]])], TURNED, named)
    inside = [name for name in names[1:] if _turned_in(work, name, base)]
    if inside:
        layers = []
        for name in [n for n in names if n not in inside] + inside:
            move = at[name] if name in inside else beside[name]
            layers += shown(name, move.then(MIDDLE), wrong=name not in inside)
        return first, *more, Panel(layers, "turned in and pressed, seen from the inside", named)
    after = [layer for name in reversed(names) for layer in shown(name, beside[name])]
    second = Panel(after, OPENED + work.drawn_open(beside), named)
    return (first, second, _opening(work, gap, beside, after)) if gap else (first, *more, second)


def _opening(work: Work, place: Place, at: dict[str, Move], opened: Sequence[Layer]) -> Panel:
    """What is left open in a seam, larger, with the seam above and below, its bars and what runs round it."""
    from_, to = work.gap(place) or (0.0, 0.0)
    curve = work.pieces[place[0]].edge(place[1]).curve
    move = min(work.moves(place[0], at[place[0]]), key=lambda m: m(curve.at(from_)).x)
    ends = [move(curve.at(d)) for d in (from_, to)]
    middle, along = ends[0].middle(ends[1]), (ends[1] - ends[0]).unit()
    round_it = LineString(ends).buffer(BESIDE_GAP, cap_style="flat").boundary
    out = along.left() * BAR
    bars = [Line(LineString([p - out, p + out]), "sewing", "/".join(place), "bar tack") for p in ends]
    heavy = work.heavy([place], at)
    marks = Layer("", Polygon(), (*heavy.lines, *bars, Line(round_it, "stitching", "", "round the opening")))
    window = Spot(*middle).buffer(0.5 * SHOWN, cap_style="square")
    return _larger([*opened, marks], window, "the opening, larger; a bar tack at both ends")


def _small(heavy: Layer, layers: Sequence[Layer]) -> Panel | None:
    """Where a short seam is sewn, larger; None where it is long against the pieces."""
    x0, y0, x1, y1 = shapely.union_all([line.shape for line in heavy.lines]).bounds
    long = max(x1 - x0, y1 - y0)
    if long > SHORT * _reach(layers):
        return None
    window = Spot((x0 + x1) / 2, (y0 + y1) / 2).buffer(0.6 * long + 2, cap_style="square")
    return _larger([*layers, heavy], window, "larger, where it is sewn")


def _larger(layers: Sequence[Layer], window: BaseGeometry, words: str) -> Panel:
    """What of a picture lies in a window, as large as most of the picture."""
    x0, y0, x1, _ = window.bounds
    times = LARGER * _reach(layers) / (x1 - x0)

    def grown(p: Point) -> Point:
        return Point(times * (p.x - x0), times * (p.y - y0))

    return Panel([moved_layer(layer.cut_to(window), grown) for layer in layers], words)


def _reach(layers: Sequence[Layer]) -> float:
    x0, y0, x1, y1 = shapely.union_all([layer.shape for layer in layers]).bounds
    return max(x1 - x0, y1 - y0)


def _bags(work: Work, names: Sequence[str]) -> dict[str, str]:
    """Pieces that earlier steps have sewn to a facing and turned right side out: {piece: its facing}."""
    along: dict[tuple[str, str], int] = {}
    for seam in work.sewn:
        key = seam.a[0][0], seam.b[0][0]
        if key[0] in names and key[1] in names and key[0] != key[1] and "facing" in key[1]:
            along[key] = along.get(key, 0) + 1
    return {outer: inner for (outer, inner), n in along.items() if n > 1}


def _turned_in(work: Work, name: str, base: str) -> bool:
    """Whether a piece is a facing that this step turns to the inside."""
    if "facing" not in name or "facing" in base:
        return False
    now = {p for seam in work.seams for side in (seam.a, seam.b) for p, _ in side}
    partners = {p for s in work.seams for own, other in ((s.a, s.b), (s.b, s.a))
                if name in {q for q, _ in own} for p, _ in other}  # fmt: skip
    earlier = {p for s in work.sewn for own, other in ((s.a, s.b), (s.b, s.a))
               if name in {q for q, _ in own} for p, _ in other}  # fmt: skip
    return not (earlier & now) - partners - {name} or all("facing" in p for p in earlier & now - partners)


def _twins(work: Work) -> tuple[str, ...]:
    """Two pieces that are sewn along several edges and turned right side out, the outer one first."""
    along: dict[tuple[str, str], int] = {}
    for seam in work.seams:
        key = seam.a[0][0], seam.b[0][0]
        along[key] = along.get(key, 0) + 1
    return next((key for key, n in along.items() if n > 1 and key[0] != key[1]), ())


def _layers_of_one(work: Work, seams: Sequence[Seam]) -> Sequence[Panel]:
    """Copies of one piece, or one piece folded on itwork."""
    name = work.step.pieces[0]
    piece, at = work.pieces[name], {name: Move()}
    places = list(work.step.edges)
    if seams[0].a != seams[0].b:
        return _folded(work, piece, seams)
    lower = work.cloth(name, Move(), wrong=False)
    upper = work.cloth(name, Move(), wrong=True)
    first = Panel([lower, upper, work.heavy(places, at)], TOGETHER)
    if len(seams) > 1 or piece.on_fold:
        return first, Panel([work.cloth(name, Move(), wrong=False, done=places)], TURNED)
    curve = piece.edge(places[0][1]).curve
    other = Move.mirror(curve.start, curve.end)
    both = [work.cloth(name, move, wrong=False, done=places) for move in (Move(), other)]
    return first, Panel(both, OPENED)


def _folded(work: Work, piece: Piece, seams: Sequence[Seam]) -> Sequence[Panel]:
    """One piece folded so that two of its edges lie on each other, wrong side out."""
    seam = seams[0]
    (p, q), (r, s) = (work.chord(side, against, {piece.name: Move()})
                      for side, against in ((seam.a, seam.against_a), (seam.b, seam.against_b)))  # fmt: skip
    m, n = p.middle(r), q.middle(s)
    mark = next((mark.curve for mark in piece.marks if mark.style == "fold"), None)
    if mark is not None and m.distance(n) < 2 * SAME:
        m, n = mark.start, mark.end
    if piece.name in work.garment.through and mark is None:  # a strip, its ends on each other
        across = (q - p).unit()
        m = p.middle(s) if p.distance(s) < p.distance(r) else p.middle(r)
        n = m + across
    if m.distance(n) < SAME:
        n = m + (r - p).left()
    first = piece.edge(seam.a[0][1]).curve
    half = side_of(m, n, first.at(first.length / 2))
    at = {piece.name: Move()}
    whole = work.cloth(piece.name, Move(), wrong=True)
    folded = outline_of(Layer(piece.name, whole.shape & half, (), True))
    axis = (n - m).unit() * 300.0
    fold = Line(LineString([m - axis, m + axis]) & whole.shape, "fold", "", "fold")
    flat = work.cloth(piece.name, Move(), wrong=False).with_lines(fold)
    places = [place for s in seams for place in s.a]
    lines = work.heavy(places, at)
    first_panel = Panel([flat], "right side up: fold along the broken line")
    if piece.name not in work.garment.through:
        return first_panel, Panel([folded, lines], "folded, right sides together")
    across = (fold.shape & half.buffer(HAIR)).buffer(0.6, cap_style="square")
    ring = Layer("", across, (Line(across.boundary, "sewn", "", "ring"),))
    return first_panel, Panel([ring, replace(folded, wrong=False), lines], "round its ring, ends stitched")

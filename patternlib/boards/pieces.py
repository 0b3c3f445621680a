"""Boards of single pieces: allowances and corners, a circle skirt and its hem, the notches of one seam.

Also the drawing of all copies that are cut of a piece, opened out or turned over. Lengths in cm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from .. import tolerances
from ..checking import Finding, check
from ..errors import ValueAtFault, unknown
from ..garments.base import Garment
from ..garments.marking import grained, labelled
from ..geometry import Curve, Move, Point, arc, line, offset, polyline
from ..output.scene import Scene, piece_scene, side_by_side
from ..pieces import TURNED_OVER, Edge, Mark, Notch, Piece, finish, folds_first
from .board import Board
from .picture import Picture, said
from .slider import Slider

REASONS = {
    "seam": "A plain seam takes 1 cm, an enclosed tight curve 0.6 cm.",
    "hem": "A straight hem takes more than a flared one.",
    "fold-back": "It is folded once to the wrong side.",
}

LEAST_TURNED, LEAST_SEAM, MOST_SEAM = 0.6, 0.4, 2.5
"""cm of allowance: what can be turned at least, and what a seam is sewn with (common practice, no source)."""

TALLEST = 0.7
"""A sheet is at most this many times as high as wide."""


# -- allowances and corners


def allowance_board(
    piece: Piece, edges: Sequence[str], *, garment: Garment | None = None, title: str = "", unit: str = "cm"
) -> Board:
    """A live board of one piece with a slider for the allowance of each edge named.

    garment: the one it belongs to, then its seams are looked at with the changed piece; without it the piece
    alone is looked at, and the panel says so.

    The cut line and its corners follow; dotted, each hem and fold-back lies as it will once it is turned.
    Unknown edges raise UnknownName.

    >>> from patternlib import chart, make
    >>> pocket = make("pinafore", chart("course").body("12")).piece("back pocket")
    >>> allowance_board(pocket, ["opening"]).values
    {'opening': 2.5}
    """
    sliders = []
    for name in edges:
        edge = piece.edge(name)
        high = max(6.0, math.ceil(1.5 * edge.allowance))
        why = REASONS.get(edge.turn, "The fold of the cloth takes none.")
        kind = "" if name.endswith(edge.turn) else f", {edge.turn}"
        label = f"{name[0].upper()}{name[1:]}{kind}"
        sliders.append(Slider(name.replace(" ", "_"), label, 0.0, high, 0.1, edge.allowance, "cm", why))

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        depth = {name: values[name.replace(" ", "_")] for name in edges}
        changed = piece.replace(
            edges=tuple(Edge(e.name, e.curve, depth.get(e.name, e.allowance), e.turn) for e in piece.edges)
        )
        done = finish(changed)
        lying = tuple(
            Mark(f"{e.name}, folded back", turned)
            for e in done.edges
            if e.turn in TURNED_OVER and (turned := folded(done, e.name))
        )
        scene = piece_scene(done.replace(marks=done.marks + lying), unit=unit, lettering="screen")
        return Picture(_sheet(scene), _looked_at(done, garment))

    return Board(redraw, sliders, title=title or f"Allowances of the {piece.name}", unit=unit)


def _looked_at(piece: Piece, garment: Garment | None) -> list[Finding]:
    """What is found on a piece, with the seams of its garment where it is given, and what was looked at."""
    found = list(check([piece]))
    scope = "this piece alone was looked at, not the seams that join it to other pieces."
    if garment:
        others = [piece if p.name == piece.name else p for p in garment.pieces]
        own = [s.name for s in garment.seams if any(name == piece.name for name, _ in (*s.a, *s.b))]
        whole = check(others, garment.seams, limits=garment.limits)
        found += [f for f in whole if f.code < 400 and f.where.split(",")[0] in own and f not in found]
        scope = "this piece and the seams that join it to others were looked at, not the whole garment."
    return [*_turnings(piece), *found, said(piece.name, scope)]


def _turnings(piece: Piece) -> Iterator[Finding]:
    """Allowances that cannot be turned or that nobody sews with."""
    for edge in piece.edges:
        where = f"{piece.name}, {edge.name}"
        if edge.turn in TURNED_OVER and edge.allowance < LEAST_TURNED:
            text = f"nothing is left to turn: give it {LEAST_TURNED:g} cm or more."
            yield Finding(410, "warning", where, edge.allowance, LEAST_TURNED, 0.0, text)
        elif edge.turn == "seam" and not LEAST_SEAM <= edge.allowance <= MOST_SEAM:
            text = f"a seam is sewn with {LEAST_SEAM:g} to {MOST_SEAM:g} cm beside it."
            yield Finding(411, "warning", where, edge.allowance, 1.0, 0.0, text)


def folded(piece: Piece, edge: str) -> Curve | None:
    """The raw edge of a hem or fold-back where it lies once it is turned over its seam line.

    At a corner where this allowance is folded first, its end as cut is mirrored along with it. None where
    the edge has no allowance.

    >>> from patternlib import chart, make
    >>> skirt = make("pinafore", chart("course").body("12")).piece("front skirt")
    >>> round(folded(skirt, "hem").end.y - skirt.edge("hem").curve.end.y, 3)
    3.0
    """
    names = [e.name for e in piece.edges]
    k = names.index(piece.edge(edge).name)
    before, own, after = piece.edges[k - 1], piece.edges[k], piece.edges[(k + 1) % len(names)]
    if not own.allowance or not piece.cut_line:
        return None
    curve, depth = own.curve, own.allowance
    lying = offset(curve, -depth)
    if folds_first(piece, own, after) == "before":
        end = _end(piece.cut_line, curve, curve.end, curve.end_direction, depth)
        lying = _upto(lying, end, curve.end_direction)
    if folds_first(piece, before, own) == "after":
        end = _end(piece.cut_line[::-1], curve, curve.start, -curve.start_direction, depth, outward=-1)
        lying = _upto(lying[::-1], end, -curve.start_direction)[::-1]
    return polyline([p for i, p in enumerate(lying) if not i or p.distance(lying[i - 1]) > tolerances.POINT])


def _upto(lying: list[Point], end: list[Point], along: Point) -> list[Point]:
    """The raw edge as far as the end of its allowance reaches, then that end."""
    while end and len(lying) > 1 and (lying[-1] - end[0]).dot(along) > 0:
        lying = lying[:-1]
    return lying + end


def _end(
    ring: Sequence[Point], curve: Curve, corner: Point, along: Point, depth: float, outward: int = 1
) -> list[Point]:
    """The cut line at the end of an allowance, mirrored over the seam line: from its depth to the seam line.

    ring: the cut line in the direction of `along`; outward: 1 where the allowance lies to the right of it.
    """
    mirror = Move.mirror(corner, corner + along)
    out = along.right() * outward
    heights = [(p - corner).dot(out) for p in ring]
    n = len(ring)
    # the last place of the cut line that lies at the whole depth, looking back from the seam line
    ends = [
        i
        for i in range(n)
        if heights[i] > 0 >= heights[(i + 1) % n] and (ring[i] - corner).dot(along) > -depth
    ]
    if not ends:
        return []
    last = min(ends, key=lambda i: ring[i].distance(corner))
    p, q = ring[last], ring[(last + 1) % n]
    run = [p + (q - p) * (heights[last] / (heights[last] - heights[(last + 1) % n]))]
    whole = False  # the run has come to the raw edge
    for i in range(last, last - n, -1):
        if heights[i] <= 0 or (whole and (ring[i] - corner).dot(along) < -tolerances.POINT):
            break
        run.append(ring[i])
        whole = curve.closest(ring[i])[1] > depth - tolerances.SEAM
    return [mirror(p) for p in reversed(run)]


# -- the circle skirt


def circle_panel(*, waist: float, share: float, length: float, hem: float) -> Piece:
    """Half a front or back of a circle skirt, its centre on the fold: a quarter of the whole skirt.

    waist: girth to be sewn; share: of a full circle, 0.1 to 1; length: waist to hem; hem: its depth. The
    radius is waist / (2 pi share), for the girth is that share of a circle's circumference.

    >>> panel = circle_panel(waist=72, share=0.5, length=60, hem=2.5)
    >>> round(4 * panel.edge("waist").curve.length, 3), round(panel.edge("waist").curve.start.length, 2)
    (72.0, 22.92)
    """
    for name, value, low, high in (
        ("waist", waist, 20, 250), ("share", share, 0.1, 1), ("length", length, 10, 150), ("hem", hem, 0, 10),
    ):  # fmt: skip
        if not low <= value <= high:
            raise ValueAtFault(name, value, f"must lie between {low} and {high}")
    radius, turn = waist / (2 * math.pi * share), 90.0 * share
    top, bottom = (arc((0, 0), r, -90, -90 + turn) for r in (radius, radius + length))
    edges = (
        Edge("centre", line(top.start, bottom.start), 0.0, "fold"),
        Edge("hem", bottom, hem, "hem"),
        Edge("side", line(bottom.end, top.end), 1.0),
        Edge("waist", top.reversed(), 1.0),
    )
    piece = grained(Piece("circle skirt", edges, cut=2, on_fold=True))
    return finish(labelled(piece, ("practice piece",)))


def circle_board(*, waist: float = 72.0, unit: str = "cm") -> Board:
    """A live board of a circle skirt's pattern: waist girth, share of a circle, length, hem depth.

    Dotted, the raw edge as it lies when the hem is turned up; the findings say by how much it is too long.

    >>> circle_board().values
    {'waist': 72.0, 'share': 50.0, 'length': 60.0, 'hem': 2.5}
    """
    sliders = (
        Slider("waist", "Waist to be sewn", 50, 130, 0.5, waist, "cm", "With its wearing ease."),
        Slider("share", "Share of a full circle", 10, 100, 5, 50, "%", "A larger share gives more flare."),
        Slider("length", "Length", 30, 90, 1, 60, "cm", "From the waist to the hem."),
        Slider("hem", "Hem depth", 0.6, 6, 0.1, 2.5, "cm", "The deeper the hem, the more it is too long."),
    )

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        panel = circle_panel(
            waist=values["waist"], share=values["share"] / 100, length=values["length"], hem=values["hem"]
        )
        turned = folded(panel, "hem")
        shown = panel.replace(marks=(Mark("hem, folded back", turned),) if turned else ())
        scene = piece_scene(shown, unit=unit, lettering="screen", measures=True)
        return Picture(
            _sheet(scene),
            [*check([panel]), said("circle skirt", "this piece alone was looked at, not a whole skirt.")],
        )

    return Board(redraw, sliders, title="A circle skirt and its hem", unit=unit)


# -- the notches of one seam


def notch_board(garment: Garment, seam: str, *, title: str = "", unit: str = "cm") -> Board:
    """A live board of the two pieces of one seam, with a notch on each that the hand moves along the seam.

    The seam must have one edge a side and a notch. The findings say whether the notches meet, keep clear of
    the corners and look different from both ends.

    >>> from patternlib import chart, make
    >>> board = notch_board(make("pinafore", chart("course").body("12")), "bib side to facing")
    >>> board.values
    {'on_a': 9.6, 'on_b': 9.6, 'slits_a': 1.0, 'slits_b': 1.0}
    """
    fit = {
        s.name: s for s in garment.seams if len(s.a) == len(s.b) == 1 and s.notches and s.a[0][0] != s.b[0][0]
    }
    if seam not in fit:
        raise unknown("seam of two pieces with a notch", seam, fit)
    sewn = fit[seam]
    at_a, at_b, slits = sewn.notches[0]
    sides = (("a", sewn.a[0], sewn.against_a, at_a), ("b", sewn.b[0], sewn.against_b, at_b))
    sliders, plain = [], {}
    for side, (name, edge), _, at in sides:
        piece = garment.piece(name)
        plain[side] = piece.replace(notches=())
        high = math.floor(10 * piece.edge(edge).curve.length) / 10
        sliders.append(
            Slider(f"on_{side}", f"Notch on the {name}, walked from the start", 0, high, 0.1, round(at, 1))
        )
    sliders += [
        Slider(f"slits_{side}", f"Slits on the {name}", 1, 2, 1, slits, "", "Front single, back double.")
        for side, (name, _), _, _ in sides
    ]

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        marked = []
        for side, (_, edge), against, _ in sides:
            length, at = plain[side].edge(edge).curve.length, values[f"on_{side}"]
            notch = Notch(edge, length - at if against else at, round(values[f"slits_{side}"]), seam)
            marked.append(plain[side].replace(notches=(notch,)))
        scenes = [piece_scene(piece, unit=unit, lettering="screen") for piece in marked]
        findings = [f for f in check(marked, [sewn]) if 200 <= f.code < 300]
        scope = "only the notches of this seam were looked at."
        return Picture(_sheet(side_by_side(*scenes, title=seam)), [*findings, said(seam, scope)])

    return Board(redraw, sliders, title=title or f"Notches: {seam}", unit=unit)


# -- copies


def turned_over(piece: Piece) -> Piece:
    """The other of a pair: the piece turned over about its grain, or about the upright where it has none.

    >>> from patternlib import chart, make
    >>> strap = make("pinafore", chart("course").body("12")).piece("strap")
    >>> turned_over(strap).outline.area - strap.outline.area < 1e-9
    True
    """
    grain = piece.grain
    axis = Move.mirror(grain.start, grain.end) if grain else Move.mirror(Point(0, 0), Point(0, 1))

    def over(curve: Curve) -> Curve:
        return curve.moved(axis).reversed()

    lengths = {edge.name: edge.curve.length for edge in piece.edges}
    return piece.replace(
        edges=tuple(Edge(e.name, over(e.curve), e.allowance, e.turn) for e in reversed(piece.edges)),
        cut_line=tuple(axis(p) for p in reversed(piece.cut_line)),
        notches=tuple(Notch(n.edge, lengths[n.edge] - n.at, n.count, n.seam) for n in piece.notches),
        drill_holes=tuple(type(h)(axis(h.point), h.purpose) for h in piece.drill_holes),
        marks=tuple(Mark(m.name, m.curve.moved(axis), m.style) for m in piece.marks),
        folds={(after, before): first for (before, after), first in piece.folds.items()},
    )


def copies_scene(piece: Piece, *, mirrored: bool = True, unit: str = "cm") -> Scene:
    """Two copies of a piece side by side, the second turned over; mirrored=False: two alike, the mistake."""
    second = turned_over(piece) if mirrored else piece
    scenes = [piece_scene(one, unit=unit, lettering="screen") for one in (piece, second)]
    how = "as a pair, the second turned over" if mirrored else "twice alike, not a pair"
    return _sheet(side_by_side(*scenes, title=f"{piece.name}, cut {how}"))


def _sheet(scene: Scene) -> Scene:
    """The same drawing in the middle of a sheet wide enough to be seen whole on a page."""
    x0, y0, x1, y1 = scene.bounds
    side = max(0.0, ((y1 - y0) / TALLEST - (x1 - x0)) / 2)
    return Scene(scene.items, scene.title, (x0 - side, y0, x1 + side, y1))

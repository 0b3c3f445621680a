"""Checks of a side opening on the finished pieces: whether it closes, and whether she gets in.

Nothing here reads the plan or the rules that placed the fastenings: the pieces are laid on each other and
measured. Codes: 711 to 715 closing, 721 and 722 getting in.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from .. import tolerances
from ..body import Body
from ..checking import Finding
from ..geometry import Curve, Move, Point
from ..pieces import Piece
from .closing import SHANK, TRIMMED

ROOM = 1.0
"""cm; the smallest ring is so much wider than the hips, for light clothes (common practice, no source)."""
STEP = 0.5
"""cm; an opening is measured in these."""


class Place(NamedTuple):
    """A fastening on one layer: cm below the waist, walked along the side, and cm inside the side line."""

    below: float
    inside: float
    at: tuple[str, Point]


def _named(piece: Piece, purpose: str) -> Point | None:
    for mark in piece.marks:
        if mark.style == "buttonhole" and mark.name == purpose:
            return mark.curve.at(SHANK)
    for hole in piece.drill_holes:
        if hole.purpose == purpose:
            return hole.point
    return None


def fastenings(pieces: Mapping[str, Piece]) -> list[tuple[int, Place | None, Place | None]]:
    """(number, its place on the front, its place on the back extension), counted from the waist."""
    band = pieces["waistband"].edge("side").curve.length
    front = (("waistband", "side", 0.0), ("front skirt", "opening", band))
    back = (("back extension", "opening edge", 0.0),)
    out = []
    for k in range(1, 20):
        found: list[Place | None] = []
        for layer in (front, back):
            place = None
            for name, edge, start in layer:
                for what in (f"buttonhole {k}", f"button {k}", f"press fastener {k}"):
                    p = _named(pieces[name], what)
                    if p is not None:
                        at, inside = pieces[name].edge(edge).curve.closest(p)
                        place = Place(start + at, inside, (name, p))
            found.append(place)
        if found == [None, None]:
            break
        front_place, back_place = found
        out.append((k, front_place, back_place))
    return out


def side_of_front(pieces: Mapping[str, Piece]) -> Curve:
    """The front's finished edge along the opening, from the waist down; both pieces lie as on the plan."""
    return pieces["waistband"].edge("side").curve.joined(pieces["front skirt"].edge("opening").curve)


def laid_on(pieces: Mapping[str, Piece]) -> Move | None:
    """The move that lays the front on the back extension, first and last fastening on each other."""
    pairs = [(f.at[1], b.at[1]) for _, f, b in fastenings(pieces) if f and b]
    if len(pairs) < 2:
        return None
    (p, p2), (q, q2) = pairs[0], pairs[-1]
    return Move.onto(p, q, p2, q2)


def closing_findings(pieces: Mapping[str, Piece]) -> Iterator[Finding]:
    """Whether the fastenings of both layers meet, and whether the side lines meet when it is closed."""
    places = fastenings(pieces)
    if not places:
        yield Finding(
            712, "error", "side opening", 0, 2, 0, "nothing fastens the opening: mark its fastenings."
        )
        return
    for k, front, back in places:
        if front is None or back is None:
            has, lacks = ("front", "back extension") if front else ("back extension", "front")
            yield Finding(
                712,
                "error",
                f"fastening {k}",
                None,
                None,
                None,
                f"it is marked on the {has} and not on the {lacks}: mark it on both.",
            )
            continue
        for got, want, words in (
            (front.below, back.below, "below the waist"),
            (front.inside, back.inside, "inside the side line"),
        ):
            if abs(got - want) > tolerances.NOTCH:
                yield Finding(
                    711,
                    "error",
                    f"fastening {k}",
                    got,
                    want,
                    tolerances.NOTCH,
                    f"it lies {got:.2f} cm {words} on the front and {want:.2f} cm on the back "
                    "extension: mark both at the same distance.",
                    front.at,
                )
    yield from _edges_meet(pieces)
    yield from _on_seams(pieces, [front for _, front, _ in places if front])


def _edges_meet(pieces: Mapping[str, Piece]) -> Iterator[Finding]:
    move = laid_on(pieces)
    if move is None:
        return
    front, back = side_of_front(pieces).moved(move), pieces["back extension"].edge("opening edge").curve
    gaps = [(back.closest(front.at(front.length * k / 12))[1], front.length * k / 12) for k in range(13)]
    gap, level = max(gaps)
    if gap > tolerances.NOTCH:
        yield Finding(
            713,
            "error",
            "side opening",
            gap,
            0.0,
            tolerances.NOTCH,
            f"closed, the side lines of front and back lie {gap:.2f} cm apart {level:.1f} cm below the "
            "waist: trace the extension from the front's side.",
        )


def _on_seams(pieces: Mapping[str, Piece], front: list[Place]) -> Iterator[Finding]:
    """Fastenings on the ridge of a seam, and buttonholes with nothing behind them."""
    band = pieces["waistband"].edge("side").curve.length
    ridge = pieces["waistband"].edge("skirt edge").allowance
    behind = pieces["front facing"].edge("bottom").curve.length
    holes = {m.name: m.curve.length for name in ("waistband", "front skirt") for m in pieces[name].marks
             if m.style == "buttonhole"}  # fmt: skip
    long = max(holes.values(), default=0.0)
    for k, place in enumerate(front, 1):
        near = place.inside - (SHANK if long else 0.0)
        if near < TRIMMED - 1e-6:
            yield Finding(
                714,
                "warning",
                f"fastening {k}",
                near,
                TRIMMED,
                0.0,
                f"it begins {near:.2f} cm from the front's edge, on the turned-in seam: take a wider "
                "extension.",
                place.at,
            )
        if -ridge < place.below - band < 0.3 or place.below < 0.3:
            yield Finding(
                714,
                "warning",
                f"fastening {k}",
                abs(place.below - band),
                ridge,
                0.0,
                "it stands on the seam under the waistband: take a deeper waistband, or another "
                "number of fastenings.",
                place.at,
            )
        if place.below > band and place.inside + long - SHANK > behind - 0.3:
            yield Finding(
                715,
                "warning",
                f"fastening {k}",
                place.inside + long - SHANK,
                behind,
                0.0,
                f"its buttonhole ends {place.inside + long - SHANK:.1f} cm from the edge, where the "
                f"facing of {behind:.1f} cm no longer supports it: take a smaller button, or a wider "
                "extension.",
                place.at,
            )


# -- getting in


def ring(pieces: Mapping[str, Piece], below: float = 0.0) -> float:
    """Girth of the closed skirt at the opening's end, or so many cm further down the side seam, cm.

    Flat cloth passes nothing wider than its shortest way across: straight from side to side, front and back.
    """
    across = 0.0
    for name, centre in (("front skirt", "centre front"), ("back skirt", "centre back")):
        piece = pieces[name]
        seam, fold = piece.edge("side seam").curve, piece.edge(centre).curve
        down = name == "front skirt"  # its side seam is run downward
        p = seam.at(min(below, seam.length) if down else max(seam.length - below, 0.0))
        way = (fold.end - fold.start).unit()
        across += abs(way.cross(p - fold.start))
    return 2 * across


def upper_ring(pieces: Mapping[str, Piece]) -> float:
    """The wider of the two rings by which she can step in, cm.

    One is the neck opening, of bib, straps and the back's neck edge. The other is the arm opening of one
    side, unbuttoned; her head then goes under the strap.
    """

    def long(*places: str) -> float:
        return sum(pieces[p].edge(e).curve.length for p, e in (place.split("/") for place in places))

    neck = 2 * (long("bib/top", "strap/straight side", "back yoke/neck edge") - long("strap/end"))
    arm = long(
        "bib/side", "strap/curved side", "back yoke/side edge", "back yoke/side", "back skirt/opening",
        "waistband/side", "front skirt/opening",
    )  # fmt: skip
    return max(neck, arm)


def getting_in(pieces: Mapping[str, Piece], body: Body) -> Iterator[Finding]:
    """Whether she gets in: stepping in, the hips pass; over the head, the bust with both arms raised."""
    got, hips, bust = ring(pieces), body.hip_girth + ROOM, body.bust_girth + ROOM
    if got < hips - 1e-6:
        advice = deeper(pieces, hips)
        over = " As it is, it can only be pulled over the head." if got >= bust else ""
        yield Finding(
            721,
            "warning" if over else "error",
            "side opening",
            got,
            hips,
            0.0,
            f"the smallest ring, at the end of the opening, measures {got:.1f} cm, and hips of "
            f"{body.hip_girth:.1f} cm must pass. {advice}{over}",
        )
    upper = upper_ring(pieces)
    if upper < hips and got < bust:
        yield Finding(
            722,
            "error",
            "side opening",
            upper,
            hips,
            0.0,
            f"stepping in, hips of {body.hip_girth:.1f} cm do not pass the {upper:.1f} cm of neck or arm "
            f"opening; over the head, a bust of {body.bust_girth:.1f} cm does not pass the {got:.1f} cm at "
            f"the opening's end. {deeper(pieces, bust)}",
        )


def short_of_getting_in(pieces: Mapping[str, Piece], body: Body) -> float:
    """By how much the opening must be deeper for the hips to pass the upper ring, cm; 0 where she gets in.

    The arm opening is as long as the side opening on both its edges. Where she gets in over the head, or the
    hips do not even pass the opening's end, it is 0.
    """
    hips = body.hip_girth + ROOM
    upper = upper_ring(pieces)
    if upper >= hips or not hips - 1e-6 <= ring(pieces) < body.bust_girth + ROOM:
        return 0.0
    return STEP * math.ceil((hips - upper) / 2 / STEP - 1e-6)


def deeper(pieces: Mapping[str, Piece], girth: float) -> str:
    """What to change for a girth to pass through the opening's end."""
    length = pieces["front skirt"].edge("side seam").curve.length
    by = next((STEP * k for k in range(1, int(length / STEP)) if ring(pieces, STEP * k) >= girth), 0.0)
    return f"Make the opening {by:g} cm deeper." if by else "Take more flare, or more ease round the hip."

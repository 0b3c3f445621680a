"""Seams: which edges are sewn together, in which order they are walked, where notches lie. Lengths in cm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..errors import unknown
from .piece import Notch, Piece


@dataclass(frozen=True)
class Seam:
    """Two sides that are sewn together, each a run of (piece, edge) in the order it is walked.

    a, b: the two sides from the seam's start; against_a, against_b: whether that side is walked against
    the direction of its outline; ease: how much longer side a is meant to be, cm; notches: distances from
    the seam's start on side a and b, and the count.
    """

    name: str
    a: tuple[tuple[str, str], ...]
    b: tuple[tuple[str, str], ...]
    against_a: bool = False
    against_b: bool = True
    ease: float = 0.0
    notches: tuple[tuple[float, float, int], ...] = ()


def side_length(pieces: Mapping[str, Piece], side: tuple[tuple[str, str], ...]) -> float:
    """Length of one side of a seam on the true curves, cm."""
    return sum(pieces[piece].edge(edge).curve.length for piece, edge in side)


def side_starts(pieces: Mapping[str, Piece], side: tuple[tuple[str, str], ...], against: bool) -> str:
    """The edge that meets a side of a seam where its walk starts.

    against: whether the side is walked against its outline. UnknownName for an edge the piece does not have.

    >>> from patternlib import chart, make
    >>> made = make("pinafore", chart("course").body("12"))
    >>> pieces, sewn = {p.name: p for p in made.pieces}, {s.name: s for s in made.seams}
    >>> [side_starts(pieces, sewn["side seam"].a, False), side_starts(pieces, sewn["strap to yoke"].b, True)]
    ['opening', 'neck edge']
    """
    piece, name = side[0]
    edges = pieces[piece].edges
    k = edges.index(pieces[piece].edge(name))
    return edges[(k + (1 if against else -1)) % len(edges)].name


def place_on_side(
    pieces: Mapping[str, Piece], side: tuple[tuple[str, str], ...], against: bool, distance: float
) -> tuple[str, str, float]:
    """(piece, edge, distance from the edge's start) of a place walked `distance` along a side of a seam."""
    for k, (piece, edge) in enumerate(side):
        length = pieces[piece].edge(edge).curve.length
        if distance <= length + 1e-9 or k == len(side) - 1:
            return piece, edge, length - distance if against else distance
        distance -= length
    raise unknown("seam side", side, [])


def seam(
    pieces: Mapping[str, Piece],
    name: str,
    a: str,
    b: str,
    *,
    walk: tuple[str, str] = ("along", "against"),
    notches: Sequence[tuple[float, int]] = (),
    ease: float = 0.0,
) -> Seam:
    """A seam of edges written 'piece/edge', several joined by ' + ' in the order they are walked.

    walk: whether side a and side b are walked along or against their outlines; notches: (share of side b,
    count) of each notch; on side a a notch lies at the same walked distance where there is no ease, else
    at the same share.

    >>> seam({}, "shoulder", "back/shoulder", "front/shoulder").b
    (('front', 'shoulder'),)
    """
    side_a, side_b = (
        tuple((part.strip().split("/")[0], part.strip().split("/")[1]) for part in side.split(" + "))
        for side in (a, b)
    )
    marks: tuple[tuple[float, float, int], ...] = ()
    if notches:
        length, whole = side_length(pieces, side_b), side_length(pieces, side_a)
        stretch = whole if ease else length
        marks = tuple((share * stretch, share * length, count) for share, count in notches)
    return Seam(name, side_a, side_b, walk[0] == "against", walk[1] == "against", ease, marks)


def with_notches(pieces: Mapping[str, Piece], seams: tuple[Seam, ...]) -> dict[str, Piece]:
    """The pieces with each seam's notches marked on both its sides, at equal walked distances."""
    marks: dict[str, list[Notch]] = {name: list(piece.notches) for name, piece in pieces.items()}
    for seam in seams:
        for at_a, at_b, count in seam.notches:
            for side, against, at in ((seam.a, seam.against_a, at_a), (seam.b, seam.against_b, at_b)):
                piece, edge, place = place_on_side(pieces, side, against, at)
                notch = Notch(edge, place, count, seam.name)
                if not any(
                    n.edge == edge and n.count == count and abs(n.at - place) < 1e-6 for n in marks[piece]
                ):
                    marks[piece].append(notch)
    return {name: piece.replace(notches=tuple(marks[name])) for name, piece in pieces.items()}

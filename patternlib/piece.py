"""Pattern pieces and the seams that join them, before and after finishing.

A piece is an outline of named edges on the seam line; each edge has its own allowance and turning.
Finishing (see finish.py) gives it a cut line. All lengths in cm.
"""

from __future__ import annotations

from collections.abc import Iterator, KeysView, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from .errors import look_up, unknown
from .geometry import Curve, Outline, Point
from .notebook import Pictured

TURNS = ("seam", "hem", "fold-back", "fold", "caught")
"""seam: sewn to another edge; hem: turned twice or hemmed; fold-back: folded once to the wrong side;
fold: the cloth's fold lies here, no allowance; caught: held in a seam that other edges make, or stitched down
over it, and no other edge is walked along it."""


@dataclass(frozen=True)
class Edge:
    """One named edge on the seam line, run anticlockwise round the piece. allowance in cm."""

    name: str
    curve: Curve
    allowance: float
    turn: str = "seam"


@dataclass(frozen=True)
class Notch:
    """A mark at a distance `at` (cm) walked along the seam line from the edge's start.

    count 2 is a double notch, two marks 1 cm apart whose middle is `at`.
    """

    edge: str
    at: float
    count: int = 1
    seam: str = ""


@dataclass(frozen=True)
class DrillHole:
    point: Point
    purpose: str


@dataclass(frozen=True)
class Grain:
    """The grain line. one_way: an arrow at its end only, for napped cloth or a one-way print."""

    start: Point
    end: Point
    one_way: bool = False


@dataclass(frozen=True)
class Mark:
    """A line drawn inside a piece.

    style: 'placement', where a pocket is placed; 'fold', where it is folded; 'buttonhole', where one is cut.
    """

    name: str
    curve: Curve
    style: str = "placement"


@dataclass(frozen=True)
class Piece(Pictured):
    """One pattern piece on its seam line.

    cut: how many to cut of each cloth named in `cloths`; pair: they are cut mirrored, left and right;
    on_fold: half the piece is drawn and its fold edge lies on the fold of the cloth; folds: for the corner
    named by (edge before, edge after), which of the two edges' allowances is folded back first; a hem or
    fold-back does so without being named. label: the lines written on the piece.
    """

    name: str
    edges: tuple[Edge, ...]
    cut: int = 1
    pair: bool = False
    on_fold: bool = False
    cloths: tuple[str, ...] = ("main cloth",)
    grain: Grain | None = None
    notches: tuple[Notch, ...] = ()
    drill_holes: tuple[DrillHole, ...] = ()
    marks: tuple[Mark, ...] = ()
    label: tuple[str, ...] = ()
    folds: Mapping[tuple[str, str], str] = field(default_factory=dict, hash=False)
    cut_line: tuple[Point, ...] = ()

    @cached_property
    def outline(self) -> Outline:
        return Outline(tuple((edge.name, edge.curve) for edge in self.edges))

    def edge(self, name: str) -> Edge:
        """One edge by its name. Raises UnknownName."""
        return look_up(f"edge of {self.name}", name, {edge.name: edge for edge in self.edges})

    def __getitem__(self, name: str) -> Edge:
        return self.edge(name)

    def __contains__(self, name: object) -> bool:
        return name in self.keys()

    def __iter__(self) -> Iterator[Edge]:
        return iter(self.edges)

    def __len__(self) -> int:
        return len(self.edges)

    def keys(self) -> KeysView[str]:
        """The names of the edges, in order."""
        return {edge.name: edge for edge in self.edges}.keys()

    def _ipython_key_completions_(self) -> list[str]:
        return list(self.keys())

    def __repr__(self) -> str:
        return f"<piece {self.name}: {len(self.edges)} edges, cut {self.cut}>"

    def replace(self, **changes: Any) -> Piece:
        """The piece with some of its values changed."""
        return replace(self, **changes)

    def notch_point(self, notch: Notch) -> Point:
        """The notch's place on the seam line."""
        return self.edge(notch.edge).curve.at(notch.at)


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

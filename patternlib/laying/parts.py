"""From garments to what is laid: how often each piece is cut, mirrored or not, on the fold or opened out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from .. import tolerances
from ..errors import PatternError, ValueAtFault, unknown
from ..garments.base import Garment
from ..geometry import Move, Point
from ..pieces import Piece
from .shapes import Ring, Shape, Way

UPSIDE_DOWN = Move.turn((0.0, 0.0), 180)
OVER = Move.mirror((0.0, 0.0), (1.0, 0.0))
"""Turned over about the grain: the other of a pair, or the cloth's other layer."""
LEVEL = Point(0.0, 0.0)
"""What is kept on a stripe: the level y = 0 that all pieces of a plan share, in the plans the waist."""


class Lie(NamedTuple):
    """One way a piece may lie. move: from the piece to the cloth's direction; opened: whole, though half is
    drawn; spare: of the two layers under it one is not needed."""

    move: Move
    opened: bool = False
    spare: bool = False


@dataclass(frozen=True)
class Part:
    """One kind of laying of one piece. lies: one for each way of the shape; gives: pieces from one laying."""

    garment: str
    size: str
    piece: Piece
    lies: tuple[Lie, ...]
    shape: Shape
    gives: int = 1


def cloths(garments: Garment | Iterable[Garment]) -> tuple[str, ...]:
    """The cloths that garments are cut from, in the order they turn up.

    >>> from patternlib import chart, make
    >>> cloths(make("pinafore", chart("course").body("12")))
    ('main cloth', 'fusing')
    """
    return tuple(dict.fromkeys(c for g in as_garments(garments) for p in g.pieces for c in p.cloths))


def as_garments(garments: Garment | Iterable[Garment]) -> tuple[Garment, ...]:
    """One garment or several as a tuple; refuses none."""
    found = (garments,) if isinstance(garments, Garment) else tuple(garments)
    if not found or any(not isinstance(g, Garment) for g in found):
        came = "something else" if found else "no garment"
        raise ValueAtFault("lay", came, "was given", 'Make a garment first: make("pinafore", body).')
    return found


def parts_to_lay(
    garments: Sequence[Garment], cloth: str, *, folds: int, one_way: bool, room: float
) -> list[Part]:
    """Everything to be laid on one cloth, folded 0, 1 or 2 times; room: cm free across the cloth."""
    known = cloths(garments)
    if cloth not in known:
        raise unknown("cloth of these garments", cloth, known)
    made = []
    for garment in garments:
        for piece in garment.pieces:
            if cloth in piece.cloths:
                if not piece.cut_line:
                    raise PatternError(f"lay: {piece.name} has no cut line. Finish it first: finish(piece).")
                copies = piece.replace(cut=piece.copies(cloth))
                fixed = one_way or (piece.grain is not None and piece.grain.one_way)
                turns = (Move(),) if fixed else (Move(), UPSIDE_DOWN)
                kinds = _folded(copies, turns, folds, room) if folds else _flat(copies, turns)
                made += [_part(garment, piece, *kind) for kind in kinds]
    return made


Kind = tuple[list[tuple[Lie, str]], int, int]
"""The ways of a laying, each with its fold ('low', 'high', ''); how often it is laid; what one gives."""


def _part(garment: Garment, piece: Piece, lies: Sequence[tuple[Lie, str]], count: int, gives: int) -> Part:
    along = _grain_along(piece)
    half, whole = piece.cut_line, _opened(piece) if piece.on_fold else ()
    ways = tuple(
        Way(_moved(whole if opened else half, move), _turn(move, along), move.over, move(LEVEL).x, fold)
        for (move, opened, _), fold in lies
    )
    name = f"{piece.name} ({garment.name}{', size ' + garment.size if garment.size else ''})"
    shape = Shape(name, ways, count)
    return Part(garment.name, garment.size, piece, tuple(lie for lie, _ in lies), shape, gives)


def _flat(piece: Piece, turns: Sequence[Move]) -> list[Kind]:
    """On one layer: pieces on the fold opened out, the second half of a pair turned over."""
    along = _grain_along(piece)
    plain = [(Lie(along.then(turn), piece.on_fold), "") for turn in turns]
    if piece.on_fold or not piece.pair:
        return [(plain, piece.cut, 1)]
    over = [(Lie(along.then(OVER).then(turn)), "") for turn in turns]
    halves = ((plain, piece.cut - piece.cut // 2), (over, piece.cut // 2))
    return [(lies, count, 1) for lies, count in halves if count]


def _folded(piece: Piece, turns: Sequence[Move], folds: int, room: float) -> list[Kind]:
    """On two layers: pairs cut once through both; pieces on the fold at a fold, or opened out.

    Opened out, both layers give two of them; of a piece that is cut once, one layer is cut.
    """
    along = _grain_along(piece)
    either = [along.then(over).then(turn) for turn in turns for over in (Move(), OVER)]
    if piece.on_fold:
        ring = [along(c).y for c in _opened(piece)]
        fits = max(ring) - min(ring) <= room
        if fits and piece.cut > 1:
            kinds = [([(Lie(along.then(t), True), "") for t in turns], piece.cut // 2, 2)]
            return [*kinds, *_folded(piece.replace(cut=1), turns, folds, room)] if piece.cut % 2 else kinds
        at_fold = [lie for m in either for lie in _at_fold(piece, m, folds)]
        opened = [(Lie(along.then(t), True, True), "") for t in turns] if fits else []
        return [([*at_fold, *opened], piece.cut, 1)]
    twice = piece.pair or _same_turned_over(piece, along, turns)
    single = piece.cut % 2 if twice else piece.cut
    kinds = [([(Lie(m), "") for m in either], piece.cut // 2, 2)] if twice and piece.cut > 1 else []
    return [*kinds, ([(Lie(m, False, True), "") for m in either], single, 1)] if single else kinds


def _at_fold(piece: Piece, move: Move, folds: int) -> list[tuple[Lie, str]]:
    """The piece moved to the fold it can lie at, as it is turned; its fold at y = 0."""
    p, q = (move(end) for end in _fold(piece))
    if abs(p.y - q.y) > tolerances.SEAM:
        raise ValueAtFault(f"grain of {piece.name}", "its direction", "does not run along the fold",
                           "Lay the piece opened out on flat cloth, or turn its grain.")  # fmt: skip
    move = move.then(Move.shift(0.0, -p.y))
    above = sum(move(c).y for c in piece.cut_line) > 0
    return [(Lie(move), "low" if above else "high")] if above or folds == 2 else []


def _grain_along(piece: Piece) -> Move:
    """Turns the piece so that its grain, foot to head, runs along the cloth; about the draft's origin."""
    way = piece.grain.end - piece.grain.start if piece.grain else Point(0.0, 1.0)
    return Move.turn((0.0, 0.0), -way.angle)


def _turn(move: Move, along: Move) -> float:
    """The turn of a way against the first way, degrees (0 or 180)."""
    first = along.then(OVER) if move.over else along
    return 0.0 if abs(move.a - first.a) < 1e-6 else 180.0


def _moved(ring: Sequence[Point], move: Move) -> Ring:
    return tuple((q.x, q.y) for q in (move(p) for p in ring))


def _fold(piece: Piece) -> tuple[Point, Point]:
    for edge in piece.edges:
        if edge.turn == "fold":
            return edge.curve.start, edge.curve.end
    raise PatternError(f"lay: {piece.name} is cut on the fold but none of its edges is a fold. Name one.")


def _opened(piece: Piece) -> tuple[Point, ...]:
    """The whole cut line of a piece that is drawn as a half."""
    ring, (p, q) = piece.cut_line, _fold(piece)
    way = (q - p).unit()
    on = [abs(way.cross(c - p)) < tolerances.SEAM for c in ring]
    n = len(ring)
    first = next((k for k in range(n) if on[k - 1] and not on[k]), None)
    if first is None or sum(on) < 2:
        raise PatternError(f"lay: the cut line of {piece.name} does not lie on its fold. Finish it first.")
    half = [ring[(first + k) % n] for k in range(n) if not on[(first + k) % n]]
    start, end = ring[first - 1], ring[(first + len(half)) % n]
    mirror = Move.mirror(p, q)
    return (start, *half, end, *(mirror(c) for c in reversed(half)))


def _same_turned_over(piece: Piece, along: Move, turns: Sequence[Move]) -> bool:
    """Whether a piece and its mirror image are the same cut, so that two layers give two of it."""
    from shapely import Polygon
    from shapely.affinity import translate

    ring = Polygon(_moved(piece.cut_line, along))
    for turn in turns:
        image = Polygon(_moved(piece.cut_line, along.then(OVER).then(turn)))
        image = translate(image, ring.centroid.x - image.centroid.x, ring.centroid.y - image.centroid.y)
        if ring.symmetric_difference(image).area < tolerances.SEAM * ring.length:
            return True
    return False

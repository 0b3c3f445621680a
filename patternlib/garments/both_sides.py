"""A pattern whose right and left side differ: whole pieces, and pairs as two pieces, each drawn once.

What was cut on the fold is opened, its right half from one drawing and its left half from the other. Right
and left are those of the person who wears it. The pieces are drawn as their right side is seen: the outside
of the garment as it is looked at, and its facings as they are seen from inside.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..alterations import ONE_SIDE
from ..geometry import Curve, Move, Point, line
from ..pieces import Edge, Grain, Mark, Notch, Piece, Seam, finish, side_length, with_notches
from ..tolerances import SEAM
from .base import Garment

SAME = 0.01
"""cm; lines of both drawings that lie closer are one line (no source)."""

CUT_AGAIN = 0.15
"""cm; a piece on which nothing is moved further than this is not cut again for it: the tolerance that cutters
work to, 1/16 in [Threads magazine, no. 200]."""

SIDES = ("right", "left")


def joined_sides(right: Garment, left: Garment, like: Garment) -> Garment:
    """One pattern from the drawings of both halves.

    right, left: the garment as drawn for each side, on the same style values; like: the one of the two whose
    facts, labels and order of making it keeps.
    """
    pieces = {side: {p.name: p for p in g.pieces} for side, g in zip(SIDES, (right, left), strict=True)}
    sewn = {
        side: {s.name: _of_one_kind(s, g.seams, pieces[side]) for s in g.seams}
        for side, g in zip(SIDES, (right, left), strict=True)
    }
    apart = _apart(right, left)
    if not apart:
        return like
    made: dict[str, Piece] = {}
    for piece in like.pieces:
        both = [pieces[side][piece.name] for side in SIDES]
        for new in _made(both, piece) if piece.name in apart else [piece]:
            made[new.name] = new
    seams = tuple(
        new for seam in like.seams
        for new in _seams([sewn[side][seam.name] for side in SIDES], apart, pieces, made)
    )  # fmt: skip
    marked = with_notches(made, seams)
    done = tuple(finish(p) if p.name not in like or p.name in apart else p for p in marked.values())
    remarks = tuple(dict.fromkeys((*right.remarks, *left.remarks)))
    return replace(like, pieces=done, seams=seams, remarks=remarks, facts=(*like.facts, ONE_SIDE), half=like)


def _apart(right: Garment, left: Garment) -> set[str]:
    """The sewn pieces that differ, and those that lie on one side of a seam with one of them.

    What is laid on, as a pocket or a strap, is placed by its marks and stays one pattern.
    """
    runs = [{name for name, _ in side} for seam in right.seams for side in (seam.a, seam.b)]
    found = {name for run in runs for name in run if _differs(right[name], left[name])}
    while more := {name for run in runs if run & found for name in run} - found:
        found |= more
    return {name for name in found if right[name].on_fold or right[name].pair}


def changed_pieces(before: Garment, after: Garment) -> list[str]:
    """The names of the pieces that are cut again, in order.

    Of such a piece a seam is longer or shorter by more than SEAM, or a place is moved by more than CUT_AGAIN.
    """
    return [p.name for p in after.pieces if p.name not in before or _is_cut_again(p, before[p.name])]


def _is_cut_again(a: Piece, b: Piece) -> bool:
    old = {edge.name: edge.curve for edge in b.edges}
    if set(old) != set(a.keys()):
        return True
    lengths = ((e.curve, old[e.name]) for e in a.edges)
    return any(
        abs(new.length - was.length) > SEAM
        or abs(new.start.distance(new.end) - was.start.distance(was.end)) > SEAM
        for new, was in lengths
    ) or _differs(a, b, CUT_AGAIN)


def alike(one: Garment, other: Garment) -> bool:
    """Whether two garments have the same pieces."""
    return one.keys() == other.keys() and not any(_differs(piece, other[piece.name]) for piece in one.pieces)


def _differs(a: Piece, b: Piece, by: float = SAME) -> bool:
    """Whether two pieces differ in shape or in what is marked on them, wherever each of them lies."""
    spots = _spots(a), _spots(b)
    if len(spots[0]) == len(spots[1]) and all(p.distance(q) <= SAME for p, q in zip(*spots, strict=True)):
        return False
    far = [[p.distance(q) for k, p in enumerate(every) for q in every[:k]] for every in spots]
    return len(far[0]) != len(far[1]) or any(abs(x - y) > by for x, y in zip(*far, strict=True))


def _spots(piece: Piece) -> list[Point]:
    curves = [*(e.curve for e in piece.edges), *(m.curve for m in piece.marks)]
    along = [curve.at(share * curve.length) for curve in curves for share in (0.0, 0.25, 0.5, 0.75, 1.0)]
    return along + [hole.point for hole in piece.drill_holes]


def _is_inside(name: str) -> bool:
    """Whether the piece's right side is seen from inside the garment."""
    return "facing" in name


def _is_turned(name: str, side: str) -> bool:
    """Whether this side's half is drawn turned over: the left one, and of a facing the right one."""
    return (side == "left") != _is_inside(name)


def _made(both: Sequence[Piece], like: Piece) -> list[Piece]:
    if like.on_fold:
        return [_opened(both, like)]
    halves = []
    for side, piece in zip(SIDES, both, strict=True):
        half = _over(piece, Move.mirror(Point(0, 0), Point(0, 1))) if _is_turned(piece.name, side) else piece
        halves.append(_named(half, f"{piece.name}, {side}", like.label, cut=piece.cut // 2))
    return halves


def _named(piece: Piece, name: str, label: Sequence[str], *, cut: int) -> Piece:
    """The piece with its new name, how it is cut now, and no cut line yet; notches of seams are left out."""
    how = f"cut {cut}" + (" as a pair" if cut > 1 else " from a single layer")
    words = [how if text.startswith("cut ") else text for text in (name, *label[1:])]
    return piece.replace(
        name=name, cut=cut, pair=cut > 1, on_fold=False, label=tuple(words), cut_line=(),
        notches=tuple(n for n in piece.notches if not n.seam),
    )  # fmt: skip


def _over(piece: Piece, move: Move) -> Piece:
    """The piece turned over: its edges run the other way round."""
    long = {edge.name: edge.curve.length for edge in piece.edges}
    grain = piece.grain
    return piece.replace(
        edges=tuple(replace(e, curve=e.curve.moved(move).reversed()) for e in reversed(piece.edges)),
        notches=tuple(replace(n, at=long[n.edge] - n.at) for n in piece.notches),
        drill_holes=tuple(replace(h, point=move(h.point)) for h in piece.drill_holes),
        marks=tuple(replace(m, curve=m.curve.moved(move)) for m in piece.marks),
        grain=grain and Grain(move(grain.start), move(grain.end), grain.one_way),
        folds={(after, before): first for (before, after), first in piece.folds.items()},
    )


def _opened(both: Sequence[Piece], like: Piece) -> Piece:
    """A piece of the fold opened out, its right and its left half in one outline."""
    halves = []
    for side, piece in zip(SIDES, both, strict=True):
        centre = next(edge for edge in piece.edges if edge.turn == "fold").curve
        half = _over(piece, Move.mirror(centre.start, centre.end)) if _is_turned(piece.name, side) else piece
        halves.append(_of_side(half, side))
    fold = next(edge for edge in like.edges if edge.turn == "fold")
    words = [Mark(side, _box(half), "written") for side, half in zip(SIDES, halves, strict=True)]
    whole = halves[0].replace(
        edges=(*_from_fold(halves[0]), *_from_fold(halves[1])),
        notches=(*halves[0].notches, *halves[1].notches),
        drill_holes=(*halves[0].drill_holes, *halves[1].drill_holes),
        marks=(*halves[0].marks, *halves[1].marks, Mark(fold.name, fold.curve), *words),
        folds={**halves[0].folds, **halves[1].folds},
    )
    return _named(whole, like.name, like.label, cut=like.cut)


def _of_side(half: Piece, side: str) -> Piece:
    """A half with its side before the name of every edge."""
    new = {e.name: e.name if e.turn == "fold" else f"{side} {e.name}" for e in half.edges}
    return half.replace(
        edges=tuple(replace(e, name=new[e.name]) for e in half.edges),
        notches=tuple(Notch(new[n.edge], n.at, n.count, n.seam) for n in half.notches),
        folds={(new[a], new[b]): new[first] for (a, b), first in half.folds.items()},
    )


def _from_fold(half: Piece) -> tuple[Edge, ...]:
    """The edges in their order, from the one after the fold."""
    k = next(k for k, edge in enumerate(half.edges) if edge.turn == "fold")
    return (*half.edges[k + 1 :], *half.edges[:k])


def _box(half: Piece) -> Curve:
    """A line across the box round a half, corner to corner: the name of the side is written in it."""
    points = half.outline.flat(0.1)
    xs, ys = [p.x for p in points], [p.y for p in points]
    return line(Point(min(xs), min(ys)), Point(max(xs), max(ys)))


# -- seams


def _of_one_kind(seam: Seam, seams: Sequence[Seam], pieces: Mapping[str, Piece]) -> Seam:
    """A seam whose side runs on from a facing to another piece cannot be walked in one direction, for the
    facing is drawn turned over. It is walked along the piece that the facing lies on instead: the one that
    another seam joins to the same edges."""
    inside = tuple(place for place in seam.a if _is_inside(place[0]))
    if not 0 < len(inside) < len(seam.a):
        return seam
    rest = set(seam.a) - set(inside)
    twin = next(t for t in seams if t.b == seam.b and t.a != seam.a and rest < set(t.a))
    long = side_length(pieces, inside)
    return replace(
        seam, a=inside, b=tuple(place for place in twin.a if place not in rest), against_b=twin.against_a,
        notches=tuple((at, at, count) for at, _, count in seam.notches if at < long),
    )  # fmt: skip


Halves = Mapping[str, Mapping[str, Piece]]


def _seams(both: Sequence[Seam], apart: set[str], pieces: Halves, made: Mapping[str, Piece]) -> list[Seam]:
    """A seam once for each side where its pieces differ; the two copies of a pair in one seam."""
    seam = both[0]
    names = {name for name, _ in (*seam.a, *seam.b)}
    if not names & apart:
        return [seam]
    name = seam.a[0][0]
    if seam.a == seam.b and pieces["right"][name].pair:
        (a, _), (b, _) = (_placed(seam.a, side, apart, pieces) for side in SIDES)
        flips = [_flips(seam.a, side, apart) for side in SIDES]
        return [
            replace(seam, a=a, b=b, against_a=seam.against_a ^ flips[0], against_b=seam.against_b ^ flips[1])
        ]
    return [_of(one, side, apart, pieces, made) for one, side in zip(both, SIDES, strict=True)]


def _of(seam: Seam, side: str, apart: set[str], pieces: Halves, made: Mapping[str, Piece]) -> Seam:
    (a, a_ends), (b, b_ends) = (_placed(run, side, apart, pieces) for run in (seam.a, seam.b))
    against = [
        was ^ _flips(run, side, apart) for was, run in ((seam.against_a, seam.a), (seam.against_b, seam.b))
    ]
    long = side_length(made, a), side_length(made, b)
    notches = list(seam.notches)
    for last in (False, True):  # at the centre, where the fold was
        turned = [ends[last != was] for ends, was in ((a_ends, seam.against_a), (b_ends, seam.against_b))]
        if all(turned):
            notches.append((long[0] if last else 0.0, long[1] if last else 0.0, 1))
    return replace(
        seam, name=f"{seam.name}, {side}", a=a, b=b, against_a=against[0], against_b=against[1],
        notches=tuple(notches),
    )  # fmt: skip


Run = tuple[tuple[str, str], ...]


def _placed(run: Run, side: str, apart: set[str], pieces: Halves) -> tuple[Run, tuple[bool, bool]]:
    """The side of a seam on the new pieces; and whether the first and last edge of its outline begins, or
    ends, at the opened fold."""
    new = []
    ends = [False, False]
    for name, edge in run:
        piece = pieces[side][name]
        if name not in apart:
            new.append((name, edge))
            continue
        new.append((name, f"{side} {edge}") if piece.on_fold else (f"{name}, {side}", edge))
        names = [e.name for e in piece.edges]
        k = names.index(edge)
        beside = piece.edges[k - 1], piece.edges[(k + 1) % len(names)]
        if piece.on_fold:
            ends = [was or e.turn == "fold" for was, e in zip(ends, beside, strict=True)]
    return tuple(new), (ends[0], ends[1])


def _flips(run: Run, side: str, apart: set[str]) -> bool:
    """Whether the outlines of a run are turned over, so that it is walked the other way along them."""
    name = run[0][0]
    return name in apart and _is_turned(name, side)

"""Pieces on the table: their edges as the wheel ran, set round the piece, and what is added to them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import NamedTuple

from ...errors import PatternError
from ...geometry import Curve, Point
from ...pieces import Edge, Notch, Piece, finish
from ...tolerances import SEAM
from ..tasks.catalogue import exercises
from ..tasks.own_numbers import numbers_for
from ..tasks.record import spot

NEITHER = "neither"
"""At a corner whose allowances both run on."""
LEAST_AREA = 0.02
"""An open run of edges shows which way round the piece it goes if it bounds so much of its length squared."""


def asked_pieces(id: str) -> Mapping[str, tuple[str, ...]]:
    """The pieces that an exercise asks for, with the names of their edges, walking round; a lesson: none.

    >>> asked_pieces("10a")
    {'back pocket': ('inner side', 'inner foot', 'outer foot', 'outer side', 'opening')}
    """
    work = exercises().get(id)
    if work is None or work.finish is None:
        return {}
    return _edges(work.draw, work.finish)


@lru_cache(maxsize=200)
def _edges(draw: Callable, made: Callable) -> Mapping[str, tuple[str, ...]]:
    of = numbers_for("")
    return {p.name: tuple(p.keys()) for p in made(draw(of), of)}


class ToldPiece(NamedTuple):
    """Something to be done to a piece. verb: of the table; names: of the steps by which it is done."""

    said: str
    verb: str
    names: tuple[str, ...]


def told_pieces(id: str) -> list[ToldPiece]:
    """What is to be done to the pieces of an exercise, in order.

    >>> told_pieces("09a")[-1].said
    'Write the label of the front skirt: how many are cut, how, and of which cloth.'
    """
    pieces, told = asked_pieces(id), list[ToldPiece]()
    if not pieces:
        return told
    work = exercises()[id]
    for piece, edges in pieces.items():
        every = {kind: [a for a in work.asked if (a.piece, a.kind) == (piece, kind)] for kind in _TOLD}
        if len(pieces) == 1 or any(every[kind] for kind in ("allowance", "corner", "notches", "cut line")):
            said = f"Trace the {piece} off with the wheel, edge by edge: {', '.join(edges)}."
            told.append(ToldPiece(said, "trace", tuple(f"{piece}: {edge}" for edge in edges)))
        for kind, (verb, words) in _TOLD.items():
            if not (asked := every[kind]):
                continue
            parts = "; ".join(a.part.replace(" / ", " and ") for a in asked)
            told.append(ToldPiece(words.format(piece=piece, parts=parts), verb, tuple(a.name for a in asked)))
    return told


_TOLD = {
    "grain": ("grain", "Lay the grain of the {piece}."),
    "label": ("label", "Write the label of the {piece}: how many are cut, how, and of which cloth."),
    "allowance": ("allowance", "Add to the {piece} the allowance of each edge: {parts}."),
    "corner": (
        "corner",
        "Fold the corners of the {piece}, and see which allowance is folded back first: {parts}.",
    ),
    "notches": ("notch", "Walk the notches of the {piece}: {parts}."),
    "cut line": ("cut line", "Draw the cut line round the {piece}."),
}


@dataclass(frozen=True)
class Traced:
    """An edge as the wheel ran. step: the step that traced it; piece, edge: their names."""

    step: str
    piece: str
    edge: str
    curve: Curve

    def turned(self) -> Traced:
        return replace(self, curve=self.curve.reversed())


@dataclass(frozen=True)
class Round:
    """Traced edges set one behind the other, anticlockwise. closed: the wheel came back to its start."""

    edges: tuple[Traced, ...]
    closed: bool
    apart: tuple[Traced, ...] = ()

    def corner(self, one: str, other: str) -> tuple[Traced, Traced] | None:
        """(edge before, edge after) of the corner where two edges, named by their steps, meet."""
        count = len(self.edges)
        for k in range(count if self.closed else count - 1):
            before, after = self.edges[k], self.edges[(k + 1) % count]
            if {before.step, after.step} == {one, other} and before is not after:
                return before, after
        return None


def round_of(traced: Sequence[Traced]) -> Round:
    """Set edges one behind the other, whichever way each was traced, and turn the whole anticlockwise.

    A run that does not close and is too flat to show which way round it goes stays as the wheel ran.

    >>> from patternlib.geometry import line
    >>> spots = Point(0, 0), Point(0, 9), Point(5, 0)
    >>> sides = [Traced(n, "p", n, line(a, b)) for n, a, b in zip("abc", spots, spots[1:] + spots[:1])]
    >>> found = round_of([sides[0], sides[1].turned(), sides[2]])
    >>> [edge.step for edge in found.edges], found.closed
    (['c', 'b', 'a'], True)
    """
    left = list(traced[1:])
    run = list(traced[:1])
    while left and run:
        for k, edge in enumerate(left):
            fitted = _fitted(run, edge)
            if fitted:
                run, left = fitted, [*left[:k], *left[k + 1 :]]
                break
        else:
            break
    closed = bool(run) and not left and _touch(run[-1].curve.end, run[0].curve.start)
    area, length = _area(run), sum(edge.curve.length for edge in run)
    bent_back = len(run) > 1 and run[-1].curve.end.distance(run[0].curve.start) < length / 2
    if area < 0 and (closed or bent_back or (len(run) > 1 and -area > LEAST_AREA * length**2)):
        run = [edge.turned() for edge in reversed(run)]
    return Round(tuple(run), closed, tuple(left))


def _fitted(run: list[Traced], edge: Traced) -> list[Traced] | None:
    start, end = run[0].curve.start, run[-1].curve.end
    for one in (edge, edge.turned()):
        if _touch(end, one.curve.start):
            return [*run, one]
    for one in (edge, edge.turned()):
        if _touch(one.curve.end, start):
            return [one, *run]
    return None


def _touch(a: Point, b: Point) -> bool:
    return a.distance(b) <= SEAM


def _area(run: Sequence[Traced]) -> float:
    """What the run and the straight line back to its start bound, above 0 anticlockwise, cm2."""
    spots = [p for edge in run for p in edge.curve.flat(0.05)]
    return sum(p.cross(q) for p, q in zip(spots, spots[1:] + spots[:1], strict=True)) / 2


@dataclass(frozen=True)
class NotchSet:
    """A notch `at` cm along a traced edge, walked from its end that lies at `end`."""

    step: str
    traced: Traced
    end: Point
    at: float
    count: int


@dataclass(frozen=True)
class TablePiece:
    """A piece as far as it is traced, and what was added; allowances and corners by the names of edges.

    allowances: edge -> (cm, turn); corners: (edge, edge, which is folded first); grain: its two ends; cut:
    whether its cut line is drawn; steps: the step behind each thing that an exercise can ask.
    """

    name: str
    traced: tuple[Traced, ...] = ()
    allowances: Mapping[str, tuple[float, str]] = field(default_factory=dict)
    corners: tuple[tuple[Traced, Traced, str], ...] = ()
    notches: tuple[NotchSet, ...] = ()
    holes: tuple[Point, ...] = ()
    grain: tuple[Point, Point] | None = None
    label: tuple[str, ...] = ()
    cut: bool = False
    steps: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def round(self) -> Round:
        return round_of(self.traced)

    @property
    def closed(self) -> bool:
        return self.round.closed

    def made_by(self) -> set[str]:
        """The steps that traced it or added something to it."""
        return {*self.steps.values(), *(e.step for e in self.traced), *(n.step for n in self.notches)}

    def edge(self, step: str) -> Traced:
        """A traced edge as it runs round the piece, by its step."""
        return next(e for e in (*self.round.edges, *self.round.apart) if e.step == step)

    @cached_property
    def folds(self) -> dict[tuple[str, str], str]:
        """(edge before, edge after) -> the edge whose allowance is folded first, '' for neither."""
        found = {}
        for one, other, first in self.corners:
            pair = self.round.corner(one.step, other.step)
            if pair:
                found[pair[0].edge, pair[1].edge] = first
        return found

    def places(self) -> tuple[Notch, ...]:
        """The notches, each counted from the start of its edge."""
        return tuple(Notch(n.traced.edge, self.from_start(n), n.count) for n in self.notches)

    def from_start(self, notch: NotchSet) -> float:
        """Where a notch lies, cm from the start of its edge."""
        curve = self.edge(notch.traced.step).curve
        at_start = curve.start.distance(notch.end) <= curve.end.distance(notch.end)
        return notch.at if at_start else curve.length - notch.at

    def piece(self) -> Piece:
        """The piece with the allowances it has, the others 0; only for a closed one."""
        return Piece(
            self.name,
            tuple(
                Edge(e.edge, e.curve, *self.allowances.get(e.edge, (0.0, "seam"))) for e in self.round.edges
            ),
            folds=self.folds,
        )

    @cached_property
    def cut_line(self) -> tuple[Point, ...]:
        """The line round the allowances there are; () where the piece is open or they cannot be cut."""
        if not self.closed or not any(cm for cm, _ in self.allowances.values()):
            return ()
        try:
            return finish(self.piece()).cut_line
        except PatternError:
            return ()

    def record(self) -> dict:
        """What was added, as it is handed in."""
        notches = [{"edge": n.edge, "at": round(n.at, 4), "count": n.count} for n in self.places()]
        return {
            "allowances": {edge: round(cm, 4) for edge, (cm, _) in self.allowances.items()},
            "notches": notches,
            "grain": [spot(p) for p in self.grain] if self.grain else None,
            "label": list(self.label),
            "corners": {f"{before} / {after}": first for (before, after), first in self.folds.items()},
            "cut_line": [spot(p) for p in self.cut_line] if self.cut else [],
        }

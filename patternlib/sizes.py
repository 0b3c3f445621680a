"""One garment in several sizes: the nest, how each point moves from size to size, and whether seams match.

    size_range("pinafore", "course", ["10", "12", "14"]) -> SizeRange

No size is graded from a middle size by rules. Each size is drafted for its own body, and the grade table is
read off the drafts.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Any

from .body import Body, SizeChart, chart
from .checking import Finding
from .errors import ValueAtFault, unknown
from .garments import make
from .garments.base import Garment
from .geometry import Move, Point
from .pieces import Piece, side_length
from .tolerances import SEAM
from .units import Length


@dataclass(frozen=True)
class Grade:
    """One named point of a piece in one size: x, y from the point the nest is aligned at, and how far it lies
    from the same point of the size before (dx, dy; None in the smallest size), cm."""

    piece: str
    point: str
    size: str
    x: float
    y: float
    dx: float | None
    dy: float | None


@dataclass(frozen=True)
class SeamMatch:
    """The two sides of a seam in one size, cm; agrees: within the tolerance of a seam."""

    size: str
    seam: str
    a: float
    b: float
    ease: float
    agrees: bool


@dataclass(frozen=True)
class SizeRange:
    """A garment in several sizes, smallest first."""

    garment: str
    garments: Mapping[str, Garment]

    def __repr__(self) -> str:
        return f"<{self.garment} in sizes {', '.join(self.garments)}>"

    @property
    def sizes(self) -> tuple[str, ...]:
        return tuple(self.garments)

    @property
    def piece_names(self) -> tuple[str, ...]:
        """The pieces of all sizes, in the order they turn up."""
        return tuple(dict.fromkeys(p.name for g in self.garments.values() for p in g.pieces))

    @property
    def findings(self) -> dict[str, tuple[Finding, ...]]:
        """What the checks found in each size."""
        return {size: garment.findings for size, garment in self.garments.items()}

    def piece(self, name: str) -> dict[str, Piece]:
        """One piece in every size that has it. Raises UnknownName."""
        if name not in self.piece_names:
            raise unknown("piece", name, self.piece_names)
        return {
            size: piece
            for size, garment in self.garments.items()
            for piece in garment.pieces
            if piece.name == name
        }

    def nest(self, name: str, at: str | None = None) -> dict[str, tuple[Piece, Move]]:
        """One piece in every size with the move that lays it on the others.

        at: the point where all sizes lie on one another, a name of `points`; None takes the upper end of a
        fold, or else the first corner. Raises UnknownName for a point that the piece does not have.
        """
        found = {}
        for size, piece in self.piece(name).items():
            known = points(piece)
            where = at or usual_point(piece)
            if where not in known:
                raise unknown(f"point of {name}", where, known)
            found[size] = (piece, Move.shift(-known[where].x, -known[where].y))
        return found

    def grade_table(self, at: Mapping[str, str] | None = None) -> tuple[Grade, ...]:
        """How each corner and notch of each piece moves from size to size, on the seam line.

        at: for some pieces the point that stays in place (see `nest`). A point that a size lacks is left out.
        """
        for name in at or {}:
            self.piece(name)
        rows = []
        for name in self.piece_names:
            placed = self.nest(name, (at or {}).get(name)).items()
            by_size = {size: {p: move(q) for p, q in points(piece).items()} for size, (piece, move) in placed}
            names = dict.fromkeys(p for known in by_size.values() for p in known)
            before: dict[str, Point] = {}
            for point in names:
                for size, known in by_size.items():
                    if point in known:
                        p, last = known[point], before.get(point)
                        step = (None, None) if last is None else (p.x - last.x, p.y - last.y)
                        rows.append(Grade(name, point, size, p.x, p.y, *step))
                        before[point] = p
        return tuple(rows)

    def grade_csv(self, at: Mapping[str, str] | None = None) -> str:
        """The grade table as CSV, cm: a line for each point: x and y, then dx and dy for each size."""
        table: dict[tuple[str, str], dict[str, Grade]] = {}
        for row in self.grade_table(at):
            table.setdefault((row.piece, row.point), {})[row.size] = row
        out = io.StringIO()
        write = csv.writer(out, lineterminator="\n").writerow
        first, steps = self.sizes[0], list(pairwise(self.sizes))
        heads = [f"{axis}, {a} to {b}" for a, b in steps for axis in ("dx", "dy")]
        write(["piece", "point", f"x, size {first}", f"y, size {first}", *heads])
        for (piece, point), by_size in table.items():
            start = by_size.get(first)
            cells = [_cell(start.x), _cell(start.y)] if start else ["", ""]
            for a, b in steps:
                both = a in by_size and b in by_size
                cells += [_cell(by_size[b].dx or 0.0), _cell(by_size[b].dy or 0.0)] if both else ["", ""]
            write([piece, point, *cells])
        return out.getvalue()

    def seam_table(self) -> tuple[SeamMatch, ...]:
        """Every seam in every size with the lengths of both its sides."""
        rows = []
        for size, garment in self.garments.items():
            by_name = {piece.name: piece for piece in garment.pieces}
            for seam in garment.seams:
                a, b = side_length(by_name, seam.a), side_length(by_name, seam.b)
                rows.append(SeamMatch(size, seam.name, a, b, seam.ease, abs(a - b - seam.ease) <= SEAM))
        return tuple(rows)

    @property
    def seams_match(self) -> bool:
        """Whether every seam agrees in every size."""
        return all(row.agrees for row in self.seam_table())


def size_range(
    garment: str,
    bodies: str | SizeChart | Mapping[str, Body] | Iterable[Body],
    sizes: Sequence[str | int] | None = None,
    *,
    date: str = "",
    **style: Length,
) -> SizeRange:
    """Draft a garment for several sizes.

    bodies: a size chart or its name, bodies by name, or a list of bodies (then named 1, 2, 3 …); sizes:
    which of them, in the order of the nest, all if left out; style: as for `make`, cm. Raises UnknownName
    for a size, chart, garment or style value that does not exist; a body that cannot be drawn is refused
    as by `make`, with its size.

    >>> made = size_range("pinafore", "course", ["10", "12", "14"])
    >>> made.sizes, made.seams_match
    (('10', '12', '14'), True)
    """
    found = _bodies(bodies, sizes)
    values: Mapping[str, Any] = style
    garments = {}
    for size, body in found.items():
        try:
            garments[size] = make(garment, body, size=size, date=date, **values)
        except ValueAtFault as fault:
            raise ValueAtFault(f"size {size}, {fault.name}", fault.got, fault.rule, fault.advice) from fault
    return SizeRange(garment, MappingProxyType(garments))


def _bodies(
    bodies: str | SizeChart | Mapping[str, Body] | Iterable[Body], sizes: Sequence[str | int] | None
) -> dict[str, Body]:
    if isinstance(bodies, str):
        bodies = chart(bodies)
    if isinstance(bodies, SizeChart):
        return {str(size): bodies.body(size) for size in _chosen(sizes or bodies.sizes)}
    if isinstance(bodies, Body):
        raise ValueAtFault(
            "bodies", "one body", "is not a range of sizes", "Give a list of bodies, or use make()."
        )
    if not isinstance(bodies, Mapping):
        bodies = {str(k): body for k, body in enumerate(bodies, 1)}
    known = {str(name): body for name, body in bodies.items()}
    for name in map(str, sizes or ()):
        if name not in known:
            raise unknown("size", name, known)
    return {name: known[name] for name in _chosen(sizes or tuple(known))}


def _chosen(sizes: Sequence[str | int]) -> tuple[str, ...]:
    names = tuple(map(str, sizes)) if not isinstance(sizes, str) else (sizes,)
    if not names:
        raise ValueAtFault("sizes", "none", "given", 'For example ["10", "12", "14"].')
    if len(set(names)) < len(names):
        raise ValueAtFault("sizes", ", ".join(names), "name a size twice", "Name each size once.")
    return names


def points(piece: Piece) -> dict[str, Point]:
    """The named points of a piece on its seam line: corners and notches.

    A corner is named by the edges that meet there, 'side / hem'; a notch by its edge and its number from the
    edge's start, 'side, notch 1'.
    """
    found = {}
    for (before, _), (after, curve) in piece.outline.corners():
        found[f"{before} / {after}"] = curve.start
    for edge in piece.edges:
        notches = sorted((n for n in piece.notches if n.edge == edge.name), key=lambda n: n.at)
        for k, notch in enumerate(notches, 1):
            found[f"{edge.name}, notch {k}"] = piece.notch_point(notch)
    return found


def usual_point(piece: Piece) -> str:
    """Where a nest is aligned unless said otherwise: the upper end of a fold, or else the first corner."""
    corners = list(piece.outline.corners())
    turn = {edge.name: edge.turn for edge in piece.edges}
    ends = [(c.start.y, f"{a} / {b}") for (a, _), (b, c) in corners if "fold" in (turn[a], turn[b])]
    if ends:
        return max(ends)[1]
    (before, _), (after, _) = corners[-1]
    return f"{before} / {after}"


def _cell(cm: float) -> str:
    return f"{round(cm, 3) + 0.0:.3f}"

"""Pattern pieces, before and after finishing.

A piece is an outline of named edges on the seam line; each edge has its own allowance and turning.
Finishing (see cut_line.py) gives it a cut line. All lengths in cm.
"""

from __future__ import annotations

from collections.abc import Iterator, KeysView, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from ..errors import look_up
from ..geometry import Curve, Outline, Point
from ..notebook import Pictured

TURNS = ("seam", "hem", "fold-back", "fold", "caught")
"""seam: sewn to another edge; hem: turned twice or hemmed; fold-back: folded once to the wrong side;
fold: the cloth's fold lies here, no allowance; caught: held in a seam that other edges make, or stitched down
over it, and no other edge is walked along it."""
TURNED_OVER = ("hem", "fold-back")
"""Turns whose allowance is folded onto the wrong side."""


FUSING = "fusing"
"""The cloth that is pressed on to stiffen a piece."""


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

    style: 'placement', where a pocket is placed; 'fold', where it is folded; 'buttonhole', where one is cut;
    'written', where its name is written, within the box that the line crosses, and no line is drawn.
    """

    name: str
    curve: Curve
    style: str = "placement"


@dataclass(frozen=True)
class Piece(Pictured):
    """One pattern piece on its seam line.

    cut: how many to cut of each cloth named in `cloths`; fused: how many of them are stiffened, where the
    cloths name FUSING and not all are; pair: they are cut mirrored, left and right;
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
    fused: int | None = None
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

    def copies(self, cloth: str) -> int:
        """How many are cut of one cloth."""
        if cloth not in self.cloths:
            return 0
        return self.fused if cloth == FUSING and self.fused is not None else self.cut

    def notch_point(self, notch: Notch) -> Point:
        """The notch's place on the seam line."""
        return self.edge(notch.edge).curve.at(notch.at)

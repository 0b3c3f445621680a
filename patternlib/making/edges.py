"""What the order of making asks of pieces, edges and seams."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..garments.base import Garment
from ..pieces import TURNED_OVER, Edge, Piece, Seam


def passes_fitting(garment: Garment, pieces: Iterable[str]) -> bool:
    """Whether a fitting limits the width of one of these pieces, so that it passes through it."""
    return any(where in pieces for where, *_ in garment.limits)


def self_sewn(seam: Seam) -> bool:
    """Whether the seam joins copies of one piece to each other."""
    return {p for p, _ in seam.a} == {p for p, _ in seam.b}


def is_folded(seam: Seam, pieces: Mapping[str, Piece]) -> bool:
    """Whether the seam joins edges of one piece that meet at the fold it is folded along."""
    if not self_sewn(seam) or len(seam.a) != 1 or seam.a == seam.b:
        return False
    piece = pieces[seam.a[0][0]]
    names = [edge.name for edge in piece.edges]
    apart = abs(names.index(seam.a[0][1]) - names.index(seam.b[0][1]))
    return apart in (1, len(names) - 1) and any(mark.style == "fold" for mark in piece.marks)


def layers(piece: Piece) -> int:
    """Copies of a piece that lie on one another in the garment."""
    return piece.cut if piece.on_fold else piece.cut // 2 if piece.pair else 1


def as_folded(piece: Piece) -> list[Edge]:
    """The turned edges of a piece as they are folded: first what its corners say, hems before fold-backs."""
    edges = [edge for edge in piece.edges if edge.turn in TURNED_OVER]
    first = set(piece.folds.values())
    return sorted(edges, key=lambda edge: (edge.name not in first, edge.turn != "hem"))


def hem_depth(allowance: float) -> float:
    """How deep a hem lies when its allowance is turned twice, cm: half and half again (common practice)."""
    return allowance / 2

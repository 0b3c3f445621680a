"""From the seam line to the cut line: an allowance for each edge, corners shaped for how they are sewn."""

from __future__ import annotations

from ..errors import ValueAtFault
from ..geometry import Point, corner_cut, offset
from .piece import Edge, Piece

BLUNT = 2.2
"""A mitre never reaches further from its corner than this many times the wider allowance."""


def folds_first(piece: Piece, before: Edge, after: Edge) -> str:
    """Which allowance of a corner is folded back first: 'before', 'after' or '' (both run on and meet).

    A corner at the cloth's fold has none. A hem or fold-back is turned over what lies beside it.
    """
    if "fold" in (before.turn, after.turn):
        return ""
    named = piece.folds.get((before.name, after.name))
    if named is not None:
        return "before" if named == before.name else "after" if named == after.name else ""
    rank = {"seam": 0, "caught": 0, "hem": 1, "fold-back": 2}
    if rank[before.turn] == rank[after.turn]:
        return ""
    return "before" if rank[before.turn] > rank[after.turn] else "after"


def finish(piece: Piece) -> Piece:
    """The piece with its cut line: allowance by allowance, corner by corner.

    Raises ValueAtFault for an allowance that is negative or above 30 cm.

    >>> from patternlib.geometry import Point, line
    >>> c = [Point(0, 0), Point(10, 0), Point(10, 20), Point(0, 20)]
    >>> sides = [line(p, q) for p, q in zip(c, c[1:] + c[:1])]
    >>> edges = [Edge(n, s, a, t) for n, s, a, t in zip(
    ...     ("hem", "side", "top", "centre"), sides, (4, 1, 1, 0), ("hem", "seam", "seam", "fold"))]
    >>> finish(Piece("panel", tuple(edges), on_fold=True)).cut_line[:3]
    (Point(x=0.0, y=-4.0), Point(x=11.0, y=-4.0), Point(x=11.0, y=21.0))
    """
    for edge in piece.edges:
        if not 0 <= edge.allowance <= 30:
            raise ValueAtFault(
                f"allowance of {piece.name}, {edge.name}", edge.allowance, "must lie between 0 and 30 cm"
            )
    lines = [offset(edge.curve, edge.allowance) for edge in piece.edges]
    for i, before in enumerate(piece.edges):
        j = (i + 1) % len(piece.edges)
        after = piece.edges[j]
        lines[i], lines[j] = corner_cut(
            lines[i],
            lines[j],
            before.curve.end,
            before.curve.end_direction,
            after.curve.start_direction,
            folds=folds_first(piece, before, after),
            cap=BLUNT * max(before.allowance, after.allowance, 0.1),
        )
    return piece.replace(cut_line=tuple(_without_doubles([p for points in lines for p in points])))


def _without_doubles(ring: list[Point]) -> list[Point]:
    """A ring without doubled points and without points in the middle of a straight run."""
    out: list[Point] = []
    for k, p in enumerate(ring):
        before, after = (out[-1] if out else ring[-1]), ring[(k + 1) % len(ring)]
        if p.distance(after) < 1e-7:
            continue
        if p.distance(before) < 1e-7 or abs((p - before).cross(after - p)) > 1e-9:
            out.append(p)
    return out

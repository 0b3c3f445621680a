"""A corner with its allowances folded back, one way after the other: what stands over and what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ...errors import PatternError
from ...geometry import Point
from ...pieces import TURNED_OVER, finish
from .tracing import NEITHER, TablePiece, Traced

AROUND = 1.8
"""A corner is shown so many times as far as its wider allowance reaches, and a little more."""
SEEN = 0.02
"""What stands over or is missing by less than this share of the allowance's square lies flat."""
NEAR = 1.3
"""So many times as far from the corner as its wider allowance reaches, that is looked for."""
FAR, ROOM = 1000.0, 0.3
"""cm."""


def folded_corner(piece: TablePiece, one: str, other: str) -> list[dict[str, Any]]:
    """How a corner looks when it is cut in each way and one allowance is folded back.

    one, other: the steps of its edges. For each way: first, the edge that is folded first or 'neither';
    paper, flap, over, lacking: rings of [x, y], cm; box: round all ways; said: what is seen. [] where there
    is no corner to fold.
    """
    corner = piece.round.corner(one, other)
    if corner is None or not piece.closed:
        return []
    wide = max(piece.allowances.get(edge.edge, (0.0, ""))[0] for edge in corner)
    if not wide:
        return []
    try:
        ways = list(_ways(piece, corner, wide))
    except PatternError:
        return []
    spots = [spot for way in ways for part in ("paper", "flap") for ring in way[part] for spot in ring]
    across, up = zip(*spots, strict=True)
    box = [min(across) - ROOM, min(up) - ROOM, max(across) + ROOM, max(up) + ROOM]
    return [way | {"box": box} for way in ways]


def _ways(piece: TablePiece, corner: tuple[Traced, Traced], wide: float) -> Iterator[dict[str, Any]]:
    before, after = corner
    at = before.curve.end
    window = shapely.Point(*at).buffer(AROUND * wide + 1.0, quad_segs=24)
    near, seen_from = shapely.Point(*at).buffer(NEAR * wide), SEEN * wide**2
    for first in (before.edge, after.edge, NEITHER):
        folds = piece.folds | {(before.edge, after.edge): "" if first == NEITHER else first}
        cut = shapely.Polygon(finish(replace(piece.piece(), folds=folds)).cut_line).buffer(0)
        seen = cut.intersection(window)
        turned = before if first == before.edge else after if first == after.edge else _over(piece, corner)
        way = (before.curve.end_direction if turned is before else after.curve.start_direction).unit()
        beyond = _beyond(at, way)
        paper = seen.difference(beyond)
        flap = _mirrored(seen.intersection(beyond), at, way)
        over = flap.difference(cut.difference(beyond)).intersection(near)
        band = _band(at, way, piece.allowances.get(turned.edge, (0.0, ""))[0]).intersection(paper)
        lacking = band.difference(flap.buffer(0.01)).intersection(near)
        yield {
            "first": first,
            "turned": turned.edge,
            "paper": _rings(paper),
            "flap": _rings(flap),
            "over": _rings(over) if over.area > seen_from else [],
            "lacking": _rings(lacking) if lacking.area > seen_from else [],
            "said": _said(turned.edge, over.area > seen_from, lacking.area > seen_from),
        }


def _over(piece: TablePiece, corner: tuple[Traced, Traced]) -> Traced:
    """The edge whose allowance is folded where neither was named: a hem before a seam, a wide one first."""
    return max(corner, key=lambda e: _rank(*piece.allowances.get(e.edge, (0.0, ""))))


def _rank(wide: float, turn: str) -> tuple[bool, float]:
    return turn in TURNED_OVER, wide


def _said(edge: str, over: bool, lacking: bool) -> str:
    told = {
        (False, False): "lies flat",
        (True, False): "stands over the edge beside it",
        (False, True): "leaves a gap beside it",
        (True, True): "stands over in one place and leaves a gap in another",
    }
    return f"{edge} folded back {told[over, lacking]}"


def _beyond(at: Point, way: Point) -> shapely.Polygon:
    """What lies to the right of a line: outside an edge that runs anticlockwise."""
    out, far = way.right(), way * FAR
    return shapely.Polygon([at - far, at - far + out * FAR, at + far + out * FAR, at + far])


def _band(at: Point, way: Point, wide: float) -> shapely.Polygon:
    """The strip inside a line that its allowance covers when it is folded back."""
    inward, far = way.left(), way * FAR
    return shapely.Polygon([at - far, at + far, at + far + inward * wide, at - far + inward * wide])


def _mirrored(shape: BaseGeometry, at: Point, way: Point) -> BaseGeometry:
    c, s = way.x * way.x - way.y * way.y, 2 * way.x * way.y
    dx, dy = at.x - c * at.x - s * at.y, at.y - s * at.x + c * at.y
    return affinity.affine_transform(shape, [c, s, s, -c, dx, dy])


def _rings(shape: BaseGeometry) -> list[list[list[float]]]:
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, shapely.Polygon) and p.area > 1e-4]
    return [[[round(x, 3), round(y, 3)] for x, y in part.exterior.coords] for part in parts]

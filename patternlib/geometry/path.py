"""Outlines: closed rounds of named edges, anticlockwise."""

from __future__ import annotations

from collections.abc import Iterator, KeysView
from dataclasses import dataclass
from functools import cached_property

from .. import tolerances
from ..errors import GeometryError, look_up
from ..notebook import Pictured
from .curve import Curve
from .point import Move, Point


@dataclass(frozen=True)
class Outline(Pictured):
    """A closed round of named edges; each edge starts where the one before ends.

    Edges that do not touch, or run clockwise, are refused with GeometryError.

    >>> from patternlib.geometry import line
    >>> a, b, c = Point(0, 0), Point(4, 0), Point(0, 3)
    >>> triangle = Outline((("base", line(a, b)), ("slope", line(b, c)), ("height", line(c, a))))
    >>> triangle.area, triangle.length
    (6.0, 12.0)
    """

    edges: tuple[tuple[str, Curve], ...]

    def __post_init__(self) -> None:
        for (name, curve), (name2, curve2) in self.corners():
            gap = curve.end.distance(curve2.start)
            if gap > tolerances.POINT:
                raise GeometryError(f"edges '{name}' and '{name2}' do not touch: a gap of {gap:.3f} cm.")
        if len({name for name, _ in self.edges}) != len(self.edges):
            raise GeometryError("two edges of one outline have the same name: name them apart.")
        if self.area <= 0:
            raise GeometryError("the outline runs clockwise: list its edges the other way round.")

    def corners(self) -> Iterator[tuple[tuple[str, Curve], tuple[str, Curve]]]:
        """Each corner as (edge before, edge after)."""
        for i, edge in enumerate(self.edges):
            yield edge, self.edges[(i + 1) % len(self.edges)]

    def __getitem__(self, name: str) -> Curve:
        return look_up("edge", name, dict(self.edges))

    def __contains__(self, name: object) -> bool:
        return name in self.names

    def __iter__(self) -> Iterator[tuple[str, Curve]]:
        return iter(self.edges)

    def __len__(self) -> int:
        return len(self.edges)

    def keys(self) -> KeysView[str]:
        """The names of the edges, in order."""
        return dict(self.edges).keys()

    def _ipython_key_completions_(self) -> list[str]:
        return list(self.names)

    def __repr__(self) -> str:
        return f"<outline: {', '.join(self.names)}>"

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(name for name, _ in self.edges)

    @cached_property
    def area(self) -> float:
        """Enclosed area, cm2, exact for cubics; negative where the round is clockwise."""
        total = 0.0
        for _, curve in self.edges:
            for s in curve.segments:
                p, q, r, t = s
                total += 3 / 20 * (
                    2 * _cross(p, q) + _cross(p, r) + _cross(q, r) + _cross(q, t) + 2 * _cross(r, t)
                ) + 1 / 20 * _cross(p, t)
        return total

    @property
    def length(self) -> float:
        return sum(curve.length for _, curve in self.edges)

    def moved(self, move: Move) -> Outline:
        """Moved rigidly; where the paper is turned over the edges are listed the other way round."""
        if not move.over:
            return Outline(tuple((name, curve.moved(move)) for name, curve in self.edges))
        return Outline(tuple((name, curve.moved(move).reversed()) for name, curve in reversed(self.edges)))

    def flat(self, within: float = tolerances.FLATTEN) -> list[Point]:
        """The outline as points, the first not repeated."""
        return [p for _, curve in self.edges for p in curve.flat(within)[:-1]]

    def crosses_itself(self) -> bool:
        """Whether the outline touches or crosses itself away from its corners."""
        import shapely

        return not shapely.LinearRing(self.flat()).is_simple


def _cross(p: complex, q: complex) -> float:
    return p.real * q.imag - p.imag * q.real

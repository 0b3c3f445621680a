"""One cause for a whole draft: another unit, another scale, mirrored, or turned over."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from ...draft import Draft
from ...geometry import Curve, Point
from ...operations import Value
from ...units import CM_PER_INCH
from .deviation import gap

TELLING = 3
"""So many values must tell the cause."""
FITTING, UNFITTING = 0.7, 0.15
"""So large a share of them must fit once it is undone, and so small a one may fit as handed in."""


class Whole(NamedTuple):
    """code: of the slip; values: what was handed in, with the slip undone."""

    code: str
    values: dict[str, Value]


def _changed(curve: Curve, move: Callable[[complex], complex]) -> Curve:
    return Curve(tuple((move(a), move(b), move(c), move(d)) for a, b, c, d in curve.segments))


def _scaling(times: float) -> Callable[[str, Any], Any]:
    def undo(name: str, value: Any) -> Any:
        if isinstance(value, Point):
            return Point(times * value.x, times * value.y)
        if isinstance(value, Curve):
            return _changed(value, lambda z: times * z)
        return value if "angle" in name else times * value

    return undo


def _folding(across: int, up: int) -> Callable[[str, Any], Any]:
    def undo(name: str, value: Any) -> Any:
        if isinstance(value, Point):
            return Point(across * value.x, up * value.y)
        if isinstance(value, Curve):
            return _changed(value, lambda z: complex(across * z.real, up * z.imag))
        return value

    return undo


CAUSES = (
    ("whole-in-mm", _scaling(0.1)),
    ("whole-in-inches", _scaling(CM_PER_INCH)),
    ("whole-twice-in-inches", _scaling(1 / CM_PER_INCH)),
    ("whole-in-half-scale", _scaling(2.0)),
    ("whole-in-quarter-scale", _scaling(4.0)),
    ("whole-mirrored", _folding(-1, 1)),
    ("whole-upside-down", _folding(1, -1)),
    ("whole-turned", _folding(-1, -1)),
)


def find_whole(target: Draft, values: Mapping[str, Value], allowed: Mapping[str, float]) -> Whole | None:
    """The cause that explains nearly all of a draft at once, or None.

    allowed: the steps asked, with their tolerances, cm.
    """
    handed_in = [n for n in allowed if n in values]
    for code, undo in CAUSES:
        undone = {n: undo(n, values[n]) for n in handed_in}
        telling = [n for n in handed_in if gap(undo(n, target[n]), target[n]).distance > 3 * allowed[n]]
        if len(telling) < TELLING:
            continue
        fits = sum(gap(undone[n], target[n]).distance <= 2 * allowed[n] for n in telling)
        before = sum(gap(values[n], target[n]).distance <= 2 * allowed[n] for n in telling)
        if fits >= FITTING * len(telling) and before <= UNFITTING * len(telling):
            return Whole(code, {**values, **undone})
    return None

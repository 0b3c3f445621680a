"""From places read on photographs to a hand-in record, and a record worked again from its kept places.

>>> from patternlib.geometry import Point
>>> picture = Photograph("0" * 64, 0.05, page=1)
>>> points = {"side hip": Point(27, -24.1)}
>>> record = record_of_places("02a", points, {}, student="lena", scale=2, photographs=[picture])
>>> record["points"], record["way"], record["photographs"][0]["residual"]
({'side hip': [27.0, -24.1]}, 'photograph', 0.05)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate, pairwise
from typing import Any

import msgspec

from ...errors import ValueAtFault, look_up, unknown
from ...geometry import Curve, Point, fair
from ...operations import Value
from ..tasks.catalogue import exercise
from ..tasks.record import AGAIN, Photograph, Record, spot
from .label import SCALES

PLACES = 13
"""Places of a line that are kept, evenly spread from end to end."""
APART = 0.02
"""cm: places of a line that lie closer are one."""


def record_of_places(
    id: str,
    points: Mapping[str, Point],
    lines: Mapping[str, Sequence[Point]],
    *,
    student: str,
    key: str = "",
    scale: int = 1,
    photographs: Iterable[Photograph] = (),
    numbers: Mapping[str, float] | None = None,
) -> dict[str, Any]:
    """The hand-in record of what was read on photographs; full-size cm, y up, x from the centre line.

    points: by step; lines: places of each line, from one end to the other; of more than 24 places so many are
    taken as are needed; scale: cm of the draft for one cm of the paper; numbers: lengths and angles that were
    typed. Raises UnknownName for a step that is not asked, ValueAtFault for a line without length or a
    scale that does not exist.
    """
    work = exercise(id)
    asked = {a.name: a.kind for a in work.steps()}
    values: dict[str, Value] = {}
    kept: dict[str, list[list[float]]] = {}
    for kind, given in (("point", points), ("curve", lines), ("number", numbers or {})):
        for name in given:
            if asked.get(name) != kind:
                raise unknown(f"{_CALLED[kind]} asked in exercise {id}", name, _of(asked, kind))
    values |= {name: Point(*point) for name, point in points.items()}
    for name, line in lines.items():
        places = thinned(line)
        if len(places) < 2:
            raise ValueAtFault(name, "this", "is a line without length", "Give places from end to end.")
        kept[name] = [spot(place) for place in places]
        values[name] = through_places(kept[name])
    values |= dict(numbers or {})
    look_up("scale", str(scale), {str(n): n for n in SCALES})
    of = work.own_numbers(student, key)
    record = work.record(of, values, student=student, way="photograph", scale=float(scale))
    return record | {"photographs": msgspec.to_builtins(list(photographs)), "places": kept}


_CALLED = {"point": "point", "curve": "line", "number": "length"}


def _of(asked: Mapping[str, str], kind: str) -> list[str]:
    return [name for name, its in asked.items() if its == kind]


def through_places(places: Iterable[Sequence[float]]) -> Curve:
    """The line through places that were read, as it is judged."""
    return fair([Point(*place) for place in places])


def thinned(line: Sequence[Point], count: int = PLACES) -> list[Point]:
    """So many places of a line, evenly spread along it, both ends among them; few ones stay as they are.

    >>> [p.x for p in thinned([Point(x / 10, 0) for x in range(101)], 5)]
    [0.0, 2.5, 5.0, 7.5, 10.0]
    """
    apart = [Point(*line[0])] if line else []
    for place in line[1:]:
        if apart[-1].distance(place) >= APART:
            apart.append(Point(*place))
    if len(apart) <= count:
        return apart
    along = [0.0, *accumulate(a.distance(b) for a, b in pairwise(apart))]
    found, k = [], 0
    for n in range(count):
        at = along[-1] * n / (count - 1)
        while k < len(apart) - 2 and along[k + 1] < at:
            k += 1
        share = (at - along[k]) / (along[k + 1] - along[k])
        found.append(apart[k] + (apart[k + 1] - apart[k]) * min(share, 1.0))
    return found


def worked_again(record: Record) -> bool:
    """Whether the lines of a record are those through its kept places, and each has a photograph.

    What was changed by hand in a saved record shows in this.
    """
    if record.places.keys() != record.curves.keys() or not record.photographs:
        return False
    for name, cubics in record.curves.items():
        again = through_places(record.places[name]).segments
        if len(again) != len(cubics):
            return False
        for mine, theirs in zip(again, cubics, strict=True):
            if any(abs(z - complex(*s)) > AGAIN for z, s in zip(mine, theirs, strict=True)):
                return False
    return True

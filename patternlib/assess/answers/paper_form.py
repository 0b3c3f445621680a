"""A form for drafts on paper: measurements taken with a ruler become the same hand-in record.

Every point is measured twice: across from the centre line, x = 0 of the sheet, to the right, and up from the
waist level; a curve at its ends and a few places between; a length with the tape.

>>> for blank in form("02a")[:2]:
...     print(blank.name, "|", blank.question)
centre back hip | how far to the right of the centre line, how far above the waist level (below is under 0)
centre back hem | how far to the right of the centre line, how far above the waist level (below is under 0)
>>> record = measured("02a", {"centre back hip": (0, "-9 1/2 in"), "side hip": (27, -24.1)}, student="lena")
>>> record["points"], record["way"]
({'centre back hip': [0.0, -24.13], 'side hip': [27.0, -24.1]}, 'paper')
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from ...errors import ValueAtFault, unknown
from ...geometry import Point, fair
from ...operations import Value
from ...units import read_length
from ..tasks.catalogue import exercise
from ..tasks.exercise import Asked

SCALES = {"full": 1, "half": 2, "quarter": 4, "fifth": 5}
"""How many cm of the draft one cm of the paper stands for."""
MOST_PLACES = 24
"""Places of a curve that can be measured."""

QUESTIONS = {
    "point": "how far to the right of the centre line, how far above the waist level (below is under 0)",
    "curve": "seven or more places from one end to the other, each measured like a point",
    "number": "the length, with ruler or tape on its edge, or the number you calculated",
}


class Blank(NamedTuple):
    """One line of the form: the step's name, its kind and what is to be measured."""

    name: str
    kind: str
    question: str


def form(id: str) -> tuple[Blank, ...]:
    """The lines of an exercise's form. Raises UnknownName for an exercise that does not exist."""
    return tuple(Blank(a.name, a.kind, QUESTIONS[a.kind]) for a in exercise(id).steps())


def measured(
    id: str,
    measures: Mapping[str, Any],
    *,
    student: str,
    key: str = "",
    unit: str = "cm",
    scale: str = "full",
) -> dict:
    """The hand-in record of a draft on paper.

    measures: for a point (across, up), for a curve a list of such places, for a length one number; bare
    numbers are in `unit`, 'cm' or 'in', and full-size measures at any scale. scale: 'full', 'half',
    'quarter' or 'fifth', as the draft was drawn: a small draft may be further off. Raises UnknownName for a
    step that is not asked or a scale that does not exist, ValueAtFault for a measure that cannot be read.
    """
    work = exercise(id)
    asked = {a.name: a for a in work.steps()}
    values: dict[str, Value] = {}
    for name, given in measures.items():
        if name not in asked:
            raise unknown(f"step asked in exercise {id}", name, asked)
        values[name] = _read(asked[name], given, unit)
    if scale not in SCALES:
        raise unknown("scale", scale, SCALES)
    of = work.own_numbers(student, key)
    return work.record(of, values, student=student, way="paper", scale=SCALES[scale])


def _read(asked: Asked, given: Any, unit: str) -> Value:
    if asked.kind == "number":
        if "angle" in asked.name and isinstance(given, int | float):
            return float(given)
        return read_length(given, unit, name=asked.name)
    if asked.kind == "point":
        return _place(asked.name, given, unit)
    if not isinstance(given, Sequence) or isinstance(given, str) or not 2 <= len(given) <= MOST_PLACES:
        raise ValueAtFault(
            asked.name, "this", "cannot be read as a curve",
            f"Write 2 to {MOST_PLACES} places from one end to the other: [(0, 0), (8, 0.4), (17, 1.2)].",
        )  # fmt: skip
    return fair([_place(asked.name, place, unit) for place in given])


def _place(name: str, given: Any, unit: str) -> Point:
    if not isinstance(given, Sequence) or isinstance(given, str) or len(given) != 2:
        raise ValueAtFault(name, "this", "cannot be read as a place", "Write two measures: (across, up).")
    return Point(*(read_length(c, unit, name=name) for c in given))

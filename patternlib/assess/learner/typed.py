"""What is typed into a form becomes measures, a hand-in record, or a sentence beside the field at fault.

>>> from patternlib.assess import exercise
>>> read = read_typed(exercise("02a"), {"side hip|across": "10 5/8 in", "side hip|up": "-24,1"})
>>> read.measures, read.faults
({'side hip': (26.9875, -24.1)}, {})
>>> read_typed(exercise("02a"), {"side hip|across": "27 yards"}).faults["side hip|across"]
"'27 yards' is not a length. Write it as 62, 62 cm, 620 mm or 24 1/2 in."
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ...errors import PatternError
from ...units import UNITS, read_length
from ..answers.paper_form import MOST_PLACES as PLACES_OF_A_LINE
from ..answers.paper_form import SCALES, measured
from ..tasks.exercise import Exercise
from .fields import MOST_PLACES, Row, rows

UNIT, SCALE, ASKED = "unit", "scale", "asked"
"""Fields of the whole draft: the unit of bare numbers, the scale, and the question that was answered no."""
FARTHEST = 1000.0
"""cm."""

_ANGLE = re.compile(r"([+−-]?) ?(\d+(?:[.,]\d*)?|[.,]\d+) ?(?:°|degrees?)?")


@dataclass
class Reading:
    """measures: cm by step, as `measured` takes them; finish: by piece, as in a record; faults: a sentence by
    field; open: a sentence by field that is still empty beside a filled one."""

    unit: str = "cm"
    scale: str = "full"
    measures: dict[str, Any] = field(default_factory=dict)
    finish: dict[str, dict] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)
    open: dict[str, str] = field(default_factory=dict)


def read_typed(work: Exercise, typed: Mapping[str, str]) -> Reading:
    """Read every field of an exercise's form; what cannot be read is left out and said."""
    found = Reading()
    found.unit = typed[UNIT] if typed.get(UNIT) in UNITS else "cm"
    found.scale = typed[SCALE] if typed.get(SCALE) in SCALES else "full"
    for row in rows(work):
        _READ[row.kind](found, row, _Fields(found, {k: v.strip() for k, v in typed.items() if v.strip()}))
    return found


def record_of(work: Exercise, read: Reading, *, student: str, key: str = "") -> dict[str, Any]:
    """The hand-in record of what was read; of a line with very many places so many as a record takes."""
    measures = {name: _spread(value) for name, value in read.measures.items()}
    record = measured(work.id, measures, student=student, key=key, scale=read.scale)
    empty: dict[str, Any] = {
        "allowances": {},
        "notches": [],
        "grain": None,
        "label": [],
        "corners": {},
        "cut_line": [],
    }
    return record | {"finish": {piece: empty | done for piece, done in read.finish.items()}}


def _spread(value: Any) -> Any:
    """A line's places, evenly chosen among those that were measured, both ends among them."""
    if not isinstance(value, list) or len(value) <= PLACES_OF_A_LINE:
        return value
    share = (len(value) - 1) / (PLACES_OF_A_LINE - 1)
    return [value[round(k * share)] for k in range(PLACES_OF_A_LINE)]


class _Fields:
    """The filled fields, read one by one."""

    def __init__(self, found: Reading, filled: Mapping[str, str]) -> None:
        self.found, self.filled = found, filled

    def text(self, key: str) -> str:
        return self.filled.get(key, "")

    def length(self, key: str) -> float | None:
        """Full-size cm; None where the field is empty or at fault."""
        if not self.text(key):
            return None
        try:
            cm = read_length(self.text(key), self.found.unit) * SCALES[self.found.scale]
        except PatternError as fault:
            self.found.faults[key] = str(fault).removeprefix("length: ")
            return None
        if abs(cm) > FARTHEST:
            self.found.faults[key] = "This is more than 10 metres. Look at its unit."
            return None
        return round(cm, 4)

    def spot(self, row: Row, line: int = 0) -> tuple[float, float] | None:
        across, up = (row.key(part, line) for part in ("across", "up"))
        for one, other, missing in ((across, up, "how far up"), (up, across, "how far across")):
            if self.text(one) and not self.text(other):
                self.found.open[other] = f"Measure {missing} it is, too."
        x, y = self.length(across), self.length(up)
        return None if x is None or y is None else (x, y)

    def spots(self, row: Row) -> list[tuple[float, float]]:
        found = (self.spot(row, line) for line in range(1, MOST_PLACES + 1))
        return [spot for spot in found if spot is not None]


def _point(found: Reading, row: Row, fields: _Fields) -> None:
    spot = fields.spot(row)
    if spot is not None:
        found.measures[row.name] = spot


def _curve(found: Reading, row: Row, fields: _Fields) -> None:
    spots = fields.spots(row)
    if any(a == b for a, b in pairwise(spots)):
        found.faults[row.name] = "Two places that follow one another are the same: take one of them away."
    elif len(spots) == 1:
        found.open[row.name] = "A line needs two places or more."
    elif spots:
        found.measures[row.name] = spots


def _number(found: Reading, row: Row, fields: _Fields) -> None:
    cm = fields.length(row.key("length"))
    if cm is not None:
        found.measures[row.name] = cm


def _angle(found: Reading, row: Row, fields: _Fields) -> None:
    key = row.key("length")
    match = _ANGLE.fullmatch(fields.text(key)) if fields.text(key) else None
    if match and float(match[2].replace(",", ".")) <= 360:
        degrees = float(match[2].replace(",", "."))
        found.measures[row.name] = -degrees if match[1] in ("-", "−") else degrees
    elif fields.text(key):
        found.faults[key] = f"'{fields.text(key)[:40]}' is no angle. Write degrees as a number, such as 12.5."


def _piece(found: Reading, row: Row) -> dict:
    return found.finish.setdefault(row.piece, {})


def _allowance(found: Reading, row: Row, fields: _Fields) -> None:
    cm = fields.length(row.key("wide"))
    if cm is not None:
        _piece(found, row).setdefault("allowances", {})[row.name.split(": allowance of ", 1)[1]] = cm


def _corner(found: Reading, row: Row, fields: _Fields) -> None:
    chosen = fields.text(row.key("first"))
    if chosen in row.choices:
        _piece(found, row).setdefault("corners", {})[" / ".join(row.choices)] = chosen


def _notches(found: Reading, row: Row, fields: _Fields) -> None:
    edge = row.name.split(": notches of ", 1)[1]
    for line in range(1, MOST_PLACES + 1):
        cm = fields.length(row.key("at", line))
        if cm is not None:
            count = 2 if fields.text(row.key("slits", line)) == "double" else 1
            _piece(found, row).setdefault("notches", []).append({"edge": edge, "at": cm, "count": count})


def _grain(found: Reading, row: Row, fields: _Fields) -> None:
    spots = fields.spots(row)
    if len(spots) == 1:
        found.open[row.name] = "A grain line has two ends: measure both."
    elif spots:
        _piece(found, row)["grain"] = [list(spot) for spot in spots[:2]]


def _label(found: Reading, row: Row, fields: _Fields) -> None:
    lines = [fields.text(row.key("text", line))[:200] for line in range(1, row.lines + 1)]
    if any(lines):
        _piece(found, row)["label"] = [line for line in lines if line]


def _cut_line(found: Reading, row: Row, fields: _Fields) -> None:
    spots = fields.spots(row)
    if 0 < len(spots) < 3:
        found.open[row.name] = "A cut line goes round the piece: it needs three corners or more."
    elif spots:
        _piece(found, row)["cut_line"] = [list(spot) for spot in spots]


_READ = {
    "point": _point, "curve": _curve, "number": _number, "angle": _angle, "allowance": _allowance,
    "corner": _corner, "notches": _notches, "grain": _grain, "label": _label, "cut line": _cut_line,
}  # fmt: skip

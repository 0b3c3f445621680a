"""What was measured with the ruler for the photographs of a class: one table beside the hand-ins.

Columns, in any order: `student` and `exercise` (needed), `test line` (of a worksheet, as it came from the
printer), `distance 1` and `distance 2` (between the crosses on two strips, such as `A to C 71.3 cm`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from ...errors import PatternError
from ...units import read_length, write_length
from ..hand_ins.register import read_table, row_fault
from ..photographed.label import Label
from ..safe_text import folded, one_line
from ..tasks.catalogue import exercises
from .seen import Distances, whose

COLUMNS = ("student", "exercise", "test line", "distance 1", "distance 2")
LEAST, MOST = 10.0, 20.0
"""cm: a length outside cannot be that of the test line, which is printed 15 cm long."""
NO_TEST_LINE = "No length of its test line was given: sizes rest on the printed squares."
TEST_LINE_SAID = "Its test line was measured, {}: it is printed at its true size."
NO_DISTANCES = "Between strips two measured distances decide the size: type them in where it is tapped."
DISTANCES_SAID = "Its size rests on two measured distances: {}."
NO_PICTURE = "It gives lengths for {} of {}, and no photograph of that came in. Look at the spelling."
_BETWEEN = re.compile(r"([A-Za-z]{1,2})\s+to\s+([A-Za-z]{1,2})[\s:,;]+(.+)")


@dataclass(frozen=True)
class Measured:
    """One line of the table. test_line: cm, None where none was given; distances: two, or none."""

    line: int
    student: str
    exercise: str
    test_line: float | None = None
    distances: Distances = ()


@dataclass(frozen=True)
class Lengths:
    """The table, by student and exercise; name: of its file."""

    by: Mapping[str, Measured] = field(default_factory=dict)
    name: str = ""

    def of(self, label: Label) -> Measured | None:
        """What was measured for a draft."""
        return self.by.get(whose(label.student, label.exercise))

    def test_line(self, label: Label) -> float | None:
        """The measured length of its test line, cm; None for strips, and where none was given."""
        mine = self.of(label)
        return None if mine is None or label.loose else mine.test_line

    @property
    def distances(self) -> dict[str, Distances]:
        """Those of all drafts between strips."""
        return {key: one.distances for key, one in self.by.items() if one.distances}


def size_said(test_line: float | None, distances: Distances, *, loose: bool) -> str:
    """On which measured lengths the size of a draft rests, in a sentence.

    >>> size_said(None, (("A", "C", 71.3), ("B", "D", 60.0)), loose=True)
    'Its size rests on two measured distances: A to C 71.3 cm and B to D 60 cm.'
    """
    if loose:
        each = (f"{a} to {b} {write_length(cm, decimals=2)}" for a, b, cm in distances)
        return DISTANCES_SAID.format(" and ".join(each)) if distances else NO_DISTANCES
    return NO_TEST_LINE if test_line is None else TEST_LINE_SAID.format(write_length(test_line, decimals=2))


def read_measured_lengths(path: Path) -> Lengths:
    """Read the table; raises PatternError with a sentence for each line that cannot be used."""
    found: dict[str, Measured] = {}
    faults = []
    for number, line in read_table(path, COLUMNS, "student").rows:
        try:
            one = _measured(number, line)
            key = whose(one.student, one.exercise)
            if key in found:
                raise PatternError(f"repeats {one_line(one.student, 80)}, {one.exercise}: keep one of them")
            found[key] = one
        except PatternError as fault:
            faults.append(str(row_fault(path, number, one_line(fault, 300).rstrip("."))))
    if faults:
        raise PatternError(" ".join(faults))
    return Lengths(found, one_line(path.name, 80))


def _measured(number: int, line: Mapping[str, str]) -> Measured:
    student, name = line["student"], line["exercise"].casefold()
    if len(student) > 80 or not folded(student):
        raise PatternError("names no student, with 1 to 80 letters or digits")
    if name not in exercises():
        raise PatternError(f"names '{one_line(name, 40)}', which is no exercise; write one such as 02a")
    test_line = _length(line["test line"], "test line") if line["test line"] else None
    if test_line is not None and not LEAST <= test_line <= MOST:
        raise PatternError(
            f"has '{one_line(line['test line'], 40)}' for the test line, which is printed 15 cm long: "
            "measure it again"
        )
    between = [_distance(line[column], column) for column in COLUMNS[3:] if line[column]]
    if len(between) == 1:
        raise PatternError("has one distance between strips; two are needed")
    if test_line is None and not between:
        raise PatternError("has no length: write the test line of a worksheet, or two distances of strips")
    return Measured(number, student, name, test_line, tuple(between))


def _distance(text: str, column: str) -> tuple[str, str, float]:
    found = _BETWEEN.fullmatch(text)
    if found is None:
        raise PatternError(f"has '{one_line(text, 40)}' for {column}; write it as A to C 71.3 cm")
    return found[1].upper(), found[2].upper(), _length(found[3], column)


def _length(text: str, what: str) -> float:
    try:
        return read_length(text, name=what)
    except PatternError as fault:
        raise PatternError(f"cannot be read; {one_line(fault, 200)}") from None

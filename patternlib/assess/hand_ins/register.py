"""The register of a class: one table that a teacher keeps in a spreadsheet, saved as CSV.

Columns, in any order: `id` (needed), `handed in as` (the name that the school's system gives; several parted
by `;`), `group`, `key` (of the own numbers), `leave` (`2026-03-02 to 2026-03-09`), `extra days`, `name`.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple

from ...errors import PatternError
from ..safe_text import folded, from_cell, one_line
from .files import Refused, read_file

COLUMNS = ("id", "handed in as", "group", "key", "leave", "extra days", "name")
DUE_COLUMNS = ("exercise", "due", "group")
LARGEST = 5_000_000
_ADVICE = "Correct it in the spreadsheet, save it as CSV and start again."


@dataclass(frozen=True)
class Student:
    """One line of the register. key: None where the line says nothing; leave: first and last day."""

    id: str
    aliases: tuple[str, ...] = ()
    group: str = ""
    key: str | None = None
    leave: tuple[tuple[date, date], ...] = ()
    extra_days: int = 0
    name: str = ""


@dataclass(frozen=True)
class Due:
    """A day (with the minute, if given) by which an exercise is handed in; group: '' is everybody."""

    exercise: str
    when: str
    group: str = ""


@dataclass(frozen=True)
class Register:
    """The students of a class by folded id, in the order of the table, and when work is due. semicolons: the
    table came with semicolons, as spreadsheets save it in countries with a decimal comma."""

    students: Mapping[str, Student] = field(default_factory=dict)
    due: tuple[Due, ...] = ()
    semicolons: bool = False

    def __bool__(self) -> bool:
        return bool(self.students)

    def get(self, who: str) -> Student | None:
        return self.students.get(folded(who))

    def of_group(self, group: str) -> dict[str, Student]:
        """The students of a group by folded id; '' is everybody."""
        return {w: s for w, s in self.students.items() if not group or folded(s.group) == folded(group)}

    def lateness(self, who: str, exercise: str, stamp: str) -> str:
        """How an answer stands to its day: '', 'on time', '2 days late', 'on leave'."""
        student = self.get(who) or Student(who)
        day = self.due_of(student, exercise)
        if not day or not stamp:
            return ""
        until, came = _moment(day), _moment(stamp)
        for first, last in student.leave:
            if first <= until[0] <= last:  # due while on leave: as many days after it as were missed
                until = (last + (until[0] - first) + timedelta(days=1), until[1])
        until = (until[0] + timedelta(days=student.extra_days), until[1])
        if came <= until:
            return "on time"
        days = max((came[0] - until[0]).days, 0)
        return f"{days} day{'s' if days != 1 else ''} late" if days else "late on the day"

    def due_of(self, student: Student, exercise: str) -> str:
        """The day of an exercise for a student, '' where none is set; their group's own goes first."""
        fitting = [d for d in self.due if d.exercise == exercise and d.group in ("", folded(student.group))]
        return max(fitting, key=lambda d: d.group != "").when if fitting else ""


def _moment(stamp: str) -> tuple[date, str]:
    return date.fromisoformat(stamp[:10]), stamp[11:16] or "23:59"


def read_register(path: Path) -> Register:
    """Read a register; raises PatternError with a sentence for each thing in it that cannot be used."""
    found: dict[str, Student] = {}
    names: dict[str, str] = {}
    table = read_table(path, COLUMNS, "id")
    for number, line in table.rows:
        if len(line["id"]) > 80 or not folded(line["id"]):
            raise row_fault(path, number, "has no id of 1 to 80 letters or digits")
        student = Student(
            line["id"],
            tuple(filter(None, (a.strip() for a in line["handed in as"].split(";")))),
            line["group"],
            line["key"] or None,
            tuple(_leave(path, number, line["leave"])),
            _days(path, number, line["extra days"]),
            line["name"],
        )
        if len(line["key"]) > 80:
            raise row_fault(path, number, "has a key of more than 80 characters")
        for name in {folded(n) for n in (student.id, *student.aliases)} - {""}:
            if names.setdefault(name, student.id) != student.id or folded(student.id) in found:
                raise row_fault(path, number, f"repeats '{one_line(name, 80)}', which is another student's")
        found[folded(student.id)] = student
    if not found:
        raise PatternError(f"The register {one_line(path.name)} holds no student. {_ADVICE}")
    return Register(found, semicolons=table.semicolons)


def no_such_group(group: str, students: Iterable[Student]) -> PatternError:
    """The error for a group that stands in no line of the register."""
    known = ", ".join(sorted({s.group for s in students if s.group}))
    there = f"It has: {known}." if known else "Nobody in it has a group."
    return PatternError(f"The register has no group '{one_line(group, 40)}'. {there}")


def read_due(path: Path, exercises: Iterable[str]) -> tuple[Due, ...]:
    """Read the table of days: exercise (or a lesson's number, for all of its), due, group."""
    known = tuple(exercises)
    found = []
    for number, line in read_table(path, DUE_COLUMNS, "exercise").rows:
        name = line["exercise"].casefold()
        mine = [e for e in known if e == name or (name.isdecimal() and e[:-1] == f"{int(name[:4]):02}")]
        if not mine:
            raise row_fault(path, number, f"names '{one_line(name, 40)}', which is no exercise and no lesson")
        when = _stamp(line["due"])
        if not when:
            raise row_fault(path, number, f"has '{one_line(line['due'], 40)}' for a day; write 2026-03-31")
        found += [Due(e, when, folded(line["group"])) for e in mine]
    return tuple(found)


class Table(NamedTuple):
    """The filled lines of a table with their numbers, each by the name of its column; whether semicolons
    part its cells."""

    rows: list[tuple[int, dict[str, str]]]
    semicolons: bool


def read_table(path: Path, columns: tuple[str, ...], needed: str) -> Table:
    """Read a table that a teacher keeps.

    Raises PatternError for a table that cannot be read, lacks the needed column or has a strange one.
    """
    what = one_line(path.name)
    try:
        lines, sign = _parted(read_file(path, LARGEST, follow=True))
    except Refused as error:
        raise PatternError(f"The table {what} cannot be read: {one_line(error)} {_ADVICE}") from None
    except csv.Error:
        raise PatternError(f"The table {what} cannot be read: its lines are no table. {_ADVICE}") from None
    if not lines:
        raise PatternError(f"The table {what} is empty. {_ADVICE}")
    heads = [" ".join(h.split()).casefold() for h in lines[0][1]]
    if needed not in heads:
        raise PatternError(
            f"The table {what} has no column '{needed}' in its first line. Known are: {', '.join(columns)}."
        )
    for strange in (h for h in heads if h and h not in columns):
        raise PatternError(
            f"The table {what} has a column '{one_line(strange, 40)}' that is not known. "
            f"Known are: {', '.join(columns)}."
        )
    rows = []
    for number, line in lines[1:]:
        cells = dict(zip(heads, line, strict=False))
        rows.append((number, {c: from_cell(cells.get(c, "").strip()) for c in columns}))
    return Table(rows, sign == ";")


def table_lines(data: bytes) -> list[tuple[int, list[str]]]:
    """The filled lines of a CSV with their numbers, as spreadsheets of any country save it."""
    return _parted(data)[0]


def _parted(data: bytes) -> tuple[list[tuple[int, list[str]]], str]:
    """The filled lines with their numbers, and the sign that parts the cells: `,`, `;` or a tab."""
    text = _text(data)
    first = text.split("\n", 1)[0]
    sign = max(",;\t", key=first.count)
    lines = enumerate(csv.reader(io.StringIO(text), delimiter=sign), 1)
    return [(n, line) for n, line in lines if any(cell.strip() for cell in line)], sign


def _text(data: bytes) -> str:
    """Spreadsheets save as UTF-8, as UTF-16 or in the letters of Windows."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _leave(path: Path, number: int, text: str) -> Iterable[tuple[date, date]]:
    for part in filter(str.strip, text.split(";")):
        days = [_stamp(d) for d in re.split(r"\bto\b|–", part)]
        if not 1 <= len(days) <= 2 or not all(days) or days[0][:10] > days[-1][:10]:
            raise row_fault(path, number, "has a leave that cannot be read; write 2026-03-02 to 2026-03-09")
        yield date.fromisoformat(days[0][:10]), date.fromisoformat(days[-1][:10])


def _days(path: Path, number: int, text: str) -> int:
    if not text:
        return 0
    if not re.fullmatch(r"[0-9]{1,3}", text):
        raise row_fault(path, number, "has extra days that are no whole number from 0 to 999")
    return int(text)


def _stamp(text: str) -> str:
    """'2026-03-31' or '2026-03-31 17:00'; also as spreadsheets write days, 31.03.2026; '' for others."""
    found = re.fullmatch(
        r"\s*(?:(\d{4})-(\d\d?)-(\d\d?)|(\d\d?)\.(\d\d?)\.(\d{4}))(?:[ T](\d\d?):(\d\d)(?::\d\d)?)?\s*", text
    )
    if not found:
        return ""
    year, month, day = (found[1], found[2], found[3]) if found[1] else (found[6], found[5], found[4])
    try:
        moment = date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        return ""
    return moment + (f" {int(found[7]):02}:{found[8]}" if found[7] and int(found[7]) < 24 else "")


def row_fault(path: Path, number: int, what: str) -> PatternError:
    """What is wrong with one line of a table, and what to do."""
    return PatternError(f"Line {number} of {one_line(path.name)} {what}. {_ADVICE}")

"""The table of marks, and the instructor's own marks and remarks, which no run ever takes away.

The instructor writes in the two columns `own mark` and `own remark` of marks.csv, or in own-remarks.csv,
which is made once with its headings and never written again; what stands there goes before the columns.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from ...errors import PatternError
from ..hand_ins.intake import Refused, read_file
from ..safe_text import folded, for_cell, from_cell

COLUMNS = ("student", "exercise", "mark", "out of", "own mark", "own remark", "way", "state", "notes", "file")
OWN_COLUMNS = ("student", "exercise", "own mark", "own remark")
OWN_FILE, MARKS_FILE = "own-remarks.csv", "marks.csv"
LARGEST = 20_000_000


@dataclass
class Row:
    """One hand-in for one exercise in the table; mark is None where nothing was judged or nothing counts.

    aside: those of the notes that are for the instructor alone and stay off the student's page.
    """

    student: str
    exercise: str
    mark: float | None = None
    out_of: float | None = None
    way: str = ""
    state: str = ""
    notes: list[str] = field(default_factory=list)
    aside: set[str] = field(default_factory=set)
    file: str = ""
    own_mark: str = ""
    own_remark: str = ""

    @property
    def final(self) -> float | None:
        """The instructor's own mark where it is a number, else the judged one."""
        try:
            return float(self.own_mark.replace(",", "."))
        except ValueError:
            return self.mark


def number(value: float | None) -> str:
    """A mark as it is shown: at most two decimals, no needless zeros.

    >>> number(7.0), number(6.25), number(None)
    ('7', '6.25', '')
    """
    return "" if value is None else f"{value:.2f}".rstrip("0").rstrip(".")


def table(rows: Iterable[Row]) -> str:
    """The text of marks.csv."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in rows:
        cells = (
            row.student,
            row.exercise,
            number(row.mark),
            number(row.out_of),
            row.own_mark,
            row.own_remark,
        )
        writer.writerow([for_cell(c) for c in (*cells, row.way, row.state, " ".join(row.notes), row.file)])
    return "\ufeff" + out.getvalue()  # the mark by which spreadsheets know UTF-8


def own_table() -> str:
    """The text of a new own-remarks.csv."""
    return "\ufeff" + ",".join(OWN_COLUMNS) + "\r\n"


def keep(rows: list[Row], out: Path) -> list[Row]:
    """Give the rows with the instructor's own marks and remarks from a former run in `out`.

    A row whose hand-in has gone stays as long as it has a mark or remark of the instructor's.
    Raises PatternError where a file is there but cannot be read, so that nothing is lost.
    """
    for before in _read(out / MARKS_FILE, COLUMNS):
        if before["own mark"] or before["own remark"]:
            row = _find(rows, before)
            row.own_mark, row.own_remark = before["own mark"], before["own remark"]
    for before in _read(out / OWN_FILE, OWN_COLUMNS):
        if before["own mark"] or before["own remark"]:
            row = _find(rows, before)
            row.own_mark = before["own mark"] or row.own_mark
            row.own_remark = before["own remark"] or row.own_remark
    return rows


def _find(rows: list[Row], before: Mapping[str, str]) -> Row:
    who = (folded(before["student"]), before["exercise"])
    same = [r for r in rows if (folded(r.student), r.exercise) == who]
    for row in same:
        if row.file == before.get("file"):
            return row
    counted = [r for r in same if r.mark is not None] or same
    if counted:
        return counted[0]
    rows.append(Row(before["student"], before["exercise"], state="no hand-in now"))
    return rows[-1]


def _read(path: Path, columns: tuple[str, ...]) -> list[dict[str, str]]:
    if not path.exists() and not path.is_symlink():
        return []
    try:
        text = _text(read_file(path, LARGEST))
        first = text.split("\n", 1)[0]
        reader = csv.reader(io.StringIO(text), delimiter=max(",;\t", key=first.count))
        lines = [line for line in reader if any(cell.strip() for cell in line)]
    except (Refused, csv.Error) as error:
        raise PatternError(
            f"{path} cannot be read ({error}), and it may hold your own marks. {_ADVICE}"
        ) from None
    heads = [h.strip() for h in lines[0]] if lines else []
    missing = [c for c in OWN_COLUMNS if c not in heads]
    if missing:
        raise PatternError(f"{path} has no column '{missing[0]}', and it may hold your own marks. {_ADVICE}")
    return [
        {c: from_cell(dict(zip(heads, line, strict=False)).get(c, "").strip()) for c in columns}
        for line in lines[1:]
    ]


_ADVICE = "Mend the file, or move it elsewhere, and start again."


def _text(data: bytes) -> str:
    """Spreadsheets save as UTF-8, as UTF-16 or in the letters of Windows."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")

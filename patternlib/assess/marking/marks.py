"""The table of marks, and the instructor's own marks and remarks, which no run ever takes away.

The instructor writes in the columns `own mark`, `own remark` and `appeal` of marks.csv, or in
own-remarks.csv, which is made once with its headings and never written again; what stands there goes before
the columns.
"""

from __future__ import annotations

import csv
import io
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from ...errors import PatternError
from ..hand_ins.files import Refused, read_file
from ..hand_ins.register import Register, table_lines
from ..project.levels import PROJECT, column
from ..safe_text import folded, for_cell, from_cell, one_line

COLUMNS = (
    "student", "exercise", "mark", "out of", "own mark", "own remark", "appeal", "proposed", "evidence",
    "way", "attempt", "handed in", "late", "state", "changed", "notes", "file",
)  # fmt: skip
OWN_COLUMNS = ("student", "exercise", "own mark", "own remark")
KEPT = ("own mark", "own remark", "appeal")
OWN_FILE, MARKS_FILE = "own-remarks.csv", "marks.csv"
LARGEST = 20_000_000
LONGEST_CELL = 30_000
"""characters of one cell; spreadsheets hold about so many."""
WAITS_FOR_WORD = "judged, waits for your word"
"""The state of an answer that counts only by the instructor's word."""
YES = ("ok", "yes", "counts")
"""In the column `own mark`: the proposed mark counts."""


@dataclass
class Row:
    """One hand-in for one exercise in the table.

    mark: the judged mark where it counts, else None; judged: the judged mark in any case; counts: whether
    this is the hand-in that counts for the exercise; criterion: of a project, or of an exercise of the
    instructor's own, what the row is for; aside: those of the notes that are for the instructor
    alone and stay off the student's page.
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
    appeal: str = ""
    judged: float | None = None
    counts: bool = True
    evidence: str = ""
    attempt: str = ""
    came: str = ""
    late: str = ""
    changed: str = ""
    criterion: str = ""

    def tell(self, said: str) -> None:
        """Add a note for the instructor, which is not for the student's page."""
        self.notes.append(said)
        self.aside = self.aside | {said}

    @property
    def of_project(self) -> bool:
        """Whether it is for a criterion of the project."""
        return bool(self.criterion) and column(self.exercise) == PROJECT

    @property
    def own(self) -> float | None:
        """The instructor's own mark, or the judged one where they wrote `ok`; None without a word, or with a
        level that its criterion has not."""
        if self.own_mark.strip().casefold() in YES:
            return self.judged if self.judged is not None else self.mark
        own = own_number(self.own_mark)
        return None if own is not None and self.criterion and not 0 <= own <= (self.out_of or own) else own

    @property
    def final(self) -> float | None:
        """The instructor's own mark, else the judged one; None where this hand-in does not count."""
        if not self.counts:
            return None
        own = self.own
        return self.mark if own is None else own


def own_number(text: str) -> float | None:
    """A mark as an instructor types it, with a point or a comma; None for anything else.

    >>> own_number("7,5"), own_number("nan"), own_number("inf"), own_number("9" * 6000)
    (7.5, None, None, None)
    """
    text = text.strip()
    return float(text.replace(",", ".")) if re.fullmatch(r"[+-]?[0-9]{1,6}([.,][0-9]{0,6})?", text) else None


def number(value: float | None) -> str:
    """A mark as it is shown: at most two decimals, no needless zeros.

    >>> number(7.0), number(6.25), number(None)
    ('7', '6.25', '')
    """
    return "" if value is None else f"{value:.2f}".rstrip("0").rstrip(".")


def settle(rows: Sequence[Row]) -> None:
    """Let an instructor's own mark decide which attempt counts, so that one counts and no second."""
    groups: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for row in rows:
        if row.own_mark and row.own is None:
            said = one_line(row.own_mark, 40)
            why = "is no number and not 'ok'"
            if row.own_mark.strip().casefold() in YES:
                why = "takes a proposed mark, and none is proposed here: write a number"
            elif own_number(row.own_mark) is not None:
                why = f"is no level here; they go from 0 to {number(row.out_of)}"
            row.tell(f"Your own mark '{said}' {why}; it was not used.")
        if row.exercise:
            groups[folded(row.student), row.exercise].append(row)
    for group in groups.values():
        own = [row for row in group if row.own is not None]
        if not own:
            continue
        chosen = next((row for row in own if row.counts), own[-1])
        for row in group:
            if row is not chosen and row.counts and len(group) > 1:
                row.counts, row.mark = False, None
                if row.judged is not None:
                    row.state = "judged, does not count"
                row.tell("Your own mark stands at another of the attempts, so that one counts.")
        chosen.counts = True
        if chosen.criterion:
            chosen.state = "your level"
        elif chosen.judged is not None:
            chosen.state = "judged, counts by your word"
        if len(own) > 1:
            chosen.tell("Several attempts have an own mark of yours; this one counts.")


def by_student(rows: Iterable[Row]) -> Iterator[tuple[str, list[Row]]]:
    """The rows of each student together, in the order of the table."""
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        groups[folded(row.student) or row.student].append(row)
    for group in groups.values():
        yield group[0].student, group


def waiting(rows: Iterable[Row]) -> list[Row]:
    """The answers that count only by the instructor's word; none where another attempt counts already."""
    rows = list(rows)
    settled = {(folded(r.student), r.exercise) for r in rows if r.final is not None}
    open_ = (r for r in rows if r.state == WAITS_FOR_WORD)
    return [r for r in open_ if (folded(r.student), r.exercise) not in settled]


def missing(rows: Iterable[Row], register: Register, students: Iterable[str]) -> dict[str, list[str]]:
    """For each exercise that is due, or that somebody handed in, those of the students (folded ids) who did
    not."""
    given = (r for r in rows if r.judged is not None or r.criterion)
    there = {(folded(r.student), column(r.exercise)) for r in given}
    asked = sorted({e for _, e in there} | {d.exercise for d in register.due})
    students = list(students)
    return {e: [who for who in students if (who, e) not in there] for e in asked}


def as_csv(
    lines: Iterable[Sequence[str]], *, semicolons: bool = False, figures: Sequence[int] | None = None
) -> str:
    """Lines of cells as a spreadsheet opens them.

    semicolons: for countries with a decimal comma, which the cells in the columns `figures` get (None: all).
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n", delimiter=";" if semicolons else ",")
    for line in lines:
        cells = [for_cell(cell, LONGEST_CELL) for cell in line]
        if semicolons:
            cells = [_with_comma(c) if figures is None or k in figures else c for k, c in enumerate(cells)]
        writer.writerow(cells)
    return "\ufeff" + out.getvalue()  # the mark by which spreadsheets know UTF-8


def _with_comma(cell: str) -> str:
    return cell.replace(".", ",") if re.fullmatch(r"-?\d+\.\d+", cell) else cell


def table(rows: Iterable[Row], *, semicolons: bool = False) -> str:
    """The text of marks.csv."""
    figures = [COLUMNS.index(name) for name in ("mark", "out of", "proposed")]
    return as_csv([COLUMNS, *map(_cells, rows)], semicolons=semicolons, figures=figures)


def _cells(row: Row) -> tuple[str, ...]:
    return (
        row.student, row.exercise, number(row.mark if row.counts else None), number(row.out_of),
        row.own_mark, row.own_remark, row.appeal, number(row.judged), row.evidence, row.way, row.attempt,
        row.came, row.late, row.state, row.changed, " ".join(row.notes), row.file,
    )  # fmt: skip


def own_table(*, semicolons: bool = False) -> str:
    """The text of a new own-remarks.csv."""
    return as_csv([OWN_COLUMNS], semicolons=semicolons)


def keep(rows: list[Row], out: Path) -> list[Row]:
    """Give the rows with the instructor's own marks and remarks from a former run in `out`.

    A row whose hand-in has gone stays as long as it has a mark or remark of the instructor's.
    Raises PatternError where a file is there but cannot be read, so that nothing is lost.
    """
    for before in [*_read(out / MARKS_FILE, COLUMNS), *_read(out / OWN_FILE, (*OWN_COLUMNS, "appeal"))]:
        if any(before[c] for c in KEPT):
            row = _find(rows, before)
            row.own_mark = before["own mark"] or row.own_mark
            row.own_remark = before["own remark"] or row.own_remark
            row.appeal = before["appeal"] or row.appeal
    settle(rows)
    return rows


def _find(rows: list[Row], before: Mapping[str, str]) -> Row:
    who, exercise = folded(before["student"]), before["exercise"]
    same = [r for r in rows if (folded(r.student), r.exercise) == (who, exercise)]
    if not same and who.isdecimal():  # a spreadsheet saves 007 as 7
        like = [r for r in rows if r.exercise == exercise and _bare(folded(r.student)) == _bare(who)]
        same = like if len({folded(r.student) for r in like}) == 1 else []
    for row in same:
        if row.file == before.get("file"):
            return row
    counted = [r for r in same if r.mark is not None] or same
    if counted:
        return counted[0]
    rows.append(Row(before["student"], exercise, state="no hand-in now"))
    return rows[-1]


def _bare(who: str) -> str:
    return who.lstrip("0") if who.isdecimal() else who


def _read(path: Path, columns: tuple[str, ...]) -> list[dict[str, str]]:
    if not path.exists() and not path.is_symlink():
        return []
    try:
        lines = [line for _, line in table_lines(read_file(path, LARGEST))]
    except (Refused, csv.Error) as error:
        raise PatternError(
            f"{path} cannot be read ({error}), and it may hold your own marks. {_ADVICE}"
        ) from None
    if not lines:
        return []  # an empty file holds nothing that could be lost
    heads = [h.strip() for h in lines[0]]
    missing = [c for c in OWN_COLUMNS if c not in heads]
    if missing:
        raise PatternError(f"{path} has no column '{missing[0]}', and it may hold your own marks. {_ADVICE}")
    return [
        {c: from_cell(dict(zip(heads, line, strict=False)).get(c, "").strip()) for c in columns}
        for line in lines[1:]
    ]


_ADVICE = "Correct the file, or move it elsewhere, and start again."

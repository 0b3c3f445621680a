"""The mark sheet of a term: a row for each student, a column for each exercise, and totals."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..hand_ins.register import Register
from ..project.levels import HIGHEST, PROJECT, column, criteria
from ..safe_text import folded
from .marks import Row, as_csv, missing, number

SHEET_FILE, SEMICOLON_FILE = "mark-sheet.csv", "mark-sheet-semicolons.csv"
MISSING, WAITS, OUT_OF = "missing", "waits", "out of"


def sheet_files(rows: Iterable[Row], register: Register, *, group: str = "", names: bool = False) -> dict:
    """The two files of the mark sheet, by their names: with commas, and with semicolons and decimal commas.

    The line under the headings, `out of`, says how many marks each exercise has. A cell holds a mark;
    `missing` where nothing was handed in for what was set; `waits` where a mark is proposed and the
    instructor's word is needed. names: join the names of the register, in the last column.
    """
    lines = sheet_lines(list(rows), register, group=group, names=names)
    return {SHEET_FILE: as_csv(lines), SEMICOLON_FILE: as_csv(lines, semicolons=True)}


def sheet_lines(rows: Sequence[Row], register: Register, *, group: str, names: bool) -> list[list[str]]:
    """The lines of the sheet as texts, the headings first."""
    marked = {r.exercise for r in rows if r.judged is not None or r.criterion or r.final is not None}
    exercises = sorted({column(e) for e in marked} | {d.exercise for d in register.due})
    parts = {r.exercise: 0.0 for r in rows if r.exercise in marked}
    for row in rows:
        if row.exercise in marked:
            parts[row.exercise] = max(parts[row.exercise], row.out_of or 0.0)
    most = {e: sum(marks for part, marks in parts.items() if column(part) == e) for e in exercises}
    if PROJECT in most:
        most[PROJECT] = float(HIGHEST * len(criteria()))
    students = {who: student.id for who, student in register.of_group(group).items()}
    for row in rows:  # with a register, what is nobody's in it has no line
        if row.exercise and (row.judged is not None or row.criterion) and not register:
            students.setdefault(folded(row.student), row.student)
    lacking = missing(rows, register, students)
    cells = {
        who: {
            e: _cell([r for r in rows if folded(r.student) == who and column(r.exercise) == e])
            or (MISSING if who in lacking.get(e, ()) else "")
            for e in exercises
        }
        for who in students
    }
    most_of = [number(most[e]) if most[e] else "" for e in exercises]
    whole = number(sum(most[e] for e in exercises if all(mine[e] for mine in cells.values())))
    heads = ["student", *(["group"] if register else []), *exercises, "total", OUT_OF, MISSING, WAITS]
    lines = [[*heads, *(["name"] if names else [])]]
    lines.append([OUT_OF, *([""] if register else []), *most_of, whole, whole])
    lines[-1] += [""] * (len(lines[0]) - len(lines[-1]))
    for who, shown in students.items():
        known, mine = register.get(who), list(cells[who].values())
        total = sum(r.final or 0.0 for r in rows if folded(r.student) == who and r.exercise)
        out_of = sum(most[e] for e, cell in cells[who].items() if cell)
        line = [shown, *([known.group if known else ""] if register else []), *mine, number(total)]
        line += [number(out_of), str(mine.count(MISSING)), str(mine.count(WAITS))]
        lines.append([*line, *([known.name if known else ""] if names else [])])
    return lines


def _cell(rows: Sequence[Row]) -> str:
    """The mark of one exercise, '' without a hand-in; where levels in words are asked, the sum, once all of
    them are given."""
    finals = [r.final for r in rows if r.final is not None]
    asked = [r for r in rows if r.criterion]
    if asked:
        also = any(not r.criterion for r in rows) and not asked[0].of_project  # its draft has a mark, too
        return number(sum(finals)) if len(finals) == len(asked) + also else WAITS
    if finals:
        return number(finals[0])
    return WAITS if any(r.judged is not None for r in rows) else ""

"""Writing what a class run gives, only in the folder for the marks."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import msgspec

from ...errors import PatternError
from ..hand_ins.files import Refused, read_file
from ..hand_ins.register import Student
from ..safe_text import file_stem, folded
from ..sandbox.again import Again
from ..sandbox.job import Judged
from .changes import Past
from .class_marking import Class, How
from .class_page import page_of_class
from .folder import PAGES, place, put
from .mark_sheet import SEMICOLON_FILE, sheet_files
from .mark_sheet import SHEET_FILE as TERM_FILE
from .marks import MARKS_FILE, OWN_FILE, as_csv, by_student, keep, missing, own_table, table
from .pages import all_students, student_page, student_part
from .photographed import BOOK_FILE, SHEET_FILE, photograph_files
from .project_page import criteria_sheets, project_sheets, projects_of, student_project
from .teaching.cards import drill_files, taught

STATE_FILE, CAME_IN_FILE, ALL_FILE = "judged.json", "came-in.csv", "all-students.html"
TABLES = (MARKS_FILE, TERM_FILE, SEMICOLON_FILE, CAME_IN_FILE)
"""What a spreadsheet may hold open when the command is given."""
FEW_GONE = 3
"""So many hand-ins may be others now before it is asked whether the class is another."""
PROJECT_FILE, CRITERIA_FILE = "project.html", "criteria.html"


class AnotherClass(PatternError):
    """The hand-ins seem to be of another class than the marks; nothing is saved."""


class State(msgspec.Struct):
    """What a run leaves for the next one: judgements and runs by all that they depend on, how the marks
    stood, its pages, by what its hand-ins are known again, and of each learner in the table of the class the
    key and a hash of the names."""

    version: int = 2
    judged: dict[str, Judged] = {}
    runs: dict[str, Again] = {}
    marks: dict[str, Past] = {}
    pages: list[str] = []
    keys: dict[str, str] = {}
    files: list[str] = []
    names: dict[str, list[str]] = {}


def former(out: Path) -> State:
    """The state that a former run left in `out`; an empty one where there is none, or it is damaged."""
    try:
        state = msgspec.json.decode(read_file(out / STATE_FILE, 1_000_000_000), type=State)
    except (Refused, msgspec.MsgspecError, ValueError, RecursionError):
        return State()
    return state if state.version == State().version else State()


@dataclass(frozen=True)
class Learners:
    """How the learners of the class table agree with those of the last run. renamed: ids of the few whose
    name is another now; by_name: most of them had the same name."""

    renamed: tuple[str, ...] = ()
    by_name: bool = False


def only_this_class(state: State, how: How, out: Path) -> Learners:
    """Note the keys and names of this class; PatternError where most of its learners had others: own marks
    stand by id, so that a new class would be given those of the last."""
    students = how.register.students
    keys = {who: how.key_of(student.id) for who, student in students.items()}
    both = [who for who in keys if state.keys.get(who)]
    others = [who for who in both if state.keys[who] != keys[who]]
    if 2 * len(others) > len(both):
        raise PatternError(
            f"{out} holds the marks of a class with other keys (such as {others[0]}), and your own marks "
            "there stand by id: name a new folder with --out for the new class. If it is the same class and "
            f"its key was changed, delete {STATE_FILE} in that folder."
        )
    names = {who: called for who, student in students.items() if (called := _called(student))}
    both = [who for who in names if state.names.get(who)]
    renamed = [who for who in both if not set(state.names[who]) & set(names[who])]
    if 2 * len(renamed) > len(both):
        raise PatternError(
            f"{out} holds the marks of other learners: most ids of the table had other names (such as "
            f"{students[renamed[0]].id}), and your own marks there stand by id. Name a new folder with --out "
            f"for the new class. If they are the same learners, delete {STATE_FILE} in that folder."
        )
    state.keys |= keys
    state.names |= names
    same = len(both) - len(renamed)
    return Learners(tuple(students[who].id for who in renamed), 2 * same > len(students))


def only_these_hand_ins(state: State, learners: Learners, out: Path, now: set[str]) -> None:
    """Note by what the hand-ins are known again; AnotherClass where own marks were given to a class most of
    whose hand-ins are there no more, and no names say that its learners are the same."""
    before = set(state.files)
    gone = len(before - now)
    if 2 * gone > len(before) and gone >= FEW_GONE and not learners.by_name and keep([], out):
        raise AnotherClass(
            f"IS THIS ANOTHER CLASS? {gone} of the {len(before)} files that were marked into {out} last time "
            "are no longer among the hand-ins. Your own marks and remarks there stand by id, so another "
            "learner of the same id would get them. Nothing was changed. For a new class, name a new folder "
            "with --out. For the same class, put the hand-ins of the weeks before back beside the new ones; "
            f"if the learners handed all of it in again, delete {STATE_FILE} in {out}: your own marks stay."
        )
    state.files = sorted(now)


def _called(student: Student) -> list[str]:
    """Hashes of a learner's names, the same in whatever order and with whatever commas they are written."""
    words = (sorted(re.findall(r"\w+", name.casefold())) for name in (student.name, *student.aliases))
    return sorted({hashlib.sha256(" ".join(w).encode()).hexdigest()[:16] for w in words if w})


def save(out: Path, state: State) -> None:
    """Keep what has been judged and run so far, for a run that is stopped."""
    put(out / STATE_FILE, msgspec.json.encode(state))


def write(
    out: Path,
    work: Class,
    titles: Mapping[str, str],
    protection: str,
    state: State,
    *,
    how: How | None = None,
    names: bool = False,
) -> None:
    """Write the marks, the mark sheet, class.html, a page a student and the list of all that came in.

    Pages of students who left are removed. What may be of one or another student has no page, as it could be
    given to nobody.
    """
    how = how or How()
    old_pages = set(state.pages)
    texts: dict[str, str | bytes] = {}
    parts: list[str] = []
    nobody = {folded(a.student) or a.student for a in work.answers if a.owner.asked}
    nobody -= {folded(a.student) or a.student for a in work.answers if not a.owner.asked}
    known = [(s, rows) for s, rows in by_student(work.rows) if (folded(s) or s) not in nobody]
    pages = _page_names(student for student, _ in known)
    of = {folded(s) or s: [] for s, _ in by_student(work.rows)}
    for answer in work.answers:
        of[folded(answer.row.student) or answer.row.student].append(answer)
    projects = {folded(a.student): [student_project(a, rows)] for a, rows in projects_of(work)}
    lacking = missing(work.rows, work.register, work.students)
    for student, rows in known:
        who = folded(student) or student
        mine = projects.get(who, [])
        lacks = [exercise for exercise, ids in lacking.items() if who in ids]
        texts[pages[who]] = student_page(student, rows, of[who], titles, mine, lacks)
        parts.append(student_part(student, rows, of[who], titles, mine, lacks))
    if projects:
        texts[PROJECT_FILE] = project_sheets(work)
    if sheets := criteria_sheets(work, titles):
        texts[CRITERIA_FILE] = sheets
    texts[ALL_FILE] = all_students(parts)
    state.pages = sorted(pages.values())
    told = taught(work)
    texts["class.html"] = page_of_class(work, told, titles, pages, protection)
    texts[STATE_FILE] = msgspec.json.encode(state)
    as_they_save = work.register.semicolons  # so these tables open as the class's own table did
    texts[MARKS_FILE] = table(work.rows, semicolons=as_they_save)
    came_in = [("file", "what became of it"), *work.came_in]
    texts[CAME_IN_FILE] = as_csv(came_in, semicolons=as_they_save, figures=())
    texts |= sheet_files(work.rows, work.register, group=how.group, names=names)
    texts |= drill_files(told.shown)
    texts |= photograph_files(work.answers, work.unread, titles, how)
    if not (out / OWN_FILE).exists() and not (out / OWN_FILE).is_symlink():
        texts[OWN_FILE] = own_table(semicolons=as_they_save)
    at_times = {SHEET_FILE, BOOK_FILE, PROJECT_FILE, CRITERIA_FILE}
    gone = old_pages - set(state.pages) | (at_times - texts.keys())
    place(out, texts, sorted(gone))


def _page_names(students: Iterable[str]) -> dict[str, str]:
    names: dict[str, str] = {}
    taken: set[str] = set()
    for student in students:
        stem = name = file_stem(student)
        count = 1
        while name in taken:
            count += 1
            name = f"{stem}-{count}"
        taken.add(name)
        names[folded(student) or student] = f"{PAGES}/{name}.html"
    return names

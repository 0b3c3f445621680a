"""Writing what a class run gives: complete or not at all, and only in the folder for the marks."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

import msgspec

from ...errors import PatternError
from ..hand_ins.intake import Refused, read_file
from ..safe_text import file_stem, folded
from ..sandbox.again import Again
from ..sandbox.job import Judged
from .class_marking import Class, by_student
from .class_page import page_of_class
from .marks import MARKS_FILE, OWN_FILE, own_table, table
from .pages import student_page

STATE_FILE, PAGES = "judged.json", "students"


class State(msgspec.Struct):
    """What a run leaves for the next one: judgements and runs by all that they depend on, and its pages."""

    version: int = 1
    judged: dict[str, Judged] = {}
    runs: dict[str, Again] = {}
    pages: list[str] = []


def former(out: Path) -> State:
    """The state that a former run left in `out`; an empty one where there is none, or it is damaged."""
    try:
        state = msgspec.json.decode(read_file(out / STATE_FILE, 1_000_000_000), type=State)
    except (Refused, msgspec.MsgspecError, ValueError, RecursionError):
        return State()
    return state if state.version == 1 else State()


def write(out: Path, work: Class, titles: Mapping[str, str], protection: str, state: State) -> None:
    """Write marks.csv, class.html and a page a student into `out`; pages of students who left are removed.

    Everything is first written aside and then moved, so that a full disk leaves the former run whole.
    """
    old_pages = set(state.pages)
    texts, state.pages = {}, []
    pages = _page_names(student for student, _ in by_student(work.rows))
    of = {folded(s) or s: [] for s, _ in by_student(work.rows)}
    for answer in work.answers:
        of[folded(answer.row.student) or answer.row.student].append(answer)
    for student, rows in by_student(work.rows):
        who = folded(student) or student
        state.pages.append(pages[who])
        texts[pages[who]] = student_page(student, rows, of[who], titles, protection)
    texts["class.html"] = page_of_class(work, titles, pages, protection)
    texts[STATE_FILE] = msgspec.json.encode(state).decode()
    texts[MARKS_FILE] = table(work.rows)
    _place(out, texts)
    for page in old_pages - set(state.pages):
        if page == f"{PAGES}/{Path(page).name}" and page.endswith(".html"):
            with suppress(OSError):
                os.unlink(out / page)


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


def _place(out: Path, texts: Mapping[str, str]) -> None:
    if (out / PAGES).is_symlink():
        raise PatternError(f"{out / PAGES} is a link to another place: remove it and start again.")
    (out / PAGES).mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=".writing-", dir=out))
    try:
        (aside / PAGES).mkdir()
        for name, text in texts.items():
            (aside / name).write_text(text, encoding="utf-8", newline="")
        for name in texts:
            os.replace(aside / name, out / name)
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    with suppress(FileExistsError), open(out / OWN_FILE, "x", encoding="utf-8", newline="") as file:
        file.write(own_table())

"""What is typed into a form, kept as a small file beside the notebook and found again in the notebook."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from ..hand_ins.intake import Refused
from ..hand_ins.notebook import read_notebook
from ..judging.hands import ON_PAPER
from ..table.kept import place, read_kept, write_kept
from ..tasks.record import RecordError, Word, read

MOST_BYTES = 1_000_000


class Written(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A form: its fields as they were typed, how often it was changed, how many hints were unfolded."""

    exercise: str = ""
    student: Annotated[str, Meta(max_length=80)] = ""
    edits: Annotated[int, Meta(ge=0, le=10**9)] = 0
    typed: Annotated[dict[Word, Word], Meta(max_length=1000)] = {}
    hints: Annotated[int, Meta(ge=0, le=20)] = 0
    format: Literal["patternlib-form"] = "patternlib-form"
    version: Literal[1] = 1


def form_file(exercise: str, student: str, folder: Path) -> Path:
    """The file of a student's form.

    >>> form_file("02a", "lena", Path("x")).name
    '02a lena paper.json'
    """
    path = place(exercise, student, folder)
    return path.with_name(f"{path.stem} paper.json")


def keep_form(written: Written, folder: Path) -> str:
    """Write a form to its file. Returns '' or a sentence that says why it could not be written."""
    return write_kept(written, form_file(written.exercise, written.student, folder), "measures")


def find_form(exercise: str, student: str, folder: Path, notebook: Path | None = None) -> Written:
    """The newest of what was kept of a form: in its file, or in the notebook as it was saved last."""
    newest = Written(exercise, student)
    in_file = read_kept(form_file(exercise, student, folder), Written, MOST_BYTES)
    for one in filter(None, (in_file, *_in_notebook(exercise, student, notebook))):
        mine = (one.exercise, one.student) == (exercise, student)
        if mine and (one.edits, one.hints) > (newest.edits, newest.hints):
            newest = one
    return newest


def _in_notebook(exercise: str, student: str, path: Path | None) -> list[Written]:
    found: list[Written] = []
    try:
        records = read_notebook(path.read_bytes()).records if path else ()
    except (OSError, Refused):
        return found
    for text in records:
        with contextlib.suppress(RecordError):
            record = read(text)
            if record.way in ON_PAPER:
                found.append(
                    Written(record.exercise, record.student, record.edits, record.typed, record.hints)
                )
    return found

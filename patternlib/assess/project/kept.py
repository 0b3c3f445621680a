"""What is typed into a project's form, kept beside the notebook and found again in the notebook itself."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from ..hand_ins.files import Refused
from ..hand_ins.notebook import read_notebook
from ..table.kept import place, read_kept, write_kept
from ..tasks.record import FORMAT, VERSION, RecordError, Word, read
from .levels import PROJECT

MOST_BYTES = 1_000_000
LARGEST = 30_000_000
"""bytes of a notebook that is looked through."""


class Kept(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A project's form: its fields as they were typed, and how often it was changed."""

    student: Annotated[str, Meta(max_length=80)] = ""
    edits: Annotated[int, Meta(ge=0, le=10**9)] = 0
    typed: Annotated[dict[Word, Word], Meta(max_length=1000)] = {}
    format: Literal["patternlib-project"] = "patternlib-project"
    version: Literal[1] = 1


def project_file(student: str, folder: Path) -> Path:
    """The file of a learner's form.

    >>> project_file("lena", Path("x")).name
    '16 lena project.json'
    """
    path = place(PROJECT, student, folder)
    return path.with_name(f"{path.stem} project.json")


def keep_project(kept: Kept, folder: Path) -> str:
    """Write a form to its file. Returns '' or a sentence that says why it could not be written."""
    return write_kept(kept, project_file(kept.student, folder), "words")


def find_project(student: str, folder: Path, notebook: Path | None = None) -> Kept:
    """The newest of what was kept: in the form's file, or in the notebook as it was saved last."""
    newest = Kept(student)
    in_file = read_kept(project_file(student, folder), Kept, MOST_BYTES)
    for one in filter(None, (in_file, *_in_notebook(student, notebook))):
        if one.student == student and one.edits > newest.edits:
            newest = one
    return newest


def _in_notebook(student: str, path: Path | None) -> list[Kept]:
    found: list[Kept] = []
    with contextlib.suppress(OSError, Refused):
        if path is None or path.stat().st_size > LARGEST:
            return found
        for text in read_notebook(path.read_bytes()).records:
            with contextlib.suppress(RecordError):
                record = read(text)
                if record.way == "project":
                    found.append(Kept(record.student, record.edits, record.typed))
    return found


def record_of(kept: Kept) -> dict[str, Any]:
    """The hand-in record of a project: what was typed, and nothing else."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "exercise": PROJECT,
        "student": kept.student,
        "way": "project",
        "own_numbers": {"body": {}, "style": {}},
        "typed": dict(kept.typed),
        "edits": kept.edits,
    }

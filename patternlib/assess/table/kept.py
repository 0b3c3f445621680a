"""What lies on a table, kept as a small file beside the notebook and found again in the notebook itself.

A table that was changed more often is the newer one. The file is written in one move, so that a computer
that stops in the middle leaves the old one; the notebook carries the steps in its record.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from ..hand_ins.files import Refused
from ..hand_ins.notebook import read_notebook
from ..tasks.record import RecordError, StepTaken, read

FOLDER = "drafts"
"""Beside the notebook."""
MOST_BYTES = 2_000_000
BESIDE, INSIDE = "in the file beside this notebook", "in this notebook, as it was saved"

Change = Annotated[
    tuple[tuple[Annotated[int, Meta(ge=0, le=400)], StepTaken | None, StepTaken | None], ...],
    Meta(max_length=400),
]
"""What was changed at once: the place in the list, the step before (None: there was none), the step now."""


class Kept(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A table: its steps, what can be taken back and brought again, how often it was changed, hints."""

    exercise: str = ""
    student: Annotated[str, Meta(max_length=80)] = ""
    edits: Annotated[int, Meta(ge=0, le=10**9)] = 0
    steps: Annotated[tuple[StepTaken, ...], Meta(max_length=400)] = ()
    past: Annotated[tuple[Change, ...], Meta(max_length=200)] = ()
    ahead: Annotated[tuple[Change, ...], Meta(max_length=200)] = ()
    hints: Annotated[int, Meta(ge=0, le=20)] = 0
    format: Literal["patternlib-table"] = "patternlib-table"
    version: Literal[1] = 1


def place(exercise: str, student: str, folder: Path) -> Path:
    """The file of a student's table.

    >>> place("02a", "lena", Path("x")).name
    '02a lena.json'
    >>> place("02a", "../Łena", Path("x")).name
    '02a ena 72ea.json'
    """
    name = re.sub(r"[^A-Za-z0-9 _.-]+", "", student).strip(" .")[:40]
    if name != student:
        name = f"{name} {hashlib.sha256(student.encode('utf-8', 'surrogatepass')).hexdigest()[:4]}".strip()
    return folder / FOLDER / f"{exercise} {name}.json"


def keep(kept: Kept, folder: Path) -> str:
    """Write a table to its file. Returns '' or a sentence that says why it could not be written."""
    return write_kept(kept, place(kept.exercise, kept.student, folder), "steps")


def write_kept(data: msgspec.Struct, path: Path, what: str) -> str:
    """Write data to its file in one move. what: what it holds, for the sentence where that fails, else ''."""
    try:
        path.parent.mkdir(exist_ok=True)
        beside = path.with_suffix(".part")
        beside.write_bytes(msgspec.json.format(msgspec.json.encode(data), indent=1))
        os.replace(beside, path)
    except OSError as fault:
        return (
            f"The {what} cannot be written into the folder '{path.parent}' ({fault.strerror}). "
            "They are in this notebook: save it."
        )
    return ""


def read_kept(path: Path, type: type[Any], most: int) -> Any:
    """The data in a file of at most `most` bytes, None where there is none that can be read."""
    with contextlib.suppress(OSError, msgspec.DecodeError, ValueError, RecursionError):
        if path.is_file() and path.stat().st_size <= most:
            return msgspec.json.decode(path.read_bytes(), type=type)
    return None


def found(exercise: str, student: str, folder: Path, notebook: Path | None = None) -> Kept:
    """The newest of what was kept of a table: in its file, or in the notebook as it was saved last."""
    return versions(exercise, student, folder, notebook)[0]


def versions(
    exercise: str, student: str, folder: Path, notebook: Path | None = None
) -> tuple[Kept, tuple[str, Kept] | None]:
    """The newest of what was kept, and the other where its steps differ and did not lead to the newest.

    The other comes with the words that say where it was kept.
    """
    in_file = read_kept(place(exercise, student, folder), Kept, MOST_BYTES)
    every = [
        (words, one)
        for words, one in ((BESIDE, in_file), (INSIDE, _in_notebook(exercise, student, notebook)))
        if one and (one.exercise, one.student) == (exercise, student)
    ]
    every.sort(key=lambda pair: (pair[1].edits, pair[1].hints), reverse=True)
    newest = every[0][1] if every else Kept(exercise, student)
    others = [(words, one) for words, one in every[1:] if one.steps and not led_to(one.steps, newest)]
    return newest, others[0] if others else None


def led_to(steps: tuple[StepTaken, ...], kept: Kept) -> bool:
    """Whether a table once had these steps, which is seen by taking its changes back one by one."""
    wanted = _without_values(steps)
    now = list(kept.steps)
    for change in ((), *reversed(kept.past)):
        for at, was, new in reversed(change):
            now[at : at + (new is not None)] = [was] if was else []
        if _without_values(now) == wanted:
            return True
    return False


def _without_values(steps: Iterable[StepTaken]) -> tuple[StepTaken, ...]:
    """The steps as they were taken: a record adds what each measure came to."""
    return tuple(msgspec.structs.replace(step, value=None) for step in steps)


def _in_notebook(exercise: str, student: str, path: Path | None) -> Kept | None:
    if path is None:
        return None
    try:
        if path.stat().st_size > 30 * MOST_BYTES:
            return None
        records = read_notebook(path.read_bytes()).records
    except (OSError, Refused):
        return None
    best = None
    for text in records:
        try:
            record = read(text)
        except RecordError:
            continue
        mine = (record.exercise, record.student, record.way) == (exercise, student, "table")
        if mine and (best is None or record.edits >= best.edits):
            best = Kept(exercise, student, record.edits, record.steps, hints=record.hints)
    return best


def this_notebook() -> Path | None:
    """The notebook that runs this kernel, where the server tells it."""
    path = os.environ.get("JPY_SESSION_NAME", "")
    return Path(path) if path.endswith(".ipynb") and Path(path).is_file() else None

"""How far a learner has come with the practice: kept in a small file beside the notebooks and in them.

Of two that were kept, the one with more answers counts.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from ..hand_ins.files import Refused
from ..hand_ins.notebook import outputs_of
from ..table.kept import place, read_kept, write_kept
from .cards import Drawn
from .rounds import Answered

MIME = "application/vnd.patternlib.practice+json"
"""The kind of output that a notebook keeps the practice in."""
MOST_BYTES = 1_000_000
CALLED = "find the slip"


class Lesson(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One lesson: the drafts that were done, and the answers to the one that is open."""

    past: Annotated[tuple[Drawn, ...], Meta(max_length=5000)] = ()
    now: Annotated[tuple[Answered, ...], Meta(max_length=20)] = ()


class Practised(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A learner's practice: by lesson ('02'), the lesson that is open, and how often it was changed."""

    student: Annotated[str, Meta(max_length=80)] = ""
    lesson: str = ""
    lessons: dict[str, Lesson] = {}
    edits: Annotated[int, Meta(ge=0, le=10**9)] = 0
    format: Literal["patternlib-practice"] = "patternlib-practice"
    version: Literal[1] = 1


def keep_practice(practised: Practised, folder: Path) -> str:
    """Write it to its file. Returns '' or a sentence that says why it could not be written."""
    return write_kept(practised, place(CALLED, practised.student, folder), "answers")


def find_practice(student: str, folder: Path, notebook: Path | None = None) -> Practised:
    """The newest of what was kept: in its file, or in the notebook as it was saved last."""
    newest = Practised(student)
    in_file = read_kept(place(CALLED, student, folder), Practised, MOST_BYTES)
    for one in (in_file, *_in_notebook(notebook)):
        if one and one.student == student and one.edits > newest.edits:
            newest = one
    return newest


def _in_notebook(path: Path | None) -> list[Any]:
    found = []
    try:
        if path is not None and path.stat().st_size <= 30 * MOST_BYTES:
            for raw in outputs_of(path.read_bytes(), MIME):
                found.append(msgspec.json.decode(raw, type=Practised))
    except (OSError, Refused, msgspec.DecodeError, UnicodeError, RecursionError):
        pass
    return found

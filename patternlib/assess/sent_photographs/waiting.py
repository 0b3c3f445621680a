"""Drafts that wait to be tapped: a notebook beside the marks, for the instructor, and what was tapped."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from ...errors import PatternError
from ...geometry import Point
from ..hand_ins.files import Refused, read_file
from ..learner.form import PaperForm
from ..learner.read_off import handed_in
from ..learner.typed import read_typed
from ..learner.written import find_form
from ..own.notebooks import book, code_cell, said_cell
from ..photographed.label import read_label
from ..safe_text import file_stem, one_line
from ..tasks.catalogue import exercise, exercises
from .drafts import Draft
from .looking import DRAFT_FILE, FOLDER, kept_seen
from .seen import Seen

LARGEST = 100_000


class Waiting(msgspec.Struct, frozen=True):
    """A draft that is tapped: whose, of which exercise, on whose numbers; its photographs by hash."""

    exercise: Annotated[str, Meta(max_length=80)]
    student: Annotated[str, Meta(max_length=80)]
    key: Annotated[str, Meta(max_length=80)] = ""
    photographs: tuple[str, ...] = ()


def tapped(out: Path, draft: Draft, key: str) -> dict[str, Any] | None:
    """The record of what the instructor tapped on a draft's photographs, or None."""
    label = draft.label
    written = find_form(label.exercise, label.student, out / FOLDER / draft.id)
    if not written.typed:
        return None
    work = exercises()[label.exercise]
    read = read_typed(work, written.typed)
    if not read.measures and not read.finish:
        return None
    return handed_in(work, read, written.typed, student=label.student, key=key)


def draft_file(draft: Draft, key: str) -> tuple[str, str]:
    """The name and the text of the file from which a draft is opened to be tapped."""
    label = draft.label
    shas = () if label.loose else tuple(shot.seen.sha256 for shot in draft.shots)
    text = msgspec.json.encode(Waiting(label.exercise, label.student, key, shas)).decode()
    return f"{FOLDER}/{draft.id}/{DRAFT_FILE}", text


_TITLE = """# Photographs to tap

Choose *Run*, *Run All Cells* in the menu above. Each draft below lies on its form, with what its flags said.
Tap where the points lie that were not read: the enlargement shows the pencil's crossing; confirm it, or move
it. What was not drawn stays empty. All is kept as you go. Then give the command `assess` again, as before."""

_BETWEEN = """This draft lies between strips: choose its file {files} on the form below, and type the two
distances that its learner measured."""


def book_to_tap(drafts: Iterable[tuple[Draft, bool]]) -> str:
    """The notebook; each draft, and whether something of it is still to be read."""
    cells = [said_cell("title", _flowing(_TITLE))]
    for n, (draft, waits) in enumerate(drafts, 1):
        label = draft.label
        title = exercises()[label.exercise].title
        told = f"## {one_line(label.student, 80)} · {label.exercise} {title}\n\n"
        told += f"Not read yet: {', '.join(draft.missing)}." if waits and draft.missing else "Tapped already."
        if label.loose:
            files = ", ".join(f"*{one_line(shot.handin.where, 120)}*" for shot in draft.shots)
            told += "\n\n" + _flowing(_BETWEEN.format(files=files))
        text = (
            "# The photographs of this draft on its form\nfrom patternlib.assess import tap_photographs\n\n"
        )
        text += f"tap_photographs({draft.id!r})"
        cells += [said_cell(f"draft-{n}", told), code_cell(f"form-{n}", text)]
    return book(cells)


def _flowing(text: str) -> str:
    return "\n\n".join(" ".join(part.split()) for part in text.split("\n\n"))


def tap_photographs(draft: str, folder: str | Path = FOLDER) -> PaperForm:
    """The form of one student's photographed draft, its photographs on it, for the instructor to tap on.

    draft: the name of its folder below `folder`, as the notebook beside the marks has it. Raises PatternError
    where its photographs are no longer kept: the class is to be marked again.
    """
    place = Path(folder) / file_stem(draft)
    try:
        told = msgspec.json.decode(read_file(place / DRAFT_FILE, LARGEST), type=Waiting)
        seen = [kept_seen(Path(folder), sha256) for sha256 in told.photographs]
    except (Refused, msgspec.MsgspecError, ValueError):
        seen = [None]
    if None in seen:
        raise PatternError(
            f"The photographs of '{one_line(draft, 80)}' are not kept here any more. Give the command "
            "`assess` again, and open the notebook that it writes."
        )
    exercise(told.exercise)
    flats = [_flat(one) for one in seen if one is not None]
    return PaperForm(told.exercise, student=told.student, key=told.key, folder=place, held=flats)


def _flat(seen: Seen) -> Any:
    from ...photo.kept import kept_flat

    label = read_label(seen.label)
    return kept_flat(
        seen.fine, box=seen.box, px_per_cm=seen.fine_px, kind=seen.kind, label=seen.label,
        page=label.page - 1, residual=seen.residual, tilt=seen.tilt, sha256=seen.sha256,
        flags={n: Point(*spot) for n, spot in seen.flags.items()}, doubtful=tuple(seen.doubtful),
    )  # fmt: skip

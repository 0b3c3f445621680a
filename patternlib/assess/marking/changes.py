"""What changed in a mark since the last run, and why."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

import msgspec

from ..project.levels import column
from ..safe_text import folded
from .class_marking import How, stamp
from .evidence import Answer
from .marks import Row, number


class Past(msgspec.Struct, frozen=True):
    """How a mark stood after a run, and all that it rested on; said: what changed when it last changed;
    own_on: the draft to which the instructor gave the own mark, '' where there is none."""

    mark: float | None
    own: str
    draft: str
    file: str
    rubric: str
    library: str
    key: str
    said: str = ""
    own_on: str = ""


OTHER_DRAFT = "Your own mark was given to another draft, and not to this one: look whether it still holds."


def note_changes(rows: Sequence[Row], answers: Sequence[Answer], former: dict[str, Past], how: How) -> dict:
    """Fill the column `changed` and return how the marks stand now, by student and exercise."""
    drafts = {id(a.row): a for a in answers}
    parts = {(a.where, a.record.exercise): a for a in answers}
    now: dict[str, Past] = {}
    for row in rows:
        if not row.counts or not row.exercise:
            continue
        answer = drafts.get(id(row))
        if answer is None and row.criterion:
            answer = parts.get((row.file, column(row.exercise)))
        past = Past(
            row.final,
            row.own_mark,
            _short(answer.content if answer else ""),
            row.file,
            _short(how.rubric),
            stamp(),
            _short(answer.key if answer else how.key),
        )
        name = f"{folded(row.student)}|{row.exercise}"
        before = former.get(name)
        own_on = _given_to(before, past)
        if own_on and past.draft and own_on != past.draft:
            row.tell(OTHER_DRAFT)
        past = msgspec.structs.replace(past, own_on=own_on)
        if before is not None:
            said = _said(before, past) if before.mark != past.mark else before.said
            past = msgspec.structs.replace(past, said=said)
        row.changed = past.said
        now[name] = past
    return now


def _given_to(before: Past | None, now: Past) -> str:
    """The draft to which an own mark was given: it stays while the mark stays, whatever is handed in."""
    if not now.own:
        return ""
    return (before.own_on or before.draft) if before is not None and before.own == now.own else now.draft


def _said(before: Past, now: Past) -> str:
    reasons = [
        words
        for words, changed in (
            ("your own mark", before.own != now.own),
            ("another attempt counts", before.file != now.file),
            ("the draft that was handed in", before.draft != now.draft and before.file == now.file),
            ("the rubric", before.rubric != now.rubric),
            ("the key", before.key != now.key),
            ("the version of the library", before.library != now.library),
        )
        if changed
    ]
    was, is_ = (number(m) or "no mark" for m in (before.mark, now.mark))
    return f"was {was}, now {is_}: {', '.join(reasons) or 'what was found when it was run again'}"


def _short(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:16] if text else ""

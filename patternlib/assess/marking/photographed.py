"""The photographs of a class as answers: read by flags, tapped by the instructor, or waiting for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from math import dist
from pathlib import Path
from typing import Any

import msgspec

from ...errors import PatternError
from ..hand_ins.files import HandIn
from ..photographed.label import read_label
from ..safe_text import one_line
from ..sent_photographs.contact_sheet import Shown, sheet_of_drafts
from ..sent_photographs.drafts import Draft, drafts_of, missing_in
from ..sent_photographs.lengths import NO_PICTURE, Lengths
from ..sent_photographs.looking import FOLDER, Looking, sweep
from ..sent_photographs.seen import Seen, whose
from ..sent_photographs.waiting import book_to_tap, draft_file, tapped
from ..tasks.catalogue import exercises
from ..tasks.record import read
from .class_marking import How, Unread
from .evidence import FLAGS, TAPPED, TO_TAP, Answer
from .pages import page, with_own_ids

OTHERWISE = 0.15
"""cm on the paper: a flag that lies farther from the point of a notebook's record shows it otherwise."""
BESIDE = "photographs"
"""The folder in which the project keeps its own photographs."""
SHEET_FILE, BOOK_FILE = "photographs.html", "photographs to tap.ipynb"


def add_photographed(
    looking: Looking, answers: list[Answer], unread: list[Unread], came_in: list[tuple[str, str]], out: Path,
    how: How, told: Callable[[str, int, int], None],
) -> None:  # fmt: skip
    """Add an answer for each draft that was photographed, and a sentence for each picture that gives none."""
    looked = looking.looked(lambda done, of: told("Looking at photographs", done, of))
    pictures = {seen.sha256: handin for handin, seen in looked}
    beside = [h for h, seen in looked if seen.kind_of_fault == "no markers" and BESIDE in h.names[:-1]]
    drafts, faults = drafts_of([pair for pair in looked if pair[0] not in beside], how.key_of, how.lengths)
    came_in += [(handin.where, "A picture of no worksheet; listed only.") for handin in beside]
    for handin, why in faults:
        came_in.append((handin.where, why))
        unread.append(Unread(handin, why))
    sweep(out / FOLDER, pictures, [draft.id for draft in drafts])
    for draft in drafts:
        came_in += [(shot.handin.where, _came(draft, shot.label.page)) for shot in draft.shots]
        mates = [a for a in answers if _of_one(a, draft)]
        if mates:
            for answer in mates:
                answer.draft, answer.differs = draft, _otherwise(answer, draft)
        else:
            answers.append(_answer(draft, out, how))
    _say_differing(answers, pictures)
    came_in += _for_nothing(how.lengths, looked)


def _for_nothing(lengths: Lengths, looked: Iterable[tuple[HandIn, Seen]]) -> list[tuple[str, str]]:
    """A sentence for each line of the table of lengths to which no photograph belongs."""
    came = set()
    for _, seen in looked:
        with suppress(PatternError):
            label = read_label(seen.label)
            came.add(whose(label.student, label.exercise))
    return [
        (f"{lengths.name}, line {one.line}", NO_PICTURE.format(one.exercise, one_line(one.student, 80)))
        for key, one in lengths.by.items()
        if key not in came
    ]


def _came(draft: Draft, page: int) -> str:
    where = f"page {page} of {draft.label.pages}" if not draft.label.loose else "a draft between strips"
    return f"photograph: {where}, {draft.label.exercise} of {draft.label.student}"


def _of_one(answer: Answer, draft: Draft) -> bool:
    mine = {p.sha256 for p in answer.record.photographs}
    return answer.record.exercise == draft.label.exercise and bool(
        mine & {s.seen.sha256 for s in draft.shots}
    )


def _otherwise(answer: Answer, draft: Draft) -> tuple[str, ...]:
    shown = read(msgspec.json.encode(draft.record)).points
    off = OTHERWISE * draft.label.scale
    points = answer.record.points
    return tuple(n for n, place in shown.items() if n in points and not dist(points[n], place) <= off)


def _say_differing(answers: Iterable[Answer], pictures: Mapping[str, HandIn]) -> None:
    for answer in answers:
        if answer.differs:
            said = f"The flags on its photograph lie elsewhere than its record: {', '.join(answer.differs)}."
            answer.notes.append(said)
            answer.aside.add(said)
        elif answer.record.way == "photograph" and not any(
            p.sha256 in pictures for p in answer.record.photographs
        ):
            answer.notes.append("Read from a photograph that was not handed in with it.")
            answer.aside.add(answer.notes[-1])


def _answer(draft: Draft, out: Path, how: How) -> Answer:
    work = exercises()[draft.label.exercise]
    record, evidence, missing = draft.record, FLAGS, draft.missing
    by_hand = tapped(out, draft, how.key_of(draft.label.student))
    if by_hand is not None:
        record, evidence, missing = by_hand, TAPPED, missing_in(work, by_hand)
    notes = list(draft.notes if by_hand is None else ())
    if by_hand is None or not draft.label.loose:  # between strips the distances are typed on the form
        notes.append(draft.sized)
    aside = set(notes)
    sized = by_hand is not None or not draft.label.loose or draft.shots[0].seen.distances
    if missing or not sized:
        evidence = TO_TAP
        said = f"Not read from the photographs: {', '.join(missing)}. " if missing else ""
        said += f"Open '{BOOK_FILE}' and tap what is drawn; or write ok in the column own mark."
        notes.append(said)
        aside.add(said)
    text = msgspec.json.encode(record)
    return Answer(
        draft.handin, read(text), text.decode(), evidence=evidence, notes=notes, aside=aside, draft=draft
    )


def photograph_files(
    answers: Sequence[Answer], unread: Iterable[Unread], titles: Mapping[str, str], how: How
) -> dict[str, str]:
    """The contact sheet, and the notebook in which the instructor taps; none where no photograph came in."""
    shown = [a for a in answers if a.draft is not None]
    if not shown:
        return {}
    refused = [(one.where, one.why) for one in unread if one.handin.picture]
    sheet = sheet_of_drafts((_shown(answer, titles, k) for k, answer in enumerate(shown)), refused)
    texts = {SHEET_FILE: page("Photographed drafts", sheet, pictures=True)}
    waiting = [(a.draft, a.evidence == TO_TAP) for a in shown if a.draft and a.evidence in (TO_TAP, TAPPED)]
    if waiting:
        texts[BOOK_FILE] = book_to_tap(waiting)
        texts |= dict(draft_file(draft, how.key_of(draft.label.student)) for draft, _ in waiting)
    return texts


def _shown(answer: Answer, titles: Mapping[str, str], k: int) -> Shown:
    assert answer.draft is not None
    verdict = answer.judged.verdict
    said = (
        [f"{verdict['mark']:g} of {verdict['out_of']:g}; {answer.evidence}."]
        if verdict
        else [answer.judged.problem]
    )
    title = titles.get(answer.record.exercise, answer.record.exercise)
    lines: Sequence[Mapping[str, Any]] = verdict["lines"] if verdict else ()
    picture = with_own_ids(answer.judged.picture, f"c{k}")
    return Shown(answer.student, title, answer.record, answer.draft, lines, picture, [*said, *answer.notes])

"""What an answer is worth as evidence: read only, or run again and the same, or not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import msgspec

from ...errors import PatternError
from ..hand_ins.files import HandIn
from ..hand_ins.students import Owner
from ..project.levels import HIGHEST, criteria
from ..safe_text import one_line
from ..sandbox.again import Again
from ..sandbox.job import Judged
from ..sent_photographs.drafts import Draft
from ..tasks.catalogue import exercises
from ..tasks.record import Record, alike, read
from .marks import Row

READ, SAME, DIFFERS = "read only", "run again: the same", "run again: differs"
CANNOT, NOTHING = "cannot be run again", "run again: gave nothing"
NOT_HERE = "cannot be run here"
"""Its cells need a package that the browser's Python, in which they were run, has not."""
CALCULATED, ON_PAPER = "calculated from what was typed", "only the paper tells"
"""A project: its levels are proposed, and only the instructor's word makes them count."""
STEPS_SAME, STEPS_DIFFER = "steps done again: the same", "steps done again: differ"
MEASURES_SAME, MEASURES_DIFFER = "measures read again: the same", "measures read again: differ"
PLACES_SAME, PLACES_DIFFER = "its places worked again: the same", "its places worked again: differ"
DONE_AGAIN = {
    ("table", True): STEPS_SAME, ("table", False): STEPS_DIFFER,
    ("paper", True): MEASURES_SAME, ("paper", False): MEASURES_DIFFER,
    ("photograph", True): PLACES_SAME, ("photograph", False): PLACES_DIFFER,
}  # fmt: skip
"""By the way a draft was made: what is looked at again, also where nothing is run."""
PICTURE_CAME = "its places worked again: the same; its photograph came in too"
PICTURE_DIFFERS = "its photograph shows it otherwise"
FLAGS, TAPPED, TO_TAP = "read from its photographs", "tapped by you on its photographs", "waits to be tapped"
LEVEL = "waits for your level"
WAITS = (
    DIFFERS,
    CANNOT,
    NOT_HERE,
    NOTHING,
    STEPS_DIFFER,
    MEASURES_DIFFER,
    PLACES_DIFFER,
    PICTURE_DIFFERS,
    TO_TAP,
)
"""With one of these an answer counts only by the instructor's word."""


@dataclass
class Answer:
    """One record of one hand-in.

    numbers, key: whose own numbers it is judged on; saved: the record as it was handed in where a run gave
    another; second: the same drawn again on a second set of measurements; aside: those of the notes that
    are for the instructor alone; draft: what its photographs show, where they came in; differs: points that
    its photographs show elsewhere.
    """

    handin: HandIn
    record: Record
    text: str
    student: str = ""
    numbers: str = ""
    key: str = ""
    owner: Owner = field(default_factory=lambda: Owner("", ""))
    evidence: str = READ
    saved: Record | None = None
    judged: Judged = field(default_factory=Judged)
    second: Answer | None = None
    notes: list[str] = field(default_factory=list)
    aside: set[str] = field(default_factory=set)
    row: Row | None = None
    draft: Draft | None = None
    differs: tuple[str, ...] = ()

    @property
    def where(self) -> str:
        return self.handin.where

    @property
    def handed_in(self) -> Record:
        """The record as it came in."""
        return self.saved or self.record

    @property
    def is_project(self) -> bool:
        """Whether it is the form of lesson 16."""
        return self.record.way == "project"

    @property
    def counts(self) -> bool:
        """Whether it may count by itself."""
        return not self.owner.asked and self.evidence not in WAITS

    @property
    def unread(self) -> bool:
        """Whether it is not known yet what of it was drawn: what is missing may stand on the paper."""
        return self.evidence == TO_TAP and (self.row is None or self.row.final is None)

    @property
    def content(self) -> str:
        drawn = [self.record.points, self.record.curves, self.record.numbers]
        if self.is_project:
            drawn = [self.record.typed]
        return msgspec.json.encode(drawn, order="sorted").decode()  # saving a notebook sorts its keys


def answers_in(handin: HandIn, records: Iterable[bytes]) -> tuple[list[Answer], list[str]]:
    """The last readable record of each exercise, and a sentence for each that cannot be read."""
    last: dict[str, Answer] = {}
    faults: dict[str, None] = {}
    for raw in records:
        try:
            record = read(raw)
            project = record.typed if record.way == "project" else {}
            if not (record.values() or record.finish or project):
                continue  # not begun: the sheet as it was shipped
            last[record.exercise] = Answer(handin, record, raw.decode())
        except (PatternError, UnicodeError) as error:
            faults[one_line(error)] = None
    return list(last.values()), list(faults)


class _Way(msgspec.Struct):
    way: str = ""


def only_project(records: Iterable[bytes]) -> bool:
    """Whether all that a notebook hands in is a project.

    >>> only_project([b'{"way": "project"}']), only_project([]), only_project([b'{"way": "code"}'])
    (True, False, False)
    """
    ways = set()
    for raw in records:
        try:
            ways.add(msgspec.json.decode(raw, type=_Way).way)
        except (msgspec.DecodeError, RecursionError, UnicodeError):
            ways.add("")
    return ways == {"project"}


def with_run(handin: HandIn, saved: list[Answer], ran: Again) -> list[Answer]:
    """The answers of a notebook that was run again, each with what the run says about it."""
    fresh = {a.record.exercise: a for a in answers_in(handin, ran.records)[0]}
    seconds = {a.record.exercise: a for a in answers_in(handin, ran.second or ())[0]}
    result = []
    for answer in saved:
        new = fresh.pop(answer.record.exercise, None)
        form = answer.record.way == "paper" and answer.record.typed
        if answer.record.way in ("table", "project", "photograph") or form:
            result.append(answer)  # its steps, fields or places are looked at when it is judged
        elif new is None or (
            (answer.record.way == "board" or ran.lacking) and not alike(new.record, answer.record)
        ):
            result.append(_not_given(answer, ran))  # nobody moves a board's sliders; packages are missing
        else:
            result.append(_compared(answer, new, ran, seconds))
    for answer in fresh.values():
        answer.evidence = DIFFERS
        answer.notes.append("The saved notebook shows no draft for this; running it gave one.")
        result.append(answer)
    return result


def _not_given(answer: Answer, ran: Again) -> Answer:
    if answer.record.way == "board":
        answer.evidence = CANNOT
        answer.notes.append("An answer on a board cannot be run again; the mark is for the saved one.")
    elif ran.lacking:
        answer.evidence = NOT_HERE
        answer.notes.append(
            f"It cannot be run again in the browser's Python, which has no {ran.lacking}; the mark is for "
            "the saved one. Ask how the draft was made, or run it again on Linux with bubblewrap."
        )
    else:
        answer.evidence = CANNOT if ran.because else NOTHING
        answer.notes.append(f"Running it again gave no draft{ran.because}; the mark is for the saved one.")
    return answer


def _compared(answer: Answer, new: Answer, ran: Again, seconds: dict[str, Answer]) -> Answer:
    same = alike(new.record, answer.record) and new.record.way == answer.record.way
    new.evidence, new.saved = SAME if same else DIFFERS, answer.record
    new.notes, new.aside = list(answer.notes), set(answer.aside)
    if not same:
        new.notes.append(
            "Running it again gave another draft than the saved one; the mark is for the new one."
        )
    if ran.because:
        new.notes.append(f"Running it again did not go well to the end{ran.because}.")
    if new.record.way == "code" and ran.second is not None:
        new.second = seconds.get(new.record.exercise)
        if new.second is None:
            new.notes.append("With other measurements it gave no draft, so it may work for one body only.")
    return new


def settle_evidence(answer: Answer) -> None:
    """What judging it again from its own steps, values or places says of an answer."""
    if answer.is_project:
        answer.evidence = CALCULATED
    if not answer.judged.replayed or answer.evidence not in (READ, CALCULATED):
        return
    same = answer.judged.replayed == "same"
    answer.evidence = DONE_AGAIN[answer.record.way, same]
    if same and answer.draft is not None:
        answer.evidence = PICTURE_DIFFERS if answer.differs else PICTURE_CAME


def typed_in(answer: Answer) -> str:
    """A sentence where a draft that fits the student's numbers does not fit when these are changed."""
    if answer.second is None:
        return ""
    mark, second = (a.judged.verdict.get("mark", 0.0) for a in (answer, answer.second))
    if second >= mark or not answer.judged.verdict:
        return ""
    if answer.second.content == answer.content:
        return (
            "With other measurements it gave the very same draft: the answer, or the body, is typed in "
            "and not worked out. Ask how the numbers were found."
        )
    if second < mark / 2:
        out_of = answer.judged.verdict["out_of"]
        return (
            f"With other measurements it is right for {second:g} of {out_of:g} marks: part of it is typed in."
        )
    return ""


def criterion_rows(answer: Answer, row: Row) -> list[Row]:
    """The rows of a project in place of its one `row`; the first of them becomes the answer's."""
    found: list[Row] = []
    for criterion in criteria().values():
        level = answer.judged.levels.get(criterion.id)
        wrong = [
            f"{line['text']} {line['aside']}".strip()
            for line in answer.judged.verdict["lines"]
            if line["criterion"] == criterion.id and line["verdict"] != "right"
        ]
        mine = replace(
            row,
            exercise=criterion.exercise,
            criterion=criterion.id,
            mark=None,
            judged=None if level is None else float(level),
            out_of=float(HIGHEST),
            evidence=row.evidence if level is not None else ON_PAPER,
            state=LEVEL,
            notes=[*(row.notes if not found else []), *wrong],
            aside=row.aside | set(wrong),
        )
        found.append(mine)
    answer.row = found[0]
    return found


def rows_in_words(exercise: str, row: Row) -> list[Row]:
    """The rows for the criteria in words of an exercise of the instructor's own, beside its judged `row`."""
    work = exercises().get(exercise)
    return [
        Row(
            row.student,
            criterion.row(exercise),
            out_of=criterion.most,
            state=LEVEL,
            file=row.file,
            criterion=criterion.name,
        )
        for criterion in (work.in_words if work else ())
    ]


def with_criteria(rows: Iterable[Row]) -> None:
    """Rows that only the instructor's own table has: those for a criterion in words are made one; what is a
    criterion no longer does not count, so that a level under an old name is not added to the new one."""
    for row in rows:
        id, _, name = row.exercise.partition(" ")
        work = exercises().get(id)
        if row.criterion or not name or work is None:
            continue
        found = next((c for c in work.in_words if c.name == name), None)
        if found is not None:
            row.criterion, row.out_of = name, found.most
        else:
            row.counts, row.state = False, "does not count"
            row.tell(f"{id} has no criterion '{one_line(name, 60)}' now: write your level into another line.")

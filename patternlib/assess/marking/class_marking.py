"""A whole class: hand-ins in, marks and findings out. No file is written here, nothing is run."""

from __future__ import annotations

import hashlib
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from functools import cache

import msgspec

from ...errors import PatternError
from ..hand_ins.copies import Copy, find_copies
from ..hand_ins.intake import HandIn, Refused
from ..hand_ins.notebook import Notebook, read_notebook
from ..hand_ins.students import Entry, counting, owners
from ..safe_text import folded, one_line
from ..sandbox.again import Again, second_key
from ..sandbox.apart import judge_apart
from ..sandbox.job import SOURCE, Job, Judged
from ..tasks.record import Record, read
from .marks import Row


@dataclass
class Answer:
    """One record of one hand-in. numbers: whose own numbers it is judged on; second: the same drawn again
    on a second set of measurements; aside: the notes that are not for the student's page."""

    where: str
    place: str
    record: Record
    text: str
    student: str = ""
    numbers: str = ""
    judged: Judged = field(default_factory=Judged)
    second: Answer | None = None
    notes: list[str] = field(default_factory=list)
    aside: set[str] = field(default_factory=set)
    row: Row | None = None

    @property
    def content(self) -> str:
        drawn = [self.record.points, self.record.curves, self.record.numbers]
        return msgspec.json.encode(drawn, order="sorted").decode()  # saving a notebook sorts its keys


@dataclass
class Unread:
    """A hand-in without any answer that could be judged, and why, in a sentence."""

    where: str
    place: str
    why: str


@dataclass
class Class:
    """All that a report needs."""

    answers: list[Answer]
    unread: list[Unread]
    rows: list[Row]
    copies: list[Copy]


_ASKS_FOR_RULE = re.compile(r"\.\s*reference\s*\(")

Told = Callable[[str, int, int], None]
"""Is told what is being done, how many are done, and of how many."""


def gather(handins: Iterable[HandIn]) -> tuple[list[tuple[HandIn, Notebook]], list[Unread]]:
    """Open every hand-in; returns the notebooks, and a sentence for each that cannot be read."""
    books: list[tuple[HandIn, Notebook]] = []
    unread: list[Unread] = []
    for handin in handins:
        try:
            if handin.data is None:
                raise Refused(handin.problem)
            books.append((replace(handin, data=None), read_notebook(handin.data)))
        except Refused as refused:
            unread.append(Unread(handin.where, handin.place, str(refused)))
    return books, unread


def answers_of(
    books: Iterable[tuple[HandIn, Notebook]], runs: Iterable[Again | None]
) -> tuple[list[Answer], list[Unread]]:
    """The answers of every notebook; an answer by code cells is the one that running it again gave."""
    answers: list[Answer] = []
    unread: list[Unread] = []
    for (handin, book), ran in zip(books, runs, strict=True):
        found, faults = _answers(handin, book.records)
        if ran is not None:
            found = _with_run(handin, found, ran)
        if any(_ASKS_FOR_RULE.search(cell) for cell in book.cells):
            for answer in found:
                said = "A cell asks the library for the rule's own draft: look at how this was drawn."
                answer.notes.append(said)
                answer.aside.add(said)
        answers += found
        unread += [Unread(handin.where, handin.place, why) for why in faults]
        if not found and not faults:
            unread.append(Unread(handin.where, handin.place, _nothing(book, ran)))
    return answers, unread


def _nothing(book: Notebook, ran: Again | None) -> str:
    if not any(cell.strip() for cell in book.cells):
        return "The notebook is empty: it has no code cells with anything in them."
    if ran is not None:
        return f"No answer in it, and running it gave none{ran.because}."
    return (
        "Not begun: there is no answer in it. If something was drawn, no checking cell has been run: run the "
        "checking cells, save, and hand it in again."
    )


def _answers(handin: HandIn, records: Iterable[bytes]) -> tuple[list[Answer], list[str]]:
    """The last readable record of each exercise, and a sentence for each that cannot be read."""
    last: dict[str, Answer] = {}
    faults: dict[str, None] = {}
    for raw in records:
        try:
            record = read(raw)
            if not (record.values() or record.finish):
                continue  # not begun: the sheet as it was shipped
            last[record.exercise] = Answer(handin.where, handin.place, record, raw.decode())
        except (PatternError, UnicodeError) as error:
            faults[one_line(error)] = None
    return list(last.values()), list(faults)


def _with_run(handin: HandIn, saved: list[Answer], ran: Again) -> list[Answer]:
    fresh, _ = _answers(handin, ran.records)
    by_exercise = {a.record.exercise: a for a in fresh}
    seconds = {a.record.exercise: a for a in _answers(handin, ran.second or ())[0]}
    result = []
    for answer in saved:
        new = by_exercise.pop(answer.record.exercise, None)
        if answer.record.way != "code":
            result.append(answer)
            continue
        if new is None:
            answer.notes.append(
                f"Running it again gave no draft{ran.because}; the mark is for the saved one."
            )
            result.append(answer)
            continue
        if new.content != answer.content:
            new.notes.append(
                "Running it again gave another draft than the saved one; the mark is for the new one."
            )
        answer = new
        if ran.because:
            answer.notes.append(f"Running it again did not go well to the end{ran.because}.")
        if ran.second is not None:
            answer.second = seconds.get(answer.record.exercise)
            if answer.second is None:
                answer.notes.append(
                    "With other measurements it gave no draft, so it may work for one body only."
                )
        result.append(answer)
    for answer in by_exercise.values():
        answer.notes.append("The saved notebook shows no draft for this; running it gave one.")
        result.append(answer)
    return result


def _typed_in(answer: Answer) -> str:
    """A sentence where a draft that fits the student's numbers does not fit when these are changed."""
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


def judge_all(
    answers: list[Answer],
    pool: Executor,
    *,
    key: str,
    rubric: str,
    known: dict[str, Judged],
    told: Told,
) -> dict[str, Judged]:
    """Judge each answer, those in `known` without work; returns all judgements by what they depend on."""
    for answer, owner in zip(answers, owners([(a.place, a.record.student) for a in answers]), strict=True):
        answer.student, answer.numbers = owner.student, owner.numbers[:80]
        if owner.note:
            answer.notes.append(owner.note)
            answer.aside.add(owner.note)
    jobs: dict[str, Job] = {}
    asked: list[tuple[Answer, str]] = []
    for answer in answers:
        for sheet, its_key in ((answer, key), (answer.second, second_key(key))):
            if sheet is not None:
                job = Job(sheet.text, answer.numbers, its_key, rubric)
                name = stamp(*msgspec.structs.astuple(job))
                jobs[name] = job
                asked.append((sheet, name))
    new = {name: job for name, job in jobs.items() if name not in known}
    done = {name: judged for name, judged in known.items() if name in jobs}
    told("Judging", 0, len(new))
    for i, (name, judged) in enumerate(zip(new, pool.map(judge_apart, new.values()), strict=True)):
        done[name] = judged
        told("Judging", i + 1, len(new))
    for sheet, name in asked:
        sheet.judged = done[name]
    for answer in answers:
        if answer.second is not None and folded(answer.numbers) == folded(answer.record.student):
            said = list(filter(None, [_typed_in(answer)]))
            answer.notes += said
            answer.aside.update(said)
    return done


def stamp(*parts: str) -> str:
    """A short name for all that a result depends on: the parts, and this very version of the library."""
    made = hashlib.sha256(_version())
    for part in parts:
        made.update(f"{len(part)}:".encode() + part.encode("utf-8", "surrogatepass"))
    return made.hexdigest()[:32]


@cache
def _version() -> bytes:
    made = hashlib.sha256()
    for path in sorted((SOURCE / "patternlib").rglob("*")):
        if path.suffix in (".py", ".toml", ".csv", ".json") and path.is_file():
            made.update(path.relative_to(SOURCE).as_posix().encode() + path.read_bytes())
    return made.digest()


def table_rows(answers: list[Answer], unread: list[Unread]) -> list[Row]:
    """One row for each answer and each unread hand-in, by student; says which count."""
    rows = []
    groups: dict[tuple[str, str], list[Answer]] = defaultdict(list)
    for answer in answers:
        groups[folded(answer.student), answer.record.exercise].append(answer)
    for group in groups.values():
        entries = [Entry(a.place, a.judged.verdict.get("mark", -1.0), a.content) for a in group]
        chosen, note = counting(group[0].student, entries)
        for i, answer in enumerate(group):
            rows.append(_row(answer, i == chosen, note))
    for one in unread:
        rows.append(Row(one.place, "", state="not read", notes=[one.why], file=one.where))
    return sorted(rows, key=lambda r: (folded(r.student), r.student, r.exercise, r.file))


def _row(answer: Answer, counts: bool, note: str) -> Row:
    verdict = answer.judged.verdict
    row = Row(
        one_line(answer.student), one_line(answer.record.exercise), way=answer.record.way, file=answer.where
    )
    row.notes = [*answer.notes, *([note] if note else [])]
    row.aside = answer.aside | {note}
    row.notes += verdict.get("remarks", ())
    if not verdict:
        row.state = "not judged"
        row.notes.append(answer.judged.problem)
    else:
        row.out_of = verdict["out_of"]
        row.mark = verdict["mark"] if counts else None
        row.state = "judged" if counts else "judged, does not count"
    answer.row = row
    return row


def run(answers, unread, *, pool, key, rubric, known, told) -> tuple[Class, dict[str, Judged]]:
    """Judge gathered answers and set the class's table up."""
    done = judge_all(answers, pool, key=key, rubric=rubric, known=known, told=told)
    rows = table_rows(answers, unread)
    return Class(answers, unread, rows, find_copies(answers, key)), done


def by_student(rows: Iterable[Row]) -> Iterator[tuple[str, list[Row]]]:
    """The rows of each student together, in the order of the table."""
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        groups[folded(row.student) or row.student].append(row)
    for group in groups.values():
        yield group[0].student, group

"""A whole class: hand-ins in, marks and findings out. No file is written here, nothing is run."""

from __future__ import annotations

import hashlib
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from functools import cache
from time import localtime, strftime

import msgspec

from ..hand_ins.copies import Copy, find_copies
from ..hand_ins.files import HandIn, Refused
from ..hand_ins.notebook import Notebook, read_notebook
from ..hand_ins.register import Register, Student
from ..hand_ins.students import BEST, Entry, by_id, counting, owners
from ..own.place import own_folder
from ..project.levels import column, criteria
from ..safe_text import folded, one_line
from ..sandbox.again import Again, second_key
from ..sandbox.apart import judge_apart
from ..sandbox.job import SOURCE, Job, Judged
from ..sent_photographs.lengths import Lengths
from ..sent_photographs.looking import Looking
from .evidence import (
    WAITS,
    Answer,
    answers_in,
    criterion_rows,
    rows_in_words,
    settle_evidence,
    typed_in,
    with_run,
)
from .marks import WAITS_FOR_WORD, Row

MOST_ANSWERS = 200
"""answers of one student that are judged."""
AT_ONCE, MOST_GIVEN_UP = 3, 3
"""A student's answers are judged so many at a time, until so many could not be judged."""
MOST_CODE = 4_000_000
"""characters of code of one notebook that are kept to be run."""


@dataclass
class Unread:
    """A hand-in without any answer that could be judged, whose it is, and why, in a sentence."""

    handin: HandIn
    why: str
    student: str = ""

    @property
    def where(self) -> str:
        return self.handin.where

    @property
    def place(self) -> str:
        return self.student or self.handin.place


@dataclass
class Book:
    """What is kept of a notebook: its records and, where it is to be run, its code and the name and key on
    its card. asks: a cell asks for the rule's own draft; blank: no cell holds anything."""

    handin: HandIn
    records: tuple[bytes, ...]
    cells: tuple[str, ...]
    card: tuple[str, str]
    asks: bool
    blank: bool


@dataclass
class Class:
    """All that a report needs. came_in: (file, what became of it) for everything that was handed in;
    assumed: how many hand-ins have their student from the record alone; group: the one that is marked, '' for
    all."""

    answers: list[Answer]
    unread: list[Unread]
    rows: list[Row]
    copies: list[Copy]
    came_in: list[tuple[str, str]] = field(default_factory=list)
    assumed: int = 0
    register: Register = field(default_factory=Register)
    group: str = ""

    @property
    def students(self) -> dict[str, Student]:
        """Those of the register who are marked, by folded id."""
        return self.register.of_group(self.group)


@dataclass(frozen=True)
class How:
    """How a class is marked: its key, the text of the rubric, the register, which attempt counts, what was
    measured for its photographs."""

    key: str = ""
    rubric: str = ""
    register: Register = field(default_factory=Register)
    rule: str = BEST
    group: str = ""
    lengths: Lengths = field(default_factory=Lengths)

    def key_of(self, student: str) -> str:
        mine = self.register.get(student)
        return self.key if mine is None or mine.key is None else mine.key


_ASKS_FOR_RULE = re.compile(r"\.\s*reference\s*\(")

Told = Callable[[str, int, int], None]
"""Is told what is being done, how many are done, and of how many."""


def gather(
    handins: Iterable[HandIn], *, with_code: bool = False, looking: Looking | None = None
) -> tuple[list[Book], list[Unread], list[tuple[str, str]]]:
    """Open every hand-in; returns the notebooks, a sentence for each that cannot be read, and all that came
    in. One that cannot be read, however it fails, costs no other. looking: takes the photographs."""
    books: list[Book] = []
    unread: list[Unread] = []
    came_in: list[tuple[str, str]] = []
    for handin in handins:
        try:
            if handin.data is None:
                raise Refused(handin.problem)
            handin = replace(handin, mark=hashlib.sha256(handin.data).hexdigest()[:16])
            if handin.picture and looking is None:
                came_in.append((handin.where, "A photograph; it was not looked at here."))
            elif handin.picture and looking is not None:
                looking.take(handin)  # what becomes of it is told when it has been looked at
            if handin.picture:
                continue
            book = read_notebook(handin.data)
            if not book.records and any("find_the_slip(" in cell for cell in book.cells):
                came_in.append((handin.where, "practice: there is nothing to mark in it"))
                continue
            books.append(_kept(handin, book, with_code))
            came_in.append((handin.where, "opened"))
            continue
        except Refused as refused:
            why = str(refused)
        except MemoryError:
            why = "This needs more memory to be read than a notebook can."
        except Exception as error:  # whatever a stranger's file does to a reader: this file's own fault
            why = f"This cannot be read ({type(error).__name__})."
        came_in.append((handin.where, why))
        if not handin.beside:
            unread.append(Unread(handin, why))
    return books, unread, came_in


def _kept(handin: HandIn, book: Notebook, with_code: bool) -> Book:
    kept = book.cells if with_code else ()
    if sum(map(len, kept)) > MOST_CODE:
        kept = ("raise MemoryError('the cells are longer than any exercise')",)
    return Book(
        replace(handin, data=None),
        book.records,
        kept,
        book.card,
        any(_ASKS_FOR_RULE.search(cell) for cell in book.cells),
        not any(cell.strip() for cell in book.cells),
    )


def answers_of(books: Iterable[Book], runs: Iterable[Again | None]) -> tuple[list[Answer], list[Unread]]:
    """The answers of every notebook, and a sentence for each record or notebook that gives none."""
    answers: list[Answer] = []
    silent: list[Unread] = []
    for book, ran in zip(books, runs, strict=True):
        found, faults = answers_in(book.handin, book.records)
        if ran is not None:
            found = with_run(book.handin, found, ran)
        if book.asks:
            for answer in found:
                said = "A cell asks the library for the rule's own draft: look at how this was drawn."
                answer.notes.append(said)
                answer.aside.add(said)
        answers += found
        silent += [Unread(book.handin, why) for why in faults]
        if not found and not faults:
            silent.append(Unread(book.handin, _nothing(book, ran)))
    return answers, silent


def _nothing(book: Book, ran: Again | None) -> str:
    if book.blank:
        return "The notebook is empty: it has no code cells with anything in them."
    if ran is not None:
        return f"No answer in it, and running it gave none{ran.because}."
    return (
        "No answer in it: it was not begun, or it was not saved. If something was drawn, open it, press "
        "Compare with the rule, save, and hand it in again."
    )


def give_owners(answers: list[Answer], unread: list[Unread], how: How) -> None:
    """Say whose each answer, and each thing that could not be read, is; takes away what is one too many."""
    claims = [(a.handin.names, a.record.student) for a in answers]
    found = owners([*claims, *((u.handin.names, "") for u in unread)], how.register)
    told = sum(o.assumed for o in found) * 2 > len(answers)  # so it is in this school: said once
    for one, owner in zip(unread, found[len(answers) :], strict=True):
        one.student = owner.student
        one.handin = by_id(one.handin, owner, how.register)
    count: Counter[str] = Counter()
    kept = []
    for answer, owner in zip(answers, found[: len(answers)], strict=True):
        count[folded(owner.student)] += 1
        if count[folded(owner.student)] > MOST_ANSWERS:
            why = f"More than {MOST_ANSWERS} answers of one student; this one was not judged."
            unread.append(Unread(answer.handin, why, owner.student))
            continue
        answer.handin = by_id(answer.handin, owner, how.register)
        answer.owner, answer.student, answer.numbers = owner, owner.student, owner.numbers[:80]
        answer.key = how.key_of(owner.student)
        if owner.note and not (owner.assumed and told):
            answer.notes.append(owner.note)
            answer.aside.add(owner.note)
        kept.append(answer)
    answers[:] = kept


def judge_all(
    answers: list[Answer], pool: Executor, *, how: How, known: dict[str, Judged], told: Told
) -> None:
    """Judge each answer, those in `known` without work; what is settled is put there as it is done."""
    jobs: dict[str, Job] = {}
    whose: dict[str, str] = {}
    asked: list[tuple[Answer, str]] = []
    for answer in answers:
        for sheet, its_key in ((answer, answer.key), (answer.second, second_key(how.key))):
            if sheet is not None:
                job = Job(sheet.text, answer.numbers, its_key, how.rubric)
                name = stamp(*msgspec.structs.astuple(job))
                jobs[name], whose[name] = job, folded(answer.student)
                asked.append((sheet, name))
    for name in known.keys() - jobs.keys():
        del known[name]
    new = [name for name in jobs if name not in known]
    done = dict(known)
    told("Judging", 0, len(new))
    given_up: Counter[str] = Counter()
    for names in _rounds(new, whose):
        mine = [name for name in names if given_up[whose[name]] < MOST_GIVEN_UP]
        for name, judged in zip(mine, pool.map(judge_apart, [jobs[n] for n in mine]), strict=True):
            done[name] = judged
            if judged.settled:
                known[name] = judged
            else:
                given_up[whose[name]] += 1
            told("Judging", len(done) - len(jobs) + len(new), len(new))
        for name in set(names) - set(mine):
            why = "Not judged: several of this student's drafts could not be judged in time."
            done[name] = Judged(problem=why, settled=False)
    for sheet, name in asked:
        sheet.judged = done[name]
    for answer in answers:
        settle_evidence(answer)
        if folded(answer.numbers) == folded(answer.record.student):
            said = list(filter(None, [typed_in(answer)]))
            answer.notes += said
            answer.aside.update(said)


def _rounds(names: Iterable[str], whose: dict[str, str]) -> Iterator[list[str]]:
    """Some of each student's at a time, to keep no student waiting."""
    seen: Counter[str] = Counter()
    rounds: dict[int, list[str]] = defaultdict(list)
    for name in names:
        rounds[seen[whose[name]] // AT_ONCE].append(name)
        seen[whose[name]] += 1
    yield from rounds.values()


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
    own = own_folder()
    for path in sorted(own.glob("*.toml")) if own else ():
        made.update(path.name.encode() + path.read_bytes())
    return made.digest()


def table_rows(answers: list[Answer], unread: list[Unread], how: How) -> list[Row]:
    """One row for each answer and each unread hand-in, by student; says which count."""
    rows = []
    groups: dict[tuple[str, str], list[Answer]] = defaultdict(list)
    for answer in answers:
        groups[folded(answer.student), answer.record.exercise].append(answer)
    for group in groups.values():
        group.sort(key=_came)
        entries = [
            Entry(a.owner.place, a.judged.verdict.get("mark", -1.0), a.content, _came(a), a.counts)
            for a in group
        ]
        chosen, note = counting(group[0].student, entries, how.rule)
        for i, answer in enumerate(group):
            row = _row(answer, i == chosen, note, how.register)
            if answer.is_project and i == chosen and answer.judged.verdict:
                rows += criterion_rows(answer, row)
                continue
            row.attempt = f"{i + 1} of {len(group)}" if len(group) > 1 else ""
            rows.append(row)
        shown = group[-1 if chosen is None else chosen]
        if shown.row is not None and not shown.owner.asked:
            rows += rows_in_words(shown.record.exercise, shown.row)
    for one in unread:
        rows.append(Row(one.place, "", state="not read", notes=[one.why], file=one.where, counts=False))
    at = {c.id: n for n, c in enumerate(criteria().values())}  # as they stand on the printed sheet

    def place(r: Row) -> tuple:
        own = "" if r.of_project else r.exercise
        return folded(r.student), r.student, column(r.exercise), at.get(r.criterion, -1), own, r.file

    return sorted(rows, key=place)


def _came(answer: Answer) -> tuple:
    """When an answer came, to be sorted: by the school's time, else by that of the file."""
    handin = answer.handin
    when = handin.stamp or strftime("%Y-%m-%d %H:%M:%S", localtime(handin.saved))
    return when, len(handin.where), handin.where


def _row(answer: Answer, counts: bool, note: str, register: Register) -> Row:
    verdict = answer.judged.verdict
    row = Row(
        one_line(answer.student), one_line(answer.record.exercise), way=answer.record.way, file=answer.where
    )
    row.evidence, row.counts, row.came = answer.evidence, counts, answer.handin.stamp
    row.late = register.lateness(answer.student, answer.record.exercise, answer.handin.stamp)
    row.notes = [*answer.notes, *([note] if note else [])]
    row.aside = answer.aside | {note}
    row.notes += verdict.get("remarks", ())
    if not verdict:
        row.state, row.counts = "not judged", False
        row.notes.append(answer.judged.problem)
    else:
        row.out_of, row.judged = verdict["out_of"], verdict["mark"]
        row.mark = verdict["mark"] if counts else None
        row.state = "judged" if counts else "judged, does not count"
        if answer.owner.asked or answer.evidence in WAITS:
            row.state = WAITS_FOR_WORD
    answer.row = row
    return row


def run(
    answers: list[Answer],
    unread: list[Unread],
    *,
    pool: Executor,
    how: How,
    known: dict[str, Judged],
    told: Told,
) -> Class:
    """Judge gathered answers and set the class's table up."""
    give_owners(answers, unread, how)
    if how.group:
        answers[:] = [a for a in answers if _of_group(a.student, how)]
        unread[:] = [u for u in unread if _of_group(u.place, how)]
    judge_all(answers, pool, how=how, known=known, told=told)
    rows = table_rows(answers, unread, how)
    assumed = sum(a.owner.assumed for a in answers)
    return Class(
        answers,
        unread,
        rows,
        find_copies([a for a in answers if not a.owner.asked]),
        [],
        assumed,
        how.register,
        how.group,
    )


def _of_group(student: str, how: How) -> bool:
    """Whether a student is of the group that is marked, or of nobody knows which."""
    one = how.register.get(student)
    return one is None or folded(one.group) == folded(how.group)

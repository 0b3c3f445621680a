"""`python -m patternlib assess`: from hand-ins to marks, a page a student and a page of the class."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from ...arguments import Parser, named_path
from ...errors import PatternError
from ..hand_ins.intake import open_all
from ..hand_ins.notebook import Notebook
from ..hand_ins.register import Register, no_such_group, read_due, read_register
from ..hand_ins.students import BEST, RULES, owners
from ..own.library import own_faults
from ..project.levels import PROJECT
from ..project.levels import titles as project_titles
from ..safe_text import folded, one_line
from ..sandbox.again import Again
from ..sandbox.apart import executor
from ..sandbox.protection import LEVELS
from ..sandbox.running import locked
from ..sent_photographs.lengths import Lengths, read_measured_lengths
from ..sent_photographs.looking import FOLDER, Looking
from ..sent_photographs.seen import Asked
from ..sent_photographs.trial import run_trial
from ..tasks.catalogue import exercise_titles, exercises
from . import class_marking
from .changes import OTHER_DRAFT, note_changes
from .class_marking import Book, How
from .evidence import TO_TAP, answers_in, only_project, with_criteria
from .folder import alone_in, can_be_written, sweep_rooms
from .marks import keep, waiting
from .outcome import (
    CRITERIA_FILE,
    TABLES,
    AnotherClass,
    Learners,
    State,
    former,
    only_these_hand_ins,
    only_this_class,
    save,
    write,
)
from .photographed import BOOK_FILE, add_photographed
from .rubric_check import checked_rubric

PROG = "python -m patternlib assess"
NOT_RUN = "The notebooks were read only; no student's code was run."
BETWEEN = 20.0
"""seconds between two savings of what is finished."""


def assess_command(argv: list[str]) -> int:
    """Run the command; returns its exit status: 0 done, 2 for wrong input, with a sentence on the screen."""
    options = _parser().parse_args(argv)
    try:
        _assess(options)
    except PatternError as error:
        print(f"{PROG}: {one_line(error, 1200)}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        raise
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        what = one_line(getattr(error, "filename", None) or options.out, 200)
        print(
            f"{PROG}: {what}: {one_line(why)}. What was finished is kept; start the command again.",
            file=sys.stderr,
        )
        return 2
    except KeyboardInterrupt:
        print(
            f"\n{PROG}: stopped. The marks are as they were; what was judged is kept for the next run.",
            file=sys.stderr,
        )
        return 130
    return 0


def _parser() -> Parser:
    parser = Parser(
        prog=PROG,
        description="Judge a class's notebooks: marks.csv, a page for each student, and class.html.",
    )
    add = parser.add_argument
    add(
        "handins",
        type=named_path,
        help="a folder of .ipynb files, or of a folder for each student; or a .zip",
    )
    add(
        "--out",
        type=named_path,
        metavar="DIR",
        required=True,
        help="folder for the marks; your own marks and remarks in it are kept",
    )
    add(
        "--measured",
        type=named_path,
        metavar="FILE.csv",
        help="a trial, nothing is marked: print how far photographs lie from points measured with the ruler",
    )
    add("--rerun", action="store_true", help="run each notebook again, locked in, also on other measurements")
    add(
        "--protection",
        choices=LEVELS,
        default=LEVELS[1],
        help="with --rerun: refuse to run with less than this",
    )
    add(
        "--rubric",
        type=named_path,
        metavar="FILE.toml",
        help="a TOML file with your own tolerances, weights and remarks",
    )
    add(
        "--register",
        type=named_path,
        metavar="FILE.csv",
        help="the table of the class: ids, names, groups, keys",
    )
    add("--due", type=named_path, metavar="FILE.csv", help="the table of days: exercise, due, group")
    add(
        "--lengths",
        type=named_path,
        metavar="FILE.csv",
        help="what was measured for photographs: student, exercise, test line, distance 1, distance 2",
    )
    add("--group", default="", help="with --register: mark this group only")
    add("--names", action="store_true", help="with --register: join the names to the mark sheet")
    add("--counts", choices=RULES, default=BEST, help=f"which of several attempts counts ({BEST})")
    add(
        "--key",
        default="",
        metavar="CLASSKEY",
        help="the class's key, as the students' numbers were given out with",
    )
    add(
        "--scheduler",
        default="",
        metavar="ADDRESS",
        help="judge on the dask.distributed cluster at this address",
    )
    add(
        "--workers",
        type=_count,
        default=os.cpu_count() or 2,
        metavar="N",
        help="judge and run so many at once",
    )
    return parser


def _count(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 3 or not 1 <= int(text) <= 64:
        raise argparse.ArgumentTypeError(f"{one_line(text, 40)} is not a number from 1 to 64")
    return int(text)


def _assess(options: argparse.Namespace) -> None:
    handins, out = options.handins, options.out
    _apart(handins, out)
    if options.measured is not None:
        print(run_trial(handins, options.measured, out))
        return
    how = _how(options)
    for fault in own_faults():
        print(f"NOT USED: an exercise of your own, {one_line(fault, 400)}", file=sys.stderr)
    with alone_in(out):
        can_be_written(out / name for name in TABLES)
        keep([], out)  # a table of own marks that cannot be read is told before any work is done
        state = former(out)
        learners = only_this_class(state, how, out)
        told = _Told(out, state)
        try:
            _mark(options, how, state, told, learners)
        except AnotherClass:
            raise
        except BaseException:
            told.save()
            raise


def _mark(options: argparse.Namespace, how: How, state: State, told: _Told, learners: Learners) -> None:
    out = options.out
    keys = {who: s.key for who, s in how.register.students.items() if s.key is not None}
    asked = Asked(how.key, keys, how.lengths.distances)
    stamp = class_marking.stamp(how.key, *(f"{who}={key}" for who, key in asked.keys.items()))
    looking = Looking(asked, workers=options.workers, kept=out / FOLDER, stamp=stamp)
    books, unread, came_in = class_marking.gather(
        open_all(options.handins), with_code=options.rerun, looking=looking
    )
    looked_at = {handin.mark for handin, _ in looking.taken}
    try:
        if not (came_in or looking.taken or how.register):
            raise PatternError(f"There is nothing in {one_line(options.handins)}. Put the hand-ins into it.")
        only_these_hand_ins(state, learners, out, {book.handin.mark for book in books} | looked_at)
    except PatternError:
        looking.pool.shutdown(cancel_futures=True)
        raise
    runs, protection = (
        _runs(books, how, state, options, told) if options.rerun else ([None] * len(books), NOT_RUN)
    )
    answers, silent = class_marking.answers_of(books, runs)
    add_photographed(looking, answers, unread, came_in, out, how, told)
    protection = " ".join(filter(None, (protection, looking.words)))
    with executor(options.workers, options.scheduler) as pool:
        work = class_marking.run(answers, unread + silent, pool=pool, how=how, known=state.judged, told=told)
    work.came_in = came_in
    with_criteria(keep(work.rows, out))
    state.marks |= note_changes(work.rows, answers, state.marks, how)
    titles = project_titles() | exercise_titles()
    write(out, work, titles, protection, state, how=how, names=options.names)
    loud = (*_assumed(work, how), *_own_marks(work, learners.renamed))
    print("\n".join((protection, *loud, f"{_said(work)} Open {out / 'class.html'}.")))


def _how(options: argparse.Namespace) -> How:
    """How it is to be marked; a fault in any of it is told before any work is done."""
    if len(options.key) > 80:
        raise PatternError("--key must be a text of at most 80 characters, as the class list has it.")
    rubric = "" if options.rubric is None else checked_rubric(options.rubric)
    register = Register() if options.register is None else read_register(options.register)
    students = register.students
    due = () if options.due is None else read_due(options.due, (*exercises(), PROJECT))
    if options.register is None and (options.group or options.names):
        raise PatternError("--group and --names need the table of the class: add --register FILE.csv.")
    if options.group and folded(options.group) not in {folded(s.group) for s in students.values()}:
        raise no_such_group(options.group, students.values())
    lengths = Lengths() if options.lengths is None else read_measured_lengths(options.lengths)
    return How(options.key, rubric, replace(register, due=due), options.counts, options.group, lengths)


def _runs(books: list[Book], how: How, state: State, options, told: _Told) -> tuple[list[Again | None], str]:
    """What running each notebook gives, or gave where nothing changed; and the protection in words.

    The lesson of the project is not run: what was typed into its form is looked at where it is judged.
    """
    sweep_rooms()
    names = [
        "" if only_project(b.records) else class_marking.stamp(options.key, *b.card, *b.cells) for b in books
    ]
    new = {
        name: (student, Notebook(book.cells, (), book.card))
        for name, book, student in zip(names, books, _whose(books, how), strict=True)
        if name and name not in state.runs
    }
    inside = locked(workers=options.workers, least=options.protection)
    ran = inside.run_all(new.values(), options.key, lambda done: told("Running", done, len(new)))
    found: dict[str, Again] = {name: state.runs[name] for name in names if name in state.runs}
    state.runs = dict(found)
    for name, again in zip(new, ran, strict=True):
        found[name] = again
        if again.settled:
            state.runs[name] = again
    return [found.get(name) for name in names], inside.protection.words


def _whose(books: list[Book], how: How) -> list[str]:
    """Whose each notebook seems to be, as far as it is known before anything is run."""
    firsts = [(book, answers_in(book.handin, book.records)[0][:1]) for book in books]
    claims = [(b.handin.names, found[0].record.student if found else "") for b, found in firsts]
    return [folded(owner.student) for owner in owners(claims, how.register)]


def _apart(handins: Path, out: Path) -> None:
    """The hand-ins and the marks must not lie in one another, so that neither is taken for the other."""
    inside, outside = handins.resolve(), out.resolve()
    if inside == outside or inside in outside.parents or outside in inside.parents:
        raise PatternError(
            f"--out {out} and the hand-ins lie in one another: choose a folder of its own for the marks."
        )
    if out.exists() and not out.is_dir():
        raise PatternError(f"--out {out} is a file: choose a folder for the marks.")


def _said(work: class_marking.Class) -> str:
    judged = sum(row.judged is not None and not row.criterion for row in work.rows)
    counting = sum(row.mark is not None and row.counts and not row.criterion for row in work.rows)
    waits = len(waiting(work.rows))
    tap = sum(a.evidence == TO_TAP and a.row is not None and a.row.final is None for a in work.answers)
    open_ = [row for row in work.rows if row.criterion and row.counts and row.final is None]
    projects = len({row.student for row in open_ if row.of_project})
    levels = sum(not row.of_project for row in open_)
    said = f"{judged} answers judged, {counting} of them count."
    unread = len(work.unread)
    said += f" Something was not read in {unread} hand-in{'s' if unread > 1 else ''}." if unread else ""
    said += f" {projects} projects wait for your levels: print project.html." if projects else ""
    said += f" {levels} criteria in words wait for your levels: print {CRITERIA_FILE}." if levels else ""
    said += f" {waits} wait for your word: see the column evidence in marks.csv." if waits else ""
    return said + (f" {tap} of these are photographs to tap: open '{BOOK_FILE}'." if tap else "")


def _assumed(work: class_marking.Class, how: How) -> list[str]:
    """A loud line for everything that was assumed."""
    said = []
    if not how.register:
        people = len({folded(a.student) for a in work.answers})
        said.append(
            f"ASSUMED: there is no register, so the hand-ins are taken to be of {people} students. "
            "Nobody is missed who handed in nothing."
        )
    if work.assumed:
        said.append(
            f"ASSUMED: {work.assumed} answers lie under names that say nothing of their student; whose they "
            "are was taken from the records inside."
        )
    asked = sum(a.owner.asked for a in work.answers)
    if asked:
        said.append(f"ASKED: whose are {asked} answers? See the notes in marks.csv; none of them counts.")
    return said


def _own_marks(work: class_marking.Class, renamed: Sequence[str]) -> list[str]:
    """A loud line for own marks that may have been meant for another learner, or for another draft."""
    kept = {folded(r.student) for r in work.rows if r.own_mark or r.own_remark or r.appeal}
    others = [who for who in renamed if folded(who) in kept]
    said = []
    if others:
        said.append(
            f"LOOK: {_some(others)} had another name in the table before, and your own marks and remarks "
            "stand by id. If that is another learner now, empty them in marks.csv and in own-remarks.csv."
        )
    unused = [f"{r.student} {r.exercise}" for r in work.rows if r.own_mark and r.own is None]
    if unused:
        said.append(
            f"LOOK: {len(unused)} of your own marks were not used ({_some(unused)}). The column "
            "notes in marks.csv says why."
        )
    drafts = [f"{r.student} {r.exercise}" for r in work.rows if OTHER_DRAFT in r.notes]
    if drafts:
        said.append(
            f"LOOK: {len(drafts)} of your own marks were given to other drafts than those that lie there now "
            f"({_some(drafts)}). They still count. If this is a new class, name a new folder with --out."
        )
    return said


def _some(names: list[str]) -> str:
    return one_line(", ".join(names[:5]) + (" and more" if len(names) > 5 else ""), 400)


class _Told:
    """Shows how far the work is, and now and then saves what is finished."""

    def __init__(self, out: Path, state: State) -> None:
        self.out, self.state, self.at = out, state, time.monotonic()
        self.show = sys.stderr.isatty()

    def __call__(self, doing: str, done: int, of: int) -> None:
        if self.show:
            _bar(doing, done, of)
        if time.monotonic() - self.at > BETWEEN:
            self.save()

    def save(self) -> None:
        if self.state.judged or self.state.runs:
            save(self.out, self.state)
        self.at = time.monotonic()


def _bar(doing: str, done: int, of: int) -> None:
    width = 30
    full = width * done // of if of else width
    end = "\n" if done >= of else ""
    print(
        f"\r{doing} [{'#' * full}{'.' * (width - full)}] {done} of {of}", end=end, file=sys.stderr, flush=True
    )

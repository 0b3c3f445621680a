"""`python -m patternlib assess`: from hand-ins to marks, a page a student and a page of the class."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from ...arguments import Parser
from ...errors import PatternError
from ..hand_ins.intake import HandIn, open_all
from ..hand_ins.notebook import Notebook
from ..judging.rubric import load_rubric
from ..sandbox.again import Again
from ..sandbox.apart import executor
from ..sandbox.protection import LEVELS
from ..sandbox.running import locked
from ..tasks.catalogue import exercises
from . import class_marking
from .marks import keep
from .outcome import State, former, write

Opened = tuple[HandIn, Notebook]
NOT_RUN = "The notebooks were read only; no student's code was run."


def assess_command(argv: list[str]) -> int:
    """Run the command; returns its exit status: 0 done, 2 for wrong input, with a sentence on the screen."""
    options = _parser().parse_args(argv)
    try:
        _assess(options)
    except PatternError as error:
        print(f"assess: {error}", file=sys.stderr)
        return 2
    except OSError as error:
        print(
            f"assess: {error.filename or options.out}: {error.strerror}. Nothing was changed.",
            file=sys.stderr,
        )
        return 2
    except KeyboardInterrupt:
        print("\nassess: stopped. The marks are as they were.", file=sys.stderr)
        return 130
    return 0


def _parser() -> Parser:
    parser = Parser(
        prog="python -m patternlib assess",
        description="Judge a class's notebooks: marks.csv, a page for each student, and class.html.",
    )
    add = parser.add_argument
    add("handins", type=Path, help="a folder of .ipynb files, or of a folder for each student; or a .zip")
    add(
        "--out",
        type=Path,
        required=True,
        help="folder for the marks; your own marks and remarks in it are kept",
    )
    add("--rerun", action="store_true", help="run each notebook again, locked in, also on other measurements")
    add(
        "--protection",
        choices=LEVELS,
        default=LEVELS[1],
        help="with --rerun: refuse to run with less than this",
    )
    add("--rubric", type=Path, help="a TOML file with your own tolerances, weights and remarks")
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
    if not text.isdecimal() or not 1 <= int(text) <= 64:
        raise argparse.ArgumentTypeError(f"{text} is not a number from 1 to 64")
    return int(text)


def _assess(options: argparse.Namespace) -> None:
    handins, out = options.handins, options.out
    _apart(handins, out)
    rubric = ""
    if options.rubric is not None:
        load_rubric(options.rubric)  # a fault in it is told before any work is done
        rubric = options.rubric.read_text(encoding="utf-8-sig")
    keep([], out)  # and so is a table of own marks that cannot be read
    state = former(out)
    told = _bar if sys.stderr.isatty() else _quiet
    books, unread = class_marking.gather(open_all(handins))
    runs, protection = _runs(books, state, options, told) if options.rerun else ([None] * len(books), NOT_RUN)
    answers, silent = class_marking.answers_of(books, runs)
    with executor(options.workers, options.scheduler) as pool:
        work, state.judged = class_marking.run(
            answers, unread + silent, pool=pool, key=options.key, rubric=rubric, known=state.judged, told=told
        )
    keep(work.rows, out)
    titles = {id: f"{id} {exercise.title}" for id, exercise in exercises().items()}
    write(out, work, titles, protection, state)
    print(f"{protection}\n{_said(work)} Open {out / 'class.html'}.")


def _runs(books: list[Opened], state: State, options: argparse.Namespace, told) -> tuple[list[Again], str]:
    """What running each notebook gives, or gave where nothing changed; and the protection in words."""
    names = [class_marking.stamp(options.key, *book.cells) for _, book in books]
    new = {name: book for name, (_, book) in zip(names, books, strict=True) if name not in state.runs}
    inside = locked(workers=options.workers, least=options.protection)
    ran = inside.run_all(new.values(), options.key, lambda done: told("Running", done, len(new)))
    found = state.runs | dict(zip(new, ran, strict=True))
    state.runs = {name: found[name] for name in names if found[name].settled}
    return [found[name] for name in names], inside.protection.words


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
    judged = sum(row.mark is not None for row in work.rows)
    return f"{judged} answers judged, {len(work.unread)} hand-ins with something not read."


def _quiet(doing: str, done: int, of: int) -> None:
    """No bar where the screen is a file."""


def _bar(doing: str, done: int, of: int) -> None:
    width = 30
    full = width * done // of if of else width
    end = "\n" if done >= of else ""
    print(
        f"\r{doing} [{'#' * full}{'.' * (width - full)}] {done} of {of}", end=end, file=sys.stderr, flush=True
    )

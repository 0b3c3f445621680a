"""Running a class's notebooks again, locked in; refuses rather than pretending to protect."""

from __future__ import annotations

import importlib.util
import os
import re
import shutil
import signal
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import msgspec

from ...errors import PatternError
from ...not_here import python_here
from ..hand_ins.notebook import Notebook
from ..safe_text import one_line
from .again import Again, second_key
from .cells import TOO_MUCH_OUTPUT
from .limits import SECONDS as PROCESSOR_SECONDS
from .portable import browser_python
from .protection import LEVELS, Protection, probe
from .runner import BROWSER, INSIDE, NATIVE, SECONDS, Runner, Runs
from .watching import Ended
from .ways import can_wrap

MOST_GIVEN_UP = 3
"""Notebooks of one student that do not reach their end before the rest of theirs is left out."""
PREPARE = (
    f'While online, in the folder of the course, prepare it once: {python_here()} -m pip install ".[rerun]" '
    f"and then {python_here()} -m patternlib prepare-rerun."
)
READ = "Or leave --rerun out to read the notebooks only."
LEFT_OUT = " because several of this student's notebooks did not reach their end, and the rest were not run"


class _Found(msgspec.Struct):
    records: list[str] = []
    faults: list[tuple[int, str, str]] = []


@dataclass(frozen=True)
class Locked:
    """What runs notebooks here, so many at once, and what protects the machine while they run."""

    runner: Runs
    protection: Protection
    workers: int

    def run_all(
        self, books: Iterable[tuple[str, Notebook]], key: str, told: Callable[[int], None]
    ) -> Iterator[Again]:
        """Run each (student, notebook) on the student's numbers, and on a second set, in the order given.

        A student of whom several did not reach their end has no more of them run, so that one cannot hold
        up the class.
        """
        given_up: Counter[str] = Counter()

        def run(pair: tuple[str, Notebook]) -> Again:
            student, book = pair
            if given_up[student] >= MOST_GIVEN_UP:
                return Again((), None, LEFT_OUT, settled=False)
            again = self.run(book, key)
            given_up[student] += not again.settled and not again.lacking
            return again

        with ThreadPoolExecutor(self.workers) as pool:
            for i, again in enumerate(pool.map(run, books)):
                told(i + 1)
                yield again

    def run(self, book: Notebook, key: str) -> Again:
        """Run one notebook twice: on the student's own numbers and on other ones."""
        first = self._once(book, "")
        if not first.records:
            return first
        second = self._once(book, second_key(key))
        return replace(first, second=second.records, settled=first.settled and second.settled)

    def _once(self, book: Notebook, second: str) -> Again:
        return _read(self.runner.run(_named(book), second), self.runner.python)


def _named(book: Notebook) -> tuple[str, ...]:
    """The notebook's cells; the first of them begins with the name on its card, which is no cell's text."""
    if not any(book.card) or not book.cells or book.cells[0].lstrip().startswith("%%"):
        return book.cells
    student, key = book.card
    given = f"__import__('patternlib.assess').assess.name_card({student!r}, key={key!r})\n"
    return given + book.cells[0], *book.cells[1:]


def locked(*, workers: int, least: str, seconds: float = SECONDS) -> Locked:
    """Try what protects this machine; raises PatternError where it protects less than `least`."""
    runner = _strongest(seconds)
    protection = probe(runner)
    if LEVELS.index(protection.level) < LEVELS.index(least):
        raise PatternError(
            f"Not run: this machine gives the protection '{protection.level}', and '{least}' is asked. "
            f"{protection.words.partition('. ')[2]} {_help(runner, tried=bool(protection.closed))}"
        )
    return Locked(runner, protection, workers)


def _strongest(seconds: float) -> Runs:
    """Bubblewrap where it works, else the browser's Python where it is prepared, else limits alone."""
    if can_wrap():
        return Runner(wrapped=True, seconds=seconds)
    browser = browser_python(seconds=seconds)
    if browser is not None:
        return browser
    if not hasattr(os, "fork"):
        raise PatternError(f"Not run: Windows itself has nothing that closes a notebook in. {PREPARE} {READ}")
    return Runner(wrapped=False, seconds=seconds)


def _help(runner: Runs, *, tried: bool) -> str:
    """What to do where the protection is too little, on this machine. tried: the try gave an answer."""
    if runner.python == BROWSER and not tried:
        return f"The browser's Python gave no answer: prepare it again. {PREPARE} {READ}"
    if runner.by == INSIDE and not tried:
        return (
            "The first try gave no answer: Python could not load this library inside bubblewrap. Install it "
            f"in the Python that you use (README), not by PYTHONPATH. {READ}"
        )
    if runner.python == BROWSER or runner.by == INSIDE:
        return f"Use another machine. {READ}"
    if sys.platform == "darwin":
        return f"macOS itself has nothing that closes a notebook in for this command. {PREPARE} {READ}"
    if not sys.platform.startswith("linux"):
        return f"{PREPARE} {READ}"
    if shutil.which("bwrap") is None:
        install = "Install bubblewrap (Debian and Ubuntu: sudo apt install bubblewrap). Without it:"
        return f"{install} {PREPARE} {READ}"
    return (
        "bubblewrap is installed, but this system does not let it make user namespaces. Ask the person who "
        "looks after the machine to switch them on "
        "(kernel.unprivileged_userns_clone=1, user.max_user_namespaces "
        f"over 0, and on Ubuntu an AppArmor profile for bwrap). Without them: {PREPARE} {READ}"
    )


def _read(ended: Ended, python: str = NATIVE) -> Again:
    """The records of a run in one of the Pythons, and why it did not end well, where it did not."""
    unread = Again((), None, " because what it gave back cannot be read", settled=False)
    try:
        found = msgspec.json.decode(ended.data, type=_Found) if ended.data else _Found()
        records = tuple(text.encode() for text in found.records)
    except (msgspec.MsgspecError, RecursionError, UnicodeError, ValueError):
        return unread
    because = _because(ended)
    if not because and not ended.data:
        because = " because it ended itself"
    lacking = "" if python == NATIVE else next(filter(None, map(_lacking, found.faults)), "")
    if not because and lacking:
        because = f" because its cells need {lacking}, which the browser's Python here has not"
    elif not because and found.faults:
        cell, kind, text = found.faults[0]
        said = f"{one_line(kind, 60)}: {one_line(text, 160)}".removesuffix(": ")
        because = f" because cell {cell} stops with {said}"
    return Again(records, None, because, ended.exit == 0 and not ended.why and not lacking, lacking)


def _lacking(fault: tuple[int, str, str]) -> str:
    """The package that a cell asked for and this computer lacks, '' if it stopped for another reason."""
    _, kind, text = fault
    named = re.search(r"No module named '(\w+)|needs the package (\w+)", text)
    name = next(filter(None, named.groups()), "") if named else ""
    known = kind in ("ModuleNotFoundError", "NotHere") and name.isidentifier()
    return name if known and importlib.util.find_spec(name) is not None else ""


def _because(ended: Ended) -> str:
    reasons = {
        "time": "it ran too long by the clock",
        "files": "it wrote too much into files",
        "memory": "it took too much memory",
        "processes": "it started too many processes",
        "length": "it gave back far more than a draft",
        "text": "its cells are longer than any exercise",
        "start": "Python could not be started for it",
    }
    if ended.why:
        return f" because {reasons.get(ended.why, 'it was stopped')}"
    if ended.signal is not None and ended.signal == getattr(signal, "SIGXCPU", None):  # Windows has none
        return f" because it used more than {PROCESSOR_SECONDS} seconds of processor time"
    if ended.signal is not None and ended.signal == getattr(signal, "SIGXFSZ", None):
        return " because it wrote too large a file"
    if ended.signal is not None:
        return f" because it was ended by signal {ended.signal}"
    if ended.exit == TOO_MUCH_OUTPUT:
        return " because it printed far too much"
    return " because it ended itself" if ended.exit else ""

"""Running a class's notebooks again, locked in; refuses rather than pretending to protect."""

from __future__ import annotations

import os
import shutil
import signal
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import msgspec

from ...errors import PatternError
from ..hand_ins.notebook import Notebook
from ..safe_text import one_line
from .again import Again, second_key
from .cells import TOO_MUCH_OUTPUT
from .limits import SECONDS as PROCESSOR_SECONDS
from .protection import LEVELS, Protection, probe
from .runner import SECONDS, Ended, Runner, can_wrap

MOST_GIVEN_UP = 3
"""Notebooks of one student that do not reach their end before the rest of theirs is left out."""
LEFT_OUT = " because several of this student's notebooks did not reach their end, and the rest were not run"


class _Found(msgspec.Struct):
    records: list[str] = []
    faults: list[tuple[int, str, str]] = []


@dataclass(frozen=True)
class Locked:
    """What runs notebooks here, so many at once, and what protects the machine while they run."""

    runner: Runner
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
            given_up[student] += not again.settled
            return again

        with ThreadPoolExecutor(self.workers) as pool:
            for i, again in enumerate(pool.map(run, books)):
                told(i + 1)
                yield again

    def run(self, book: Notebook, key: str) -> Again:
        """Run one notebook twice: on the student's own numbers and on other ones."""
        first, because, settled = self._once(book, "")
        if not first:
            return Again((), None, because, settled)
        second, _, settled_too = self._once(book, second_key(key))
        return Again(tuple(first), tuple(second), because, settled and settled_too)

    def _once(self, book: Notebook, second: str) -> tuple[list[bytes], str, bool]:
        ended = self.runner.run(_named(book), second)
        return *_read(ended), ended.exit == 0 and not ended.why


def _named(book: Notebook) -> tuple[str, ...]:
    """The notebook's cells; the first of them begins with the name on its card, which is no cell's text."""
    if not any(book.card) or not book.cells or book.cells[0].lstrip().startswith("%%"):
        return book.cells
    student, key = book.card
    given = f"__import__('patternlib.assess').assess.name_card({student!r}, key={key!r})\n"
    return given + book.cells[0], *book.cells[1:]


def locked(*, workers: int, least: str, seconds: float = SECONDS) -> Locked:
    """Try what protects this machine; raises PatternError where it protects less than `least`."""
    if not hasattr(os, "fork"):
        raise PatternError(
            "--rerun needs Linux: nothing on Windows itself closes a notebook in. Start the command in the "
            "Linux that Windows can have beside it (WSL), or leave --rerun out to read the notebooks only."
        )
    wrapped = can_wrap()
    runner = Runner(wrapped=wrapped, seconds=seconds)
    protection = probe(runner, "inside bubblewrap" if wrapped else "without bubblewrap")
    if LEVELS.index(protection.level) < LEVELS.index(least):
        raise PatternError(
            f"Not run: this machine gives the protection '{protection.level}', and '{least}' is asked. "
            f"{protection.words.partition('. ')[2]} {_help(wrapped, tried=bool(protection.closed))}"
        )
    return Locked(runner, protection, workers)


def _help(wrapped: bool, *, tried: bool) -> str:
    """What to do where the protection is too little, on this machine. tried: the try gave an answer."""
    if sys.platform == "darwin":
        return (
            "macOS has nothing that closes a notebook in for this command. Run it on Linux, also in a "
            "virtual machine on this Mac, or leave --rerun out to read the notebooks only."
        )
    if not sys.platform.startswith("linux"):
        return "Run it on Linux, or leave --rerun out to read the notebooks only."
    if wrapped and not tried:
        return (
            "The first try gave no answer: Python could not load this library inside bubblewrap. Install it "
            "in the Python that you use (README), not by PYTHONPATH; or leave --rerun out."
        )
    if wrapped:
        return "Use another machine, or leave --rerun out to read the notebooks only."
    if shutil.which("bwrap") is None:
        return "Install bubblewrap (Debian and Ubuntu: sudo apt install bubblewrap), or leave --rerun out."
    return (
        "bubblewrap is installed, but this system does not let it make user namespaces. Ask the person who "
        "looks after the machine to switch them on "
        "(kernel.unprivileged_userns_clone=1, user.max_user_namespaces "
        "over 0, and on Ubuntu an AppArmor profile for bwrap), or leave --rerun out."
    )


def _read(ended: Ended) -> tuple[list[bytes], str]:
    """The records of a run, and ' because ...' where it did not end well."""
    try:
        found = msgspec.json.decode(ended.data, type=_Found) if ended.data else _Found()
    except (msgspec.MsgspecError, RecursionError, UnicodeError, ValueError):
        return [], " because what it gave back cannot be read"
    because = _because(ended)
    if not because and not ended.data:
        because = " because it ended itself"
    if not because and found.faults:
        cell, kind, text = found.faults[0]
        because = f" because cell {cell} stops with {one_line(kind, 60)}: {one_line(text, 160)}"
    try:
        return [text.encode() for text in found.records], because
    except UnicodeError:
        return [], " because what it gave back cannot be read"


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
    if ended.signal == signal.SIGXCPU:
        return f" because it used more than {PROCESSOR_SECONDS} seconds of processor time"
    if ended.signal == signal.SIGXFSZ:
        return " because it wrote too large a file"
    if ended.signal is not None:
        return f" because it was ended by signal {ended.signal}"
    if ended.exit == TOO_MUCH_OUTPUT:
        return " because it printed far too much"
    return " because it ended itself" if ended.exit else ""

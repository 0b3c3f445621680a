"""Running a class's notebooks again, locked in; refuses rather than pretending to protect."""

from __future__ import annotations

import os
import queue
import signal
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import msgspec

from ...errors import PatternError
from ..hand_ins.notebook import Notebook
from ..safe_text import one_line
from .again import Again, second_key
from .cells import TOO_MUCH_OUTPUT
from .limits import SECONDS as PROCESSOR_SECONDS
from .parent import SECONDS
from .protection import LEVELS, Protection, probe
from .runner import Ended, Runner, can_wrap


class _Found(msgspec.Struct):
    records: list[str] = []
    faults: list[tuple[int, str, str]] = []


class Locked:
    """A set of rooms, one for each worker, and what protects them."""

    def __init__(self, make: Callable[[], Runner], protection: Protection, workers: int, fresh: bool):
        self._make, self.protection, self._workers, self._fresh = make, protection, workers, fresh
        self._rooms: queue.SimpleQueue[Runner | None] = queue.SimpleQueue()
        for _ in range(workers):
            self._rooms.put(None)

    def run_all(self, books: Iterable[Notebook], key: str, told: Callable[[int], None]) -> Iterator[Again]:
        """Run each notebook on the student's numbers, and on a second set, in the order given."""
        with ThreadPoolExecutor(self._workers) as pool:
            for i, again in enumerate(pool.map(lambda book: self.run(book, key), books)):
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
        room = self._rooms.get()
        try:
            if room is None:
                room = self._make()
            ended = room.run(book.cells, second)
            if ended.why == "room" or self._fresh:
                room.close()
                room = None
        finally:
            self._rooms.put(room)
        return *_read(ended), ended.exit == 0 and not ended.why

    def close(self) -> None:
        while not self._rooms.empty():
            room = self._rooms.get()
            if room is not None:
                room.close()


@contextmanager
def locked(*, workers: int, least: str, fresh: bool = False, seconds: float = SECONDS) -> Iterator[Locked]:
    """Set rooms up and try their walls; raises PatternError where they protect less than `least`."""
    if not hasattr(os, "fork"):
        raise PatternError(
            "--rerun needs Linux or macOS (on Windows: WSL). Leave it out to read the notebooks only."
        )
    wrapped = can_wrap()
    by = "bubblewrap round it" if wrapped else "without bubblewrap"

    def make() -> Runner:
        return Runner(wrapped=wrapped, seconds=seconds)

    first = make()
    rooms = Locked(make, probe(first, by), workers, fresh)
    rooms._rooms.get()
    rooms._rooms.put(first)
    try:
        level = rooms.protection.level
        if LEVELS.index(level) < LEVELS.index(least):
            raise PatternError(
                f"Not run: this machine gives the protection '{level}', and '{least}' is asked. "
                f"{rooms.protection.words.partition('. ')[2]} "
                "Install bubblewrap, use another machine, or choose less with --protection."
            )
        yield rooms
    finally:
        rooms.close()


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
        "length": "it gave back far more than a draft",
        "text": "its cells are longer than any exercise",
        "room": "the room it ran in broke down",
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

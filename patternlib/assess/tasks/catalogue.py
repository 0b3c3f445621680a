"""The exercises of the course, found by their ids."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache

from ...errors import unknown
from .exercise import Exercise
from .topics import ALL

_MORE: list[Callable[[], Mapping[str, Exercise]]] = []


def add_exercises(source: Callable[[], Mapping[str, Exercise]]) -> None:
    """Take in what `source` gives, too, such as a teacher's own; the course's ids go first."""
    _MORE.append(source)
    exercises.cache_clear()


@contextmanager
def with_exercise(work: Exercise) -> Iterator[None]:
    """Let an exercise that was read just now be found, in place of what has its id."""
    known = exercises()
    before = known.get(work.id)
    known[work.id] = work
    try:
        yield
    finally:
        if before is None:
            del known[work.id]
        else:
            known[work.id] = before


@cache
def exercises() -> dict[str, Exercise]:
    """Every exercise by its id: the course's, then those of the teacher's own folder."""
    found: dict[str, Exercise] = {}
    for found_one in ALL:
        if found_one.id in found:
            raise ValueError(f"two exercises are called {found_one.id}: give one of them another number.")
        found[found_one.id] = found_one
    for source in _MORE:
        found |= {id: work for id, work in source().items() if id not in found}
    return found


def exercise_titles() -> dict[str, str]:
    """The words for each exercise, and for each of its criteria in words, by their names in the tables."""
    titles = {id: f"{id} {work.title}" for id, work in exercises().items()}
    return titles | {
        criterion.row(id): f"{titles[id]}: {criterion.name}"
        for id, work in exercises().items()
        for criterion in work.in_words
    }


def exercise(id: str) -> Exercise:
    """One exercise by its id. Raises UnknownName with near ids."""
    if id not in exercises():
        raise unknown("exercise", id[:80], exercises())
    return exercises()[id]

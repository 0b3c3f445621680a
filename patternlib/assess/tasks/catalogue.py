"""The exercises of the course, found by their ids."""

from __future__ import annotations

from functools import cache

from ...errors import unknown
from .exercise import Exercise
from .topics import ALL


@cache
def exercises() -> dict[str, Exercise]:
    """Every exercise of the course by its id."""
    found: dict[str, Exercise] = {}
    for found_one in ALL:
        if found_one.id in found:
            raise ValueError(f"two exercises are called {found_one.id}: give one of them another number.")
        found[found_one.id] = found_one
    return found


def exercise(id: str) -> Exercise:
    """One exercise by its id. Raises UnknownName with near ids."""
    if id not in exercises():
        raise unknown("exercise", id[:80], exercises())
    return exercises()[id]

"""The criteria of the project, with levels in words: what the instructor chooses from."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

PROJECT = "16"
"""The project as an exercise; its criteria are '16 measures' and so on."""
TITLE = "16 The project"
HIGHEST = 3
"""The highest level; a level is worth so many marks."""
CALLED = ("not shown", "begun", "sound", "very good")


@dataclass(frozen=True)
class Criterion:
    """One criterion. levels: in words, from 0 to HIGHEST; published: where it is named; calculated: the
    highest level that the form alone can propose."""

    id: str
    title: str
    published: str
    calculated: int
    levels: tuple[str, ...]

    @property
    def exercise(self) -> str:
        """Its name in the tables of marks."""
        return f"{PROJECT} {self.id}"


@cache
def criteria() -> dict[str, Criterion]:
    """Every criterion by its id, in the order of the sheet.

    >>> criteria()["walks"].exercise, len(criteria()["walks"].levels) == HIGHEST + 1
    ('16 walks', True)
    """
    given = tomllib.loads(Path(__file__).with_name("criteria.toml").read_text(encoding="utf-8"))
    return {
        id: Criterion(id, c["title"], c["published"], c["calculated"], tuple(c["levels"]))
        for id, c in given.items()
    }


def titles() -> dict[str, str]:
    """The words for the project and each of its criteria, by their names in the tables of marks."""
    return {PROJECT: TITLE} | {c.exercise: f"{TITLE}: {c.title}" for c in criteria().values()}


def column(exercise: str) -> str:
    """The exercise that a row of the table of marks belongs to.

    >>> column("16 walks"), column("02p Neatness of lines"), column("02a")
    ('16', '02p', '02a')
    """
    return exercise.partition(" ")[0]

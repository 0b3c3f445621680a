"""Criteria in words: what no computer can judge, with levels that the instructor chooses from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Level:
    """One level: what is seen on the paper, and the marks for it."""

    words: str
    marks: float


@dataclass(frozen=True)
class InWords:
    """One criterion of an exercise, such as 'Neatness of lines'; levels: the fewest marks first."""

    name: str
    levels: tuple[Level, ...]

    @property
    def most(self) -> float:
        """The marks of its best level."""
        return self.levels[-1].marks

    def row(self, exercise: str) -> str:
        """Its name in the tables of marks.

        >>> InWords("Neatness", (Level("none", 0), Level("neat", 2))).row("02p")
        '02p Neatness'
        """
        return f"{exercise} {self.name}"

    def said(self, marks: float) -> str:
        """The words of the level that so many marks reach; half marks stand above the level below them.

        >>> InWords("Neatness", (Level("rough", 0), Level("neat", 2))).said(1.5)
        'rough'
        """
        reached = [level for level in self.levels if level.marks <= marks]
        return (reached or self.levels)[-1 if reached else 0].words

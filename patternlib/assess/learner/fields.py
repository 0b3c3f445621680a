"""The form of an exercise: a row for each thing asked, with the fields it is written into.

A field is known by its row and its part: 'side hip|across', 'waist|3|up', 'back pocket: label|2|text'.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ..answers.worksheet import PLACES
from ..tasks.exercise import Asked, Exercise

MOST_PLACES = 60
"""Rows that a line can have."""
LABEL_LINES = 3

_WHERE = ("across", "up")
_PARTS = {
    "point": _WHERE, "curve": _WHERE, "cut line": _WHERE, "grain": _WHERE, "number": ("length",),
    "allowance": ("wide",), "corner": ("first",), "notches": ("at", "slits"), "label": ("text",),
}  # fmt: skip
_LINES = {"curve": PLACES, "cut line": 6, "grain": 2, "notches": 1, "label": LABEL_LINES}
"""How many lines a row begins with, where it may have several."""
_GROWS = ("curve", "cut line", "notches")

SAID = {
    "point": (
        "Measure across from the centre line, to the right, and up from the waist level. "
        "Left and below are under 0."
    ),
    "curve": "Measure seven or more places, evenly from one end to the other, both ends among them.",
    "number": "Measure with the ruler, or with the tape on its edge; or write what you calculated.",
    "angle": "Write degrees, such as 12.5.",
    "allowance": "How wide is it? Write 0 where there is none.",
    "corner": "Which edge is folded back first here?",
    "notches": "How far from the start of the edge? Walk round the piece anticlockwise.",
    "grain": "Measure both ends of the grain line like points.",
    "label": "What did you write on the piece? One line each: its name, how it is cut, its cloth.",
    "cut line": "Measure every corner like a point, walking round once; on a curve a few places more.",
}  # fmt: skip


class Row(NamedTuple):
    """name: what is asked; title: as it is shown; kind; parts: of one line; lines: how many it begins with, 0
    for a row that is one line; grows: whether more can be added; choices: of a part that is chosen; piece."""

    name: str
    title: str
    kind: str
    parts: tuple[str, ...]
    lines: int
    grows: bool
    choices: tuple[str, ...]
    piece: str
    said: str

    def key(self, part: str, line: int = 0) -> str:
        return f"{self.name}|{line}|{part}" if self.lines else f"{self.name}|{part}"


def rows(work: Exercise) -> tuple[Row, ...]:
    """The rows of an exercise's form, in the order in which it asks.

    >>> from patternlib.assess import exercise
    >>> [row.key("across") for row in rows(exercise("02a"))][:2]
    ['centre back hip|across', 'centre back hem|across']
    """
    return tuple(_rows(work))


def _rows(work: Exercise) -> Iterator[Row]:
    for asked in work.asked:
        if asked.kind in _PARTS:
            kind = "angle" if asked.kind == "number" and "angle" in asked.name else asked.kind
            lines = _LINES.get(asked.kind, 0)
            choices = tuple(asked.part.split(" / ")) if asked.kind == "corner" else ()
            parts, grows = _PARTS[asked.kind], asked.kind in _GROWS
            yield Row(asked.name, _title(asked), kind, parts, lines, grows, choices, asked.piece, SAID[kind])


def _title(asked: Asked) -> str:
    title = asked.name.removeprefix(f"{asked.piece}: ") if asked.piece else asked.name
    return title.replace(" / ", " and ") if asked.kind == "corner" else title

"""Opening the board for finding slips in a notebook cell."""

from __future__ import annotations

from typing import Any


def find_the_slip(card: Any = None, *, lesson: int | None = None) -> Any:
    """A board that shows drafts with a slip in them, for the name on a card (None: for no name).

    lesson: to begin with, None: the one that was open last.

    >>> find_the_slip(lesson=2).lesson
    2
    """
    from .board import OnBoard

    return OnBoard(card, lesson)

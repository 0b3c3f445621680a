"""Opening a drafting table in a notebook cell."""

from __future__ import annotations

from html import escape
from typing import Any

from ...errors import PatternError
from ..answers.feedback import Feedback


def drafting_table(id: str, *, student: str, key: str = "", unit: str = "cm") -> Any:
    """A drafting table for an exercise, with what the student had on it before.

    student: as the class list has it; key: the class's; unit: of lengths, 'cm' or 'in'. An exercise that
    does not exist is answered by a sentence.

    >>> drafting_table("02z", student="lena")
    no exercise is called '02z'. Did you mean '02b' or '02a'?
    """
    from .board import DraftingTable

    try:
        return DraftingTable(id, student=student, key=key, unit=unit)
    except PatternError as fault:
        return Feedback(None, None, str(fault), f"<p>{escape(str(fault))}</p>")

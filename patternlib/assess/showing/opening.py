"""Opening a table that shows a section of a lesson, or the solution of an exercise."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...body import Body
from ...draft import Draft
from ...geometry import Curve, Point
from ...notebook import bullets, told
from ...output.items import Box
from ..tasks.catalogue import exercise
from .sections import Section, section


def section_table(
    draft: Draft, *parts: tuple[str, str], place: str, body: Body, title: str = "",
    style: Mapping[str, float] | None = None, window: Box | None = None, otherwise: str = "",
    begin: str = "shown",
) -> Any:  # fmt: skip
    """Steps of a draft on a table: shown one by one, or drawn by the reader.

    parts: each from a first to a last step; place: a short name that no other section of the folder has,
    under which her own steps are kept; body, style: the numbers beside the paper; window: (x0, y0, x1, y1)
    in cm, the part of the paper that is looked at; otherwise: what is said where this draft has none of
    these steps, left out, UnknownName is raised; begin: 'shown', or 'own' for an empty paper to draw on.
    """
    from .board import SectionTable

    if otherwise:
        parts = tuple(part for part in parts if set(part) <= draft.keys())
        if not parts:
            return told(otherwise)
    part = section(draft, *parts, place=place, title=title, window=window)
    return SectionTable(part, body, style=style, begin=begin)


def solution_table(id: str, *, student: str, key: str = "") -> Any:
    """The rule's own steps of an exercise on a student's numbers, shown on a table one by one.

    Where nothing is drawn, the steps are a list, each with the number that it comes to.

    >>> solution_table("02a", student="lena")
    <table: 02a · The frame of the skirt block>
    >>> solution_table("14b", student="lena").text.splitlines()[0]
    '1. Calculate usable width: width less both selvedges = 137 cm.'
    """
    from .board import SectionTable

    work = exercise(id)
    of = work.own_numbers(student, key)
    draft = work.reference(of)
    wanted = work.sentences(of)
    steps = tuple(s for s in draft.steps if s.name in wanted)
    if not any(isinstance(s.value, Point | Curve) for s in steps):
        return bullets([s.text() for s in steps], numbered=True)
    return SectionTable(
        Section(f"{id} solution", f"{id} · {work.title}", draft, steps), of.body, style=of.style
    )


def pocket_table(body: Body) -> Any:
    """A small table for a first pattern: a pocket for one's own hand, printed at true size.

    >>> from patternlib import chart
    >>> pocket_table(chart("course").body("12"))
    <table: A pocket for your hand>
    """
    from .pocket import PocketTable

    return PocketTable(body)

"""Answering an exercise on a live board: a slider for each measure, the draft grows with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ..draft import Draft
from ..errors import PatternError, unknown
from ..geometry import Curve, Point
from ..operations import Value
from ..output.items import Scene, Stroke, curve_path
from .exercise import Exercise, exercise
from .rework import Rework, reach

LEAST, FARTHEST = -20.0, 200.0
"""cm: the ends of every slider, so that its range tells nothing; only a number reckoned can be under 0."""


def settable(work: Exercise, draft: Draft) -> list[str]:
    """The steps asked whose own measure can be set on a board."""
    asked = {a.name for a in work.steps()}
    ops = ("go", "along", "on", "square", "given", "sum")
    return [s.name for s in draft if s.name in asked and s.op in ops and "angle" not in s.name]


def board_record(id: str, measures: Mapping[str, float], *, student: str, key: str = "") -> dict:
    """The hand-in record of a draft drawn with the measures a student has set, cm by step name.

    A measure of 0 is not set; steps that rest on one are not handed in. Raises UnknownName for a step
    whose measure cannot be set.

    >>> board_record("02a", {"centre back hip": 24, "side hip": 25.5}, student="lena")["points"]["side hip"]
    [25.5, -24.0]
    """
    work = exercise(id)
    of = work.variant(student, key)
    drawn = _drawn(work, work.reference(of), measures)
    return work.record(of, drawn, student=student, way="board")


def _drawn(work: Exercise, draft: Draft, measures: Mapping[str, float]) -> dict[str, Value]:
    """The steps asked whose measures are set; a number reckoned is taken as it is set."""
    known = settable(work, draft)
    for name in measures:
        if name not in known:
            raise unknown(f"measure to set in exercise {work.id}", name, known)
    set_now = {name: value for name, value in measures.items() if value}
    numbers = {name: value for name, value in set_now.items() if draft.step(name).op in ("sum", "given")}
    lengths = {name: value for name, value in set_now.items() if name not in numbers}
    own = Rework(
        draft,
        {**{name: draft[name] for name in work.ready}, **numbers},
        {name: replace(draft.step(name), measure=value, measured_by="") for name, value in lengths.items()},
    )
    unset = set(known) - set(set_now)
    drawn: dict[str, Value] = {}
    for a in work.steps():
        front, hidden = reach(draft, a.name, own.given)
        rests_on = {a.name, *front, *hidden}
        # a step that rests on nothing the student has set is not the student's
        if a.name not in unset and unset.isdisjoint(hidden) and rests_on & set(set_now):
            drawn[a.name] = own[a.name]
    return drawn


def answer_board(id: str, *, student: str, key: str = "") -> Any:
    """A live board for an exercise; give it to `check`. Raises UnknownName for an unknown exercise."""
    from ..boards import Board, Picture, Slider

    work = exercise(id)
    draft = work.reference(work.variant(student, key))

    def redraw(values: dict[str, float]) -> Picture:
        return Picture(_scene(work, draft, values))

    if not settable(work, draft):
        raise PatternError(f"exercise {id} has no measure to set on a board: answer it in code or on paper.")
    lowest = {name: LEAST if draft.step(name).op == "sum" else 0.0 for name in settable(work, draft)}
    sliders = [Slider(name, name, low, FARTHEST, 0.1, 0.0) for name, low in lowest.items()]
    board = Board(redraw, sliders, title=work.title)
    board.record = lambda: board_record(id, board.values, student=student, key=key)
    return board


def _scene(work: Exercise, draft: Draft, values: Mapping[str, float]) -> Scene:
    """What is given, and every step asked whose measures are set."""
    given = [(name, draft[name], "block") for name in work.given(draft)]
    shown = [*given, *((name, value, "own") for name, value in _drawn(work, draft, values).items())]
    items = []
    for name, value, style in shown:
        if isinstance(value, Curve):
            items.append(Stroke(curve_path(value), style, "plan", "", name))
        elif isinstance(value, Point):
            x, y = value
            cross = (("M", x - 0.7, y), ("L", x + 0.7, y), ("M", x, y - 0.7), ("L", x, y + 0.7))
            items.append(Stroke(cross, style, "plan", "", name))
    return Scene(tuple(items), work.title, (-60.0, -110.0, 60.0, 60.0))

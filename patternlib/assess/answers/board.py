"""Answering an exercise on a live board: a slider for each measure, the draft grows with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import ceil, floor
from typing import Any

from ...draft import Draft
from ...errors import PatternError, unknown
from ...operations import Value
from ...output.items import Box, Text, join_boxes
from ...output.scene import Scene
from ...units import write_length
from ..tasks.catalogue import exercise
from ..tasks.exercise import Exercise
from ..tasks.rework import Rework, reach
from .sketch import Sketch, between, box_of

LEAST, FARTHEST = -20.0, 200.0
"""cm: the ends of every slider, so that its range shows no answer; only calculated numbers can be under 0."""
ROOM, TENS = 18.0, 10.0
"""cm: room on every side of what is given; the sheet grows by whole squares."""


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
    of = work.own_numbers(student, key)
    drawn = _drawn(work, work.reference(of), measures)
    return work.record(of, drawn, student=student, way="board")


def _drawn(work: Exercise, draft: Draft, measures: Mapping[str, float]) -> dict[str, Value]:
    """The steps asked whose measures are set; a calculated number is taken as it is set."""
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
    from ...boards import Board, Picture, Slider
    from ...boards.blocks import Remark

    work = exercise(id)
    draft = work.reference(work.own_numbers(student, key))

    def redraw(values: dict[str, float], unit: str = "cm") -> Picture:
        return Picture(_scene(work, draft, values, unit), [Remark("note", _progress(work, draft, values))])

    if not settable(work, draft):
        raise PatternError(f"exercise {id} has no measure to set on a board: answer it in code or on paper.")
    lowest = {name: LEAST if draft.step(name).op == "sum" else 0.0 for name in settable(work, draft)}
    sliders = [Slider(name, name, low, FARTHEST, 0.1, 0.0) for name, low in lowest.items()]
    board = Board(redraw, sliders, title=work.title)
    board.record = lambda: board_record(id, board.values, student=student, key=key)
    return board


def _progress(work: Exercise, draft: Draft, values: Mapping[str, float]) -> str:
    """What is still to be set, in a sentence; nothing is judged here."""
    unset = [name for name in settable(work, draft) if not values.get(name)]
    if unset:
        return f"Still to be set: {', '.join(unset)}."
    return "Every measure is set. Run the cell below to have them checked."


def _scene(work: Exercise, draft: Draft, values: Mapping[str, float], unit: str) -> Scene:
    """What is given, and every step asked whose measures are set; numbers as bars where nothing is drawn."""
    own = _drawn(work, draft, values)
    given = {name: draft[name] for name in work.given(draft)}
    start = box_of(given.values())
    if start is None:
        return _bars(work.title, {name: values.get(name, 0.0) for name in settable(work, draft)}, unit)
    box = join_boxes(filter(None, [_room(start), box_of(own.values())]))
    box = tuple(
        TENS * round_(end / TENS) for end, round_ in zip(box, (floor, floor, ceil, ceil), strict=True)
    )
    sketch = Sketch(_letters(box))
    sketch.draw(given, "block")
    lines = between(draft, [a.name for a in work.steps()], {**given, **own})
    sketch.draw(lines, "construct", names=None)
    sketch.draw(own, "own", names=1)
    return Scene(tuple(sketch.items()), work.title, box)


def _room(box: Box) -> Box:
    """A box with room to begin in where little is given."""
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    return min(box[0], x - ROOM), min(box[1], y - ROOM), max(box[2], x + ROOM), max(box[3], y + ROOM)


def _letters(box: Box) -> float:
    """The size of lettering that reads well on a board, cm."""
    return max(box[2] - box[0], 1.4 * (box[3] - box[1])) / 60


def _bars(title: str, numbers: Mapping[str, float], unit: str) -> Scene:
    """Numbers as bars in one scale, each under its name; what is not set has no bar."""
    low, high = min(0.0, *numbers.values()), max(4 * TENS, *numbers.values())
    low, high = TENS * floor(low / TENS), TENS * ceil(high / TENS)
    size = (high - low) / 50
    sketch = Sketch(size)
    texts = []
    for k, (name, cm) in enumerate(numbers.items()):
        y = -3 * size * k
        said = f"{name}: {write_length(cm, unit)}" if cm else f"{name}: not set"
        texts.append(Text(0.0, y, said, size, "start", 0.0, "labels", "point shown" if cm else "point"))
        if cm:
            bar = (("M", 0.0, y - 0.7 * size), ("L", cm, y - 0.7 * size))
            ends = tuple(c for x in (0.0, cm) for c in (("M", x, y - 0.3 * size), ("L", x, y - 1.1 * size)))
            sketch.line((*bar, *ends), "own", name)
    box = (low - size, -3 * size * len(numbers), high + size, 2 * size)
    return Scene((*sketch.strokes, *texts), title, box)

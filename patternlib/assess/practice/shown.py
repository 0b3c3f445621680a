"""What is shown of a draft with a slip in it: measures, what is given, the drawing, its steps in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ...geometry import Curve, Point, polyline
from ...operations import Value
from ...units import write_length
from ..table.laying import numbers_of, write_quantity
from ..table.measure import Quantity
from ..tasks.exercise import FINISH_KINDS, Asked, Exercise
from ..tasks.needed import numbers_needed
from ..tasks.own_numbers import OwnNumbers
from ..tasks.rework import reach
from ..tasks.slipping import Slipped


@dataclass(frozen=True)
class StepShown:
    """One step to be looked at. name: of the step; said: its instruction; noted: the number that was noted
    or what was written on the piece, '' where the drawing shows it."""

    name: str
    said: str
    noted: str = ""


@dataclass(frozen=True)
class Shown:
    """A draft to be looked at.

    numbers: measures of the body and the style that it was drawn on; told: what else is given, in words;
    given: what was on the paper; drawn: points and lines by name; steps: in the order of the draft.
    """

    numbers: Mapping[str, Quantity]
    told: tuple[str, ...]
    given: Mapping[str, Value]
    drawn: Mapping[str, Value]
    steps: tuple[StepShown, ...]


def look_at(work: Exercise, of: OwnNumbers, draft: Slipped, *, unit: str = "cm") -> Shown:
    """A draft as it is laid before a learner, lengths in 'cm' or 'in'."""
    said = work.sentences(of, unit)
    values = {name: draft.made[name] for name in said}
    drawn = {n: v for n, v in values.items() if not isinstance(v, int | float)}
    steps = [StepShown(n, said[n], write_value(n, v, unit)) for n, v in values.items()]
    for asked in work.asked:
        if asked.kind in FINISH_KINDS:
            drawn |= _on_the_piece(asked, draft.finish[asked.piece])
            steps.append(
                StepShown(asked.name, _ASKED[asked.kind], _written(asked, draft.finish[asked.piece], unit))
            )
    target = draft.target
    paper = {name: target[name] for name in work.given(target)}
    near = {n for name in said for n in reach(target, name, paper)[0]}
    given = {name: value for name, value in paper.items() if name in near}
    wanted = {name.replace("_", " ") for name in numbers_needed(work, of)}
    numbers = {name: number for name, number in numbers_of(work, of).items() if name in wanted}
    sheet = work.sheet(of, unit)
    told = sheet[: len(sheet) - len(said)]
    return Shown(numbers, told, given, drawn, tuple(steps))


def write_value(name: str, value: Any, unit: str) -> str:
    """A number that was noted; nothing for a point or a line."""
    if not isinstance(value, int | float):
        return ""
    return write_quantity(Quantity(round(value, 4) + 0.0, "angle" if "angle" in name else "length"), unit)


_ASKED = {
    "seam line": "Trace the seam line of the piece.",
    "allowance": "Give this edge its allowance.",
    "corner": "Say which edge is folded back first at this corner.",
    "notches": "Mark the notches of this edge, measured from its start, anticlockwise round the piece.",
    "grain": "Draw the grain line.",
    "label": "Write the label.",
    "cut line": "Draw the cut line round the piece.",
}


def _written(asked: Asked, piece: Mapping[str, Any], unit: str) -> str:
    """What is written on a piece for one thing asked."""
    match asked.kind:
        case "allowance":
            return write_length(piece["allowances"].get(asked.part, 0.0), unit)
        case "corner":
            first = piece["corners"].get(asked.part)
            return f"{first} first" if first else "not folded: cut off as a plain corner"
        case "notches":
            marks = sorted((m["at"], m["count"]) for m in piece["notches"] if m["edge"] == asked.part)
            said = [f"{('', 'single', 'double')[n]} at {write_length(at, unit)}" for at, n in marks]
            return "; ".join(said) or "none"
        case "grain":
            return "drawn" if piece["grain"] else "none"
        case "label":
            return ", ".join(piece["label"]) or "none"
    return ""


def _on_the_piece(asked: Asked, piece: Mapping[str, Any]) -> dict[str, Value]:
    """What can be drawn of a piece: its cut line, its grain line."""
    found: dict[str, Value] = {}
    outline = [Point(*p) for p in piece["cut_line"]]
    if len(outline) > 2:
        closed = outline if outline[0].distance(outline[-1]) < 1e-6 else [*outline, outline[0]]
        found[f"{asked.piece}: cut line"] = _lines(closed)
    if piece["grain"]:
        found[f"{asked.piece}: grain"] = _lines([Point(*p) for p in piece["grain"]])
    return found


def _lines(points: list[Point]) -> Curve:
    apart = [points[0]]
    for point in points[1:]:
        if point.distance(apart[-1]) > 1e-6:
            apart.append(point)
    return polyline(apart)

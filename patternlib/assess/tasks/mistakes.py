"""Common mistakes as data: what is done wrongly, as an operation on the draft, and what is said to it.

From an exercise's list come the judge's remarks, the instructor's prose in the solutions, and the test that
each mistake is seen, blamed, named and costs one step.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from ...operations import Value
from ...pieces import Piece
from ...steps import Step
from .rework import Rework

Change = Callable[[Step, Rework, Mapping[str, Mapping[str, float]], Mapping[str, float]], Step]
"""(the right step, the draft on the student's own values, terms by step, all numbers) -> the wrong step."""


@dataclass(frozen=True)
class Mistake:
    """One common mistake of an exercise.

    title, explain: for the instructor, what is done wrongly and how to explain it; at: the steps it is made
    at (or the names of finishes); change: the wrong step in place of the right one; remark: to the student,
    ends with what to do next; code: of the slip, '' takes the title; finish: changes a piece's hand-in
    record in place, (piece's plain data, the right piece); piece: which; unseen: why
    no draft can show it, where none can.
    """

    title: str
    explain: str
    remark: str = ""
    at: tuple[str, ...] = ()
    change: Change | None = None
    code: str = ""
    finish: Callable[[dict, Piece], None] | None = None
    piece: str = ""
    unseen: str = ""

    def __post_init__(self) -> None:
        if not self.code:
            object.__setattr__(self, "code", re.sub(r"[^a-z0-9]+", "-", self.title.lower()).strip("-"))


def taken(**factors: float) -> Change:
    """The measure with other shares of its parts: `taken(hip_ease=1.0)`, the whole ease."""

    def change(step: Step, work: Rework, terms, numbers) -> Step:
        if step.op == "sum":
            of = dict(zip(step.inputs, step.options["factors"], strict=True))
            parts = {n.replace(" ", "_").replace(",", ""): (f, work[n]) for n, f in of.items()}
        else:
            parts = {n: (f, numbers[n]) for n, f in terms.get(step.name, {}).items()}
        measure = right_measure(step, work)
        for name, factor in factors.items():
            now, value = parts[name]
            measure += (factor - now) * value
        return measuring(step, measure)

    return change


def right_measure(step: Step, work: Rework) -> float:
    """A step's measure on the student's own values, cm or degrees."""
    if step.op == "sum":
        return float(work.done(step))
    if step.measured_by:
        return float(work[step.measured_by])
    return float(work.done(step) if step.measure is None else step.measure)


def measuring(step: Step, measure: float) -> Step:
    """The step with another measure."""
    if step.op in ("sum", "length", "distance", "given", "dart angle", "angle"):
        return giving(step, measure)
    return replace(step, measure=measure, measured_by="")


def giving(step: Step, value: Value) -> Step:
    """A step that just gives a value."""
    return replace(step, op="trace", inputs=(), measure=None, measured_by="", options={"value": value})


def done(**changes: Any) -> Change:
    """The step with another op, inputs, measure, measured_by; `options` are put over its own."""

    def change(step: Step, work: Rework, terms, numbers) -> Step:
        other = dict(changes)
        if "options" in other:
            other["options"] = {**step.options, **other["options"]}
        if "measure" in other:
            other.setdefault("measured_by", "")
        if callable(other.get("measure")):
            other["measure"] = other["measure"](work, numbers)
        return replace(step, **other)

    return change


def value(give: Callable[[Rework, Mapping[str, float]], Value]) -> Change:
    """The step giving what `give(draft, numbers)` finds."""

    def change(step: Step, work: Rework, terms, numbers) -> Step:
        return giving(step, give(work, numbers))

    return change


def scaled(times: float = 1.0, more: float = 0.0) -> Change:
    """The measure so many times as large, and so many cm (degrees) more."""

    def change(step: Step, work: Rework, terms, numbers) -> Step:
        return measuring(step, times * right_measure(step, work) + more)

    return change


def stays(name: str) -> Change:
    """The step leaving its point or line where another one is."""
    return value(lambda work, numbers: work[name])


def ease_undivided(step: Step, work: Rework, terms, numbers) -> Step:
    """The whole of each ease added in place of its share."""
    if step.op == "sum":
        parts = [(n, f, work[n]) for n, f in zip(step.inputs, step.options["factors"], strict=True)]
    else:
        parts = [(n, f, numbers[n]) for n, f in terms.get(step.name, {}).items()]
    more = sum((1.0 - f) * v for n, f, v in parts if "ease" in n and f > 0)
    return measuring(step, right_measure(step, work) + more)


def prose(mistakes: Iterable[Mistake]) -> str:
    """The list as it is printed in the solutions: Markdown."""
    return "\n".join(f"- **{m.title}.** {m.explain}" for m in mistakes)

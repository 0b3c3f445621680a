"""One cause, one loss: of several steps that are off for one reason, the first loses its mark."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..tasks.exercise import Exercise
from .rubric import Rubric
from .verdict import Line

SHARED = frozenset(
    (
        "half-forgotten", "quarter-forgotten", "half-for-quarter", "quarter-for-half", "quarter-twice",
        "quarter-for-radius", "ease-forgotten", "ease-twice", "ease-undivided", "allowance-forgotten",
        "allowance-twice", "allowance-added", "neighbour-measure", "inches-as-cm", "cm-as-inches",
        "chord-not-curve", "turned-other-way", "wrong-pin", "dart-half", "corner-plain",
        "corner-other-first", "notch-count", "notch-in-the-middle", "grain-across", "label-no-pair",
        "part-forgotten", "part-reversed", "allowance-all-alike",
    )
)  # fmt: skip
"""Slips of understanding: who makes one makes it wherever it can be made. The others are of the hand."""


def gather_causes(lines: Sequence[Line], work: Exercise, rubric: Rubric) -> list[Line]:
    """The lines again; one that is off for the cause of an earlier one keeps its mark and says so."""
    listed = {m.code for m in work.mistakes}
    first: dict[tuple[str, ...], Line] = {}
    found = []
    for line in lines:
        key = _cause(line, listed)
        if key is None:
            found.append(line)
        elif key in first:
            text = rubric.text("follows", step=line.step, other=first[key].step)
            found.append(replace(line, verdict="carried", mark=line.weight, text=text))
        else:
            first[key] = line
            found.append(line)
    return found


def _cause(line: Line, listed: Iterable[str]) -> tuple[str, ...] | None:
    if line.verdict not in ("off", "near") or not line.slip:
        return None
    if line.slip in listed:
        return (line.slip,)
    if line.slip in SHARED:
        return line.slip, *line.about
    return None

"""One cause, one loss: of several steps that are off for one reason, the first loses its mark."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from ..tasks.exercise import Exercise
from .rubric import Rubric
from .verdict import Line

SHARED = frozenset(
    (
        "half-forgotten", "quarter-forgotten", "half-for-quarter", "quarter-for-half", "quarter-twice",
        "quarter-for-radius", "ease-forgotten", "ease-twice", "ease-undivided", "allowance-forgotten",
        "allowance-twice", "neighbour-measure",
        "chord-not-curve", "turned-other-way", "wrong-pin", "dart-half", "corner-plain",
        "corner-other-first", "notch-count", "notch-in-the-middle", "grain-across", "label-no-pair",
        "part-forgotten", "part-reversed", "allowance-all-alike",
    )
)  # fmt: skip
"""Slips of understanding: who makes one makes it wherever it can be made. The others are of the hand."""
READING = frozenset(("inches-as-cm", "cm-as-inches", "allowance-added"))
"""Slips of reading: of understanding only where at least half of the lengths and marks were read so."""


def gather_causes(lines: Sequence[Line], work: Exercise, rubric: Rubric) -> list[Line]:
    """The lines again; one that is off for the cause of an earlier one keeps its mark and says so."""
    listed, shared = {m.code for m in work.mistakes}, SHARED | _read_so(lines)
    first: dict[tuple[str, ...], Line] = {}
    found = []
    for line in lines:
        key = _cause(line, listed, shared)
        if key is None:
            found.append(line)
        elif key in first:
            text = rubric.text("follows", step=line.step, other=first[key].step)
            found.append(replace(line, verdict="carried", mark=line.weight, text=text))
        else:
            first[key] = line
            found.append(line)
    return found


def _read_so(lines: Sequence[Line]) -> frozenset[str]:
    """The slips of reading that were made at half or more of what was handed in."""
    there = [line for line in lines if line.verdict != "missing"]
    return frozenset(c for c in READING if 2 * sum(line.slip == c for line in there) >= len(there))


def _cause(line: Line, listed: Collection[str], shared: Collection[str]) -> tuple[str, ...] | None:
    if line.verdict not in ("off", "near") or not line.slip:
        return None
    if line.slip in listed:
        return (line.slip,)
    return (line.slip, *line.about) if line.slip in shared else None

"""Which of a student's numbers an exercise needs: one answer for table, worksheet, cards and portfolio."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from ...draft import Draft, Step
from ...errors import PatternError
from .exercise import Exercise
from .own_numbers import OwnNumbers

NUDGE = 0.2
"""cm: a number is used by a step if the step's own measure changes when the number alone changes by this."""


def numbers_needed(work: Exercise, of: OwnNumbers) -> dict[str, float]:
    """The student's measures and style values, and the exercise's own numbers, that its steps use, cm.

    Needed is what a measure is put together from, and what the words of a step or of the task name where a
    measure really comes from it. Where a step tells its figure and names nothing, nothing is needed.

    >>> from patternlib.assess import exercise, numbers_for
    >>> list(numbers_needed(exercise("02a"), numbers_for("lena")))
    ['hip_girth', 'waist_to_hip', 'skirt_length', 'hip_ease']
    """
    draft, todo = work.reference(of), work.sentences(of)
    terms = {name for at in todo for name in work.terms.get(at, {})}
    said = {at: _said(work, draft.step(at)) for at in todo if not draft.step(at).measured_by}
    found = {}
    for name, cm in of.numbers().items():
        named = [at for at, words in said.items() if _names(words, name)]
        in_task = "_" in name and name.replace("_", " ") in work.task.lower()
        if name in terms or in_task or (named and _used(work, of, name, draft, named)):
            found[name] = cm
    return found | {name: cm for name, cm in work.constants.items() if name in terms}


def _said(work: Exercise, step: Step) -> str:
    """What a step says of where its measure comes from; a note says it with its name."""
    note = step.name if step.op == "given" else ""
    return f"{work.rules.get(step.name, step.source)} {note}"


def _names(said: str, number: str) -> bool:
    """Whether words name a number; a girth is also called without this word, as in 'half of bust + ease'."""
    if number.endswith("_girth"):
        called = number.removesuffix("_girth")
        return bool(re.search(rf"(?<!to )\b{called}\b(?! (?:line|point|edge|to)\b)", said))
    return all(re.search(rf"\b{word}\b", said) for word in number.split("_"))


def _used(work: Exercise, of: OwnNumbers, name: str, draft: Draft, steps: Iterable[str]) -> bool:
    """Whether the measure of one of the steps changes with a number."""
    for by in (NUDGE, -NUDGE):
        try:
            other = work.draw(_with(of, name, of.numbers()[name] + by))
        except PatternError:  # with this number nothing can be drawn
            continue
        return any(at in other and other.step(at).measure != draft.step(at).measure for at in steps)
    return False


def _with(of: OwnNumbers, name: str, cm: float) -> OwnNumbers:
    if name in of.style:
        return replace(of, style={**of.style, name: cm})
    return replace(of, body=of.body.replace(**{name: cm}))

"""A cause in the teacher's words: what it is called, what is done wrongly, why, and what to say on Monday."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from statistics import median
from typing import Any, NamedTuple

from ...safe_text import folded
from ...tasks.catalogue import exercises
from .causes import Cause, explained, listed

MOST = 2 / 3
"""Where so many of the drafts are off alike, it is told."""
ALIKE = 0.03
"""Two ratios that differ by less are the same."""
LEAST = 2.0
"""cm: shorter distances give no ratio."""
GUESSES = {
    2.0: "Was the whole taken for a half, or was it measured twice?",
    4.0: "Was the whole taken for a quarter?",
    0.5: "Was it halved where it must not be?",
    10.0: "Were these millimetres?",
    2.54: "Were centimetres taken for inches?",
    1 / 2.54: "Were these inches?",
}
"""What a ratio makes one ask."""


class Said(NamedTuple):
    """What the teacher reads about a slip, a sentence or two each."""

    called: str
    wrong: str
    why: str
    say: str


@cache
def sayings() -> dict[str, Said]:
    """By the code of a slip.

    >>> sayings()["whole-in-mm"].called
    'All in millimetres'
    """
    given = tomllib.loads(Path(__file__).with_name("explained.toml").read_text(encoding="utf-8"))
    return {code: Said(**words) for code, words in given.items()}


def called(slip: str) -> str:
    """What a slip is called where it may stand in any exercise.

    >>> called("half-for-quarter"), called("rounding-early"), called("")
    ('Half in place of a quarter', 'Rounding early', '')
    """
    if slip in sayings():
        return sayings()[slip].called
    for work in exercises().values():
        for mistake in work.mistakes:
            if mistake.code == slip:
                return mistake.title
    return slip.replace("-", " ").capitalize()


def said_of(cause: Cause, title: str) -> Said:
    """The words for a cause; title: of the exercise in which most students show it.

    A mistake of the exercise's own list is explained as the list does; a step that no slip explains, by
    what the drafts have in common.
    """
    exercise, step = cause.commonest
    if not cause.slip:
        what = f" What the step is for: {cause.said}." if cause.said else ""
        return Said(
            f"{step[:1].upper()}{step[1:]} in {title}",
            f"No one slip explains it. {common(list(cause.pairs.values()))}{what}",
            _often(exercise, step),
            "Lay two of these drafts and a right one side by side. Let the class find the first place where "
            "they differ, then draw this step together.",
        )
    own = {m.title: m for place in cause.who for m in listed(place[0], cause.slip, place[1])}
    general = sayings().get(cause.slip)
    if general is None and own:
        title, mistake = next(iter(own.items()))
        return Said(title, f"{title}.", "", mistake.explain)
    if general is None:  # a slip of a teacher's own exercise
        return Said(called(cause.slip), bare(cause.remark), "", "Draw this step together on the board.")
    return general._replace(called=next(iter(own))) if len(own) == 1 else general


def _often(exercise: str, step: str) -> str:
    work = exercises().get(exercise)
    found = [m for m in work.mistakes if step in m.at][:2] if work else []
    return " ".join(f"Often made at this step: {m.title}. {m.explain}" for m in found)


def in_the_solution(cause: Cause) -> tuple[str, str]:
    """(exercise, how its solution explains the cause), where most students show it; both empty else."""
    for exercise, step in cause.places:
        for mistake in listed(exercise, cause.slip, step):
            own = (said for said in explained(exercise) if said.startswith(mistake.title))
            return exercise, next(own, f"{mistake.title}. {mistake.explain}")
        for name in (cause.slip, called(cause.slip)):
            asked = {word for word in re.findall(r"\w+", folded(name.replace("-", " "))) if len(word) > 3}
            for said in explained(exercise):
                if asked and asked <= set(re.findall(r"\w+", folded(said.partition(".")[0]))):
                    return exercise, said
    return "", ""


def bare(remark: str) -> str:
    """A remark without how far off it was, and without the second guess.

    >>> bare("off by 1.2 cm (too large); 1.1 mm is allowed. Take a quarter of it. Or: look again.")
    'Take a quarter of it.'
    """
    return re.sub(r"^off by .*?is allowed\. |\s*Or: .*$", "", remark)


def common(pairs: Sequence[tuple[Any, Any]]) -> str:
    """What drafts that are off at one step have in common; pairs: what was given and what is right, in cm:
    numbers, or points.

    >>> common([(20.0, 5.0), (24.0, 6.0)])
    'In 2 of 2 drafts it is 4 times as large as it should be. Was the whole taken for a quarter?'
    >>> common([((0, 42), (0, 39.5)), ((0, 42.5), (0, 40.0)), ((3, 40), (0, 40))])
    'In 2 of 3 drafts it lies too high, by about 2.5 cm.'
    >>> common([(4.19, 5.06), (3.0, 9.0)])
    'In 2 of 2 drafts it is too small, by about 3.4 cm.'
    >>> common([(4, 5), (6, 5)])
    'The drafts are off in different ways.'
    """
    found = [far for got, want in pairs if (far := _far(got, want))]
    for told in (_times(found), _direction(found)):
        if told:
            return told
    return "The drafts are off in different ways." if found else ""


def _far(got: Any, want: Any) -> tuple[str, float, float] | None:
    """(along what, got, want) where the two differ most."""
    if isinstance(got, int | float) and isinstance(want, int | float):
        return "", float(got), float(want)
    try:
        (x, y), (u, v) = got, want
        return ("x", x, u) if abs(x - u) >= abs(y - v) else ("y", y, v)
    except (TypeError, ValueError):
        return None


def _times(found: Sequence[tuple[str, float, float]]) -> str:
    ratios = [(along, got / want) for along, got, want in found if abs(want) >= LEAST]
    if not ratios:
        return ""
    middle = median(ratio for _, ratio in ratios)
    alike = [along for along, ratio in ratios if abs(ratio - middle) <= ALIKE * abs(middle)]
    if len(alike) < MOST * len(found) or len(alike) < 2 or 0.8 < middle < 1.25 or middle <= 0:
        return ""
    where = {"": "it is", "x": "it lies", "y": "it lies"}[alike[0]]
    what = {"": "as large", "x": "as far to the side", "y": "as far up or down"}[alike[0]]
    guess = next((f" {said}" for ratio, said in GUESSES.items() if abs(middle / ratio - 1) <= ALIKE), "")
    times = f"{round(middle, 2):g} times {what}"
    return f"In {len(alike)} of {len(found)} drafts {where} {times} as it should be.{guess}"


def _direction(found: Sequence[tuple[str, float, float]]) -> str:
    words = {
        ("", True): "is too large", ("", False): "is too small", ("x", True): "lies too far right",
        ("x", False): "lies too far left", ("y", True): "lies too high", ("y", False): "lies too low",
    }  # fmt: skip
    by: dict[str, list[float]] = {}
    for along, got, want in found:
        by.setdefault(words[along, got > want], []).append(abs(got - want))
    if not by:
        return ""
    how, off = max(by.items(), key=lambda item: len(item[1]))
    if len(off) < MOST * len(found) or len(off) < 2:
        return ""
    return f"In {len(off)} of {len(found)} drafts it {how}, by about {median(off):.1f} cm."

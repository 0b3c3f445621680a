"""An instructor's rubric is checked as a whole before anything is marked: each fault a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ...errors import PatternError, ValueAtFault, unknown
from ...toml_text import parse_toml
from ..hand_ins.files import Refused, read_file
from ..judging.rubric import TOLERANCES, WORDS, load_rubric
from ..safe_text import one_line
from ..tasks.catalogue import exercises
from ..tasks.exercise import FINISH_KINDS, STEP_KINDS

LARGEST = 1_000_000
SECTIONS = ("units", "tolerance", "weight", "words", "slips", "exercise")


def checked_rubric(path: Path) -> str:
    """The text of a rubric in which nothing is wrong; raises PatternError with a sentence otherwise."""
    try:
        data = read_file(path, LARGEST, follow=True)
        given = parse_toml(data)
    except Refused as refused:
        raise _unreadable(path, str(refused)) from None
    except PatternError as why:
        raise _unreadable(path, f"{why}.") from None
    for section, entries in given.items():
        if section not in SECTIONS:
            raise unknown("section of the rubric", one_line(section, 80), SECTIONS)
        _table(f"[{section}]", entries)
    for section in ("tolerance", "weight"):
        _numbers(f"[{section}]", given.get(section, {}), (*TOLERANCES, *STEP_KINDS, *FINISH_KINDS))
    for id, entry in given.get("exercise", {}).items():
        _exercise(id, entry)
    for section in ("words", "slips"):
        for code, sentence in given.get(section, {}).items():
            _sentence(f"{section}, {one_line(code, 80)}", sentence)
    load_rubric(path)
    return data.decode("utf-8-sig")


def _exercise(id: str, entry: Any) -> None:
    if id not in exercises():
        raise unknown("exercise in the rubric", one_line(id, 80), exercises())
    _table(f"[exercise.{id}]", entry)
    for section, numbers in entry.items():
        if section not in ("tolerance", "weight"):
            raise unknown(
                f"section of exercise {id} in the rubric", one_line(section, 80), ("tolerance", "weight")
            )
        _table(f"[exercise.{id}.{section}]", numbers)
        steps = [a.name for a in exercises()[id].asked]
        _numbers(f"[exercise.{id}.{section}]", numbers, steps)


def _numbers(where: str, numbers: Mapping[str, Any], known) -> None:
    for name, number in numbers.items():
        if name not in known:
            raise unknown(f"step or kind in {where} of the rubric", one_line(name, 80), known)
        right = isinstance(number, int | float) and not isinstance(number, bool) and 0 <= number <= 100
        if not right or ("tolerance" in where and number == 0):
            least = "above 0" if "tolerance" in where else "from 0"
            raise ValueAtFault(
                f"{where} {name}", one_line(number, 40), f"must be a number {least} to 100",
                "Write it without quotes, with a point: 0.3.",
            )  # fmt: skip


def _sentence(where: str, sentence: Any) -> None:
    if not isinstance(sentence, str):
        raise ValueAtFault(where, one_line(sentence, 40), "must be a sentence in quotes")
    try:
        sentence.format_map(dict.fromkeys(WORDS, "x"))
    except (KeyError, IndexError, ValueError, AttributeError, TypeError):
        raise ValueAtFault(
            where, one_line(sentence, 80), "has words in braces that cannot be filled in",
            f"Those that can are {', '.join(f'{{{w}}}' for w in sorted(WORDS))}.",
        ) from None  # fmt: skip


def _table(where: str, entries: Any) -> None:
    if not isinstance(entries, dict):
        raise ValueAtFault(
            where, one_line(entries, 40), "must be a section of the rubric",
            f"Write {where} on a line of its own, and the entries below it.",
        )  # fmt: skip


def _unreadable(path: Path, why: str) -> PatternError:
    return PatternError(
        f"the rubric '{one_line(path.name, 80)}' cannot be read: {why} Correct it, or take the library's own."
    )

"""Marks, tolerances, units and the wording of remarks, from one TOML file that an instructor changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

from ... import tolerances
from ...errors import PatternError, ValueAtFault, unknown
from ...toml_text import read_toml
from ...units import UNITS, write_length
from ..tasks.exercise import FINISH_KINDS, STEP_KINDS, Asked
from .hands import Hand

OWN = Path(__file__).with_name("rubric.toml")

TOLERANCES = {
    "seam line": tolerances.HAND_CURVE,
    "allowance": 0.1,
    "notches": tolerances.HAND_CURVE,
    "grain": 2 * tolerances.HAND_ANGLE,
    "cut line": tolerances.HAND_CURVE,
}
"""cm (degrees for 'grain') for what is added to a piece, where the TOML file says nothing else; those of
points, curves and numbers follow from the way of drafting."""

WORDS = frozenset(("step", "by", "turn", "part", "other", "way", "where", "allowed", "hand"))
"""Words that a sentence of the rubric may have filled in."""


@dataclass(frozen=True)
class Rubric:
    """How drafts are marked. tolerances, weights: by kind; exercises: by id; words, slips: sentences."""

    unit: str
    tolerances: Mapping[str, float]
    weights: Mapping[str, float]
    exercises: Mapping[str, Mapping[str, Mapping[str, float]]]
    words: Mapping[str, str]
    slips: Mapping[str, str]

    def tolerance(self, exercise: str, asked: Asked, hand: Hand, angle: bool = False) -> float:
        """cm or degrees allowed for a thing asked, drawn by a hand; what the TOML file says comes first."""
        own = self.exercises.get(exercise, {}).get("tolerance", {})
        kind = "angle" if angle else asked.kind
        if own.get(asked.name):
            return own[asked.name]
        if kind in self.tolerances:
            return max(self.tolerances[kind], asked.tolerance or 0.0)
        least = max(hand.tolerance(kind), asked.tolerance or 0.0)
        return min(least, max(asked.meets, 3 * hand.number)) if asked.meets else least

    def weight(self, exercise: str, asked: Asked) -> float:
        """Marks for a thing asked."""
        own = self.exercises.get(exercise, {}).get("weight", {})
        return own.get(asked.name, asked.weight * self.weights.get(asked.kind, 1.0))

    def text(self, code: str, **words: str) -> str:
        return self.words[code].format_map(dict.fromkeys(WORDS, "") | words)

    def slip(self, code: str, **words: str) -> str:
        """The remark on a slip; a mistake of the exercise's own list brings its sentence with it."""
        if words.get("said"):
            return words["said"]
        return " ".join(self.slips[code].format_map(dict.fromkeys(WORDS, "") | words).split())

    def length(self, cm: float, angle: bool = False) -> str:
        if not cm < 1000:
            return "far"
        if angle:
            return f"{cm:.1f}°"
        if self.unit == "cm" and abs(cm) < 0.995:
            return f"{10 * cm:.1f} mm"
        return write_length(cm, self.unit)


@cache
def load_rubric(path: str | Path | None = None) -> Rubric:
    """Read a rubric; what a file leaves out is taken from the library's own.

    Raises PatternError for a file that cannot be read, ValueAtFault or UnknownName for an entry at fault.
    """
    own = _parse(OWN)
    given = own if path is None else _parse(Path(path))
    for section in given:
        if section not in own and section != "exercise":
            raise unknown("section of the rubric", section, [*own, "exercise"])
    merged = {
        s: own.get(s, {}) | given.get(s, {}) for s in ("units", "tolerance", "weight", "words", "slips")
    }
    for code in given.get("slips", {}):  # an own sentence stands for all wordings of that slip
        if f"{code}-typed" in own["slips"] and f"{code}-typed" not in given["slips"]:
            merged["slips"].pop(f"{code}-typed")
    unit = merged["units"].get("length", "cm")
    if unit not in UNITS:
        raise unknown("unit", unit, UNITS)
    for section in ("tolerance", "weight"):
        _numbers(section, merged[section], (*STEP_KINDS, *FINISH_KINDS, "angle"))
    for id, entry in given.get("exercise", {}).items():
        for section, numbers in entry.items():
            if section not in ("tolerance", "weight"):
                raise unknown(f"section of exercise {id} in the rubric", section, ["tolerance", "weight"])
            _numbers(f"exercise {id}, {section}", numbers, None)
    for section in ("words", "slips"):
        for code, sentence in merged[section].items():
            if code not in own[section]:
                raise unknown(f"sentence in [{section}] of the rubric", code, own[section])
            if not isinstance(sentence, str):
                raise ValueAtFault(f"{section}, {code}", sentence, "must be a sentence in quotes")
            try:
                named = {field for _, field, _, _ in Formatter().parse(sentence) if field is not None}
            except ValueError:
                named = {"{"}
            if not named <= WORDS:
                raise ValueAtFault(
                    f"{section}, {code}", sentence, "has words in braces that cannot be filled in",
                    f"Those that can are {', '.join(f'{{{w}}}' for w in sorted(WORDS))}.",
                )  # fmt: skip
    return Rubric(
        unit,
        TOLERANCES | merged["tolerance"],
        merged["weight"],
        given.get("exercise", {}),
        merged["words"],
        merged["slips"],
    )


def _numbers(section: str, numbers: Mapping[str, Any], known) -> None:
    for name, number in numbers.items():
        if known is not None and name not in known:
            raise unknown(f"name in [{section}] of the rubric", name, known)
        if isinstance(number, bool) or not isinstance(number, int | float) or not 0 <= number <= 100:
            raise ValueAtFault(f"{section}, {name}", number, "must be a number from 0 to 100")


def _parse(path: Path) -> dict:
    try:
        return read_toml(path, largest=1_000_000)
    except PatternError as why:
        raise PatternError(
            f"the rubric '{path.name}' cannot be read: {why}. Correct it, or take the library's own."
        ) from None

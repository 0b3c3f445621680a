"""What is typed into the form becomes measures, and a sentence where something must be looked at again.

>>> read = read_typed({"waist_girth|1": "70", "waist_girth|2": "70,4", "hip_girth|1": "950"})
>>> read.values, read.said["hip_girth"].fault
({'waist_girth': 70.2}, '950 cm is more than a hip girth can be.')
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

from ...body import Body
from ...errors import PatternError
from ...survey import SEXES, measures, slips, spread, usual
from ...tolerances import TAPE
from ...units import read_length, write_length
from ..refusal import refusal_text
from .measures_asked import NEEDED, AskedMeasure, asked
from .relations import relation_doubts

UNIT, SEX, OVER = "unit", "sex", "over"
"""Keys of the whole form."""
READINGS = (1, 2, 3)


@dataclass
class Said:
    """Of one measure: its value as text, what is wrong, what is doubted, whether a third reading is asked
    for, and what can be taken instead: a button's words, and the factor for each reading."""

    value: str = ""
    fault: str = ""
    doubts: list[str] = field(default_factory=list)
    third: bool = False
    offers: list[dict[str, Any]] = field(default_factory=list)


@dataclass
class Reading:
    """values: cm by name; said: by name; unit and sex as chosen."""

    unit: str = "cm"
    sex: str = "women"
    over: str = ""
    values: dict[str, float] = field(default_factory=dict)
    said: dict[str, Said] = field(default_factory=dict)

    @property
    def body(self) -> Body | None:
        """The body of these measures; None while bust, waist or hip is missing."""
        known = {name: cm for name, cm in self.values.items() if name in measures()}
        return Body(**known, sex=self.sex) if set(NEEDED) <= set(known) else None


def read_typed(typed: Mapping[str, str]) -> Reading:
    """Read every field of the form. typed: text by 'measure|number of the reading'."""
    found = Reading()
    found.unit = "in" if typed.get(UNIT) == "in" else "cm"
    found.sex = typed[SEX] if typed.get(SEX) in SEXES else "women"
    found.over = typed.get(OVER, "").strip()[:80]
    for one in asked():
        texts = {n: text for n in READINGS if (text := typed.get(f"{one.name}|{n}", "").strip())}
        if texts:
            found.said[one.name] = _read_one(found, one, texts)
    _bounded(found)
    _doubted(found)
    return found


def _read_one(found: Reading, one: AskedMeasure, texts: Mapping[int, str]) -> Said:
    said, lengths = Said(), {}
    for n, text in texts.items():
        try:
            lengths[n] = read_length(text, found.unit)
        except PatternError as fault:
            said.fault = str(fault).removeprefix("length: ")
            return said
    cm = _agreed(list(lengths.values()))
    if cm is None:
        apart = max(lengths.values()) - min(lengths.values())
        said.third = True
        shown = write_length(apart, found.unit, parts=8)
        said.fault = (
            f"The readings differ by {shown}. Measure it a third time; the two that are nearest count."
            if len(lengths) < 3
            else "No two of the readings agree. Look where the tape lies, empty the fields and begin again."
        )
        return said
    said.third = 3 in lengths
    said.value = write_length(cm, found.unit, parts=8)
    found.values[one.name] = round(cm, 2)
    return said


def _agreed(lengths: list[float]) -> float | None:
    """The mean of the two readings that are nearest to each other; None where they differ too much."""
    if len(lengths) == 1:
        return lengths[0]
    a, b = min(combinations(lengths, 2), key=lambda pair: abs(pair[0] - pair[1]))
    return None if abs(a - b) > TAPE + 1e-6 else (a + b) / 2


def _bounded(found: Reading) -> None:
    """Take out what no body has, with the slip that may lie behind it."""
    good = {one.name: found.values[one.name] for one in asked() if _possible(found, one)}
    for one in asked():
        if one.name not in found.values or one.name in good:
            continue
        cm, said = found.values.pop(one.name), found.said[one.name]
        much = "more" if cm > one.high else "less"
        shown = write_length(cm, found.unit, parts=8)
        said.value = ""
        said.fault = f"{shown} is {much} than a {one.term} can be."
        guesses = _guesses(one, cm, found, good)
        said.offers = [_offer(words, right, cm, found) for words, right in guesses]
        said.fault += "" if guesses else f" Measure it again: {one.place}."


def _possible(found: Reading, one: AskedMeasure) -> bool:
    return one.name in found.values and one.low <= found.values[one.name] <= one.high


def _guesses(one: AskedMeasure, cm: float, found: Reading, good: Mapping[str, float]):
    if one.checks or cm <= 0:
        return []
    return slips(one.name, cm, found.sex, good)


def _offer(words: str, right: float, cm: float, found: Reading) -> dict[str, Any]:
    """A button's words, and so many times as large each reading becomes."""
    return {"words": f"{words} Take {write_length(right, found.unit, parts=8)}", "factor": right / cm}


def _doubted(found: Reading) -> None:
    """Say what does not seem to go with the rest, beside the measure."""
    known = {name: cm for name, cm in found.values.items() if name in measures()}
    if "bust_girth" in known:
        rest = {n: usual(n, found.sex, known["bust_girth"], known.get("height") or _height(found))[0]
                for n in NEEDED if n not in known}  # fmt: skip
        body = Body(**known, **rest, sex=found.sex)
        for text in body.doubts():
            names = [name for name in known if text.split(": ")[0].count(name)]
            for name in names[:2]:
                found.said[name].doubts.append(refusal_text(PatternError(text), {}, found.unit))
            if len(names) == 1:
                _offer_slips(found, names[0], known)
        for name, text in relation_doubts(body, found.values, found.unit):
            found.said[name].doubts.append(text)


def _offer_slips(found: Reading, name: str, known: Mapping[str, float]) -> None:
    """Offer what would make a doubted measure a common one."""
    others = {n: cm for n, cm in known.items() if n != name}
    sd = usual(name, found.sex, known["bust_girth"], known.get("height") or _height(found))
    near = [(w, c) for w, c in slips(name, known[name], found.sex, others) if abs(c - sd[0]) < 2 * sd[1]]
    found.said[name].offers = [_offer(words, right, known[name], found) for words, right in near]


def _height(found: Reading) -> float:
    return spread("stature", found.sex)[0]

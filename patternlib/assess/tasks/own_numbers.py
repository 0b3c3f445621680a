"""Own numbers for each student: a body and a style from a student's id and a class's key.

All calculations use whole numbers, so that every machine and every version gives the same. Girths and
lengths follow the survey's regressions on bust and stature [US Army 1987-88, NATICK/TR-89/044]; how far a
body lies from them is held within bounds, so that every draft can be drawn and is about as hard.
"""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any

from ...body import Body
from ...errors import ValueAtFault
from ...survey import measures, spread, table

_OUT = {  # thousandths of the survey's residual standard deviation that a measure may lie off its line
    "waist_girth": 900,
    "hip_girth": 900,
    "neck_girth": 600,
    "shoulder_length": 600,
    "back_waist_length": 500,
    "front_waist_length": 300,
    "neck_to_bust": 400,
    "bust_span": 600,
    "armhole_depth": 500,
    "back_width": 500,
    "upper_arm_girth": 800,
    "wrist_girth": 800,
    "arm_length": 800,
    "waist_to_hip": 500,
    "underbust_girth": 500,
    "shoulder_drop": 500,
}

_NECK_MORE = 170  # hundredths of a cm; survey.NECK_MORE of women

_STYLE = {  # low, high, step, in tenths of a cm; within the ranges of the garment's style values
    "skirt_length": (580, 680, 5),
    "flare": (80, 120, 5),
    "hip_ease": (60, 80, 5),
    "waist_ease": (30, 50, 5),
    "waistband": (40, 60, 5),
    "bib_top": (210, 260, 10),
    "bib_height": (220, 265, 5),
    "bib_pocket_width": (120, 150, 5),
    "bib_pocket_depth": (105, 130, 5),
    "bib_pocket_below_top": (40, 60, 5),
    "extension": (25, 40, 5),
    "extension_run_on": (15, 24, 1),
    "yoke_depth": (65, 80, 5),
    "yoke_side_depth": (50, 60, 5),
    "back_rise": (65, 90, 5),
    "strap_level": (115, 140, 5),
    "strap_from_centre": (45, 55, 5),
    "strap_spread": (12, 22, 1),
    "fitting": (25, 40, 1),
    "turn_back": (40, 60, 5),
    "pocket_width": (110, 135, 5),
    "pocket_below_yoke": (15, 30, 5),
    "pocket_length": (120, 150, 5),
    "pocket_point": (20, 30, 5),
    "pocket_from_centre": (25, 40, 5),
    "hem": (25, 40, 5),
}
ABOVE_HIP = 150
"""Hundredths of a cm by which the side opening ends above the hip line."""
_FITTINGS = (25, 32, 38, 40)  # tenths of a cm, as fittings are sold
_ALLOWANCE = 15  # tenths of a cm at the strap's sides: a spread near it could not tell two mistakes apart


NO_NAME = (
    "Your name is not written yet: write it between the quotes in the first code cell, in place of 'your "
    "name', and run all cells from the top. Without it these are not your own measures."
)


def is_nobody(student: str) -> bool:
    """Whether the name that the notebooks are shipped with was left standing.

    >>> is_nobody(" Your name "), is_nobody("lena")
    (True, False)
    """
    return spelled(student) == "your name"


def spelled(student: str) -> str:
    """A student's id as it is compared: small letters, single spaces.

    >>> spelled("  Mira  K") == spelled("mira k")
    True
    """
    return " ".join(unicodedata.normalize("NFC", student).casefold().split())


@dataclass(frozen=True)
class OwnNumbers:
    """One student's numbers: body, and style values in cm; student: whose they are, None: not known."""

    body: Body
    style: Mapping[str, float]
    student: str | None = None

    def numbers(self) -> dict[str, float]:
        """Every measure and style value by name, cm."""
        return {name: getattr(self.body, name) for name in measures()} | dict(self.style)

    def to_dict(self) -> dict:
        return {"body": self.body.to_dict(), "style": dict(self.style)}


@lru_cache(maxsize=2000)
def numbers_for(student: str, key: str = "") -> OwnNumbers:
    """Body and style of a student (a text of up to 80 characters) in a class (its key, the instructor's).

    >>> numbers_for("lena").body.bust_girth == numbers_for("lena").body.bust_girth
    True
    >>> numbers_for("lena") == numbers_for("lena", "spring class")
    False
    >>> numbers_for(" Lena").body == numbers_for("lena").body
    True
    >>> numbers_for("lena").student
    'lena'
    """
    if not isinstance(student, str) or not isinstance(key, str) or len(student) > 80 or len(key) > 80:
        raise ValueAtFault(
            "student",
            str(student)[:80],
            "must be a text of at most 80 characters",
            "Give the id as the class list has it.",
        )
    dice = _Dice(spelled(student), key)
    body = {  # hundredths of a cm
        "bust_girth": _half(
            _of("bust_girth", 0) + dice.spread("bust_girth", 1300) * _of("bust_girth", 1) // 1000
        ),
        "height": _half(_of("height", 0) + dice.spread("height", 1300) * _of("height", 1) // 1000),
    }
    for name, most in _OUT.items():
        a, b, k, sd = _line(measures()[name].survey)
        usual = (a * 100 + b * body["bust_girth"] + k * body["height"]) // 10000
        if name == "neck_girth":
            usual += _NECK_MORE
        body[name] = _half(usual + dice.spread(name, most) * sd // 1000 // 100)
    gap = body["hip_girth"] - body["waist_girth"]
    body["hip_girth"] = body["waist_girth"] + min(max(gap, 2000), 2900)
    body["chest_width"] = body["back_width"] - 200  # as bodies have it
    fuller = body["bust_girth"] - body["underbust_girth"]  # the rest as estimates have it
    body["length_over_bust"] = _half(body["front_waist_length"] + body["neck_girth"] // 5 - 80 + fuller // 10)
    style = {}
    for name, (low, high, step) in _STYLE.items():
        if name == "fitting":
            style[name] = _FITTINGS[dice.number(name) % len(_FITTINGS)] / 10
        else:
            number = low + dice.number(name) % ((high - low) // step + 1) * step
            near = name == "strap_spread" and abs(number - _ALLOWANCE) <= 1
            style[name] = (number + 5 if near else number) / 10
    style["opening"] = (body["waist_to_hip"] - ABOVE_HIP) / 100  # the hips pass through its end
    measured: dict[str, Any] = {name: value / 100 for name, value in body.items()}
    return OwnNumbers(Body(**measured), style, student)


class _Dice:
    """Whole numbers from SHA-256 of class key, student and what the number is for."""

    def __init__(self, student: str, key: str):
        self._seed = f"{len(key)}:{key}|{student}|"

    def number(self, what: str) -> int:
        digest = hashlib.sha256((self._seed + what).encode("utf-8", "surrogatepass")).digest()
        return int.from_bytes(digest[:8], "big")

    def spread(self, what: str, most: int) -> int:
        """About normal, mean 0 and standard deviation 1000, held within `most`: four even numbers added."""
        number = self.number(what)
        total = sum((number >> shift) & 0xFFFF for shift in (0, 16, 32, 48)) - 2 * 0xFFFF
        return min(max(total * 1000 // 37837, -most), most)


def _half(hundredths: int) -> int:
    """To the nearest half centimetre."""
    return (hundredths + 25) // 50 * 50


@cache
def _of(name: str, figure: int) -> int:
    """Mean (0) or standard deviation (1) of women, hundredths of a cm."""
    return int(Decimal(repr(spread(measures()[name].survey, "women")[figure])) * 100)


@cache
def _line(row: str) -> tuple[int, int, int, int]:
    """a, b, k and residual standard deviation of women, in ten-thousandths."""
    for line in table("survey_regression"):
        if (line["sex"], line["measure"]) == ("women", row):
            a, b, k, sd = (int(Decimal(line[c]) * 10000) for c in ("a", "b_bust", "k_stature", "residual_sd"))
            return a, b, k, sd
    raise KeyError(row)

"""Lengths as people write them. Inside the library every length is a plain number of centimetres.

>>> read_length("24 1/2 in"), read_length("620 mm"), read_length("7,5 cm"), read_length(62)
(62.23, 62.0, 7.5, 62.0)
>>> write_length(62.23, "in"), write_length(62.23), write_length(62.23, "mm")
('24 1/2 in', '62.2 cm', '622 mm')
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from numbers import Real
from typing import TypeAlias

from .errors import ValueAtFault, unknown

Length: TypeAlias = float | str
"""A length as a caller may give it: a number of cm, or text with its unit, such as "7.5 cm" or "3 in"."""


CM_PER_INCH = 2.54
"""The international inch, exact since 1959 [NIST Special Publication 811]."""

MM_PER_CM = 10.0

POINTS_PER_MM = 72 / 25.4
"""Units of a PDF or PostScript page: 72 to the inch [ISO 32000-1, 8.3.2.3, from memory]."""

UNITS = ("cm", "mm", "in")
"""Units a length can be written in."""

_SPELLINGS = {
    "cm": ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "in": ("in", "in.", "ins", "inch", "inches", '"', "″", "”", "''"),
    "ft": ("ft", "ft.", "foot", "feet", "'", "′", "’"),
}
_UNIT = {spelling: unit for unit, spellings in _SPELLINGS.items() for spelling in spellings}
_PER_UNIT = {"cm": 1.0, "mm": 0.1, "m": 100.0, "in": CM_PER_INCH, "ft": 12 * CM_PER_INCH}
_GLYPHS = dict(zip("½¼¾⅛⅜⅝⅞⅓⅔", ["1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8", "1/3", "2/3"], strict=True))
_NUMBER = (
    r"(?:(?:(?P<whole{0}>[0-9]+)[ -]+)?(?P<top{0}>[0-9]+) ?/ ?(?P<bottom{0}>[0-9]+)"
    r"|(?P<decimal{0}>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))"
)
_NAMES = "|".join(re.escape(s) for s in sorted(_UNIT, key=len, reverse=True))
_ONE = re.compile(rf"(?P<sign>[+-]?) ?{_NUMBER.format(1)} ?(?P<unit1>{_NAMES})?")
# As _ONE, but its unit must be there, and a second number with a unit follows.
_TWO = re.compile(rf"{_ONE.pattern[:-1]} ?{_NUMBER.format(2)} ?(?P<unit2>{_NAMES})")
_IN_TEXT = re.compile(
    r"(?<![\d.])(?P<first>\d+(?:\.\d+)?)(?:(?P<between> (?:and|to|or) )(?P<second>\d+(?:\.\d+)?))? cm\b"
    r"(?P<side> or (?:less|more)\b)?"
)
_HELP = "Write it as 62, 62 cm, 620 mm or 24 1/2 in."


def read_length(text_or_number: Length, unit: str = "cm", *, name: str = "length") -> float:
    """Give the centimetres meant by a number or by text such as "62 cm", "620 mm", "24 1/2 in" or "2' 3\\"".

    unit: what a bare number is in ("cm", "mm" or "in"); a unit in the text goes before it. name: the
    measure, for the error text. A decimal comma is read as a point. A minus sign is kept.
    Raises ValueAtFault for anything else, UnknownName for a unit that does not exist.

    >>> read_length("24½\\""), read_length("24-1/2 inches"), read_length(24.5, "in")
    (62.23, 62.23, 62.23)
    >>> read_length("2' 3\\"")
    68.58
    >>> read_length("62 yd", name="hem")
    Traceback (most recent call last):
        ...
    patternlib.errors.ValueAtFault: hem: '62 yd' is not a length. Write it as 62, 62 cm, 620 mm or 24 1/2 in.
    """
    if unit not in UNITS:
        raise unknown("unit", unit, UNITS)
    if isinstance(text_or_number, Real) and not isinstance(text_or_number, bool):
        return _tidy(_finite(text_or_number, name) * _PER_UNIT[unit])
    found = None
    if isinstance(text_or_number, str) and len(text_or_number) <= 40:
        text = _one_spelling(text_or_number)
        found = _ONE.fullmatch(text) or _TWO.fullmatch(text)
    if not found:
        raise ValueAtFault(name, shown(text_or_number), "is not a length", _HELP)
    part = found.groupdict()
    first = _UNIT[part["unit1"]] if part["unit1"] else unit
    value = _number(part, 1, text_or_number, name) * _PER_UNIT[first]
    if "unit2" in part:
        second, inches = _UNIT[part["unit2"]], _number(part, 2, text_or_number, name)
        if (first, second) != ("ft", "in") or inches >= 12:
            advice = "Only feet and inches go together, as in 2' 3\"."
            raise ValueAtFault(name, shown(text_or_number), "mixes two units", advice)
        value += inches * CM_PER_INCH
    return _tidy(-value if part["sign"] == "-" else value)


def read_lengths(**given: Length) -> list[float]:
    """Give the cm of several lengths, in their order; an error names the one at fault.

    >>> read_lengths(length="60 cm", hip_ease=5)
    [60.0, 5.0]
    """
    return [read_length(value, name=name) for name, value in given.items()]


def read_number(value: float, *, name: str, of: str = "") -> float:
    """Give a number that is not a length, such as an angle in degrees; anything else raises ValueAtFault.

    name: of the value; of: what it counts, for the error text.

    >>> read_number(19, name="shoulder_slope", of="degrees")
    19.0
    """
    if isinstance(value, bool) or not isinstance(value, Real) or not abs(value) < 1e9:
        counted = f" of {of}" if of else ""
        raise ValueAtFault(
            name, shown(value), f"must be a number{counted}", "Give a plain number, such as 12."
        )
    return float(value)


def write_length(cm: float, unit: str = "cm", *, decimals: int | None = None, parts: int = 16) -> str:
    """Write a length of so many cm for a reader, as "62.2 cm", "622 mm" or "24 1/2 in".

    decimals: places kept in cm (1 unless said, at most 2) or mm (0 unless said); zeros at the end are
    left out. parts: inches go to the nearest eighth (8) or sixteenth (16). `read_length` reads every
    result. Raises ValueAtFault for a number that is not finite, UnknownName for an unknown unit.

    >>> write_length(-1.9, "in", parts=8), write_length(2.25), write_length(2.25, decimals=2)
    ('-3/4 in', '2.3 cm', '2.25 cm')
    """
    if unit not in UNITS:
        raise unknown("unit", unit, UNITS)
    if isinstance(cm, bool) or not isinstance(cm, Real):
        raise ValueAtFault("length", shown(cm), "must be a number of cm", "Read text with read_length first.")
    if decimals not in (None, 0, 1, 2):
        raise ValueAtFault("decimals", decimals, "must be 0, 1 or 2", "A tape shows no more.")
    if parts not in (2, 4, 8, 16):
        raise ValueAtFault("parts", parts, "must be 2, 4, 8 or 16", "Inch rulers are divided so.")
    size = abs(_finite(cm, "length"))
    if unit == "in":
        whole, rest = divmod(_nearest(size / CM_PER_INCH * parts), parts)
        common = math.gcd(rest, parts)
        fraction = f"{rest // common}/{parts // common}" if rest else ""
        text = f"{whole} {fraction}".strip() if whole or not rest else fraction
    else:
        if decimals is None:
            decimals = 1 if unit == "cm" else 0
        steps = _nearest(size / _PER_UNIT[unit] * 10**decimals)
        text = f"{steps / 10**decimals:.{decimals}f}"
        if "." in text:
            text = text.rstrip("0").rstrip(".")
    return f"{'-' if cm < 0 and text != '0' else ''}{text} {unit}"


def in_unit(text: str, unit: str) -> str:
    """Give a text with the lengths that it writes in cm in another unit, "cm" or "in".

    A limit ("... cm or less", "... cm or more") goes to the nearest eighth that is still allowed.

    >>> in_unit("It is 2.54 cm too long. Take 11.6 cm or less, or between 20 and 25.4 cm.", "in")
    'It is 1 in too long. Take 4 1/2 in or less, or between 7 7/8 and 10 in.'
    """
    return text if unit == "cm" else _IN_TEXT.sub(_in_inches, text)


def _in_inches(found: re.Match[str]) -> str:
    second, side = found["second"], found["side"]
    if side:
        eighths = float(second or found["first"]) / CM_PER_INCH * 8
        allowed = math.floor(eighths + 1e-6) if side.endswith("less") else math.ceil(eighths - 1e-6)
        last = write_length(allowed * CM_PER_INCH / 8, "in", parts=8)
    else:
        last = _some_inches(second or found["first"])
    first = _some_inches(found["first"]).removesuffix(" in") + found["between"] if second else ""
    return f"{first}{last}{side or ''}"


def _some_inches(cm: str) -> str:
    """Inches to the sixteenth; a smaller length is not written as 0."""
    text = write_length(float(cm), "in")
    return "under 1/16 in" if text == "0 in" and float(cm) else text


def shown(value: object) -> str:
    """Give what came in as it may stand in an error text: short, and never a whole file.

    >>> shown("62 yd"), shown([62, 63])
    ("'62 yd'", 'a list')
    """
    if isinstance(value, str):
        return repr(value if len(value) <= 40 else value[:40] + "…")
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:g}" if not abs(value) > 1e300 else "so large a number" if value < math.inf else "inf"
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    kind = type(value).__name__
    return f"{'an' if kind[0] in 'aeiouAEIOU' else 'a'} {kind}"


def _finite(value: float, name: str) -> float:
    if not abs(value) < 1e9:  # also refuses nan, and whole numbers too large for a float
        raise ValueAtFault(name, shown(value), "is not a length", "Write a number such as 62.")
    return float(value)


def _one_spelling(text: str) -> str:
    """The text in lower case, with signs such as ½ written out and one kind of blank, minus and slash.

    A sign that a board puts before a rounded number of inches is left out.
    """
    for glyph, fraction in _GLYPHS.items():
        text = text.replace(glyph, f" {fraction}")
    text = text.strip().removeprefix("≈").replace("−", "-").replace("–", "-").replace("\u2044", "/")
    return re.sub(r"^([+-]) ", r"\1", re.sub(r"\s+", " ", text.casefold()).strip())


def _number(part: dict[str, str], n: int, text: object, name: str) -> float:
    decimal = part[f"decimal{n}"]
    if decimal:
        if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", decimal):
            advice = "Leave out a comma for thousands; write decimals with a point."
            raise ValueAtFault(name, repr(text), "can be read in two ways", advice)
        return float(decimal.replace(",", "."))
    top, bottom = int(part[f"top{n}"]), int(part[f"bottom{n}"])
    if bottom == 0:
        raise ValueAtFault(name, repr(text), "divides by zero", "Write a fraction such as 7/8 in.")
    return int(part[f"whole{n}"] or 0) + top / bottom


def _tidy(cm: float) -> float:
    """Take off the rounding errors of binary numbers, so that 24.5 in is 62.23 and not 62.230000000000004."""
    return round(cm, 9)


def _nearest(value: float) -> int:
    """The nearest whole number, halves upwards as on a tape."""
    return math.floor(value + 0.5 + 1e-9)

"""A measure read as it is written on scrap paper: plain arithmetic on one's own numbers.

>>> names = {"hip girth": Quantity(98.0), "dart, angle": Quantity(12.0, "angle")}
>>> read_measure("hip girth ÷ 4 + 1", names).value
25.5
>>> read_measure("a quarter of the hip + 1/2 in", names).value
25.77
>>> read_measure("20 1/2", names, unit="in").value
52.07
>>> read_measure("hip girht", names)
Traceback (most recent call last):
    ...
patternlib.assess.table.measure.MeasureError: 'girht' is none of your numbers. Did you mean hip girth? Tap \
one under Your numbers, or write a measure such as 20.5.

The page reads measures by the same rules (page/measure.js); one list of examples holds both to them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ...errors import PatternError
from ...units import CM_PER_INCH

MOST_LETTERS = 200
FARTHEST = 1000.0
"""cm, degrees: no measure of a draft is larger."""


class MeasureError(PatternError):
    """A measure that cannot be read; its text says how to write it."""


@dataclass(frozen=True)
class Quantity:
    """A number with what it is: 'length' (cm), 'angle' (degrees) or 'bare' (a plain number).

    names: the numbers it was put together from; composed: it was calculated and not just written down.
    """

    value: float
    kind: str = "length"
    names: tuple[str, ...] = ()
    composed: bool = False


_GLYPHS = dict(zip("½¼¾⅛⅜⅝⅞⅓⅔", ["1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8", "1/3", "2/3"], strict=True))
_PARTS = {"half": 2, "halves": 2, "third": 3, "quarter": 4, "fourth": 4, "eighth": 8, "sixteenth": 16}
_COUNTS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "five": 5, "seven": 7}
_PART = re.compile(
    rf"(?:({'|'.join(_COUNTS)}) )?({'|'.join(sorted(_PARTS, key=len, reverse=True))})s?(?: of)?(?![a-z0-9])"
)
_NUMBER = re.compile(r"(?:(\d+) +)?(\d+)/(\d+)(?![\d.,]*\d)|(\d+(?:[.,]\d+)?|[.,]\d+)")
_UNITS = {
    "cm": ("cm", "centimetres", "centimetre", "centimeters", "centimeter"),
    "mm": ("mm", "millimetres", "millimetre", "millimeters", "millimeter"),
    "m": ("m", "metres", "metre", "meters", "meter"),
    "in": ("inches", "inch", "in", '"', "″", "”", "''"),
    "ft": ("feet", "foot", "ft", "'", "′", "’"),
    "°": ("degrees", "degree", "°"),
}
_CM = {"cm": 1.0, "mm": 0.1, "m": 100.0, "in": CM_PER_INCH, "ft": 12 * CM_PER_INCH}
_SPELT = {word: unit for unit, words in _UNITS.items() for word in words}
_UNIT = re.compile(
    rf" ?({'|'.join(re.escape(w) for w in sorted(_SPELT, key=len, reverse=True))})(?![a-z0-9])"
)
_SIGN = re.compile(r"([+−×÷()])|(plus|less|minus|times|divided by)(?![a-z])")
_SIGNS = {"plus": "+", "less": "−", "minus": "−", "times": "×", "divided by": "÷"}
_WAIT = re.compile(r"(?:the|my|of)(?![a-z0-9])")
_WORD = re.compile(r"[^+−×÷()]+")

Token = tuple[str, Quantity | str]


def plain(text: str) -> str:
    """The text in small letters with one kind of each sign and one blank between words."""
    for glyph, fraction in _GLYPHS.items():
        text = text.replace(glyph, f" {fraction}")
    for signs, sign in (("-–", "−"), ("*·", "×"), (":", "÷"), ("\u2044", "/")):
        for one in signs:
            text = text.replace(one, sign)
    return re.sub(r"\s+", " ", text.casefold()).strip()


def read_measure(
    text: str, names: Mapping[str, Quantity], *, wanted: str = "length", unit: str = "cm"
) -> Quantity:
    """What a written measure comes to; a bare number is a length in `unit`, or of the kind that is wanted.

    wanted: 'length' (cm), 'angle' (degrees), 'share' (a plain number) or 'number' (a length, or an angle
    where the numbers in it are angles). Raises MeasureError with a sentence that says what to do.
    """
    if len(text) > MOST_LETTERS:
        raise MeasureError(f"This is longer than {MOST_LETTERS} letters: calculate a part of it first.")
    if twice := re.search(r"\d+[-–]\d+/\d+", text):
        first, second = re.split("[-–]", twice[0])
        raise MeasureError(
            f"'{twice[0]}' can be read in two ways: write {first} {second}, "
            f"or {first} − {second} with blanks."
        )
    tokens = list(_tokens(plain(text), names))
    if not tokens:
        raise MeasureError("Write a measure, such as 20.5, or tap one of your numbers.")
    reader = _Reader(tokens, unit)
    found = reader.total()
    if reader.left():
        raise MeasureError(f"{_shown(reader.left()[0])} does not belong here. Write +, −, × or ÷ before it.")
    kind = {"number": "length" if found.kind == "bare" else found.kind, "share": "bare"}.get(wanted, wanted)
    found = _as(found, kind, unit)
    if not abs(found.value) <= FARTHEST:
        raise MeasureError(f"This comes to {found.value:.0f}; no measure of a draft is over {FARTHEST:.0f}.")
    used = tuple(dict.fromkeys(t.names[0] for k, t in tokens if k == "name"))
    composed = sum(kind in ("name", "number") for kind, _ in tokens) > 1 or bool(used)
    return Quantity(round(found.value, 9) + 0.0, found.kind, used, composed)


def uses(text: str, numbers: Iterable[str]) -> tuple[str, ...]:
    """The names of numbers that a written measure uses, even where it cannot be read whole."""
    found = []
    try:
        for kind, token in _tokens(plain(text), {name: Quantity(1.0) for name in numbers}):
            if kind == "name":
                found.append(token.names[0])
    except MeasureError:
        pass
    return tuple(dict.fromkeys(found))


def _tokens(text: str, names: Mapping[str, Quantity]) -> Iterator[Token]:
    """The text in pieces: ('name' or 'number', its quantity), ('part', a fraction to take), ('sign', it)."""
    known = _spelt(names)
    at = 0
    while at < len(text):
        if text[at] == " ":
            at += 1
            continue
        name = next((n for n in known if text.startswith(n, at) and not _goes_on(text, at + len(n))), None)
        if name:
            own = known[name]
            yield "name", Quantity(names[own].value, names[own].kind, (own,))
            at += len(name)
        elif found := _SIGN.match(text, at):
            yield "sign", found[1] or _SIGNS[found[2]]
            at = found.end()
        elif text[at] == "x" and not _goes_on(text, at + 1):
            yield "sign", "×"
            at += 1
        elif text[at] == "/":
            yield "sign", "÷"
            at += 1
        elif found := _PART.match(text, at):
            yield "part", Quantity(_COUNTS[found[1] or "a"] / _PARTS[found[2]], "bare")
            at = found.end()
        elif found := _WAIT.match(text, at):
            at = found.end()
        elif found := _NUMBER.match(text, at):
            value, at = _number(found), found.end()
            unit = _UNIT.match(text, at)
            if unit:
                at = unit.end()
                spelt = _SPELT[unit[1]]
                yield (
                    "number",
                    (
                        Quantity(value, "angle")
                        if spelt == "°"
                        else Quantity(value * _CM[spelt], "length", (spelt,))
                    ),
                )
            else:
                yield "number", Quantity(value, "bare")
        else:
            word = _WORD.match(text, at)
            said = (word[0] if word else text[at:]).strip()[:40]
            raise MeasureError(
                f"'{said}' is none of your numbers.{_meant(said, names)} Tap one under "
                "Your numbers, or write a measure such as 20.5."
            )


def _meant(said: str, names: Iterable[str]) -> str:
    """A question with the names of which a word begins as the first word said does, two at most."""
    begins = said.split(" ")[0][:3]
    near = [n for n in names if len(begins) == 3 and any(w.startswith(begins) for w in plain(n).split(" "))]
    return f" Did you mean {' or '.join(near[:2])}?" if near else ""


def _spelt(names: Mapping[str, Quantity]) -> dict[str, str]:
    """How each name may be written, the longest first; 'girth' may be left out."""
    found = {plain(name): name for name in names}
    for name in names:
        if name.endswith(" girth"):
            found.setdefault(plain(name.removesuffix(" girth")), name)
    return dict(sorted(found.items(), key=lambda entry: -len(entry[0])))


def _goes_on(text: str, at: int) -> bool:
    return at < len(text) and text[at].isalnum()


def _number(found: re.Match) -> float:
    whole, top, bottom, decimal = found.groups()
    if decimal:
        if re.fullmatch(r"\d{1,3},\d{3}", decimal):
            raise MeasureError(f"'{decimal}' can be read in two ways: write decimals with a point.")
        return float(decimal.replace(",", "."))
    if int(bottom) == 0:
        raise MeasureError("Nothing can be divided by 0.")
    return int(whole or 0) + int(top) / int(bottom)


class _Reader:
    """Reads sums, products and brackets from tokens, from left to right."""

    def __init__(self, tokens: list[Token], unit: str):
        self.tokens, self.at, self.unit = tokens, 0, unit

    def left(self) -> list[Token]:
        return self.tokens[self.at :]

    def _next(self, *signs: str) -> str:
        if self.left() and self.left()[0][0] == "sign" and self.left()[0][1] in signs:
            self.at += 1
            return self.tokens[self.at - 1][1]
        return ""

    def total(self) -> Quantity:
        found = self.product()
        while sign := self._next("+", "−"):
            found = self._add(found, self.product(), 1 if sign == "+" else -1)
        return found

    def product(self) -> Quantity:
        found = self.factor()
        while True:
            if sign := self._next("×", "÷"):
                found = (_times if sign == "×" else _over)(found, self.factor())
            elif (
                found.kind == "bare"
                and self.left()
                and (self.left()[0][0] in ("name", "part") or self.left()[0] == ("sign", "("))
            ):
                found = _times(found, self.factor())  # 1/4 hip, 0.22 of (...)
            else:
                return found

    def factor(self) -> Quantity:
        if self._next("−"):
            found = self.factor()
            return Quantity(-found.value, found.kind)
        if self._next("+"):
            return self.factor()
        if self._next("("):
            found = self.total()
            if not self._next(")"):
                raise MeasureError("A bracket is open: write ) where it ends.")
            return found
        if not self.left():
            raise MeasureError("Something is missing at the end: write a measure, or tap a number.")
        kind, found = self.left()[0]
        if kind == "sign":
            raise MeasureError(f"Something is missing before {found}: write a measure, or tap a number.")
        self.at += 1
        if kind == "part":
            alone = not self.left() or self.left()[0][1] in ("+", "−", "×", "÷", ")")
            return found if alone else _times(found, self.factor())
        if found.names == ("ft",) and self.left() and self.left()[0][1].__class__ is Quantity:
            inches = self.left()[0][1]
            if inches.names == ("in",):  # 5' 3"
                self.at += 1
                return Quantity(found.value + inches.value, "length")
        return found

    def _add(self, a: Quantity, b: Quantity, sign: int) -> Quantity:
        kind = b.kind if a.kind == "bare" else a.kind
        if kind == "bare":
            return Quantity(a.value + sign * b.value, "bare")
        return Quantity(_as(a, kind, self.unit).value + sign * _as(b, kind, self.unit).value, kind)


def _times(a: Quantity, b: Quantity) -> Quantity:
    if a.kind == b.kind == "length":
        raise MeasureError("Two lengths multiplied give an area, and no measure.")
    kind = "length" if "length" in (a.kind, b.kind) else "angle" if "angle" in (a.kind, b.kind) else "bare"
    return Quantity(a.value * b.value, kind)


def _over(a: Quantity, b: Quantity) -> Quantity:
    if b.value == 0:
        raise MeasureError("Nothing can be divided by 0.")
    if a.kind == b.kind:
        return Quantity(a.value / b.value, "bare")
    if b.kind != "bare":
        raise MeasureError("A plain number cannot be divided by a measure: write them the other way round.")
    return Quantity(a.value / b.value, a.kind)


def _as(found: Quantity, kind: str, unit: str) -> Quantity:
    """A quantity as the kind that is wanted; a bare number takes its unit now."""
    if found.kind == kind:
        return found
    if found.kind == "bare":
        return Quantity(found.value * (_CM[unit] if kind == "length" else 1.0), kind)
    meant = {"length": "a length", "angle": "an angle in degrees", "bare": "a plain number"}
    raise MeasureError(f"This comes to {meant[found.kind]}; here belongs {meant[kind]}.")


def _shown(token: Token) -> str:
    kind, what = token
    if kind == "sign":
        return f"'{what}'"
    return f"'{what.names[0]}'" if what.names else f"'{what.value:g}'"

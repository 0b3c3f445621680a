"""One style value of a board: its name in the trade's words, its limits, the step of the hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import ValueAtFault, unknown
from ..units import in_unit, write_length


@dataclass(frozen=True)
class Slider:
    """A style value that the hand can move between two limits.

    name: the keyword of the style value; label: what the student reads; low, high, step, start: in `unit`;
    unit: 'cm' (also shown in inches), 'degrees', '%' or '' for a count; why: one sentence, shown on hover;
    choices: words to choose from, whose numbers from 0 are then the values, see `choice`.
    Raises ValueAtFault when the limits are the wrong way round or the start lies outside them.

    >>> Slider("yoke_depth", "Yoke depth", 5, 12, 0.1, 7.5).accept(8)
    8.0
    """

    name: str
    label: str
    low: float
    high: float
    step: float
    start: float
    unit: str = "cm"
    why: str = ""
    choices: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.low < self.high:
            raise ValueAtFault(self.name, self.low, f"must be smaller than the upper limit {self.high:g}")
        if not self.step > 0:
            raise ValueAtFault(self.name, self.step, "must be a step greater than 0")
        if self.unit not in ("cm", "degrees", "%", ""):
            raise ValueAtFault(self.name, self.unit, "must be 'cm', 'degrees', '%' or '' for a count")
        self.accept(self.start)

    def accept(self, value: object) -> float:
        """Return the value as a number within the limits; raises ValueAtFault with the limits in words.

        A choice may be given by its words; UnknownName for other words.

        >>> Slider("yoke_depth", "Yoke depth", 5, 12, 0.1, 7.5).accept(75)
        Traceback (most recent call last):
            ...
        patternlib.errors.ValueAtFault: yoke_depth: 75 must lie between 5 and 12 cm. Were these millimetres?
        """
        if self.choices and isinstance(value, str):
            if value not in self.choices:
                raise unknown(self.label.lower(), value, self.choices)
            value = self.choices.index(value)
        unit = f" {self.unit}" if self.unit else ""
        rule = f"must lie between {self.low:g} and {self.high:g}{unit}"
        try:
            number = float(value)  # type: ignore[arg-type]
        except (TypeError, ValueError):
            raise ValueAtFault(self.name, value, rule, "Give a number.") from None
        if not math.isfinite(number):
            raise ValueAtFault(self.name, value, rule, "Give a number.")
        slack = 1e-6 * max(1.0, abs(number))
        if not self.low - slack <= number <= self.high + slack:
            millimetres = self.unit == "cm" and self.low <= number / 10 <= self.high
            raise ValueAtFault(self.name, value, rule, "Were these millimetres?" if millimetres else "")
        number = min(max(number, float(self.low)), float(self.high))
        return float(round(number)) if self.choices else number

    def shown(self, value: float, unit: str = "cm") -> str:
        """Return label, value and unit as text; a length in `unit`, 'cm' or 'in'.

        >>> slider = Slider("yoke_depth", "Yoke depth", 5, 12, 0.1, 7.5)
        >>> slider.shown(7.5), slider.shown(7.62, "in")
        ('Yoke depth 7.5 cm', 'Yoke depth 3 in')
        """
        if self.choices:
            return f"{self.label} {in_unit(self.choices[round(value)], unit)}"
        if self.unit == "cm" and unit == "in":
            return f"{self.label} {write_length(value, 'in', parts=8)}"
        return f"{self.label} {round(value, 3):g}{' ' + self.unit if self.unit else ''}"

    def packed(self) -> list:
        """Return the slider as the page takes it; last, reason and choices with their lengths in inches."""
        inches = [in_unit(self.why, "in"), [in_unit(words, "in") for words in self.choices]]
        number = (self.name, self.label, self.low, self.high, self.step, float(self.start), self.unit)
        return [*number, self.why, self.choices, *inches]


def choice(name: str, label: str, choices: Sequence[str], *, start: int = 0, why: str = "") -> Slider:
    """A choice among words (two or more), where a board shows a list instead of a slider.

    >>> choice("end", "End of the seam", ("start", "end")).accept("end")
    1.0
    """
    return Slider(name, label, 0, len(choices) - 1, 1, start, "", why, tuple(choices))

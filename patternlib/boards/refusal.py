"""A refusal in the words of a board: labels in place of code names, lengths in the unit that is shown."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from ..errors import PatternError, ValueAtFault
from ..garments import garment_names, style_values
from ..garments.base import StyleValue
from ..survey import measures
from ..units import in_unit, write_length
from .slider import Slider


def refusal_text(
    fault: PatternError, sliders: Mapping[str, Slider] = MappingProxyType({}), unit: str = "cm"
) -> str:
    """Return the sentence of a refusal for a reader of a board or a lesson.

    sliders: by name, those of the board and any others whose words may be needed; unit: 'cm' or 'in'.

    >>> fault = ValueAtFault("yoke_depth", 12.7, "is deeper than this skirt", "Take 11.6 cm or less.")
    >>> refusal_text(fault, {"yoke_depth": Slider("yoke_depth", "Yoke depth", 5, 14, 0.1, 7)}, "in")
    'Yoke depth: 5 in is deeper than this skirt. Take 4 1/2 in or less.'
    """
    text = str(fault)
    if isinstance(fault, ValueAtFault):
        name = str(fault.name)
        rest = f"{fault.rule}." + (f" {fault.advice}" if fault.advice else "")
        text = f"{_label(name, sliders)}: {_amount(name, fault.got, sliders, unit)} {rest}"
    return said_on_board(text, sliders, unit)


def said_on_board(text: str, sliders: Mapping[str, Slider], unit: str) -> str:
    """Return a sentence with labels in place of code names, its lengths in the unit.

    >>> yoke = Slider("yoke_depth", "Yoke depth", 5, 14, 0.1, 7)
    >>> said_on_board("take yoke_depth 8 cm.", {"yoke_depth": yoke}, "in")
    'take yoke depth 3 1/8 in.'
    """
    return in_unit(_labelled(text, sliders), unit)


def _style(name: str) -> StyleValue | None:
    """The style value of that code name, of two words or more, in any garment."""
    if "_" not in name:
        return None  # a block may call another thing by so short a name
    return next((v for garment in garment_names() for v in style_values(garment) if v.name == name), None)


def _label(name: str, sliders: Mapping[str, Slider]) -> str:
    if name in sliders:
        return sliders[name].label
    style = _style(name)
    words = style.label if style else measures()[name].term if name in measures() else name.replace("_", " ")
    return words[:1].upper() + words[1:]


def _amount(name: str, got: object, sliders: Mapping[str, Slider], unit: str) -> str:
    if isinstance(got, bool) or not isinstance(got, int | float):
        return f"{got}"
    slider = sliders.get(name)
    if slider and slider.choices:
        return slider.choices[round(got)]
    style = _style(name)
    kind = slider.unit if slider else style.unit if style else "cm" if name in measures() else ""
    if kind == "cm":
        return write_length(got, unit, parts=8, decimals=2 if unit == "cm" else None)
    return f"{round(got, 2):g}{f' {kind}' if kind else ''}"


def _labelled(text: str, sliders: Mapping[str, Slider]) -> str:
    """The text with every code name of two words or more in the words of its slider."""
    known = {
        **{name: m.term for name, m in measures().items()},
        **{s.name: s.label for s in sliders.values()},
    }

    def words(found: re.Match[str]) -> str:
        label = known[found[0]]
        return (label[:1].lower() if found.start() else label[:1].upper()) + label[1:]

    names = "|".join(sorted((re.escape(n) for n in known if "_" in n), key=len, reverse=True))
    return re.sub(rf"\b(?:{names})\b", words, text) if names else text

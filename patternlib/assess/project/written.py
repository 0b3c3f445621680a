"""What is typed into the project's form becomes measures, style, cloth, walks, or a sentence for a field.

>>> found = read_project({"measures|hip_girth|length": "41 in", "style||garment": "kimono"})
>>> found.measures, found.garment
({'hip_girth': 104.14}, 'pinafore')
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from ...body import Body
from ...errors import PatternError
from ...garments import garment_names, make, style_values
from ...garments.base import Garment
from ...survey import measures
from ...units import read_length
from .questions import GARMENT, SEX, UNIT, sections

FARTHEST = 2000.0
"""cm."""


@dataclass
class Project:
    """The form as it was read, lengths in cm.

    typed: every field that is filled; faults: a sentence by field; measures: by name; body: None where it
    cannot be; body_fault, garment_fault: why; style: by name; made: the garment, None where it cannot be
    drawn.
    """

    typed: dict[str, str]
    garment: str = "pinafore"
    measures: dict[str, float] = field(default_factory=dict)
    style: dict[str, float] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)
    body: Body | None = None
    body_fault: str = ""
    made: Garment | None = None
    garment_fault: str = ""

    def text(self, section: str, part: str, line: object = "") -> str:
        """What stands in a field, '' where it is empty."""
        return self.typed.get(f"{section}|{line}|{part}", "")

    def length(self, section: str, part: str, line: object = "") -> float | None:
        """A length, cm; None where the field is empty or cannot be read."""
        key = f"{section}|{line}|{part}"
        if key not in self.typed:
            return None
        try:
            cm = read_length(self.typed[key], self.unit)
        except PatternError as fault:
            self.faults[key] = str(fault).removeprefix("length: ")
            return None
        if abs(cm) > FARTHEST:
            self.faults[key] = "This is more than 20 metres. Look at its unit."
            return None
        return round(cm, 4)

    def count(self, section: str, part: str) -> int | None:
        """A whole number; None where the field is empty or holds something else."""
        text = self.text(section, part)
        if text and not (text.isascii() and text.isdecimal() and len(text) < 5):
            self.faults[f"{section}||{part}"] = "Write a whole number here, such as 18."
            return None
        return int(text) if text else None

    @property
    def unit(self) -> str:
        return "in" if self.typed.get(UNIT) == "in" else "cm"

    def lines(self, section: str) -> list[int]:
        """The numbers of the lines of a section in which something stands."""
        found = {int(m[1]) for k in self.typed if (m := re.fullmatch(rf"{section}\|(\d{{1,3}})\|\w+", k))}
        most = next(s.most for s in sections() if s.key == section)
        return sorted(n for n in found if 1 <= n <= most)


def read_project(typed: Mapping[str, str]) -> Project:
    """Read the whole form; what cannot be read is left out and said."""
    found = Project({k: " ".join(v.split()) for k, v in typed.items() if v.strip()})
    named = found.typed.get(GARMENT, "")
    found.garment = named if named in garment_names() else garment_names()[0]
    for name in measures():
        cm = found.length("measures", "length", name)
        if cm is not None:
            found.measures[name] = cm
    _body(found)
    _style(found)
    _all_else(found)
    return found


def _body(found: Project) -> None:
    lacking = [n for n in ("bust_girth", "waist_girth", "hip_girth") if n not in found.measures]
    if lacking:
        found.body_fault = f"Measure {_and(lacking)} too: without it nothing can be drawn."
        return
    sex = "men" if found.typed.get(SEX) == "men" else "women"
    try:
        found.body = Body(**found.measures, sex=sex)
    except PatternError as fault:
        found.body_fault = _in_words(fault)


def _style(found: Project) -> None:
    counted = {v.name: v for v in style_values(found.garment) if not v.unit}
    for n in found.lines("style"):
        name, text = found.text("style", "value", n).replace(" ", "_"), found.text("style", "is", n)
        if not name or not text:
            continue
        if name in found.style:
            found.faults[f"style|{n}|value"] = "This value stands in another line already: keep one of them."
        elif name in counted:
            words = [choice.casefold() for choice in counted[name].choices]
            if text.casefold() in words:
                found.style[name] = float(words.index(text.casefold()))
                continue
            found.style[name] = float(text) if re.fullmatch(r"[0-9]{1,3}", text) else -1.0
            if found.style[name] < 0:
                asked = f"Write {counted[name].span} here" if words else "Write a whole number here"
                found.faults[f"style|{n}|is"] = f"{asked}, as lesson 16 has it."
        elif (cm := found.length("style", "is", n)) is not None:
            found.style[name] = cm
    if found.body is None:
        return
    try:
        found.made = make(found.garment, found.body, **found.style)  # type: ignore[arg-type]
    except PatternError as fault:
        found.garment_fault = _in_words(fault)
    except (TypeError, ValueError):
        found.garment_fault = "One of the values cannot be read. Look at each of them again."


def _in_words(fault: PatternError) -> str:
    """A sentence with the names of measures and style values as the form writes them: hip girth."""
    return re.sub(r"\b[a-z]+(_[a-z]+)+\b", lambda name: name[0].replace("_", " "), str(fault))


def _all_else(found: Project) -> None:
    """Read every other length and count once, to have a sentence beside each that cannot be read."""
    for section in sections():
        for part in section.once:
            if part.kind == "count":
                found.count(section.key, part.key)
            elif part.kind == "length":
                found.length(section.key, part.key)
        if section.lines and section.key != "style":
            for n in found.lines(section.key):
                for part in (p for p in section.parts if p.kind == "length"):
                    found.length(section.key, part.key, n)


def _and(names: list[str]) -> str:
    shown = [n.replace("_", " ") for n in names]
    return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + " and " + shown[-1]

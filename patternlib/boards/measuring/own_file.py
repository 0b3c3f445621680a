"""The file of own measures as the form writes it and finds it again.

Values stand in it in cm, as every lesson reads them; below them what only checks a draft, and what was typed.
"""

from __future__ import annotations

import json
import math
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ...body import NOTES
from ...errors import PatternError
from ...survey import measures, spellings
from ...toml_text import read_toml
from ...units import read_length
from .measures_asked import asked
from .reading import OVER, READINGS, SEX, UNIT, Reading, read_typed

FILE = "me.toml"
OLD = "me before the form.toml"


def as_toml(read: Reading, typed: Mapping[str, str]) -> str:
    """The text of the file: measures in cm, those that only check, and the readings as they were typed.

    >>> typed = {"bust_girth|1": "34 1/2", "unit": "in"}
    >>> print(as_toml(read_typed(typed), typed))
    # My measures in cm, written by the form of lesson 01.
    sex = "women"
    bust_girth = 87.6
    <BLANKLINE>
    [readings]
    unit = "in"
    "bust_girth 1" = "34 1/2"
    <BLANKLINE>
    """
    lines = ["# My measures in cm, written by the form of lesson 01.", f'sex = "{read.sex}"']
    if read.over:
        lines.append(f"over = {_quoted(read.over)}")
    values = {
        one.name: math.floor(read.values[one.name] * 10 + 0.5) / 10
        for one in asked()
        if one.name in read.values
    }
    lines += [f"{name} = {cm:g}" for name, cm in values.items() if name in measures()]
    checks = [f"{name} = {cm:g}" for name, cm in values.items() if name not in measures()]
    if checks:
        lines += ["", "[also]", *checks]
    lines += ["", "[readings]", f'unit = "{read.unit}"']
    for one in asked():
        for n in READINGS:
            if text := typed.get(f"{one.name}|{n}", "").strip():
                lines.append(f'"{one.name} {n}" = {_quoted(text[:40])}')
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return json.dumps("".join(c for c in text if c.isprintable()), ensure_ascii=False)


def save(text: str, folder: Path) -> str:
    """Write the file in one move; returns '' or a sentence. A file of another hand is kept beside it."""
    path = folder / FILE
    try:
        if path.is_file() and "[readings]" not in path.read_text(encoding="utf-8-sig", errors="replace"):
            os.replace(path, folder / OLD)
        part = path.with_suffix(".part")
        part.write_text(text, encoding="utf-8")
        os.replace(part, path)
    except OSError as fault:
        return (
            f"{FILE} cannot be written into this folder ({fault.strerror}). Write your numbers on paper too."
        )
    return ""


def found(folder: Path) -> tuple[dict[str, str], str]:
    """What a saved file says, as fields of the form, and a sentence where it cannot be read."""
    path = folder / FILE
    if not path.is_file():
        return {}, ""
    try:
        return _typed(read_toml(path)), ""
    except (PatternError, ValueError) as why:
        return {}, f"{FILE} cannot be read: {why}. It is kept as “{OLD}” when you write here."


def _typed(record: Mapping) -> dict[str, str]:
    readings = record.get("readings", {})
    readings = readings if isinstance(readings, Mapping) else {}
    names = {one.name for one in asked()}
    unit = readings.get("unit") or record.get("unit")
    typed = {UNIT: "in" if unit == "in" else "cm"}
    for key, text in readings.items():
        name, _, n = str(key).rpartition(" ")
        if name in names and n in ("1", "2", "3") and isinstance(text, str):
            typed[f"{name}|{n}"] = text[:40]
    for key, word in ((SEX, record.get("sex")), (OVER, record.get("over"))):
        if isinstance(word, str) and word:
            typed[key] = word[:80]
    also = record.get("also", {})
    given: dict[str, Any] = {k: v for k, v in record.items() if k not in (*NOTES, SEX, UNIT, "estimated")}
    given |= also if isinstance(also, Mapping) else {}
    said = read_typed(typed).values
    for key, value in given.items():
        spelt = str(key).strip().lower().replace(" ", "_").replace("-", "_")
        name = spellings().get(spelt, spelt)
        if name not in names or isinstance(value, bool) or not isinstance(value, int | float | str):
            continue
        try:
            cm = read_length(value, record.get("unit", "cm"))
        except ValueError:
            cm = None
        if cm is None or name not in said or abs(said[name] - cm) > 0.06:  # written by hand since
            for number in READINGS:
                typed.pop(f"{name}|{number}", None)
            typed[f"{name}|1"] = value[:40] if isinstance(value, str) else _text(value, record)
    return typed


def _text(value: float, record: Mapping) -> str:
    return f"{value:g} {record.get('unit', 'cm')}"

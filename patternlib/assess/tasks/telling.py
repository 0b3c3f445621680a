"""Hints: three sentences or so for each exercise, and the drafting steps where they are told from the start.

>>> hints("02a")[0]
'Work from the top left: everything hangs from the waist at centre back.'
>>> guided("02a"), guided("02b")
(True, False)
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from .exercise import Exercise
from .own_numbers import OwnNumbers


@cache
def _told() -> Mapping[str, Mapping[str, Any]]:
    return tomllib.loads(Path(__file__).with_name("hints.toml").read_text(encoding="utf-8"))


def hints(id: str) -> tuple[str, ...]:
    """The hints of an exercise, each tells more than the one before; none for an unknown exercise."""
    return tuple(_told().get(id, {}).get("hints", ()))


def guided(id: str) -> bool:
    """Whether the drafting steps are told from the start; else they are the last hint."""
    return bool(_told().get(id, {}).get("guided", False))


def told(work: Exercise, of: OwnNumbers) -> dict[str, Any]:
    """What a page tells of an exercise: its hints, and its drafting steps in either unit."""
    steps = {unit: list(work.sheet(of, unit)) for unit in ("cm", "in")}
    shown = list(work.hints or hints(work.id))
    return {"guided": work.guided or guided(work.id), "hints": shown, "steps": steps}

"""What a check finds: one thing, with its severity, its figures and a sentence with the next move."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..geometry import Point

SEVERITIES = {
    "error": "must be put right",
    "warning": "look at",
    "note": "for your notes",
    "unchecked": "not checked here",
}
"""Severity as written in data, and as said to a reader."""


@dataclass(frozen=True)
class Finding:
    """One thing a check found.

    code: stable, see the module; severity: 'error', 'warning', 'note' or, where a package is missing,
    'unchecked'; where: piece and edge, or seam; got, want, tolerance: cm, degrees or a count, None where
    nothing is measured (what is not a finite number becomes None); text: a sentence with the next move,
    lengths in cm; at: (piece name, point) for a mark on the drawing.
    """

    code: int
    severity: str
    where: str
    got: float | None
    want: float | None
    tolerance: float | None
    text: str
    at: tuple[str, Point] | None = None

    def __post_init__(self):
        for name in ("got", "want", "tolerance"):
            number = getattr(self, name)
            if number is not None and not math.isfinite(number):
                object.__setattr__(self, name, None)

    def to_dict(self) -> dict:
        names = ("code", "severity", "where", "got", "want", "tolerance", "text")
        return {name: getattr(self, name) for name in names}

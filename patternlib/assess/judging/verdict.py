"""What a verdict is made of: a line for each thing asked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Line:
    """The verdict on one thing asked.

    verdict: 'right', 'carried' (right given an earlier step), 'near' (half of the mark), 'off' or 'missing';
    got, want: cm, degrees, [x, y] or the length of a curve; gap: how far off, cm or degrees;
    slip: its code or None; text: the sentence; mark out of weight; at: the step at which the slip was made;
    about: what the slip took for what; allowed: how far off it may be, cm or degrees.
    """

    step: str
    verdict: str
    got: Any
    want: Any
    gap: float | None
    slip: str | None
    text: str
    mark: float
    weight: float
    at: str = ""
    about: tuple[str, ...] = ()
    allowed: float | None = None

    def to_dict(self) -> dict:
        return {
            "step": self.step,
            "verdict": self.verdict,
            "got": self.got,
            "want": self.want,
            "slip": self.slip,
            "text": self.text,
            "gap": self.gap,
            "mark": self.mark,
            "out_of": self.weight,
            "at": self.at,
            "allowed": self.allowed,
        }


@dataclass(frozen=True)
class Verdict:
    """The verdict on one record: mark out of a total, and a line for each thing asked."""

    exercise: str
    student: str
    mark: float
    out_of: float
    lines: tuple[Line, ...]
    remarks: tuple[str, ...] = ()

    def to_dict(self) -> dict:
        return {
            "exercise": self.exercise,
            "student": self.student,
            "mark": self.mark,
            "out_of": self.out_of,
            "lines": [line.to_dict() for line in self.lines],
            "remarks": list(self.remarks),
        }

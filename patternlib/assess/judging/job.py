"""What goes into a judging process and what comes out of it, as plain typed data."""

from __future__ import annotations

from pathlib import Path

import msgspec

SOURCE = Path(__file__).resolve().parents[3]
"""The folder from which this patternlib was imported."""


class Job(msgspec.Struct, frozen=True):
    """record: the record as JSON text; numbers: the id whose own numbers are asked; key: the class's key;
    rubric: the text of the instructor's TOML file, '' for the course's own."""

    record: str
    numbers: str
    key: str = ""
    rubric: str = ""


class Lines(msgspec.Struct):
    """What is drawn, flattened, in cm: points by name, and lines as lists of points by name."""

    points: dict[str, tuple[float, float]] = {}
    lines: dict[str, list[tuple[float, float]]] = {}


class Judged(msgspec.Struct):
    """verdict: as `Verdict.to_dict` gives it, empty where `problem` says why; own, target: what to draw;
    steps: what each step is for that went wrong."""

    verdict: dict = {}
    problem: str = ""
    own: Lines = msgspec.field(default_factory=Lines)
    target: Lines = msgspec.field(default_factory=Lines)
    steps: dict[str, str] = {}

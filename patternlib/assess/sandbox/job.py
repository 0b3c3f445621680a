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


class Judged(msgspec.Struct):
    """verdict: as `Verdict.to_dict` gives it, empty where `problem` says why; picture: the draft over the
    rule's, HTML of our own making; rule: where the rule has the points that were handed in, cm; steps: what
    each step is for that went wrong; replayed: whether the steps of a drafting table, or the places read
    on a photograph, give the very draft: 'same', 'differs', '' where there are none; levels: of a project,
    proposed by criterion; settled: judging it again would give the same."""

    verdict: dict = {}
    problem: str = ""
    picture: str = ""
    rule: dict[str, tuple[float, float]] = {}
    steps: dict[str, str] = {}
    replayed: str = ""
    levels: dict[str, int] = {}
    settled: bool = True

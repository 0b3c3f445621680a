"""What happens to one record in a judging process: its verdict, and the lines to draw beside the target."""

from __future__ import annotations

import tempfile
from functools import lru_cache
from pathlib import Path

import msgspec

from ...draft import Draft, Step
from ...geometry import Curve, Point
from ...tolerances import HAND
from ..tasks.catalogue import exercise
from ..tasks.record import Record, read
from .job import Job, Judged, Lines
from .judgement import judge
from .rubric import Rubric, load_rubric


def judged(job: Job) -> Judged:
    """Judge a record on the numbers of `job.numbers`; raises PatternError where it cannot be read."""
    record = msgspec.structs.replace(read(job.record), student=job.numbers)
    verdict = judge(record, rubric=_rubric(job.rubric), key=job.key).to_dict()
    work = exercise(record.exercise)
    reference = work.reference(work.own_numbers(job.numbers, job.key))
    wrong = [line["step"] for line in verdict["lines"] if line["verdict"] in ("off", "missing")]
    steps = {name: _purpose(reference.step(name)) for name in wrong if name in reference}
    return Judged(verdict=verdict, own=_own(record), target=_target(reference, record), steps=steps)


@lru_cache(maxsize=4)
def _rubric(text: str) -> Rubric:
    """The rubric of a TOML text that may have come from another machine."""
    if not text:
        return load_rubric()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "rubric.toml")
        path.write_text(text, encoding="utf-8")
        return load_rubric(path)


def _purpose(step: Step) -> str:
    return step.reason or step.source


def _own(record: Record) -> Lines:
    values = record.values()
    lines = {name: _flat(value) for name, value in values.items() if isinstance(value, Curve)}
    for piece, finish in record.finish.items():
        if finish.cut_line:
            lines[f"cut line of {piece}"] = [*finish.cut_line, finish.cut_line[0]]
    points = {name: (value.x, value.y) for name, value in values.items() if isinstance(value, Point)}
    return Lines(points, lines)


def _target(reference: Draft, record: Record) -> Lines:
    """The rule's points and lines of the names that were handed in; nothing that was not attempted."""
    points = {n: (p.x, p.y) for n, p in reference.points().items() if n in record.points}
    lines = {n: _flat(c) for n, c in reference.curves().items() if n in record.curves}
    return Lines(points, lines)


def _flat(curve: Curve) -> list[tuple[float, float]]:
    return [(round(p.x, 3), round(p.y, 3)) for p in curve.flat(HAND / 10)]

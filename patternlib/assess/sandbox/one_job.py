"""What happens to one record in a judging process: its verdict, and the draft over the rule's."""

from __future__ import annotations

import tempfile
from functools import lru_cache
from pathlib import Path

import msgspec

from ...draft import Step
from ...errors import PatternError
from ...output.scene.worn.drawing import worn_scene
from ...output.svg import as_svg
from ..answers.pictures import over_the_rule
from ..judging.judgement import examine
from ..judging.rubric import Rubric, load_rubric
from ..learner.typed import read_typed, record_of
from ..photographed.placed import worked_again
from ..project.checks import checks_of, proposed
from ..project.levels import HIGHEST, PROJECT, criteria
from ..project.written import read_project
from ..table.laying import handed_in, lay
from ..tasks.catalogue import exercise
from ..tasks.record import Record, alike, read
from .job import Job, Judged


def judged(job: Job) -> Judged:
    """Judge a record on the numbers of `job.numbers`; raises PatternError where it cannot be read."""
    record = msgspec.structs.replace(read(job.record), student=job.numbers)
    if record.way == "project":
        return _project(record)
    verdict, examination = examine(record, rubric=_rubric(job.rubric), key=job.key)
    wrong = [line.step for line in verdict.lines if line.verdict in ("off", "missing")]
    target = examination.target
    steps = {name: _purpose(target.step(name)) for name in wrong if name in target}
    rule = {name: (p.x, p.y) for name, p in target.points().items() if name in record.points}
    picture = over_the_rule(record, examination) if record.points or record.curves or record.finish else ""
    return Judged(
        verdict=verdict.to_dict(), picture=picture, rule=rule, steps=steps, replayed=_replayed(record, job)
    )


def _project(record: Record) -> Judged:
    """A project: what can be calculated from its own values, and the levels that this proposes."""
    read_in = read_project(record.typed)
    checks = checks_of(read_in)
    levels = proposed(read_in, checks)
    lines = [
        {"step": c.what, "criterion": c.criterion, "verdict": c.verdict, "text": c.text, "aside": c.aside,
         "slip": None, "got": None, "want": None}
        for c in checks
    ]  # fmt: skip
    picture = as_svg(worn_scene(read_in.made), true_size=False, width=620) if read_in.made is not None else ""
    verdict = {"exercise": PROJECT, "student": record.student, "mark": float(sum(levels.values())),
               "out_of": float(HIGHEST * len(criteria())), "lines": lines, "remarks": []}  # fmt: skip
    return Judged(verdict=verdict, picture=picture, levels=levels)


def _replayed(record: Record, job: Job) -> str:
    """Whether what was handed in comes out again: of the steps taken on a drafting table, of the measures
    typed into the form for paper, or of the places read on a photograph."""
    if record.way == "photograph":
        return "same" if worked_again(record) else "differs"
    typed = record.way == "paper" and record.typed
    if record.way != "table" and not typed:
        return ""
    work = exercise(record.exercise)
    if typed:
        try:
            again = read(record_of(work, read_typed(work, typed), student=record.student, key=job.key))
        except PatternError:
            return "differs"
    else:
        of = work.own_numbers(record.student, job.key)
        again = read(handed_in(work, of, lay(work, of, record.steps), student=record.student))
    return "same" if alike(again, record) else "differs"


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

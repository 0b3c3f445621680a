"""What happens to one record in a judging process: its verdict, and the draft over the rule's."""

from __future__ import annotations

import tempfile
from functools import lru_cache
from pathlib import Path

import msgspec

from ...draft import Step
from ..answers.pictures import over_the_rule
from ..judging.judgement import examine
from ..judging.rubric import Rubric, load_rubric
from ..table.laying import handed_in, lay
from ..tasks.catalogue import exercise
from ..tasks.record import Record, alike, read
from .job import Job, Judged


def judged(job: Job) -> Judged:
    """Judge a record on the numbers of `job.numbers`; raises PatternError where it cannot be read."""
    record = msgspec.structs.replace(read(job.record), student=job.numbers)
    verdict, examination = examine(record, rubric=_rubric(job.rubric), key=job.key)
    wrong = [line.step for line in verdict.lines if line.verdict in ("off", "missing")]
    target = examination.target
    steps = {name: _purpose(target.step(name)) for name in wrong if name in target}
    rule = {name: (p.x, p.y) for name, p in target.points().items() if name in record.points}
    picture = over_the_rule(record, examination) if record.points or record.curves or record.finish else ""
    return Judged(
        verdict=verdict.to_dict(), picture=picture, rule=rule, steps=steps, replayed=_replayed(record, job)
    )


def _replayed(record: Record, job: Job) -> str:
    """Whether the steps taken on a drafting table, taken again, give what was handed in."""
    if record.way != "table":
        return ""
    work = exercise(record.exercise)
    of = work.own_numbers(record.student, job.key)
    laid = lay(work, of, record.steps)
    again = read(handed_in(work, of, laid, student=record.student))
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

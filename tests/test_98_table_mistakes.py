"""Every exercise drawn on the table in its listed wrong ways: the remark of the list is given.

The mistakes of the lists are turned into steps as a learner would take them, laid on the paper and judged.
Mistakes in the finish of pieces are tried in test_98_table_pieces.py.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from patternlib.assess import exercises, judge
from patternlib.assess.table.laying import lay, numbers_of
from patternlib.assess.tasks.mistakes import Mistake
from patternlib.assess.tasks.record import StepTaken
from patternlib.assess.tasks.rework import Rework
from patternlib.draft import Draft, Step
from patternlib.geometry import Point
from tests.table_steps import table_step, table_steps
from tests.test_92_common_mistakes import LISTED

LEAST = 2
"""So many mistakes of each exercise are made on the table."""
FINISHED = {"09a", "09b", "10a", "10b", "11a", "11b"}
"""Exercises in pieces: most of their mistakes are in the finish."""
UNSEEN_ON_LENA = {("02b", "the-mouth-is-not-centred")}
"""Too small on her measures to show."""


def as_taken(draft: Draft, step: Step) -> StepTaken | None:
    """A wrong step as it is taken on the table; None where no single step of a hand does it."""
    if step.op == "trace":
        value = step.options["value"]
        start = next((n for n in draft.step(step.name).inputs if isinstance(draft[n], Point)), None)
        if isinstance(value, float):
            unit = "°" if "angle" in step.name else " cm"
            return StepTaken(step.name, "note", (), f"{'− ' if value < 0 else ''}{abs(value):.6f}{unit}")
        if isinstance(value, Point) and start:
            way = value - draft[start]
            if way.length < 1e-6:  # it stays where it was
                other = next(n for n, p in draft.points().items() if p.distance(value) > 1)
                return StepTaken(step.name, "share", (start, other), "0")
            return StepTaken(step.name, "go", (start,), f"{way.length:.6f} cm", way=f"at {way.angle:.6f}°")
        return None
    taken = table_step(draft, step)
    if step.measure is not None and step.measure <= 0 and not step.measured_by:
        if step.op == "along" and step.measure == 0:
            return replace(taken, verb="share", measure="0")
        if step.op in ("parallel", "square"):
            side = "left" if taken.side == "right" else "right"
            return replace(taken, side=side, measure=f"{-step.measure:.6f} cm")
    return taken


def drawn_wrongly(id: str, mistake: Mistake, student: str) -> list[StepTaken] | None:
    """The rule's steps with the mistake made at its steps; None where it cannot be done on the table."""
    work = exercises()[id]
    of = work.own_numbers(student)
    draft, steps = work.reference(of), {s.name: s for s in table_steps(work, of)}
    for name in mistake.at:
        if mistake.change is None or name not in steps:
            return None
        wrong = mistake.change(draft.step(name), Rework(draft), work.terms, work.numbers(of))
        taken = as_taken(draft, wrong)
        if taken is None:
            return None
        steps[name] = taken
    own = numbers_of(work, of)  # they lie on the table already
    return [s for s in steps.values() if not (s.verb == "note" and s.name in own)]


@pytest.mark.parametrize("id", exercises())
def test_a_mistake_made_on_the_table_gets_the_remark_of_the_list(id):
    work = exercises()[id]
    of = work.own_numbers("lena")
    made = 0
    for mistake in (m for i, m in LISTED if i == id):
        steps = drawn_wrongly(id, mistake, "lena")
        if not steps or (id, mistake.code) in UNSEEN_ON_LENA:
            continue
        laid = lay(work, of, steps)
        assert laid.faults == {}, mistake.code
        lines = judge(work.record(of, laid.values, student="lena", way="table")).lines
        off = [line for line in lines if line.verdict == "off"]
        assert any(line.slip == mistake.code and mistake.remark in line.text for line in off), (
            mistake.code,
            [line.text for line in off],
        )
        made += 1
    assert made >= (0 if id in FINISHED else LEAST)

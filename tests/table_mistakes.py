"""The listed mistakes of the exercises as a learner takes them on the drafting table, step by step."""

from __future__ import annotations

from msgspec.structs import replace

from patternlib.assess import exercises
from patternlib.assess.table.laying import numbers_of
from patternlib.assess.tasks.mistakes import Mistake
from patternlib.assess.tasks.record import StepTaken
from patternlib.assess.tasks.rework import Rework
from patternlib.draft import Draft, Step
from patternlib.geometry import Point
from tests.table_pieces import MADE_ON_THE_TABLE, all_steps, with_names
from tests.table_steps import table_step, table_steps
from tests.test_92_common_mistakes import LISTED

OPPOSITE = {"up": "down", "down": "up", "left": "right", "right": "left"}
HARDLY_SEEN = {("02b", "the-mouth-is-not-centred")}
"""Too small on most bodies to show."""


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
        if step.op == "go" and taken.way in OPPOSITE:
            return replace(taken, way=OPPOSITE[taken.way], measure=f"{-step.measure:.6f} cm")
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


def mistaken(id: str, student: str) -> list[tuple[str, list[StepTaken]]]:
    """(remark, steps) of the listed mistakes that can be made on the table."""
    work = exercises()[id]
    of = work.own_numbers(student)
    found = []
    for mistake in (m for i, m in LISTED if i == id and (id, m.code) not in HARDLY_SEEN):
        if (id, mistake.code) in MADE_ON_THE_TABLE:
            change = MADE_ON_THE_TABLE[id, mistake.code]
            steps = with_names([change(step) for step in all_steps(work, of)])
        else:
            steps = drawn_wrongly(id, mistake, student) or []
        if steps:
            found.append((mistake.remark, steps))
    return found

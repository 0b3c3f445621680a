"""An own exercise tried on 200 made-up learners: what cannot be drawn or is not judged right, and advice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from ...errors import PatternError
from ...geometry import Curve, Point
from ...operations import Value
from ..judging.judgement import judge
from ..table.laying import handed_in, lay
from ..tasks.catalogue import with_exercise
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import numbers_for
from .own_file import OwnFile
from .own_pieces import is_for_pieces

LEARNERS = 200
KEY = "rehearsal"
FARTHEST = 300.0
"""cm: what lies farther out fits on no table."""
SAME = 0.05
"""cm, degrees: what differs less among all learners is the same for everybody."""


@dataclass(frozen=True)
class Rehearsed:
    """faults: sentences for what must be put right; advice: for what could be better; learners: tried on."""

    faults: tuple[str, ...]
    advice: tuple[str, ...]
    learners: int = LEARNERS


def rehearse(found: OwnFile, work: Exercise, learners: int = LEARNERS) -> Rehearsed:
    """Draw, do on the table and judge the answer for so many made-up learners."""
    with with_exercise(work):
        values, fallen = _drawn(found, work, learners)
    faults = [
        f"For {len(who)} of {learners} learners it does not work (the first: {who[0]}). {why}"
        for why, who in sorted(fallen.items(), key=lambda pair: -len(pair[1]))[:5]
    ]
    for name, drawn in values.items():
        if any(_reach(value) > FARTHEST for value in drawn):
            faults.append(
                f"'{name}' lies more than {FARTHEST / 100:g} m away for some learners. Look at its step."
            )
    return Rehearsed(tuple(faults), tuple(_advice(found, work, values)), learners)


def _drawn(found: OwnFile, work: Exercise, learners: int) -> tuple[dict, dict[str, list[str]]]:
    """What is asked as each learner has it, by name; and for whom it does not work, by the reason."""
    values: dict[str, list[Value]] = defaultdict(list)
    fallen: dict[str, list[str]] = defaultdict(list)
    for n in range(learners):
        who = f"learner {n + 1}"
        try:
            draft = work.draw(work.own_numbers(who, KEY))
        except PatternError as fault:
            fallen[str(fault)].append(who)
            continue
        for asked in work.steps():
            values[asked.name].append(draft[asked.name])
        for why in _on_the_table(found, work, who):
            fallen[why].append(who)
    return values, fallen


def _on_the_table(found: OwnFile, work: Exercise, who: str) -> Iterable[str]:
    """Why the answer, done on the drafting table, would not be judged wholly right; usually nothing."""
    of = work.own_numbers(who, KEY)
    laid = lay(work, of, found.steps)
    if laid.faults:
        step, why = next(iter(laid.faults.items()))
        yield f"Step '{step}': {why}"
        return
    verdict = judge(handed_in(work, of, laid, student=who), key=KEY)
    for line in verdict.lines:
        if line.verdict != "right":
            yield f"The answer itself is not judged right: {line.text}"
            return


def _advice(found: OwnFile, work: Exercise, values: dict[str, list[Value]]) -> Iterable[str]:
    alike = [name for name, drawn in values.items() if len(drawn) > 1 and _spread(drawn) < SAME]
    if alike:
        yield (
            f"{_listed(alike)}: the same for every learner, so it can be copied from a neighbour. "
            "Use a measure or a style value in it, if that makes sense."
        )
    if len(found.hints) < 3:
        yield f"There are {len(found.hints)} hints; the exercises of the course have three, each tells more."
    given = {s.name for s in work.draw(numbers_for("")) if s.op in ("trace", "start")}
    used = {name for step in found.steps for name in step.of}
    if not used & given:
        yield "No step begins at anything that lies on the paper."
    nothing = [c.name for c in found.criteria if c.levels[0].marks > 0]
    if nothing:
        yield f"{_listed(nothing)}: no level has 0 marks. Add one, for a learner who shows nothing of it."
    letters = [s.name for s in found.steps if len(s.name) < 3]
    if letters:
        yield f"{_listed(letters)}: say in a word or two what it is, since learners read the name."
    last = found.steps[-1].name if found.steps else ""
    drawn = [s for s in found.steps[:-1] if not is_for_pieces(s)]
    unused = [s.name for s in drawn if s.name not in used | set(found.marks) and found.marks]
    unused = [
        n for n in unused if not any(n in s.measure or n in s.leaving + s.arriving for s in found.steps)
    ]
    if unused:
        yield f"{_listed(unused)}: drawn, but neither asked nor used by a later step than '{last}'."


def _reach(value: Value) -> float:
    if isinstance(value, Point):
        return max(abs(value.x), abs(value.y))
    if isinstance(value, Curve):
        return max(_reach(value.start), _reach(value.end), value.length)
    return abs(value)


def _spread(drawn: list[Value]) -> float:
    first = drawn[0]
    if isinstance(first, Point):
        return max(first.distance(v) for v in drawn if isinstance(v, Point))
    if isinstance(first, Curve):
        curves = [v for v in drawn if isinstance(v, Curve)]
        return max(
            max(first.start.distance(c.start), first.end.distance(c.end), abs(first.length - c.length))
            for c in curves
        )
    return max(abs(first - v) for v in drawn if isinstance(v, int | float))


def _listed(names: list[str]) -> str:
    return ", ".join(f"'{n}'" for n in names[:6]) + (" and more" if len(names) > 6 else "")

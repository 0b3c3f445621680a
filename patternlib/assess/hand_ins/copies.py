"""Which drafts look copied: drawn on another student's numbers, or with the very points of another's."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from ...errors import PatternError
from ...tolerances import SEAM
from ..safe_text import folded
from ..tasks.own_numbers import numbers_for

FEWEST = 4
"""points, or numbers, that must agree before two drafts are called the same."""

PROJECT = "16"
LONG, FEWEST_SENTENCES = 30, 3
"""Letters of a sentence that is compared, and how many must agree."""
MOST_ALIKE = 4
"""Learners who share a sentence before it is everybody's."""


@dataclass(frozen=True)
class Copy:
    """students: whose hand-ins; exercise; why: a sentence. An indication for a talk, not a verdict."""

    students: tuple[str, ...]
    exercise: str
    why: str


def find_copies(answers) -> list[Copy]:
    """Look for likely copies among a class's answers, in what was handed in, not in what a run gave."""
    found = dict.fromkeys(_others_numbers(answers))
    for copy in (*_same_draft(answers), *_same_words(answers)):
        if not any(set(copy.students) == set(f.students) and copy.exercise == f.exercise for f in found):
            found[copy] = None
    return list(found)


def _others_numbers(answers) -> list[Copy]:
    ids = {folded(a.numbers): a for a in answers}
    given = ((a.numbers, _numbers(a.numbers, a.key)) for a in ids.values())
    drawn_on = {_spelled(own): (who, own) for who, own in given if own}
    found = []
    for answer in answers:
        claim = answer.handed_in.own_numbers
        other = drawn_on.get(_spelled({**claim.body, **claim.style}))
        if other and folded(other[0]) not in (folded(answer.numbers), folded(answer.student)):
            why = f"'{answer.student}' worked with the body and style that were given to '{other[0]}'."
            found.append(Copy((answer.student, other[0]), answer.record.exercise, why))
    return found


def _numbers(student: str, key: str) -> dict:
    try:
        given = numbers_for(student, key).to_dict()
    except PatternError:
        return {}
    return {**given["body"], **given["style"]}


def _spelled(numbers: dict) -> tuple:
    return tuple(sorted((n, round(v, 2)) for n, v in numbers.items() if isinstance(v, int | float)))


def _same_draft(answers) -> list[Copy]:
    alike: dict[tuple, list] = defaultdict(list)
    for answer in answers:
        record = answer.handed_in
        points = tuple(sorted((n, _step(x), _step(y)) for n, (x, y) in record.points.items()))
        numbers = tuple(sorted((n, _step(v)) for n, v in record.numbers.items()))
        if len(points) + len(numbers) >= FEWEST:
            alike[record.exercise, points, numbers].append(answer)
    found = []
    for (exercise, *_), group in alike.items():
        students = tuple(dict.fromkeys(a.student for a in group))
        people = len({folded(s) for s in students})
        asked = len({_wanted(a) for a in group})  # whose numbers ask for the same may well draw the same
        if people > 1 and (asked > 1 or len({folded(a.numbers) for a in group}) < people):
            why = f"The drafts of {_listed(students)} agree in every point."
            found.append(Copy(students, exercise, why))
    return found


def _same_words(answers) -> list[Copy]:
    """Projects whose longer sentences agree word for word."""
    said: dict[str, list] = defaultdict(list)
    for answer in answers:
        if answer.record.way == "project":
            for text in {folded(t) for t in answer.handed_in.typed.values() if len(t) >= LONG}:
                said[text].append(answer)
    shared: dict[tuple[str, str], int] = defaultdict(int)
    for group in said.values():
        students = sorted({a.student for a in group}, key=folded)
        if len(students) <= MOST_ALIKE:  # what half a class writes was said in the lesson
            for i, one in enumerate(students):
                for other in students[i + 1 :]:
                    shared[one, other] += 1
    return [
        Copy(pair, PROJECT, f"{count} longer sentences of {_listed(pair)} agree word for word.")
        for pair, count in shared.items()
        if count >= FEWEST_SENTENCES
    ]


def _wanted(answer) -> tuple:
    """What the rule gives for the student's own numbers, as far as it was handed in."""
    lines = answer.judged.verdict.get("lines", ())
    numbers = {x["step"]: x["want"] for x in lines if isinstance(x["want"], int | float)}
    points = tuple(sorted((n, _step(x), _step(y)) for n, (x, y) in answer.judged.rule.items()))
    return points, tuple(sorted((n, _step(numbers[n])) for n in answer.handed_in.numbers if n in numbers))


def _step(cm: float) -> int:
    return round(cm / SEAM)


def _listed(names: tuple[str, ...]) -> str:
    shown = [f"'{n}'" for n in names]
    return ", ".join(shown[:-1]) + " and " + shown[-1]

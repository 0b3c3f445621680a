"""Each step is judged on the student's own earlier steps: one early slip costs once.

The verdicts are checked against drafts whose faults were put in by hand here, not by the judge's own slips.
"""

from __future__ import annotations

import pytest

from patternlib.assess import exercises, judge


def verdicts(id: str, student: str = "lena", measures=None, points=None):
    exercise = exercises()[id]
    of = exercise.variant(student)
    draft = exercise.reference(of).replay(measures=measures, points=points)
    return judge(exercise.record(of, draft, student=student))


@pytest.mark.parametrize("id", exercises())
def test_the_rules_own_draft_gets_every_mark(id):
    for student in ("lena", "s 7", "ø"):
        verdict = verdicts(id, student)
        assert verdict.mark == verdict.out_of > 0
        assert {line.verdict for line in verdict.lines} == {"right"}


def test_an_early_slip_costs_its_own_weight_and_no_more():
    """The hip line 25.62 instead of 27.00 from the centre: five later points hang on it and stay right."""
    verdict = verdicts("02a", measures={"side hip": 102.5 / 4})
    by_step = {line.step: line for line in verdict.lines}
    assert by_step["side hip"].verdict == "off" and by_step["side hip"].slip == "ease-forgotten"
    assert [line.verdict for line in verdict.lines].count("carried") == 4
    assert verdict.out_of - verdict.mark == by_step["side hip"].weight


def test_what_is_not_drawn_is_missing_and_later_steps_are_judged_on_the_rule():
    exercise = exercises()["02a"]
    of = exercise.variant("lena")
    record = exercise.record(of, exercise.reference(of), student="lena")
    del record["points"]["side hip"]
    verdict = judge(record)
    assert {line.step: line.verdict for line in verdict.lines}["side hip"] == "missing"
    assert [line.verdict for line in verdict.lines].count("right") == len(verdict.lines) - 1

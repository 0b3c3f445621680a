"""What the drafting table says comes next: every step of a guided exercise, and the verb that takes it."""

from __future__ import annotations

import pytest

from patternlib.assess import exercises
from patternlib.assess.table.board import DraftingTable
from patternlib.assess.tasks.own_numbers import numbers_for
from patternlib.assess.tasks.telling import told
from tests.table_pieces import all_steps

GUIDED = [id for id, work in exercises().items() if told(work, numbers_for(""))["guided"]]


@pytest.mark.parametrize("id", GUIDED)
def test_a_guided_exercise_says_each_step_and_the_verb_that_takes_it(id, tmp_path):
    """What is asked comes up, in the order of the rule, with the verb by which a learner takes the step."""
    work, table = exercises()[id], DraftingTable(id, student="lena", folder=tmp_path)
    coming = {name: step["verb"] for step in table.setup["next"] for name in step["names"]}
    assert all(asked.name in coming for asked in work.asked)
    taken = {step.name: step.verb for step in all_steps(work, table.of)}
    assert {n: v for n, v in coming.items() if n in taken} == {n: taken[n] for n in taken if n in coming}
    assert all(step["said"]["cm"] and step["said"]["in"] for step in table.setup["next"])


def test_a_free_exercise_names_no_step(tmp_path):
    assert DraftingTable("02b", student="lena", folder=tmp_path).setup["next"] == []

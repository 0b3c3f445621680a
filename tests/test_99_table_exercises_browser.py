"""Every exercise on the table in a real JupyterLab: from empty to accepted by keys, and wrong in two ways.

One notebook is open for the whole file; its cell is written again for each exercise and learner.
"""

from __future__ import annotations

import pytest

from patternlib.assess import exercises
from patternlib.assess.table.kept import Kept, keep
from patternlib.assess.table.laying import numbers_of
from tests import browser_tools as tools
from tests.table_mistakes import mistaken
from tests.table_pieces import all_steps
from tests.table_tools import CELL, Table, open_table

pytestmark = pytest.mark.browser

ALWAYS = ("12a",)
"""The exercises that are typed whenever the tests run; all of them with `-m slow`."""


@pytest.fixture(scope="module")
def desk(lab, browser):
    """Lays out the table of an exercise in a notebook that stays open: desk(id, student)."""
    table = open_table(lab, browser, "01a", student="nobody")

    def lay_out(id: str, student: str) -> Table:
        tools.write_cell(table.page, 0, CELL.format(id=id, student=student))
        tools.run_to_the_end(table.page)
        title = exercises()[id].title
        table.root.get_by_text(title).first.wait_for()
        table.page.wait_for_selector(".draft-table .dt-field")
        return table

    return lay_out


@pytest.mark.parametrize(
    "id", [pytest.param(id, marks=() if id in ALWAYS else pytest.mark.slow) for id in exercises()]
)
def test_every_exercise_is_typed_into_the_sentence_and_accepted(desk, id):
    """The rule's steps by keys alone, each verb and each kind of place among them."""
    work = exercises()[id]
    of = work.own_numbers("lena")
    table = desk(id, "lena")
    assert table.count() == 0
    table.reach()
    for step in all_steps(work, of):
        own = step.verb == "note" and step.name in numbers_of(work, of)
        if not own:  # her own numbers lie on the table already
            table.draw(step)
    _, lines = table.compare()
    assert len(lines) == len(work.asked)
    assert [line for line in lines if not line.startswith("✓")] == []


@pytest.mark.slow
@pytest.mark.parametrize("id", exercises())
def test_every_exercise_drawn_wrong_in_two_typical_ways_gets_the_remarks(lab, desk, id):
    """Two listed mistakes, each on another learner's table: its remark stands in both lists of the table."""
    for nth in (0, 1):
        student = f"mia {nth}"
        remark, steps = mistaken(id, student)[nth]
        keep(Kept(id, student, len(steps), tuple(steps)), lab.folder)
        table = desk(id, student)
        _, lines = table.compare()
        off = [line for line in lines if line.startswith("✗")]
        assert any(remark in line for line in off), lines
        assert remark in table.root.locator(".dt-steps").inner_text()

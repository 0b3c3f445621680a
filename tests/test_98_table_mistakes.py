"""Every exercise drawn on the table in its listed wrong ways: the remark of the list is given.

The mistakes of the lists are turned into steps as a learner would take them, laid on the paper and judged.
Mistakes in the finish of pieces are tried in test_98_table_pieces.py.
"""

from __future__ import annotations

import pytest

from patternlib.assess import exercises, judge
from patternlib.assess.table.laying import lay
from tests.table_mistakes import HARDLY_SEEN, drawn_wrongly
from tests.test_92_common_mistakes import LISTED

LEAST = 2
"""So many mistakes of each exercise are made on the table."""
FINISHED = {"09a", "09b", "10a", "10b", "11a", "11b"}
"""Exercises in pieces: most of their mistakes are in the finish."""


@pytest.mark.parametrize("id", exercises())
def test_a_mistake_made_on_the_table_gets_the_remark_of_the_list(id):
    work = exercises()[id]
    of = work.own_numbers("lena")
    made = 0
    for mistake in (m for i, m in LISTED if i == id):
        steps = drawn_wrongly(id, mistake, "lena")
        if not steps or (id, mistake.code) in HARDLY_SEEN:
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
    shown = sum(i == id for i, _ in LISTED)  # some mistakes no draft can show
    assert made >= (0 if id in FINISHED else min(LEAST, shown))

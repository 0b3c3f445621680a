"""Records that were changed by hand: what reading can tell, and that running again lets none of them count.

Each is judged as a class is, beside what its cells gave when they were run: nothing, something else, or the
right draft in another way. What reading alone cannot tell, the guide says (*How far to trust a mark*).
"""

from __future__ import annotations

import os
import sys

import msgspec
import pytest

from patternlib.assess import exercises
from patternlib.assess.hand_ins.files import HandIn
from patternlib.assess.hand_ins.students import Owner
from patternlib.assess.learner.typed import read_typed, record_of
from patternlib.assess.marking.evidence import READ, answers_in, settle_evidence, with_run
from patternlib.assess.sandbox.again import Again
from patternlib.assess.sandbox.apart import judge_here
from patternlib.assess.sandbox.job import Job
from patternlib.assess.table.laying import lay
from tests.form_tools import filled
from tests.table_steps import table_steps

sys.path.insert(0, os.path.dirname(__file__))
import hostile

RIGHT = hostile.draft("ada")
NOTHING = Again((), None, "")
STOPPED = Again((), None, " because it ended itself", settled=False)


def off(record: dict) -> dict:
    x, y = record["points"]["side hip"]
    return hostile.changed(record, points={**record["points"], "side hip": [x + 3, y]})


def typed_of(other: str) -> dict[str, str]:
    work = exercises()["02a"]
    return filled(work, work.own_numbers(other))


def steps_of(other: str, measure: str = "") -> list:
    """Steps of the table; measure: stands in place of each measure."""
    work = exercises()["02a"]
    of = work.own_numbers(other)
    steps = lay(work, of, table_steps(work, of)).steps
    if measure:
        steps = [msgspec.structs.replace(s, measure=s.measure and measure) for s in steps]
    return [msgspec.to_builtins(step) for step in steps]


def gave(record: dict) -> Again:
    return Again((hostile.text(record),), None, "")


FORGED = {
    "no cells": (RIGHT, NOTHING, True),
    "cells that stop when they see where they are": (RIGHT, STOPPED, True),
    "cells that draw something else": (RIGHT, gave(off(RIGHT)), True),
    "cells of another exercise": (RIGHT, gave(hostile.draft("ada", "02b")), True),
    "a board, without cells": ({**RIGHT, "way": "board"}, NOTHING, True),
    "a board, drawn in code": ({**RIGHT, "way": "board"}, gave(RIGHT), True),
    "paper, nothing typed": ({**RIGHT, "way": "paper"}, NOTHING, True),
    "paper, one field typed": ({**RIGHT, "way": "paper", "typed": {"side hip|across": "1"}}, NOTHING, False),
    "paper, another's measures": ({**RIGHT, "way": "paper", "typed": typed_of("ben")}, NOTHING, False),
    "a table without steps": ({**RIGHT, "way": "table"}, NOTHING, False),
    "a table, points moved": ({**off(RIGHT), "way": "table", "steps": steps_of("ada")}, NOTHING, False),
    "a table, a bare number": ({**RIGHT, "way": "table", "steps": steps_of("ada", "20 cm")}, NOTHING, False),
    "a photograph without places": ({**RIGHT, "way": "photograph"}, NOTHING, False),
}  # fmt: skip
"""Name -> (the record as saved, what running its cells gave, whether it counts where it is only read)."""


def evidence(record: dict, ran: Again | None) -> tuple[str, bool]:
    """What the class's table says of it, and whether it counts by itself."""
    handin = HandIn("ada.ipynb", ("ada",), None)
    answers, faults = answers_in(handin, [hostile.text(record)])
    assert not faults
    if ran is not None:
        answers = with_run(handin, answers, ran)
    answer = next(a for a in answers if a.record.exercise == record["exercise"])
    answer.owner = Owner("ada", "ada")
    answer.judged = judge_here(Job(answer.text, "ada"))
    assert answer.judged.verdict
    settle_evidence(answer)
    return answer.evidence, answer.counts


@pytest.mark.parametrize("name", FORGED)
def test_running_again_lets_no_forged_record_count(name):
    record, ran, reading = FORGED[name]
    said, counts = evidence(record, ran)
    assert not counts and said != READ, said
    said, counts = evidence(record, None)
    assert counts == reading and (said == READ) == reading, said


@pytest.mark.parametrize(
    ("record", "ran"),
    [
        (RIGHT, gave(RIGHT)),
        ({**RIGHT, "way": "table", "steps": steps_of("ada")}, NOTHING),
        ("paper", NOTHING),
    ],
    ids=["code", "table", "paper"],
)
def test_honest_work_counts_both_ways(record, ran):
    if record == "paper":
        work = exercises()["02a"]
        record = record_of(work, read_typed(work, typed_of("ada")), student="ada") | {
            "typed": typed_of("ada")
        }
    for run in (None, ran):
        assert evidence(record, run)[1]

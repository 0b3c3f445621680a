"""Two versions of a table's steps, and its steps as code.

- an older version that led to the newest is never offered, another one is
- every exercise's steps are written as code and read again; what cannot be read is a sentence with its line
"""

from __future__ import annotations

import json

import pytest
from msgspec.structs import replace

from patternlib.assess import MIME, exercises
from patternlib.assess.table.board import DraftingTable
from patternlib.assess.table.coded import as_code, from_code
from patternlib.assess.table.kept import BESIDE, INSIDE, Kept, keep, versions
from patternlib.assess.tasks.record import StepTaken
from patternlib.errors import PatternError
from tests.table_pieces import all_steps

HIP = StepTaken("centre back hip", "go", ("waist at centre back",), "waist to hip", way="down")
HEM = StepTaken("centre back hem", "go", ("waist at centre back",), "skirt length", way="down")
LOW = replace(HIP, measure="waist to hip + 1")


def saved(folder, steps, edits):
    """A notebook that holds a table's record with these steps."""
    table = DraftingTable("02a", student="lena", folder=folder / "elsewhere")
    table.put(Kept("02a", "lena", edits, steps))
    out = {"output_type": "display_data", "data": {MIME: table.record()}}
    path = folder / "a.ipynb"
    path.write_text(
        json.dumps({"nbformat": 4, "cells": [{"cell_type": "code", "source": "", "outputs": [out]}]})
    )
    return path


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "elsewhere").mkdir()
    return tmp_path


def test_a_notebook_that_was_saved_before_the_last_steps_is_no_other_version(folder):
    notebook = saved(folder, (HIP,), 1)
    keep(Kept("02a", "lena", 2, (HIP, HEM), past=(((0, None, HIP),), ((1, None, HEM),))), folder)
    newest, other = versions("02a", "lena", folder, notebook)
    assert newest.steps == (HIP, HEM) and other is None


def test_a_step_changed_since_the_notebook_was_saved_is_no_other_version_either(folder):
    notebook = saved(folder, (HIP, HEM), 2)
    past = (((0, None, HIP),), ((1, None, HEM),), ((0, HIP, LOW),), ((1, HEM, None),))
    keep(Kept("02a", "lena", 4, (LOW,), past=past), folder)
    assert versions("02a", "lena", folder, notebook)[1] is None


@pytest.mark.parametrize(("edits", "where", "steps"), [(5, INSIDE, (HIP, HEM)), (1, BESIDE, (LOW,))])
def test_steps_that_differ_are_offered_with_where_they_were_kept(folder, edits, where, steps):
    """The file of another day, or of another computer, beside a notebook that went its own way."""
    notebook = saved(folder, (HIP, HEM), 3)
    keep(Kept("02a", "lena", edits, (LOW,), past=(((0, None, LOW),),)), folder)
    newest, other = versions("02a", "lena", folder, notebook)
    assert newest.edits == max(edits, 3)
    words, kept = other
    assert words == where and [s.measure for s in kept.steps] == [s.measure for s in steps]


def test_an_empty_version_is_not_offered(folder):
    notebook = saved(folder, (HIP,), 3)
    keep(Kept("02a", "lena", 1), folder)
    assert versions("02a", "lena", folder, notebook)[1] is None


@pytest.mark.parametrize("id", exercises())
def test_steps_are_written_as_code_and_read_again(id):
    work = exercises()[id]
    steps = tuple(replace(s, value=None) for s in all_steps(work, work.own_numbers("lena")))
    code = as_code(steps)
    assert len(code.splitlines()) == len(steps) and from_code(code) == steps
    assert from_code(f"# mine\n\n{code}\n") == steps


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("step('A', 'go', 'B', way='down'", "line 1 cannot be read"),
        ("\nstep('A')", "line 2: a step has a name and a verb"),
        ("import os", "line 1 is no step"),
        ("step('A', 'fly', 'B')", "verb in line 1"),
        ("step('A', 'go', 'B', colour='red')", "part of a step in line 1"),
        ("step('A', 'go', B)", "put each part into quotation marks"),
        ("step('A', 'go', __import__('os'))", "put each part into quotation marks"),
        ("step('A', 'go', side='up')", "line 1 cannot be kept"),
        ("x" * 70_000, "longer than"),
        ("(" * 5000, "cannot be read"),
    ],
)
def test_code_that_cannot_be_read_is_answered_by_a_sentence(text, said, tmp_path):
    with pytest.raises(PatternError, match=said):
        from_code(text)
    table = DraftingTable("02a", student="lena", folder=tmp_path)
    assert said.lower() in table.read(text)["fault"].lower() and table.kept.steps == ()

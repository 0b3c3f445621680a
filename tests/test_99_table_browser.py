"""The drafting table in a real JupyterLab: drawn by keys alone, by mouse alone, kept, and judged."""

from __future__ import annotations

import csv
import json
import shutil

import pytest

from patternlib.assess import exercises
from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.marking.command import assess_command
from patternlib.assess.tasks.record import MIME, read
from tests import browser_tools as tools
from tests.table_steps import table_steps
from tests.table_tools import open_table, run_all_again

pytestmark = pytest.mark.browser

FRAME_BY_KEYS = (
    ("go", "waist at", "down", "waist to hip"),
    ("go", "waist at", "do", "skirt length"),
    ("go", "centre back hip", "right", "hip girth / 4 + hip ease / 4"),
    ("go", "side hip", "r", "a quarter of hip + hip ease ÷ 4"),
    ("level with", "centre back hem", "side hip"),
    ("level with", "centre back hem", "centre front hip"),
    ("level with", "waist at centre back", "centre front hip"),
    ("go", "waist at centre back", "down", "1"),
)


@pytest.fixture(scope="module")
def lab():
    tools.needed("the drafting table needs")
    with tools.Lab() as lab:
        yield lab


@pytest.fixture(scope="module")
def browser():
    with tools.chromium() as browser:
        yield browser


def test_the_frame_is_drawn_by_keys_alone_and_outlives_a_restart(lab, browser, tmp_path):
    """From empty to accepted with the keyboard, then restarted, taken back, brought again and handed in."""
    table = open_table(lab, browser, "02a", student="lena")
    table.reach()
    for step in FRAME_BY_KEYS:
        table.type(*step)
    mark, lines = table.compare()
    assert mark == "8 of 8."
    assert all(line.startswith("✓") for line in lines)
    before = table.steps()
    kept = json.loads((lab.folder / "drafts" / "02a lena.json").read_text())
    assert [step["name"] for step in kept["steps"]] == [step.split("mark ")[1].rstrip(".") for step in before]

    run_all_again(table.page)
    assert table.steps() == before
    table.root.get_by_role("button", name="Take back").click()
    table.settle()
    assert table.steps() == before[:-1]
    table.root.get_by_role("button", name="Bring again").click()
    table.settle()
    assert table.steps() == before

    (cell,) = table.saved()["cells"]
    (record,) = [out["data"][MIME] for out in cell["outputs"] if MIME in out.get("data", {})]
    assert record["way"] == "table"
    assert [step["measure"] for step in record["steps"][:3]] == [
        "waist to hip", "skirt length", "hip girth / 4 + hip ease / 4",
    ]  # fmt: skip
    assert mark_of_the_class(lab.folder / table.file, tmp_path) == "8"


def test_the_frame_is_drawn_by_mouse_alone(lab, browser, tmp_path):
    """Tapped points, ways, numbers and verbs; one point pulled and its length then put together."""
    table = open_table(lab, browser, "02a", student="mo")
    for number in ("waist to hip", "skirt length"):
        table.tap("waist at centre back")
        table.offer("down")
        table.number(number)
        table.set()
    table.pull("centre back hip", 130, 3)
    verb, start, way, _, name = table.sentence()
    assert (verb, start, way, name) == ("go", "centre back hip", "right", "side hip")
    for part in ("hip girth", "hip ease"):
        table.number(part, "quarter")
    assert table.sentence()[3] == "hip girth ÷ 4 + hip ease ÷ 4"
    table.set()
    table.tap("side hip")
    table.offer("right")
    table.number("hip girth", "quarter")
    table.number("hip ease", "quarter")
    table.set()
    table.take_up("Ruler and square", "level with")
    for level, upright in (
        ("centre back hem", "side hip"),
        ("centre back hem", "centre front hip"),
        ("waist at centre back", "centre front hip"),
    ):
        table.tap(level)
        table.tap(upright)
        table.set()
    table.take_up("Pencil", "go")
    table.tap("waist at centre back")
    table.offer("down")
    table.pad("1")
    table.set()
    mark, _ = table.compare()
    assert mark == "8 of 8."
    table.saved()
    assert mark_of_the_class(lab.folder / table.file, tmp_path) == "8"


ALWAYS = ("02b", "05c")
"""The exercises that are typed whenever the tests run; all of them with `-m slow`."""


@pytest.mark.parametrize(
    "id", [pytest.param(id, marks=() if id in ALWAYS else pytest.mark.slow) for id in exercises()]
)
def test_every_exercise_can_be_typed_into_the_sentence(lab, browser, id):
    """The rule's steps by keys alone, each verb and each kind of place among them."""
    work = exercises()[id]
    table = open_table(lab, browser, id, student="lena")
    table.reach()
    for step in table_steps(work, work.own_numbers("lena")):
        table.draw(step)
    _, lines = table.compare()
    assert len(lines) == len(work.steps())
    assert [line for line in lines if not line.startswith("✓")] == []


def mark_of_the_class(notebook, folder) -> str:
    """The mark that the class command gives the saved notebook."""
    hand_ins = folder / "hand-ins"
    hand_ins.mkdir()
    (record,) = (read(text) for text in read_notebook(notebook.read_bytes()).records)
    shutil.copy(notebook, hand_ins / f"{record.student}.ipynb")
    assert assess_command([str(hand_ins), "--out", str(folder / "marks")]) == 0
    (row,) = csv.DictReader((folder / "marks" / "marks.csv").open(encoding="utf-8-sig"))
    return row["mark"]

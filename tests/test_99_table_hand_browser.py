"""The hand on the drafting table in a real JupyterLab: curves by touch, mistakes, bends, crowded names."""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from patternlib.assess import exercises
from patternlib.assess.table.kept import Kept, keep
from patternlib.assess.table.laying import numbers_of
from tests import browser_tools as tools
from tests.table_pieces import all_steps
from tests.table_tools import open_table

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def lab():
    tools.needed("the drafting table needs")
    with tools.Lab() as lab:
        yield lab


@pytest.fixture(scope="module")
def browser():
    with tools.chromium() as browser:
        yield browser


LEVELS = (("go", "waist at", "down", "waist to hip"), ("go", "waist at", "down", "skirt length"))


@pytest.mark.slow
@pytest.mark.parametrize(("unit", "number"), [("cm", r"[\d.]+"), ("in", r"[\d /]+")])
def test_a_bend_that_no_curve_has_is_said_and_the_handles_stay_under_the_hand(lab, browser, unit, number):
    """The curve without a bend carries the handles, so that the hand can come back."""
    table = open_table(lab, browser, "02a", student=f"uma {unit}")
    table.root.get_by_label("Unit").select_option(unit)
    table.root.locator("[data-place=verb]").focus()
    for step in (*LEVELS, ("go", "centre back hip", "right", "20 cm")):
        table.type(*step)
    table.fill("draw a curve", "centre back hem", "", "side hip", "right", "up")
    table.page.wait_for_selector("[data-handle=bend]", state="attached")
    table.pull("bend", 140, 140, mark="handle")
    said = f"the curve lies {number} {unit} to {number} {unit} to the right half-way: take a bend between"
    assert re.search(said, table.said())
    assert table.root.locator("[data-handle]").count() == 3
    table.root.get_by_role("button", name="Set", exact=True).click()
    assert "take a bend between" in table.said() and table.count() == 3
    table.pull("bend", 8, 8, mark="handle")
    assert table.said() == ""
    table.set()
    assert table.count() == 4


@pytest.mark.slow
@pytest.mark.parametrize("width", [390, 1280])
def test_no_name_on_the_paper_lies_on_another(lab, browser, width):
    """The bodice block of exercise 03c, with 34 names; on a telephone some step back, which is said."""
    work = exercises()["03c"]
    of = work.own_numbers("lena")
    steps = tuple(s for s in all_steps(work, of) if s.verb != "note" or s.name not in numbers_of(work, of))
    keep(Kept("03c", "kim", len(steps), steps), lab.folder)
    table = open_table(lab, browser, "03c", student="kim", width=width, touch=width < 500)
    table.settle()
    places = table.root.locator(".dt-names text").evaluate_all(
        "all => all.map((e) => e.getBoundingClientRect())"
        ".map((b) => [b.left, b.top + 2, b.right, b.bottom - 2])"
    )
    for a, b in combinations(places, 2):
        assert a[0] >= b[2] - 1 or b[0] >= a[2] - 1 or a[1] >= b[3] or b[1] >= a[3]
    last = [s.name for s in steps if s.verb == "curve"][-1]
    assert last in table.root.locator(".dt-names text").all_text_contents()  # the newest always stands
    crowded = table.root.locator(".dt-crowded")
    assert crowded.is_visible()
    for _ in range(8):
        table.root.get_by_role("button", name="Nearer").click()
    assert crowded.is_hidden()

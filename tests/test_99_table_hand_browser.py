"""The hand on the drafting table in a real JupyterLab: curves by touch, mistakes, bends, crowded names."""

from __future__ import annotations

import re
from itertools import combinations

import pytest

from patternlib.assess import exercises
from patternlib.assess.table.kept import Kept, keep
from patternlib.assess.table.laying import numbers_of
from tests.table_mistakes import mistaken
from tests.table_pieces import all_steps
from tests.table_tools import Table, open_table

pytestmark = pytest.mark.browser


LEVELS = (("go", "waist at", "down", "waist to hip"), ("go", "waist at", "down", "skirt length"))


@pytest.mark.slow
def test_a_front_plan_with_its_curves_is_drawn_by_touch_alone(lab, browser):
    """06a from empty to accepted with a finger on a telephone; then wrong in two ways that are common."""
    table = open_table(lab, browser, "06a", student="mo", width=390, touch=True)
    go(table, "centre waist", "down", ("waistband", "all"))
    table.take_up("Tape", "walk along")
    table.number("waistband")
    table.press(table.root.locator("[data-place=of0]"))
    table.offer("side")
    table.press(table.root.locator("[data-place=end]"))
    table.offer("end")
    table.set()
    curve(table, "waistband at centre front", "waistband at the side", "left", "square to side")
    table.take_up("Pencil", "go")
    go(table, "centre waist", "up", ("bib height", "all"))
    go(table, "bib top at centre front", "left", ("bib top", "half"))
    curve(table, "side waist", "bib corner", "running on from side", "up")
    table.take_up("Pencil", "go")
    go(table, "bib top at centre front", "down", ("bib pocket below top", "all"))
    go(table, "bib pocket top", "left", ("bib pocket width", "half"))
    go(table, "bib pocket corner", "down", ("bib pocket depth", "all"))
    go(table, "bib pocket top", "down", ("bib pocket depth", "all"))
    mark, lines = table.compare()
    assert (mark, [line for line in lines if not line.startswith("✓")]) == ("10 of 10.", [])

    measure = table.root.locator("[data-place=measure]")
    for step, number, said in (
        ("mark bib corner.", "bib top", "half"),
        ("mark bib pocket foot.", "bib pocket width", "bib pocket depth"),
    ):
        table.press(table.root.locator(".dt-stepbutton", has_text=step))
        measure.fill("")
        table.number(number)
        table.press(table.root.get_by_role("button", name="Change it"))
        mark, lines = table.compare()
        off = [line for line in lines if line.startswith("✗") and step[5:-1] in line]
        assert len(off) == 1 and said in off[0], lines


def go(table: Table, start: str, way: str, *numbers: tuple[str, str]) -> None:
    """A step of the pencil: tapped point, tapped way, numbers that are put together."""
    table.tap(start)
    table.offer(way)
    for number in numbers:
        table.number(*number)
    table.set()


def curve(table: Table, first: str, last: str, leaving: str, arriving: str) -> None:
    table.take_up("Curve", "draw a curve")
    table.tap(first)
    table.press(table.root.locator("[data-place=last]"))
    table.tap(last)
    for place, way in (("leaving", leaving), ("arriving", arriving)):
        table.press(table.root.locator(f"[data-place={place}]"))
        table.offer(way)
    table.set()


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
def test_what_comes_next_is_taken_up_and_shown_on_a_small_laptop(lab, browser):
    """06a in a window of 1366 by 768: paper and sentence are seen together, names and ends are explained."""
    table = open_table(lab, browser, "06a", student="ida", width=1366)
    root = table.root
    table.page.set_viewport_size({"width": 1366, "height": 768})
    root.locator(".dt-paper").evaluate("e => e.scrollIntoView({ block: 'start' })")
    assert root.locator("div.dt-line").bounding_box()["y"] + 80 < 740  # above the status bar

    root.locator("[data-place=verb]").focus()
    table.type("go", "centre waist", "down", "waistband")
    root.locator(".dt-nextverb").click()
    assert table.sentence()[0] == "walk along" and table.sentence()[-1] == "waistband at the side"
    root.locator("[data-place=of0]").focus()
    root.locator(".dt-offer", has_text="hemline").hover()
    assert root.locator("path.dt-pointed").get_attribute("data-thing") == "hemline"
    table.page.keyboard.type("side")
    table.page.keyboard.press("Enter")
    root.locator("[data-place=end]").focus()
    assert root.locator(".dt-offer small").all_inner_texts() == ["at side hem", "at side waist"]

    table.take_up("Pencil", "go")
    verbs = root.locator(".dt-verbs")
    above = root.locator(".dt-sentence").bounding_box()["y"] - verbs.bounding_box()["y"]
    table.take_up("Curve", "draw a curve")
    below = root.locator(".dt-sentence").bounding_box()["y"] - verbs.bounding_box()["y"]
    assert above == below  # the sentence keeps its place


@pytest.mark.slow
def test_a_wheel_that_finds_no_line_says_so(lab, browser):
    table = open_table(lab, browser, "09a", student="ida")
    table.take_up("Tracing wheel", "trace an edge")
    table.pull_to("centre hem", "waistband at centre front")
    assert "No line runs there to trace" in table.said()


@pytest.mark.slow
def test_the_sentence_stays_at_the_foot_of_a_telephone(lab, browser):
    table = open_table(lab, browser, "02a", student="ida", width=390, touch=True)
    root = table.root
    root.locator(".dt-paper").evaluate("e => e.scrollIntoView({ block: 'start' })")
    sentence, paper = (root.locator(c).bounding_box() for c in (".dt-sentence", ".dt-paper"))
    assert sentence["y"] + sentence["height"] <= 1000 and sentence["y"] > paper["y"] + 150


SMALL = """root => [...root.querySelectorAll("button, select, input, summary, .dt-offer, .dt-hitpoint")]
  .filter((e) => e.checkVisibility({ checkVisibilityCSS: true }))
  .map((e) => [e.textContent || e.value || e.tagName, e.getBoundingClientRect()])
  .filter(([, r]) => r.width && (r.width < 43.9 || r.height < 43.9))
  .map(([name, r]) => `${name} ${r.width}x${r.height}`)"""
RING = """() => { const e = document.activeElement, s = getComputedStyle(e), r = e.getBoundingClientRect();
  let cut = false;
  for (let p = e.parentElement; p && !p.matches(".draft-table"); p = p.parentElement) {
    const b = p.getBoundingClientRect();
    cut ||= getComputedStyle(p).overflowX !== "visible" && (r.left - 3 < b.left || r.right + 3 > b.right);
  }
  return [!!e.closest(".draft-table"), e.textContent || e.dataset.place, s.outlineStyle, s.outlineWidth, cut];
}"""


@pytest.mark.slow
@pytest.mark.parametrize("width", [390, 1280])
def test_every_control_is_large_enough_for_a_finger(lab, browser, width):
    """44 px, with each place in work and what it offers; WCAG 2.2, success criterion 2.5.5, from memory."""
    table = open_table(lab, browser, "06a", student="eva", width=width, touch=True)
    root = table.root
    for details in root.locator("details").all():
        details.evaluate("e => { e.open = true; }")
    for verb in root.locator(".dt-verbs button").all_inner_texts():
        root.locator(".dt-verbs").get_by_role("button", name=verb, exact=True).evaluate("e => e.click()")
        for field in root.locator(".dt-field").all():
            field.evaluate("e => e.focus({ preventScroll: true })")
            assert root.evaluate(SMALL) == []


@pytest.mark.slow
def test_the_focus_is_seen_on_every_control(lab, browser):
    table = open_table(lab, browser, "06a", student="eva")
    table.root.locator(".dt-paper").evaluate("e => e.focus()")
    table.page.keyboard.press("Tab")
    seen = []
    while (stop := table.page.evaluate(RING))[0]:
        seen.append(stop[1])
        assert stop[2:] == ["solid", "3px", False], stop
        table.page.keyboard.press("Tab")
    assert len(seen) > 25 and "Compare with the rule" in seen


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


@pytest.mark.slow
@pytest.mark.parametrize("id", ["02a", "06a", "09a"])
@pytest.mark.parametrize("nth", [0, 1])
def test_an_exercise_that_is_touched_gets_its_remark_for_a_typical_mistake(lab, browser, id, nth):
    """The exercises that are drawn by touch alone, each wrong in two listed ways, compared with a finger."""
    student = f"lena {nth}"
    remark, steps = mistaken(id, student)[nth]
    keep(Kept(id, student, len(steps), tuple(steps)), lab.folder)
    table = open_table(lab, browser, id, student=student, width=390, touch=True)
    table.settle()
    table.press(table.root.get_by_role("button", name="Compare with the rule"))
    table.page.wait_for_selector(".dt-asked li:has-text('✗')")
    off = [line for line in table.root.locator(".dt-asked li").all_inner_texts() if "✗" in line]
    assert any(remark in line for line in off), off
    assert remark in table.root.locator(".dt-steps").inner_text()  # beside its step in the list as well

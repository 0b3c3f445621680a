"""The drafting table in a real JupyterLab: drawn by keys alone, by mouse alone, kept, and judged."""

from __future__ import annotations

import csv
import json
import shutil

import pytest

from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.marking.command import assess_command
from patternlib.assess.tasks.record import MIME, read
from tests import browser_tools as tools
from tests.table_tools import CELL, Table, open_table, run_all_again

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


@pytest.fixture(autouse=True)
def closed(lab, browser):
    """Pages and kernels of a test end with it: with forty of them open nothing would open any more."""
    yield
    for context in browser.contexts:
        context.close()
    tools.end_kernels(lab)


def test_the_frame_is_drawn_by_keys_alone_and_outlives_a_restart(lab, browser, tmp_path):
    """From empty to accepted with the keyboard, then restarted, taken back, brought again and handed in."""
    table = open_table(lab, browser, "02a", student="lena")
    table.reach()
    coming = table.root.locator(".dt-nextstep")
    assert coming.inner_text().startswith("Next: From waist at centre back go down")
    for step in FRAME_BY_KEYS:
        table.type(*step)
    assert "Everything asked is on the paper" in coming.inner_text()
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


@pytest.mark.slow
def test_the_frame_is_drawn_by_mouse_alone(lab, browser, tmp_path):
    """Tapped points, ways, numbers and verbs; one point pulled and its length then put together."""
    table = open_table(lab, browser, "02a", student="mo")
    draw_the_levels(table)
    table.pull("centre back hip", 130, 3)
    verb, start, way, _, name = table.sentence()
    assert (verb, start, way, name) == ("go", "centre back hip", "right", "side hip")
    draw_the_rest(table)
    mark, _ = table.compare()
    assert mark == "8 of 8."
    table.saved()
    assert mark_of_the_class(lab.folder / table.file, tmp_path) == "8"


def test_the_frame_is_drawn_by_touch_alone_on_a_telephone(lab, browser):
    """390 px wide, fingertips only; nothing that is touched is smaller than 44 px [WCAG 2.2, 2.5.5]."""
    table = open_table(lab, browser, "02a", student="tia", width=390, touch=True)
    draw_the_levels(table)
    small = table.page.evaluate(
        "() => [...document.querySelectorAll('.draft-table button, .draft-table .dt-offer, .dt-field')]"
        ".filter((e) => e.offsetParent && e.getBoundingClientRect().height < 44).map((e) => e.textContent)"
    )
    assert small == []
    table.tap("centre back hip")
    table.offer("right")
    draw_the_rest(table)
    mark, _ = table.compare()
    assert mark == "8 of 8."


def draw_the_levels(table: Table) -> None:
    for number in ("waist to hip", "skirt length"):
        table.tap("waist at centre back")
        table.offer("down")
        table.number(number)
        table.set()


def draw_the_rest(table: Table) -> None:
    """The frame from the measure of its side on."""
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


@pytest.mark.slow
def test_a_step_is_mended_and_rubbed_out_with_what_hangs_from_it(lab, browser):
    """Everything after a corrected step is drawn again; what hangs from a step is named before it goes."""
    table = open_table(lab, browser, "02a", student="ada")
    table.reach()
    for step in FRAME_BY_KEYS[:5]:
        table.type(*step)
    table.settle()
    before = table.spot("side hem")
    table.root.locator(".dt-stepbutton").nth(2).click()
    assert table.sentence()[:3] == ["go", "centre back hip", "right"] and table.focused() == "measure"
    table.page.keyboard.type("hip girth ÷ 4")
    for _ in range(2):
        table.page.keyboard.press("Enter")
    table.settle()
    assert "(hip girth ÷ 4): mark side hip." in table.steps()[2]
    assert table.spot("side hem")[0] < before[0] - 2
    mark, lines = table.compare()
    assert mark == "4 of 8." and sum(line.startswith("✗") for line in lines) == 1
    assert any("ease" in line for line in lines if line.startswith("✗"))  # the slip is named from the measure
    assert any("given your earlier" in line for line in lines)

    table.root.locator(".dt-stepbutton").nth(2).click()
    table.root.get_by_role("button", name="Rub it out").click()
    asked = table.root.get_by_role("alertdialog").inner_text()
    assert "centre front hip, side hem hang from side hip" in asked
    table.root.get_by_role("button", name="Rub out all 3").click()
    table.settle()
    assert table.count() == 2
    table.root.get_by_role("button", name="Take back").click()
    table.settle()
    assert table.count() == 5


@pytest.mark.slow
def test_a_curve_is_bent_by_its_handles(lab, browser):
    """The half-way mark and a direction pulled with the mouse; Python draws the curve between."""
    table = open_table(lab, browser, "02a", student="ivo")
    table.reach()
    for step in FRAME_BY_KEYS[:2]:
        table.type(*step)
    table.fill("draw a curve", "centre back hip", "", "centre back hem")
    table.page.wait_for_selector("[data-handle=bend]", state="attached")
    table.pull("bend", 40, 0, mark="handle")
    verb, first, _, last, leaving, arriving, bend, side, _ = table.sentence()
    assert (verb, first, last, leaving, arriving, side) == (
        "draw a curve", "centre back hip", "centre back hem", "", "", "left",
    )  # fmt: skip
    assert float(bend) > 3
    table.pull("leaving", -10, 20, mark="handle")
    assert table.sentence()[4].startswith("at ")
    table.root.get_by_role("button", name="Set", exact=True).click()
    table.settle()
    assert f"half-way {float(bend):g} cm off the straight line to its left" in table.steps()[-1]


@pytest.mark.slow
def test_steps_are_taken_while_the_kernel_is_busy(lab, browser):
    """For ten seconds nothing is answered; the table says so, goes on, and nothing is lost."""
    file = "busy.ipynb"
    cells = (CELL.format(id="02a", student="bea"), "import time\ntime.sleep(12)")
    page = tools.open_page(browser, lab.write(file, tools.notebook(*cells)), height=1000)
    tools.run_cell(page, 0)
    page.wait_for_selector(".draft-table .dt-field")
    page.locator(".jp-CodeCell").nth(1).locator(".cm-content").click()
    page.keyboard.press("Control+Enter")
    table = Table(page, lab, file)
    table.root.locator("[data-place=verb]").focus()
    for step in FRAME_BY_KEYS[:5]:
        table.type(*step)
    assert table.count() == 5 and table.spot("side hem")[1] > table.spot("side hip")[1]
    page.wait_for_function("() => document.querySelector('.dt-note').textContent.includes('busy')")
    table.settle()
    assert not table.root.locator(".dt-note").is_visible()
    kept = json.loads((lab.folder / "drafts" / "02a bea.json").read_text())
    assert len(kept["steps"]) == 5


MISTAKES = (
    (("waist at", "down", "hipp"), "'hipp' is none of your numbers"),
    (("waist at", "down", "1,250"), "two ways"),
    (("waist at", "sideways"), "none of your numbers"),
    (("nowhere",), "is not on the paper at this step"),
)


def test_a_mistake_is_answered_beside_the_place_and_the_place_keeps_the_hand(lab, browser):
    """Escape begins the sentence again; then comes another mistake."""
    table = open_table(lab, browser, "02a", student="eve")
    table.reach()
    table.page.keyboard.press("Tab")
    first = table.focused()
    for texts, said in MISTAKES:
        assert table.focused() == first and table.said() == ""
        for text in texts:
            where = table.focused()
            table.page.keyboard.type(text)
            table.page.keyboard.press("Enter")
        assert said in table.said()
        assert table.focused() == where and table.count() == 0
        assert table.root.locator(f"[data-place={where}]").get_attribute("aria-invalid") == "true"
        table.page.keyboard.press("Escape")


SECTION = """import patternlib as pl
from patternlib.assess import pocket_table, section_table
body = pl.chart("course").body("12")
block = pl.skirt_block(body, length=60)
section_table(block, ("waist at centre back", "front hem"), place="frame", title="The frame", body=body)"""

IN_VIEW = "() => document.querySelector('.jp-WindowedPanel-outer, .jp-Notebook').scrollTop"


def opened(lab, browser, source: str) -> Table:
    """The table that a cell opens."""
    page = tools.open_page(browser, lab.write("section.ipynb", tools.notebook(source)), height=1100)
    tools.run_to_the_end(page)
    page.wait_for_selector(".draft-table .dt-paper")
    return Table(page, lab, "section.ipynb")


def names(table: Table) -> list[str]:
    """The points and lines that are drawn strong, by the names beside them."""
    return table.root.locator(".dt-name:not(.dt-givenname)").all_text_contents()


def test_a_section_is_shown_step_by_step_and_then_drawn(lab, browser):
    """A lesson's section: its steps with their measures, then the reader's own paper, which is kept."""
    table = opened(lab, browser, SECTION)
    root, press = table.root, table.root.get_by_role
    assert root.get_attribute("data-mode") == "shown"
    assert not root.locator(".dt-sentence, .dt-side").first.is_visible()
    measures = root.locator(".dt-measure").all_text_contents()
    assert sorted(measures) == sorted(["1 cm", "22.1 cm", "60 cm", "25.1 cm", "25.1 cm"])

    press("button", name="From the start").click()
    assert names(table) == [] and root.locator(".dt-measure").count() == 0
    press("button", name="Next step").click()
    assert names(table) == ["centre back hip"]
    assert root.locator(".dt-replaysaid").inner_text().startswith("From waist at centre back go down 22.1 cm")
    assert root.locator(".dt-measure").all_text_contents() == ["22.1 cm"]
    press("slider").focus()
    table.page.keyboard.press("ArrowRight")
    assert names(table)[-1] == "centre back hem" and root.locator(".dt-quiet.dt-measure").count() == 1
    assert table.page.locator(".jp-CodeCell").count() == 1  # the notebook took no key

    before = table.page.evaluate(IN_VIEW)
    press("button", name="Draw these steps yourself").click()
    assert table.page.evaluate(IN_VIEW) == before  # the page does not jump
    assert table.root.locator(".dt-stepbutton").count() == 0 and names(table) == []
    table.type("go", "waist at", "down", "waist to hip")
    table.type("go", "waist at", "down", "60")
    mark, lines = table.compare()
    assert mark == "2 of 14 steps are right." and sum(line.startswith("✓") for line in lines) == 2
    press("button", name="Show me the steps").click()
    assert root.locator(".dt-replaywhere").inner_text() == "step 2 of 14"
    press("button", name="Back to your own drawing").click()

    run_all_again(table.page)
    assert len(table.steps()) == 2  # and they are there again, on the reader's own paper
    assert root.get_attribute("data-mode") == "own"


@pytest.mark.slow
def test_another_version_is_offered_and_steps_are_printed_and_written_as_code(lab, browser):
    """The older steps of the notebook beside newer ones of the file; both can be had, nothing is lost."""
    table = open_table(lab, browser, "02a", student="nil")
    (page, press), _ = (table.page, table.root.get_by_role), table.reach()
    for step in FRAME_BY_KEYS[:3]:
        table.type(*step)
    table.settle()
    table.saved()
    file = lab.folder / "drafts" / "02a nil.json"
    kept = json.loads(file.read_text())
    other = [{**kept["steps"][0], "measure": "18 cm"}]
    file.write_text(json.dumps({**kept, "edits": 40, "steps": other, "past": []}))
    page.evaluate("() => localStorage.clear()")
    run_all_again(page)
    assert table.count() == 1
    said = table.root.locator(".dt-other").inner_text()
    assert "two versions" in said and "in this notebook, as it was saved: 3 steps" in said
    press("button", name="Take the other one").click()
    table.settle()
    assert table.count() == 3 and table.root.locator(".dt-other").count() == 0
    for key, count in (("Take back", 1), ("Bring again", 3)):
        press("button", name=key).click()
        table.settle()
        assert table.count() == count

    page.evaluate("() => (window.print = () => {})")
    press("button", name="Print", exact=True).click()
    sheet = page.frame_locator("iframe[title='The steps as a page to print']")
    assert sheet.locator("li").all_inner_texts() == table.steps()

    table.root.locator(".dt-code summary").click()
    code = table.root.locator(".dt-code textarea")
    page.wait_for_function("() => document.querySelector('.dt-code textarea').value.includes('step(')")
    code.fill(code.input_value().replace('"skirt length"', '"skirt length + 2"'))
    press("button", name="Lay these steps on the table").click()
    page.wait_for_function("() => document.querySelector('.dt-steps').textContent.includes('length + 2')")
    table.settle()
    assert table.count() == 3
    code.fill("step('A'")
    press("button", name="Lay these steps on the table").click()
    page.wait_for_function("() => document.querySelector('.dt-codesaid').textContent.includes('Line 1')")
    assert table.count() == 3


def test_a_first_pocket_is_pulled_with_the_mouse_and_printed(lab, browser):
    """Three pulls, a number typed over each measure, and a PDF lies beside the notebook."""
    table = opened(lab, browser, SECTION.replace("section_table(block", "pocket_table(body) #"))
    page = table.page
    for dx, dy, typed in ((150, 3, "14"), (2, 180, "15,5")):
        table.pull("top left", dx, dy)
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
        page.keyboard.press("Enter")
    across = table.spot("top right")[0] - table.spot("bottom left")[0]
    table.pull("bottom left", across + 4, 3)
    table.set()
    assert [step.split("mark ")[1] for step in table.steps()] == [
        "top right.",
        "bottom left.",
        "bottom right.",
    ]
    table.settle()
    table.root.get_by_role("button", name="Make the pattern to print").click()
    page.wait_for_selector(".dt-printed a")
    said = table.root.locator(".dt-printed").inner_text()
    assert "14 cm wide and 15.5 cm deep" in said and "corners are square" in said
    assert (lab.folder / "my pocket.pdf").read_bytes().startswith(b"%PDF-")


def mark_of_the_class(notebook, folder) -> str:
    """The mark that the class command gives the saved notebook."""
    hand_ins = folder / "hand-ins"
    hand_ins.mkdir()
    (record,) = (read(text) for text in read_notebook(notebook.read_bytes()).records)
    shutil.copy(notebook, hand_ins / f"{record.student}.ipynb")
    assert assess_command([str(hand_ins), "--out", str(folder / "marks")]) == 0
    (row,) = csv.DictReader((folder / "marks" / "marks.csv").open(encoding="utf-8-sig"))
    return row["mark"]

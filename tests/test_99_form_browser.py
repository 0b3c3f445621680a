"""Name card and paper form in a real JupyterLab, and one exercise notebook from start to end by keys alone.

- No name is written: the card says so, and so does each exercise; a name lays out every table, and the next
   notebook has it already.
- The form answered rightly and wrongly, on a draft and on a piece; half scale is asked about once.
- What was typed is there after a restart, and the class command judges it.
"""

from __future__ import annotations

import csv
import shutil

import nbformat
import pytest

from patternlib.assess import exercises
from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.marking.command import assess_command
from patternlib.assess.tasks.record import read
from tests import browser_tools as tools
from tests.form_tools import filled
from tests.table_tools import Table
from tests.test_99_table_browser import FRAME_BY_KEYS

pytestmark = pytest.mark.browser

TABLES = "n => document.querySelectorAll('.draft-table .dt-asked').length === n"


def open_exercise(lab, browser, name: str, file: str = "", **window):
    """A learner's copy of an exercise notebook, run once."""
    (path,) = (tools.REPO / "exercises").glob(f"{name}_*.ipynb")
    url = lab.write(file or path.name, nbformat.read(path, as_version=4))
    page = tools.open_page(browser, url, **window)
    tools.run_to_the_end(page)
    page.wait_for_selector(".name-card input")
    return page


def write_name(page, name: str) -> None:
    page.locator(".name-card input").first.fill(name)
    page.keyboard.press("Enter")
    page.wait_for_selector(".paper-form", state="attached")


def open_form(page, number: int = 0):
    form = page.locator(".paper-form").nth(number)
    if form.get_attribute("open") is None:
        form.locator("summary").first.click()
    return form


def compare(page, form) -> str:
    form.get_by_role("button", name="Compare with the rule").click()
    page.wait_for_function("f => f.querySelector('.pf-mark').textContent !== ''", arg=form.element_handle())
    return form.locator(".pf-mark").inner_text()


@pytest.mark.slow
def test_the_card_says_that_no_name_is_written_and_the_next_notebook_has_it(lab, browser):
    page = open_exercise(lab, browser, "02")
    assert "No name is written yet" in page.locator(".nc-said").inner_text()
    assert page.get_by_text("Write your name on the card at the head").count() == 4
    assert page.locator(".draft-table").count() == 0
    write_name(page, "ida")
    page.wait_for_function(TABLES, arg=2)
    assert page.locator(".draft-table").count() == 2 and page.locator(".dt-who").first.inner_text().endswith(
        "ida"
    )
    write_name(page, "ben")
    page.wait_for_function("() => document.querySelector('.dt-who').textContent.endsWith('ben')")
    for box in page.locator(".name-card input, .name-card button").all():
        assert box.bounding_box()["height"] >= 44
    page.context.close()
    other = open_exercise(lab, browser, "01")
    assert other.locator(".name-card input").first.input_value() == "ben"
    other.wait_for_function(TABLES, arg=2)
    other.context.close()


def test_a_draft_on_paper_is_typed_wrongly_then_rightly_and_kept(lab, browser, tmp_path):
    page = open_exercise(lab, browser, "02", "paper.ipynb")
    write_name(page, "eva")
    work = exercises()["02a"]
    typed = filled(work, work.own_numbers("eva"), times=0.5, write=lambda cm: f"{cm:.2f}".replace(".", ","))
    form = open_form(page)
    tools.fill(form, {**typed, "side hip|across": "ten"})
    form.locator('[data-key="side hip|up"]').press("Tab")
    beside = form.locator('[data-row="side hip"] .pf-fault:visible')
    beside.first.wait_for()
    assert "'ten' is not a length" in beside.first.inner_text()
    tools.fill(form, typed)
    compare(page, form)
    question = form.locator(".pf-question")
    assert "Was this drawn at half scale?" in question.inner_text()
    question.get_by_role("button", name="Yes").click()
    page.wait_for_function("() => document.querySelector('.pf-mark').textContent === '8 of 8.'")
    tools.fill(form, {"side hip|across": "30 cm"})
    assert compare(page, form) != "8 of 8."
    remark = form.locator('[data-row="side hip"] .pf-remark')
    assert remark.inner_text().startswith("side hip: off by")
    tools.fill(form, {"side hip|across": typed["side hip|across"]})
    assert compare(page, form) == "8 of 8."
    form.get_by_role("button", name="Make the worksheet").click()
    form.locator(".pf-link a").wait_for()
    assert (lab.folder / form.locator(".pf-link a").get_attribute("download")).read_bytes()[:5] == b"%PDF-"
    tools.save(page)
    saved = lab.folder / "paper.ipynb"
    (record,) = (read(raw) for raw in read_notebook(saved.read_bytes()).records)
    assert (record.student, record.way) == ("eva", "paper")
    hand_ins = tmp_path / "hand-ins"
    hand_ins.mkdir()
    shutil.copy(saved, hand_ins / "eva.ipynb")
    assert assess_command([str(hand_ins), "--out", str(tmp_path / "marks")]) == 0
    (row,) = csv.DictReader((tmp_path / "marks" / "marks.csv").open(encoding="utf-8-sig"))
    assert (row["mark"], row["way"]) == ("8", "paper")
    tools.run_to_the_end(page)
    page.wait_for_selector(".paper-form[open]")
    assert page.locator('[data-key="side hip|across"]').first.input_value() == typed["side hip|across"]
    page.context.close()


@pytest.mark.slow
def test_a_piece_on_paper_is_typed_rightly_and_wrongly(lab, browser):
    """Allowances, what is folded first, and a cut line with a place more than the form begins with."""
    page = open_exercise(lab, browser, "10", "piece.ipynb")
    write_name(page, "eva")
    work = exercises()["10a"]
    typed = filled(work, work.own_numbers("eva"))
    form = open_form(page)
    tools.fill(form, typed)
    out_of = f"{sum(asked.weight for asked in work.asked):g}"
    assert compare(page, form) == f"{out_of} of {out_of}."
    tools.fill(
        form,
        {
            "back pocket: allowance of opening|wide": "1",
            "back pocket: corner of opening / inner side|first": "inner side",
        },
    )
    assert compare(page, form) != f"{out_of} of {out_of}."
    for part in ("allowance of opening", "corner of opening / inner side"):
        assert form.locator(f'[data-row="back pocket: {part}"] .pf-remark').inner_text()
    page.context.close()


def test_a_notebook_is_worked_through_by_keys_alone(lab, browser):
    """Run, name, a hint, the frame on the table, the comparison, saved: no hand on the mouse."""
    (path,) = (tools.REPO / "exercises").glob("02_*.ipynb")
    file = "keys.ipynb"
    page = tools.open_page(browser, lab.write(file, nbformat.read(path, as_version=4)), height=1000)
    page.locator(".jp-Notebook").focus()
    page.keyboard.press("Escape")
    page.keyboard.press("Control+Home")
    for _ in range(4):
        page.keyboard.press("Shift+Enter")
    page.wait_for_selector(".name-card input")
    tab_to(
        page,
        "() => document.activeElement.closest('.name-card') && document.activeElement.id.endsWith('student')",
    )
    page.keyboard.press("Control+a")
    page.keyboard.type("kim")
    page.keyboard.press("Enter")
    page.wait_for_selector(".draft-table .dt-field")
    table = Table(page, lab, file)
    table.reach()
    for step in FRAME_BY_KEYS:
        table.type(*step)
    table.settle()
    tab_to(page, "() => document.activeElement.classList.contains('dt-hint')")
    page.keyboard.press("Enter")
    assert page.locator(".dt-hints li").count() == 1
    compare = "() => document.activeElement.classList.contains('dt-compare')"
    tab_to(page, compare, back=True)
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('p.dt-mark').textContent === '8 of 8.'")
    page.wait_for_timeout(300)
    assert page.evaluate(compare), "the key keeps the focus"
    page.keyboard.press("Control+s")  # the notebook is saved, though the table keeps its keys
    page.wait_for_selector(".lm-TabBar-tab.jp-mod-current:not(.jp-mod-dirty)")
    (record,) = (read(raw) for raw in read_notebook((lab.folder / file).read_bytes()).records)
    assert (record.student, record.way, record.hints, len(record.steps)) == ("kim", "table", 1, 8)
    page.context.close()


def tab_to(page, there: str, *, back: bool = False) -> None:
    for _ in range(90):
        if page.evaluate(there):
            return
        page.keyboard.press("Shift+Tab" if back else "Tab")
    raise AssertionError("not reached with Tab")


MEASURING = "from patternlib.boards.measuring import measuring_form\nmeasuring_form()"


@pytest.mark.slow
def test_a_body_is_measured_by_keys_alone_and_found_again(lab, browser):
    """Enter leads on; a third reading, a slip put right by its button; fingers have room on a phone."""
    (lab.folder / "me.toml").unlink(missing_ok=True)
    page = tools.open_page(browser, lab.write("me.ipynb", tools.notebook(MEASURING)), width=390)
    tools.run_to_the_end(page)
    form = page.locator(".measuring")
    form.locator('[data-key="bust_girth|1"]').focus()
    for text in ("88", "88,4", "70", "72.5", "70.4", "37 1/2 in", "", "66"):
        page.keyboard.type(text)
        page.keyboard.press("Enter")
    form.locator('.me-list [data-name="height"]').press("Enter")
    form.get_by_role("button", name="Were these inches? Take 167.6 cm").press("Enter")
    taken = "() => document.querySelector('.me-value').textContent === 'Taken: 167.6 cm'"
    page.wait_for_function(taken)
    assert form.get_by_role("status").last.inner_text().startswith("Saved in me.toml: 4 of 24 measures.")
    for control in form.locator("button:visible, input:visible, select:visible, summary:visible").all():
        assert control.bounding_box()["height"] >= 44
    assert form.evaluate("e => e.scrollWidth <= e.clientWidth")
    page.emulate_media(forced_colors="active")
    assert form.locator(".me-near .me-tape").evaluate("e => getComputedStyle(e).stroke") != "none"
    tools.run_to_the_end(page)
    page.wait_for_function(
        "() => document.querySelector('[data-name=hip_girth] b')?.textContent === '95.3 cm'"
    )
    page.context.close()


def test_the_form_of_the_project_keeps_what_is_typed_and_checks_it(lab, browser):
    """A garment changes the offers after it; a wrong field has its sentence; all is there when run again."""
    cell = "from patternlib.assess.project.form import ProjectForm\nform = ProjectForm('eva')\nform"
    page = tools.open_page(browser, lab.write("project.ipynb", tools.notebook(cell)))
    tools.run_to_the_end(page)
    form = page.locator(".project-form").first
    tools.fill(form, {"style||garment": "smock", "measures|bust_girth|length": "ninety"})
    values = form.locator('[data-key="style|1|value"]')
    page.wait_for_function(
        "e => [...e.options].some(o => o.value === 'bust ease')", arg=values.element_handle()
    )
    beside = form.locator(".pf-fault:not([hidden])")
    beside.wait_for()
    assert "'ninety' is not a length" in beside.inner_text()
    tools.fill(
        form, {"measures|bust_girth|length": "36 in", "style|1|value": "bust ease", "style|1|is": "20"}
    )
    form.get_by_role("button", name="Add a value").click()
    tools.fill(form, {"style|5|why": "for work"})
    key = form.get_by_role("button", name="Check my project")
    key.click()
    page.wait_for_function("() => document.querySelector('.pj-notes li')")
    assert "waist" in form.locator(".pj-measures .pj-notes").inner_text().lower() and key.is_enabled()
    tools.run_to_the_end(page)
    page.wait_for_selector(".project-form")
    again = page.locator(".project-form").first
    kept = {"style||garment": "smock", "style|1|value": "bust ease", "style|5|why": "for work"}
    for name, text in (kept | {"measures|bust_girth|length": "36 in"}).items():
        assert again.locator(f'[data-key="{name}"]').input_value() == text
    page.context.close()


SHEET = """
import patternlib as pl
from patternlib.fitting import changes_form
changes_form(pl.chart("course").body("12"))
"""


def test_the_sheet_of_changes_is_kept_by_keys_alone(lab, browser):
    """A sign, a pinch and Enter write a line; a wrong pinch is refused; it is there when run again."""
    kept = lab.folder / "my_changes.toml"
    page = tools.open_page(browser, lab.write("sheet.ipynb", tools.notebook(SHEET)), width=768)
    tools.run_cell(page, 0)
    form = page.locator(".fitting-sheet")
    form.wait_for()
    form.get_by_label("Sign on the body").focus()
    page.keyboard.type("left hip")  # a list is searched by its first letters
    assert form.get_by_label("Sign on the body").input_value() == "left hip higher"
    assert "Let the skirt down at that side" in form.inner_text()
    page.keyboard.press("Tab")
    page.keyboard.type("40")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.fi-status').innerText.includes('must lie')")
    assert not kept.exists()
    form.get_by_label("Pinched").fill("3/4 in")
    page.keyboard.press("Tab")
    page.keyboard.type("seen twice")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.fi-status').innerText.includes('version 2')")
    assert 'sign = "left hip higher"' in kept.read_text(encoding="utf-8")
    row = form.locator("table tr").last.inner_text()
    assert "1.9 cm" in row and "seen twice" in row and "left hip higher" in row
    wide = "e => e.scrollWidth <= e.clientWidth + 1"
    assert form.evaluate(wide), "nothing stands beyond the edge of a narrow page"
    tools.run_cell(page, 0)  # the same sheet again
    page.wait_for_function("() => document.querySelector('.fi-table')?.innerText.includes('seen twice')")
    page.locator(".fitting-sheet").get_by_role("button", name="Take back the last line").click()
    page.wait_for_function("() => document.querySelector('.fi-status').innerText.includes('version 1')")
    assert "left hip" not in kept.read_text(encoding="utf-8")
    page.context.close()

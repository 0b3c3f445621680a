"""The course as a page, built by its one command and used in a browser that reaches no other address.

The learner's way: lesson 00, own measures, a strap printed, an exercise on the drafting table, take home,
clear this computer, bring back, hand in; the class command then gives the same mark as the page did. Every
notebook, sizes and times: `python -m tests.course_page_benchmark`.
"""

from __future__ import annotations

import base64
import csv
import io
import zipfile
from pathlib import Path

import pytest
from pypdf import PdfReader

from patternlib import own_body, own_garment
from patternlib.__main__ import main
from patternlib.assess import exercises, read
from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.learner.photographs import ONLY_LAB
from patternlib.assess.marking.command import assess_command
from patternlib.boards import piece_button
from tests import browser_tools as tools
from tests import messy_class
from tests.course_page_tools import READY, Server, Visit
from tests.table_steps import table_steps
from tests.table_tools import Table

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    tools.needed("the course as a page needs")
    pytest.importorskip("jupyterlite_core", reason="built with the extra 'page'")
    folder = tmp_path_factory.mktemp("page") / "site"
    assert main(["course-page", "--out", str(folder)]) == 0
    return folder


@pytest.fixture
def visiting(site, browser):
    """Opens a window at the page; at the end nothing was asked from any other address."""
    visits, server = [], Server(site)

    def opened(**window) -> Visit:
        visits.append(Visit(server, browser.new_context(accept_downloads=True, **window)))
        return visits[-1]

    yield opened
    for visit in visits:
        visit.context.close()
    server.close()
    assert not [address for visit in visits for address in visit.asked_elsewhere]


@pytest.mark.parametrize("size", [(820, 1180), (1280, 900)])
def test_a_learners_way_from_the_first_lesson_to_the_mark(visiting, size, tmp_path):
    visit = visiting(viewport={"width": size[0], "height": size[1]})
    page = visit.page
    page.goto(f"{visit.url}notebooks/index.html?path=lessons/00_start_here.ipynb")
    page.wait_for_selector(".draft-board-still img", timeout=120_000)
    assert not page.evaluate(READY), "the picture of the first board is there before Python is"
    page.wait_for_function(READY, timeout=180_000)
    assert not [cell for cell in visit.run() if cell[2] or not cell[0]]
    with visit.context.expect_page() as opened:
        page.get_by_role("link", name="glossary").click()
    opened.value.wait_for_selector(".cm-content:has-text('Allowance')", timeout=60_000)
    opened.value.close()
    page.click("#way-back")
    page.wait_for_selector("#saved a:has-text('00 · Start here')")
    measure_oneself(visit)
    strap = print_a_strap(visit)
    visit.home()
    assert page.get_by_role("link", name="Find the slip").count() == 1
    visit.open("exercises/02_straight_skirt_block.ipynb")
    visit.run()
    page.locator(".name-card input").first.fill("mira")
    page.keyboard.press("Enter")
    page.wait_for_selector(".draft-table .dt-field", timeout=60_000)
    assert ONLY_LAB in page.locator(".ph-part").first.text_content(), "no browser reads photographs"
    table = Table(page, None, "")
    table.root.locator("[data-place=verb]").click()
    work = exercises()["02a"]
    for step in table_steps(work, work.own_numbers("mira")):
        table.draw(step)
    mark, lines = table.compare()
    assert "8 of 8" in mark and all("right" in line for line in lines), (mark, lines)
    visit.save()
    visit.home()
    taken = visit.download("#take", tmp_path)
    home = zipfile.ZipFile(taken)
    assert "exercises/02_straight_skirt_block.ipynb" in home.namelist()
    (tmp_path / "me.toml").write_bytes(home.read("lessons/me.toml"))
    assert home.read("lessons/strap.pdf") == strap and same_as_printed_here(strap, tmp_path)
    page.click("#clear")
    page.click("text=Yes, clear it")
    page.wait_for_function("() => document.getElementById('said').textContent.includes('nothing of yours')")
    assert page.inner_text("#saved") == "Nothing yet."
    page.set_input_files("#files", taken)
    page.wait_for_selector("#saved a")
    assert "lessons/me.toml" in page.inner_text("#saved") and "lessons/strap.pdf" in page.inner_text("#saved")
    (tmp_path / "in").mkdir()
    handed = visit.download("#hand", tmp_path / "in")
    assert handed.name == "mira.zip"
    handed.rename(handed.with_name("mira (1).zip"))  # as a folder of downloads names the second one
    assert assess_command([str(tmp_path / "in"), "--out", str(tmp_path / "out")]) == 0
    with (tmp_path / "out" / "marks.csv").open(encoding="utf-8-sig") as file:
        rows = [row for row in csv.DictReader(file) if row["exercise"] == "02a"]
    assert [(row["student"], row["mark"], row["out of"]) for row in rows] == [("mira", "8", "8")]


def measure_oneself(visit: Visit) -> None:
    """The three girths and the height, typed into the form of lesson 01."""
    visit.open("lessons/01_measuring_a_body.ipynb")
    assert not [cell for cell in visit.run() if cell[2] or not cell[0]]
    form = visit.page.locator(".measuring")
    form.locator('[data-key="bust_girth|1"]').focus()
    for text in ("104", "", "88.5", "", "112", "", "171"):
        visit.page.keyboard.type(text)
        visit.page.keyboard.press("Enter")
    said = "() => /Saved in me.toml: 4 of/.test(document.querySelector('.measuring').textContent)"
    visit.page.wait_for_function(said, timeout=60_000)


def print_a_strap(visit: Visit) -> bytes:
    """The button of lesson 08, on these measures."""
    visit.open("lessons/08_straps_and_fittings.ipynb")
    assert not [cell for cell in visit.run() if cell[2] or not cell[0]]
    visit.page.get_by_role("button", name="Print the strap in true size").click()
    link = visit.page.locator('a[download="strap.pdf"]')
    link.wait_for(timeout=60_000)
    return base64.b64decode(link.get_attribute("href").partition(",")[2])


def same_as_printed_here(pdf: bytes, folder: Path) -> bool:
    """Whether Python on this machine draws the same lines on every page from the me.toml in a folder."""
    body = own_body(file=folder / "me.toml")
    assert (body.bust_girth, body.height) == (104, 171)
    piece_button(own_garment(body).piece("strap"), folder=folder).print()
    ours = PdfReader(folder / "strap.pdf").pages
    return [page.get_contents().get_data() for page in PdfReader(io.BytesIO(pdf)).pages] == [
        page.get_contents().get_data() for page in ours
    ]


def test_a_project_is_handed_in_and_marked_at_home(visiting, tmp_path):
    """The form of lesson 16 typed in the page; the class command reads it as it reads one typed at home."""
    visit = visiting(viewport={"width": 820, "height": 1180})
    visit.open("lessons/16_project.ipynb")
    assert not [cell for cell in visit.run() if cell[2] or not cell[0]]
    visit.page.locator(".name-card input").first.fill("s01")
    visit.page.keyboard.press("Enter")
    form = visit.page.locator(".project-form").first
    form.wait_for(timeout=60_000)
    (record,) = (read(raw) for raw in read_notebook(messy_class.project("s01")).records)
    tools.fill(form, {key: text for key, text in record.typed.items() if not key.startswith("photographs")})
    form.get_by_role("button", name="Check my project").click()
    form.locator(".pf-mark:has-text('thing')").or_(form.locator(".pf-mark:has-text('All that')")).wait_for(
        timeout=60_000
    )
    visit.save()
    visit.home()
    (tmp_path / "page").mkdir()
    handed = visit.download("#hand", tmp_path / "page")
    assert zipfile.ZipFile(handed).namelist() == ["lessons/16_project.ipynb"] and handed.name == "s01.zip"
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "s01.ipynb").write_bytes(messy_class.project("s01"))
    rows = {}
    for place in ("page", "home"):
        assert assess_command([str(tmp_path / place), "--out", str(tmp_path / f"marks of {place}")]) == 0
        rows[place] = project_rows(tmp_path / f"marks of {place}")
    assert rows["page"] == rows["home"]


BUSY = """async () => {
  const { kernel } = jupyterapp.shell.currentWidget.context.sessionContext.session;
  kernel.requestExecute({ code: "import time; time.sleep(4)" });
}"""
"""Python has something else to do for a while."""


@pytest.mark.parametrize("way", ["left", "open in another tab"])
def test_what_was_typed_last_is_handed_in(visiting, tmp_path, way):
    """On a slow machine: the name is not written yet, the last field is not left, Python is at work."""
    visit = visiting(viewport={"width": 820, "height": 1180})
    page = visit.page
    visit.open("lessons/16_project.ipynb")
    visit.run()
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
    page.locator(".name-card input").first.fill("s01")
    if way == "left":  # a name that only stands in its field is taken in, too
        page.click("#way-back")
        page.wait_for_selector("#saved a")
        visit.open("lessons/16_project.ipynb")
        visit.run()
    else:
        page.keyboard.press("Enter")
    form = page.locator(".project-form").first
    form.wait_for(timeout=60_000)
    fields = form.locator("input[type=text]:not([readonly])")
    fields.nth(0).fill("stays")
    page.wait_for_function("() => document.querySelector('.project-form').dataset.answered.endsWith(':1')")
    page.evaluate(BUSY)
    fields.nth(1).press_sequentially("typed last")
    key = fields.nth(1).get_attribute("data-key")
    if way == "left":
        page.click("#way-back")
        page.wait_for_selector("#lessons a")
    else:
        visit.page = visit.context.new_page()
        visit.home()
    handed = visit.download("#hand", tmp_path)
    told = visit.page.inner_text("#said")
    assert "Give s01.zip" in told and "The project (answers of 16; saved" in told, told
    (name,) = zipfile.ZipFile(handed).namelist()
    (record,) = (read(raw) for raw in read_notebook(zipfile.ZipFile(handed).read(name)).records)
    assert record.typed[key] == "typed last" and "stays" in record.typed.values()


@pytest.mark.parametrize("first", ["index.html", "notebooks/index.html?path=lessons/00_start_here.ipynb"])
def test_a_second_visit_needs_no_server(visiting, first):
    """The first visit begins on the page of all lessons or on a lesson; then the server is gone."""
    visit = visiting(viewport={"width": 820, "height": 1180})
    page = visit.page
    page.goto(visit.url + first)
    if first == "index.html":
        visit.open("lessons/00_start_here.ipynb")
    page.wait_for_selector("[data-kept]", timeout=120_000, state="attached")
    visit.server.close()
    visit.home()
    page.wait_for_selector("#away:has-text('cannot be reached')")
    page.wait_for_selector("#lessons a.not-here:has-text('05')")
    assert page.locator("#lessons a:has-text('00')").get_attribute("class") != "not-here"
    page.click("#begin")
    visit.ready()
    assert not [cell for cell in visit.run() if cell[2] or not cell[0]]
    page.wait_for_function(MOVED_ONCE, timeout=60_000)
    visit.go("lessons/05_lines_that_meet.ipynb")
    page.wait_for_selector("#barred:has-text('this lesson was never opened in this browser')")


MOVED_ONCE = """() => {
  const slider = document.querySelector(".draft-board input[type=range]");
  const board = slider?.closest(".draft-board");
  if (!board) return false;
  if (!slider.dataset.moved) {
    slider.dataset.moved = "yes";
    slider.value = Number(slider.value) + 4 * Number(slider.step);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
  }
  return parseFloat(board.dataset.shown) === Number(slider.value) && board.dataset.exact !== "no";
}"""
"""Whether a board has followed its slider, which is moved once."""


def test_the_whole_course_is_kept_by_one_button(site, visiting):
    visit = visiting(viewport={"width": 390, "height": 844})
    page = visit.page
    visit.home()
    page.click("#keep")
    page.wait_for_selector("#said:has-text('whole course is kept')", timeout=120_000)
    visit.server.close()
    visit.home()
    page.wait_for_selector("#away:has-text('cannot be reached')")
    page.wait_for_selector("#kept:has-text('every lesson opens')")
    assert page.locator(".not-here").count() == 0
    visit.open("lessons/05_lines_that_meet.ipynb")
    assert not [cell for cell in visit.run() if cell[2] or not cell[0]]
    for button in (".jp-ToolbarButton:has-text('Run all')", ".jp-Notebook-ExecutionIndicator"):
        assert in_sight(page, button), "at the width of a telephone"
    assert page.locator(".lm-MenuBar-itemLabel").all_inner_texts() == ["File", "Edit", "Run", "Kernel"]


def in_sight(page, what: str) -> bool:
    """Whether a thing lies in the window and nothing lies on it."""
    return page.locator(what).first.evaluate(
        """(e) => {
          const { left, right, top, bottom } = e.getBoundingClientRect();
          const there = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
          const inside = right > left && left >= 0 && right <= innerWidth;
          return inside && (e.contains(there) || there?.contains(e));
        }"""
    )


def project_rows(marks: Path) -> list[tuple[str, ...]]:
    with (marks / "marks.csv").open(encoding="utf-8-sig") as file:
        wanted = ("student", "exercise", "proposed", "out of", "state")
        return [tuple(row[name] for name in wanted) for row in csv.DictReader(file)]


def test_a_lesson_that_lacks_a_package_goes_on_with_its_saved_pictures(site, visiting):
    """Where shapely is left out: the garment as worn is shown as it was saved, every other cell runs."""
    visit = visiting()
    visit.open("lessons/21_smock.ipynb")
    cells = visit.run()
    assert len(cells) > 20 and not [cell for cell in cells if cell[2] or not cell[0]]
    if "shapely" in (site / "course-page.json").read_text(encoding="utf-8"):
        note = visit.page.locator(".jp-MarkdownCell:has-text('As it was saved on size 12')")
        assert note.locator('.jp-RenderedMarkdown img[src^="data:"]').evaluate(
            "i => i.complete && i.naturalWidth > 100"
        )


def test_where_the_browser_bars_it_one_sentence_says_so(visiting):
    """As in a private window or by a school's settings: no worker in the background is allowed."""
    visit = visiting(service_workers="block")
    only_to_be_read(visit.page, visit.url)


def test_a_plain_http_address_can_only_be_read(site, browser):
    """Browsers allow the worker at https and at this machine's own address only (W3C Secure Contexts)."""
    server = Server(site)
    named = "--host-resolver-rules=MAP school.test 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
    other = browser.browser_type.launch(executable_path=tools.find_browser(), args=[*tools.FLAGS, named])
    only_to_be_read(other.new_page(), server.url.replace("127.0.0.1", "school.test"))
    other.close()
    server.close()


def only_to_be_read(page, url: str) -> None:
    page.goto(url)
    page.wait_for_selector("#said:has-text('nothing runs and no work is kept')", timeout=30_000)
    page.wait_for_selector("#lessons a")
    assert page.locator("#take").is_disabled() and page.locator("#hand").is_disabled()
    page.goto(f"{url}notebooks/index.html?path=lessons/00_start_here.ipynb")
    page.wait_for_selector("#barred:has-text('nothing runs')", timeout=60_000)
    page.wait_for_selector(".draft-board-still img", timeout=60_000)


def test_what_is_brought_back_never_replaces_other_work_unasked(visiting, tmp_path):
    visit = visiting(viewport={"width": 820, "height": 1180})
    visit.home()
    (tmp_path / "me.toml").write_text("height = 171\n", encoding="utf-8")
    visit.page.set_input_files("#files", tmp_path / "me.toml")
    visit.page.wait_for_selector("#saved a:has-text('lessons/me.toml')")
    with zipfile.ZipFile(tmp_path / "home.zip", "w") as home:
        home.writestr("lessons/me.toml", "height = 158\n")
        home.writestr("lessons/my-pinafore/cutting-list.txt", "18 pieces\n")
        home.writestr("elsewhere/x.txt", "not of the course")
    for answer, height in (("Keep what is here", "171"), ("Yes, replace it", "158")):
        visit.page.set_input_files("#files", tmp_path / "home.zip")
        visit.page.get_by_role("button", name=answer).click()
        visit.page.wait_for_selector("#said:has-text('brought back')")
        visit.home()
        taken = zipfile.ZipFile(visit.download("#take", tmp_path))
        assert sorted(taken.namelist()) == ["lessons/me.toml", "lessons/my-pinafore/cutting-list.txt"]
        assert height in taken.read("lessons/me.toml").decode()
    visit.page.set_input_files("#files", tmp_path / "home.zip")  # the same content: nothing is asked
    visit.page.wait_for_selector("#said:has-text('brought back')")


def test_a_newer_edition_is_offered_beside_the_saved_lesson(site, visiting):
    visit = visiting()
    visit.open("lessons/15_paper_and_files.ipynb")
    visit.save()
    visit.home()
    assert visit.page.locator("#saved button").count() == 0
    changed = site / "files" / "lessons" / "15_paper_and_files.ipynb"
    text = changed.read_text(encoding="utf-8")
    try:
        changed.write_text(text.replace("# 15", "# Newly written: 15", 1), encoding="utf-8")
        visit.home()
        visit.page.locator("#saved button").click()
        visit.page.wait_for_selector("h1:has-text('Newly written')", timeout=60_000)
        assert "new%20edition" in visit.page.url
    finally:
        changed.write_text(text, encoding="utf-8")

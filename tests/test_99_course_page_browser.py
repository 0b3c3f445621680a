"""The course as a page, built by its one command and used in a browser that reaches no other address.

The learner's way: lesson 00, own measures, a strap printed, an exercise on the drafting table, take home,
clear this computer, bring back, hand in; the class command then gives the same mark as the page did. To open
every lesson of a page that was built into DIR, with sizes and times, run
`python -m tests.test_99_course_page_browser DIR`.
"""

from __future__ import annotations

import base64
import csv
import functools
import gzip
import http.server
import io
import sys
import threading
import time
import zipfile
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from pypdf import PdfReader

from patternlib import own_body, own_garment
from patternlib.__main__ import main
from patternlib.assess import exercises
from patternlib.assess.marking.command import assess_command
from patternlib.boards import piece_button
from tests import browser_tools as tools
from tests.table_steps import table_steps
from tests.table_tools import Table

pytestmark = [pytest.mark.browser, pytest.mark.slow]

READY = """() => {
  const context = globalThis.jupyterapp?.shell.currentWidget?.context;
  return context?.sessionContext.session?.kernel?.status === "idle";
}"""
CELLS = """() => {
  const cells = [...jupyterapp.shell.currentWidget.content.model.cells].filter((c) => c.type === "code");
  const error = (c) => [...Array(c.outputs.length).keys()].map((k) => c.outputs.get(k).toJSON())
    .filter((o) => o.output_type === "error").map((o) => `${o.ename}: ${o.evalue}`).join(" ");
  return cells.map((c) => [c.executionCount, c.sharedModel.source.split("\\n")[0], error(c)]);
}"""


class Handler(http.server.SimpleHTTPRequestHandler):
    extensions_map = {  # noqa: RUF012
        **http.server.SimpleHTTPRequestHandler.extensions_map,
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
    }

    def do_GET(self) -> None:
        self.server.asked.append(unquote(urlsplit(self.path).path).lstrip("/"))  # type: ignore[attr-defined]
        super().do_GET()

    def log_message(self, *_) -> None:
        pass


class Served:
    """A folder on a web server of this machine, and a browser that may not ask anybody else."""

    def __init__(self, folder: Path, browser, **window) -> None:
        self.server = http.server.ThreadingHTTPServer(
            ("127.0.0.1", 0), functools.partial(Handler, directory=str(folder))
        )
        self.server.asked = []  # type: ignore[attr-defined]
        self.folder = folder
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        self.url = f"http://127.0.0.1:{self.server.server_port}/"
        self.asked_elsewhere: list[str] = []
        self.context = browser.new_context(accept_downloads=True, **window)
        self.context.route("**/*", self._only_here)
        self.page = self.context.new_page()

    def _only_here(self, route) -> None:
        if route.request.url.startswith((self.url, "data:", "blob:")):
            return route.continue_()
        self.asked_elsewhere.append(route.request.url)
        return route.abort()

    def sent(self) -> tuple[int, float]:
        """How many files the browser asked the server for, and their size in MB, compressed."""
        paths = [self.folder / (name or "index.html") for name in self.server.asked]  # type: ignore[attr-defined]
        files = [path for path in paths if path.is_file()]
        sizes = {path: len(gzip.compress(path.read_bytes(), 6)) for path in set(files)}
        return len(files), sum(sizes[path] for path in files) / 1e6

    def open(self, notebook: str) -> float:
        """Open a notebook; returns the seconds until Python is ready."""
        started = time.perf_counter()
        self.page.goto(f"{self.url}notebooks/index.html?path={notebook}")
        self.page.wait_for_selector(".jp-Cell", timeout=120_000)
        self.page.wait_for_function(READY, timeout=180_000)
        return time.perf_counter() - started

    def run(self) -> list[list]:
        """Run all cells: [how often it ran, first line, error] of each cell of code."""
        self.page.evaluate("() => jupyterapp.commands.execute('notebook:run-all-cells')")
        return self.page.evaluate(CELLS)

    def save(self) -> None:
        self.page.evaluate("() => jupyterapp.commands.execute('docmanager:save')")

    def home(self) -> None:
        self.page.goto(self.url)
        self.page.wait_for_selector("#lessons a")

    def download(self, button: str, folder: Path) -> Path:
        with self.page.expect_download() as waited:
            self.page.click(button)
        path = folder / waited.value.suggested_filename
        waited.value.save_as(path)
        return path

    def close(self) -> None:
        self.context.close()
        self.server.shutdown()


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    tools.needed("the course as a page needs")
    pytest.importorskip("jupyterlite_core", reason="built with the extra 'page'")
    folder = tmp_path_factory.mktemp("page") / "site"
    assert main(["course-page", "--out", str(folder)]) == 0
    return folder


@pytest.mark.parametrize("size", [(820, 1180), (1280, 900)])
def test_a_learners_way_from_the_first_lesson_to_the_mark(site, browser, size, tmp_path):
    served = Served(site, browser, viewport={"width": size[0], "height": size[1]})
    page = served.page
    page.goto(f"{served.url}notebooks/index.html?path=lessons/00_start_here.ipynb")
    page.wait_for_selector(".draft-board-still img", timeout=120_000)
    assert not page.evaluate(READY), "the picture of the first board is there before Python is"
    page.wait_for_function(READY, timeout=180_000)
    assert not [cell for cell in served.run() if cell[2] or not cell[0]]
    measure_oneself(served)
    strap = print_a_strap(served)
    served.home()
    assert page.get_by_role("link", name="Find the slip").count() == 1
    served.open("exercises/02_straight_skirt_block.ipynb")
    served.run()
    page.locator(".name-card input").first.fill("mira")
    page.keyboard.press("Enter")
    page.wait_for_selector(".draft-table .dt-field", timeout=60_000)
    table = Table(page, None, "")
    table.root.locator("[data-place=verb]").click()
    work = exercises()["02a"]
    for step in table_steps(work, work.own_numbers("mira")):
        table.draw(step)
    mark, lines = table.compare()
    assert "8 of 8" in mark and all("right" in line for line in lines), (mark, lines)
    served.save()
    served.home()
    taken = served.download("#take", tmp_path)
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
    handed = served.download("#hand", tmp_path / "in")
    assert handed.name == "mira.zip"
    handed.rename(handed.with_name("mira (1).zip"))  # as a folder of downloads names the second one
    assert assess_command([str(tmp_path / "in"), "--out", str(tmp_path / "out")]) == 0
    with (tmp_path / "out" / "marks.csv").open(encoding="utf-8-sig") as file:
        rows = [row for row in csv.DictReader(file) if row["exercise"] == "02a"]
    assert [(row["student"], row["mark"], row["out of"]) for row in rows] == [("mira", "8", "8")]
    assert not served.asked_elsewhere
    served.close()


def measure_oneself(served: Served) -> None:
    """The three girths and the height, typed into the form of lesson 01."""
    served.open("lessons/01_measuring_a_body.ipynb")
    assert not [cell for cell in served.run() if cell[2] or not cell[0]]
    form = served.page.locator(".measuring")
    form.locator('[data-key="bust_girth|1"]').focus()
    for text in ("104", "", "88.5", "", "112", "", "171"):
        served.page.keyboard.type(text)
        served.page.keyboard.press("Enter")
    said = "() => /Saved in me.toml: 4 of/.test(document.querySelector('.measuring').textContent)"
    served.page.wait_for_function(said, timeout=60_000)


def print_a_strap(served: Served) -> bytes:
    """The button of lesson 08, on these measures."""
    served.open("lessons/08_straps_and_fittings.ipynb")
    assert not [cell for cell in served.run() if cell[2] or not cell[0]]
    served.page.get_by_role("button", name="Print the strap in true size").click()
    link = served.page.locator('a[download="strap.pdf"]')
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


def test_a_lesson_that_lacks_a_package_goes_on_with_its_saved_pictures(site, browser):
    """Where shapely is left out: the garment as worn is shown as it was saved, every other cell runs."""
    served = Served(site, browser)
    served.open("lessons/21_smock.ipynb")
    cells = served.run()
    assert len(cells) > 20 and not [cell for cell in cells if cell[2] or not cell[0]]
    if "shapely" in (site / "course-page.json").read_text(encoding="utf-8"):
        note = served.page.locator(".jp-MarkdownCell:has-text('As it was saved on size 12')")
        assert note.locator('.jp-RenderedMarkdown img[src^="data:"]').evaluate(
            "i => i.complete && i.naturalWidth > 100"
        )
    served.close()


def test_where_the_browser_bars_it_one_sentence_says_so(site, browser):
    """As in a private window or by a school's settings: no worker in the background is allowed."""
    served = Served(site, browser, service_workers="block")
    page = served.page
    page.goto(served.url)
    page.wait_for_selector("#said:has-text('nothing runs and no work is kept')", timeout=30_000)
    page.wait_for_selector("#lessons a")  # lessons can be read
    assert page.locator("#take").is_disabled() and page.locator("#hand").is_disabled()
    page.goto(f"{served.url}notebooks/index.html?path=lessons/00_start_here.ipynb")
    page.wait_for_selector("#barred:has-text('nothing runs')", timeout=60_000)
    page.wait_for_selector(".draft-board-still img", timeout=60_000)
    served.close()


def test_a_newer_edition_is_offered_beside_the_saved_lesson(site, browser):
    served = Served(site, browser)
    served.open("lessons/15_paper_and_files.ipynb")
    served.save()
    served.home()
    assert served.page.locator("#saved button").count() == 0
    changed = site / "files" / "lessons" / "15_paper_and_files.ipynb"
    text = changed.read_text(encoding="utf-8")
    try:
        changed.write_text(text.replace("# 15", "# Newly written: 15", 1), encoding="utf-8")
        served.home()
        served.page.locator("#saved button").click()
        served.page.wait_for_selector("h1:has-text('Newly written')", timeout=60_000)
        assert "new%20edition" in served.page.url
    finally:
        changed.write_text(text, encoding="utf-8")
    served.close()


def every_lesson(folder: Path) -> None:
    """Print sizes, times, and the cells that fail, of every lesson of a built page."""
    files = [path for path in folder.rglob("*") if path.is_file()]
    print(f"{sum(path.stat().st_size for path in files) / 1e6:.1f} MB in {len(files)} files")
    with tools.chromium() as browser:
        served = Served(folder, browser)
        served.home()
        for path in sorted((folder / "files" / "lessons").glob("*.ipynb")):
            ready = served.open(f"lessons/{path.name}")
            started = time.perf_counter()
            cells = served.run()
            ran = time.perf_counter() - started
            fine = sum(1 for cell in cells if cell[0] and not cell[2])
            print(f"{path.stem}: {fine} of {len(cells)} cells; ready in {ready:.1f} s, run in {ran:.1f} s")
            if path.stem.startswith("00"):
                asked, sent = served.sent()
                print(f"    first visit: {asked} files asked for, {sent:.1f} MB compressed")
            for _, line, error in cells:
                if error:
                    print(f"    {line} {error}")
        print("asked elsewhere:", served.asked_elsewhere or "nothing")
        served.close()


if __name__ == "__main__":
    every_lesson(Path(sys.argv[1]))

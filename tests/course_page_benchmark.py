"""How fast the course as a page is: first visit, second visit, what is sent, how a board follows the hand.

    python -m tests.course_page_benchmark [FOLDER] [--visits 3]
    python -m tests.course_page_benchmark [FOLDER] [--lessons] [--exercises]
    python -m tests.course_page_benchmark --against-matplotlib

FOLDER: a page that `patternlib course-page` has built; without it one is built. The browser is closed between
visits and keeps its files on the disk, as a learner's does; it reaches no other address. --lessons and
--exercises open every notebook, run all its cells and print the cells that fail. Seconds mean little while
other programs run: the load of the machine is printed beside them.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import statistics
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, sync_playwright
from playwright.sync_api import Error as PlaywrightError

from patternlib.course_page import build_page
from tests import browser_tools as tools
from tests.course_page_tools import Server, Visit

ONLY_HERE = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
LESSON = "lessons/00_start_here.ipynb"
MOVED = """async () => {
  const slider = document.querySelector(".draft-board input[type=range]");
  const board = slider.closest(".draft-board");
  const shows = () => parseFloat(board.dataset.shown) === Number(slider.value);
  const frame = () => new Promise(requestAnimationFrame);
  slider.scrollIntoView({ block: "center" });
  const times = [];
  for (let i = 0; i < 30; i += 1) {
    await new Promise((done) => setTimeout(done, 120));
    const up = i % 10 < 5;
    const start = performance.now();
    slider.value = Number(slider.value) + (up ? 1 : -1) * Number(slider.step);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    const late = () => performance.now() - start > 1000;
    while (!shows() && !late()) await frame();
    const first = performance.now() - start;
    while (!(shows() && board.dataset.exact !== "no") && !late()) await frame();
    times.push([first, performance.now() - start]);
  }
  return times.slice(5);
}"""
"""ms from a move of the slider to its picture, and to the exact one (drawn ahead or not); 25 times."""
SAID = """async (code) => {
  const { kernel } = jupyterapp.shell.currentWidget.context.sessionContext.session;
  const asked = kernel.requestExecute({ code });
  let said = "";
  asked.onIOPub = ({ content }) => {
    said += content.text ?? (content.ename ? `${content.ename}: ${content.evalue}` : "");
  };
  await asked.done;
  return said;
}"""
"""What a piece of code prints in the notebook's Python."""
COUNT = "() => document.querySelectorAll('.draft-table').length"
TABLES = "n => document.querySelectorAll('.draft-table').length >= n"


@contextlib.contextmanager
def browser_of_a_learner(folder: Path) -> Iterator[BrowserContext]:
    """A browser that keeps its files in a folder when it is closed."""
    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            str(folder),
            executable_path=tools.find_browser(),
            args=[*tools.FLAGS, ONLY_HERE],
            viewport={"width": 1280, "height": 900},
        )
        try:
            yield context
        finally:
            context.close()


def a_visit(server: Server, keeps: Path) -> dict[str, Any]:
    """Open lesson 00, run it, move a slider: seconds, requests, MB sent, ms of the slider."""
    server.asked.clear()
    found: dict[str, Any] = {}
    with browser_of_a_learner(keeps) as context:
        visit = Visit(server, context, kept=True)
        visit.page.on("worker", lambda worker: found.setdefault("worker", time.perf_counter() - started))
        started = time.perf_counter()
        visit.go(LESSON)
        visit.page.wait_for_selector(".draft-board-still img", timeout=120_000)
        found["picture"] = time.perf_counter() - started
        visit.ready()
        found["ready"] = time.perf_counter() - started
        cells = visit.run()
        found["run"] = time.perf_counter() - started
        failed = [cell for cell in cells if cell[2] or not cell[0]]
        found["files"], found["sent"] = server.sent()
        found["moves"] = visit.page.evaluate(MOVED)
        assert not failed, failed
        assert not visit.asked_elsewhere, visit.asked_elsewhere
    return found


def every_notebook(server: Server, kind: str) -> None:
    """Print how many cells of each notebook run, and those that fail. kind: 'lessons' or 'exercises'."""
    with tempfile.TemporaryDirectory() as keeps, browser_of_a_learner(Path(keeps)) as context:
        visit = Visit(server, context, kept=True)
        ran = of = tables = of_tables = 0
        for path in sorted((server.page / "files" / kind).glob("*.ipynb")):
            ready = visit.open(f"{kind}/{path.name}")
            started = time.perf_counter()
            cells = visit.run()
            took = time.perf_counter() - started
            fine = [cell for cell in cells if cell[0] and not cell[2]]
            ran, of = ran + len(fine), of + len(cells)
            shown = f"{visit.page.locator('.draft-board').count()} boards"
            if kind == "exercises" and visit.page.locator(".name-card input").count():
                visit.page.locator(".name-card input").first.fill("mira")
                visit.page.keyboard.press("Enter")
                asked = path.read_text(encoding="utf-8").count("card.table(")
                with contextlib.suppress(PlaywrightError):
                    visit.page.wait_for_function(TABLES, arg=asked, timeout=60_000)
                shown = f"{visit.page.evaluate(COUNT)} of {asked} tables"
                tables, of_tables = tables + visit.page.evaluate(COUNT), of_tables + asked
            print(f"{path.stem}: {len(fine)} of {len(cells)} cells, {shown}; "
                  f"ready {ready:.1f} s, run {took:.1f} s", flush=True)  # fmt: skip
            for _, line, error in cells:
                if error:
                    print(f"    {line}: {error}")
        print(f"{ran} of {of} cells, {tables} of {of_tables} drafting tables")
        print("asked elsewhere:", visit.asked_elsewhere or "nothing")


def against_matplotlib(server: Server) -> None:
    """Print how long a board and a matplotlib figure take to redraw the same garment in the page's Python."""
    here = Path(__file__).parent
    usual, ratio = (
        (here / name).read_text(encoding="utf-8") for name in ("board_usual.py", "redraw_ratio.py")
    )
    source = (
        "import sys, types\nusual = sys.modules['board_usual'] = types.ModuleType('board_usual')\n"
        f"exec({usual!r}, usual.__dict__)\n{ratio}"
    )
    with tempfile.TemporaryDirectory() as keeps, browser_of_a_learner(Path(keeps)) as context:
        visit = Visit(server, context, kept=True)
        visit.open(LESSON)
        print(visit.page.evaluate(SAID, source))


def load() -> str:
    return "load " + " ".join(f"{value:.1f}" for value in os.getloadavg()) + f", {os.cpu_count()} processors"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path)
    parser.add_argument("--visits", type=int, default=3, help="how often a visitor comes back")
    parser.add_argument("--lessons", action="store_true")
    parser.add_argument("--exercises", action="store_true")
    parser.add_argument(
        "--against-matplotlib", action="store_true", help="builds a page with it; needs the internet"
    )
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as work:
        folder = asked.folder or Path(work) / "page"
        if not asked.folder:
            without = build_page(folder, more=("matplotlib",) if asked.against_matplotlib else ())
            print("left out, because the internet cannot be reached:", ", ".join(without) or "nothing")
        files = [path for path in folder.rglob("*") if path.is_file()]
        print(f"{sum(path.stat().st_size for path in files) / 1e6:.1f} MB in {len(files)} files")
        server = Server(folder)
        if asked.against_matplotlib:
            against_matplotlib(server)
        elif asked.lessons or asked.exercises:
            for kind in ("lessons", "exercises"):
                if getattr(asked, kind):
                    every_notebook(server, kind)
        else:
            print("seconds from opening lesson 00:")
            ready = []
            for k in range(1 + asked.visits):
                before = load()
                v = a_visit(server, Path(work) / "browser")
                first, exact = (statistics.median(times) for times in zip(*v["moves"], strict=True))
                print(f"{'again' if k else 'first visit'} ({before}): picture {v['picture']:.1f}, "
                      f"Python begins {v['worker']:.1f}, is ready {v['ready']:.1f}, "
                      f"all cells run {v['run']:.1f}; {v['files']} files, {v['sent']:.1f} MB sent; "
                      f"slider followed in {first:.0f} ms, exactly {exact:.0f}", flush=True)  # fmt: skip
                ready += [v["ready"]] * bool(k)
            print(f"ready on coming back: median {statistics.median(ready):.1f} s, best {min(ready):.1f} s")
        server.close()


if __name__ == "__main__":
    main()

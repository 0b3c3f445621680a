"""A real JupyterLab on a free port with its own settings, and a Chromium that opens its notebooks."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

import pytest

REPO = Path(__file__).resolve().parent.parent
FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
LONGEST = 60_000
"""Milliseconds: so long a page is waited for, on a slow machine, too."""
IDLE = "() => /\\| Idle/.test(document.querySelector('.jp-StatusBar-Widget')?.innerText ?? '')"
"""The status bar waits for the notebook's own kernel; the circle in the toolbar does not."""
BROWSERS = ("chromium", "chromium-browser", "google-chrome")


def find_browser() -> str | None:
    """Return the path of an installed Chromium, or None."""
    return next((path for name in BROWSERS if (path := shutil.which(name))), None)


def needed(what: str) -> None:
    """Skip where no browser is installed; fail where CI is set. what: 'boards need'."""
    missing = "" if find_browser() else f"none of {', '.join(BROWSERS)} is installed"
    try:
        import jupyterlab  # noqa: F401
        import playwright  # noqa: F401
    except ImportError as fault:
        missing = str(fault)
    if missing:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(f"{what} a browser to be tried: {missing}")


def free_port() -> int:
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


def notebook(*cells: str) -> dict:
    """Return a notebook of code cells."""
    empty = {"cell_type": "code", "metadata": {}, "outputs": [], "execution_count": None}
    made = [{**empty, "id": f"c{i}", "source": source} for i, source in enumerate(cells)]
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    return {"cells": made, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}


class Lab:
    """A running JupyterLab: `url`, `folder`, and `write(name, notebook)`."""

    def __init__(self, *, dark: bool = False) -> None:
        self.root = Path(tempfile.mkdtemp(prefix="lab-"))
        self.folder = self.root / "work"
        self.folder.mkdir()
        settings = self.root / "config" / "lab" / "user-settings" / "@jupyterlab"
        for part, what in (
            ("apputils-extension/themes", {"theme": "JupyterLab Dark" if dark else "JupyterLab Light"}),
            ("apputils-extension/notification", {"fetchNews": "false", "checkForUpdates": False}),
            ("docmanager-extension/plugin", {"autosave": False}),
            # the whole notebook is in the page, so a test can find every cell
            ("notebook-extension/tracker", {"windowingMode": "none"}),
        ):
            file = settings / f"{part}.jupyterlab-settings"
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(json.dumps(what))
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.log = (self.root / "log.txt").open("w")
        env = {
            **os.environ,
            "JUPYTER_CONFIG_DIR": str(self.root / "config"),
            "JUPYTER_DATA_DIR": str(self.root / "data"),
            "JUPYTER_RUNTIME_DIR": str(self.root / "runtime"),
            "JUPYTERLAB_SETTINGS_DIR": str(self.root / "config" / "lab" / "user-settings"),
            "IPYTHONDIR": str(self.root / "ipython"),
            "PYTHONPATH": os.pathsep.join([str(REPO), str(REPO / "tests"), os.environ.get("PYTHONPATH", "")]),
        }
        command = [
            sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ServerApp.ip=127.0.0.1",
            f"--ServerApp.port={self.port}", "--ServerApp.port_retries=0", "--IdentityProvider.token=",
            f"--ServerApp.root_dir={self.folder}", "--ServerApp.disable_check_xsrf=True",
        ]  # fmt: skip
        self.process = subprocess.Popen(command, env=env, stdout=self.log, stderr=subprocess.STDOUT)
        until = time.monotonic() + 90
        while True:
            try:
                urllib.request.urlopen(f"{self.url}/api/status", timeout=2).read()
                return
            except OSError:
                if self.process.poll() is not None or time.monotonic() > until:
                    self.close()
                    raise RuntimeError(f"JupyterLab did not start:\n{self.said}") from None
                time.sleep(0.2)

    def write(self, name: str, content: dict) -> str:
        """Write a notebook into the folder and return the address that opens it."""
        (self.folder / name).write_text(json.dumps(content))
        return f"{self.url}/lab/tree/{name}?reset"

    def clear(self) -> None:
        """End all kernels and remove what was written."""
        end_kernels(self)
        shutil.rmtree(self.folder)
        self.folder.mkdir()

    def close(self) -> None:
        self.process.terminate()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.process.wait(15)
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        self.log.close()
        self.said = (self.root / "log.txt").read_text()[-4000:]
        shutil.rmtree(self.root, ignore_errors=True)

    def __enter__(self) -> Lab:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


@contextlib.contextmanager
def chromium(*flags: str):
    """Give a Playwright browser that runs the installed Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=find_browser(), args=[*FLAGS, *flags])
        try:
            yield browser
        finally:
            browser.close()


def open_page(browser, url: str, *, width: int = 1280, height: int = 900, touch: bool = False):
    """Open a notebook without the file list beside it and wait until its kernel is ready."""
    page = browser.new_context(viewport={"width": width, "height": height}, has_touch=touch).new_page()
    page.set_default_timeout(LONGEST)
    page.goto(url)
    wait_ready(page)
    return page


def wait_ready(page) -> None:
    """Wait until the notebook is open and its kernel has answered; fold the file list away."""
    page.wait_for_selector(".jp-Notebook .jp-Cell")
    page.wait_for_function(IDLE)
    hide_file_list(page)


def rests(page, place) -> None:
    """Wait until a board's pieces have been laid out again, checked, and have come to their places.

    place: the board or something on it.
    """
    board = place.evaluate_handle("e => e.closest('.draft-board')")
    page.wait_for_function(
        "b => b.dataset.rested === 'yes' && !b.querySelector('.db-findings.db-before')", arg=board
    )
    wait_still(board.as_element().query_selector(".db-svg > g"))


def wait_still(element) -> None:
    """Wait until an element has kept its place for some frames."""
    element.evaluate(
        "e => new Promise((done) => { let last = '', same = 0; const look = () => {"
        " const { x, y, width, height } = e.getBoundingClientRect();"
        " const now = [x, y, width, height].join(); same = now === last ? same + 1 : 0; last = now;"
        " same < 8 ? requestAnimationFrame(look) : done(); }; look(); })"
    )


def end_kernels(lab: Lab) -> None:
    """End every kernel of a JupyterLab, so that dozens of them never run at once."""
    with urllib.request.urlopen(f"{lab.url}/api/sessions") as answer:
        for session in json.load(answer):
            gone = urllib.request.Request(f"{lab.url}/api/sessions/{session['id']}", method="DELETE")
            urllib.request.urlopen(gone).close()


def hide_file_list(page) -> None:
    """Fold the list of files away, as a student with a narrow window does."""
    if page.locator("#jp-left-stack").is_visible():
        page.keyboard.press("Control+b")
        page.wait_for_selector("#jp-left-stack", state="hidden")


def restart(page, menu_item: str) -> None:
    """Restart the kernel with an item of the menu, and wait until the new one is ready."""
    page.evaluate(
        "() => { const bar = document.querySelector('.jp-StatusBar-Widget'); window.began = false;"
        " new MutationObserver(() => { if (!/Idle|Busy/.test(bar.innerText)) window.began = true; })"
        ".observe(bar, {childList: true, characterData: true, subtree: true}); }"
    )
    page.get_by_role("menuitem", name="Kernel", exact=True).click()
    page.get_by_text(menu_item, exact=True).click()
    page.locator(".jp-Dialog .jp-mod-accept").click()
    page.wait_for_selector(".jp-Dialog", state="detached")
    page.wait_for_function("() => window.began")  # until then it is the old one that is idle
    wait_ready(page)


def run_all(page) -> None:
    """Run every cell from the top."""
    page.locator(".jp-Notebook").click(position={"x": 5, "y": 5})
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.locator("#jp-mainmenu-run").get_by_text("Run All Cells", exact=True).click()


def wait_board(page, count: int = 1):
    """Wait until `count` boards have painted; return the locator of the boards."""
    boards = page.locator(".draft-board")
    drawn = "n => document.querySelectorAll('.draft-board:has(.db-line[d])').length >= n"
    page.wait_for_function(drawn, arg=count)
    return boards


def run_cell(page, index: int) -> None:
    """Run one cell and wait until it has run."""
    cell = page.locator(".jp-CodeCell").nth(index)
    prompt = _watched(cell)
    cell.locator(".cm-content").click()
    page.keyboard.press("Control+Enter")  # the button would add a cell after the last one
    _wait_ran(page, prompt)


def run_to_the_end(page) -> None:
    """Run every cell from the top and wait until the last one has run, or one has failed."""
    prompt = _watched(page.locator(".jp-CodeCell").last)
    run_all(page)
    _wait_ran(page, prompt)


def _watched(cell):
    """The number beside a cell; it remembers from now on whether the cell was run."""
    prompt = cell.locator(".jp-InputArea-prompt").element_handle()
    prompt.evaluate(
        "e => { e.ran = false; new MutationObserver(() => { e.ran = true; })"
        ".observe(e, {childList: true, characterData: true, subtree: true}); }"
    )
    return prompt


def _wait_ran(page, prompt) -> None:
    page.wait_for_function("e => e.ran && !e.innerText.includes('*')", arg=prompt)


def write_cell(page, index: int, source: str) -> None:
    """Put text into a code cell in place of what it holds."""
    page.locator(".jp-CodeCell").nth(index).locator(".cm-content").fill(source)


def save(page) -> None:
    """Save the notebook when the kernel has done all it was asked, and wait until it is on disk."""
    page.wait_for_function(IDLE)
    page.locator("[data-command='docmanager:save']").first.click()
    page.wait_for_selector(".lm-TabBar-tab.jp-mod-current:not(.jp-mod-dirty)")


def fill(form, typed: dict[str, str]) -> None:
    """Type into a form on paper or of the project: the text of each field by its key."""
    for key, text in typed.items():
        if not form.locator(f'[data-key="{key}"]').count():
            row = form.locator(f'[data-row="{key.split("|")[0]}"]')
            row.get_by_role("button", name="Add a").click()
        field = form.locator(f'[data-key="{key}"]')
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)

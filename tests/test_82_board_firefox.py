"""A board in Firefox: read, typed, moved by key, dragged.

Runs where Debian's firefox-esr (or firefox) and the package marionette_driver, Mozilla's own client for its
browser, are installed; neither is among the packages that the tests bring.
"""

from __future__ import annotations

import shutil
import time

import pytest

from tests import browser_tools as tools

pytestmark = [pytest.mark.browser, pytest.mark.slow]

BOARD = """
import patternlib as pl
from patternlib.boards import garment_board
names = ["yoke_depth", "skirt_length", "bib_height"]
garment_board("pinafore", pl.chart("course").body("12"), names, steps_of="back plan")
"""
READY = "return /\\| Idle/.test(document.querySelector('.jp-StatusBar-Widget')?.innerText ?? '')"
DRAWN = "return Boolean(document.querySelector('.draft-board .db-line[d]'))"
SHOWN = """const b = document.querySelector('.draft-board');
return b.dataset.exact === 'yes' && b.dataset.shown.split('|')[0].split(',').map(Number)"""
MIDDLE = """const b = document.querySelector(arguments[0]).getBoundingClientRect();
return [b.x, b.y + b.height / 2, b.width]"""


@pytest.fixture(scope="module")
def fox():
    driver = pytest.importorskip("marionette_driver.marionette")
    path = shutil.which("firefox-esr") or shutil.which("firefox")
    if not path:
        pytest.skip("Firefox is not installed")
    with tools.Lab() as lab:
        fox = driver.Marionette(bin=path, headless=True, startup_timeout=90)
        fox.start_session()
        try:
            fox.set_window_rect(width=1280, height=1000)
            fox.navigate(lab.write("fox.ipynb", tools.notebook(BOARD)))
            until(lambda: fox.execute_script(READY))
            cell = fox.find_element("css selector", ".jp-CodeCell .cm-content")
            cell.click()
            cell.send_keys("\ue009\ue007")  # Control and Enter
            until(lambda: fox.execute_script(DRAWN))
            yield fox
        finally:
            fox.delete_session()
            fox.cleanup()


def until(true, seconds: float = 90):
    """Wait until something holds, and give it."""
    end = time.monotonic() + seconds
    while not (found := true()):
        assert time.monotonic() < end, "it did not come about in time"
        time.sleep(0.2)
    return found


def shows(fox, place: int, right) -> None:
    """Wait until Python's picture shows a value for which `right` holds."""
    until(lambda: (row := fox.execute_script(SHOWN)) and right(row[place]), 20)


def drag(fox, driver_path: list[tuple[int, int]]) -> None:
    from marionette_driver.marionette import ActionSequence

    hand = ActionSequence(fox, "pointer", "hand", {"pointerType": "mouse"})
    (x, y), *rest = driver_path
    hand.pointer_move(x, y).pointer_down(0)
    for x, y in rest:
        hand.pointer_move(x, y, duration=16)
    hand.pointer_up(0).perform()


def test_a_board_is_read_typed_on_and_dragged_in_firefox(fox):
    start = until(lambda: fox.execute_script(SHOWN))
    assert start == [7, 62, 25]
    entry = fox.find_element("css selector", ".draft-board .db-entry")
    entry.click()
    entry.clear()
    entry.send_keys("8\ue007")
    shows(fox, 0, lambda v: v == 8)
    slider = ".draft-board input[data-value=skirt_length]"
    fox.find_element("css selector", slider).send_keys("\ue014")  # the right arrow
    shows(fox, 1, lambda v: v == 62.5)
    x, y, width = fox.execute_script(MIDDLE, script_args=[slider])
    drag(fox, [(int(x + width * (0.4 + 0.02 * k)), int(y)) for k in range(15)])
    shows(fox, 1, lambda v: v > 75)
    point = ".draft-board .db-point[data-point='yoke at centre back']"
    x, y, width = fox.execute_script(MIDDLE, script_args=[point])
    drag(fox, [(int(x + width / 2), int(y) + k) for k in range(8)])
    shows(fox, 0, lambda v: v > 8.5)

"""A board under the finger: swipes scroll, drags move the slider, taps show an edge, two fingers zoom.

The fingers are the browser's own touch events, as its remote protocol sends them. 44 px is the least size
of a target in WCAG 2.2, success criterion 2.5.5, from memory.
"""

from __future__ import annotations

import pytest

from tests import browser_tools as tools

pytestmark = pytest.mark.browser

BOARD = """
import patternlib as pl
from patternlib.boards import garment_board
body = pl.chart("course").body("12")
names = ["yoke_depth", "bib_top", "bib_height"]
board = garment_board("pinafore", body, names, title="One", steps_of="back plan")
board
"""
LONG = "print('\\n' * 60)"


@pytest.fixture(scope="module")
def page(lab, browser):
    url = lab.write("touch.ipynb", tools.notebook(BOARD, LONG))
    page = tools.open_page(browser, url, width=800, height=900, touch=True)
    tools.run_all(page)
    tools.wait_board(page)
    yield page
    page.context.close()


@pytest.fixture
def board(page):
    board = page.locator(".draft-board").first
    board.get_by_role("button", name="Put all values back").click()
    board.get_by_role("button", name="Show the whole drawing").click()
    board.scroll_into_view_if_needed()
    tools.rests(page, board)
    return board


@pytest.fixture(scope="module")
def finger(page):
    session = page.context.new_cdp_session(page)

    def touch(*paths, steps: int = 8) -> None:
        """Fingers down at the first point of each path, along to the last, up again."""
        for k in range(steps + 1):
            share = k / steps
            points = [
                {"x": a[0] + share * (b[0] - a[0]), "y": a[1] + share * (b[1] - a[1]), "id": n}
                for n, (a, b) in enumerate(paths)
            ]
            kind = "touchStart" if k == 0 else "touchMove"
            session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
            page.wait_for_timeout(16)
        session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        page.wait_for_timeout(300)  # the page may roll on
        tools.wait_still(page.locator(".db-svg > g").first)

    return touch


def middle(place) -> tuple[float, float]:
    box = place.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def lens(board) -> list[float]:
    """[x, y, scale] of the drawing."""
    said = board.evaluate("b => b.querySelector('.db-svg > g').getAttribute('transform')")
    return [float(v) for v in said.replace("translate(", "").replace(") scale(", " ").rstrip(")").split()]


def test_a_swipe_that_begins_on_a_slider_scrolls_and_a_drag_along_it_moves_it(page, board, finger):
    slider = board.locator("input[data-value=yoke_depth]")
    slider.scroll_into_view_if_needed()
    x, y = middle(slider)
    before = slider.bounding_box()["y"]
    finger(((x + 60, y), (x + 62, y - 250)))
    assert slider.bounding_box()["y"] < before - 100
    assert slider.input_value() == "7"
    assert board.get_attribute("data-shown").startswith("7,")
    slider.scroll_into_view_if_needed()
    x, y = middle(slider)
    finger(((x - 25, y), (x + 80, y + 4)))
    assert float(slider.input_value()) > 8.5


def test_a_slider_follows_the_finger_before_the_browser_would(page, board, finger):
    """Chromium gives a slider its touches from 15 px on."""
    slider = board.locator("input[data-value=yoke_depth]")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    thumb, y = box["x"] + 8 + (box["width"] - 16) * (7 - 4) / (12 - 4), box["y"] + box["height"] / 2
    step = (box["width"] - 16) * 0.5 / (12 - 4)
    finger(((thumb, y), (thumb + min(14, 1.1 * step), y)))
    assert slider.input_value() == "7.5"
    assert board.get_attribute("data-shown").startswith("7.5,")


def test_a_tap_on_an_edge_shows_its_card_and_a_tap_beside_it_takes_it_away(page, board, finger):
    place = board.evaluate(
        """b => {
          const line = b.querySelector(".db-fat[data-edge='front skirt/side seam']");
          const p = line.getPointAtLength(line.getTotalLength() / 2).matrixTransform(line.getScreenCTM());
          return [p.x, p.y];
        }"""
    )
    finger((place, place), steps=1)
    card = board.locator(".db-card")
    card.wait_for()
    assert "front skirt, side seam" in card.inner_text()
    corner = board.locator(".db-sheet").bounding_box()
    beside = (corner["x"] + 8, corner["y"] + corner["height"] - 8)
    finger((beside, beside), steps=1)
    card.wait_for(state="hidden")


def test_two_fingers_zoom_and_then_one_pans(page, board, finger):
    x, y = middle(board.locator(".db-sheet"))
    start = lens(board)
    finger(((x - 40, y), (x - 120, y)), ((x + 40, y), (x + 120, y)))
    zoomed = lens(board)
    assert 2 < zoomed[2] / start[2] < 4
    finger(((x, y), (x + 70, y + 50)))
    panned = lens(board)
    assert panned[2] == zoomed[2]
    assert 40 < panned[0] - zoomed[0] < 80 and 25 < panned[1] - zoomed[1] < 60


def test_a_swipe_on_the_whole_sheet_scrolls_the_page(page, board, finger):
    sheet = board.locator(".db-sheet")
    x, y = middle(sheet)
    before, start = sheet.bounding_box()["y"], lens(board)
    finger(((x, y + 100), (x, y - 150)))
    assert sheet.bounding_box()["y"] < before - 80
    assert lens(board) == start


def test_the_reason_of_a_value_is_read_without_a_mouse(page, board, finger):
    label = board.get_by_role("button", name="Yoke depth at centre back", exact=True)
    label.scroll_into_view_if_needed()
    at = middle(label)
    finger((at, at), steps=1)
    reason = board.locator(".db-reason").first
    reason.wait_for()
    assert len(reason.inner_text()) > 20
    label.focus()
    page.keyboard.press("Enter")
    assert reason.is_hidden()
    described = board.locator("input[data-value=yoke_depth]").get_attribute("aria-describedby")
    assert described == reason.get_attribute("id")


def test_targets_are_large_enough_for_a_finger(page, board, finger):
    x, y = middle(board.locator(".db-scale"))
    finger(((x, y), (x, y)), steps=1)
    small = board.evaluate(
        """b => [...b.querySelectorAll("button, select, summary, input[type=range], .db-entry, .db-point")]
          .map(e => [e.className || e.tagName, e.getBoundingClientRect()])
          .filter(([, r]) => r.width && (r.height < 43.99 || r.width < 43.99))
          .map(([name, r]) => `${name} ${r.width}x${r.height}`)"""
    )
    assert not small


def test_the_sheet_stays_in_view_above_the_sliders(page, board):
    """On a narrow board, as at 200 % zoom, the control with the focus is below the sheet and not under it."""
    page.set_viewport_size({"width": 640, "height": 450})
    last = board.locator(".db-row input[type=range]").last
    board.locator("h3").scroll_into_view_if_needed()
    last.focus()
    tools.wait_still(last)
    sheet, slider = board.locator(".db-sheet").bounding_box(), last.bounding_box()
    panel = page.locator(".jp-WindowedPanel-outer").bounding_box()
    assert sheet["y"] >= panel["y"] - 1 and sheet["y"] + sheet["height"] <= slider["y"]
    assert slider["y"] + slider["height"] <= panel["y"] + panel["height"] + 1
    page.set_viewport_size({"width": 800, "height": 900})

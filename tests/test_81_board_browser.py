"""The boards under a hand: a real JupyterLab, a real Chromium, real pointers and keys.

Without a browser these tests are skipped on a user's machine; where CI is set they fail.
"""

from __future__ import annotations

import pytest

from tests import browser_tools as tools

pytestmark = pytest.mark.browser

LIBRARY = """
import patternlib as pl
from patternlib.boards import garment_board, walk_board
body = pl.chart("course").body("12")
garment = pl.make("pinafore", body)
"""
PINAFORE = """
names = ["yoke_depth", "pocket_point", "bib_top", "bib_height", "bib_pocket_width"]
one = garment_board("pinafore", body, names, title="One", steps_of="back plan")
one
"""
SECOND = """
two = garment_board("pinafore", body, ["yoke_depth", "strap_level"], title="Two", show=["plans"])
two
"""
WALK = """
walk = walk_board(garment, "side seam")
walk
"""
OPENED = """
from patternlib.boards import opened_board
opened = opened_board(garment, "side seam")
opened
"""
SHOWN = "board => board.dataset.shown"


@pytest.fixture(scope="module")
def page(lab, browser):
    url = lab.write("boards.ipynb", tools.notebook(LIBRARY, PINAFORE, SECOND, WALK))
    page = tools.open_page(browser, url)
    tools.run_all(page)
    tools.wait_board(page, 3)
    yield page
    page.context.close()


@pytest.fixture
def board(page):
    """The first board, all values at their start."""
    board = page.locator(".draft-board").first
    board.scroll_into_view_if_needed()
    board.get_by_role("button", name="Put all values back").click()
    shows(page, board, {})
    tools.rests(page, board)
    return board


NAMES = ("yoke_depth", "pocket_point", "bib_top", "bib_height", "bib_pocket_width")
START = {"yoke_depth": 7, "pocket_point": 2.5, "bib_top": 23, "bib_height": 25, "bib_pocket_width": 14}


def shows(page, board, values: dict, *, names=NAMES, start=START, step: int = 0) -> None:
    """Wait until the board's picture is that of these values, and drawn by Python."""
    wanted = ",".join(f"{values.get(name, start[name]):g}" for name in names) + f"|{step}"
    handle = board.element_handle()
    exact = "([b, want]) => b.dataset.shown === want && b.dataset.exact === 'yes'"
    page.wait_for_function(exact, arg=[handle, wanted])


def shown(board) -> list[float]:
    return [float(v) for v in board.evaluate(SHOWN).split("|")[0].split(",")]


def lines(board) -> str:
    """The drawing's lines as text."""
    return board.evaluate(
        r"b => [...b.querySelectorAll('.db-line[d]')].map(l => l.getAttribute('d')).sort().join('\n')"
    )


def slider(board, name):
    return board.locator(f"input[type=range][data-value={name}]")


def at_rest(page, place) -> dict:
    """Where an element lies once the sheet has come to rest."""
    tools.rests(page, place)
    tools.wait_still(place)
    return place.bounding_box()


def drag(page, place, across: float, down: float) -> None:
    """Press on the middle of an element, move in small steps, let go."""
    box = at_rest(page, place)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for k in range(1, 11):
        page.mouse.move(x + across * k / 10, y + down * k / 10)
        page.wait_for_timeout(10)
    page.mouse.up()


def test_slider_under_the_pointer_moves_the_picture(page, board):
    before = lines(board)
    handle = slider(board, "yoke_depth")
    box = handle.bounding_box()
    low, high = (float(handle.get_attribute(end)) for end in ("min", "max"))
    at = 8 + (box["width"] - 16) * (7 - low) / (high - low)
    page.mouse.move(box["x"] + at, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + at + 40, box["y"] + box["height"] / 2, steps=8)
    page.wait_for_function("b => Number(b.dataset.shown.split(',')[0]) > 7.5", arg=board.element_handle())
    page.mouse.up()
    assert lines(board) != before
    typed = board.get_by_label("Yoke depth at centre back, exact value").input_value()
    shows(page, board, {"yoke_depth": float(typed)})  # on a busy machine the picture comes a little later


def test_a_press_gives_the_focus_to_the_slider_and_to_nothing_before_it(page, board):
    """The notebook would focus itself and its cell first, and style every element again each time."""
    place = slider(board, "bib_top")
    box = at_rest(page, place)
    page.evaluate(
        "() => { document.activeElement.blur(); window.focused = [];"
        " const note = ({ target: t }) => focused.push(t.dataset.value ?? t.className);"
        " document.addEventListener('focusin', note); }"
    )
    page.mouse.move(box["x"] + box["width"] / 3, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.up()
    assert page.evaluate("() => focused") == ["bib_top"]


def test_exact_value_is_typed_in_cm_or_inches_and_held_to_the_limits(page, board):
    entry = board.get_by_label("Yoke depth at centre back, exact value")
    entry.fill("8,3")
    entry.press("Enter")
    shows(page, board, {"yoke_depth": 8.3})
    entry.fill("3 1/2 in")
    entry.press("Enter")
    shows(page, board, {"yoke_depth": 8.89})
    entry.fill("83")
    entry.press("Enter")
    assert "runs from 4 cm to 12 cm" in board.locator(".db-error").inner_text()
    assert shown(board)[0] == 8.89
    entry.press("Escape")
    assert board.locator(".db-error").is_hidden()


def test_unit_switch_writes_eighths_of_an_inch(page, board):
    board.get_by_label("Unit of length").select_option("in")
    entry = board.get_by_label("Yoke depth at centre back, exact value")
    assert entry.input_value() == "≈ 2 3/4"
    board.get_by_label("Unit of length").select_option("cm")
    assert entry.input_value() == "7"


def test_points_of_the_plan_follow_the_pointer_within_the_limits(page, board):
    point = board.locator(".db-point[data-point='yoke at centre back']")
    board.get_by_role("button", name="Zoom in").click()  # the sheet then keeps its place
    before = at_rest(page, point)
    drag(page, point, 3, 12)
    page.wait_for_function("b => Number(b.dataset.shown.split(',')[0]) > 8", arg=board.element_handle())
    after = at_rest(page, point)
    assert after["x"] == pytest.approx(before["x"], abs=1) and 8 < after["y"] - before["y"] < 16
    drag(page, point, 0, 200)
    shows(page, board, {"yoke_depth": 12})
    corner = board.locator(".db-point[data-point='bib corner']")
    drag(page, corner, -4, -6)
    page.wait_for_function(
        "b => { const v = b.dataset.shown.split(','); return v[2] > 23.5 && v[3] > 25.5; }",
        arg=board.element_handle(),
    )
    board.get_by_role("button", name="Show the whole drawing").click()


def test_arrow_keys_move_a_focused_point_by_a_millimetre(page, board):
    point = board.locator(".db-point[data-point='pocket point']")
    point.focus()
    page.keyboard.press("ArrowDown")
    shows(page, board, {"pocket_point": 2.6})
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    shows(page, board, {"pocket_point": 2.4})
    assert "Pocket point 2.4 cm" in point.get_attribute("aria-label")


def test_step_slider_replays_the_draft_with_its_sentences(page, board):
    finished = lines(board)
    steps = board.get_by_label("Step of the draft")
    steps.focus()
    page.keyboard.press("Home")
    shows(page, board, {}, step=1)
    first = board.locator(".db-steptext").inner_text()
    for k in range(2, 6):
        page.keyboard.press("ArrowRight")
        shows(page, board, {}, step=k)
    assert len(lines(board)) < len(finished)
    assert board.locator(".db-steptext").inner_text() not in ("", first)
    page.keyboard.press("End")
    shows(page, board, {})
    assert lines(board) == finished


def test_refusal_is_said_on_the_board_and_the_last_good_picture_stays(page, board):
    entry = board.get_by_label("Bib, width at the top, exact value")
    entry.fill("17")
    entry.press("Enter")
    shows(page, board, {"bib_top": 17})
    tools.rests(page, board)
    good = lines(board)
    entry = board.get_by_label("Bib pocket, width, exact value")
    entry.fill("20")
    entry.press("Enter")
    board.locator(".db-error", has_text="beside the pocket").wait_for()
    assert set(lines(board).split("\n")) == set(good.split("\n"))
    assert not page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']").count()
    entry.fill("11")
    entry.press("Enter")
    shows(page, board, {"bib_top": 17, "bib_pocket_width": 11})
    assert board.locator(".db-error").is_hidden()


def test_everything_is_reached_with_the_keyboard_alone(page, board):
    board.get_by_label("Edge to look at").focus()
    reached, keys = [], 0
    while keys < 60:
        name = page.evaluate(
            "() => { const e = document.activeElement; return e.closest('.draft-board')"
            " && (e.getAttribute('aria-label') || e.title || e.innerText); }"
        )
        if name is None:
            break
        reached.append(name)
        page.keyboard.press("Tab")
        keys += 1
    said = "\n".join(reached)
    for control in (
        "Unit of length", "Zoom in", "Put all values back", "Sheet.", "Yoke at the centre back",
        "Step of the draft", "Yoke depth at centre back", "exact value", "Pocket point",
    ):  # fmt: skip
        assert control in said, (control, reached)
    slider(board, "yoke_depth").focus()
    page.keyboard.press("ArrowRight")
    shows(page, board, {"yoke_depth": 7.5})
    tools.rests(page, board)
    board.locator(".db-sheet").focus()
    group = board.locator(".db-svg > g").first
    page.keyboard.press("0")
    tools.wait_still(group)
    before = group.get_attribute("transform")
    placed = "([g, at]) => (g.getAttribute('transform') === at)"
    page.keyboard.press("+")
    page.wait_for_function(f"(two) => !({placed})(two)", arg=[group.element_handle(), before])
    page.keyboard.press("0")
    page.wait_for_function(placed, arg=[group.element_handle(), before])


def test_a_pinned_length_is_read_while_a_slider_moves_beside_the_dotted_start(page, board):
    board.get_by_label("Edge to look at").select_option(label="bib, top")
    board.get_by_role("button", name="Keep the length of this edge").click()
    pin = board.locator(".db-pin")
    assert pin.inner_text().startswith("bib, top: 11.5 cm") and board.locator(".db-start path").count() == 0
    slider(board, "bib_top").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    shows(page, board, {"bib_top": 25})
    assert "bib, top: 12.5 cm (+1 cm)" in pin.inner_text()
    assert board.locator(".db-start path").count() > 0
    assert "+1 cm" in board.locator(".db-changes text").all_text_contents()
    pin.get_by_role("button").click()
    assert pin.count() == 0
    board.get_by_label("Edge to look at").select_option(index=0)


def test_edge_shows_its_length_and_lights_its_partner(page, board):
    board.get_by_label("Edge to look at").select_option(label="front skirt, side seam")
    card = board.locator(".db-card")
    card.wait_for()
    said = card.inner_text()
    assert "length 43.94 cm" in said and "allowance 1 cm" in said and "sewn to back skirt, side seam" in said
    lit = board.evaluate(
        "b => [...b.querySelectorAll('.db-line.db-lit, .db-line.db-partner')].map(l => l.dataset.edge).sort()"
    )
    assert lit == ["back skirt/side seam", "front skirt/side seam"]
    board.get_by_label("Edge to look at").select_option(value="")


def test_layers_are_hidden_and_shown(page, board):
    board.locator(".db-layers summary").click()
    choice = board.locator(".db-layer-choice", has_text="Cut lines").locator("input")
    choice.uncheck()
    assert board.locator(".db-layer[data-layer='cut lines']").is_hidden()
    choice.check()
    assert board.locator(".db-layer[data-layer='cut lines']").is_visible()
    board.locator(".db-layers summary").click()


def test_two_boards_on_one_page_are_independent(page, board):
    other = page.locator(".draft-board").nth(1)
    before = lines(other)
    slider(board, "yoke_depth").focus()
    page.keyboard.press("ArrowRight")
    shows(page, board, {"yoke_depth": 7.5})
    assert lines(other) == before and shown(other)[0] == 7
    slider(other, "yoke_depth").focus()
    page.keyboard.press("ArrowLeft")
    names, start = ("yoke_depth", "strap_level"), {"yoke_depth": 7, "strap_level": 12}
    shows(page, other, {"yoke_depth": 6.5}, names=names, start=start)
    assert shown(board)[0] == 7.5


def test_seam_is_chosen_from_a_list_and_walked(page):
    board = page.locator(".draft-board").nth(2)
    board.scroll_into_view_if_needed()
    before = lines(board)
    board.get_by_label("Seam", exact=True).select_option(label="yoke to back skirt")
    board.locator(".db-findings", has_text="back yoke 20.").wait_for()
    assert lines(board) != before
    slider(board, "walked").focus()
    before = lines(board)
    page.keyboard.press("End")
    page.wait_for_function("b => b.dataset.shown.includes(',100|')", arg=board.element_handle())
    assert lines(board) != before


def test_finding_of_another_seam_in_the_same_words_is_renewed(lab, page):
    """Most seams open flat with nothing standing out: the sentence is the same, its seam is not."""
    other = tools.open_page(page.context.browser, lab.write("opened.ipynb", tools.notebook(LIBRARY, OPENED)))
    tools.run_all(other)
    board = tools.wait_board(other).first
    board.locator(".db-findings", has_text="side seam: opened flat").wait_for()
    board.get_by_label("Seam", exact=True).select_option(label="strap to yoke")
    board.locator(".db-findings", has_text="strap to yoke: opened flat").wait_for()
    other.context.close()


def test_restarted_kernel_is_said_and_run_again_the_board_lives(page):
    tools.restart(page, "Restart Kernel…")
    board = page.locator(".draft-board").first
    if board.count():  # a board whose kernel has gone says so
        slider(board, "yoke_depth").focus()
        page.keyboard.press("ArrowRight")
        page.keyboard.press("ArrowRight")
        board.locator(".db-error", has_text="un this cell again").wait_for()
    tools.run_all(page)
    page.wait_for_function(
        "() => document.querySelectorAll('.draft-board:has(.db-line[d])').length === 3"
        " && [...document.querySelectorAll('.draft-board')].every(b => b.querySelector('.db-error').hidden)",
    )
    board = page.locator(".draft-board").first
    shows(page, board, {})
    slider(board, "yoke_depth").focus()
    page.keyboard.press("ArrowRight")
    shows(page, board, {"yoke_depth": 7.5})

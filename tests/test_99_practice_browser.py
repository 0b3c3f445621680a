"""Find the slip in a real JupyterLab: by keys alone, then by finger in a narrow window.

- Without a name the board is there; a name on the card turns it to that learner's own drafts, and a lesson
  that is chosen before the kernel has read the name stays chosen.
- The tape is laid with the lists; the step and what happened are chosen with the keyboard; the answer comes.
- A tap on a point measures from the point tapped before and chooses its step.
- What was found is there again when the notebook is opened again in another window.
"""

from __future__ import annotations

import nbformat
import pytest

from patternlib.assess.practice.board import SlipBoard
from tests import browser_tools as tools

pytestmark = pytest.mark.browser

FILE = "practice_find_the_slip.ipynb"


def test_a_slip_is_found_with_keys_and_with_a_finger(lab, browser, tmp_path):
    url = lab.write(FILE, nbformat.read(tools.REPO / "exercises" / FILE, as_version=4))
    page = tools.open_page(browser, url)
    tools.run_all(page)
    board = page.locator(".find-slip")
    board.wait_for()
    page.locator(".name-card input").first.fill("lena")
    page.keyboard.press("Enter")
    board.get_by_label("Lesson").select_option("2")  # at once: the kernel has not read the name yet

    model = SlipBoard("lena", lesson=2, folder=tmp_path)  # what the page shows, worked out here
    _wait_draft(page, model)
    assert model.state["title"] in board.locator(".fs-title").inner_text()
    _by_keys(page, board, model)
    model.next()
    page.keyboard.press("Enter")  # the key 'Next draft' has the focus
    _wait_draft(page, model)
    assert board.locator(".fs-title").inner_text().startswith("Draft 2")
    tools.save(page)
    page.context.close()

    page = tools.open_page(browser, url, width=390, height=844, touch=True)
    tools.run_all(page)
    board = page.locator(".find-slip")
    _wait_draft(page, model)
    assert "1 of 1 found at once" in board.locator(".fs-boxes").inner_text()
    _by_finger(page, board, model)
    assert board.evaluate("e => e.scrollWidth <= e.clientWidth + 1")


def _wait_draft(page, model) -> None:
    """Wait until the page shows the draft of the model, after so many answers."""
    page.wait_for_selector(f'.find-slip[data-draft="{model.state["draft"]}"]')


def _by_keys(page, board, model) -> None:
    card = model.round.cards[0]
    at = model.round.places(card)[0]
    for label, words in (("Tape from", "waist at centre back"), ("Tape to", at)):
        board.get_by_label(label).focus()
        page.keyboard.type(words)
        page.keyboard.press("Enter")
    given = model.round.draft
    far = given.made["waist at centre back"].distance(given.made[at])
    assert f"= {far:.1f}".rstrip("0").rstrip(".") in board.locator(".fs-tape output").first.inner_text()
    steps = board.locator(".fs-steps button")
    steps.first.focus()
    for _ in range([step[0] for step in model.state["steps"]].index(at)):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.keyboard.press("d")  # two quick letters delete a cell of the notebook, if it hears them
    page.keyboard.press("d")
    radio = board.locator(f"input[value='{card.mistake.code}']")
    radio.focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    model.answer(at, card.mistake.code)
    _wait_draft(page, model)
    assert model.state["replies"][0][2] in board.locator(".fs-found").inner_text()


def _by_finger(page, board, model) -> None:
    card = model.round.cards[0]
    at = model.round.places(card)[0]
    paper = board.locator(".dt-paper")
    paper.evaluate("e => e.scrollIntoView({ block: 'center' })")
    tools.wait_still(paper)
    for name in ("centre back hip", at):
        spot = page.evaluate(
            "n => { const b = [...document.querySelectorAll('.find-slip .dt-hitpoint')]"
            ".find((c) => c.dataset.name === n).getBoundingClientRect();"
            " return [b.x + b.width / 2, b.y + b.height / 2]; }",
            name,
        )
        page.touchscreen.tap(*spot)
    assert board.get_by_label("Tape from").input_value() == "centre back hip"
    assert board.locator(".fs-steps [aria-pressed=true]").get_attribute("data-name") == at
    board.locator(f"label:has(input[value='{card.mistake.code}'])").tap()
    board.get_by_role("button", name="That is the slip").tap()
    model.answer(at, card.mistake.code)
    _wait_draft(page, model)
    assert board.locator(".dt-wanted").count() == len(model.round.wanted())

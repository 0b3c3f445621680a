"""Pieces on the drafting table in a real JupyterLab: by mouse, by touch and by keys alone."""

from __future__ import annotations

import pytest

from patternlib.assess import exercises
from patternlib.assess.table.kept import Kept, keep
from tests.table_pieces import all_steps
from tests.table_tools import Table, open_table

pytestmark = pytest.mark.browser

POCKET = ("inner top", "inner corner", "point", "outer corner", "outer top", "inner top")
EDGES = ("inner side", "inner foot", "outer foot", "outer side", "opening")


@pytest.mark.parametrize("start", ["drawn", pytest.param("empty", marks=pytest.mark.slow)])
def test_a_pocket_is_cut_out_by_mouse_alone(lab, browser, start):
    """10a to accepted, drawn before or from empty: traced with the wheel, allowances, corners folded."""
    if start == "drawn":
        work = exercises()["10a"]
        steps = all_steps(work, work.own_numbers("lena"))
        drawn = tuple(step for step in steps if step.verb in ("go", "level", "share", "rule"))
        assert keep(Kept("10a", "lena", len(drawn), drawn), lab.folder) == ""
    table = open_table(lab, browser, "10a", student="lena")
    if start == "empty":
        draw_the_pocket(table)
    table.take_up("Tracing wheel", "trace an edge")
    for k, edge in enumerate(EDGES):
        trace(table, f"pocket {POCKET[k]}", f"pocket {POCKET[k + 1]}", "back pocket", edge)
    table.settle()
    assert "the back pocket is cut free" in table.root.locator(".dt-piecesaid").inner_text()
    assert "cut free" in table.root.locator(".dt-sr[aria-live]").inner_text()

    table.take_up("Seam gauge", "add an allowance")
    for edge in EDGES:
        assert table.sentence()[1] == f"back pocket: {edge}"  # the next one is offered
        table.press(table.root.locator("[data-place=measure]"))
        table.pad("2", ",", "5") if edge == "opening" else table.pad("1")
        table.press(table.root.locator("[data-place=turn]"))
        table.offer("hem" if edge == "opening" else "fold-back")
        table.set()
    table.settle()
    assert table.root.locator(".dt-cut").count() == 1

    table.take_up("Seam gauge", "fold a corner")
    for corner in ("outer top", "inner top"):
        table.tap(f"pocket {corner}")
        table.page.wait_for_selector(".dt-corner")
        notes = table.root.locator(".dt-offer small").all_inner_texts()
        assert [note.endswith("lies flat") for note in notes] == [True, True, False]
        table.offer("opening")
        table.set()
    table.take_up("Seam gauge", "draw the cut line")
    table.set()
    mark, lines = table.compare()
    assert (mark, [line for line in lines if not line.startswith("✓")]) == ("12 of 12.", [])
    assert table.root.locator("circle.dt-right").count() == 11

    change_the_corner(table)
    mark, lines = table.compare()
    off = [line for line in lines if line.startswith("✗")]
    assert mark == "11 of 12." and len(off) == 1 and "Are these plain corners?" in off[0]
    assert "Are these plain corners?" in table.root.locator(".dt-steps").inner_text()


def trace(table: Table, start: str, end: str, piece: str, edge: str) -> None:
    """Pull the wheel from point to point, and say which edge this is."""
    table.pull_to(start, end)
    assert table.sentence()[4] == piece
    table.press(table.root.locator("[data-place=edge]"))
    table.offer(edge)
    table.set()


def draw_the_pocket(table: Table) -> None:
    table.tap("pocket inner top")
    table.offer("down")
    table.number("pocket length")
    table.set()
    table.take_up("Ruler and square", "level with")
    table.tap("pocket inner corner")
    table.tap("pocket outer top")
    table.set()
    table.take_up("Pencil", "part of the way")
    table.tap("pocket inner corner")
    table.tap("pocket outer corner")
    table.root.locator("[data-place=name]").fill("bottom middle")
    table.set()
    table.take_up("Pencil", "go")
    table.tap("bottom middle")
    table.offer("down")
    table.number("pocket point")
    table.set()
    table.take_up("Ruler and square", "rule a line")
    for k in range(5):
        table.tap(f"pocket {POCKET[k]}")
        table.tap(f"pocket {POCKET[k + 1]}")
        table.set()


def change_the_corner(table: Table) -> None:
    """A corner that was right is changed to a plain one; the cut line follows."""
    step = table.root.locator(".dt-stepbutton", has_text="Where back pocket: inner side").first
    step.scroll_into_view_if_needed()
    step.click()
    table.press(table.root.locator("[data-place=first]"))
    table.offer("neither")
    table.press(table.root.get_by_role("button", name="Change it"))
    table.settle()


SKIRT = (
    ("centre hem", "waistband at centre front", "centre front"),
    ("waistband at centre front", "waistband at the side", "waistband edge"),
    ("waistband at the side", "opening end", "opening"),
    ("opening end", "side hem", "side seam"),
    ("side hem", "centre hem", "hem"),
)


@pytest.mark.slow
def test_a_skirt_is_traced_measured_and_labelled_by_touch_alone(lab, browser):
    """09a from empty to accepted with a finger on a telephone; what is touched is 44 px high or more."""
    table = open_table(lab, browser, "09a", student="tia", width=390, touch=True)
    table.take_up("Curve", "take a part")
    for start, end in (("side hem", "opening end"), ("opening end", "waistband at the side")):
        table.offer("side")
        table.tap(start)
        table.tap(end)
        table.set()
    table.take_up("Ruler and square", "rule a line")
    table.tap("centre hem")
    table.tap("waistband at centre front")
    table.set()
    table.take_up("Tape", "measure a line")
    for line in ("side seam", "opening above", "waistband line", "hemline", "centre of the skirt"):
        table.offer(line)
        table.set()
    table.take_up("Tracing wheel", "trace an edge")
    for start, end, edge in SKIRT:
        trace(table, start, end, "front skirt", edge)
    table.take_up("Tracing wheel", "lay the grain")
    table.press(table.root.locator("[data-place=of0]"))
    table.offer("centre of the skirt")
    table.set()
    table.take_up("Tracing wheel", "write the label")
    for place, words in (("count", "1"), ("how", "on the fold"), ("cloth", "main cloth")):
        table.press(table.root.locator(f"[data-place={place}]"))
        table.offer(words)
    small = table.page.evaluate(
        "() => [...document.querySelectorAll('.draft-table button, .draft-table .dt-offer, .dt-field')]"
        ".filter((e) => e.offsetParent && e.getBoundingClientRect().height < 44).map((e) => e.textContent)"
    )
    assert small == []
    table.set()
    mark, lines = table.compare()
    assert (mark, [line for line in lines if not line.startswith("✓")]) == ("10 of 10.", [])

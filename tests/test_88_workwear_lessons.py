"""Sleeve, smock and apron as lessons 20 to 22 teach them, and darts that are not sewn as darts (lesson 04).

- the cap walked against its armhole: no ease below the notches, all of it above
- a panel seam takes both darts: areas, and both seams walked
- what an exercise asks is on the drafts of many students
"""

from __future__ import annotations

import pytest

import patternlib as pl
from patternlib.assess import exercises
from patternlib.assess.tasks.own_numbers import numbers_for
from patternlib.boards.blocks import sleeve_board
from patternlib.moves import block_outline, panel_seam, sleeve_outline
from patternlib.own_measures import own_sleeve
from tests import bodies

BUST = ("bust dart, neck leg", "bust dart, armhole leg")
WAIST = ("waist dart, side leg", "waist dart, centre leg")


@pytest.mark.parametrize("size", ["6", "12", "20"])
def test_two_panels_have_what_the_front_has_but_for_the_rounding_at_the_bust(size):
    front = block_outline(pl.bodice_block(size, one_dart=True), "front")
    side, centre = panel_seam(front, BUST, WAIST)
    # between both dart points lies a sliver that a straight cut would share out
    assert side.area + centre.area == pytest.approx(front.area, rel=0.02)
    seams = [panel["panel seam"].length for panel in (side, centre)]
    assert 0 <= seams[0] - seams[1] < 0.6  # the side panel's curve is the longer one, and is eased in
    for panel in (side, centre):
        assert not [name for name in panel.names if name.endswith("leg")]
    for name in ("armhole", "side"):
        assert side[name].length == pytest.approx(front[name].length)
    with pytest.raises(pl.GeometryError, match="not the legs of one dart"):
        panel_seam(front, BUST[::-1], WAIST)


def test_a_body_whose_sleeve_cannot_be_drawn_gets_size_12_and_a_sentence():
    said: list[str] = []
    thin = pl.chart("course")["12"].replace(upper_arm_girth=75)
    assert (
        own_sleeve(thin, say=said.append)[1]["cap top"] == own_sleeve(pl.chart("course")["12"])[1]["cap top"]
    )
    assert len(said) == 1 and "size 12" in said[0]


def test_the_sleeve_board_says_the_ease_that_is_set():
    board = sleeve_board(pl.chart("course")["12"])
    for ease in (0.0, 2.5, 4.0):
        (remark,) = board.draw({"cap_ease": ease}).findings
        eases = [float(part.split("ease ")[1].split(" ")[0]) for part in remark.text.split("; ")[:2]]
        assert sum(eases) == pytest.approx(ease, abs=0.11)
    for name, slider in board._sliders.items():
        for value in (slider.low, slider.high, slider.start):
            board.values = {name: value}
            assert board.error or board.picture.get("all")
            assert "cannot draw" not in board.error, board.error


def test_the_ease_of_a_cap_lies_above_its_notches():
    for body in bodies.simulated(4, "women", seed=20):
        _, sleeve = own_sleeve(body, say=lambda _: None)
        for part in ("front", "back"):
            cap, armhole = sleeve[f"{part} cap"], sleeve[f"{part} armhole"]
            below = cap.length - cap.closest(sleeve[f"{part} notch"])[0]
            assert below == pytest.approx(sleeve[f"{part} notch from the underarm"], abs=0.01)
            assert cap.length - armhole.length == pytest.approx(1.375 if part == "back" else 1.125, abs=0.01)
        assert sleeve_outline(sleeve).area > 500


@pytest.mark.parametrize("id", ["20a", "20b", "21a", "21b", "22a", "22b"])
def test_an_exercise_asks_for_what_every_student_draws(id):
    work = exercises()[id]
    for k in range(12):
        draft = work.reference(numbers_for(f"student {k}"))
        assert all(asked.name in draft for asked in work.asked)

"""Boards of measures and blocks, and the pictures they show.

Properties: every board draws at each slider's smallest, largest and first value, and anything between is a
picture or a sentence; what a board says agrees with plane geometry: a dart of angle t and
legs d opens 2 d sin(t/2); half hip less half waist is what side and darts take up; lines turned at the
shoulder by an angle miss 180 degrees by it. No letters or lines lie outside a sheet.
"""

import math
import re
from random import Random

import pytest

from patternlib import Body, bodice_block, chart, skirt_block
from patternlib.boards import compare
from patternlib.boards.blocks import (
    BUST_DART,
    bodice_board,
    body_board,
    dart_board,
    joined_board,
    joined_shoulder,
    place_round,
    skirt_board,
    turned_ends,
)
from patternlib.errors import PatternError, ValueAtFault
from patternlib.moves import block_outline, dart_angle, joined_angle
from patternlib.output.items import Handle, Stroke, Text, item_box
from patternlib.output.scene.landmarks import landmarks_scene, measures_scene
from patternlib.output.scene.outlines import outline_scene
from patternlib.survey import measures

BODY = chart("course").body("12")
BOARDS = {
    "body": body_board, "skirt": skirt_board, "bodice": bodice_board, "dart": dart_board,
    "joined": joined_board,
}  # fmt: skip


def sliders(board):
    return [board.slider(name) for name in board.values]


def lies_on_its_sheet(scene) -> bool:
    """Everything; of the joined shoulder, which is seen through a window, the letters."""
    x0, y0, x1, y1 = scene.bounds
    window = "joined" in scene.title
    boxes = [item_box(item) for item in scene.items if isinstance(item, Text) or not window]
    return all(b[0] >= x0 and b[1] >= y0 and b[2] <= x1 and b[3] <= y1 for b in boxes)


@pytest.mark.parametrize("name", BOARDS)
def test_board_draws_at_the_ends_of_every_slider(name):
    board, refused = BOARDS[name](BODY), []
    assert board.error == "" and lies_on_its_sheet(board.draw().scene)
    for slider in sliders(board):
        for value in (slider.low, slider.start, slider.high):
            try:
                picture = board.draw({slider.name: value})
            except PatternError as refusal:
                refused.append(str(refusal))
                continue
            assert picture.scene.items and lies_on_its_sheet(picture.scene), slider.shown(value)
    # only a waist and a hip that do not go together are refused
    assert all("Measure both again" in text for text in refused) and len(refused) <= 2


@pytest.mark.parametrize("name", BOARDS)
def test_any_values_give_a_picture_or_a_sentence(name):
    board, random, drawn = BOARDS[name](BODY), Random(83), 0
    for _ in range(200):
        values = {s.name: round(random.uniform(s.low, s.high), 2) for s in sliders(board)}
        try:
            drawn += bool(board.draw(values).scene.items)
        except PatternError as refusal:
            assert re.search(r"[a-z].*\.$", str(refusal)), values
    assert drawn > 100


@pytest.mark.parametrize("name", ["skirt", "bodice"])
def test_steps_come_with_sentences_and_add_up_to_the_drawing(name):
    board = BOARDS[name](BODY)
    steps = board._steps(dict(board.values))
    assert len(steps) > 40 and all(step.text.endswith(".") for step in steps)
    drawn = {item for item in board.draw().scene.items if not isinstance(item, Handle)}
    assert {item for step in steps for item in step.items} == drawn


def numbers(text: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", text)]


def test_skirt_board_keeps_the_books():
    """Level by level: (hip/2 + ease) - (waist/2 + ease) is sides and mouths; curves add under 1 cm."""
    board = skirt_board(BODY)
    for waist, hip in ((66, 94), (72, 98), (80, 100)):
        text = board.draw({"waist_girth": waist, "hip_girth": hip, "hip_ease": 4}).findings[0].text
        half_hip, side, back, front, half_waist = numbers(text)
        assert half_hip == pytest.approx(hip / 2 + 2, abs=0.051)
        assert half_waist == pytest.approx((waist + 2.4) / 2, abs=0.051)
        assert 0 <= 2 * side + back + front - (half_hip - half_waist) < 1
    text = [f.text for f in board.draw({"waist_girth": 96, "hip_girth": 96}).findings]
    assert "dart mouths none" in text[0] and "too little for darts" in text[1]


def test_body_board_asks_about_what_hardly_goes_together():
    board = body_board(BODY)
    assert [f.text for f in board.draw().findings] == ["these measures go together; 18 of 22 are estimated."]
    doubted = board.draw({"waist_girth": 95, "hip_girth": 78}).findings
    assert {f.severity for f in doubted} == {"warning"} and "waist_girth 95" in doubted[0].text


def test_bodice_board_says_what_the_block_holds():
    text = bodice_board(BODY).draw({"bust_girth": 92}).findings[0].text
    half, neck, back, front, armhole = numbers(text)
    assert half == 51 and back - front == pytest.approx(0.8) and 38 < armhole < 46
    assert neck == pytest.approx(
        BODY.replace(bust_girth=92, underbust_girth=BODY.underbust_girth).neck_girth, abs=0.051
    )


@pytest.mark.parametrize("share", [30, 100])
def test_moved_dart_opens_as_the_angle_asks(share):
    board = dart_board(BODY)
    before = block_outline(bodice_block(BODY), "front")
    angle, pin = dart_angle(before, BUST_DART), before[BUST_DART[0]].end
    with pytest.raises(PatternError, match="leaves the paper"):  # a cut across the hollow of the armhole
        board.draw({"place": 10})
    for place in (29, 40, 55, 75, 95):
        edge, at = place_round(before, BUST_DART, place / 100)
        d = before[edge].at(at).distance(pin)
        said = board.draw({"place": place, "share": share}).findings[0].text
        start, leg, mouth, there, whole = numbers(said)
        assert edge in said and start == pytest.approx(at, abs=0.051) and leg == pytest.approx(d, abs=0.051)
        assert mouth == pytest.approx(2 * d * math.sin(math.radians(angle * share / 200)), abs=0.051)
        assert there == pytest.approx(whole * share / 100, abs=0.06)


def test_places_go_once_round_the_outline():
    before = block_outline(bodice_block(BODY), "front")
    names = list(dict.fromkeys(place_round(before, BUST_DART, k / 200)[0] for k in range(1, 200)))
    assert names[0] == "shoulder, armhole part" and names[-1] == "shoulder, neck part"
    assert set(names) == {n for n in before.names if not n.endswith(" leg")}


def test_turned_ends_show_across_the_shoulder():
    """A smooth join is 180 degrees; an end turned by so much is off by so much."""
    block = bodice_block(BODY, bust_dart=0.0)
    for neckline, armhole in ((0, 0), (12, -15), (-20, 8)):
        back, front = joined_shoulder(turned_ends(block, neckline=neckline, armhole=armhole))
        for name, turn in (("neckline", neckline), ("armhole", armhole)):
            angle = joined_angle(back[name], back["shoulder"], front[name], front["shoulder"])
            assert angle == pytest.approx(180 - turn, abs=1e-6)
        assert front["shoulder"].start.distance(back["shoulder"].end) < 1e-9
    board = joined_board(BODY)
    assert [f.severity for f in board.draw().findings] == ["warning", "warning"]
    assert [f.severity for f in board.draw({"neckline": 0, "armhole": 2}).findings] == ["right", "right"]
    assert "juts out" in board.draw({"neckline": 20}).findings[0].text
    assert "dips in" in board.draw({"neckline": -20}).findings[0].text


# -- pictures


def texts(scene) -> list[str]:
    return [item.text for item in scene.items if isinstance(item, Text)]


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_every_measure_has_its_number_and_its_line(unit):
    body = BODY.replace(back_waist_length=40)
    scene = measures_scene(body, unit=unit)
    assert lies_on_its_sheet(scene)
    words = texts(scene)
    for k, m in enumerate(measures().values(), 1):
        assert words.count(str(k)) == 2, "one beside the line, one in the list"
        assert words.count(m.term) == 1
        line = [i for i in scene.items if isinstance(i, Stroke) and i.id == f"measures/{m.name}"]
        assert [i.style for i in line] == ["placement" if m.name in body.estimated else "style line"]
    assert words.count("est.") == len(body.estimated) == 17
    assert ("40 cm" in words) == (unit == "cm") and ("15 3/4 in" in words) == (unit == "in")


def test_lines_of_the_figure_run_where_the_measures_say():
    """Those from top to bottom, in order of their levels; the terms of ISO 8559-1, from memory."""
    scene = measures_scene()
    at = {i.id.removeprefix("measures/"): item_box(i) for i in scene.items if isinstance(i, Stroke) and i.id}
    assert at["head_girth"][1] > at["neck_girth"][1] > at["bust_girth"][1] > at["waist_girth"][1]
    assert at["waist_girth"][1] > at["hip_girth"][1] > at["waist_to_knee"][1] > at["height"][1]
    for upright in ("back_waist_length", "front_waist_length", "waist_to_hip", "waist_to_knee", "height"):
        assert at[upright][0] == at[upright][2] and at[upright][1] < at[upright][3]
    for level in ("bust_span", "back_width", "chest_width"):
        assert at[level][1] == at[level][3]
    assert at["back_waist_length"][1] == at["waist_to_hip"][3], "both at the natural waist"


def test_landmarks_are_named_once_a_view_and_keep_apart():
    scene = landmarks_scene()
    assert lies_on_its_sheet(scene)
    words = [item for item in scene.items if isinstance(item, Text)]
    assert {"nape bone", "side neck point", "pit of the neck", "shoulder point"} <= set(texts(scene))
    boxes = [item_box(t) for t in words]
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1], "two names overlap"


def test_outlines_are_drawn_over_what_they_were():
    before, back = (block_outline(bodice_block(BODY), part) for part in ("front", "back"))
    scene = outline_scene(before, beneath=[back], more=[("redrawn", before["side"])], measures=["side"])
    styles = [i.style for i in scene.items if isinstance(i, Stroke)]
    assert styles == ["block"] * len(back.edges) + ["style line"] * len(before.edges) + ["own"]
    assert texts(scene) == [f"side: {before['side'].length:.1f} cm"] and lies_on_its_sheet(scene)


@pytest.mark.parametrize("typed", [36 * 2.54, 91.4])
def test_a_value_asked_for_in_inches_can_be_typed_in_either_unit(typed):
    """1 in is 2.54 cm [international yard and pound agreement, 1959]; a field in cm holds one decimal."""
    board = body_board(BODY)
    board.values = board.values | {"bust_girth": typed}
    assert compare(board, bust_girth=36 * 2.54).startswith("Right")
    board.values = board.values | {"bust_girth": 91.3}
    assert "91.3 cm; 91.44 cm is asked for" in compare(board, bust_girth=36 * 2.54)


def test_points_of_an_outline_are_marked_and_named():
    front = block_outline(bodice_block(BODY), "front")
    pin = front["bust dart, neck leg"].end
    scene = outline_scene(front, points=[("bust point", pin)])
    (mark,) = [i for i in scene.items if isinstance(i, Stroke) and i.title == "bust point"]
    assert [sum(c[k] for c in mark.d) / 4 for k in (1, 2)] == pytest.approx([pin.x, pin.y])
    assert texts(scene) == ["bust point"] and lies_on_its_sheet(scene)


def test_a_tall_outline_is_seen_whole_on_a_screen():
    """A window of 900 by 1000 px shows a picture 900 px wide whole only where it is broader than high."""
    scene = outline_scene(block_outline(skirt_block(BODY), "front"), lettering="screen")
    x0, y0, x1, y1 = scene.bounds
    assert y1 - y0 < 0.85 * (x1 - x0)


def test_a_window_shows_a_part_of_the_sheet_with_its_letters():
    front = block_outline(bodice_block(BODY), "front")
    x0, y0, x1, y1 = window = (22.0, 0.0, 50.0, 18.0)
    scene = outline_scene(front, measures=["side"], window=window, lettering="screen")
    assert scene.bounds == (x0 - 1, y0 - 1, x1 + 1, y1 + 1)
    (label,) = [item for item in scene.items if isinstance(item, Text)]
    x, y, u, v = item_box(label)
    assert x0 <= x and y0 <= y and u <= x1 and v <= y1


def test_another_unit_is_refused():
    with pytest.raises(ValueAtFault, match="'cm' or 'in'"):
        measures_scene(Body(bust_girth=88, waist_girth=70, hip_girth=95), unit="mm")
    with pytest.raises(ValueAtFault, match="'cm' or 'in'"):
        outline_scene(block_outline(bodice_block(BODY), "back"), unit="mm")

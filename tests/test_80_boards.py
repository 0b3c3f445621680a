"""Boards without a browser: packing, differences, values set from Python, refusals, the still picture.

Properties: a difference laid on its whole picture gives the new picture again, whatever the values; a path
in page units lies within half a unit of the path in cm, however long it is; a refusal keeps the last good
picture and becomes a sentence; two runs give the same text outputs.
"""

import json
import re
from random import Random

import pytest

import patternlib as pl
from patternlib.boards import Board, Slider, garment_board, memory, opened_board, walk_board
from patternlib.boards import picture as packing
from patternlib.boards.blocks import bodice_board, body_board, skirt_board, sleeve_board
from patternlib.boards.picture import FINE, Packer, Picture, difference, path_text
from patternlib.errors import PatternError, UnknownName, ValueAtFault
from patternlib.garments.pinafore import garment as pinafore
from patternlib.garments.pinafore import opening as pinafore_opening
from patternlib.output.items import Handle, Stroke
from patternlib.output.scene import Scene, garments, pieces, plans
from tests import board_scene as made_up


def laid_on(base: dict, change: dict) -> dict:
    """Do what the page does with a difference."""
    whole = {**base, **{k: v for k, v in change.items() if k not in ("items", "facts")}}
    for part in ("items", "facts"):
        whole[part] = dict(base[part])
        for key, entry in change.get(part, {}).items():
            if entry == 0:
                del whole[part][key]
            else:
                whole[part][key] = [*base[part][key][:5], entry] if isinstance(entry, str) else entry
    return whole


def some_values(random: Random) -> dict:
    return {s.name: round(random.uniform(s.low, s.high), 2) for s in made_up.SLIDERS}


def test_difference_gives_the_new_picture_again():
    random, packer = Random(7), Packer()
    start = packer.pack(made_up.redraw({s.name: s.start for s in made_up.SLIDERS}))
    tried = 0
    for _ in range(200):
        try:
            new = packer.pack(made_up.redraw(some_values(random)))
        except PatternError:
            continue
        assert laid_on(start, difference(start, new)) == new
        tried += 1
    assert tried > 50


def test_difference_names_items_that_came_and_went():
    packer = Packer()
    picture = made_up.redraw({s.name: s.start for s in made_up.SLIDERS})
    whole = packer.pack(picture)
    scene = picture.scene
    fewer = packer.pack(Picture(Scene(scene.items[:-5], scene.title, scene.bounds), (), picture.facts))
    assert laid_on(whole, difference(whole, fewer)) == fewer
    assert laid_on(fewer, difference(fewer, whole)) == whole
    assert difference(whole, whole) == {}


def test_rounding_does_not_add_up_along_a_path():
    random = Random(3)
    points = [(random.uniform(-90, 90), random.uniform(-90, 90)) for _ in range(500)]
    text = path_text((("M", *points[0]), *(("L", *p) for p in points[1:])))
    x = y = 0
    numbers = re.findall(r"[ml](-?\d+) (-?\d+)", text)
    for (dx, dy), (px, py) in zip(numbers, points, strict=True):
        x, y = x + int(dx), y + int(dy)
        assert abs(x - px * FINE) <= 0.5 and abs(y + py * FINE) <= 0.5


def test_findings_on_a_board_speak_of_labels_and_in_its_unit():
    """What a finding advises is found on the board: a code name is not, nor cm where inches are shown."""
    board = garment_board("pinafore", pl.chart("course").body("12"), ["yoke_depth"], unit="in")
    board.values = {"yoke_depth": 10}
    (said,) = [text for _, text, where in board.picture["all"]["findings"] if where == "yoke line"]
    assert re.search(r"take yoke depth at centre back \d[ \d/]* in", said), said
    measured = body_board(pl.chart("course").body("12"))
    measured.values, measured.unit = {"bust_girth": 140}, "in"
    doubts = [text for _, text, _ in measured.picture["all"]["findings"]]
    assert doubts and not re.search(r"_| cm\b|unusual: for bust \d+ and", " ".join(doubts)), doubts


def test_the_scale_bar_of_a_garment_as_worn_is_in_the_unit_of_the_board():
    board = garment_board("pinafore", pl.chart("course").body("12"), ["yoke_depth"], show=["drawing"])
    words = lambda: {e[3] for e in board.picture["all"]["items"].values() if e[0] == packing.TEXT}  # noqa: E731
    assert "20 cm" in words()
    board.unit = "in"
    assert "8 in" in words()


def test_values_from_python_draw_and_are_held_to_the_limits():
    board = Board(made_up.redraw, made_up.SLIDERS, title="Panels")
    before = board.picture
    board.values = {"length": 71}
    assert board.values["length"] == 71 and board.values["yoke_depth"] == 8
    assert board.picture["n"] > before["n"] and board.picture["all"] != before["all"]
    assert board.picture["all"]["findings"]
    with pytest.raises(ValueAtFault, match="between 45 and 75 cm"):
        board.values = {"length": 710}
    with pytest.raises(UnknownName, match="yoke_depth"):
        board.values = {"yoke_dept": 7}
    assert board.values["length"] == 71


def test_refusal_is_a_sentence_and_the_last_good_picture_stays():
    board = Board(made_up.redraw, made_up.SLIDERS, title="Panels")
    good = board.picture["all"]
    board.values = {"pocket_down": 10, "yoke_depth": 12}
    assert "Lower the pocket" in board.error and board.picture["error"] == board.error
    assert board.picture["all"] == good
    board.values = {"pocket_down": 16, "yoke_depth": 8}
    assert board.error == "" and board.picture["error"] == ""


def test_fault_of_the_drawing_code_is_a_sentence_too():
    def redraw(values):
        return (
            made_up.redraw({**values, "length": 1 / (values["length"] - 50)})
            if values["length"] == 50
            else made_up.redraw(values)
        )

    board = Board(redraw, made_up.SLIDERS, title="Panels")
    board.values = {"length": 50}
    assert "Move the slider back" in board.error and "ZeroDivisionError" in board.error


def test_page_gets_answers_to_its_questions(monkeypatch):
    board = Board(made_up.redraw, made_up.SLIDERS, title="Panels", steps=made_up.steps)
    sent = []
    monkeypatch.setattr(board, "send", sent.append)
    base = board.picture
    board._hear(None, {"kind": "draw", "who": "w", "n": 4, "v": [61, 8, 7, 16], "s": 0}, None)
    board._hear(
        None, {"kind": "ahead", "who": "w", "n": 1, "v": [[[62, 8, 7, 16], 0], [[62, 12, 7, 10], 0]]}, None
    )
    assert [m.get("n", m.get("ahead")) for m in sent] == [4, 1] and {m["on"] for m in sent} == {base["n"]}
    drawn = laid_on(base["all"], sent[0]["got"][0])
    assert (
        drawn["items"]
        == board._packer.pack(made_up.redraw(dict(zip(board.values, [61, 8, 7, 16], strict=True))))["items"]
    )
    assert "Lower the pocket" in sent[1]["got"][1]["error"]
    assert board.values["length"] == 60
    board._hear(None, {"kind": "rest", "who": "w", "n": 9, "v": [63, 8, 7, 16], "s": 0}, None)
    assert board.values["length"] == 63 and board.picture["by"] == "w:9"


def test_only_what_a_hand_has_moved_is_kept_as_left_by_a_reader():
    """A lesson's cell may set a value itself: the next reader of the lesson has left nothing there."""
    board = Board(made_up.redraw, made_up.SLIDERS, title="Panels")
    start = dict(board.values)
    board.values = {"length": 64}
    assert board._metadata()["draft_board"]["values"] == start != board.values
    board._hear(None, {"kind": "rest", "who": "w", "n": 1, "v": [65, 8, 7, 16], "s": 0}, None)
    assert board._metadata()["draft_board"]["values"]["length"] == 65


def test_the_values_before_return_with_the_board_from_the_saved_notebook(tmp_path, monkeypatch):
    """Fifty each way, as lines of text; what is damaged or of another board is left out."""
    file = tmp_path / "saved.ipynb"
    monkeypatch.setenv("JPY_SESSION_NAME", str(file))
    monkeypatch.setattr(memory, "cell_id", lambda: "the cell")
    monkeypatch.setattr(memory, "_left", {})
    board = Board(made_up.redraw, made_up.SLIDERS, title="Panels")
    assert "trail" not in board._metadata()["draft_board"]
    back = [[40 + k / 4, 8, 7, 16] for k in range(80)]
    trail = {"back": [*back, [1, 2], "x", [float("nan")] * 4], "forward": [[66.5, 8, 7, 16]]}
    board._hear(None, {"kind": "rest", "who": "w", "n": 1, "v": [65, 8, 7, 16], "s": 0, "trail": trail}, None)
    output = {"output_type": "display_data", "data": {}, "metadata": board._metadata()}
    file.write_text(json.dumps({"cells": [{"id": "the cell", "outputs": [output]}]}))
    assert len(json.dumps(output)) < 2000
    memory._left.clear()
    again = Board(made_up.redraw, made_up.SLIDERS, title="Panels")
    assert again.values["length"] == 65
    assert again.setup["trail"] == {"back": back[-47:], "forward": [[66.5, 8, 7, 16]]}


def test_steps_add_up_to_the_drawing():
    board = Board(made_up.redraw, made_up.SLIDERS, title="Panels", steps=made_up.steps)
    whole = board.picture["all"]
    assert whole["count"] == 8
    board.step = 2
    two = board.picture["all"]
    assert two["step"][0] == 2 and two["step"][1].startswith("Step 2")
    drawn = {key for key, item in two["items"].items() if item[2] != "ghost"}
    assert 0 < len(drawn) < len(whole["items"]) and drawn <= set(whole["items"])
    faint = {item[5] for item in two["items"].values() if item[0] == 0 and item[2] == "ghost"}
    drawn_lines = {two["items"][key][5] for key in drawn if two["items"][key][0] == 0}
    steps = made_up.steps(board.values)
    all_lines = {path_text(item.d) for step in steps for item in step.items if isinstance(item, Stroke)}
    assert faint | drawn_lines == all_lines and faint and drawn_lines
    board.step = 0
    assert board.picture["all"]["items"] == whole["items"]


def test_still_picture_and_words_are_the_same_in_every_run():
    one, two = (Board(made_up.redraw, made_up.SLIDERS, title="Panels") for _ in range(2))
    assert one.still() == two.still() and repr(one) == repr(two)
    assert repr(one).startswith("<Board Panels: Skirt length 60 cm")
    assert "Skirt length 60 cm" in one.still()
    sizes = [float(s) for s in re.findall(r'font-size="([\d.]+)"', one.still())]
    assert sizes and min(sizes) >= 11


@pytest.mark.parametrize(
    ("low", "high", "step", "start", "unit"),
    [
        (5, 5, 1, 5, "cm"),
        (5, 9, 0, 6, "cm"),
        (5, 9, 1, 12, "cm"),
        (5, 9, 1, 6, "feet"),
        (5, 9, 1, float("nan"), "cm"),
    ],
)
def test_slider_refuses_what_a_hand_could_not_move(low, high, step, start, unit):
    with pytest.raises(ValueAtFault):
        Slider("yoke_depth", "Yoke depth", low, high, step, start, unit)


def test_still_picture_follows_only_where_a_page_is():
    """A run without a page leaves the outputs of earlier cells alone; strict comparing runs rely on it."""
    renewed = []
    board = Board(made_up.redraw, made_up.SLIDERS, title="Panels")
    output = type("Output", (), {"update": staticmethod(lambda still, **_: renewed.append(still))})
    board._stills.append(output)
    board.values = {"length": 61}
    assert renewed == []
    board._hear(None, {"kind": "here", "who": "w"}, None)
    board.values = {"length": 62}
    assert [repr(still)[:29] for still in renewed] == ["Panels: Skirt length 62 cm, Y"]
    row = [63, *list(board.values.values())[1:]]
    board._hear(None, {"kind": "rest", "who": "w", "n": 1, "v": row, "s": 0}, None)
    assert len(renewed) == 1, "it does not hold up the next press"
    board._hear(None, {"kind": "still", "who": "w"}, None)
    assert repr(renewed[1])[:29] == "Panels: Skirt length 63 cm, Y"


# --- the garment's board


BODY = pl.chart("course").body("12")
STYLE = {value.name: value for value in pl.style_values("pinafore")}


@pytest.fixture(scope="module")
def whole_board() -> Board:
    """A board of the pinafore on which every style value has a slider."""
    return garment_board("pinafore", BODY, list(STYLE))


def drawn_or_said(board: Board, values: dict) -> bool:
    """Whether the values give a picture; what they give otherwise must be a sentence."""
    board.values = {**{name: value.start for name, value in STYLE.items()}, **values}
    if board.error:
        assert board.error.endswith(".") and "drawing code" not in board.error, (values, board.error)
        return False
    packed = board.picture["all"]
    assert len(packed["items"]) > 100 and packed["facts"]
    return True


@pytest.mark.parametrize("name", STYLE)
def test_smallest_largest_and_starting_value_of_each_slider(whole_board, name):
    slider = whole_board.slider(name)
    assert drawn_or_said(whole_board, {})
    for at in (slider.low, slider.high):
        drawn_or_said(whole_board, {name: at})


def test_random_values_give_a_picture_or_a_sentence(whole_board):
    random, drawn = Random(20), 0
    for k in range(40):
        # a few values at a time mostly agree, all at once mostly do not
        chosen = random.sample(list(STYLE), len(STYLE) if k % 5 == 0 else random.randint(1, 4))
        sliders = {n: whole_board.slider(n) for n in chosen}
        values = {n: round(random.uniform(s.low, s.high), 2) for n, s in sliders.items()}
        drawn += drawn_or_said(whole_board, values)
    assert 10 < drawn < 40


def test_what_is_kept_of_earlier_drawings_is_never_stale():
    """A value moved up and down on one board gives what a new drawing of everything gives."""
    random, used = Random(4), garment_board("pinafore", BODY, list(STYLE))
    for _ in range(12):
        name = random.choice(list(STYLE))
        values = {name: round(random.uniform(used.slider(name).low, used.slider(name).high), 1)}
        try:
            kept = used.draw(values)
        except PatternError:
            continue
        for lasting in (
            pinafore_opening._leans,
            pinafore_opening._opening_for,
            pinafore._bodice_block,
            pinafore._front,
            pinafore._finished,
        ):
            lasting.cache_clear()
        for lasting in (pieces.draw_piece, pieces.Sheet.items, plans.draw_draft, packing.pack_item):
            lasting.forget()
        for lasting in (garments._box_round, garments._draft_box):
            lasting.forget()
        fresh = used.draw(values)
        assert Packer().pack(kept) == Packer().pack(fresh), values


OPTIONS = {
    "skirt": ("length", "hip_ease", "waist_ease", "waist_drop", "waist_to_hip"),
    "bodice": ("bust_ease", "back_waist_length", "shoulder_drop", "bust_dart", "bust_span", "waist_girth"),
    "sleeve": ("cap_ease", "upper_arm_ease", "wrist_ease"),
}
LEAST_POINTS = {"pinafore": 16, "apron": 12, "smock": 11, "skirt": 6, "bodice": 6, "sleeve": 5}


@pytest.mark.parametrize("name", LEAST_POINTS)
def test_movable_points_lie_where_their_sliders_say_and_move_as_far(name):
    """One cm on a slider moves its point by the way the point gives, so that the hand stays on it."""
    if name in OPTIONS:
        board = {"skirt": skirt_board, "bodice": bodice_board, "sleeve": sleeve_board}[name](
            BODY, OPTIONS[name]
        )
    else:
        board = garment_board(name, BODY, [v.name for v in pl.style_values(name)], show=["plans"])

    def points(values):
        board._held = places  # pieces and plans keep their places while a hand moves
        return {i.name: i for i in board.draw(values).scene.items if isinstance(i, Handle)}

    places = board.draw().scene.places
    start = points({})
    assert len(start) >= LEAST_POINTS[name]
    for point in start.values():
        for value, (dx, dy) in point.moves.items():
            by = board.slider(value).step
            there = points({value: board.values[value] + by})
            moved = there[point.name]
            assert moved.y - point.y == pytest.approx(by * dy, abs=0.02), (point.name, value)
            assert moved.x - point.x == pytest.approx(by * dx, abs=0.02), (point.name, value)


def test_measures_of_the_drawing_follow_the_unit():
    board = garment_board("pinafore", BODY, ["yoke_depth"], steps_of="back plan")
    said = [step.text for step in board._steps_of(board.values)]
    board.unit = "in"
    in_inches = [step.text for step in board._steps_of(board.values)]
    assert any(" cm " in text for text in said) and not any(" cm " in text for text in in_inches)


def test_a_choice_is_given_by_its_words():
    board = walk_board(pl.make("pinafore", BODY), "side seam")
    before = board.picture["all"]
    board.values = {"seam": "strap to yoke"}
    assert board.picture["all"] != before and "Seam strap to yoke" in board.alt()
    with pytest.raises(UnknownName, match="side seam"):
        board.values = {"seam": "side seams"}


def test_seam_boards_draw_every_choice():
    garment = pl.make("pinafore", BODY)
    for board in (walk_board(garment), opened_board(garment)):
        last = board.slider("seam").high
        for seam in range(last + 1):
            for other, value in list(board.values.items())[1:]:
                high = board.slider(other).high
                board.values = {"seam": seam, other: high}
                assert not board.error
                board.values = {other: value}


@pytest.mark.parametrize("length", [46, 80])
def test_pieces_keep_their_places_while_the_hand_moves_and_are_laid_out_again_after(length, monkeypatch):
    """A piece's corner stays; only its own change of shape, some mm on the bib, is seen."""
    board = garment_board("pinafore", BODY, ["skirt_length"], show=["pieces"])
    sent = []
    monkeypatch.setattr(board, "send", sent.append)
    before, base = board._places, board.picture["all"]

    def corner(items: dict, edge: str) -> tuple[float, float]:
        path = next(item[5] for item in items.values() if item[0] == 0 and item[3] == edge)
        x, y = re.match(r"m(-?\d+) (-?\d+)", path).groups()
        return int(x) / FINE, int(y) / FINE

    board._hear(None, {"kind": "draw", "who": "w", "n": 1, "v": [length], "s": 0}, None)
    moving = laid_on(base, sent[0]["got"][0])["items"]
    assert moving != base["items"] and board._places is before
    for edge in ("bib/top", "strap/front end", "back yoke/neck edge"):
        if any(item[3] == edge for item in moving.values()):
            assert corner(moving, edge) == pytest.approx(corner(base["items"], edge), abs=0.5), edge
    board._hear(None, {"kind": "rest", "who": "w", "n": 2, "v": [length], "s": 0}, None)
    assert board._places == board.draw().scene.places
    far = max(abs(a - b) for name in before for a, b in zip(before[name], board._places[name], strict=True))
    assert far > 3, "the pieces are laid out again for the new length"
    assert board.picture["all"]["layout"] == base["layout"] + 1

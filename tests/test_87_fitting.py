"""The fitting in the course: its board, the sheet as a form, the toile, and the levels of two bodies."""

from __future__ import annotations

import pytest

from patternlib.alterations import SIGNS, Change, Changes, level_by_level, load_changes, on_paper, sign
from patternlib.assess import exercises
from patternlib.blocks import bodice_block, skirt_block
from patternlib.body import Body, chart
from patternlib.errors import PatternError
from patternlib.fitting import alteration_board
from patternlib.fitting.sheet_form import ChangesForm
from patternlib.garments.toile import HEM, OPENING, WIDE, make_toile
from patternlib.output.items import Stroke, flat_path, item_box, join_boxes
from patternlib.output.scene.landmarks import sign_scene, signs_scene
from patternlib.output.scene.landmarks.creases import LOOKS
from patternlib.output.svg import as_svg
from patternlib.own_measures import own_changes
from patternlib.survey import measures

from .bodies import corners, simulated

BODY = chart("course").body("12")


@pytest.mark.parametrize("of", SIGNS, ids=lambda s: s.name)
def test_the_board_draws_every_sign_and_says_what_to_do(of):
    board = alteration_board(BODY, garment="pinafore" if not (of.bodice or of.skirt) else "")
    picture = board.draw({"sign": of.name, "pinch": min(of.start, 2.0)})
    said = {finding.where: finding.text for finding in picture.findings}
    assert said["you see"] == of.seen and said["on the paper"] == of.paper
    packed = board._packer.pack(picture)
    used = {item[1] for item in packed["items"].values() if item[0] == 0} & {*CREASES, "placement"}
    words = dict(packed["legend"])  # below the sheet, at any width
    assert used == words.keys() - {"notch"} and all(words.values())
    assert not any(item[2] == "legend" for item in packed["items"].values())
    assert all(said in as_svg(picture.scene) for said in words.values()), "a still picture has them, too"
    if of.bodice or of.skirt:
        assert "agree" in said["seams"]
        first, *moves = board._steps_of({**board.values, "sign": float(SIGNS.index(of))})
        assert moves and {line.layer for line in first.items} == {"blocks"}
        (x0, _, x1, _) = join_boxes(item_box(line) for line in first.items)
        assert x1 - x0 > BODY.hip_girth / 2 - 10, "both halves of the block lie on the table"
    else:
        assert "bib" in said["pieces"]


@pytest.mark.parametrize("of", SIGNS, ids=lambda s: s.name)
def test_every_sign_is_drawn_on_the_body(of):
    """At the level that its words name, tight where there is too little cloth and loose where too much."""
    scene = sign_scene(of.name)
    creases = [
        i for i in scene.items if isinstance(i, Stroke) and i.layer == "garment" and i.style in CREASES
    ]
    used = {crease.style for crease in creases}
    words = of.seen.lower().replace("nothing else draws", "")
    if "fold" in words or "sags" in words:
        assert used == {"loose"}
    elif "crease" in words or "draws" in words or "strained" in words:
        assert used == {"tight"}
    low, high = LOOKS[of.name][0].levels
    ys = [p[1] for c in creases for run in flat_path(c.d) for p in run]
    assert all(low <= y <= high for y in ys)
    for word, (least, most) in LEVELS.items():
        if word in words and creases:
            assert any(least < y < most for y in ys), word
    views = [item.text for item in scene.items if getattr(item, "text", "") in ("front", "back", "side")]
    assert views == [look.view for look in LOOKS[of.name]]
    if "back" in of.name and "swings" not in of.name:
        assert views[0] == "back"


CREASES = ("tight", "loose")
LEVELS = {
    "across the bust": (111, 120), "above the waist": (103, 112), "across the hip": (76, 90),
    "just below the waist": (94, 104), "below the seat": (60, 80),
}  # fmt: skip
"""Levels of the figure, 165 cm tall: bust 115, waist 104, hip 83; proportions of lesson 01's figure."""


def test_the_signs_drawn_are_the_signs_taught():
    assert set(LOOKS) == {s.name for s in SIGNS}
    sheet = signs_scene(["full seat", "left hip higher", "low bust"])
    assert {"full seat", "left hip higher", "low bust", "her bust point"} <= {
        getattr(item, "text", "") for item in sheet.items
    }


def test_the_higher_hip_is_drawn_on_its_own_side():
    """From the front her right side is on the left of the drawing; the hem is lifted there."""
    ends = {}
    for side in ("right", "left"):
        hem = LOOKS[f"{side} hip higher"][0].moved["hem"]
        ends[side] = max((hem[0], hem[-1]), key=lambda p: p[1])[0]
    assert ends["right"] < 0 < ends["left"]


def test_a_pinch_that_cannot_be_drawn_is_a_sentence_on_the_board():
    board = alteration_board(corners()["small man"], sign="full bust", pinch=1.0)
    assert "bust dart" in board.error


def test_the_board_says_when_no_piece_changes():
    board = alteration_board(BODY, sign="low bust", pinch=2.0, garment="pinafore")
    said = {finding.where: finding.text for finding in board.draw().findings}
    assert said["pieces"].startswith("no piece of the pinafore changes")


def test_the_form_keeps_what_can_be_drawn_and_refuses_the_rest(tmp_path):
    form = ChangesForm(BODY, tmp_path)
    form.add("square shoulders", "3/4 in", "left a little more")
    assert load_changes(tmp_path / "my_changes.toml").made[0].pinch == pytest.approx(1.905)
    assert form.sheet["version"] == 2 and "version 2" in form.sheet["said"]
    for pinch in ("", "wide", "40", "-1"):
        form.add("full seat", pinch)
        assert form.sheet["fault"] and len(form.changes) == 1
    form.take_back()
    assert not load_changes(tmp_path / "my_changes.toml") and form.sheet["version"] == 1
    form.take_back()
    assert "no change" in form.sheet["fault"]
    again = ChangesForm(BODY, tmp_path)
    assert again.sheet["rows"] == []


def test_a_spoilt_sheet_is_said_and_the_lessons_draw_as_before(tmp_path, monkeypatch):
    (tmp_path / "my_changes.toml").write_text("[[change]\n", encoding="utf-8")
    assert "cannot be read" in ChangesForm(BODY, tmp_path).sheet["fault"]
    monkeypatch.chdir(tmp_path)
    said: list[str] = []
    assert not own_changes(say=said.append)
    assert "cannot be used yet" in said[0]


def test_the_toile_has_wide_allowances_no_facings_and_its_lines():
    """Wide seams to let out, an opening at the centre back: common practice, no source."""
    toile = make_toile(BODY)
    assert not [f.text for f in toile.findings if f.severity != "note"]
    assert not [piece for piece in toile.pieces if "facing" in piece.name]
    back, front = toile["bodice back"], toile["bodice front"]
    assert back["side"].allowance == WIDE == front["side"].allowance
    assert back["centre back"].allowance == OPENING and toile["skirt back"]["hem"].allowance == HEM
    assert front.on_fold and back.pair and back.cut == 2
    for piece in toile.pieces:
        names = {mark.name for mark in piece.marks}
        assert names & {"bust line", "hip line"}
        assert piece.grain is not None


def test_the_toile_follows_the_sheet():
    changes = Changes((Change("round upper back", 1.5, "2026-11-27"),))
    toile = make_toile(BODY, changes=changes)
    assert not [f.text for f in toile.findings if f.severity == "error"]
    assert "version 2, 2026-11-27" in toile["bodice back"].label
    assert any("shoulder dart" in mark.name for mark in toile["bodice back"].marks)


def test_the_toile_of_any_body():
    for body in [*simulated(4, "women", seed=3), *simulated(3, "men", seed=4), *corners().values()]:
        try:
            toile = make_toile(body)
        except PatternError:
            continue
        assert not [f.text for f in toile.findings if f.severity == "error"]


def whole(body: Body, **changed: float) -> Body:
    """The body with every measure given, so that changing one estimates no other again."""
    known = {name: getattr(body, name) for name in measures()}
    return Body(**{**known, **changed}, sex=body.sex)


@pytest.mark.parametrize(
    ("measure", "by", "expected"),
    [
        ("bust_girth", 3, "bust too tight"), ("waist_girth", -3, "waist too loose"),
        ("hip_girth", 4, "hip too tight"), ("back_waist_length", 1.2, "round upper back"),
        ("back_waist_length", -1.2, "erect back"), ("length_over_bust", 1.0, "full bust"),
        ("shoulder_drop", -1.0, "square shoulders"), ("shoulder_drop", 1.0, "sloping shoulders"),
    ],
)  # fmt: skip
def test_one_measure_that_differs_shows_at_its_level(measure, by, expected):
    for body in (BODY, *simulated(3, "women", seed=8)):
        plain = whole(body)
        assert not [level.sign for level in level_by_level(plain, plain) if level.sign]
        person = whole(body, **{measure: getattr(body, measure) + by})
        signs = [level.sign for level in level_by_level(plain, person) if level.sign]
        assert signs == [expected]


def test_a_change_puts_right_what_the_level_says():
    """The toile of one body, changed as its level says, agrees with the other body."""
    plain = whole(BODY)
    person = whole(BODY, hip_girth=BODY.hip_girth + 3)
    level = next(level for level in level_by_level(plain, person) if level.sign)
    changed = sign(level.sign).altered(skirt_block(plain), level.missing).after
    assert changed["hip line"].length == pytest.approx(skirt_block(person)["hip line"].length, abs=0.01)


def test_steps_are_told_or_a_refusal():
    block = bodice_block(BODY, one_dart=True)
    assert "mark nape" in repr(on_paper("round upper back", 1, block))
    assert "On these measures" in repr(on_paper("flat bust", 9, block))
    assert "Nothing is changed" in repr(on_paper("full seat", 1, block))


def test_the_exercises_agree_with_the_alterations():
    """What the exercise asks is what the library does to the same block, the curves by their ends."""
    for student in ("lena", "bo", "mira"):
        of = exercises()["17b"].own_numbers(student)
        draft = exercises()["17b"].reference(of)
        from patternlib.assess.tasks.topics import skirt

        made = sign("full seat").altered(skirt.block(of), draft["let down at the back"]).after
        for name in ("centre back waist", "side hip", "side hem", "back side waist"):
            assert draft[f"new {name}"].distance(made[name]) < 1e-6
        assert draft["new dart mouth"] == pytest.approx(made["back dart mouths"], abs=0.05)
        of = exercises()["17a"].own_numbers(student)
        draft = exercises()["17a"].reference(of)
        from patternlib.assess.tasks.topics import bodice

        made = sign("square shoulders").altered(bodice.block(of), draft["gap at the shoulder"]).after
        assert draft["new shoulder tip"].distance(made["back shoulder tip"]) < 1e-6
        assert draft["new armhole"].length == pytest.approx(made["back armhole"].length, abs=0.2)

"""A draft shown on the table: what is new, what was there, dimension lines, and drawing it oneself."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

import patternlib as pl
from patternlib.assess import MIME, exercises, section_table, solution_table
from patternlib.assess.showing.board import SectionTable
from patternlib.assess.showing.picture import SectionStill, section_svg
from patternlib.assess.showing.pocket import PocketTable
from patternlib.assess.showing.sections import Section, section
from patternlib.assess.table.kept import Kept
from patternlib.assess.tasks.record import StepTaken
from patternlib.geometry import Curve, Point
from tests.lesson_runs import LESSONS, run_lesson
from tests.table_steps import table_step

BODY = pl.chart("course").body("12")
BLOCK = pl.skirt_block(BODY, length=60)
FRAME = ("waist at centre back", "front hem")

DRAWN = {"02": "block", "03": "block", "06": "front", "07": "back"}
"""The lessons that draw a whole draft, and what they call it."""


def test_the_steps_of_a_part_and_what_was_there_before():
    part = section(BLOCK, ("side shaping", "back hip curve"), place="x")
    names = [step.name for step in part.steps]
    assert names[0] == "side waist level back" and names[-1] == "back hip curve"
    assert "side shaping" in part.given and "side hip" in part.given
    assert not {"back waist", "front hip curve", *names} & part.given.keys()


def test_two_parts_do_not_show_what_is_drawn_between_them():
    lines = [(f"{side} waist at the side, angle", f"{side} waist as drawn") for side in ("back", "front")]
    part = section(BLOCK, *lines, place="x")
    assert "front hip curve" in part.given  # the front waist is squared to it
    assert not any(name.startswith("back dart") for name in part.given)


def test_a_dimension_line_is_as_long_as_its_measure_and_stands_outside():
    part = section(BLOCK, FRAME, place="x")
    dims = part.dimensions
    assert {name: round(d.start.distance(d.end), 2) for name, d in dims.items()} == {
        "centre back waist": 1.0,
        "centre back hip": round(BODY.waist_to_hip, 2),
        "centre back hem": 60.0,
        "side hip": round((BODY.hip_girth + 5) / 4, 2),
        "centre front hip": round((BODY.hip_girth + 5) / 4, 2),
    }
    left = [d for d in dims.values() if d.end.x == 0]
    for d in left:  # all of them run down the centre back, and stand left of it, away from the block
        assert (d.end - d.start).unit().left().x * d.lane < 0
    lanes = [abs(d.lane) for d in sorted(left, key=lambda d: d.start.distance(d.end))]
    assert lanes == sorted(set(lanes))  # the shortest is the nearest, and no two lie on each other


def test_the_still_picture_shows_the_measures_and_needs_no_kernel():
    part = section(BLOCK, FRAME, place="x")
    drawn = section_svg(part)
    for said in ("60 cm", "25.1 cm", "22.1 cm", "1 cm", "centre front hem"):
        assert f">{said}<" in drawn
    assert ">23 5/8 in<" in section_svg(part, "in")
    shown = SectionStill(part)._repr_mimebundle_()
    assert "<img " in shown["text/html"] and MIME not in shown


def test_what_is_far_from_the_work_is_left_out():
    near = section(BLOCK, ("back dart 1 leg", "back dart 1, leg nearer the side"), place="x")
    assert near.box[1] > -40 and not near.whole
    assert section(BLOCK, FRAME, place="x").whole


def test_a_draft_without_such_steps_is_answered_by_a_sentence():
    straight = pl.skirt_block(BODY.replace(waist_girth=92), length=60)
    said = section_table(
        straight, ("back dart 1 leg", "back dart 1 point"), place="x", body=BODY, otherwise="No."
    )
    assert repr(said) == "No."
    with pytest.raises(pl.PatternError, match="no step"):
        section_table(BLOCK, ("centre back hip", "side hop"), place="x", body=BODY)


def put_all(table: SectionTable) -> None:
    """Draw every step of the section that can be drawn, and the numbers it rests on, as the rule has it."""
    work = table.work.reference(table.of)
    there = table.part.given.keys()
    new = {step.name for step in table.part.steps}
    away = {step.name for step in work.steps if step.style == "aside"}
    wanted = [
        s for s in work.steps if s.name not in there and s.name not in away and away.isdisjoint(s.inputs)
    ]
    steps = tuple(table_step(work, s) for s in wanted if s.name in new or isinstance(s.value, float))
    table.put(Kept(table.work.id, table.student, 1, steps))


def sections_of(path: Path, folder: Path, body=None) -> tuple[list[SectionTable], dict]:
    """The section tables that a lesson opens."""
    found: list[SectionTable] = []
    usual = SectionTable.__init__

    def noted(self, *args, **kwargs):
        usual(self, *args, **kwargs)
        found.append(self)

    SectionTable.__init__ = noted
    try:
        names, _ = run_lesson(path, folder, body)
    finally:
        SectionTable.__init__ = usual
    return found, names


@pytest.mark.parametrize("path", LESSONS[2:9], ids=lambda p: p.stem[:2])
def test_the_steps_of_a_lesson_unfold_on_tables_and_can_be_drawn_there(path, tmp_path):
    """Each asked step is right where the rule's own steps are drawn, as a reader may draw them."""
    tables, names = sections_of(path, tmp_path)
    assert tables
    places = [table.part.place for table in tables]
    assert len(set(places)) == len(places) and all(place.startswith(path.stem[:2]) for place in places)
    for table in tables:
        put_all(table)
        assert table.laid.faults == {}
        seen = table.compared()
        assert [n for n in seen["lines"] if n["verdict"] != "right"] == [], table.part.place
        assert seen["next"] == "This section is drawn."
    if path.stem[:2] in DRAWN:
        draft = names[DRAWN[path.stem[:2]]]
        lines = {s.name for s in draft.steps if isinstance(s.value, Curve | Point) and s.style != "aside"}
        shown = {step.name for table in tables for step in table.part.steps}
        given = {s.name for s in draft.steps if s.op in ("start", "trace")}
        there = set().union(*(table.part.given for table in tables))
        assert lines - shown - given <= there


def test_a_step_that_is_off_is_named_and_what_hangs_from_it_is_judged_on_it(tmp_path):
    part = section(BLOCK, FRAME, place="x")
    table = SectionTable(part, BODY, folder=tmp_path)
    assert table.compared()["next"].startswith("Next: From waist at centre back go down")
    put_all(table)
    steps = tuple(replace(s, measure="20 cm") if s.name == "side hip" else s for s in table.kept.steps)
    table.put(Kept(table.work.id, table.student, 2, steps))
    seen = table.compared()
    verdicts = {n["step"]: n["verdict"] for n in seen["lines"]}
    assert verdicts["side hip"] == "off" and verdicts["side hem"] == "carried"
    assert seen["next"] == "Next: look at side hip again."


def test_a_section_keeps_the_readers_steps_and_hands_nothing_in(tmp_path):
    part = section(BLOCK, FRAME, place="02 frame")
    table = SectionTable(part, BODY, folder=tmp_path)
    put_all(table)
    again = SectionTable(part, BODY, folder=tmp_path)
    assert again.said() == table.said() and len(again.said()) == len(part.steps)
    assert MIME not in again.hand_in()._repr_mimebundle_()


@pytest.mark.parametrize("id", ["02b", "05b", "07a", "11a"])
def test_a_solution_is_shown_step_by_step_on_a_students_numbers(id, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    work = exercises()[id]
    of = work.own_numbers("lena")
    table = solution_table(id, student="lena")
    shown = [step["name"] for step in table.setup["shown"]["steps"]]
    assert shown == list(work.sentences(of))
    for step in table.setup["shown"]["steps"]:
        assert step["said"]["cm"].endswith(".")
    assert isinstance(table.part, Section) and json.dumps(table.setup)


def pocket(folder: Path, *corners: tuple[str, str, tuple[str, ...], str, str]) -> PocketTable:
    """The pocket's table with steps on it: (name, verb, of, measure, way)."""
    table = PocketTable(BODY, folder=folder)
    steps = tuple(StepTaken(name, verb, of, m, way=way) for name, verb, of, m, way in corners)
    table.put(Kept("00 pocket", table.student, 1, steps))
    return table


ACROSS = ("top right", "go", ("top left",), "14 cm", "right")
DOWN = ("bottom left", "go", ("top left",), "16 cm", "down")
LAST = ("bottom right", "level", ("bottom left", "top right"), "", "")


def test_the_first_pocket_is_printed_at_true_size_with_its_allowances(tmp_path):
    """A hem of 2.5 cm at the opening, 1 cm elsewhere (common practice, no source)."""
    table = pocket(tmp_path, ACROSS, DOWN, LAST)
    piece = table.piece()
    xs, ys = zip(*piece.cut_line, strict=True)
    assert max(xs) - min(xs) == pytest.approx(14 + 2) and max(ys) - min(ys) == pytest.approx(16 + 1 + 2.5)
    assert piece.edge("opening").curve.start.y == piece.edge("opening").curve.end.y == 0
    assert piece.outline.area == pytest.approx(14 * 16)
    done = table.printed("a4")
    pages = PdfReader(tmp_path / done["file"]).pages
    words = " ".join(page.extract_text() for page in pages)
    assert "Test square" in words and "100 mm" in words and "my own first pattern" in words
    assert done["said"].endswith("Both diagonals measure 21.3 cm, so its corners are square.")


def test_a_pocket_drawn_to_the_other_side_is_the_same_piece(tmp_path):
    left = ("top right", "go", ("top left",), "14 cm", "left")
    piece = pocket(tmp_path, left, DOWN, LAST).piece()
    assert piece.outline.area == pytest.approx(14 * 16)  # anticlockwise again
    assert {e.name: e.allowance for e in piece.edges}["opening"] == 2.5
    assert piece.edge("opening").curve.start.y == 0


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        ((), "Draw bottom left first"),
        ((ACROSS, DOWN), "Draw bottom right first"),
        ((ACROSS, (*DOWN[:3], "1 cm", "down"), LAST), "is 1 cm long. Make it 4 cm to 50 cm long."),
        ((ACROSS, DOWN, ("bottom right", "go", ("top left",), "9 cm", "at 200°")), "cross"),
    ],
)
def test_a_pocket_that_cannot_be_printed_says_what_to_do(tmp_path, steps, said):
    done = pocket(tmp_path, *steps).printed("a4")
    assert said in done["fault"] and not list(tmp_path.glob("*.pdf"))


def test_a_pocket_that_leans_is_told_by_its_diagonals(tmp_path):
    leaning = ("bottom right", "go", ("bottom left",), "14 cm", "at 5°")
    said = pocket(tmp_path, ACROSS, DOWN, leaning).printed("letter")["said"]
    assert "so its corners are not square" in said

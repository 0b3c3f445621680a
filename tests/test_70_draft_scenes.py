"""Drawings of drafts and plans: step by step, windows, several in rows."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from shapely import LineString, Polygon, box

from patternlib.draft import Drafting, half_way
from patternlib.errors import PatternError
from patternlib.geometry import Point
from patternlib.output.items import Handle, Stroke, Text, item_box, join_boxes
from patternlib.output.scene import (
    draft_scene,
    piece_scene,
    plan_scene,
    replayed,
    side_by_side,
)
from patternlib.output.scene.replaying import NOTHING
from patternlib.units import write_length
from tests.drawn import pinafore
from tests.test_70_scene import strokes, texts

# --- drafts and plans ---------------------------------------------------------------------------------------


def test_a_draft_grows_step_by_step():
    draft = pinafore("12").drafts["skirt block"]
    counts = [len(strokes(draft_scene(draft, upto=k), layer="blocks")) for k in range(len(draft.steps))]
    assert counts == sorted(counts) and counts[-1] > counts[0]
    number = [s.name for s in draft].index("side hip")
    assert draft_scene(draft, upto="side hip") == draft_scene(draft, upto=number)
    with pytest.raises(PatternError, match="side hip"):
        draft_scene(draft, upto="side hipp")


@pytest.mark.parametrize(
    ("plan", "step", "unit", "said"),
    [
        ("skirt block", "centre back hem", "cm", "62 cm"),
        ("skirt block", "centre back hem", "in", "24 7/16 in"),  # 62 / 2.54 = 24.41
        ("back plan", "opening end", "cm", "19.5 cm"),
        ("back plan", "pocket inner corner", "cm", "13 cm"),
        ("front plan", "bib corner", "cm", "11.5 cm"),
    ],
)
def test_the_step_shown_has_its_measure(plan, step, unit, said):
    scene = draft_scene(pinafore("12").drafts[plan], upto=step, unit=unit)
    assert [t.text for t in texts(scene) if t.layer == "measures"] == [said]
    assert step in [t.text for t in texts(scene) if t.style == "point shown"]


def test_a_dimension_line_runs_beside_what_it_measures():
    """15 cm walked from the side's upper end: the line reaches from there to the point, 0.9 cm away."""
    draft = pinafore("12").drafts["back plan"]
    (beside,) = strokes(draft_scene(draft, upto="opening end"), layer="measures")
    walked = draft["opening edge"]
    own = LineString(walked.flat())
    drawn_line = LineString([c[1:] for c in beside.d[: [c[0] for c in beside.d[1:]].index("M") + 1]])
    assert own.hausdorff_distance(drawn_line) < 1.0
    assert own.distance(drawn_line) == pytest.approx(0.9, abs=0.03)


def test_every_step_of_every_draft_can_be_shown():
    """No step fails, no text on another, nothing outside the sheet."""
    for draft in pinafore("12").drafts.values():
        for k in range(0, len(draft.steps), 3):
            scene = draft_scene(draft, upto=k)
            rooms = [Polygon(t.corners()) for t in texts(scene)]
            sheet = box(*scene.bounds)
            assert all(sheet.contains(room) for room in rooms)
            assert all(a.intersection(b).area < 1e-9 for i, a in enumerate(rooms) for b in rooms[i + 1 :])


def test_a_window_shows_a_part_of_the_sheet():
    """All words and lines that lie in it, none beside it, and the sheet is no larger than it."""
    draft, window = pinafore("12").drafts["back plan"], (-12.0, -30.0, 30.0, 6.0)
    whole = draft_scene(draft, upto="pocket outer side")
    part = draft_scene(draft, upto="pocket outer side", window=window)
    assert part.bounds == window
    beside = {"nape", "centre hem"}
    assert beside <= {t.text for t in texts(whole)}
    named = {t.text for t in texts(part)}
    assert {"pocket point", "centre waist"} <= named and not named & beside
    assert not {"back neckline", "hemline"} & {i.title for i in strokes(part)}
    assert {"yoke line", "centre"} <= {i.title for i in strokes(part)}


def test_half_way_of_a_curve():
    """A quarter of a circle of radius 10: chord 14.1, rise 10 (1 - cos 45) = 2.93, arc 15.7 [geometry]."""
    for x, y, way in ((10, 10, "above and to the right"), (-10, -10, "below and to the left")):
        d = Drafting("a quarter of a circle")
        d.start("A", (x, 0)), d.start("B", (0, y))
        d.curve("arc", ["A", "B"], start="up" if y > 0 else "down", end="left" if x > 0 else "right")
        said = half_way(d.finish().step("arc"))
        assert said == f"arc: 14.1 cm from end to end; half-way 2.9 cm off this line, {way}; 15.7 cm walked"
    d = Drafting("an S between two levels")
    d.start("A"), d.start("B", (10, 4))
    d.curve("S", ["A", "B"], start="right", end="right")
    assert "; half-way on this line; " in half_way(d.finish().step("S"))
    with pytest.raises(PatternError, match="A makes no curve"):
        half_way(d.finish().step("A"))


def test_steps_add_up_to_the_whole_drawing():
    draft = pinafore("12").drafts["back plan"]
    steps = replayed(draft, lettering="paper")
    assert [step.text.removesuffix(f" {NOTHING}") for step in steps] == [step.text() for step in draft]
    added = [item for step in steps for item in step.items]
    assert set(added) == set(draft_scene(draft).items) and len(added) == len(draft_scene(draft).items)


def test_each_step_of_a_replay_shows_how_it_is_done():
    """A measure has its number, a swing an arc through the point it finds; else the step says so."""
    garment = pinafore("12")
    for name, draft in garment.drafts.items():
        for step, shown in zip(draft, replayed(draft), strict=True):
            said = [sign.text for sign in shown.signs if isinstance(sign, Text)]
            lines = [sign for sign in shown.signs if isinstance(sign, Stroke)]
            if isinstance(step.value, Point):
                assert step.name in said, (name, step.name)
            if step.op in ("go", "square", "swing", "swing down", "along") and abs(step.measure or 0) > 0.1:
                assert write_length(abs(step.measure), "cm") in said, (name, step.name, said)
            if step.op.startswith("swing"):
                pin = draft[step.inputs[0]]
                arcs = [s for s in lines if s.d[1][0] == "C" and math.dist(s.d[0][1:], pin) > 1]
                assert all(math.dist(c[-2:], pin) == pytest.approx(step.measure, abs=1e-6) for c in arcs[0].d)
            seen = any(isinstance(item, Stroke) for item in shown.items) or bool(shown.signs)
            assert seen != shown.text.endswith(NOTHING), (name, step.name)
            if step.op in ("sum", "given", "smallest"):
                assert shown.text.endswith(NOTHING)


@pytest.mark.parametrize("lettering", ["paper", "screen"])
def test_plans_stand_side_by_side(lettering):
    """The front on the left with its centre toward the back plan; no name on another."""
    garment = pinafore("12")
    scene = plan_scene(garment, lettering=lettering)
    titles = {t.text: t.x for t in texts(scene) if t.style == "heading"}
    assert list(titles) == ["front plan", "back plan"] and titles["front plan"] < titles["back plan"]
    rooms = [Polygon(t.corners()) for t in texts(scene)]
    assert all(a.intersection(b).area < 1e-9 for i, a in enumerate(rooms) for b in rooms[i + 1 :])
    front = {s.name for s in garment.drafts["front plan"]}
    split = (titles["front plan"] + titles["back plan"]) / 2
    right_of_front = max(c[-2] for s in strokes(scene) if s.title in front and s.d[0][1] < split for c in s.d)
    assert right_of_front < min(c[-2] for s in strokes(scene) for c in s.d if c[-2] > split)


def test_scenes_stand_in_rows():
    """Three in a row, each row's tops level, nothing on anything else."""
    garment = pinafore("12")
    scenes = [piece_scene(garment[name]) for name in ("bib", "strap", "back yoke", "back pocket")]
    one, rows = side_by_side(*scenes), side_by_side(*scenes, columns=3)
    assert one.bounds[2] > rows.bounds[2] and one.bounds[1] > rows.bounds[1]
    boxes = [
        join_boxes(item_box(s) for s in strokes(rows) if s.piece == name)
        for name in ("bib", "strap", "back yoke", "back pocket")
    ]
    assert boxes[3][3] < min(box[1] for box in boxes[:3]) and boxes[3][0] < boxes[0][2]
    for (_, _, right, _), (left, _, _, _) in pairwise(boxes[:3]):
        assert right < left


def test_names_are_those_of_the_lines_that_stay():
    scene = plan_scene(pinafore("12"), construction=False)
    said = {t.text for t in texts(scene)}
    assert "bib corner" in said and "pin" not in said
    assert not strokes(scene, style="construct")


def test_handles_lie_on_their_points():
    garment = pinafore("12")
    moves = {("back plan", "pocket point"): ("Pocket point", {"pocket_point": (0, -1)})}
    scene = plan_scene(garment, handles=moves)
    (handle,) = [i for i in scene.items if isinstance(i, Handle)]
    cross = next(s for s in strokes(scene) if s.title == "pocket point" and s.style == "measure")
    assert (handle.x, handle.y) == pytest.approx(((cross.d[0][1] + cross.d[1][1]) / 2, cross.d[0][2]))

"""The drafting table: measures, steps on the paper, what is kept, what is handed in.

- Every exercise can be drawn with the table's own verbs, and is right (the rule's steps, written as a learner
  types them).
- What the page constructs is what Python makes of the same step.
- A mistake is a sentence and stops nothing else.
- The newest of what was kept is found; an empty table hands nothing in.
"""

from __future__ import annotations

import json
import math
import random
import re
import shutil
import subprocess
from pathlib import Path

import msgspec
import pytest

from patternlib.assess import exercises, judge
from patternlib.assess.table.bending import bent
from patternlib.assess.table.board import DraftingTable, packed
from patternlib.assess.table.kept import Kept, found, keep, place
from patternlib.assess.table.laying import handed_in, lay, numbers_of
from patternlib.assess.table.measure import MeasureError, Quantity, read_measure, uses
from patternlib.assess.table.verbs import HANDS, VERBS
from patternlib.assess.tasks.record import MIME, StepTaken, read
from patternlib.draft import Step
from patternlib.geometry import Curve, Point, direction, fair, half_way_off
from patternlib.operations import OPERATIONS, WAYS
from tests.table_pieces import all_steps

MEASURES = json.loads((Path(__file__).parent / "data" / "table_measures.json").read_text(encoding="utf-8"))
NAMES = {name: Quantity(float(value), kind) for name, (value, kind) in MEASURES["names"].items()}

BY_PYTHON = {"joined", "crossing", "upright crossing", "level on", "trace"}
"""Operations that the page leaves to Python in some cases."""

FRAME = (
    StepTaken("centre back hip", "go", ("waist at centre back",), "waist to hip", way="down"),
    StepTaken("side hip", "go", ("centre back hip",), "hip girth ÷ 4 + hip ease ÷ 4", way="right"),
    StepTaken("centre back hem", "go", ("waist at centre back",), "skirt length", way="down"),
    StepTaken("side hem", "level", ("centre back hem", "side hip")),
)


@pytest.mark.parametrize("id", exercises())
def test_no_number_of_a_rule_has_the_name_of_one_of_her_own_numbers(id):
    """The table refuses such a name: in a measure nobody could tell which is meant."""
    work = exercises()[id]
    of = work.own_numbers("lena")
    own = numbers_of(work, of)
    numbers = [s.name for s in all_steps(work, of) if VERBS[s.verb].gives == "number" and s.verb != "note"]
    assert not own.keys() & set(numbers)


@pytest.mark.parametrize("case", MEASURES["read"], ids=lambda case: f"{case[0]}-{case[1]}-{case[2]}")
def test_measures_are_read_as_they_are_written(case):
    """The list that the page is held to as well (tests/page/measure.test.mjs)."""
    text, unit, wanted, value, *refusal = case
    if value is None:
        with pytest.raises(MeasureError) as said:
            read_measure(text, NAMES, wanted=wanted, unit=unit)
        assert refusal[0] in str(said.value)
    else:
        assert read_measure(text, NAMES, wanted=wanted, unit=unit).value == pytest.approx(value, abs=1e-8)


def test_the_names_in_a_measure_are_known_even_where_it_cannot_be_read():
    assert uses("hip ÷ 4 + yoke line, length ×", NAMES) == ("hip girth", "yoke line, length")


@pytest.mark.parametrize("verb", VERBS, ids=str)
def test_every_verb_stands_for_an_operation_and_has_a_place_for_each_input(verb):
    known = VERBS[verb]
    assert known.hand in HANDS
    kinds = [place.kind for place in known.places()]
    if known.gives in ("edge", "finish"):
        assert known.named and not known.op
    else:
        assert known.op in OPERATIONS and kinds.count("name") == 1
    assert "{" not in "".join(p for _, parts in known.groups() for p in parts if isinstance(p, str))


@pytest.mark.parametrize("student", ["lena", "amir"])
@pytest.mark.parametrize("id", exercises(), ids=str)
def test_every_exercise_can_be_drawn_on_the_table(id, student):
    work = exercises()[id]
    of = work.own_numbers(student)
    laid = lay(work, of, all_steps(work, of))
    assert not laid.faults
    verdicts = {line.step: line.verdict for line in judge(handed_in(work, of, laid, student=student)).lines}
    assert verdicts == dict.fromkeys((asked.name for asked in work.asked), "right")
    for step in laid.steps:
        assert laid.said(step, "in").endswith(".") and "…" not in laid.said(step, "cm")


def by_the_page(cases: list[dict]) -> list:
    """What the page's own code makes of steps, run in node."""
    node = shutil.which("node")
    if not node:
        pytest.skip("node is not installed")
    script = Path(__file__).parent / "page" / "constructed.mjs"
    ran = subprocess.run([node, str(script)], input=json.dumps(cases), capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


def for_the_page(laid, step: StepTaken) -> dict:
    """A step with all it may need: what is on the paper, what its measures and angles come to."""
    options = laid.draft.step(step.name).options
    way = options.get("way")
    on = {made.name: packed(made.value) for made in laid.draft}
    angles = {step.leaving: options.get("start"), step.arriving: options.get("end")}
    return {
        "step": msgspec.to_builtins(step) | {"of": list(step.of)},
        "on": on,
        "measures": {field: found.value for field, found in laid.measured[step.name].items()},
        "way": WAYS.get(way, way) if step.verb in ("go", "hole") else None,
        "angles": {text: angle for text, angle in angles.items() if isinstance(angle, float)},
    }


def test_the_page_constructs_what_python_does():
    """Every step of every exercise that gives a point, a line or a number, by the page's own code in node."""
    cases, truth = [], []
    for work in exercises().values():
        of = work.own_numbers("lena")
        laid = lay(work, of, all_steps(work, of))
        for step in laid.steps:
            if step.name in laid.values:
                cases.append(for_the_page(laid, step))
                truth.append(laid.draft.step(step.name))
    by_python = []
    for made, step in zip(by_the_page(cases), truth, strict=True):
        if made is None:
            by_python.append(step.op)
        else:
            assert gap(made, step) < (1e-4 if step.op == "parallel" else 1e-6), (step.name, step.op)
    assert set(by_python) <= BY_PYTHON and len(by_python) < 0.06 * len(cases)


def test_the_page_draws_the_curve_that_python_draws():
    """Curves through two to four points, with and without directions and half-way marks, to 0.001 cm."""
    work = exercises()["02a"]
    of = work.own_numbers("lena")
    chance = random.Random(11)
    steps, drawn = [], []
    for k in range(80):
        spots = [f"P{k} {n}" for n in range(2 if k % 2 else chance.randint(2, 4))]
        for n, spot in enumerate(spots):
            far, angle = 8 * n + chance.uniform(2, 6), chance.uniform(-25, 25)
            steps.append(
                StepTaken(spot, "go", ("waist at centre back",), f"{far:.3f}", way=f"at {angle:.2f}°")
            )
        ways = [f"at {chance.uniform(-70, 70):.2f}°" if chance.random() < 0.6 else "" for _ in range(2)]
        bend = f"{chance.uniform(0.05, 1.5):.3f}" if k % 4 == 1 else ""
        curve = StepTaken(
            f"C{k}", "curve", tuple(spots), leaving=ways[0], arriving=ways[1], bend=bend,
            side=chance.choice(("left", "right")),
        )  # fmt: skip
        steps.append(curve)
        drawn.append(curve)
    laid = lay(work, of, steps)
    right = [curve for curve in drawn if curve.name in laid.values]
    assert len(right) > 65 and sum(bool(curve.bend) for curve in right) >= 8
    made = by_the_page([for_the_page(laid, curve) for curve in right])
    assert max(gap(m, laid.draft.step(c.name)) for m, c in zip(made, right, strict=True)) < 0.001


def gap(made, step: Step) -> float:
    """How far the page's value lies from Python's."""
    value = step.value
    if isinstance(value, Point):
        return math.dist(made, value)
    if isinstance(value, Curve):
        flat = [c for cubic in made["c"] for c in cubic]
        own = [c for cubic in packed(value)["c"] for c in cubic]
        return max(abs(a - b) for a, b in zip(flat, own, strict=True))
    return abs(made - value)


# -- mistakes


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (StepTaken("a", "go", ("nowhere",), "1", way="up"), "'nowhere' is not on the paper at this step"),
        (StepTaken("a", "go", (), "1", way="up"), "still empty"),
        (StepTaken("a", "go", ("side hip",), "hipp", way="up"), "'hipp' is none of your numbers"),
        (StepTaken("a", "go", ("side hip",), "", way="up"), "Write a measure"),
        (StepTaken("a", "go", ("side hip",), "0", way="up"), "must be over 0"),
        (StepTaken("a", "go", ("side hip",), "3", way=""), "Say which way"),
        (StepTaken("a", "go", ("side hip",), "3", way="north"), "none of your numbers"),
        (
            StepTaken("a", "walk", ("side hip",), "3", end="start"),
            "is a point; here belongs a line",
        ),
        (StepTaken("side hip", "go", ("side hip",), "3", way="up"), "'side hip' is on your paper already"),
        (StepTaken("a", "rule", ("side hip", "side hip")), "two points that lie apart"),
        (StepTaken("a", "meeting", ("side hip", "side hem", "side hip", "side hem")), "parallel"),
        (StepTaken("a", "knit", ("side hip",)), "no verb"),
    ],
    ids=lambda case: case if isinstance(case, str) else case.verb,
)
def test_a_mistake_is_a_sentence_and_stops_nothing_else(step, said):
    work = exercises()["02a"]
    of = work.own_numbers("lena")
    after = StepTaken("B", "go", ("side hip",), "5", way="up")
    laid = lay(work, of, (*FRAME, step, after))
    if step.name == "side hip":  # a second step of one name is refused, the first one stays
        assert said in laid.faults["side hip"]
        return
    assert (said in laid.faults["a"] and laid.faults["a"][0].isupper()) or laid.faults["a"].startswith("'")
    assert "B" in laid.values


def test_what_hangs_from_a_step_that_cannot_be_drawn_says_so():
    work = exercises()["02a"]
    broken = msgspec.structs.replace(FRAME[0], measure="waist to")
    laid = lay(work, work.own_numbers("lena"), (broken, *FRAME[1:]))
    assert laid.faults["side hip"] == "This hangs from 'centre back hip', which cannot be drawn."
    assert "centre back hem" in laid.values


# -- a curve bent at its half-way mark


@pytest.mark.parametrize("bend", [0.4, 2.0, -3.0])
def test_a_curve_without_directions_bends_as_part_of_a_circle(bend):
    """A circle's arc of chord c and height h has radius (c^2 / 4 + h^2) / 2h: Euclid, Elements III."""
    first, last = Point(1, 2), Point(11, 2)
    options = bent(first, last, None, None, bend)
    curve = fair(
        [first, last],
        start=direction(options["start"]),
        end=direction(options["end"]),
        fullness=options["fullness"],
    )
    assert half_way_off(curve) == pytest.approx(bend, abs=1e-6)
    radius = (25 + bend**2) / 2 / abs(bend)
    arc = 2 * radius * math.asin(5 / radius)
    assert curve.length == pytest.approx(arc, rel=0.002)


def test_a_bend_that_the_directions_do_not_allow_is_refused_with_what_they_do():
    work = exercises()["02a"]
    bow = StepTaken("bow", "curve", ("side hip", "side hem"), leaving="right", arriving="left", side="left")
    steps = (*FRAME, msgspec.structs.replace(bow, bend="90"))
    steps += (msgspec.structs.replace(bow, name="bow 2", bend="5"),)
    laid = lay(work, work.own_numbers("lena"), steps)
    assert "the curve lies" in laid.faults["bow"]
    assert half_way_off(laid.values["bow 2"]) == pytest.approx(5, abs=1e-6)


def test_a_bent_curve_is_the_same_in_the_rule_on_the_sheet_and_on_the_table():
    """The rule makes this neck edge bend once; the instructions say where its half-way mark lies."""
    work = exercises()["08a"]
    of = work.own_numbers("student 194")
    rule = work.reference(of)["back neck edge"]
    said = work.sentences(of)["back neck edge"]
    far, side = re.search(r"half-way ([0-9.]+) cm off the straight line to its (left|right)", said).groups()
    angle = f"{work.reference(of)['strap, angle']:.6f}"
    given = {"leaving": "right", "arriving": angle}
    curve = StepTaken("bare", "curve", ("centre back top", "strap point"), **given)
    marked = msgspec.structs.replace(curve, name="marked", bend=far, side=side)
    before = (
        StepTaken("centre back top", "go", ("centre waist",), way="up", measure="back rise"),
        StepTaken("strap level", "go", ("centre waist",), way="up", measure="strap level"),
        StepTaken("strap point", "go", ("strap level",), way="right", measure="strap from centre"),
    )
    laid = lay(work, of, (*before, curve, marked))
    assert not laid.faults
    for name, within in (("bare", 1e-4), ("marked", 0.1)):
        drawn = laid.values[name]
        places = [(drawn.length * k / 9, rule.length * k / 9) for k in range(10)]
        assert max(drawn.at(a).distance(rule.at(b)) for a, b in places) < within


# -- kept and handed in


def test_the_newest_of_what_was_kept_is_found(tmp_path):
    assert found("02a", "lena", tmp_path) == Kept("02a", "lena")
    first, second = Kept("02a", "lena", 1, FRAME[:1]), Kept("02a", "lena", 2, FRAME[:2])
    assert keep(first, tmp_path) == ""
    assert found("02a", "lena", tmp_path) == first
    notebook = tmp_path / "a.ipynb"
    table = DraftingTable("02a", student="lena", folder=tmp_path)
    table.put(second)
    cell = {
        "cell_type": "code",
        "source": "",
        "outputs": [{"output_type": "display_data", "data": {MIME: table.record()}}],
    }
    notebook.write_text(json.dumps({"nbformat": 4, "cells": [cell]}))
    keep(first, tmp_path)
    assert found("02a", "lena", tmp_path, notebook).steps[1].name == "side hip"
    assert found("02a", "mo", tmp_path, notebook) == Kept("02a", "mo")
    keep(Kept("02a", "lena", 3), tmp_path)
    assert found("02a", "lena", tmp_path, notebook).steps == ()


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": "patternlib-table", "edits": -1}', "\0"])
def test_a_damaged_file_is_passed_over(tmp_path, text):
    path = place("02a", "lena", tmp_path)
    path.parent.mkdir()
    path.write_text(text)
    assert found("02a", "lena", tmp_path) == Kept("02a", "lena")


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    (tmp_path / "drafts").write_text("a file where the folder should be")
    assert "save it" in keep(Kept("02a", "lena", 1), tmp_path)


def test_two_students_never_share_a_file(tmp_path):
    names = ["lena", "Lena/..", "Lena..", "léna", "", " ", "a" * 80, "a" * 79 + "b"]
    assert len({str(place("02a", name, tmp_path)).casefold() for name in names}) == len(names)
    assert all(place("02a", name, tmp_path).parent == tmp_path / "drafts" for name in names)


def test_the_page_is_answered_with_what_each_step_gives(tmp_path):
    table = DraftingTable("02a", student="lena", folder=tmp_path)
    sheet = {"edits": 1, "steps": msgspec.to_builtins(FRAME), "past": [], "ahead": []}
    table._hear(None, {"kind": "set", "who": "w", "n": 1, "sheet": sheet}, [])
    assert table.sheet["by"] == "w:1" and table.sheet["faults"] == {}
    side_hip = table.work.reference(table.of)["side hip"]
    assert table.sheet["drawn"]["side hip"] == pytest.approx([side_hip.x, side_hip.y])
    assert found("02a", "lena", tmp_path).steps == FRAME
    verdicts = {line["step"]: line["verdict"] for line in table.compared()["lines"]}
    assert verdicts["side hem"] == "right" and verdicts["centre front hip"] == "missing"
    again = DraftingTable("02a", student="lena", folder=tmp_path)
    assert again.sheet["drawn"] == table.sheet["drawn"]


@pytest.mark.parametrize(
    "sheet", [{}, {"edits": 1, "steps": [{"name": 1}], "past": [], "ahead": []}, {"edits": "x"}]
)
def test_a_page_that_sends_nonsense_changes_nothing(tmp_path, sheet):
    table = DraftingTable("02a", student="lena", folder=tmp_path)
    table.put(Kept("02a", "lena", 1, FRAME))
    table._hear(None, {"kind": "set", "who": "w", "n": 1, "sheet": sheet}, [])
    assert table.kept.steps == FRAME
    assert "cannot be kept" in table.sheet["fault"]


def test_a_curve_is_tried_before_it_is_set(tmp_path):
    table = DraftingTable("02a", student="lena", folder=tmp_path)
    table.put(Kept("02a", "lena", 1, FRAME))
    step = msgspec.to_builtins(StepTaken("bow", "curve", ("side hip", "side hem"), leaving="right"))
    assert "c" in table._tried({"step": step, "at": 4})["value"]
    assert "not on the paper" in table._tried({"step": step, "at": 1})["fault"]
    assert table.kept.steps == FRAME


def test_the_record_carries_the_steps_and_what_their_measures_came_to(tmp_path):
    table = DraftingTable("02a", student="lena", folder=tmp_path)
    table.put(Kept("02a", "lena", 7, FRAME))
    record = read(table.record())
    assert (record.way, record.edits) == ("table", 7)
    assert record.steps[1].measure == "hip girth ÷ 4 + hip ease ÷ 4" and record.steps[1].value == (
        pytest.approx(table.work.reference(table.of)["side hip"].x)
    )
    assert lay(table.work, table.of, record.steps).values == table.laid.values


def test_an_empty_table_hands_nothing_in(tmp_path):
    table = DraftingTable("02a", student="lena", folder=tmp_path)
    bundle = table.hand_in()._repr_mimebundle_()
    assert MIME not in bundle and "nothing is drawn yet" in bundle["text/plain"]
    assert not (tmp_path / "drafts").exists()
    table.put(Kept("02a", "lena", 1, FRAME[:1]))
    bundle = table.hand_in()._repr_mimebundle_()
    assert bundle[MIME]["points"] == {"centre back hip": [0.0, -24.0]}
    assert (
        "From waist at centre back go down 24 cm (waist to hip): mark centre back hip." in bundle["text/html"]
    )
    assert "<img" in bundle["text/html"] and "<svg" not in bundle["text/html"]

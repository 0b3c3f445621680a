"""Each student's own numbers, and the record that a draft is handed in as.

- the same id and key give the same numbers everywhere: some are pinned below; they were printed once by this
  library and change only if someone changes the calculation
- bodies are plausible: within 4 standard deviations of the survey's lines [US Army 1987-88,
  NATICK/TR-89/044], and every exercise can be drawn on them
- a record is refused, never corrected, for anything out of type, range or count
"""

from __future__ import annotations

import hashlib
import io
import json
import math
import re

import msgspec
import pypdf
import pytest

from patternlib.assess import OwnNumbers, RecordError, exercises, judge, numbers_for, read
from patternlib.assess.answers.worksheet import worksheet_pdf
from patternlib.assess.table.board import DraftingTable
from patternlib.assess.tasks.needed import numbers_needed
from patternlib.errors import ValueAtFault
from patternlib.garments.base import read_style
from patternlib.garments.pinafore import STYLE, make_pinafore

PINNED = {
    ("lena", ""): ((99.0, 82.5, 102.5, 168.5, 39.0, 38.5), (62.0, 4.0, 7.0, 1.5)),
    ("lena", "spring class"): ((91.0, 75.5, 102.0, 171.0, 37.0, 36.5), (68.0, 4.0, 7.5, 2.4)),
    ("Åse 3", ""): ((94.0, 77.0, 98.0, 154.5, 36.5, 37.0), (67.0, 3.2, 7.0, 1.7)),
    ("", ""): ((97.0, 75.0, 101.5, 166.5, 36.5, 36.5), (61.0, 3.8, 7.5, 1.7)),
    ("0042", "k"): ((88.5, 68.0, 94.5, 166.5, 38.5, 36.5), (63.0, 4.0, 7.5, 1.6)),
}
ALL_NUMBERS = "e769ba035703324f978c7609a346f9faecfb77d32824c64446cd2377f39a3ac1"
BODY = ("bust_girth", "waist_girth", "hip_girth", "height", "back_waist_length", "neck_girth")
VALUES = ("skirt_length", "fitting", "yoke_depth", "extension_run_on")


@pytest.mark.parametrize(("who", "numbers"), PINNED.items())
def test_the_same_id_and_key_give_the_same_numbers(who, numbers):
    of = numbers_for(*who)
    assert tuple(getattr(of.body, n) for n in BODY) == numbers[0]
    assert tuple(of.style[n] for n in VALUES) == numbers[1]


def test_every_number_of_a_student_stays_the_same():
    """All numbers of three students at once, as their SHA-256; only the measures the course uses."""
    numbers = [numbers_for(who).numbers() for who in ("lena", "0042", "Åse 3")]
    used = [{n: v for n, v in of.items() if n not in ("head_girth", "waist_to_knee")} for of in numbers]
    text = json.dumps(used, sort_keys=True)
    assert hashlib.sha256(text.encode()).hexdigest() == ALL_NUMBERS


def test_bodies_are_plausible_and_not_all_alike():
    of = [numbers_for(f"student {k}").body for k in range(200)]
    assert not [doubt for body in of for doubt in body.doubts()]
    busts = sorted({body.bust_girth for body in of})
    assert len(busts) > 20 and busts[0] >= 82 and busts[-1] <= 99.5
    assert all(20 <= body.hip_girth - body.waist_girth <= 29 for body in of)
    assert all((body.hip_girth * 2).is_integer() for body in of)
    assert 89 < sum(body.bust_girth for body in of) / len(of) < 92.5  # mean of the survey's women: 90.71


def test_equal_difficulty_every_student_is_asked_the_same_steps():
    for exercise in exercises().values():
        names = {tuple(step.name for step in exercise.reference(numbers_for(f"s{k}"))) for k in range(12)}
        assert len(names) == 1, exercise.id


@pytest.mark.slow
def test_every_exercise_can_be_drawn_for_a_thousand_students():
    for k in range(1000):
        of = numbers_for(f"s{k}")
        for exercise in exercises().values():
            draft = exercise.reference(of)
            assert exercise.sheet(of) and (exercise.finish is None or exercise.finish(draft, of))


def test_every_style_can_be_made_up():
    for k in range(12):
        of = numbers_for(f"student {k}")
        read_style(STYLE, of.style)
        garment = make_pinafore(of.body, **of.style)
        assert not [finding for finding in garment.findings if finding.severity == "error"]


def test_an_id_is_a_short_text():
    for student in (7, None, "x" * 81):
        with pytest.raises(ValueAtFault):
            numbers_for(student)


@pytest.mark.parametrize("id", exercises())
def test_measures_are_made_of_the_parts_an_exercise_names(id):
    """For most bodies; where a measure is bounded its parts do not add up and are left aside."""
    exercise = exercises()[id]
    held = dict.fromkeys(exercise.terms, 0)
    for k in range(10):
        of = numbers_for(f"student {k}")
        draft, numbers = exercise.reference(of), exercise.numbers(of)
        for name, terms in exercise.terms.items():
            total = sum(factor * numbers[n] for n, factor in terms.items())
            held[name] += math.isclose(total, draft.step(name).measure, abs_tol=1e-6)
    assert all(count >= 8 for count in held.values()), held


@pytest.mark.parametrize("id", exercises())
def test_the_instructions_do_not_tell_the_numbers_to_be_calculated(id):
    exercise = exercises()[id]
    of = numbers_for("lena")
    draft = exercise.reference(of)
    sentences = exercise.sentences(of)
    for name in exercise.terms:
        if name in sentences and draft.step(name).measure is not None:
            assert f" {draft.step(name).measure:g} cm" not in sentences[name], sentences[name]
    assert all("{" not in text and "  " not in text for text in sentences.values())


# -- records


def good() -> dict:
    exercise = exercises()["02b"]
    of = exercise.own_numbers("lena")
    return json.loads(json.dumps(exercise.record(of, exercise.reference(of), student="lena")))


@pytest.mark.parametrize("id", exercises())
def test_a_number_that_is_not_needed_changes_no_figure_that_a_step_leaves_out(id):
    """Who sees the needed numbers and the sentences alone can do every step: the sentences tell the rest."""
    work, of = exercises()[id], numbers_for("lena")
    needed = numbers_needed(work, of)
    body = {n: getattr(of.body, n) * 1.01 for n in of.numbers() if n not in (*of.style, *needed)}
    style = {n: cm if n in needed else cm * 1.1 for n, cm in of.style.items()}
    other = OwnNumbers(of.body.replace(**body), style)
    before, after = work.reference(of), work.reference(other)
    said, said_then = work.sentences(of), work.sentences(other)
    for at in said:
        step = before.step(at)
        given = step.op == "given" and at in work.rules  # its sentence says from which lengths it is read
        if not step.measured_by and step.measure is not None and at in after and not given:
            apart = abs(step.measure - after.step(at).measure)
            assert apart < 0.1 or said[at] != said_then[at], (at, step.measure, after.step(at).measure)


@pytest.mark.parametrize("id", exercises())
def test_every_number_that_is_needed_changes_a_step(id):
    work, of = exercises()[id], numbers_for("lena")
    draft = work.reference(of)
    for name, cm in numbers_needed(work, of).items():
        if name in work.constants:
            assert any(name in terms for terms in work.terms.values())
        elif name in of.style:
            other = OwnNumbers(of.body, {**of.style, name: cm + 0.3})
            assert work.reference(other) != draft, name
        else:
            assert work.reference(OwnNumbers(of.body.replace(**{name: cm + 0.3}), of.style)) != draft, name


BODICE = (
    "bust_girth neck_girth shoulder_length back_waist_length front_waist_length neck_to_bust bust_span "
    "armhole_depth"
)


@pytest.mark.parametrize(
    ("id", "names"),
    [
        ("03a", f"{BODICE} bust_ease armhole_ease back_shoulder_ease"),
        ("03c", f"{BODICE} back_width chest_width underbust_girth waist_girth "
                "bust_ease armhole_ease back_shoulder_ease"),
        ("06b", "extension extension_run_on opening"),  # the closing angle lies on the paper, no flare
        ("07a", "yoke_depth yoke_side_depth extension_run_on opening"),
        ("10a", "pocket_length pocket_point"),  # the steps tell them with their names
        ("14b", ""),  # the strip of all pieces is given
        ("17c", ""),  # toile and person are given at every level
        ("20a", "arm_length"),  # the armholes lie on the paper, the sleeve's end is told
        ("20b", ""),
        ("21b", ""),  # "neck to bust", "the neck edge": no step asks for the neck girth
        ("22a", "bib_height bib_top"),
    ],
)  # fmt: skip
def test_the_needed_numbers_are_those_of_the_steps(id, names):
    """Read from the sentences of the exercises by hand."""
    assert set(numbers_needed(exercises()[id], numbers_for("lena"))) == set(names.split())


@pytest.mark.parametrize("id", ["03a", "17c", "20a"])
def test_table_and_worksheet_show_the_same_needed_numbers(id, tmp_path):
    table = DraftingTable(id, student="lena", folder=tmp_path)
    shown = {name for name, _, _, needed in table.setup["numbers"] if needed}
    work, of = exercises()[id], numbers_for("lena")
    assert shown == {name.replace("_", " ") for name in numbers_needed(work, of)}
    pages = pypdf.PdfReader(io.BytesIO(worksheet_pdf(id, student="lena"))).pages
    printed = pages[0].extract_text()
    for name, cm in work.numbers(of).items():
        row = re.search(rf"^{name.replace('_', ' ')}\b[^\n]*\n?{cm:.1f}$", printed, re.M)
        assert bool(row) == (name.replace("_", " ") in shown), name


def test_a_record_is_read_as_it_was_written():
    record = read(json.dumps(good()))
    assert record == read(good())
    exercise = exercises()["02b"]
    draft = exercise.reference(exercise.own_numbers("lena"))
    for name, value in record.values().items():
        if isinstance(value, float):
            assert value == pytest.approx(draft[name], abs=1e-4)


def test_a_record_is_of_the_student_whose_numbers_were_drafted_on():
    exercise = exercises()["02a"]
    of = exercise.own_numbers("lena")
    draft = exercise.reference(of)
    record = exercise.record(of, draft)
    assert record["student"] == of.student == "lena"
    verdict = judge(json.loads(json.dumps(record)))
    assert verdict.mark == verdict.out_of and not verdict.remarks
    with pytest.raises(ValueAtFault, match=r"mia is named, but the numbers are those of lena\. Take"):
        exercise.record(of, draft, student="mia")
    nobody = OwnNumbers(of.body, of.style)
    with pytest.raises(ValueAtFault, match="no student"):
        exercise.record(nobody, draft)
    assert exercise.record(nobody, draft, student="lena") == record
    assert exercise.own_numbers("").student == ""  # a sheet that names no student


BROKEN = {
    "another version": {"version": 2},
    "another format": {"format": "something"},
    "version as text": {"version": "1"},
    "no number": {"points": {"side hip": [float("nan"), 0]}},
    "without end": {"points": {"side hip": [float("inf"), 0]}},
    "too far": {"points": {"side hip": [1e9, 0]}},
    "three numbers": {"points": {"side hip": [1, 2, 3]}},
    "text for a number": {"numbers": {"side shaping": "3"}},
    "true for a number": {"numbers": {"side shaping": True}},
    "a huge whole number": {"numbers": {"side shaping": 10**400}},
    "too many points": {"points": {f"p{k}": [0, 0] for k in range(401)}},
    "a long name": {"points": {"x" * 81: [0, 0]}},
    "an empty name": {"points": {"": [0, 0]}},
    "a field nobody knows": {"verdict": "right"},
    "too long a curve": {"curves": {"back waist": [[[0, 0], [1, 0], [2, 0], [3, 0]]] * 201}},
    "a curve in loose pieces": {
        "curves": {"back waist": [[[0, 0], [1, 0], [2, 0], [3, 0]], [[9, 0], [1, 0], [2, 0], [3, 0]]]}
    },
    "a curve of no length": {"curves": {"back waist": [[[1, 1]] * 4]}},
    "many curves": {"curves": {f"c{k}": [[[0, 0], [1, 0], [2, 0], [3, 0]]] * 3 for k in range(90)}},
    "a body that is no number": {"own_numbers": {"body": {"bust_girth": float("nan")}, "style": {}}},
    "a cut line of a million": {"finish": {"p": {"cut_line": [[0, 0]] * 4001}}},
    "a list": [],
    "nothing": None,
}


@pytest.mark.parametrize("case", BROKEN)
def test_broken_records_are_refused_with_a_sentence(case):
    broken = BROKEN[case]
    record = good() | broken if isinstance(broken, dict) else broken
    with pytest.raises(RecordError) as refused:
        judge(record)
    assert str(refused.value).endswith(".") and len(str(refused.value)) < 500


def test_one_name_twice_is_refused():
    text = json.dumps(good())
    assert read(text)
    doubled = text.replace('"numbers": {', '"numbers": {"side shaping": 2.0, ')
    assert doubled != text
    with pytest.raises(RecordError, match="twice"):
        read(doubled)


def test_one_name_as_a_point_and_as_a_number_is_refused():
    record = good()
    record["numbers"]["side hip"] = 3.0
    with pytest.raises(RecordError, match="twice"):
        judge(record)


@pytest.mark.parametrize(
    "text",
    [
        b'{"format": "patternlib-draft", "format": "patternlib-draft"}',
        b'{"numbers": {"a": 1, "a": 2}}',
        b'{"numbers": {"a": NaN}}',
        b"\xff\xfe{}",
        b"[" * 100_000,
        b"{",
        b"",
        b" " * 1_000_001,
    ],
    ids=["doubled key", "doubled name", "NaN", "bad text", "deep", "cut short", "empty", "long"],
)
def test_broken_json_is_refused_with_a_sentence(text):
    with pytest.raises(RecordError):
        read(text)


def test_what_was_handed_in_is_a_record_that_other_readers_can_read():
    assert msgspec.json.decode(msgspec.json.encode(good())) == good()

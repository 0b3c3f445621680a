"""Bodies: estimates agree with the survey, hang together for any plausible body, and slips are named.

Source of the checks unless another stands beside: US Army survey 1987-88, NATICK/TR-89/044 (means,
spreads and correlations, carried in patternlib/data/survey_summary.json).
"""

import ast
import csv
import inspect
import json
import math
import pickle
import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings

from patternlib import units
from patternlib.blocks import bodice_block, skirt_block
from patternlib.body import SEXES, Body, load_body, measures
from patternlib.errors import PatternError, UnknownName, ValueAtFault
from patternlib.survey import NECK_MORE, estimate, spellings, spread, usual
from tests.bodies import charted, corners, girths_only, people, plausible, simulated, survey

GIRTHS = {"bust_girth": 88, "waist_girth": 70, "hip_girth": 95}
DATA = Path(__file__).parent / "data"
SURVEYED = [m.name for m in measures().values() if m.survey]


@pytest.mark.parametrize("sex", SEXES)
def test_the_mean_person_is_estimated_as_the_mean_of_every_measure(sex):
    """A least-squares line goes through the means: 1 mm for rounding, 0.1 for the survey's own figures."""
    mean = dict(zip(survey()[sex]["measures"], survey()[sex]["mean"], strict=True))
    body = Body(bust_girth=mean["bust_girth"], waist_girth=70, hip_girth=95, height=mean["stature"], sex=sex)
    for name in body.estimated:
        if name in SURVEYED:
            more = NECK_MORE[sex] if name == "neck_girth" else 0.0
            assert getattr(body, name) - more == pytest.approx(mean[measures()[name].survey], abs=0.12), name


@pytest.mark.parametrize("sex", SEXES)
def test_the_lines_are_the_least_squares_lines_of_the_correlations(sex):
    """An independent witness: slopes from the normal equations of the published correlations."""
    group = survey()[sex]
    r, sd, at = np.array(group["correlation"]), np.array(group["sd"]), group["measures"].index
    x = [at("bust_girth"), at("stature")]
    for name in SURVEYED:
        if name in ("bust_girth", "height"):
            continue
        y = at(measures()[name].survey)
        slopes = np.linalg.solve(r[np.ix_(x, x)], r[x, y]) * sd[y] / sd[x]
        left = sd[y] * math.sqrt(1 - r[x, y] @ np.linalg.solve(r[np.ix_(x, x)], r[x, y]))
        low, high = usual(name, sex, 90, 170), usual(name, sex, 91, 171)
        assert high[0] - low[0] == pytest.approx(sum(slopes), abs=0.004), name
        assert low[1] == pytest.approx(left, rel=0.02), name


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("front_waist_length", "back_waist_length"),
        ("back_waist_length", "front_waist_length"),
        ("armhole_depth", "back_waist_length"),
        ("back_width", "underbust_girth"),
        ("neck_to_bust", "underbust_girth"),
        ("neck_girth", "underbust_girth"),
    ],
)
def test_a_measured_length_moves_its_companion_by_the_partial_regression(sex, name, other):
    group = survey()[sex]
    r, sd, at = np.array(group["correlation"]), np.array(group["sd"]), group["measures"].index
    x, y = [at("bust_girth"), at("stature"), at(measures()[other].survey)], at(measures()[name].survey)
    slope = (np.linalg.solve(r[np.ix_(x, x)], r[x, y]) * sd[y] / sd[x])[2]
    mid = usual(other, sex, 95, 170)[0]
    moved = [estimate(name, sex, 95, 170, {other: mid + step}) for step in (-4, 4)]
    assert (moved[1] - moved[0]) / 8 == pytest.approx(slope, abs=0.02)


@pytest.mark.parametrize("sex", SEXES)
def test_estimates_of_simulated_people_are_right_on_the_whole(sex):
    """No estimate is off on average, and two thirds lie within the residual standard deviation."""
    measured, estimated = simulated(400, sex), girths_only(400, sex)
    for name in (
        "neck_girth",
        "back_waist_length",
        "armhole_depth",
        "back_width",
        "upper_arm_girth",
        "waist_to_knee",
    ):
        more = NECK_MORE[sex] if name == "neck_girth" else 0.0
        off = [getattr(e, name) - getattr(m, name) - more for m, e in zip(measured, estimated, strict=True)]
        sd = usual(name, sex, 95, 170)[1]
        assert abs(np.mean(off)) < 0.2 * sd, name
        assert 0.55 < np.mean(np.abs(off) < sd) < 0.85, name


def test_handbook_figures_at_bust_88():
    """Metric drafting tables at bust 88 (from memory): back 34.4, chest 32.4, waist to knee 58.5."""
    body = Body(**GIRTHS, height=164)
    assert body.back_width == pytest.approx(34.4, abs=0.5)
    assert body.chest_width == pytest.approx(32.4, abs=0.5)
    assert body.waist_to_knee == pytest.approx(58.5, abs=1.0)


def hangs_together(body):
    b = body
    assert all(m.low <= getattr(b, m.name) <= m.high for m in measures().values())
    assert b.armhole_depth < b.back_waist_length - 4
    assert b.chest_width + b.back_width < 0.89 * b.bust_girth  # what is left goes under the arms
    assert b.bust_span < b.chest_width - 3
    assert b.neck_to_bust - (b.neck_girth / 6 + 0.6) < b.front_waist_length - 1  # bust point above the waist
    assert b.wrist_girth < 0.95 * b.upper_arm_girth
    assert b.shoulder_drop < 0.8 * b.shoulder_length
    assert 2 * b.shoulder_length * 0.75 + b.neck_girth / 5 < b.back_width + 9
    assert 0 < b.waist_to_hip < 0.75 * b.waist_to_knee
    assert b.back_waist_length + b.waist_to_knee < 0.75 * b.height
    assert b.front_waist_length < b.back_waist_length
    assert b.underbust_girth < b.bust_girth - 1
    assert b.neck_to_bust + 2 < b.length_over_bust < b.front_waist_length + b.neck_girth / 4 + 3


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("height", [135, 150, 165, 180, 195, 210])
def test_estimates_hang_together_from_the_smallest_to_the_largest_bust(sex, height):
    for bust in range(64, 181, 4):
        hangs_together(Body(bust_girth=bust, waist_girth=90, hip_girth=100, height=height, sex=sex))


def test_hard_cases_and_charts_hang_together():
    for body in (*corners().values(), *charted()):
        hangs_together(body)


@settings(max_examples=100, deadline=None)
@given(plausible())
def test_any_plausible_body_can_be_made_written_and_read(body):
    again = Body.from_dict(json.loads(json.dumps(body.to_dict())))
    assert again == body and again.estimated == body.estimated
    assert pickle.loads(pickle.dumps(body)) == body
    assert body.replace() == body


@pytest.mark.parametrize("sex", SEXES)
def test_every_adult_of_the_survey_and_larger_ones_pass(sex):
    for name in SURVEYED:
        _, _, low, high = spread(measures()[name].survey, sex)
        assert measures()[name].low <= low - 1 and measures()[name].high >= high + 1, name
    for end in (2, 3):
        Body(**{n: spread(measures()[n].survey, sex)[end] for n in SURVEYED}, sex=sex)


def test_hip_less_waist_runs_as_in_the_survey():
    """8 to 41 cm in its 2,208 women; people drawn at random reach about as far. Men's can be negative."""
    over = [p["hip_girth"] - p["waist_nat_girth"] for p in people(2208)]
    assert min(over) == pytest.approx(8, abs=3) and max(over) == pytest.approx(41, abs=3)
    round_men = [b for b in corners().values() if b.sex == "men" and b.hip_girth < b.waist_girth]
    assert len(round_men) == 3


def test_missing_measures_are_listed_and_given_ones_are_kept():
    body = Body(**GIRTHS, back_waist_length=40)
    assert body.height == 162.9 and "height" in body.estimated  # mean stature of the survey's women
    assert Body(**GIRTHS, sex="men").height == 175.6  # of its men
    assert body.back_waist_length == 40 and "back_waist_length" not in body.estimated
    assert set(body.estimated) | {"back_waist_length", *GIRTHS} == set(measures())
    again = body.replace(bust_girth=100)
    assert again.neck_girth > body.neck_girth and again.back_waist_length == 40
    assert body.replace(back_waist_length=None) == Body(**GIRTHS)
    with pytest.raises(AttributeError):
        body.bust_girth = 3


def test_numbers_of_other_kinds_are_taken():
    body = Body(bust_girth=np.float32(88), waist_girth=np.int64(70), hip_girth=Fraction(95))
    assert body == Body(**GIRTHS) and type(body.waist_girth) is float


@pytest.mark.parametrize(
    ("wrong", "text"),
    [
        (
            {"waist_girth": 720},
            "waist_girth: 720 must lie between 45 and 190 cm. Were these millimetres? Then write 72.",
        ),
        ({"waist_girth": 27.5}, "Were these inches? Then write 69.8"),
        ({"waist_girth": 36}, "Was this half the girth? Then write 72."),
        ({"hip_girth": 23.75}, "Was this a quarter of the girth? Then write 95."),
        ({"hip_girth": 241.3}, "Was it in cm already and read as inches? Then write 95."),
        ({"height": 1.68}, "Were these metres? Then write 168."),
        ({"height": 66}, "Were these inches? Then write 167.6."),
        ({"height": 70, "waist_girth": 165}, "Were height and waist_girth swapped?"),
        ({"back_width": 17.2}, "Was this half the width? Then write 34.4."),
        ({"wrist_girth": 160}, "Were these millimetres? Then write 16."),
        ({"armhole_depth": 3}, "Measure it again: from the nape"),
        ({"hip_girth": -95}, "no body is that long"),
        ({"hip_girth": 0}, "no body is that long"),
        ({"bust_girth": math.nan}, "nan is not a length"),
        ({"bust_girth": math.inf}, "inf is not a length"),
        ({"bust_girth": 10**400}, "so large a number is not a length"),
        ({"bust_girth": "88 yd"}, "'88 yd' is not a length"),
        ({"bust_girth": True}, "yes is not a length"),
        ({"bust_girth": [88]}, "a list is not a length"),
        ({"hip_girth": None}, "hip_girth: nothing was given"),
        ({"sex": "woman"}, "Did you mean 'women'"),
    ],
)
def test_a_slip_is_named(wrong, text):
    with pytest.raises(PatternError) as fault:
        Body(**(GIRTHS | wrong))
    assert text in str(fault.value)


def test_bust_waist_and_hip_are_needed():
    with pytest.raises(ValueAtFault, match="waist_girth: nothing was given"):
        Body(bust_girth=88)


@pytest.mark.parametrize("sex", SEXES)
def test_any_girth_of_the_survey_given_in_mm_or_quartered_is_refused_or_doubted(sex):
    for body in girths_only(60, sex):
        for name in GIRTHS:
            for factor in (10, 1 / 4, 1 / 2.54):
                with pytest.raises(ValueAtFault) as fault:
                    body.replace(**{name: getattr(body, name) * factor})
                assert f"{round(getattr(body, name), 1):g}" in str(fault.value), (name, factor)


def test_measured_people_are_seldom_doubted_and_charts_never():
    for sex in SEXES:
        doubted = [b for b in simulated(300, sex) if b.doubts()]
        assert len(doubted) <= 6, [b.doubts() for b in doubted]
    assert not [b.doubts() for b in charted() if b.doubts()]


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (
            {"waist_girth": 95, "hip_girth": 70},
            "waist_girth 95 cm and hip_girth 70 cm: were these two swapped?",
        ),
        ({"neck_girth": 45}, "neck_girth 45 cm is unusual"),
        ({"waist_girth": 90}, "waist_girth 90 cm is unusual"),
        ({"height": 205}, "for grown women, 150 to 176 cm is common"),
        ({"front_waist_length": 42}, "from the pit of the neck down"),  # measured from the side neck point
    ],
)
def test_what_hardly_goes_together_is_doubted_not_refused(change, word):
    assert Body(**GIRTHS, height=165).doubts() == ()
    assert word in " ".join(Body(**(GIRTHS | {"height": 165} | change)).doubts())


def test_large_bodies_are_not_doubted_for_being_large():
    assert [name for name, body in corners().items() if "very large" in name and body.doubts()] == []


def test_a_file_of_measures(tmp_path):
    path = tmp_path / "me.toml"
    path.write_text(
        'unit = "in"\nbust_girth = 35\nwaist_girth = "27 1/2"\nhip_girth = "95 cm"\nheight = "5\' 6\\""\n'
    )
    body = load_body(path)
    assert (body.bust_girth, body.waist_girth, body.hip_girth) == (88.9, 69.85, 95)
    assert body.height == pytest.approx(167.64) and load_body(str(path)) == body
    path.write_bytes(
        b'\xef\xbb\xbfsex = "men"\r\nbust_girth = 100\r\nwaist_girth = "840 mm"\r\nhip_girth = "99,5"\r\n'
    )
    assert load_body(path) == Body(bust_girth=100, waist_girth=84, hip_girth=99.5, sex="men")


@pytest.mark.parametrize(
    ("content", "text"),
    [
        (b"bust_girt = 88", "Did you mean 'bust_girth'"),
        (b"bust_girth = 88", "waist_girth: nothing was given"),
        (b"bust_girth = 88 cm", "Each line must read"),
        (b"bust_girth = 88\nbust_girth = 90", "cannot be read"),
        (b"bust_girth = \xff\xfe", "not plain text"),
        (b'bust_girth = "round"', "'round' is not a length"),
        (b"bust_girth = nan", "nan is not a length"),
        (b"[bust_girth]\na = 1", "a table is not a length"),
        (b'unit = "feet"\nbust_girth = 3', "no unit is called 'feet'"),
        (b"bust_girth = 880\nwaist_girth = 70\nhip_girth = 95", "Were these millimetres?"),
        (b"#" * 200_000, "too long"),
        (b"estimated = 3", "must be a list"),
    ],
)
def test_a_file_at_fault_is_refused_in_a_sentence(tmp_path, content, text):
    path = tmp_path / "me.toml"
    path.write_bytes(content)
    with pytest.raises(PatternError) as fault:
        load_body(path)
    assert text in str(fault.value)


def test_synonyms_are_read_and_unknown_names_are_answered_with_the_right_ones():
    """Terms of ISO 8559-1 (from memory) and what tapes and books call the measures."""
    taken = {"Bust": 88, "waist girth": 70, "hips": 95, "stature": 168, "scye-depth": 19, "neck": 37}
    body = Body.from_dict(taken)
    assert (body.bust_girth, body.height, body.armhole_depth, body.neck_girth) == (88, 168, 19, 37)
    for m in measures().values():
        assert spellings()[m.name] == m.name == spellings()[m.term.lower().replace(" ", "_")]
    words = [word for m in measures().values() for word in {m.name, *m.synonyms}]
    assert len({word.lower().replace(" ", "_") for word in words}) == len(spellings()), "a word means two"
    for wrong, right in (
        ("statur", "height"),
        ("sycedepth", "armhole_depth"),
        ("underbust_girt", "underbust_girth"),
    ):
        with pytest.raises(UnknownName, match=f"Did you mean .*'{right}'"):
            Body.from_dict(GIRTHS | {wrong: 20})
    with pytest.raises(ValueAtFault, match=r"height: 168 is given twice, as 'height' and as 'stature'"):
        Body.from_dict(GIRTHS | {"height": 165, "stature": 168})


def test_a_measured_underbust_tells_how_broad_the_frame_is():
    """Of two women with one bust girth, the fuller one over smaller ribs has the narrower back."""
    ribs = [Body(**(GIRTHS | {"bust_girth": 100}), underbust_girth=u) for u in (76, 84, 92)]
    for name in ("back_width", "chest_width", "neck_girth"):
        small, middle, large = (getattr(body, name) for body in ribs)
        assert small < middle < large, name
    over = [body.length_over_bust for body in ribs]
    assert over[0] > over[1] > over[2]


def test_length_over_the_bust_and_front_length_follow_each_other():
    """From handbooks (from memory) the front is 0 to 3.5 cm longer over the bust than the back."""
    body = Body(**GIRTHS, height=165)
    assert 0 < body.length_over_bust - body.back_waist_length < 3.5
    longer = body.replace(length_over_bust=body.length_over_bust + 2)
    assert longer.front_waist_length - body.front_waist_length == pytest.approx(1.6, abs=0.11)
    assert body.replace(front_waist_length=34).length_over_bust > body.length_over_bust + 2


def test_a_file_that_is_none(tmp_path):
    for path, why in ((tmp_path / "gone.toml", "there is no such file"), (tmp_path, "it is a folder")):
        with pytest.raises(PatternError, match=why):
            load_body(path)


def test_changes_and_records_know_their_names():
    with pytest.raises(UnknownName, match="waist_girth"):
        Body(**GIRTHS).replace(waist_girt=3)
    with pytest.raises(UnknownName, match="hip_girth"):
        Body.from_dict(GIRTHS | {"hip_girh": 3})
    with pytest.raises(ValueAtFault):
        Body.from_dict([("bust_girth", 88)])


def test_the_ease_of_a_block_lies_in_its_published_range():
    """Rows of wearing_ease.csv: WikiEducator for the skirt, a handbook from memory for the bodice."""
    with open(DATA / "wearing_ease.csv", encoding="utf-8", newline="") as file:
        file.readline()
        rows = {(row["garment"], row["place"]): row for row in csv.DictReader(file)}
    for block, option, row in (
        (skirt_block, "hip_ease", ("skirt block", "hip")),
        (skirt_block, "waist_ease", ("skirt block", "waist")),
        (bodice_block, "bust_ease", ("bodice block close-fitting", "bust")),
        (bodice_block, "waist_ease", ("general woven", "waist")),
    ):
        start = inspect.signature(block).parameters[option].default
        assert float(rows[row]["cm_min"]) <= start <= float(rows[row]["cm_max"]), (block, option)


def test_bodies_need_only_the_standard_library():
    for module in (sys.modules["patternlib.body"], sys.modules["patternlib.survey"], units):
        tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.level == 0:
                names = [node.module]
            assert all(name.split(".")[0] in sys.stdlib_module_names for name in names), names

"""Style values and their refusals: ranges that follow the body, and sentences that lead to a draft.

Every number in a sentence is put in and drafted; nothing of how it was found is used. The figures are the
course's own.
"""

import math

import numpy as np
import pytest

from patternlib import ValueAtFault, chart, make, style_values
from patternlib.boards.garment import style_slider
from patternlib.garments import garment_names
from patternlib.garments.base import read_style
from patternlib.output.files import Wanted, garment_files
from patternlib.sizes import size_range
from tests.bodies import simulated
from tests.style_benchmark import advised, followed, run, sampled
from tests.test_53_closing import holds, ring
from tests.test_54_straps_and_lines import ring_places, way_over_the_shoulder

GARMENTS = garment_names()
TWELVE = chart("course").body("12")


@pytest.mark.parametrize("garment", GARMENTS)
def test_three_sentences_lead_to_a_draft(garment):
    by, _, stuck = run(garment, 14, own=False, seed=21)
    assert not stuck
    assert sum(by.values()) == 14 and by[0] < 14, "none was refused: the test tries nothing"


def test_ranges_that_follow_the_body_halve_the_refusals():
    """On the same people, all garments: at most half as many refused as over the whole ranges."""
    whole, own = (sum(14 - run(g, 14, own=own, seed=22)[0][0] for g in GARMENTS) for own in (False, True))
    assert own <= whole / 2, (whole, own)


@pytest.mark.parametrize(
    ("garment", "style", "name"),
    [
        ("pinafore", {"back_rise": 14, "strap_level": 10}, "strap_level"),
        ("pinafore", {"pocket_from_centre": 9, "pocket_width": 18}, "pocket_width"),
        ("pinafore", {"flare": 25, "skirt_length": 42}, "flare"),
        ("pinafore", {"back_rise": 3, "strap_level": 22, "strap_from_centre": 3}, "strap_level"),
        ("pinafore", {"bib_height": 18, "bib_pocket_depth": 18}, "bib_pocket_depth"),
        ("apron", {"pocket_width": 20, "tool_part": 16}, "tool_part"),
        ("apron", {"bib_height": 32, "bib_top": 32}, "bib_top"),
        ("smock", {"length": 65, "pocket_below_waist": 14, "pocket_depth": 22}, "pocket_depth"),
        ("smock", {"sleeve_ease": 20, "armhole_ease": 2.5}, "sleeve_ease"),
    ],
)
def test_a_refusal_names_the_style_value_and_one_that_draws(garment, style, name):
    with pytest.raises(ValueAtFault) as refusal:
        make(garment, TWELVE, **style)
    assert refusal.value.name == name
    change = advised(garment, refusal.value)
    assert change, str(refusal.value)
    assert refusal.value.instead == change, "the error carries what its sentence says"
    make(garment, TWELVE, **(style | change))
    values = {v.name: v for v in style_values(garment)}
    for changed, number in change.items():
        assert math.isclose(number / values[changed].step, round(number / values[changed].step), abs_tol=1e-6)


def test_the_nearest_value_is_named():
    """One step nearer to what was asked for is refused again."""
    with pytest.raises(ValueAtFault) as refusal:
        make("pinafore", TWELVE, back_rise=13, strap_level=9)
    assert advised("pinafore", refusal.value) == {"strap_level": 15.0}
    with pytest.raises(ValueAtFault):
        make("pinafore", TWELVE, back_rise=13, strap_level=14.5)


def test_a_start_follows_what_is_given():
    assert make("pinafore", TWELVE, back_rise=14).style["strap_level"] == 16
    assert make("pinafore", TWELVE, bib_height=18).style["bib_pocket_depth"] == 12
    assert make("apron", TWELVE, pocket_width=20).style["tool_part"] == 9


@pytest.mark.parametrize("garment", GARMENTS)
def test_a_slider_states_the_range_of_its_body(garment):
    for body in [*simulated(6, seed=4), *simulated(6, "men", seed=4)]:
        style = read_style(style_values(garment), {}, body)
        for value in style_values(garment):
            slider = style_slider(garment, value.name, body=body)
            assert value.low <= slider.low < slider.high <= value.high
            assert slider.low <= style[value.name] <= slider.high
    assert style_slider("pinafore", "strap_level", body=TWELVE).low == 10


def test_a_nest_passes_on_only_what_was_given():
    """Each size keeps its own bib; what was asked for is in all."""
    made = make("pinafore", TWELVE, yoke_depth=6)
    assert dict(made.given) == {"yoke_depth": 6}
    files = garment_files(made, Wanted(sizes=("8", "12", "20"), papers=()))
    table = files["grade-table.csv"].decode()
    alike = size_range("pinafore", "course", ["8", "12", "20"], yoke_depth=6)
    assert table == alike.grade_csv()
    assert len({g.style["bib_top"] for g in alike.garments.values()}) > 1


def leans(draft) -> float:
    way = draft["side line"].end - draft["side line"].start
    return abs(math.degrees(math.atan2(way.x, way.y)))


@pytest.mark.parametrize("garment", ["pinafore", "apron"])
def test_no_side_leans_out_over_forty_degrees(garment):
    for body in [*simulated(4, seed=6), *simulated(3, "men", seed=6)]:
        for length in (40, 48):
            style = {"skirt_length": length, "flare": 20.0}
            steps, _ = followed(garment, body, style)
            assert steps >= 0
            try:
                made = make(garment, body, **style)
            except ValueAtFault as fault:
                made = make(garment, body, **(style | advised(garment, fault)))
            for part in ("front", "back"):
                assert leans(made.drafts[f"{part} plan"]) < 41


@pytest.mark.slow
@pytest.mark.parametrize(("sex", "n"), [("women", 400), ("men", 300)])
def test_sampled_styles_give_garments_that_fit(sex, n):
    """Every size of the chart and n people at sampled styles: closed girths, getting in, straps, marks."""
    dice = np.random.default_rng([31, n])
    sizes = [chart("course").body(size) for size in chart("course").sizes]
    seen = 0
    for body in [*sizes, *simulated(n, sex, seed=31)]:
        style = sampled("pinafore", body, dice)
        del style["opening"]  # it follows the hips
        style["fastening"] = 0.0  # `holds` looks at buttons
        for _ in range(4):
            try:
                garment = make("pinafore", body, **style)
            except ValueAtFault as fault:
                style |= advised("pinafore", fault)
                continue
            break
        else:
            pytest.fail(f"no draft: {style}")
        seen += 1
        assert [f.text for f in garment.findings if f.severity == "error"] == []
        holds(garment)
        assert ring(garment) >= body.hip_girth
        low, high = way_over_the_shoulder(body, garment.style)
        taken, places = garment.style["loop"] + garment.style["ring"], ring_places(garment)
        if high - taken < places["shortest"] or low - taken > places["longest"]:
            told = {f.code for f in garment.findings}
            assert told & {752, 753}, f"the strap misses the shoulder and nobody says so: {style}"
    assert seen == len(sizes) + n

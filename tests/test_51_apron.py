"""The glaze-day apron: a second garment from the same blocks, over simulated bodies and its style values.

Bodies: tests/bodies.py; the paper is looked at by tests/paper.py, which reads only the plain data. The
figures of the design are the course's own.
"""

import math
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LinearRing, Point

from patternlib import ValueAtFault, chart, make, style_values
from patternlib.body import measures
from patternlib.garments.apron import garment as apron
from patternlib.making import sewing_order
from tests import paper
from tests.bodies import charted, corners, girths_only, simulated
from tests.drawn import led

STYLE = style_values("apron")
NAMES = {value.name for value in STYLE}


PANEL_AND_FACING = ("front panel", "bib facing")


def drawn(body, **style):
    """The garment, sound; or the refusal, which names a style value or a measure and says what to do."""
    try:
        garment = make("apron", body, **style)
    except ValueAtFault as fault:
        assert fault.name in NAMES | set(measures()), str(fault)
        assert str(fault).startswith(fault.name) and len(str(fault)) < 300
        return fault
    assert [f.text for f in garment.findings if f.severity != "note"] == []
    assert paper.faults(garment.to_dict()) == []
    return garment


def few_refused(sex: str, n: int) -> None:
    """Under 2 in 100 of measured bodies, none whose lengths and widths are estimated."""
    refused = sum(isinstance(drawn(body), ValueAtFault) for body in simulated(n, sex))
    assert refused < max(2, 0.02 * n)
    assert not any(isinstance(drawn(body), ValueAtFault) for body in girths_only(n // 7, sex))


@pytest.mark.parametrize("sex", ["women", "men"])
def test_simulated_bodies(sex):
    few_refused(sex, 30)


@pytest.mark.slow
@pytest.mark.parametrize("sex", ["women", "men"])
def test_two_hundred_of_each_group(sex):
    few_refused(sex, 200)


def test_every_size_of_the_charts_and_hard_cases():
    assert not any(isinstance(drawn(body), ValueAtFault) for body in charted())
    assert sum(isinstance(drawn(body), ValueAtFault) for body in corners().values()) <= 2


def test_style_values_sampled_and_at_their_ends():
    dice = np.random.default_rng(4)
    made = 0
    for body in [*simulated(6, seed=3), *simulated(6, "men", seed=3)]:
        style = {v.name: float(dice.uniform(v.low, v.high)) for v in STYLE}
        made += not isinstance(led(partial(drawn, body), style), ValueAtFault)
    assert made == 12
    body = chart("course").body("12")
    for value in STYLE:
        ends = [drawn(body, **{value.name: end}) for end in (value.low, value.high)]
        assert not all(isinstance(garment, ValueAtFault) for garment in ends), value.name


@pytest.mark.parametrize(
    ("style", "name"),
    [
        ({"skirt_length": 40, "hip_ease": 3}, None),
        ({"bib_top": 28}, "bib_top"),
        ({"strap_from_neck": 8, "strap_width": 6}, None),
        ({"pocket_width": 20, "tool_part": 16}, "tool_part"),
        ({"pocket_depth": 24, "pocket_below_waist": 16, "skirt_length": 40}, "pocket_depth"),
        ({"pocket_width": 40, "hip_ease": 3, "flare": 2, "pocket_below_waist": 3}, "pocket_width"),
    ],
)
def test_values_that_do_not_go_together(style, name):
    """On a small body; a refusal's own advice, where it gives a number, is drawn."""
    body = chart("course").body("6")
    fault = drawn(body, **style)
    if name is None:
        return
    assert isinstance(fault, ValueAtFault) and fault.name == name
    advised = float(fault.advice.split()[1])
    low = next(value.low for value in STYLE if value.name == name)
    if advised >= low:
        again = drawn(body, **(style | {name: advised}))
        assert not isinstance(again, ValueAtFault) or again.name != name


def test_strap_is_as_long_as_its_way_over_the_body():
    """Bib to shoulder, shoulder to the other side's upper edge, and both ends laid on."""
    garment = drawn(chart("course").body("12"))
    front, back = garment.drafts["front plan"], garment.drafts["back plan"]
    there = front["strap on the bib"].distance(front["strap on the shoulder"])
    over = back["strap on the shoulder"]
    end = back["strap end"]
    crossed = math.hypot(over.x + end.x, over.y - end.y)
    strap = garment.piece("strap")
    assert strap.edge("side").curve.length == pytest.approx(there + crossed + 6.0)
    assert strap.edge("lower end").curve.length == pytest.approx(4.0)


def test_the_facing_lies_on_the_bib_and_backs_the_way_out_of_the_tie():
    """Same cut edge round the bib; at the side it reaches below the opening that is left for the tie."""
    for style in ({}, {"tie_width": 5.0, "bib_top": 18.0}):
        record = drawn(chart("course").body("12"), **style).to_dict()
        panel, facing = (next(p for p in record["pieces"] if p["name"] == n) for n in PANEL_AND_FACING)
        cut = LinearRing(panel["cut_line"])
        waist = min(y for e in facing["edges"] if e["name"] == "bib side" for _, y in e["points"])
        above = [p for p in facing["cut_line"] if p[1] > waist + 1 and p[0] < -0.1]
        assert len(above) > 10 and max(cut.distance(Point(p)) for p in above) < 0.01
        side = next(e for e in facing["edges"] if e["name"] == "side")
        long = max(n["at"] for n in sorted((n for n in panel["notches"] if n["edge"] == "side seam"),
                                           key=lambda n: n["at"])[:2])  # fmt: skip
        assert side["length"] > long + 1


def test_no_edge_of_a_size_is_hemmed_that_does_not_lie_flat():
    """The starting style of every size of every garment is made without a note."""
    for garment in ("apron", "smock", "pinafore"):
        for size in chart("course").sizes:
            assert [f.text for f in make(garment, size).findings] == [], (garment, size)


def test_cutting_list_and_measures():
    garment = drawn(chart("course").body("12"), wrap=10, pocket_width=28, tie_length=80, hem=4)
    assert {p.name: (p.cut, p.pair, p.on_fold) for p in garment.pieces} == {
        "front panel": (1, False, True),
        "bib facing": (1, False, True),
        "back panel": (2, True, False),
        "pocket": (1, False, False),
        "strap": (2, True, False),
        "tie": (2, True, False),
    }
    edges = {(p["name"], e["name"]): e for p in garment.to_dict()["pieces"] for e in p["edges"]}
    assert edges["pocket", "opening"]["length"] == pytest.approx(28)
    assert edges["tie", "side"]["length"] == pytest.approx(80)
    assert edges["back panel", "tie seat"]["length"] == pytest.approx(edges["tie", "base"]["length"])
    assert edges["front panel", "hem"]["allowance"] == 4
    waists = [garment.drafts[f"{part} plan"]["waistline"].length for part in ("front", "back")]
    body = chart("course").body("12")
    assert 2 * sum(waists) == pytest.approx(body.waist_girth + 5, abs=1e-5)
    wrapped = garment.drafts["back plan"]["wrapped waist"].length
    assert wrapped == pytest.approx(waists[1] + 10)
    marks = {mark.name for mark in garment.piece("pocket").marks}
    assert marks == {"division"}


def test_the_tie_that_lies_below_comes_out_and_both_meet_in_front():
    """The opening lets the tie through on both panels; round the waist both ties are long enough to knot."""
    for body in [*charted(), *simulated(6, seed=3), *simulated(6, "men", seed=3)]:
        garment = make("apron", body)
        record = {p["name"]: p for p in garment.to_dict()["pieces"]}
        long = next(e["length"] for e in record["front panel"]["edges"] if e["name"] == "side seam")
        places = []
        for name in ("front panel", "back panel"):
            at = [n["at"] for n in record[name]["notches"] if n["edge"] == "side seam"]
            places.append(sorted(at if name == "front panel" else [long - cm for cm in at])[:2])
        assert places[0] == pytest.approx(places[1], abs=0.01), "front and back open at one level"
        top, foot = places[0]
        assert top > 1.0, "the seam is closed above it, below the hem of the upper edge"
        wide, tie = garment.style["tie_width"], garment.style["tie_length"]
        assert foot - top >= wide + 0.5
        ring = 2 * sum(garment.drafts[f"{part} plan"]["waistline"].length for part in ("front", "back"))
        assert 2 * tie + 2 * garment.style["wrap"] - ring >= 25, "a knot and two ends"
    with pytest.raises(ValueAtFault, match="tie_length") as refused:
        make("apron", corners()["very large man"], tie_length=60)
    make("apron", corners()["very large man"], **refused.value.instead)


def test_the_straps_are_sewn_on_last_at_both_ends():
    steps = sewing_order(make("apron", "12"))
    (strap,) = [s for s in steps if ("strap", "lower end") in s.edges]
    sewn = [s for s in steps if {"front panel", "back panel"} & set(s.pieces)]
    assert all(s.number < strap.number for s in sewn), "their ends lie on edges that are finished"
    assert "front panel and back panel" in strap.text and "square with a cross" in strap.text
    assert "opening in the right side seam" in steps[-1].text
    (side,) = [s for s in steps if "side seam" in s.seams]
    assert "leave it open" in side.text and "bar tack" in side.text


def test_the_module_is_short():
    assert len(Path(apron.__file__).read_text(encoding="utf-8").splitlines()) < 270

"""Straps that fit and adjust, edges that can be finished, lines that bend once: from the body's side.

The way over a shoulder is calculated here from the measures of the body alone: neck width and depth as its
girth / 6 to / 5 [Baldt 1916; Ingalls 1911; Rosenfeld 1911]; the shoulder slopes as measured less the room for
a garment, 1.5 cm at its tip, the side neck point lies 2 cm above the nape (both common practice, no source).
Lengths of pieces are read from the plain data.
"""

import io
import math
import re

import ezdxf
import numpy as np
import pytest

from patternlib import ValueAtFault, chart, make, style_values
from patternlib.checking import report
from patternlib.making import cutting_list, sewing_order
from patternlib.output.dxf import as_dxf
from tests.bodies import charted, simulated
from tests.style_benchmark import advised

STYLE = {value.name: value for value in style_values("pinafore")}
BODY = chart("course").body("12")


def edges(garment) -> dict[tuple[str, str], dict]:
    return {(p["name"], e["name"]): e for p in garment.to_dict()["pieces"] for e in p["edges"]}


def marks(garment, piece: str) -> dict[str, np.ndarray]:
    found = next(p for p in garment.to_dict()["pieces"] if p["name"] == piece)
    return {mark["name"]: np.array(mark["points"]) for mark in found["marks"]}


def ring_places(garment) -> dict[str, float]:
    """How far above the base of the cut strap each line for the ring lies, cm."""
    foot = min(y for _, y in edges(garment)["strap", "base"]["points"])
    found = marks(garment, "strap")
    return {name.removeprefix("ring, "): points[:, 1].mean() - foot for name, points in found.items()}


def way_over_the_shoulder(body, style) -> tuple[float, float]:
    """The shortest and the longest that handbooks would make it, from the seat to the bib's top, cm."""
    width = style["fitting"] - style["cloth_thickness"]
    ways = []
    for share in (5.0, 6.0):
        neck = body.neck_girth / share
        fall = math.asin(min((body.shoulder_drop - 1.5) / body.shoulder_length, 0.6))
        back, front = body.back_waist_length + 2.0, body.front_waist_length + neck + 0.6
        # the centre back waist of a skirt lies 1 cm under the natural waist, the strap leans by a quarter
        base, level = width + style["strap_spread"], style["strap_level"] - 1.0
        seat = np.array([style["strap_from_centre"] + base / 2, level - base / 2 / 4])
        bib = np.array([style["bib_top"] / 2 - width / 2, style["bib_height"]])
        along = np.linspace(0, body.shoulder_length, 60)[:, None]
        down = along * [math.cos(fall), -math.sin(fall)]
        paths = sum(
            np.hypot(*(down + np.array([neck, up]) - end).T) for up, end in ((back, seat), (front, bib))
        )
        ways.append(float(paths.min()))
    return min(ways), max(ways)


def straps_that_miss(bodies) -> list[str]:
    """Bodies whose way over the shoulder no handbook's neck brings into the strap's range."""
    missed = []
    for body in bodies:
        try:
            garment = make("pinafore", body)
        except ValueAtFault:
            continue
        low, high = way_over_the_shoulder(body, garment.style)
        taken = garment.style["loop"] + garment.style["ring"]
        places = ring_places(garment)
        if high - taken < places["shortest"] or low - taken > places["longest"]:
            missed.append(f"{body}: {low:.1f} to {high:.1f}, {places}")
    return missed


def test_the_strap_reaches_over_every_charted_shoulder():
    assert straps_that_miss(charted()) == []


@pytest.mark.parametrize("sex", ["women", "men"])
def test_the_strap_reaches_over_measured_shoulders(sex):
    assert straps_that_miss(simulated(60, sex, seed=5)) == []


@pytest.mark.slow
@pytest.mark.parametrize("sex", ["women", "men"])
def test_the_strap_reaches_over_a_thousand_shoulders(sex):
    assert len(straps_that_miss(simulated(1000, sex, seed=6))) <= 5


@pytest.mark.parametrize("body", charted()[::4], ids=str)
def test_every_size_lets_out_and_takes_in(body):
    """1 cm each way at least: a jumper more or less under it (common practice, no source)."""
    places = ring_places(make("pinafore", body))
    assert places["longest"] - places["as drafted"] >= 1.0
    assert places["as drafted"] - places["shortest"] >= 1.0


def test_loop_ring_and_slide_are_taken_off_and_added():
    plain = edges(make("pinafore", BODY))["strap", "straight side"]["length"]
    for name, change in (("loop", -0.5), ("ring", -0.5), ("turn_back", 0.5)):
        style = {name: STYLE[name].start + 0.5}
        other = edges(make("pinafore", BODY, **style))["strap", "straight side"]["length"]
        assert other - plain == pytest.approx(change, abs=1e-4), name


def test_the_slide_moved_down_lets_out_what_ran_back():
    """Strap and ring keep the sewn length: what the ring gains is what no longer runs back to the slide."""
    garment = make("pinafore", BODY)
    sewn, places = edges(garment)["strap", "straight side"]["length"], ring_places(garment)
    back = {name: sewn - at for name, at in places.items()}
    assert back["as drafted"] == pytest.approx(STYLE["turn_back"].start, abs=1e-3)
    assert back["longest"] == pytest.approx(2.5, abs=1e-3), "the slide still has its room at the ring"
    drafted = garment.drafts["back plan"]
    behind = drafted["strap straight side"].meets(drafted["back shoulder"])[0]
    assert places["shortest"] + 1e-6 >= behind + back["shortest"] + 1.0, "the slide stays off the shoulder"


def test_the_loops_are_a_piece_with_its_place():
    garment = make("pinafore", BODY)
    (row,) = [r for r in cutting_list(garment) if r.piece == "strap loop"]
    assert row.cloth and row.cut == 1
    place, corner = marks(garment, "bib")["strap loop"], garment.drafts["front plan"]["bib corner"]
    assert place[:, 0].min() - corner.x == pytest.approx(0.3, abs=1e-6), "clear of the seam at the side"
    wide, strip = np.ptp(place[:, 0]), edges(garment)
    assert strip["strap loop", "lower end"]["length"] == pytest.approx(wide, abs=1e-4)
    assert wide < garment.style["fitting"]
    assert strip["strap loop", "side"]["length"] == pytest.approx(2 * (2 * 1.5) + 2 * 1.0, abs=1e-4)
    said = " ".join(garment.fittings)
    assert "2 strap rings, 32 mm" in said and "2 strap slides, 32 mm" in said
    first = next(s.number for s in sewing_order(garment) if "ends of the strap loop" in s.seams)
    assert first < next(s.number for s in sewing_order(garment) if "bib top to facing" in s.seams)


def test_range_and_loop_are_in_the_files():
    garment = make("pinafore", BODY)
    blocks = ezdxf.read(io.StringIO(as_dxf(garment))).blocks
    inside = {name: len(blocks[name].query('POLYLINE[layer=="8"]')) for name in ("STRAP", "BIB")}
    assert inside == {"STRAP": 3, "BIB": 4}, "three places of the ring; pocket and loop"
    assert any("the slide lets it be" in fact for fact in garment.facts)
    assert "Nothing to put right" in report(garment.findings)


def mended(garment):
    """The garment with what its findings about the strap say put in."""
    for found in garment.findings:
        if found.code in (752, 753):
            said = re.findall(r"(bib_height|turn_back) ([\d.]+) cm", found.text)
            assert said, found.text
            style = dict(garment.given) | {name: float(cm) for name, cm in said}
            return make("pinafore", garment.body, **style)
    return garment


def test_a_strap_that_does_not_reach_says_what_to_take():
    """Heights of the bib and lengths at the slide all over their ranges; what is said is put in once."""
    dice, seen = np.random.default_rng(8), 0
    for body in [*simulated(12, seed=5), *simulated(12, "men", seed=5)]:
        style = {n: float(dice.uniform(STYLE[n].low, STYLE[n].high)) for n in ("turn_back", "strap_level")}
        style["bib_height"] = body.front_waist_length - float(dice.uniform(2.5, 7))
        try:
            garment = make("pinafore", body, **style)
        except ValueAtFault:
            continue
        if [f for f in garment.findings if f.code in (752, 753)]:
            seen += 1
            assert not [f.text for f in mended(garment).findings if f.code in (752, 753)]
    assert seen > 3


# -- the yoke


def test_no_standing_note_in_any_size():
    for body in charted():
        about_yoke = [
            f for f in make("pinafore", body).findings if f.where.startswith(("back yoke", "strap"))
        ]
        assert about_yoke == []


def test_hollow_edges_are_faced_and_never_hemmed():
    """Folded once, 1.5 cm on an edge that turns by a is 2 x 1.5 x a too short: geometry, exact."""
    got = edges(make("pinafore", BODY))
    for name in ("neck edge", "side edge", "strap seat"):
        outer, inner = got["back yoke", name], got["yoke facing", name]
        assert outer["turn"] == inner["turn"] == "seam" and outer["allowance"] == inner["allowance"]
        assert outer["points"] == inner["points"]
        ways = np.unwrap(np.arctan2(*np.diff(np.array(outer["points"]), axis=0).T[::-1]))
        if name != "strap seat":
            assert 2 * 1.5 * abs(ways[-1] - ways[0]) > 1.5, "a hem here would be too short to lie flat"


# -- lines


def turns(points) -> tuple[float, float]:
    """Degrees to the left and to the right along a polyline."""
    ways = np.unwrap(np.arctan2(*np.diff(np.array(points), axis=0).T[::-1]))
    steps = np.degrees(np.diff(ways))
    return float(steps[steps > 0].sum()), float(-steps[steps < 0].sum())


def test_a_bibs_side_bends_one_way_whatever_its_width():
    dice = np.random.default_rng(4)
    seen = 0
    for body in [*charted()[::3], *simulated(25, seed=9), *simulated(25, "men", seed=9)]:
        style = {
            n: float(dice.uniform(STYLE[n].low, STYLE[n].high)) for n in ("bib_top", "bib_height", "flare")
        }
        try:
            garment = make("pinafore", body, **style, bib_pocket_width=8.0, bib_pocket_depth=7.0)
        except ValueAtFault:
            continue
        seen += 1
        assert min(turns(edges(garment)["bib", "side"]["points"])) < 5.0, style
    assert seen > 30


@pytest.mark.parametrize("sex", ["women", "men"])
def test_a_bib_starts_between_bust_and_neck(sex):
    """Front waist length is from the pit of the neck to the waist: a bib ends clearly below it."""
    for body in simulated(40, sex, seed=7):
        garment = make("pinafore", body)
        assert 5.9 <= body.front_waist_length - garment.style["bib_height"] <= 12


def test_a_bib_at_the_neck_is_refused_with_a_height_that_draws():
    for body in (b for b in simulated(20, seed=12) if b.front_waist_length < 33.5):
        with pytest.raises(ValueAtFault, match="pit of the neck") as refusal:
            make("pinafore", body, bib_height=32)
        height = advised("pinafore", refusal.value)["bib_height"]
        assert 1.9 < body.front_waist_length - height < 6.1
        made = make("pinafore", body, bib_height=height)
        assert not [f for f in mended(made).findings if f.code in (752, 753)]


def test_a_yoke_line_that_bends_both_ways_is_seen_and_mended():
    found = []
    for body in [*charted(), *simulated(30, seed=13)]:
        try:
            garment = make("pinafore", body, yoke_depth=10.0, yoke_side_depth=4.0)
        except ValueAtFault as fault:  # so far back that everybody sees it
            assert "yoke_side_depth" in str(fault)
            better = {"yoke_depth": 10.0, "yoke_side_depth": 4.0} | advised("pinafore", fault)
            yoke = edges(make("pinafore", body, **better))["back yoke", "skirt edge"]["points"]
            assert min(turns(yoke)) < 15
            continue
        points = edges(garment)["back yoke", "skirt edge"]["points"]
        said = [f for f in garment.findings if f.code == 751]
        waist = garment.drafts["back plan"]["waistline"].flat()
        over = min(turns(points)) - max(6.0, min(turns(waist)))
        assert bool(said) == (over >= 0) or abs(over) < 0.5
        if said:
            advice = re.findall(r"(yoke_\w+) ([\d.]+) cm", said[0].text)
            style = {"yoke_depth": 10.0, "yoke_side_depth": 4.0} | {n: float(cm) for n, cm in advice}
            assert not [f for f in make("pinafore", body, **style).findings if f.code == 751]
            found.append(advice)
    assert len(found) > 5


def test_a_strap_that_adjusts_too_little_says_what_to_take():
    garment = make("pinafore", BODY, turn_back=3.0)
    (said,) = [f for f in garment.findings if f.code == 752]
    end = float(said.text.split("turn_back ")[1].split()[0])
    assert not [f for f in make("pinafore", BODY, turn_back=end).findings if f.code == 752]
    high = make("pinafore", BODY, bib_height=29, loop=3, ring=2.5)
    (said,) = [f for f in high.findings if f.code == 752]
    height = float(said.text.split("bib_height ")[1].split()[0])
    lower = make("pinafore", BODY, loop=3, ring=2.5, bib_height=height)
    texts = [f.text for f in lower.findings if f.code == 752]
    assert not texts or "turn_back" in texts[0]


def test_a_hollow_too_tight_is_refused_with_a_place_that_draws():
    names = ("strap_from_centre", "strap_level", "back_rise", "strap_spread", "fitting")
    dice, tried = np.random.default_rng(3), 0
    for body in simulated(120, seed=14):
        style = {n: float(dice.uniform(STYLE[n].low, STYLE[n].high)) for n in names}
        style["strap_level"] = min(max(style["strap_level"], style["back_rise"] + 2), 22)
        try:
            back = make("pinafore", body, **style).drafts["back plan"]
        except ValueAtFault as fault:
            if "turned out" in str(fault):
                tried += 1
                make("pinafore", body, **style | advised("pinafore", fault))
            continue
        for name in ("back neck edge", "back side edge"):
            points = np.array(back[name].flat(0.001))
            steps, ways = np.hypot(*np.diff(points, axis=0).T), np.diff(points, axis=0)
            bend = np.abs(np.diff(np.unwrap(np.arctan2(*ways.T[::-1])))) / (steps[1:] + steps[:-1]) * 2
            assert 1 / bend.max() > 1.3, "every hollow drawn can be snipped and turned out"
    assert tried >= 1

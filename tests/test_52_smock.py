"""The throwing-room smock: sleeve walked into the armhole, collars, and the paper over simulated bodies.

Bodies: tests/bodies.py; the paper is looked at by tests/paper.py, which reads only the plain data. Its rule
that notches of a seam lie at equal distances does not hold where a side is eased in; the armhole's notches
are walked here instead. Cap ease: tests/data/sleeve_cap_ease.csv. Rules without a source are common practice.
"""

import csv
from functools import cache, partial
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString
from shapely.geometry import Point as Spot

from patternlib import ValueAtFault, chart, make, style_values
from patternlib.body import measures
from tests import paper
from tests.bodies import charted, corners, girths_only, simulated
from tests.drawn import led

STYLE = style_values("smock")
NAMES = {value.name for value in STYLE}
TABLE = Path(__file__).parent / "data" / "sleeve_cap_ease.csv"


def faults(record: dict) -> list[paper.Fault]:
    eased = ("notch meets no notch", "sleeve to armhole")
    return [f for f in paper.faults(record) if not (f.code == eased[0] and f.where.startswith(eased[1]))]


def drawn(body, **style):
    """The garment, sound; or the refusal, which names a style value or a measure and says what to do."""
    try:
        garment = make("smock", body, **style)
    except ValueAtFault as fault:
        assert fault.name in NAMES | set(measures()), str(fault)
        assert str(fault).startswith(fault.name) and len(str(fault)) < 300
        return fault
    assert [f.text for f in garment.findings if f.severity != "note"] == []
    record = garment.to_dict()
    assert faults(record) == []
    walk_armhole(record)
    return garment


def side_of(record: dict, edges: list, against: bool):
    """(length of one side of a seam, its notches as (distance walked from the start, count, seam))."""
    walked, marks = 0.0, []
    for piece, edge in edges:
        data = next(p for p in record["pieces"] if p["name"] == piece)
        points = next(e for e in data["edges"] if e["name"] == edge)["points"]
        line = LineString(points[::-1] if against else points)
        notches = [n for n in data["notches"] if n["edge"] == edge]
        marks += [(walked + line.project(Spot(n["point"])), n["count"], n["seam"]) for n in notches]
        walked += line.length
    return walked, sorted(marks)


def walk_armhole(record: dict) -> None:
    """Front notch at one distance from the front underarm on both sides, back notch from the back underarm;
    the ease lies between them, part before the cap top's notch and part after it."""
    seam = next(s for s in record["seams"] if s["name"] == "sleeve to armhole")
    cap, cap_marks = side_of(record, seam["a"], seam["walk"]["a"] == "against")
    hole, marks = side_of(record, seam["b"], seam["walk"]["b"] == "against")
    ease = cap - hole
    assert ease == pytest.approx(seam["ease"], abs=0.02) and ease > 0.3
    assert [(count, name) for _, count, name in cap_marks] == [(1, seam["name"]), (1, ""), (2, seam["name"])]
    assert [count for _, count, _ in marks] == [1, 2]
    assert cap_marks[0][0] == pytest.approx(marks[0][0], abs=0.02)
    assert cap - cap_marks[2][0] == pytest.approx(hole - marks[1][0], abs=0.02)
    front = next(p for p in record["pieces"] if p["name"] == "front")
    at_front = cap_marks[1][0] - next(e["length"] for e in front["edges"] if e["name"] == "armhole")
    assert at_front == pytest.approx(0.45 * ease, abs=0.02), "the cap top meets the shoulder"


def few_refused(sex: str, n: int) -> None:
    """Under 3 in 100 of measured bodies, none whose lengths are estimated; every second a stand collar."""
    measured = [drawn(body, collar=k % 2) for k, body in enumerate(simulated(n, sex))]
    assert sum(isinstance(garment, ValueAtFault) for garment in measured) < max(2, 0.03 * n)
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
    assert sum(isinstance(drawn(body), ValueAtFault) for body in corners().values()) <= 3


def test_style_values_sampled_and_at_their_ends():
    dice = np.random.default_rng(4)
    made = 0
    for k, body in enumerate([*simulated(6, seed=3), *simulated(6, "men", seed=3)]):
        style = {v.name: float(dice.uniform(v.low, v.high)) for v in STYLE} | {"collar": k % 2}
        made += not isinstance(led(partial(drawn, body), style), ValueAtFault)
    assert made == 12
    body = chart("course").body("12")
    for value in STYLE:
        ends = [drawn(body, **{value.name: end}) for end in (value.low, value.high)]
        assert not all(isinstance(garment, ValueAtFault) for garment in ends), value.name


@cache
def twelve(collar: int):
    return drawn(chart("course").body("12"), collar=collar)


def test_cutting_list():
    for collar in (0, 1):
        assert {p.name: (p.cut, p.pair, p.on_fold) for p in twelve(collar).pieces} == {
            "front": (2, True, False),
            "back": (1, False, True),
            "front facing": (2, True, False),
            "back facing": (1, False, True),
            "collar": (2, False, True),
            "sleeve": (2, True, False),
            "pocket": (2, False, False),
        }


def test_cap_ease_is_a_shirts_to_a_textbooks():
    """The starting value lies between a flat-felled shirt's least and a textbook sleeve's most."""
    with open(TABLE, encoding="utf-8", newline="") as file:
        file.readline()
        rows = {row["case"]: row for row in csv.DictReader(file)}
    least = float(rows["shirt, flat-felled"]["in_min"]) * 2.54
    most = float(rows["textbook / commercial set-in sleeve"]["in_max"]) * 2.54
    seam = next(s for s in twelve(0).seams if s.name == "sleeve to armhole")
    assert least < seam.ease < most


def test_the_dart_is_closed_into_the_hem():
    """Front shoulder in one line as long as the back's; the wider the dart, the wider the hem."""
    body = chart("course").body("12")
    hems = []
    for dart in (2, 4, 7):
        garment = drawn(body, bust_dart=dart, flare=2)
        front, bodice = garment.drafts["front plan"], garment.drafts["bodice block"]
        assert front["shoulder"].length == pytest.approx(garment.drafts["back plan"]["shoulder"].length)
        # the dart's angle, at the side
        lean = -90 - front["side"].start_direction.angle
        assert lean == pytest.approx(bodice["bust dart angle"], abs=1e-6)
        pin = front["bust point"]
        assert pin.distance(front["underarm"]) == pytest.approx(pin.distance(front["block underarm"]))
        hems.append(front["hemline"].length)
    assert hems[0] < hems[1] < hems[2]


def test_bust_of_the_smock():
    """Back and front at the underarm, dart open, measure the bust and its ease."""
    for body in (chart("course").body("12"), chart("course-men").body("100")):
        bodice = drawn(body, bust_ease=24).drafts["bodice block"]
        assert 2 * bodice["bust line"].length == pytest.approx(body.bust_girth + 24)


def test_sides_and_armholes_run_on():
    """Lines that cross a seam stand square on it (degrees, within 0.5)."""
    for collar in (0, 1):
        for part in ("front", "back"):
            d = twelve(collar).drafts[f"{part} plan"]
            for line, seam in (("armhole", "side"), ("hemline", "side")):
                over = d[line].end_direction.dot(d[seam].start_direction)
                assert abs(over) < 0.005
            assert abs(d["armhole"].start_direction.dot(d["shoulder"].end_direction)) < 0.005


def test_collars():
    """Neck edge as long as the neckline, equally deep all round, square at centre back and front."""
    for collar, depth in ((0, 6.5), (1, 3.5)):
        garment = twelve(collar)
        d, piece = garment.drafts["collar plan"], garment.piece("collar")
        neckline = sum(garment.piece(n).edge("neckline").curve.length for n in ("front", "back"))
        assert piece.edge("neck edge").curve.length == pytest.approx(neckline, abs=1e-6)
        outer, neck = (LineString(d[name].flat(1e-4)) for name in ("outer edge", "neck edge"))
        gaps = [neck.distance(outer.interpolate(t, normalized=True)) for t in np.linspace(0, 1, 21)]
        assert gaps == pytest.approx([depth] * 21, abs=0.01)
        assert d["centre back"].length == pytest.approx(depth, abs=1e-6)
        at_shoulder = next(n for n in piece.notches if not n.seam)
        walked = at_shoulder.at if collar else piece.edge("neck edge").curve.length - at_shoulder.at
        assert walked == pytest.approx(garment.piece("back").edge("neckline").curve.length)
    # a flat collar lies on the shoulders, a stand collar is nearly straight
    assert twelve(0).drafts["collar plan"]["outer edge"].length > neckline + 5
    assert twelve(1).drafts["collar plan"]["outer edge"].length < neckline


def test_the_head_passes():
    """Neck and slit measure 2 cm more than the head; a refusal's advice is drawn."""
    body = chart("course").body("12").replace(head_girth=64)
    fault = drawn(body, slit=8)
    assert isinstance(fault, ValueAtFault) and fault.name == "slit"
    garment = drawn(body, slit=float(fault.advice.split()[1]))
    neck = sum(garment.piece(n).edge("neckline").curve.length for n in ("front", "back"))
    opening = 2 * neck + 2 * garment.piece("front").edge("slit").curve.length
    assert 64 + 2 <= opening < 64 + 2.5


@pytest.mark.parametrize(
    ("style", "name"),
    [
        ({"collar": 0.5}, "collar"),
        ({"length": 65, "pocket_below_waist": 14}, "pocket_depth"),
        ({"pocket_width": 20, "pocket_from_centre": 10}, "pocket_width"),
        ({"cap_ease": 0}, "cap_ease"),
    ],
)
def test_values_that_do_not_go_together(style, name):
    fault = drawn(chart("course").body("6"), **style)
    assert isinstance(fault, ValueAtFault) and fault.name == name

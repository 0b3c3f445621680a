"""The skirt block against a published worked draft, and its bookkeeping on simulated bodies.

Sources: tests/data/skirt_worked.csv [WikiEducator, Handout for drafting skirt block]; where a rule of the
trade stands here without a source it is common practice, no source. Bodies: tests/bodies.py.
Lengths are measured again on flattened lines, with shapely.
"""

import csv
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon

from patternlib import Body, PatternError, SkirtDart, ValueAtFault, chart, skirt_block
from tests.bodies import charted, corners, girths_only, simulated
from tests.drawn import edges_round

WORKED = Path(__file__).parent / "data" / "skirt_worked.csv"
EASE = {"hip": 5.0, "waist": 2.4}  # the block's own, in all [WikiEducator]


def flat(curve) -> LineString:
    return LineString(curve.flat(1e-5))


def bodies(n):
    made = [body for sex in ("women", "men") for body in (*simulated(n, sex), *girths_only(n, sex))]
    return [*made, *charted(), *corners().values()]


def darts(block, part):
    """Names of the darts of a quarter."""
    return [n for n in (f"{part} dart", f"{part} dart 1", f"{part} dart 2") if f"{n} point" in block]


def mouth(block, name) -> float:
    """The dart's mouth, walked along the waist."""
    waist = flat(block[f"{name.split()[0]} waist"])
    return abs(waist.project(Point(block[f"{name} leg"])) - waist.project(Point(block[f"{name} leg 2"])))


def quarter(block, part) -> Polygon:
    names = (f"{part} waist", f"{part} hip curve", "side below the hip", f"{part} hem", f"centre {part}")
    return Polygon(edges_round(block, names)[:-1])


def test_the_worked_draft_of_a_published_handout():
    """Every point within 0.2 cm, with the handout's own rules [WikiEducator, see the file's first line].

    The side waists and what hangs on them lie within 0.5: the handout calculates the waist level, its curves
    are 0.6 cm longer, and with both darts given our sides take that away, front and back alike.
    """
    with open(WORKED, encoding="utf-8", newline="") as file:
        file.readline()
        rows = list(csv.DictReader(file))
    back, front = 11.1 / 20.2, 10.5 / 19.0  # the darts' distances from the centres, of the quarters' widths
    block = skirt_block(
        Body(bust_girth=88, waist_girth=68, hip_girth=94, waist_to_hip=20),
        length=60,
        back_wider=0.75,
        waist_drop=0,
        side_rise=1,
        back_darts=(SkirtDart(2, 12, back),),
        front_darts=(SkirtDart(2, 10, front),),
    )
    assert len(rows) == 11
    for row in rows:
        there = block[row["point"]]
        off = np.hypot(there.x - float(row["x"]), there.y + float(row["y"]))
        free = "side waist" in row["point"] or "dart" in row["point"]
        assert off <= (0.5 if free else 0.2), f"{row['point']}: {off:.2f} cm off"
    for part in ("back", "front"):
        assert mouth(block, f"{part} dart") == pytest.approx(2.0, abs=1e-3)


GIVEN = [
    {"back_darts": (2.0,)},
    {"front_darts": ()},
    {"back_darts": (), "front_darts": ()},
    {"back_darts": (2.0, 1.5), "front_darts": (1.0,)},
    {"back_darts": (None, 1.5)},
    {"back_darts": (2.5,), "front_darts": (None,)},
    {"back_darts": (None,), "front_darts": (None, 1.0)},
]


@pytest.mark.parametrize("asked", GIVEN)
def test_given_darts_are_drawn_as_given(asked):
    """The darts asked for, walked along the waist; None takes what is left; the waist still closes."""
    places = {1: (0.5,), 2: (0.35, 0.7)}
    for body in (chart("course").body("8"), chart("course").body("12"), corners()["hip 41 over waist"]):
        darts_of = {
            key: tuple(
                SkirtDart(w, 11, at) for w, at in zip(widths, places.get(len(widths), ()), strict=True)
            )
            for key, widths in asked.items()
        }
        block = skirt_block(body, **darts_of)
        total = 0.0
        for part in ("back", "front"):
            widths = asked.get(f"{part}_darts")
            mouths = [mouth(block, name) for name in darts(block, part)]
            if widths is not None:
                assert len(mouths) == len(widths)
                for got, want in zip(mouths, widths, strict=True):
                    assert got > 0.3 if want is None else got == pytest.approx(want, abs=1e-3)
            total += flat(block[f"{part} waist"]).length - sum(mouths)
        assert total == pytest.approx((body.waist_girth + EASE["waist"]) / 2, abs=1e-3)


@pytest.mark.parametrize(
    ("options", "name"),
    [
        ({"back_darts": (SkirtDart(9, 12, 0.4), SkirtDart(None, 12, 0.8))}, "back_darts"),
        ({"back_darts": (SkirtDart(12, 12, 0.5),), "front_darts": (SkirtDart(12, 12, 0.5),)}, "front_darts"),
    ],
)
def test_darts_that_take_too_much_are_refused_with_a_value_that_draws(options, name):
    with pytest.raises(ValueAtFault) as fault:
        skirt_block(chart("course").body("12"), **options)
    assert fault.value.name == name and "less in all" in fault.value.advice
    less = float(fault.value.advice.split()[1])
    first = options[name][0]
    options[name] = (SkirtDart(first.width - less, first.length, first.place), *options[name][1:])
    skirt_block(chart("course").body("12"), **options)


def test_bookkeeping_on_every_body():
    """Hip line and closed waist to the ease exactly; what the waist loses, side and darts take up."""
    for body in bodies(100):
        block = skirt_block(body)
        half_hip, half_waist = (body.hip_girth + EASE["hip"]) / 2, (body.waist_girth + EASE["waist"]) / 2
        assert block["centre front hip"].x - block["centre back hip"].x == pytest.approx(half_hip, abs=1e-9)
        assert block["centre back hip"].y == block["centre front hip"].y == block["side hip"].y
        waists = sum(flat(block[f"{part} waist"]).length for part in ("back", "front"))
        mouths = sum(mouth(block, name) for part in ("back", "front") for name in darts(block, part))
        assert waists - mouths == pytest.approx(half_waist, abs=1e-3)
        shaped = [abs(block["side hip"].x - block[f"{part} side waist"].x) for part in ("back", "front")]
        assert shaped[0] == pytest.approx(shaped[1], abs=1e-9)
        gap = block["front side waist"].x - block["back side waist"].x
        curved = waists - (half_hip - gap)  # the drawn waists are longer than their levels
        assert half_hip - half_waist == pytest.approx(gap + mouths - curved, abs=1e-3)


def test_seams_and_corners_on_every_body():
    """Sides and dart legs equal; waist and hem square at both centres and on the side (common practice)."""
    for body in bodies(100):
        block = skirt_block(body)
        sides = [flat(block[f"{part} hip curve"]) for part in ("back", "front")]
        assert sides[0].length == pytest.approx(sides[1].length, abs=1e-3)
        for part, inward in (("back", 1), ("front", -1)):
            waist, side = block[f"{part} waist"], block[f"{part} hip curve"]
            assert np.degrees(
                np.arctan2(waist.start_direction.y, waist.start_direction.x * inward)
            ) == pytest.approx(0)
            assert waist.end_direction.dot(side.end_direction) == pytest.approx(0, abs=1e-9)
            assert side.start_direction.x == pytest.approx(0, abs=1e-9)
            assert block[f"{part} hem"].start_direction.y == pytest.approx(0, abs=1e-12)
            for name in darts(block, part):
                legs = [block[f"{name}, leg nearer the {end}"].length for end in ("centre", "side")]
                assert legs[0] == pytest.approx(legs[1], abs=1e-9)


def test_nothing_crosses_and_darts_stay_inside():
    for body in bodies(50):
        block = skirt_block(body)
        for part in ("back", "front"):
            piece = quarter(block, part)
            assert piece.is_valid and piece.area > 500
            wedges = [
                Polygon([block[f"{n} leg"], block[f"{n} point"], block[f"{n} leg 2"]])
                for n in darts(block, part)
            ]
            for name, wedge in zip(darts(block, part), wedges, strict=True):
                assert block[f"{name} point"].y > block["side hip"].y + 2, "a dart ends above the hip line"
                assert wedge.difference(piece.buffer(0.1)).area == 0
            if len(wedges) == 2:
                assert wedges[0].distance(wedges[1]) > 1.0, "cloth between two darts"


def test_darts_are_shared_out_as_the_trade_does():
    """Back darts longer than front ones, no mouth over 4.8, a side of 1.5 to 4 (common practice)."""
    for body in charted():
        if body.sex == "women":
            assert 1.5 < skirt_block(body)["side shaping"] < 4
    for body in simulated(200):
        block = skirt_block(body)
        for part in ("back", "front"):
            for name in darts(block, part):
                assert 0.3 < mouth(block, name) < 4.8
        back, front = darts(block, "back"), darts(block, "front")
        if back and front:
            longest = [min(block[f"{n} point"].y for n in names) for names in (back, front)]
            assert longest[0] < longest[1]


@pytest.mark.parametrize(
    ("girths", "options", "names", "advice"),
    [
        ((88, 138, 100), {}, "hip_girth", "Measure both again"),
        ((88, 55, 120), {}, "hip_girth", "Measure both again"),
        ((88, 68, 94), {"length": 10}, "length", "measure from the waist"),
        ((88, 68, 94), {"hip_ease": -1}, "hip_ease", "ease"),
        ((88, 68, 94), {"waist_ease": 31}, "waist_ease", "ease"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_a_sentence(girths, options, names, advice):
    bust, waist, hip = girths
    with pytest.raises(PatternError) as fault:
        skirt_block(Body(bust_girth=bust, waist_girth=waist, hip_girth=hip, height=165), **options)
    assert fault.value.name == names and advice in str(fault.value)
    assert str(fault.value).endswith(".")


@pytest.mark.slow
@pytest.mark.parametrize("sex", ["women", "men"])
def test_nobody_of_two_thousand_is_refused(sex):
    assert len([skirt_block(body) for body in simulated(2000, sex, seed=7)]) == 2000


def test_a_wide_dart_is_shared_between_two():
    """One dart takes up to 3.2 cm, more is shared (common practice, no source).

    A mouth is walked on the drawn waist, which is up to 0.15 cm longer than the straight one.
    """
    one, two = [], []
    for waist in np.arange(60, 96, 0.2):
        block = skirt_block(Body(bust_girth=92, waist_girth=float(waist), hip_girth=98, height=165))
        for part in ("back", "front"):
            mouths = [mouth(block, name) for name in darts(block, part)]
            if mouths:
                (one if len(mouths) == 1 else two).append(sum(mouths))
    assert 3.15 < max(one) <= 3.2 + 0.15
    assert 3.2 <= min(two) < 3.2 + 0.2

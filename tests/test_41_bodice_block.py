"""The bodice block's self-checks on simulated bodies, its armhole against the survey, a worked draft.

The closed block is walked: darts are folded away on the drawn lines, no rule is read again.

Sources: relations of any bodice block are common practice, no source, where none stands beside them;
armscye girths of the US Army survey 1987-88 [NATICK/TR-89/044]; tests/data/bodice_worked_from_memory.csv
is from memory and only a loose cross-check. Bodies: tests/bodies.py. Lengths are measured again on
flattened lines, with shapely.
"""

import csv
import math
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon

from patternlib import Body, PatternError, ValueAtFault, bodice_block, chart
from tests.bodies import charted, corners, girths_only, people, simulated
from tests.drawn import edges_round

WORKED = Path(__file__).parent / "data" / "bodice_worked_from_memory.csv"
BUST_EASE, WAIST_EASE, SHOULDER_EASE = 10.0, 5.0, 0.8  # the block's own, cm


def flat(curve) -> LineString:
    return LineString(curve.flat(1e-5))


@cache
def drawn(n):
    """(body, block) of simulated bodies of both groups; the few that are refused are counted below."""
    bodies = [body for sex in ("women", "men") for body in (*simulated(n, sex), *girths_only(n, sex))]
    found = []
    for body in [*bodies, *charted(), *corners().values()]:
        try:
            found.append((body, bodice_block(body)))
        except ValueAtFault:
            assert not body.estimated, "a body with estimated widths and lengths is never refused"
    return found


def shoulder(block):
    names = ("front shoulder, neck part", "front shoulder, armhole part")
    return [block[n] for n in names] if names[0] in block else [block["front shoulder"]]


def outline(block, part) -> Polygon:
    """Back or front with its bust dart open."""
    names = [f"{part} waist", f"{part} side", f"{part} armhole"]
    if part == "back":
        names += ["back shoulder", "back neckline", "centre back"]
    elif "bust point" in block and "bust dart leg" in block:
        names += ["front shoulder, armhole part", "bust dart, armhole leg", "bust dart, neck leg"]
        names += ["front shoulder, neck part", "front neckline", "centre front"]
    else:
        names += ["front shoulder", "front neckline", "centre front"]
    points = edges_round(block, names)
    assert points[-1].distance(points[0]) < 1e-6, "the outline does not close"
    return Polygon(points[:-1])


def angle(u, v) -> float:
    """Between two arrows, degrees."""
    return float(np.degrees(np.arctan2(abs(u.x * v.y - u.y * v.x), u.x * v.x + u.y * v.y)))


def waist_darts(block, part):
    """Names of the waist darts of the back or front."""
    return [n for n in (f"{part} dart", f"{part} dart 1", f"{part} dart 2") if f"{n} point" in block]


def ring(block, level) -> float:
    """Half the girth of cloth at a level below the bust line, darts folded away, cm.

    The cloth of back and front as polygons, cut by a level line; what lies between the legs of a dart goes.
    """
    across = LineString([(-50, level), (200, level)])
    total = 0.0
    for part in ("back", "front"):
        piece = outline(block, part)
        for name in waist_darts(block, part):
            piece = piece.difference(Polygon([block[f"{name}{end}"] for end in (" leg", " point", " leg 2")]))
        total += piece.intersection(across).length
    return total


def over_the_bust(block) -> float:
    """From the neck point over the bust point down the closed dart, or straight down, to the waist, cm."""
    neck, bust = block["front neck point"], block["bust point"]
    names = waist_darts(block, "front")
    if names:
        point, legs = block[f"{names[0]} point"], [block[f"{names[0]} leg{end}"] for end in ("", " 2")]
        assert point.distance(legs[0]) == pytest.approx(point.distance(legs[1]), abs=1e-6)
        return neck.distance(bust) + bust.distance(point) + point.distance(legs[0])
    plumb = LineString([bust, (bust.x, bust.y - 60)]).intersection(flat(block["front waist"]))
    return neck.distance(bust) + Point(bust).distance(plumb)


def measured_twice(n, sex):
    """Simulated people whose length over the bust was measured, too: as estimated, up to 2 cm off."""
    dice = np.random.default_rng(5)
    for body in simulated(n, sex):
        over = round(body.length_over_bust + float(np.clip(dice.normal(), -2, 2)), 1)
        yield body.replace(length_over_bust=over)


def test_girths_on_every_body():
    """Bust at the bust point's level, waist and neck, darts folded away, measure the body and its ease."""
    for body, block in drawn(60):
        assert 2 * ring(block, low(block)) == pytest.approx(body.bust_girth + BUST_EASE, abs=0.2)
        around = 0.0
        for part in ("back", "front"):
            waist = flat(block[f"{part} waist"])
            around += waist.length
            for name in waist_darts(block, part):
                legs = [waist.project(Point(block[f"{name} leg{n}"])) for n in ("", " 2")]
                around -= abs(legs[1] - legs[0])
        assert around == pytest.approx((body.waist_girth + WAIST_EASE) / 2, abs=1e-3)
        neck = sum(flat(block[f"{part} neckline"]).length for part in ("back", "front"))
        assert 2 * neck == pytest.approx(body.neck_girth, abs=0.01)


def low(block) -> float:
    """The bust point's level, or just below the bust line where the point lies in the armhole (many men)."""
    return min(block["bust point"].y, block["centre back bust line"].y - 1e-6)


@pytest.mark.parametrize("sex", ["women", "men"])
def test_length_over_the_bust_comes_out_as_measured(sex):
    """Within 0.2 cm on the closed block; under 1 in 100 is refused, and then by the name of a length."""
    refused = []
    for body in measured_twice(150, sex):
        try:
            block = bodice_block(body)
        except ValueAtFault as fault:
            refused.append(fault.name)
            continue
        assert over_the_bust(block) == pytest.approx(body.length_over_bust, abs=0.2)
    assert len(refused) <= 1 and set(refused) <= {"length_over_bust", "neck_to_bust", "front_waist_length"}


def test_bust_line_is_half_the_bust_unless_the_bust_lies_low():
    wider = [block["bust line"].length - (body.bust_girth + BUST_EASE) / 2 for body, block in drawn(60)]
    assert min(wider) > -1e-9 and np.mean(np.array(wider) > 1e-6) < 0.1
    for body in charted():
        assert bodice_block(body)["bust line"].length == pytest.approx((body.bust_girth + BUST_EASE) / 2)


def test_a_fuller_bust_gets_more_of_a_dart_as_an_angle():
    """The same bust over smaller ribs: the angle grows, step by step, whatever the leg's length."""
    for bust in (80, 92, 108, 124):
        angles, reach = [], []
        for less in (4, 8, 12, 16, 20, 26):
            body = Body(
                bust_girth=bust, waist_girth=bust - 18, hip_girth=bust + 6, underbust_girth=bust - less
            )
            block = bodice_block(body)
            turned = (
                block["bust dart leg 2"] - block["bust point"],
                block["bust dart leg"] - block["bust point"],
            )
            assert angle(*turned) == pytest.approx(block["bust dart angle"], abs=1e-9)
            angles.append(angle(*turned))
        assert all(b > a + 1 for a, b in pairwise(angles[:-1])) and angles[-1] > angles[-2]
        assert angles[0] < 8.5 and 18 < angles[-1] < 30
    body = Body(bust_girth=92, waist_girth=74, hip_girth=98, underbust_girth=78)
    for shoulder in (11, 13, 16):
        reach.append(bodice_block(body.replace(shoulder_length=shoulder))["bust dart angle"])
    assert max(reach) - min(reach) < 1e-9


def test_a_dart_beside_a_handbooks_width():
    """From memory: 7 cm at the shoulder at bust 88, about 5 at bust 76 and 9.5 at 104."""
    for size, width in (("6", 5.2), ("12", 7.0), ("20", 9.4)):
        block = bodice_block(chart("course").body(size))
        assert block["bust dart leg"].distance(block["bust dart leg 2"]) == pytest.approx(width, abs=0.4)


def test_shoulder_tip_follows_the_measured_drop():
    """Each cm of drop lowers the tip by about a cm; mean of back and front lies 1.5 above the shoulder point.

    Burton 1916 slopes shoulders by 17 to 23 degrees: the survey's mean drop gives that [NATICK/TR-89/044].
    """
    for sex in ("women", "men"):
        usual = Body(bust_girth=92, waist_girth=74, hip_girth=98, sex=sex)
        last = None
        for drop in (2.5, 4, 5.5, 7, 8):
            block = bodice_block(usual.replace(shoulder_drop=drop))
            falls = [
                block[f"{part} neck point"].y - block[tip].y
                for part, tip in (("back", "back shoulder tip"), ("front", "shoulder tip, dart closed"))
            ]
            assert np.mean(falls) == pytest.approx(drop - 1.5, abs=0.2)
            assert last is None or np.mean(falls) > last + 0.9
            last = np.mean(falls)
    slopes = []
    for body in (*simulated(200), *simulated(200, "men")):
        block = bodice_block(body)
        run = (
            block["back shoulder"].end_direction,
            block["front neck point"] - block["shoulder tip, dart closed"],
        )
        slopes.append(np.mean([abs(np.degrees(np.arctan2(v.y, abs(v.x)))) for v in run]))
    assert 18 < np.mean(slopes) < 21 and np.mean([14 < s < 26 for s in slopes]) > 0.8


def test_wide_waist_darts_are_shared_between_two():
    full = Body(bust_girth=120, waist_girth=75, hip_girth=98, height=165, underbust_girth=90)
    assert [len(waist_darts(bodice_block(full), part)) for part in ("back", "front")] == [2, 2]
    assert [len(waist_darts(bodice_block(full, one_dart=True), part)) for part in ("back", "front")] == [1, 1]
    for _, block in drawn(60):
        for part, most in (("back", 6.2), ("front", 8.0)):
            names = waist_darts(block, part)
            for name in names:
                legs = [block[f"{name} leg"], block[f"{name} leg 2"]]
                assert legs[0].distance(legs[1]) < most
            if len(names) == 2:
                first, second = ([block[f"{n}{e}"] for e in (" leg", " point", " leg 2")] for n in names)
                assert Polygon(first).distance(Polygon(second)) > 0.8, "cloth between two darts"


def test_neck_width_lies_where_old_handbooks_have_it():
    """Neck width from neck/6 to neck/5, front depth to neck/5 + 0.6 [Baldt 1916; Ingalls 1911; Vincent]."""
    for body, block in drawn(60):
        width, neck = block["back neck point"].x, body.neck_girth
        assert neck / 6 - 0.2 <= width <= neck / 5
        depth = block["front neck point"].y - block["centre front neck"].y
        assert neck / 6 <= depth <= neck / 5 + 0.6


def test_lengths_down_the_body():
    for body, block in drawn(60):
        assert block["nape"].y == pytest.approx(body.back_waist_length)
        assert block["centre front neck"].y == pytest.approx(body.front_waist_length)
        line = block["centre back bust line"].y
        deeper = block["nape"].y - line - (body.armhole_depth + 2.5)
        tips = (block["back shoulder tip"].y + block["shoulder tip, dart closed"].y) / 2
        if block["chest point"].x - block["back width point"].x < 1.1 * (tips - line):
            assert deeper == pytest.approx(0, abs=1e-6)
        assert -1e-6 < deeper < 2, "only a wide armhole is drawn deeper"


def test_seams_on_every_body():
    """Shoulders equal but for the ease, side seams equal, legs of every dart equal."""
    for body, block in drawn(100):
        front = sum(flat(line).length for line in shoulder(block))
        assert front == pytest.approx(body.shoulder_length, abs=1e-6)
        assert flat(block["back shoulder"]).length - front == pytest.approx(SHOULDER_EASE, abs=1e-6)
        assert block["back side"].length == pytest.approx(block["front side"].length, abs=1e-9)
        for part in ("back", "front"):
            for name in waist_darts(block, part):
                legs = [block[f"{name}, line {n}"].length for n in (1, 2)]
                assert legs[0] == pytest.approx(legs[1], abs=1e-9)
        if "bust dart leg" in block:
            legs = [block[f"bust dart, {end} leg"].length for end in ("neck", "armhole")]
            assert legs[0] == pytest.approx(legs[1], abs=1e-9)


def test_lines_run_on_across_the_joined_seams():
    """Square at the centres; neckline and armhole smooth over the shoulder, armhole and waist at the side."""
    for _, block in drawn(100):
        b, f = block["back neckline"], block["front neckline"]
        assert b.start_direction.y == pytest.approx(0, abs=1e-9) == f.end_direction.y
        for part in ("back", "front"):
            assert block[f"{part} waist"].start_direction.y == pytest.approx(0, abs=1e-9)
            side = block[f"{part} side"]
            assert angle(block[f"{part} waist"].end_direction, side.end_direction) == pytest.approx(90)
            assert angle(block[f"{part} armhole"].end_direction, side.start_direction) == pytest.approx(90)
            joint = side.closest(block["side bust level"])[0]
            assert angle(side.direction(joint - 1e-3), side.direction(joint + 1e-3)) < 0.1
        front = shoulder(block)
        # the angles on both sides of the joined seam together make a straight line
        back_seam, at_neck, at_tip = block["back shoulder"], front[0], front[-1]
        over_neck = angle(b.end_direction * -1, back_seam.start_direction) + angle(
            f.start_direction, at_neck.start_direction
        )
        over_tip = angle(block["back armhole"].start_direction, back_seam.end_direction * -1) + angle(
            block["front armhole"].start_direction, at_tip.end_direction * -1
        )
        assert over_neck == pytest.approx(180, abs=0.5)
        assert over_tip == pytest.approx(180, abs=0.5)


def test_nothing_crosses():
    for _, block in drawn(60):
        for part in ("back", "front"):
            piece = outline(block, part)
            assert piece.is_valid and piece.area > 200
            line = block["underarm point"].y
            # the widest armholes of bodies far beyond the survey sag by a mm
            dip = 1e-6 if block["bust line"].length < 72 else 0.15
            assert min(p.y for p in block[f"{part} armhole"].flat()) >= line - dip, "below the armhole line"
            for name in waist_darts(block, part):
                names = (f"{name} leg", f"{name} point", f"{name} leg 2")
                wedge = Polygon([block[n] for n in names])
                assert wedge.difference(piece.buffer(0.2)).area == 0  # a mouth is a chord of the curved waist
                assert block[f"{name} point"].y < line + 1
                if part == "front":
                    assert block[f"{name} point"].y < block["bust point"].y


def test_bust_dart_has_the_width_asked_for():
    body = Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165)
    for width in (4.0, 7.0, 10.0):
        block = bodice_block(body, bust_dart=width)
        assert block["bust dart leg"].distance(block["bust dart leg 2"]) == pytest.approx(width)
        reach = block["front neck point"].distance(block["bust point"])
        assert reach == pytest.approx(body.neck_to_bust, abs=1e-9)


@pytest.mark.parametrize(("sex", "least", "most"), [("women", 2, 7), ("men", 3, 7)])
def test_armhole_beside_the_surveys_armscye(sex, least, most):
    """The armhole is longer than the bare armscye girth [NATICK/TR-89/044]: 2 to 7 cm in the mean.

    That much ease is common practice, no source. One body's armhole strays from its armscye by about 3.5.
    """
    over = []
    for row, body in zip(people(200, sex), simulated(200, sex), strict=True):
        try:
            block = bodice_block(body)
        except ValueAtFault:
            continue
        over.append(
            sum(flat(block[f"{part} armhole"]).length for part in ("back", "front")) - row["armscye_girth"]
        )
    assert least < np.mean(over) < most
    assert np.std(over) < 4
    assert np.mean(np.array(over) > 0) > 0.85


def test_a_worked_draft_from_memory():
    """FROM MEMORY, a loose cross-check: within 1.3 cm of a textbook's draft at bust 88."""
    with open(WORKED, encoding="utf-8", newline="") as file:
        file.readline()
        rows = list(csv.DictReader(file))
    taken = {"neck_girth": 37, "shoulder_length": 12.25, "back_waist_length": 41, "front_waist_length": 35.3}
    widths = {"armhole_depth": 18.5, "back_width": 34.4, "chest_width": 32.4, "bust_span": 19.7}
    block = bodice_block(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165, **taken, **widths))
    top = block["nape"].y + 1.5
    assert len(rows) == 13
    for row in rows:
        there = block[row["point"]]
        assert abs(there.x - float(row["x"])) < 1.3, row["point"]
        if row["y"]:
            assert abs(top - there.y - float(row["y"])) < 1.3, row["point"]


@pytest.mark.parametrize(
    ("measures", "options", "names"),
    [
        ({"neck_to_bust": 15, "bust_span": 40}, {}, "neck_to_bust"),
        ({"back_waist_length": 50, "front_waist_length": 28}, {}, "front_waist_length"),
        ({"back_width": 48, "chest_width": 46, "shoulder_length": 18}, {}, "chest_width"),
        ({}, {"bust_ease": 60}, "bust_ease"),
        ({}, {"back_shoulder_ease": 2}, "back_shoulder_ease"),  # at most 1.3 [Browne 1911]
        ({}, {"shoulder_room": 4}, "shoulder_room"),
        ({"shoulder_drop": 13}, {}, "shoulder_drop"),
        ({"shoulder_drop": 0}, {}, "shoulder_drop"),
        ({"length_over_bust": 48, "front_waist_length": 31}, {}, "length_over_bust"),
        ({"length_over_bust": 32, "front_waist_length": 31}, {}, "length_over_bust"),
        ({}, {"bust_dart": 20}, "bust_dart"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_a_sentence(measures, options, names):
    with pytest.raises(PatternError) as fault:
        bodice_block(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165, **measures), **options)
    assert fault.value.name == names
    assert str(fault.value).endswith((".", "cm", "degrees")) and "Error" not in str(fault.value)


@pytest.mark.slow
@pytest.mark.parametrize("sex", ["women", "men"])
def test_hardly_anybody_of_two_thousand_is_refused(sex):
    """Under 1 in 100, and each of them with the measure to take again."""
    refused = []
    for body in simulated(2000, sex, seed=7):
        try:
            bodice_block(body)
        except ValueAtFault as fault:
            refused.append(fault.name)
    assert len(refused) < 20
    assert set(refused) <= {
        "chest_width",
        "neck_to_bust",
        "armhole_depth",
        "front_waist_length",
        "shoulder_drop",
        "length_over_bust",
    }


def test_an_armhole_has_room_for_an_arm():
    """Where back width and chest leave less than 6 cm between them, both are drawn narrower by the same.

    6 cm are left then: common practice, no source.
    """
    wide = [
        Body(bust_girth=b, waist_girth=b - 18, hip_girth=b + 6, height=165, back_width=w, chest_width=w - 1)
        for b in range(72, 132, 6)
        for w in range(28, 46)
    ]
    narrowed = 0
    for body in (*simulated(60), *girths_only(60), *corners().values(), *wide):
        try:
            block = bodice_block(body)
        except ValueAtFault:
            continue
        room = block["chest point"].x - block["back width point"].x
        assert room > 5.9, body
        taken = [
            block[measured].distance(block[level])
            for measured, level in (
                ("back width point", "back width level"),
                ("chest point, dart closed", "chest level"),
            )
        ]
        less = body.back_width / 2 + 0.5 - taken[0], body.chest_width / 2 + 0.3 - taken[1]
        if less[0] > 0.02 and abs(less[0] - less[1]) < 1e-6:
            narrowed += 1
            assert room == pytest.approx(6, abs=0.1), body
    assert narrowed


def test_the_least_bust_dart():
    """Half a centimetre of fullness, a quarter of bust less underbust, is the least that is sewn as a dart.

    Less is eased in: common practice, no source. The dart takes up the fullness, wherever it is drawn.
    """
    for bust in (76, 88, 104):
        for fullness in (0.3, 0.45, 0.55, 1.0, 3.0):
            body = Body(
                bust_girth=bust, waist_girth=bust - 16, hip_girth=bust + 6, height=165,
                underbust_girth=bust - 4 * fullness,
            )  # fmt: skip
            try:
                block = bodice_block(body)
            except ValueAtFault:
                continue
            assert ("bust dart leg 2" in block) == (fullness > 0.5), (bust, fullness)


@pytest.mark.parametrize("sex", ["women", "men"])
def test_an_armhole_of_a_very_large_girth_is_no_trough(sex):
    """Width against height at most 1.2 (common practice, no source); no wider a back than measured."""
    for girth in (128, 135, 142, 150, 158):
        body = Body(bust_girth=girth, waist_girth=girth - 8, hip_girth=girth + 2, height=170, sex=sex)
        block = bodice_block(body)
        tips = (block["back shoulder tip"].y + block["shoulder tip, dart closed"].y) / 2
        height = tips - block["underarm point"].y
        assert block["chest point"].x - block["back width point"].x <= 1.2 * height
        assert block["back width point"].x <= body.back_width / 2 + 0.51
        assert block["back armhole"].length + block["front armhole"].length > body.upper_arm_girth + 6
        for part in ("back", "front"):
            ways = [
                block[f"{part} armhole"].direction(block[f"{part} armhole"].length * k / 30)
                for k in range(31)
            ]
            turns = [math.degrees(math.atan2(a.cross(b), a.dot(b))) for a, b in pairwise(ways)]
            back = min(sum(t for t in turns if t > 0), -sum(t for t in turns if t < 0))
            assert back < 8, f"the {part} armhole waves"

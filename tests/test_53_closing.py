"""The pinafore's side opening, from the side of the body that is closed in and gets in.

The pieces are read from the plain record and laid on each other as they lie when the opening is closed:
each button in its buttonhole, 0.3 cm from the hole's outer end, where the pull draws it (common practice, no
source).
Nothing of the rules that placed the fastenings is used. Bodies: tests/bodies.py.
"""

import re
from dataclasses import replace

import numpy as np
import pytest
import shapely

from patternlib import ValueAtFault, chart, make
from patternlib.boards import closing_board
from patternlib.garments import style_values
from patternlib.garments.closing_check import closing_findings, getting_in
from patternlib.geometry import Point, line
from patternlib.making import cutting_list
from patternlib.output.dxf import as_dxf
from patternlib.output.scene.closing import closing_scene
from patternlib.pieces import DrillHole
from tests.bodies import charted, corners, simulated

TWELVE = chart("course").body("12")


def record(garment) -> dict:
    return {piece["name"]: piece for piece in garment.to_dict()["pieces"]}


def edge(piece: dict, name: str) -> np.ndarray:
    return np.array(next(e["points"] for e in piece["edges"] if e["name"] == name))


def chain(*runs) -> np.ndarray:
    return np.vstack([runs[0], *(run[1:] for run in runs[1:])])


def front_edge(pieces: dict) -> np.ndarray:
    """From the waist down; both edges are run so."""
    return chain(edge(pieces["waistband"], "side"), edge(pieces["front skirt"], "opening"))


def pairs(pieces: dict) -> list[tuple[np.ndarray, np.ndarray]]:
    """(place on the front where the button comes to lie, its place on the extension), from the waist."""
    side, out = shapely.LineString(front_edge(pieces)), []
    holes = {hole["purpose"]: np.array(hole["point"]) for hole in pieces["back extension"]["drill_holes"]}
    for name in ("waistband", "front skirt"):
        for mark in pieces[name]["marks"]:
            if mark["style"] == "buttonhole":
                outer, inner = sorted(mark["points"][:: len(mark["points"]) - 1],
                                      key=lambda p: side.distance(shapely.Point(p)))  # fmt: skip
                way = np.subtract(inner, outer) / np.hypot(*np.subtract(inner, outer))
                number = mark["name"].split()[-1]
                out.append((outer + 0.3 * way, holes[f"button {number}"]))
    return out


def onto(p, q, p2, q2):
    """The move that lays p on p2 and q toward q2."""
    a, b = complex(*(q - p)), complex(*(q2 - p2))
    turn = b / a / abs(b / a)

    def move(points):
        z = (points[..., 0] + 1j * points[..., 1] - complex(*p)) * turn + complex(*p2)
        return np.stack([z.real, z.imag], axis=-1)

    return move


def apart(pieces: dict) -> float:
    """How far the closed side lines lie from each other at worst, cm, over 40 levels of the opening."""
    places = pairs(pieces)
    move = onto(places[0][0], places[-1][0], places[0][1], places[-1][1])
    front = shapely.LineString(move(front_edge(pieces)))
    back = shapely.LineString(edge(pieces["back extension"], "opening edge"))
    levels = np.linspace(0, 1, 40)
    return max(
        front.interpolate(t, normalized=True).distance(back.interpolate(t, normalized=True)) for t in levels
    )


def holds(garment) -> None:
    """All that a closed opening must be, on one garment."""
    pieces = record(garment)
    assert apart(pieces) < 0.1
    places = pairs(pieces)
    move = onto(places[0][0], places[-1][0], places[0][1], places[-1][1])
    assert all(np.hypot(*(move(front) - back)) < 0.1 for front, back in places)
    side = shapely.LineString(front_edge(pieces))
    seam = shapely.LineString(edge(pieces["back extension"], "opening edge"))
    lap = garment.style["extension"]
    for front, back in places:
        inside = side.distance(shapely.Point(front)), seam.distance(shapely.Point(back))
        assert inside[0] == pytest.approx(inside[1], abs=0.1)
        assert inside[0] - 0.3 >= 0.6, "the buttonhole begins behind the enclosed allowance"
    # the fold lies as far inside as the lap says: no edge shows, the buttons have cloth beside them
    fold = np.array(next(m["points"] for m in pieces["back extension"]["marks"] if m["style"] == "fold"))
    widths = [seam.distance(shapely.Point(p)) for p in fold]
    assert min(widths) > lap - 0.1 and max(widths) < lap + 3
    # the waist, closed: what the plans say, less or more only by what the layers lie off each other
    waists = [garment.drafts[f"{part} plan"]["waistline"].length for part in ("front", "back")]
    closed = 2 * (sum(waists) - apart(pieces))
    assert closed == pytest.approx(garment.body.waist_girth + garment.style["waist_ease"], abs=0.2)


def ring(garment) -> float:
    """Straight from side to side at the opening's end, front and back: what must pass over the hips."""
    pieces = record(garment)
    front, back = edge(pieces["front skirt"], "opening")[-1], edge(pieces["back skirt"], "opening")[0]
    return 2 * (abs(front[0]) + abs(back[0]))


@pytest.mark.parametrize("size", ["6", "12", "16", "22", "30"])
def test_closed_the_side_lines_meet(size):
    holds(make("pinafore", chart("course").body(size)))


@pytest.mark.parametrize(
    "style",
    [
        {"extension": 2.5}, {"extension": 5, "button": 2.5}, {"opening": 28}, {"waistband": 3},
        {"waistband": 8}, {"fastenings": 2}, {"fastenings": 5, "button": 1.1}, {"flare": 3}, {"flare": 20},
        {"waist_ease": 16}, {"hip_ease": 20}, {"yoke_side_depth": 9},
    ],
    ids=str,
)  # fmt: skip
def test_it_closes_whatever_the_style(style):
    holds(make("pinafore", TWELVE, **style))


@pytest.mark.parametrize("sex", ["women", "men"])
def test_it_closes_and_she_gets_in(sex):
    """The starting style: 20 bodies of each group, the charts and the hard cases. The hips pass."""
    for body in [*simulated(20, sex, seed=4), *charted(), *corners().values()]:
        try:
            garment = make("pinafore", body)
        except ValueAtFault:
            continue
        holds(garment)
        assert ring(garment) >= body.hip_girth
        assert not [f for f in garment.findings if f.code // 10 in (71, 72)]


@pytest.mark.slow
@pytest.mark.parametrize(("sex", "n"), [("women", 400), ("men", 300)])
def test_many_bodies(sex, n):
    drawn = 0
    for body in simulated(n, sex):
        try:
            garment = make("pinafore", body)
        except ValueAtFault:
            continue
        drawn += 1
        holds(garment)
        assert ring(garment) >= body.hip_girth
        assert not [f for f in garment.findings if f.code // 10 in (71, 72)]
    assert drawn > 0.98 * n


def test_ease_told_is_ease_drawn():
    """Round the hip line of the plans, an arc square to centre and side: hip and ease, within 0.8 cm."""
    for body in [TWELVE, chart("course").body("30"), *simulated(12), *simulated(12, "men")]:
        for ease in (3, 6, 14):
            try:
                garment = make("pinafore", body, hip_ease=ease)
            except ValueAtFault:
                continue
            across = []
            for part in ("front", "back"):
                plan = garment.drafts[f"{part} plan"]
                centre, side = np.array([0.0, plan["block side hip"].y]), np.array(plan["side hip"])
                # chord of the arc that stands square on the centre: both ends turn by the same angle
                lean = abs(np.arctan2(side[1] - centre[1], abs(side[0])))
                chord = np.hypot(*(side - centre))
                across.append(chord * lean / np.sin(lean) if lean > 1e-6 else chord)
            assert 2 * sum(across) == pytest.approx(body.hip_girth + ease, abs=0.8)


def test_too_shallow_an_opening_is_found_and_the_advice_mends_it():
    garment = make("pinafore", TWELVE, opening=14)
    (found,) = [f for f in garment.findings if f.code == 721]
    assert found.got == pytest.approx(ring(garment), abs=0.01) and found.got < TWELVE.hip_girth + 1
    by = float(found.text.split("Make the opening ")[1].split()[0])
    corrected = make("pinafore", TWELVE, opening=14 + by)
    assert not [f for f in corrected.findings if f.code == 721] and ring(corrected) >= TWELVE.hip_girth
    assert [f for f in make("pinafore", TWELVE, opening=14 + by - 1).findings if f.code == 721]


def changed(garment, name: str, **change):
    return {p.name: p.replace(**change) if p.name == name else p for p in garment.pieces}


def test_the_checks_see_what_is_wrong():
    """Each fault under its own number."""
    garment = make("pinafore", TWELVE)
    sound = {p.name: p for p in garment.pieces}
    assert list(closing_findings(sound)) == [] == list(getting_in(sound, TWELVE))
    holes = sound["back extension"].drill_holes

    def codes(pieces):
        return {f.code for f in closing_findings(pieces)}

    lower = replace(holes[1], point=holes[1].point + Point(0, -0.5))
    assert codes(changed(garment, "back extension", drill_holes=(holes[0], lower, holes[2]))) == {711}
    assert codes(changed(garment, "back extension", drill_holes=holes[:2])) == {712}
    none = {**sound, **{n: sound[n].replace(marks=(), drill_holes=()) for n in ("waistband", "front skirt")}}
    assert codes({**none, "back extension": sound["back extension"].replace(drill_holes=())}) == {712}
    straight = [
        replace(e, curve=line(e.curve.start, e.curve.end + Point(1.5, 0))) if e.name == "opening edge" else e
        for e in sound["back extension"].edges
    ]
    assert 713 in codes(changed(garment, "back extension", edges=tuple(straight)))
    # both layers alike, on the seam under the waistband
    band = sound["waistband"].edge("side").curve
    hole = sound["waistband"].marks[0]
    down = (band.end - band.at(2.5)) * 0.9
    moved = replace(hole, curve=line(hole.curve.start + down, hole.curve.end + down))
    assert 714 in codes(changed(garment, "waistband", marks=(moved,)))


def test_fastenings_are_part_of_the_pattern():
    garment = make("pinafore", TWELVE, button=1.8, button_thickness=0.4, fastenings=4, extension=3.5)
    pieces = record(garment)
    marks = [
        m
        for name in ("waistband", "front skirt")
        for m in pieces[name]["marks"]
        if m["style"] == "buttonhole"
    ]
    assert [np.hypot(*np.subtract(m["points"][0], m["points"][-1])) for m in marks] == pytest.approx(
        [2.2] * 4, abs=1e-4
    )
    assert len(pieces["back extension"]["drill_holes"]) == 4
    assert "8 buttons, 18 mm" in {row.piece for row in cutting_list(garment)}
    drawing = as_dxf(garment)
    assert sum(line.strip() == "POINT" for line in drawing.splitlines()) >= 4


def test_press_fasteners_instead_of_buttons():
    garment = make("pinafore", TWELVE, fastening=1)
    front = [h.purpose for n in ("waistband", "front skirt") for h in garment.piece(n).drill_holes]
    assert front == [h.purpose for h in garment.piece("back extension").drill_holes]
    assert front == ["press fastener 1", "press fastener 2", "press fastener 3"]
    assert not [f for f in garment.findings if f.severity != "note"]
    assert not [m for p in garment.pieces for m in p.marks if m.style == "buttonhole"]
    moved = [DrillHole(h.point + Point(0.4, 0), h.purpose) for h in garment.piece("front skirt").drill_holes]
    wrong = changed(garment, "front skirt", drill_holes=tuple(moved))
    assert 711 in {f.code for f in closing_findings(wrong)}


@pytest.mark.parametrize(
    ("style", "name"),
    [
        ({"button": 2.5}, "button"), ({"fastenings": 5, "opening": 14}, "fastenings"),
        ({"fastening": 0.5}, "fastening"), ({"fastenings": 2.5}, "fastenings"),
        ({"opening": 14, "waistband": 8, "fastenings": 4}, "fastenings"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused_with_a_value_that_does(style, name):
    with pytest.raises(ValueAtFault) as fault:
        make("pinafore", TWELVE, **style)
    assert fault.value.name == name
    advised = (
        float(fault.value.advice.split()[1].rstrip(".")) if fault.value.advice.startswith("Take") else None
    )
    if advised is not None:
        make("pinafore", TWELVE, **(style | {name: advised}))


def test_both_layers_are_supported():
    """Under each fastening lie two layers: waistband twice, facing fused, extension double on its fold."""
    garment = make("pinafore", TWELVE)
    assert garment.piece("waistband").cut == 2 and "fusing" in garment.piece("front facing").cloths
    pieces = record(garment)
    facing = shapely.Polygon(pieces["front facing"]["seam_line"])
    for mark in pieces["front skirt"]["marks"]:
        if mark["style"] == "buttonhole":
            assert facing.contains(shapely.LineString(mark["points"]))
    whole = shapely.Polygon(pieces["back extension"]["seam_line"])
    for hole in pieces["back extension"]["drill_holes"]:
        x, y = hole["point"]
        assert whole.contains(shapely.Point(x, y)) and whole.contains(shapely.Point(-x, y))
    (way,) = [np.subtract(*pieces["back extension"]["grain"])]
    assert abs(way[0]) < 1e-6, "the fold lies on the straight grain"


def test_the_picture_is_made_from_the_pieces_at_true_scale():
    """Closed, the buttons are hidden by the front; open, they are seen. Girth and depth are told."""
    garment = make("pinafore", TWELVE)
    closed, opened = closing_scene(garment), closing_scene(garment, opened=True)
    assert closed.title == "closed: the side lines meet; waist 74.2 cm"
    for scene, styles in ((closed, {"placement"}), (opened, {"buttonhole", "placement"})):
        rounds = [item for item in scene.items if getattr(item, "title", "") == "button"]
        assert len(rounds) == 3 and {r.style for r in rounds} == styles
    holes = [item for item in closed.items if getattr(item, "title", "").startswith("buttonhole")]
    ends = [np.subtract(h.d[0][1:], h.d[-1][1:]) for h in holes]
    assert [np.hypot(*e) for e in ends] == pytest.approx([1.8] * 3, abs=0.02)
    far = closed.bounds
    assert all(far[0] - 1e-6 <= c[1] <= far[2] + 1e-6 for i in closed.items if hasattr(i, "d") for c in i.d)


def test_buttons_or_press_fasteners_are_chosen_by_their_words():
    board = closing_board(TWELVE)
    assert "Fastening Buttons" in repr(board)
    board.values = {"fastening": "Press fasteners"}
    assert board.values["fastening"] == 1
    board.values = {"fastening": 0}  # the number stays the value in code
    fastening = next(v for v in style_values("pinafore") if v.name == "fastening")
    assert (fastening.said(1), fastening.span) == ("Press fasteners", "Buttons or press fasteners")


@pytest.mark.parametrize(
    ("garment", "name", "rule"),
    [
        ("pinafore", "fastening", "must be 0 (buttons) or 1 (press fasteners)"),
        ("smock", "collar", "must be 0 (flat) or 1 (stand)"),
    ],
)
def test_a_choice_that_does_not_exist_is_answered_with_those_that_do(garment, name, rule):
    with pytest.raises(ValueAtFault, match=re.escape(f"{name}: 2 {rule}. ")):
        make(garment, "12", **{name: 2})


def test_the_board_tells_what_a_shallow_opening_does():
    board = closing_board(TWELVE)
    drawn = board.draw()
    assert [f.severity for f in drawn.findings] == ["right", "right"]
    assert any(f.code == 721 for f in board.draw({"opening": 14}).findings)
    wide = board.draw({"extension": 5, "button": 2.5, "fastenings": 4})
    assert [f.severity for f in wide.findings] == ["right", "right"]
    assert wide.scene.bounds != drawn.scene.bounds or wide.scene.items != drawn.scene.items

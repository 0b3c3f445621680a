"""Scenes: every line there, nothing overlapping, labels inside, facts of the edges."""

from __future__ import annotations

import json
import math
import random
from functools import partial
from itertools import pairwise

import pytest
from shapely import LineString, Polygon, box
from shapely import Point as Spot

from patternlib.body import chart
from patternlib.errors import PatternError, ValueAtFault
from patternlib.garments import make, style_values
from patternlib.garments.base import Garment
from patternlib.geometry import Point, line
from patternlib.output.items import Stroke, Text, text_width
from patternlib.output.layout import sheet_width
from patternlib.output.lettering.space import Space
from patternlib.output.lettering.taken import texts_for_screen
from patternlib.output.scene import (
    Scene,
    facts,
    garment_scene,
    piece_scene,
    plan_scene,
)
from patternlib.output.scene.pieces import DOUBLE
from patternlib.output.styles import LEAST_TEXT, LETTERINGS, LINES
from patternlib.pieces import Edge, Notch, Piece, Seam, finish
from tests.drawn import SIZES, cut_area, drawn, led, marked, panel, path_length, path_lines, pinafore


def strokes(scene: Scene, **want) -> list[Stroke]:
    return [
        i for i in scene.items if isinstance(i, Stroke) and all(getattr(i, k) == v for k, v in want.items())
    ]


def texts(scene: Scene) -> list[Text]:
    return [i for i in scene.items if isinstance(i, Text)]


def shoelace(points) -> float:
    turned = [*points[1:], points[0]]
    return abs(sum(p[0] * q[1] - p[1] * q[0] for p, q in zip(points, turned, strict=True))) / 2


# --- the whole sheet ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_each_piece_is_drawn_at_its_own_area(size):
    """The area inside drawn cut line and fold is the cut line's by the shoelace rule."""
    for piece in pinafore(size).pieces:
        assert cut_area(drawn(size), piece.name).area == pytest.approx(shoelace(piece.cut_line), rel=2e-4)


@pytest.mark.parametrize("lettering", ["paper", "screen"])
@pytest.mark.parametrize("size", SIZES)
def test_no_two_pieces_overlap_or_touch(size, lettering):
    scene = drawn(size, lettering)
    areas = {p.name: cut_area(scene, p.name) for p in pinafore(size).pieces}
    areas["test square"] = box(*Polygon([c[1:] for c in strokes(scene, id="test square")[0].d[:4]]).bounds)
    names = list(areas)
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            assert areas[a].distance(areas[b]) > 1.0, (a, b)


@pytest.mark.parametrize("measures", [False, True])
@pytest.mark.parametrize("lettering", ["paper", "screen"])
@pytest.mark.parametrize("size", SIZES)
def test_lettering_collides_with_nothing(size, lettering, measures):
    """No text on another, on a line of any piece, or over the edge of the sheet."""
    scene = drawn(size, lettering, measures)
    rooms = [(t, Polygon(t.corners())) for t in texts(scene)]
    sheet = box(*scene.bounds)
    lines = [(s, g) for s in strokes(scene) for g in path_lines(s.d)]
    for k, (t, room) in enumerate(rooms):
        assert sheet.contains(room), t.text
        for t2, room2 in rooms[k + 1 :]:
            assert room.intersection(room2).area < 1e-9, (t.piece, t.text, t2.text)
        for s, g in lines:
            assert not room.intersects(g), (t.piece, t.text, s.title)


@pytest.mark.parametrize("size", SIZES)
def test_every_piece_carries_its_name_inside(size):
    """On paper a piece that is cut out keeps its whole label, within its seam line and readable."""
    scene = drawn(size)
    for piece in pinafore(size).pieces:
        inside = cut_area(scene, piece.name)
        own = [t for t in texts(scene) if t.piece == piece.name]
        assert all(inside.contains(Polygon(t.corners())) for t in own)
        words = " ".join(t.text for t in own)
        assert all(line in words for line in piece.label)
        assert min(t.size_cm for t in own) >= LEAST_TEXT


def words_at_fault(garment, scene, shown) -> list[tuple]:
    """Grain lines under 2 cm; words outside the piece they belong to, or on a line of it; by shapely."""
    found = []
    for piece in garment.pieces:
        inside = cut_area(scene, piece.name)
        grain = math.dist(piece.grain.start, piece.grain.end)
        (drawn_grain,) = [s for s in strokes(scene, style="grain", piece=piece.name) if "grain" in s.title]
        if min(grain, math.dist(drawn_grain.d[0][1:], drawn_grain.d[1][1:])) < 2 - 1e-6:
            found.append((piece.name, "short grain line"))
        lines = [(s.title, g) for s in strokes(scene, piece=piece.name) for g in path_lines(s.d)]
        for text in (t for t in shown if t.piece == piece.name):
            space = Polygon(text.corners())
            if not inside.contains(space):
                found.append((piece.name, text.text, "outside"))
            found += [(piece.name, text.text, title) for title, line in lines if space.intersects(line)]
    return found


@pytest.mark.parametrize("name", ["pinafore", "apron", "smock"])
@pytest.mark.parametrize("size", ["6", "12", "16", "30"])
def test_words_keep_inside_their_piece_and_off_its_lines(name, size):
    """Every piece of three garments on paper, and in a picture of 900 px whose letters are enlarged."""
    garment = make(name, chart("course").body(size), size=size, date="2026-11-26")
    scene = garment_scene(garment)
    assert not words_at_fault(garment, scene, texts(scene))
    assert all(any(p.name in t.text for t in texts(scene) if t.piece == p.name) for p in garment.pieces)
    shown = texts_for_screen(scene.items, 900 / (scene.bounds[2] - scene.bounds[0]))
    names = [text for text in shown if text.style == "heading"]
    assert not words_at_fault(garment, scene, [text for text in shown if text not in names])
    on_lines = {piece for piece, *_ in words_at_fault(garment, scene, names)}
    assert len(on_lines) <= 2 / 3 * len(garment.pieces), "small pieces, narrower than their names"


def tried(name: str, size: str, **style):
    """A garment, or what refused it."""
    try:
        return make(name, chart("course").body(size), size=size, date="2026-11-26", **style)
    except ValueAtFault as fault:
        return fault


@pytest.mark.parametrize("many", [12, pytest.param(60, marks=pytest.mark.slow)])
def test_words_keep_inside_small_pieces_too(many):
    """Style values taken at chance from their whole ranges: narrow waistbands, short extensions.

    Only a loop too small for its label has it beside, with a line that leads to it.
    """
    chance, drawn_pieces = random.Random(1), 0
    for k in range(many):
        name = ("pinafore", "apron", "smock")[k % 3]
        style = {value.name: chance.uniform(value.low, value.high) for value in style_values(name)}
        size = chance.choice(("6", "12", "16", "24", "30"))
        garment = led(partial(tried, name, size), style)
        scene = garment_scene(garment)
        led_to = {p.name for p in garment.pieces if strokes(scene, title=f"label of {p.name}")}
        assert all(cut_area(scene, name).area < 45 for name in led_to), (size, style)
        at_fault = words_at_fault(garment, scene, texts(scene))
        assert not [f for f in at_fault if f[0] not in led_to or f[2:] != ("outside",)], (size, style)
        drawn_pieces += len(garment.pieces)
    assert drawn_pieces > 8 * many


@pytest.mark.parametrize(("spare", "found"), [(0.38, False), (0.42, True)])
def test_lettering_has_two_millimetres_free_on_either_side(spare, found):
    """A line of text fits between two walls that are wider apart than itself by 4 mm, no less."""
    wide = text_width("hem") + spare
    frame = [(0, 0, wide, 0), (wide, 0, wide, 9), (wide, 9, 0, 9), (0, 9, 0, 0)]
    space = Space(frame, ())
    assert (space.place([("hem", 1.0, "label")]) is not None) == found
    assert space.fits(wide / 2, 4.0, 5.0, text_width("hem") / 2) == found


def test_lettering_on_a_screen_is_twelve_pixels():
    scene = drawn("12", "screen")
    px = 900 / (scene.bounds[2] - scene.bounds[0])
    assert min(t.size_cm * px for t in texts(scene)) > 8.9


@pytest.mark.parametrize("lettering", ["paper", "screen"])
def test_every_style_and_layer_is_known(lettering):

    from patternlib.boards.board import LAYERS

    scenes = [drawn("12", lettering, True), plan_scene(pinafore("12"), lettering=lettering)]
    for item in (i for scene in scenes for i in scene.items):
        assert item.style in (LINES if isinstance(item, Stroke) else LETTERINGS)
        assert item.layer in LAYERS


def test_line_styles_differ_without_colour():
    """Width and dashes alone tell lines apart that are drawn on one sheet."""
    for nest in (False, True):  # the sizes of a nest have a sheet of their own
        looks = [look[:2] for name, look in LINES.items() if name.startswith("size ") == nest]
        assert len(set(looks)) == len(looks)
    assert json.loads(json.dumps(LINES))["seam"][0] == LINES["seam"].width


def test_the_same_garment_gives_the_same_drawing():
    assert garment_scene(pinafore("12")) == garment_scene(pinafore("12"))


def test_pieces_stay_in_place_while_a_value_changes_a_little():
    """Dragging a slider must not throw pieces about the sheet."""
    from patternlib.garments.pinafore import make_pinafore

    def corners(depth):
        scene = garment_scene(make_pinafore(chart("course").body("12"), yoke_depth=depth))
        return {s.id: s.d[0][1:] for s in strokes(scene, style="seam")}

    a, b = corners(7.0), corners(7.2)
    assert max(math.dist(a[k], b[k]) for k in a) < 1.0
    assert len({sheet_width([(30 + k, 60 + k)] * 5, gap=2) for k in (0, 0.5, 1)}) == 1


# --- one piece ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_every_edge_is_drawn_once_at_its_length(size):
    """Lengths of drawn seam lines by scipy's quadrature; a fold runs on to the ends of the cut."""
    scene, garment = drawn(size), pinafore(size)
    edges = {f"{p.name}/{e.name}": e for p in garment.pieces for e in p.edges}
    ids = [s.id for s in strokes(scene) if s.id and s.id != "test square"]
    assert sorted(ids) == sorted(edges)
    for s in strokes(scene):
        if s.id in edges and edges[s.id].turn != "fold":
            assert path_length(s.d) == pytest.approx(edges[s.id].curve.length, abs=1e-6)
        elif s.id in edges:
            assert path_length(s.d) >= edges[s.id].curve.length - 1e-9


def test_curves_stay_cubics():
    side = strokes(drawn("12"), id="back yoke/side edge")[0]
    assert any(c[0] == "C" for c in side.d)


@pytest.mark.parametrize("tilt", [0, 35, -35, 120, 90])
def test_grain_is_drawn_upright(tilt):
    piece = finish(marked(panel(24, 40, tilt=tilt)))
    scene = piece_scene(piece)
    grain = strokes(scene, style="grain")[0].d
    assert grain[0][1] == pytest.approx(grain[1][1], abs=1e-9)
    for edge in piece.edges:  # turned, never stretched or mirrored
        (s,) = strokes(scene, id=f"panel/{edge.name}")
        assert path_length(s.d) == pytest.approx(edge.curve.length, abs=1e-6)
    ring = [c[1:] for s in strokes(scene, style="seam") for c in s.d]
    assert sum(p[-2] * q[-1] - p[-1] * q[-2] for p, q in pairwise(ring)) > 0


def test_one_way_grain_has_one_arrow_head():
    piece = panel(24, 40)
    both, one = piece, piece.replace(grain=type(piece.grain)(piece.grain.start, piece.grain.end, True))
    heads = [sum(c[0] == "M" for c in strokes(piece_scene(p), style="grain")[0].d) - 1 for p in (both, one)]
    assert heads == [2, 1]


@pytest.mark.parametrize("size", SIZES)
def test_notches_start_on_the_cut_line_and_go_inward(size):
    """A slit is 0.2 to 0.3 cm deep and at most half the allowance (common practice, no source)."""
    scene, garment = drawn(size), pinafore(size)
    for piece in garment.pieces:
        area = cut_area(scene, piece.name)
        slits = [
            (Point(*s.d[k][1:]), Point(*s.d[k + 1][1:]))
            for s in strokes(scene, style="notch", piece=piece.name)
            for k in range(0, len(s.d), 2)
        ]
        assert len(slits) == sum(n.count for n in piece.notches)
        least = min(e.allowance for e in piece.edges if e.allowance)
        for start, end in slits:
            assert area.exterior.distance(Spot(start)) < 0.02
            assert area.buffer(0.02).contains(LineString([start, end]))
            assert 0.2 <= start.distance(end) <= max(0.3, least / 2) + 1e-9


def test_double_notch_is_two_marks_a_centimetre_apart():
    """Common practice, no source."""
    scene = piece_scene(finish(marked(panel(24, 40))))
    double = next(s for s in strokes(scene, style="notch") if s.title.startswith("double"))
    assert math.dist(double.d[0][1:], double.d[2][1:]) == pytest.approx(1.0, abs=1e-6) == DOUBLE


def test_a_notch_near_a_folded_corner_ends_on_the_cut_line():
    """Beside a flared hem the cut line is the side's mirror image, nearer than the hem is deep."""
    corners = [Point(0, 0), Point(30, 0), Point(10, 40), Point(0, 40)]
    names = (("hem", 3.0, "hem"), ("side", 1.0, "seam"), ("top", 1.0, "seam"), ("centre", 1.0, "seam"))
    edges = [
        Edge(name, line(p, q), allowance, turn)
        for (name, allowance, turn), p, q in zip(names, corners, corners[1:] + corners[:1], strict=True)
    ]
    piece = finish(Piece("flared", tuple(edges), notches=(Notch("hem", 29.8), Notch("hem", 15.0))))
    starts = [s.d[0][1:] for s in strokes(piece_scene(piece), style="notch")]
    assert all(Polygon(piece.cut_line).exterior.distance(Spot(start)) < 1e-6 for start in starts)
    assert -3 < starts[0][1] < -2 and starts[1][1] == -3


def test_folds_are_not_drawn_as_cut():
    """No cut line along the fold; the fold's own line closes the outline from end to end of the cut."""
    piece = pinafore("12").piece("front skirt")
    scene = piece_scene(piece)
    (fold,) = strokes(scene, style="fold", id="front skirt/centre front")
    along = LineString([c[1:] for c in fold.d])
    for s in strokes(scene, style="cut"):
        assert LineString([c[1:] for c in s.d]).intersection(along.buffer(1e-6)).length < 1e-3
    ys = [p.y for p in piece.cut_line if abs(p.x) < 1e-9]
    assert along.length == pytest.approx(max(ys) - min(ys), abs=1e-9)
    bracket = next(s for s in strokes(scene, layer="labels") if "fold" in s.title)
    assert "place on the fold" in [t.text for t in texts(scene)]
    assert all(Polygon(piece.cut_line).buffer(1e-6).contains(Spot(c[1:])) for c in bracket.d)


def test_a_piece_without_cut_line_can_be_drawn():
    scene = piece_scene(panel(24, 40))
    assert not strokes(scene, style="cut") and len(strokes(scene, style="seam")) == 4


def test_a_piece_too_small_for_its_label_has_it_beside():
    piece = finish(panel(1.5, 2.0, name="loop", label=("loop", "a pinafore with a long name", "cut 6")))
    scene = piece_scene(piece)
    area = Polygon(piece.cut_line)
    leader = next(s for s in strokes(scene, style="measure") if s.title == "label of loop")
    assert area.contains(Spot(leader.d[1][1:])) and not area.contains(Spot(leader.d[0][1:]))
    for t in texts(scene):
        assert area.distance(Polygon(t.corners())) > 0.5 and box(*scene.bounds).contains(Polygon(t.corners()))


def test_a_long_narrow_piece_has_its_label_along_it():
    label = ("tie", "pinafore", "size 12", "cut 2 as a pair")
    scene = piece_scene(finish(panel(3.2, 50, name="tie", label=label)))
    assert {abs(t.angle) for t in texts(scene)} == {90}


def test_measures_are_written_in_the_unit_asked_for():
    scene = piece_scene(finish(panel(24, 40)), measures=True, unit="in")
    said = {t.text for t in texts(scene) if t.layer == "measures"}
    assert {"9 7/16 in", "15 3/4 in"} <= said  # 24 / 2.54 = 9.449, 40 / 2.54 = 15.748


@pytest.mark.parametrize("wrong", [{"unit": "ell"}, {"lettering": "large"}])
def test_what_is_not_known_is_refused_in_words(wrong):
    with pytest.raises(PatternError, match=r"ell|large"):
        piece_scene(panel(24, 40), **wrong)


# --- facts --------------------------------------------------------------------------------------------------


def test_facts_of_every_edge():
    garment = pinafore("12")
    known = facts(garment)
    assert set(known) == {f"{p.name}/{e.name}" for p in garment.pieces for e in p.edges}
    hem = known["front skirt/hem"]
    assert hem["allowance"] == 3.0 and hem["turn"] == "hem" and hem["partners"] == [] and hem["seam"] == ""
    sewn = {edge for seam in garment.seams for edge in (*seam.a, *seam.b)}
    for name, fact in known.items():
        assert bool(fact["partners"]) == (tuple(name.split("/")) in sewn)
        for partner in fact["partners"]:
            assert name in known[partner]["partners"]


def test_partners_are_the_edges_opposite():
    """The extension's one long edge lies against yoke, its facing and skirt; the skirt's against it alone."""
    known = facts(pinafore("12"))
    assert known["back extension/opening edge"]["partners"] == [
        "back yoke/side", "back skirt/opening", "yoke facing/side",
    ]  # fmt: skip
    assert known["back skirt/opening"]["partners"] == ["back extension/opening edge"]
    assert known["bib/side"]["partners"] == ["bib facing/side"]


def test_partners_where_both_sides_have_several_edges():
    """Two edges of 10 and 30 cm against two of 10 and 30: each lies against its like alone."""
    a, b = (
        Piece(
            name,
            (
                Edge("short", line(Point(0, 0), Point(10, 0)), 1.0),
                Edge("long", line(Point(10, 0), Point(40, 0)), 1.0),
                Edge("back", line(Point(40, 0), Point(20, 20)), 1.0),
                Edge("front", line(Point(20, 20), Point(0, 0)), 1.0),
            ),
        )
        for name in "ab"
    )
    seam = Seam("long seam", (("a", "short"), ("a", "long")), (("b", "short"), ("b", "long")))
    known = facts(Garment("two", pinafore("12").body, {}, {}, (a, b), (seam,)))
    assert known["a/short"]["partners"] == ["b/short"] and known["b/long"]["partners"] == ["a/long"]

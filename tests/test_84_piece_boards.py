"""Boards of single pieces, and what they draw.

Properties: every board draws at the smallest, largest and starting value of each slider; a raw edge drawn as
folded back lies on the piece and is as long as geometry says; a piece turned over twice is itself; each
fault a hand can set on the notch board gets its finding, and no fault gets none.
"""

import math
from dataclasses import replace

import pytest
import shapely

from patternlib import chart, make
from patternlib.boards import pieces as boards
from patternlib.boards.table import nest_board, pages_board
from patternlib.checking import check
from patternlib.errors import GeometryError, UnknownName, ValueAtFault
from patternlib.output.items import Text
from patternlib.pieces import finish
from patternlib.sizes import size_range

GARMENT = make("pinafore", chart("course").body("12"))
SEAM = "bib side to facing"


def all_boards():
    yield boards.circle_board()
    yield boards.notch_board(GARMENT, SEAM)
    for piece in GARMENT.pieces:
        yield boards.allowance_board(piece, [edge.name for edge in piece.edges if edge.turn != "fold"])


@pytest.mark.parametrize("board", list(all_boards()), ids=lambda board: board.setup["title"])
def test_every_slider_draws_at_its_ends(board):
    assert board.error == ""
    for name, _, low, high, _, start, *_ in board.setup["sliders"]:
        for value in (low, start, high):
            try:
                scene = board.draw({name: value}).scene
            except GeometryError as refusal:  # a bend tighter than the widest allowance
                assert value == high and "take less allowance" in str(refusal)
                continue
            assert len(scene.items) > 5
            assert all(map(math.isfinite, scene.bounds))


# Radii of circle skirts: the waist is the share k of a circumference, r = W / (2 pi k), worked by hand.
@pytest.mark.parametrize(
    "waist, share, radius", [(72, 1, 11.46), (72, 0.5, 22.92), (68, 0.75, 14.43), (60, 0.25, 38.2)]
)
def test_the_waist_of_a_circle_skirt_measures_what_is_sewn(waist, share, radius):
    panel = boards.circle_panel(waist=waist, share=share, length=60, hem=2.5)
    assert panel.edge("waist").curve.start.length == pytest.approx(radius, abs=0.005)
    ring = shapely.LineString(panel.edge("waist").curve.flat(0.0005))
    assert 4 * ring.length == pytest.approx(waist, abs=0.02)


@pytest.mark.parametrize("share", [0.25, 0.5, 1.0])
def test_a_flared_hem_is_too_long_by_twice_its_angle_times_its_depth(share):
    """Lengths of circles: 2 pi k (R + h) raw, 2 pi k (R - h) where it lies; full circle, 2.5 cm: 31.4 cm."""
    panel = boards.circle_panel(waist=72, share=share, length=60, hem=2.5)
    far = 72 / (2 * math.pi * share) + 60 - 2.5
    angles = {round(p.angle): p.length for p in boards.folded(panel, "hem").flat(0.0005)}
    radii = [length for angle, length in angles.items() if angle < 90 * share - 90]
    assert len(radii) > 5 and all(r == pytest.approx(far, abs=0.01) for r in radii)
    turn = 2 * math.pi * share
    raw, place = turn * (far + 5.0), turn * far
    assert raw - place == pytest.approx(31.42 * share, abs=0.005)


def test_a_hem_folded_back_lies_on_the_piece():
    for piece in GARMENT.pieces:
        sheet = shapely.Polygon(piece.cut_line).buffer(0.01)
        for edge in piece.edges:
            if edge.turn in ("hem", "fold-back"):
                lying = boards.folded(piece, edge.name)
                assert sheet.covers(shapely.LineString(lying.flat(0.01))), (piece.name, edge.name)
                middle = edge.curve.length / 2
                place = edge.curve.at(middle) + edge.curve.direction(middle).left() * edge.allowance
                assert lying.closest(place)[1] < 0.01


def test_the_end_of_a_hem_reaches_the_neighbours_cut_edge():
    """Folded up, the skirt's hem ends on the side's cut edge, so that it is caught in the side seam."""
    skirt = GARMENT.piece("front skirt")
    lying, side = boards.folded(skirt, "hem"), skirt.edge("side seam").curve
    assert side.end == skirt.edge("hem").curve.start
    top = min((p for p in lying.flat(0.01) if p.y > side.end.y + 2.5), key=lambda p: p.x)
    assert side.closest(top)[1] == pytest.approx(1.0, abs=0.05)


@pytest.mark.parametrize("depth", [1.0, 2.5, 3.2, 4.0, 6.0])
def test_a_slanting_pocket_hem_of_any_depth_ends_on_the_sides(depth):
    """Folded up, both ends lie along the cut edges of the upright sides, the slanted ones too (geometry)."""
    plain = GARMENT.piece("back pocket")
    edges = tuple(replace(e, allowance=depth if e.name == "opening" else e.allowance) for e in plain.edges)
    pocket = finish(plain.replace(edges=edges))
    lying = boards.folded(pocket, "opening").flat(0.01)
    assert shapely.Polygon(pocket.cut_line).buffer(0.01).covers(shapely.LineString(lying))
    opening, left, right = plain.edge("opening").curve, 3.0 - 1.0, 16.0 + 1.0
    assert (opening.end.x, opening.start.x) == pytest.approx((3.0, 16.0))
    deepest = [p for p in lying if opening.closest(p)[1] > depth - 0.01]
    assert (min(p.x for p in deepest), max(p.x for p in deepest)) == pytest.approx((left, right), abs=0.01)


def test_an_edge_without_allowance_is_not_folded():
    board = boards.allowance_board(GARMENT.piece("back pocket"), ["opening"])
    titles = {item.title for item in board.draw({"opening": 0}).scene.items if hasattr(item, "title")}
    assert "opening, folded back" not in titles and "inner side, folded back" in titles


def test_the_other_of_a_pair_is_the_mirror_image():
    strap = GARMENT.piece("strap")
    over = boards.turned_over(strap)
    one, two = (shapely.Polygon(p.cut_line) for p in (strap, over))
    axis = strap.grain.start.x
    image = shapely.affinity.scale(one, -1, 1, origin=(axis, 0))
    assert two.symmetric_difference(image).area < 1e-9
    assert two.symmetric_difference(one).area > 5
    again = boards.turned_over(over)
    assert shapely.Polygon(again.cut_line).symmetric_difference(one).area < 1e-9
    for piece in GARMENT.pieces:
        assert {f.code for f in check([boards.turned_over(piece)])} == {f.code for f in check([piece])}
        for notch, other in zip(piece.notches, boards.turned_over(piece).notches, strict=True):
            place = boards.turned_over(piece).notch_point(other)
            assert abs(place.x + piece.notch_point(notch).x - 2 * piece.grain.start.x) < 1e-6


def codes(**values):
    board = boards.notch_board(GARMENT, SEAM)
    return {f.code for f in board.draw(values).findings if f.code != 100}


def test_the_notch_board_says_what_a_cutter_would():
    half = GARMENT.piece("bib").edge("side").curve.length / 2
    assert codes() == set()
    assert codes(on_a=8) == {202}
    assert codes(slits_a=2) == {203}
    assert codes(on_a=half, on_b=half) == {204}
    assert codes(on_a=0.5, on_b=0.5) == {206}
    assert codes(on_a=20) == {201}
    side = boards.notch_board(GARMENT, "side seam")  # walked against the outline on one side
    (scope,) = side.draw({"on_a": 20, "on_b": 20}).findings
    assert scope.text == "only the notches of this seam were looked at."


def test_a_panel_says_what_was_looked_at():
    """No findings must never mean that nothing was looked at."""
    skirt = GARMENT.piece("front skirt")
    alone = boards.allowance_board(skirt, ["hem", "side seam"])
    assert "this piece alone" in alone.draw().findings[-1].text
    wide = alone.draw({"side_seam": 6}).findings
    assert [f.text for f in wide[:-1]] == ["a seam is sewn with 0.4 to 2.5 cm beside it."]
    flat = (
        boards.allowance_board(GARMENT.piece("back pocket"), ["inner side"]).draw({"inner_side": 0}).findings
    )
    assert flat[0].text == "nothing is left to turn: give it 0.6 cm or more."
    within = boards.allowance_board(skirt, ["hem", "side seam"], garment=GARMENT)
    assert "and the seams" in within.draw().findings[-1].text and len(within.draw().findings) == 1
    missing = {f.code for f in within.draw({"hem": 5}).findings}
    assert 302 in missing  # the back skirt's hem still has 3 cm
    assert not {f.code for f in alone.draw({"hem": 5}).findings} & {302}


def test_every_board_of_this_room_and_of_the_table_ends_with_its_scope():
    nest = size_range("pinafore", "course", ["10", "12"])
    made = [*all_boards(), nest_board(nest, "bib"), pages_board(GARMENT, papers=("a0", "a4"))]
    for board in made:
        last = board.draw().findings[-1]
        assert last.severity == "note" and last.text.rstrip(".").endswith(
            ("looked at", "not walked here", "garment", "whole skirt", "to other pieces")
        ), last.text


def test_a_waistband_deeper_than_the_yoke_gets_a_note():
    assert not [f for f in GARMENT.findings if f.code == 754]
    deeper = make("pinafore", "12", waistband=8)
    assert [f.severity for f in deeper.findings if f.code == 754] == ["note"]


def test_refusals_say_what_to_do():
    with pytest.raises(UnknownName, match="side seam"):
        boards.notch_board(GARMENT, "side sea")
    with pytest.raises(UnknownName):
        boards.notch_board(GARMENT, "front extension, both layers")
    with pytest.raises(UnknownName):
        boards.allowance_board(GARMENT.piece("strap"), ["hem"])
    with pytest.raises(ValueAtFault, match=r"between 0\.1 and 1"):
        boards.circle_panel(waist=72, share=50, length=60, hem=2)


def test_measures_in_the_drawing_follow_the_switch_of_units():
    board = boards.circle_board(waist=72)
    in_cm, board.unit = {i.text for i in board.draw().scene.items if isinstance(i, Text)}, "in"
    in_inches = {i.text for i in board.draw().scene.items if isinstance(i, Text)}
    assert any(text.endswith(" cm") for text in in_cm) and not any(text.endswith(" cm") for text in in_inches)

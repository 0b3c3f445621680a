"""A seam walked, and its end sewn and opened flat.

Properties: walking moves a piece without bending it; at the walked distance both sides touch and run the
same way; the ruler's lengths are those of the curves, measured here as fine polylines; a side made longer is
said to be too long by as much. Sewn and opened: an end cut straight through a leaning hem stands out by
2 s sin(lean) [plane geometry: the allowance s is mirrored in the seam line]; cut mirrored, it does not.
"""

import math
from dataclasses import replace

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.ops import unary_union

import patternlib as pl
from patternlib.errors import UnknownName, ValueAtFault
from patternlib.garments.base import Garment
from patternlib.geometry import Point, line
from patternlib.output.scene.opened import opened_scene
from patternlib.output.scene.walking import _lay, _place, _rolled, find_seam, walk_scene
from patternlib.pieces import Edge, Piece, Seam

GARMENT = pl.make("pinafore", pl.chart("course").body("12"))
SEAMS = [seam.name for seam in GARMENT.seams]


@pytest.mark.parametrize("name", SEAMS)
def test_rolling_keeps_the_piece_rigid_and_touching(name):
    seam = find_seam(GARMENT, name)
    pieces = {piece.name: piece for piece in GARMENT.pieces}
    fixed = _lay(pieces, seam.a, seam.against_a, over=False)
    rolling = _lay(pieces, seam.b, seam.against_b, over=seam.against_a == seam.against_b)
    fine = sum(LineString(one.curve.flat(1e-5)).length for one in fixed)
    assert sum(one.curve.length for one in fixed) == pytest.approx(fine, abs=1e-3)
    for share in (0, 0.3, 0.7, 1):
        at = share * fine
        placed = _rolled(fixed, rolling, at)
        (p, way), (q, ahead) = _place(fixed, at), _place(placed, at)
        assert p.distance(q) < 1e-6 and way.dot(ahead) > 1 - 1e-9
        before = [rolling[0].move(edge.curve.start) for edge in rolling[0].piece.edges]
        after = [placed[0].move(edge.curve.start) for edge in placed[0].piece.edges]
        for i, one in enumerate(before):
            for j, two in enumerate(before):
                assert after[i].distance(after[j]) == pytest.approx(one.distance(two), abs=1e-9)


@pytest.mark.parametrize("name", SEAMS)
def test_pieces_lie_on_opposite_sides_and_notches_in_them(name):
    """Side by side as sewn and opened, never one over the other; each notch is a tick into its own piece."""
    seam = find_seam(GARMENT, name)
    pieces = {piece.name: piece for piece in GARMENT.pieces}
    fixed = _lay(pieces, seam.a, seam.against_a, over=False)
    rolling = _lay(pieces, seam.b, seam.against_b, over=seam.against_a == seam.against_b)
    at = 0.4 * fixed[-1].curve.length + sum(one.curve.length for one in fixed[:-1])
    placed = _rolled(fixed, rolling, at)
    a, b = (
        unary_union([Polygon([one.move(p) for p in one.piece.outline.flat()]) for one in side])
        for side in (fixed, placed)
    )
    point, way = _place(fixed, at)
    left, right = (Spot(point + arrow * 0.2) for arrow in (way.left(), way.right()))
    assert {a.contains(left), a.contains(right)} == {True, False}
    assert b.contains(left) is a.contains(right) and b.contains(right) is a.contains(left)
    ticks = [s for s in walk_scene(GARMENT, name, at).items if getattr(s, "title", "").startswith("notch")]
    assert len(ticks) == 2 * sum(count for *_, count in seam.notches) or len(seam.a) > 1 or not seam.notches
    first, second = fixed[0].piece.name, rolling[0].piece.name
    if first != second:
        for tick in ticks:
            own = a if tick.piece == first else b
            assert own.buffer(0.2).contains(Spot(tick.d[1][1:]))


def panel(name: str, *, longer: float = 0.0, lean: float = 0.0, mirrored: bool = True) -> Piece:
    """A panel sewn at x = 0, its hem leaning by `lean` degrees, cut straight through or mirrored."""
    high, wide, s, hem = 30.0 + longer, 20.0, 1.0, 4.0
    slope = math.tan(math.radians(lean))
    corners = [Point(0, 0), Point(wide, wide * slope), Point(wide, high), Point(0, high)]
    names, widths = ("hem", "right", "top", "side"), (hem, 1.0, 1.0, s)
    turns = ("hem", "seam", "seam", "seam")
    sides = [line(p, q) for p, q in zip(corners, corners[1:] + corners[:1], strict=True)]
    edges = tuple(Edge(*of) for of in zip(names, sides, widths, turns, strict=True))
    down = hem / math.cos(math.radians(lean))

    def level(x):
        return -down + x * slope

    end = level(s) if mirrored else level(-s)
    cut = [(-s, end), (0, level(0)), (wide + 1, level(wide + 1)), (wide + 1, high + 1), (-s, high + 1)]
    return Piece(name, edges, cut_line=tuple(Point(*p) for p in cut))


def sewn(front: Piece, back: Piece) -> Garment:
    seam = Seam("side", ((front.name, "side"),), ((back.name, "side"),), True, True)
    return replace(GARMENT, pieces=(front, back), seams=(seam,))


def test_longer_side_is_said_to_be_too_long():
    garment = sewn(panel("front"), panel("back", longer=0.8))
    assert walk_scene(garment, "side", 10).title.endswith("back is 0.8 cm too long")
    assert walk_scene(sewn(panel("front"), panel("back")), "side", 10).title.endswith("they agree")


@pytest.mark.parametrize("lean", [5, 12, 20])
def test_end_cut_straight_through_stands_out(lean):
    straight = [panel(name, lean=lean, mirrored=False) for name in ("front", "back")]
    said = opened_scene(sewn(*straight), "side", "start").title
    by = round(2 * math.sin(math.radians(lean)), 1)
    assert f"the allowance of front stands out by {by:g} cm" in said, said
    trimmed = [panel(name, lean=lean) for name in ("front", "back")]
    assert opened_scene(sewn(*trimmed), "side", "start").title.endswith("nothing stands out")


@pytest.mark.parametrize("name", SEAMS)
def test_every_seam_of_the_pinafore_can_be_walked_and_opened(name):
    for end in ("start", "end"):
        for folded in (False, True):
            scene = opened_scene(GARMENT, name, end, folded=folded, unit="in")
            # the waistband's ends are sewn in the same go and trimmed with what stands out there, 0.2 cm
            trimmed = end == "end" and name.endswith("to waistband")
            hairs = "nothing stands out", *(["1/16 in"] if trimmed else [])
            assert scene.title.endswith(tuple(hairs)), scene.title
    assert walk_scene(GARMENT, name, 0).title.endswith("they agree")


def test_what_is_not_there_is_refused_in_words():
    with pytest.raises(UnknownName, match="side seam"):
        walk_scene(GARMENT, "side seams", 1)
    with pytest.raises(UnknownName, match="Did you mean 'end'"):
        opened_scene(GARMENT, "side seam", "begin")
    with pytest.raises(ValueAtFault, match="Walk less far"):
        walk_scene(GARMENT, "side seam", 99)

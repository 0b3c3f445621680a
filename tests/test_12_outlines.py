"""Outlines: one round, many routes, one area and one length.

Witnesses: shapely (GEOS) areas and lengths of finely flattened rounds; closed forms of ellipse and circle.
"""

import math
import random

import pytest
import shapely

from patternlib.errors import GeometryError, UnknownName
from patternlib.geometry import Move, Outline, Point, arc, cubic, direction, fair, line


def by_shapely(outline, within=1e-6):
    return shapely.Polygon([(p.x, p.y) for p in outline.flat(within)])


def some_outline(chance):
    """A round of four bowed edges."""
    corners = [
        direction(90 * k + chance.uniform(-20, 20)) * chance.uniform(12, 25) + Point(30, -8) for k in range(4)
    ]
    edges = []
    for k, (p, q) in enumerate(zip(corners, corners[1:] + corners[:1], strict=True)):
        bow = (q - p).left() * chance.uniform(-0.15, 0.15)
        edge = (
            line(p, q)
            if chance.random() < 0.3
            else cubic(p, p + (q - p) * 0.3 + bow, q + (p - q) * 0.3 + bow, q)
        )
        edges.append((f"edge {k}", edge))
    return Outline(tuple(edges))


@pytest.mark.parametrize("seed", range(8))
def test_area_and_length_are_shapelys_and_stay_however_the_round_is_drawn(seed):
    chance = random.Random(seed)
    outline = some_outline(chance)
    witness = by_shapely(outline)
    assert outline.area == pytest.approx(witness.area, abs=1e-3)
    assert outline.length == pytest.approx(witness.length, abs=1e-4)
    area, length = outline.area, outline.length
    p, q = Point(chance.uniform(-50, 50), 3), Point(7, chance.uniform(-50, 50))
    for move in (Move.shift(200, -90), Move.turn(p, chance.uniform(0, 360)), Move.mirror(p, q)):
        moved = outline.moved(move)
        assert moved.area == pytest.approx(area, abs=1e-6)  # turned over it runs anticlockwise still
        assert moved.length == pytest.approx(length, abs=1e-6)
        assert set(moved.names) == set(outline.names)
        name = chance.choice(outline.names)
        assert moved[name].length == pytest.approx(outline[name].length, abs=1e-7)
        ends = {moved[name].start, moved[name].end}
        wanted = (move(outline[name].start), move(outline[name].end))
        assert all(min(e.distance(w) for e in ends) < 1e-9 for w in wanted)
    for k in range(4):  # another start point
        assert Outline(outline.edges[k:] + outline.edges[:k]).area == pytest.approx(area, abs=1e-9)
    pieces = []
    for name, curve in outline.edges:  # split
        first, second = curve.split(chance.uniform(1, curve.length - 1))
        pieces += [(name + " lower", first), (name + " upper", second)]
    split = Outline(tuple(pieces))
    assert split.area == pytest.approx(area, abs=1e-6) and split.length == pytest.approx(length, abs=1e-6)
    joined = [
        (f"{k}", a[1].joined(b[1])) for k, (a, b) in enumerate(zip(pieces[::2], pieces[1::2], strict=True))
    ]
    assert Outline(tuple(joined)).area == pytest.approx(area, abs=1e-6)


def test_closed_forms():
    assert Outline((("round", arc(Point(50, 50), 8, 0, 360)),)).area == pytest.approx(64 * math.pi, rel=5e-6)
    a, b, h = 20, 12, 4 / 3 * (math.sqrt(2) - 1)
    quarter = cubic(Point(a, 0), Point(a, b * h), Point(a * h, b), Point(0, b))
    wedge = (
        ("ground", line(Point(0, 0), Point(a, 0))),
        ("bow", quarter),
        ("wall", line(Point(0, b), Point(0, 0))),
    )
    # area of this cubic quarter of the unit circle: 1/2 + 3h/5 - 3h2/20, by hand from its Bernstein terms
    assert Outline(wedge).area == pytest.approx(a * b * (1 / 2 + 3 * h / 5 - 3 * h * h / 20), rel=1e-12)
    assert Outline(wedge).area == pytest.approx(math.pi * a * b / 4, rel=5e-4)


def test_two_curves_enclose_an_area():
    there = fair([Point(0, 0), Point(10, 0)], start=direction(-40), end=direction(40))
    back = fair([Point(10, 0), Point(0, 0)], start=direction(140), end=direction(-140))
    lens = Outline((("under", there), ("over", back)))
    assert lens.area == pytest.approx(by_shapely(lens).area, abs=1e-4)
    assert not lens.crosses_itself()


def test_flat_goes_round_once():
    outline = some_outline(random.Random(3))
    flat = outline.flat()
    assert len(set(flat)) == len(flat)
    assert by_shapely(outline, 0.004).exterior.is_ccw
    assert shapely.hausdorff_distance(by_shapely(outline, 0.004), by_shapely(outline)) < 0.0041


def test_crossing_itself_is_seen():
    c = [Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)]
    sides = [line(p, q) for p, q in zip(c, c[1:] + c[:1], strict=True)]
    square = Outline(tuple(zip("abcd", sides, strict=True)))
    assert not square.crosses_itself()
    dip = cubic(Point(10, 10), Point(8, -4), Point(2, -4), Point(0, 10))  # dips below the ground line
    assert Outline((("a", sides[0]), ("b", sides[1]), ("c", dip), ("d", sides[3]))).crosses_itself()


def corners(*points):
    return tuple(
        (f"{k}", line(p, q)) for k, (p, q) in enumerate(zip(points, points[1:] + points[:1], strict=True))
    )


@pytest.mark.parametrize(
    ("edges", "says"),
    [
        (corners(Point(0, 0), Point(0, 5), Point(5, 0)), "clockwise"),
        (corners(Point(0, 0), Point(5, 0), Point(9, 0)), "clockwise|encloses"),
        ((("a", line(Point(0, 0), Point(5, 0))), ("b", line(Point(5, 0.1), Point(0, 0)))), "do not touch"),
        ((("a", line(Point(0, 0), Point(5, 0))),), "do not touch"),
        ((), "."),
        (
            (
                ("a", line(Point(0, 0), Point(5, 0))),
                ("a", line(Point(5, 0), Point(0, 5))),
                ("b", line(Point(0, 5), Point(0, 0))),
            ),
            "same name",
        ),
    ],
)
def test_what_is_no_round_is_refused(edges, says):
    with pytest.raises(GeometryError, match=says):
        Outline(edges)


def test_an_unknown_edge_names_the_near_one():
    outline = Outline((("round hem", arc(Point(0, 0), 8, 0, 360)),))
    assert outline["round hem"].length == pytest.approx(16 * math.pi, rel=1e-5)
    with pytest.raises(UnknownName, match="round hem"):
        outline["round hen"]

"""Curves that cross, touch or lie near: shapely (GEOS) on finely flattened curves, and dense sampling."""

import math
import random

import numpy as np
import pytest
import shapely

from patternlib import tolerances
from patternlib.geometry import Move, Point, arc, cubic, direction, fair, line, polyline
from tests.test_11_curves import CURVES, dense, each, some_cubic, some_fair

# -- finding places


def crossings_by_shapely(curve, other):
    """Where GEOS finds the finely flattened curves to cross."""
    a = shapely.LineString([(p.x, p.y) for p in curve.flat(2e-6)])
    b = shapely.LineString([(p.x, p.y) for p in other.flat(2e-6)])
    met = shapely.intersection(a, b)
    return [Point(g.x, g.y) for g in shapely.get_parts(met) if g.geom_type == "Point"]


def test_random_curves_cross_where_shapely_says():
    chance = random.Random(12)
    seen = 0
    for k in range(60):
        curve = some_cubic(chance) if k % 2 else some_fair(chance)
        other = [some_cubic(chance), some_fair(chance, 3), arc(Point(10, 0), 9, 10, 350)][k % 3]
        expected = crossings_by_shapely(curve, other)
        places = curve.meets(other)
        found = [curve.at(s) for s in places]
        seen += len(expected)
        assert list(places) == sorted(places)
        for point in expected:
            assert min((point.distance(p) for p in found), default=9) < 2e-3
        for point in found:
            assert curve.closest(point)[1] < 1e-5 and other.closest(point)[1] < 1e-5
        assert len(found) == len(expected)
        assert len(other.meets(curve)) == len(found)
    assert seen > 60


def test_random_curves_cross_lines_where_shapely_says():
    chance = random.Random(13)
    seen = 0
    for k in range(60):
        curve = some_cubic(chance) if k % 2 else some_fair(chance)
        p = Point(chance.uniform(-15, 15), chance.uniform(-9, 9))
        u = direction(chance.uniform(0, 360))
        ruler = line(p - u * 200, p + u * 200)
        expected = crossings_by_shapely(curve, ruler)
        for places in (curve.meets_line(p, p + u), curve.meets(ruler)):
            assert len(places) == len(expected)
            for point in expected:
                assert min(point.distance(curve.at(s)) for s in places) < 2e-3
        assert len(ruler.meets(curve)) == len(expected)
        seen += len(expected)
    assert seen > 30


def test_touching_is_meeting_once():
    bow = cubic(Point(0, 0), Point(10, 8), Point(20, 8), Point(30, 0))  # highest at the middle, y = 6
    first, second = bow.split(bow.length / 2)
    jointed = first.joined(second)  # touches just where its two cubics join
    for places in (
        bow.meets_line(Point(0, 6), Point(1, 6)),
        bow.meets(line(Point(0, 6), Point(30, 6))),
        bow.meets(bow.moved(Move.mirror(Point(0, 6), Point(1, 6)))),
        bow.meets(cubic(Point(0, 10), Point(10, 14 / 3), Point(20, 14 / 3), Point(30, 10))),
        jointed.meets_line(Point(0, 6), Point(1, 6)),
        jointed.meets(line(Point(0, 6), Point(30, 6))),
        jointed.meets(jointed.moved(Move.mirror(Point(0, 6), Point(1, 6)))),
    ):
        assert len(places) == 1
        assert bow.at(places[0]).distance(Point(15, 6)) < 5e-3
    # under a thousandth of a thousandth of a cm apart, or run over by as little: one place still
    for height, count in ((5.99, 2), (6 - 1e-7, 1), (6 + 2e-7, 1), (6.01, 0)):
        assert len(bow.meets_line(Point(0, height), Point(1, height))) == count
        assert len(bow.meets(bow.moved(Move.mirror(Point(0, height), Point(1, height))))) == count


def test_curves_less_than_a_point_apart_touch_once():
    chance = random.Random(2)
    for _ in range(150):
        rise, fall, end = chance.uniform(4, 9), chance.uniform(4, 9), chance.uniform(-3, 3)
        bow = cubic(Point(0, 0), Point(10, rise), Point(20, fall), Point(30, end))
        s = chance.uniform(5, bow.length - 5)
        p, u = bow.at(s), bow.direction(s)
        gap = u.left() * chance.uniform(0, 0.9 * tolerances.POINT)
        other = bow.moved(Move.mirror(p, p + u)).moved(Move.shift(*gap))
        assert bow.meets(other) == pytest.approx([s], abs=0.02)


def test_ends_that_touch_meet():
    bow = cubic(Point(0, 0), Point(10, 8), Point(20, 8), Point(30, 0))
    assert bow.meets(line(Point(30, 0), Point(40, 7))) == pytest.approx([bow.length])
    assert bow.meets(line(Point(0, -5), Point(0, 0))) == pytest.approx([0], abs=1e-6)
    assert bow.meets_line(Point(0, 0), Point(1, 0)) == pytest.approx([0, bow.length], abs=1e-6)
    on = bow.at(11)
    assert bow.meets(line(on, on + Point(3, 9))) == pytest.approx([11], abs=1e-5)
    run_on = cubic(Point(30, 0), Point(35, -4), Point(40, -5), Point(50, 0))  # same way, other bend
    assert bow.meets(run_on) == pytest.approx([bow.length], abs=1e-5)
    again = fair([Point(30, 0), Point(36, 4), Point(44, 0)], start=bow.end_direction)
    assert len(bow.meets(again)) == 1


def test_curves_apart_do_not_meet():
    bow = cubic(Point(0, 0), Point(10, 8), Point(20, 8), Point(30, 0))
    assert bow.meets(bow.moved(Move.shift(0, 0.001))) == ()
    assert bow.meets(line(Point(15, 6.001), Point(40, 9))) == ()
    assert bow.meets(line(Point(0, 50), Point(1, 50))) == ()
    assert bow.meets_line(Point(0, 9), Point(1, 9)) == ()


def test_along_one_another_the_start_stands_for_the_stretch():
    """Halving without end would not come back within hours."""
    ruler = line(Point(0, 0), Point(20, 0))
    assert ruler.meets(ruler) == (0,)
    assert ruler.meets(ruler.reversed()) == (0,)
    assert ruler.meets(line(Point(5, 0), Point(50, 0))) == pytest.approx([5])
    assert ruler.meets(line(Point(20, 0), Point(50, 0))) == pytest.approx([20])
    assert ruler.meets(line(Point(21, 0), Point(50, 0))) == ()
    assert ruler.meets_line(Point(-5, 0), Point(-4, 0)) == (0,)
    bent = polyline([Point(0, 5), Point(5, 0), Point(10, 0), Point(15, 0), Point(20, 5)])
    assert bent.meets_line(Point(0, 0), Point(1, 0)) == pytest.approx([math.hypot(5, 5)])
    assert bent.meets(ruler) == pytest.approx([math.hypot(5, 5)])
    hole = CURVES["armhole"]
    assert hole.meets(hole) == pytest.approx([0], abs=1e-6)
    assert hole.meets(hole.reversed()) == pytest.approx([0], abs=1e-6)
    assert hole.meets(hole.part(4, 17)) == pytest.approx([4], abs=1e-5)
    assert hole.part(2, 9).meets(hole.part(6, 17)) == pytest.approx([4], abs=1e-5)


@each
def test_closest_is_the_nearest_of_many_samples(curve):
    chance = random.Random(14)
    z = dense(curve)
    for _ in range(25):
        point = Point(chance.uniform(-30, 45), chance.uniform(-30, 45))
        distance, gap = curve.closest(point)
        sampled = float(np.min(np.abs(z - complex(*point))))
        assert gap <= sampled + 1e-9
        assert gap >= sampled - 1e-3
        assert curve.at(distance).distance(point) == pytest.approx(gap, abs=1e-7)


def test_closest_on_the_far_side_of_a_round():
    """The nearest point may lie far from the nearest end or joint."""
    pocket = polyline([Point(0, 0), Point(100, 0), Point(100, 1), Point(50, 3), Point(45, 3)])
    assert pocket.closest(Point(48, -1)) == pytest.approx((48, 1))

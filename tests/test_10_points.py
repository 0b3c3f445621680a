"""Points and moves of paper.

Witnesses: numpy's linear algebra for meetings and turned points; rigid moves must keep every distance and
keep (or, turned over, reverse) every turning sense; a move of a move is their composition.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from patternlib.errors import GeometryError
from patternlib.geometry import DOWN, LEFT, RIGHT, UP, Move, Point, direction, meet_lines

cm = st.floats(-150, 150, allow_nan=False).map(lambda x: round(x, 3))
points = st.builds(Point, cm, cm)
degrees = st.floats(-720, 720, allow_nan=False)


@st.composite
def moves(draw):
    kind = draw(st.sampled_from(["shift", "turn", "mirror", "onto"]))
    if kind == "shift":
        return Move.shift(draw(cm), draw(cm))
    if kind == "turn":
        return Move.turn(draw(points), draw(degrees))
    p, q = draw(points), draw(points)
    assume(p.distance(q) > 0.1)
    if kind == "mirror":
        return Move.mirror(p, q)
    p2, q2 = draw(points), draw(points)
    assume(p2.distance(q2) > 0.1)
    return Move.onto(p, q, p2, q2, over=draw(st.booleans()))


def same(p, q, within=1e-9):
    return p.distance(q) < within


@given(points, points)
def test_sums_and_products_follow_numpy(p, q):
    a, b = np.array(p), np.array(q)
    assert np.allclose(p + q, a + b) and np.allclose(p - q, a - b) and np.allclose(-p, -a)
    assert np.allclose(p * 2.5, a * 2.5) and np.allclose(2.5 * p, a * 2.5)
    assert p.dot(q) == pytest.approx(float(a @ b), abs=1e-9)
    assert p.cross(q) == pytest.approx(float(np.linalg.det(np.array([a, b]))), abs=1e-6)
    assert p.distance(q) == pytest.approx(float(np.linalg.norm(a - b)))
    assert p.length == pytest.approx(float(np.linalg.norm(a)))
    assert np.allclose(p.middle(q), (a + b) / 2)


@given(points, degrees)
def test_turned_is_the_turning_matrix(p, angle):
    a = math.radians(angle)
    matrix = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    assert np.allclose(p.turned(angle), matrix @ np.array(p), atol=1e-9)
    assert same(p.left(), p.turned(90)) and same(p.right(), p.turned(-90))


@given(degrees)
def test_direction_and_angle_are_inverse(angle):
    arrow = direction(angle)
    assert arrow.length == pytest.approx(1)
    assert math.remainder(arrow.angle - angle, 360) == pytest.approx(0, abs=1e-9)


def test_quarter_turns_are_exact():
    assert [direction(a) for a in (0, 90, 180, 270, 360, -90)] == [RIGHT, UP, LEFT, DOWN, RIGHT, DOWN]
    assert Move.turn(Point(3, 1), 90)(Point(5, 1)) == Point(3, 3)


@given(points, points, st.floats(0, 80))
def test_toward_lies_on_the_line_at_the_distance(p, q, d):
    assume(p.distance(q) > 0.01)
    r = p.toward(q, d)
    assert p.distance(r) == pytest.approx(d, abs=1e-9)
    assert abs((q - p).unit().cross(r - p)) < 1e-6
    assert (r - p).dot(q - p) >= 0


@given(points, degrees, points, degrees)
def test_lines_meet_where_numpy_solves_them(p, angle, q, angle2):
    u, v = direction(angle), direction(angle2)
    assume(abs(u.cross(v)) > 0.01)
    a, _ = np.linalg.solve(np.array([[u.x, -v.x], [u.y, -v.y]]), np.array(q) - np.array(p))
    assert same(meet_lines(p, u, q, v), p + u * float(a), 1e-6)
    assert same(meet_lines(p, u, q, v), meet_lines(q, v * 7, p, u * -3), 1e-6)


@settings(max_examples=200)
@given(moves(), points, points, points)
def test_moves_are_rigid(move, p, q, r):
    p2, q2, r2 = move(p), move(q), move(r)
    assert p2.distance(q2) == pytest.approx(p.distance(q), abs=1e-9)
    turn, turn2 = (q - p).cross(r - p), (q2 - p2).cross(r2 - p2)
    assert turn2 == pytest.approx(-turn if move.over else turn, abs=1e-6)


@settings(max_examples=200)
@given(moves(), moves(), points)
def test_then_is_one_move_after_the_other(first, second, p):
    assert same(first.then(second)(p), second(first(p)))
    assert first.then(second).over == (first.over != second.over)


@given(points, points, points)
def test_a_mirror_keeps_its_line_and_undoes_itself(p, q, r):
    assume(p.distance(q) > 0.1)
    mirror = Move.mirror(p, q)
    assert same(mirror(p), p) and same(mirror(q), q, 1e-8) and same(mirror(mirror(r)), r, 1e-8)
    assert abs((mirror(r) - r).dot((q - p).unit())) < 1e-8  # straight across


@given(points, points, points, points, st.booleans())
def test_onto_lays_point_on_point_and_arrow_along_arrow(p, q, p2, q2, over):
    assume(p.distance(q) > 0.1 and p2.distance(q2) > 0.1)
    move = Move.onto(p, q, p2, q2, over=over)
    assert same(move(p), p2)
    assert same(move(q), p2.toward(q2, p.distance(q)), 1e-8)
    assert move.over == over


@pytest.mark.parametrize(
    "call",
    [
        lambda: Point(0, 0).unit(),
        lambda: Point(math.nan, 0).unit(),
        lambda: Point(math.inf, 0).unit(),
        lambda: Point(2, 2).toward(Point(2, 2), 1),
        lambda: meet_lines(Point(0, 0), RIGHT, Point(0, 1), LEFT),
        lambda: meet_lines(Point(0, 0), Point(0, 0), Point(0, 1), LEFT),
        lambda: Move.mirror(Point(1, 1), Point(1, 1)),
        lambda: Move.onto(Point(1, 1), Point(1, 1), Point(0, 0), Point(1, 0)),
    ],
)
def test_what_gives_no_direction_is_refused_in_a_sentence(call):
    with pytest.raises(GeometryError, match=":"):
        call()

"""Cut lines: allowances and corners.

Witnesses, none of which uses the code that made the allowance: shapely's mitred buffer where every edge has
the same allowance, meetings of shifted half planes where the allowances differ, dense sampling for the
distance of a cut line from its seam line, and folding: the allowance cut off along the seam line, turned
over with shapely's affine move and laid on the piece.
"""

import math
import random

import numpy as np
import pytest
import shapely

from patternlib import tolerances
from patternlib.errors import GeometryError
from patternlib.geometry import (
    Move,
    Outline,
    Point,
    arc,
    corner_cut,
    cubic,
    direction,
    fair,
    line,
    offset,
    polyline,
)


def cut(outline, allowances, folds=None, cap=1e3):
    """The cut line as a shapely polygon; folds: {index of the corner's edge before: 'before' or 'after'}."""
    lines = [offset(curve, d) for (_, curve), d in zip(outline.edges, allowances, strict=True)]
    for i, (before, after) in enumerate(outline.corners()):
        j = (i + 1) % len(lines)
        lines[i], lines[j] = corner_cut(
            lines[i],
            lines[j],
            before[1].end,
            before[1].end_direction,
            after[1].start_direction,
            folds=(folds or {}).get(i, ""),
            cap=cap,
        )
    out = []
    for p in (p for points in lines for p in points):
        if not out or p.distance(out[-1]) > tolerances.POINT:
            out.append(p)
    return shapely.Polygon(out)


def seam(outline):
    return shapely.Polygon([(p.x, p.y) for p in outline.flat(1e-5)])


def closed(points):
    sides = [line(p, q) for p, q in zip(points, points[1:] + points[:1], strict=True)]
    return Outline(tuple((f"{k}", side) for k, side in enumerate(sides)))


def gaps(curve, points):
    """Distance of each point from the curve, by a fine polyline of numpy's own making."""
    t = np.linspace(0, 1, 1501)
    basis = np.array([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3])
    z = (np.array([list(s) for s in curve.segments]) @ basis).ravel()
    return shapely.distance(shapely.points(points), shapely.LineString(np.column_stack([z.real, z.imag])))


def with_middles(points):
    """The points of a polyline and three places on each of its pieces."""
    a = np.array(points)
    return np.concatenate([a] + [a[:-1] + (a[1:] - a[:-1]) * k for k in (0.25, 0.5, 0.75)])


# -- one edge

GENTLE = {
    "hem": fair([Point(0, 0), Point(15, -1), Point(32, 0.8)], start=direction(0), end=direction(8)),
    "armhole": fair([Point(0, 22), Point(3.5, 9), Point(11, 0)], start=direction(-85), end=direction(0)),
    "neck": fair([Point(0, 0), Point(7, 8)], start=direction(0), end=direction(90)),
    "bow": cubic(Point(0, 0), Point(10, 8), Point(20, 8), Point(30, 0)),
    "bent at one end": cubic(Point(0, 0), Point(26, 0), Point(30, 2), Point(30, 12)),
    "no handle": cubic(Point(0, 0), Point(0, 0), Point(12, 16), Point(30, 0)),
    "long arc": arc(Point(0, 0), 20, 0, 300),
}
gentle = pytest.mark.parametrize("curve", GENTLE.values(), ids=GENTLE.keys())


@gentle
@pytest.mark.parametrize("distance", [0.6, 1, 1.5, 2.5, -1, -0.4])
def test_an_offset_keeps_its_distance(curve, distance):
    points = offset(curve, distance)
    off = gaps(curve, with_middles(points)) - abs(distance)
    assert np.max(np.abs(off)) <= tolerances.FLATTEN + 1e-4
    side = curve.direction(0).right() * distance
    assert points[0].distance(curve.start + side) < 1e-9
    assert points[-1].distance(curve.end + curve.end_direction.right() * distance) < 1e-9
    cut_line = shapely.LineString(points)
    assert cut_line.is_simple
    for k in range(41):  # every place of the seam line has its allowance, square to it
        s = curve.length * k / 40
        place = curve.at(s) + curve.direction(s).right() * distance
        assert cut_line.distance(shapely.Point(place)) <= tolerances.FLATTEN + 1e-4


@gentle
def test_offset_to_nought_is_the_curve_and_finer_is_finer(curve):
    assert offset(curve, 0) == curve.flat()
    fine = offset(curve, 1, 1e-4)
    assert np.max(np.abs(gaps(curve, with_middles(fine)) - 1)) <= 1.5e-4


@gentle
def test_the_offset_of_the_moved_is_the_moved_offset(curve):
    move = Move.turn(Point(3, 4), 77).then(Move.mirror(Point(0, 0), Point(2, 1)))
    wanted = shapely.LineString([move(p) for p in offset(curve, 1)])
    for got in (offset(curve.moved(move), -1), offset(curve.moved(move).reversed(), 1)):
        assert shapely.hausdorff_distance(shapely.LineString(got), wanted) < 2 * tolerances.FLATTEN


@pytest.mark.parametrize(
    "curve",
    [
        cubic(Point(0, 0), Point(20, 1), Point(20, -2), Point(0, -6)),
        fair([Point(0, 0), Point(10, 0), Point(10.5, -9)], start=direction(0), end=direction(-90)),
        cubic(Point(0, 0), Point(16, 10), Point(4, 10), Point(20, 0)).reversed(),
        cubic(Point(0, 0), Point(18, 9), Point(2, 9), Point(20, 0)),
        line(Point(0, 0), Point(10, 0)).joined(
            arc(Point(10, -0.5), 0.5, 90, -90), line(Point(10, -1), Point(2, -6))
        ),
        fair([Point(0, 0), Point(10, 4), Point(11, -3), Point(20, 0)], fullness=1.0),
        polyline([Point(0, 0), Point(10, 0), Point(10, -8)]),
        polyline([Point(0, 0), Point(10, 0), Point(12, -1), Point(12, -9)]),
    ],
)
@pytest.mark.parametrize("distance", [0.7, 1, 1.5])
def test_bends_tighter_than_the_allowance_leave_no_loop(curve, distance):
    points = offset(curve, distance)
    assert shapely.LineString(points).is_simple
    near = gaps(curve, with_middles(points))
    assert np.min(near) > distance - 3 * tolerances.FLATTEN
    # where room is, the allowance is there: each place of the true offset that keeps its distance is met
    t = np.linspace(0, curve.length, 300)[1:-1]
    places = [curve.at(s) + curve.direction(s).right() * distance for s in t]
    free = gaps(curve, places) > distance - 1e-5
    assert free.sum() > 50
    missed = shapely.distance(shapely.points(np.array(places)[free]), shapely.LineString(points))
    assert np.max(missed) < 2 * tolerances.FLATTEN


def test_a_corner_inside_an_edge_is_mitred_on_its_outer_side():
    edge = polyline([Point(0, 0), Point(10, 0), Point(10, 8)])
    assert shapely.LineString(offset(edge, 1)).equals(shapely.LineString([(0, -1), (11, -1), (11, 8)]))
    assert shapely.LineString(offset(edge, -1)).equals(shapely.LineString([(0, 1), (9, 1), (9, 8)]))
    blunt = offset(polyline([Point(0, 0), Point(10, 0), direction(170) * 8 + Point(10, 0)]), 1)
    assert max(p.x for p in blunt) <= 10 + 1


@pytest.mark.parametrize(
    "call",
    [
        lambda: offset(line(Point(1, 1), Point(1, 1)), 1),
        lambda: offset(line(Point(0, 0), Point(1, 1)), math.nan),
        lambda: offset(line(Point(0, 0), Point(1, 1)), math.inf),
        lambda: offset(arc(Point(0, 0), 1, 90, -90), 2),
    ],
)
def test_an_allowance_without_room_is_refused(call):
    with pytest.raises(GeometryError, match=":"):
        call()


# -- the same allowance all round: shapely's buffer


def convex(chance, n):
    turns = sorted(chance.uniform(0, 360) for _ in range(n))
    return [Point(22 * math.cos(math.radians(a)), 15 * math.sin(math.radians(a))) for a in turns]


@pytest.mark.parametrize("seed", range(12))
def test_polygons_with_one_allowance_are_shapelys_mitred_buffer(seed):
    """Convex for even seeds, a star of inner and outer corners for odd ones."""
    chance = random.Random(seed)
    if seed % 2:
        points = [direction(36 * k + chance.uniform(-5, 5)) * chance.uniform(14, 26) for k in range(10)]
    else:
        points = convex(chance, chance.randint(3, 8))
    outline = closed(points)
    d = chance.choice([0.6, 1.0, 1.5])
    ours = cut(outline, [d] * len(points))
    theirs = seam(outline).buffer(d, join_style="mitre", mitre_limit=1000)
    assert ours.is_valid
    assert ours.symmetric_difference(theirs).area < 1e-6
    assert shapely.hausdorff_distance(ours, theirs) < 1e-5


@pytest.mark.parametrize("d", [0.6, 1.0, 2.0, 4.0])
def test_smooth_rounds_with_one_allowance_are_shapelys_buffer(d):
    points = [Point(20, 0), Point(3, 14), Point(-16, 6), Point(-9, -12), Point(9, -15)]
    ways = [direction(a) for a in (95, 175, 265, 320, 30)]
    edges = [
        (f"{k}", fair([points[k], points[(k + 1) % 5]], start=ways[k], end=ways[(k + 1) % 5]))
        for k in range(5)
    ]
    outline = Outline(tuple(edges))
    ours, theirs = cut(outline, [d] * 5), seam(outline).buffer(d, quad_segs=400)
    assert ours.is_valid
    assert ours.symmetric_difference(theirs).area < tolerances.FLATTEN * outline.length
    assert shapely.hausdorff_distance(ours, theirs) < 2 * tolerances.FLATTEN


@pytest.mark.parametrize("bow", [-0.12, 0.12])
@pytest.mark.parametrize("d", [0.6, 1.5])
def test_bowed_edges_with_corners_and_one_allowance(bow, d):
    """Inside the lines squared off its corners the cut line is shapely's round buffer: d from the piece."""
    c = [Point(0, 0), Point(24, 2), Point(22, 30), Point(-2, 27)]
    edges = []
    for k, (p, q) in enumerate(zip(c, c[1:] + c[:1], strict=True)):
        side = (q - p).left() * bow
        edges.append((f"{k}", cubic(p, p + (q - p) * 0.3 + side, q + (p - q) * 0.3 + side, q)))
    outline = Outline(tuple(edges))
    ours, piece = cut(outline, [d] * 4), seam(outline)
    assert ours.is_valid
    assert ours.buffer(1e-3 + tolerances.FLATTEN).contains(piece.buffer(d, quad_segs=100))
    spare = ours.difference(piece.buffer(d + 2 * tolerances.FLATTEN, quad_segs=100))
    points = shapely.MultiPoint([tuple(p) for p in c])
    for part in shapely.get_parts(spare):  # only the points of the mitres stand out
        assert part.distance(points) < 1.5 * d


# -- each edge its own allowance


@pytest.mark.parametrize("seed", range(8))
def test_convex_pieces_with_many_allowances_are_where_shifted_half_planes_meet(seed):
    chance = random.Random(seed)
    points = [Point(0, 0), Point(25, -3), Point(30, 18), Point(12, 30), Point(-6, 22)]
    points = [p + Point(chance.uniform(-1, 1), chance.uniform(-1, 1)) for p in points]
    widths = [chance.choice([0, 0.6, 1, 1.5, 4]) for _ in points]
    expected = shapely.box(-200, -200, 200, 200)
    for p, q, d in zip(points, points[1:] + points[:1], widths, strict=True):
        u, n = (q - p).unit() * 300, (q - p).unit().right()
        p = p + n * d
        expected &= shapely.Polygon([p - u, p + u, p + u - n * 300, p - u - n * 300])
    ours = cut(closed(points), widths)
    assert ours.symmetric_difference(expected).area < 1e-6


@pytest.mark.parametrize("angle", [5, 12, 20, 40, 60, 89])
@pytest.mark.parametrize("widths", [(1, 1), (1, 1.5), (4, 1), (0, 1)])
def test_a_sharp_mitre_is_capped_and_still_covers(angle, widths):
    """The point stands out by the cap at most; nowhere else is cloth missing."""
    c = [Point(-40, 0), Point(0, 0), direction(180 - angle) * 45]
    outline = closed(c)
    cap = 2.2 * max(widths)
    ours = cut(outline, [*widths, 1], cap=cap)
    assert ours.is_valid
    bisector = direction(-angle / 2)
    tip = max(Point(*p).dot(bisector) for p in ours.exterior.coords if p[0] > -20)
    assert tip <= cap + 1e-9
    full = cut(outline, [*widths, 1], cap=1e3)
    sharp = max(Point(*p).dot(bisector) for p in full.exterior.coords if p[0] > -20)
    if sharp <= cap:
        assert tip == pytest.approx(sharp)
    else:
        assert tip == pytest.approx(cap)
        left, far = bisector.left() * 90, bisector * -90
        kept = full & shapely.Polygon([bisector * cap + left, bisector * cap - left, far - left, far + left])
        kept_near = (kept ^ ours) & shapely.box(-20, -50, 50, 50)
        assert kept_near.area < 1e-6


def test_a_cap_below_the_allowance_takes_nothing_from_it():
    c = [Point(-40, 0), Point(0, 0), direction(150) * 45]
    ours = cut(closed(c), [4, 4, 1], cap=1)
    assert ours.exterior.distance(shapely.Point(0, 0)) >= 4 - 1e-9


@pytest.mark.parametrize("turn", [-20, -60, -90, -130])
@pytest.mark.parametrize("widths", [(1, 1), (1, 4), (4, 1), (0, 1.5), (1.5, 0)])
def test_inner_corners(turn, widths):
    """Both cut lines stop where they cross: by half planes, the allowances' strips joined."""
    end = direction(turn) * 30
    c = [Point(-30, 0), Point(0, 0), end, end + Point(40, 40), Point(-30, 60)]
    ours = cut(closed(c), [*widths, 1, 1, 1], cap=2.2 * max(widths))
    assert ours.is_valid
    assert ours.buffer(1e-6).contains(seam(closed(c)))
    u, v = Point(1, 0), direction(turn)
    n, m = u.right() * widths[0], v.right() * widths[1]
    near = shapely.Point(0, 0).buffer(10)
    strips = shapely.Polygon([u * -20, Point(0, 0), n, u * -20 + n]) if widths[0] else shapely.Polygon()
    if widths[1]:
        strips |= shapely.Polygon([Point(0, 0), v * 20, v * 20 + m, m])
    lost = (seam(closed(c)) | strips).difference(ours) & near
    if turn <= -60:
        den = u.cross(v)
        x = n + u * ((m - n).cross(v) / den)  # where the shifted lines meet
        if (x - n).dot(u) <= 0 and (x - m).dot(v) >= 0:
            assert ours.exterior.distance(shapely.Point(x)) < 1e-9
    if abs(widths[0] - widths[1]) < 0.1:
        assert lost.area < 1e-6


@pytest.mark.parametrize("widths", [(1, 4), (4, 1), (0, 1), (1, 0), (1.5, 1)])
@pytest.mark.parametrize("turn", [-2, 0, 2])
def test_straight_through_with_two_allowances_is_a_step(widths, turn):
    end = direction(turn) * 20
    c = [Point(-20, 0), Point(0, 0), end, end + Point(0, 20), Point(-20, 20)]
    ours = cut(closed(c), [*widths, 0, 0, 0], cap=9)
    assert ours.is_valid
    strips = ours.difference(seam(closed(c)))
    assert strips.area == pytest.approx(20 * sum(widths), abs=0.4)
    for p, d in zip((Point(0, -widths[0]), direction(turn).right() * widths[1]), widths, strict=True):
        assert shapely.distance(ours.exterior, shapely.Point(p)) < 1e-9, d


@pytest.mark.parametrize("turn", [-2.9, -1, -1e-7, 0, 1e-7, 1, 2.9])
def test_straight_through_with_one_allowance_runs_on(turn):
    end = direction(turn) * 20
    c = [Point(-20, 0), Point(0, 0), end, end + Point(0, 20), Point(-20, 20)]
    ours = cut(closed(c), [1.5] * 5, cap=3.3)
    theirs = seam(closed(c)).buffer(1.5, join_style="mitre", mitre_limit=1000)
    assert ours.is_valid
    assert ours.symmetric_difference(theirs).area < 1e-5


@pytest.mark.parametrize("turn", [10, 20, -10, -20])
@pytest.mark.parametrize("widths", [(4, 1), (1, 4)])
def test_a_flat_corner_between_two_allowances_does_not_eat_the_wider_one(turn, widths):
    end = direction(turn) * 40
    c = [Point(-40, 0), Point(0, 0), end, end + Point(0, 60), Point(-40, 60)]
    ours = cut(closed(c), [*widths, 1, 1, 1], cap=8.8)
    assert ours.is_valid
    u, v = Point(1, 0), direction(turn)
    for way, d, away in ((u, widths[0], -1), (v, widths[1], 1)):
        for along in (10, 20, 30):
            edge = way * (along * away) + way.right() * d
            assert ours.exterior.distance(shapely.Point(edge)) < 1e-9


@pytest.mark.parametrize("angle", [60, 90, 120])
def test_a_fold_edge_has_no_allowance_and_the_rest_ends_on_its_line(angle):
    c = [Point(0, 30), Point(0, 0), direction(90 - angle) * 25, Point(40, 30)]
    outline = closed(c)
    ours = cut(outline, [0, 4, 1, 1], cap=8.8)
    assert ours.bounds[0] == pytest.approx(0, abs=1e-9)
    assert ours.exterior.distance(shapely.Point(0, -4 / math.sin(math.radians(angle)))) < 1e-9

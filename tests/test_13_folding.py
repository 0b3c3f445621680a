"""Folding: the allowance cut off along the seam line, turned over with shapely, and laid on the piece."""

import math

import pytest
import shapely
from shapely import affinity

from patternlib import tolerances
from patternlib.geometry import (
    Move,
    Outline,
    Point,
    arc,
    direction,
    fair,
    line,
)
from tests.test_13_offsets import closed, cut, seam

# -- folding


def folding_piece(angle, edge):
    """A hem 60 cm long that ends in the corner at 0, 0, and the edge after it."""
    away = direction(180 - angle)
    if edge == "straight":
        side = line(Point(0, 0), away * 30)
    else:
        lean = {"hollow": 14, "full": -14}[edge]
        side = fair(
            [Point(0, 0), (away * 30).turned(lean / 2)], start=away, end=direction(180 - angle + lean)
        )
    far = Point(-60, 40)
    return Outline(
        (
            ("hem", line(Point(-60, 0), Point(0, 0))),
            ("side", side),
            ("top", line(side.end, far)),
            ("back", line(far, Point(-60, 0))),
        )
    )


@pytest.mark.parametrize("which", ["before", "after"])
@pytest.mark.parametrize("widths", [(4, 1), (2.5, 1.5), (1, 1), (3, 0)])
@pytest.mark.parametrize("edge", ["straight", "hollow", "full"])
@pytest.mark.parametrize("angle", [40, 60, 75, 90, 105, 130, 150])
def test_a_folded_allowance_lies_on_the_piece_and_fills_it(angle, edge, widths, which):
    """Folded up along its seam line the hem covers, near the corner, piece and side allowance exactly."""
    outline = folding_piece(angle, edge)
    deep, side = widths
    order, folds = [deep, side, 1, 1], {0: "before"}
    if which == "after":  # the other half of the garment
        outline = outline.moved(Move.mirror(Point(0, 0), Point(0, 1)))
        assert outline.names == ("back", "top", "side", "hem")
        order, folds = [1, 1, side, deep], {2: "after"}
    ours = cut(outline, order, folds, cap=2.2 * max(widths))
    assert ours.is_valid
    sense = 1 if which == "before" else -1
    near = shapely.box(
        *sorted((-18 * sense, 40 * sense))[:1], -60, *sorted((-18 * sense, 40 * sense))[1:], 60
    )
    hem = ours & near & shapely.box(-100, -100, 100, 0)
    folded_up = affinity.scale(hem, xfact=1, yfact=-1, origin=(0, 0))
    lies_on = ours & near & shapely.box(-100, 0, 100, deep)
    assert folded_up.difference(lies_on.buffer(1e-6)).area < 1e-6
    assert lies_on.difference(folded_up.buffer(1e-6)).area < 1e-6


@pytest.mark.parametrize("which", ["before", "after"])
@pytest.mark.parametrize("radius", [60, -60])
def test_a_slightly_curved_hem_folds_back_within_tolerance(radius, which):
    """Close to the corner the fold line is nearly straight: the turned-up cloth hardly stands over."""
    centre = Point(0, math.copysign(60, radius))
    swing = 20 if radius > 0 else -20
    begin = -90 if radius > 0 else 90
    hem = arc(centre, 60, begin - swing, begin)
    outline = Outline(
        (
            ("hem", hem),
            ("side", line(Point(0, 0), direction(80) * 30)),
            ("top", line(direction(80) * 30, hem.start + Point(0, 25))),
            ("back", line(hem.start + Point(0, 25), hem.start)),
        )
    )
    order, folds = [2, 1, 1, 1], {0: "before"}
    if which == "after":
        outline = outline.moved(Move.mirror(Point(0, 0), Point(0, 1)))
        order, folds = [1, 1, 1, 2], {2: "after"}
    ours, piece = cut(outline, order, folds, cap=4.4), seam(outline)
    side = 1 if which == "before" else -1
    near = shapely.box(min(-2 * side, 5 * side), -9, max(-2 * side, 5 * side), 30)
    hem_part = (ours & near).difference(piece) & shapely.box(-9, -9, 9, 0.05)
    folded_up = affinity.scale(hem_part, xfact=1, yfact=-1, origin=(0, 0))
    assert folded_up.area > 4
    assert folded_up.difference(ours.buffer(tolerances.FOLDED)).area < 1e-6


def test_a_fold_back_deeper_than_its_side_is_long_still_folds():
    """A band 3 cm high with 5 cm folded back."""
    c = [Point(-30, 0), Point(0, 0), direction(80) * 3, direction(80) * 3 + Point(-30, 0)]
    ours = cut(closed(c), [5, 1, 1, 1], {0: "before"}, cap=11)
    assert ours.is_valid
    hem = ours & shapely.box(-10, -50, 50, 0)
    up = affinity.scale(hem, xfact=1, yfact=-1, origin=(0, 0))
    right = Point(1, 0) * (1 / math.sin(math.radians(80)))  # the side's cut line, run on
    strip = shapely.Polygon([right, right + direction(80) * 20, (-10, 20), (-10, 0)])
    assert up.difference(strip.buffer(1e-6)).area < 1e-6
    assert up.area == pytest.approx((strip & shapely.box(-10, 0, 50, 5)).area, abs=1e-6)


def test_turning_the_corner_the_other_way_round_is_the_same():
    """Mirrored pieces have mirrored cut lines, whatever is folded."""
    for angle in (50, 90, 120):
        outline = folding_piece(angle, "hollow")
        other = outline.moved(Move.mirror(Point(0, 0), Point(0, 1)))
        for folds, folds2 in (({}, {}), ({0: "before"}, {2: "after"}), ({0: "after"}, {2: "before"})):
            ours = cut(outline, [3, 1, 1.5, 1], folds, cap=6.6)
            theirs = cut(other, [1, 1.5, 1, 3], folds2, cap=6.6)
            flipped = affinity.scale(theirs, xfact=-1, yfact=1, origin=(0, 0))
            assert ours.symmetric_difference(flipped).area < 0.01

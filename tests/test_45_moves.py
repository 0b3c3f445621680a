"""The cutter's moves hold exactly, on blocks of real bodies.

A dart is a wedge of angle t at its point: opening at distance d along equal legs = 2 d sin(t/2), and moving
it keeps t, all areas and all edges but the cut ones. n cuts by s add n s where they open and 0 at the hinges.
These are relations of plane geometry, independent of any draft.
"""

import math

import pytest
import shapely

from patternlib.blocks.bodice import bodice_block
from patternlib.blocks.skirt import skirt_block
from patternlib.errors import GeometryError, PatternError, UnknownName, ValueAtFault
from patternlib.geometry import Outline, Point, line
from patternlib.moves import (
    align,
    block_outline,
    carry_level,
    close_dart,
    dart_angle,
    joined_angle,
    slash_and_spread,
    split_dart,
    spread_into_flare,
)
from tests.bodies import charted, corners, simulated

NECK, ARM = "bust dart, neck leg", "bust dart, armhole leg"
MOVED = ("moved dart, first leg", "moved dart, second leg")
PEOPLE = {
    **{f"measured {k}": body for k, body in enumerate(simulated(4, seed=7))},
    "small": corners()["small"],
    "large": corners()["large"],
    "full bust": corners()["full bust"],
    "course 12": charted()[3],
}


@pytest.fixture(params=PEOPLE, scope="module")
def body(request):
    return PEOPLE[request.param]


def whole(outline: Outline, edge: str) -> float:
    """Length of an edge, its parts together."""
    return sum(c.length for n, c in outline.edges if n == edge or n.startswith(f"{edge}, part "))


def same_paper(before: Outline, after: Outline, gone=()) -> None:
    assert after.area == pytest.approx(before.area, abs=1e-8)
    paper = shapely.make_valid(shapely.Polygon(after.flat()))  # nothing overlaps: the area seen is the whole
    assert paper.area == pytest.approx(after.area, abs=0.3)
    for name, curve in before.edges:
        if name not in gone:
            assert whole(after, name) == pytest.approx(curve.length, abs=1e-7), name


def test_blocks_as_outlines_hold_every_edge_of_the_block(body):
    """Area by the edges agrees with the block's own lines; waist less darts is half of waist and ease."""
    skirt, bodice = skirt_block(body), bodice_block(body)
    for block, ease in ((skirt, 2.4), (bodice, 5.0)):
        waist = sum(
            c.length
            for part in ("back", "front")
            for n, c in block_outline(block, part).edges
            if n.startswith("waist") and "leg" not in n
        )
        assert waist == pytest.approx((body.waist_girth + ease) / 2)
    outline = block_outline(bodice, "front")
    assert outline["side"].length == pytest.approx(block_outline(bodice, "back")["side"].length)
    assert outline["armhole"].end == outline["side"].start


@pytest.mark.parametrize(
    "edge, share",
    [("side", 0.3), ("waist, side part", 0.5), ("neckline", 0.6), ("centre front", 0.5), ("armhole", 0.5)],
)
def test_a_whole_bust_dart_moved_anywhere(body, edge, share):
    outline = block_outline(bodice_block(body, one_dart=True), "front")
    at = outline[edge].length * share
    mouth, pin = outline[edge].at(at), outline[NECK].end
    moved = close_dart(outline, (NECK, ARM), open_at=(edge, at), still="centre front")
    angle = dart_angle(outline, (NECK, ARM))
    same_paper(outline, moved, gone=(NECK, ARM))
    assert NECK not in moved.names
    assert dart_angle(moved, MOVED) == pytest.approx(angle, abs=1e-9)
    first, second = moved[MOVED[0]], moved[MOVED[1]]
    assert first.length == pytest.approx(mouth.distance(pin), abs=1e-9)
    opening = first.start.distance(second.end)
    assert opening == pytest.approx(2 * first.length * math.sin(math.radians(angle) / 2), abs=1e-9)
    if edge != "centre front":
        assert moved["centre front"].start.distance(outline["centre front"].start) < 1e-9


def test_moved_there_and_back_again(body):
    outline = block_outline(bodice_block(body), "front")
    there = close_dart(outline, (NECK, ARM), open_at=("side", 5.0), still="centre front")
    back = close_dart(there, MOVED, open_at=("shoulder, armhole part", 0.0), still="centre front")
    assert back["armhole"].start.distance(outline["armhole"].start) < 1e-7
    same_paper(outline, back, gone=(NECK, ARM))


@pytest.mark.parametrize("share", [0.25, 0.5, 0.99])
def test_part_of_a_dart_is_moved(body, share):
    outline = block_outline(bodice_block(body), "front")
    angle = dart_angle(outline, (NECK, ARM))
    moved = close_dart(outline, (NECK, ARM), open_at=("side", 4.0), share=share)
    same_paper(outline, moved)
    assert dart_angle(moved, (NECK, ARM)) == pytest.approx(angle * (1 - share), abs=1e-9)
    assert dart_angle(moved, MOVED) == pytest.approx(angle * share, abs=1e-9)


def test_a_dart_split_into_three(body):
    outline = block_outline(bodice_block(body), "front")
    angle = dart_angle(outline, (NECK, ARM))
    places = ((("side", 3.0), 0.4), (("neckline", 4.0), 0.2))
    made = split_dart(outline, (NECK, ARM), into=places, still="centre front")
    same_paper(outline, made)
    shares = [(NECK, ARM), *((f"moved dart {k}, first leg", f"moved dart {k}, second leg") for k in (1, 2))]
    assert [dart_angle(made, legs) / angle for legs in shares] == pytest.approx([0.4, 0.4, 0.2])
    both = split_dart(outline, (NECK, ARM), into=((("side", 3.0), 0.5), (("side", 9.0), 0.5)))
    assert NECK not in both.names and {"side, part 1", "side, part 2, part 2"} <= set(both.names)
    same_paper(outline, both, gone=(NECK, ARM))


def panel(width=24.0, height=40.0) -> Outline:
    c = [Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)]
    return Outline(
        tuple(
            zip(
                ("hem", "side", "top", "centre"),
                (line(p, q) for p, q in zip(c, c[1:] + c[:1], strict=True)),
                strict=True,
            )
        )
    )


@pytest.mark.parametrize("n", [1, 2, 5])
@pytest.mark.parametrize("parallel", [False, True])
def test_slash_and_spread_adds_n_times_s(n, parallel):
    outline = panel()
    step = 24 / (n + 1)
    cuts = [(("hem", step * k), ("top", 24 - step * k)) for k in range(1, n + 1)]
    made = slash_and_spread(outline, cuts, spread=3.0, parallel=parallel)
    gaps = sum(c.length for name, c in made.edges if name == "spread" or name.startswith("spread, part"))
    assert gaps == pytest.approx(3.0 * n)
    for name, curve in outline.edges:
        assert whole(made, name) == pytest.approx(curve.length, abs=1e-9)
    at_top = sum(c.length for name, c in made.edges if name.startswith("spread at the hinge"))
    assert at_top == pytest.approx(3.0 * n if parallel else 0.0)
    # each gap is a triangle with equal sides of 40 and a base of 3, or an oblong of 3 by 40
    gap = 3 * 40 if parallel else 1.5 * math.sqrt(40**2 - 1.5**2)
    assert made.area == pytest.approx(24 * 40 + n * gap)
    assert not made.crosses_itself()
    assert made["centre"] == outline["centre"]
    hem = [name for name, _ in made.edges if name.startswith("hem")]
    assert hem == [f"hem, part {k}" for k in range(1, n + 2)]
    top = [name for name, _ in made.edges if name.startswith("top")]
    assert top == [f"top, part {k}" for k in range(1, n + 2)]


def test_slash_and_spread_may_leave_any_strip_in_place():
    outline = panel()
    cuts = [(("hem", x), ("top", 24 - x)) for x in (8.0, 16.0)]
    made = slash_and_spread(outline, cuts, spread=2.0, still="side")
    assert made["side"].start.distance(outline["side"].start) < 1e-9
    assert made["side"].end.distance(outline["side"].end) < 1e-9


@pytest.mark.parametrize("parallel", [False, True])
def test_a_fan_may_open_evenly_to_both_sides(parallel):
    """The middle of a panel that is alike on both sides stays upright and in its place."""
    outline = panel()
    cuts = [(("hem", x), ("top", 24 - x)) for x in (6.0, 12.0, 18.0)]
    made = slash_and_spread(outline, cuts, spread=2.0, parallel=parallel, evenly=True)
    one, other = made["centre"], made["side"]
    assert one.start.y == pytest.approx(other.end.y, abs=1e-9)
    assert one.end.y == pytest.approx(other.start.y, abs=1e-9)
    middle = (outline["centre"].start.x + outline["side"].start.x) / 2
    assert (one.start.x + other.end.x) / 2 == pytest.approx(middle, abs=1e-9)
    assert made.area == pytest.approx(slash_and_spread(outline, cuts, spread=2.0, parallel=parallel).area)


def test_a_skirt_dart_closed_into_flare(body):
    """Closing keeps the waist and opens the hem; both ends of the new hem keep their angle to the side."""
    outline = block_outline(skirt_block(body, one_dart=True), "front")
    legs = ("waist dart, centre leg", "waist dart, side leg")
    if legs[0] not in outline.names:
        pytest.skip("this body has no front dart")
    angle, pin = math.radians(dart_angle(outline, legs)), outline[legs[0]].end
    made = spread_into_flare(outline, legs, hem="hem", still="centre front")
    assert set(outline.names) - set(made.names) == set(legs)
    for name in ("side", "centre front", "waist, centre part", "waist, side part"):
        assert made[name].length == pytest.approx(outline[name].length, abs=1e-9)
    drop = outline["hem"].closest(pin)[1]
    added = made["hem"].start.distance(made["hem"].end) - outline["hem"].length
    assert 0 < added < 2 * drop * math.sin(angle / 2) + 1e-9
    before, after = (
        joined_angle(o["hem"], o["side"], o["hem"].reversed(), o["centre front"]) for o in (outline, made)
    )
    assert after == pytest.approx(before, abs=1e-6)
    assert made["hem"].closest(pin)[1] == pytest.approx(drop, abs=0.1)


def test_what_cannot_be_done_is_refused_with_a_sentence():
    outline = block_outline(bodice_block(charted()[3]), "front")
    legs = (NECK, ARM)
    waist_dart = ("waist dart, side leg", "waist dart, centre leg")
    lines = [line(Point(0, 0), Point(x, 0)) for x in (9, 5)]

    def move(legs, place, **more):
        return lambda: close_dart(outline, legs, open_at=place, **more)

    refused = [
        (move((ARM, NECK), ("side", 5)), GeometryError, "not the legs of a dart"),
        (move(("armhole", "side"), ("neckline", 5)), GeometryError, "curved"),
        (move(("nek leg", ARM), ("side", 5)), UnknownName, "no edge is called"),
        (move(legs, ("side", 500)), ValueAtFault, "must lie between 0 and"),
        (move(legs, ("side", 5), share=0), ValueAtFault, "above 0"),
        (move(legs, (NECK, 5)), GeometryError, "already lies"),
        (move(waist_dart, ("armhole", 0.1)), GeometryError, "leaves the paper"),
        (lambda: split_dart(outline, legs, into=()), ValueAtFault, "one or more"),
        (lambda: split_dart(outline, legs, into=((("side", 5), 0.7),) * 2), ValueAtFault, "1.4"),
        (lambda: slash_and_spread(panel(), [], spread=2), GeometryError, "out of order"),
        (
            lambda: slash_and_spread(
                panel(), [(("hem", 4), ("top", 4)), (("hem", 20), ("top", 20))], spread=2
            ),
            GeometryError,
            "cross",
        ),
        (lambda: slash_and_spread(panel(), [(("hem", 4), ("top", 20))], spread=0), ValueAtFault, "above 0"),
        (lambda: slash_and_spread(panel(9, 3), [(("hem", 4), ("top", 5))], spread=6), ValueAtFault, "deeper"),
        (lambda: block_outline(skirt_block(charted()[3]), "sleeve"), UnknownName, "part of a block"),
        (lambda: carry_level(*lines, 7), ValueAtFault, "shorter"),
        (lambda: carry_level(*lines, Point(3, 1)), GeometryError, "away from the seam line"),
        (lambda: align((0, 0), (9, 0), (0, 0), (0, 8)), GeometryError, "true the seam"),
        (
            lambda: joined_angle(outline["side"], outline["neckline"], outline["side"], outline["armhole"]),
            GeometryError,
            "share no corner",
        ),
    ]
    for call, error, words in refused:
        with pytest.raises(error) as caught:
            call()
        assert words in str(caught.value) and isinstance(caught.value, PatternError), str(caught.value)


def test_drafts_laid_together_at_the_shoulder(body):
    """Neckline and armhole run smoothly across the joined shoulder once the bust dart is closed."""
    block = bodice_block(body)
    back, front = block_outline(block, "back"), block_outline(block, "front")
    closed = close_dart(front, (NECK, ARM), open_at=("side", 4.0))
    neck, arm = closed["shoulder, neck part"], closed["shoulder, armhole part"]
    assert arm.start.distance(neck.end) < 1e-7
    move = align(neck.start, arm.end, back["shoulder"].end, back["shoulder"].start, ease=-0.8)
    laid = closed.moved(move)
    assert laid["neckline"].end.distance(back["neckline"].start) < 1e-7
    bend = laid["neckline"].end_direction.cross(back["neckline"].start_direction)
    assert abs(bend) < math.sin(math.radians(3))
    for edge, seam in (("neckline", neck), ("armhole", arm)):
        angle = joined_angle(closed[edge], seam, back[edge], back["shoulder"])
        assert angle == pytest.approx(180, abs=3)


def test_a_level_carried_over_the_side_seam(body):
    """Walked from the hem, the same distance on both sides, whatever their shape."""
    block = skirt_block(body)
    back, front = block_outline(block, "back")["side"], block_outline(block, "front")["side"].reversed()
    place = carry_level(back, front, 45.0)
    assert front.closest(place)[0] == pytest.approx(45.0, abs=1e-6)
    again = carry_level(front, back, place)
    assert again.distance(back.at(45.0)) < 1e-6
    top = carry_level(back, front, 3.0, from_end=True)
    assert front.length - front.closest(top)[0] == pytest.approx(3.0, abs=1e-6)


def test_a_point_is_carried_from_either_end():
    """Two sides of 20 and 24: walked from their ends, a point 3 below the end lies 3 below the other's."""
    short, long = line(Point(0, 0), Point(0, 20)), line(Point(9, 0), Point(9, 24))
    assert carry_level(short, long, Point(0, 17), from_end=True).distance((9, 21)) < 1e-9
    assert carry_level(short, long, Point(0, 17)).distance((9, 17)) < 1e-9

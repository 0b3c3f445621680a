"""Size ranges: seams in every size, the nest, and the grade table against published grade practice.

Properties: both sides of every seam agree in ten sizes, measured by shapely on finely flattened edges; a
girth grade falls by a quarter on each half front and half back; the nest lies on one another at the chosen
point; the table's steps add up to the way between the outermost sizes.
"""

from __future__ import annotations

import csv
import itertools
from dataclasses import replace
from pathlib import Path

import pytest
from shapely import LineString, Polygon

from patternlib import Body, PatternError, UnknownName, ValueAtFault, chart, garment_names
from patternlib.output.items import Stroke, Text, flat_path, item_box
from patternlib.output.scene.nests import nest_scene
from patternlib.output.styles import LINES, SIZES
from patternlib.sizes import SizeRange, points, size_range

DATA = Path(__file__).parent / "data"
TEN = [str(size) for size in range(6, 26, 2)]
INCH = 2.54


@pytest.fixture(scope="module")
def ten():
    return size_range("pinafore", "course", TEN)


def rule(words: str) -> tuple[str, str]:
    """Value and source of a row of the published grade practice."""
    with open(DATA / "grade_distribution.csv", encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    return next((row["value"], row["source"]) for row in rows if row["rule"] == words)


@pytest.mark.parametrize("garment", garment_names())
def test_every_seam_matches_in_ten_sizes(garment):
    made = size_range(garment, "course", TEN)
    assert made.seams_match and made.sizes == tuple(TEN)
    for size, one in made.garments.items():
        for seam in one.seams:
            a, b = (
                sum(LineString(one.piece(p).edge(e).curve.flat(0.0005)).length for p, e in side)
                for side in (seam.a, seam.b)
            )
            row = next(r for r in made.seam_table() if (r.size, r.seam) == (size, seam.name))
            assert row.a == pytest.approx(a, abs=0.01) and row.b == pytest.approx(b, abs=0.01)
            assert a - b == pytest.approx(seam.ease, abs=0.05), (size, seam.name)


def test_a_seam_that_does_not_match_is_told():
    made = size_range("pinafore", "course", ["12", "14"])
    garment = made.garments["14"]
    seam = next(s for s in garment.seams if s.name == "strap to yoke")
    odd = replace(
        garment, seams=(*garment.seams, replace(seam, name="odd", b=(("front skirt", "side seam"),)))
    )
    mixed = SizeRange("pinafore", {"12": made.garments["12"], "14": odd})
    assert not mixed.seams_match
    assert [(row.size, row.seam) for row in mixed.seam_table() if not row.agrees] == [("14", "odd")]


@pytest.mark.parametrize(
    ("words", "step"), [("numeric sizes 0-10", 1.0), ("sizes 12-16", 1.5), ("sizes 18 up", 2.0)]
)
def test_a_girth_grade_falls_by_a_quarter_on_each_half_front_and_half_back(words, step):
    """A quarter of the girth on each half front and half back ['How to create grade rules', part 2]; girth
    steps of US numeric sizes (common practice); rows of tests/data/grade_distribution.csv."""
    value, source = rule(words)
    assert source == "PG" and value.startswith({1.0: "1 in", 1.5: "1 1/2 in", 2.0: "2 in"}[step])
    assert rule("half-pattern share of a girth grade")[0].startswith("1/4 of girth change on half front")
    grown = [
        Body(
            bust_girth=88 + k * step * INCH,
            waist_girth=70 + k * step * INCH,
            hip_girth=96 + k * step * INCH,
            height=165,
        )
        for k in range(3)
    ]
    made = size_range("pinafore", grown)
    assert made.sizes == ("1", "2", "3")
    front = [piece.edge("bib edge").curve.length for piece in made.piece("waistband").values()]
    blocks = [garment.drafts["skirt block"] for garment in made.garments.values()]
    hip_back = [block["side hip"].x for block in blocks]
    whole = [block["waist at centre front"].x for block in blocks]
    for k in (1, 2):
        assert front[k] - front[k - 1] == pytest.approx(step * INCH / 4, abs=0.01)
        assert hip_back[k] - hip_back[k - 1] == pytest.approx(step * INCH / 4, abs=0.01)
        assert whole[k] - whole[k - 1] == pytest.approx(step * INCH / 2, abs=0.01)


def test_the_nest_lies_on_one_another_at_the_chosen_point(ten):
    for name in ten.piece_names:
        first = next(iter(ten.piece(name).values()))
        for at in (None, *points(first)):
            nest = ten.nest(name, at)
            assert list(nest) == TEN
            shared = set.intersection(*({p for p, q in points(piece).items() if move(q).length < 1e-9}
                                        for piece, move in nest.values()))  # fmt: skip
            assert at in shared if at else shared


def test_the_usual_point_of_a_piece_on_the_fold_is_the_top_of_its_fold(ten):
    for piece, move in ten.nest("front skirt").values():
        top = max((p for p in piece.outline.flat() if abs(p.x) < 1e-6), key=lambda p: p.y)
        assert move(top).length < 1e-9


def test_the_grade_table_holds_every_corner_and_notch_and_its_steps_add_up(ten):
    table = ten.grade_table({"front skirt": "side seam / hem"})
    for name in ten.piece_names:
        piece = ten.garments["12"].piece(name)
        rows = [row for row in table if row.piece == name and row.size == "12"]
        assert len(rows) == len(piece.edges) + len(piece.notches)
    for (name, point), rows in itertools.groupby(table, key=lambda row: (row.piece, row.point)):
        first, *rest = rows
        assert first.dx is None and first.dy is None and [first.size, *(r.size for r in rest)] == TEN
        assert rest[-1].x - first.x == pytest.approx(sum(row.dx for row in rest), abs=1e-9), (name, point)
        assert rest[-1].y - first.y == pytest.approx(sum(row.dy for row in rest), abs=1e-9)
    fixed = [row for row in table if row.piece == "front skirt" and row.point == "side seam / hem"]
    assert all(abs(row.x) + abs(row.y) < 1e-9 for row in fixed)


def test_the_grade_table_as_csv_reads_back(ten):
    rows = list(csv.DictReader(ten.grade_csv().splitlines()))
    table = {(row.piece, row.point, row.size): row for row in ten.grade_table()}
    assert len(rows) == len(table) / len(TEN)
    row = next(r for r in rows if r["piece"] == "front skirt" and r["point"] == "side seam / hem")
    assert float(row["x, size 6"]) == pytest.approx(table["front skirt", "side seam / hem", "6"].x, abs=0.001)
    assert float(row["dx, 10 to 12"]) == pytest.approx(
        table["front skirt", "side seam / hem", "12"].dx, abs=0.001
    )
    # outward: the front skirt's side lies left of its centre
    assert all(float(value) < 0 for head, value in row.items() if head.startswith("dx"))


def test_sizes_by_name_and_what_is_refused():
    course = chart("course")
    named = size_range(
        "pinafore", {"Ada": course.body("10"), "Bo": course.body("14")}, ["Bo", "Ada"], yoke_depth=7.5
    )
    assert named.sizes == ("Bo", "Ada") and named.garments["Bo"].style["yoke_depth"] == 7.5
    assert named.garments["Ada"].piece("bib").label[2] == "size Ada"
    with pytest.raises(UnknownName, match="'13'"):
        size_range("pinafore", "course", ["12", "13"])
    with pytest.raises(UnknownName, match="size chart"):
        size_range("pinafore", "courses")
    with pytest.raises(ValueAtFault, match="twice"):
        size_range("pinafore", "course", ["12", "12"])
    with pytest.raises(ValueAtFault, match="not a range"):
        size_range("pinafore", course.body("12"))
    with pytest.raises(ValueAtFault, match=r"size 12, .*") as told:
        size_range("pinafore", "course", ["12"], yoke_depth=50)
    assert isinstance(told.value, PatternError)
    with pytest.raises(UnknownName, match="point of bib"):
        size_range("pinafore", "course", ["12"]).nest("bib", "elbow")
    with pytest.raises(UnknownName, match="piece"):
        size_range("pinafore", "course", ["12"]).grade_table({"sleeve": "hem"})


def test_every_size_has_a_line_of_its_own(ten):
    looks = [(LINES[name].width, LINES[name].dashes) for name in SIZES]
    assert len(set(looks)) == len(SIZES) >= len(TEN), "told apart without colour"
    scene = nest_scene(ten)
    for k, size in enumerate(TEN):
        drawn = [
            item
            for item in scene.items
            if getattr(item, "layer", "") == f"size {size}" and item.style == SIZES[k]
        ]
        assert {item.piece for item in drawn} == {*ten.piece_names, "key"}
    x0, y0, x1, y1 = scene.bounds
    for item in scene.items:
        for command in getattr(item, "d", ()):
            assert all(x0 <= v <= x1 for v in command[1::2]) and all(y0 <= v <= y1 for v in command[2::2])


def test_nests_side_by_side_keep_apart(ten):
    boxes = {}
    for item in nest_scene(ten, ["front skirt", "bib", "strap"]).items:
        for command in getattr(item, "d", ()):
            for x, y in zip(command[1::2], command[2::2], strict=True):
                box = boxes.setdefault(item.piece, [x, y, x, y])
                boxes[item.piece] = [min(box[0], x), min(box[1], y), max(box[2], x), max(box[3], y)]
    assert len(boxes) == 4
    for a, b in itertools.combinations(boxes.values(), 2):
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def test_a_nest_shows_what_each_piece_shows(ten):
    """Drill holes, placement and fold lines of every size on its layer; quantity, cloth and bracket once."""
    scene = nest_scene(ten)
    strokes = [item for item in scene.items if isinstance(item, Stroke)]
    for name in ten.piece_names:
        texts = " ".join(item.text for item in scene.items if isinstance(item, Text) and item.piece == name)
        piece = ten.piece(name)[TEN[0]]
        how = " on the fold" if piece.on_fold else " as a pair" if piece.pair else ""
        assert f"cut {piece.cut}{how}" in texts and "main cloth" in texts and "sizes 6 to 24" in texts
        brackets = [s for s in strokes if s.piece == name and "on the fold of the cloth" in s.title]
        assert len(brackets) == piece.on_fold and ("fold" in texts) == piece.on_fold
        for size, piece in ten.piece(name).items():
            own = [s for s in strokes if s.piece == name and s.layer == f"size {size}"]
            assert sum(s.style == "hole" for s in own) == len(piece.drill_holes)
            titles = [s.title for s in own]
            assert all(f"{mark.name}, size {size}" in titles for mark in piece.marks)
            assert sum(s.style == "fold" for s in own) == piece.on_fold + sum(
                mark.style == "fold" for mark in piece.marks
            )


def test_marks_lie_in_a_nest_where_they_lie_on_the_piece(ten):
    """Each drill hole's ring is as far from the point all sizes share as the hole is on its own piece."""
    name = "back skirt"
    alone = nest_scene(ten, [name])
    (shared,) = [i for i in alone.items if isinstance(i, Stroke) and "lie on one another" in i.title]
    x, y = (shared.d[0][1] + shared.d[1][1]) / 2, shared.d[0][2]
    for size, (piece, move) in ten.nest(name).items():
        rings = [i for i in alone.items if getattr(i, "style", "") == "hole" and i.layer == f"size {size}"]
        for ring, hole in zip(rings, piece.drill_holes, strict=True):
            x0, y0, x1, y1 = item_box(ring)
            at = move(hole.point)
            assert ((x0 + x1) / 2 - x, (y0 + y1) / 2 - y) == pytest.approx((at.x, at.y), abs=1e-6)


def test_lettering_of_a_nest_covers_no_line(ten):
    scene = nest_scene(ten)
    for text in (item for item in scene.items if isinstance(item, Text) and item.piece != "key"):
        space = Polygon(text.corners())
        for item in scene.items:
            if isinstance(item, Stroke) and item.piece == text.piece:
                for run in flat_path(item.d):
                    assert not space.intersects(LineString(run)), f"{text.piece}: {text.text} on {item.title}"

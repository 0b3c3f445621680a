"""Working drawings and pictures of the making.

Properties: a drawing's widths are half of the girth that the pieces give at that level; heights are the
style's; a seam shows where a maker sees one, and none that lies inside; nothing is drawn under another layer;
every step of the order has its picture with its seams in it, and the booklet holds them all.
"""

from __future__ import annotations

import math

import pytest
import shapely
from shapely.geometry import LineString, Polygon, box

from patternlib import chart, garment_names, make
from patternlib.boards import garment_board
from patternlib.errors import ValueAtFault
from patternlib.geometry import Move, Point
from patternlib.laying import lay
from patternlib.making import CARE, finish_of, sewing_order
from patternlib.output.items import Stroke, Text, flat_path, item_box
from patternlib.output.paper.booklet import STEPS, making_pdf
from patternlib.output.scene.layers import Layer, Line, outline_of, stacked
from patternlib.output.scene.sewing import step_scene, step_scenes
from patternlib.output.scene.sewing.work import Work
from patternlib.output.scene.worn import worn_scene
from patternlib.output.scene.worn.apron import apron_layers, apron_views
from patternlib.output.scene.worn.pinafore import pinafore_views
from patternlib.output.scene.worn.smock import _stand, smock_views

VIEWS = {"pinafore": pinafore_views, "apron": apron_views, "smock": smock_views}
PANELS = {
    "pinafore": ("front skirt", "back skirt"),
    "apron": ("front panel", "back panel"),
    "smock": ("front", "back"),
}
BODIES = [("course", "6"), ("course", "12"), ("course", "30"), ("course-men", "134")]


def crossings(items, level: float, *, style: str = "contour") -> list[float]:
    """Where the lines of a style cross a level, from left to right."""
    ray = LineString([(-500, level), (500, level)])
    out = []
    for item in items:
        if isinstance(item, Stroke) and item.style == style:
            for run in flat_path(item.d):
                hit = LineString(run) & ray
                out += [
                    p.x for p in getattr(hit, "geoms", [hit]) if p.geom_type == "Point" and not p.is_empty
                ]
    return sorted(out)


def side_from_the_hem(piece, distance: float) -> Point:
    """The place on a piece's side seam at a distance walked up from the hem."""
    (edge,) = [e.curve for e in piece.edges if e.name in ("side seam", "side")]
    return min((edge.at(distance), edge.at(edge.length - distance)), key=lambda p: p.y)


@pytest.mark.parametrize(("chart_name", "size"), BODIES)
@pytest.mark.parametrize("name", garment_names())
def test_widths_are_half_of_the_girth_that_the_pieces_give(name, chart_name, size):
    """A garment laid flat is half of its girth wide, whatever front and back have of it."""
    garment = make(name, chart(chart_name).body(size))
    front, back = VIEWS[name](garment)
    panels = [garment.piece(piece) for piece in PANELS[name]]
    for distance in (2.0, 12.0, 20.0):
        own = [side_from_the_hem(piece, distance) for piece in panels]
        half = sum(abs(p.x) for p in own)
        for view, at in zip((front, back), own, strict=True):
            found = crossings(view, at.y)
            assert found[-1] - found[0] == pytest.approx(half, abs=0.1), (distance, found)
            assert found[-1] == pytest.approx(-found[0], abs=0.05), "both halves are alike"


def test_the_waist_of_the_drawing_is_that_of_the_closed_garment():
    """The pinafore's waist when it is closed, as its own check measures it on the seams: 74.2 cm."""
    from patternlib.output.scene.closing import closing_scene

    garment = make("pinafore", chart("course").body("12"))
    said = float(closing_scene(garment).title.split("waist ")[1].split()[0])
    front, _ = pinafore_views(garment)
    side = garment.drafts["front plan"]["side waist"].y
    found = crossings(front, side - 0.05)
    # the waist is a curve on the plan, a little longer than the straight way across
    assert 2 * (found[-1] - found[0]) == pytest.approx(said, abs=2.0)
    assert 2 * (found[-1] - found[0]) < said


SEEN = {  # what a maker sees from outside, and what lies inside (the trade's eye, no source)
    "pinafore": (
        {"bib to waistband", "waistband to front skirt", "side seam", "yoke to back skirt", "strap to yoke"},
        {"bib side to facing", "bib top to facing", "front opening", "waistband ends", "top of the extension",
         "yoke side edge to facing", "yoke neck edge to facing"},
    ),
    "apron": ({"side seam"}, set()),
    "smock": (
        {"centre front", "side seam", "sleeve to armhole"},
        {"slit to facing", "facing shoulder", "facing below the slit", "collar, outer edge"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", garment_names())
def test_seams_that_are_seen_are_drawn_as_seams_and_no_others(name):
    garment = make(name, chart("course").body("12"))
    views = VIEWS[name](garment)
    drawn = {item.id for view in views for item in view if item.style == "sewn" and item.id}
    shown = {s.name for s in garment.seams if {f"{p}/{e}" for p, e in (*s.a, *s.b)} & drawn}
    seen, inside = SEEN[name]
    assert seen <= shown, seen - shown
    assert not inside & shown
    hems = {f"{p.name}/{e.name}" for p in garment.pieces for e in p.edges if e.turn == "hem"}
    assert not hems & drawn, "a hem is a finished edge"


@pytest.mark.parametrize(
    ("style", "value", "measure"),
    [
        ("bib_height", 22.0, lambda f, v: max(y for x, y in points(f, "bib/top"))),
        ("bib_pocket_depth", 9.0, lambda f, v: spread(f, "bib pocket/side", 1)),
        ("bib_pocket_width", 18.0, lambda f, v: spread(f, "bib pocket/opening", 0)),
        ("bib_top", 26.0, lambda f, v: spread(f, "bib/top", 0)),
    ],
)
def test_the_drawing_follows_the_style_in_its_own_measure(style, value, measure):
    garment = make("pinafore", chart("course").body("12"), **{style: value})
    front, _ = pinafore_views(garment)
    assert measure(front, value) == pytest.approx(value, abs=0.05)


def points(items, edge: str):
    return [p for item in items if item.id == edge for run in flat_path(item.d) for p in run]


def spread(items, edge: str, axis: int) -> float:
    values = [p[axis] for p in points(items, edge)]
    return max(values) - min(values)


def test_as_many_buttons_as_are_bought_and_none_for_more():
    for n in (2, 4):
        garment = make("pinafore", chart("course").body("12"), fastenings=n)
        front, _ = pinafore_views(garment)
        assert sum(item.title == "button" for item in front) == 2 * n
        assert garment.notions[0].startswith(f"{2 * n} buttons")


def square(name: str, x: float, *, wrong: bool = False) -> Layer:
    room = Polygon([(x, 0), (x + 10, 0), (x + 10, 10), (x, 10)])
    return outline_of(Layer(name, room, (Line(LineString([(x, 5), (x + 10, 5)]), "sewn"),), wrong))


def test_a_layer_hides_what_lies_under_it_and_shades_its_wrong_side():
    under, over = square("under", 0), square("over", 6, wrong=True)
    items = stacked([under, over])
    length = {(i.piece, i.style): sum(LineString(run).length for run in flat_path(i.d)) for i in items}
    assert length["under", "sewn"] == pytest.approx(6, abs=0.01), "4 of its 10 cm are hidden"
    assert length["over", "sewn"] == pytest.approx(10, abs=0.01)
    # slanting lines 1.1 cm apart fill 100 square cm with 100 / 1.1 cm of line
    assert length["over", "shade"] == pytest.approx(100 / 1.1, rel=0.05)
    assert ("under", "shade") not in length


@pytest.mark.parametrize("name", garment_names())
def test_every_step_has_a_picture_with_what_is_sewn_in_it(name):
    garment = make(name, chart("course").body("12"), size="12")
    steps, scenes = sewing_order(garment), step_scenes(garment)
    assert len(steps) == len(scenes) > 5
    for step, scene in zip(steps, scenes, strict=True):
        assert all(map(math.isfinite, scene.bounds))
        assert f"step {step.number}" in scene.title
        if step.kind == "fit":
            continue
        heavy = {item.id for item in scene.items if isinstance(item, Stroke) and item.style == "sewing"}
        mine = {f"{p}/{e}" for p, e in step.edges}
        assert heavy, f"step {step.number} shows nothing that is sewn"
        assert heavy <= mine, f"step {step.number} shows {heavy - mine} sewn, which it does not sew"
        if step.kind == "seam":
            by_name = {s.name: s for s in garment.seams}
            for seam in map(by_name.get, step.seams):
                sewn = {*seam.a, *seam.b}
                for other in map(by_name.get, step.seams):  # what lies on the same edge is one line
                    sewn |= {*other.a, *other.b} if sewn & {*other.a, *other.b} else set()
                assert {f"{p}/{e}" for p, e in sewn} & heavy, f"{seam.name} is not drawn"
        assert finish_of(garment, step)


def test_right_sides_together_the_upper_piece_lies_on_the_lower_along_the_seam():
    """Turned over and laid on the front, the back's side seam lies on the front's: within the seam's bend."""
    garment = make("pinafore", chart("course").body("12"))
    step = next(s for s in sewing_order(garment) if "side seam" in s.seams)
    scene = step_scene(garment, step.number)
    own = [i for i in scene.items if isinstance(i, Stroke) and i.style == "sewing"]
    assert {i.id for i in own} == {"back skirt/side seam"}
    shaded = {i.piece for i in scene.items if isinstance(i, Stroke) and i.style == "shade"}
    assert shaded == {"back skirt"}, "only the piece that lies face down shows its wrong side"


@pytest.mark.parametrize(
    ("name", "seam", "facing", "under"),
    [
        ("pinafore", "front opening", "front facing", "front skirt"),
        ("smock", "slit to facing", "front facing", "front"),
        ("smock", "facing to neckline", "back facing", "back"),
        ("apron", "bib side to facing", "bib facing", "front panel"),
    ],
)
def test_a_facing_lies_on_the_piece_that_it_faces_right_side_down(name, seam, facing, under):
    garment = make(name, chart("course").body("12"))
    steps = sewing_order(garment)
    work = Work(garment, steps, next(s for s in steps if seam in s.seams))
    at = work.placed(sorted(work.step.pieces, key=lambda n: -garment[n].outline.area), over=True)
    on, below = (work.cloth(n, at[n], wrong=False).shape for n in (facing, under))
    assert (on & below).area > 0.8 * on.area, "it lies beside the piece"
    assert facing in work.down and under not in work.down


def test_the_way_out_of_the_tie_is_left_open_on_the_wearers_right_alone():
    garment = make("apron", chart("course").body("12"))
    step = next(s for s in sewing_order(garment) if "side seam" in s.seams)
    scene = step_scene(garment, step.number)
    sides = [i for i in scene.items if isinstance(i, Stroke) and i.title == "side seam"]
    long = sorted(sum(LineString(run).length for run in flat_path(i.d)) for i in sides[:2])
    top, foot = garment.left_open["side seam"]
    assert long[1] - long[0] == pytest.approx(foot - top, abs=0.1), "the gap is left out of the heavy line"
    short = min(sides[:2], key=lambda i: sum(LineString(run).length for run in flat_path(i.d)))
    other = next(i for i in sides[:2] if i is not short)
    middle = [sum(p[0] for run in flat_path(i.d) for p in run) for i in (short, other)]
    assert middle[0] < middle[1], "her right is on the left, seen from in front"
    assert sum(i.title == "bar tack" for i in scene.items if isinstance(i, Stroke)) == 2
    notches = sorted(n.at for n in garment["front panel"].notches if n.edge == "side seam")
    assert [top, foot] == pytest.approx(notches[:2], abs=0.05), "between the two upper notches"


@pytest.mark.parametrize("name", garment_names())
def test_the_name_of_a_piece_stands_clear_of_lines(name):
    garment = make(name, chart("course").body("12"))
    pieces = {piece.name for piece in garment.pieces}
    for scene in step_scenes(garment)[:-1]:
        drawn = [i for i in scene.items if isinstance(i, Stroke) and i.style != "shade"]
        lines = [LineString(run) for i in drawn for run in flat_path(i.d) if len(run) > 1]
        for text in (i for i in scene.items if isinstance(i, Text) and i.text in pieces):
            crossed = [one for one in lines if one.intersects(box(*item_box(text)))]
            assert not crossed, f"{scene.title}: a line runs through '{text.text}'"


def test_what_is_folded_and_turned_is_drawn_folded_from_then_on():
    """The extension's ends are closed on its fold: later it is as wide as the lap with its allowances."""
    garment = make("pinafore", chart("course").body("12"))
    widths = []
    for seam in ("top of the extension", "back opening"):
        step = next(s for s in sewing_order(garment) if seam in s.seams)
        work = Work(garment, sewing_order(garment), step)
        shape = work.cloth("back extension", Move(), wrong=False).shape
        widths.append(shape.bounds[2] - shape.bounds[0])
    assert widths[1] < 0.6 * widths[0]


def test_the_last_step_says_how_the_garment_is_fastened():
    body = chart("course").body("12")
    said = {}
    for name, style in (("pinafore", {}), ("pinafore", {"fastening": 1}), ("apron", {})):
        garment = make(name, body, **style)
        said[name, len(style)] = finish_of(garment, sewing_order(garment)[-1])
    assert "buttonholes" in said["pinafore", 0] and "press fasteners" in said["pinafore", 1]
    assert "nothing is sewn" in said["apron", 0]


def test_the_apron_is_drawn_tied():
    """One tie runs over the wearer's left side at the back; in front both are knotted below the waist."""
    garment = make("apron", chart("course").body("12"))
    front, back = ([one.shape for one in view if one.name == "tie"] for view in apron_layers(garment))
    (behind,) = back
    rim = min(one.shape.bounds[0] for one in apron_layers(garment)[1] if one.name == "back panel")
    assert behind.bounds[0] == pytest.approx(rim, abs=15) and behind.bounds[2] <= -garment.style["wrap"]
    whole = shapely.union_all(front)
    assert whole.geom_type == "Polygon", "band, knot and ends hang together"
    assert abs(whole.centroid.x) < 1 and whole.bounds[3] < 2.6, "in front of the centre, at the waist"
    side = garment.drafts["front plan"]["side"]
    opening = [side.at(side.length - cm) for cm in garment.left_open["side seam"]]
    assert whole.bounds[0] == pytest.approx(min(p.x for p in opening), abs=1.5), "it comes out of the seam"
    band = whole.intersection(box(whole.bounds[0], -20, whole.bounds[0] + 5, 20)).bounds
    assert band[3] <= max(p.y for p in opening) + 0.1 and band[1] >= min(p.y for p in opening) - 0.1


def test_the_aprons_straps_lie_on_the_inside():
    """As the words of the step say; the drawing as worn shows the squares that hold them."""
    garment = make("apron", chart("course").body("12"))
    step = next(s for s in sewing_order(garment) if "strap" in s.pieces and s.kind == "patch")
    scene = step_scene(garment, step.number)
    words = [item.text for item in scene.items if isinstance(item, Text)]
    assert "on the inside of the top" in words and any("crossed" in text for text in words)
    drawn = [i for i in scene.items if isinstance(i, Stroke) and i.piece == "front panel"]
    assert any(i.style == "shade" for i in drawn), "the bib's wrong side is up"
    squares = [i for i in worn_scene(garment).items if isinstance(i, Stroke) and "square" in i.title]
    assert len(squares) >= 3 and not any(i.piece == "strap" for i in squares)


def test_a_step_that_the_order_does_not_have_is_refused():
    garment = make("apron", chart("course").body("12"))
    with pytest.raises(ValueAtFault, match="between 1 and 12"):
        step_scene(garment, 13)


@pytest.mark.parametrize("name", garment_names())
def test_the_booklet_holds_all_steps_the_cutting_list_and_the_cautions(name):
    import io

    from pypdf import PdfReader

    garment = make(name, chart("course").body("12"), size="12")
    pages = PdfReader(io.BytesIO(making_pdf(garment))).pages
    steps = sewing_order(garment)
    assert len(pages) == 1 + math.ceil(len(steps) / STEPS)
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    for piece in garment.pieces:
        assert f"x {piece.name}" in text
    for caution in CARE:
        assert caution.split(". ")[0] in text
    assert "rules of your workplace" in text and "prick the drill holes" in text
    assert f"Buy {lay(garment, width=150, seconds=0).length_to_buy:.0f} cm of main cloth" in text
    for step in steps:
        words = " ".join(step.text.split())
        assert words[:30] in text and words.split(". ")[-1][-25:] in text, "a step's words are cut short"


@pytest.mark.parametrize("name", garment_names())
def test_the_board_of_the_drawing_draws_at_the_ends_of_its_sliders(name):
    from patternlib.garments import style_values

    values = [v.name for v in style_values(name)][:8]
    board = garment_board(name, chart("course").body("12"), values, show=["drawing"])
    assert board.error == ""
    for slider in board.setup["sliders"]:
        value, low, high = slider[0], slider[2], slider[3]
        for place in (low, high):
            try:
                scene = board.draw({value: place}).scene
            except ValueAtFault as refusal:
                assert "Take" in str(refusal)
                continue
            assert "working drawing" in scene.title and len(scene.items) > 40


def test_the_drawing_may_stand_beside_plans_and_pieces():
    body = chart("course").body("12")
    board = garment_board("pinafore", body, ["bib_height"], show=["drawing", "pieces"])
    alone = worn_scene(make("pinafore", body))
    wide = board.draw({}).scene.bounds
    assert wide[2] - wide[0] > 1.5 * (alone.bounds[2] - alone.bounds[0])


def test_a_layer_kept_in_a_room_keeps_the_lines_on_its_edge():
    layer = square("one", 0).within(Polygon([(0, 0), (5, 0), (5, 10), (0, 10)]))
    (edge,) = [line for line in layer.lines if line.style == "contour"]
    assert edge.shape.length == pytest.approx(20, abs=0.05)
    assert Point(0, 0).distance((3, 4)) == 5


def test_the_brief_of_the_first_lesson_has_the_values_that_are_drawn():
    """The table of the brief, against what size 12 starts with."""
    import re
    from pathlib import Path

    import nbformat

    from patternlib.garments import style_values

    lesson = nbformat.read(Path(__file__).parent.parent / "lessons" / "00_start_here.ipynb", as_version=4)
    (brief,) = [cell.source for cell in lesson.cells if cell.source.startswith("## The brief")]
    rows = dict(re.findall(r"^\| ([A-Z][^|]+) \| ([\d.]+) \|", brief, flags=re.MULTILINE))
    started = make("pinafore", chart("course").body("12")).style
    values = {value.label: started[value.name] for value in style_values("pinafore")}
    assert len(rows) >= 6
    assert {label: float(cm) for label, cm in rows.items()} == {label: values[label] for label in rows}


@pytest.mark.parametrize("height", [2.5, 5.0])
def test_a_stand_collar_has_no_horns_and_the_drawing_has_a_bar_of_20_cm(height):
    """A ring round the neck is highest behind: seen flat its back edge is level or rises to the middle."""
    garment = make("smock", "12", collar=1, stand_height=height)
    (collar,) = _stand(garment.drafts["back plan"]["neckline"], height, "back")
    top = [p for p in collar.shape.exterior.coords if p[1] > collar.shape.bounds[3] - 0.41]
    middle = max(p[1] for p in top if abs(p[0]) < 1)
    assert middle >= max(p[1] for p in top) - 1e-6
    (bar,) = [s for s in worn_scene(garment).items if getattr(s, "title", "") == "scale bar of 20 cm"]
    assert max(c[1] for c in bar.d) - min(c[1] for c in bar.d) == 20

"""The lessons as a reader meets them: on her own body, without code, in words that hold for her draft."""

from __future__ import annotations

import json
import math
import re
import tempfile
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import pytest

import patternlib as pl
from patternlib import tolerances
from patternlib.blocks.bodice import girth_at_bust
from patternlib.geometry import fair
from patternlib.moves import dart_angle
from patternlib.notebook import bullets, table, told
from patternlib.output.scene.pieces import DOUBLE, NOTCH
from patternlib.pieces.cut_line import BLUNT
from patternlib.survey import usual
from tests import bodies
from tests.lesson_runs import LESSONS, own_file, run_cell, run_lesson

TWO = ("", "waist over hip")
"""Bodies of the plain set: no file; a man without any dart. The slow test has twenty more."""


def body_of(case: str):
    return bodies.corners()[case] if case else None


def twenty() -> dict:
    """Twenty bodies: the corners, and women and men with every measure taken."""
    made = dict(bodies.corners())
    made |= {f"woman {k}": body for k, body in enumerate(bodies.simulated(3, "women", seed=89))}
    made |= {f"man {k}": body for k, body in enumerate(bodies.simulated(3, "men", seed=89))}
    assert len(made) == 20
    return made


def lesson(number: str):
    return next(path for path in LESSONS if path.name.startswith(number))


def cells(path, kind: str = "code") -> list[dict]:
    found = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return [{**c, "source": "".join(c["source"])} for c in found if c["cell_type"] == kind]


# -- every lesson on every body


def ran(number: str, case: str = "") -> tuple[SimpleNamespace, dict[str, str]]:
    """The names that a lesson has made, and what it says, on the measures of a case; each is run once."""
    return _ran(number, case)


@cache
def _ran(number: str, case: str) -> tuple[SimpleNamespace, dict[str, str]]:
    with tempfile.TemporaryDirectory() as folder:
        names, said = run_lesson(lesson(number), Path(folder), body_of(case))
    return SimpleNamespace(**names), said


@pytest.mark.parametrize("case", TWO)
@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem[:2])
def test_a_lesson_runs_to_its_end(path, case):
    _, said = ran(path.stem[:2], case)
    chart = [text for text in said.values() if "this page draws size 12 of the course's chart" in text]
    mine = [text for text in said.values() if "This page draws your own measures" in text]
    assert bool(mine) == bool(case) and bool(chart) == (not case)


@pytest.mark.slow
@pytest.mark.parametrize("case", twenty())
def test_all_lessons_run_on_twenty_bodies(case, tmp_path):
    for path in LESSONS:
        (tmp_path / path.stem).mkdir()
        run_lesson(path, tmp_path / path.stem, twenty()[case])


def test_a_lesson_that_names_a_dart_by_number_would_fail(tmp_path):
    """The check can fail: the lesson's old way of reading a draft stops on a body without darts."""
    block = pl.skirt_block(bodies.corners()["waist over hip"], length=60)
    with pytest.raises(pl.UnknownName):
        run_cell('block.read("back dart 1 mouth", "back dart 1 point")', {"block": block})


# -- the learner's own measures


def test_own_measures_are_found_named_and_never_stop_a_page(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    said: list[str] = []
    assert pl.own_body(say=said.append) == pl.chart("course")["12"] and "size 12" in said[-1]
    body = bodies.corners()["large man"]
    (tmp_path / "me.toml").write_text(own_file(body), encoding="utf-8")
    assert pl.own_body(say=said.append) == body and "bust 128.1, waist 112.2" in said[-1]
    (tmp_path / "me.toml").write_text("bust_girth = 88\nwaist_girth = 700\nhip_girth = 95\n")
    assert pl.own_body(say=said.append) == pl.chart("course")["12"]
    assert "cannot be used yet" in said[-1] and "Then write 70." in said[-1]


@pytest.mark.parametrize("place", ["lessons", ".."])
def test_own_measures_are_found_beside_the_exercises_too(place, tmp_path, monkeypatch):
    (tmp_path / "lessons").mkdir()
    (tmp_path / "exercises").mkdir()
    (tmp_path / "lessons/me.toml").write_text("bust_girth = 99\nwaist_girth = 80\nhip_girth = 105\n")
    monkeypatch.chdir(tmp_path if place == "lessons" else tmp_path / "exercises")
    assert pl.own_body(say=lambda _: None).bust_girth == 99


@pytest.mark.parametrize(
    "text",
    [
        'unit = "in"\nbust_girth = 36\nwaist_girth = 29\nhip_girth = 38\n',
        'bust_girth = 91.44\nwaist_girth = 73.7\nhip_girth = 96.5\n\n[readings]\nunit = "in"\n',
    ],
    ids=["by hand", "by the form"],
)
def test_a_page_is_in_the_unit_of_the_learners_own_file(tmp_path, text):
    """Nobody has to change a cell: lesson 07 speaks in inches where the file of measures does."""
    (tmp_path / "me.toml").write_text(text)
    names, said = run_lesson(lesson("07"), tmp_path)
    assert names["unit"] == "in" and names["body"].bust_girth == pytest.approx(91.44)
    told = " ".join(said.values())
    assert re.search(r"go up \d+( \d/\d+)? in\b", told) and not re.search(r"go up [\d.]+ cm", told)


def test_what_a_refusal_advises_is_taken_and_said():
    said: list[str] = []
    slight = bodies.corners()["tall and slight"]
    made = pl.own_garment(slight, say=said.append, pocket_width=14)
    assert made.body == slight and len(said) == 1
    assert re.search(
        r"'Back pocket, width' 14 cm is refused: .+ takes 'Back pocket, width' 13\.5 cm\.", said[0]
    )
    with pytest.raises(pl.PatternError):
        pl.make("pinafore", slight, pocket_width=14)


def test_advice_about_another_value_is_taken_too():
    """The error names the strap's level, its sentence another value: nothing is read out of the sentence."""
    said: list[str] = []
    asked = {"strap_level": 20.0, "back_rise": 3.0, "strap_from_centre": 3.0}
    with pytest.raises(pl.ValueAtFault) as refused:
        pl.make("pinafore", "12", **asked)
    assert refused.value.name not in refused.value.instead
    made = pl.own_garment(pl.chart("course")["12"], say=said.append, **asked)
    assert made.given == asked | refused.value.instead
    assert said[0].endswith(
        f"This page takes 'Strap from the centre back' {made.given['strap_from_centre']:g} cm."
    )


def test_where_no_advice_helps_size_12_is_drawn_and_said():
    said: list[str] = []
    made = pl.own_garment(bodies.corners()["small"], say=said.append, skirt_length=62, no_such_value=3)
    assert made.body == pl.chart("course")["12"] and "this page draws size 12" in said[-1]


# -- no code in the way


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem[:2])
def test_code_is_folded_and_holds_no_tests(path):
    for cell in cells(path):
        folded = cell["metadata"].get("jupyter", {}).get("source_hidden", False)
        assert folded, cell["id"]
        assert not re.search(r"^\s*assert |\bprint\(", cell["source"], re.M), cell["id"]


def test_lesson_00_says_how_code_is_opened():
    text = " ".join(cell["source"] for cell in cells(LESSONS[0], "markdown"))
    assert "folded away" in text and "three dots" in text and "Shift + Enter" in text


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem[:2])
def test_pictures_and_lists_show_before_anything_is_run(path):
    """An untrusted notebook hides SVG outputs; an HTML image and HTML lists it shows."""
    for cell in cells(path):
        for output in cell["outputs"]:
            data = output.get("data", {})
            assert "image/svg+xml" not in data, cell["id"]
            plain = "".join(data.get("text/plain", "")) + "".join(output.get("text", ""))
            assert "· " not in plain or "text/html" in data, f"{cell['id']}: a list as typewriter text"
            for image in re.findall(r"<img[^>]*>", "".join(data.get("text/html", ""))):
                assert "max-width:100%" in image, cell["id"]


def test_words_for_the_page_are_escaped_and_marked_up():
    assert told("a < b").html == "<p>a &lt; b</p>"
    assert bullets(["a", "b"], numbered=True).html == "<ol>\n<li>a</li>\n<li>b</li>\n</ol>"
    made = table([("hem", "-3.0"), ("fold", "none"), ("side", "1 1/2 in")], heads=("edge", "wide"))
    for column, side in (
        ("edge", "left"),
        ("hem", "left"),
        ("wide", "right"),
        ("-3.0", "right"),
        ("none", "right"),
    ):
        assert re.search(rf'<t[hd] style="text-align:{side}">{column}</t[hd]>', made.html), column
    both = told("first") + bullets(["second"])
    assert repr(both) == "first\n· second" and both.html.endswith("</ul>")


# -- what the lessons claim


CASES = pytest.mark.parametrize("case", TWO)


def test_lesson_01_figures_of_the_survey():
    """Correlations as the text of the lesson reads them, and its two formulas [NATICK/TR-89/044]."""
    n, _ = ran("01")
    assert n.survey["n"] == 2208
    said = {"waist_nat_girth": 0.86, "hip_girth": 0.71, "bust_span": 0.53,
            "back_waist_nat_len": 0.14, "shoulder_len": 0.07}  # fmt: skip
    assert all(abs(n.with_bust[name] - r) < 0.005 for name, r in said.items())
    assert abs(0.6252 * 88 + 0.2026 * 165 + 6.967 - usual("hip_girth", "women", 88, 165)[0]) < 0.01
    assert abs(0.8572 * 88 - 0.0037 * 165 - 4.594 - usual("waist_girth", "women", 88, 165)[0]) < 0.01


@CASES
def test_lesson_02_the_sums_of_the_skirt(case):
    n, said = ran("02", case)
    body, block = n.body, n.block
    assert abs(block["hip line"].length - (body.hip_girth + 5) / 2) < 1e-9
    assert abs(n.closed - (body.waist_girth + 2.4) / 2) < 1e-6
    assert abs((n.taken - n.shaping) - (n.curved - n.level)) < 1e-6
    assert all(abs(a - b) < 1e-9 for a, b in n.legs)
    points = [s.name for s in block.steps if re.fullmatch(r"(back|front) dart( \d)? point", s.name)]
    for part in ("back", "front"):
        many = sum(name.startswith(part) for name in points)
        assert f"{('no dart', 'one dart', 'two darts')[many]} in the {part}" in said["shaping-said"]
    assert ("goes out" in said["shaping-said"]) == (block["side shaping"] < 0)


def test_lesson_02_against_the_handout():
    """Points of the block against WikiEducator's Handout for drafting skirt block, worked by hand."""
    n, _ = ran("02")
    assert 0.4 < max(n.other[name].distance(place) for name, place in n.handout.items()) < 0.5


@CASES
def test_lesson_03_the_self_checks(case):
    n, said = ran("03", case)
    body, block = n.body, n.block
    assert abs(block["bust line"].length - (body.bust_girth + 10) / 2) < 1e-9
    assert abs(n.neck - body.neck_girth) < 1e-6
    assert abs(2 * girth_at_bust(block) - body.bust_girth - 10) < 0.01
    if "waist dart mouths" in block:
        assert abs(n.waist - body.waist_girth - 5) < 1e-6
        assert abs(n.over - body.length_over_bust) < 0.2
    assert abs(block["back side"].length - block["front side"].length) < 1e-9 and 0 <= n.ease <= 1.3
    assert n.off < 1e-9
    assert all(abs(float(angle) - 180) <= tolerances.SMOOTH for *_, angle in n.rows)
    assert n.has_dart == ("no bust dart" not in said["dart-steps"])
    if n.has_dart:
        assert abs(n.legs[0] - n.legs[1]) < 1e-9
        assert abs(n.away - 0.3 * body.neck_to_bust - n.full) < 1e-9


def test_lesson_03_figures_for_size_12():
    n, _ = ran("03")
    fall = n.body.shoulder_drop - 1.5
    assert abs(n.falls["back"] - fall - 0.9) < 0.15 and abs(n.falls["front"] - fall + 0.6) < 0.15
    assert abs(n.deep - 21) < 0.05 and abs(n.slope - 19.5) < 0.15
    assert abs(n.block["underarm point"].x - (n.block["bust line"].length / 2 - 0.5)) < 1e-9
    assert abs(n.block["side shaping"] - min(max(0.15 * n.shaping, 0.8), 2.5)) < 1e-9


@CASES
def test_lesson_04_what_stays_equal(case):
    n, said = ran("04", case)
    assert abs(dart_angle(n.moved, n.new) - dart_angle(n.front, n.legs)) < 1e-6
    assert abs(n.moved.area - n.front.area) < 1e-6 and abs(n.parts - n.front["side"].length) < 1e-6
    reach = n.moved[n.new[0]].length
    assert abs(2 * reach * math.sin(math.radians(n.t / 2)) - n.mouth(n.moved, n.new)) < 1e-6
    assert abs(sum(n.angles) - n.t) < 1e-6 and abs(n.two.area - n.front.area) < 1e-6
    assert n.flared["hem"].closest(n.mark)[1] < 0.001
    assert abs(n.flared["side"].length - n.skirt["side"].length) < 1e-6
    assert abs(n.hem - n.wide - 2 * 2.5) < 1e-6
    assert ("size 12" in said["front-said"]) == (not n.has_dart)


def test_lesson_04_the_task_lies_on_the_waist():
    assert ran("04")[0].there.startswith("waist")


@CASES
def test_lesson_05_lines_that_meet(case):
    n, _ = ran("05", case)
    assert math.hypot(30, 40) == 50
    assert abs(n.a.distance(n.c) - n.b.distance(n.e)) < 1e-9
    assert abs(n.hem.length - n.above.length - 3 * n.turn) < 0.01
    assert min(n.bends(n.side)) >= 0 > min(n.bends(n.bumpy))
    start, corner, end = n.parts[0].start, n.parts[0].end, n.parts[1].end
    assert abs(fair([start, end], **n.ends).closest(corner)[1] - 0.4 * n.deep) < 0.1
    assert n.trued.length < n.before


def test_lesson_05_limits_as_told():
    assert (tolerances.SMOOTH, tolerances.SQUARE, tolerances.SEAM) == (3.0, 0.5, 0.05)
    n, _ = ran("05")
    ridge = n.ridge(n.leg, n.leg2, n.beside, n.point)
    assert 0 < n.ridge(n.high, n.high2, n.near, n.point) < ridge


def test_lessons_06_and_07_style_as_told():
    """The numbers that stand in the text are the starting style of size 12."""
    n, _ = ran("06")
    told_style = {"hip_ease": 6, "waist_ease": 4, "waistband": 5, "yoke_side_depth": 5, "skirt_length": 62,
                  "flare": 10, "extension": 3, "extension_run_on": 1.8, "pocket_from_centre": 3,
                  "pocket_below_yoke": 2, "pocket_point": 2.5, "pocket_width": 13, "pocket_length": 13,
                  "yoke_depth": 7, "bib_pocket_below_top": 5, "bib_pocket_width": 14, "bib_pocket_depth": 12,
                  "fitting": 3.2, "cloth_thickness": 0.3, "strap_spread": 1.7}  # fmt: skip
    assert {name: n.style[name] for name in told_style} == told_style
    m, _ = ran("07")
    assert m.back["centre hem"].y > -65 and m.high < 125 - 65 + 2


@CASES
def test_lessons_06_and_07_front_and_back_agree(case):
    n, _ = ran("06", case)
    assert abs(n.both["front"] - n.both["back"]) < 0.1
    assert abs(n.front["waistline"].length - n.quarter) < 0.05
    m, _ = ran("07", case)
    assert abs(m.back["side"].length - m.front["side"].length) < 1e-6
    step = m.style["yoke_side_depth"] - m.style["waistband"]
    drawn = m.back["yoke side part"].length - m.front["waistband side part"].length
    assert abs(drawn - step) < 1e-6 and (case or step == 0)
    assert abs(m.back["yoke line"].start_direction.y) < 1e-9
    reach = m.front["front neck point"].distance(m.back["strap end as drafted"])
    assert abs(reach - m.neck.distance(m.back["strap end"])) < 1e-9
    assert m.back["pocket opening"].is_straight


def test_lesson_08_the_strap():
    n, said = ran("08")
    assert abs(n.strap.edge("end").curve.length - n.finished) < 0.01 and abs(n.base - n.finished - 1.7) < 0.01
    assert abs(n.base - n.garment.piece("back yoke").edge("strap seat").curve.length) < 0.01
    assert n.strap.cut == 2 and n.strap.pair and 0.05 < abs(n.wider - n.long) < 0.5
    assert "wider than its fitting" in said["wrong"]


@CASES
def test_lesson_09_pieces(case):
    n, said = ran("09", case)
    assert len(n.garment.pieces) == 13 and abs(n.lengths[0] - n.lengths[1]) < 1e-9
    assert abs(n.turn - 90) < tolerances.SQUARE
    assert all(
        words in said["checks-cell"] for words in ("no grain line", "how many to cut", "needs an even number")
    )
    assert "the fold has an allowance" in said["checks-fold"]


def test_lesson_10_sums():
    n, _ = ran("10")
    assert BLUNT == 2.2 and round(2 * math.pi * n.W / 4) == 113
    circle = 2 * math.pi * 2.5 * 2
    assert abs(circle - 31.4) < 0.05 and "31.4 cm" in ran("10")[1]["flared-print"]


@CASES
def test_lesson_11_notches(case):
    n, said = ran("11", case)
    assert (NOTCH, DOUBLE) == (0.3, 1.0)
    for seam in n.garment.seams:
        places = [0, *(at for at, *_ in seam.notches), n.long[seam.name]]
        assert max(b - a for a, b in pairwise(places)) < 35 or case
    assert abs(n.above.y - n.hole.y - 1) < 0.01 and abs(n.hole.x - n.corner.x - 0.3) < 0.01
    assert "202 yoke to back skirt" in said["fault-print"]


@CASES
def test_lesson_12_breaks_are_found(case):
    n, said = ran("12", case)
    assert all(seam.ease == 0 for seam in n.garment.seams)
    assert "102 yoke to back skirt" in said["break"] and "302 side seam" in said["hem-break"]
    assert "102 side seam" in said["opening-break"] and said["mended"].strip() == "· Nothing to correct."
    assert len(n.faults) == 3 and n.faults <= n.asked.keys()


def test_lesson_13_grades():
    n, _ = ran("13")
    assert n.fourteen.bust_girth - n.twelve.bust_girth == 4 and n.fourteen.height == n.twelve.height == 165
    assert abs(n.fourteen.hip_girth - n.twelve.hip_girth - 2.5) < 0.05
    assert all(abs(step - n.inch / 4) < 0.001 for step in n.steps)
    assert n.sizes.seams_match and n.mixed.seams_match
    for point, by_hand in n.by_hand.items():
        assert abs(by_hand - n.moves[point]) < 0.1, point
    moved = {name: [r.x for r in n.mixed.grade_table() if (r.piece, r.point) == ("front skirt", name)]
             for name in ("side seam / hem", "waistband edge / opening")}  # fmt: skip
    hem, band = moved["side seam / hem"], moved["waistband edge / opening"]
    assert abs(band[1] - band[0]) < abs(band[1] - band[2]) and abs(hem[1] - hem[2]) < abs(hem[1] - hem[0])


def test_lesson_14_cloth():
    n, _ = ran("14")
    assert abs(100 * n.area / (n.usable * n.flat.length) - n.flat.use) < 0.01
    assert abs(n.share - n.flat.shrinkage) < 1e-9 and n.folded.length > n.flat.length
    assert n.striped.length > n.flat.length and n.least < n.low
    assert n.wanted.length_to_buy % 10 == 0


def test_lessons_15_and_16_files():
    n, _ = ran("15")
    named = "pattern.svg pattern.dxf nest.svg grade-table.csv lay.svg cutting-list.csv making.txt"
    assert {*named.split(), "sewing-order.csv", "checks.txt", "garment.json"} <= n.files.keys()
    assert sum(name.endswith(".pdf") for name in n.files) == 5
    assert n.hip * (1 - 0.94) > n.garment.style["hip_ease"]
    _, said = ran("16")
    assert "13 pieces" in said["files-check"] and "pieces" in said["second-files"]
    assert "must be put right" not in said["findings"] and "Nothing to correct" in said["second-check"]


def test_the_boards_of_answers_know_right_from_wrong():
    """Each question of a lesson: its right answer is right, another is not."""
    n, _ = ran("09")
    board = run_value("09", "task-cell")
    right = {f"q{k}": answer for k, (_, answer) in enumerate(n.asked.values(), 1)}
    assert board.draw(right).findings[0].text == "6 of 6 right"
    assert board.draw(right | {"q1": "single"}).findings[1].text == "look again at: bib"
    grown, hip = ran("13")[0].moves["opening / side seam"], ran("15")[0].hip
    for number, id, answer in (("13", "task-cell", grown), ("15", "task-board", 0.03 * hip)):
        board = run_value(number, id)
        assert board.draw({"mine": answer}).findings[0].text == "right"
        assert board.draw({"mine": answer + 0.5}).findings[0].text.startswith("not yet")


def run_value(number: str, id: str):
    """The value of the last line of a cell, in the lesson as it has run."""
    names, _ = ran(number)
    source = next(cell["source"] for cell in cells(lesson(number)) if cell["id"] == id)
    space = dict(vars(names))
    call = source[source.rindex("\n" + re.search(r"^(?:choice|number)_board", source, re.M)[0]) :] if (
        "\n" in source and not re.match(r"(?:choice|number)_board", source)
    ) else source  # fmt: skip
    exec("value = " + call.strip(), space)
    return space["value"]

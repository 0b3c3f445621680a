"""SVG: read back with an XML parser, measured in mm, safe with any words."""

from __future__ import annotations

import base64
import re
import xml.etree.ElementTree as ET

import pytest
from shapely import Polygon

from patternlib.errors import PatternError
from patternlib.output.items import Stroke, Text
from patternlib.output.scene import Scene, draft_scene, piece_scene, plan_scene
from patternlib.output.styles import LINES
from patternlib.output.svg import as_svg
from patternlib.pieces import finish
from tests.browser_tools import chromium, find_browser
from tests.drawn import SIZES, drawn, panel, path_length, path_lines, pieces_of, pinafore, rounds

NS = "{http://www.w3.org/2000/svg}"
HOSTILE = (
    '<script>alert("x")</script>', "bib & tucker's 1/2\" > hem", "a\x00b\x08\ud800c", "]]>", "Schürze – ½"
)  # fmt: skip


def read(scene, **options) -> ET.Element:
    return ET.fromstring(as_svg(scene, **options).encode("utf-8"))


def paths(root, **want):
    return [p for p in root.iter(f"{NS}path") if all(p.get(k) == v for k, v in want.items())]


def group(root, piece: str):
    (found,) = [g for g in root.iter(f"{NS}g") if g.get("data-piece") == piece]
    return found


def styled(root, style: str):
    return [p for g in root.iter(f"{NS}g") if g.get("data-style") == style for p in g.iter(f"{NS}path")]


# --- full size ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_one_unit_of_the_drawing_is_one_mm(size):
    """width and height in mm equal those of the viewBox, so a user unit is 1 mm [SVG 1.1, 7.7 and 7.10]."""
    scene, root = drawn(size), read(drawn(size))
    x, y, wide, high = map(float, root.get("viewBox").split())
    assert (x, y) == (0, 0)
    assert root.get("width") == f"{wide:g}mm" or abs(float(root.get("width")[:-2]) - wide) < 1e-9
    assert root.get("height").endswith("mm") and float(root.get("height")[:-2]) == high
    assert wide == pytest.approx((scene.bounds[2] - scene.bounds[0]) * 10, abs=1e-3)
    assert high == pytest.approx((scene.bounds[3] - scene.bounds[1]) * 10, abs=1e-3)
    assert not root.findall(f".//*[@transform]/{NS}path")


@pytest.mark.parametrize("size", SIZES)
def test_edges_measure_what_the_pattern_says(size):
    """Path lengths by scipy's quadrature, read back from the file, against the lengths of the seam line."""
    root = read(drawn(size))
    for piece in pinafore(size).pieces:
        for edge in piece.edges:
            if edge.turn == "fold":
                continue
            id = f"{piece.name}.{edge.name}".replace(" ", "-")
            (path,) = paths(root, id=id)
            assert path_length(path.get("d")) == pytest.approx(edge.curve.length * 10, abs=0.02), id


@pytest.mark.parametrize("size", SIZES)
def test_areas_measure_what_the_pattern_says(size):
    root = read(drawn(size))
    for piece in pinafore(size).pieces:
        own = group(root, piece.name)
        outline = [p.get("d") for p in styled(own, "cut")]
        outline += [p.get("d") for p in styled(own, "fold") if p.get("id")]
        (area,) = rounds(outline)
        assert area.area == pytest.approx(Polygon(piece.cut_line).area * 100, rel=1e-4)


def test_the_test_square_is_100_mm_both_ways():
    (path,) = paths(read(drawn("12")), id="test-square")
    sides = [s[1] - s[0] for s in pieces_of(path.get("d"))]
    assert [round(abs(v), 3) for v in sides] == [100, 100, 100, 100]
    assert {(abs(round(v.real, 3)), abs(round(v.imag, 3))) for v in sides} == {(100, 0), (0, 100)}


def test_curves_are_true_cubics_and_cut_lines_polylines():
    root = read(drawn("12"))
    assert "C" in paths(root, id="back-yoke.side-edge")[0].get("d")
    assert not any("C" in p.get("d") for p in styled(root, "cut"))


def test_the_page_hangs_the_right_way_up():
    """y runs down on the page: the hem lies below the waist, and pieces are not mirrored."""
    root = read(drawn("12"))
    low, high = (paths(root, id=f"front-skirt.{edge}")[0].get("d") for edge in ("hem", "waistband-edge"))
    assert min(z.imag for s in pieces_of(low) for z in s) > max(z.imag for s in pieces_of(high) for z in s)
    ring = [z for e in pinafore("12").piece("strap").edges for z in _ends(root, f"strap.{e.name}")]
    turned = sum(p.real * q.imag - p.imag * q.real for p, q in zip(ring, [*ring[1:], ring[0]], strict=True))
    assert turned < 0  # anticlockwise seen on paper


def _ends(root, id: str):
    pieces = pieces_of(paths(root, id=id.replace(" ", "-"))[0].get("d"))
    return [s[0] for s in pieces]


def test_everything_lies_on_the_sheet():
    for scene in (drawn("26"), plan_scene(pinafore("26")), drawn("26", "screen")):
        for true_size in (True, False):
            root = read(scene, true_size=true_size)
            _, _, wide, high = map(float, root.get("viewBox").split())
            for p in paths(root):
                for g in path_lines(p.get("d")):
                    x0, y0, x1, y1 = g.bounds
                    assert x0 >= -1e-6 and y0 >= -1e-6 and x1 <= wide + 1e-6 and y1 <= high + 1e-6


@pytest.mark.browser
@pytest.mark.skipif(find_browser() is None, reason="needs Chromium")
def test_a_browser_shows_it_at_true_size():
    """100 mm are 377.95 px, at 96 px an inch of 25.4 mm [CSS Values and Units 3, 6.2]."""
    with chromium() as browser:
        page = browser.new_page()
        page.set_content(f"<body style='margin:0'>{as_svg(drawn('12'))}</body>")
        rect = page.evaluate("(() => { const r = document.getElementById('test-square').getBBox();"
                             "const m = document.getElementById('test-square').getScreenCTM();"
                             "return [r.width * m.a, r.height * m.d]; })()")  # fmt: skip
        assert rect == pytest.approx([100 / 25.4 * 96] * 2, abs=0.01)
        for text, room in zip(*_text_rooms(page), strict=True):
            assert room[0] <= room[1] * 1.03 + 0.2, text  # letters run no wider than was calculated


def _text_rooms(page):
    ask = "[...document.querySelectorAll('text')].map(t => [t.textContent, t.getBBox().width])"
    real = page.evaluate(ask)
    expected = {}
    for item in drawn("12").items:
        if isinstance(item, Text):
            (x0, y0), (x1, y1) = item.corners()[:2]
            expected.setdefault(item.text, []).append(10 * abs(complex(x1 - x0, y1 - y0)))
    return [t for t, _ in real], [(width, expected[t].pop(0)) for t, width in real]


# --- what it is made of -------------------------------------------------------------------------------------


def test_groups_are_named_for_pieces_and_layers():
    root = read(drawn("12"))
    for piece in pinafore("12").pieces:
        own = group(root, piece.name)
        assert own.get("id") == piece.name.replace(" ", "-")
        assert {"seam lines", "cut lines", "marks", "labels"} <= {g.get("data-layer") for g in own}


def test_ids_are_unique_and_plain():
    pair = (panel(9, 9, name="a/b c"), panel(9, 9, name="a b/c"))
    twice = Scene(tuple(i for p in pair for i in piece_scene(p).items), "two", (-5, -5, 20, 20))
    for scene in (drawn("12"), plan_scene(pinafore("12")), twice):
        ids = [e.get("id") for e in read(scene).iter() if e.get("id")]
        assert len(set(ids)) == len(ids) and all(re.fullmatch(r"[a-z][a-z0-9.-]*", i) for i in ids)


def test_it_has_a_text_alternative():
    root = read(drawn("12"))
    assert root.get("role") == "img"
    named = {e.get("id"): e.text for e in root.iter() if e.get("id")}
    said = " ".join(named[i] for i in root.get("aria-labelledby").split())
    assert "pinafore, size 12" in said and "13 pieces" in said and "back yoke" in said
    other = read(drawn("12"), title="My apron", desc="Cut twice.")
    assert other.find(f"{NS}title").text == "My apron" and other.find(f"{NS}desc").text == "Cut twice."


@pytest.mark.parametrize("words", HOSTILE)
@pytest.mark.parametrize("true_size", [True, False])
def test_hostile_words_stay_words(words, true_size):
    """Names and labels with markup, quotes or characters XML does not know: no element, all words kept."""
    piece = finish(panel(40, 40, name=words, label=(words, "cut 1")))
    root = read(piece_scene(piece), true_size=true_size, title=words, desc=words)
    kinds = {e.tag.removeprefix(NS) for e in root.iter()}
    assert kinds <= {"svg", "g", "path", "text", "title", "desc", "rect", "style"}
    kept = re.sub("[\x00\x08\ud800]", "", words)
    said = [t.text for t in root.iter(f"{NS}text")]
    assert any(kept in text for text in said) and root.find(f"{NS}title").text == kept


def test_nothing_outside_the_file_is_referred_to():
    for options in ({}, {"true_size": False}):
        text = as_svg(drawn("12"), **options)
        assert text.count("http") == 1  # the namespace
        assert not re.search(r"href|url\(|<script|<image|<use|@import|<!ENTITY|\bon\w+=", text)


def test_lines_have_the_width_and_dashes_of_the_table():
    root = read(drawn("12"))
    seen = {}
    for g in root.iter(f"{NS}g"):
        if g.get("data-style"):
            dashes = tuple(map(float, (g.get("stroke-dasharray") or "").split()))
            seen[g.get("data-style")] = (float(g.get("stroke-width")), dashes, g.get("stroke"))
    assert {"cut", "seam", "fold", "grain", "notch", "hole", "placement"} <= set(seen)
    for style, look in seen.items():
        assert look == (LINES[style].width, LINES[style].dashes, LINES[style].colour)


def test_greys_where_no_colour_is_wanted():
    scene = plan_scene(pinafore("12"))
    for colour, grey in ((True, False), (False, True)):
        inks = set(re.findall(r'(?:stroke|fill)="#(\w{6})"', as_svg(scene, colour=colour)))
        assert all(i[:2] == i[2:4] == i[4:] for i in inks) == grey


# --- on a screen --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [400, 900])
@pytest.mark.parametrize("lettering", ["paper", "screen"])
def test_a_picture_is_readable_at_its_width(width, lettering):
    """No lettering under 11 px, none on another, lines that keep their width."""
    scene = drawn("12", lettering)
    root = read(scene, true_size=False, width=width)
    assert float(root.get("width")) >= width - 1e-6 and "mm" not in root.get("width")
    assert all(float(t.get("font-size")) >= 11 - 1e-3 for t in root.iter(f"{NS}text"))
    assert "non-scaling-stroke" in root.find(f"{NS}style").text
    names = {t.text for t in root.iter(f"{NS}text")}
    assert {"front skirt", "back skirt"} <= names
    _, _, wide, high = map(float, root.get("viewBox").split())
    for t in root.iter(f"{NS}text"):
        turn = float((t.get("transform") or "rotate(0").split("(")[1].split()[0])
        at = (float(t.get("x")), high - float(t.get("y")))
        expected = Text(*at, t.text, float(t.get("font-size")), t.get("text-anchor"), -turn)
        assert all(-1 <= x <= wide + 1 and -1 <= y <= high + 1 for x, y in expected.corners()), t.text


def test_a_picture_of_a_step():
    root = read(draft_scene(pinafore("12").drafts["skirt block"], upto="side hip"), true_size=False)
    assert any(t.get("font-weight") == "bold" and t.text == "side hip" for t in root.iter(f"{NS}text"))


@pytest.mark.parametrize("width", [10, 10**6])
def test_a_width_that_is_none_is_refused(width):
    with pytest.raises(PatternError, match="50 and 10000 px"):
        as_svg(drawn("12"), true_size=False, width=width)


def test_a_drawing_is_shown_as_an_image():
    scene = Scene((Stroke((("M", 0, 0), ("L", 10, 0)), "own", "plan"),), "a line – ½", (0, 0, 10, 5))
    assert ET.fromstring(as_svg(scene)).get("width") == "100mm" and "½" in as_svg(scene)
    shown = scene._repr_html_()  # an image, which an untrusted notebook shows as well
    drawing = base64.b64decode(re.search(r'base64,([^"]+)"', shown)[1]).decode()
    assert ET.fromstring(drawing).get("width") == "840" and 'alt="drawing: a line – ½"' in shown

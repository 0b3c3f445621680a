"""PDF pages: rendered at 300 dpi by pdfium, cut, laid together and measured; words read back by pypdf."""

from __future__ import annotations

import itertools
import math
from functools import cache

import numpy as np
import pypdf
import pytest
from shapely import LineString, Polygon, box, union_all

from patternlib.__main__ import main
from patternlib.body import chart
from patternlib.errors import PatternError
from patternlib.garments import make
from patternlib.laying import lay
from patternlib.output.items import Stroke, Text, curve_path
from patternlib.output.paper.first import _sample, line_words
from patternlib.output.paper.pdf import as_pdf
from patternlib.output.paper.tiles import read_paper, tile, wanted
from patternlib.output.scene import Scene, garment_scene, piece_scene, plan_scene
from patternlib.output.scene.nests import nest_scene
from patternlib.output.styles import LINES, SIZES
from patternlib.pieces import finish
from patternlib.sizes import size_range
from tests.drawn import cut_area, drawn, panel, path_lines, pinafore
from tests.printed import MARGIN, MM, laid_together, measured, page_names, read, render, round_corners, sheets


@cache
def printed(paper: str, pieces: tuple | None = None, layers: tuple | None = None) -> bytes:
    return as_pdf(drawn("12"), paper=paper, pieces=pieces, layers=layers)


# --- test square --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["a4", "letter", "a3", "a0", "roll=60"])
def test_the_test_square_is_100_mm_both_ways(paper):
    """Within 0.2 mm, measured between the middles of its lines in the picture."""
    dark = render(printed(paper), 0, corner=(130, 150)) < 128
    for across in (0, 1):
        share = _longest(dark if across else dark.T)
        lines = np.flatnonzero(share > 99 * MM)
        groups = np.split(lines, np.flatnonzero(np.diff(lines) > 3) + 1)
        middles = [group.mean() for group in groups]
        assert len(middles) == 2
        assert (middles[1] - middles[0]) / MM == pytest.approx(100, abs=0.2)


def _longest(dark: np.ndarray) -> np.ndarray:
    """The longest unbroken dark run of each row, px."""
    best = run = np.zeros(len(dark))
    for column in dark.T:
        run = (run + 1) * column
        best = np.maximum(best, run)
    return best


@pytest.mark.parametrize("paper", ["a4", "letter", "a3", "a0", "roll=90"])
def test_the_first_page_says_how_to_check_and_shows_the_map(paper):
    text = " ".join(read(printed(paper)).pages[0].extract_text().split())
    assert "100 mm" in text and "with a ruler, across and down" in text and "100 % (actual size)" in text
    assert "Map of the pages" in text and "pinafore, size 12" in text
    for name in page_names(printed(paper))[1:]:
        assert name in text.split()
    for piece in pinafore("12").pieces:
        assert piece.name in text


# --- paper --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("paper", "sides"),
    [("a4", (210, 297)), ("letter", (215.9, 279.4)), ("a3", (297, 420)), ("a0", (841, 1189))],
)
def test_sheets_have_the_size_of_the_paper(paper, sides):
    """ISO 216; Letter 8 1/2 by 11 in."""
    for page in read(printed(paper)).pages:
        size = sorted(float(v) / 72 * 25.4 for v in page.mediabox[2:])
        assert size == pytest.approx(sides, abs=0.01)


@pytest.mark.parametrize(("paper", "wide"), [("roll=90", 900), ("roll=36 in", 914.4), ("roll=60", 600)])
def test_a_roll_is_one_sheet_as_long_as_it_must_be(paper, wide):
    (page,) = read(printed(paper)).pages
    assert float(page.mediabox.width) / 72 * 25.4 == pytest.approx(wide, abs=0.01)
    dark = render(printed(paper), 0, 40) < 200
    low = len(dark) - np.flatnonzero(dark.any(axis=1)).max()
    assert 10 <= low / 40 * 25.4 <= 25


def test_the_margins_stay_blank():
    """10 mm all round, on every sheet of every paper."""
    for paper in ("a4", "letter", "a3"):
        for k in range(len(read(printed(paper)).pages)):
            ink = render(printed(paper), k, 100) < 250
            m = int(MARGIN * 100 / 25.4) - 1
            ink[m:-m, m:-m] = False
            assert not ink.any(), (paper, k)


def test_nothing_is_scaled_by_the_reader_without_being_asked():
    preferences = read(printed("a4")).trailer["/Root"]["/ViewerPreferences"]
    assert preferences["/PrintScaling"] == "/None"


def test_the_same_drawing_gives_the_same_bytes():
    scene = piece_scene(panel(40, 40, name="Łódź", label=("Łódź", "Ω")))
    assert as_pdf(scene) == as_pdf(scene)
    assert as_pdf(drawn("12")) == printed("a4")


def test_curves_are_true_cubics():
    """The curved seam lines are drawn with the operator c of a page description [ISO 32000-1, 8.5.2]."""
    one = Scene((Stroke(curve_path(panel(9, 9).edge("side").curve), "seam", "seam lines"),), "", (0, 0, 9, 9))
    ops = [op for _, op in _operations(as_pdf(one), 1)]
    assert b"c" in ops and b"l" not in ops


def _operations(data: bytes, page: int):
    reader = read(data)
    return pypdf.generic.ContentStream(reader.pages[page].get_contents(), reader).operations


# --- pages --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["a4", "letter", "a3"])
@pytest.mark.parametrize("size", ["6", "12", "26"])
def test_every_page_that_is_needed_and_none_more(paper, size):
    """By shapely: the cells that a line, a word or paper of a piece falls into."""
    scene = garment_scene(pinafore(size), test_square=False)
    tiling = tile(wanted(scene), read_paper(paper))
    inked = [cut_area(tiling.scene, piece.name) for piece in pinafore(size).pieces]
    for item in tiling.scene.items:
        inked += [Polygon(item.corners())] if isinstance(item, Text) else path_lines(item.d)
    inked = union_all(inked)
    x0, y0, x1, y1 = tiling.pages[0].cell
    wide, high = x1 - x0, y1 - y0
    left, top = x0 - tiling.pages[0].column * wide, y1
    assert tiling.pages[0].row == 0
    want = {
        (r, c)
        for r in range(40)
        for c in range(40)
        if box(left + c * wide, top - (r + 1) * high, left + (c + 1) * wide, top - r * high)
        .buffer(-1e-6)
        .intersects(inked)
    }
    assert [(page.row, page.column) for page in tiling.pages] == sorted(want)
    sheets = page_names(as_pdf(scene, paper=paper))
    assert sheets[1:] == [page.name for page in tiling.pages]


def test_pages_are_few():
    """No more than one page in four is taken beyond what the pieces' own boxes would fill."""
    for paper in ("a4", "letter", "a3"):
        tiling = tile(wanted(garment_scene(pinafore("12"), test_square=False)), read_paper(paper))
        boxes = [cut_area(tiling.scene, piece.name).envelope.area for piece in pinafore("12").pieces]
        x0, y0, x1, y1 = tiling.pages[0].cell
        assert len(tiling.pages) <= 1.25 * math.ceil(sum(boxes) / (x1 - x0) / (y1 - y0)) + 2


def narrow_strips(tiling, names) -> list[tuple[str, str]]:
    """(piece, page) where a page shows less than 1 cm of a piece that lies on others too; by shapely."""
    found = []
    for name in names:
        whole = cut_area(tiling.scene, name)
        for page in tiling.pages:
            shown = whole & box(*page.cell)
            if whole.area - shown.area < 1e-6:
                continue
            for part in getattr(shown, "geoms", [shown]):
                x0, y0, x1, y1 = part.bounds if part.area > 1e-4 else (0, 0, 2, 2)
                if min(x1 - x0, y1 - y0) < 1:
                    found.append((name, page.name))
    return found


@pytest.mark.parametrize(("name", "left"), [("pinafore", 0), ("apron", 1), ("smock", 1)])
def test_no_page_shows_only_millimetres_of_a_piece(name, left):
    """Sizes 6 to 30 on A4 and Letter; 41 strips if no piece is moved; `left`: where no move helps."""
    found = []
    for size in ("6", "12", "16", "30"):
        garment = make(name, chart("course").body(size))
        names = [piece.name for piece in garment.pieces]
        for paper in ("a4", "letter"):
            tiling = tile(wanted(garment_scene(garment), pieces=names), read_paper(paper))
            found += narrow_strips(tiling, names)
    assert len(found) <= left, found


def test_pieces_that_were_moved_keep_apart():
    for size in ("16", "30"):
        tiling = tile(wanted(garment_scene(pinafore(size), test_square=False)), read_paper("letter"))
        areas = [cut_area(tiling.scene, piece.name) for piece in pinafore(size).pieces]
        assert all(a.distance(b) > 0.399 for a, b in itertools.combinations(areas, 2))


def test_a_page_inside_a_large_piece_is_kept():
    """It has no line on it, but without it the paper piece has a hole."""
    piece = finish(panel(100, 100))
    scene = wanted(piece_scene(piece), layers=["cut lines"])
    tiling = tile(scene, read_paper("a4"))
    whole = union_all([box(*page.cell) for page in tiling.pages]).buffer(1e-6)
    assert whole.covers(cut_area(tiling.scene, "panel"))
    bare = [p for p in tiling.pages if not union_all(ink(tiling.scene)).intersects(box(*p.cell))]
    assert bare


def ink(scene) -> list:
    return [line for item in scene.items for line in path_lines(item.d)]


def test_a_line_between_two_points_misses_no_page():
    """A straight line over many pages, against shapely."""
    d = (("M", 0.0, 0.0), ("L", 150.0, 93.0))
    tiling = tile(Scene((Stroke(d, "own", "plan"),), "", (0, 0, 150, 93)), read_paper("a4"))
    line, cells = LineString([(0, -93), (150, 0)]), [box(*page.cell) for page in tiling.pages]
    assert all(line.intersects(cell) for cell in cells)
    assert union_all(cells).buffer(1e-6).covers(line)


def test_only_the_wanted_pieces_and_layers():
    text = " ".join(page.extract_text() for page in read(printed("a4", ("strap", "bib"))).pages)
    assert "strap" in text and "bib" in text and "yoke" not in text and "bib pocket" not in text
    bare = printed("a4", ("strap",), ("cut lines",))
    assert "cut 2 as a pair" not in " ".join(page.extract_text() for page in read(bare).pages)
    assert len(read(bare).pages) < len(read(printed("a4")).pages) / 3


@pytest.mark.parametrize(
    ("options", "word"),
    [
        ({"pieces": ["straps"]}, "'strap'"), ({"layers": ["seams"]}, "seam lines"), ({"paper": "a5"}, "'a4'"),
        ({"paper": "roll"}, "roll=90"), ({"paper": "roll=5"}, "45 and 200"),
        ({"paper": "roll=x"}, "not a length"), ({"paper": "a4=3"}, "'a4'"),
        ({"pieces": ["test square"], "layers": ["seam lines"]}, "nothing to print"),
    ],
)  # fmt: skip
def test_what_cannot_be_printed_is_refused(options, word):
    with pytest.raises(PatternError, match=word):
        as_pdf(drawn("12"), **options)


def test_make_writes_a_file_for_each_paper(tmp_path, capsys):
    out = tmp_path / "out"
    papers = ["--paper", "letter", "roll=91.4", "--pieces", "bib", "--layers", "cut lines", "--cloth", "90"]
    assert main(["make", "pinafore", "--size", "12", *papers, "--out", str(out)]) == 0
    got = {path.name: path.read_bytes() for path in out.glob("*.pdf")}
    assert got.keys() == {"pattern-letter.pdf", "pattern-roll-91.4.pdf", "making.pdf"}
    width = float(read(got["making.pdf"]).pages[0].mediabox.width)
    assert width == pytest.approx(215.9 / 25.4 * 72, abs=0.5), "the booklet is on the sheet that is asked for"
    first = " ".join(read(got["making.pdf"]).pages[0].extract_text().split())
    bought = lay(make("pinafore", "12"), width=90, seconds=0).length_to_buy
    assert f"Buy {bought:.0f} cm of main cloth, 90 cm wide." in first, "on the cloth that is asked for"
    assert len(read(got["pattern-letter.pdf"]).pages) < 6
    said = capsys.readouterr().out
    assert all(name in said for name in got)
    assert (out / "pattern.dxf").read_text(encoding="ascii").startswith("  0\nSECTION")


@pytest.mark.parametrize("wrong", [["--paper", "a5"], ["--paper", "a4", "roll=9"], ["--pieces", "bibb"]])
def test_make_refuses_what_it_cannot_print_and_leaves_nothing(wrong, tmp_path, capsys):
    assert main(["make", "pinafore", "--size", "12", *wrong, "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and "Traceback" not in said and not list(tmp_path.iterdir())


# --- labels and lines ---------------------------------------------------------------------------------------


def test_labels_can_be_read_as_text():
    text = " ".join(" ".join(page.extract_text().split()) for page in read(printed("a4")).pages)
    for piece in pinafore("12").pieces:
        assert piece.name in text
    for words in ("kiln-room pinafore", "cut 1 on the fold", "cut 2 as a pair", "place on the fold"):
        assert words in text


@pytest.mark.parametrize("words", ["Schürze – ½", "Łódź Ω", "a\x00b\x08", "(\\) % <x>", "x" * 500, "\ud800"])
def test_any_words_can_be_printed(words):
    scene = piece_scene(finish(panel(40, 40, name=words, label=(words, "cut 1"))))
    text = "".join(page.extract_text() for page in read(as_pdf(scene)).pages)
    plain = "".join(c for c in words if c.isprintable())[:100]
    assert plain.replace(" ", "") in "".join(text.split())


def test_each_size_of_a_nest_has_its_own_line():
    """Ten sizes on one sheet: ten ways of drawing, each in the key by its size."""
    names = [str(n) for n in range(6, 26, 2)]
    items = tuple(
        Stroke((("M", k, k), ("L", 30 - k, k), ("L", 15, 30 - k), ("Z",)), style, f"size {name}", piece="bib")
        for k, (style, name) in enumerate(zip(SIZES, names, strict=False))
    )
    data = as_pdf(Scene(items, "bib, sizes 6 to 24", (0, 0, 30, 30)), paper="a3")
    assert all(f"size {name}" in read(data).pages[0].extract_text() for name in names)
    looks, dash, width = set(), None, None
    for numbers, op in _operations(data, 1):
        if op == b"d":
            dash = tuple(round(float(v), 2) for v in numbers[0])
        elif op == b"w":
            width = float(numbers[0])
        elif op == b"S" and width == pytest.approx(LINES["size 1"].width / 25.4 * 72, abs=1e-3):
            looks.add(dash)
    assert len(looks) == 10


def test_the_key_draws_no_two_lines_alike():
    """Grain line and cut line are both unbroken: the grain has its arrow heads in the key, too."""
    scene = drawn("12")
    samples = {style: _sample(scene, style, 0.0, 0.0) for style in line_words(scene)}
    for a, b in itertools.combinations(samples, 2):  # width alone is lost on many printers
        same_shape = list(samples[a]) == list(samples[b])
        assert not (same_shape and LINES[a].dashes == LINES[b].dashes), (a, b)
    assert {"cut", "grain"} <= samples.keys()


def test_a_printed_nest_has_its_marks_and_its_quantities():
    sizes = size_range("pinafore", "course", ["10", "12"])
    data = as_pdf(nest_scene(sizes, ["back skirt", "bib"]), paper="a0")
    words = read(data).pages[0].extract_text()
    for said in ("drill hole", "sizes 10 to 12", "cut 1 on the fold", "main cloth", "place on the fold"):
        assert said in words


def test_greys_where_no_colour_is_wanted():
    for colour in (True, False):
        data = as_pdf(plan_scene(pinafore("12")), paper="roll=150", colour=colour)
        inks = {
            tuple(round(float(v), 3) for v in numbers)
            for numbers, op in _operations(data, 0)
            if op in (b"RG", b"rg")
        }
        assert any(len(set(ink)) > 1 for ink in inks) == colour


# --- laid together ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("piece", ["front skirt", "back skirt"])
def test_corner_marks_meet(piece):
    """Round a corner where pages meet they all show the same, and there is a mark by which to see it."""
    corners = round_corners(sheets(printed("a4", (piece,), ("cut lines",))))
    assert corners
    for seen in corners:
        for one in seen:  # a ring round the corner, seen halfway between the lines that meet there
            diagonal = np.diagonal(one)[round(3 * MM) :]
            assert np.median(diagonal) > 250 and diagonal.min() < 200
        for one, other in itertools.combinations(map(_soft, seen), 2):
            assert np.abs(one - other).mean() < 4
            off = np.roll(other, round(0.5 * MM), axis=(0, 1))
            assert np.abs(one - off).mean() > 8  # half a mm off shows


def _soft(picture: np.ndarray) -> np.ndarray:
    """Each place the mean of nine, so that a line between two pixels looks like one on a pixel."""
    return sum(np.roll(picture, (i, j), axis=(0, 1)) for i in (-1, 0, 1) for j in (-1, 0, 1)) / 9


@pytest.mark.parametrize("name", ["back yoke", "strap", "back skirt"])
def test_seams_on_the_pages_laid_together(name):
    """Within 0.5 mm of garment.json.

    Edges that run on into each other without a corner are measured as one; those beside the fold have no
    corner in ink and are passed over.
    """
    (piece,) = [p for p in pinafore("12").to_dict()["pieces"] if p["name"] == name]
    picture = laid_together(sheets(printed("a4", (name,), ("seam lines",))))
    runs = seam_runs(piece["edges"])
    got = measured(picture, [points for points, _ in runs])
    want = [10 * length for _, length in runs]
    seen = [k for k, length in enumerate(got) if not math.isnan(length)]
    assert [got[k] for k in seen] == pytest.approx([want[k] for k in seen], abs=0.5)
    assert len(runs) - 2 * any(edge["turn"] == "fold" for edge in piece["edges"]) == len(seen) >= 1


def seam_runs(edges: list[dict]) -> list[tuple[list, float]]:
    """(points, length) of the edges from corner to corner, without the fold, whose neighbour comes first."""
    fold = next((k for k, edge in enumerate(edges) if edge["turn"] == "fold"), -1)
    runs: list[tuple[list, float]] = []
    for edge in edges[fold + 1 :] + edges[: max(fold, 0)]:
        points = edge["points"]
        if runs:
            (ax, ay), (bx, by), (cx, cy) = *runs[-1][0][-2:], points[1]
            turn = math.atan2((bx - ax) * (cy - by) - (by - ay) * (cx - bx),
                              (bx - ax) * (cx - bx) + (by - ay) * (cy - by))  # fmt: skip
            if abs(turn) < math.radians(20):
                runs[-1] = runs[-1][0] + points[1:], runs[-1][1] + edge["length"]
                continue
        runs.append((points, edge["length"]))
    return runs

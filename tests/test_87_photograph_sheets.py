"""What is printed for photographs: markers on every page, the code, strips, flags; seen in the page."""

from __future__ import annotations

import io
import itertools

import numpy
import pypdf
import pytest

from patternlib.__main__ import main
from patternlib.assess import exercise, exercises, numbers_for
from patternlib.assess.answers.grids import grid_pages
from patternlib.assess.answers.worksheet import worksheet_pdf
from patternlib.assess.photographed.flags import by_name, drawable, flag_names, line_places
from patternlib.assess.photographed.label import read_label
from patternlib.geometry import Curve, Point
from patternlib.output.items import item_box
from patternlib.output.paper.tiles import SHEETS, read_paper
from patternlib.photo.layouts import FLAGS, STRIPS, TEST_LINE, sheet_layout, strips_layout

cv2 = pytest.importorskip("cv2")
pdfium = pytest.importorskip("pypdfium2")

PER_CM = 60.0
FAMILY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
"""OpenCV's own table and reader of the family: a reader that is not ours."""
DRAWN = [id for id, work in exercises().items() if drawable(work, numbers_for("lena"))]


def page_pictures(data: bytes) -> list[numpy.ndarray]:
    """Every page of a PDF in grey, 60 pixels a cm."""
    document = pdfium.PdfDocument(data)
    return [
        numpy.asarray(page.render(scale=PER_CM * 2.54 / 72, grayscale=True).to_pil().convert("L"))
        for page in document
    ]


def markers(picture: numpy.ndarray, size: tuple[float, float] = SHEETS["a4"]) -> dict[int, numpy.ndarray]:
    """The markers on a picture by number, corners in cm from the lower left corner, y up."""
    options = cv2.aruco.DetectorParameters()
    options.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, numbers, _ = cv2.aruco.ArucoDetector(FAMILY, options).detectMarkers(picture)
    found = {}
    for number, four in zip([] if numbers is None else numbers.ravel(), corners, strict=True):
        x, y = (four[0] + 0.5).T * numpy.array(size)[:, None] / numpy.array(picture.shape[::-1])[:, None]
        found[int(number)] = numpy.column_stack([x, size[1] - y])
    return found


def code_text(picture: numpy.ndarray) -> str:
    return str(cv2.QRCodeDetector().detectAndDecode(picture)[0])


@pytest.mark.parametrize(("paper", "scale", "id"), [("a4", "half", "02a"), ("letter", "half", "05b")])
def test_every_page_of_the_grid_can_be_read(paper, scale, id):
    """All 20 markers where the layout says, to 0.15 mm, a pixel; the code; the test line of 15 cm."""
    pictures = page_pictures(worksheet_pdf(id, student="Zoë B.", scale=scale, paper=paper))
    pages = grid_pages(
        exercise(id), numbers_for("Zoë B."), student="Zoë B.", scale=scale, paper=read_paper(paper)
    )
    assert pages is not None and len(pages.labels) > 1
    for k, picture in enumerate(pictures[-len(pages.labels) :]):
        high, wide = picture.shape
        across = wide > high
        layout = sheet_layout(paper, k, across=across)
        seen = markers(picture, layout.size)
        assert seen.keys() == layout.markers.keys()
        off = [numpy.abs(seen[n] - numpy.array(four)).max() for n, four in layout.markers.items()]
        assert max(off) < 0.015
        x0, y0, x1, y1 = (PER_CM * cm for cm in layout.code)
        part = picture[round(high - y1) : round(high - y0), round(x0) : round(x1)]
        label = read_label(code_text(part))
        assert label == pages.labels[k] and label.across == across and label.student == "Zoë B."
        start, _ = layout.test_line
        row = picture[round(high - start.y * PER_CM) - 1 : round(high - start.y * PER_CM) + 2].min(axis=0)
        black = numpy.flatnonzero(row < 100)
        assert (black[-1] - black[0] + 1) / PER_CM == pytest.approx(TEST_LINE, abs=0.06)


@pytest.mark.parametrize("scale", ["full", "half", "quarter"])
def test_the_label_says_where_the_draft_lies(scale):
    """Crosses of given points are found in the printed page where the label puts them."""
    id, of = "04b", numbers_for("lena")
    work = exercise(id)
    data = worksheet_pdf(id, student="lena", scale=scale)
    pages = grid_pages(work, of, student="lena", scale=scale, paper=read_paper("a4"))
    draft = work.reference(of)
    shown = {getattr(item, "title", "") for item in pages.tiling.scene.items}
    given = [draft[n] for n in work.given(draft) if n in shown and isinstance(draft[n], Point)]
    found = 0
    for label, picture in zip(pages.labels, page_pictures(data)[-len(pages.labels) :], strict=True):
        high, wide = picture.shape
        for place in given:
            x, y = label.on_page(place)
            if not (2.6 < x < wide / PER_CM - 3.6 and 3.4 < y < high / PER_CM - 2.6):
                continue
            i, j = round(high - y * PER_CM), round(x * PER_CM)
            for di, dj in ((0, 8), (0, -8), (8, 0), (-8, 0)):  # on each of the four arms
                assert picture[i + di - 2 : i + di + 3, j + dj - 2 : j + dj + 3].min() < 160
                found += 1
    assert found >= 4


@pytest.mark.parametrize("id", DRAWN)
def test_no_point_lies_under_a_marker_at_half_scale(id):
    """Markers are black: a pencil line over one cannot be seen. Points may come near them in a few drafts."""
    work, of = exercise(id), numbers_for("lena")
    draft = work.reference(of)
    pages = grid_pages(work, of, student="lena", scale="half", paper=read_paper("a4"))
    for label, layout in zip(pages.labels, pages.layouts, strict=True):
        for asked in work.steps():
            if isinstance(draft[asked.name], Point):
                x, y = label.on_page(draft[asked.name])
                for four in layout.markers.values():
                    (x0, y1), (x1, y0) = four[0], four[2]
                    assert not (x0 - 0.1 < x < x1 + 0.1 and y0 - 0.1 < y < y1 + 0.1), asked.name


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_two_numbers_of_a_grid_stand_side_by_side(paper):
    """At a fifth, where the lines lie closest: 10 and 20 in a row would be read as 1020."""
    for id in DRAWN:
        of = numbers_for("lena")
        pages = grid_pages(exercise(id), of, student="lena", scale="fifth", paper=read_paper(paper))
        for page in pages.tiling.pages:
            drawn = Numbers()
            pages.draw(drawn, page)
            boxes = [item_box(text) for text in drawn.texts]
            assert len(boxes) > 2
            for a, b in itertools.combinations(boxes, 2):
                beside = min(a[3], b[3]) - max(a[1], b[1]) > 0
                apart = max(a[0], b[0]) - min(a[2], b[2])
                assert not beside or apart > 0.3, (id, page, [text.text for text in drawn.texts])


class Numbers:
    """A pen that draws nothing and keeps the numbers it is given."""

    def __init__(self):
        self.texts = []
        self.canvas = self

    def text(self, item):
        self.texts.append(item)

    def at(self, x, y):
        return x, y

    def __getattr__(self, name):
        return lambda *_, **__: self


def test_strips_can_be_cut_out_and_read():
    pictures = page_pictures(worksheet_pdf("02b", student="lena", scale="full", strips=True))
    for strip in strips_layout("a4"):
        seen = markers(pictures[-1])
        assert strip.markers.keys() <= seen.keys()
        off = [numpy.abs(seen[n] - numpy.array(four)).max() for n, four in strip.markers.items()]
        assert max(off) < 0.015
    label = read_label(code_text(pictures[-2]))
    assert (label.loose, label.exercise, label.student, label.scale) == (True, "02b", "lena", 1)


def test_there_is_a_flag_for_each_point_with_its_name():
    work, of = exercise("02b"), numbers_for("lena")
    data = worksheet_pdf("02b", student="lena", flags=True)
    names = flag_names(work, of)
    seen = set().union(*(markers(p) for p in page_pictures(data)[-1:]))
    assert seen == {FLAGS + k for k in range(2, len(names))}
    words = " ".join(pypdf.PdfReader(io.BytesIO(data)).pages[-1].extract_text().split())
    assert all(name in words for name in names[2:])
    assert set(names) >= {a.name for a in work.steps() if a.kind == "point"}
    assert by_name({2: Point(1, 2), 170: Point(0, 0)}, work, of) == {names[2]: Point(1, 2)}


@pytest.mark.parametrize("id", DRAWN)
def test_a_line_is_named_by_its_own_ends(id):
    work, of = exercise(id), numbers_for("ben")
    draft = work.reference(of)
    for name, places in line_places(work, of).items():
        line = draft[name]
        assert isinstance(line, Curve)
        for place, end in zip((places[0], places[-1]), (line.start, line.end), strict=True):
            if place in draft:
                assert draft[place].distance(end) < 1e-6
            else:
                assert place.endswith(f"end of the {name}") and place in flag_names(work, of)


def test_numbers_of_markers_that_were_printed_stay():
    """Sheets and flags that a class has at home are read next year too: where each kind begins."""
    assert (FLAGS, STRIPS) == (300, 480)


@pytest.mark.parametrize("option", ["--flags", "--strips"])
def test_flags_for_what_is_not_drawn_are_refused_with_a_sentence(option, tmp_path, capsys):
    out = tmp_path / "sheet.pdf"
    assert main(["worksheet", "13b", "--student", "lena", option, "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert "nothing is drawn on paper" in said and "Leave out" in said and not out.exists()


def test_a_short_worksheet_has_its_words_on_one_page():
    words = pypdf.PdfReader(io.BytesIO(worksheet_pdf("02a", student="lena"))).pages[0].extract_text()
    assert "do not crop or edit them" in words

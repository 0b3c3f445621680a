"""Worksheets: true to scale, telling no answer, and enough to hand a paper draft in by."""

from __future__ import annotations

import io

import pypdf
import pytest

from patternlib.__main__ import main
from patternlib.assess import exercises, judge, numbers_for
from patternlib.assess.answers.paper_form import measured
from patternlib.assess.answers.worksheet import PLACES, SCALES, worksheet_pdf
from patternlib.assess.tasks.needed import numbers_needed
from patternlib.geometry import Curve, Point
from patternlib.output.items import text_width
from patternlib.output.paper.first import SMALL

POINTS_PER_CM = 72 / 2.54
"""A PDF's unit is 1/72 inch [ISO 32000-1, 8.3.2.3, from memory]; the inch: NIST SP 811."""


def texts(data: bytes) -> list[list[tuple[str, float, float]]]:
    """(words, x, y) in cm of every page."""
    pages = []
    for page in pypdf.PdfReader(io.BytesIO(data)).pages:
        found: list = []

        def see(text, outer, matrix, *_, found=found):
            if text.strip():
                x, y = matrix[4], matrix[5]
                a, b, c, d, e, f = outer
                found.append(
                    (text.strip(), (a * x + c * y + e) / POINTS_PER_CM, (b * x + d * y + f) / POINTS_PER_CM)
                )

        page.extract_text(visitor_text=see)
        pages.append(found)
    return pages


def test_names_of_lines_stay_on_the_page():
    """The right margin is 1 cm; what is given to draw on is called so."""
    (first,) = [
        p for p in texts(worksheet_pdf("02b", student="lena")) if any(t == "The lines" for t, *_ in p)
    ]
    ends = {t: x + text_width(t, SMALL) for t, x, _ in first}
    assert ends["every 10 cm of the pattern"] < 21 - 1 and "given" in ends
    assert "block underneath" not in ends


def test_where_nothing_is_drawn_the_sheet_speaks_of_no_draft():
    (page,) = texts(worksheet_pdf("01a", student="lena", scale="half"))
    told = " ".join(t for t, *_ in page)
    assert "Fill in" in told and "draft" not in told and "scale" not in told


@pytest.mark.parametrize("scale", SCALES)
def test_the_grid_is_true_to_scale(scale):
    """Two numbers of the grid that are 10 cm of the draft apart lie 10 cm over the scale apart."""
    pages = texts(worksheet_pdf("02a", student="lena", scale=scale))
    (grid,) = [p for p in pages if {"0", "10", "waist at centre back"} <= {t for t, *_ in p}]
    numbers = [(int(t), x, y) for t, x, y in grid if t.removeprefix("-").isdigit()]
    per_ten = 10 / SCALES[scale]
    across = [u - x for n, x, _ in numbers for m, u, _ in numbers if m == n + 10 and n >= 0]
    up = [v - y for n, _, y in numbers for m, _, v in numbers if m == n + 10 and m <= 0]
    assert min(abs(far - per_ten) for far in across) < 0.01
    assert min(abs(far - per_ten) for far in up) < 0.01


def test_what_is_measured_at_half_scale_earns_full_marks():
    """Every draft drawn at half scale, read to the millimetre and doubled, at the places of the table."""

    def by_hand(name, value):
        def mm(x):
            return round(x / 2, 1) * 2

        if isinstance(value, Curve):
            run = value.length / (PLACES - 1)
            return [tuple(mm(c) for c in value.at(k * run)) for k in range(PLACES)]
        if isinstance(value, Point):
            return mm(value.x), mm(value.y)
        return round(value, 1) if "angle" in name else mm(value)

    for id, work in exercises().items():
        draft = work.reference(numbers_for("lena"))
        given = {a.name: by_hand(a.name, draft[a.name]) for a in work.steps()}
        lines = judge(measured(id, given, student="lena")).lines
        off = [line.text for line in lines if line.step in given and line.verdict not in ("right", "carried")]
        assert not off, (id, off)


def test_the_sheet_gives_the_numbers_and_no_answer():
    """A quarter of hip and ease is left to the student; the hip and its ease are told."""
    words = " ".join(t for page in texts(worksheet_pdf("02a", student="lena")) for t, *_ in page)
    of = numbers_for("lena")
    quarter = (of.body.hip_girth + of.style["hip_ease"]) / 4
    assert f"{of.body.hip_girth:.1f}" in words and f"{of.style['hip_ease']:.1f}" in words
    assert not any(f"{q:.1f}" in words for q in (quarter, 2 * quarter))


@pytest.mark.parametrize("id", exercises())
def test_nothing_is_cut_short(id):
    words = " ".join(t for page in texts(worksheet_pdf(id, student="lena")) for t, *_ in page)
    assert "…" not in words and "such as 9 1/2 in." in words


@pytest.mark.parametrize("id", ["02a", "05c", "07b", "12b"])
def test_numbers_the_exercise_names_are_given(id):
    work, of = exercises()[id], numbers_for("lena")
    named = {n for step, terms in work.terms.items() if step in work.sentences(of) for n in terms}
    assert named <= numbers_needed(work, of).keys()


def test_a_lesson_prints_all_its_exercises_the_same_each_time(tmp_path, capsys):
    for name in ("a.pdf", "b.pdf"):
        assert (
            main(["worksheet", "10", "--student", "lena", "--scale", "full", "--out", str(tmp_path / name)])
            == 0
        )
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    pages = texts((tmp_path / "a.pdf").read_bytes())
    words = " ".join(t for page in pages for t, *_ in page)
    assert "10a ·" in words and "10b ·" in words
    assert f"{len(pages)} pages" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["99z", "--student", "lena"], "99z"),
        (["02a", "--student", "lena", "--scale", "halve"], "half"),
        (["02a", "--student", "lena", "--paper", "a0"], "a4"),
        (["02a", "--student", "x" * 81], "80"),
        (["16", "--student", "lena", "--flags"], "not photographed"),
    ],
)
def test_a_wrong_word_is_one_sentence(arguments, word, tmp_path, capsys):
    out = tmp_path / "sheet.pdf"
    assert main(["worksheet", *arguments, "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert word in said and said.count("\n") == 1 and not out.exists()


def test_a_folder_that_does_not_exist_is_told(tmp_path, capsys):
    assert main(["worksheet", "02a", "--student", "lena", "--out", str(tmp_path / "no" / "sheet.pdf")]) == 2
    assert "folder that exists" in capsys.readouterr().err

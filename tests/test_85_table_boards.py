"""Boards of the cutting table, and the exercises of lessons 13 to 15 against figures from outside.

Properties: every board draws at each of its choices; a nest moves with its fixed point; the pages
of a board are those of the PDF. Published: the sharing of a girth's grade, sheet sizes.
"""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

import pytest
from shapely import Polygon, box, unary_union

from patternlib import chart, make
from patternlib.assess import exercises, numbers_for
from patternlib.boards import garment_board, table
from patternlib.errors import UnknownName
from patternlib.garments.pinafore import make_pinafore
from patternlib.output.items import Text
from patternlib.output.paper import tiles
from patternlib.output.paper.tiles import read_paper, tile
from patternlib.output.scene import garment_scene
from patternlib.sizes import size_range

GARMENT = make("pinafore", chart("course").body("12"))
WHO = [f"student {k}" for k in range(12)]
INCH = 2.54


def answers(id: str, student: str) -> dict[str, float]:
    draft = exercises()[id].reference(numbers_for(student))
    return {step.name: draft[step.name] for step in draft}


@pytest.mark.parametrize("piece", ["front skirt", "strap"])
def test_a_nest_is_drawn_at_every_fixed_point(piece):
    board = table.nest_board(size_range("pinafore", "course", ["10", "12", "14"]), piece)
    (points,) = (s[-1] for s in board.setup["sliders"] if s[0] == "at")
    seen = set()
    for at in points:
        scene = board.draw({"at": at}).scene
        seen.add(next(i.d[0] for i in scene.items if getattr(i, "title", "") == f"{piece}, size 10"))
        assert board.error == "" and all(map(math.isfinite, scene.bounds))
    assert len(seen) > 1


def test_every_size_in_the_key_of_a_nest_has_room_for_its_name():
    """A board hides a label that would lie on another; on a narrow one letters of 1 cm take up nearly 3."""
    scene = table.nest_board(size_range("pinafore", "course", ["8", "10", "12", "14"]), "bib").draw().scene
    words = [i for i in scene.items if i.piece == "key" and isinstance(i, Text)]
    assert [w.text for w in words[2:]] == ["size 8", "size 10", "size 12", "size 14"]
    assert all(above.y - below.y >= 2.8 * below.size_cm for above, below in pairwise(words))


def test_an_unknown_piece_has_no_nest():
    with pytest.raises(UnknownName):
        table.nest_board(size_range("pinafore", "course", ["12"]), "sleeve")


def test_beside_what_is_chosen_in_words_lies_no_dotted_start():
    """A lay on other cloth is another lay; beside a length that was moved the start has the same words."""
    board = table.lay_board(GARMENT)
    board.values = {"width": 0}
    assert board.picture["all"]["count"] == 0 and "start" not in board.picture["all"]
    board = garment_board("smock", chart("course").body("12"), ["length", "collar"])
    start = dict(board.values)
    board.values = {"collar": 1 - start["collar"]}
    assert "start" not in board.picture["all"]
    board.values = {"length": start["length"] + 4}
    stand = board.draw({**board.values, "length": start["length"]})
    lengths = board.picture["all"]["start"]["lengths"]
    assert lengths.keys() == set(board._packer.pack(stand)["facts"])


def test_the_cloth_is_laid_as_chosen_and_kept():
    board = table.lay_board(GARMENT, widths=(140, 150))
    flat, folded = (board.draw({"width": "140 cm", "folded": k}).findings[0].text for k in (0, 1))
    assert "Laid flat" in flat and "folded once" in folded and "140 cm wide" in flat
    assert "150 cm wide" in board.draw({"width": "150 cm", "folded": 0}).findings[0].text


@pytest.mark.parametrize("paper", table.PAPERS)
def test_the_pages_on_the_board_cover_every_piece(paper):
    board = table.pages_board(GARMENT, papers=(paper, "a4"))
    picture = board.draw({"paper": paper})
    pages = tile(garment_scene(GARMENT, test_square=False), read_paper(paper)).pages
    assert picture.findings[0].text.startswith(f"{len(pages)} page")
    paths = [i.d for i in picture.scene.items if getattr(i, "layer", "") == "pages" and hasattr(i, "d")]
    cover = unary_union([box(*d[0][1:], *d[2][1:]) for d in paths])
    lines = [i.d for i in picture.scene.items if getattr(i, "style", "") == "cut"]
    assert len(paths) == len(pages) and lines
    assert all(cover.buffer(0.01).contains(Polygon([c[1:3] for c in d if len(c) == 3])) for d in lines)


@pytest.mark.parametrize("student", WHO)
def test_a_girth_grade_is_shared_as_published(student):
    """A quarter on each half front [How to create grade rules]; of 1 in: neck and shoulder 1/16, side 1/8
    in [from memory]; steps of 1, 1 1/2 and 2 in (common practice); the table's rows."""
    with open(Path(__file__).parent / "data" / "grade_distribution.csv", encoding="utf-8") as file:
        rows = {r["rule"]: r["value"] for r in csv.DictReader(line for line in file if line[0] != "#")}
    assert rows["1 in grade inside the quarter"] == "neck 1/16, shoulder 1/16, side 1/8 in"
    assert rows["half-pattern share of a girth grade"].startswith("1/4 of girth change on half front")
    found = answers("13a", student)
    inches = 5 * found["girth grade"] / INCH
    assert inches / 5 in (1.0, 1.5, 2.0)
    assert found["half front grows by"] == pytest.approx(inches * INCH / 4)
    assert found["neck takes"] == pytest.approx(inches * INCH / 16) == found["shoulder takes"]
    assert found["side takes"] == pytest.approx(inches * INCH / 8)


@pytest.mark.parametrize("student", WHO)
def test_the_size_below_is_nowhere_larger_and_the_next_one_is_somewhere(student):
    found, body = answers("13b", student), numbers_for(student).body
    assert min(found[f"{what} beyond the size"] for what in ("bust", "waist", "hip")) >= 0
    sizes = [chart("course").body(s) for s in chart("course").sizes]
    above = next(b for b in sizes if b.hip_girth == found["hip of the size above"])
    assert any(getattr(above, g) > getattr(body, g) for g in ("bust_girth", "waist_girth", "hip_girth"))


def test_a_body_smaller_than_every_size_is_compared_with_the_smallest():
    student = next(f"s{k}" for k in range(1000) if numbers_for(f"s{k}").body.hip_girth < 87.9)
    found, smallest = answers("13b", student), chart("course").body("6")
    assert found["hip of the size"] == smallest.hip_girth == 87.9
    assert found["hip beyond the size"] < 0
    assert found["side moves out at the hip"] == pytest.approx(found["hip beyond the size"] / 4)


@pytest.mark.parametrize("student", WHO)
def test_cloth_and_paper_carry_what_the_exercises_say(student):
    """Two panels fit on the fold, two by three pages carry a panel; areas by shapely, A4 after ISO 216."""
    cloth, paper, of = answers("14a", student), answers("15b", student), numbers_for(student)
    assert cloth["room left across"] > 0 and paper["to spare, across"] > 0 and paper["to spare, up"] > 0
    washed = cloth["test piece, washed"] / cloth["test piece"]
    assert cloth["panel before washing"] * washed == pytest.approx(cloth["skirt panel, along"])
    pieces = make_pinafore(of.body, **of.style).pieces
    area = sum(Polygon(p.cut_line).area * p.cut * (2 if p.on_fold else 1) for p in pieces)
    bought = answers("14b", student)
    assert area / 100 == pytest.approx(bought["strip of all pieces"], abs=0.051)
    used = area / (bought["usable width"] * bought["length, flat"])
    assert used == pytest.approx(0.80, abs=0.001)
    if paper["paper across"] == 21.0:
        assert (paper["a page adds, across"], paper["a page adds, up"]) == pytest.approx((17.7, 26.4))


@pytest.mark.parametrize("student", WHO)
def test_a_page_adds_what_the_pdf_takes(student):
    """The exercise's page has another margin and overlap than the PDF; both follow one rule."""
    paper = answers("15b", student)
    name = {21.0: "a4", 21.59: "letter"}[paper["paper across"]]
    x0, y0, x1, y1 = tile(garment_scene(GARMENT, test_square=False), read_paper(name)).pages[0].cell
    sides = sorted((x1 - x0, y1 - y0))
    lost = 2 * paper["margin"] + paper["overlap"] + paper["trim"]
    assert [paper["paper across"] - lost, paper["paper up"] - lost] == pytest.approx(
        [paper["a page adds, across"], paper["a page adds, up"]]
    )
    taken = 2 * tiles.MARGIN + tiles.LAP + tiles.TRIM
    assert sides == pytest.approx([paper["paper across"] - taken, paper["paper up"] - taken])

"""A class's worksheets, printed, drawn on, flagged and photographed: our own pages, simulated pictures.

`python -m tests.photographed_class FOLDER` writes a folder of hand-ins to try the class command on.
"""

from __future__ import annotations

import sys
from collections.abc import Collection
from functools import lru_cache
from pathlib import Path

import numpy as np
import pypdfium2

from patternlib.assess import exercise, numbers_for
from patternlib.assess.answers.grids import GridPages, grid_pages
from patternlib.assess.answers.worksheet import worksheet_pdf
from patternlib.assess.photographed.flags import flag_names
from patternlib.geometry import Curve, Point
from patternlib.output.paper.tiles import read_paper
from patternlib.photo.layouts import Layout, flag_layout

from .photographs import (
    PAPER_WHITE,
    PRINT_BLACK,
    Hand,
    Sheet,
    Shot,
    any_shot,
    pencil,
    photograph,
    ticked,
    upright_for,
)

PX = 110.0
"""Pixels a cm of the paper before it is photographed."""
USUAL = Hand()
BODY = 1.4
"""cm from a flag's tip to the middle of its body."""


@lru_cache(maxsize=8)
def printed(id: str, student: str, scale: str) -> tuple[bytes, GridPages]:
    """The worksheet as PDF, and its pages."""
    pages = grid_pages(
        exercise(id), numbers_for(student), student=student, scale=scale, paper=read_paper("a4")
    )
    assert pages is not None
    return worksheet_pdf(id, student=student, scale=scale), pages


def page_count(id: str, student: str, scale: str = "half") -> int:
    return len(printed(id, student, scale)[1].labels)


def sheet_of(id: str, student: str, page: int, scale: str) -> Sheet:
    """One page of the grid as it comes from the printer."""
    data, pages = printed(id, student, scale)
    document = pypdfium2.PdfDocument(data)
    drawn = document[len(document) - len(pages.labels) + page]
    seen = drawn.render(scale=PX * 2.54 / 72).to_numpy()[:, :, :3]  # blue, green, red
    sheet = Sheet(*pages.layouts[page].size, PX)
    high, wide = sheet.pixels.shape[:2]
    whole = np.full((high, wide, 3), 255, np.uint8)
    whole[: min(high, seen.shape[0]), : min(wide, seen.shape[1])] = seen[:high, :wide]
    tone = PRINT_BLACK + whole.astype(np.float32) / 255 * (PAPER_WHITE - PRINT_BLACK)
    sheet.pixels[:] = tone.astype(np.uint8)
    return sheet


def drawn_page(
    id: str,
    student: str,
    page: int,
    rng: np.random.Generator,
    *,
    scale: str = "half",
    flagged: bool = True,
    without: Collection[str] = (),
    moved: dict[str, Point] | None = None,
    hand: Hand = USUAL,
) -> Sheet:
    """A page with the draft in pencil, and a flag on each point of it; without: points that have no flag;
    moved: points that were drawn off, by so many cm of the pattern."""
    work, of = exercise(id), numbers_for(student)
    draft = work.reference(of)
    pages = printed(id, student, scale)[1]
    label = pages.labels[page]
    sheet = sheet_of(id, student, page, scale)
    lines, places = [], {}
    for asked in work.steps():
        value = draft[asked.name]
        if isinstance(value, Curve):
            n = max(8, round(value.length))
            lines.append([label.on_page(value.at(value.length * k / n)) for k in range(n + 1)])
    for name in flag_names(work, of)[2:]:
        if name in draft:
            places[name] = label.on_page(draft[name] + (moved or {}).get(name, Point(0, 0)))
    on_page = {
        n: p for n, p in places.items() if 1.3 < p.x < sheet.wide - 2.1 and 2.1 < p.y < sheet.high - 1.3
    }
    for place in on_page.values():
        lines += [ticked(place, (1, 0.05)), ticked(place, (0.05, -1))]
    pencil(sheet, lines, rng, hand)
    if flagged:
        _lay_flags(sheet, lines, _kept_clear(pages.layouts[page]), on_page, flag_names(work, of), without)
    return sheet


def _kept_clear(layout: Layout) -> list[tuple[float, float]]:
    """Places of what is printed, which no flag may cover."""
    found = [(sum(p.x for p in c) / 4, sum(p.y for p in c) / 4) for c in layout.markers.values()]
    x0, y0, x1, y1 = layout.code
    return found + [(x, y) for x in np.linspace(x0, x1, 4) for y in np.linspace(y0, y1, 4)]


def _lay_flags(sheet: Sheet, lines, clear, places, names, without: Collection[str]) -> None:
    """Each flag so that its body lies on empty paper, as far as there is some."""
    taken = [*(np.asarray(line, float) for line in lines), np.asarray(clear, float)]
    for name, place in places.items():
        if name in without:
            continue
        ways = []
        for turned in np.arange(0, 2 * np.pi, np.pi / 8):
            body = np.array([place.x - np.sin(turned) * BODY, place.y + np.cos(turned) * BODY])
            near = min(float(np.hypot(*(line - body).T).min()) for line in taken)
            inside = 2.5 < body[0] < sheet.wide - 3.5 and 3.5 < body[1] < sheet.high - 2.5
            ways.append((inside, round(min(near, 1.5), 2), -abs(np.sin(turned)), turned, body))
        *_, turned, body = max(ways, key=lambda w: w[:3])
        sheet.flag(flag_layout(names.index(name)), place, turned)
        taken.append(body[None])


def photo(sheet: Sheet, rng: np.random.Generator, **fixed) -> bytes:
    """A photograph of a page as people take it."""
    shot: Shot = upright_for(sheet, any_shot(rng, **fixed))
    return photograph(sheet, shot, rng)


def write_class(
    folder: Path, id: str = "02a", students: Collection[str] = ("ada", "ben", "cleo", "dan", "eve")
) -> None:
    """Five students: all flags; some missing; a blurred picture; another exercise; a file that is none."""
    for k, student in enumerate(students):
        rng = np.random.default_rng(900 + k)
        own = folder / student
        own.mkdir(parents=True, exist_ok=True)
        for page in range(page_count(id, student)):
            without = ("side hip", "centre front hem") if student == "ben" else ()
            moved = {"side hip": Point(1.5, 0)} if student == "cleo" else None
            sheet = drawn_page(id, student, page, rng, without=without, moved=moved)
            fixed = {"blur": 6.0} if student == "dan" and page == 0 else {}
            (own / f"IMG_{2040 + page}.JPG").write_bytes(photo(sheet, rng, **fixed))
    last = folder / students[-1] if isinstance(students, tuple) else folder
    rng = np.random.default_rng(950)
    for page in range(page_count("05c", students[-1])):
        (last / f"other_{page}.jpg").write_bytes(photo(drawn_page("05c", students[-1], page, rng), rng))
    (folder / students[0] / "holiday.jpg").write_text("This is no picture at all.\n" * 20)


if __name__ == "__main__":
    write_class(Path(sys.argv[1]))

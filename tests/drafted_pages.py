"""Worksheets drawn on with a pencil and photographed: the course's own pages, a simulated camera."""

from __future__ import annotations

import numpy as np
import pypdfium2

from patternlib.assess import exercises
from patternlib.assess.answers.grids import GridPages, grid_pages
from patternlib.assess.answers.worksheet import worksheet_pdf
from patternlib.geometry import Curve, Point
from patternlib.output.paper.tiles import read_paper
from tests.photographs import Hand, Sheet, Shot, pencil, photograph, upright_for

FINE = 110
"""Pixels a cm of the drawn page."""
ARM = 0.6
"""cm: half of the cross with which a point is marked."""
LEVEL = Shot(width=3000, height=2250, tilt=6, warp=0.3)


def pages_of(id: str, student: str, scale: str = "half") -> GridPages:
    work = exercises()[id]
    pages = grid_pages(work, work.own_numbers(student), student=student, scale=scale, paper=read_paper("a4"))
    assert pages is not None
    return pages


def draft_of(id: str, student: str) -> dict[str, Point | Curve]:
    """What a learner draws: the points and lines that are asked, full-size cm."""
    work = exercises()[id]
    draft = work.reference(work.own_numbers(student))
    values = {asked.name: draft[asked.name] for asked in work.steps()}
    return {name: value for name, value in values.items() if isinstance(value, Point | Curve)}


def drafted_pages(
    id: str, student: str, *, scale: str = "half", seed: int = 1, shot: Shot = LEVEL, only: int | None = None
) -> list[bytes]:
    """Photographs of the grid pages of a worksheet with the rule's draft on them; only: one page."""
    pages = pages_of(id, student, scale)
    pdf = pypdfium2.PdfDocument(worksheet_pdf(id, student=student, scale=scale))
    first = len(pdf) - len(pages.labels)
    rng = np.random.default_rng(seed)
    found = []
    for k, (label, layout) in enumerate(zip(pages.labels, pages.layouts, strict=True)):
        if only is not None and k != only:
            continue
        sheet = Sheet(*layout.size, FINE)
        printed = pdf[first + k].render(scale=FINE * 2.54 / 72).to_numpy()[:, :, :3]
        high, wide = (min(a, b) for a, b in zip(printed.shape[:2], sheet.pixels.shape[:2], strict=True))
        sheet.pixels[:high, :wide] = np.minimum(sheet.pixels[:high, :wide], printed[:high, :wide])
        lines = [line for value in draft_of(id, student).values() for line in _lines(value, label)]
        pencil(sheet, lines, rng, Hand(erased=0))
        found.append(photograph(sheet, upright_for(sheet, shot), rng))
    return found


def _lines(value: Point | Curve, label) -> list[list[tuple[float, float]]]:
    if isinstance(value, Point):
        x, y = label.on_page(value)
        return [[(x - ARM, y), (x + ARM, y)], [(x, y - ARM), (x, y + ARM)]]
    return [[(*label.on_page(value.at(value.length * n / 60)),) for n in range(61)]]

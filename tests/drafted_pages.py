"""Worksheets drawn on with a pencil and photographed: the course's own pages, a simulated camera."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pypdfium2

from patternlib.assess import exercises
from patternlib.assess.answers.grids import GridPages, grid_pages
from patternlib.assess.answers.worksheet import worksheet_pdf
from patternlib.assess.photographed.flags import ABOVE, BELOW, ORIGIN, flag_names
from patternlib.geometry import Curve, Point
from patternlib.output.paper.tiles import read_paper
from patternlib.photo.layouts import flag_layout, strips_layout
from tests.photographs import Hand, Sheet, Shot, pencil, photograph, strips_round, upright_for

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


def between_strips(id: str, student: str, *, flags: bool = False, seed: int = 5, fine: float = 55) -> bytes:
    """The photograph of a full-size draft with four strips round it; flags: on its points."""
    rng = np.random.default_rng(seed)
    draft = draft_of(id, student)
    spots = [p for value in draft.values() for p in ([value] if isinstance(value, Point) else [value.start])]
    left, low = min(0, *(p.x for p in spots)), min(0, *(p.y for p in spots))
    wide, high = max(p.x for p in spots) - left, max(0, *(p.y for p in spots)) - low

    def at(x: float, y: float) -> Point:
        return Point(14 - left + x, 14 - low + y)

    sheet = Sheet(wide + 28, high + 28, fine)
    lines = [[at(0, 12), at(0, low)], [at(-3, 0), at(wide, 0)]]
    loose = SimpleNamespace(on_page=lambda place: at(*place))
    lines += [line for value in draft.values() for line in _lines(value, loose)]
    pencil(sheet, lines, rng, Hand(erased=0))
    strips_round(sheet, strips_layout("a4"), (9, 9, wide + 19, high + 19), rng)
    if flags:
        names = flag_names(exercises()[id], exercises()[id].own_numbers(student))
        places = {ORIGIN: Point(0, 0), ABOVE: Point(0, 12), BELOW: Point(0, -12)} | draft
        for number, name in enumerate(names):
            if isinstance(places.get(name), Point):
                tip = loose.on_page(places[name])
                sheet.flag(flag_layout(number), (tip.x, tip.y), rng.uniform(0, 6.28))
    return photograph(sheet, upright_for(sheet, Shot(tilt=6, warp=0.5)), rng)

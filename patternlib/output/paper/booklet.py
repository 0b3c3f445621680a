"""The making as a booklet: drawing, cutting list, what is needed, and each step with its picture."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence

from ...alterations import ONE_SIDE
from ...garments.base import Garment
from ...laying import Lay, cloths, lay
from ...making import BEFORE, CARE, STANDARD, TOOLS, WORN, cutting_list, finish_of, sewing_order
from ..items import Command, Stroke, Text
from ..scene import Scene
from ..scene.sewing import step_scenes
from ..scene.worn import worn_scene
from ..styles import LETTERINGS, LINES
from .pen import POINTS, Pen, new_canvas, printable
from .tiles import read_paper

EDGE = 1.5
"""cm: margin of a page."""
LARGE, PLAIN, SMALL = 0.6, 0.36, 0.3
"""cm: sizes of lettering."""
WORDS = 6.6
"""cm: width of a step's words, left of its picture."""
PICTURES = (
    "Slanting lines shade the wrong side of the cloth. The heavy line is sewn in this step. Edges that are "
    "already sewn or turned are drawn without their allowance. Short strokes across an edge are notches. The "
    "work is drawn flat: the words under a picture say which seams that lie open in it are sewn already."
)
"""How to read the pictures of the steps."""
STEPS = 3
"""Steps on a page."""
WIDTH = 150.0
"""cm: width of the cloth where no lay says another."""
GAP = 0.5
"""cm between what stands on a page."""


def making_pdf(
    garment: Garment, *, paper: str = "a4", unit: str = "cm", lays: Sequence[Lay] | None = None
) -> bytes:
    """The booklet as a PDF. paper: 'a4' or 'letter'; unit: of the lengths in the steps, 'cm' or 'in'.

    lays: one of each cloth, for the length to buy; None: on cloth of WIDTH.

    >>> from patternlib import chart, make
    >>> making_pdf(make("apron", chart("course").body("12")))[:5]
    b'%PDF-'
    """
    sheet = read_paper(paper)
    wide, high = sheet.width, sheet.height or 29.7
    out = io.BytesIO()
    canvas = new_canvas(out, pagesize=(wide * POINTS, high * POINTS))
    size = f", size {garment.size}" if garment.size else ""
    title = f"{garment.name.capitalize()}{size}: the making"
    canvas.setTitle(printable(title))
    canvas.setCreator("patternlib")
    book = _Book(Pen(canvas), wide, high)
    if lays is None:
        lays = [lay(garment, width=WIDTH, cloth=cloth, seconds=0, unit=unit) for cloth in cloths(garment)]
    book.first(garment, title, [laid.text.split(". ")[0] + "." for laid in lays])
    canvas.showPage()
    steps = sewing_order(garment, unit=unit)
    for k, (step, scene) in enumerate(zip(steps, step_scenes(garment), strict=True)):
        if k and k % STEPS == 0:
            book.foot(title, 1 + k // STEPS)
            canvas.showPage()
        book.step(k % STEPS, step.number, step.text, finish_of(garment, step), scene)
    book.foot(title, 2 + (len(steps) - 1) // STEPS)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


class _Book:
    """Writes the booklet's pages."""

    def __init__(self, pen: Pen, wide: float, high: float):
        self.pen, self.wide, self.high = pen, wide, high
        self.room = wide - 2 * EDGE

    def first(self, garment: Garment, title: str, to_buy: Sequence[str]) -> None:
        """Drawing, cutting list, what is needed, care."""
        pen, y = self.pen, self.high - EDGE
        y = pen.block(EDGE, y, self.room, title, LARGE, bold=True) - GAP
        drawing = worn_scene(garment)
        tall = 8.0
        self.picture(drawing, EDGE, y - tall, self.room, tall)
        y -= tall + GAP
        half = (self.room - GAP) / 2
        left = pen.block(EDGE, y, half, "Cut", PLAIN, bold=True)
        rows = cutting_list(garment)
        for row in rows:
            if row.cloth:
                more = ", ".join(m for m in (row.how, row.cloth, row.note, "fuse" if row.fused else "") if m)
                left = pen.block(EDGE, left, half, f"{row.cut} x {row.piece}: {more}", SMALL)
        if garment.half:
            left = self.sentences(EDGE, left - 0.2, half, ONE_SIDE, slanted=True)
        x = EDGE + half + GAP
        right = pen.block(x, y, half, "What you need", PLAIN, bold=True)
        for words in to_buy:
            right = pen.block(x, right, half, words, SMALL)
        for row in rows:
            if not row.cloth:
                words = row.piece if row.note == "fitting" else f"{row.piece}: {row.note}"
                right = pen.block(x, right, half, words, SMALL)
        right = self.sentences(x, right - 0.2, half, TOOLS)
        y = pen.block(EDGE, min(left, right) - GAP, self.room, "Before the first seam", PLAIN, bold=True)
        y = self.sentences(EDGE, y, self.room, BEFORE) - 0.2
        y = pen.block(EDGE, y, self.room, "Care", PLAIN, bold=True)
        for text in (*CARE, WORN.get(garment.name, "")):
            y = self.sentences(EDGE, y, self.room, text) if text else y
        y = pen.block(EDGE, y - 0.2, self.room, "In the pictures", PLAIN, bold=True)
        y = self.sentences(EDGE, y, self.room, PICTURES)
        self.sentences(EDGE, y, self.room, STANDARD)

    def step(self, place: int, number: int, text: str, finish: str, scene: Scene) -> None:
        """One step: its words on the left, its picture on the right."""
        share = (self.high - 2 * EDGE - GAP) / STEPS
        top = self.high - EDGE - place * share
        y = self.pen.block(EDGE, top, WORDS, f"{number}", LARGE, bold=True)
        y = self.sentences(EDGE, y, WORDS, text)
        self.sentences(EDGE, y - 0.15, WORDS, finish[0].upper() + finish[1:] + ".", slanted=True)
        left = EDGE + WORDS + GAP
        self.picture(scene, left, top - share + GAP, self.wide - EDGE - left, share - GAP)

    def sentences(self, x: float, y: float, width: float, text: str, **look) -> float:
        """A text of any length, sentence by sentence; gives the level under it."""
        for part in re.split(r"(?<=[.]) ", text):
            y = self.pen.block(x, y, width, part, SMALL, **look)
        return y

    def foot(self, title: str, page: int) -> None:
        self.pen.words(self.wide / 2, 0.7, f"{title}, page {page}", SMALL, anchor="middle", grey=90)

    def picture(self, scene: Scene, x: float, y: float, wide: float, high: float) -> None:
        """A scene as large as a box allows, in its middle."""
        x0, y0, x1, y1 = scene.bounds
        scale = min(wide / (x1 - x0), high / (y1 - y0))
        dx = x + (wide - scale * (x1 - x0)) / 2 - scale * x0
        dy = y + (high - scale * (y1 - y0)) / 2 - scale * y0
        for item in scene.items:
            if isinstance(item, Stroke):
                self.pen.line(_scaled(item.d, scale, dx, dy), LINES[item.style], thin=0.6)
            elif isinstance(item, Text):
                look, size = LETTERINGS[item.style], max(item.size_cm * scale, 0.21)
                self.pen.words(
                    scale * item.x + dx, scale * item.y + dy, item.text, size, anchor=item.anchor,
                    angle=item.angle, bold=look.bold, slanted=look.slanted,
                )  # fmt: skip


def _scaled(d: Sequence[Command], scale: float, dx: float, dy: float) -> list[Command]:
    return [
        (op, *(v * scale + (dx if k % 2 == 0 else dy) for k, v in enumerate(numbers))) for op, *numbers in d
    ]

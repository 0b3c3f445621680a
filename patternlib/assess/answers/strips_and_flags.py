"""Strips to lay round a draft on paper of one's own, and flags to lay on its points, on pages to cut out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...errors import PatternError, look_up
from ...geometry import Point
from ...output.items import Box
from ...output.paper.pen import POINTS, Pen, font
from ...output.paper.tiles import MARGIN, SHEETS, Paper
from ...output.signs import plus
from ...photo.layouts import FLAG_SIZE, QUIET, flag_layout, strips_layout
from ...photo.printed import CUT, INK, draw_code, draw_layout, draw_test_line
from ..photographed.flags import flag_names
from ..photographed.label import STRIPS, Label
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers
from .paper_form import SCALES
from .writing import HEAD, PLAIN, SMALL, Writing

MARK = 0.3
"""cm: arms of the cross from which distances are measured."""
TAB = 1.1
"""cm: the part of a flag above its marker, with the name of its point."""
LETTERS = 0.19
"""cm: size of the name on a flag."""
SLIP = 9.0
"""cm: side of the code on the slip that lies beside a draft between strips: read over a metre of paper."""
APART = (0.5, 0.7)
"""cm between flags on the page, across and down."""
TALL = FLAG_SIZE[1] + TAB

STRIP_STEPS = (
    "Print at 100 % (actual size) and measure the test line: it is 15 cm long. Cut the four strips and "
    "the slip out.",
    "Lay the finished draft on a flat table or the floor. Lay one strip along each side of it: near the "
    "draft, on no line of it. Which strip lies where, and which way round, does not matter. Tape them down.",
    "Lay the slip with the square code beside them. It says whose draft it is.",
    "Measure two distances from cross to cross, each between two strips far apart, such as A to C and B to "
    "D, with the ruler or tape that drew the draft. Note them below.",
    "Photograph draft, strips and slip from above, the telephone level and as near as shows them all.",
)
FLAG_STEPS = (
    "Cut the flags out along the thin lines.",
    "Lay each flag with its tip on the point that it names, its body on empty paper, away from the pencil "
    "lines. Hold it with a scrap of removable tape on its upper end.",
    "Leave out the flag of a point that you did not draw. Take no flag for another point.",
)
SHEET_STEPS = (
    "lay the page flat, in even light. All small black squares on its rim are seen; nothing lies on them.",
    "Hold the telephone level above its middle, and take one photograph of each page on which you drew.",
    "Hand in the files as the telephone made them, as JPEG or PNG; do not crop or edit them.",
)
"""How to go on, for the worksheet."""


def nothing_to_photograph(id: str) -> PatternError:
    """What is said where strips or flags are wanted and nothing is drawn on paper."""
    return PatternError(
        f"In {id} nothing is drawn on paper, so there is nothing to photograph. Leave out --strips and "
        "--flags."
    )


def draw_strips(canvas: Any, paper: Paper, work: Exercise, student: str, scale: str) -> None:
    """A page that says how, with the slip that names exercise and student, and the page of four strips."""
    look_up("paper for strips", paper.name, {name: SHEETS[name] for name in ("a4", "letter")})
    title = f"{work.id} · {work.title}: strips for a draft on paper of your own"
    page = _told(canvas, paper, title, STRIP_STEPS)
    for _ in range(2):
        page.text(f"from cross ____ to cross ____:  {20 * '_'} cm", HEAD)
    label = Label(work.id, student, SCALES[scale], STRIPS, 1, 1, Point(0.0, 0.0))
    _slip(page, label.text(), f"{work.id} · {student}")
    page.end()
    canvas.setPageSize((paper.width * POINTS, (paper.height or 0.0) * POINTS))
    pen = Pen(canvas)
    strips = strips_layout(paper.name)
    for strip in strips:
        pen.line(_outline(strip.box), CUT)
        draw_layout(pen, strip, measured=False)
        for name, at in strip.marks.items():
            pen.line(plus(*at, MARK), INK)
            pen.words(at.x + 0.15, at.y + 0.12, name, HEAD, bold=True)
    if strips[0].test_line is not None:
        draw_test_line(pen, *strips[0].test_line)
    pen.words(MARGIN, 0.7, f"{work.id} · {scale} scale · {student}", SMALL * 0.8, grey=90)
    canvas.showPage()


def _slip(page: Writing, text: str, said: str) -> None:
    """A square slip with the code, to be cut out and laid beside the draft."""
    x, y = page.left, page.y - SLIP - 1.4
    page.pen.line(_outline((x, y, x + SLIP, y + SLIP + 0.7)), CUT)
    draw_code(page.pen, text, (x, y, x + SLIP, y + SLIP))
    page.pen.line(_outline((x, y, x + SLIP, y + SLIP + 0.7)), CUT)
    page.pen.words(x + 0.3, y + SLIP + 0.2, said, SMALL)


def draw_flags(canvas: Any, paper: Paper, work: Exercise, of: OwnNumbers, *, loose: bool = False) -> None:
    """The flags of an exercise, each with its number and the name of its point; loose: with the two that say
    how a draft between strips lies."""
    names = flag_names(work, of)
    wanted = range(0 if loose else 2, len(names))
    page = _told(canvas, paper, f"{work.id} · {work.title}: flags, one for each point", FLAG_STEPS)
    step = FLAG_SIZE[0] + APART[0]
    columns = int((page.wide + APART[0]) // step)
    for k, number in enumerate(wanted):
        column = k % columns
        if column == 0:
            if k:
                page.y -= TALL + APART[1]
            page.need(TALL + APART[1])
        _flag(page.pen, page.left + column * step, page.y - TALL - 0.2, number, names[number])
    page.end()


def _flag(pen: Pen, x: float, y: float, number: int, name: str) -> None:
    layout = flag_layout(number)
    pen.start(x, y)
    wide, high = FLAG_SIZE
    shoulder = min(v for corners in layout.markers.values() for _, v in corners) - QUIET
    tip = layout.tip or Point(wide / 2, 0.0)
    top = high + TAB
    around = (
        ("M", *tip),
        ("L", wide, shoulder),
        ("L", wide, top),
        ("L", 0.0, top),
        ("L", 0.0, shoulder),
        ("Z",),
    )
    draw_layout(pen, layout)
    pen.line(around, CUT)
    lines = _broken(name, wide - 0.16)
    for n, words in enumerate(lines):
        pen.words(wide / 2, top - 0.28 - n * 1.2 * LETTERS, words, LETTERS, anchor="middle")
    pen.words(wide / 2, shoulder - 0.36, f"{number}", 0.3, anchor="middle", bold=True)
    pen.end()


def _broken(name: str, wide: float) -> list[str]:
    from reportlab.lib.utils import simpleSplit

    return list(simpleSplit(name, font(name), LETTERS * POINTS, wide * POINTS))[:4]


def _told(canvas: Any, paper: Paper, title: str, steps: Sequence[str]) -> Writing:
    """A page with a title and numbered steps, on which more is to be drawn."""
    page = Writing(canvas, paper, title)
    page.heading(title)
    for count, step in enumerate(steps, 1):
        page.step(count, step)
    page.text("Mind the blades: cut on a mat, away from your hand, by the rules of your room.", PLAIN)
    return page


def _outline(box: Box) -> tuple:
    x0, y0, x1, y1 = box
    return ("M", x0, y0), ("L", x1, y0), ("L", x1, y1), ("L", x0, y1), ("Z",)

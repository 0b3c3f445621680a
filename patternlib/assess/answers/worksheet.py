"""Worksheets on paper: what is given, the steps in words, a table to fill in, an empty grid to scale.

For classes without screens and for work between lessons. What is measured on the sheet is typed in later, as
`paper.measured` takes it. Drafting in half or quarter scale before full size is common practice in teaching.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from ...errors import unknown
from ...garments import style_values
from ...output.paper.pdf import draw_pages
from ...output.paper.pen import new_canvas, printable
from ...output.paper.tiles import SHEETS, Paper, read_paper
from ...units import write_length
from ..photographed.flags import drawable
from ..tasks.catalogue import exercises
from ..tasks.exercise import Exercise
from ..tasks.needed import numbers_needed
from ..tasks.own_numbers import OwnNumbers
from .grids import grid_pages
from .paper_form import SCALES
from .strips_and_flags import SHEET_STEPS, draw_flags, draw_strips, nothing_to_photograph
from .writing import HEAD, PLAIN, TITLE, Writing, save_pdf

PLACES = 7
"""Places of a curve that the table has room for: so many bring it back within a hand's tolerance."""
ROW = 0.7
"""cm: height of a line to write in."""

FINISH = {
    "seam line": "trace it off the plan",
    "allowance": "how wide, cm",
    "corner": "which edge is folded back first",
    "notches": "how far from the edge's start, and how many slits",
    "grain": "draw it, with an arrow at both ends",
    "label": "write it on the piece",
    "cut line": "draw it outside the seam line",
}
"""What is to be done for each kind of finish."""


def worksheet_pdf(id: str, *, student: str, key: str = "", **options: Any) -> bytes:
    """Give the worksheet of an exercise ('02a'), or of all exercises of a lesson ('02'), as PDF bytes.

    options: as for `worksheets_pdf`; the same bytes for the same student. Raises
    UnknownName for an exercise, scale or paper that does not exist, ValueAtFault for a student's id that
    cannot be used.

    >>> worksheet_pdf("02a", student="lena")[:5]
    b'%PDF-'
    """
    return worksheets_pdf(id, [(student, key)], **options)


def worksheets_pdf(
    id: str,
    students: Sequence[tuple[str, str]],
    *,
    scale: str = "half",
    paper: str = "a4",
    strips: bool = False,
    flags: bool = False,
) -> bytes:
    """The worksheets of several students, (id, key) each, one after the other.

    scale: 'full', 'half', 'quarter' or 'fifth'; paper: 'a4', 'letter' or 'a3'; strips: in place of the grid
    four strips for a draft on paper of one's own, which is photographed between them; flags: also flags that
    are laid on the points before the draft is photographed. Raises as `worksheet_pdf` does.
    """
    if scale not in SCALES:
        raise unknown("scale", scale, SCALES)
    sheet = read_paper(paper)
    if sheet.large:
        raise unknown("paper for worksheets", paper, [name for name in SHEETS if name != "a0"])
    works = _works(id)
    asked = strips or flags
    if asked and not any(drawable(work, work.own_numbers(*students[0])) for work in works):
        raise nothing_to_photograph(f"exercise {id}" if "a" <= id[-1:] <= "z" else f"lesson {id}")
    out = io.BytesIO()
    canvas = new_canvas(out)
    whose = students[0][0] if len(students) == 1 else f"{len(students)} students"
    canvas.setTitle(printable(f"Worksheet {id}, {scale} scale, {whose}"))
    canvas.setCreator("patternlib")
    canvas.setViewerPreference("PrintScaling", "None")
    for student, key in students:
        for work in works:
            of = work.own_numbers(student, key)
            drawn = grid_pages(work, of, student=student, scale=scale, paper=sheet)
            _written(canvas, sheet, work, of, student, scale, drawn is not None, strips=strips)
            if drawn is not None and strips:
                draw_strips(canvas, sheet, work, student, scale)
            elif drawn is not None:
                draw_pages(canvas, drawn.tiling, fine=("square",), also=drawn.draw)
            if drawn is not None and flags:
                draw_flags(canvas, sheet, work, of, loose=strips)
    canvas.save()
    return out.getvalue()


def _works(id: str) -> list[Exercise]:
    known = exercises()
    found = [work for name, work in known.items() if id in (name, f"{work.lesson:02}")]
    if not found:
        lessons = dict.fromkeys(f"{work.lesson:02}" for work in known.values())
        raise unknown("exercise or lesson with exercises", id[:80], (*lessons, *known))
    return found


# -- the written pages


def _written(
    canvas: Any,
    paper: Paper,
    work: Exercise,
    of: OwnNumbers,
    student: str,
    scale: str,
    drawn: bool,
    *,
    strips: bool = False,
) -> None:
    """Task, numbers, steps and the table to fill in, on as many pages as they take."""
    times = SCALES[scale]
    of_scale = f" · {scale} scale" if drawn else ""
    page = Writing(canvas, paper, f"{work.id} · {work.title}{of_scale} · {student}")
    page.text(f"{work.id} · {work.title}", TITLE, bold=True)
    page.text(f"Worksheet for {student}      Name: ______________________      Date: ______________", PLAIN)
    page.text(work.task, HEAD)
    _write_scale(page, scale, drawn, strips)
    _write_numbers(page, work, of, times if drawn else 1)
    sentences = work.sentences(of).values()
    for told in work.sheet(of)[: -len(sentences) or None]:
        page.text(told, PLAIN)
    page.heading("Steps")
    for count, step in enumerate(sentences, 1):
        page.step(count, step)
    _write_table(page, work, times, drawn)
    finish = [(a.name, FINISH[a.kind], "") for a in work.asked if a.kind in FINISH]
    if finish:
        page.heading("On the pieces")
        page.table(("what", "do", "yours"), finish, (0.42, 0.34, 0.24), ROW)
    if work.in_words:
        page.heading("Looked at by your instructor")
        levels = [(c.name if k == 0 else "", level.words, f"{level.marks:g}")
                  for c in work.in_words for k, level in enumerate(c.levels)]  # fmt: skip
        page.table(("what", "level", "marks"), levels, (0.28, 0.6, 0.12))
    if drawn and not strips:
        page.text(" ".join(("To photograph your draft:", *SHEET_STEPS)), PLAIN)
    page.end()


def _write_scale(page: Writing, scale: str, drawn: bool, strips: bool) -> None:
    """In which scale the learner draws, on the printed grid or on paper of her own."""
    times = SCALES[scale]
    if drawn and strips:
        of_scale = "full size" if times == 1 else f"{scale} scale, every measure divided by {times}"
        page.text(
            f"Drawn on paper of your own, at {of_scale}. Begin with the centre line and the waist level, "
            "square to each other, and draw the centre line long. To photograph it, lay the strips round it.",
            PLAIN,
        )  # fmt: skip
    elif drawn and times > 1:
        page.text(
            f"Drawn in {scale} scale: 1 cm on the grid stands for {times} cm of the pattern. Calculate every "
            f"measure at full size, then divide it by {times}, or count it off on the grid, whose numbers "
            "are full-size cm.", PLAIN,
        )  # fmt: skip
    elif drawn:
        page.text("Drawn at full size: 1 cm on the grid is 1 cm of the pattern.", PLAIN)


def _write_numbers(page: Writing, work: Exercise, of: OwnNumbers, times: int) -> None:
    """The learner's numbers; times: what the draft divides them by."""
    needed = numbers_needed(work, of)
    if not needed:
        return
    labels = {value.name: value.label for value in style_values("pinafore")}
    page.heading("Your numbers")
    heads = ("measure", "cm", "inches") + ((f"cm, divided by {times}",) if times > 1 else ())
    rows = []
    for name, cm in needed.items():
        called, label = name.replace("_", " "), labels.get(name, "")
        said = f"{called} ({label[0].lower()}{label[1:]})" if label else called
        row = (said, f"{cm:.1f}", write_length(cm, "in").removesuffix(" in"), f"{cm / times:.2f}")
        rows.append(row[: len(heads)])
    page.table(heads, rows, (0.52, 0.14, 0.16, 0.18))


def _write_table(page: Writing, work: Exercise, times: int, drawn: bool) -> None:
    """What is measured on the draft, with room to write it down."""
    page.heading("Measure your draft and fill in" if drawn else "Fill in")
    evenly = " Spread the places of a curve evenly from one end to the other, both ends among them."
    evenly = evenly if any(asked.kind == "curve" for asked in work.steps()) else ""
    if drawn:
        page.text(
            "Across is measured to the right of the centre line; what lies left of it is under 0. Up is "
            "measured above the waist level; what lies below it is under 0." + evenly, PLAIN,
        )  # fmt: skip
    page.text(
        f"To have {'the draft checked, type the full-size' if drawn else 'it checked, type the'} figures "
        "into the paper form of the exercise's notebook, or hand in this sheet"
        + (", or photographs of the draft. Then nothing needs to be measured" if drawn else "")
        + ". Lengths in inches are written with their unit, such as 9 1/2 in.",
        PLAIN,
    )
    if drawn and times > 1:
        heads = ("what", "", "across", "up", f"across, times {times}", f"up, times {times}")
        page.table(heads, _blanks(work, 4), (0.34, 0.14, 0.11, 0.11, 0.15, 0.15), ROW)
    elif drawn:
        page.table(("what", "", "across", "up"), _blanks(work, 2), (0.4, 0.2, 0.2, 0.2), ROW)
    else:
        page.table(("what", "", "yours"), _blanks(work, 1), (0.5, 0.2, 0.3), ROW)


def _blanks(work: Exercise, columns: int) -> list[tuple[str, ...]]:
    """The lines of the table, with so many columns to fill in; a length takes every other of them."""
    rows = []
    for asked in work.steps():
        if asked.kind == "curve":
            parts = [f"place {n}" for n in range(1, PLACES + 1)]
        else:
            parts = ["" if asked.kind == "point" else "degrees" if "angle" in asked.name else "length"]
        empty = tuple("-" if asked.kind == "number" and k % 2 else "" for k in range(columns))
        rows += [(asked.name if k == 0 else "", part, *empty) for k, part in enumerate(parts)]
    return rows


def save_worksheet(id: str, path: str, *, students: Sequence[tuple[str, str]] = (), **options) -> int:
    """Write a worksheet, or those of several students, to a PDF file; returns the number of its pages.

    Raises ValueAtFault where the file cannot be written.
    """
    data = worksheets_pdf(id, students, **options) if students else worksheet_pdf(id, **options)
    return save_pdf(data, path)

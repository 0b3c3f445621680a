"""The project on paper: its empty form, to be filled in by hand, and the sheet of criteria."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from ...errors import look_up
from ...output.paper.pen import new_canvas, printable
from ...output.paper.tiles import SHEETS, read_paper
from ..answers.writing import HEAD, PLAIN, SMALL, TITLE, Writing, save_pdf
from .levels import CALLED, criteria
from .levels import TITLE as NAME
from .questions import Section, sections

ROW = 0.75
"""cm: height of a line to write in."""
SHARES = {"length": 0.14, "count": 0.12, "choice": 0.2, "text": 0.34}
"""Of the width, for a field of each kind."""
LIBRARY = (
    "Checks.txt, which lesson 16 writes, proves how the library drafts. It says nothing about this paper: "
    "the walks do."
)


def project_pdf(students: Sequence[str], *, paper: str = "a4") -> bytes:
    """The form and the sheet of criteria for each learner, as PDF bytes; no names: one without a name.

    Raises UnknownName for a paper that does not exist.
    """
    look_up("paper", paper, SHEETS)
    sheet = read_paper(paper)
    out = io.BytesIO()
    canvas = new_canvas(out)
    canvas.setTitle(printable(NAME))
    canvas.setCreator("patternlib")
    for student in students or ("",):
        whose = student or "____________________"
        page = Writing(canvas, sheet, f"{NAME} · {student}".removesuffix(" · "))
        page.text(NAME, TITLE, bold=True)
        page.text(f"Project of {whose}      Date: ______________", PLAIN)
        page.text("Write lengths with their unit. What is not done yet stays empty.", PLAIN)
        for section in sections():
            _section(page, section)
        page.end()
        _criteria(canvas, sheet, student, whose)
    canvas.save()
    return out.getvalue()


def _section(page: Writing, section: Section) -> None:
    page.heading(section.title)
    page.text(section.said, SMALL)
    once = [p for p in section.once if p.key != "unit"]
    if once:
        rows = [(p.label + (f": {' / '.join(p.choices)}" if p.choices else ""), "") for p in once]
        page.table(("", "yours"), rows, (0.5, 0.5), ROW)
    if section.named:
        heads = ("measure", *(p.label or "length" for p in section.parts))
        page.table(
            heads, [(words, *[""] * len(section.parts)) for _, words in section.named], (0.6, 0.15, 0.25), ROW
        )
    elif section.parts:
        shares = (0.06, *(SHARES[p.kind] for p in section.parts))
        lines = [
            (f"{n}", *[""] * len(section.parts))
            for n in range(1, min(max(section.lines, 4), section.most) + 1)
        ]
        page.table(("", *(p.label for p in section.parts)), lines, shares, 1.3 * ROW)


def _criteria(canvas: Any, sheet: Any, student: str, whose: str) -> None:
    page = Writing(canvas, sheet, f"{NAME}: criteria · {student}".removesuffix(" · "))
    page.text(f"{NAME}: criteria", TITLE, bold=True)
    page.text(f"Project of {whose}      Looked at by: ______________      Date: ______________", PLAIN)
    page.text("Circle one level of each criterion. A level is worth as many marks as its number.", HEAD)
    page.text(LIBRARY, PLAIN)
    heads = ("criterion", *(f"{n} {words}" for n, words in enumerate(CALLED)))
    rows = [(f"{c.title} ({c.published})", *c.levels) for c in criteria().values()]
    page.table(heads, rows, (0.2, 0.2, 0.2, 0.2, 0.2), ROW)
    page.text("Remark: " + "_" * 60, PLAIN)
    page.end()


def save_project_forms(path: str, *, students: Sequence[str] = (), paper: str = "a4") -> int:
    """Write the forms to a PDF file; returns the number of its pages.

    Raises ValueAtFault where the file cannot be written.
    """
    return save_pdf(project_pdf(students, paper=paper), path)

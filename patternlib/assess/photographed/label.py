"""What the two-dimensional code on a worksheet's page says, written short and read strictly.

The text is our own: eight parts between semicolons, such as `draft1;02a;lena;2;a4;1/4;1870;26110`: the kind
and version of the text, the exercise, the student's id (percent signs as in a web address), the scale, the
paper, which page of how many, and where the draft's origin lies on the page, in thousandths of a cm to the
right and up from its lower left corner. `a4x` is a page that lies on its long side; `strips` are
strips round a draft on paper of one's own, whose origin they do not know.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import quote, unquote

from ...errors import PatternError
from ...geometry import Point
from ..safe_text import one_line

KIND = "draft1"
STRIPS = "strips"
"""What stands for the paper on strips."""
SCALES = (1, 2, 4, 5)
"""How many cm of the draft one cm of the paper stands for."""
LONGEST = 600
"""characters: an id of 80 letters, each written with percent signs."""
FARTHEST = 500_000
"""thousandths of a cm from a page's corner to the draft's origin."""

_FORM = re.compile(
    rf"{KIND};([0-9a-z_-]{{1,12}});([A-Za-z0-9%._~-]{{1,480}});([0-9]);(a4|letter|a3|strips)(x?);"
    r"([1-9][0-9]?)/([1-9][0-9]?);(-?[0-9]{1,6});(-?[0-9]{1,6})"
)


class LabelFault(PatternError):
    """A code that does not belong to a worksheet of this course; its text says what to do."""


@dataclass(frozen=True)
class Label:
    """What one page of a worksheet is.

    scale: cm of the draft for one cm of the paper; page: from 1, of `pages`; across: on its long
    side; origin: where the draft's origin lies, cm from the page's lower left corner.
    """

    exercise: str
    student: str
    scale: int
    paper: str
    page: int
    pages: int
    origin: Point
    across: bool = False

    @property
    def loose(self) -> bool:
        """Whether it is on a strip."""
        return self.paper == STRIPS

    def text(self) -> str:
        """The text of the code.

        >>> Label("02a", "Zoë", 2, "a4", 1, 4, Point(1.87, 26.11)).text()
        'draft1;02a;Zo%C3%AB;2;a4;1/4;1870;26110'
        """
        return ";".join(
            (
                KIND, self.exercise, quote(self.student, safe=""), str(self.scale),
                self.paper + ("x" if self.across else ""), f"{self.page}/{self.pages}",
                str(round(1000 * self.origin.x)), str(round(1000 * self.origin.y)),
            )
        )  # fmt: skip

    def on_draft(self, on_page: Point) -> Point:
        """Where a place on the page, cm, lies on the draft, full-size cm.

        >>> Label("02a", "lena", 2, "a4", 1, 4, Point(2, 26)).on_draft(Point(3.0, 25.5))
        Point(x=2.0, y=-1.0)
        """
        return (on_page - self.origin) * self.scale

    def on_page(self, on_draft: Point) -> Point:
        """Where a place of the draft, full-size cm, lies on the page, cm; it may lie beyond it."""
        return self.origin + on_draft * (1 / self.scale)


def read_label(text: str) -> Label:
    """The label that a code's text holds. Raises LabelFault with a sentence for any other text.

    >>> read_label("draft1;02a;lena;2;a4x;2/4;-1250;26110").origin
    Point(x=-1.25, y=26.11)
    >>> read_label("https://example.org")
    Traceback (most recent call last):
        ...
    patternlib.assess.photographed.label.LabelFault: the code on the page, 'https://example.org', is not one \
of this course's worksheets. Photograph a page of the worksheet.
    """
    found = _FORM.fullmatch(text) if len(text) <= LONGEST and text.isascii() else None
    if not found:
        said = f", '{one_line(text, 60)}'," if text.strip() else ""
        raise LabelFault(
            f"the code on the page{said} is not one of this course's worksheets. Photograph a page of the "
            "worksheet."
        )
    exercise, student, scale, paper, across, page, pages, x, y = found.groups()
    try:
        whose = unquote(student, errors="strict")
    except UnicodeDecodeError:
        whose = ""
    label = Label(
        exercise, whose, int(scale), paper, int(page), int(pages), Point(int(x) / 1000, int(y) / 1000),
        across=across == "x",
    )  # fmt: skip
    fits = label.scale in SCALES and label.page <= label.pages
    near = max(abs(int(x)), abs(int(y))) <= (0 if label.loose else FARTHEST)
    if not (fits and near and 0 < len(whose) <= 80 and one_line(whose, 80) == whose and label.text() == text):
        raise LabelFault(
            "the code on the page is damaged or was changed. Print the worksheet again, or type the measures."
        )
    return label

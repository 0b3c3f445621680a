"""Text, numbered steps and ruled tables down the pages of a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from pathlib import Path
from typing import Any

from ...errors import ValueAtFault
from ...output.paper.pen import POINTS, Pen, font, printable
from ...output.paper.tiles import MARGIN, Paper
from ...output.styles import LINES

TITLE, HEAD, PLAIN, SMALL = 0.6, 0.42, 0.36, 0.32
"""cm: sizes of lettering."""


def save_bytes(data: bytes, path: str | Path) -> None:
    """Write a file that was asked for with --out; raises ValueAtFault where it cannot be written."""
    try:
        Path(path).write_bytes(data)
    except OSError as error:
        raise ValueAtFault(
            "--out", path, f"cannot be written ({error.strerror})", "Name a file in a folder that exists."
        ) from None


def save_pdf(data: bytes, path: str) -> int:
    """Write the bytes of a PDF to a file; returns the number of its pages.

    Raises ValueAtFault where the file cannot be written.
    """
    save_bytes(data, path)
    return data.count(b"/Type /Page") - data.count(b"/Type /Pages")


class Writing:
    """Text and tables down a page, and on to the next one where it is full."""

    def __init__(self, canvas: Any, paper: Paper, head: str):
        self.canvas, self.paper, self.head, self.count = canvas, paper, head, 0
        self.pen = Pen(canvas)
        self.left, self.wide = 1.5 * MARGIN, paper.width - 3 * MARGIN
        self.tall = paper.height or paper.width * sqrt(2)
        self._begin()

    def _begin(self) -> None:
        self.count += 1
        self.canvas.setPageSize((self.paper.width * POINTS, self.tall * POINTS))
        self.pen.words(self.left, self.tall - 1.3, self.head, SMALL, grey=90)
        self.pen.words(self.left + self.wide, 0.9, f"{self.count}", SMALL, anchor="end", grey=90)
        self.y = self.tall - 1.7

    def end(self) -> None:
        self.canvas.showPage()

    def need(self, high: float) -> bool:
        """Make sure of so much room; True where a new page was begun."""
        if self.y - high >= MARGIN + 0.5:
            return False
        self.end()
        self._begin()
        return True

    def text(self, words: str, size: float, **look) -> None:
        self.need(1.3 * size * self._rows(words, size, self.wide, **look))
        self.y = self.pen.block(self.left, self.y, self.wide, words, size, **look) - 0.2

    def heading(self, words: str) -> None:
        self.need(3.0)
        self.y = self.pen.block(self.left, self.y - 0.2, self.wide, words, HEAD, bold=True) - 0.15

    def step(self, count: int, words: str) -> None:
        """A numbered step with a box to tick."""
        self.need(1.3 * PLAIN * self._rows(words, PLAIN, self.wide - 1.5))
        x, y, a = self.left, self.y - 1.2 * PLAIN, PLAIN
        self._box(x, y, x + a, y + a)
        self.pen.words(x + 1.3, y + 0.05, f"{count}.", PLAIN, anchor="end", bold=True)
        self.y = self.pen.block(x + 1.5, self.y, self.wide - 1.5, words, PLAIN) - 0.12

    def choices(self, heading: str, words: Sequence[str]) -> None:
        """A heading and sentences to choose from, all on one page."""
        rows = sum(self._rows(one, PLAIN, self.wide - 1.5) for one in words)
        self.need(1.3 * HEAD + 0.35 + 1.3 * PLAIN * rows + 0.12 * len(words))
        self.heading(heading)
        for count, one in enumerate(words, 1):
            self.step(count, one)

    def table(
        self, heads: Sequence[str], rows: Sequence[Sequence[str]], shares: Sequence[float], high: float = 0.6
    ) -> None:
        """A ruled table; its heads stand again on each page. shares: of the width, a column each."""
        scale = self.wide / sum(shares[: len(heads)])
        xs = [self.left + scale * sum(shares[:k]) for k in range(len(heads) + 1)]
        self._row(heads, xs, 0.6, bold=True)
        for row in rows:
            lines = max(self._rows(t, SMALL, xs[k + 1] - xs[k] - 0.3) for k, t in enumerate(row))
            tall = max(high, 0.2 + 1.3 * SMALL * lines)
            if self.need(tall):
                self._row(heads, xs, 0.6, bold=True)
            self._row(row, xs, tall)
        self.y -= 0.3

    def _row(self, texts: Sequence[str], xs: Sequence[float], tall: float, *, bold: bool = False) -> None:
        low = self.y - tall
        for k, text in enumerate(texts):
            lines = self._rows(text, SMALL, xs[k + 1] - xs[k] - 0.3, bold=bold)
            down = (tall - 1.3 * SMALL * lines) / 2
            self.pen.block(xs[k] + 0.15, self.y - down, xs[k + 1] - xs[k] - 0.3, text, SMALL, bold=bold)
        self._box(xs[0], low, xs[-1], self.y)
        for x in xs[1:-1]:
            self.pen.line((("M", x, low), ("L", x, self.y)), LINES["measure"])
        self.y = low

    def _box(self, x0: float, y0: float, x1: float, y1: float) -> None:
        box = (("M", x0, y0), ("L", x1, y0), ("L", x1, y1), ("L", x0, y1), ("Z",))
        self.pen.line(box, LINES["measure"])

    @staticmethod
    def _rows(words: str, size: float, wide: float, *, bold: bool = False) -> int:
        from reportlab.lib.utils import simpleSplit

        text = printable(words)
        return len(simpleSplit(text, font(text, bold), size * POINTS, wide * POINTS))

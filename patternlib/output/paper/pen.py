"""A pen for PDF pages: lines and words at places in cm.

Words stand in Helvetica, which every reader has; words it lacks letters for stand in DejaVu Sans, which
comes with matplotlib, and are embedded.
"""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

from ...units import MM_PER_CM, POINTS_PER_MM
from ..items import Command, Stroke, Text
from ..styles import LETTERINGS, LINES, Line

POINTS = MM_PER_CM * POINTS_PER_MM
"""Points in one cm."""
LONGEST = 400
"""Letters of one text; a longer one is cut short."""


def new_canvas(file: Any, **options: Any) -> Any:
    """A canvas of ReportLab that writes to a file, the same bytes every time.

    Its streams are bytes and not letters: they are shorter by a fifth and sooner made.
    """
    _manage_without_images()
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0
    return Canvas(file, invariant=1, pageCompression=1, **options)


def _manage_without_images() -> None:
    """Let ReportLab load where Pillow is missing, as in a browser: no drawing here has an image in it."""
    if "PIL" in sys.modules or importlib.util.find_spec("PIL"):
        return
    pil, image = ModuleType("PIL"), ModuleType("PIL.Image")
    vars(image)["Image"] = type("Image", (), {})
    vars(pil)["Image"] = image
    sys.modules |= {"PIL": pil, "PIL.Image": image}


class Pen:
    """Draws on the page at hand of a ReportLab canvas. Places are cm from its lower left corner, y up."""

    def __init__(self, canvas: Any, *, colour: bool = True):
        self.canvas, self.colour = canvas, colour
        self.dx = self.dy = 0.0  # where the drawing's origin lies on the page

    def start(self, dx: float = 0.0, dy: float = 0.0, clip: tuple[float, float, float, float] | None = None):
        """Draw from now on with the origin moved by (dx, dy), inside a box of the moved places only."""
        self.canvas.saveState()
        self.dx, self.dy = dx, dy
        if clip:
            x0, y0, x1, y1 = clip
            path = self.canvas.beginPath()
            path.rect(*self.at(x0, y0), (x1 - x0) * POINTS, (y1 - y0) * POINTS)
            self.canvas.clipPath(path, stroke=0, fill=0)

    def end(self) -> None:
        self.canvas.restoreState()
        self.dx = self.dy = 0.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        return (x + self.dx) * POINTS, (y + self.dy) * POINTS

    def line(self, d: Sequence[Command], look: Line, *, thin: float = 1.0) -> None:
        """Path commands with a line of styles.py; thin: a share of its width and of its dashes."""
        canvas, path = self.canvas, self.canvas.beginPath()
        for op, *numbers in d:
            places = [v for k in range(0, len(numbers), 2) for v in self.at(*numbers[k : k + 2])]
            if op == "M":
                path.moveTo(*places)
            elif op == "L":
                path.lineTo(*places)
            elif op == "C":
                path.curveTo(*places)
            else:
                path.close()
        canvas.setLineWidth(look.width * POINTS_PER_MM * thin)
        canvas.setDash(*([[v * POINTS_PER_MM * thin for v in look.dashes]] if look.dashes else [[]]), 0)
        canvas.setLineJoin(1)
        canvas.setStrokeColor(self._ink(look.grey, look.colour))
        canvas.drawPath(path, stroke=1, fill=0)

    def stroke(self, item: Stroke) -> None:
        self.line(item.d, LINES[item.style])

    def text(self, item: Text) -> None:
        look = LETTERINGS[item.style]
        self.words(
            item.x, item.y, item.text, item.size_cm, anchor=item.anchor, angle=item.angle, bold=look.bold,
            slanted=look.slanted, grey=look.grey, colour=look.colour,
        )  # fmt: skip

    def words(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        *,
        anchor: str = "start",
        angle: float = 0.0,
        bold: bool = False,
        slanted: bool = False,
        grey: int = 0,
        colour: str = "",
    ) -> None:
        """One line of text, size in cm."""
        text = printable(text)
        canvas = self.canvas
        canvas.saveState()
        canvas.translate(*self.at(x, y))
        canvas.rotate(angle)
        canvas.setFont(font(text, bold, slanted), size * POINTS)
        canvas.setFillColor(self._ink(grey, colour))
        draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
        draw[anchor](0, 0, text)
        canvas.restoreState()

    def block(self, x: float, y: float, width: float, text: str, size: float, **look) -> float:
        """Text broken into lines of a width below the level y; gives the level under it, cm."""
        from reportlab.lib.utils import simpleSplit

        text = printable(text)
        face = font(text, look.get("bold", False), look.get("slanted", False))
        for row in simpleSplit(text, face, size * POINTS, width * POINTS):
            y -= 1.3 * size
            self.words(x, y + 0.25 * size, row, size, **look)
        return y

    def _ink(self, grey: int, colour: str) -> Any:
        from reportlab.lib.colors import Color, HexColor

        if self.colour and colour:
            return HexColor(colour)
        return Color(grey / 255, grey / 255, grey / 255)


def printable(text: str) -> str:
    """Words as a page can show them: no control characters, no halves of a character, not without end."""
    shown = "".join(c if c.isprintable() else " " for c in text)
    return shown if len(shown) <= LONGEST else shown[: LONGEST - 1] + "…"


def font(text: str, bold: bool = False, slanted: bool = False) -> str:
    """The name of a font that has the letters of a text."""
    kind = ("Bold" if bold else "") + ("Oblique" if slanted else "")
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return _embedded(kind)
    return f"Helvetica-{kind}" if kind else "Helvetica"


@cache
def _embedded(kind: str) -> str:
    from reportlab.pdfbase import pdfmetrics, ttfonts

    (home,) = importlib.util.find_spec("matplotlib").submodule_search_locations  # type: ignore[union-attr,misc]
    name = f"DejaVuSans-{kind}" if kind else "DejaVuSans"
    file = Path(home, "mpl-data", "fonts", "ttf", f"{name}.ttf")
    pdfmetrics.registerFont(ttfonts.TTFont(name, str(file)))
    return name

"""How a value shows itself as the last line of a notebook's cell: as its picture, with a short text.

Drafts and pieces come early in the order of modules, and their drawing comes late. So the package's own
`__init__` gives the drawing function to `draw_with`; it is loaded only when a picture is asked for.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Collection
from contextlib import suppress
from html import escape

from .errors import PatternError

_draw: Callable[[object], str] | None = None


def draw_with(draw: Callable[[object], str]) -> None:
    """Take the function that draws a value as SVG text."""
    global _draw
    _draw = draw


class Pictured:
    """A value that a notebook shows as its picture; everywhere else it is its `repr`."""

    def _repr_mimebundle_(
        self, include: Collection[str] | None = None, exclude: Collection[str] | None = None
    ) -> dict[str, str]:
        """The short text, and an image of SVG data, which a notebook shows before it is trusted too."""
        shown = {"text/plain": repr(self)}
        if _draw is not None:
            with suppress(PatternError):  # nothing to draw, such as a draft without steps
                shown["text/html"] = image(_draw(self), repr(self))
        return shown


def image(svg: str, words: str) -> str:
    """Give SVG text as an HTML image; words: read out where the picture cannot be seen.

    >>> image("<svg/>", "a square")
    '<img alt="a square" style="max-width:100%;background:white" src="data:image/svg+xml;base64,PHN2Zy8+">'
    """
    data = b64encode(svg.encode("utf-8")).decode("ascii")
    alt = escape(words.strip("<>"), quote=True)
    return f'<img alt="{alt}" style="max-width:100%;background:white" src="data:image/svg+xml;base64,{data}">'

"""How a value shows itself as the last line of a notebook's cell: as its picture, or as words on the page.

Drafts and pieces come early in the order of modules, and their drawing comes late. So the package's own
`__init__` gives the drawing function to `draw_with`; it is loaded only when a picture is asked for.
"""

from __future__ import annotations

import re
import sys
from base64 import b64encode
from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import suppress
from html import escape
from typing import Any

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


class Told:
    """Words that a notebook shows as text, a list or a table of the page; everywhere else as plain text.

    `+` puts two of them one below the other.
    """

    def __init__(self, text: str, html: str) -> None:
        self.text, self.html = text, html

    def __repr__(self) -> str:
        return self.text

    def _repr_html_(self) -> str:
        return self.html

    def __add__(self, other: Told) -> Told:
        return Told(f"{self.text}\n{other.text}", f"{self.html}\n{other.html}")


def told(*sentences: str) -> Told:
    """Sentences of running text, each in a paragraph of its own.

    >>> told("The hip line is 50.2 cm long.")
    The hip line is 50.2 cm long.
    """
    return Told("\n".join(sentences), "\n".join(f"<p>{escape(said)}</p>" for said in sentences))


def speak(sentence: str) -> None:
    """Say a sentence at once: as running text on the page of a notebook, elsewhere as a printed line.

    >>> speak("The hip line is 50.2 cm long.")
    The hip line is 50.2 cm long.
    """
    shell = sys.modules.get("IPython")
    if shell is not None and shell.get_ipython() is not None:
        from IPython.display import display

        display(told(sentence))
    else:
        print(sentence)


def bullets(sentences: Iterable[str], *, numbered: bool = False) -> Told:
    """Sentences as a list, with a number before each if they are numbered.

    >>> bullets(["From A go down 20.5 cm.", "Rule A B."])
    · From A go down 20.5 cm.
    · Rule A B.
    """
    said = tuple(sentences)
    items, kind = "\n".join(f"<li>{escape(one)}</li>" for one in said), "ol" if numbered else "ul"
    marks = [f"{k}. " if numbered else "· " for k in range(1, len(said) + 1)]
    text = "\n".join(mark + one for mark, one in zip(marks, said, strict=True))
    return Told(text, f"<{kind}>\n{items}\n</{kind}>")


def table(rows: Iterable[Sequence[object]], *, heads: Sequence[str] = ()) -> Told:
    """Rows of words and numbers as a table. heads: the words above the columns.

    A column of numbers stands to the right and a column of words to the left, its head above it alike.

    >>> table([("side seam", 48.5), ("hem", 3)], heads=("edge", "cm"))
    edge       cm
    side seam  48.5
    hem        3
    """
    said = [tuple(str(cell) for cell in row) for row in rows]
    every = [tuple(heads), *said] if heads else said
    columns = list(zip(*every, strict=True))
    wide = [max(map(len, column)) for column in columns]
    text = "\n".join(
        "  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in every
    )
    sides = [_side(column[len(every) - len(said) :]) for column in columns]

    def line(tag: str, cells: Sequence[str]) -> str:
        set_so = zip(cells, sides, strict=True)
        inner = "".join(f'<{tag} style="text-align:{side}">{escape(cell)}</{tag}>' for cell, side in set_so)
        return f"<tr>{inner}</tr>"

    body = "\n".join((*([line("th", tuple(heads))] if heads else ()), *(line("td", row) for row in said)))
    return Told(text, f"<table>\n{body}\n</table>")


_NUMBER = re.compile(r"[-+−]?\d([^a-z]|\b(cm|mm|m|in|to|of|degrees)\b)*")
"""A number or a few, with a unit or without."""


def _side(column: Sequence[str]) -> str:
    """Where a column stands: to the right if half of its cells or more are numbers."""
    filled = [cell for cell in column if cell]
    return (
        "right" if filled and 2 * sum(bool(_NUMBER.fullmatch(c)) for c in filled) >= len(filled) else "left"
    )


def from_page(hear: Callable[[Any, Any, Any], None]) -> Callable[[Any, Any, Any], None]:
    """A receiver of a page's messages that is given None for each empty value.

    Python in the browser has values of its own for the page's `null` and `undefined`.

    >>> class JsNull: pass
    >>> from_page(lambda widget, said, buffers: print(said))(None, {"steps": [1, JsNull()]}, [])
    {'steps': [1, None]}
    """

    def heard(widget: Any, said: Any, buffers: Any) -> None:
        hear(widget, _plain(said), buffers)

    return heard


def _plain(said: Any) -> Any:
    if isinstance(said, dict):
        return {key: _plain(value) for key, value in said.items()}
    if isinstance(said, list):
        return [_plain(value) for value in said]
    return None if type(said).__name__ in ("JsNull", "JsUndefined") else said

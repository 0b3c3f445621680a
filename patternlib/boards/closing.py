"""A board of a side opening: how it is closed, with its lap and its buttons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..body import Body
from ..checking import Finding
from ..garments import make
from ..output.scene import side_by_side
from ..units import write_length
from .board import Board
from .garment import style_slider
from .picture import Picture

CLOSING = ("opening", "extension", "fastening", "fastenings", "button")
"""The style values that close the opening."""


def closing_board(
    body: Body, names: Sequence[str] = CLOSING, *, title: str = "", unit: str = "cm", **style: float
) -> Board:
    """A live board of the pinafore's side opening, closed and open, with lap and buttons as sliders.

    names: the style values that get a slider; other style values may be set by keyword and stay.

    >>> from patternlib import chart
    >>> board = closing_board(chart("course").body("12"))
    >>> board.values = {"extension": 4}
    >>> board.draw().findings[0].text
    'closed: the side lines meet; waist 74.2 cm'
    """
    set_so: dict[str, Any] = dict(style)
    begun = make("pinafore", body, **set_so).style
    sliders = [style_slider("pinafore", name, begun[name]) for name in names]

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        from ..output.scene.closing import closing_scene

        garment = make("pinafore", body, **(set_so | dict(values)))
        closed, opened = (closing_scene(garment, opened=way, unit=unit) for way in (False, True))
        wrong = tuple(f for f in garment.findings if f.code // 10 in (71, 72))
        meets = "right" if "meet" in closed.title else "error"
        found = [Finding(100, meets, "side opening", None, None, None, closed.title), *wrong]
        if not any(f.code == 721 for f in wrong):
            deep = write_length(garment.style["opening"], unit)
            text = f"{deep} deep: the hips pass through its end"
            found.append(Finding(100, "right", "side opening", None, None, None, text))
        return Picture(side_by_side(closed, opened, title="the side opening, closed and open"), tuple(found))

    return Board(redraw, sliders, title=title or "Closing the side", unit=unit)

"""Garments: one module each. A module draws the plans, takes the pieces from them and names the seams."""

from __future__ import annotations

from collections.abc import Callable

from ..alterations import NONE, Changes
from ..body import Body, as_body
from ..errors import look_up
from ..units import Length
from . import apron, pinafore, smock
from .base import Garment, StyleValue

_MAKERS: dict[str, tuple[Callable[..., Garment], tuple[StyleValue, ...]]] = {
    "pinafore": (pinafore.make_pinafore, pinafore.STYLE),
    "apron": (apron.make_apron, apron.STYLE),
    "smock": (smock.make_smock, smock.STYLE),
}


def garment_names() -> tuple[str, ...]:
    """The names that `make` knows.

    >>> garment_names()
    ('pinafore', 'apron', 'smock')
    """
    return tuple(_MAKERS)


def style_values(garment: str) -> tuple[StyleValue, ...]:
    """The style values of a garment with their ranges and reasons."""
    return look_up("garment", garment, _MAKERS)[1]


def make(
    garment: str,
    body: Body | str | int,
    *,
    size: str = "",
    date: str = "",
    changes: Changes = NONE,
    **style: Length,
) -> Garment:
    """Draft, finish and check a garment for one body.

    body: a Body, or a size of the course's own chart, which is then written on the pieces; style: style
    values by name, cm or text with a unit (see `style_values`); size, date: written on the pieces;
    changes: the sheet of changes after the toile, see `alterations`. Raises UnknownName for a garment,
    size or style value that does not exist and ValueAtFault for a value that
    cannot be drawn.

    >>> make("pinafore", "12", yoke_depth="3 in")["strap"].cut
    2
    """
    draw, _ = look_up("garment", garment, _MAKERS)
    if not isinstance(body, Body):
        size = size or str(body)
    return draw(as_body(body), size=size, date=date, changes=changes, **style)

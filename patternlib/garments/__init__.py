"""Garments: one module each. A module draws the plans, takes the pieces from them and names the seams."""

from __future__ import annotations

from ..body import Body
from ..errors import unknown
from . import apron, pinafore, smock
from .base import Garment, StyleValue

_MAKERS = {
    "pinafore": (pinafore.make_pinafore, pinafore.STYLE),
    "apron": (apron.make_apron, apron.STYLE),
    "smock": (smock.make_smock, smock.STYLE),
}


def garment_names() -> tuple[str, ...]:
    return tuple(_MAKERS)


def style_values(garment: str) -> tuple[StyleValue, ...]:
    """The style values of a garment with their ranges and reasons."""
    if garment not in _MAKERS:
        raise unknown("garment", garment, _MAKERS)
    return _MAKERS[garment][1]


def make(garment: str, body: Body, *, size: str = "", date: str = "", **style: float) -> Garment:
    """Draft, finish and check a garment for one body.

    style: style values by name, cm (see `style_values`); size, date: written on the pieces. Raises
    UnknownName for a garment or style value that does not exist and ValueAtFault for a value that cannot
    be drawn.

    >>> from patternlib.body import chart
    >>> make("pinafore", chart("course").body("12")).piece("strap").cut
    2
    """
    if garment not in _MAKERS:
        raise unknown("garment", garment, _MAKERS)
    return _MAKERS[garment][0](body, size=size, date=date, **style)

"""Garments: one module each. A module draws the plans, takes the pieces from them and names the seams."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from ..alterations import NONE, Changes
from ..body import Body, as_body
from ..errors import PatternError, look_up
from ..units import Length
from . import apron, pinafore, smock
from .base import Garment, StyleValue
from .both_sides import alike, joined_sides
from .toile import make_toile

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
    draw = partial(draw, as_body(body), size=size, date=date, **style)
    made = draw(changes=changes)
    idle = frozenset(k for k in range(len(changes)) if _is_idle(made, changes.without(k), draw))
    return draw(changes=replace(changes, idle=idle)) if idle else made


def _is_idle(made: Garment, rest: Changes, draw: Callable[..., Garment]) -> bool:
    """Whether a garment has the same pieces without one of its changes."""
    try:
        return alike(draw(changes=rest), made)
    except PatternError:
        return False


def to_cut(garment: Garment) -> Garment:
    """The pattern as it is cut: with whole pieces for right and left where a change is of one side only.

    A garment whose sides are alike comes back as it is, with half of what lies on the fold.

    >>> from patternlib.alterations import Change, Changes
    >>> uneven = make("apron", "12", changes=Changes((Change("right hip higher", 1),)))
    >>> [piece.name for piece in to_cut(uneven).pieces][:3]
    ['front panel', 'bib facing', 'back panel, right']
    """
    changes = garment.changes
    if not changes.one_sided() or garment.half is not None:
        return garment
    style, opening = dict(garment.given), garment.style.get("opening")
    other = _again(garment, changes.other_half(), style)
    if opening is not None and other.style["opening"] != opening:  # both sides open equally far
        style["opening"] = max(opening, other.style["opening"])
        other, again = (_again(garment, sheet, style) for sheet in (changes.other_half(), changes))
        garment = replace(again, pieces=tuple(p.replace(label=garment[p.name].label) for p in again.pieces))
    right, left = (garment, other) if changes.side == "right" else (other, garment)
    return joined_sides(right, left, garment)


def _again(garment: Garment, changes: Changes, style: Mapping[str, float]) -> Garment:
    """The same garment with another sheet of changes."""
    if garment.name == "toile":
        return make_toile(garment.body, size=garment.size, changes=changes)
    return _MAKERS[garment.name][0](garment.body, size=garment.size, changes=changes, **style)

"""Where the toile of one body is short or long on another, level by level.

This is a calculation from two sets of measures, and no simulation of cloth: it says what a tape finds on the
blocks and on the body, not how cloth falls between the levels.
"""

from __future__ import annotations

from typing import NamedTuple

from ..blocks import bodice_block, skirt_block
from ..blocks.bodice import SHOULDER_ROOM, girth_at_bust, length_over_bust
from ..body import Body
from ..draft import Draft
from .waist_lines import PARTS, closed_waist

BUST_EASE, HIP_EASE, WAIST_EASE = 10.0, 5.0, 2.4
"""cm of the blocks as they are drafted, taken off before the comparison."""


class Level(NamedTuple):
    """One level: its name, what the toile has without its ease and what the body has, cm, and its signs.

    short, long: the sign where the toile has less, or more, than the body.
    """

    name: str
    toile: float
    body: float
    short: str
    long: str

    @property
    def missing(self) -> float:
        """How much the toile is too short or too narrow here, cm; less than 0: too long or too wide."""
        return self.body - self.toile

    @property
    def sign(self) -> str:
        """The sign that this level speaks for, '' where both agree within 0.3 cm."""
        return "" if abs(self.missing) < AGREES else self.short if self.missing > 0 else self.long


AGREES = 0.3
"""cm; a tape read twice differs by as much."""


def level_by_level(toile: Body, body: Body) -> tuple[Level, ...]:
    """The levels of the toile of one body, measured on the blocks, against the measures of another.

    >>> her = Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165)
    >>> [level.sign for level in level_by_level(her, her.replace(hip_girth=97)) if level.sign]
    ['hip too tight']
    """
    bodice, skirt = bodice_block(toile, one_dart=True), skirt_block(toile)
    rows = (
        ("round the bust", 2 * girth_at_bust(bodice) - BUST_EASE, body.bust_girth,
         "bust too tight", "bust too loose"),
        ("round the waist", 2 * sum(closed_waist(skirt, p) for p in PARTS) - WAIST_EASE, body.waist_girth,
         "waist too tight", "waist too loose"),
        ("round the hip", 2 * skirt.curve("hip line").length - HIP_EASE, body.hip_girth,
         "hip too tight", "hip too loose"),
        ("nape to waist at the centre back", bodice.point("nape").y, body.back_waist_length,
         "round upper back", "erect back"),
        ("neck over the bust to the waist", length_over_bust(bodice), body.length_over_bust,
         "full bust", "flat bust"),
        ("neck to the bust point", _neck_to_bust(bodice), body.neck_to_bust, "low bust", "high bust"),
        ("fall of the shoulder", _fall(bodice), body.shoulder_drop, "sloping shoulders", "square shoulders"),
    )  # fmt: skip
    return tuple(Level(*row) for row in rows)


def _neck_to_bust(bodice: Draft) -> float:
    return bodice.point("front neck point").distance(bodice.point("bust point"))


def _fall(bodice: Draft) -> float:
    """The fall of the shoulder on the body: of the front, turned to the mean slope, with the room over it."""
    falls = [
        bodice.point(f"{part} neck point").y - bodice.point(tip).y
        for part, tip in (("back", "back shoulder tip"), ("front", "shoulder tip, dart closed"))
    ]
    return sum(falls) / 2 + SHOULDER_ROOM

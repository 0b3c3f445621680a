"""How exact each way of drafting is. Every tolerance of the judge follows from this file.

A value that is typed in code, or written beside a step of the drafting table, is exact: it is off by rounding
to a millimetre and no more. A mark made with pencil and ruler, and measured again with the ruler, is off by
about 1 mm each way: half a millimetre for the pencil's line [own judgement], half a millimetre for reading
the ruler's nearest mark, and the same again when the draft is measured for the form. In half scale all of
this counts twice on the pattern.

The figures are stated from memory of practice, no source; what they do to honest and to faulty drafts is
measured by `python -m tests.judging_benchmark`.
"""

from __future__ import annotations

from typing import NamedTuple


class Hand(NamedTuple):
    """A way of drafting.

    said: how it is called in a remark; point, number, angle: standard deviations of what is handed in, cm
    (a point: each way) and degrees; curve: how far a curve that was meant rightly lies off, cm.
    """

    said: str
    point: float
    number: float
    angle: float
    curve: float
    exact: bool = False

    def drawn_smaller(self, times: float) -> Hand:
        """The same hand on a draft that is `times` smaller than the pattern.

        >>> PENCIL.drawn_smaller(2).point
        0.2
        """
        if times == 1:
            return self
        said = f"{self.said} in a draft {times:g} times smaller"
        return Hand(said, times * self.point, times * self.number, self.angle, times * self.curve)

    def tolerance(self, kind: str) -> float:
        """How far off a 'point', 'curve', 'number' (cm) or 'angle' (degrees) may be.

        >>> round(PENCIL.tolerance("point"), 2), round(EXACT.tolerance("point"), 2)
        (0.43, 0.11)
        """
        if kind == "curve":
            return self.curve
        return MARKS * self.point if kind == "point" else READINGS * getattr(self, kind)


MARKS = 4.3
"""A point may lie so many standard deviations off: of honest points, 1 in 10,000 lies farther. It is this
wide because some hands are half as exact again; of theirs 1.6 in 100 lie farther."""
READINGS = 3.7
"""So too for a number: 2 in 10,000, and 1.4 in 100 for hands half as exact."""
NEAR = 1.5
"""Up to so many times the tolerance a step gets half of its mark."""

EXACT = Hand("typed measures", 0.025, 0.027, 0.14, 0.2, exact=True)
BOARD = Hand("a draft on a board", 0.047, 0.041, 0.27, 0.3)
PENCIL = Hand("ruler and pencil", 0.1, 0.1, 0.5, 0.5)

PHOTOGRAPH = Hand("pencil, read from a photograph", 0.041, 0.1, 0.5, 0.3)
"""Of the points 95 in 100 lie within 1 mm: half a millimetre for the pencil's line, half for the ruler [own
judgement]; what the photograph itself adds is measured by `python -m tests.photo_benchmark`. 2.45 standard
deviations each way go into the radius that holds 95 in 100 (circular normal distribution). Numbers and
angles are measured with ruler and tape, as for the pencil."""
SMALL_PHOTOGRAPH = Hand(PHOTOGRAPH.said, 0.0286, 0.1, 0.5, 0.21)
"""The same on paper of half scale or smaller, on which 95 in 100 lie within 0.7 mm: distances are shorter
there, and the printed grid is near every point. A bad photograph makes none of this wider."""

WAYS = {"code": EXACT, "table": EXACT, "board": BOARD, "paper": PENCIL, "photograph": PHOTOGRAPH}
ON_PAPER = ("paper", "photograph")
"""Ways in which what lies on a smaller paper is farther off on the pattern."""


def hand_of(way: str, scale: float = 1.0) -> Hand:
    """The hand of a record: its way, and how many cm of the pattern a cm of the paper stands for.

    >>> round(hand_of("photograph").tolerance("point"), 2), round(hand_of("photograph", 2).point, 3)
    (0.18, 0.057)
    """
    hand = SMALL_PHOTOGRAPH if way == "photograph" and scale > 1 else WAYS[way]
    return hand.drawn_smaller(scale if way in ON_PAPER else 1.0)

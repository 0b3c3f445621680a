"""Points, curves, outlines and offsets. cm and degrees; x to the right, y up.

Closed outlines run anticlockwise, so the outside of an edge lies on its right hand.
Angles are counted anticlockwise from the direction 'right'.
"""

from .curve import Curve, cubic, line, polyline
from .fair_curve import arc, fair, fair_between, half_way_off
from .offsets import corner_cut, offset
from .path import Outline
from .point import DOWN, LEFT, RIGHT, UP, Move, Point, Spot, direction, meet_lines

__all__ = [
    "DOWN",
    "LEFT",
    "RIGHT",
    "UP",
    "Curve",
    "Move",
    "Outline",
    "Point",
    "Spot",
    "arc",
    "corner_cut",
    "cubic",
    "direction",
    "fair",
    "fair_between",
    "half_way_off",
    "line",
    "meet_lines",
    "offset",
    "polyline",
]

"""The picture of a draft, an outline, a piece or a garment as the last line of a notebook's cell."""

from __future__ import annotations

from ..draft import Draft
from ..errors import PatternError
from ..garments.base import Garment
from ..geometry import Outline
from ..piece import Piece
from .scene import Scene, draft_scene, garment_scene, piece_scene
from .scene.outlines import outline_scene
from .svg import as_svg

WIDE, TALL = 900, 620
"""px: a picture in a cell is at most so wide and so high, so that it is seen at one glance."""


def picture(value: object) -> str:
    """Draw a Draft, an Outline, a Piece or a Garment as SVG for the screen; anything else: PatternError.

    >>> from patternlib import make
    >>> 'data-piece="bib"' in picture(make("pinafore", "12")["bib"])
    True
    """
    scene = _scene(value)
    x0, y0, x1, y1 = scene.bounds
    shape = (x1 - x0) / (y1 - y0)
    return as_svg(scene, true_size=False, width=round(min(WIDE, max(200, TALL * shape))))


def _scene(value: object) -> Scene:
    if isinstance(value, Draft) and value.steps:
        return draft_scene(value, lettering="screen")
    if isinstance(value, Outline):
        return outline_scene(value, measures=value.names, title="an outline", lettering="screen")
    if isinstance(value, Piece):
        return piece_scene(value, lettering="screen", measures=True)
    if isinstance(value, Garment):
        return garment_scene(value, lettering="screen", test_square=False)
    raise PatternError("there is nothing to draw here.")

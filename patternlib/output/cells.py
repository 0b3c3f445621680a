"""The picture of a draft, an outline, a piece or a garment as the last line of a notebook's cell."""

from __future__ import annotations

from ..draft import Draft
from ..errors import PatternError
from ..garments.base import Garment
from ..geometry import Outline
from ..pieces import Piece
from .scene import Scene, draft_scene, garment_scene, piece_scene
from .scene.outlines import outline_scene


def picture(value: object) -> str:
    """Draw a Draft, Outline, Piece or Garment as SVG for the screen; anything else: PatternError.

    >>> from patternlib import make
    >>> 'data-piece="bib"' in picture(make("pinafore", "12")["bib"])
    True
    """
    return _scene(value).for_cell()


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

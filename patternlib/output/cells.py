"""The picture of a draft, an outline, a piece or a garment as the last line of a notebook's cell."""

from __future__ import annotations

from html import escape

from ..draft import Draft
from ..errors import PatternError
from ..garments.base import Garment
from ..geometry import Outline
from ..making import finish_of, sewing_order
from ..notebook import Told, image
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


def steps_shown(garment: Garment, *, unit: str = "cm") -> Told:
    """Each step of the making: its number, its words, its seam in the trade's terms, and its picture.

    unit: of the lengths, 'cm' or 'in'.

    >>> from patternlib import make
    >>> print(str(steps_shown(make("apron", "12"))).splitlines()[0])
    1. Hem back panel (upper edge): turn in 0.5 cm twice (allowance 1 cm) and stitch.
    """
    from .scene.sewing import step_scenes

    lines, page = [], []
    for step, scene in zip(sewing_order(garment, unit=unit), step_scenes(garment), strict=True):
        finish = finish_of(garment, step)
        seam = f"{finish[0].upper()}{finish[1:]}."
        lines += [f"{step.number}. {step.text}", f"   {seam}"]
        page.append(
            f'<div style="margin:0 0 1.4em"><p><b>{step.number}</b> {escape(step.text)} '
            f"<i>{escape(seam)}</i></p>"
            f"{image(scene.for_cell(), scene.title)}</div>"
        )
    return Told("\n".join(lines), "\n".join(page))


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

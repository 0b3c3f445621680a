"""The pictures of the order of making."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ....errors import ValueAtFault
from ....garments.base import Garment
from ....making import SewingStep, sewing_order
from ..base import Scene
from ..closing import closing_scene
from ..worn import worn_scene
from .panel import beside
from .seaming import seamed
from .turning import closed, patched, turned
from .work import Work

PANELS = {"turn": turned, "patch": patched, "close": closed, "seam": seamed}


def step_scene(garment: Garment, number: int) -> Scene:
    """Draw one step of the order of making, numbered from 1.

    The seam sewn in the step is drawn in the style 'sewing', wrong sides are shaded. ValueAtFault for a
    number that the order does not have.

    >>> from patternlib import chart, make
    >>> step_scene(make("apron", chart("course").body("12")), 7).title
    'apron, step 7: tie, back panel'
    """
    steps = sewing_order(garment)
    if not 1 <= number <= len(steps):
        raise ValueAtFault("number", number, f"must lie between 1 and {len(steps)}", "Steps count from 1.")
    return _scene(garment, steps, steps[number - 1])


def step_scenes(garment: Garment) -> tuple[Scene, ...]:
    """The pictures of all steps, in order."""
    steps = sewing_order(garment)
    return tuple(_scene(garment, steps, step) for step in steps)


def _scene(garment: Garment, steps: Sequence[SewingStep], step: SewingStep) -> Scene:
    garment = garment.half or garment
    title = f"{garment.name}, step {step.number}: {', '.join(step.pieces) or 'finishing'}"
    if step.kind == "fit":
        made = closing_scene(garment) if "back extension" in garment else worn_scene(garment)
        return replace(made, title=title)
    return beside(PANELS[step.kind](Work(garment, steps, step)), title)

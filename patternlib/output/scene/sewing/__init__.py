"""A picture of each step of the making: the pieces as they lie, the seam being sewn heavy, what it gives.

Pieces are laid on one another along the seam that joins them, right sides together, so that the upper one
shows its wrong side, which is shaded. Edges that earlier steps have sewn or turned lie on their seam line.
"""

from ....not_here import said_if_missing

with said_if_missing("A picture of the making"):
    from .steps import step_scene, step_scenes

__all__ = ["step_scene", "step_scenes"]

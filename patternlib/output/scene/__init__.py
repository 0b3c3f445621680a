"""Drawings of drafts, pieces, garments, lays and nests as scenes, in cm, y up.

svg.py and figure.py put a scene on paper or screen, the boards make it live.
"""

from .base import Scene, side_by_side
from .garments import (
    draft_scene,
    facts,
    garment_scene,
    piece_scene,
    plan_scene,
    sheet_scene,
)
from .replaying import Replayed, replayed

__all__ = [
    "Replayed", "Scene", "draft_scene", "facts", "garment_scene", "piece_scene", "plan_scene", "replayed",
    "sheet_scene", "side_by_side",
]  # fmt: skip

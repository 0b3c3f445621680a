"""Laying pieces on cloth: how much to buy, and how to lay them.

lay(garment, width=150, folded=True) -> Lay: pieces in place, length to buy, use of cloth
"""

from .cloth import Laid, Lay, lay, pack
from .parts import cloths
from .shapes import Shape, Strip, Way

__all__ = ["Laid", "Lay", "Shape", "Strip", "Way", "cloths", "lay", "pack"]

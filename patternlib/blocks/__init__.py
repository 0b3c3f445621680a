"""Blocks: the plain drafts of a body, without style and without seam allowance."""

from .bodice import bodice_block
from .skirt import skirt_block
from .skirt_darts import SkirtDart
from .sleeve import sleeve_block

__all__ = ["SkirtDart", "bodice_block", "skirt_block", "sleeve_block"]

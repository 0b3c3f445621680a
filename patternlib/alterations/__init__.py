"""Alterations: from a sign on the toile to the changed block, recorded in steps, and the sheet.

A pinch is measured on the body, the sign says what it means, and a cutter's move on the paper carries it out.
What is sewn together still agrees afterwards: `agreement` walks its seams and measures its
corners.
"""

from .agreeing import agreement, centred, changed_edges, is_changed
from .levels import Level, level_by_level
from .paper import Altered
from .sheet import NONE, ONE_SIDE, Change, Changes, load_changes, save_changes
from .signs import SIGNS, Sign, on_paper, sign

__all__ = [
    "NONE", "ONE_SIDE", "SIGNS", "Altered", "Change", "Changes", "Level", "Sign", "agreement", "centred",
    "changed_edges", "is_changed", "level_by_level", "load_changes", "on_paper", "save_changes", "sign",
]  # fmt: skip

"""Pattern pieces: named edges on the seam line, the seams that join them, and the cut line round them."""

from .cut_line import BLUNT, finish, folds_first
from .piece import FUSING, TURNED_OVER, TURNS, DrillHole, Edge, Grain, Mark, Notch, Piece
from .seams import Seam, place_on_side, seam, side_length, side_starts, with_notches

__all__ = [
    "BLUNT", "FUSING", "TURNED_OVER", "TURNS", "DrillHole", "Edge", "Grain", "Mark", "Notch", "Piece", "Seam",
    "finish", "folds_first", "place_on_side", "seam", "side_length", "side_starts", "with_notches",
]  # fmt: skip

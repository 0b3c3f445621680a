"""Live drafting boards for notebooks: a pure function from values to a picture, and sliders.

A board is thin: `Board(redraw, sliders, title=...)`. Lengths in cm.
"""

from .answers import choice_board, number_board
from .board import Board
from .garment import compare, garment_board, style_slider
from .picture import BoardStep, Picture
from .printing import booklet_button, piece_button
from .refusal import refusal_text
from .seams import closing_board, opened_board, walk_board
from .slider import Slider, choice

__all__ = [
    "Board", "BoardStep", "Picture", "Slider", "booklet_button",
    "choice", "choice_board", "closing_board", "compare", "garment_board", "number_board", "opened_board",
    "piece_button", "refusal_text", "style_slider", "walk_board",
]  # fmt: skip

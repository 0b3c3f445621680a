"""Live drafting boards for notebooks: a pure function from values to a picture, and sliders.

A board is thin: `Board(redraw, sliders, title=...)`. Lengths in cm.
"""

from .board import Board
from .garment import compare, garment_board, style_slider
from .picture import BoardStep, Picture
from .slider import Slider

__all__ = ["Board", "BoardStep", "Picture", "Slider", "compare", "garment_board", "style_slider"]

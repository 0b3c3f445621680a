"""Checks of the pieces and walks along the seams, from the drawn lines alone."""

from .findings import SEVERITIES, Finding
from .piece_check import DESIGNED, NOTCH_TO_CORNER, check_piece
from .report_text import report
from .walk import check

__all__ = ["DESIGNED", "NOTCH_TO_CORNER", "SEVERITIES", "Finding", "check", "check_piece", "report"]

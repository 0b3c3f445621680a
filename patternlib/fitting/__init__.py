"""The fitting: a board of signs and pinches, before and after, and the sheet of changes as a form."""

from ..garments.both_sides import changed_pieces as changed_pieces
from .alteration import alteration_board as alteration_board
from .sheet_form import changes_form as changes_form

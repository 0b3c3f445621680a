"""The apron that wraps round the back."""

from .garment import LAID_ON, make_apron
from .style import STYLE

__all__ = ["LAID_ON", "STYLE", "make_apron"]

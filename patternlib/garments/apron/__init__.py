"""The apron that wraps round the back."""

from .garment import make_apron
from .making_up import LAID_ON
from .style import STYLE

__all__ = ["LAID_ON", "STYLE", "make_apron"]

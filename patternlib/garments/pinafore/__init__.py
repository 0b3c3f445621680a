"""The kiln-room pinafore."""

from .garment import make_pinafore, pinafore_plans
from .style import STYLE

__all__ = ["STYLE", "make_pinafore", "pinafore_plans"]

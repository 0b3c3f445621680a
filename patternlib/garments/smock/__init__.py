"""The smock with sleeves."""

from .garment import STYLE, make_smock

__all__ = ["STYLE", "make_smock"]

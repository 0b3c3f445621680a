"""Working drawings: a garment as it is worn, front and back, closed, in true proportions."""

from .drawing import worn_scene

__all__ = ["worn_scene"]

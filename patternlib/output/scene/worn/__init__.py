"""Working drawings: a garment as it is worn, front and back, closed, in true proportions."""

from ....not_here import said_if_missing

with said_if_missing("The working drawing"):
    from .drawing import worn_scene

__all__ = ["worn_scene"]

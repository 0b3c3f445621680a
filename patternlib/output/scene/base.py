"""A scene: one drawing, complete, in cm with y up. A notebook shows it as a picture."""

from __future__ import annotations

from dataclasses import dataclass

from ..items import Box, Handle, Stroke, Text
from ..svg import as_svg


@dataclass(frozen=True, repr=False)
class Scene:
    """A drawing: its items, a title in words, and the box (x0, y0, x1, y1) that holds it all, cm."""

    items: tuple[Stroke | Text | Handle, ...]
    title: str
    bounds: Box

    def __repr__(self) -> str:
        """What stands in a notebook where no picture can be shown."""
        return f"<drawing: {self.title}>"

    def _repr_svg_(self) -> str:
        """How a notebook shows the drawing."""
        return as_svg(self, true_size=False)

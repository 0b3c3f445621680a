"""A scene: one drawing, complete, in cm with y up. A notebook shows it as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..items import Box, Handle, Stroke, Text
from ..svg import as_svg


@dataclass(frozen=True, repr=False)
class Scene:
    """A drawing: its items, a title in words, and the box (x0, y0, x1, y1) that holds it all, cm.

    places: for pieces laid side by side, the upper left corner of each, cm.
    """

    items: tuple[Stroke | Text | Handle, ...]
    title: str
    bounds: Box
    places: Mapping[str, tuple[float, float]] = field(default_factory=dict)

    def __repr__(self) -> str:
        """What stands in a notebook where no picture can be shown."""
        return f"<drawing: {self.title}>"

    def _repr_svg_(self) -> str:
        """How a notebook shows the drawing."""
        return as_svg(self, true_size=False)

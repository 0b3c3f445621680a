"""A scene: one drawing, complete, in cm with y up. A notebook shows it as a picture.

Scenes side by side on one sheet are a scene too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ...notebook import image
from ..items import Box, Handle, Stroke, Text, join_boxes, shifted
from ..svg import as_svg

WIDE, TALL = 840, 620
"""px: a picture in a cell is at most so wide and so high, so that it is seen at one glance. The outputs of a
notebook are 848 px wide in a window of 1280 px; in a narrower one the picture shrinks with them."""

APART = 6.0
"""cm between scenes on one sheet."""


def page_width(box: Box, names: float = 1.3) -> float:
    """How wide a drawing counts when its lettering for the screen is chosen, cm.

    A tall drawing is shown smaller, so that it is seen at one glance, and needs larger letters. names: how
    much wider it becomes by the names beside it.

    >>> page_width((0, 0, 30, 10)), page_width((0, 0, 30, 60)) > 80
    (39.0, True)
    """
    x0, y0, x1, y1 = box
    return max(names * (x1 - x0), (y1 - y0 + 2) * WIDE / TALL)


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

    def for_cell(self) -> str:
        """The drawing as SVG text of the size that a notebook's page has room for."""
        x0, y0, x1, y1 = self.bounds
        shape = (x1 - x0) / (y1 - y0)
        return as_svg(self, true_size=False, width=round(min(WIDE, max(200, TALL * shape))))

    def _repr_html_(self) -> str:
        """How a notebook shows the drawing: as an image, which is seen before the notebook is trusted too."""
        return image(self.for_cell(), repr(self))


def side_by_side(*scenes: Scene, title: str = "", gap: float = APART, columns: int = 0) -> Scene:
    """Scenes on one sheet from left to right, their tops level, `gap` cm between their boxes.

    columns: so many in a row, the next row below; 0: all in one row.
    """
    items: list[Stroke | Text | Handle] = []
    boxes: list[Box] = []
    for k, scene in enumerate(scenes):
        x0, y0, x1, y1 = scene.bounds
        if not boxes:
            dx, dy = 0.0, 0.0
        elif columns and k % columns == 0:
            dx, dy = boxes[0][0] - x0, min(box[1] for box in boxes) - gap - y1
        else:
            dx, dy = boxes[-1][2] + gap - x0, boxes[k - k % columns if columns else 0][3] - y1
        items += [shifted(item, dx, dy) for item in scene.items]
        boxes.append((x0 + dx, y0 + dy, x1 + dx, y1 + dy))
    return Scene(tuple(items), title or ", ".join(scene.title for scene in scenes), join_boxes(boxes))

"""Front and back view side by side."""

from __future__ import annotations

from collections.abc import Callable

from ....errors import look_up
from ....garments.base import Garment
from ....units import CM_PER_INCH, write_length
from ...items import Handle, Stroke, Text, item_box, join_boxes, shifted
from ...lettering.sizes import letters
from ..base import Scene
from .apron import apron_views
from .pinafore import pinafore_views
from .smock import smock_views

VIEWS: dict[str, Callable[[Garment], tuple[list[Stroke], list[Stroke]]]] = {
    "pinafore": pinafore_views,
    "apron": apron_views,
    "smock": smock_views,
}
APART = 12.0
"""cm between the views."""


def worn_scene(garment: Garment, *, lettering: str = "screen", unit: str = "cm") -> Scene:
    """Draw a garment as it is worn, front and back, in cm: fastened, darts closed, edges turned.

    Widths are half of the garment's girth at each level; the waist level of both views is the same. What is
    seen of the inside is shaded. lettering: 'paper' or 'screen', see garment_scene; unit: of the
    scale bar, 'cm' or 'in'.

    >>> from patternlib import chart, make
    >>> worn_scene(make("pinafore", chart("course").body("12"), size="12")).title
    'pinafore, size 12: working drawing, front and back'
    """
    garment = garment.half or garment
    views = look_up("garment with a working drawing", garment.name, VIEWS)(garment)
    boxes = [join_boxes(map(item_box, view)) for view in views]
    width = sum(box[2] - box[0] for box in boxes) + APART
    size = letters(lettering, 1.2 * width).size
    foot = min(box[1] for box in boxes) - 2.2 * size
    items: list[Stroke | Text | Handle] = []
    x = 0.0
    for name, view, box in zip(("front", "back"), views, boxes, strict=True):
        dx = x - box[0]
        items += [shifted(item, dx) for item in view]
        middle = (box[0] + box[2]) / 2 + dx
        items.append(Text(middle, foot, name, 1.3 * size, "middle", 0.0, "labels", "heading"))
        x += box[2] - box[0] + APART
    items += _bar(foot, size, unit)
    size_of = f", size {garment.size}" if garment.size else ""
    title = f"{garment.name}{size_of}: working drawing, front and back"
    x0, y0, x1, y1 = join_boxes(map(item_box, items))
    return Scene(tuple(items), title, (x0 - 2, y0 - 2, x1 + 2, y1 + 2))


BAR = {"cm": 20.0, "in": 8 * CM_PER_INCH}
"""cm: the bar that says how large the garment is in the drawing."""


def _bar(y: float, size: float, unit: str) -> tuple[Stroke, Text]:
    """A bar of a round length at the left foot of the drawing, with its length."""
    long, tick = BAR[unit], 0.5 * size
    d = (("M", 0.0, y + tick), ("L", 0.0, y), ("L", long, y), ("L", long, y + tick))
    words = write_length(long, unit)
    return (
        Stroke(d, "measure", "labels", "", f"scale bar of {words}"),
        Text(long / 2, y + 0.4 * size, words, size, "middle", 0.0, "labels"),
    )

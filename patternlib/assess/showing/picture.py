"""The still picture of a section: what was there in grey, the new steps in colour with their dimensions."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from ...geometry import Point
from ...notebook import image
from ...output.items import Box, Stroke, Text, item_box, join_boxes
from ...output.scene import Scene
from ...output.svg import as_svg
from ..answers.sketch import Sketch, wider
from .sections import Dimension, Section

WIDEST, HIGHEST = 840, 560
"""px: a picture is as wide, or as high."""
LETTERS = 12.5
"""px"""
ASIDE = 1.5
"""Letters from a line to its first dimension line, and from one to the next."""
HEAD = 0.55
"""Letters: the length of an arrow's head."""

_HIDE = (
    "<style>.jp-OutputArea-child:has(+ .jp-OutputArea-child .draft-table-still)"
    ":not(:has(.draft-table)){display:none}</style>"
)


class SectionStill:
    """What stays of a section's table in the saved notebook: its picture, for any reader without a kernel."""

    def __init__(self, part: Section, unit: str = "cm") -> None:
        self.part, self.unit = part, unit

    def __repr__(self) -> str:
        return f"{self.part.title}: {', '.join(step.name for step in self.part.steps)}."

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, str]:
        shown = image(section_svg(self.part, self.unit), f"drawing: {self.part.title}")
        words = "<p>New in this section: the strong lines. Run this cell to draw them, step by step.</p>"
        html = f"<p><b>{escape(self.part.title)}</b></p>{shown}{words}"
        html = f'{_HIDE}<div class="draft-table-still">{html}</div>'
        return {"text/plain": repr(self), "text/html": html}


def section_svg(part: Section, unit: str = "cm") -> str:
    """The section as SVG text, with its dimension lines."""
    box = wider(part.box)
    size = LETTERS * max((box[2] - box[0]) / WIDEST, (box[3] - box[1]) / HIGHEST)
    sketch = Sketch(size)
    sketch.draw(part.given, "block")
    sketch.draw({step.name: step.value for step in part.steps}, "own", names=1)
    for d in part.dimensions.values():
        draw_dimension(sketch, d, unit)
    items = sketch.items()
    if part.whole:
        box = join_boxes([box, *(item_box(item) for item in items)])
    else:
        items = [item for item in items if _shown(item, box)]
    box = wider(box, 0.01)
    px = round(min(WIDEST, HIGHEST * (box[2] - box[0]) / (box[3] - box[1])))
    return as_svg(Scene(tuple(items), part.title, box), true_size=False, width=px)


def draw_dimension(sketch: Sketch, d: Dimension, unit: str) -> None:
    """Draw a dimension line with its two ends, its arrows and its number."""
    size, way = sketch.size, (d.end - d.start).unit()
    off = way.left() * (ASIDE * size * d.lane)
    a, b = d.start + off, d.end + off
    for p, q in ((d.start, a), (d.end, b), (a, b)):
        sketch.line((("M", *p), ("L", *q)), "measure", d.said(unit), (p, q))
    for tip, back in ((a, way), (b, way * -1)):
        one, other = (tip + (back + back.left() * side) * (HEAD * size) for side in (0.35, -0.35))
        sketch.line((("M", *one), ("L", *tip), ("L", *other)), "measure", d.said(unit))
    sketch.write(_numbers(a, b, way.left() * d.lane, size, d.said(unit)))


def _numbers(a: Point, b: Point, out: Point, size: float, text: str) -> Iterator[Text]:
    """Places for the number along its dimension line, the best first; out: away from the drawing."""
    level = abs(out.y) > abs(out.x)
    first = (out.y if level else out.x) > 0
    for share in (0.5, 0.35, 0.65, 0.2, 0.8):
        x, y = a + (b - a) * share
        for side in (1, -1) if first else (-1, 1):
            if level:
                at, anchor = (x, y + (0.25 if side > 0 else -1.0) * size), "middle"
            else:
                at, anchor = (x + 0.3 * side * size, y - 0.3 * size), "start" if side > 0 else "end"
            yield Text(*at, text, size, anchor, 0.0, "measures", "measure")
    if a.distance(b) > 0:  # beyond its ends, where it is too short
        for (x, y), way in ((a, (a - b).unit()), (b, (b - a).unit())):
            if level:
                at, anchor = (x + 0.4 * way.x * size, y - 0.3 * size), "start" if way.x > 0 else "end"
            else:
                at, anchor = (x, y + (0.4 if way.y > 0 else -1.1) * size), "middle"
            yield Text(*at, text, size, anchor, 0.0, "measures", "measure")


def _shown(item: Stroke | Text, box: Box) -> bool:
    """Whether a line reaches into the box, or a word stands wholly in it."""
    x0, y0, x1, y1 = item_box(item)
    if isinstance(item, Text):
        return x0 > box[0] and x1 < box[2] and y0 > box[1] and y1 < box[3]
    return x0 < box[2] and x1 > box[0] and y0 < box[3] and y1 > box[1]

"""Pictures of one step side by side, with the names of the pieces and words below."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from ...items import Handle, Stroke, Text, item_box, join_boxes, shifted, text_width
from ...lettering.sizes import letters
from ..base import Scene
from ..layers import Layer, stacked

APART = 4.0
"""cm between the pictures of a step."""


THIN = 1 / 1500
"""Share of the picture's size that a line may stray: it is not seen, and a page holds many pictures."""


@dataclass(frozen=True)
class Panel:
    """One picture of a step: what lies there, lowest first, and the words under it."""

    layers: Sequence[Layer]
    words: str


def beside(panels: Sequence[Panel], title: str) -> Scene:
    """Panels from left to right with their words below."""
    rooms = [shapely.union_all([layer.shape for layer in panel.layers]).bounds for panel in panels]
    shades = max(max(x1 - x0 for x0, _, x1, _ in rooms) / 32, max(y1 - y0 for _, y0, _, y1 in rooms) / 40)
    thin = THIN * max(max(x1 - x0, y1 - y0) for x0, y0, x1, y1 in rooms)
    drawn = [[_thinned(s, thin) for s in stacked(panel.layers, shades=shades)] for panel in panels]
    boxes = [join_boxes(map(item_box, strokes)) for strokes in drawn]
    high = max(box[3] - box[1] for box in boxes)
    size = letters("screen", max(sum(b[2] - b[0] + APART for b in boxes), 1.5 * high)).size * 1.2
    items: list[Stroke | Text | Handle] = []
    x = 0.0
    for panel, strokes, (x0, y0, x1, y1) in zip(panels, drawn, boxes, strict=True):
        names = list(_names(panel.layers, size))
        wide = max(x1 - x0, text_width(panel.words, size))
        dx, dy = x + (wide - x1 + x0) / 2 - x0, -(y0 + y1) / 2
        drawn_here: list[Stroke | Text] = [*strokes, *names]
        items += [shifted(item, dx, dy) for item in drawn_here]
        items.append(Text(x + wide / 2, -high / 2 - 1.8 * size, panel.words, size))
        x += wide + APART
    a, b, c, d = join_boxes(map(item_box, items))
    return Scene(tuple(items), title, (a - 1, b - 1, c + 1, d + 1))


def _thinned(stroke: Stroke, thin: float) -> Stroke:
    """A line of straight parts with only so many corners as are seen."""
    if any(command[0] not in "MLZ" for command in stroke.d):
        return stroke
    runs: list[list[tuple[str, tuple[float, ...]]]] = []
    for kind, *at in stroke.d:
        if kind == "M":
            runs.append([])
        runs[-1].append((kind, tuple(at)))
    out: list[tuple] = []
    for run in runs:
        places = [at for kind, at in run if kind != "Z"]
        if len(places) > 2:
            places = list(LineString(places).simplify(thin).coords)
        out += [("M" if k == 0 else "L", *at) for k, at in enumerate(places)]
        out += [("Z",)] if run[-1][0] == "Z" else []
    return replace(stroke, d=tuple(out))


def _names(layers: Sequence[Layer], size: float) -> Iterable[Text]:
    """The name of each piece where most of it is seen."""
    above: BaseGeometry = Polygon()
    for layer in reversed(layers):
        seen = layer.shape - above
        above = above | layer.shape
        words = layer.name
        inner = seen.buffer(-0.7 * size)
        if not words or inner.is_empty:
            continue
        spot = max(getattr(inner, "geoms", [inner]), key=lambda one: one.area)
        p = spot.centroid if spot.contains(spot.centroid) else spot.representative_point()
        x0, y0, x1, y1 = seen.bounds
        upright = text_width(words, size) > x1 - x0 < y1 - y0
        yield Text(p.x, p.y - 0.3 * size, words, size, "middle", 90.0 if upright else 0.0)

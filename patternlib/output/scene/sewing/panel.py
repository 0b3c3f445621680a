"""Pictures of one step side by side, with the names of the pieces and words below."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from ...items import Handle, Stroke, Text, item_box, join_boxes, shifted, text_width
from ...lettering.sizes import letters
from ..base import Scene
from ..layers import Layer, stacked

APART = 4.0
"""cm between the pictures of a step."""


LEAST = 0.02
"""Size of the words as a share of the picture's width: in the booklet they are no smaller than this."""
SLIVER = 0.01
"""Share of a picture that a piece must show to be named."""
THIN = 1 / 1500
"""Share of the picture's size that a line may stray: it is not seen, and a page holds many pictures."""


TRIED = 16
"""Places tried for a name across a piece and up it."""


@dataclass(frozen=True)
class Panel:
    """One picture of a step: what lies there, lowest first, and the words under it, a line for each ';'.

    aside: whether a name that has no room on its piece stands beside it; otherwise it is left out.
    """

    layers: Sequence[Layer]
    words: str
    aside: bool = True


def beside(panels: Sequence[Panel], title: str) -> Scene:
    """Panels from left to right with their words below."""
    rooms = [shapely.union_all([layer.shape for layer in panel.layers]).bounds for panel in panels]
    shades = max(max(x1 - x0 for x0, _, x1, _ in rooms) / 32, max(y1 - y0 for _, y0, _, y1 in rooms) / 40)
    thin = THIN * max(max(x1 - x0, y1 - y0) for x0, y0, x1, y1 in rooms)
    drawn = [[_thinned(s, thin) for s in stacked(panel.layers, shades=shades)] for panel in panels]
    boxes = [join_boxes(map(item_box, strokes)) for strokes in drawn]
    high = max(box[3] - box[1] for box in boxes)
    across = max(sum(b[2] - b[0] + APART for b in boxes), 1.5 * high)
    size = max(letters("screen", across).size * 1.2, LEAST * across)
    items: list[Stroke | Text | Handle] = []
    x = 0.0
    for panel, strokes, (x0, y0, x1, y1) in zip(panels, drawn, boxes, strict=True):
        names = list(_names(panel.layers, size, aside=panel.aside))
        x0, _, x1, _ = join_boxes([(x0, y0, x1, y1), *map(item_box, names)])
        told = panel.words.split("; ")
        wide = max(x1 - x0, *(text_width(words, size) for words in told))
        dx, dy = x + (wide - x1 + x0) / 2 - x0, -(y0 + y1) / 2
        drawn_here: list[Stroke | Text] = [*strokes, *names]
        items += [shifted(item, dx, dy) for item in drawn_here]
        for k, words in enumerate(told):
            items.append(Text(x + wide / 2, -high / 2 - (1.8 + 1.3 * k) * size, words, size))
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


def _names(layers: Sequence[Layer], size: float, *, aside: bool) -> Iterable[Text]:
    """The name of each piece where it is seen, clear of lines; once beside it where it has no room."""
    above: BaseGeometry = Polygon()
    whole = shapely.union_all([layer.shape for layer in layers])
    taken = [_kept_clear(line.shape) for layer in layers for line in layer.lines]
    said: dict[str, BaseGeometry] = {}
    for layer in reversed(layers):
        if not layer.name:
            above = above | layer.shape
            continue
        seen = layer.shape - above
        above = above | layer.shape
        if seen.is_empty:
            continue
        seen = max(getattr(seen, "geoms", [seen]), key=lambda one: one.area)
        if seen.area < SLIVER * whole.area:
            continue
        text = _inside(seen, taken, layer.name, size)
        if text is None and aside and layer.name not in said:
            text = _beside(seen, [whole, *said.values()], layer.name, size)
        if text is None:
            continue
        said[layer.name] = box(*item_box(text))
        taken.append(said[layer.name])
        yield text


def _kept_clear(shape: BaseGeometry) -> BaseGeometry:
    return shape.boundary if shape.geom_type in ("Polygon", "MultiPolygon") else shape


def _inside(seen: BaseGeometry, taken: Sequence[BaseGeometry], words: str, size: float) -> Text | None:
    """The words level, or else upright, at the free place nearest to the middle of what is seen."""
    import numpy

    x0, y0, x1, y1 = seen.bounds
    shares = numpy.linspace(0, 1, TRIED + 1)[1:-1]
    xs, ys = (numpy.ravel(v) for v in numpy.meshgrid(x0 + (x1 - x0) * shares, y0 + (y1 - y0) * shares))
    middle = seen.centroid
    near = numpy.argsort(numpy.hypot(xs - middle.x, ys - middle.y), kind="stable")
    xs, ys = (numpy.append(m, v[near]) for m, v in ((middle.x, xs), (middle.y, ys)))
    long, high = text_width(words, size) / 2 + 0.3 * size, 0.8 * size
    for angle, half, tall in ((0.0, long, high), (90.0, high, long)):
        if 2 * half > x1 - x0 or 2 * tall > y1 - y0:
            continue
        boxes = shapely.box(xs - half, ys - tall, xs + half, ys + tall)
        free = shapely.contains(seen, boxes)
        for one in taken:
            free[free] = ~shapely.intersects(one, boxes[free])
        if free.any():
            k = int(numpy.argmax(free))
            dx, dy = (0.0, 0.3 * size) if not angle else (-0.3 * size, 0.0)
            return Text(float(xs[k]) - dx, float(ys[k]) - dy, words, size, "middle", angle)
    return None


def _beside(seen: BaseGeometry, blocked: Sequence[BaseGeometry], words: str, size: float) -> Text | None:
    """The words to the right of a piece, or to its left, where nothing lies."""
    x0, y0, x1, y1 = seen.bounds
    middle, beside = (y0 + y1) / 2, ((x1 + 0.5 * size, "start"), (x0 - 0.5 * size, "end"))
    rows = sorted((y0 + (y1 - y0) * k / TRIED for k in range(TRIED + 1)), key=lambda y: abs(y - middle))
    texts = [Text(x, y - 0.3 * size, words, size, anchor) for y in rows for x, anchor in beside]
    return next(
        (text for text in texts if not any(box(*item_box(text)).intersects(one) for one in blocked)), None
    )

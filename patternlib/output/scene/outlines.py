"""Outlines as a drawing, before they are pieces: what a move of the paper has made, over what it was."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ...errors import ValueAtFault
from ...geometry import Curve, Outline, Point
from ...units import write_length
from ..items import Box, Stroke, Text, curve_path, item_box, join_boxes
from ..lettering.sizes import letters
from ..lettering.taken import FINE, Taken, coarse, round_point
from ..signs import cross
from .base import Scene, page_width

TALL = 0.8
"""A whole sheet on a screen is at most this much of its width high, so that it is seen at one glance."""


def outline_scene(
    *outlines: Outline,
    beneath: Sequence[Outline] = (),
    more: Iterable[tuple[str, Curve]] = (),
    measures: Iterable[str] = (),
    points: Iterable[tuple[str, Point]] = (),
    window: Box | None = None,
    title: str = "",
    unit: str = "cm",
    lettering: str = "paper",
) -> Scene:
    """Draw outlines in unbroken lines over others in dashed ones.

    beneath: drawn as the block underneath; more: (words, curve) drawn as 'your line', such as a line redrawn;
    measures: names of edges whose name and length are written beside them (an outline without such an edge is
    passed over); points: (name, place) of points to be marked and named; window: (x0, y0, x1, y1) in cm, the
    part of the sheet that is looked at, None: all of it; unit: 'cm' or 'in'; lettering: 'paper' or 'screen',
    where a sheet has room at its sides, so that it is seen whole. Raises ValueAtFault for another unit.

    >>> from patternlib.geometry import Point, line
    >>> a, b, c = Point(0, 0), Point(4, 0), Point(0, 3)
    >>> edges = (("base", line(a, b)), ("slope", line(b, c)), ("height", line(c, a)))
    >>> scene = outline_scene(Outline(edges), measures=["slope"], title="a triangle")
    >>> scene.items[-1].text
    'slope: 5 cm'
    """
    if unit not in ("cm", "in"):
        raise ValueAtFault("unit", unit, "must be 'cm' or 'in'", "Measures are written in one of these.")
    more = tuple(more)
    strokes = [
        Stroke(curve_path(curve), style, layer, "", name)
        for style, layer, edges in (
            ("block", "blocks", [edge for outline in beneath for edge in outline.edges]),
            ("style line", "plan", [edge for outline in outlines for edge in outline.edges]),
            ("own", "plan", more),
        )
        for name, curve in edges
    ]
    points = tuple(points)
    strokes += [cross(at, "own", "style line", name) for name, at in points]
    box = window or join_boxes(item_box(stroke) for stroke in strokes)
    if lettering == "screen" and not window:
        room = max(0.0, (box[3] - box[1]) / TALL - (box[2] - box[0])) / 2
        box = (box[0] - room, box[1], box[2] + room, box[3])
    size = letters(lettering, page_width(box)).size
    taken = Taken(FINE * size)
    drawn = [*more, *(edge for outline in (*outlines, *beneath) for edge in outline.edges)]
    for _, curve in drawn:
        taken.draw(coarse(curve))
    ends = [at for outline in outlines for _, edge in outline.edges for at in (edge.start, edge.end)]
    for _, at in points:
        taken.draw_cross(at)
    named = [
        taken.write(round_point(name, at, size, key=True, others=ends), over_lines=True)
        for name, at in points
    ]
    texts = [text for text in named if text]
    for name in measures:
        for known, curve in (*more, *(edge for outline in outlines for edge in outline.edges)):
            if known == name:
                words = f"{name}: {write_length(curve.length, unit)}"
                others = [edge for outline in outlines for _, edge in outline.edges if edge is not curve]
                text = taken.write(_beside(curve, words, size, others), over_lines=True)
                texts += [text] if text else []
    box = join_boxes([box, *map(item_box, texts)])
    wide = (box[0] - 1, box[1] - 1, box[2] + 1, box[3] + 1)
    return Scene((*strokes, *texts), title or ", ".join(measures) or "an outline", wide)


def _away(curve: Curve, spot: Point) -> float:
    """About how far a place lies from a curve, cm."""
    return min(curve.at(curve.length * k / 24).distance(spot) for k in range(25))


def _beside(curve: Curve, words: str, size: float, others: Sequence[Curve]) -> Iterator[Text]:
    """Places for the words of an edge, the best first: near its middle, inside before outside.

    None lies nearer to one of the other edges.
    """
    for far in (0.6, 1.4, 2.6, 4.0):
        for share in (0.5, 0.3, 0.7, 0.15, 0.85):
            at, way = curve.at(curve.length * share), curve.direction(curve.length * share)
            for side in (way.left(), way.right()):
                x, y = at + side * (far * size)
                anchor = "start" if side.x > 0.5 else "end" if side.x < -0.5 else "middle"
                lower = 0.7 * size if side.y < -0.5 else 0.3 * size if abs(side.y) <= 0.5 else 0.0
                text = Text(x, y - lower, words, size, anchor, 0.0, "measures", "label")
                low, high = text.corners()[0], text.corners()[2]
                middle = Point((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
                own = _away(curve, middle)
                if all(_away(other, middle) >= own for other in others):
                    yield text

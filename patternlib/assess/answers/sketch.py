"""Sketches of drafts for the screen: lines, points as crosses, and names that stand clear of both; cm."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from html import escape

from ...draft import Draft
from ...errors import PatternError
from ...geometry import Curve, Point
from ...operations import Value
from ...output.items import Box, Stroke, Text, curve_path, item_box, join_boxes
from ...output.lettering.taken import PX_CELL, Taken, coarse, round_point
from ...output.scene import Scene
from ...output.svg import as_svg
from ..tasks.rework import Rework, reach

WIDTH, HIGHEST = 440, 460
"""px: a drawing is as wide, or as high."""
WIDEST = 530
"""px: a picture with its lettering is no wider, so that two stand beside each other in a notebook."""
LETTERS = 11.5
"""px: plain lettering."""
OFF = (0.35, 0.9, 1.6, 2.4, 3.4, 4.4, 5.6, 7.0, 9.0)
"""Sizes of lettering: how far from its point a name is tried, the nearest first."""
CLOSE = 1.0
"""Sizes of lettering: a name farther from its point has a thin line to it."""


class Sketch:
    """A picture in the making: what is drawn later lies on top, names drawn earlier find their place first.

    size: of plain lettering, cm.
    """

    def __init__(self, size: float):
        self.size = size
        self.strokes: list[Stroke] = []
        self.lines: list[Iterable[Point]] = []
        self._names: list[tuple[int, str, Point]] = []
        self._measures: list[tuple[Point, str]] = []
        self._texts: list[Iterable[Text]] = []

    def draw(self, values: Mapping[str, Value], style: str, *, names: int | None = 2) -> None:
        """Draw points and lines; numbers are passed over.

        names: 0 writes the points' names in bold and names lines too, 1 in any case, 2 where there is room,
        None nowhere.
        """
        for name, value in values.items():
            if isinstance(value, Curve):
                self.line(curve_path(value), style, name, coarse(value))
                if names == 0:
                    self._names.append((0, name, value.at(value.length / 2)))
            elif isinstance(value, Point):
                (x, y), d = value, 0.35 * self.size
                cross = (("M", x - d, y), ("L", x + d, y), ("M", x, y - d), ("L", x, y + d))
                self.line(cross, "own" if style == "own" else "seam", name)
                if names is not None:
                    self._names.append((names, name, value))

    def line(self, path: tuple, style: str, title: str, points: Iterable[Point] = ()) -> None:
        """Draw a path; lettering keeps clear of the points it runs through."""
        self.strokes.append(Stroke(path, style, "plan", "", title))
        self.lines.append(points)

    def measure(self, start: Point, end: Point, text: str) -> None:
        """Draw a dotted line between two points and write beside it how long it is."""
        self.line((("M", *start), ("L", *end)), "target", f"{text} off", (start, end))
        self._measures.append((start.middle(end), text))

    def write(self, places: Iterable[Text]) -> None:
        """Write a text at the first of its places that is free; such texts go before all names."""
        self._texts.append(places)

    def items(self) -> list[Stroke | Text]:
        """What is drawn, and the names and measures that have found a place."""
        taken, size = Taken(PX_CELL / LETTERS * self.size), self.size  # as the screen has them
        for points in self.lines:
            taken.draw(list(points))
        written = [taken.write(places, over_lines=True) for places in self._texts]
        to_point: list[Stroke] = []
        for rank, name, at in sorted(self._names, key=lambda entry: entry[0]):
            letters = 1.15 * size if rank == 0 else size
            places = round_point(name, at, letters, key=rank == 0, off=OFF if rank < 2 else OFF[:5])
            found = taken.write(places, over_lines=rank < 2)
            written.append(found)
            if found:
                to_point += _leading(found, at)
            if rank == 0:
                written += [taken.write(_beside(*m, letters), over_lines=True) for m in self._measures]
                self._measures = []
        return [*to_point, *self.strokes, *filter(None, written)]

    def box(self) -> Box | None:
        """The box of all that is drawn, None where nothing is."""
        boxes = [item_box(stroke) for stroke in self.strokes]
        return join_boxes(boxes) if boxes else None


def _leading(text: Text, at: Point) -> list[Stroke]:
    """A thin line from a level name to its point, where it does not stand beside it."""
    (left, low), _, (right, high), _ = text.corners()
    near = Point(min(max(at.x, left), right), min(max(at.y, low), high))
    if near.distance(at) < CLOSE * text.size_cm:
        return []
    return [Stroke((("M", *near), ("L", *at)), "measure", "labels", "", "")]


def _beside(at: Point, text: str, size: float) -> Iterable[Text]:
    """Places for a measure, the best first."""
    x, y = at
    for far in (0.5, 1.2, 2.0):
        away = far * size
        for dx, dy, anchor in (
            (0.0, -away - 0.8 * size, "middle"), (0.0, away, "middle"),
            (away, -0.3 * size, "start"), (-away, -0.3 * size, "end"),
        ):  # fmt: skip
            yield Text(x + dx, y + dy, text, size, anchor, 0.0, "measures", "measure")


def wider(box: Box | None, share: float = 0.04) -> Box:
    """A box with a margin; where nothing is drawn, one round the origin."""
    box = box or (0.0, 0.0, 0.0, 0.0)
    edge = max(box[2] - box[0], box[3] - box[1], 1.0) * share
    return box[0] - edge, box[1] - edge, box[2] + edge, box[3] + edge


def scale(box: Box) -> float:
    """px a cm at which a box is shown."""
    return min(WIDTH / (box[2] - box[0]), HIGHEST / (box[3] - box[1]))


def figures(pictures: Iterable[tuple[str, Box, Callable[[float], Sketch]]]) -> str:
    """Pictures as HTML, those of one box in one scale: (title, box, what draws it for lettering in cm). Two
    stand side by side in a notebook."""
    drawn = [(title, box, draw, *_fitted(box, draw)) for title, box, draw in pictures]
    least = {box: min(px for _, b, _, px, _ in drawn if b == box) for _, box, *_ in drawn}
    return "".join(
        _figure(items if px == least[box] else draw(LETTERS / least[box]).items(), title, box, least[box])
        for title, box, draw, px, items in drawn
    )


def _fitted(box: Box, draw: Callable[[float], Sketch]) -> tuple[float, list[Stroke | Text]]:
    """The scale, px a cm, at which a drawing and its lettering are not too wide, and what is then drawn."""
    px = scale(box)
    for _ in range(4):
        items = draw(LETTERS / px).items()
        left, _, right, _ = _with_room(box, items)
        if (right - left) * px <= WIDEST:
            break
        px *= max(0.97 * WIDEST / ((right - left) * px), 0.6)
    return px, items


def _with_room(box: Box, items: Sequence[Stroke | Text]) -> Box:
    """The box with room round all lettering."""
    x0, y0, x1, y1 = join_boxes([box, *map(item_box, items)])
    edge = 0.3 * max((item.size_cm for item in items if isinstance(item, Text)), default=0.0)
    return x0 - edge, y0 - edge, x1 + edge, y1 + edge


def _figure(items: Sequence[Stroke | Text], title: str, box: Box, px: float) -> str:
    box = _with_room(box, items)
    scene = Scene(tuple(items), title, box)
    drawn = as_svg(scene, true_size=False, width=max((box[2] - box[0]) * px, 50))
    place = "display:inline-block;vertical-align:top;margin:4px"
    return f"<figure style='{place}'><figcaption>{escape(title)}</figcaption>{drawn}</figure>"


def box_of(values: Iterable[Value]) -> Box | None:
    """The box of points and lines, None where there are none."""
    sketch = Sketch(0.1)
    sketch.draw({str(k): value for k, value in enumerate(values)}, "own", names=None)
    return sketch.box()


def between(draft: Draft, asked: Iterable[str], values: Mapping[str, Value]) -> dict[str, Value]:
    """Ruled lines and curves that were not asked for, where all they rest on is drawn."""
    work, asked = Rework(draft, values), set(asked)
    found: dict[str, Value] = {}
    for step in draft:
        if step.op not in ("line", "curve") or step.name in values or step.name in asked:
            continue
        front, hidden = reach(draft, step.name, values)
        if not front or any(isinstance(draft[n], Point) for n in hidden):
            continue
        try:
            found[step.name] = work.rule(step.name)
        except PatternError:
            continue
    return found

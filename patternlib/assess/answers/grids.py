"""The empty grid of an exercise, cut into pages that a photograph can be read by.

Each page has markers along the border of the part of the drawing that it adds, so that pages can be cut
and joined and still be read one by one. The grid is begun where no point that is asked or given comes to
lie under a marker.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import ceil, floor

from ...geometry import Curve, Point
from ...operations import Value
from ...output.items import Box, Command, Stroke, Text, curve_path, flat_path, item_box, join_boxes, path_box
from ...output.lettering.taken import Taken
from ...output.paper.pen import Pen
from ...output.paper.tiles import MARGIN, Page, Paper, Tiling, tile
from ...output.scene import Scene
from ...photo.layouts import QUIET, SHEET_MARKER, Layout, sheet_layout
from ...photo.printed import blank, draw_layout
from ..photographed.label import Label
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers
from ..tasks.rework import reach
from .paper_form import SCALES
from .writing import PLAIN, SMALL

ROUND = 10
"""cm: from one numbered line of the grid to the next."""
CLEAR = 0.35
"""cm: from a point of the draft to the nearest marker, so that its pencil lines can be read."""
TRIED = 8
"""The grid is begun up to so many lines farther out, each way."""
LAID = 5
"""So many of the likeliest places are laid out on pages."""
STEPS_ASIDE = (0.0, 0.3, 0.6)
"""cm from the end of a line: where its number may stand; its other end is tried next."""
NUMBERS_APART = 0.4
"""cm between two numbers, so that 10 and 20 are not read as 1020."""
RIM = SHEET_MARKER + QUIET
"""cm: how wide the rim of markers is."""
LOOKED = 30
"""Places along a line at which it is looked whether something is printed there."""


def grid(
    work: Exercise, of: OwnNumbers, *, scale: str = "half", more: tuple[int, int] = (0, 0)
) -> Scene | None:
    """The empty grid of an exercise, cm of paper, with what is given on it; None where nothing is drawn.

    more: lines by which it begins farther left, and farther up.
    """
    draft = work.reference(of)
    if not any(isinstance(draft[a.name], Point | Curve) for a in work.steps()):
        return None
    given = {name: draft[name] for name in work.given(draft)}
    wanted = {a.name: draft[a.name] for a in work.steps()} | {n: draft[n] for n in work.sentences(of)}
    shown = {n: given[n] for name in wanted for n in reach(draft, name, given)[0]}
    boxes = [box for value in (shown | wanted).values() if (box := _box(value))]
    k = 1 / SCALES[scale]
    step = _step(scale)
    x0, y0, x1, y1 = join_boxes(boxes)
    left, low, right, top = (floor(v / 5 - 0.5) for v in (x0, y0, -x1, -y1))
    box = 5 * left - more[0] * step, 5 * low, -5 * right, -5 * top + more[1] * step
    shown |= {n: v for n, v in given.items() if isinstance(v, Curve) and _inside(v, box)}
    items = [*_lines(box, step, k), *_given(shown, k)]
    title = f"{work.id} · {work.title}: grid, {scale} scale"
    return Scene(tuple(items), title, (box[0] * k, box[1] * k, box[2] * k, box[3] * k))


def _step(scale: str) -> int:
    """cm of the draft from line to line."""
    return 1 if SCALES[scale] <= 2 else 2


def _box(value: Value) -> Box | None:
    if isinstance(value, Curve):
        return path_box(curve_path(value))
    return (*value, *value) if isinstance(value, Point) else None


def _inside(curve: Curve, box: Box) -> bool:
    return join_boxes((path_box(curve_path(curve)), box)) == box


def _lines(box: Box, step: int, k: float) -> list[Stroke]:
    """Thin lines every `step` cm of the draft, wider every ten; pale blue, which is not taken for pencil."""
    x0, y0, x1, y1 = box
    items: list[Stroke] = []
    first_x, first_y = ceil(x0 / step) * step, ceil(y0 / step) * step
    for x in range(first_x, int(x1) + 1, step):
        style = "square" if x % ROUND else "tenth"
        items.append(Stroke((("M", x * k, y0 * k), ("L", x * k, y1 * k)), style, "grid"))
    for y in range(first_y, int(y1) + 1, step):
        style = "square" if y % ROUND else "tenth"
        items.append(Stroke((("M", x0 * k, y * k), ("L", x1 * k, y * k)), style, "grid"))
    return items


def _given(shown: Mapping[str, Value], k: float) -> list[Stroke | Text]:
    items: list[Stroke | Text] = []
    names: dict[tuple[float, float], list[str]] = {}
    for name, value in shown.items():
        if isinstance(value, Curve):
            items.append(Stroke(_scaled(curve_path(value), k), "block", "given", "", name))
        elif isinstance(value, Point):
            x, y, d = value.x * k, value.y * k, 0.2
            cross = (("M", x - d, y), ("L", x + d, y), ("M", x, y - d), ("L", x, y + d))
            items.append(Stroke(cross, "block", "given", "", name))
            names.setdefault((round(x, 2), round(y, 2)), []).append(name)
    taken = Taken(0.05)
    for stroke in items:
        if isinstance(stroke, Stroke):
            for run in flat_path(stroke.d):
                taken.draw(run)
    for (x, y), called in names.items():
        words = " / ".join(called)
        beside = ((1, 0.15, "start"), (-1, 0.15, "end"), (1, -0.4, "start"), (-1, -0.4, "end"))
        places = [
            (across * (far + 0.2), up + far * (0.3 if up > 0 else -0.3), side)
            for far in (0.0, 0.4, 0.8)
            for across, up, side in beside
        ]
        texts = [Text(x + dx, y + dy, words, SMALL, side, layer="given") for dx, dy, side in places]
        items.append(taken.write(texts, over_lines=True) or texts[0])
    return items


def _scaled(d: Sequence[Command], k: float) -> tuple[Command, ...]:
    return tuple((c[0], *(v * k for v in c[1:])) for c in d)


# -- its pages


@dataclass(frozen=True)
class GridPages:
    """A grid on pages: the tiling, and for each of its pages what its code says and where its markers lie.

    grid: its box on the draft, cm.
    """

    tiling: Tiling
    grid: Box
    labels: tuple[Label, ...]
    layouts: tuple[Layout, ...]

    def draw(self, pen: Pen, page: Page) -> None:
        """Draw the markers, the code and the test line of one page over its grid, and number its lines."""
        k = self.tiling.pages.index(page)
        draw_layout(pen, self.layouts[k], code=self.labels[k].text())
        left, low, *_ = page.shown
        words = [_moved(item_box(i), MARGIN - left, MARGIN - low) for i in self.tiling.scene.items
                 if isinstance(i, Text)]  # fmt: skip
        for text in _numbers(self.labels[k], self.layouts[k], self.grid, words):
            blank(pen, item_box(text))
            pen.text(text)


def grid_pages(
    work: Exercise, of: OwnNumbers, *, student: str, scale: str = "half", paper: Paper
) -> GridPages | None:
    """The grid of an exercise on pages; None where nothing is drawn."""
    first = grid(work, of, scale=scale)
    if first is None:
        return None
    draft = work.reference(of)
    drawn = _Drawn([draft[name] for name in (*(a.name for a in work.steps()), *work.given(draft))])
    pages = _pages(first, work, student, scale, paper)
    line = _step(scale) / SCALES[scale]

    def hoped(more: tuple[int, ...]) -> tuple[float, ...]:
        """What would be covered, were there as many pages as before."""
        move = Point(more[0] * line, -more[1] * line)
        moved = [replace(label, origin=label.origin + move) for label in pages.labels]
        hidden, crossed = drawn.covered(moved, pages.layouts)
        return hidden, sum(more), crossed

    best: tuple[tuple[float, ...], GridPages] | None = None
    for more in sorted(product(range(TRIED), range(TRIED)), key=hoped)[:LAID]:
        laid = _pages(grid(work, of, scale=scale, more=more) or first, work, student, scale, paper)
        hidden, crossed = drawn.covered(laid.labels, laid.layouts)
        rank = (len(laid.labels) + hidden, crossed, sum(more))
        if best is None or rank < best[0]:
            best = rank, laid
        if not hidden and len(laid.labels) <= len(pages.labels):
            break
    return best and best[1]


def _pages(drawn: Scene, work: Exercise, student: str, scale: str, paper: Paper) -> GridPages:
    tiling = tile(drawn, paper)
    (_, x, y), (_, u, v) = (scene.items[0].d[0] for scene in (drawn, tiling.scene))  # type: ignore[union-attr]
    across = tiling.width > tiling.height
    labels, layouts = [], []
    for k, page in enumerate(tiling.pages):
        left, low, *_ = page.shown
        origin = Point(round(MARGIN - left + u - x, 3), round(MARGIN - low + v - y, 3))
        labels.append(
            Label(
                work.id, student, SCALES[scale], paper.name, k + 1, len(tiling.pages), origin, across=across
            )
        )
        layouts.append(sheet_layout(paper.name, k, across=across))
    k = SCALES[scale]
    box = drawn.bounds
    grid = box[0] * k, box[1] * k, box[2] * k, box[3] * k
    return GridPages(tiling, grid, tuple(labels), tuple(layouts))


def _numbers(label: Label, layout: Layout, grid: Box, words: Sequence[Box]) -> Iterator[Text]:
    """The numbers of a page's strong lines, in cm of the draft, where nothing else is written or printed.

    Across from the centre line and up from the waist level, at the upper and the left end of a line or at its
    other end, inside the rim of markers. A number without room is left out: its neighbours tell it.
    """
    taken = [*words, *_printed(layout)]
    inner = layout.box
    low = label.on_draft(Point(inner[0] - RIM, inner[1] - RIM))
    high = label.on_draft(Point(inner[2] + RIM, inner[3] + RIM))
    x0, y0, x1, y1 = max(low.x, grid[0]), max(low.y, grid[1]), min(high.x, grid[2]), min(high.y, grid[3])
    ends, others = label.on_page(Point(x0, y1)), label.on_page(Point(x1, y0))
    top, left = min(ends.y, inner[3]) - PLAIN - 0.1, max(ends.x, inner[0]) + 0.06
    foot, right = max(others.y, inner[1]) + 0.1, min(others.x, inner[2]) - 0.06
    for x in range(ceil(x0 / ROUND) * ROUND, floor(x1) + 1, ROUND):
        at = label.on_page(Point(x, 0)).x + 0.06
        heights = [*(top - far for far in STEPS_ASIDE), *(foot + far for far in STEPS_ASIDE)]
        yield from _free([Text(at, height, f"{x}", PLAIN, "start") for height in heights], taken)
    for y in range(ceil(y0 / ROUND) * ROUND, floor(y1) + 1, ROUND):
        at = label.on_page(Point(0, y)).y + 0.06
        places = [Text(left + far, at, f"{y}", PLAIN, "start") for far in STEPS_ASIDE]
        # in a row of the numbers across, a height would be taken for one of them
        if foot + 2 * PLAIN < at < top - 2 * PLAIN:
            places += [Text(right - far, at, f"{y}", PLAIN, "end") for far in STEPS_ASIDE]
        yield from _free(places, taken)


def _free(texts: Sequence[Text], taken: list[Box]) -> Iterator[Text]:
    """The first of the texts that meets nothing; its place is taken from now on, and a little round it."""
    for text in texts:
        x0, y0, x1, y1 = item_box(text)
        if not any(_meet((x0, y0, x1, y1), box) for box in taken):
            taken.append((x0 - NUMBERS_APART, y0 - 0.1, x1 + NUMBERS_APART, y1 + 0.1))
            yield text
            return


def _moved(box: Box, x: float, y: float) -> Box:
    return box[0] + x, box[1] + y, box[2] + x, box[3] + y


class _Drawn:
    """The points of a draft that must stay clear of what is printed, and places along its lines."""

    def __init__(self, values: Sequence[Value]) -> None:
        lines = [v for v in values if isinstance(v, Curve)]
        self.points = [v for v in values if isinstance(v, Point)]
        self.points += [end for line in lines for end in (line.start, line.end)]
        self.along = [line.at(line.length * n / LOOKED) for line in lines for n in range(1, LOOKED)]

    def covered(self, labels: Sequence[Label], layouts: Sequence[Layout]) -> tuple[int, float]:
        """How many points lie under a marker or the code, or close to it, and what share of the lines."""
        points, samples = 0, 0
        for label, layout in zip(labels, layouts, strict=True):
            boxes = list(_printed(layout))
            for place in self.points:
                points += _under(label.on_page(place), layout, boxes, CLEAR)
            for place in self.along:
                samples += _under(label.on_page(place), layout, boxes, 0.0)
        return points, samples / LOOKED


def _printed(layout: Layout) -> Iterator[Box]:
    """The boxes of the markers with their white ground, and of the code."""
    for (x0, y1), _, (x1, y0), _ in layout.markers.values():
        yield x0 - QUIET, y0 - QUIET, x1 + QUIET, y1 + QUIET
    if layout.code is not None:
        yield layout.code


def _under(place: Point, layout: Layout, boxes: Sequence[Box], clear: float) -> bool:
    x, y = place
    if not (0 <= x <= layout.size[0] and 0 <= y <= layout.size[1]):
        return False
    return any(x0 - clear < x < x1 + clear and y0 - clear < y < y1 + clear for x0, y0, x1, y1 in boxes)


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]

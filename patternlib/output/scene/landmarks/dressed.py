"""The plain figure in its toile, with the creases of one sign; and all signs on one sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from ....errors import look_up
from ....geometry import Point, fair
from ...items import (
    LEGEND,
    Box,
    Command,
    Handle,
    Stroke,
    Text,
    item_box,
    join_boxes,
    moved_path,
    shifted,
    text_width,
)
from ...lettering.sizes import letters
from ..base import Scene
from .creases import BIB, LOOKS, ON_BOTH, TOILE, Look, Row
from .figure import outlines

ARMS = ("arm, front", "arm, back", "shoulder")
"""Lines of the figure from the side that would hide the seam."""
SMOOTH = 0.03
"""cm: how closely the figure's broken lines follow their curves; one sign fills a page."""
SOFT = 0.7
"""cm from a loose fold to the line of its shadow."""
APART, ROW = 9.0, 5.0
"""cm between two figures, and between two rows of them."""

KEY = (
    ("tight", "tight crease"),
    ("loose", "loose fold"),
    ("placement", "where the line should lie"),
    ("notch", "her bust point"),
)
"""Lines of the pictures and what they mean."""


def sign_scene(name: str) -> Scene:
    """What a sign looks like on the body. Raises UnknownName.

    >>> sign_scene("full seat").title
    'full seat: what is seen on the body'
    """
    views, box = _views(name)
    size = letters("screen", 1.4 * (box[2] - box[0])).size
    strokes = [stroke for _, some in views for stroke in some]
    words = [_under(some, look.view, box[1] - 1.4 * size, 0.9 * size) for look, some in views]
    key = _key(box[0], box[1] - 4 * size, {stroke.style for stroke in strokes}, size)
    return _finished([*strokes, *words, *key], f"{name}: what is seen on the body")


def signs_scene(names: Sequence[str], *, columns: int = 3) -> Scene:
    """The pictures of several signs on one sheet, each with its name.

    >>> signs_scene(["full seat", "flat seat"]).title
    '2 signs and what they look like on the body'
    """
    drawn = [(name, *_views(name)) for name in names]
    wide = max(box[2] - box[0] for _, _, box in drawn) + APART
    size = letters("screen", columns * wide).size
    items: list[Stroke | Text | Handle] = []
    top = 0.0
    for k in range(0, len(drawn), columns):
        row = drawn[k : k + columns]
        high = max(box[3] - box[1] for _, _, box in row)
        for column, (name, views, box) in enumerate(row):
            middle, under = column * wide, top - high - 1.2 * size
            dx, dy = middle - (box[0] + box[2]) / 2, top - high - box[1]
            items += [shifted(stroke, dx, dy) for _, some in views for stroke in some]
            items.append(Text(middle, under, name, size, style="heading"))
            for look, some in views:
                items.append(shifted(_under(some, look.view, 0.0, 0.9 * size), dx, under - 1.3 * size))
        top -= high + ROW + 2.5 * size
    items += _key(-wide / 2 + APART, top, {s.style for s in items if isinstance(s, Stroke)}, size)
    return _finished(items, f"{len(drawn)} signs and what they look like on the body")


def _finished(items: Sequence[Stroke | Text | Handle], title: str) -> Scene:
    x0, y0, x1, y1 = join_boxes(item_box(item) for item in items)
    return Scene(tuple(items), title, (x0 - 2, y0 - 2, x1 + 2, y1 + 2))


def _under(some: Sequence[Stroke], words: str, y: float, size: float) -> Text:
    """A word under a drawing, in its middle."""
    x0, _, x1, _ = join_boxes(map(item_box, some))
    return Text((x0 + x1) / 2, y, words, size)


def _key(x: float, y: float, used: set[str], size: float) -> Iterator[Stroke | Text]:
    """What the lines mean, those that are used, from left to right."""
    for style, words in KEY:
        if style in used:
            d = _cross(x + size, y) if style == "notch" else (("M", x, y), ("L", x + 2 * size, y))
            yield Stroke(d, style, LEGEND, "", words)
            yield Text(x + 2.4 * size, y - 0.3 * size, words, 0.9 * size, "start", layer=LEGEND)
            x += 4 * size + text_width(words, size)


Views = list[tuple[Look, list[Stroke]]]


def _views(name: str) -> tuple[Views, Box]:
    """The views of a sign side by side, and the box of all."""
    views: Views = []
    right = 0.0
    for look in look_up("sign", name, LOOKS):
        some = list(_strokes(name, look))
        x0, _, x1, _ = join_boxes(map(item_box, some))
        views.append((look, [replace(s, d=moved_path(s.d, right - x0, 0.0)) for s in some]))
        right += x1 - x0 + APART
    return views, join_boxes(item_box(stroke) for _, some in views for stroke in some)


def _strokes(name: str, look: Look) -> Iterator[Stroke]:
    for line, curve, twice in outlines(look.view):
        if line not in ARMS:
            words = f"figure seen from the {look.view}, {line}"
            yield from _drawn([curve.flat(SMOOTH)], look, "measure", words, twice=twice)
    worn: Mapping[str, Row] = BIB if look.bib else TOILE[look.view]
    for line, row in {**worn, **look.moved}.items():
        both = look.view != "side" and line in ON_BOTH and (look.twice or line != "side")
        yield from _drawn([row], look, _style(line), line, twice=both)
    for row in look.wanted:
        both = look.view != "side" and row[0][0] > 0 and row[-1][0] > 0
        yield from _drawn([row], look, "placement", "where the line should lie", twice=both)
    both = look.twice and look.view != "side"
    for row in look.tight:
        yield from _drawn([row], look, "tight", f"{name}: tight crease", twice=both and row[0][0] > 0)
    for row in look.loose:
        twice = both and row[0][0] > 0
        yield from _drawn([row], look, "loose", f"{name}: loose fold", twice=twice)
        yield from _drawn([_beside(row)], look, "measure", f"{name}: loose fold", twice=twice)
    for x, y in look.marks:
        for side in (1, -1):
            yield Stroke(_cross(side * x, y), "notch", "garment", "", "her bust point")


def _cross(x: float, y: float) -> tuple[Command, ...]:
    return ("M", x - 1, y), ("L", x + 1, y), ("M", x, y - 1), ("L", x, y + 1)


def _style(line: str) -> str:
    if line in ("bust line", "hip line"):
        return "seam"
    return "construct" if line == "centre" else "sewn"


def _beside(row: Row) -> Row:
    """The line of a fold's shadow: below a level fold, beside an upright one."""
    (x0, y0), (x1, y1) = row[0], row[-1]
    off = Point(0, -SOFT) if abs(x1 - x0) > abs(y1 - y0) else Point(SOFT, 0)
    return tuple((x + off.x, y + off.y) for x, y in row)


def _drawn(
    rows: Iterable[Sequence[tuple[float, float]] | Sequence[Point]],
    look: Look,
    style: str,
    words: str,
    *,
    twice: bool,
) -> Iterator[Stroke]:
    for row in rows:
        flat = fair(row).flat(SMOOTH) if 2 <= len(row) < 12 else [Point(*p) for p in row]
        for side in (1, -1) if twice else (1,):
            runs = list(_within([Point(side * p[0], p[1]) for p in flat], *look.levels))
            d: list[Command] = [c for run in runs for c in (("M", *run[0]), *(("L", *p) for p in run[1:]))]
            if d:
                yield Stroke(tuple(d), style, "garment", "", words)


def _within(points: Sequence[Point], low: float, high: float) -> Iterator[list[Point]]:
    """What of a broken line lies between two levels."""
    run: list[Point] = []
    for p, q in pairwise(points):
        span = [0.0, 1.0]
        if p.y != q.y:
            ends = sorted(((low - p.y) / (q.y - p.y), (high - p.y) / (q.y - p.y)))
            span = [max(0.0, ends[0]), min(1.0, ends[1])]
        elif not low <= p.y <= high:
            span = [1.0, 0.0]
        if span[0] >= span[1]:
            if run:
                yield run
            run = []
            continue
        start, end = p + (q - p) * span[0], p + (q - p) * span[1]
        run = [*run, end] if run and span[0] == 0.0 else [start, end]
        if span[1] < 1.0:
            yield run
            run = []
    if run:
        yield run

"""The first page of a print: test square, how to join the pages, their map, the key to the lines."""

from __future__ import annotations

from collections.abc import Sequence

from ...geometry import Point
from ..items import Box, Command, Stroke, Text, item_box, join_boxes, path_box, text_width
from ..scene import Scene
from ..signs import grain_line
from ..styles import LINES, SIZES, Line
from .pen import Pen
from .tiles import HEAD, MARGIN, Page, Tiling

SQUARE = 10.0
"""cm: side of the test square."""
SMALL, PLAIN, LARGE = 0.3, 0.36, 0.6
"""cm: sizes of lettering."""
LEAST = 0.16
"""cm: no lettering is smaller."""
RIM = Line(0.2, (), 150, "#969696", "edge of a page")
GIVEN = "given"
"""The layer of what a worksheet gives to draw on."""
GAP = 0.6
"""cm between what stands on the page."""

CHECK = (
    "Measure this square with a ruler, across and down: each side must be 100 mm (10 cm). If a side is not, "
    "print this page again at 100 % (actual size, not fitted to the page) until it is. Only then print "
    "the rest."
)


def steps(tiling: Tiling) -> tuple[str, ...]:
    """How to print and join the pages, in sentences."""
    print_first = "Print at 100 % (actual size), on one side of the paper, and measure the test square first."
    if len(tiling.pages) == 1:
        return (print_first,)
    return (
        print_first,
        "The rows of pages are A, B, C and so on from the top, the columns 1, 2, 3 from the left. "
        "Pages that no piece lies on are left out.",
        "On each page cut off what lies outside the unbroken grey line, on the left and at the top.",
        "Lay the cut edge along the broken grey line of the page before, so that the round corner marks "
        "come together, and glue or tape it. Join the pages of a row, then the rows.",
    )


def first_page(pen: Pen, tiling: Tiling) -> None:
    """A page of its own, for small paper; upright."""
    left, low = MARGIN, MARGIN
    wide, high = tiling.paper.width - 2 * MARGIN, (tiling.paper.height or 0.0) - 2 * MARGIN
    top = _heading(pen, left, low + high, wide, tiling)
    _square(pen, left, top - SQUARE)
    right = left + SQUARE + GAP
    y = _how(pen, right, top, wide - SQUARE - GAP, tiling)
    y = _key(pen, right, y - GAP, wide - SQUARE - GAP, tiling.scene)
    _map(pen, (left, low, left + wide, min(y, top - SQUARE) - GAP), tiling)


def first_strip(pen: Pen, left: float, top: float, tiling: Tiling) -> None:
    """A strip along the top of the first large sheet."""
    wide = min(tiling.width - 2 * MARGIN, 80.0)
    y = _heading(pen, left, top, wide, tiling)
    _square(pen, left, top - HEAD + 0.3)
    share = (wide - SQUARE - 3 * GAP) / 3
    x = left + SQUARE + GAP
    _how(pen, x, y, share, tiling)
    _key(pen, x + share + GAP, y, share, tiling.scene)
    _map(pen, (x + 2 * (share + GAP), top - HEAD + 0.3, left + wide, y), tiling)


def _heading(pen: Pen, left: float, top: float, wide: float, tiling: Tiling) -> float:
    pages = tiling.pages
    count = f"{len(pages)} pages, {pages[0].name} to {pages[-1].name}" if len(pages) > 1 else "one sheet"
    kind = tiling.paper.name
    kind = kind if len(kind) > 2 else kind.upper()
    across = ", lying across" if tiling.paper.height and tiling.width > tiling.height else ""
    size = f"{tiling.width * 10:.5g} by {tiling.height * 10:.5g} mm{across}"
    y = pen.block(left, top, wide, tiling.scene.title, LARGE, bold=True)
    return pen.block(left, y, wide, f"{count}, paper {kind} ({size})", PLAIN) - 0.2


def _square(pen: Pen, x: float, y: float) -> None:
    a = SQUARE
    d = (("M", x, y), ("L", x + a, y), ("L", x + a, y + a), ("L", x, y + a), ("Z",))
    pen.line(d, LINES["grain"])
    low = pen.block(x + 1, y + 0.72 * a, a - 2, "Test square", LARGE, bold=True)
    pen.block(x + 1, low - 0.1, a - 2, CHECK, PLAIN)
    pen.words(x + a / 2, y + a - 0.5, "100 mm", PLAIN, anchor="middle")
    pen.words(x + 0.5, y + a / 2, "100 mm", PLAIN, anchor="middle", angle=90)


def _how(pen: Pen, x: float, top: float, wide: float, tiling: Tiling) -> float:
    y = pen.block(x, top, wide, "How to print and join", PLAIN, bold=True)
    for k, step in enumerate(steps(tiling), 1):
        pen.block(x, y, 0.6, f"{k}", SMALL, bold=True)
        y = pen.block(x + 0.6, y, wide - 0.6, step, SMALL) - 0.08
    return y


def line_words(scene: Scene) -> dict[str, str]:
    """The line styles of a scene, in the order of the table, and what each means; sizes, and what is given to
    draw on, by their layer."""
    used = {item.style: item.layer for item in scene.items if isinstance(item, Stroke)}
    by_layer = (*SIZES, *(style for style, layer in used.items() if layer == GIVEN))
    return {
        style: used[style] if style in by_layer else LINES[style].words for style in LINES if style in used
    }


def _key(pen: Pen, x: float, top: float, wide: float, scene: Scene) -> float:
    """A stretch of each line with its name, in two columns, or in one where a name is too long for that."""
    y = pen.block(x, top, wide, "The lines", PLAIN, bold=True) - 0.05
    entries = list(line_words(scene).items())
    room = wide / 2 - 1.6 - 0.2
    columns = 2 if all(text_width(words, SMALL) <= room for _, words in entries) else 1
    rows = -(-len(entries) // columns)
    for k, (style, words) in enumerate(entries):
        at, level = x + (k // rows) * wide / 2, y - (k % rows + 1) * 0.42
        pen.line(_sample(scene, style, at, level + 0.1), LINES[style])
        pen.words(at + 1.6, level, words, SMALL)
    return y - rows * 0.42


def _sample(scene: Scene, style: str, x: float, y: float) -> Sequence[Command]:
    """A stretch of a line; a grain line, a notch and a drill hole as they look."""
    if style == "grain":
        return grain_line(Point(x, y), Point(x + 1.4, y), head=0.3)
    if style == "notch":
        return (("M", x + 0.7, y - 0.15), ("L", x + 0.7, y + 0.15))
    if style == "hole":
        d = next(item.d for item in scene.items if isinstance(item, Stroke) and item.style == style)
        x0, y0, x1, y1 = path_box(d)
        scale = 0.35 / (y1 - y0)
        return _Small((x0 + x1) / 2 - (x + 0.7) / scale, (y0 + y1) / 2 - y / scale, scale).path(d)
    return (("M", x, y), ("L", x + 1.4, y))


def _map(pen: Pen, room: Box, tiling: Tiling) -> None:
    """The whole drawing, small, with the pages it lies on."""
    x0, y0, x1, y1 = join_boxes(page.cell for page in tiling.pages)
    wide = room[2] - room[0]
    y = pen.block(room[0], room[3], wide, "Map of the pages", PLAIN, bold=True) - 0.1
    scale = min(wide / (x1 - x0), (y - room[1]) / (y1 - y0))
    small = [name for name, size in _name_sizes(tiling.scene, scale).items() if size < LEAST / 0.8]
    if small:
        listed = ", ".join(f"{k} {name}" for k, name in enumerate(small, 1))
        y = pen.block(room[0], y + 0.05, wide, listed, SMALL) - 0.1
        scale = min(scale, (y - room[1]) / (y1 - y0))
    pen.start(room[0], y)
    to = _Small(x0, y1, scale)
    for page in tiling.pages:
        a, b, c, d = page.cell
        pen.line(to.path((("M", a, b), ("L", c, b), ("L", c, d), ("L", a, d), ("Z",))), RIM)
    outlines = [i for i in tiling.scene.items if isinstance(i, Stroke) and _is_outline(i)]
    for item in outlines or [i for i in tiling.scene.items if isinstance(i, Stroke)]:
        pen.line(to.path(item.d), LINES["cut"], thin=0.35)
    names = _piece_names(pen, tiling.scene, to, small)
    for page in tiling.pages:
        _page_name(pen, page, to, names)
    pen.end()


def _is_outline(item: Stroke) -> bool:
    return item.style in ("cut", *SIZES) or (item.style == "fold" and bool(item.id))


class _Small:
    """Takes places of the drawing to places of the map."""

    def __init__(self, left: float, top: float, scale: float):
        self.left, self.top, self.scale = left, top, scale

    def place(self, x: float, y: float) -> tuple[float, float]:
        return (x - self.left) * self.scale, (y - self.top) * self.scale

    def path(self, d: Sequence[Command]) -> list[Command]:
        return [(op, *(v for k in range(0, len(n), 2) for v in self.place(*n[k : k + 2]))) for op, *n in d]


def _piece_boxes(scene: Scene) -> dict[str, Box]:
    boxes: dict[str, list[Box]] = {}
    for item in scene.items:
        if (
            isinstance(item, Stroke | Text)
            and item.piece
            and (isinstance(item, Stroke) or item.layer != "labels")
        ):
            boxes.setdefault(item.piece, []).append(item_box(item))
    return {name: join_boxes(own) for name, own in boxes.items()}


def _name_sizes(scene: Scene, scale: float) -> dict[str, float]:
    """The size in which each piece's name has room on a map of a scale: across, or along a narrow piece."""
    return {
        name: min(
            SMALL, 0.9 * scale * max(x1 - x0, y1 - y0 if _tall((x0, y0, x1, y1)) else 0.0) / text_width(name)
        )
        for name, (x0, y0, x1, y1) in _piece_boxes(scene).items()
    }


def _tall(box: Box) -> bool:
    return box[3] - box[1] > 2 * (box[2] - box[0])


def _piece_names(pen: Pen, scene: Scene, to: _Small, small: Sequence[str]) -> list[Text]:
    """Each piece's name in its middle, or its number in the list of small ones."""
    out = []
    sizes = _name_sizes(scene, to.scale)
    for name, box in _piece_boxes(scene).items():
        x, y = to.place((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        if name in small:
            text = Text(x, y - 0.09, f"{small.index(name) + 1}", SMALL)
        elif _tall(box):
            text = Text(x + 0.3 * sizes[name], y, name, sizes[name], angle=90.0)
        else:
            text = Text(x, y - 0.3 * sizes[name], name, sizes[name])
        pen.text(text)
        out.append(text)
    return out


def _page_name(pen: Pen, page: Page, to: _Small, others: Sequence[Text]) -> None:
    """The page's name in a corner of its cell that no piece's name takes."""
    (x0, y0), (x1, y1) = to.place(*page.cell[:2]), to.place(*page.cell[2:])
    size = min(SMALL, 0.3 * (y1 - y0))
    taken = [item_box(text) for text in others]
    choices = [
        Text(x, y, page.name, size, anchor, style="point shown")
        for y in (y1 - 1.1 * size, y0 + 0.3 * size)
        for x, anchor in ((x0 + 0.1, "start"), (x1 - 0.1, "end"))
    ]
    free = [text for text in choices if not any(overlap(item_box(text), box) for box in taken)]
    text = (free or choices)[0]
    pen.words(text.x, text.y, text.text, size, anchor=text.anchor, bold=True, grey=110)


def overlap(a: Box, b: Box) -> bool:
    """Whether two boxes overlap."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]

"""What a drawing is made of: strokes, texts and movable points, in cm, y up.

All that shows a drawing (svg.py, figure.py, the boards) reads these and nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Protocol

from ..geometry import Point
from ..geometry.curve import cubic
from ..tolerances import FLATTEN
from .styles import LETTERINGS

Command = tuple
"""('M', x, y), ('L', x, y), ('C', x1, y1, x2, y2, x, y) or ('Z',), cm."""
Box = tuple[float, float, float, float]
LEGEND = "legend"
"""The layer of samples of lines with what they mean; a board writes it below its sheet."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line. d: path commands; style: a name of styles.LINES; id: 'piece/edge' for an edge of a piece;
    title: what it is, in words; piece: the piece it belongs to."""

    d: tuple[Command, ...]
    style: str
    layer: str
    id: str = ""
    title: str = ""
    piece: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text on the base line through (x, y), turned by `angle` degrees anticlockwise about it.

    size_cm: size of the lettering; anchor: 'start', 'middle' or 'end'; style: a name of styles.LETTERINGS;
    row: texts of one row of a table, which a board shows all together or not at all.
    """

    x: float
    y: float
    text: str
    size_cm: float = 0.6
    anchor: str = "middle"
    angle: float = 0.0
    layer: str = "labels"
    style: str = "label"
    piece: str = ""
    row: str = ""

    def corners(self) -> tuple[tuple[float, float], ...]:
        """The four corners of the room the text takes up, roughly, cm."""
        width = text_width(self.text, self.size_cm, bold=LETTERINGS[self.style].bold)
        x0 = {"start": 0.0, "middle": -width / 2, "end": -width}[self.anchor]
        y0, y1 = -DESCENT * self.size_cm, ASCENT * self.size_cm
        a = math.radians(self.angle)
        c, s = math.cos(a), math.sin(a)
        return tuple(
            (self.x + u * c - v * s, self.y + u * s + v * c)
            for u, v in ((x0, y0), (x0 + width, y0), (x0 + width, y1), (x0, y1))
        )


@dataclass(frozen=True, slots=True)
class Handle:
    """A point the hand can move. moves: for each style value how far one cm moves the point, (dx, dy)."""

    x: float
    y: float
    name: str
    moves: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    title: str = ""


class Drawing(Protocol):
    """What can be put on paper or screen: items, a title in words, the box round it all, cm."""

    @property
    def items(self) -> tuple[Stroke | Text | Handle, ...]: ...

    @property
    def title(self) -> str: ...

    @property
    def bounds(self) -> Box: ...


ASCENT, DESCENT = 0.78, 0.22
"""Room of a line of text above and below its base line, in sizes."""

_WIDTHS = {
    **dict.fromkeys("iljI.,:;'|! ", 0.3),
    **dict.fromkeys('tfr()[]-/"', 0.41),
    **dict.fromkeys("mwMW—…", 0.95),
}

BOLD = 1.15
"""How much wider bold letters run."""


@lru_cache(maxsize=4096)
def text_width(text: str, size: float = 1.0, *, bold: bool = False) -> float:
    """Width of a text, cm: widths of a wide sans serif, so that a narrower one fits as well.

    >>> text_width("ill", 1.0) < text_width("mow", 1.0)
    True
    """
    letters = (_WIDTHS.get(c, 0.7 if c.isupper() else 0.62 if ord(c) < 0x2E80 else 1.0) for c in text)
    return size * sum(letters) * (BOLD if bold else 1.0)


def path_box(d: Iterable[Command]) -> Box:
    """The box round the places of path commands, handles included."""
    numbers = [c[1:] for c in d]
    xs = [v for c in numbers for v in c[0::2]]
    ys = [v for c in numbers for v in c[1::2]]
    return min(xs), min(ys), max(xs), max(ys)


def join_boxes(boxes: Iterable[Box]) -> Box:
    """The box round boxes; (0, 0, 1, 1) round none."""
    boxes = list(boxes)
    if not boxes:
        return 0.0, 0.0, 1.0, 1.0
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def item_box(item: Stroke | Text | Handle) -> Box:
    """The box round an item."""
    if isinstance(item, Stroke):
        return path_box(item.d)
    if isinstance(item, Text):
        xs, ys = zip(*item.corners(), strict=True)
        return min(xs), min(ys), max(xs), max(ys)
    return item.x, item.y, item.x, item.y


def moved_path(d: Iterable[Command], dx: float, dy: float) -> tuple[Command, ...]:
    """Path commands moved by (dx, dy) cm."""
    out: list[Command] = []
    for c in d:
        if len(c) == 3:
            out.append((c[0], c[1] + dx, c[2] + dy))
        elif len(c) == 7:
            out.append(("C", c[1] + dx, c[2] + dy, c[3] + dx, c[4] + dy, c[5] + dx, c[6] + dy))
        else:
            out.append(c)
    return tuple(out)


def shifted(item: Stroke | Text | Handle, dx: float, dy: float = 0.0) -> Stroke | Text | Handle:
    """An item moved by (dx, dy) cm."""
    if not (dx or dy):
        return item
    i = item
    if isinstance(i, Stroke):
        return Stroke(moved_path(i.d, dx, dy), i.style, i.layer, i.id, i.title, i.piece)
    if isinstance(i, Text):
        x, y = i.x + dx, i.y + dy
        return Text(x, y, i.text, i.size_cm, i.anchor, i.angle, i.layer, i.style, i.piece, i.row)
    return Handle(i.x + dx, i.y + dy, i.name, i.moves, i.title)


def flat_path(d: Iterable[Command], within: float = FLATTEN) -> Iterator[list[tuple[float, float]]]:
    """The runs of path commands as points, closed where it says so; within: cm, how
    closely they follow curves."""
    run: list[tuple[float, float]] = []
    for op, *numbers in d:
        if op == "M":
            if len(run) > 1:
                yield run
            run = [(numbers[0], numbers[1])]
        elif op == "L":
            run.append((numbers[0], numbers[1]))
        elif op == "C":
            a, b, c = (Point(*numbers[k : k + 2]) for k in (0, 2, 4))
            run += [(p.x, p.y) for p in cubic(Point(*run[-1]), a, b, c).flat(within)[1:]]
        elif run[-1] != run[0]:
            run.append(run[0])
    if len(run) > 1:
        yield run


def curve_path(curve, dx: float = 0.0, dy: float = 0.0) -> tuple[Command, ...]:
    """A curve as path commands, moved by (dx, dy): straight pieces as lines, the rest as true cubics."""
    p = curve.segments[0][0]
    return (("M", p.real + dx, p.imag + dy), *segment_commands(curve, dx, dy))


def segment_commands(curve, dx: float = 0.0, dy: float = 0.0) -> list[Command]:
    """The commands of a curve after its start."""
    out: list[Command] = []
    for a, b, c, d in curve.segments:
        x, y = d.real + dx, d.imag + dy
        if abs(b - (2 * a + d) / 3) + abs(c - (a + 2 * d) / 3) < 1e-9:
            out.append(("L", x, y))
        else:
            out.append(("C", b.real + dx, b.imag + dy, c.real + dx, c.imag + dy, x, y))
    return out

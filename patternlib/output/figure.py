"""Scenes as matplotlib figures, with the lines of styles.py and a bar that shows the scale."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from typing import Any

from ..errors import ValueAtFault
from .items import Stroke, Text, item_box, join_boxes, text_width
from .lettering.taken import texts_for_screen
from .scene import Scene
from .styles import LETTERINGS, LINES, PX_DASH, PX_WIDTH

PT = 0.75
"""Points of print in one px of a screen of 96 px an inch [CSS Values and Units 3, W3C]."""
BARS = (1, 2, 5, 10, 20, 50, 100)
"""cm: lengths a scale bar can have."""


def as_figure(scene: Scene, *, ax: Any = None, size: tuple[float, float] | None = None) -> Any:
    """Draw a scene with matplotlib; gives the figure.

    ax: axes to draw on (their figure comes back), None makes a figure of its own that pyplot does not know.
    size: of that figure, inches; None: 9 wide, as high as the drawing asks. Lengths are cm, both ways alike.
    Raises ValueAtFault for a size that is not 1 to 60 inches.

    >>> from patternlib.output.items import Stroke
    >>> from patternlib.output.scene import Scene
    >>> line = Stroke((("M", 0, 0), ("L", 10, 0)), "cut", "cut lines")
    >>> as_figure(Scene((line,), "a line", (0, 0, 20, 10))).axes[0].get_aspect()
    1.0
    """
    x0, y0, x1, y1 = scene.bounds
    wide, high = x1 - x0, y1 - y0
    bar = max((b for b in BARS if b <= wide / 4), default=BARS[0])
    foot = 0.05 * wide  # room for the bar
    if ax is None:
        size = size or (9.0, min(max(9.0 * (high + foot) / wide, 1.5), 12.0))
        if not all(1 <= side <= 60 for side in size):
            raise ValueAtFault("size", size, "must be 1 to 60 inches both ways", "For example size=(9, 6).")
        ax = _drawing()(figsize=size).add_axes((0.0, 0.0, 1.0, 1.0))
    room = ax.get_window_extent()
    scale = (
        min(room.width / wide, room.height / (high + foot)) * 96 / ax.figure.dpi
    )  # px of a screen for a cm
    texts = texts_for_screen(scene.items, scale)
    x0, y0, x1, y1 = join_boxes([scene.bounds, *map(item_box, texts)])
    ax.set(xlim=(x0, x1), ylim=(y0 - foot, y1), aspect="equal")
    ax.set_axis_off()
    _lines(ax, scene)
    for text in texts:
        _write(ax, text, scale)
    _bar(ax, x1 - 0.02 * wide - bar, y0 - 0.4 * foot, bar, scale)
    return ax.figure


def _lines(ax: Any, scene: Scene) -> None:
    """All strokes of a style as one path."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    codes = {"M": [Path.MOVETO], "L": [Path.LINETO], "C": [Path.CURVE4] * 3, "Z": [Path.CLOSEPOLY]}
    styles: dict[str, tuple[list, list]] = {}
    for item in scene.items:
        if isinstance(item, Stroke):
            places, marks = styles.setdefault(item.style, ([], []))
            for op, *numbers in item.d:
                places += zip(numbers[0::2], numbers[1::2], strict=True) if numbers else [(0.0, 0.0)]
                marks += codes[op]
    for style, (places, marks) in styles.items():
        look = LINES[style]
        width = look.width * PX_WIDTH * PT
        # matplotlib counts dashes in widths of their line
        dashes = (0, tuple(v * PX_DASH * PT / width for v in look.dashes)) if look.dashes else "solid"
        ax.add_patch(
            PathPatch(
                Path(places, marks), fill=False, edgecolor=look.colour, linewidth=width, linestyle=dashes,
                capstyle="butt", joinstyle="round", label=look.words,
            )
        )  # fmt: skip


def _write(ax: Any, text: Text, scale: float) -> None:
    look = LETTERINGS[text.style]
    # DejaVu Sans, matplotlib's own letters, runs as wide as items.text_width calculates
    ax.text(
        text.x, text.y, text.text, fontsize=text.size_cm * scale * PT, rotation=text.angle,
        rotation_mode="anchor", ha={"start": "left", "middle": "center", "end": "right"}[text.anchor],
        va="baseline", color=look.colour, weight="bold" if look.bold else "normal",
        style="italic" if look.slanted else "normal", parse_math=False,
    )  # fmt: skip


def _bar(ax: Any, x: float, y: float, length: float, scale: float) -> None:
    """A bar of a round number of cm, low on the right."""
    tick = 4 / scale
    look = LINES["grain"]
    ax.plot(
        [x, x, x, x + length, x + length, x + length], [y + tick, y - tick, y, y, y - tick, y + tick],
        color=look.colour, linewidth=look.width * PX_WIDTH * PT, solid_capstyle="butt",
    )  # fmt: skip
    words = f"{length} cm"
    size = 12.0
    ax.text(
        x - 6 / scale - text_width(words, size / scale) / 2, y, words, fontsize=size * PT, ha="center",
        va="center_baseline", color=look.colour,
    )  # fmt: skip


@cache
def _drawing() -> type:
    """A figure that a notebook shows by itself; made on first use, so that matplotlib is loaded only then."""
    from matplotlib.figure import Figure

    class Drawing(Figure):
        def _repr_png_(self) -> bytes:
            out = BytesIO()
            self.savefig(out, format="png", dpi=144)
            return out.getvalue()

    return Drawing

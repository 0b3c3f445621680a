"""The usual way to a point that follows the hand: `interact` and an inline matplotlib figure of it."""

from __future__ import annotations

from patternlib.assess import exercises
from patternlib.geometry import Curve, Point

WORK = exercises()["02a"]
FRAME = WORK.reference(WORK.own_numbers("lena"))


def draw(plt, across: float) -> None:
    """Draw the frame of the skirt with its side so far across: crosses, lines, names and the measure.

    The value travels in the PNG's own metadata, so that the page can see which picture it has got.
    """
    from matplotlib_inline.config import InlineBackend

    kwargs = {"bbox_inches": "tight", "metadata": {"Title": f"value={across:.4f};"}}
    InlineBackend.instance().print_figure_kwargs = kwargs
    draft = FRAME.replay(measures={"side hip": max(across, 0.1)})
    _, axes = plt.subplots(figsize=(8, 4.6))
    for step in draft:
        if isinstance(step.value, Point):
            axes.plot(*step.value, "+", color="#24478f", ms=9)
            axes.annotate(step.name, step.value, xytext=(6, 6), textcoords="offset points", fontsize=8)
        elif isinstance(step.value, Curve):
            axes.plot(*zip(*step.value.flat(), strict=True), color="#24478f", lw=1.5)
    start, end = draft["centre back hip"], draft["side hip"]
    axes.annotate("", end, start, arrowprops={"arrowstyle": "<->", "color": "#8b3a10"})
    axes.text(*start.middle(end), f"{across:.1f} cm", color="#8b3a10", ha="center", va="bottom")
    axes.set(xlim=(-20, 80), ylim=(-75, 10), aspect="equal")
    axes.grid(alpha=0.3)
    plt.show()

"""The usual way to a live drawing: `interact` and an inline matplotlib figure of the same garment."""

from __future__ import annotations

import patternlib as pl
from patternlib.output.items import Stroke
from patternlib.output.scene import sheet_scene
from patternlib.output.styles import LINES

BODY = pl.chart("course").body("12")


def draw(plt, garment: str, **style: float) -> None:
    """Draft a garment and draw plans and pieces: a new figure, a patch for each line, a text for each label.

    The values travel in the PNG's own metadata, so that the page can see which picture it has got.
    """
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path
    from matplotlib_inline.config import InlineBackend

    said = ",".join(f"{v:.4f}" for v in style.values())
    kwargs = {"bbox_inches": "tight", "metadata": {"Title": f"values={said};"}}
    InlineBackend.instance().print_figure_kwargs = kwargs
    scene = sheet_scene(pl.make(garment, BODY, **style))
    codes = {"M": [Path.MOVETO], "L": [Path.LINETO], "C": [Path.CURVE4] * 3, "Z": [Path.CLOSEPOLY]}
    x0, y0, x1, y1 = scene.bounds
    _, axes = plt.subplots(figsize=(9, 5))
    for item in scene.items:
        if isinstance(item, Stroke):
            points, kinds = [], []
            for op, *places in item.d:
                kinds += codes[op]
                points += list(zip(places[::2], places[1::2], strict=True)) or [(0, 0)]
            look = LINES[item.style]
            line = (0, [3 * d for d in look.dashes]) if look.dashes else "-"
            path = Path(points, kinds)
            axes.add_patch(PathPatch(path, fill=False, lw=3 * look.width, ls=line, color=look.colour))
        else:
            side = {"start": "left", "middle": "center", "end": "right"}[item.anchor]
            turn = {"rotation": item.angle, "rotation_mode": "anchor"}
            axes.text(item.x, item.y, item.text, fontsize=8, ha=side, **turn)
    axes.set(xlim=(x0, x1), ylim=(y0, y1), aspect="equal", title=scene.title)
    axes.axis("off")
    plt.show()

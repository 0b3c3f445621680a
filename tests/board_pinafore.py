"""The complete pinafore on one sheet for trying boards: both plans, all pieces, facts and findings."""

from __future__ import annotations

from dataclasses import replace

import patternlib as pl
from patternlib.boards import BoardStep, Picture, Slider
from patternlib.output.items import Scene, Stroke
from patternlib.output.scene import draft_steps, facts, garment_scene, plan_scene

BODY = pl.chart("course").body("12")
STYLE = {value.name: value for value in pl.style_values("pinafore")}
NAMES = (
    "skirt_length",
    "yoke_depth",
    "pocket_from_centre",
    "pocket_below_yoke",
    "bib_height",
    "flare",
    "hem",
)
SLIDERS = [
    Slider(v.name, v.label, v.low, v.high, v.step, v.start, v.unit, v.why) for v in map(STYLE.get, NAMES)
]
HANDLES = {
    ("back plan", "yoke at centre back"): ("Yoke at the centre back", {"yoke_depth": (0.0, -1.0)}),
}


def shifted(item, dx, dy):
    """Move an item of a scene by (dx, dy) cm."""
    if not isinstance(item, Stroke):
        return replace(item, x=item.x + dx, y=item.y + dy)
    d = tuple((c[0], *(v + (dy if i % 2 else dx) for i, v in enumerate(c[1:]))) for c in item.d)
    return replace(item, d=d)


def redraw(values, *, unit="cm"):
    garment = pl.make("pinafore", BODY, **values)
    plans = plan_scene(garment, unit=unit, lettering="screen", handles=HANDLES)
    pieces = garment_scene(garment, unit=unit, lettering="screen", test_square=False)
    x0, y0, x1, y1 = plans.bounds
    a0, b0, a1, b1 = pieces.bounds
    dx, dy = x1 + 6 - a0, y1 - b1
    items = (*plans.items, *(shifted(item, dx, dy) for item in pieces.items))
    box = (x0, min(y0, b0 + dy), a1 + dx, y1)
    return Picture(Scene(items, "the pinafore", box), garment.findings, facts(garment))


def steps(values):
    draft = pl.make("pinafore", BODY, **values).drafts["back plan"]
    return tuple(BoardStep(text, items) for text, items in draft_steps(draft, lettering="screen"))

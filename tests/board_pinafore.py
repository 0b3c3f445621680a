"""The complete pinafore for trying boards: both plans, all pieces, facts and findings on one sheet."""

from __future__ import annotations

from dataclasses import replace

import patternlib as pl
from patternlib.boards import garment_board

NAMES = (
    "yoke_depth",
    "skirt_length",
    "pocket_point",
    "bib_top",
    "bib_height",
    "flare",
    "hem",
)
BOARD = garment_board("pinafore", pl.chart("course").body("12"), NAMES, steps_of="back plan")
SLIDERS = [replace(BOARD.slider(name), step=0.1) for name in NAMES]


def redraw(values):
    return BOARD.draw(values)


def steps(values):
    return BOARD._steps({**BOARD.values, **values})

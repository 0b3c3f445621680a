"""Draw the pictures that the README and the lessons show: python tests/make_pictures.py"""

from __future__ import annotations

from pathlib import Path

import patternlib as pl
from patternlib.output.scene import garment_scene
from patternlib.output.svg import as_svg

PICTURES = Path(__file__).parent.parent / "lessons" / "pictures"


def pictures() -> dict[str, str]:
    """File name -> SVG text."""
    garment = pl.make("pinafore", pl.chart("course").body("12"), size="12")
    return {"pinafore-pieces.svg": as_svg(garment_scene(garment, lettering="screen"), true_size=False)}


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    for name, text in pictures().items():
        (PICTURES / name).write_text(text, encoding="utf-8", newline="\n")
        print(PICTURES / name)

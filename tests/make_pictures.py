"""Draw the pictures that the README and the lessons show: python tests/make_pictures.py

The pictures of the drafting table are taken from a running JupyterLab, so they need Chromium; without it
they stay as they are, and a line says so.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent
PICTURES = ROOT / "lessons" / "pictures"
MOST_BYTES = 150_000
WIDE, HIGHEST = 1100, 980
"""px of a picture of the table; what stands lower is cut off."""
TALL = {"width": 1280, "height": 1900}


def pictures() -> dict[str, str]:
    """File name -> SVG text."""
    import patternlib as pl
    from patternlib.output.scene import garment_scene
    from patternlib.output.svg import as_svg

    garment = pl.make("pinafore", pl.chart("course").body("12"), size="12")
    return {"pinafore-pieces.svg": as_svg(garment_scene(garment, lettering="screen"), true_size=False)}


FRAME = (
    ("go", "waist at", "down", "waist to hip"),
    ("go", "waist at", "down", "skirt length"),
    ("go", "centre back hip", "right", "hip girth / 4 + hip ease / 4"),
    ("go", "side hip", "right", "hip girth / 4 + hip ease / 4"),
)
POCKET = """import patternlib as pl
from patternlib.assess import pocket_table
pocket_table(pl.chart("course").body("12"))"""


def table_pictures() -> dict[str, bytes]:
    """File name -> PNG: the table at work on an exercise, and the first pattern of lesson 00."""
    from tests import browser_tools as tools
    from tests.table_tools import Table, open_table

    with tools.Lab() as lab, tools.chromium() as browser:
        frame = open_table(lab, browser, "02a", student="lena")
        frame.page.set_viewport_size(TALL)
        frame.reach()
        for step in FRAME:
            frame.type(*step)
        frame.pull("centre back hem", 135, 2, hold=True)
        at_work = frame.root.screenshot()

        page = tools.open_page(browser, lab.write("pocket.ipynb", tools.notebook(POCKET)), height=1000)
        page.set_viewport_size(TALL)
        tools.run_to_the_end(page)
        page.wait_for_selector(".draft-table .dt-field", timeout=30_000)
        pocket = Table(page, lab, "pocket.ipynb")
        pocket.root.locator("[data-place=verb]").focus()
        pocket.type("go", "top left", "right", "14")
        pocket.type("go", "top left", "down", "15")
        pocket.settle()
        pocket.pull("bottom left", 180, 3, hold=True)
        return {"drafting-table.png": small(at_work), "first-pocket.png": small(pocket.root.screenshot())}


def small(png: bytes) -> bytes:
    """A screenshot in few colours and not wider than WIDE px."""
    from PIL import Image

    picture = Image.open(io.BytesIO(png)).convert("RGB")
    high = round(picture.height * WIDE / picture.width)
    if picture.width > WIDE:
        picture = picture.resize((WIDE, high), Image.Resampling.LANCZOS)
    picture = picture.crop((0, 0, picture.width, min(picture.height, HIGHEST)))
    out = io.BytesIO()
    picture.quantize(96, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
    return out.getvalue()


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    from tests.browser_tools import find_browser

    PICTURES.mkdir(exist_ok=True)
    for name, text in pictures().items():
        (PICTURES / name).write_text(text, encoding="utf-8", newline="\n")
        print(PICTURES / name)
    if find_browser() is None:
        print("The pictures of the drafting table need Chromium and were not renewed.")
    else:
        for name, png in table_pictures().items():
            assert len(png) < MOST_BYTES, f"{name} has {len(png)} bytes"
            (PICTURES / name).write_bytes(png)
            print(PICTURES / name)

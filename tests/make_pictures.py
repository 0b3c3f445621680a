"""Draw the pictures that the README and the lessons show: python tests/make_pictures.py

The pictures of the drafting table and of a photograph being read are taken from a running JupyterLab, so they
need Chromium; without it they stay as they are, and a line says so. The photographs are simulated ones.
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


def photograph_pictures() -> dict[str, bytes]:
    """File name -> JPEG or PNG: simulated photographs of drafts, and one of them read on its form."""
    from dataclasses import replace

    from tests import browser_tools as tools
    from tests.drafted_pages import LEVEL, between_strips, drafted_pages
    from tests.test_99_photo_browser import ID, STUDENT, Part

    (page,) = drafted_pages(ID, STUDENT, only=0, shot=replace(LEVEL, tilt=14, spin=4, fill=0.8, warp=1.5))
    (level,) = drafted_pages(ID, STUDENT, only=0)
    strips = between_strips("02a", STUDENT, flags=True)
    with tools.Lab() as lab, tools.chromium() as browser:
        part = Part(lab, browser, level, "read.ipynb", width=1180, height=1300)
        part.open()
        part.choose(level, lab.folder / "draft.jpg")
        for name in ("side hip", "back side waist"):
            part.tap(part.draft[name])
        part.row("back dart point").click()
        part.page.mouse.click(*part.at(part.draft["back dart point"]))
        part.el.locator(".ph-enlarged").wait_for()
        read = part.el.locator(".ph-work").screenshot()
    return {
        "draft-photographed.jpg": small_photograph(page, 560),
        "draft-between-strips.jpg": small_photograph(strips, 760),
        "photograph-read.jpg": small_photograph(read, 640),
    }


def small_photograph(data: bytes, high: int) -> bytes:
    """A photograph made smaller for a page."""
    from PIL import Image

    picture = Image.open(io.BytesIO(data)).convert("RGB")
    picture = picture.resize((round(picture.width * high / picture.height), high), Image.Resampling.LANCZOS)
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=82)
    return out.getvalue()


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
        print("The pictures of the drafting table and of the photographs need Chromium and were not renewed.")
    else:
        for name, data in (table_pictures() | photograph_pictures()).items():
            assert len(data) < MOST_BYTES, f"{name} has {len(data)} bytes"
            (PICTURES / name).write_bytes(data)
            print(PICTURES / name)

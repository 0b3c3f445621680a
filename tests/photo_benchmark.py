"""How exactly photographs of drafts are read: python -m tests.photo_benchmark [students] [part ...]

Parts: places (the plane alone, on sheets and with strips), crossings (pencil lines), cost (time and memory
for 12 million pixels), full, half (the whole way at full and half scale: drawn with a hand's errors between
strips or on a printed worksheet, photographed, tapped, judged, and each verdict compared with the drawn one).
All photographs are simulated (`tests/photographs.py`); no real pencil draft has been photographed. The seeds
are not those of the tuning.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import cv2
import numpy as np

from patternlib.geometry import Point
from patternlib.photo.faults import PhotoFault
from patternlib.photo.layouts import sheet_layout, strips_layout
from patternlib.photo.lens import _laid, _rigid
from patternlib.photo.markers import find_markers
from patternlib.photo.plane import Plane
from patternlib.photo.reading import _best_sheet, _page_box, _read_strips, read_photograph
from tests.photo_verdicts import DRAFT, SEED, full, half, measured
from tests.photographs import (
    Hand,
    Sheet,
    any_shot,
    on_sheet,
    pencil,
    photograph,
    strips_round,
    taken,
    ticked,
    upright_for,
)

# -- the plane alone


def _told(name: str, off, more: str = "") -> None:
    off = np.concatenate(off) if len(off) else np.array([np.nan])
    print(
        f"  {name:68} {np.median(off):5.2f} / {np.quantile(off, 0.95):5.2f} / {off.max():5.2f} {more}",
        flush=True,
    )


def sheet_places(seed: int, **how):
    """mm between where places of a page lie and where they are read; and with a homography alone."""
    rng = np.random.default_rng(seed)
    layout = sheet_layout("a4", 0)
    sheet = Sheet(*layout.size, 110)
    sheet.paste(layout)
    shot = upright_for(sheet, any_shot(rng, width=4000, height=3000, **how))
    state = rng.bit_generator.state
    own = find_markers(cv2.cvtColor(taken(sheet, shot, rng), cv2.COLOR_BGR2GRAY))
    layout, fit = _best_sheet(own, 0)
    again = np.random.default_rng()
    again.bit_generator.state = state
    spots = np.array(
        [(x, y) for x in np.linspace(0, shot.width, 25) for y in np.linspace(0, shot.height, 25)]
    )
    cm = on_sheet(sheet, shot, spots, again)
    x0, y0, x1, y1 = layout.box
    inside = (cm[:, 0] > x0) & (cm[:, 0] < x1) & (cm[:, 1] > y0) & (cm[:, 1] < y1)
    spots, cm = spots[inside], cm[inside]
    read = Plane(fit, _page_box(layout)).onto_paper(spots)
    paper = np.array([layout.markers[n] for n in own.numbers]).reshape(-1, 2)
    plain, _ = cv2.findHomography(own.corners.reshape(-1, 2), paper)
    bare = cv2.perspectiveTransform(spots[None], plain)[0]
    return np.hypot(*(read - cm).T) * 10, np.hypot(*(bare - cm).T) * 10


def strip_places(seed: int, *, pages: int = 1, size: float = 1.0, tapes: bool = False, **how):
    """mm between places of a full-size draft and where they are read, both laid on each other as they fit."""
    rng = np.random.default_rng(seed)
    sheet = Sheet(82, 98, 40)
    strips = [strip for page in range(pages) for strip in strips_layout("a4", page)]
    marks = strips_round(sheet, strips, DRAFT, rng, size)
    shot = upright_for(sheet, any_shot(rng, width=4000, height=3000, **how))
    state = rng.bit_generator.state
    seen = find_markers(cv2.cvtColor(taken(sheet, shot, rng), cv2.COLOR_BGR2GRAY))
    typed = [(a, b, measured(marks, a, b, rng)) for a, b in ("AC", "BD")] if tapes else []
    plane, _ = _read_strips(seen, typed)
    again = np.random.default_rng()
    again.bit_generator.state = state
    spots = np.array(
        [(x, y) for x in np.linspace(0, shot.width, 35) for y in np.linspace(0, shot.height, 35)]
    )
    cm = on_sheet(sheet, shot, spots, again)
    x0, y0, x1, y1 = DRAFT
    inside = (cm[:, 0] > x0) & (cm[:, 0] < x1) & (cm[:, 1] > y0) & (cm[:, 1] < y1)
    read, cm = plane.onto_paper(spots[inside]), cm[inside]
    return np.hypot(*(_laid(_rigid(read, cm), 1.0, read) - cm).T) * 10


def places(count: int) -> None:
    print("places, mm on paper: median / 95 in 100 / largest")
    strong = {"k1": -0.16, "k2": 0.03}
    for name, how in (
        ("A4 sheet, 20 markers, paper bends 0.8 mm", {"warp": 0.8}),
        ("the same, paper bends 3 mm, tilt 35 degrees (refused by the reading)", {"warp": 3.0, "tilt": 35.0}),
        ("A4 sheet, strong lens", {"warp": 0.8} | strong),
    ):
        both = [sheet_places(SEED + k, **how) for k in range(count)]
        _told(name, [own for own, _ in both])
        _told("    with a homography alone", [bare for _, bare in both])
    for name, how in (
        ("full size, 8 strips, flat", {"pages": 2, "warp": 0.0}),
        ("full size, 8 strips, paper bends 1 mm", {"pages": 2, "warp": 1.0}),
        ("full size, 8 strips, paper bends 3 mm", {"pages": 2, "warp": 3.0}),
        ("8 strips printed 0.3 % small, no distance typed", {"pages": 2, "size": 0.997}),
        ("8 strips printed 0.3 % small, two distances typed", {"pages": 2, "size": 0.997, "tapes": True}),
        ("4 strips, two distances typed", {"tapes": True, "warp": 1.0}),
    ):
        off, refused = [], 0
        for k in range(count):
            try:
                off.append(strip_places(SEED + 100 + k, **how))
            except PhotoFault:  # a strip is cut off
                refused += 1
        _told(name, off, f"({refused} refused)" if refused else "")
    refusals()


def refusals() -> None:
    """Ways to lay markers that cannot be exact: what is said of each in place of a reading."""
    print("not read, by design; the sentence that is given:")
    rng = np.random.default_rng(SEED + 150)
    joined, middle, uncut = Sheet(44, 62, 60), Sheet(82, 98, 45), Sheet(82, 98, 45)
    for k, (x, y) in enumerate(((1, 31), (21, 31), (1, 2), (21, 2))):
        joined.paste(
            sheet_layout("a4", k), at=np.add((x, y), rng.normal(0, 0.05, 2)), turned=rng.normal(0, 0.004)
        )
    middle.paste(sheet_layout("a4", 0), at=(30.5, 34.0))
    for strip in strips_layout("a4"):
        uncut.paste(strip, at=(30.5, 34.0))
    for name, sheet in (
        ("four A4 pages joined by hand, in one picture", joined),
        ("one A4 page of a worksheet in the middle of a full-size draft", middle),
        ("the page of strips not cut, in the middle of the draft", uncut),
    ):
        shot = upright_for(sheet, any_shot(rng, width=4000, height=3000))
        try:
            flat = read_photograph(photograph(sheet, shot, rng))
            flat.inside(Point(flat.box[2] + 5, flat.box[3]))
            said = "read"
        except PhotoFault as fault:
            said = str(fault)
        print(f"  {name}:\n    {said}", flush=True)


# -- crossings


PRINTED = {"bgr": (247, 211, 165), "strong": (248, 207, 156), "mm": (0.11, 0.26)}
"""A grid as the worksheet has it; blue, green and red."""
GREYS = {"bgr": (204,) * 3, "strong": (196,) * 3, "mm": (0.11, 0.26)}
"""The same from a printer without colours."""


def crossed_page(seed: int, hand: Hand, grid=PRINTED):
    """A page with a draft-like drawing; its places, and the flat picture."""
    rng = np.random.default_rng(seed)
    t = np.linspace(0, 1, 80)[:, None]
    a, b = np.array([15.2, 15.5]), np.array([13.2, 24.4])
    armhole = (1 - t) ** 2 * a + 2 * t * (1 - t) * np.array([12.0, 16.0]) + t**2 * b
    corners = [(4.1, 4.6), (4.1, 25.6), (15.2, 15.5), (16.3, 5.1), (8.2, 25.6), (13.2, 24.4), (4.1, 15.5)]
    lines = [
        [(4.1, 4.4), (4.1, 25.9)], [(4.0, 15.5), (15.2, 15.5)], [(4.1, 4.6), (16.3, 5.1)],
        [(15.2, 15.5), (16.3, 5.1)],
        [(8.2, 25.6), (13.2, 24.4)], [(4.1, 25.6), (8.2, 25.6)], armhole,
    ]  # fmt: skip
    ticks = [(6.5, 15.5), (9.7, 15.5), (12.6, 15.5), (4.1, 9.3), (4.1, 20.2)]
    lines += [ticked(p, (0.05, 1) if p[1] == 15.5 else (1, 0.05)) for p in ticks]
    return _page_of(lines, corners + ticks, hand, grid, rng)


def darted_page(seed: int, hand: Hand, grid=PRINTED):
    """A page with darts of 8 to 25 degrees, some with their middle line, some with a tick at the point."""
    rng = np.random.default_rng(seed)
    lines, points = [], []
    for k in range(9):
        column, row = k % 3, k // 3
        tip = np.array([5.0 + 5.2 * column, 4.2 + 7.4 * row]) + rng.uniform(-0.4, 0.4, 2)
        turned, half = rng.normal(0, 0.12), np.radians(rng.uniform(4, 12.5))
        long = rng.uniform(4.0, 6.0)
        legs = [tip + long * np.array([np.sin(turned + a), np.cos(turned + a)]) for a in (-half, half)]
        middle = tip + long * np.array([np.sin(turned), np.cos(turned)])
        lines += [[tip, legs[0]], [tip, legs[1]]]
        if column != 0:
            lines += [[tip, middle]]
        if column != 1:
            lines += [ticked(tip, (np.cos(turned), -np.sin(turned)), length=0.6)]
        lines += [[legs[0], middle], [middle, legs[1]]]
        points += [tip, *legs]
    return _page_of(lines, points, hand, grid, rng)


def _page_of(lines, points, hand: Hand, grid, rng):
    layout = sheet_layout("a4", 0)
    sheet = Sheet(*layout.size, 150)
    sheet.grid(layout.box, 0.5, **grid)
    sheet.paste(layout)
    pencil(sheet, lines, rng, hand)
    shot = upright_for(sheet, any_shot(rng, width=4000, height=3000))
    return np.array(points), read_photograph(photograph(sheet, shot, rng)), rng


def crossings(count: int) -> None:
    print(
        "crossings: tapped off by / searched within; how far off the nearest is (median, mm); right: 0.5 mm"
    )
    for name, page, hand, grid, spread, radius in (
        ("1 to 2 mm / 3 mm", crossed_page, Hand(), PRINTED, (1.0, 2.0), 0.3),
        ("the same, printed without colours", crossed_page, Hand(), GREYS, (1.0, 2.0), 0.3),
        ("darts of 8 to 25 degrees, 1 to 2 mm / 3 mm", darted_page, Hand(), PRINTED, (1.0, 2.0), 0.3),
        ("4 mm / 3 mm", crossed_page, Hand(), PRINTED, (4.0, 4.0), 0.3),
        ("4 mm / 8 mm", crossed_page, Hand(), PRINTED, (4.0, 4.0), 0.8),
        ("1 to 2 mm / 3 mm, a quarter of the contrast", crossed_page, Hand(darkness=0.125), PRINTED,
         (1.0, 2.0), 0.3),
    ):  # fmt: skip
        found = []
        for k in range(count):
            where, flat, rng = page(SEED + 200 + k, hand, grid)
            for p in where:
                angle, far = rng.uniform(0, 2 * np.pi), rng.uniform(*spread) / 10
                tap = Point(p[0] + far * np.cos(angle), p[1] + far * np.sin(angle))
                seen = [c.point.distance(Point(*p)) * 10 for c in flat.crossings(tap, radius)]
                found.append((seen[0] if seen else np.nan, len(seen), min(seen, default=np.nan)))
        first, many, best = np.array(found).T
        right = first < 0.5
        told = f"{np.median(first[right]):.3f}" if right.any() else "-"
        among = (best[many > 1] < 0.5).mean() if (many > 1).any() else 1.0
        print(
            f"  {name:46} {told}, right {right.mean():.0%}, wrong {(first >= 0.5).mean():.0%}, none "
            f"{(many == 0).mean():.0%}, asked {(many > 1).mean():.0%} (right among them: {among:.0%})",
            flush=True,
        )


# -- cost


def cost(count: int) -> None:
    rng = np.random.default_rng(SEED + 300)
    layout = sheet_layout("a4", 0)
    sheet = Sheet(*layout.size, 150)
    sheet.paste(layout)
    data = photograph(sheet, upright_for(sheet, any_shot(rng, width=4000, height=3000)), rng)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "photograph.jpg"
        file.write_bytes(data)
        done = subprocess.run(
            [sys.executable, "-c", SPENT, str(file), str(count)], capture_output=True, text=True, check=True
        )
    seconds, before, most = map(float, done.stdout.split())
    print(f"cost of 12 million pixels: {seconds:.2f} s of a processor, {most - before:.0f} MB at most")


SPENT = """
import re, sys, time
import cv2, scipy.optimize
from patternlib.photo.reading import read_photograph
data, count = open(sys.argv[1], "rb").read(), int(sys.argv[2])
most = lambda: int(re.search(r"VmHWM:\\s+(\\d+)", open("/proc/self/status").read())[1]) / 1024
before, start = most(), time.process_time()
for _ in range(count):
    flat = read_photograph(data)
seconds = (time.process_time() - start) / count
flat.picture()
print(seconds, before, most())
"""


PARTS = {"places": places, "crossings": crossings, "cost": cost, "full": full, "half": half}


def main(words: list[str]) -> None:
    count = next((int(w) for w in words if w.isdigit()), 12)
    for name, part in PARTS.items():
        if name in words or not set(words) & set(PARTS):
            part(count)


if __name__ == "__main__":
    main(sys.argv[1:])

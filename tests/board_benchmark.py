"""How well the boards keep up with the hand, against `interact` drawing the same garment with matplotlib.

    python tests/board_benchmark.py [--garments pinafore apron smock] [--rounds 2] [--short]

Both ways run in one JupyterLab and one Chromium, in turn. A time runs from the event's own time stamp to the
paint of the frame that shows its value or a newer one; a picture is credited to the input that asked for its
value, and each value is asked for once in a row. A dragging hand sends 60 events a second and asks for
another value with each. 'a s': pictures in a second; 'asked': how many the hand asked for, as the browser
took its events. Ratios are what counts: absolute times change from machine to machine, and differences below
one frame (16.7 ms) mean nothing. `--garments smock --short` takes about four minutes.

The last three columns are of the board alone. 'exact': drawn by Python, where the page has first shown a
picture blended from its neighbours. 'heard': from when the page hears of an event; the browser brings the
moves of a finger 15 to 45 ms after their stamp, also to an empty page, and those of a mouse 5 to 15. 'told':
until a message that was sent in the frame arrives, which on a busy page is long after the paint (see
board_probe.js); tables of earlier states have these times, for both ways.
"""

from __future__ import annotations

import argparse
import statistics
import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent.parent), str(Path(__file__).resolve().parent)]
import browser_tools as tools  # noqa: E402
from board_hand import Hand, Wire  # noqa: E402

import patternlib as pl  # noqa: E402
from patternlib.boards.garment import style_slider  # noqa: E402

GARMENTS = {
    "pinafore": ("yoke_depth", "skirt_length", "flare", "bib_height", "bib_top", "pocket_point"),
    "apron": ("skirt_length", "flare", "bib_height", "bib_top", "pocket_width", "wrap"),
    "smock": ("length", "bust_ease", "flare", "sleeve_short", "pocket_width", "armhole_ease"),
}
BOARD = """
import patternlib as pl
from patternlib.boards import garment_board
garment_board("{garment}", pl.chart("course").body("12"), {names})
"""
USUAL = """
%matplotlib inline
import matplotlib.pyplot as plt
import board_usual
from ipywidgets import FloatSlider, interact
from patternlib.boards.garment import style_slider
sliders = [style_slider("{garment}", name, body=board_usual.BODY) for name in {names}]
@interact(**{{s.name: FloatSlider(min=s.low, max=s.high, step=s.step, value=s.start) for s in sliders}})
def show(**style):
    board_usual.draw(plt, "{garment}", **style)
"""
AS = {"dragged point": "unrested slider", "point under a finger": "touch"}
"""The usual way has no points: what they are measured against."""

PROBE = (Path(__file__).parent / "board_probe.js").read_text(encoding="utf-8")


def steps_of(garment: str) -> list[int]:
    """The number of steps of each slider."""
    body = pl.chart("course").body("12")
    sliders = [style_slider(garment, name, body=body) for name in GARMENTS[garment]]
    return [round((s.high - s.low) / s.step) for s in sliders]


def measure(browser, port: int, lab, garment: str, *, usual: bool, short: bool) -> dict[str, list[dict]]:
    """Every row of one garment in a new notebook."""
    names = list(GARMENTS[garment])
    source = (USUAL if usual else BOARD).format(garment=garment, names=names)
    name = f"{garment}-{'usual' if usual else 'board'}.ipynb"
    page = tools.open_page(browser, lab.write(name, tools.notebook(source)), height=1100, touch=True)
    tools.run_cell(page, 0)
    if usual:
        page.wait_for_selector(".jupyter-widgets img", timeout=60_000)
    else:
        tools.wait_board(page)
    page.wait_for_timeout(500)
    page.locator(".noUi-target" if usual else ".draft-board").first.scroll_into_view_if_needed()
    page.evaluate(PROBE)
    hand = Hand(page, Wire(port, page.url), steps_of(garment), usual=usual)
    some = (1, 2) if short else (0, 1, 2, 3, 4)
    rows: dict[str, list[dict]] = {
        "cold press": [hand.press(i) for i in some],
        "unrested slider": [hand.drag(i) for i in some],
        "held key": [hand.keys(i) for i in some],
        "press just after rest": [hand.press_after(i, (i + 1) % len(names)) for i in some],
        "dragged point": [found for n in some[:2] if (found := hand.point(n))],
        "touch": [hand.touch(i) for i in some],
        "point under a finger": [found for n in some[:2] if (found := hand.point(n, finger=True))],
    }
    page.context.close()
    return rows


def p95(values: list[float]) -> float:
    return sorted(values)[max(0, round(0.95 * len(values)) - 1)]


def told(samples: list[dict]) -> dict[str, float] | None:
    """Median and p95 of each kind of wait, and the rate."""
    if not any(s["ms"] for s in samples):
        return None
    out = {}
    for key in ("ms", "exact ms", "heard ms", "told ms"):
        waits = [v for s in samples for v in s[key]] or [float("nan")]
        out[f"{key}, median"], out[f"{key}, p95"] = statistics.median(waits), p95(waits)
    asked = [s["asked"] for s in samples if "asked" in s]
    out["asked"] = statistics.median(asked) if asked else float("nan")
    rates = [s["rate"] for s in samples if "rate" in s]
    out["rate"] = statistics.median(rates) if rates else float("nan")
    return out


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--garments", nargs="+", default=list(GARMENTS), choices=list(GARMENTS))
    parser.add_argument("--rounds", type=int, default=2)
    parser.add_argument("--short", action="store_true", help="two sliders a row, one round")
    args = parser.parse_args()
    print(
        f"{'':34}{'usual way':^26}{'board':^26}{'ratio':^16}{'asked':>8}"
        + f"{'exact':^16}{'heard':^16}{'told':^16}\n{'':34}"
        + f"{'median':>9}{'p95':>9}{'a s':>8}" * 2
        + f"{'median':>8}{'p95':>8}{'a s':>8}"
        + f"{'median':>8}{'p95':>8}" * 3
    )
    port = tools.free_port()
    with tools.Lab() as lab, tools.chromium(f"--remote-debugging-port={port}") as browser:
        for garment in args.garments:
            runs: dict[bool, dict[str, list[dict]]] = {True: {}, False: {}}
            for _ in range(1 if args.short else args.rounds):
                for usual in (True, False):
                    for row, samples in measure(
                        browser, port, lab, garment, usual=usual, short=args.short
                    ).items():
                        runs[usual].setdefault(row, []).extend(samples)
            for row, samples in runs[False].items():
                board = told(samples)
                usual_way = told(runs[True][row] or runs[True][AS[row]])
                if board and usual_way:
                    print(said(f"{garment}: {row}", usual_way, board), flush=True)
                lost = sum(not s["caught"] for s in samples)
                if lost:
                    print(f"{'':34}{lost} of {len(samples)} never showed the last value's exact picture")


def said(name: str, usual: dict[str, float], board: dict[str, float]) -> str:
    """One line of the table."""
    line = f"{name:34}"
    for way in (usual, board):
        line += f"{way['ms, median']:9.0f}{way['ms, p95']:9.0f}{way['rate']:8.1f}"
    for part in ("median", "p95"):
        line += f"{usual[f'ms, {part}'] / board[f'ms, {part}']:8.1f}"
    line += f"{board['asked']:8.1f}"
    for key in ("exact ms", "heard ms", "told ms"):
        line += f"{board[f'{key}, median']:8.0f}{board[f'{key}, p95']:8.0f}"
    return line


if __name__ == "__main__":
    main()

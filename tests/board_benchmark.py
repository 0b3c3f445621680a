"""How well the boards keep up with the hand, against `interact` drawing the same garment with matplotlib.

    python tests/board_benchmark.py [--garments pinafore apron smock] [--rounds 2] [--short]

Both ways run in one JupyterLab and one Chromium, in turn. A time runs from the event's own time stamp to the
frame that shows its value or a newer one; a picture is credited to the input that asked for its value, and
each value is asked for once in a row. 'asked': how many the hand asked for in a second. 'exact': drawn by
Python, where the page has first shown a picture blended from its neighbours. Ratios are what counts:
absolute times change from machine to machine, and differences below one frame (16.7 ms) mean nothing.
"""

from __future__ import annotations

import argparse
import statistics
import sys
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent.parent), str(Path(__file__).resolve().parent)]
import browser_tools as tools  # noqa: E402

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
PROBE = (Path(__file__).parent / "board_probe.js").read_text(encoding="utf-8")
QUIET = 3500
"""ms the hand stays away before a cold row."""


class Hand:
    """A hand on one notebook: `sample(index, act)` does something to a slider and gives what came of it."""

    def __init__(self, page, usual: bool) -> None:
        self.page, self.usual = page, usual
        self.touching = page.context.new_cdp_session(page)
        track = ".noUi-target" if usual else ".draft-board .db-row input[type=range]"
        self.tracks = page.locator(track)

    def place(self, index: int) -> tuple[float, float, float, float]:
        """(x of the thumb, y, px of the whole way, share of it) of a slider."""
        track = self.tracks.nth(index)
        box = track.bounding_box()
        if self.usual:
            grip = track.locator(".noUi-handle").bounding_box()
            x = grip["x"] + grip["width"] / 2
            share = (x - box["x"]) / box["width"]
            return x, box["y"] + box["height"] / 2, box["width"], share
        low, high, now = (float(track.evaluate(f"e => e.{name}")) for name in ("min", "max", "value"))
        share, way = (now - low) / (high - low), box["width"] - 16
        return box["x"] + 8 + way * share, box["y"] + box["height"] / 2, way, share

    def line(self, index: int, far: float, steps: int) -> list[tuple[float, float]]:
        """Places from the thumb along its slider, over `far` of the whole way, where there is room."""
        x, y, way, share = self.place(index)
        by = way * far * (1 if share + far < 0.97 else -1)
        return [(x + by * k / steps, y) for k in range(steps + 1)]

    def sample(self, index: int, act: Callable[[], None], *, quiet: int = QUIET) -> dict:
        if quiet:
            self.page.mouse.move(5, 5)
            self.page.evaluate("() => document.activeElement?.blur()")
            self.page.wait_for_timeout(quiet)
        self.page.evaluate("i => probe.begin(i)", index)
        act()
        caught = True
        try:
            self.page.wait_for_function("() => probe.caughtUp()", timeout=6000)
        except Exception:
            caught = False
        self.page.wait_for_timeout(60)
        data = self.page.evaluate("() => probe")
        self.page.mouse.up()
        return account(data) | {"caught": caught}

    def press(self, index: int, far: float = 0.12) -> dict:
        """Jump to a place on a slider that has not been touched."""
        *_, (x, y) = self.line(index, far, 1)

        def act():
            self.page.mouse.move(x, y)
            self.page.mouse.down()

        return self.sample(index, act)

    def press_after(self, index: int, other: int) -> dict:
        """Let go of one slider and press another at once."""
        (_, _), (x, y) = self.line(other, 0.1, 1)
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.wait_for_timeout(400)
        self.page.mouse.up()
        self.page.wait_for_timeout(120)
        *_, (px, py) = self.line(index, 0.12, 1)

        def act():
            self.page.mouse.move(px, py)
            self.page.mouse.down()

        return self.sample(index, act, quiet=0)

    def drag(self, index: int) -> dict:
        """Drag a slider that the hand has not rested on."""
        first, *rest = self.line(index, 0.35, 60)

        def act():
            self.page.mouse.move(*first)
            self.page.mouse.down()
            self.follow(rest)

        return self.sample(index, act)

    def follow(self, places) -> None:
        for x, y in places:
            self.page.mouse.move(x, y)
            self.page.wait_for_timeout(8)

    def touch(self, index: int) -> dict:
        """The same with a finger."""
        places = self.line(index, 0.35, 60)

        def act():
            for k, (x, y) in enumerate(places):
                kind = "touchMove" if k else "touchStart"
                points = [{"x": x, "y": y}]
                self.touching.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
                self.page.wait_for_timeout(8)

        out = self.sample(index, act)
        self.touching.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        return out

    def keys(self, index: int) -> dict:
        """Hold an arrow key for a second."""
        _, _, _, share = self.place(index)
        key = "ArrowRight" if share < 0.5 else "ArrowLeft"
        target = self.tracks.nth(index)
        target = target.locator(".noUi-handle") if self.usual else target

        def act():
            target.focus()
            for _ in range(30):
                self.page.keyboard.down(key)  # pressed again while down: the key repeats
                self.page.wait_for_timeout(25)
            self.page.keyboard.up(key)

        return self.sample(index, act)

    def point(self, number: int) -> dict | None:
        """Drag a point of the drawing."""
        points = self.page.locator(".draft-board .db-point")
        if self.usual or points.count() <= number:
            return None
        point = points.nth(number)
        index = self.tracks.evaluate_all("all => all.map((r) => r.dataset.value)").index(
            point.get_attribute("data-values").split()[0]
        )
        self.page.get_by_role("button", name="Put all values back").first.click()
        box = point.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

        def act():
            self.page.mouse.move(x, y)
            self.page.mouse.down()
            self.follow([(x - 0.2 * k, y + 0.25 * k) for k in range(1, 41)])

        return self.sample(index, act)


def account(data: dict) -> dict:
    """{'ms', 'exact ms'}: of each input; 'rate': pictures a second between the first input and the last."""
    inputs = data["inputs"]
    order = {round(value, 3): n for n, (value, _) in enumerate(inputs)}
    out: dict = {}
    for name, key in (("shown", "ms"), ("exact", "exact ms")):
        seen = [(order[round(v, 3)], at) for v, at in data[name] if round(v, 3) in order and at]
        waits = []
        for n, (_, stamp) in enumerate(inputs):
            later = [at for p, at in seen if p >= n and at >= stamp]
            if later:
                waits.append(min(later) - stamp)
        out[key] = waits
        if name == "shown" and len(inputs) > 4:
            first, last = inputs[0][1], inputs[-1][1]
            pictures = sum(1 for _, at in seen if first <= at <= last + 20)
            out["rate"] = pictures / (last - first) * 1000
            out["asked"] = len(inputs) / (last - first) * 1000
    return out


def measure(browser, lab, garment: str, *, usual: bool, short: bool) -> dict[str, list[dict]]:
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
    hand = Hand(page, usual)
    some = (1, 2) if short else (0, 1, 2, 3, 4)
    rows: dict[str, list[dict]] = {
        "cold press": [hand.press(i) for i in some],
        "unrested slider": [hand.drag(i) for i in some],
        "held key": [hand.keys(i) for i in some],
        "press just after rest": [hand.press_after(i, (i + 1) % len(names)) for i in some],
        "dragged point": [found for n in some[:2] if (found := hand.point(n))],
        "touch": [hand.touch(i) for i in some],
    }
    page.context.close()
    return rows


def p95(values: list[float]) -> float:
    return sorted(values)[max(0, round(0.95 * len(values)) - 1)]


def told(samples: list[dict]) -> dict[str, float] | None:
    """Median and p95 of the first picture and of the exact one, and the rate."""
    if not any(s["ms"] for s in samples):
        return None
    out = {}
    for key in ("ms", "exact ms"):
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
        f"{'':34}{'usual way':^26}{'board':^26}{'ratio':^16}{'asked':>8}{'exact picture':^16}\n{'':34}"
        + f"{'median':>9}{'p95':>9}{'a s':>8}" * 2
        + f"{'median':>8}{'p95':>8}{'a s':>8}{'median':>8}{'p95':>8}"
    )
    with tools.Lab() as lab, tools.chromium() as browser:
        for garment in args.garments:
            runs: dict[bool, dict[str, list[dict]]] = {True: {}, False: {}}
            for _ in range(1 if args.short else args.rounds):
                for usual in (True, False):
                    for row, samples in measure(browser, lab, garment, usual=usual, short=args.short).items():
                        runs[usual].setdefault(row, []).extend(samples)
            for row, samples in runs[False].items():
                board = told(samples)
                usual_way = told(runs[True][row] or runs[True]["unrested slider"])
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
    return line + f"{board['exact ms, median']:8.0f}{board['exact ms, p95']:8.0f}"


if __name__ == "__main__":
    main()

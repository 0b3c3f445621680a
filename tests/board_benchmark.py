"""How well a board keeps up with the hand, against `interact` drawing the same scene with matplotlib.

    python tests/board_benchmark.py [--rounds 3] [--scene module]

Both ways run in one JupyterLab and one Chromium, in turn, with real key presses and pointer drags. Times
are from the input event to the frame that shows its value (or a newer one). Ratios are what counts:
absolute times change from machine to machine, and differences below one frame (16.7 ms) mean nothing.
"""

from __future__ import annotations

import argparse
import statistics
import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent.parent), str(Path(__file__).resolve().parent)]
import browser_tools as tools  # noqa: E402

BOARD = """
import {scene} as scene
from patternlib.boards import Board
board = Board(scene.redraw, scene.SLIDERS, title="Panels", steps=getattr(scene, "steps", None))
board
"""
USUAL = """
%matplotlib inline
import matplotlib.pyplot as plt
from matplotlib_inline.config import InlineBackend
from ipywidgets import FloatSlider, interact
import {scene} as scene
from board_benchmark import matplotlib_draw
start = {{s.name: s.start for s in scene.SLIDERS}}
one = scene.SLIDERS[0]
@interact(value=FloatSlider(min=one.low, max=one.high, step=one.step, value=one.start, description=one.label))
def show(value):
    # the value travels in the PNG's own metadata, so that the page can tell which picture it got
    about = {{"Title": f"value={{value:.3f}};"}}
    InlineBackend.instance().print_figure_kwargs = {{"bbox_inches": "tight", "metadata": about}}
    matplotlib_draw(plt, scene.redraw({{**start, one.name: value}}))
"""

PROBE = (Path(__file__).parent / "board_probe.js").read_text(encoding="utf-8")


def matplotlib_draw(plt, picture) -> None:
    """Draw a picture the usual way: a new figure, a patch for every line, a text for every label."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as MplPath

    from patternlib.output.items import Handle, Stroke
    from patternlib.output.styles import LINES

    codes = {
        "M": [MplPath.MOVETO],
        "L": [MplPath.LINETO],
        "C": [MplPath.CURVE4] * 3,
        "Z": [MplPath.CLOSEPOLY],
    }
    x0, y0, x1, y1 = picture.scene.bounds
    _, axes = plt.subplots(figsize=(9, 5))
    for item in picture.scene.items:
        if isinstance(item, Handle):
            axes.plot([item.x], [item.y], "D", color="#8a3b12")
        elif isinstance(item, Stroke):
            points, kinds = [], []
            for op, *places in item.d:
                kinds += codes[op]
                points += list(zip(places[::2], places[1::2], strict=True)) or [(0, 0)]
            look = LINES[item.style]
            line = (0, [3 * d for d in look.dashes]) if look.dashes else "-"
            path = MplPath(points, kinds)
            axes.add_patch(PathPatch(path, fill=False, lw=3 * look.width, ls=line, color=look.colour))
        else:
            side = {"start": "left", "middle": "center", "end": "right"}[item.anchor]
            turn = {"rotation": item.angle, "rotation_mode": "anchor"}
            axes.text(item.x, item.y, item.text, fontsize=8, ha=side, **turn)
    axes.set(xlim=(x0, x1), ylim=(y0, y1), aspect="equal", title=picture.scene.title)
    axes.axis("off")
    plt.show()


def delays(inputs: list, shown: list) -> tuple[list[float], float, int]:
    """Return each input's delay (to a picture of it or a later one), the last one's lag, the pictures."""
    out, at = [], 0
    order = {}
    for place, (value, stamp) in enumerate(inputs):
        order.setdefault(round(value, 3), []).append((place, stamp))
    # every picture is matched with the latest input of its value that came before it
    seen = []
    for value, painted in shown:
        places = [p for p, stamp in order.get(round(value, 3), []) if stamp <= painted]
        if places and painted:
            seen.append((places[-1], painted))
    for place, (_, stamp) in enumerate(inputs):
        later = [painted for p, painted in seen[at:] if p >= place]
        if later:
            out.append(min(later) - stamp)
    last = [painted for p, painted in seen if p == len(inputs) - 1]
    lag = (last[0] - inputs[-1][1]) if last else float("nan")
    return out, lag, len(seen)


def measure(browser, lab, source: str, *, usual: bool) -> dict:
    """Press keys, then drag, in a fresh notebook; return the raw numbers."""
    page = tools.open_page(
        browser, lab.write("usual.ipynb" if usual else "board.ipynb", tools.notebook(source)), height=1000
    )
    got = [0]
    page.on(
        "websocket", lambda ws: ws.on("framereceived", lambda data: got.__setitem__(0, got[0] + len(data)))
    )
    page.reload()
    tools.wait_ready(page)
    tools.run_cell(page, 0)
    if usual:
        page.wait_for_selector(".jupyter-widgets img", timeout=60_000)
        handle, track = page.locator(".noUi-handle").first, page.locator(".noUi-target").first
    else:
        board = tools.wait_board(page).first
        handle = track = board.locator(".db-row input[type=range]").first
    page.wait_for_timeout(1000)
    page.evaluate(PROBE)
    handle.scroll_into_view_if_needed()
    out = {}
    page.mouse.move(5, 5)
    before = got[0]
    handle.focus()
    page.wait_for_timeout(1200)
    for i in range(30):
        page.keyboard.press("ArrowRight" if i < 15 else "ArrowLeft")
        page.wait_for_function(CAUGHT_UP, timeout=20_000)  # each key starts from rest
        page.wait_for_timeout(120)
    page.wait_for_timeout(1000)
    data = page.evaluate("() => probe")
    out["keys"], _, _ = delays(data["inputs"], data["shown"])
    out["key bytes"] = (got[0] - before) / max(1, len(data["inputs"]))
    box = track.bounding_box()
    y = box["y"] + box["height"] / 2
    grip = handle.bounding_box()
    if usual:
        start = grip["x"] + grip["width"] / 2
    else:
        low, high, value = (
            float(handle.get_attribute("min")),
            float(handle.get_attribute("max")),
            float(handle.input_value()),
        )
        start = box["x"] + 8 + (box["width"] - 16) * (value - low) / (high - low)
    page.mouse.move(start, y)
    page.wait_for_timeout(300)
    reach = 0.42 * box["width"]
    out |= drag(page, got, [(start + part * reach, y) for part in PATH])
    if not usual:
        # the same way on a slider that the hand has not rested on, and on a point of the drawing
        other = board.locator(".db-row input[type=range]").nth(1)
        box = other.bounding_box()
        low, high, value = (
            float(other.get_attribute("min")),
            float(other.get_attribute("max")),
            float(other.input_value()),
        )
        x, y = box["x"] + 8 + (box["width"] - 16) * (value - low) / (high - low), box["y"] + box["height"] / 2
        cold = drag(page, got, [(x + part * 0.3 * box["width"], y) for part in PATH], index=1)
        out |= {f"cold {name}": what for name, what in cold.items()}
        point = board.locator(".db-point").first
        names = board.locator(".db-row input[type=range]").evaluate_all(
            "all => all.map(r => r.dataset.value)"
        )
        index = names.index(point.get_attribute("data-values").split()[0])
        place = point.bounding_box()
        x, y = place["x"] + place["width"] / 2, place["y"] + place["height"] / 2
        page.mouse.move(x, y)
        page.wait_for_timeout(400)
        moved = drag(page, got, [(x + part * 25, y + part * 12) for part in PATH], index=index)
        out |= {f"point {name}": what for name, what in moved.items()}
    page.context.close()
    return out


CAUGHT_UP = """() => {
  const wanted = probe.inputs.at(-1), got = probe.shown.at(-1);
  return wanted && got && Math.abs(wanted[0] - got[0]) < 1e-3;
}"""
"""The picture of the last value is there."""

PATH = [leg if leg <= 1 else 2 - leg if leg <= 3 else leg - 4 for leg in ((i + 1) / 24 for i in range(96))]
"""There and back: the parts of a drag's reach, one a step of the pointer."""


def drag(page, got: list[int], places: list[tuple[float, float]], *, index: int = 0) -> dict:
    """Press where the hand is, follow the places, hold still until the picture is there, let go."""
    page.evaluate(
        "i => { probe.index = i; probe.inputs.length = 0; probe.shown.length = 0; probe.blanks = 0; }", index
    )
    before = got[0]
    page.mouse.move(*places[0])
    page.mouse.down()
    for x, y in places:
        page.mouse.move(x, y)
        page.wait_for_timeout(4)
    page.wait_for_timeout(2500)
    data = page.evaluate("() => probe")
    page.mouse.up()
    page.wait_for_timeout(500)
    inputs, shown = data["inputs"], data["shown"]
    found, lag, _ = delays(inputs, shown)
    seconds = (inputs[-1][1] - inputs[0][1]) / 1000
    during = sum(1 for _, painted in shown if inputs[0][1] <= painted <= inputs[-1][1])
    rates = {
        "rate": [during / seconds],
        "blanks": data["blanks"],
        "drag bytes": (got[0] - before) / len(inputs),
    }
    return {"drag": found, "lag": [lag], **rates}


def p95(values: list[float]) -> float:
    return sorted(values)[max(0, round(0.95 * len(values)) - 1)]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--scene", default="board_scene", help="module with redraw and SLIDERS")
    args = parser.parse_args()
    ways: dict[str, list[dict]] = {"board": [], "usual": []}
    with tools.Lab() as lab:
        for _ in range(args.rounds):
            for way, source in (("usual", USUAL), ("board", BOARD)):
                with tools.chromium() as browser:
                    ways[way].append(
                        measure(browser, lab, source.format(scene=args.scene), usual=way == "usual")
                    )
    table, extra = {}, {}
    for way, runs in ways.items():
        names = [name for name, what in runs[0].items() if isinstance(what, list)]
        joined = {name: [v for run in runs for v in run[name]] for name in names}
        table[way] = {
            "key step, median ms": statistics.median(joined["keys"]),
            "key step, p95 ms": p95(joined["keys"]),
            "drag, median ms": statistics.median(joined["drag"]),
            "drag, p95 ms": p95(joined["drag"]),
            "lag after the drag, median ms": statistics.median(joined["lag"]),
            "pictures a second while dragging": statistics.median(joined["rate"]),
            "kB a key step": statistics.median(run["key bytes"] for run in runs) / 1000,
            "kB a drag step": statistics.median(run["drag bytes"] for run in runs) / 1000,
            "frames without a picture": sum(run["blanks"] for run in runs),
        }
        if way == "board":
            for kind, words in (("cold", "slider not rested on"), ("point", "point of the drawing")):
                for what, value in (
                    ("median ms", statistics.median(joined[f"{kind} drag"])),
                    ("p95 ms", p95(joined[f"{kind} drag"])),
                    ("lag, median ms", statistics.median(joined[f"{kind} lag"])),
                    ("pictures a second", statistics.median(joined[f"{kind} rate"])),
                ):
                    extra[f"{words}: {what}"] = value
    print(f"{'':36}{'usual':>10}{'board':>10}{'ratio':>8}")
    for name, usual in table["usual"].items():
        board = table["board"][name]
        over, under = (board, usual) if "a second" in name else (usual, board)
        ratio = over / under if under else float("inf")
        print(f"{name:36}{usual:10.1f}{board:10.1f}{ratio:8.1f}")
    print("\nOnly the board has these:")
    for name, value in extra.items():
        print(f"{name:46}{value:10.1f}")


if __name__ == "__main__":
    main()

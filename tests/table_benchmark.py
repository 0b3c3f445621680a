"""How well the drafting table keeps up with the hand, against `interact` drawing the same with matplotlib.

    python tests/table_benchmark.py [--rounds 3]

Both ways run in one JupyterLab and one Chromium, in turn: a point is pulled along 120 places, and a measure
is typed digit by digit. A time runs from the event's own time stamp to the frame that shows its value or a
newer one. Ratios are what counts; differences below one frame (16.7 ms) mean nothing. Last, steps are taken
while the kernel is busy for ten seconds.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent.parent), str(Path(__file__).resolve().parent)]
import browser_tools as tools  # noqa: E402
from board_benchmark import p95  # noqa: E402
from table_tools import CELL, Table, open_table  # noqa: E402

USUAL = """
%matplotlib inline
import matplotlib.pyplot as plt
import table_usual
from ipywidgets import {widget}, interact
@interact(across={widget}({options}))
def show(across):
    table_usual.draw(plt, across)
"""
SLIDER = {"widget": "FloatSlider", "options": "min=5, max=60, step=0.1, value=20"}
FIELD = {"widget": "FloatText", "options": "value=20, continuous_update=True"}
NUMBERS = ("13.4", "24.6", "15.7", "26.8", "17.9", "28.3", "19.2", "21.1")
PLACES = 120
PROBE = """() => {
  const probe = { inputs: [], shown: [] };
  window.probe = probe;
  const table = document.querySelector(".draft-table");
  const mark = () => table.querySelector(".dt-pencilmark")?.getAttribute("d") ?? null;
  const handle = document.querySelector(".noUi-handle"), field = document.querySelector(".widget-text input");
  const number = () => Number(handle ? handle.getAttribute("aria-valuetext") : field.value) || null;
  const asked = table ? mark : number;
  let png = "", value = null;
  const drawn = table ? mark : () => {
    const img = document.querySelector(".jupyter-widgets img");
    if (img && img.src !== png) {
      png = img.src;
      const found = atob(img.src.split(",")[1].slice(0, 1200)).match(/value=([0-9.-]+);/);
      value = found ? Number(found[1]) : null;
    }
    return img?.complete && img.naturalWidth ? value : null;
  };
  let last = asked(), stamp = 0, before = drawn();
  const note = () => {
    const now = asked();
    if (now === null || now === last) return;
    last = now;
    probe.inputs.push([now, stamp]);
  };
  for (const kind of ["pointermove", "mousemove", "keydown"]) {
    window.addEventListener(kind, (e) => { stamp = e.timeStamp; }, { capture: true, passive: true });
  }
  for (const kind of ["pointermove", "input"]) window.addEventListener(kind, note, { passive: true });
  if (handle) new MutationObserver(note).observe(handle, { attributeFilter: ["aria-valuetext"] });
  const frame = () => {
    const now = drawn();
    if (now !== null && now !== before) {
      before = now;
      const entry = [now, 0], channel = new MessageChannel(); // after this frame has been painted
      channel.port1.onmessage = () => { entry[1] = performance.now(); };
      channel.port2.postMessage(0);
      probe.shown.push(entry);
    }
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
}"""
CAUGHT_UP = (
    "() => { const [a, b] = [probe.inputs.at(-1), probe.shown.at(-1)]; return a && b && a[0] === b[0]; }"
)


def account(data: dict) -> dict:
    """{'ms'}: of each input, till its value or a newer one was seen; 'rate': pictures a second meanwhile."""
    inputs, shown = data["inputs"], [(value, at) for value, at in data["shown"] if at]
    waits = []
    for n, (_, stamp) in enumerate(inputs):
        newer = {value for value, _ in inputs[n:]}
        seen = [at for value, at in shown if at >= stamp and value in newer]
        if seen:
            waits.append(min(seen) - stamp)
    first, last = inputs[0][1], inputs[-1][1]
    pictures = sum(first <= at <= last + 20 for _, at in shown)
    return {"ms": waits, "rate": pictures / (last - first) * 1000, "lost": len(inputs) - len(waits)}


def sample(page, act: Callable[[], None]) -> dict:
    page.evaluate("() => { probe.inputs.length = probe.shown.length = 0; }")
    act()
    page.wait_for_function(CAUGHT_UP, timeout=30_000)
    page.wait_for_timeout(60)
    return account(page.evaluate("() => probe"))


def pulled(page, x: float, y: float, way: float) -> Callable[[], None]:
    """Press at a place and pull along `way` px in 120 moves, as fast as they are sent."""

    def act() -> None:
        page.mouse.move(x, y)
        page.mouse.down()
        for k in range(1, PLACES + 1):
            page.mouse.move(x + way * k / PLACES, y)
        page.wait_for_timeout(100)

    return act


def typed(page) -> Callable[[], None]:
    """Type one measure after the other over the one that stands there."""

    def act() -> None:
        for number in NUMBERS:
            page.keyboard.press("Control+a")
            for digit in number:
                page.keyboard.type(digit)
                page.wait_for_timeout(90)

    return act


def on_the_table(lab, browser, turn: int) -> dict[str, dict]:
    table = open_table(lab, browser, "02a", student=f"pace {turn}")
    page = table.page
    table.reach()
    table.type("go", "waist at", "down", "waist to hip")
    table.settle()
    x, y = table.spot("centre back hip")
    page.evaluate(PROBE)
    rows = {"pulled point": sample(page, pulled(page, x, y, 220))}
    page.mouse.up()
    table.root.locator("[data-place=measure]").focus()
    rows["typed digit"] = sample(page, typed(page))
    page.context.close()
    return rows


def the_usual_way(lab, browser, turn: int) -> dict[str, dict]:
    rows = {}
    for row, widget in (("pulled point", SLIDER), ("typed digit", FIELD)):
        url = lab.write(f"usual {row} {turn}.ipynb", tools.notebook(USUAL.format(**widget)))
        page = tools.open_page(browser, url, height=1000)
        tools.run_cell(page, 0)
        page.wait_for_selector(".jupyter-widgets img", timeout=60_000)
        page.wait_for_timeout(500)
        page.evaluate(PROBE)
        if row == "pulled point":
            grip = page.locator(".noUi-handle").bounding_box()
            act = pulled(page, grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2, 160)
        else:
            page.locator(".widget-text input").focus()
            act = typed(page)
        rows[row] = sample(page, act)
        page.context.close()
    return rows


def while_busy(lab, browser) -> str:
    """Draw the frame of the skirt while a cell sleeps for ten seconds."""
    cells = (CELL.format(id="02a", student="busy"), "import time\ntime.sleep(10)")
    page = tools.open_page(browser, lab.write("busy.ipynb", tools.notebook(*cells)), height=1000)
    tools.run_cell(page, 0)
    page.wait_for_selector(".draft-table .dt-field", timeout=30_000)
    page.locator(".jp-CodeCell").nth(1).locator(".cm-content").click()
    page.keyboard.press("Control+Enter")
    table = Table(page, lab, "busy.ipynb")
    table.root.locator("[data-place=verb]").focus()
    for step in (
        ("go", "waist at", "down", "waist to hip"),
        ("go", "waist at", "down", "skirt length"),
        ("go", "centre back hip", "right", "hip girth / 4 + hip ease / 4"),
        ("go", "side hip", "right", "hip girth / 4 + hip ease / 4"),
    ):
        table.type(*step)
    taken, busy = table.count(), table.root.get_attribute("data-answered") == "false"
    x, y = table.spot("centre back hem")
    page.evaluate(PROBE)
    pull = sample(page, pulled(page, x, y, 180))
    page.mouse.up()
    still = table.root.get_attribute("data-answered") == "false"
    page.wait_for_selector('.draft-table[data-answered="true"]', timeout=30_000)
    kept = len(json.loads((lab.folder / "drafts" / "02a busy.json").read_text())["steps"])
    page.context.close()
    return (
        f"kernel busy for 10 s ({'yes' if busy and still else 'not all the time'}): {taken} steps taken, "
        f"{kept} kept; a pulled point meanwhile {statistics.median(pull['ms']):.0f} ms (p95 "
        f"{p95(pull['ms']):.0f}), {pull['rate']:.0f} pictures a second, {pull['lost']} lost"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=3)
    rounds = parser.parse_args().rounds
    runs: dict[str, dict[str, list[dict]]] = {}
    with tools.Lab() as lab, tools.chromium() as browser:
        for turn in range(rounds):
            for way, run in (("usual", the_usual_way), ("table", on_the_table)):
                for row, found in run(lab, browser, turn).items():
                    runs.setdefault(row, {}).setdefault(way, []).append(found)
        busy = while_busy(lab, browser)
    heads = (("", 16), ("usual way: median", 18), ("p95", 7), ("a s", 7), ("table: median", 16), ("p95", 7))
    print("".join(f"{head:>{wide}}" for head, wide in (*heads, ("a s", 7), ("ratio", 9), ("p95", 7))))
    for row, ways in runs.items():
        line, medians = f"{row:16}", {}
        for way, wide in (("usual", 18), ("table", 16)):
            waits = [ms for found in ways[way] for ms in found["ms"]]
            medians[way] = statistics.median(waits), p95(waits)
            rate = statistics.median(found["rate"] for found in ways[way])
            line += f"{medians[way][0]:{wide}.0f}{medians[way][1]:7.0f}{rate:7.1f}"
        (usual, usual95), (table, table95) = medians["usual"], medians["table"]
        print(f"{line}{usual / table:9.1f}{usual95 / table95:7.1f}")
    print(busy)


if __name__ == "__main__":
    main()

"""The hand of the boards' benchmark: it presses, drags, holds a key and touches, and notes what came of it.

It moves at a steady pace (`PACE` events a second) and does not wait for the browser, as a real hand does not:
the events go through a connection of their own, and what the browser cannot take at once it puts together.
"""

from __future__ import annotations

import json
import time
import urllib.request
from collections.abc import Callable, Iterable

import websocket

PACE = 60
"""Events a second."""

EVENTS = 120
"""Events of one drag: two seconds."""

QUIET = 3500
"""ms the hand stays away before a cold row."""

SHARE = 0.35
"""Of the way of a slider: how far the hand goes along it, there and back."""

LEAST = 2.0
"""px the hand moves with each event at least."""

Place = tuple[float, float]


class Wire:
    """A connection to one page that sends events and waits for no answer."""

    def __init__(self, port: int, address: str) -> None:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/json/list") as answer:
            pages = [one for one in json.load(answer) if one["type"] == "page" and one["url"] == address]
        self.socket = websocket.create_connection(pages[0]["webSocketDebuggerUrl"], suppress_origin=True)
        self.sent = 0

    def send(self, method: str, **what) -> None:
        self.sent += 1
        self.socket.send(json.dumps({"id": self.sent, "method": method, "params": what}))

    def finish(self) -> None:
        """Wait until the browser has taken everything."""
        while json.loads(self.socket.recv()).get("id") != self.sent:
            pass

    def mouse(self, kind: str, place: Place) -> None:
        x, y = place
        self.send("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", buttons=1, clickCount=1)

    def finger(self, kind: str, place: Place | None) -> None:
        points = [{"x": place[0], "y": place[1]}] if place else []
        self.send("Input.dispatchTouchEvent", type=kind, touchPoints=points)

    def go(self, places: Iterable[Place], step: Callable[[Place], None]) -> None:
        """One event at each place, at a steady pace."""
        due = time.perf_counter()
        for place in places:
            step(place)
            due += 1 / PACE
            time.sleep(max(0.0, due - time.perf_counter()))


def there_and_back(count: int, most: int) -> list[int]:
    """1, 2, ... most, most - 1, ... 0, 1, ...: `count` numbers, each one apart from the one before.

    >>> there_and_back(7, 3)
    [1, 2, 3, 2, 1, 0, 1]
    """
    return [most - abs(k % (2 * most) - most) for k in range(1, count + 1)]


class Hand:
    """A hand on one notebook: `sample(index, act)` does something to a slider and gives what came of it.

    steps: the number of steps of each slider; usual: whether the page is that of the usual way.
    """

    def __init__(self, page, wire: Wire, steps: list[int], *, usual: bool) -> None:
        self.page, self.wire, self.steps, self.usual = page, wire, steps, usual
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

    def at(self, index: int, far: float) -> Place:
        """The place `far` of the whole way from the thumb, where there is room."""
        x, y, way, share = self.place(index)
        return x + way * far * (1 if share + far < 0.97 else -1), y

    def line(self, index: int) -> list[Place]:
        """The thumb, and places there and back along its slider, each at another of its steps."""
        x, y, way, share = self.place(index)
        by = max(way / self.steps[index], LEAST) * (1 if share + SHARE < 0.97 else -1)
        most = max(2, int(SHARE * way / abs(by)))
        return [(x, y), *((x + by * k, y) for k in there_and_back(EVENTS, most))]

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

    def press(self, index: int) -> dict:
        """Jump to a place on a slider that has not been touched."""
        x, y = self.at(index, 0.12)

        def act():
            self.page.mouse.move(x, y)
            self.page.mouse.down()

        return self.sample(index, act)

    def press_after(self, index: int, other: int) -> dict:
        """Let go of one slider and press another at once."""
        self.page.mouse.move(*self.at(other, 0.1))
        self.page.mouse.down()
        self.page.wait_for_timeout(400)
        self.page.mouse.up()
        self.page.wait_for_timeout(120)
        x, y = self.at(index, 0.12)

        def act():
            self.page.mouse.move(x, y)
            self.page.mouse.down()

        return self.sample(index, act, quiet=0)

    def drag(self, index: int) -> dict:
        """Drag a slider that the hand has not rested on."""
        places = self.line(index)
        return self.sample(index, lambda: self.pull(places))

    def touch(self, index: int) -> dict:
        """The same with a finger."""
        places = self.line(index)
        out = self.sample(index, lambda: self.pull(places, finger=True))
        self.wire.finger("touchEnd", None)
        self.wire.finish()
        return out

    def pull(self, places: list[Place], *, finger: bool = False) -> None:
        first, *rest = places
        if finger:
            self.wire.finger("touchStart", first)
            self.wire.go(rest, lambda place: self.wire.finger("touchMove", place))
        else:
            self.page.mouse.move(*first)
            self.page.mouse.down()
            self.wire.go(rest, lambda place: self.wire.mouse("mouseMoved", place))
        self.wire.finish()

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

    def point(self, number: int, *, finger: bool = False) -> dict | None:
        """Drag a point of the drawing, there and back."""
        points = self.page.locator(".draft-board .db-point")
        if self.usual or points.count() <= number:
            return None
        self.page.get_by_role("button", name="Put all values back").first.click()
        self.page.wait_for_timeout(1500)  # the pieces are laid out again
        point = points.nth(number)
        index = self.tracks.evaluate_all("all => all.map((r) => r.dataset.value)").index(
            point.get_attribute("data-values").split()[0]
        )
        box = point.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        places = [(x - 1.2 * (k - 5), y + 1.6 * (k - 5)) for k in there_and_back(EVENTS, 10)]
        out = self.sample(index, lambda: self.pull([(x, y), *places], finger=finger))
        if finger:
            self.wire.finger("touchEnd", None)
            self.wire.finish()
        return out


def account(data: dict) -> dict:
    """Waits of each input, ms, and 'rate', 'asked': pictures and inputs a second, first to last input.

    'ms': from the event's stamp to the painted picture; 'heard ms': from when the page heard of the event;
    'told ms': from the stamp until a message of the frame arrived, as all tables before this one had it;
    'exact ms': to the painted picture of Python. A picture belongs to the last input before it that asked
    for its value; the inputs before that one are answered by it too.
    """
    inputs = data["inputs"]
    out: dict = {}
    for name, key, then, begun in (
        ("shown", "ms", 1, 1),
        ("shown", "heard ms", 1, 2),
        ("shown", "told ms", 2, 1),
        ("exact", "exact ms", 1, 1),
    ):
        seen = []
        for entry in data[name]:
            asked = [
                n for n, (v, stamp, _) in enumerate(inputs) if same(v, entry[0]) and stamp <= entry[then]
            ]
            if asked:
                seen.append((asked[-1], entry[then]))
        out[key] = []
        for n, one in enumerate(inputs):
            later = [at for p, at in seen if p >= n and at >= one[1]]
            if later:
                out[key].append(max(0.0, min(later) - one[begun]))
        if key == "ms" and len(inputs) > 4:
            first, last = inputs[0][1], inputs[-1][1]
            pictures = sum(1 for _, at in seen if first <= at <= last + 20)
            out["rate"] = pictures / (last - first) * 1000
            out["asked"] = len(inputs) / (last - first) * 1000
    return out


def same(a: float, b: float) -> bool:
    return abs(a - b) < 1e-3

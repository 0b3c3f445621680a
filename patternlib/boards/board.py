"""The live drafting board: sliders, a sheet, findings. Python draws, the page shows and keeps.

The state of a board is in its traits: `values`, `step`, `unit`, `hidden`, `error` and the last whole
`picture`. While the hand moves, the page asks for pictures by message and gets differences against the last
whole picture; when the hand lets go it says so, and values and whole picture follow. The page asks for the
still picture once the hand has been away for a while.
"""

from __future__ import annotations

import inspect
import time
import uuid
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from ..errors import PatternError, ValueAtFault, unknown
from ..garments.leading import without_advice
from ..notebook import from_page
from ..output.items import Handle, item_box, join_boxes
from ..output.lettering.taken import PX_TEXT
from ..output.scene import Scene
from ..output.styles import LETTERINGS, LINES
from ..output.svg import as_svg
from . import memory
from .page_code import board_css, join_page
from .picture import GHOST, OUTLINES, BoardStep, Packer, Picture, StillPicture, difference, start_beside
from .refusal import refusal_text, said_on_board
from .slider import Slider

AHEAD_SECONDS = 0.03
"""Longest time the kernel works ahead before it looks for a newer wish of the hand."""

AWAY_SECONDS = 0.1
"""The same while the hand is away from the board: fewer messages, so all sliders are ready sooner."""

LARGEST = 13.0
"""px: lettering on a board is no larger, however wide the page or near the drawing."""

LAYERS = {
    GHOST: "Finished draft, faint",
    "blocks": "Blocks underneath",
    "plan": "Plan",
    "seam lines": "Seam lines",
    "cut lines": "Cut lines",
    "marks": "Folds, grain, notches",
    "measures": "Measures",
    "labels": "Labels",
    "start": "Start, dotted, and what differs",
}


KEY = {
    "Pieces": ("cut", "seam", "fold", "grain", "notch", "hole", "placement", "buttonhole"),
    "Plan": ("style line", "block", "construct", "measure"),
    "Sewn and worn": ("contour", "sewn", "stitching", "sewing", "walked", "shade"),
    "Beside the drawing": ("target", "own", "grid"),
}
"""Lines of the key by what they belong to."""


class Board(anywidget.AnyWidget):
    """A drawing that follows its sliders.

    redraw: pure function from a dict of values (cm, degrees) to a Picture; a PatternError it raises is shown
    as a sentence and the last good picture stays. sliders: in the order in which they are listed. title: the
    heading. steps: pure function from the values to the steps of the draft (BoardStep), or None for a board
    without a step slider. If redraw or steps takes a keyword `unit`, it is given 'cm' or 'in' for the
    measures that it writes; with a keyword `checked` it is told whether findings are asked for: they are not
    while the hand moves. named: values without a slider that a refusal may name, as the sliders that they
    would have. notes: lines of findings that are seen without scrolling. Raises the PatternError of the start
    values, if they cannot be drawn, as a sentence on the board, not as an exception.
    """

    _esm = join_page(Path(__file__).with_name("page") / "board.js")
    _css = board_css()

    setup = traitlets.Dict().tag(sync=True)
    values = traitlets.Dict().tag(sync=True, echo_update=False)
    step = traitlets.Int(0).tag(sync=True, echo_update=False)
    unit = traitlets.Enum(["cm", "in"], "cm").tag(sync=True, echo_update=False)
    hidden = traitlets.List(traitlets.Unicode()).tag(sync=True, echo_update=False)
    error = traitlets.Unicode("")
    picture = traitlets.Dict().tag(sync=True)

    def __init__(
        self,
        redraw: Callable[..., Picture],
        sliders: Sequence[Slider],
        *,
        title: str,
        steps: Callable[..., Sequence[BoardStep]] | None = None,
        unit: str = "cm",
        hidden: Sequence[str] = (),
        named: Sequence[Slider] = (),
        notes: int = 3,
    ) -> None:
        self._redraw = self._as_shown(redraw)
        self._steps = steps and self._as_shown(steps)
        self._sliders = {s.name: s for s in sliders}
        self._named_too = {s.name: s for s in named}
        self._cell = memory.cell_id()
        self._packer = Packer()
        self._whole = 0
        self._places: Mapping[str, tuple[float, float]] = {}  # of the pieces in the last whole picture
        self._held: Mapping[str, tuple[float, float]] = {}  # where pieces are to stay in the next one
        self._moving = False  # the hand moves: findings and advice come when it rests
        self._layout = 0  # a number for `_places`
        self._drawn: tuple[Any, Picture] | None = None
        self._shown: Scene | None = None
        self._stepped: tuple[Any, Sequence[BoardStep]] | None = None
        self._asker = ""
        self._has_page = False
        self._stills: list[Any] = []
        self._start = {s.name: float(s.start) for s in sliders}
        left = memory.found(self._cell, title, self._start)
        self._by_hand = bool(left)
        super().__init__(
            setup={
                "id": uuid.uuid4().hex,
                "title": title,
                "back": bool(left) and left["values"] != self._start,
                "trail": memory.trail(left.get("trail"), len(sliders)),
                "sliders": [s.packed() for s in sliders],
                "lines": {style: look.words for style, look in LINES.items()},
                "groups": [[title, list(styles)] for title, styles in KEY.items()],
                "outlines": list(OUTLINES),
                "bold": [style for style, look in LETTERINGS.items() if look.bold],
                "textSizes": [PX_TEXT[0], LARGEST],
                "layers": LAYERS,
                "steps": steps is not None,
                "notes": notes,
                "rested": "checked" in inspect.signature(redraw).parameters,
            },
            unit=unit,
            hidden=list(hidden),
        )
        self.on_msg(from_page(self._hear))
        self.observe(self._follow, ["values", "step", "unit"])
        self.observe(self._renew_still, ["hidden"])
        self._begin(left)

    def _begin(self, left: Mapping[str, Any]) -> None:
        """Draw the values that were left on this board before; its start, where they cannot be drawn now."""
        if left:
            try:
                self.draw(left["values"])
            except Exception:
                self.setup = {**self.setup, "back": False, "trail": {}}
            else:
                self.unit = left["unit"]
                self.values = left["values"]
                return
        self.values = self._start

    # --- values set from Python -------------------------------------------------------------------------

    @traitlets.validate("values")
    def _check_values(self, proposal: Any) -> dict[str, float]:
        given = dict(proposal["value"])
        for name in given:
            if name not in self._sliders:
                raise unknown("style value", name, self._sliders)
        now = {**{n: s.start for n, s in self._sliders.items()}, **self.values, **given}
        return {name: s.accept(now[name]) for name, s in self._sliders.items()}

    def _follow(self, change: Any) -> None:
        """Draw the values or the step that Python has just set, or the measures in the other unit."""
        if not self._asker:
            # a change of unit leaves the values to the hand, which may have moved on
            self._show_whole(self.values, self.step, by="unit" if change["name"] == "unit" else "")

    def slider(self, name: str) -> Slider:
        """The slider of a style value."""
        if name not in self._sliders:
            raise unknown("slider of this board", name, self._sliders)
        return self._sliders[name]

    # --- drawing ----------------------------------------------------------------------------------------

    def draw(self, values: Mapping[str, float] | None = None) -> Picture:
        """Return the picture of the values (the board's own where left out); raises PatternError."""
        wanted = {**self.values, **(values or {})}
        for name in wanted:
            if name not in self._sliders:
                raise unknown("style value", name, self._sliders)
        values = {name: s.accept(wanted[name]) for name, s in self._sliders.items()}
        return self._redraw(values)

    def _as_shown(self, function: Callable) -> Callable[[dict[str, float]], Any]:
        """The function, given what it takes of: unit, places where pieces are to stay, whether to check."""
        known = {
            "unit": lambda: self.unit,
            "places": lambda: self._held,
            "checked": lambda: not self._moving,
        }
        taken = {name: known[name] for name in known if name in inspect.signature(function).parameters}
        return lambda values: function(values, **{name: give() for name, give in taken.items()})

    def _picture(self, values: Mapping[str, float]) -> Picture:
        """Return the picture of the values; the last one is kept for the next who asks."""
        key = (*values.items(), self.unit, self._moving, self._layout if self._held else None)
        if self._drawn is None or self._drawn[0] != key:
            self._drawn = key, self.draw(values)
        return self._drawn[1]

    def _scene(self, values: Mapping[str, float], step: int) -> Scene:
        """Return the drawing after `step` steps; 0 is the finished drawing."""
        scene = self._picture(values).scene
        if not step:
            return scene
        steps = self._steps_of(values)
        done, later = steps[:step], steps[step:]
        items: tuple[Any, ...] = tuple(line for one in later for line in one.ghost)
        items += tuple(item for one in done[:-1] for item in one.items)
        items += done[-1].newest() if done else ()
        box = join_boxes(item_box(item) for one in steps for item in one.items)
        return Scene(items, scene.title, box)

    def _packed(self, values: Mapping[str, float], step: int) -> dict[str, Any]:
        """Return the packed picture of the values after `step` steps."""
        picture, scene = self._picture(values), self._scene(values, step)
        if not step:
            return {**self._packer.pack(picture, self._worded), "step": [0, "", []]}
        packed = self._packer.pack(Picture(scene))
        upto = self._steps_of(values)[:step]
        count = len(upto[-1].newest()) if upto else 0
        latest = list(packed["items"])[-count:] if count else []
        return {**packed, "step": [len(upto), upto[-1].text if upto else "", latest]}

    def _steps_of(self, values: Mapping[str, float]) -> Sequence[BoardStep]:
        if self._steps is None:
            return ()
        key = (*values.items(), self.unit)
        if self._stepped is None or self._stepped[0] != key:
            self._stepped = key, tuple(self._steps(dict(values)))
        return self._stepped[1]

    def _differ(self, values: Mapping[str, float], step: int) -> dict[str, Any]:
        """Return what the page needs to show the values: a difference, or the sentence of the refusal.

        The hand may be moving, so the pieces stay where the last whole picture has them.
        """
        self._held, self._moving = self._places, True
        try:
            with without_advice():
                return difference(self.picture.get("all", EMPTY), self._packed(values, step))
        except Exception as fault:
            return {"error": self._sentence(fault)}
        finally:
            self._held, self._moving = {}, False

    def _show_whole(self, values: Mapping[str, float], step: int, *, by: str) -> None:
        """Send the whole picture to the page and renew the still; by: who asked, '' for Python, 'unit'."""
        try:
            places = self._picture(values).scene.places
            whole = {**self._packed(values, step), "count": len(self._steps_of(values))}
            whole |= self._beside(values, step, places)
            self._shown = self._scene(values, step)
        except Exception as fault:
            self.error = self._sentence(fault)
            self.picture = {**self.picture, "n": self._whole, "by": by, "error": self.error}
            return
        self._whole += 1
        self._layout += places != self._places
        self._places = places
        self.error = ""
        self.picture = {"n": self._whole, "by": by, "error": "", "all": {**whole, "layout": self._layout}}
        self._renew_still(now=by in ("", "unit"))

    def _beside(
        self, values: Mapping[str, float], step: int, places: Mapping[str, tuple[float, float]]
    ) -> dict[str, Any]:
        """What the drawing looked like at the start, its pieces on the same places, if that is another.

        What is chosen in words stays chosen: beside a lay on narrow cloth one on wide cloth says nothing.
        """
        start = {name: values[name] if s.choices else s.start for name, s in self._sliders.items()}
        if step or dict(values) == start:
            return {}
        self._held, self._moving = places, True
        try:
            return {"start": start_beside(self._packer.pack(self._redraw(start)))}
        except Exception:  # a start that cannot be drawn is said elsewhere
            return {}
        finally:
            self._held, self._moving = {}, False

    def _renew_still(self, _change: Any = None, *, now: bool = True) -> None:
        # without a page nobody has moved anything, and a run without one must give the same outputs each time
        if self._has_page:
            memory.leave(self._cell, self._state())
            for still in self._stills if now else ():  # the page asks later: it would hold up the next press
                still.update(self._still_picture(), metadata=self._metadata())

    def _state(self) -> dict[str, Any]:
        # what a cell sets is set again when the cell is run: it is nothing that a reader has left here
        values = self.values if self._by_hand else self._start
        return memory.state(self.setup["title"], self._start, values, self.unit, self.setup["trail"])

    def _metadata(self) -> dict[str, Any]:
        return {memory.TAG: self._state()}

    def _worded(self, text: str) -> str:
        return said_on_board(text, {**self._named_too, **self._sliders}, self.unit)

    def _sentence(self, fault: Exception) -> str:
        """Return a refusal's own words; a fault of the drawing code is logged and put into plain words."""
        if isinstance(fault, PatternError):
            return refusal_text(fault, {**self._named_too, **self._sliders}, self.unit)
        self.log.error("a board could not draw %s", self.setup["title"], exc_info=fault)
        return (
            "These values cannot be drawn, and the board does not know why. Move the slider back, and tell "
            f"your teacher what stands here: {type(fault).__name__}, {fault}."
        )

    # --- what the page says -----------------------------------------------------------------------------

    def _hear(self, _widget: Any, said: Mapping[str, Any], _buffers: Any) -> None:
        self._has_page = True
        kind = said.get("kind")
        if kind == "draw":
            picture = self._differ(self._named(said["v"]), said["s"])
            self.send({"who": said["who"], "n": said["n"], "on": self._whole, "got": [picture]})
        elif kind == "ahead":
            until = time.perf_counter() + (AWAY_SECONDS if said.get("away") else AHEAD_SECONDS)
            got = []
            for row, step in said["v"]:
                got.append(self._differ(self._named(row), step))
                if time.perf_counter() > until:
                    break
            self.send({"who": said["who"], "ahead": said["n"], "on": self._whole, "got": got})
        elif kind == "rest":
            self._rest(said)
        elif kind == "still":
            self._renew_still()
        elif kind == "here":
            self.send({"who": said["who"], "here": True})

    def _rest(self, said: Mapping[str, Any]) -> None:
        """The hand has let go: take over its values, send the whole picture, renew the still picture."""
        by = f"{said['who']}:{said['n']}"
        self._asker, self._by_hand = by, True
        self.setup["trail"] = memory.trail(said.get("trail"), len(self._sliders))  # the page knows it
        try:
            with self.hold_sync():
                self.values = self._named(said["v"])
                self.step = said["s"]
        finally:
            self._asker = ""
        self._show_whole(self.values, self.step, by=by)

    def _named(self, row: Sequence[float]) -> dict[str, float]:
        if len(row) != len(self._sliders):
            raise ValueAtFault("values", len(row), f"must be {len(self._sliders)} numbers")
        return {name: s.accept(v) for (name, s), v in zip(self._sliders.items(), row, strict=True)}

    # --- showing ----------------------------------------------------------------------------------------

    def alt(self) -> str:
        """Return the text alternative of the picture: title, values, number of findings."""
        said = ", ".join(s.shown(self.values[name], self.unit) for name, s in self._sliders.items())
        count = len(self.picture.get("all", EMPTY)["findings"])
        found = f" {count} finding{'s' if count != 1 else ''}." if count else ""
        return f"{self.setup['title']}: {said}.{found}"

    def __repr__(self) -> str:
        return f"<Board {self.alt()}>" if self._sliders else "<Board>"

    def still(self) -> str:
        """Return the picture as it stands now as SVG text; empty before the first picture."""
        if self._shown is None:
            return ""
        items = tuple(
            item
            for item in self._shown.items
            if not isinstance(item, Handle) and item.layer not in (*self.hidden, GHOST)
        )
        scene = Scene(items, self._shown.title, self._shown.bounds)
        return as_svg(scene, true_size=False, title=self.setup["title"], desc=self.alt())

    def _still_picture(self) -> StillPicture:
        return StillPicture(self.still(), self.error or self.alt())

    def _ipython_display_(self) -> None:
        """Show the live board and, beside it, the still picture that remains in the saved notebook."""
        bundle = self._repr_mimebundle_()
        data, meta = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        asleep = f"{self.setup['title']}: a board that moves once this cell is run."
        display({**data, "text/plain": asleep}, metadata=meta, raw=True)
        self._stills.append(display(self._still_picture(), display_id=True, metadata=self._metadata()))


EMPTY: dict[str, Any] = {"items": {}, "facts": {}, "findings": [], "box": [0, 0, 1000, 1000], "title": ""}

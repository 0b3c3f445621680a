"""Pictures on their way to the page: whole once, afterwards only what differs.

A picture is packed into plain lists. Lengths are whole numbers of 0.001 cm with y down, so that a path's
text goes into the page as it is. Every item has a short key that stays with it from picture to picture; a
difference names the keys that changed *against one whole picture that the page already has*. Differences
do not build on each other, so they may arrive, be kept and be shown in any order.
"""

from __future__ import annotations

import base64
import html
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from ..checking import Finding
from ..output.items import LEGEND, Handle, Stroke, Text
from ..output.kept import keep_results
from ..output.scene import Scene

FINE = 1000
"""Page units in one cm."""

GHOST = "ghost"
"""The layer of lines that are still to be drawn."""

STROKE, TEXT, HANDLE = 0, 1, 2

OUTLINES = ("seam", "cut", "style line", "block")
"""Styles of the lines that show a shape; others lie where there is room for them."""


@dataclass(frozen=True)
class Picture:
    """What a board shows for one set of values.

    scene: the drawing, cm; findings: what the checks say, None where they were not asked for; facts: for each
    edge id a mapping with 'name', 'length' (cm), 'allowance' (cm or None), 'turn' and 'partners' (ids of
    the edges it is sewn to).
    """

    scene: Scene
    findings: Sequence[Any] | None = ()
    facts: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


@dataclass(frozen=True)
class BoardStep:
    """One step of a draft on the step slider.

    text: its sentence; items: what it adds to the drawing; signs: how it is done, shown with this step only.
    """

    text: str
    items: tuple[Stroke | Text, ...] = ()
    signs: tuple[Stroke | Text, ...] = ()

    def newest(self) -> tuple[Stroke | Text, ...]:
        """What stands out while this step is shown; a name among the signs is not written twice."""
        named = {sign.text for sign in self.signs if isinstance(sign, Text)}
        kept = (item for item in self.items if not (isinstance(item, Text) and item.text in named))
        return (*kept, *self.signs)

    @cached_property
    def ghost(self) -> tuple[Stroke, ...]:
        """The lines of this step, drawn faintly while it is still to come."""
        return tuple(
            Stroke(item.d, item.style, GHOST, "", item.title)
            for item in self.items
            if isinstance(item, Stroke)
        )


def said(where: str, scope: str) -> Finding:
    """What a board's checks looked at, for its panel: an empty list alone does not say so.

    >>> said("bib", "this piece alone was looked at.").severity
    'note'
    """
    return Finding(100, "note", where, None, None, None, scope)


def path_text(commands: Sequence[tuple]) -> str:
    """Return path commands (cm, y up) as the text of an SVG path in page units, y down, relative moves.

    Each move is the difference of two rounded places, so rounding does not add up along the path.

    >>> path_text((("M", 1, 2), ("L", 3, 2), ("Z",)))
    'm1000 -2000l2000 0z'
    """
    x = y = sx = sy = 0
    out = []
    for command in commands:
        op = command[0]
        if op == "Z":
            out.append("z")
            x, y = sx, sy
            continue
        places = [round(v * FINE) for v in command[1:]]
        moves = []
        for i in range(0, len(places), 2):
            moves.append(f"{places[i] - x} {-places[i + 1] - y}")
        x, y = places[-2], -places[-1]
        if op == "M":
            sx, sy = x, y
        out.append(op.lower() + " ".join(moves))
    return "".join(out)


def pack_handle(item: Handle) -> tuple[str, list]:
    """Return the stem of a movable point's key and its packed form."""
    moves = {name: [round(dx, 5), round(-dy, 5)] for name, (dx, dy) in item.moves.items()}
    place = [round(item.x * FINE), round(-item.y * FINE)]
    return f"h|{item.name}", [HANDLE, *place, item.name, moves, item.title]


@keep_results(4096)  # most of a drawing stays while one value moves
def pack_item(item: Stroke | Text) -> tuple[str, list]:
    """Return the stem of an item's key and its packed form, which must not be changed."""
    if isinstance(item, Stroke):
        stem = f"s|{item.piece}|{item.layer}|{item.style}|{item.id}|{item.title}"
        return stem, [STROKE, item.style, item.layer, item.id, item.title, path_text(item.d)]
    packed = [TEXT, item.style, item.layer, item.text, round(item.x * FINE), round(-item.y * FINE)]
    packed += [round(item.size_cm * FINE), item.anchor, round(-item.angle, 1), item.row]
    return f"t|{item.piece}|{item.layer}|{item.style}", packed


class Packer:
    """Packs pictures of one board and remembers which short key belongs to which item."""

    def __init__(self) -> None:
        self._keys: dict[str, str] = {}

    def pack(self, picture: Picture, worded: Callable[[str], str] = str) -> dict[str, Any]:
        """Return a picture in packed form; worded: what the board makes of the sentence of a finding."""
        packed: dict[str, list] = {}
        count: dict[str, int] = {}
        for item in picture.scene.items:
            if not isinstance(item, Handle) and item.layer == LEGEND:
                continue  # the page writes it below the sheet, where it has room
            stem, entry = pack_handle(item) if isinstance(item, Handle) else pack_item(item)
            nth = count.get(stem, 0)
            count[stem] = nth + 1
            key = self._keys.setdefault(f"{stem}#{nth}", str(len(self._keys)))
            packed[key] = entry
        x0, y0, x1, y1 = picture.scene.bounds
        legend = (i for i in picture.scene.items if isinstance(i, Stroke) and i.layer == LEGEND)
        out: dict[str, Any] = {} if picture.findings is None else {"findings": pack_findings(picture, worded)}
        return out | {
            "items": packed,
            "facts": {name: pack_fact(fact) for name, fact in picture.facts.items()},
            "box": [round(x0 * FINE), round(-y1 * FINE), round(x1 * FINE), round(-y0 * FINE)],
            "title": picture.scene.title,
            "legend": [[line.style, line.title] for line in legend],
        }


def pack_findings(picture: Picture, worded: Callable[[str], str]) -> list:
    """Return the findings as lists: severity, sentence, where."""
    return [[f.severity, worded(f.text), f.where] for f in picture.findings or ()]


def pack_fact(fact: Mapping[str, Any]) -> list:
    """Return what is known of an edge as a list: name, length, allowance, turn, partner ids."""
    allowance = fact.get("allowance")
    return [
        fact["name"],
        round(fact["length"], 3),
        None if allowance is None else round(allowance, 3),
        fact.get("turn", ""),
        list(fact.get("partners", ())),
    ]


def start_beside(start: Mapping[str, Any]) -> dict[str, Any]:
    """Return the paths of the outlines and the lengths of the edges of a packed picture.

    >>> start_beside({"items": {"0": [0, "seam", "", "", "", "m0 0"]}, "facts": {"bib/top": ["", 23.0]}})
    {'lines': {'0': 'm0 0'}, 'lengths': {'bib/top': 23.0}}
    """
    shapes = {key: item for key, item in start["items"].items() if item[0] == STROKE}
    return {
        "lines": {key: item[5] for key, item in shapes.items() if item[1] in OUTLINES},
        "lengths": {name: fact[1] for name, fact in start["facts"].items()},
    }


def difference(base: Mapping[str, Any], new: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the page must change in `base` to show `new` (both packed); unchanged parts are left out.

    >>> one = {"items": {"0": [0, "cut", "", "", "", "m0 0"]}, "facts": {}, "box": [0, 0, 1, 1]}
    >>> two = {"items": {"0": [0, "cut", "", "", "", "m5 0"]}, "facts": {}, "box": [0, 0, 1, 1]}
    >>> difference(one, two)
    {'items': {'0': 'm5 0'}}
    """
    out: dict[str, Any] = {}
    old_items = base["items"]
    changed: dict[str, Any] = {}
    for key, entry in new["items"].items():
        old = old_items.get(key)
        if old == entry:
            continue
        only_path = old is not None and entry[0] == old[0] == STROKE and entry[:5] == old[:5]
        changed[key] = entry[5] if only_path else entry
    changed.update((key, 0) for key in old_items if key not in new["items"])
    if changed:
        out["items"] = changed
    facts: dict[str, Any] = {k: f for k, f in new["facts"].items() if base["facts"].get(k) != f}
    facts.update((k, 0) for k in base["facts"] if k not in new["facts"])
    if facts:
        out["facts"] = facts
    for part in new:
        if part not in ("items", "facts") and new[part] != base.get(part):
            out[part] = new[part]
    return out


class StillPicture:
    """A picture (SVG text) with its text alternative, as a notebook keeps it; both the same in every run.

    It is shown in notebooks and in HTML exports. Its style takes away the empty place of a board that is not
    alive; a board that is alive hides it.
    """

    def __init__(self, svg: str, alt: str) -> None:
        self.svg, self.alt = svg, alt

    def __repr__(self) -> str:
        return self.alt

    def _repr_html_(self) -> str:
        words = html.escape(self.alt, quote=True)
        data = base64.b64encode(self.svg.encode()).decode()
        image = f'<img alt="{words}" style="max-width:100%" src="data:image/svg+xml;base64,{data}">'
        return (
            "<style>.jp-OutputArea-child:has(+ .jp-OutputArea-child .draft-board-still)"
            ":not(:has(.draft-board)){display:none}</style>"
            f'<div class="draft-board-still">{image if self.svg else words}'
            "<p>Still picture. Run this cell to move the sliders.</p></div>"
        )

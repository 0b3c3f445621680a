"""Where a tape is laid: one plain figure, seen from the front and from the back, with every measure numbered.

The figure is a schematic drawing of the course's own, about 165 cm tall, the same for every body; only the
figures beside it are those of one body. Lines drawn unbroken were measured, dotted ones are estimated.
"""

from __future__ import annotations

from ....body import Body
from ....errors import ValueAtFault
from ....survey import measures
from ....units import write_length
from ...items import Stroke, Text, curve_path, item_box, join_boxes, shifted
from ..base import Scene
from .figure import half_figure
from .tapes import LANDMARKS, TAPES

APART, LETTER, ROW, TOP = 82.0, 3.9, 10.5, 195.0
"""cm from the middle of the front figure to that of the back; size of lettering; from row to row, far enough
to be read on a narrow page; height of the first row."""


def _outlines(view: str) -> list[Stroke | Text]:
    out: list[Stroke | Text] = []
    for name, curve in half_figure(view):
        for sign in (1, -1):
            d = tuple(
                (c[0], *(v * sign if k % 2 == 0 else v for k, v in enumerate(c[1:])))
                for c in curve_path(curve)
            )
            out.append(Stroke(d, "measure", "blocks", "", f"figure seen from the {view}, {name}"))
    return out


def _cross(x: float, y: float, title: str) -> Stroke:
    a = 0.9
    return Stroke(
        (("M", x - a, y), ("L", x + a, y), ("M", x, y - a), ("L", x, y + a)), "notch", "plan", "", title
    )


def _sheet(front: list, back: list, more: list, title: str) -> Scene:
    items = [*front, Text(0, 170, "front", LETTER, style="heading")]
    second = [*back, Text(0, 170, "back", LETTER, style="heading")]
    items += [shifted(item, APART) for item in second] + more
    x0, y0, x1, y1 = join_boxes(item_box(item) for item in items)
    return Scene(tuple(items), title, (x0 - 2, y0 - 2, x1 + 2, y1 + 2))


def landmarks_scene() -> Scene:
    """Draw the landmarks: the points of a body from which a tailor measures, each with its name.

    >>> landmarks_scene().title
    'Landmarks of the body, front and back'
    """
    views = {"front": _outlines("front"), "back": _outlines("back")}
    for name, view, x, y, level in LANDMARKS:
        out = -1 if view == "front" else 1
        lead = (("M", x + 1.4 * out, y), ("L", 37.0 * out, level))
        views[view] += [
            _cross(x, y, name),
            Stroke(lead, "measure", "measures", "", name),
            Text(38.0 * out, level - 0.9, name, LETTER, "start" if out > 0 else "end"),
        ]
    return _sheet(views["front"], views["back"], [], "Landmarks of the body, front and back")


def measures_scene(body: Body | None = None, *, unit: str = "cm") -> Scene:
    """Draw where each measure is taken, with a list of terms and, for a body, what each measures.

    body: its measures are written in `unit` ('cm' or 'in'); what is estimated is dotted and says so. None:
    every line unbroken and the terms alone. Raises ValueAtFault for another unit.

    >>> from patternlib.body import Body
    >>> scene = measures_scene(Body(bust_girth=88, waist_girth=70, hip_girth=95))
    >>> sum(item.style == "placement" for item in scene.items)
    19
    """
    if unit not in ("cm", "in"):
        raise ValueAtFault("unit", unit, "must be 'cm' or 'in'", "Measures are written in one of these.")
    views = {"front": _outlines("front"), "back": _outlines("back")}
    listed: list[Text] = []
    left = APART + 46
    guessed = body.estimated if body else ()
    for k, (name, view, curve, (x, y)) in enumerate(TAPES, 1):
        term, style = measures()[name].term, "placement" if name in guessed else "style line"
        words = f"{term}, estimated" if name in guessed else term
        views[view].append(Stroke(curve_path(curve), style, "plan", f"measures/{name}", words))
        for end in (curve.start, curve.end) if name in ("height", "waist_to_hip", "waist_to_knee") else ():
            tick = (("M", end.x - 1.2, end.y), ("L", end.x + 1.2, end.y))
            views[view].append(Stroke(tick, "measure", "plan", "", words))
        views[view].append(Text(x, y, f"{k}", LETTER, style="heading"))
        row, y = f"measure {k}", TOP - ROW * (k - 1)
        listed += [
            Text(left + 5, y, f"{k}", LETTER, "end", style="heading", row=row),
            Text(left + 15, y, term, LETTER, "start", row=row),
        ]
        if body:
            value = write_length(getattr(body, name), unit, parts=8)
            kind = "est." if name in guessed else ""
            listed.append(Text(left + 175, y, value, LETTER, "end", style="heading", row=row))
            if kind:
                listed.append(Text(left + 182, y, kind, LETTER, "start", style="measure", row=row))
    if body:
        listed += [
            Text(left, TOP - (len(TAPES) + 0.2) * ROW, "unbroken line: measured", LETTER, "start"),
            Text(
                left,
                TOP - (len(TAPES) + 1.2) * ROW,
                "dotted line, est.: estimated from bust and stature",
                LETTER,
                "start",
            ),
        ]
    return _sheet(views["front"], views["back"], listed, "Where each measure is taken, front and back")

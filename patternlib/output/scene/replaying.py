"""The steps of a draft as they are done: what each adds to the drawing, and how its place is found.

A measure is an arrow with its number, a square the sign of the right angle, a swing its arc about the pin,
a level or an upright a fine line. These signs belong to one step and go when the next one comes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any, NamedTuple

from ...draft import Draft, Step
from ...geometry import Curve, Move, Point, arc, direction
from ...units import write_length
from ..items import Command, Stroke, Text, curve_path
from ..lettering.sizes import letters
from ..lettering.taken import FINE, Taken, coarse, round_point
from .garments import draft_scene
from .plans import measured, straight

SQUARE_SIGN = 1.2
"""cm: side of the sign of a right angle."""
BEYOND = 12.0
"""degrees an arc is drawn past the point it finds, to either side."""
NOTHING = "In this step nothing is drawn."


class Replayed(NamedTuple):
    """One step: its sentence, what it adds to the drawing, the signs that show how it is done."""

    text: str
    items: tuple[Stroke | Text, ...]
    signs: tuple[Stroke | Text, ...]


def replayed(draft: Draft, *, unit: str = "cm", lettering: str = "screen") -> tuple[Replayed, ...]:
    """Each step of a draft with what it adds to the drawing and the signs of how it is done.

    Every name stands where it stands in the whole drawing, except that of the newest point: it is among the
    signs and always there. A step that draws nothing says so. unit, lettering: as for draft_scene.

    >>> from patternlib.draft import Drafting
    >>> d = Drafting("a line")
    >>> start = d.start("A", (0, 0))
    >>> end = d.go("B", "A", "right", 25.1)
    >>> [sign.text for sign in replayed(d.finish())[1].signs if isinstance(sign, Text)]
    ['25.1 cm', 'B']
    """
    scene = draft_scene(draft, unit=unit, lettering=lettering)
    x0, _, x1, _ = scene.bounds
    size = letters(lettering, 1.3 * (x1 - x0)).size
    added: dict[str, list[Stroke | Text]] = {}
    for item in scene.items:
        if isinstance(item, Stroke | Text):
            added.setdefault(item.text if isinstance(item, Text) else item.title, []).append(item)
    out = []
    for step in draft.steps:
        items = tuple(added.get(step.name, ()))
        signs = tuple(_signs(draft, step, unit, size))
        words = step.text(unit)
        if not signs and not any(isinstance(item, Stroke) for item in items):
            words += f" {NOTHING}"
        out.append(Replayed(words, items, signs))
    return tuple(out)


def _signs(draft: Draft, step: Step, unit: str, size: float) -> list[Stroke | Text]:
    """How a step is done, and the name of the point or the line it gives."""
    taken = Taken(FINE * size)
    if isinstance(step.value, Curve):
        taken.draw(coarse(step.value))
    args = [draft[name] for name in step.inputs]
    out: list[Stroke | Text] = []
    if step.op in _SHOWN:
        out += _SHOWN[step.op](step, args, taken, unit, size)
    out += measured(draft, step, taken, unit, size)
    if step.style == "aside" and isinstance(step.value, Curve):
        out.append(_line(curve_path(step.value), step.name))
    if isinstance(step.value, Point):
        places = round_point(step.name, step.value, size, key=True)
        named = taken.write(places, over_lines=True)
        if named:
            out.append(replace(named, style="point shown", layer="labels"))
    return out


def _line(d: tuple[Command, ...] | list[Command], title: str) -> Stroke:
    return Stroke(tuple(d), "construct", "plan", "", f"how {title} is found")


def _way(name: str, *points: Point) -> list[Stroke | Text]:
    """A fine line from point to point."""
    return [
        _line([("M", *p), ("L", *q)], name) for p, q in pairwise(points) if p.distance(q) > 1e-6
    ]  # fmt: skip


def _sign(name: str, corner: Point, one: Point, other: Point) -> list[Stroke | Text]:
    """The sign of the right angle at a corner, between the ways to two points."""
    far = min(corner.distance(one), corner.distance(other))
    if far < 0.2:
        return []
    side = min(SQUARE_SIGN, far / 2)
    a, b = ((p - corner).unit() * side for p in (one, other))
    return [_line([("M", *(corner + a)), ("L", *(corner + a + b)), ("L", *(corner + b))], name)]


def _arc(name: str, pin: Point, start: float, end: float, radius: float) -> list[Stroke | Text]:
    """An arc about a pin between two angles, degrees, with a ring at the pin."""
    if radius < 0.2 or abs(end - start) < 0.01:
        return []
    low, high = min(start, end), max(start, end)
    ring = curve_path(arc(pin, 0.35, 0, 359.9))
    return [_line(curve_path(arc(pin, radius, low, high)), name), _line(ring, name)]


def _square(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    return _way(step.name, args[0], args[1]) + _sign(step.name, args[0], args[1], step.value)


def _foot(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    p, q, r = args
    foot = step.value
    far = max((p, q), key=foot.distance)
    return _way(step.name, p, q) + _way(step.name, r, foot) + _sign(step.name, foot, far, r)


def _swing(step: Step, args: list[Any], taken: Taken, unit: str, size: float) -> list[Stroke | Text]:
    pin, other = args
    angle = (step.value - pin).angle
    text = write_length(step.measure or 0.0, unit)
    out = _arc(step.name, pin, angle - BEYOND, angle + BEYOND, abs(step.measure or 0.0))
    return out + _way(step.name, other, step.value) + straight(pin, step.value, taken, text, size)


def _turn(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    thing, pin = args[:2]
    spot = thing.end if isinstance(thing, Curve) else thing
    angle, turn = (spot - pin).angle, step.measure or 0.0
    after = Move.turn(pin, turn)(spot)
    return _arc(step.name, pin, angle, angle + turn, pin.distance(spot)) + _way(step.name, spot, pin, after)


def _from_inputs(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    """Fine lines from the points the step is taken from."""
    return [line for p in args if isinstance(p, Point) for line in _way(step.name, p, step.value)]


def _between(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    return _way(step.name, args[0], args[1])


def _upright(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    return _way(step.name, args[1], step.value)


def _meeting(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    p, q, r, s = args
    ends = (max((p, q), key=step.value.distance), max((r, s), key=step.value.distance))
    return [line for end in ends for line in _way(step.name, end, step.value)]


def _dart_point(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    middle = args[0].middle(args[1])
    return _way(step.name, middle, step.value) + _sign(step.name, middle, args[1], step.value)


def _angle(step: Step, args: list[Any], *_: Any) -> list[Stroke | Text]:
    """A ray in the direction that was taken."""
    thing = args[0]
    start = thing if isinstance(thing, Point) else thing.end
    if isinstance(thing, Curve) and step.options.get("at") == "start":
        start = thing.start
    ray = start + direction(float(step.value)) * 6.0
    return _way(step.name, start, ray)


_SHOWN: dict[str, Callable[..., list[Stroke | Text]]] = {
    "square": _square, "foot": _foot, "swing": _swing, "swing down": _swing, "turn": _turn,
    "level": _from_inputs, "level on": _upright, "upright crossing": _upright, "middle": _between,
    "share": _between, "along": _between, "meeting": _meeting, "dart point": _dart_point, "angle": _angle,
}  # fmt: skip
"""What a step shows in addition to its measure, by its operation."""

"""A draft as a drawing, step by step: lines, points with their names, the measure just taken."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from ...draft import Draft, Step
from ...geometry import Curve, Point
from ...geometry.offsets import offset
from ...units import write_length
from ..items import Stroke, Text, curve_path, flat_path, text_width
from ..kept import keep_results
from ..lettering.space import reading_angle
from ..lettering.taken import FINE, Taken, coarse, round_point
from ..signs import arrow, cross, layer

AWAY = 0.9
"""cm between a dimension line and what it measures."""


def position(draft: Draft, upto: int | str | None) -> int | None:
    """The number of the step shown, from 0; None for the whole draft. Unknown names raise UnknownName."""
    if upto is None:
        return None
    if isinstance(upto, str):
        return draft.steps.index(draft.step(upto))
    return min(max(upto, 0), len(draft.steps) - 1)


def _spot(point: Point) -> tuple[float, float]:
    return round(point.x, 2), round(point.y, 2)


def _corners(lines: Iterable[Curve]) -> set[tuple[float, float]]:
    """Where two of the lines end and do not run on into each other."""
    ways: dict[tuple[float, float], list[Point]] = {}
    for line in lines:
        ways.setdefault(_spot(line.start), []).append(line.start_direction)
        ways.setdefault(_spot(line.end), []).append(line.end_direction)
    return {spot for spot, (first, *more) in ways.items() if any(abs(first.cross(w)) > 0.1 for w in more)}


@keep_results(16)
def draw_draft(
    draft: Draft,
    *,
    shown: int | None,
    unit: str,
    size: float,
    labels: bool | frozenset[str],
    construction: bool,
) -> list[Stroke | Text]:
    """The items of a draft; with `shown`, as it stands after that step, with the measure of that step.

    labels: whether points are named, or which; those named alone stand a little further off, where the
    point has room to be taken hold of.

    Steps of style 'aside' are not drawn: help that would only be in the way.
    """
    steps = draft.steps if shown is None else draft.steps[: shown + 1]
    now = None if shown is None else steps[-1]
    drawn = [s for s in steps if s.style != "aside"]
    if not construction:  # the points that stay are the corners of the style lines, under their own names
        curves = [s for s in drawn if isinstance(s.value, Curve) and (s.style != "construct" or s is now)]
        corners = _corners(s.value for s in curves if s.style == "style line")
        points = [s for s in drawn if isinstance(s.value, Point)]
        points.sort(key=lambda s: s.style == "block")
        drawn = curves + [s for s in points if _spot(s.value) in corners or s is now]
    out: list[Stroke | Text] = []
    taken = Taken(FINE * size)
    for step in drawn:
        if isinstance(step.value, Curve):
            out.append(Stroke(curve_path(step.value), step.style, layer(step.style), "", step.name))
            taken.draw(coarse(step.value))
    places: dict[tuple[float, float], Step] = {}
    for step in drawn:
        if isinstance(step.value, Point):
            places.setdefault(_spot(step.value), step)
    if now is not None:  # the points the step names come first, under their own names
        named = [draft.step(i) for i in now.inputs] + [now]
        for step in named:
            if isinstance(step.value, Point):
                places[_spot(step.value)] = step
        places = dict(sorted(places.items(), key=lambda at: at[1] not in named))
    for step in places.values():
        taken.draw_cross(step.value)
    if now is not None:
        out += measured(draft, now, taken, unit, size)
    for step in places.values():
        out.append(cross(step.value, "measure" if step is not now else "style line", step.style, step.name))
    chosen = isinstance(labels, frozenset)
    if isinstance(labels, frozenset):
        places = {at: step for at, step in places.items() if step.name in labels}
    others = [step.value for step in places.values()]
    for step in places.values() if labels else ():
        key = now is not None and (step is now or step.name in now.inputs)
        round_it = round_point(
            step.name, step.value, size, key=key, off=(1.1, 1.8) if chosen else (), others=others
        )
        text = taken.write(round_it, over_lines=key)
        if text:
            out.append(text)
    return out


def measured(draft: Draft, step: Step, taken: Taken, unit: str, size: float) -> list[Stroke | Text]:
    """Dimension lines of one step: the straight measure, the walked measure, or the length of a line."""
    first: Any = draft[step.inputs[0]] if step.inputs else None
    value = step.value
    if isinstance(value, Point) and isinstance(first, Point) and step.op in ("go", "along", "square"):
        return straight(first, value, taken, write_length(first.distance(value), unit), size)
    if step.op == "distance":
        other = draft[step.inputs[1]]
        return straight(first, other, taken, write_length(value, unit), size)
    if step.op == "on":
        at = step.measure or 0.0
        part = (first.length - at, first.length) if step.options.get("from_end") else (0.0, at)
        return _walked(first.part(*part), taken, write_length(at, unit), size) if abs(at) > 0.1 else []
    if step.op == "length":
        return _walked(first, taken, write_length(value, unit), size)
    if isinstance(value, Curve) and step.op in ("line", "curve", "part", "joined", "parallel"):
        return _walked(value, taken, write_length(value.length, unit), size)
    return []


def straight(p: Point, q: Point, taken: Taken, text: str, size: float) -> list[Stroke | Text]:
    if p.distance(q) < 1e-6:
        return []
    return _dimension([p, q], AWAY, taken, text, size)


def _walked(curve: Curve, taken: Taken, text: str, size: float) -> list[Stroke | Text]:
    return _dimension(curve.flat(0.02), AWAY, taken, text, size, offset(curve, AWAY, 0.02))


def _at_share(line: Sequence[Point], share: float) -> tuple[Point, Point]:
    """A place at a share of the points of a line, and the way the line runs there."""
    k = min(max(1, round(share * len(line))), len(line) - 1)
    part = share if len(line) == 2 else 0.5
    return line[k - 1] + (line[k] - line[k - 1]) * part, (line[k] - line[k - 1]).unit()


def _dimension(
    points: Sequence[Point], away: float, taken: Taken, text: str, size: float, line: Sequence[Point] = ()
) -> list[Stroke | Text]:
    """A line beside what is measured, a bar and an arrow head at either end, the measure in its middle."""
    start, end = (points[1] - points[0]).unit(), (points[-1] - points[-2]).unit()
    line = list(line) or [points[0] + start.right() * away, points[-1] + end.right() * away]
    if len(line) < 2 or line[0].distance(line[-1]) < 1e-6:
        return []
    head = min(0.6, line[0].distance(line[-1]) / 3)
    first, last = (line[0] - line[1]).unit(), (line[-1] - line[-2]).unit()
    d = [
        ("M", *line[0]), *(("L", *p) for p in line[1:]),
        *arrow(line[0], first, head), *arrow(line[-1], last, head),
        ("M", *(points[0] + start.right() * 0.2)), ("L", *(line[0] + start.right() * 0.3)),
        ("M", *(points[-1] + end.right() * 0.2)), ("L", *(line[-1] + end.right() * 0.3)),
    ]  # fmt: skip
    for run in flat_path(d):
        taken.draw(run)
    half = text_width(text, size) / 2

    def places() -> Iterable[Text]:
        for share in (0.5, 0.3, 0.7):
            middle, way = _at_share(line, share)
            out, angle = way.right(), reading_angle(way)
            up = Point(1, 0).turned(angle).left()
            for far in (0.3, 0.6, 1.0, 1.6, 2.4):
                for side in (1, -1):
                    base = middle + out * (side * far)
                    base = base if up.dot(out) * side > 0 else base - up * (0.75 * size)
                    yield Text(*base, text, size, "middle", angle, "measures", "measure")
        for at, way in ((line[-1], last), (line[0], first), (_at_share(line, 0.5)[0], start.right())):
            x, y = at + way * (0.5 * size + 0.3)
            anchor = "middle" if abs(way.x) < 0.4 else "start" if way.x > 0 else "end"
            lower = 0.8 * size if way.y < -0.4 else 0.35 * size if way.y < 0.4 else 0.0
            yield Text(x, y - lower, text, size, anchor, 0.0, "measures", "measure")

    items: list[Stroke | Text] = [Stroke(tuple(d), "measure", "measures", "", text)]
    written = taken.write(places(), over_lines=half > 0)
    return [*items, written] if written else items

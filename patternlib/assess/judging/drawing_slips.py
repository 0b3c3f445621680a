"""Slips in doing a step: another direction, landmark, line, end or turn, by operation."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from ...draft import Step
from ...geometry import Curve, Point, line
from ...operations import WAYS
from .deviation import UNDRAWABLE
from .measuring_slips import AtHand, Try, mismeasured, remeasured


def tries(step: Step, at_hand: AtHand) -> Iterator[Try]:
    """Every slip that can be tried on a step: in its measure first, then in what is done with it."""
    for source in (mismeasured, _OPERATIONS.get(step.op, _no_tries)):
        try:
            yield from source(step, at_hand)
        except UNDRAWABLE:  # the student's own lines leave nothing to try this on
            continue


def _no_tries(step: Step, at_hand: AtHand) -> Iterator[Try]:
    return iter(())


def _others(at_hand: AtHand, *but: str, curve: bool = False) -> Iterator[str]:
    """Other points (or curves) on the paper."""
    for name in at_hand.places:
        if name not in but and isinstance(at_hand.work[name], Curve if curve else Point):
            yield name


def _at(step: Step, k: int, name: str) -> Step:
    inputs = list(step.inputs)
    inputs[k] = name
    return replace(step, inputs=tuple(inputs))


def _landmarks(step: Step, at_hand: AtHand, *which: int, code: str = "wrong-landmark") -> Iterator[Try]:
    for k in which:
        for name in _others(at_hand, step.name, *step.inputs):
            yield Try(code, _at(step, k, name), {"other": name, "part": step.inputs[k]})


def _stays(step: Step, name: str) -> Step:
    """A step that leaves the paper as it is at another one."""
    return replace(step, op="shift", inputs=(name,), measure=None, measured_by="", options={"by": (0.0, 0.0)})


def _turned(step: Step, way: float) -> Step:
    return replace(step, inputs=step.inputs[:1], options={**step.options, "way": way % 360})


def _slanting(way: float | str) -> str:
    """A direction that is no upright and no level, as the sheet says it."""
    return f"at the angle of {way.removesuffix(', angle')}" if isinstance(way, str) else f"at {way:.0f}°"


def _go(step: Step, at_hand: AtHand) -> Iterator[Try]:
    way = step.options["way"]
    plain = way in WAYS if isinstance(way, str) else False
    angle = WAYS[way] if plain else at_hand.work[way] if isinstance(way, str) else way
    back = "wrong-side" if plain and way in ("left", "right") else "wrong-direction"
    said = way if plain else _slanting(way)
    yield Try(back, _turned(step, angle + 180), {"way": said})
    for quarter in (90, -90):
        yield Try("turned-quarter", _turned(step, angle + quarter), {"way": said})
    upright = round(angle / 90) * 90
    if not plain and abs(angle - upright) > 1:
        across = isinstance(way, str) and "across" in way  # square to a slanting line
        yield Try("level-not-square" if across else "square-not-slope", _turned(step, upright), {})
        yield Try("slope-other-way", _turned(step, 2 * upright - angle), {})
    start = at_hand.work[step.inputs[0]]
    for name in _others(at_hand, step.name, step.inputs[0]):
        gap = at_hand.work[name] - start
        if gap.length > 0.5 and 2 < abs((gap.angle - angle + 180) % 360 - 180) < 60:
            yield Try("slope-not-square", _turned(step, gap.angle), {"other": name})
    yield from _landmarks(step, at_hand, 0)
    yield Try("not-moved", _stays(step, step.inputs[0]), {"part": step.inputs[0]})


def _along(step: Step, at_hand: AtHand) -> Iterator[Try]:
    start, toward = step.inputs[:2]
    measure = at_hand.work[step.measured_by] if step.measured_by else step.measure
    yield Try("wrong-direction", remeasured(step, -measure), {"way": f"toward {toward}"})
    yield Try(
        "wrong-end",
        replace(step, inputs=(toward, start)),
        {"part": f"the line from {start} to {toward}", "other": toward},
    )
    way = (at_hand.work[toward] - at_hand.work[start]).angle
    upright = round(way / 90) * 90
    options = {"way": upright % 360}
    if abs(way - upright) > 1:
        yield Try("square-not-slope", replace(step, op="go", inputs=(start,), options=options), {})
    yield from _landmarks(step, at_hand, 0, 1)
    yield Try("not-moved", _stays(step, start), {"part": start})


def _square(step: Step, at_hand: AtHand) -> Iterator[Try]:
    other = "right" if step.options["side"] == "left" else "left"
    yield Try("wrong-side", replace(step, options={"side": other}), {"way": step.options["side"]})
    yield Try("slope-not-square", replace(step, op="along", options={}), {"other": step.inputs[1]})
    yield from _landmarks(step, at_hand, 0, 1)


def _on(step: Step, at_hand: AtHand) -> Iterator[Try]:
    curve = at_hand.work[step.inputs[0]]
    measure = at_hand.work[step.measured_by] if step.measured_by else step.measure
    from_end = bool(step.options.get("from_end"))
    options = {**step.options, "from_end": not from_end}
    yield Try("wrong-end", replace(step, options=options), {"part": step.inputs[0]})
    a, b = (curve.end, curve.start) if from_end else (curve.start, curve.end)
    for code, place in (
        ("chord-not-curve", a.toward(b, measure)),
        ("chord-not-curve", _upright_on(curve, a, b, measure)),
    ):
        if place is not None:
            yield Try(code, _placed(step, place), {"part": step.inputs[0]})
    for name in _others(at_hand, *step.inputs, curve=True):
        yield Try("wrong-line", _at(step, 0, name), {"other": name, "part": step.inputs[0]})


def _upright_on(curve: Curve, a: Point, b: Point, measure: float) -> Point | None:
    """The place on a curve whose level or upright lies `measure` from an end, not walked along."""
    along = b - a
    p = a + (
        Point(0, math.copysign(measure, along.y))
        if abs(along.y) > abs(along.x)
        else Point(math.copysign(measure, along.x), 0)
    )
    across = Point(1, 0) if abs(along.y) > abs(along.x) else Point(0, 1)
    places = curve.meets_line(p, p + across)
    return curve.at(places[0]) if places else None


def _placed(step: Step, value: Point | Curve | float) -> Step:
    """A step that just gives a value."""
    return replace(step, op="trace", inputs=(), measure=None, measured_by="", options={"value": value})


def _share(step: Step, at_hand: AtHand) -> Iterator[Try]:
    measure = (
        0.5 if step.op == "middle" else at_hand.work[step.measured_by] if step.measured_by else step.measure
    )
    changed = replace(step, op="share", measured_by="")
    said = f"the line from {step.inputs[0]} to {step.inputs[1]}"
    yield Try("wrong-end", replace(changed, measure=1 - measure), {"part": said})
    yield Try("halved", replace(changed, measure=measure / 2), {"part": "distance"})
    yield Try("halved", replace(changed, measure=1 - measure / 2), {"part": "distance"})
    yield from _landmarks(step, at_hand, 0, 1)


def _level(step: Step, at_hand: AtHand) -> Iterator[Try]:
    yield Try("levels-exchanged", replace(step, inputs=step.inputs[::-1]), {})
    yield from _landmarks(step, at_hand, 0, 1)


def _turn(step: Step, at_hand: AtHand) -> Iterator[Try]:
    measure = at_hand.work[step.measured_by] if step.measured_by else step.measure
    if measure:
        yield Try("turned-other-way", remeasured(step, -measure), {})
        yield Try("halved", remeasured(step, measure / 2), {"part": "angle"})
        yield Try("taken-twice", remeasured(step, measure * 2), {"part": "angle"})
    yield Try("not-moved", _stays(step, step.inputs[0]), {"part": step.inputs[0]})
    yield from _landmarks(step, at_hand, 1, code="wrong-pin")


def _moved(step: Step, at_hand: AtHand) -> Iterator[Try]:
    yield Try("not-moved", _stays(step, step.inputs[0]), {"part": step.inputs[0]})


def _dart_point(step: Step, at_hand: AtHand) -> Iterator[Try]:
    leg, leg2, level = (at_hand.work[n] for n in step.inputs)
    middle, across = leg.middle(leg2), (leg2 - leg).unit()
    down = across.right() if across.right().y < 0 else across.left()
    foot = level.y - step.measure
    way = 1 if foot < middle.y else -1
    for code, place in (
        ("dart-from-mouth", middle + down * (way * abs(step.measure))),
        ("dart-legs-unequal", Point(middle.x, foot)),
        ("dart-legs-unequal", Point(leg.x, foot)),
        ("dart-legs-unequal", Point(leg2.x, foot)),
    ):
        yield Try(code, _placed(step, place), {})
    yield Try(
        "wrong-direction", remeasured(step, -step.measure), {"way": "down" if step.measure > 0 else "up"}
    )
    yield from _landmarks(step, at_hand, 2)


def _curve(step: Step, at_hand: AtHand) -> Iterator[Try]:
    curve = at_hand.work.done(step)
    yield Try("straight-for-curve", _placed(step, line(curve.start, curve.end)), {})
    chord = (curve.end - curve.start).angle
    for end in ("start", "end"):
        if step.options.get(end) is not None:
            free = {**step.options, end: None}
            yield Try("end-not-square", replace(step, options=free), {"part": f"its {end}"})
            yield Try("end-not-square", replace(step, options={**free, end: chord}), {"part": f"its {end}"})
    over = tuple(
        tuple(complex(*_mirrored(Point(z.real, z.imag), curve.start, curve.end)) for z in s)
        for s in curve.segments
    )
    yield Try("bulges-other-way", _placed(step, Curve(over)), {})


def _mirrored(p: Point, a: Point, b: Point) -> Point:
    u = (b - a).unit()
    foot = a + u * (p - a).dot(u)
    return foot + (foot - p)


def _line(step: Step, at_hand: AtHand) -> Iterator[Try]:
    yield from _landmarks(step, at_hand, 0, 1)


def _length(step: Step, at_hand: AtHand) -> Iterator[Try]:
    curve = at_hand.work[step.inputs[0]]
    if not curve.is_straight:
        yield Try("chord-not-curve", _placed(step, curve.start.distance(curve.end)), {"part": step.inputs[0]})
    for name in _others(at_hand, *step.inputs, curve=True):
        yield Try("wrong-line", _at(step, 0, name), {"other": name, "part": step.inputs[0]})
    yield from _read(step, curve.length, at_hand)


def _distance(step: Step, at_hand: AtHand) -> Iterator[Try]:
    yield from _landmarks(step, at_hand, 0, 1)
    yield from _read(step, at_hand.work.done(step), at_hand)


def _read(step: Step, length: float, at_hand: AtHand) -> Iterator[Try]:
    """Slips in reading a tape or a ruler."""
    given = remeasured(replace(step, op="given", inputs=(), options={}), length)
    yield from mismeasured(given, at_hand)


def _crossing(step: Step, at_hand: AtHand) -> Iterator[Try]:
    options = {**step.options, "last": not step.options.get("last")}
    yield Try("wrong-crossing", replace(step, options=options), {})
    for k in (0, 1):
        for name in _others(
            at_hand, step.name, *step.inputs, curve=isinstance(at_hand.work[step.inputs[k]], Curve)
        ):
            yield Try("wrong-landmark", _at(step, k, name), {"other": name, "part": step.inputs[k]})


def _end(step: Step, at_hand: AtHand) -> Iterator[Try]:
    other = "start" if step.options["at"] == "end" else "end"
    yield Try("wrong-end", replace(step, options={"at": other}), {"part": step.inputs[0]})


def _parallel(step: Step, at_hand: AtHand) -> Iterator[Try]:
    yield Try("wrong-side", remeasured(step, -step.measure), {"way": step.options.get("side", "right")})


_OPERATIONS = {
    "go": _go,
    "along": _along,
    "square": _square,
    "on": _on,
    "middle": _share,
    "share": _share,
    "level": _level,
    "turn": _turn,
    "mirror": _moved,
    "lay": _moved,
    "shift": _moved,
    "dart point": _dart_point,
    "curve": _curve,
    "line": _line,
    "length": _length,
    "distance": _distance,
    "crossing": _crossing,
    "level on": _crossing,
    "upright crossing": _crossing,
    "end": _end,
    "parallel": _parallel,
}

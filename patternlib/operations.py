"""The operations a drafting step can be: what each computes and how it is said.

A step's value is a Point, a Curve or a number (cm or degrees). Each operation is a pure function of the
values of earlier steps, one measure and fixed options, so that a recording can be replayed on others.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, TypeAlias

from .errors import GeometryError
from .geometry import Curve, Move, Point, direction, fair, fair_between, line, meet_lines

WAYS = {"right": 0.0, "up": 90.0, "left": 180.0, "down": 270.0}
Value: TypeAlias = Point | Curve | float
"""What a step can give."""


class Operation(NamedTuple):
    """compute(args, measure, options, get) -> value; said: a sentence with the fields of `Step.text`."""

    compute: Callable[[list[Any], Any, Mapping[str, Any], Callable[[str], Any]], Value]
    said: str
    gives: str  # 'point', 'curve', 'number' or 'same' (as its first input)


def arrow(way: float | str, get: Callable[[str], Any]) -> Point:
    """The direction meant by a word, an angle in degrees, or the name of a step that gives an angle."""
    if isinstance(way, str):
        way = WAYS[way] if way in WAYS else get(way)
    return direction(way)


def _turned(thing: Curve | Point, move: Move) -> Value:
    return thing.moved(move) if isinstance(thing, Curve) else move(thing)


def _on_curve(args, measure, options, get):
    curve: Curve = args[0]
    return curve.at(curve.length - measure if options.get("from_end") else measure)


def _part(args, measure, options, get):
    curve, *ends = args
    return curve.part(*(curve.closest(p)[0] for p in ends))


def _only(places):
    if not places:
        raise GeometryError("the upright does not cross this line: move the upright toward the middle.")
    return places[0]


def _crossing(args, measure, options, get):
    curve, other = args
    places = curve.meets(other)
    if not places:
        raise GeometryError("two lines of the draft do not meet: check the steps that placed them.")
    return curve.at(places[-1 if options.get("last") else 0])


def _level_on(args, measure, options, get):
    curve, point = args
    places = curve.meets_line(point, point + Point(1, 0))
    if not places:
        raise GeometryError("the level does not cross this line: check how high the level lies.")
    return curve.at(places[-1 if options.get("last") else 0])


def _curve(args, measure, options, get):
    start, end = (None if way is None else arrow(way, get) for way in map(options.get, ("start", "end")))
    if len(args) == 2 and start is not None and end is not None and "fullness" not in options:
        return fair_between(*args, start=start, end=end)
    return fair(args, start=start, end=end, fullness=options.get("fullness", 1.0))


def parallel(curve: Curve, distance: float) -> Curve:
    """A curve at a distance to the right of another (negative: to the left), cm.

    Fair through points of the true parallel, at most 2 cm apart; off by less than 0.002 cm on the gentle
    curves of a plan.
    """
    n = min(max(1, round(curve.length / 2)), 60) if not curve.is_straight else 1
    places = [curve.length * k / n for k in range(n + 1)]
    points = [curve.at(s) + curve.direction(s).right() * distance for s in places]
    if n == 1:
        return line(*points)
    return fair(points, start=curve.start_direction, end=curve.end_direction)


def _angle(args, measure, options, get):
    thing, *rest = args
    if isinstance(thing, Curve):
        way = thing.start_direction if options.get("at") == "start" else thing.end_direction
    else:
        way = rest[0] - thing
    return way.angle + (measure or 0.0)


def _meet_squared(args, measure, options, get):
    p, q, r = args
    u = (q - p).unit()
    return p + u * (r - p).dot(u)


def _square(args, measure, options, get):
    corner, other = args
    u = (other - corner).unit()
    return corner + (u.left() if options["side"] == "left" else u.right()) * measure


def _swing(args, measure, options, get):
    centre, level = args
    down = level.y - centre.y
    if measure < abs(down):
        raise GeometryError(
            f"an arc of {measure:.1f} cm does not reach a level {abs(down):.1f} cm away: take a longer one."
        )
    across = math.sqrt(measure**2 - down**2)
    return Point(centre.x + (across if options["side"] == "right" else -across), level.y)


def _swing_down(args, measure, options, get):
    centre, upright = args
    across = abs(upright.x - centre.x)
    if measure < across:
        raise GeometryError(
            f"an arc of {measure:.1f} cm does not reach an upright {across:.1f} cm away: take a longer one."
        )
    return Point(upright.x, centre.y - math.sqrt(measure**2 - across**2))


def _dart_point(args, measure, options, get):
    """On the line square to the middle of the mouth, so that both legs are equal."""
    leg, leg2, level = args
    across = (leg2 - leg).unit()
    return meet_lines(leg.middle(leg2), across.left(), level - Point(0, measure), Point(1, 0))


def _dart_angle(args, measure, options, get):
    pin, mouth = args
    leg = pin.distance(mouth)
    half = measure / 2 / leg if leg > 1e-9 else math.inf
    if not abs(half) < 0.7:
        raise GeometryError(f"a dart mouth of {measure:.1f} cm is too wide for its length: take less.")
    return math.degrees(2 * math.asin(half))


def closed_side(args, turn: float, lean: float) -> tuple[Curve, Curve]:
    """(hip curve, waist) of a quarter whose side has been turned about a pin, both redrawn fair.

    args: centre waist, side waist, side hip, pin; turn, lean: degrees, see 'closing angle'.
    """
    centre, waist, hip, pin = args
    move = Move.turn(pin, turn)
    hip, waist = move(hip), move(waist)
    side = fair([hip, waist], start=direction(90 + turn + lean))
    outward = 1 if waist.x > centre.x else -1
    line_in = fair(
        [centre, waist], start=Point(outward, 0), end=direction(side.end_direction.angle - 90 * outward)
    )
    return side, line_in


def _closing(args, measure, options, get):
    """The turn about the pin for which the waist, redrawn fair, measures exactly `measure` (secant)."""

    def over(turn: float) -> float:
        return closed_side(args, turn, options["lean"])[1].length - measure

    t0 = options["first"]
    t1 = t0 + 0.5
    f0, f1 = over(t0), over(t1)
    for _ in range(30):
        if abs(f1) < 1e-8:
            return t1
        if f1 == f0:
            break
        t0, t1, f0 = t1, t1 - f1 * (t1 - t0) / (f1 - f0), f1
        if not abs(t1) < 60:
            break
        f1 = over(t1)
    raise GeometryError("the dart cannot be closed on this waist: measure waist and hip again.")


def _length(args, measure, options, get):
    return args[0].length


def _sum(args, measure, options, get):
    return measure + sum(factor * value for value, factor in zip(args, options["factors"], strict=True))


OPERATIONS: dict[str, Operation] = {
    # points
    "start": Operation(lambda a, m, o, g: Point(*o["at"]), "Mark {name} to start from", "point"),
    "trace": Operation(lambda a, m, o, g: o["value"], "Trace {name} from {of}", "same"),
    "go": Operation(
        lambda a, m, o, g: a[0] + arrow(o["way"], g) * m, "From {0} go {way} {measure}: mark {name}", "point"
    ),
    "along": Operation(
        lambda a, m, o, g: a[0].toward(a[1], m),
        "From {0} measure {measure} on the straight line toward {1}: mark {name}",
        "point",
    ),
    "square": Operation(
        _square, "At {0} square {measure} to the {side} of the line {0} to {1}: mark {name}", "point"
    ),
    "swing": Operation(
        _swing, "From {0} swing {measure} to the {side} until it meets the level of {1}: mark {name}", "point"
    ),
    "swing down": Operation(
        _swing_down, "From {0} swing {measure} downward to the upright through {1}: mark {name}", "point"
    ),
    "on": Operation(_on_curve, "Walk {measure} along {0} from its {end_word}: mark {name}", "point"),
    "middle": Operation(
        lambda a, m, o, g: a[0].middle(a[1]), "Mark {name} midway between {0} and {1}", "point"
    ),
    "share": Operation(
        lambda a, m, o, g: a[0] + (a[1] - a[0]) * m,
        "Mark {name} at {share} of the way from {0} to {1}",
        "point",
    ),
    "level": Operation(
        lambda a, m, o, g: Point(a[1].x, a[0].y),
        "Carry the level of {0} across to {1}'s upright: mark {name}",
        "point",
    ),
    "level on": Operation(_level_on, "Where {0} crosses the level of {1}, mark {name}", "point"),
    "upright crossing": Operation(
        lambda a, m, o, g: a[0].at(_only(a[0].meets_line(a[1], a[1] + Point(0, 1)))),
        "Where {0} crosses the upright through {1}, mark {name}",
        "point",
    ),
    "crossing": Operation(_crossing, "Where {0} crosses {1}, mark {name}", "point"),
    "meeting": Operation(
        lambda a, m, o, g: meet_lines(a[0], a[1] - a[0], a[2], a[3] - a[2]),
        "Extend the lines {0} to {1} and {2} to {3} until they meet: mark {name}",
        "point",
    ),
    "foot": Operation(_meet_squared, "Square from {2} to the line {0} to {1}: mark {name}", "point"),
    "dart point": Operation(
        _dart_point,
        "From the middle between {0} and {1} go square to them until {measure} {side} the level of {2}: "
        "mark {name}",
        "point",
    ),
    "end": Operation(
        lambda a, m, o, g: a[0].end if o["at"] == "end" else a[0].start,
        "Name the {at} of {0}: {name}",
        "point",
    ),
    # curves
    "line": Operation(lambda a, m, o, g: line(a[0], a[1]), "Rule {name} from {0} to {1}", "curve"),
    "curve": Operation(
        _curve, "Draw {name} as a fair curve from {0} to {last}{through}{directions}", "curve"
    ),
    "part": Operation(_part, "Take {name} from {0} between {1} and {2}", "curve"),
    "parallel": Operation(
        lambda a, m, o, g: parallel(a[0], m if o.get("side", "right") == "right" else -m),
        "Draw {name} along {0} at a distance of {measure}",
        "curve",
    ),
    "joined": Operation(lambda a, m, o, g: a[0].joined(*a[1:]), "Join {all} into one line: {name}", "curve"),
    # moves of paper
    "turn": Operation(
        lambda a, m, o, g: _turned(a[0], Move.turn(a[1], m)),
        "Pin the paper at {1} and turn {0} by {angle}: {name}",
        "same",
    ),
    "shift": Operation(
        lambda a, m, o, g: _turned(a[0], Move.shift(*o["by"])), "Move {0} over as it is: {name}", "same"
    ),
    "lay": Operation(
        lambda a, m, o, g: _turned(a[0], Move.onto(*a[1:5])),
        "Lay the paper with {1} on {3} and {2} in the direction of {4}; trace {0}: {name}",
        "same",
    ),
    "mirror": Operation(
        lambda a, m, o, g: _turned(a[0], Move.mirror(a[1], a[2])),
        "Fold the paper along {1} to {2} and trace {0} through: {name}",
        "same",
    ),
    # numbers
    "given": Operation(lambda a, m, o, g: m, "Note {name}: {measure}", "number"),
    "length": Operation(_length, "Measure {0} with the tape on its edge: {name}", "number"),
    "distance": Operation(
        lambda a, m, o, g: a[0].distance(a[1]), "Measure from {0} to {1}: {name}", "number"
    ),
    "angle": Operation(_angle, "Take the direction {square}: {name}", "number"),
    "dart angle": Operation(
        _dart_angle, "A dart from {0} that opens {measure} at {1} has the {name}", "number"
    ),
    "closing angle": Operation(
        _closing,
        "Pin at {3}, close the dart and redraw the waist fair; turn a little more or less until the waist "
        "measures {measure}: {name}",
        "number",
    ),
    "smallest": Operation(lambda a, m, o, g: min(a), "Of {any_of} take the smallest: {name}", "number"),
    "sum": Operation(_sum, "Calculate {name}: {reckoned}", "number"),
}

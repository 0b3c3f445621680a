"""Slips as students make them, with plain arithmetic on points and lengths, apart from the judge's own."""

from __future__ import annotations

import math

import numpy as np

from patternlib.assess.judging.deviation import gap
from patternlib.errors import PatternError
from patternlib.geometry import Curve, Move, Point, line


def _measure_slips(step, draft, exercise, numbers):
    """(name of the slip, wrong measure) for a step whose measure is read or calculated."""
    if step.op == "sum":
        parts = [(n, f, draft[n]) for n, f in zip(step.inputs, step.options["factors"], strict=True)]
        m = step.value
    else:
        terms = exercise.terms.get(step.name, {})
        parts = [(n, f, numbers[n]) for n, f in terms.items()]
        m = draft[step.measured_by] if step.measured_by else step.measure
        if parts and abs(sum(f * v for _, f, v in parts) - m) > 1e-6:
            parts = []
    found = []
    for name, f, v in parts:
        is_ease = "ease" in name
        if abs(f) == 0.25 and not is_ease:
            found += [
                ("quarter-forgotten", m + 0.75 * v * np.sign(f)),
                ("half-for-quarter", m + 0.25 * v * np.sign(f)),
            ]
        if abs(f) == 0.5 and not is_ease:
            found += [
                ("half-forgotten", m + 0.5 * v * np.sign(f)),
                ("quarter-for-half", m - 0.25 * v * np.sign(f)),
            ]
        if is_ease:
            found += [("ease-forgotten", m - f * v), ("ease-twice", m + f * v)]
            if abs(f) < 1:
                found += [("ease-undivided", m + (1 - abs(f)) * v * np.sign(f))]
        if "allowance" in name:
            found += [("allowance-forgotten", m - f * v)]
        swap = {
            "hip_girth": "waist_girth",
            "waist_girth": "hip_girth",
            "yoke_depth": "yoke_side_depth",
            "back_waist_length": "front_waist_length",
            "bib_top": "bib_height",
            "pocket_length": "pocket_width",
        }
        key = name.replace(" ", "_")
        if key in swap and swap[key] in numbers:
            found.append(("neighbour-measure", m + f * (numbers[swap[key]] - v)))
    if "angle" not in step.name and step.op != "share":
        found += [
            ("inches-as-cm", m / 2.54),
            ("cm-as-inches", m * 2.54),
            ("ruler-mark", m + 1),
            ("ruler-mark", m - 1),
            ("ruler-mark", m + 10),
            ("ruler-mark", m - 10),
        ]
        digits = f"{m:.1f}"
        if m >= 10 and digits[0] != digits[1]:
            found.append(("digits-swapped", float(digits[1] + digits[0] + digits[2:])))
        if exercise.allowance:
            found += [
                ("allowance-added", m + exercise.allowance),
                ("allowance-forgotten", m - exercise.allowance),
            ]
    return found


def _others(name, exercise, draft):
    """Points that are on the paper before a step."""
    before = set()
    for step in draft:
        if step.name == name:
            break
        before.add(step.name)
    known = [*exercise.given(draft), *(a.name for a in exercise.steps())]
    return [n for n in dict.fromkeys(known) if n in before and isinstance(draft[n], Point)]


def slips(name, draft, exercise, numbers):
    """(name of the slip, wrong value) for one asked step."""
    step = draft.step(name)
    return [
        *_wrong_measures(step, draft, exercise, numbers),
        *_wrong_ways(step, draft, exercise),
        *_wrong_constructions(step, draft),
        *_wrong_lines(step, draft, exercise),
    ]


def _wrong_measures(step, draft, exercise, numbers):
    """The step with another measure."""
    value, found = step.value, []
    if step.op in ("go", "along", "on", "given", "sum") and (step.measure is not None or step.measured_by):
        right = draft[step.measured_by] if step.measured_by else step.measure
        if step.op == "sum":
            right = step.value
        for code, wrong in _measure_slips(step, draft, exercise, numbers):
            if step.op in ("given", "sum"):
                found.append((code, wrong))
            elif step.op == "on":
                curve = draft[step.inputs[0]]
                at = curve.length - wrong if step.options.get("from_end") else wrong
                if 0 < at < curve.length:
                    found.append((code, curve.at(at)))
            elif right:  # from a length of 0, as a draft with a slip may have it, no slip can be told
                start = draft[step.inputs[0]]
                found.append((code, start + (value - start) * (wrong / right)))
    return found


def _wrong_ways(step, draft, exercise):
    """The measure laid another way, or from another place."""
    value, found = step.value, []
    if step.op == "go":
        start = draft[step.inputs[0]]
        way = step.options["way"]
        found.append(
            ("wrong-side" if way in ("left", "right") else "wrong-direction", start - (value - start))
        )
        found.append(("not-moved", start))
        for other in _others(step.name, exercise, draft):
            if other != step.inputs[0]:
                found.append(("wrong-landmark", value + (draft[other] - start)))
    if step.op == "along":
        start, toward = (draft[n] for n in step.inputs[:2])
        found.append(("wrong-direction", start - (value - start)))
        found.append(("wrong-end", toward + (start - toward).unit() * start.distance(value)))
        flat = Point(math.copysign(1, toward.x - start.x), 0)
        up = Point(0, math.copysign(1, toward.y - start.y))
        way = max(flat, up, key=lambda u: u.dot((toward - start).unit()))
        found.append(("square-not-slope", start + way * start.distance(value)))
    if step.op == "on":
        curve = draft[step.inputs[0]]
        walked = curve.closest(value)[0]
        found.append(("wrong-end", curve.at(curve.length - walked)))
        a, b = (curve.end, curve.start) if step.options.get("from_end") else (curve.start, curve.end)
        found.append(("chord-not-curve", a.toward(b, abs(curve.closest(a)[0] - walked))))
    return found


def _wrong_constructions(step, draft):
    """A point found from others in a wrong way."""
    value, found = step.value, []
    if step.op == "level":
        a, b = (draft[n] for n in step.inputs)
        found.append(("levels-exchanged", Point(a.x, b.y)))
    if step.op == "turn" and isinstance(value, Point):
        start, pin = (draft[n] for n in step.inputs[:2])
        turn = draft[step.measured_by] if step.measured_by else step.measure
        found += [
            ("turned-other-way", Move.turn(pin, -turn)(start)),
            ("not-moved", start),
            ("halved", Move.turn(pin, turn / 2)(start)),
        ]
    if step.op in ("mirror", "lay") and isinstance(value, Point):
        found.append(("not-moved", draft[step.inputs[0]]))
    if step.op == "square":
        corner = draft[step.inputs[0]]
        found.append(("wrong-side", corner - (value - corner)))
    if step.op == "dart point":
        leg, leg2 = (draft[n] for n in step.inputs[:2])
        middle = leg.middle(leg2)
        found.append(("dart-legs-unequal", Point(leg2.x, value.y)))
        found.append(
            ("wrong-direction", Point(middle.x - (value.x - middle.x), 2 * draft[step.inputs[2]].y - value.y))
        )
    if step.op == "middle":
        a, b = (draft[n] for n in step.inputs)
        found.append(("halved", a + (b - a) * 0.25))
    return found


def _wrong_lines(step, draft, exercise):
    """A line drawn otherwise, or a length taken or written down wrongly."""
    value, found = step.value, []
    if step.op in ("curve", "parallel") and not value.is_straight:
        found.append(("straight-for-curve", line(value.start, value.end)))
    if step.op == "curve":
        fold = Move.mirror(value.start, value.end)
        over = Curve(tuple(tuple(complex(*fold(Point(z.real, z.imag))) for z in s) for s in value.segments))
        found.append(("bulges-other-way", over))
    if step.op == "length":
        curve = draft[step.inputs[0]]
        if not curve.is_straight:
            found.append(("chord-not-curve", curve.start.distance(curve.end)))
    if step.op in ("length", "distance"):
        if exercise.allowance:
            found += [
                ("allowance-added", value + exercise.allowance),
                ("allowance-added", value + 2 * exercise.allowance),
            ]
        found += [
            ("inches-as-cm", value / 2.54),
            ("cm-as-inches", value * 2.54),
            ("ruler-mark", value + 1),
            ("ruler-mark", value - 10),
        ]
    return found


def no_known_slip(value, dice):
    """A mark that is off for no reason that has a name."""
    if isinstance(value, Point):
        return value + Point(*(dice.uniform(0.7, 9.0, 2) * dice.choice([-1, 1], 2)))
    if isinstance(value, Curve):
        return value.moved(Move.shift(*(dice.uniform(0.9, 4.0, 2) * dice.choice([-1, 1], 2))))
    return value + dice.uniform(1.2, 8.0) * dice.choice([-1, 1])


def tells(value, wrong, allowed: float) -> bool:
    """Whether a slip moves its step far enough to be seen at all."""
    try:
        return gap(wrong, value).distance > 2 * allowed and gap(wrong, value).distance < 500
    except PatternError:
        return False

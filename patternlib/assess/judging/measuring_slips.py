"""Slips: what a student may have done in place of a step, each tried on that one step.

A try is a code and another step; if the other step, done on the student's own earlier points, gives the
student's value, the code names the slip. Which tries there are follows from the operation, the measure,
its parts and the points at hand, and an exercise need not list its own slips.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import NamedTuple

from ...draft import Step
from ...units import CM_PER_INCH
from ..tasks.rework import Rework


class Part(NamedTuple):
    """One part of a measure: its name, how much of it is taken, and the whole of it (cm)."""

    name: str
    factor: float
    value: float


class Try(NamedTuple):
    """A slip's code, the step done in place of the right one, and words for the remark."""

    code: str
    step: Step
    words: Mapping[str, str]


@dataclass(frozen=True)
class AtHand:
    """What a slip can draw on: the draft on the student's points, the parts of measures, all numbers given.

    terms: step name -> {name of a number: factor}; numbers: every measure and style value, cm; places:
    points and curves that are on the paper already; allowance: what is added round a piece, 0 for a plan.
    """

    work: Rework
    terms: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    numbers: Mapping[str, float] = field(default_factory=dict)
    places: tuple[str, ...] = ()
    allowance: float = 0.0


LIKELY = {
    "half-forgotten": 3.0,
    "quarter-forgotten": 3.0,
    "half-for-quarter": 3.0,
    "quarter-for-half": 2.5,
    "quarter-twice": 1.0,
    "quarter-for-radius": 3.0,
    "ease-forgotten": 3.0,
    "ease-twice": 1.5,
    "ease-undivided": 2.0,
    "allowance-forgotten": 3.0,
    "allowance-twice": 2.0,
    "allowance-added": 2.5,
    "part-forgotten": 1.5,
    "part-reversed": 1.5,
    "neighbour-measure": 2.0,
    "inches-as-cm": 2.5,
    "cm-as-inches": 2.5,
    "digits-swapped": 1.2,
    "ruler-mark": 1.5,
    "taken-twice": 1.2,
    "halved": 1.2,
    "point-misplaced": 1.0,
    "wrong-direction": 2.5,
    "wrong-side": 2.5,
    "turned-quarter": 1.0,
    "slope-not-square": 1.5,
    "square-not-slope": 2.0,
    "level-not-square": 2.0,
    "slope-other-way": 1.5,
    "wrong-landmark": 2.0,
    "wrong-end": 2.5,
    "chord-not-curve": 1.5,
    "tape-flat": 1.0,
    "wrong-line": 1.0,
    "levels-exchanged": 1.5,
    "turned-other-way": 2.5,
    "wrong-pin": 1.0,
    "not-moved": 1.2,
    "dart-half": 2.5,
    "dart-from-mouth": 1.5,
    "dart-legs-unequal": 2.0,
    "straight-for-curve": 2.0,
    "bulges-other-way": 2.0,
    "end-not-square": 1.5,
    "wrong-crossing": 1.5,
    "anothers-place": 0.8,
}
"""How often a slip is made beside the others: a rough order from common practice, no source."""

NEIGHBOURS = {
    "bust_girth": ("waist_girth", "hip_girth"),
    "waist_girth": ("hip_girth", "bust_girth"),
    "hip_girth": ("waist_girth", "bust_girth"),
    "back_waist_length": ("front_waist_length", "armhole_depth"),
    "front_waist_length": ("back_waist_length", "neck_to_bust"),
    "armhole_depth": ("waist_to_hip", "back_waist_length"),
    "waist_to_hip": ("armhole_depth", "skirt_length"),
    "shoulder_length": ("bust_span", "neck_to_bust"),
    "bust_span": ("shoulder_length",),
    "neck_girth": ("upper_arm_girth",),
    "back_width": ("chest_width",),
    "chest_width": ("back_width", "bust_span"),
    "hip_ease": ("waist_ease",),
    "waist_ease": ("hip_ease",),
    "bust_ease": ("waist_ease",),
    "waistband": ("yoke_depth", "yoke_side_depth", "hem"),
    "yoke_depth": ("yoke_side_depth", "waistband"),
    "yoke_side_depth": ("yoke_depth",),
    "bib_top": ("bib_height", "bib_pocket_width"),
    "bib_height": ("bib_top",),
    "bib_pocket_width": ("bib_pocket_depth", "pocket_width"),
    "bib_pocket_depth": ("bib_pocket_width", "pocket_length"),
    "pocket_width": ("pocket_length", "bib_pocket_width"),
    "pocket_length": ("pocket_width", "bib_pocket_depth"),
    "back_rise": ("strap_level",),
    "strap_level": ("back_rise",),
    "opening": ("yoke_side_depth", "waistband"),
}
"""Measures that stand beside one another in a table and are read in each other's place."""


MEASURED = {"go", "along", "square", "on", "dart angle", "given", "sum", "parallel", "dart point", "share"}
"""Operations whose measure is read off a ruler or calculated."""


def remeasured(step: Step, measure: float) -> Step:
    """The step with another measure, calculated already."""
    if step.op == "sum":
        return replace(step, op="given", inputs=(), measure=measure, measured_by="", options={})
    return replace(step, measure=measure, measured_by="")


def _parts(step: Step, at_hand: AtHand) -> tuple[list[Part], float]:
    """The parts of a step's measure and what is added to them."""
    if step.op == "sum":
        factors = step.options["factors"]
        return [
            Part(n, f, at_hand.work[n]) for n, f in zip(step.inputs, factors, strict=True)
        ], step.measure or 0.0
    terms = at_hand.terms.get(step.name, {})
    parts = [Part(n, f, at_hand.numbers[n]) for n, f in terms.items()]
    if parts and step.measure is not None and abs(_total(parts, 0.0) - step.measure) < 1e-6:
        return parts, 0.0
    measure = at_hand.work[step.measured_by] if step.measured_by else step.measure
    return [Part(step.source or step.measured_by or "measure", 1.0, measure)], 0.0


def _total(parts: list[Part], constant: float) -> float:
    return constant + sum(p.factor * p.value for p in parts)


def _near(value: float, other: float) -> bool:
    return abs(abs(value) - other) < 1e-6


_SHARES = (  # a share of a whole, what is taken in its place, the slip
    (0.5, 1.0, "half-forgotten"),
    (0.25, 1.0, "quarter-forgotten"),
    (0.25, 0.5, "half-for-quarter"),
    (0.5, 0.25, "quarter-for-half"),
    (0.25, 0.0625, "quarter-twice"),
    (1 / (2 * math.pi), 0.25, "quarter-for-radius"),
)


def mismeasured(step: Step, at_hand: AtHand) -> Iterator[Try]:
    if step.op not in MEASURED or (step.measure is None and not step.measured_by):
        return
    parts, constant = _parts(step, at_hand)
    degrees = step.op in ("turn", "angle") or "angle" in step.name
    yield from _share_slips(step, parts, constant)
    yield from _part_slips(step, parts, constant, at_hand)
    if constant and parts and not degrees:
        some = f"{abs(constant):.3g} cm"
        yield _other(step, "part-forgotten", parts, 0.0, part=some)
        yield _other(step, "part-reversed", parts, -constant, part=some)
    if not degrees and step.op != "share":
        yield from _whole_slips(step, _total(parts, constant), at_hand)


def _other(step: Step, code: str, changed: list[Part], constant: float, **words: str) -> Try:
    """The step measured with other parts."""
    return Try(code, remeasured(step, _total(changed, constant)), words)


def _share_slips(step: Step, parts: list[Part], constant: float) -> Iterator[Try]:
    """Another share of a part: a half or a quarter forgotten, or taken for the other."""
    for share, taken, code in _SHARES:
        shared = [k for k, p in enumerate(parts) if _near(p.factor, share)]
        for chosen in {(k,) for k in shared} | {tuple(shared)} if shared else ():
            changed = [
                p._replace(factor=math.copysign(taken, p.factor)) if k in chosen else p
                for k, p in enumerate(parts)
            ]
            names = " and ".join(_said(parts[k].name) for k in chosen)
            if len(chosen) == 1 and "ease" in names and taken == 2 * share != 1.0:
                continue  # that is the ease taken twice
            eased = len(chosen) == 1 and "ease" in names and code in ("half-forgotten", "quarter-forgotten")
            dart = "mouth" in names and code == "half-forgotten"
            named = "ease-undivided" if eased else "dart-half" if dart else code
            yield _other(step, named, changed, constant, part=names)


def _part_slips(step: Step, parts: list[Part], constant: float, at_hand: AtHand) -> Iterator[Try]:
    """A part left out, taken twice or the wrong way, or the measure beside it in the list."""
    for k, part in enumerate(parts):
        rest = [p for j, p in enumerate(parts) if j != k]
        said = _said(part.name)
        kind = next((w for w in ("ease", "allowance") if w in part.name), "")
        if kind:
            twice = [*rest, part._replace(factor=2 * part.factor)]
            yield _other(step, f"{kind}-twice", twice, constant, part=said)
        if rest or constant:
            yield _other(step, f"{kind or 'part'}-forgotten", rest, constant, part=said)
            if not kind:
                reversed_ = [*rest, part._replace(factor=-part.factor)]
                yield _other(step, "part-reversed", reversed_, constant, part=said)
        for name in NEIGHBOURS.get(part.name.replace(" ", "_"), ()):
            if name in at_hand.numbers:
                beside = [*rest, part._replace(value=at_hand.numbers[name])]
                yield _other(step, "neighbour-measure", beside, constant, part=said, other=_said(name))


def _whole_slips(step: Step, whole: float, at_hand: AtHand) -> Iterator[Try]:
    """The whole length in another unit, misread on the ruler, or with the allowance."""
    for code, number in (
        ("inches-as-cm", whole / CM_PER_INCH),
        ("cm-as-inches", whole * CM_PER_INCH),
        ("taken-twice", 2 * whole),
        ("halved", whole / 2),
        ("point-misplaced", whole / 10),
        ("point-misplaced", whole * 10),
    ):
        yield Try(code, remeasured(step, number), {"part": _said(step.source)})
    for by in (1, -1, 10, -10):
        yield Try("ruler-mark", remeasured(step, whole + by), {"by": f"{abs(by)}"})
    if at_hand.allowance:
        yield Try("allowance-added", remeasured(step, whole + at_hand.allowance), {})
        yield Try("allowance-added", remeasured(step, whole + 2 * at_hand.allowance), {})
        yield Try("allowance-forgotten", remeasured(step, whole - at_hand.allowance), {})
    for number in _swapped(whole):
        yield Try("digits-swapped", remeasured(step, number), {"other": f"{number:g}"})


def _said(name: str) -> str:
    return name.replace("_", " ")


def _swapped(number: float) -> list[float]:
    """The number with two neighbouring digits exchanged, as it is read to a millimetre."""
    text = f"{abs(number):.1f}"
    digits = text.replace(".", "")
    found = []
    for k, (a, b) in enumerate(pairwise(digits)):
        if a != b:
            found.append(math.copysign(int(digits[:k] + b + a + digits[k + 2 :]) / 10, number))
    return found

"""One step of a draft: what it made and from what, and how it is said in plain trade English."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from .errors import ValueAtFault
from .geometry import Curve, fair, half_way_off
from .operations import OPERATIONS, WAYS
from .units import in_unit, write_length


@dataclass(frozen=True)
class Step:
    """One step of a draft.

    name: what it makes; op: the operation; inputs: the earlier steps it reads; measure: cm (degrees for
    'turn' and 'angle', a fraction for 'share'), None where the step has none; source: where the measure
    comes from; reason: why; value: the Point, Curve or number it gave; style: how it is drawn (aside: not);
    measured_by: the earlier step that gives the measure, '' where the measure is a plain number.
    """

    name: str
    op: str
    inputs: tuple[str, ...]
    measure: float | None
    source: str
    reason: str
    value: Any
    style: str = "construct"
    options: Mapping[str, Any] = field(default_factory=dict, hash=False)
    measured_by: str = ""

    def text(self, unit: str = "cm") -> str:
        """The step as one sentence of plain trade English, all its lengths in 'cm' or 'in'."""
        o = self.options
        upward = self.op == "dart point" and (self.measure or 0) < 0
        measure = (
            "" if self.measure is None else write_length(abs(self.measure) if upward else self.measure, unit)
        )
        if self.op == "given" and self.name.endswith("angle"):
            measure = f"{self.measure:.1f}°"
        source = in_unit(self.source, unit)
        if source:
            measure += f" ({source})"
        elif self.measured_by:
            measure += f" ({self.measured_by})"
        way = o.get("way", "")
        said = OPERATIONS[self.op].said.format(
            *self.inputs,
            name=self.name,
            measure=measure,
            way=way if isinstance(way, str) and way in WAYS else f"at {_degrees(way)}",
            side="above" if upward else "below" if self.op == "dart point" else o.get("side", ""),
            square=_square_to(self) if self.op == "angle" else "",
            of=source or "the block",
            at=o.get("at", ""),
            end_word="end" if o.get("from_end") else "start",
            share="" if self.measure is None else f"{self.measure:.3g}",
            angle=_turned_by(self.measure),
            last=self.inputs[o.get("points", 2) - 1] if self.op == "curve" else "",
            through=_through(self) if self.op == "curve" else "",
            directions=_directions(self) + _half_way_mark(self, unit) if self.op == "curve" else "",
            all=", ".join(self.inputs),
            any_of=" and ".join(filter(None, (", ".join(self.inputs[:-1]), *self.inputs[-1:]))),
            reckoned=f"{source} = {_number(self, unit)}" if self.op == "sum" else "",
        )
        if self.op in ("length", "distance") and isinstance(self.value, float):
            said += f" = {write_length(self.value, unit)}"
        return said + (f", because {in_unit(self.reason, unit)}" if self.reason else "") + "."


def _square_to(step: Step) -> str:
    """What a direction is taken of: of a line, square to it, or from a point to another."""
    first, *other = step.inputs
    square = abs(step.measure or 0) == 90
    if other:
        return f"{'square to the line ' if square else ''}from {first} to {other[0]}"
    return f"{'square to' if square else 'of'} {first}"


def _turned_by(degrees: float | None) -> str:
    """How far paper is turned, and which way round."""
    if degrees is None:
        return ""
    return f"{abs(degrees):.1f}° {'with' if degrees < 0 else 'against'} the clock"


def listed(sentences: Iterable[str], *, width: int = 72) -> str:
    """Write sentences as a list, a mark before each; lines are broken between words after `width` letters.

    >>> print(listed(["From A go down 20.5 cm.", "Rule A B."], width=20))
    · From A go down
      20.5 cm.
    · Rule A B.
    """
    lines = textwrap.TextWrapper(
        width, initial_indent="· ", subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    )
    return "\n".join(map(lines.fill, sentences))


def half_way(step: Step, unit: str = "cm") -> str:
    """How the curve of a step lies to the straight line between its ends, lengths in 'cm' or 'in'.

    With both ends and both directions given, this fixes a fair curve on paper: go square out from the middle
    of the ruled line to the curve; the tape gives its length. A step without a curve: ValueAtFault.

    >>> from patternlib.draft import Drafting
    >>> d = Drafting("a quarter of a circle")
    >>> ends = d.start("A", (10, 0)), d.start("B", (0, 10))
    >>> arc = d.curve("arc", ["A", "B"], start="up", end="left")
    >>> half_way(d.finish().step("arc"))
    'arc: 14.1 cm from end to end; half-way 2.9 cm off this line, above and to the right; 15.7 cm walked'
    """
    curve = step.value
    if not isinstance(curve, Curve):
        raise ValueAtFault("step", step.name, "makes no curve", "Name a step that draws one.")
    off = (curve.end - curve.start).unit().left() * half_way_off(curve)
    parts = ((off.y, ("above", "below")), (off.x, ("to the right", "to the left")))
    ways = [words[part < 0] for part, words in parts if abs(part) > 0.38 * off.length]
    lies = "on this line"
    if off.length >= 0.05:
        lies = f"{write_length(off.length, unit)} off this line, {' and '.join(ways)}"
    chord, walked = (write_length(v, unit) for v in (curve.start.distance(curve.end), curve.length))
    return f"{step.name}: {chord} from end to end; half-way {lies}; {walked} walked"


def _degrees(way: str | float) -> str:
    return (
        f"{round(way, 1) + 0.0:g}°"
        if isinstance(way, int | float)
        else f"the angle of {way.removesuffix(', angle')}"
    )


def _number(step: Step, unit: str) -> str:
    """The result of a calculation: degrees where the step gives an angle, else a length."""
    return f"{step.value:.1f}°" if step.name.endswith("angle") else write_length(step.value, unit)


def _through(step: Step) -> str:
    between = step.inputs[1 : step.options["points"] - 1]
    return f" through {', '.join(between)}" if between else ""


def _directions(step: Step) -> str:
    said = []
    for key, verb in (("start", "leaving"), ("end", "arriving")):
        way = step.options.get(key)
        if way is not None:
            said.append(f"{verb} {way if way in WAYS else 'at ' + _degrees(way)}")
    return ", " + " and ".join(said) if said else ""


def _half_way_mark(step: Step, unit: str) -> str:
    """The half-way mark of a curve that its ends and directions do not fix: it was bent more or less."""
    curve = step.value
    if not isinstance(curve, Curve) or len(curve.segments) > 1 or len(_directions(step).split(" and ")) < 2:
        return ""
    as_it_likes = fair([curve.start, curve.end], start=curve.start_direction, end=curve.end_direction)
    if abs(half_way_off(curve) - half_way_off(as_it_likes)) < 0.05:
        return ""
    off = half_way_off(curve)
    side = "left" if off > 0 else "right"
    return f", half-way {write_length(abs(off), unit)} off the straight line to its {side}"

"""Does an altered block still agree with itself? Seams are walked, corners measured, edges compared.

Every figure is taken from the outlines as they are drawn, not from the steps that drew them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from .. import tolerances
from ..checking import Finding
from ..draft import Draft
from ..geometry import Curve, Move, Outline, Point
from ..moves import block_outline, joined_angle
from .paper import Altered
from .waist_lines import is_skirt

HEM_CORNER = 1.0
"""degrees; a hem or a waist may be so far from a right angle at the centre."""


def outlines(block: Draft) -> dict[str, Outline]:
    """The 'back' and the 'front' of a block as outlines."""
    return {part: block_outline(block, part) for part in ("back", "front")}


def changed_edges(altered: Altered, part: str) -> tuple[str, ...]:
    """The edges of a part whose length has changed by more than 0.05 cm, and those that are new."""
    old, new = block_outline(altered.before, part), block_outline(altered.after, part)
    return tuple(
        name
        for name, curve in new
        if name not in old or abs(curve.length - old[name].length) > tolerances.SEAM
    )


def is_changed(altered: Altered, part: str) -> bool:
    """Whether the 'back' or 'front' has another outline, laid on the old one at its centre."""
    old, new = centred(altered.before, part), centred(altered.after, part)
    return old.names != new.names or any(
        old[name].at(share * old[name].length).distance(curve.at(share * curve.length)) > tolerances.SEAM
        for name, curve in new
        for share in (0.0, 0.5, 1.0)
    )


def centred(block: Draft, part: str) -> Outline:
    """A part as an outline with its centre on x = 0."""
    outline = block_outline(block, part)
    return outline.moved(Move.shift(-outline[f"centre {part}"].start.x, 0))


def shoulder_seam(outline: Outline) -> float:
    """The shoulder of a bodice part with its dart closed, cm."""
    return sum(curve.length for name, curve in outline if name.startswith("shoulder") and " leg" not in name)


def agreement(block: Draft) -> tuple[Finding, ...]:
    """What does not agree in a block; empty where every seam walks and every corner is right."""
    parts = outlines(block)
    found = [*_walks(parts), *_centres(parts)]
    found += _skirt_corners(parts) if is_skirt(block) else _bodice_corners(parts)
    return tuple(found)


def _finding(where: str, got: float, want: float, tolerance: float, text: str) -> Iterator[Finding]:
    if abs(got - want) > tolerance:
        yield Finding(760, "error", where, got, want, tolerance, text)


def _walks(parts: dict[str, Outline]) -> Iterator[Finding]:
    back, front = (sum(c.length for n, c in parts[p] if n.startswith("side")) for p in ("back", "front"))
    text = f"the sides measure {back:.2f} cm at the back and {front:.2f} cm at the front: true the side seam."
    yield from _finding("side seam", back, front, tolerances.SEAM, text)
    for part, outline in parts.items():
        for name, curve in outline:
            if ", centre leg" in name or ", neck leg" in name:
                other = outline[name.replace("centre leg", "side leg").replace("neck leg", "armhole leg")]
                text = f"the legs measure {curve.length:.2f} and {other.length:.2f} cm: true the dart."
                yield from _finding(f"{part}, {name}", curve.length, other.length, tolerances.SEAM, text)


def _centres(parts: dict[str, Outline]) -> Iterator[Finding]:
    for part, outline in parts.items():
        centre = outline[f"centre {part}"]
        off = abs(centre.start.x - centre.end.x)
        yield from _finding(
            f"centre {part}", off, 0.0, tolerances.SEAM, f"the centre {part} is not straight: rule it again."
        )
        for (name, curve), (name2, curve2) in outline.corners():
            if f"centre {part}" in (name, name2):
                angle = _angle(curve.end_direction, curve2.start_direction)
                text = f"{name} and {name2} do not meet square: draw the line again, square to the centre."
                yield from _finding(f"{part}, {name} and {name2}", angle, 90.0, HEM_CORNER, text)


def _angle(u: Point, v: Point) -> float:
    return abs(math.degrees(math.atan2(u.cross(v), u.dot(v))))


def _smooth(where: str, edge: Curve, seam: Curve, edge2: Curve, seam2: Curve) -> Iterator[Finding]:
    angle = joined_angle(edge, seam, edge2, seam2)
    text = f"joined at the seam it shows a corner of {angle:.0f} degrees: draw it again, square to the seam."
    yield from _finding(where, angle, 180.0, tolerances.SMOOTH, text)


def _at_side(outline: Outline) -> Curve:
    """The part of the waist that meets the side."""
    name = "waist, side part" if "waist, side part" in outline else "waist"
    return outline[name]


def _skirt_corners(parts: dict[str, Outline]) -> Iterator[Finding]:
    back, front = parts["back"], parts["front"]
    yield from _smooth("hem at the side", back["hem"], back["side"], front["hem"], front["side"])
    yield from _waist_at_side(parts)


def _waist_at_side(parts: dict[str, Outline]) -> Iterator[Finding]:
    back, front = parts["back"], parts["front"]
    yield from _smooth("waist at the side", _at_side(back), back["side"], _at_side(front), front["side"])


def _shoulder(outline: Outline, part: str) -> Curve:
    return outline[f"shoulder, {part}" if f"shoulder, {part}" in outline else "shoulder"]


def _bodice_corners(parts: dict[str, Outline]) -> Iterator[Finding]:
    back, front = parts["back"], parts["front"]
    yield from _waist_at_side(parts)
    yield from _smooth("armhole at the side", back["armhole"], back["side"], front["armhole"], front["side"])
    tips = [(o["armhole"], _shoulder(o, "armhole part")) for o in (back, front)]
    yield from _smooth("armhole at the shoulder", *tips[0], *tips[1])
    necks = [(o["neckline"], _shoulder(o, "neck part")) for o in (back, front)]
    yield from _smooth("neckline at the shoulder", *necks[0], *necks[1])
    ease = shoulder_seam(back) - shoulder_seam(front)
    if not -tolerances.SEAM <= ease <= 1.3 + tolerances.SEAM:
        text = f"the back shoulder is {ease:.2f} cm longer than the front one; 0 to 1.3 cm can be eased."
        yield Finding(761, "error", "shoulder", ease, 1.3, 0.05, text)

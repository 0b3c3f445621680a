"""The one-piece set-in sleeve block: cap top on x = 0, biceps line on y = 0, back left, front right.

It is drafted from the two armholes it is sewn into. The cap seams measure the armholes and the cap ease,
exactly; the ease lies between the notches and the cap top. The chord of each half cap, its half of the
biceps line and the cap height are the sides of a right triangle.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from ..body import Body, as_body
from ..draft import Draft, Drafting
from ..errors import GeometryError, ValueAtFault
from ..geometry import Curve, Point, fair
from ..units import Length, read_lengths, shown

BACK_SHARE = 0.55
"""Share of the cap ease at the back; a fitted muslin had 13 to 16 mm at the back and 10 to 13 mm at the
front (common practice, see tests/data/sleeve_cap_ease.csv)."""

NOTCHES = {"back": 0.42, "front": 0.38}
"""Share of each armhole, walked from the underarm, at its notch: common practice, no source."""

SHAPES = {"back": (0.125, 0.055, 0.80), "front": (0.14, 0.08, 0.78)}
"""Swell above the chord and hollow below it, each for every cm of cap height, and the hollow's share of the
chord from the cap top: the front is hollowed more, as the arm swings forward (common practice, no source)."""

FLATTER = 0.6
"""Where the underarm seam leans much beside a low cap, the hollow is so much of what would lead straight into
the underarm, at most: a deeper one bulges there (common practice, no source)."""

SWELL_AT = 0.28
LOWEST, HIGHEST = 0.11, 0.38
"""Cap height for each cm of armhole: under a flatter cap the hanging sleeve folds, a higher one holds the
lifted arm down; 0.25 in a blouse [Burton 1916]. The bounds are common practice, no source."""

STEEPEST = 0.75
"""Cap height for each cm of the shorter half of the cap seam: a steeper half leaves no room for its curve."""

ELBOW = 0.57
"""Shoulder to elbow for each cm of arm length, women and men [NATICK/TR-89/044]."""


class _Widths(NamedTuple):
    """The cap's solution: its height and the two halves of the biceps line, cm."""

    height: float
    back: float
    front: float


def sleeve_block(
    body: Body | str,
    back_armhole: Curve,
    front_armhole: Curve,
    *,
    cap_ease: Length = 2.5,
    upper_arm_ease: Length = 5.0,
    wrist_ease: Length = 5.0,
    length: Length | None = None,
) -> Draft:
    """Draft the one-piece sleeve block for two armholes, each a curve from the shoulder to the underarm.

    cap_ease: how much longer the cap is than the armhole, in all [2.5 to 3.8 in textbooks, 0 to 1 in
    shirts: tests/data/sleeve_cap_ease.csv]; upper_arm_ease, wrist_ease: in all round the arm; length: from
    the shoulder to the sleeve's end, None: the arm length; a shorter sleeve is the long one cut off; all
    cm. For an arm thin beside its armhole the sleeve is drawn wider than asked, so that the cap stays under
    0.38 of the armhole. What cannot be drawn is refused with ValueAtFault naming the value.

    >>> from patternlib.blocks.bodice import bodice_block
    >>> body = Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165)
    >>> bodice = bodice_block(body)
    >>> sleeve = sleeve_block(body, bodice["back armhole"], bodice["front armhole"])
    >>> over = sleeve["front cap"].length - bodice["front armhole"].length
    >>> round(over + sleeve["back cap"].length - bodice["back armhole"].length, 6)
    2.5
    """
    body = as_body(body)
    cap_ease, upper_arm_ease, wrist_ease, length = read_lengths(
        cap_ease=cap_ease,
        upper_arm_ease=upper_arm_ease,
        wrist_ease=wrist_ease,
        length=body.arm_length if length is None else length,
    )
    for name, curve in (("back_armhole", back_armhole), ("front_armhole", front_armhole)):
        if not isinstance(curve, Curve):
            raise ValueAtFault(
                name, shown(curve), "must be a curve", f'Take bodice.curve("{name.replace("_", " ")}").'
            )
    _check(cap_ease, upper_arm_ease, wrist_ease, length)
    armholes = {"back": back_armhole.length, "front": front_armhole.length}
    eases = {"back": BACK_SHARE * cap_ease, "front": (1 - BACK_SHARE) * cap_ease}
    seams = {part: armholes[part] + eases[part] for part in armholes}
    wanted, wrist = body.upper_arm_girth + upper_arm_ease, body.wrist_girth + wrist_ease
    found = _cap(body, seams, sum(armholes.values()), wanted, wrist)
    if length < found.height + 8:
        raise ValueAtFault(
            "length", length, "is too short below the cap", f"Take {found.height + 8.1:.1f} cm or more."
        )
    if found.back + found.front < wrist:
        raise ValueAtFault(
            "wrist_girth",
            body.wrist_girth,
            f"and its ease give {wrist:.1f} cm, more than the sleeve's {found.back + found.front:.1f} cm "
            "at the upper arm",
            "Measure wrist and upper arm again, or take less wrist ease.",
        )
    d = Drafting("sleeve block")
    d.trace("back armhole", back_armhole, "the bodice", style="aside")
    d.trace("front armhole", front_armhole, "the bodice", style="aside")
    _write_cap_points(d, found, eases, seams, kept=found.back + found.front > wanted + 1e-6)
    _write_seams(d, body, length, wrist, found)
    _write_caps(d)
    _write_levels(d, body, length)
    return d.finish()


def _check(cap_ease: float, upper_arm_ease: float, wrist_ease: float, length: float) -> None:
    for name, value, low, high in (
        ("cap_ease", cap_ease, 0, 10),
        ("upper_arm_ease", upper_arm_ease, 0, 30),
        ("wrist_ease", wrist_ease, 0, 30),
        ("length", length, 25, 100),
    ):
        if not low <= value <= high:
            raise ValueAtFault(name, value, f"must lie between {low} and {high} cm")


# -- the triangle of the cap, solved


def _slope(height: float, width: float, wrist: float, arm: float) -> float:
    """How far the underarm seams lean in for each cm down, to measure the wrist an arm's length down.

    The sleeve's end stands square on both leaning seams: at the seams it is lower than in its middle, by
    half of the slope for each cm of half its width. This gives a square equation for the slope.
    """
    down, taper = arm - height, width - wrist
    return 2 / wrist * (math.sqrt(down**2 + wrist / 2 * taper) - down)


def _hollow(part: str, height: float, width: float, lean: float) -> float:
    """How deep half of the cap is hollowed below its chord, cm; lean: of the underarm seam, degrees."""
    _, depth, at = SHAPES[part]
    into = math.atan2(height, width) - math.radians(lean)
    straight = (1 - at) * math.hypot(height, width) * math.tan(max(into, 0.0))
    return min(depth * height, FLATTER * straight)


def _half(part: str, height: float, width: float, lean: float) -> Curve:
    """Half of the cap as `_write_caps` draws it, from the cap top to the underarm."""
    swell, _, at = SHAPES[part]
    sign = 1 if part == "front" else -1
    top, foot = Point(0, height), Point(sign * width, 0)
    along = foot - top
    out = (along.left() if part == "front" else along.right()).unit()
    full, deep = out * (swell * height), out * _hollow(part, height, width, lean)
    points = [top, top + along * SWELL_AT + full, top + along * at - deep]
    end = Point(sign, 0).turned(-sign * lean)
    return fair([*points, foot], start=Point(sign, 0), end=end)


def _root(over: Callable[[float], float], low: float, high: float) -> float:
    """Where `over` is 0 between two places where it has different signs (false position, Illinois)."""
    f, g = over(low), over(high)
    if f * g > 0:
        raise GeometryError("a cap cannot be fitted to these armholes: measure armhole and arm again.")
    for _ in range(60):
        x = high - g * (high - low) / (g - f)
        new = over(x)
        if abs(new) < 1e-9:
            return x
        if new * g < 0:
            low, f = high, g
        else:
            f /= 2
        high, g = x, new
    return high


def _width(part: str, seam: float, height: float, lean: float) -> float:
    """The half of the biceps line for which this half of the cap measures its seam."""
    return _root(lambda width: _half(part, height, width, lean).length - seam, 0.3 * seam, seam)


def _cap(body: Body, seams, armhole: float, wanted: float, wrist: float) -> _Widths:
    """The cap whose biceps line measures `wanted`, or the highest one allowed where that is wider."""

    def widths(height: float, width: float) -> _Widths:
        lean = math.degrees(math.atan(_slope(height, width, wrist, body.arm_length)))
        return _Widths(height, *(_width(part, seams[part], height, lean) for part in ("back", "front")))

    def over(height: float) -> float:
        found = widths(height, wanted)
        return found.back + found.front - wanted

    low = LOWEST * armhole
    high = max(min(HIGHEST * armhole, STEEPEST * min(seams.values()), body.arm_length - 15), low)
    if over(low) < 0:
        raise ValueAtFault(
            "upper_arm_girth",
            body.upper_arm_girth,
            f"is too large for an armhole of {armhole:.1f} cm: the cap would be under {low:.1f} cm high",
            "Take less ease, lower the armhole, or measure upper arm and armhole depth again.",
        )
    if over(high) >= 0:
        width = wanted
        for _ in range(12):
            found = widths(high, width)
            if abs(found.back + found.front - width) < 1e-9:
                break
            width = found.back + found.front
        return found
    return widths(_root(over, low, high), wanted)


# -- the steps


def _write_cap_points(d: Drafting, found: _Widths, eases, seams, *, kept: bool) -> None:
    d.start("cap foot", because="the biceps line runs through it, under the cap top")
    d.go(
        "cap top",
        "cap foot",
        "up",
        found.height,
        source="the highest cap for this armhole"
        if kept
        else "so that the biceps line measures the upper arm + ease",
        because="it is set to the shoulder seam",
    )
    for part, way in (("front", "right"), ("back", "left")):
        d.length(f"{part} armhole length", f"{part} armhole")
        d.sum(
            f"{part} cap seam",
            {f"{part} armhole length": 1.0},
            eases[part],
            source=f"{part} armhole + {eases[part]:.2g} cm of the cap ease",
        )
        chord = math.hypot(found.height, getattr(found, part))
        less = seams[part] - chord
        d.sum(
            f"{part} chord",
            {f"{part} cap seam": 1.0},
            -less,
            source=f"{part} cap seam less {less:.2f} cm for its curve",
        )
        d.add(
            f"{part} underarm",
            "swing",
            ("cap top", "cap foot"),
            f"{part} chord",
            side=way,
            because="chord² = (cap foot to underarm)² + cap height²",
        )
    d.line("biceps line", "back underarm", "front underarm")


def _write_seams(d: Drafting, body: Body, length: float, wrist: float, found: _Widths) -> None:
    width = found.back + found.front
    slope = _slope(found.height, width, wrist, body.arm_length)
    half = (width / 2 - slope * (length - found.height)) / (1 + slope**2 / 2)
    drop = half * slope / 2
    d.go("sleeve end level", "cap top", "down", length, source="arm length to the sleeve's end")
    d.line("centre line", "cap top", "sleeve end level")
    d.add("biceps middle", "middle", ("back underarm", "front underarm"))
    d.add(
        "sleeve end middle",
        "level",
        ("sleeve end level", "biceps middle"),
        because="both underarm seams then lean alike and are equally long",
    )
    for part, way, turn in (("back", "left", -90.0), ("front", "right", 90.0)):
        d.go(f"{part} sleeve end level", "sleeve end middle", way, half, source="half of the sleeve's end")
        d.go(
            f"{part} wrist",
            f"{part} sleeve end level",
            "down",
            drop,
            source="what the leaning seam takes away",
            because="the end of the sleeve stands square on the seam",
        )
        d.line(f"{part} underarm seam", f"{part} underarm", f"{part} wrist", style="block")
        d.add(
            f"{part} underarm, angle",
            "angle",
            (f"{part} underarm seam",),
            turn,
            at="start",
            because="the cap meets the underarm seam at a right angle",
        )
    d.add("sleeve end, angle", "angle", ("back underarm seam",), 90.0, at="start")
    d.curve(
        "wrist line",
        ["back wrist", "sleeve end middle", "front wrist"],
        start="sleeve end, angle",
        end="front underarm, angle",
        style="block",
        because="sewn together it must not show a corner at the seam",
    )


def _write_caps(d: Drafting) -> None:
    height = d["cap top"].y
    for part, way, inward in (("front", "right", "right"), ("back", "left", "left")):
        swell, hollow, at = SHAPES[part]
        outward = "left" if inward == "right" else "right"
        seam = d[f"{part} underarm seam"]
        lean = math.degrees(math.atan2(abs(seam.end.x - seam.start.x), seam.start.y - seam.end.y))
        deep = _hollow(part, height, abs(d[f"{part} underarm"].x), lean)
        for name, share, depth, side, rule in (
            ("swell", SWELL_AT, swell * height, outward, f"{swell:g} of the cap height"),
            ("hollow", at, deep, inward, f"{hollow:g} of the cap height"),
        ):
            if depth < hollow * height - 1e-9:
                rule = "flatter than usual, as the underarm seam leans much"
            d.add(f"{part} {name} foot", "share", ("cap top", f"{part} underarm"), share)
            d.add(
                f"{part} {name}",
                "square",
                (f"{part} {name} foot", f"{part} underarm"),
                depth,
                side=side,
                source=rule,
            )
        d.curve(
            f"{part} cap",
            ["cap top", f"{part} swell", f"{part} hollow", f"{part} underarm"],
            start=way,
            end=f"{part} underarm, angle",
            style="block",
            because="it is square at the cap top and runs on smoothly under the arm",
        )


def _write_levels(d: Drafting, body: Body, length: float) -> None:
    for part in ("front", "back"):
        d.sum(
            f"{part} notch from the underarm",
            {f"{part} armhole length": NOTCHES[part]},
            source=f"{NOTCHES[part]:g} of the {part} armhole",
            because="below the notches cap and armhole are equally long: no ease there",
        )
        d.on(f"{part} notch", f"{part} cap", f"{part} notch from the underarm", from_end=True)
    elbow = ELBOW * body.arm_length
    if elbow < length - 2 and d["cap top"].y - elbow < -2:
        d.go("elbow level", "cap top", "down", elbow, source=f"{ELBOW:g} of the arm length")
        for part in ("back", "front"):
            d.add(f"{part} elbow", "level on", (f"{part} underarm seam", "elbow level"))
        d.line("elbow line", "back elbow", "front elbow")

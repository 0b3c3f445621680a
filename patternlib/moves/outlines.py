"""Blocks as outlines, and the ways to name, cut and move a part of one."""

from __future__ import annotations

import cmath
import math
from collections import Counter
from collections.abc import Sequence

from .. import tolerances
from ..draft import Draft
from ..errors import GeometryError, ValueAtFault, unknown
from ..geometry import Curve, Move, Outline, Point, line
from ..units import Length, read_length

Place = tuple[str, Length]
"""(edge name, distance walked from the edge's start, cm or text with a unit)"""
Edges = list[tuple[str, Curve]]


# -- the blocks as outlines


def sleeve_outline(draft: Draft) -> Outline:
    """The sleeve block as one outline, from the back wrist round by front and cap.

    >>> from patternlib.blocks.bodice import bodice_block
    >>> from patternlib.blocks.sleeve import sleeve_block
    >>> bodice = bodice_block("12")
    >>> sleeve_outline(sleeve_block("12", bodice["back armhole"], bodice["front armhole"])).names[2:4]
    ('front cap', 'back cap')
    """
    return round_outline([
        ("wrist line", draft["wrist line"]), ("front underarm", draft["front underarm seam"].reversed()),
        ("front cap", draft["front cap"].reversed()), ("back cap", draft["back cap"]),
        ("back underarm", draft["back underarm seam"]),
    ])


def block_outline(draft: Draft, part: str) -> Outline:
    """The 'back' or 'front' of a skirt or bodice block as one outline with its darts open.

    The legs are called 'waist dart, centre leg' and 'waist dart, side leg' ('waist dart 1', 'waist dart 2'
    where there are two), 'bust dart, neck leg' and 'bust dart, armhole leg', and in a back altered for a
    round
    upper back 'shoulder dart, armhole leg' and 'shoulder dart, neck leg'.

    >>> from patternlib.blocks.skirt import skirt_block
    >>> from patternlib.body import Body
    >>> block = skirt_block(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165), one_dart=True)
    >>> block_outline(block, "front").names[2:5]
    ('waist, centre part', 'waist dart, centre leg', 'waist dart, side leg')
    """
    if part not in ("back", "front"):
        raise unknown("part of a block", part, ("back", "front"))
    if f"{part} waist" not in draft:
        raise ValueAtFault("block", draft.title, "has no waist of this part", "Use a skirt or bodice block.")
    waist = _waist(draft, part)  # from the centre to the side
    if f"{part} hem" in draft:
        side = ("side", draft["side below the hip"].reversed().joined(draft[f"{part} hip curve"]))  # upwards
        hem, centre = ("hem", draft[f"{part} hem"]), (f"centre {part}", draft[f"centre {part}"].reversed())
        if part == "back":
            return round_outline([hem, side, *_back(waist), centre])
        return round_outline([hem, centre, *waist, *_back([side])])
    if part == "back":
        return round_outline([
            *waist, ("side", draft["back side"].reversed()), ("armhole", draft["back armhole"].reversed()),
            *_back_shoulder(draft),
            ("neckline", draft["back neckline"].reversed()), ("centre back", draft["centre back"]),
        ])
    if "bust dart leg" in draft:
        shoulder = [
            ("shoulder, neck part", draft["front shoulder, neck part"]),
            ("bust dart, neck leg", draft["bust dart, neck leg"]),
            ("bust dart, armhole leg", draft["bust dart, armhole leg"].reversed()),
            ("shoulder, armhole part", draft["front shoulder, armhole part"]),
        ]
    else:
        shoulder = [("shoulder", draft["front shoulder"])]
    return round_outline([
        *_back(waist), ("centre front", draft["centre front"]),
        ("neckline", draft["front neckline"].reversed()), *shoulder,
        ("armhole", draft["front armhole"]), ("side", draft["front side"]),
    ])


def _back_shoulder(draft: Draft) -> Edges:
    """The back shoulder from the armhole to the neck, with its dart where it has one."""
    if "back shoulder dart leg" not in draft:
        return [("shoulder", draft["back shoulder"].reversed())]
    return _back([
        ("shoulder, neck part", draft["back shoulder, neck part"]),
        ("shoulder dart, neck leg", draft["back shoulder dart, line 1"]),
        ("shoulder dart, armhole leg", draft["back shoulder dart, line 2"].reversed()),
        ("shoulder, armhole part", draft["back shoulder, armhole part"]),
    ])


def _waist(draft: Draft, part: str) -> Edges:
    """Waist and waist darts from the centre to the side."""
    curve, out, before = draft[f"{part} waist"], [], 0.0
    names = [n for n in (f"{part} dart", *(f"{part} dart {k}" for k in range(1, 9))) if f"{n} leg" in draft]
    for k, name in enumerate(names):
        short = name.replace(part, "waist")
        first, second, point = draft[f"{name} leg"], draft[f"{name} leg 2"], draft[f"{name} point"]
        stop, go = curve.closest(first)[0], curve.closest(second)[0]
        out += [
            ("waist, centre part" if k == 0 else "waist, middle part", curve.part(before, stop)),
            (f"{short}, centre leg", line(first, point)),
            (f"{short}, side leg", line(point, second)),
        ]
        before = go
    return [*out, ("waist, side part", curve.part(before, curve.length))] if names else [("waist", curve)]


def _back(edges: Edges) -> Edges:
    return [(name, curve.reversed()) for name, curve in reversed(edges)]


def round_outline(edges: Edges) -> Outline:
    """An outline of edges in order; an edge that came into parts is named in parts."""
    many = Counter(name for name, _ in edges)
    seen: Counter[str] = Counter()
    named = []
    for name, curve in edges:
        seen[name] += 1
        named.append((f"{name}, part {seen[name]}" if many[name] > 1 else name, curve))
    return Outline(tuple(named))


# -- places on an outline


def index_of(outline: Outline, name: str) -> int:
    outline[name]  # an unknown name is refused; near names are offered
    return outline.names.index(name)


def place_on(outline: Outline, place: Place, what: str) -> tuple[int, float]:
    """(edge number, distance) of a place; an edge that has been cut is looked for in its parts."""
    name, distance = place[0], read_length(place[1], name=what)
    parts = [n for n in outline.names if n.startswith(f"{name}, part ")] if name not in outline.names else []
    for part in parts:
        if distance <= outline[part].length + tolerances.POINT:
            return place_on(outline, (part, distance), what)
        distance -= outline[part].length
    i = index_of(outline, name)
    length = outline.edges[i][1].length
    if not -tolerances.POINT <= distance <= length + tolerances.POINT:
        rule = f"must lie between 0 and {length:.1f} cm, the length of {name}"
        raise ValueAtFault(what, float(distance), rule, "Measure along the edge from its start.")
    return i, min(max(distance, 0.0), length)


def chain(outline: Outline, start: tuple[int, float], end: tuple[int, float]) -> Edges:
    """The edges from one place anticlockwise to another, the first and last in part."""
    (i, s), (j, t) = start, end
    edges, n = outline.edges, len(outline.edges)
    if i == j and s <= t:
        stretch = [(i, s, t)]
    else:
        between = [(i + k) % n for k in range(1, (j - i) % n or n)]
        stretch = [(i, s, edges[i][1].length), *((k, 0.0, edges[k][1].length) for k in between), (j, 0.0, t)]
    return [(edges[k][0], edges[k][1].part(low, high)) for k, low, high in stretch if high - low > 1e-6]


def moved(edges: Edges, move: Move) -> Edges:
    return [(name, curve.moved(move)) for name, curve in edges]


def undone(move: Move) -> Move:
    return Move(move.a.conjugate(), -move.b * move.a.conjugate())


CUT_LOOKED_AT = 0.1
"""cm; the places of a cut that are looked at lie so near each other."""


def _is_on_paper(z: complex, ring: Sequence[complex]) -> bool:
    """Whether a place lies inside a closed line or within 0.02 cm of it, by the turn of the arrows to it."""
    turned = 0.0
    for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
        along = b - a
        t = ((z - a) * along.conjugate()).real / abs(along) ** 2 if along else 0.0
        if abs(z - a - along * min(max(t, 0.0), 1.0)) < 0.02:
            return True
        turned += cmath.phase((b - z) / (a - z))
    return abs(turned) > math.pi


def refuse_cut_off_paper(outline: Outline, p: Point, q: Point) -> None:
    """Refuse a cut that leaves the paper."""
    ring = [complex(*spot) for spot in outline.flat()]
    n = max(2, math.ceil(p.distance(q) / CUT_LOOKED_AT))
    spots = [complex(*p) + (complex(*q) - complex(*p)) * k / n for k in range(n + 1)]
    if p.distance(q) < 0.5 or not all(_is_on_paper(z, ring) for z in spots):
        raise GeometryError(
            f"the cut from ({p.x:.1f}, {p.y:.1f}) to ({q.x:.1f}, {q.y:.1f}) leaves the paper: begin it at "
            "another place of the edge."
        )

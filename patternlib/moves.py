"""The cutter's moves on outlines: close a dart and open it elsewhere, slash and spread, carry a level over.

Paper is turned and shifted, never stretched: areas and all edges that are not cut stay as they are.
A dart is two edges of an outline that follow each other, its legs, and meet in the dart point. A cut edge
is named in parts, 'side, part 1' and 'side, part 2', in the order of the outline.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from . import tolerances
from .draft import Draft
from .errors import GeometryError, ValueAtFault, unknown
from .geometry import Curve, Move, Outline, Point, Spot, fair, line
from .units import Length, read_length, read_number

Place = tuple[str, Length]
"""(edge name, distance walked from the edge's start, cm or text with a unit)"""
Edges = list[tuple[str, Curve]]
Where = Length | Point


# -- the blocks as outlines


def block_outline(draft: Draft, part: str) -> Outline:
    """The 'back' or 'front' of a skirt or bodice block as one outline with its darts open.

    The legs are called 'waist dart, centre leg' and 'waist dart, side leg' ('waist dart 1', 'waist dart 2'
    where there are two), and 'bust dart, neck leg' and 'bust dart, armhole leg'.

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
            return _round([hem, side, *_back(waist), centre])
        return _round([hem, centre, *waist, *_back([side])])
    if part == "back":
        return _round([
            *waist, ("side", draft["back side"].reversed()), ("armhole", draft["back armhole"].reversed()),
            ("shoulder", draft["back shoulder"].reversed()),
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
    return _round([
        *_back(waist), ("centre front", draft["centre front"]),
        ("neckline", draft["front neckline"].reversed()), *shoulder,
        ("armhole", draft["front armhole"]), ("side", draft["front side"]),
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


def _round(edges: Edges) -> Outline:
    """An outline of edges in order; an edge that came into parts is named in parts."""
    many = Counter(name for name, _ in edges)
    seen: Counter[str] = Counter()
    named = []
    for name, curve in edges:
        seen[name] += 1
        named.append((f"{name}, part {seen[name]}" if many[name] > 1 else name, curve))
    return Outline(tuple(named))


# -- places on an outline


def _index(outline: Outline, name: str) -> int:
    outline[name]  # an unknown name is refused; near names are offered
    return outline.names.index(name)


def _place(outline: Outline, place: Place, what: str) -> tuple[int, float]:
    """(edge number, distance) of a place; an edge that has been cut is looked for in its parts."""
    name, distance = place[0], read_length(place[1], name=what)
    parts = [n for n in outline.names if n.startswith(f"{name}, part ")] if name not in outline.names else []
    for part in parts:
        if distance <= outline[part].length + tolerances.POINT:
            return _place(outline, (part, distance), what)
        distance -= outline[part].length
    i = _index(outline, name)
    length = outline.edges[i][1].length
    if not -tolerances.POINT <= distance <= length + tolerances.POINT:
        rule = f"must lie between 0 and {length:.1f} cm, the length of {name}"
        raise ValueAtFault(what, float(distance), rule, "Measure along the edge from its start.")
    return i, min(max(distance, 0.0), length)


def _chain(outline: Outline, start: tuple[int, float], end: tuple[int, float]) -> Edges:
    """The edges from one place anticlockwise to another, the first and last in part."""
    (i, s), (j, t) = start, end
    edges, n = outline.edges, len(outline.edges)
    if i == j and s <= t:
        stretch = [(i, s, t)]
    else:
        between = [(i + k) % n for k in range(1, (j - i) % n or n)]
        stretch = [(i, s, edges[i][1].length), *((k, 0.0, edges[k][1].length) for k in between), (j, 0.0, t)]
    return [(edges[k][0], edges[k][1].part(low, high)) for k, low, high in stretch if high - low > 1e-6]


def _moved(edges: Edges, move: Move) -> Edges:
    return [(name, curve.moved(move)) for name, curve in edges]


def _undone(move: Move) -> Move:
    return Move(move.a.conjugate(), -move.b * move.a.conjugate())


def _check_cut(outline: Outline, p: Point, q: Point) -> None:
    """Refuse a cut that leaves the paper."""
    import shapely

    # two darts about one point leave paper that is joined at that point only
    paper = shapely.make_valid(shapely.Polygon(outline.flat())).buffer(0.02)
    if p.distance(q) < 0.5 or not paper.covers(shapely.LineString([p, q])):
        raise GeometryError(
            f"the cut from ({p.x:.1f}, {p.y:.1f}) to ({q.x:.1f}, {q.y:.1f}) leaves the paper: begin it at "
            "another place of the edge."
        )


# -- darts


def dart_angle(outline: Outline, legs: tuple[str, str]) -> float:
    """The angle of a dart in degrees; legs that are not a dart are refused with GeometryError.

    legs: the edge that runs in to the dart point and the one that runs out of it.
    """
    (i, j), (leg, leg2) = (_index(outline, name) for name in legs), (outline[name] for name in legs)
    u, v = leg.start - leg.end, leg2.end - leg2.start
    angle = math.degrees(math.atan2(u.cross(v), u.dot(v)))
    if (i + 1) % len(outline.edges) != j:
        why = "the second must follow the first. Name them in the outline's order"
    elif not (leg.is_straight and leg2.is_straight):
        why = "a leg is curved. Straighten the legs before the dart is moved"
    elif abs(leg.length - leg2.length) > tolerances.POINT:
        why = f"they measure {leg.length:.2f} and {leg2.length:.2f} cm. True them to one length first"
    elif not 0.01 < angle < 170:
        why = "they enclose no cloth to take up. Name the two edges that are sewn together"
    else:
        return angle
    raise GeometryError(f"'{legs[0]}' and '{legs[1]}' are not the legs of a dart: {why}.")


def close_dart(
    outline: Outline,
    legs: tuple[str, str],
    *,
    open_at: Place,
    share: float = 1.0,
    name: str = "moved dart",
    still: str | None = None,
) -> Outline:
    """The outline with a dart closed about its point and opened where it is cut from another edge.

    legs: names of the leg that runs in to the dart point and of the one that runs out; open_at: (edge,
    distance from its start, cm) where the cut begins that runs straight to the dart point; share: how much
    of the angle is moved, above 0 to 1; name: the new legs are called '<name>, first leg' and '<name>,
    second leg'; still: an edge that stays where it lies, None: the one before the first leg.
    The angle is kept, so that legs of length d open 2 d sin(angle / 2). What is not a dart, and a cut that
    leaves the paper, is refused with GeometryError, a share or distance out of range with ValueAtFault.

    >>> c = [Point(0, 0), Point(8, 0), Point(10, 10), Point(12, 0), Point(20, 0), Point(20, 20), Point(0, 20)]
    >>> edges = zip(("hem 1", "leg", "leg 2", "hem 2", "side", "top", "centre"), c, c[1:] + c[:1])
    >>> moved = close_dart(Outline(tuple((n, line(p, q)) for n, p, q in edges)), ("leg", "leg 2"),
    ...     open_at=("side", 10))
    >>> moved.names[:5]
    ('hem 2', 'side, part 1', 'moved dart, first leg', 'moved dart, second leg', 'side, part 2')
    >>> round(dart_angle(moved, ("moved dart, first leg", "moved dart, second leg")), 2)
    22.62
    """
    angle = dart_angle(outline, legs)
    if not 0 < read_number(share, name="share") <= 1:
        raise ValueAtFault("share", share, "must lie above 0 and be at most 1", "1 moves the whole dart.")
    i, j = _index(outline, legs[0]), _index(outline, legs[1])
    leg2 = outline.edges[j][1]
    pin, cut = leg2.start, _place(outline, open_at, "open_at")
    mouth = outline.edges[cut[0]][1].at(cut[1])
    if cut[0] in (i, j) or min(mouth.distance(p) for p in (leg2.end, outline.edges[i][1].start)) < 0.5:
        raise GeometryError("the dart is to open where it already lies: name a place on another edge.")
    _check_cut(outline, mouth, pin)
    turn = Move.turn(pin, -angle * share)
    swung = _moved(_chain(outline, (j, leg2.length), cut), turn)
    stays = _chain(outline, cut, (i, 0.0))
    opened = [(f"{name}, first leg", line(turn(mouth), pin)), (f"{name}, second leg", line(pin, mouth))]
    # with part of it left, the outline comes to its dart point twice
    kept = [outline.edges[i], (legs[1], leg2.moved(turn))] if share < 1 else []
    made = _round([*kept, *swung, *opened, *stays])
    back = still is not None and outline[still] and still in {n for n, _ in swung}
    return made.moved(_undone(turn)) if back else made


def split_dart(
    outline: Outline,
    legs: tuple[str, str],
    *,
    into: Sequence[tuple[Place, float]],
    name: str = "moved dart",
    still: str | None = None,
) -> Outline:
    """The outline with one dart shared out to several places about the same point.

    into: (place, share of the angle) for each new dart; what the shares leave up to 1 stays in the old one.
    The new legs are called '<name> 1, first leg' and so on. Refused as by close_dart, and shares above 1.
    """
    total, left = sum(share for _, share in into), 1.0
    if not into or total > 1 + 1e-9:
        rule = "must be one or more that add up to at most 1"
        raise ValueAtFault("shares", total, rule, "Give each new dart its share of the angle, such as 0.5.")
    for k, (place, share) in enumerate(into, 1):
        rest = 1.0 if abs(share - left) < 1e-9 else share / left
        outline = close_dart(outline, legs, open_at=place, share=rest, name=f"{name} {k}", still=still)
        left -= share
    return outline


# -- fullness


def slash_and_spread(
    outline: Outline,
    cuts: Sequence[tuple[Place, Place]],
    *,
    spread: Length,
    parallel: bool = False,
    still: str | None = None,
) -> Outline:
    """The outline slashed along straight cuts and spread; each gap is bridged by a straight edge.

    cuts: (place that opens, place of the hinge), in the order of the outline along the edge that opens;
    spread: how far each cut opens there, cm; parallel: the strips are shifted apart square to the cut by
    `spread` at both ends, not turned about the hinge; still: an edge that stays, None: the strip before the
    first cut. n cuts add n times the spread where they open, and nothing at the hinges unless parallel.
    The bridges are called 'spread', 'spread, part 1' and so on where there are several; redraw the edge
    fair afterwards. Cuts that cross or leave the paper are refused with GeometryError.
    """
    spread = read_length(spread, name="spread")
    if not 0 < spread <= 50:
        raise ValueAtFault("spread", spread, "must lie above 0 and be at most 50 cm", "It is one cut's gap.")
    opens = [_place(outline, opening, "opening") for opening, _ in cuts]
    hinges = [_place(outline, hinge, "hinge") for _, hinge in cuts]
    walked = [sum(c.length for _, c in outline.edges[:i]) + s for i, s in (*opens, *hinges[::-1])]
    order = [(w - walked[0]) % outline.length for w in walked]
    if not cuts or order != sorted(order):
        raise GeometryError("the cuts cross or are out of order: list them along the edge that opens.")
    moves, bridges, ends = [Move()], [], []
    for (i, s), (j, t) in zip(opens, hinges, strict=True):
        p, q = outline.edges[i][1].at(s), outline.edges[j][1].at(t)
        _check_cut(outline, p, q)
        if parallel:
            step = Move.shift(*((p - q).left().unit() * spread))
        elif spread < 1.2 * p.distance(q):
            step = Move.turn(q, math.degrees(2 * math.asin(spread / 2 / p.distance(q))))
        else:
            rule = f"is too wide for a cut of {p.distance(q):.1f} cm"
            raise ValueAtFault("spread", spread, rule, "Cut deeper, or make more cuts.")
        before, after = moves[-1], step.then(moves[-1])
        moves.append(after)
        bridges.append(("spread", line(before(p), after(p))))
        ends.append([("spread at the hinge", line(after(q), before(q)))] if parallel else [])
    # the hinge edge's part on the first strip comes last, as it does along that edge
    first, *edges = _chain(outline, hinges[0], opens[0])
    for k in range(len(cuts)):
        end = opens[k + 1] if k + 1 < len(cuts) else hinges[k]
        edges += [bridges[k], *_moved(_chain(outline, opens[k], end), moves[k + 1])]
    for k in range(len(cuts) - 1, -1, -1):
        edges += ends[k] + (_moved(_chain(outline, hinges[k], hinges[k - 1]), moves[k]) if k else [first])
    made = _round(edges)
    if still is None:
        return made
    middle = outline[still].at(outline[still].length / 2)
    rest = [c for name, c in edges if name == still]
    where = next(m for m in moves if any(c.closest(m(middle))[1] < tolerances.POINT for c in rest))
    return made.moved(_undone(where))


def spread_into_flare(
    outline: Outline, legs: tuple[str, str], *, hem: str, at: Length | None = None, still: str | None = None
) -> Outline:
    """The outline with a dart closed, the hem opened below it and redrawn as one fair curve.

    hem: the edge that opens; at: distance (cm) from its start where it is cut, None: nearest to the dart
    point. The hem keeps its ends and leaves them as before; below the cut it keeps its depth from the dart
    point. Refused as by close_dart.
    """
    at = outline[hem].closest(outline[legs[0]].end)[0] if at is None else at
    made = close_dart(outline, legs, open_at=(hem, at), name="flare", still=still)
    first, second = made[f"{hem}, part 1"], made[f"{hem}, part 2"]
    leg = made["flare, second leg"]
    across = (made["flare, first leg"].start - leg.start).unit() + (leg.end - leg.start).unit()
    lowest = leg.start + across.unit() * leg.length
    curve = fair([first.start, lowest, second.end], start=first.start_direction, end=second.end_direction)
    gone = {f"{hem}, part 2", "flare, first leg", "flare, second leg"}
    kept = [(hem, curve) if n == f"{hem}, part 1" else (n, c) for n, c in made.edges if n not in gone]
    return Outline(tuple(kept))


# -- from one draft to another


def carry_level(curve_from: Curve, curve_to: Curve, place: Where, *, from_end: bool = False) -> Point:
    """The point of one seam line that meets a place on another when both are walked from a common end.

    place: distance walked along `curve_from` (cm), or a point on it; from_end: both are walked from their
    ends. A point off the first curve by more than 0.05 cm, or a place beyond the second, is refused.

    >>> carry_level(line(Point(0, 0), Point(0, 20)), line(Point(30, 0), Point(36, 8)), 5)
    Point(x=33.0, y=4.0)
    """
    walked, gap = curve_from.closest(place) if isinstance(place, tuple) else (read_length(place), 0.0)
    if gap > tolerances.SEAM:
        raise GeometryError(f"the point lies {gap:.2f} cm away from the seam line: name a point on the line.")
    if from_end and isinstance(place, tuple):
        walked = curve_from.length - walked
    shorter = min(curve_from.length, curve_to.length)
    if not -tolerances.POINT <= walked <= shorter + tolerances.POINT:
        rule = f"must lie between 0 and {shorter:.1f} cm, the shorter line"
        raise ValueAtFault("level", walked, rule, "Walk both lines from the same end.")
    return curve_to.at(curve_to.length - walked if from_end else walked)


def align(p: Spot, q: Spot, p2: Spot, q2: Spot, *, ease: Length = 0.0, over: bool = False) -> Move:
    """The move that lays one draft against another at a seam: p on p2 and the way to q along that to q2.

    ease: how much longer p-q is meant to be than p2-q2, cm; over: the paper is turned over. Seams that
    differ by more than that and 0.05 cm are refused with GeometryError.

    >>> align((0, 0), (0, 5), (10, 10), (15, 10))(Point(0, 5))
    Point(x=15.0, y=10.0)
    """
    ease, length, length2 = read_length(ease, name="ease"), Point(*p).distance(q), Point(*p2).distance(q2)
    if abs(length - length2 - ease) > tolerances.SEAM:
        raise GeometryError(
            f"the seam measures {length:.2f} cm on one draft and {length2:.2f} cm on the other, with "
            f"{ease:.2f} cm of ease: true the seam first, or state its ease."
        )
    return Move.onto(Point(*p), Point(*q), Point(*p2), Point(*q2), over=over)


def joined_angle(edge: Curve, seam: Curve, edge2: Curve, seam2: Curve) -> float:
    """The angle (degrees) at which two edges run into each other once the seam between them is joined.

    edge, seam: two edges of one piece that share a corner; edge2, seam2: those of the other. 180 runs on
    smoothly. An edge that shares no corner with its seam is refused with GeometryError.

    >>> a, b, c = Point(0, 0), Point(10, 0), Point(10, 8)
    >>> joined_angle(line(a, b), line(b, c), line(b, Point(18, 0)), line(c, b))
    180.0
    """
    return _corner_angle(edge, seam) + _corner_angle(edge2, seam2)


def _corner_angle(edge: Curve, seam: Curve) -> float:
    for u, at in ((edge.start_direction, edge.start), (-edge.end_direction, edge.end)):
        for v, at2 in ((seam.start_direction, seam.start), (-seam.end_direction, seam.end)):
            if at.distance(at2) < tolerances.SEAM:
                return math.degrees(math.atan2(abs(u.cross(v)), u.dot(v)))
    raise GeometryError("an edge and its seam share no corner: name two edges that meet.")

"""Walking the seams and checking the pieces, as a cutter does before a pattern goes to the table.

`check` collects findings. Nothing here uses the code that made the cut lines: only
the pieces' curves and the points of their cut lines are read. Codes, by hundreds: 1xx seams, 2xx notches,
3xx corners and joins, 4xx allowances and turnings, 5xx marks and labels, 6xx the cutting list,
7xx fittings and other limits.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from .. import tolerances
from ..geometry import Point
from ..pieces import Edge, Notch, Piece, Seam, side_length
from .findings import Finding
from .piece_check import DESIGNED, NOTCH_TO_CORNER, check_piece


def check(
    pieces: Iterable[Piece],
    seams: Iterable[Seam] = (),
    *,
    cutting_list: Iterable[str] | None = None,
    limits: Iterable[tuple[str, float, float, str]] = (),
) -> tuple[Finding, ...]:
    """Everything found on finished pieces and their seams; empty where all is well.

    cutting_list: the names of the pieces on it, None where there is none yet; limits: (where, cm, at most
    cm, text) for what a fitting or the like allows.

    >>> from patternlib.geometry import line
    >>> c = [Point(0, 0), Point(10, 0), Point(10, 20), Point(0, 20)]
    >>> sides = [line(p, q) for p, q in zip(c, c[1:] + c[:1])]
    >>> panel = Piece("panel", tuple(Edge(n, s, 0.0) for n, s in zip("abcd", sides)), label=("panel, cut 1",))
    >>> [finding.code for finding in check([panel])]
    [408, 501]
    """
    by_name = {piece.name: piece for piece in pieces}
    seams = tuple(seams)
    found: list[Finding] = []
    for seam in seams:
        found.extend(_unknown(by_name, seam))
    known = [seam for seam in seams if is_known(by_name, seam)]
    run_on = {frozenset(pair) for s in known for side in (s.a, s.b) for pair in pairwise(side)}
    for seam in known:
        found.extend(_lengths(by_name, seam))
        found.extend(_seam_notches(by_name, seam))
        for last in (False, True):
            found.extend(_join(by_name, seam, last, run_on))
    sewn = {place for seam in known for side in (seam.a, seam.b) for place in side}
    for piece in by_name.values():
        found.extend(check_piece(piece, sewn if seams else None))
    if cutting_list is not None:
        found.extend(_cutting_list(by_name, tuple(cutting_list)))
    for where, got, most, text in limits:
        if got > most + tolerances.POINT:
            found.append(Finding(701, "error", where, got, most, 0.0, text))
    return tuple(sorted(found, key=lambda f: f.code))


# -- seams


def said(side: tuple[tuple[str, str], ...]) -> str:
    return " + ".join(f"{piece} ({edge})" for piece, edge in side)


def _missing(by_name: Mapping[str, Piece], seam: Seam) -> list[tuple[str, str]]:
    return [
        (p, e)
        for side in (seam.a, seam.b)
        for p, e in side
        if p not in by_name or all(edge.name != e for edge in by_name[p].edges)
    ]


def is_known(by_name, seam: Seam) -> bool:
    return bool(seam.a and seam.b) and not _missing(by_name, seam)


def _unknown(by_name, seam: Seam) -> Iterator[Finding]:
    for p, e in _missing(by_name, seam):
        what = f"no edge of {p} is called '{e}'" if p in by_name else f"there is no piece '{p}'"
        yield Finding(101, "error", seam.name, None, None, None,
                      f"{what}, but the seam names it. Correct the name, or add the piece.")
    if not (seam.a and seam.b):
        yield Finding(101, "error", seam.name, None, None, None,
                      "one side of the seam names no edge. Say what is sewn to what.")


def _lengths(by_name, seam: Seam) -> Iterator[Finding]:
    a, b = side_length(by_name, seam.a), side_length(by_name, seam.b)
    over = a - b - seam.ease
    if abs(over) > tolerances.SEAM:
        long, short = (seam.a, seam.b) if over > 0 else (seam.b, seam.a)
        eased = f" with {seam.ease:.2f} cm of ease" if seam.ease else ""
        yield Finding(102, "error", seam.name, a - b, seam.ease, tolerances.SEAM,
                      f"{said(seam.a)} measures {a:.2f} cm and {said(seam.b)} {b:.2f} cm{eased}: take "
                      f"{abs(over):.2f} cm off {said(long)} or add it to {said(short)}.")
    depths = {round(by_name[p].edge(e).allowance, 3) for side in (seam.a, seam.b) for p, e in side}
    if len(depths) > 1:
        yield Finding(104, "warning", seam.name, max(depths), min(depths), 0.0,
                      f"the seam's edges have allowances from {min(depths):.2f} cm to {max(depths):.2f} cm: "
                      "raw edges laid together need one allowance. Choose one.")


def _walked(by_name, side, against: bool) -> list[tuple[float, int, str, str, Notch]]:
    """(distance from the seam's start, count, its seam, piece, notch) of every notch along one side."""
    out, before = [], 0.0
    for p, e in side:
        length = by_name[p].edge(e).curve.length
        for n in by_name[p].notches:
            if n.edge == e and -1e-6 <= n.at <= length + 1e-6:
                at = before + (length - n.at if against else n.at)
                out.append((at, n.count, n.seam, p, n))
        before += length
    return out


def _seam_notches(by_name, seam: Seam) -> Iterator[Finding]:
    sides = [_walked(by_name, s, g) for s, g in ((seam.a, seam.against_a), (seam.b, seam.against_b))]
    for k in (0, 1):
        # side a may run ahead of side b by the ease taken up so far
        low, high = sorted((0.0, seam.ease if k == 0 else -seam.ease))
        for at, count, name, p, notch in sides[k]:
            if name != seam.name:
                continue
            off = sorted(
                (max(low - (at - at2), at - at2 - high, 0.0), count != count2, at2, count2, p2)
                for at2, count2, _, p2, _ in sides[1 - k]
            )
            if any(gap <= tolerances.NOTCH and not unlike for gap, unlike, *_ in off):
                continue
            mark = (p, by_name[p].notch_point(notch))
            if not off or off[0][0] > 3:
                yield Finding(201, "error", seam.name, 0, 1, None,
                              f"the notch {at:.2f} cm from the seam's start on {p} has no partner: notch the "
                              "other side at the same distance.", mark)
            elif k == 0 and off[0][0] > tolerances.NOTCH:
                *_, at_b, _, other = off[0]
                yield Finding(202, "error", seam.name, at_b, at, tolerances.NOTCH,
                              f"a notch lies {at:.2f} cm from the seam's start on {p} and {at_b:.2f} cm on "
                              f"{other}: mark both at the same walked distance.", mark)
            elif k == 0:
                *_, count_b, other = off[0]
                yield Finding(203, "error", seam.name, count_b, count, 0,
                              f"a notch of {count} on {p} meets one of {count_b} on {other}: give both the "
                              "same number of slits.", mark)
    yield from _turnable(by_name, seam, sides[0])


def _turnable(by_name, seam: Seam, notches) -> Iterator[Finding]:
    """Notches that fit the other way round as well, on a seam whose two ends look alike."""
    own = [(at, count) for at, count, name, *_ in notches if name == seam.name]
    length = side_length(by_name, seam.a)
    if not own or any(all(abs(length - at - o) > 0.5 or c != c2 for o, c2 in own) for at, c in own):
        return
    ends = [_corner(by_name, seam.a, seam.against_a, last) for last in (False, True)]
    alike = {(end.neighbour.turn, end.neighbour.allowance) for end in ends}
    if len(alike) == 1 and ends[0].neighbour.turn != "fold":
        yield Finding(204, "warning", seam.name, own[0][0], length / 2, 0.5,
                      "the notches lie alike from both ends, so the edge can be sewn upside down: move a "
                      f"notch at least {NOTCH_TO_CORNER:.0f} cm off the middle.")


# -- joins: both sides in one frame, the seam's end at 0, the seam to the right, the pieces above it


@dataclass(frozen=True)
class _Corner:
    piece: Piece
    edge: Edge
    neighbour: Edge
    point: complex
    along: complex
    turned: bool
    angle: float

    def crossings(self, levels: Sequence[float]) -> list[float | None]:
        """Where the cut line lies beyond the corner at some heights over the seam line (x, cm)."""
        d, c, way = 1 / self.along, self.point, -1 if self.turned else 1
        reach = min(1.0, self.edge.curve.length / 3)
        ring = [(complex(*p) - c) * d for p in self.piece.cut_line]
        xs, ys = [z.real for z in ring], [way * z.imag for z in ring]
        found: list[float | None] = []
        for level in levels:
            above = [y > level for y in ys]
            best = None
            for k, (side, before) in enumerate(zip(above, above[-1:] + above, strict=False)):
                if side != before:
                    x = xs[k - 1] + (xs[k] - xs[k - 1]) * (level - ys[k - 1]) / (ys[k] - ys[k - 1])
                    if x < reach and (best is None or x > best):
                        best = x
            found.append(best)
        return found


def _corner(by_name, side, against: bool, last: bool) -> _Corner:
    """The corner at a seam's start, or at its end, on one side."""
    p, e = side[-1 if last else 0]
    against = against != last
    piece = by_name[p]
    i = next(k for k, edge in enumerate(piece.edges) if edge.name == e)
    edge, next_to = piece.edges[i], piece.edges[(i + (1 if against else -1)) % len(piece.edges)]
    if against:
        at, way, leaving = edge.curve.end, -edge.curve.end_direction, next_to.curve.start_direction
    else:
        at, way, leaving = edge.curve.start, edge.curve.start_direction, -next_to.curve.end_direction
    turn = cmath.phase(complex(*leaving) / complex(*way)) * (-1 if against else 1)
    return _Corner(piece, edge, next_to, complex(*at), complex(*way), against, math.degrees(turn) % 360)


def _join(by_name, seam: Seam, last: bool, run_on) -> Iterator[Finding]:
    a = _corner(by_name, seam.a, seam.against_a, last)
    b = _corner(by_name, seam.b, seam.against_b, last)
    if "fold" in (a.neighbour.turn, b.neighbour.turn) or a.neighbour.turn != b.neighbour.turn:
        return
    where = f"{seam.name}, {'end' if last else 'start'}"
    mark = (a.piece.name, Point(a.point.real, a.point.imag))
    names = f"{a.piece.name} ({a.neighbour.name}) and {b.piece.name} ({b.neighbour.name})"
    bend = a.angle + b.angle - 180
    pair = frozenset(((a.piece.name, a.neighbour.name), (b.piece.name, b.neighbour.name)))
    smooth = abs(bend) <= DESIGNED and (a.neighbour.turn == "hem" or pair in run_on)
    if smooth and abs(bend) > tolerances.SMOOTH:
        yield Finding(301, "warning", where, a.angle + b.angle, 180.0, tolerances.SMOOTH,
                      f"{names} meet {abs(bend):.1f} degrees {'beyond' if bend > 0 else 'short of'} a "
                      "straight run: lay the pieces together on the seam line and redraw the line fair.",
                      mark)
        return
    faced = abs(a.angle - b.angle) <= tolerances.SMOOTH and a.neighbour.allowance == b.neighbour.allowance
    runs_through = abs(a.angle - 180) <= DESIGNED or abs(b.angle - 180) <= DESIGNED  # no corner to meet
    if not (smooth or faced) or runs_through or not (a.piece.cut_line and b.piece.cut_line):
        return
    depth = -0.8 * min(a.edge.allowance, b.edge.allowance)
    (level_a, under_a), (level_b, under_b) = a.crossings((0.0, depth)), b.crossings((0.0, depth))
    if level_a is None or level_b is None or under_a is None or under_b is None:
        return
    if smooth and abs(level_a - level_b) > tolerances.CORNER:
        yield Finding(302, "error", where, abs(level_a - level_b), 0.0, tolerances.CORNER,
                      f"sewn and opened flat, the cut edges of {names} miss each other by "
                      f"{abs(level_a - level_b):.2f} cm: give both edges the same allowance.", mark)
    elif abs(under_a - under_b) > tolerances.CORNER:
        yield Finding(303, "warning", where, abs(under_a - under_b), 0.0, tolerances.CORNER,
                      f"laid right sides together, the corners of {a.piece.name} and {b.piece.name} miss "
                      f"each other by {abs(under_a - under_b):.2f} cm: square or mirror the allowance ends "
                      "alike.", mark)


# -- the cutting list


def _cutting_list(by_name, listed: tuple[str, ...]) -> Iterator[Finding]:
    for name in by_name:
        if name not in listed:
            yield Finding(601, "error", name, 0, 1, 0,
                          "the piece is not on the cutting list, so it will not be cut: add it.")
    for name in listed:
        if name not in by_name:
            yield Finding(602, "error", name, None, None, None,
                          "the cutting list names this piece, but it is not drawn: draw it or cross it out.")

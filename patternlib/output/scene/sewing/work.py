"""The work as it is when a step begins: pieces with what is already finished, and where they lie."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from ....garments.base import Garment
from ....geometry import Move, Point
from ....making import SewingStep, is_folded
from ....pieces import TURNED_OVER, Mark, Piece, Seam
from ..layers import HAIR, MIDDLE, Layer, Line, inward, moved, outline_of, sheet, way

Place = tuple[str, str]
"""(piece, edge)."""
SLIVER = 0.05
"""cm: half the width of what is left over at a corner and not drawn."""
TOUCH, OPEN = 0.1, 2.0
"""cm: edges so equal in length lie edge on edge; ends of a seam so far apart are drawn open."""
NOTCH = 0.6
"""cm: how long a notch is drawn."""


class Work:
    """The work as it is when a step begins."""

    def __init__(self, garment: Garment, steps: Sequence[SewingStep], step: SewingStep):
        self.garment, self.step = garment, step
        self.pieces = {piece.name: piece for piece in garment.pieces}
        before = [s for s in steps if s.number < step.number]
        self.done: set[Place] = {place for s in before for place in s.edges}
        by_name = {seam.name: seam for seam in garment.seams}
        self.seams = [by_name[name] for name in step.seams]
        self.sewn = [by_name[name] for s in before for name in s.seams]
        self.twice: set[str] = set()  # pieces of which the copy for the other side is shown as well
        self.down: set[str] = set()  # pieces that lie right side down

    def cloth(self, name: str, move: Move, *, wrong: bool, done: Iterable[Place] = ()) -> Layer:
        """A piece with the allowances it still has, as it lies.

        done: edges that are finished in this picture, in addition to those of earlier steps.
        """
        piece, finished = self.pieces[name], {e for p, e in {*self.done, *done} if p == name}
        halves = piece.on_fold
        inside = sheet(piece)
        raw = Polygon(piece.cut_line).buffer(0)
        room = raw
        if finished:
            strip = (raw - inside) & self._still_raw(piece, finished)
            room = inside | strip.buffer(-SLIVER, 1).buffer(SLIVER, 1)
            room = room.buffer(HAIR, 1).buffer(-HAIR, 1)
        marks: list[Line] = []
        if not wrong:
            marks = [Line(way(m.curve), _mark_look(m), "", m.name) for m in piece.marks]
        if halves:
            room = (room | moved(room, MIDDLE)).buffer(HAIR, 1).buffer(-HAIR, 1)
            marks += [replace(m, shape=moved(m.shape, MIDDLE)) for m in marks]
        half = self._half_seen(piece)
        if half is not None:
            room, marks = room & half, [replace(m, shape=m.shape & half) for m in marks if m.style != "fold"]
        lines = (*(replace(m, shape=moved(m.shape, move)) for m in marks),)
        shape = moved(room, move).buffer(0)
        return outline_of(Layer(name, shape, lines, wrong))

    def _half_seen(self, piece: Piece) -> BaseGeometry | None:
        """Of a piece that an earlier step has folded and turned, the side that its first edge is on."""
        if not any(piece.name == s.a[0][0] and is_folded(s, self.pieces) for s in self.sewn):
            return None
        fold = next(mark.curve for mark in piece.marks if mark.style == "fold")
        return side_of(fold.start, fold.end, piece.edges[0].curve.at(piece.edges[0].curve.length / 2))

    def drawn_flat(self, names: Iterable[str]) -> str:
        """Words for pieces that earlier steps have closed to a round, '' where there are none."""
        for s in self.sewn:
            on = {p for side in (s.a, s.b) for p, _ in side}
            if len(on) == 1 and on & {*names} and s.a != s.b and not is_folded(s, self.pieces):
                return f"; the {next(iter(on))} is closed, but drawn flat"
        return ""

    def drawn_open(self, at: dict[str, Move]) -> str:
        """Words for seams that earlier steps have sewn and that lie open in a picture, '' where none do."""
        names = []
        for s in self.sewn:
            on = {p for side in (s.a, s.b) for p, _ in side}
            if not on <= set(at) or is_folded(s, self.pieces):
                continue
            if s.a == s.b:  # both copies, on the line between them
                lies_open = s.a[0][0] in self.twice and any(
                    abs(p.x) > OPEN for p in self.chord(s.a, s.against_a, at)
                )
            elif len(on) == 1:
                continue
            else:
                both = self.chord(s.a, s.against_a, at), self.chord(s.b, s.against_b, at)
                lies_open = any(p.distance(q) > OPEN for p, q in zip(*both, strict=True))
            if lies_open:
                names.append(s.name)
        return f"; drawn flat, though already sewn: {', '.join(names)}" if names else ""

    @staticmethod
    def _still_raw(piece: Piece, finished: set[str]) -> BaseGeometry:
        """Where the allowances of edges lie that are not finished, with the corners between two of them."""
        parts: list[BaseGeometry] = []
        for edge, after in zip(piece.edges, (*piece.edges[1:], piece.edges[0]), strict=True):
            if edge.name in finished:
                continue
            parts.append(way(edge.curve).buffer(1.05 * edge.allowance + 0.02, cap_style="flat"))
            if after.name not in finished:
                parts.append(Spot(*edge.curve.end).buffer(3 * max(edge.allowance, after.allowance) + 0.1, 2))
        turned = [_beyond(piece, k) for k, e in enumerate(piece.edges) if e.name in finished]
        return shapely.union_all(parts) - shapely.union_all(turned)

    def moves(self, name: str, move: Move) -> list[Move]:
        """Where a piece lies, and where its other half does, or its copy for the other side."""
        if self.pieces[name].on_fold:
            return [move, MIDDLE.then(move)]
        return [move, move.then(MIDDLE)] if name in self.twice else [move]

    def cloths(self, name: str, move: Move, *, wrong: bool, done: Iterable[Place] = ()) -> list[Layer]:
        """A piece as it lies, and its copy for the other side where both are shown."""
        moves = [move, move.then(MIDDLE)] if name in self.twice else [move]
        return [self.cloth(name, one, wrong=wrong, done=done) for one in moves]

    def heavy(self, places: Iterable[Place], at: dict[str, Move], distance: float = 0.0) -> Layer:
        """Seams of this step as heavy lines on top, with the notches on them."""
        lines = []
        for name, edge in places:
            piece = self.pieces[name]
            curve = piece.edge(edge).curve
            row = inward(curve, distance) & sheet(piece) if distance else way(curve)
            for move in self.moves(name, at[name]):
                sewn = row if distance else self._less_gap((name, edge), move)
                lines.append(Line(moved(sewn, move), "sewing", f"{name}/{edge}", edge))
                for notch in piece.notches:
                    if notch.edge == edge and not distance:
                        p, out = curve.at(notch.at), curve.direction(notch.at).right()
                        tick = LineString([move(p), move(p + out * NOTCH)])
                        lines.append(Line(tick, "notch", "", "notch"))
        return Layer("", Polygon(), tuple(lines))

    def gap(self, place: Place) -> tuple[float, float] | None:
        """From where to where a seam along an edge is left open on the wearer's right, cm along the edge."""
        for seam in self.seams:
            for side, against in ((seam.a, seam.against_a), (seam.b, seam.against_b)):
                if place in side and seam.name in self.garment.left_open:
                    a, b = self.garment.left_open[seam.name]
                    long = self.pieces[place[0]].edge(place[1]).curve.length
                    return (long - b, long - a) if against else (a, b)
        return None

    def _less_gap(self, place: Place, move: Move) -> BaseGeometry:
        """The line of an edge without what is left open on the wearer's right: x < 0, seen from in front."""
        curve, gap = self.pieces[place[0]].edge(place[1]).curve, self.gap(place)
        if gap is None or move(curve.at(curve.length / 2)).x > 0:
            return way(curve)
        return MultiLineString([way(curve.part(0, gap[0])), way(curve.part(gap[1], curve.length))])

    def spread(self, names: Sequence[str]) -> dict[str, Move]:
        """Pieces opened flat beside one another along the seams that join them."""
        at: dict[str, Move] = {}
        left = list(names)
        while left:
            name = left.pop(0)
            if not at:
                at[name] = Move()
                continue
            found = self.joined(name, at, [*reversed(self.sewn), *self.garment.seams])
            if found is None and any(self.joined(n, at, self.garment.seams) for n in left):
                left.append(name)
                continue
            at[name] = found[0] if found else Move()
        return at

    def joined(
        self,
        name: str,
        at: dict[str, Move],
        seams: Iterable[Seam],
        *,
        over: bool = False,
        down: Iterable[str] = (),
    ) -> tuple[Move, bool] | None:
        """How a piece lies along a seam with pieces that lie already, and whether right side down.

        None where no seam joins them. over: right sides together, so that both lie on each other; otherwise
        opened flat; down: those of the others that lie right side down. Of a pair that copy is taken that
        fits.
        """
        for seam in (part for whole in seams for part in self._parts(whole)):
            sides = ((seam.a, seam.against_a), (seam.b, seam.against_b))
            for (own, own_way), (other, other_way) in (sides, sides[::-1]):
                if name not in {p for p, _ in own} or {p for p, _ in own} & set(at):
                    continue
                if not all(p in at for p, _ in other) or len({p for p, _ in own}) > 1:
                    continue
                here = other[0][0]
                flip = over != at[here].over
                p, q = self.chord(own, own_way, {name: Move()})
                r, s = self.chord(other, other_way, at)
                choices = [Move.onto(p, q, r, s, over=flip)]
                if self.pieces[name].pair:
                    choices.append(Move.onto(p, q, r, s, over=not flip))
                if self.pieces[name].on_fold and self.pieces[here].on_fold:
                    far = max((p, q), key=lambda point: abs(point.x))
                    goal = r if far == p else s
                    beyond = MIDDLE.then(at[here])(_undone(at[here], goal))
                    middle, there = far.middle(MIDDLE(far)), goal.middle(beyond)
                    across = [Move.onto(middle, far, there, end, over=flip) for end in (goal, beyond)]
                    choices = across if over else [*across, *choices]
                lies = sheet(self.pieces[here], at[here], halves=False)
                if self.pieces[here].on_fold:
                    lies = lies | moved(sheet(self.pieces[here]), MIDDLE.then(at[here]))
                whole = sheet(self.pieces[name], halves=self.pieces[name].on_fold)
                overlap = [(moved(whole, move) & lies).area for move in choices]
                best = max(overlap) if over else min(overlap)
                move = next(m for m, o in zip(choices, overlap, strict=True) if abs(o - best) < 1.0)
                return move, over != (here in down)
        return None

    def _parts(self, seam: Seam) -> Iterable[Seam]:
        """A seam of several edges as one seam for each, where edge lies on edge."""
        edges = [[self.pieces[p].edge(e).curve.length for p, e in side] for side in (seam.a, seam.b)]
        if len(seam.a) != len(seam.b) or any(abs(a - b) > TOUCH for a, b in zip(*edges, strict=True)):
            return [seam]
        return [replace(seam, a=(a,), b=(b,)) for a, b in zip(seam.a, seam.b, strict=True)]

    def chord(self, side: Sequence[Place], against: bool, at: dict[str, Move]) -> tuple[Point, Point]:
        """Both ends of a side of a seam as it is walked."""
        ends = []
        for (name, edge), last in ((side[0], False), (side[-1], True)):
            curve = self.pieces[name].edge(edge).curve
            ends.append(at[name](curve.end if last != against else curve.start))
        return ends[0], ends[1]

    def placed(self, names: Sequence[str], *, over: bool) -> dict[str, Move]:
        """Where the pieces of a seam lie: right sides together, or opened flat; fills `down`."""
        placed, left = {names[0]: Move()}, list(names[1:])
        self.down = set()
        for _ in range(len(names) ** 2):
            if not left:
                break
            name = left.pop(0)
            alike = sorted(self.sewn, key=lambda s: "facing" in name and not _of_facings(s))
            found = self.joined(name, placed, self.seams, over=over, down=self.down) or self.joined(
                name, placed, alike, down=self.down
            )
            if found is None:
                left.append(name)
                continue
            placed[name], face_down = found
            if face_down:
                self.down.add(name)
        return placed | dict.fromkeys(left, Move())


def _beyond(piece: Piece, k: int) -> BaseGeometry:
    """The room of an edge's allowance; where it is turned, also that of the corners that turn with it."""
    edge = piece.edges[k]
    room = way(edge.curve).buffer(1.05 * edge.allowance + 0.02, cap_style="flat")
    if edge.turn not in TURNED_OVER:
        return room
    before, after = piece.edges[k - 1], piece.edges[(k + 1) % len(piece.edges)]
    rooms = [room]
    for end, out, other, bend in (
        (edge.curve.start, edge.curve.start_direction * -1, before, before.curve.end_direction),
        (edge.curve.end, edge.curve.end_direction, after, after.curve.start_direction * -1),
    ):
        if abs(out.cross(bend)) > 0.5:  # a corner, no edge that runs on
            far = end + out * (2 * other.allowance)
            side = out.right() if end == edge.curve.end else out.left()
            deep = side * (1.05 * edge.allowance + 0.02)
            rooms.append(Polygon([end, far, far + deep, end + deep]))
    return shapely.union_all(rooms)


def _of_facings(seam: Seam) -> bool:
    return all("facing" in piece for piece, _ in (*seam.a, *seam.b))


def side_of(m: Point, n: Point, toward: Point, far: float = 300.0) -> Polygon:
    """The side of the line through two points on which a third one lies, as far as any piece reaches."""
    axis = (n - m).unit()
    side = axis.left() if axis.cross(toward - m) > 0 else axis.right()
    a, b = m - axis * far, m + axis * far
    return Polygon([a, b, b + side * far, a + side * far]).buffer(0)


def _undone(move: Move, point: Point) -> Point:
    """The place that a move takes to `point`."""
    z = (complex(*point) - move.b) * move.a.conjugate()
    z = z.conjugate() if move.over else z
    return Point(z.real, z.imag)


def _mark_look(mark: Mark) -> str:
    return {"fold": "fold", "buttonhole": "buttonhole"}.get(mark.style, "placement")

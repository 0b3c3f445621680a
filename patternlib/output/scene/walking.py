"""Walking a seam: both its sides laid along each other, one rolled along the other from notch to notch."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ... import tolerances
from ...errors import ValueAtFault, unknown
from ...garments.base import Garment
from ...geometry import Curve, Move, Point
from ...pieces import Piece, Seam
from ...units import write_length
from ..items import Box, Stroke, Text, curve_path, item_box, join_boxes, moved_path
from ..lettering.sizes import letters
from ..lettering.taken import FINE, Taken
from .base import Scene

TICK = 1.2
"""cm: how far a notch is drawn into its piece."""
SNAP = 0.5
"""cm: the walk stops at a notch that is so near."""

ENDS = ("start", "end")
"""The ends of a seam, in the direction of the walk."""


@dataclass(frozen=True)
class Laid:
    """One edge of a side of a seam where it lies: its curve as it is walked, and its piece's move."""

    piece: Piece
    edge: str
    curve: Curve
    move: Move


def find_seam(garment: Garment, name: str) -> Seam:
    """The seam of a garment; UnknownName for another name."""
    seams = {seam.name: seam for seam in garment.seams}
    if name not in seams:
        raise unknown("seam", name, seams)
    return seams[name]


def walk_scene(garment: Garment, seam: str, at: float, *, unit: str = "cm") -> Scene:
    """Draw a seam walked from its start by `at` cm: both pieces touch there, the walked lines stand out.

    Side a keeps its place, side b is rolled along it, turned over where it must be; beside them both seam
    lines are drawn straight, with their notches, joins and lengths. Unknown seams raise UnknownName, a
    place beyond the seam ValueAtFault.

    >>> from patternlib import chart, make
    >>> garment = make("pinafore", chart("course").body("12"))
    >>> walk_scene(garment, "strap to yoke", 2).title
    'strap to yoke: strap 4.6 cm, back yoke 4.6 cm, they agree'
    """
    sewn = find_seam(garment, seam)
    by_name = {piece.name: piece for piece in garment.pieces}
    fixed = _lay(by_name, sewn.a, sewn.against_a, over=False)
    rolling = _lay(by_name, sewn.b, sewn.against_b, over=sewn.against_a == sewn.against_b)
    whole = max(_length(fixed), _length(rolling))
    if not -1e-9 <= at <= whole + 1e-6:
        raise ValueAtFault("at", at, f"must lie on the seam, between 0 and {whole:.1f} cm", "Walk less far.")
    stops = sorted({n for side in (fixed, rolling) for n, _ in _notches(side)})
    at = next((stop for stop in stops if abs(stop - at) < SNAP), at)
    placed = _rolled(fixed, rolling, at)
    boxes = [_box_of(fixed)]
    boxes += [_box_of(_rolled(fixed, rolling, k / 4 * whole)) for k in range(5)]
    box = join_boxes(boxes)
    size = letters("screen", 1.5 * (box[2] - box[0])).size
    items: list[Stroke | Text] = []
    taken = Taken(FINE * size)
    for side in (fixed, placed):
        items += _drawn(side, seam, at, taken)
    for side in (fixed, placed):
        items += _named(side, size, taken)
    ruler, beside = _ruler((fixed, rolling), seam, at, box, size, unit)
    verdict = _verdict(sewn, fixed, rolling, unit)
    x, y = (beside[0] + beside[2]) / 2, beside[1] - size
    items.append(
        Text(x, y, verdict.split(", ")[-1].split("; ")[-1], size, "middle", 0.0, "labels", "heading")
    )
    x0, y0, x1, y1 = join_boxes([box, beside, item_box(items[-1])])
    return Scene(tuple(items + ruler), verdict, (x0 - 1, y0 - 1, x1 + 1, y1 + 1))


def _lay(pieces, side: Sequence[tuple[str, str]], against: bool, *, over: bool) -> tuple[Laid, ...]:
    """The edges of a side end to end, their pieces turned so that each runs on from the one before."""
    out: list[Laid] = []
    for name, edge in side:
        piece = pieces[name]
        curve = piece.edge(edge).curve
        curve = curve.reversed() if against else curve
        p, way = curve.start, curve.start_direction
        if out:
            q, ahead = out[-1].curve.end, out[-1].curve.end_direction
        else:
            q, ahead = (Point(-p.x, p.y), Point(-way.x, way.y)) if over else (p, way)
        move = Move.onto(p, p + way, q, q + ahead, over=over)
        out.append(Laid(piece, edge, curve.moved(move), move))
    return tuple(out)


def _length(side: Iterable[Laid]) -> float:
    return sum(one.curve.length for one in side)


def _place(side: Sequence[Laid], at: float) -> tuple[Point, Point]:
    """Point and way of a side at a walked distance; its end where it is shorter."""
    for one in side:
        if at <= one.curve.length or one is side[-1]:
            at = min(at, one.curve.length)
            return one.curve.at(at), one.curve.direction(at)
        at -= one.curve.length
    raise ValueAtFault("seam", "one side", "names no edge", "Say what is sewn to what.")


def _rolled(fixed: Sequence[Laid], rolling: Sequence[Laid], at: float) -> tuple[Laid, ...]:
    """The rolling side moved until it touches the fixed one at the walked distance."""
    (q, ahead), (p, way) = _place(fixed, at), _place(rolling, at)
    roll = Move.onto(p, p + way, q, q + ahead)
    return tuple(Laid(o.piece, o.edge, o.curve.moved(roll), o.move.then(roll)) for o in rolling)


def _notches(side: Sequence[Laid]) -> list[tuple[float, int]]:
    """(walked distance, count) of the notches on one side; those of two seams that meet in it are one."""
    out, before = [], 0.0
    for one in side:
        edge = one.piece.edge(one.edge)
        against = one.curve.start.distance(one.move(edge.curve.start)) > tolerances.POINT
        for n in one.piece.notches:
            if n.edge == one.edge:
                out.append((before + (one.curve.length - n.at if against else n.at), n.count))
        before += one.curve.length
    return out


def _box_of(side: Sequence[Laid]) -> Box:
    points = [one.move(p) for one in side for edge in one.piece.edges for p in edge.curve.flat(0.5)]
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _drawn(side: Sequence[Laid], seam: str, at: float, taken: Taken) -> list[Stroke | Text]:
    """Seam lines of the pieces, the walked part of the side, its notches as ticks into the piece."""
    out: list[Stroke | Text] = []
    left = at
    for one in side:
        name, length = one.piece.name, one.curve.length
        for edge in one.piece.edges:
            curve = edge.curve.moved(one.move)
            taken.draw(curve.flat(0.05))
            if edge.name != one.edge:
                style = "fold" if edge.turn == "fold" else "seam"
                out.append(Stroke(curve_path(curve), style, "seam lines", "", f"{name}, {edge.name}", name))
        walked = min(max(left, 0.0), length)
        title = f"{name}, {one.edge}"
        if walked < length - 1e-6:
            ahead = one.curve.part(walked, length) if walked > 1e-6 else one.curve
            out.append(Stroke(curve_path(ahead), "seam", "seam lines", "", title, name))
        if walked > 1e-6:
            behind = one.curve.part(0, walked) if walked < length - 1e-6 else one.curve
            out.append(Stroke(curve_path(behind), "walked", "plan", "", f"{title}, walked", name))
        left -= length
    inward = _inward(side)
    for distance, count in _notches(side):
        for k in range(count):
            p, way = _place(side, distance + (k - (count - 1) / 2))
            tip = p + (way.left() if inward else way.right()) * TICK
            out.append(
                Stroke((("M", *p), ("L", *tip)), "notch", "marks", "", f"notch: {seam}", side[0].piece.name)
            )
    return out


def _inward(side: Sequence[Laid]) -> bool:
    """Whether the piece lies to the left of the side as it is walked."""
    one = side[0]
    against = one.curve.start.distance(one.move(one.piece.edge(one.edge).curve.start)) > tolerances.POINT
    return against == one.move.over


def _named(side: Sequence[Laid], size: float, taken: Taken) -> list[Text]:
    """The name of each piece, inside it where there is room."""
    out = []
    for one in side:
        points = [one.move(p) for edge in one.piece.edges for p in edge.curve.flat(0.5)]
        xs, ys = zip(*points, strict=True)
        places = [
            Text(
                min(xs) + u * (max(xs) - min(xs)), min(ys) + v * (max(ys) - min(ys)), one.piece.name, size,
                "middle", 0.0, "labels", "heading",
            )
            for v in (0.5, 0.35, 0.65, 0.2, 0.8) for u in (0.5, 0.4, 0.6)
        ]  # fmt: skip
        written = taken.write(places, over_lines=True)
        if written:
            out.append(written)
    return out


def _ruler(
    sides: Sequence[Sequence[Laid]], seam: str, at: float, box: Box, size: float, unit: str
) -> tuple[list[Stroke | Text], Box]:
    """Both sides drawn straight, side by side, from the start at the top; not to scale."""
    high = max(box[3] - box[1], 14 * size)
    scale = (high - 5 * size) / max(map(_length, sides))
    top = box[3] - 3 * size
    middle = box[2] + 13 * size
    out: list[Stroke | Text] = []
    low = top
    for way, side in zip((-1, 1), sides, strict=True):
        x, anchor = middle + way * 0.5 * size, "end" if way < 0 else "start"

        def level(distance: float) -> float:
            return top - scale * distance

        def said(y: float, text: str, style: str, x=x, way=way, anchor=anchor) -> Text:
            layer = "measures" if style == "measure" else "labels"
            return Text(x + way * 1.2 * size, y - 0.3 * size, text, size, anchor, 0.0, layer, style)

        title = f"{' + '.join(one.piece.name for one in side)}, drawn straight"
        length = _length(side)
        out.append(Stroke((("M", x, top), ("L", x, level(length))), "seam", "seam lines", "", title))
        if at > 1e-6:
            walked = (("M", x, top), ("L", x, level(min(at, length))))
            out.append(Stroke(walked, "walked", "plan", "", f"{title}, walked"))
        before, used = 0.0, [level(length)]
        for one in side:
            out.append(_tick(x, level(before), way * size, "seam"))
            middle_of = level(before + one.curve.length / 2)
            before += one.curve.length
            if one.curve.length * scale > 2.2 * size:
                used.append(middle_of)
                out.append(said(middle_of, one.piece.name, "label"))
        out.append(_tick(x, level(length), way * size, "seam"))
        out.append(said(level(length), write_length(length, unit), "measure"))
        for distance, _count in _notches(side):
            y = level(distance)
            out.append(_tick(x, y, way * size, "notch"))
            if all(abs(y - other) > 1.2 * size for other in used):
                used.append(y)
                out.append(said(y, write_length(distance, unit), "measure"))
        low = min(low, level(length))
    mark = top - scale * at
    arrow = (("M", middle - 0.3 * size, mark), ("L", middle + 0.3 * size, mark))
    out.append(Stroke(arrow, "cut", "plan", "", "walked so far"))
    words = f"walked {write_length(at, unit)}"
    out.append(Text(middle, top + 1.2 * size, words, size, "middle", 0.0, "labels", "heading"))
    return out, (middle - 12 * size, low - size, middle + 12 * size, top + 2.5 * size)


def _tick(x: float, y: float, reach: float, style: str) -> Stroke:
    layer = "marks" if style == "notch" else "seam lines"
    return Stroke(moved_path((("M", 0.0, 0.0), ("L", 0.9 * reach, 0.0)), x, y), style, layer)


def _verdict(seam: Seam, fixed: Sequence[Laid], rolling: Sequence[Laid], unit: str) -> str:
    """The lengths of both sides and their difference, in words."""
    a, b = _length(fixed), _length(rolling)
    names = (" + ".join(one.piece.name for one in side) for side in (fixed, rolling))
    said = ", ".join(f"{name} {write_length(n, unit)}" for name, n in zip(names, (a, b), strict=True))
    over = a - b - seam.ease
    eased = f", ease {write_length(seam.ease, unit)}" if seam.ease else ""
    if abs(over) <= tolerances.SEAM:
        return f"{seam.name}: {said}{eased}, they agree"
    longer = fixed if over > 0 else rolling
    return f"{seam.name}: {said}{eased}; {longer[0].piece.name} is {write_length(abs(over), unit)} too long"

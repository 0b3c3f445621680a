"""One pattern piece as a drawing: cut line, seam lines, fold, grain, notches, drill holes, marks, label."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise, product

from ...geometry import Move, Point
from ...pieces import Edge, Mark, Notch, Piece
from ...units import write_length
from ..items import Box, Command, Stroke, Text, curve_path, join_boxes, moved_path, text_width
from ..kept import keep_results
from ..lettering.sizes import LEADING, Letters, block_width, blocks
from ..lettering.space import CLEARANCE, LEVELS, Space, StraightLine, Written, reading_angle, straight_lines
from ..signs import HEAD, HOLE, arrow, drill_hole, grain_line

NOTCH = 0.3
"""cm: depth of a notch; never more than half the allowance (common practice, no source)."""
DOUBLE = 1.0
"""cm between the two marks of a double notch (common practice, no source)."""
BAR = 0.2
"""cm: half the bar drawn across a buttonhole's end."""
COARSE = 0.04
"""cm: how closely the lines that lettering keeps clear of follow their curves."""


class Sheet:
    """The drawing of one piece in its own place, ready to be laid anywhere on a sheet."""

    def __init__(self, name: str):
        self.name = name
        self.strokes: list[tuple[Sequence[Command], str, str, str, str]] = []
        self.texts: list[tuple[Written, str]] = []
        self.obstacles: list[StraightLine] = []  # what lettering must keep clear of
        self.box: Box = (0.0, 0.0, 0.0, 0.0)

    def stroke(self, d: Sequence[Command], style: str, layer: str, id: str = "", title: str = "") -> None:
        self.strokes.append((d, style, layer, id, title))

    def write(self, texts: Sequence[Written], layer: str = "labels") -> None:
        for t in texts:
            self.texts.append((t, layer))
            self.obstacles.extend(_frame(t))

    @keep_results(128)
    def items(self, dx: float = 0.0, dy: float = 0.0) -> list[Stroke | Text]:
        """The finished drawing moved by (dx, dy)."""
        name = self.name
        out: list[Stroke | Text] = [
            Stroke(moved_path(d, dx, dy), style, layer, id, title, name)
            for d, style, layer, id, title in self.strokes
        ]
        for t, layer in self.texts:
            out.append(Text(t.x + dx, t.y + dy, t.text, t.size, t.anchor, t.angle, layer, t.style, name))
        return out


@keep_results(64)
def draw_piece(piece: Piece, letters: Letters, *, unit: str, measures: bool) -> Sheet:
    """Draw a piece with its grain upright."""
    piece = _upright(piece)
    sheet = Sheet(piece.name)
    flats = [edge.curve.flat(COARSE) for edge in piece.edges]
    outline = [(*p, *q) for flat in flats for p, q in pairwise(flat)]
    _cut_line(sheet, piece)
    for edge in piece.edges:
        if edge.turn != "fold":
            words = f"{piece.name}/{edge.name}", f"{piece.name}, {edge.name}"
            sheet.stroke(curve_path(edge.curve), "seam", "seam lines", *words)
    for notch in piece.notches:
        _notch(sheet, piece, notch)
    _insides(sheet, piece)
    for edge in piece.edges:
        if edge.turn == "fold":
            fold_bracket(sheet, edge, outline, letters, beside=straight_lines(_grain(piece)))
    label = _grain_and_label(sheet, piece, outline, letters)
    for mark in piece.marks:
        if mark.style == "written":
            _written(sheet, mark, outline, letters)
    if measures:
        _measures(sheet, piece, outline, unit, max(0.75 * letters.size, letters.least))
    around = piece.cut_line or [p for flat in flats for p in flat]
    xs, ys = [p[0] for p in around], [p[1] for p in around]
    sheet.box = join_boxes([(min(xs), min(ys), max(xs), max(ys)), *label])
    return sheet


def _upright(piece: Piece) -> Piece:
    """The piece turned until its grain stands upright, by less than a quarter where either end may be up."""
    if piece.grain is None:
        return piece
    way = piece.grain.end - piece.grain.start
    if abs(way.x) < 1e-9:
        return piece
    turn = (90.0 - way.angle + 90.0) % 180.0 - 90.0
    move = Move.turn(piece.grain.start, turn)
    return piece.replace(
        edges=tuple(Edge(e.name, e.curve.moved(move), e.allowance, e.turn) for e in piece.edges),
        cut_line=tuple(move(p) for p in piece.cut_line),
        grain=type(piece.grain)(move(piece.grain.start), move(piece.grain.end), piece.grain.one_way),
        drill_holes=tuple(type(h)(move(h.point), h.purpose) for h in piece.drill_holes),
        marks=tuple(type(m)(m.name, m.curve.moved(move), m.style) for m in piece.marks),
    )


def _line(*points) -> tuple[Command, ...]:
    return (("M", *points[0]), *(("L", *p) for p in points[1:]))


def _cut_line(sheet: Sheet, piece: Piece) -> None:
    """The cut line, left open at the cloth's fold; the fold has a line of its own, to the cut's ends."""
    folds = [edge for edge in piece.edges if edge.turn == "fold"]
    ring = piece.cut_line
    if not ring:
        for edge in folds:
            words = f"{piece.name}/{edge.name}", f"{piece.name}, {edge.name}"
            sheet.stroke(curve_path(edge.curve), "fold", "marks", *words)
        return
    title = f"{piece.name}, cut line"
    n = len(ring)
    along: list[Edge | None] = [None] * n  # the fold that a piece of the ring lies on
    for edge in folds:
        p, way = edge.curve.start, (edge.curve.end - edge.curve.start).unit()
        on = [abs(way.cross(q - p)) < 1e-6 for q in ring]
        for k in range(n):
            if on[k] and on[(k + 1) % n]:
                along[k] = edge
    if not any(along):
        sheet.stroke((*_line(*ring), ("Z",)), "cut", "cut lines", "", title)
        return
    first = next(k for k in range(n) if along[k] and not along[k - 1])
    run, kind = [ring[first]], along[first]
    for i in range(n):
        k = (first + i) % n
        if along[k] is not kind:
            _run(sheet, piece, run, kind, title)
            run, kind = [ring[k]], along[k]
        run.append(ring[(k + 1) % n])
    _run(sheet, piece, run, kind, title)


def _run(sheet: Sheet, piece: Piece, run: Sequence[Point], fold: Edge | None, title: str) -> None:
    if fold is None:
        sheet.stroke(_line(*run), "cut", "cut lines", "", title)
    else:
        sheet.stroke(
            _line(run[0], run[-1]), "fold", "marks", f"{piece.name}/{fold.name}", f"{piece.name}, {fold.name}"
        )


def _notch(sheet: Sheet, piece: Piece, notch: Notch) -> None:
    """Slits from the cut line inward, square to the seam line."""
    edge = piece.edge(notch.edge)
    places = (notch.at,) if notch.count == 1 else (notch.at - DOUBLE / 2, notch.at + DOUBLE / 2)
    depth = min(NOTCH, edge.allowance / 2) if edge.allowance else NOTCH
    d: list[Command] = []
    long = edge.curve.length
    for at in places:
        at = min(max(at, 0.0), long)
        seam, out = edge.curve.at(at), edge.curve.direction(at).right()
        near_end = min(at, long - at) < 1.5 * edge.allowance
        cut = _reach(seam, out, edge.allowance, piece.cut_line if near_end else ())
        d += [("M", *cut), ("L", *(cut - out * depth))]
    seam_name = f": {notch.seam}" if notch.seam else ""
    sheet.stroke(d, "notch", "marks", "", f"{'double notch' if notch.count == 2 else 'notch'}{seam_name}")


def _reach(seam: Point, out: Point, allowance: float, ring: Sequence[Point]) -> Point:
    """Where a line square to the seam reaches the cut line."""
    if not ring or not allowance:
        return seam + out * allowance
    reach = math.inf
    sx, sy, ox, oy = *seam, *out
    px, py = ring[-1]
    side = ox * (py - sy) - oy * (px - sx)
    for qx, qy in ring:
        before, side = side, ox * (qy - sy) - oy * (qx - sx)
        if before * side <= 0 and before != side:
            t = before / (before - side)
            ahead = ox * (px + t * (qx - px) - sx) + oy * (py + t * (qy - py) - sy)
            if 1e-6 < ahead < reach:
                reach = ahead
        px, py = qx, qy
    return seam + out * (reach if reach < 3 * allowance else allowance)


def _insides(sheet: Sheet, piece: Piece) -> None:
    """Marks and drill holes."""
    for mark in piece.marks:
        if mark.style == "written":
            continue
        style = mark.style if mark.style in ("fold", "buttonhole") else "placement"
        bars = _bars(mark.curve) if mark.style == "buttonhole" else []
        sheet.stroke([*curve_path(mark.curve), *bars], style, "marks", "", mark.name)
        flat = mark.curve.flat(COARSE)
        sheet.obstacles.extend((*p, *q) for p, q in pairwise(flat))
    for hole in piece.drill_holes:
        sheet.stroke(drill_hole(*hole.point), "hole", "marks", "", f"drill hole: {hole.purpose}")
        x, y, r = *hole.point, 1.5 * HOLE
        sheet.obstacles += [(x - r, y, x + r, y), (x, y - r, x, y + r)]


def _written(sheet: Sheet, mark: Mark, outline: Sequence[StraightLine], letters: Letters) -> None:
    """The name of a mark in the box that it crosses: large, and clear of other words, where there is room."""
    space, (x0, y0), (x1, y1) = Space(outline, sheet.obstacles), mark.curve.start, mark.curve.end
    for size, clear in product((1.35 * letters.size, letters.size, letters.least), (1.0, 0.0)):
        half = text_width(mark.name, size, bold=True) / 2 + clear * size
        for up, along in product(LEVELS, LEVELS):
            x, y = x0 + along * (x1 - x0), y0 + up * (y1 - y0)
            if space.fits(x, y - (0.22 + clear) * size, y + (0.78 + clear) * size, half):
                sheet.write([Written(x, y, mark.name, size, "middle", 0.0, "heading")])
                return


def _bars(curve) -> list[Command]:
    """A short bar across each end of a buttonhole."""
    across = curve.start_direction.left() * BAR
    return [c for p in (curve.start, curve.end) for c in (("M", *(p + across)), ("L", *(p - across)))]


def _grain(piece: Piece, part: tuple[float, float] = (0.0, 1.0)) -> tuple[Command, ...]:
    """The grain line, or a part of it, by shares of its length; nothing where the piece has none."""
    if piece.grain is None:
        return ()
    p, q = piece.grain.start, piece.grain.end
    start, end = p + (q - p) * part[0], p + (q - p) * part[1]
    return tuple(grain_line(start, end, one_way=piece.grain.one_way, head=min(HEAD, start.distance(end) / 3)))


def fold_bracket(
    sheet: Sheet,
    edge: Edge,
    outline: Sequence[StraightLine],
    letters: Letters,
    *,
    beside: Sequence[StraightLine] = (),
) -> None:
    """The bracket that says: lay this edge on the fold of the cloth. Its arrows point at the fold.

    beside: lines that its words keep clear of, too.
    """
    curve = edge.curve
    way = (curve.end - curve.start).unit()
    half = min(0.36 * curve.length, 12.0)
    middle, inward = curve.start.middle(curve.end), way.left()
    depth = min(1.5, max(0.5, 0.3 * half))
    p, q = middle - way * half, middle + way * half
    inner = inward * depth
    size = min(HEAD, depth * 0.6)
    d = [*_line(p, p + inner, q + inner, q), *arrow(p, -inward, size), *arrow(q, -inward, size)]
    sheet.stroke(d, "grain", "labels", "", "lay this edge on the fold of the cloth")
    sheet.obstacles += straight_lines(d)
    angle = reading_angle(way)
    space = Space(outline, [*sheet.obstacles, *beside], angle)
    u, v = space.seen(*(middle + inner))
    side = 1 if space.seen(*(middle + inner + inward))[1] > v else -1
    for factor in (0.85, 0.6, 0.5, 0.4):
        size = max(factor * letters.size, letters.least)
        base = v + CLEARANCE + 0.24 * size if side > 0 else v - CLEARANCE - 0.8 * size
        text = "fold" if letters.short else "place on the fold"
        if space.fits(u, base - 0.22 * size, base + 0.78 * size, text_width(text, size) / 2):
            sheet.write([Written(*space.back(u, base), text, size, "middle", angle, "label")])
            return


PARTS = ((0.0, 1.0), (0.5, 1.0), (0.0, 0.5), (0.7, 1.0), (0.0, 0.3))
"""Parts of its grain line that a piece is drawn with: all of it, or what leaves space for the label."""
READABLE = 0.8
"""Share of the usual size that lettering keeps as long as a shorter grain line makes room for it."""
SHORTEST = 2.0
"""cm: no grain line is drawn shorter than this for the sake of a label."""


def _how_many(piece: Piece) -> str:
    """How often a piece is cut, in a word or two; one pair says so."""
    return "cut 1 pair" if piece.pair and piece.cut == 2 else f"cut {piece.cut}"


def _grain_and_label(
    sheet: Sheet, piece: Piece, outline: Sequence[StraightLine], letters: Letters
) -> list[Box]:
    """Draw the grain line, write the label inside; in a small piece a part of the grain line does.

    Where no part leaves enough space the label is written beside the piece; gives the boxes outside.
    """
    lines = (piece.name, _how_many(piece)) if letters.short or not piece.label else piece.label
    title = "grain line, one way" if piece.grain and piece.grain.one_way else "grain line"
    long = piece.grain.start.distance(piece.grain.end) if piece.grain else 0.0
    parts = PARTS[: None if piece.grain and not letters.short else 1]
    tries = [(letters, parts, False)]
    if not letters.short:  # a shorter grain line before small letters
        tries.insert(0, (letters._replace(least=READABLE * letters.size), parts, True))
        tries.insert(0, (letters._replace(least=letters.size), PARTS[:1], False))
    for sizes, some, headed in tries:
        for part in some:
            grain = _grain(piece, part)
            if part != PARTS[0] and long * (part[1] - part[0]) < SHORTEST:
                continue
            obstacles = sheet.obstacles + straight_lines(grain)
            found = _inside(obstacles, piece, lines, outline, sizes, headed=headed)
            if found:
                _draw_grain(sheet, grain, title)
                sheet.write(found)
                return []
    _draw_grain(sheet, _grain(piece), title)
    return _label_beside(sheet, piece, lines, outline, letters)


def _draw_grain(sheet: Sheet, grain: tuple[Command, ...], title: str) -> None:
    if grain:
        sheet.stroke(grain, "grain", "marks", "", title)
        sheet.obstacles += straight_lines(grain)


def _inside(
    obstacles: Sequence[StraightLine],
    piece: Piece,
    lines,
    outline: Sequence[StraightLine],
    letters: Letters,
    *,
    headed: bool = False,
) -> list[Written] | None:
    """The label in free space inside the seam lines, or None; headed: its name on a line of its own."""
    spaces = [Space(outline, obstacles), Space(outline, obstacles, 90.0)]
    along = along_longest_edge(piece)
    if abs(along) > 1 and abs(along - 90) > 1:
        spaces.append(Space(outline, obstacles, along))
    for block in blocks(lines, piece.name, letters):
        if headed and len(block) == 1:
            continue
        for space in spaces:
            found = space.place(block)
            if found:
                return found
    return None


def _label_beside(sheet: Sheet, piece: Piece, lines, outline, letters: Letters) -> list[Box]:
    """Write the label beside the piece, with a line that leads to it; gives the box it takes."""
    level = Space(outline, sheet.obstacles)
    block = next(iter(blocks(lines, piece.name, letters)))
    right = max((p.x for p in piece.cut_line), default=level.right)
    height = sum(size for _, size, _ in block) * LEADING
    y = (level.low + level.high) / 2
    left = right + 2.0
    texts = level.written(block, left, y + height / 2, "start")
    sheet.write(texts)
    inside = Space(outline, ()).gaps(y, y) or [(level.left, level.right)]
    tip = Point(inside[-1][1], y)  # to the seam line and no further: lettering may stand behind it
    sheet.stroke(_line((left - 0.3, y), tip), "measure", "labels", "", f"label of {piece.name}")
    sheet.obstacles.append((left - 0.3, y, *tip))
    width = block_width(block)
    return [(left, y - height / 2, left + width, y + height / 2)]


def along_longest_edge(piece: Piece) -> float:
    """The direction of text along the piece's longest edge, degrees."""
    longest = max(piece.edges, key=lambda edge: edge.curve.start.distance(edge.curve.end)).curve
    return reading_angle(longest.end - longest.start)


def _measures(sheet: Sheet, piece: Piece, outline: Sequence[StraightLine], unit: str, size: float) -> None:
    """The length of each edge along its seam line, written inside along the middle of the edge."""
    for edge in piece.edges:
        text = write_length(edge.curve.length, unit)
        width = text_width(text, size)
        if width + 1 > edge.curve.length:
            continue
        for share in (0.5, 0.3, 0.7):
            at = share * edge.curve.length
            p, way = edge.curve.at(at), edge.curve.direction(at)
            angle = reading_angle(way)
            space = Space(outline, sheet.obstacles, angle)
            u, v = space.seen(*p)
            up = space.seen(*(p + way.left()))[1] > v
            # a curved edge bends into the strip: step inward until the text is free
            for step in (0.3, 0.5, 0.8, 1.2):
                base = v + step + 0.22 * size if up else v - step - 0.78 * size
                if space.fits(u, base - 0.22 * size, base + 0.78 * size, width / 2):
                    sheet.write(
                        [Written(*space.back(u, base), text, size, "middle", angle, "measure")], "measures"
                    )
                    break
            else:
                continue
            break


def _frame(t: Written) -> list[StraightLine]:
    """Lines through the room of a text, so close that no other text finds a gap between them."""
    c = Text(t.x, t.y, t.text, t.size, t.anchor, t.angle, style=t.style).corners()
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = c
    across = [
        (ax + (dx - ax) * k, ay + (dy - ay) * k, bx + (cx - bx) * k, by + (cy - by) * k)
        for k in (0.0, 0.5, 1.0)
    ]
    return [*across, (*c[0], *c[3]), (*c[1], *c[2])]

"""What scissors, a tape and an iron would find on the cut paper: an independent witness for tests.

It reads only the plain data of a garment (the contents of garment.json: cm, y up) and knows nothing of
the library that wrote it. `faults(garment)` gives everything that is wrong, one `Fault` a line; the four
groups can be asked for alone: `outlines`, `turnings`, `sewn`, `walked`.

    outlines  the cut line lies the allowance outside the seam line, and everything else is in its place
    turnings  an allowance folded back over its edge lies on the piece
    sewn      at both ends of every seam the cut edges of the two pieces meet
    walked    both sides of a seam measure alike, and their notches meet

What is asked of a corner is common practice, no source.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

FLAT = 0.01  # cm: flattened lines may stray from true curves by half of this
SEAM, NOTCH, CORNER, FOLDED = 0.05, 0.1, 0.1, 0.05  # cm
STRAIGHT_ON = 3.0  # degrees: two edges that run on into each other
SQUARE = 0.5  # degrees


class Fault(NamedTuple):
    """code: the rule broken; where: piece and edge, or seam and end; got: how far off (cm, or degrees)."""

    code: str
    where: str
    got: float


def faults(garment: dict) -> list[Fault]:
    """Everything found on the paper of one garment; empty where all is well."""
    return [*outlines(garment), *turnings(garment), *sewn(garment), *walked(garment)]


# -- lines


def _unit(v):
    return v / np.hypot(*v)


def _right(v):
    return np.array([v[1], -v[0]])


def _turn(before, after) -> float:
    """How far the way turns to the left from one arrow to the next, degrees."""
    return math.degrees(math.atan2(before[0] * after[1] - before[1] * after[0], float(np.dot(before, after))))


def _leaving(points):
    """How a flattened curve leaves its first point: the arrow of the circle through three points."""
    first = _unit(points[1] - points[0])
    if len(points) < 3:
        return first
    bend = _turn(first, points[2] - points[1])
    if abs(bend) > 20:  # a corner inside the edge
        return first
    legs = math.dist(points[0], points[1]), math.dist(points[1], points[2])
    back = math.radians(-bend * legs[0] / sum(legs))
    return np.array([[math.cos(back), -math.sin(back)], [math.sin(back), math.cos(back)]]) @ first


def _length(points) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def _at(points, distance: float):
    """(point, arrow) at a distance walked along a polyline."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    walked_ = np.concatenate([[0], np.cumsum(steps)])
    k = int(np.clip(np.searchsorted(walked_, distance) - 1, 0, len(steps) - 1))
    arrow = (points[k + 1] - points[k]) / steps[k]
    return points[k] + arrow * (distance - walked_[k]), arrow


def _ray(start, arrow, reach: float, ring: LineString) -> float | None:
    """Distance from a point along an arrow to the first crossing of a line; None where there is none."""
    hits = LineString([start, start + arrow * reach]).intersection(ring)
    if hits.is_empty:
        return None
    return min(math.dist(start, p) for p in shapely.get_coordinates(hits))


class Paper:
    """One piece as cut out of paper."""

    def __init__(self, piece: dict):
        self.piece, self.name = piece, piece["name"]
        self.edges = piece["edges"]
        self.points = [_tidy(edge["points"]) for edge in self.edges]
        self.cut, self.seam = Polygon(piece["cut_line"]), Polygon(piece["seam_line"])
        self.ring = self.cut.exterior
        self.whole = self.cut  # the cloth, the fold opened
        for edge, points in zip(self.edges, self.points, strict=True):
            if edge["turn"] == "fold" and self.cut.is_valid:
                self.whole = self.cut.union(_mirrored(self.cut, points[0], points[-1])).buffer(1e-6)

    def index(self, edge: str) -> int:
        return next(i for i, e in enumerate(self.edges) if e["name"] == edge)

    def corner(self, i: int, at_end: bool) -> tuple[int, float]:
        """(neighbouring edge, turn to the left in degrees when walking anticlockwise) at an end of edge i."""
        j = (i + (1 if at_end else -1)) % len(self.edges)
        before, after = (i, j) if at_end else (j, i)
        return j, _turn(_leaving(self.points[before][::-1]) * -1, _leaving(self.points[after]))

    def ending(self, i: int, at_end: bool):
        """(corner, arrow out of the piece along the edge's prolongation, arrow toward the allowance)."""
        points = self.points[i]
        way = -_leaving(points[::-1] if at_end else points)
        return (points[-1] if at_end else points[0]), way, (_right(way) if at_end else -_right(way))


def _tidy(points) -> np.ndarray:
    """Points without any on the same spot as the one before."""
    points = np.array(points, float)
    keep = np.concatenate([[True], np.hypot(*np.diff(points, axis=0).T) > 1e-4])
    if not keep[-1]:
        keep[len(keep) - 1 - int(np.argmax(keep[::-1]))] = False
        keep[-1] = True
    return points[keep]


def _mirrored(shape, p, q):
    u = _unit(q - p)

    def over(xy):
        v = xy - p
        return p + 2 * np.outer(v @ u, u) - v

    return shapely.transform(shape, over)


# -- outlines


def outlines(garment: dict) -> list[Fault]:
    """The cut line against the seam line and the allowances; marks, grain, label."""
    found = []
    for piece in garment["pieces"]:
        paper = Paper(piece)
        found += _rings(paper) or [*_allowances(paper), *_fold(paper), *_marked(paper)]
    return found


def _rings(paper: Paper) -> list[Fault]:
    found = []
    for what in ("seam_line", "cut_line"):
        ring = LineString([*paper.piece[what], paper.piece[what][0]])
        if not ring.is_simple:
            found.append(Fault(f"{what} crosses itself", paper.name, 0.0))
        elif not shapely.is_ccw(ring):
            found.append(Fault(f"{what} runs clockwise", paper.name, 0.0))
    joined = [p for points in paper.points for p in points[:-1]]
    if not found:
        outside = float(shapely.distance(paper.cut, shapely.points(np.array(paper.piece["seam_line"]))).max())
        if outside > FLAT or not paper.cut.buffer(FLAT).contains(paper.seam):
            found.append(Fault("seam line outside the cut line", paper.name, outside))
        strange = Polygon(joined).symmetric_difference(paper.seam).area
        if strange > FLAT:
            found.append(Fault("edges do not make the seam line", paper.name, strange))
    for edge, points in zip(paper.edges, paper.points, strict=True):
        off = edge["length"] - _length(points)
        if not -1e-4 < off < 0.005 + 1e-4 * edge["length"]:
            found.append(Fault("length is not the edge's", f"{paper.name}, {edge['name']}", off))
    return found


def _allowances(paper: Paper) -> list[Fault]:
    """From the seam line square out to the cut line, and from the cut line to the nearest seam line."""
    found = []
    widths = [edge["allowance"] for edge in paper.edges]
    for i, (edge, points) in enumerate(zip(paper.edges, paper.points, strict=True)):
        length, wide = _length(points), widths[i]
        beside = max(widths[i - 1], widths[(i + 1) % len(widths)], wide)
        keep = min(2.5 * beside, 0.45 * length)
        worst = 0.0
        for at in np.linspace(keep, length - keep, 7):
            p, arrow = _at(points, at)
            out = _ray(p - 1e-6 * _right(arrow), _right(arrow), wide + 5, paper.ring)
            worst = max(worst, abs((math.inf if out is None else out - 1e-6) - wide))
        if worst > FLAT:
            found.append(Fault("allowance is not as wide as stated", f"{paper.name}, {edge['name']}", worst))
    lines = [LineString(points) for points in paper.points]
    dense = shapely.points(shapely.get_coordinates(shapely.segmentize(paper.ring, 1.0)))
    gaps = np.array([shapely.distance(line, dense) for line in lines])
    nearest = gaps.argmin(axis=0)
    for i, line in enumerate(lines):
        along = shapely.line_locate_point(line, dense)
        beside = 2.5 * max(widths[i - 1], widths[(i + 1) % len(widths)], widths[i])
        inner = (nearest == i) & (along > beside) & (along < line.length - beside)
        if inner.any():
            worst = float(np.abs(gaps[i][inner] - widths[i]).max())
            if worst > FLAT:
                where = f"{paper.name}, {paper.edges[i]['name']}"
                found.append(Fault("cut line is not the allowance away", where, worst))
    return found


def _fold(paper: Paper) -> list[Fault]:
    """A fold is straight, has no allowance, is the cut line too, and what meets it does so square."""
    found = []
    folds = [i for i, edge in enumerate(paper.edges) if edge["turn"] == "fold"]
    if len(folds) != bool(paper.piece["on_fold"]):
        found.append(Fault("on fold without a fold edge, or the other way round", paper.name, len(folds)))
    for i in folds:
        points, where = paper.points[i], f"{paper.name}, {paper.edges[i]['name']}"
        if paper.edges[i]["allowance"]:
            found.append(Fault("allowance on a fold", where, paper.edges[i]["allowance"]))
        p, way = points[0], _unit(points[-1] - points[0])
        over = float(((np.array(paper.piece["cut_line"]) - p) @ _right(way)).max())
        if over > FLAT:
            found.append(Fault("cloth beyond the fold", where, over))
        on_cut = float(shapely.distance(paper.ring, shapely.points(points)).max())
        if on_cut > FLAT or abs(_length(points) - math.dist(points[0], points[-1])) > 1e-4:
            found.append(Fault("the fold is not a straight cut edge", where, on_cut))
        for at_end in (False, True):
            off = abs(paper.corner(i, at_end)[1] - 90)
            # an end that comes to a point on the fold (a pocket's tip) would be named by its garment
            if off > SQUARE + 0.1:  # the first chord of a hollow edge turns by so much
                found.append(Fault("not square to the fold", where, off))
    return found


def _marked(paper: Paper) -> list[Fault]:
    found = []
    piece = paper.piece
    for notch in piece["notches"]:
        where = f"{paper.name}, {notch['edge']}, notch at {notch['at']:.2f}"
        points = paper.points[paper.index(notch["edge"])]
        p, length = np.array(notch["point"]), _length(points)
        off = LineString(points).distance(shapely.Point(p))
        if off > FLAT:
            found.append(Fault("notch off its edge", where, off))
        if not -FLAT <= notch["at"] <= length + FLAT or math.dist(_at(points, notch["at"])[0], p) > 2 * FLAT:
            found.append(Fault("notch is not where 'at' says", where, notch["at"]))
        if notch["count"] not in (1, 2):
            found.append(Fault("notch of a strange count", where, notch["count"]))
    for hole in piece["drill_holes"]:
        gap = paper.seam.exterior.distance(shapely.Point(hole["point"]))
        if not paper.seam.contains(shapely.Point(hole["point"])) or gap < 0.2:
            found.append(Fault("drill hole outside the seam line", f"{paper.name}, {hole['purpose']}", gap))
    if not piece["grain"]:
        return [*found, Fault("no grain line", paper.name, 0.0)]
    grain = np.array(piece["grain"])
    folds = [points for e, points in zip(paper.edges, paper.points, strict=True) if e["turn"] == "fold"]
    centre = folds[0][-1] - folds[0][0] if folds else np.array([0.0, 1.0])
    lean = abs(math.sin(math.radians(_turn(centre, grain[1] - grain[0]))))
    if math.degrees(math.asin(lean)) > 0.01:
        found.append(Fault("grain not parallel to the centre", paper.name, math.degrees(math.asin(lean))))
    if not paper.seam.contains(LineString(grain)):
        found.append(Fault("grain outside the piece", paper.name, 0.0))
    if _length(grain) < 1.0:
        found.append(Fault("grain line too short to lay a ruler on", paper.name, _length(grain)))
    if paper.name not in " ".join(piece["label"]) or not any(
        f"cut {piece['cut']}" in line for line in piece["label"]
    ):
        found.append(Fault("label without piece or quantity", paper.name, 0.0))
    return found


# -- turnings


def turnings(garment: dict) -> list[Fault]:
    """Every hem and fold-back folded over its edge, in some order, lies on the piece; so do the ends of
    seam allowances pressed open before the neighbouring edge is turned or sewn."""
    found = []
    for piece in garment["pieces"]:
        paper = Paper(piece)
        if not (paper.cut.is_valid and paper.seam.is_valid):
            continue
        left, cloth = {}, paper.cut
        for i, edge in enumerate(paper.edges):
            if edge["turn"] in ("hem", "fold-back"):
                left[i] = math.inf
        while left:  # what has been folded is out of the way of the next fold
            over = {i: _stands_over(paper, i, cloth) for i in left}
            flat = [i for i, (most, _) in over.items() if most <= FOLDED]
            for i in flat:
                cloth = cloth.difference(over[i][1].buffer(1e-9))
                del left[i]
            if not flat:
                for i, (most, _) in over.items():
                    where = f"{paper.name}, {paper.edges[i]['name']}"
                    found.append(Fault("folded back, it stands over", where, most))
                break
    return found


def _stands_over(paper: Paper, i: int, cloth, within=None):
    """(how far the allowance of edge i, folded back, stands over the cut outline; the allowance)."""
    line, strip = _beyond(paper, i)
    region = cloth.intersection(strip)
    edge = LineString(paper.points[i])
    parts = [
        part for part in shapely.get_parts(region)
        if part.geom_type == "Polygon" and part.area > 1e-6 and part.distance(edge) < 1e-3
    ]  # fmt: skip
    if not parts:
        return 0.0, Polygon()
    region = shapely.union_all(parts)
    xy = shapely.get_coordinates(shapely.segmentize(region, 0.2))
    dots = shapely.points(xy)
    foot = shapely.get_coordinates(
        shapely.line_interpolate_point(line, shapely.line_locate_point(line, dots))
    )
    folded = shapely.points(2 * foot - xy)
    return float(shapely.distance(within or paper.whole, folded).max()), region


def _beyond(paper: Paper, i: int):
    """(the edge run on past its outer corners, the strip of paper beyond it)."""
    points = paper.points[i]
    deep = max(edge["allowance"] for edge in paper.edges)
    width = paper.edges[i]["allowance"] + 0.5
    line, cuts = points, []
    for at_end in (False, True):
        j, turn = paper.corner(i, at_end)
        corner, way, _ = paper.ending(i, at_end)
        if paper.edges[j]["turn"] != "fold" and turn > STRAIGHT_ON:
            more = corner + way * 2.2 * deep
            line = np.vstack([line, more]) if at_end else np.vstack([more, line])
        elif turn < -STRAIGHT_ON:  # an inner corner: each allowance reaches to the line that halves it
            cuts.append((j, at_end))
    arrows = np.diff(line, axis=0)
    arrows /= np.hypot(*arrows.T)[:, None]
    mean = np.vstack([arrows[:1], arrows[:-1] + arrows[1:], arrows[-1:]])
    mean /= np.hypot(*mean.T)[:, None]
    outer = line + width * np.stack([mean[:, 1], -mean[:, 0]], axis=1)
    strip = Polygon(np.vstack([line, outer[::-1]])).buffer(0)
    for j, at_end in cuts:
        corner, way, _ = paper.ending(i, at_end)
        there = paper.points[j]
        other = _leaving(there if at_end else there[::-1])
        half = _unit(other - way)  # halves the outer angle between the two edges
        side = 30 * _unit(np.array([-half[1], half[0]]))
        side = side if np.dot(side, way) > 0 else -side
        strip = strip.difference(
            Polygon(
                [corner - 30 * half, corner + 30 * half, corner + 30 * half + side, corner - 30 * half + side]
            )
        )
    return LineString(line), strip


# -- seams


class End(NamedTuple):
    paper: Paper
    edge: int
    at_end: bool


def _seam_ends(papers: dict, seam: dict):
    """((end on side a, end on side b) at the seam's start, the same at its finish)."""
    out = []
    for last in (False, True):
        pair = []
        for side in ("a", "b"):
            piece, edge = seam[side][-1 if last else 0]
            paper = papers[piece]
            along = seam["walk"][side] == "along"
            pair.append(End(paper, paper.index(edge), along == last))
        out.append(tuple(pair))
    return out


def sewn(garment: dict) -> list[Fault]:
    """At both ends of every seam, four readings of one rule:

    run out      sewn to the very edge, the seam reaches the cut edges of both pieces at one place;
    laid         right sides together, the cut corners of both allowances lie on each other;
    opened       opened flat, the neighbouring cut edges run on in one line, without a step;
    pressed      the allowances pressed apart do not show beyond the opened pieces.
    """
    papers = {piece["name"]: Paper(piece) for piece in garment["pieces"]}
    own = {
        tuple(place) for seam in garment["seams"] for place in (*seam["a"], *seam["b"])
        if len({name for name, _ in (*seam["a"], *seam["b"])}) == 1
    }  # fmt: skip
    found = []
    for seam in garment["seams"]:
        if not all(papers[name].cut.is_valid for name, _ in (*seam["a"], *seam["b"])):
            continue  # `outlines` says so
        for word, (a, b) in zip(("start", "finish"), _seam_ends(papers, seam), strict=True):
            where = f"{seam['name']}, {word}"
            if _finished_first(a, b, own):
                continue
            for code, got in readings(a, b).items():
                if got > CORNER:
                    found.append(Fault(f"seam end, {code}", where, got))
    return found


def _finished_first(a: End, b: End, own: set) -> bool:
    """Whether the seam starts at two finished edges: one turned, the other sewn to its own second layer."""
    beside = [(end.paper, end.paper.edges[end.paper.corner(end.edge, end.at_end)[0]]) for end in (a, b)]
    turned = [edge["turn"] in ("hem", "fold-back") for _, edge in beside]
    layered = [(paper.name, edge["name"]) in own for paper, edge in beside]
    return (turned[0] and layered[1]) or (turned[1] and layered[0])


def _frame(end: End):
    """A move that lays the corner on the origin, the way out along +x and the allowance on +y."""
    corner, way, out = end.paper.ending(end.edge, end.at_end)
    return lambda xy: np.stack([(xy - corner) @ way, (xy - corner) @ out], axis=1)


def readings(a: End, b: End) -> dict[str, float]:
    """How far off the two pieces are at one end of their seam, cm, by the four readings of `sewn`."""
    wide = [end.paper.edges[end.edge]["allowance"] for end in (a, b)]
    turns = [end.paper.corner(end.edge, end.at_end) for end in (a, b)]
    kinds = [end.paper.edges[j]["turn"] for end, (j, _) in zip((a, b), turns, strict=True)]
    if "fold" in kinds:
        return {} if kinds[0] == kinds[1] else {"a fold meets no fold": math.inf}
    if sorted(kinds) == ["hem", "seam"]:
        return {}  # a strip, hemmed first, ends inside the other's seam: its cut edges lie folded there
    angles = [180 - t for _, t in turns]
    alike = min(abs(sum(angles) - 180), abs(angles[0] - angles[1])) <= STRAIGHT_ON
    if not alike and kinds == ["seam", "seam"] and min(abs(t) for _, t in turns) > STRAIGHT_ON:
        return {}  # edges that neither run on nor lie on each other: one is turned in before the other
    laid = [shapely.transform(end.paper.cut, _frame(end)) for end in (a, b)]
    reach = 3 * max(end.paper.edges[j]["allowance"] for end, (j, _) in zip((a, b), turns, strict=True)) + 1
    outs = [_ray(np.array([0.0, 0.0]), np.array([1.0, 0.0]), reach, shape.exterior) for shape in laid]
    off = {}
    if outs[0] is None or outs[1] is None:  # the seam line runs on along the next edge of a piece
        if outs[0] is not outs[1] and min(abs(t) for _, t in turns) > STRAIGHT_ON:
            off["run out"] = math.inf
        return off
    off["run out"] = abs(outs[0] - outs[1])
    window = shapely.box(-0.3, 0, reach + 5, min(wide))
    corners = [shape.intersection(window) for shape in laid]
    off["laid"] = float(shapely.hausdorff_distance(*(_touching(c).exterior for c in corners)))
    round_ = any(_is_round(end, j) for end, (j, _) in zip((a, b), turns, strict=True))
    # opened flat: the second piece is turned over to the other side of the seam
    other = shapely.transform(laid[1], lambda xy: xy * [1, -1])
    upper, lower = shapely.box(-9, 0, 60, 60), shapely.box(-9, -60, 60, 0)
    first, second = laid[0].intersection(lower), other.intersection(upper)
    flat = shapely.union_all([first, second]).buffer(1e-6)
    sides = [_step(shape, y) for shape, y in ((first, -1e-3), (second, 1e-3))]
    off["opened"] = abs(sides[0] - sides[1])
    faced = abs(sum(angles) - 180) > STRAIGHT_ON and abs(angles[0] - angles[1]) <= STRAIGHT_ON
    if round_ or (faced and kinds == ["seam", "seam"]):
        return off  # a faced corner is trimmed and turned out, its allowances are not pressed apart
    near = shapely.box(-0.3, -9, 60, 9)
    pressed = []
    for shape, half in ((laid[0], upper), (other, lower)):
        allowance = (
            shape.intersection(half)
            .intersection(near)
            .intersection(shapely.box(-1, -max(wide), 60, max(wide)))
        )
        back = shapely.transform(allowance, lambda xy: xy * [1, -1])
        pressed.append(float(shapely.distance(flat, shapely.points(shapely.get_coordinates(back))).max()))
    off["pressed"] = max(pressed)
    return off


def _touching(shape):
    """The part of a shape that touches the origin."""
    parts = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    return min(parts, key=lambda part: part.distance(shapely.Point(0, 0)))


def _is_round(end: End, j: int) -> bool:
    """Whether a hem or a faced edge beside the seam bends at once: folded over, it cannot follow it."""
    points = end.paper.points[j] if end.at_end else end.paper.points[j][::-1]
    reach = min(2 * end.paper.edges[j]["allowance"], _length(points) / 2)
    ways = [_at(points, at)[1] for at in np.linspace(0.0, reach, 5)]
    return end.paper.edges[j]["turn"] in ("hem", "seam") and max(abs(_turn(ways[0], way)) for way in ways) > 2


def _step(shape, y: float) -> float:
    """Where a shape's edge crosses a level, going right from the origin."""
    hit = _ray(np.array([-0.2, y]), np.array([1.0, 0.0]), 60, shapely.boundary(shape))
    return math.inf if hit is None else hit


# -- walking


def walked(garment: dict) -> list[Fault]:
    """Both sides of a seam differ by its stated ease, and each notch meets one at the same distance."""
    pieces = {piece["name"]: piece for piece in garment["pieces"]}
    found = []
    for seam in garment["seams"]:
        sides = {side: _side(pieces, seam, side) for side in ("a", "b")}
        over = sides["a"][0] - sides["b"][0] - seam["ease"]
        if abs(over) > SEAM:
            found.append(Fault("sides of a seam differ", seam["name"], over))
        for side, other in (("a", "b"), ("b", "a")):
            for at, count, name in sides[side][1]:
                if name != seam["name"]:
                    continue
                gaps = [abs(at - at2) for at2, count2, _ in sides[other][1] if count2 == count]
                if not gaps or min(gaps) > NOTCH:
                    where = f"{seam['name']}, {at:.2f} on side {side}"
                    found.append(Fault("notch meets no notch", where, min(gaps, default=math.inf)))
    return found


def _side(pieces: dict, seam: dict, side: str):
    """(length, its notches as (distance from the seam's start, count, seam)) of one side, from its points."""
    against = seam["walk"][side] == "against"
    length, marks = 0.0, []
    for name, edge_name in seam[side]:
        edge = next(e for e in pieces[name]["edges"] if e["name"] == edge_name)
        whole = _length(np.array(edge["points"]))
        line = LineString(edge["points"])
        for notch in pieces[name]["notches"]:
            if notch["edge"] == edge_name:
                at = line.project(shapely.Point(notch["point"]))
                marks.append((length + (whole - at if against else at), notch["count"], notch["seam"]))
        length += whole
    return length, marks

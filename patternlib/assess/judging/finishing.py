"""Judging what was added to the pieces: allowances, corners, notches, grain, label, cut line."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace

from ...errors import PatternError
from ...not_here import said_if_missing
from ...pieces import Edge, Piece, finish
from ...units import CM_PER_INCH
from ..tasks.exercise import Asked, Exercise
from ..tasks.record import PieceFinish, Record
from .hands import Hand
from .rubric import Rubric
from .verdict import Line

SAMPLES = 200
"""Places of a cut line that are compared."""
LEAST_GRAIN = 5.0
"""cm; a grain line is long enough to be measured from both ends (common practice, no source)."""


def judge_finish(
    work: Exercise, pieces: Iterable[Piece], record: Record, rubric: Rubric, hand: Hand, astray: bool
) -> list[Line]:
    """A line for each thing asked of the pieces.

    pieces: the rule's, on the student's own seam lines; astray: whether those seam lines are off.
    """
    pieces_by_name = {piece.name: piece for piece in pieces}
    lines: list[Line] = []
    wide: set[str] = set()
    for asked in work.asked:
        if asked.kind not in _KINDS:
            continue
        own = record.finish.get(asked.piece)
        weight = rubric.weight(work.id, asked)
        allowed = rubric.tolerance(work.id, asked, hand) if asked.kind in rubric.tolerances else 0.0
        found = _KINDS[asked.kind](asked, pieces_by_name[asked.piece], own, allowed) if own else None
        line = _line(work, asked, found, weight, rubric, allowed, astray or asked.piece in wide)
        lines.append(line)
        if asked.kind in ("allowance", "corner") and line.verdict == "off":  # the cut line follows from it
            wide.add(asked.piece)
    return lines


class Found(tuple):
    """(got, want, gap or None, code or '', words): how one thing compares; code '' where it is right."""

    def __new__(cls, got, want, gap, code="", **words):
        return super().__new__(cls, (got, want, gap, code, words))


def _line(
    work: Exercise, asked: Asked, found: Found | None, weight: float, rubric: Rubric, allowed: float,
    astray: bool,
) -> Line:  # fmt: skip
    name = asked.name
    if found is None:
        text = rubric.text("missing-finish", step=name)
        return Line(name, "missing", None, None, None, None, text, 0.0, weight)
    got, want, gap, code, words = found
    if not code:
        verdict = "carried" if astray and asked.kind == "cut line" else "right"
        text = rubric.text(f"{verdict}-finish", step=name)
        return Line(name, verdict, got, want, gap, None, text, weight, weight)
    listed = next((m for m in work.mistakes if code == m.code and name in m.at), None)
    said = listed.remark if listed else rubric.slip(code, step=name, **words)
    by = "" if gap is None else rubric.length(gap, asked.kind == "grain")
    limit = rubric.length(allowed, asked.kind == "grain")
    text = rubric.text("off" if by else "not-yet", step=name, by=by, allowed=limit) + " " + said
    slip = None if code == "look-again" else code
    return Line(name, "off", got, want, gap, slip, text, 0.0, weight, name)


# -- allowances and corners


def _allowance(asked: Asked, piece: Piece, own: PieceFinish, allowed: float) -> Found | None:
    got, want = own.allowances.get(asked.part), piece.edge(asked.part).allowance
    if got is None:
        return None
    gap = abs(got - want)
    if gap <= allowed:
        return Found(got, want, round(gap, 3))
    others = {e.name: e.allowance for e in piece.edges if e.allowance != want}
    tries = [
        ("allowance-forgotten", 0.0, ""),
        ("allowance-twice", 2 * want, ""),
        ("inches-as-cm", want / CM_PER_INCH, ""),
        ("cm-as-inches", want * CM_PER_INCH, ""),
        ("point-misplaced", want * 10, ""),
        ("point-misplaced", want / 10, ""),
        *(("anothers-allowance", value, name) for name, value in others.items()),
        ("halved", want / 2, ""),
    ]
    if piece.edge(asked.part).turn == "fold":
        tries = [("allowance-on-the-fold", got, "")]
    code, other = _nearest(tries, got, allowed)
    return Found(got, want, round(gap, 3), code, part=asked.part, other=other)


def _nearest(tries, got: float, allowed: float) -> tuple[str, str]:
    fitting = [
        (abs(got - value), k) for k, (_, value, _) in enumerate(tries) if abs(got - value) <= allowed / 2
    ]
    if not fitting:
        return "look-again", ""
    code, _, other = tries[min(fitting)[1]]
    return code, other


def _corner(asked: Asked, piece: Piece, own: PieceFinish, allowed: float) -> Found | None:
    got = own.corners.get(asked.part)
    if got is None:
        return None
    before, _, after = asked.part.partition(" / ")
    want = piece.folds.get((before, after), "")
    if got.casefold() == want.casefold():
        return Found(got, want, None)
    code = "corner-other-first" if got in (before, after) else "corner-plain"
    return Found(got, want, None, code, part=want or "neither", other=got)


# -- notches, grain, label


def _notches(asked: Asked, piece: Piece, own: PieceFinish, allowed: float) -> Found | None:
    want = sorted((n.at, n.count) for n in piece.notches if n.edge == asked.part)
    got = sorted((n.at, n.count) for n in own.notches if n.edge == asked.part)
    if not got:
        return None
    length = piece.edge(asked.part).curve.length
    if len(got) > len(want):  # a notch at the fold of a hem is always allowed
        folds = _hem_folds(piece, asked.part, length)
        others = [g for g in got if g[1] == 2 or all(abs(g[0] - at) > allowed for at in folds)]
        got = others if len(others) >= len(want) else got
    shown = [[round(at, 2), count] for at, count in got], [[round(at, 2), count] for at, count in want]
    if len(got) != len(want):
        return Found(*shown, None, "notches-number", part=f"{len(want)}", other=f"{len(got)}")
    gap = max(abs(g[0] - w[0]) for g, w in zip(got, want, strict=True))
    if gap <= allowed:
        if [g[1] for g in got] != [w[1] for w in want]:
            return Found(*shown, None, "notch-count", part="double" if want[0][1] == 2 else "single")
        return Found(*shown, round(gap, 3))
    turned = sorted((length - at, count) for at, count in got)
    if max(abs(t[0] - w[0]) for t, w in zip(turned, want, strict=True)) <= allowed:
        return Found(*shown, round(gap, 3), "wrong-end", part=asked.part)
    if len(got) == 1 and abs(got[0][0] - length / 2) <= allowed:
        return Found(*shown, round(gap, 3), "notch-in-the-middle")
    factors = [("inches-as-cm", 1 / CM_PER_INCH), ("cm-as-inches", CM_PER_INCH)]
    for code, factor in factors:
        if all(abs(g[0] - w[0] * factor) <= allowed for g, w in zip(got, want, strict=True)):
            return Found(*shown, round(gap, 3), code)
    return Found(*shown, round(gap, 3), "look-again")


def _hem_folds(piece: Piece, name: str, length: float) -> list[float]:
    """Where on an edge the fold of a hem beside it lies: its end on the hem's seam line, cm."""
    names = [e.name for e in piece.edges]
    k = names.index(name)
    before, after = piece.edges[k - 1], piece.edges[(k + 1) % len(names)]
    return [at for edge, at in ((before, 0.0), (after, length)) if edge.turn == "hem"]


def _grain(asked: Asked, piece: Piece, own: PieceFinish, allowed: float) -> Found | None:
    if own.grain is None or piece.grain is None:
        return None
    (x, y), (u, v) = own.grain
    long = math.hypot(u - x, v - y)
    way = piece.grain.end - piece.grain.start
    want = round(way.angle % 180, 1)
    if long < 1e-6:
        return Found(None, want, None, "grain-short")
    got = math.degrees(math.atan2(v - y, u - x)) % 180
    gap = min(abs(got - want), 180 - abs(got - want))
    if gap > allowed:
        return Found(
            round(got, 1), want, round(gap, 2), "grain-across" if gap > 90 - allowed else "grain-slanted"
        )
    if long < LEAST_GRAIN:
        return Found(round(got, 1), want, None, "grain-short")
    return Found(round(got, 1), want, round(gap, 2))


def _label(asked: Asked, piece: Piece, own: PieceFinish, allowed: float) -> Found | None:
    if not own.label:
        return None
    said = " ".join(" ".join(own.label).casefold().split())
    how = next(line for line in piece.label if line.startswith("cut "))
    ways = {how, f"cut {piece.cut // 2} pair" if piece.pair and piece.cut == 2 else how}
    lacking = [words for words in (piece.name, *piece.cloths) if words.casefold() not in said]
    if not any(way in said for way in ways):
        lacking.insert(1 if piece.name in lacking else 0, how)
    want = [piece.name, how, *piece.cloths]
    if not lacking:
        return Found(list(own.label), want, None)
    if how in lacking and f"cut {piece.cut}" in said and piece.pair:
        return Found(list(own.label), want, None, "label-no-pair")
    return Found(
        list(own.label), want, None, "label-lacks", part=", ".join(f"'{words}'" for words in lacking)
    )


# -- cut lines


def _cut_line(asked: Asked, piece: Piece, own: PieceFinish, allowed: float) -> Found | None:
    if len(own.cut_line) < 3:
        return None
    with said_if_missing("Comparing a cut line"):
        import shapely
    ring = shapely.LinearRing(own.cut_line)
    if not ring.is_simple:
        return Found(None, None, None, "cut-line-crosses")
    mine = with_allowances(_with_corners(piece, own), own)  # these were judged already
    gap = min(_apart(ring, mine), _apart(ring, piece))
    if gap <= allowed:
        return Found(None, None, round(gap, 3))
    best = ("look-again", allowed)
    for code, other in _other_cuts(mine):
        try:
            apart = _apart(ring, finish(other))
        except PatternError:
            continue
        if apart <= best[1]:
            best = (code, apart)
    return Found(None, None, round(gap, 3), best[0])


def with_allowances(piece: Piece, own: PieceFinish) -> Piece:
    """The rule's piece, finished with the student's own allowances (cm) where these can be cut."""
    edges = tuple(
        replace(e, allowance=own.allowances[e.name]) if 0 <= own.allowances.get(e.name, -1) <= 30 else e
        for e in piece.edges
    )
    try:
        return finish(piece.replace(edges=edges))
    except PatternError:
        return piece


def _with_corners(piece: Piece, own: PieceFinish) -> Piece:
    """The rule's piece with the student's own choice of what is folded first at its corners."""
    names = [e.name for e in piece.edges]
    corners = {(a, b): f"{a} / {b}" for a, b in zip(names, names[1:] + names[:1], strict=True)}
    chosen = {pair: own.corners[text] for pair, text in corners.items() if text in own.corners}
    return piece.replace(folds={**piece.folds, **chosen})


def _other_cuts(piece: Piece):
    """The cut line as it comes out with a slip."""

    def with_edges(change: Callable[[Edge], Edge]) -> Piece:
        return piece.replace(edges=tuple(e if e.turn == "fold" else change(e) for e in piece.edges))

    yield "allowance-forgotten", with_edges(lambda e: replace(e, allowance=0.0))
    yield "allowance-twice", with_edges(lambda e: replace(e, allowance=min(2 * e.allowance, 30)))
    yield "allowance-all-alike", with_edges(lambda e: replace(e, allowance=1.0))
    yield "corner-plain", with_edges(lambda e: replace(e, turn="seam")).replace(folds={})
    for edge in piece.edges:
        if edge.turn != "fold":
            left_out = tuple(replace(e, allowance=0.0) if e is edge else e for e in piece.edges)
            yield "allowance-of-one-edge", piece.replace(edges=left_out)


def _apart(ring, piece: Piece) -> float:
    """The farthest that sampled places of either cut line lie from the other, cm."""
    import shapely

    want = shapely.LinearRing(piece.cut_line)
    far = 0.0
    for a, b in ((ring, want), (want, ring)):
        along = [k / SAMPLES for k in range(SAMPLES)]
        places = shapely.line_interpolate_point(a, along, normalized=True)
        far = max(far, float(shapely.distance(places, b).max()))
    return far


_KINDS = {
    "allowance": _allowance,
    "corner": _corner,
    "notches": _notches,
    "grain": _grain,
    "label": _label,
    "cut line": _cut_line,
}

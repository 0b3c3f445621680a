"""The toile of the blocks: cut in cheap cloth to be pinned and drawn on, without facings.

Back and front of bodice and skirt, with wide allowances to let out, level lines and darts to be drawn on the
cloth, and the opening at the centre back. The widths of the allowances are common practice, no source.
"""

from __future__ import annotations

from ..alterations import NONE, Changes
from ..blocks import bodice_block, skirt_block
from ..body import Body
from ..draft import Draft
from ..geometry import Curve, Move, Outline, Point, line
from ..moves import block_outline
from ..pieces import DrillHole, Edge, Mark, Piece, finish, seam, with_notches
from .base import Garment
from .marking import grained, labelled

WIDE, SNIPPED, OPENING, HEM = 2.0, 1.0, 3.0, 4.0
"""cm: seams that may be let out; neckline and armhole, snipped to the line; the centre back; the hem."""

CLOTH = ("toile cloth",)


def make_toile(body: Body, *, changes: Changes = NONE, size: str = "", date: str = "") -> Garment:
    """The toile of both blocks for a body, with what was changed at earlier fittings.

    >>> toile = make_toile(Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165))
    >>> [piece.name for piece in toile.pieces]
    ['bodice front', 'bodice back', 'skirt front', 'skirt back']
    """
    blocks = {
        "bodice block": changes.block(bodice_block(body, one_dart=True)),
        "skirt block": changes.block(skirt_block(body)),
    }
    cut = [
        _piece(blocks[f"{kind} block"], kind, part)
        for kind in ("bodice", "skirt")
        for part in ("front", "back")
    ]
    pieces = {piece.name: grained(piece) for piece in cut}
    back = _side(pieces["bodice back"], "shoulder")
    front = _side(pieces["bodice front"], "shoulder")
    ease = sum(c.length for c in back.values()) - sum(c.length for c in front.values())
    names = {
        "bodice back": " + ".join(f"bodice back/{name}" for name in back),
        "bodice front": " + ".join(f"bodice front/{name}" for name in reversed(front)),
    }
    seams = (
        seam(pieces, "shoulder", names["bodice back"], names["bodice front"], ease=ease),
        seam(pieces, "side of the bodice", "bodice back/side", "bodice front/side", notches=((0.4, 1),)),
        seam(pieces, "side of the skirt", "skirt back/side", "skirt front/side", notches=((0.4, 1),)),
    )
    whose = f"size {size}" if size else "own measures"
    about = ("toile", whose, *((date,) if date else ()), *changes.label())
    return Garment(
        name="toile", body=body, style={}, drafts=blocks, seams=seams, size=size, changes=changes,
        pieces=tuple(finish(labelled(p, about)) for p in with_notches(pieces, seams).values()),
        facts=changes.facts(),
    )  # fmt: skip


def _side(piece: Piece, name: str) -> dict[str, Curve]:
    return {
        edge.name: edge.curve
        for edge in piece.edges
        if edge.name.startswith(name) and "dart" not in edge.name
    }


def _piece(block: Draft, kind: str, part: str) -> Piece:
    outline, marks = _without_darts(block_outline(block, part))
    shift = Move.shift(-outline[f"centre {part}"].start.x, 0)
    edges = tuple(Edge(name, curve.moved(shift), *_finish(name, part)) for name, curve in outline)
    lines = [*marks, *_levels(block, kind, part)]
    points = [curve.end for name, curve in marks if name.endswith("leg 1")]
    return Piece(
        f"{kind} {part}",
        edges,
        cut=1 if part == "front" else 2,
        pair=part == "back",
        on_fold=part == "front",
        cloths=CLOTH,
        marks=tuple(Mark(name, curve.moved(shift)) for name, curve in lines),
        drill_holes=tuple(DrillHole(shift(p), "end of the dart") for p in points),
    )


def _finish(name: str, part: str) -> tuple[float, str]:
    """Allowance and turning of an edge."""
    if name.startswith("centre"):
        return (0.0, "fold") if part == "front" else (OPENING, "caught")
    if name in ("neckline", "armhole"):
        return SNIPPED, "caught"
    if name == "hem":
        return HEM, "hem"
    return WIDE, "caught" if name == "waist" or "dart" in name else "seam"


def _without_darts(outline: Outline) -> tuple[Outline, list[tuple[str, Curve]]]:
    """The outline ruled across its darts, the waist as one edge; and the legs of the darts."""
    edges: list[tuple[str, Curve]] = []
    legs: list[tuple[str, Curve]] = []
    previous: tuple[str, Curve] | None = None
    for name, curve in outline:
        if not name.endswith(" leg"):
            edges.append((name, curve))
        elif previous is None:
            previous = (name, curve)
        else:
            first, second = previous[1], curve
            dart = name.split(",")[0]
            edges.append((f"{dart} mouth", line(first.start, second.end)))
            legs += [(f"{dart}, leg 1", first), (f"{dart}, leg 2", second.reversed())]
            previous = None
    return Outline(tuple(_joined_waist(edges))), legs


def _joined_waist(edges: list[tuple[str, Curve]]) -> list[tuple[str, Curve]]:
    """All parts of the waist and its mouths as one edge."""
    parts = [curve for name, curve in edges if name.startswith("waist")]
    out: list[tuple[str, Curve]] = []
    for name, curve in edges:
        if not name.startswith("waist"):
            out.append((name, curve))
        elif not any(known == "waist" for known, _ in out):
            out.append(("waist", parts[0].joined(*parts[1:])))
    return out


def _levels(block: Draft, kind: str, part: str) -> list[tuple[str, Curve]]:
    """The level lines that are drawn on the cloth: bust line or hip line."""
    name = "bust line" if kind == "bodice" else "hip line"
    level = block.curve(name).start.y
    side = block.point("underarm point" if kind == "bodice" else "side hip").x
    centre = block.curve(name).start.x if part == "back" else block.curve(name).end.x
    return [(name, line(Point(centre, level), Point(side, level)))]

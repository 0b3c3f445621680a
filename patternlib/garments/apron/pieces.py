"""The apron cut apart: the pieces of its plans, with allowances and turnings."""

from __future__ import annotations

from collections.abc import Mapping

from ...draft import Draft
from ...geometry import Point, line
from ...pieces import DrillHole, Edge, Mark, Piece
from ..marking import ENCLOSED, OPENING_HEM, SEAM, TURNED

NARROW = 1.0
"""cm: a narrow hem, which follows a gentle curve (common practice, no source). The bib's side is hollowed too
tightly for it, and for a bias strip, which would have to stretch by a third: it is faced."""


def front_pieces(d: Draft, v: Mapping[str, float]) -> tuple[Piece, Piece]:
    """The front panel, and the facing that doubles its bib."""
    top = Edge("top", d["bib top"], ENCLOSED)
    bib_side = Edge("bib side", d["bib side"].reversed(), ENCLOSED)
    side, above, foot = d["side"], d["bib top at centre front"], d["facing foot"]
    edges = (
        Edge("centre front", line(d["centre hem"], above), 0.0, "fold"),
        top,
        bib_side,
        Edge("side seam", side.reversed(), SEAM),
        Edge("hem", d["hemline"].reversed(), v["hem"], "hem"),
    )
    holes = (
        DrillHole(d["strap on the bib"] + Point(0, -1.0), "strap"),
        DrillHole(d["pocket corner"] + Point(0.3, -1.0), "pocket"),
    )
    marks = tuple(Mark(name, d[name]) for name in ("pocket opening", "pocket side", "pocket bottom"))
    faced = side.part(side.closest(d["facing at the side"])[0], side.length)
    facing = (
        Edge("centre front", line(foot, above), 0.0, "fold"),
        top,
        bib_side,
        Edge("side", faced.reversed(), SEAM, "caught"),
        Edge("bottom", d["facing edge"].reversed(), SEAM, "fold-back"),
    )
    return (
        Piece("front panel", edges, on_fold=True, drill_holes=holes, marks=marks),
        Piece("bib facing", facing, on_fold=True),
    )


def back_piece(d: Draft, v: Mapping[str, float]) -> Piece:
    edges = (
        Edge("hem", d["wrapped hem"], v["hem"], "hem"),
        Edge("side seam", d["side"], SEAM),
        Edge("upper edge", d["wrapped waist"].reversed(), NARROW, "hem"),
        Edge("tie seat", d["tie seat"], TURNED),
        Edge("back edge", line(d["tie foot"], d["wrap hem"]), TURNED, "hem"),
    )
    holes = (DrillHole(d["strap end"] + Point(0, -1.0), "strap"),)
    marks = (Mark("centre back", d["centre"]),)
    return Piece("back panel", edges, cut=2, pair=True, drill_holes=holes, marks=marks)


def pocket_piece(d: Draft) -> Piece:
    turned = dict.fromkeys(("bottom", "tool side", "opening", "hand side"), (SEAM, "fold-back"))
    turned["opening"] = (OPENING_HEM, "hem")
    edges = tuple(Edge(n, d[f"pocket edge {k}"], *turned[n]) for k, n in enumerate(turned, 1))
    folds = {("tool side", "opening"): "opening", ("opening", "hand side"): "opening"}
    return Piece("pocket", edges, marks=(Mark("division", d["division"]),), folds=folds)


def strip_pieces(d: Draft) -> list[Piece]:
    """Sides turned twice; a strap is stitched on at both ends, a tie is sewn into the back's edge."""
    strap = (("lower end", SEAM, "fold-back"), ("side", NARROW, "hem"), ("upper end", SEAM, "fold-back"))
    tie = (("base", TURNED, "seam"), ("side", NARROW, "hem"), ("end", NARROW, "hem"))
    pieces = []
    other = ("other side", NARROW, "hem")
    for name, rows in (("strap", (*strap, other)), ("tie", (*tie, other))):
        edges = tuple(Edge(n, d[f"{name} edge {k}"], a, t) for k, (n, a, t) in enumerate(rows, 1))
        pieces.append(Piece(name, edges, cut=2, pair=True))
    return pieces

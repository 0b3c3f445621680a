"""The pinafore cut apart: the pieces of the front plan and of the back plan, with allowances and turnings."""

from __future__ import annotations

from collections.abc import Mapping

from ...draft import Draft
from ...geometry import Move, Point, line
from ...pieces import DrillHole, Edge, Mark, Piece
from ..closing import extension_piece, facing_piece, front_marks
from ..marking import ENCLOSED, OPENING_HEM, SEAM, TURNED, grained
from ..straps import loop_piece, loop_place, strap_piece


def front_pieces(d: Draft, v: Mapping[str, float]) -> list[Piece]:
    """Skirt, waistband, bib with its facing and pocket, and what closes and holds them."""
    made = (*_skirt_and_waistband(d, v), *_bib_pieces(d, v), facing_piece(d, v))
    return [*(grained(p) for p in made), extension_piece(d, v), loop_piece(v)]


def _skirt_and_waistband(d: Draft, v: Mapping[str, float]) -> tuple[Piece, Piece]:
    side = d["side"]
    total, band, opening = side.length, v["waistband"], v["opening"]
    waist, seam_line = d["waistline"], d["waistband line"]
    centre = d["centre"]  # from the hem to the waist
    at_band = d["waistband at centre front"]
    skirt = Piece(
        "front skirt",
        (
            Edge("centre front", centre.part(0, centre.closest(at_band)[0]), 0.0, "fold"),
            Edge("waistband edge", seam_line, SEAM),
            Edge("opening", side.part(total - band, total - opening), SEAM),
            Edge("side seam", side.part(total - opening, 0), SEAM),
            Edge("hem", d["hemline"].reversed(), v["hem"], "hem"),
        ),
        on_fold=True,
        **front_marks(d, v, "front skirt"),
    )
    band_piece = Piece(
        "waistband",
        (
            Edge("centre front", centre.part(centre.closest(at_band)[0], centre.length), 0.0, "fold"),
            Edge("bib edge", waist, SEAM),
            Edge("side", side.part(total, total - band), SEAM),
            Edge("skirt edge", seam_line.reversed(), SEAM),
        ),
        cut=2,
        on_fold=True,
        **front_marks(d, v, "waistband"),
    )
    return skirt, band_piece


def _bib_pieces(d: Draft, v: Mapping[str, float]) -> tuple[Piece, Piece, Piece]:
    """The bib, its facing and its pocket."""
    bib_edges = (
        Edge("centre front", d["bib centre"], 0.0, "fold"),
        Edge("top", d["bib top"], SEAM),
        Edge("side", d["bib side"].reversed(), SEAM),
        Edge("waistband edge", d["waistline"].reversed(), SEAM),
    )
    top, corner = d["bib pocket top"], d["bib pocket corner"]
    bib = Piece(
        "bib",
        bib_edges,
        on_fold=True,
        drill_holes=(DrillHole(corner + Point(0.3, -1.0), "bib pocket"),),
        marks=(
            *(Mark(name, d[name]) for name in ("bib pocket opening", "bib pocket side", "bib pocket bottom")),
            loop_place(d, v),
        ),
        folds={("side", "waistband edge"): "side"},
    )
    pocket = Piece(
        "bib pocket",
        (
            Edge("centre front", line(d["bib pocket foot"], top), 0.0, "fold"),
            Edge("opening", d["bib pocket opening"], OPENING_HEM, "hem"),
            Edge("side", d["bib pocket side"], SEAM, "fold-back"),
            Edge("bottom", d["bib pocket bottom"], SEAM, "fold-back"),
        ),
        on_fold=True,
        folds={("opening", "side"): "opening"},
    )
    facing = Piece("bib facing", bib_edges, on_fold=True, folds=bib.folds)
    return bib, facing, pocket


def back_pieces(d: Draft, v: Mapping[str, float]) -> list[Piece]:
    side = d["side"]
    total, yoke, opening = side.length, v["yoke_side_depth"], v["opening"]
    seam_line, centre = d["yoke line"], d["centre"]
    at_yoke = d["yoke at centre back"]
    corners = [d[f"pocket {name}"] for name in ("inner top", "outer top")]
    skirt = Piece(
        "back skirt",
        (
            Edge("centre back", centre.part(centre.closest(at_yoke)[0], 0), 0.0, "fold"),
            Edge("hem", d["hemline"], v["hem"], "hem"),
            Edge("side seam", side.part(0, total - opening), SEAM),
            Edge("opening", side.part(total - opening, total - yoke), SEAM),
            Edge("yoke edge", seam_line.reversed(), SEAM),
        ),
        on_fold=True,
        drill_holes=tuple(_pocket_holes(*corners)),
        marks=tuple(
            Mark(name, d[name])
            for name in (
                "pocket opening",
                "pocket inner side",
                "pocket inner foot",
                "pocket outer foot",
                "pocket outer side",
            )
        ),
    )
    yoke_edges = (
        Edge("centre back", line(d["centre back top"], at_yoke), 0.0, "fold"),
        Edge("skirt edge", seam_line, SEAM),
        Edge("side", side.part(total - yoke, total), SEAM),
        Edge("side edge", d["back side edge"].reversed(), ENCLOSED),
        Edge("strap seat", d["strap seat"], TURNED),
        Edge("neck edge", d["back neck edge"].reversed(), ENCLOSED),
    )
    yoke_piece = Piece("back yoke", yoke_edges, on_fold=True)
    facing = Piece("yoke facing", yoke_edges, on_fold=True)  # as deep as the yoke: it carries the straps too
    strap = strap_piece(d, Move.onto(d["strap point"], d["strap end"], Point(0, 0), Point(0, 1)))
    pocket = Piece(
        "back pocket",
        (
            Edge("inner side", d["pocket inner side"], SEAM, "fold-back"),
            Edge("inner foot", d["pocket inner foot"], SEAM, "fold-back"),
            Edge("outer foot", d["pocket outer foot"], SEAM, "fold-back"),
            Edge("outer side", d["pocket outer side"], SEAM, "fold-back"),
            Edge("opening", d["pocket opening"], OPENING_HEM, "hem"),
        ),
        cut=2,
        pair=True,
        folds={("outer side", "opening"): "opening", ("opening", "inner side"): "opening"},
    )
    return [grained(p) for p in (skirt, yoke_piece, facing, strap, pocket)]


def _pocket_holes(inner: Point, outer: Point):
    """1 cm below the opening edge and 0.3 cm inside the placement line (common practice, no source)."""
    along = (outer - inner).unit()
    slope = along.y / along.x
    yield DrillHole(inner + Point(0.3, 0.3 * slope - 1.0), "back pocket")
    yield DrillHole(outer + Point(-0.3, -0.3 * slope - 1.0), "back pocket")

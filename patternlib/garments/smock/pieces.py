"""The smock cut apart: the pieces of its plans and of the sleeve block, with allowances and turnings."""

from __future__ import annotations

from collections.abc import Mapping

from ...draft import Draft
from ...geometry import Point, line
from ...pieces import FUSING, DrillHole, Edge, Mark, Notch, Piece
from ..marking import grained

SEAM, ENCLOSED, OPENING_HEM = 1.0, 0.6, 2.5
"""cm: plain seams [Lo 2011]; enclosed edges and the turned edge of a facing [allowance tables of the trade:
1/4 in]; a patch pocket's opening (common practice, no source)."""

FUSED = ("main cloth", FUSING)
"""What facings and collar are cut from."""


def body_pieces(front: Draft, back: Draft, v: Mapping[str, float]) -> list[Piece]:
    slit, neck = front["slit end"], front["centre front neck"]
    marks = ("pocket opening", "pocket inner side", "pocket bottom", "pocket outer side")
    front_piece = Piece(
        "front",
        (
            Edge("centre front", line(front["centre hem"], slit), SEAM),
            Edge("slit", line(slit, neck), SEAM),
            Edge("neckline", front["neckline"].reversed(), SEAM),
            Edge("shoulder", front["shoulder"], SEAM),
            Edge("armhole", front["armhole"], SEAM),
            Edge("side", front["side"], SEAM),
            Edge("hem", front["hemline"].reversed(), v["hem"], "hem"),
        ),
        cut=2,
        pair=True,
        drill_holes=(
            DrillHole(front["pocket inner top"] + Point(-0.3, -1.0), "pocket"),
            DrillHole(front["pocket outer top"] + Point(0.3, -1.0), "pocket"),
        ),
        marks=tuple(Mark(name, front[name]) for name in marks),
    )
    back_piece = Piece(
        "back",
        (
            Edge("centre back", back["centre"], 0.0, "fold"),
            Edge("hem", back["hemline"], v["hem"], "hem"),
            Edge("side", back["side"].reversed(), SEAM),
            Edge("armhole", back["armhole"].reversed(), SEAM),
            Edge("shoulder", back["shoulder"].reversed(), SEAM),
            Edge("neckline", back["neckline"].reversed(), SEAM),
        ),
        on_fold=True,
    )
    return [grained(front_piece), grained(back_piece)]


def facing_pieces(front: Draft, back: Draft, v: Mapping[str, float]) -> list[Piece]:
    """The facing of neck and slit; it is joined at the shoulders and below the slit."""
    width = v["facing"]
    front_facing = Piece(
        "front facing",
        (
            Edge("centre front", line(front["facing foot"], front["slit end"]), SEAM),
            Edge("slit", line(front["slit end"], front["centre front neck"]), SEAM),
            Edge("neckline", front["neckline"].reversed(), SEAM),
            Edge("shoulder", front["shoulder"].part(0, width), SEAM),
            Edge("outer edge", front["facing edge"], ENCLOSED, "fold-back"),
            Edge("bottom", front["facing bottom"], ENCLOSED, "fold-back"),
        ),
        cut=2,
        pair=True,
        cloths=FUSED,
    )
    edge, centre = back["facing edge"], back["centre"]
    back_facing = Piece(
        "back facing",
        (
            Edge("centre back", centre.part(0, width), 0.0, "fold"),
            Edge("outer edge", edge, ENCLOSED, "fold-back"),
            Edge("shoulder", back["shoulder"].part(width, 0), SEAM),
            Edge("neckline", back["neckline"].reversed(), SEAM),
        ),
        on_fold=True,
        cloths=FUSED,
    )
    return [grained(front_facing), grained(back_facing)]


def collar_piece(d: Draft, v: Mapping[str, float]) -> Piece:
    """Upper and under collar, the under one stiffened; where the front shoulder meets it there is a notch."""
    neck, outer, front = d["neck edge"], d["outer edge"], d["front edge"]
    at_shoulder = d["back neckline length"]
    edges: tuple[Edge, ...]
    if v["collar"] == 1:
        edges = (
            Edge("neck edge", neck, SEAM),
            Edge("front edge", front, SEAM),
            Edge("outer edge", outer.reversed(), ENCLOSED),
        )
    else:
        edges = (
            Edge("outer edge", outer, ENCLOSED),
            Edge("front edge", front.reversed(), SEAM),
            Edge("neck edge", neck.reversed(), SEAM),
        )
        at_shoulder = neck.length - at_shoulder
    centre = d["centre back"] if v["collar"] == 1 else d["centre back"].reversed()
    edges = (*edges, Edge("centre back", centre, 0.0, "fold"))
    shoulder = (Notch("neck edge", at_shoulder),)
    return grained(Piece("collar", edges, cut=2, on_fold=True, cloths=FUSED, fused=1, notches=shoulder))


def sleeve_piece(d: Draft, v: Mapping[str, float]) -> Piece:
    """The cap top's notch is set to the shoulder seam."""
    cap = d["front cap"].reversed()
    return grained(
        Piece(
            "sleeve",
            (
                Edge("hem", d["wrist line"], v["sleeve_hem"], "hem"),
                Edge("front underarm", d["front underarm seam"].reversed(), SEAM),
                Edge("front cap", cap, SEAM),
                Edge("back cap", d["back cap"], SEAM),
                Edge("back underarm", d["back underarm seam"], SEAM),
            ),
            cut=2,
            pair=True,
            notches=(Notch("front cap", cap.length),),
        )
    )


def pocket_piece(d: Draft) -> Piece:
    return grained(
        Piece(
            "pocket",
            (
                Edge("bottom", d["pocket bottom"].reversed(), SEAM, "fold-back"),
                Edge("inner side", d["pocket inner side"].reversed(), SEAM, "fold-back"),
                Edge("opening", d["pocket opening"].reversed(), OPENING_HEM, "hem"),
                Edge("outer side", d["pocket outer side"].reversed(), SEAM, "fold-back"),
            ),
            cut=2,
            folds={("inner side", "opening"): "opening", ("opening", "outer side"): "opening"},
        )
    )

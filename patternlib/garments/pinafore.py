"""The kiln-room pinafore: a bib-front skirt with straps, workwear for a community pottery studio."""

from __future__ import annotations

from collections.abc import Mapping

from ..blocks.bodice import bodice_block
from ..blocks.skirt import skirt_block
from ..body import Body
from ..draft import Draft
from ..errors import ValueAtFault
from ..finish import finish
from ..geometry import Curve, Move, Point
from ..piece import DrillHole, Edge, Grain, Mark, Piece, Seam, with_notches
from ..walk import Finding
from .aline import dart_mouth, share_flare
from .base import Garment, StyleValue, read_style
from .pinafore_plans import back_plan, front_plan

STYLE = (
    StyleValue("skirt_length", "Skirt length", 62, 40, 100, "It is measured from the waist to the hem."),
    StyleValue(
        "flare", "Flare of a quarter at the hem", 10, 3, 25, "Less hinders the step, more drags in the clay."
    ),
    StyleValue("hip_ease", "Ease round the hip", 6, 3, 20, "It is worn over other clothes.", 0.5),
    StyleValue("waist_ease", "Ease round the waist", 4, 1.5, 16, "It is worn over other clothes.", 0.5),
    StyleValue("waistband", "Waistband depth", 5, 3, 8, "A shaped band deeper than 8 cm rides up."),
    StyleValue(
        "bib_top",
        "Bib, width at the top",
        23,
        16,
        34,
        "Narrower shows the shirt's buttons, wider meets the arm.",
    ),
    StyleValue("bib_height", "Bib height", 25, 16, 32, "It ends between the bust and the neck."),
    StyleValue("bib_pocket_width", "Bib pocket, width", 14, 8, 22, "A hand must go in."),
    StyleValue("bib_pocket_depth", "Bib pocket, depth", 12, 7, 18, "A loop tool must not fall out."),
    StyleValue(
        "bib_pocket_below_top",
        "Bib pocket below the bib's top",
        5,
        3,
        12,
        "It clears the facing's stitching.",
    ),
    StyleValue(
        "opening",
        "Side opening",
        15,
        11,
        20,
        "The waist must pass over the hips, measured from the waist down.",
    ),
    StyleValue("extension", "Extension, width", 3, 2.5, 5, "It carries the buttons."),
    StyleValue(
        "extension_run_on",
        "Extension's run-on below the opening",
        1.8,
        1,
        4,
        "Both extensions are sewn together here.",
        0.1,
    ),
    StyleValue(
        "yoke_depth", "Yoke depth at centre back", 7, 4, 12, "It ends above the fullest part of the hip."
    ),
    StyleValue(
        "yoke_side_depth",
        "Yoke depth at the side",
        5,
        3,
        9,
        "At the waistband's depth back and front meet level.",
    ),
    StyleValue("back_rise", "Back rise at the centre", 8, 3, 16, "It is measured from the back waist up."),
    StyleValue(
        "strap_level",
        "Level of the straps at the back",
        12,
        8,
        22,
        "The straps start higher than the centre back.",
    ),
    StyleValue(
        "strap_from_centre",
        "Strap from the centre back",
        6,
        3,
        10,
        "Too near the centre rubs the spine, too far slips off.",
    ),
    StyleValue(
        "strap_spread", "Strap, wider at its base by", 1.7, 0.5, 4, "It spreads the pull over the yoke.", 0.1
    ),
    StyleValue(
        "fitting",
        "Strap fitting, inside width",
        3.2,
        2.0,
        5.0,
        "Fittings are sold as 2, 2.5, 3.2, 3.8, 4 and 5 cm.",
        0.1,
    ),
    StyleValue(
        "cloth_thickness", "Room for the cloth in the fitting", 0.3, 0.1, 0.6, "The strap must slide.", 0.1
    ),
    StyleValue(
        "turn_back", "Strap end turned back through the fitting", 9, 6, 14, "It lets the strap be lengthened."
    ),
    StyleValue("pocket_width", "Back pocket, width", 13, 9, 18, "A hand must go in."),
    StyleValue("pocket_below_yoke", "Back pocket below the yoke", 2, 1, 6, "It clears the yoke's stitching."),
    StyleValue("pocket_length", "Back pocket, length nearest the centre", 13, 9, 20, "A hand must go in."),
    StyleValue("pocket_point", "Pocket point", 2.5, 0, 5, "A deep point is weak at its tip."),
    StyleValue(
        "pocket_from_centre", "Back pocket from the centre back", 3, 1.5, 9, "Nearer and it is sat on."
    ),
    StyleValue("hem", "Hem depth", 3, 1, 5, "A flared hem takes less than a straight one."),
)
SEAM, ENCLOSED, TURNED, OPENING_HEM = 1.0, 0.6, 1.5, 2.5
"""cm: plain seams [Lo 2011]; enclosed tight curves [seam allowance tables of the trade]; a free edge turned twice and stitched, a patch pocket's opening (common
practice, no source)."""

CLOTH, FITTINGS = "main cloth", 2


def make_pinafore(body: Body, *, size: str = "", date: str = "", **style: float) -> Garment:
    """Draft, cut apart, finish and check the pinafore for one body.

    style: any of the values in STYLE, cm; values that cannot be drawn together are refused with a
    ValueAtFault naming one of them. size, date: written on the pieces.

    >>> from patternlib.body import chart
    >>> garment = make_pinafore(chart("course").body("12"), yoke_depth=7.5)
    >>> len(garment.pieces), garment.findings
    (11, ())
    """
    values = read_style(STYLE, style)
    _agree(body, values)
    length = values["skirt_length"]
    skirt = skirt_block(
        body, length=length, hip_ease=values["hip_ease"], waist_ease=values["waist_ease"], one_dart=True
    )
    bodice = bodice_block(body)
    flare = share_flare(
        (dart_mouth(skirt, "back"), dart_mouth(skirt, "front")), length, body.waist_to_hip, values["flare"]
    )
    front = front_plan(skirt, bodice, values, flare[1])
    back = back_plan(skirt, bodice, front, values, flare[0])
    pieces = {piece.name: piece for piece in (*_front_pieces(front, values), *_back_pieces(back, values))}
    seams = _seams(pieces)
    written = with_notches(pieces, seams)
    about = ("kiln-room pinafore", f"size {size}" if size else "own measures", *((date,) if date else ()))
    return Garment(
        name="pinafore",
        body=body,
        style=values,
        drafts={"skirt block": skirt, "bodice block": bodice, "front plan": front, "back plan": back},
        pieces=tuple(finish(_labelled(piece, about)) for piece in written.values()),
        seams=seams,
        fittings=(f"{FITTINGS} strap fittings, {values['fitting'] * 10:.0f} mm inside width",),
        size=size,
        limits=(
            (
                "strap",
                pieces["strap"].edge("end").curve.length,
                values["fitting"],
                "the strap is wider than its fitting: take a wider fitting.",
            ),
        ),
        remarks=tuple(_remarks(back)),
    )


def _agree(body: Body, v: Mapping[str, float]) -> None:
    """Refuse style values that do not go together, each with the value to change."""
    for ok, name, rule, advice in (
        (
            v["skirt_length"] >= body.waist_to_hip + 15,
            "skirt_length",
            "ends too near the hip line",
            f"Take {body.waist_to_hip + 15:.0f} cm or more.",
        ),
        (
            v["yoke_depth"] <= body.waist_to_hip - 3,
            "yoke_depth",
            "reaches the hip line",
            f"Take {body.waist_to_hip - 3:.1f} cm or less.",
        ),
        (
            v["opening"] >= max(v["waistband"], v["yoke_side_depth"]) + 2,
            "opening",
            "must end at least 2 cm below the waistband and the yoke",
            "Take a longer opening.",
        ),
        (
            v["opening"] + v["extension_run_on"] <= body.waist_to_hip + 6,
            "opening",
            "ends too far below the hip line",
            f"Take {body.waist_to_hip + 6 - v['extension_run_on']:.1f} cm or less.",
        ),
        (
            v["bib_top"] / 2 >= v["fitting"] + 3,
            "fitting",
            "is too wide for two straps on this bib",
            f"Take {v['bib_top'] / 2 - 3:.1f} cm or less, or a wider bib.",
        ),
        (
            v["strap_level"] >= v["back_rise"] + 2,
            "strap_level",
            "must lie at least 2 cm above the back rise",
            f"Take {v['back_rise'] + 2:.1f} cm or more, or a lower back rise.",
        ),
    ):
        if not ok:
            raise ValueAtFault(name, v[name], rule, advice)


def _front_pieces(d: Draft, v: Mapping[str, float]) -> list[Piece]:
    side = d["side"]
    total, band, opening = side.length, v["waistband"], v["opening"]
    waist, line = d["waistline"], d["waistband line"]
    centre = Curve(d["centre"].segments)  # hem to waist
    at_band = d["waistband at centre front"]
    skirt = Piece(
        "front skirt",
        (
            Edge("centre front", centre.part(0, centre.closest(at_band)[0]), 0.0, "fold"),
            Edge("waistband edge", line, SEAM),
            Edge("opening", side.part(total - band, total - opening), SEAM),
            Edge("side seam", side.part(total - opening, 0), SEAM),
            Edge("hem", d["hemline"].reversed(), v["hem"], "hem"),
        ),
        on_fold=True,
    )
    band_piece = Piece(
        "waistband",
        (
            Edge("centre front", centre.part(centre.closest(at_band)[0], centre.length), 0.0, "fold"),
            Edge("bib edge", waist, SEAM),
            Edge("side", side.part(total, total - band), SEAM),
            Edge("skirt edge", line.reversed(), SEAM),
        ),
        cut=2,
        on_fold=True,
    )
    bib_edges = (
        Edge("centre front", d["bib centre"], 0.0, "fold"),
        Edge("top", d["bib top"], SEAM),
        Edge("side", d["bib side"].reversed(), SEAM),
        Edge("waistband edge", waist.reversed(), SEAM),
    )
    top, corner = d["bib pocket top"], d["bib pocket corner"]
    bib = Piece(
        "bib",
        bib_edges,
        on_fold=True,
        drill_holes=(DrillHole(corner + Point(0.3, -1.0), "bib pocket"),),
        marks=tuple(
            Mark(name, d[name]) for name in ("bib pocket opening", "bib pocket side", "bib pocket bottom")
        ),
    )
    pocket = Piece(
        "bib pocket",
        (
            Edge("centre front", _line(d["bib pocket foot"], top), 0.0, "fold"),
            Edge("opening", d["bib pocket opening"], OPENING_HEM, "hem"),
            Edge("side", d["bib pocket side"], SEAM, "fold-back"),
            Edge("bottom", d["bib pocket bottom"], SEAM, "fold-back"),
        ),
        on_fold=True,
        folds={("opening", "side"): "opening"},
    )
    return [
        _grained(skirt), _grained(band_piece), _grained(bib), _grained(Piece("bib facing", bib_edges, on_fold=True)),
        _grained(pocket), _grained(_extension(d, "front", v)),
    ]  # fmt: skip


def _back_pieces(d: Draft, v: Mapping[str, float]) -> list[Piece]:
    side = d["side"]
    total, yoke, opening = side.length, v["yoke_side_depth"], v["opening"]
    line, centre = d["yoke line"], d["centre"]
    at_yoke = d["yoke at centre back"]
    corners = [d[f"pocket {name}"] for name in ("inner top", "outer top")]
    skirt = Piece(
        "back skirt",
        (
            Edge("centre back", centre.part(centre.closest(at_yoke)[0], 0), 0.0, "fold"),
            Edge("hem", d["hemline"], v["hem"], "hem"),
            Edge("side seam", side.part(0, total - opening), SEAM),
            Edge("opening", side.part(total - opening, total - yoke), SEAM),
            Edge("yoke edge", line.reversed(), SEAM),
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
    yoke_piece = Piece(
        "back yoke",
        (
            Edge("centre back", _line(d["centre back top"], at_yoke), 0.0, "fold"),
            Edge("skirt edge", line, SEAM),
            Edge("side", side.part(total - yoke, total), SEAM),
            Edge("side edge", d["back side edge"].reversed(), TURNED, "hem"),
            Edge("strap seat", d["strap seat"], TURNED),
            Edge("neck edge", d["back neck edge"].reversed(), TURNED, "hem"),
        ),
        on_fold=True,
    )
    upright = Move.onto(d["strap point"], d["strap end"], Point(0, 0), Point(0, 1))
    strap = Piece(
        "strap",
        (
            Edge("straight side", d["strap straight side"].reversed().moved(upright), TURNED, "hem"),
            Edge("base", d["strap seat"].reversed().moved(upright), TURNED),
            Edge("curved side", d["strap curved side"].moved(upright), TURNED, "hem"),
            Edge("end", d["strap end line"].moved(upright), v["turn_back"], "fold-back"),
        ),
        cut=2,
        pair=True,
    )
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
    return [
        _grained(skirt), _grained(yoke_piece), _grained(strap), _grained(pocket), _grained(_extension(d, "back", v)),
    ]  # fmt: skip


def _line(p: Point, q: Point) -> Curve:
    from ..geometry import line

    return line(p, q)


def _pocket_holes(inner: Point, outer: Point):
    """1 cm below the opening edge and 0.3 cm inside the placement line (common practice, no source)."""
    along = (outer - inner).unit()
    slope = along.y / along.x
    yield DrillHole(inner + Point(0.3, 0.3 * slope - 1.0), "back pocket")
    yield DrillHole(outer + Point(-0.3, -0.3 * slope - 1.0), "back pocket")


def _extension(d: Draft, part: str, v: Mapping[str, float]) -> Piece:
    """The strip beside the opening, of two layers; the back one lies under the front and carries buttons."""
    opening, run_on = d["opening edge"], d["run-on edge"]  # both toward the waist
    outer, bottom = d["extension edge"], d["extension bottom"]  # toward the waist; toward the side
    top = ("top", d["extension top"])
    if part == "front":
        edges = (
            Edge("run-on", run_on, SEAM),
            Edge("opening edge", opening, SEAM),
            Edge(top[0], top[1], SEAM, "fold-back"),
            Edge("outer edge", outer.reversed().joined(bottom), ENCLOSED),
        )
    else:
        edges = (
            Edge("opening edge", opening.reversed(), SEAM),
            Edge("run-on", run_on.reversed(), SEAM),
            Edge("outer edge", bottom.reversed().joined(outer), ENCLOSED),
            Edge(top[0], top[1].reversed(), TURNED, "hem"),
        )
    return Piece(f"{part} extension", edges, cut=4, pair=True)


def _grained(piece: Piece) -> Piece:
    """A grain line parallel to the centre through the middle of the piece."""
    low, high = _span(piece, 1)
    y = low + 0.45 * (high - low)
    x = sum(_chord(piece, y, 0)) / 2
    foot, head = _chord(piece, x, 1)
    return piece.replace(
        grain=Grain(Point(x, foot + 0.2 * (head - foot)), Point(x, head - 0.2 * (head - foot)))
    )


def _span(piece: Piece, axis: int) -> tuple[float, float]:
    places = [p[axis] for p in piece.outline.flat(0.1)]
    return min(places), max(places)


def _chord(piece: Piece, at: float, axis: int) -> tuple[float, float]:
    """The widest stretch inside the seam line on the level (axis 0) or upright (axis 1) through `at`."""
    points = piece.outline.flat(0.1)
    other = 1 - axis
    hits = sorted(
        p[axis] + (at - p[other]) * (q[axis] - p[axis]) / (q[other] - p[other])
        for p, q in zip(points, points[1:] + points[:1], strict=True)
        if (p[other] <= at) != (q[other] <= at)
    )
    return max(zip(hits[::2], hits[1::2], strict=False), key=lambda pair: pair[1] - pair[0])


def _labelled(piece: Piece, about: tuple[str, ...]) -> Piece:
    how = f"cut {piece.cut}" + (" on the fold" if piece.on_fold else " as a pair" if piece.pair else "")
    return piece.replace(label=(piece.name, *about[:2], how, *piece.cloths, *about[2:]))


def _seams(pieces: Mapping[str, Piece]) -> tuple[Seam, ...]:
    """Every pair of edges that is sewn. Front notches are single, back notches double, none in the middle."""

    def length(piece: str, edge: str) -> float:
        return pieces[piece].edge(edge).curve.length

    def at(share: float, count: int, *edges: tuple[str, str]) -> tuple[tuple[float, float, int], ...]:
        place = share * sum(length(*edge) for edge in edges)
        return ((place, place, count),)

    front_open = (("waistband", "side"), ("front skirt", "opening"))
    back_open = (("back yoke", "side"), ("back skirt", "opening"))
    end = sum(length(*edge) for edge in front_open)
    side = ("front skirt", "side seam")
    hem = (length(*side), length("back skirt", "side seam"), 1)
    return (
        Seam("bib to waistband", (("bib", "waistband edge"),), (("waistband", "bib edge"),), True, False,
             notches=at(0.6, 1, ("waistband", "bib edge"))),
        Seam("bib facing to waistband", (("bib facing", "waistband edge"),), (("waistband", "bib edge"),), True,
             False, notches=at(0.6, 1, ("waistband", "bib edge"))),
        Seam("bib top to facing", (("bib", "top"),), (("bib facing", "top"),), False, False,
             notches=at(0.4, 1, ("bib", "top"))),
        Seam("bib side to facing", (("bib", "side"),), (("bib facing", "side"),), False, False,
             notches=at(0.4, 1, ("bib", "side"))),
        Seam("waistband to front skirt", (("waistband", "skirt edge"),), (("front skirt", "waistband edge"),), True,
             False, notches=at(0.6, 1, ("front skirt", "waistband edge"))),
        Seam("side seam", (side,), (("back skirt", "side seam"),), False, True,
             notches=(*at(0.35, 1, side), hem)),
        Seam("front opening", front_open, (("front extension", "opening edge"),), False, True,
             notches=(*at(0.7, 1, *front_open), (end, end, 1))),
        Seam("back opening", back_open, (("back extension", "opening edge"),), True, False,
             notches=(*at(0.7, 2, *back_open), (end, end, 1))),
        Seam("run-on of the extensions", (("front extension", "run-on"),), (("back extension", "run-on"),), True,
             False),
        *(
            Seam(f"{part} extension, both layers", ((f"{part} extension", "outer edge"),),
                 ((f"{part} extension", "outer edge"),), False, False,
                 notches=at(0.4, 1 + (part == "back"), (f"{part} extension", "outer edge")))
            for part in ("front", "back")
        ),
        Seam("yoke to back skirt", (("back yoke", "skirt edge"),), (("back skirt", "yoke edge"),), False, True,
             notches=at(0.6, 2, ("back yoke", "skirt edge"))),
        Seam("strap to yoke", (("strap", "base"),), (("back yoke", "strap seat"),), False, True,
             notches=at(0.42, 2, ("strap", "base"))),
    )  # fmt: skip


def _remarks(back: Draft) -> list[Finding]:
    """Where the strap crosses the shoulder: a strap too near the neck rubs, one near the tip slips off."""
    shoulder = back["back shoulder"]
    found = []
    for name, line in (("inner", "strap straight side"), ("outer", "strap curved side")):
        places = shoulder.meets(back[line])
        text = ""
        if not places:
            text = f"the strap's {name} edge misses the shoulder: change strap_from_centre or bib_top"
        elif places[0] < 1.0:
            text = f"the strap's {name} edge lies {places[0]:.1f} cm from the neck and will rub"
        elif places[0] > shoulder.length - 1.0:
            text = f"the strap's {name} edge lies at the shoulder's tip and will slip off"
        if text:
            got = places[0] if places else float("nan")
            found.append(
                Finding(750, "warning", f"strap, {name} edge", got, shoulder.length / 2, 0.0, text + ".")
            )
    return found

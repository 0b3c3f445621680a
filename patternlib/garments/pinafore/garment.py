"""The kiln-room pinafore: a bib-front skirt with straps, workwear for a community pottery studio."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache, partial
from typing import NamedTuple

from ...alterations import NONE, Changes
from ...blocks.bodice import bodice_block
from ...body import Body
from ...draft import Draft
from ...errors import ValueAtFault
from ...pieces import Piece, Seam, finish, seam, with_notches
from .. import closing
from ..base import Garment, read_style
from ..closing_check import closing_findings, getting_in, short_of_getting_in
from ..eye import level_line, meets_at_the_side
from ..leading import led
from ..marking import label_lines, labelled
from ..straps import strap_facts, strap_findings, strap_fit, with_range
from .back import back_plan
from .front import front_plan
from .opening import opening_for, skirt_and_leans
from .pieces import back_pieces, front_pieces
from .style import (
    HEM_BELOW_HIP,
    OPENING_BELOW,
    OPENING_BELOW_HIP,
    STRAP_ABOVE_RISE,
    STYLE,
    YOKE_ABOVE_HIP,
)

THROUGH = {
    "strap loop": "its ring",
    "strap": "the slide, through the ring on the bib from the inside out, and back up round the middle bar "
    "of the slide",
}
"""What the fittings are for, as the order of making says it."""

MAKING: Mapping[tuple[str, str] | str, str] = {
    "yoke to facing at the strap": "Stitch the seats a second time 5 mm outside the seam: they carry the "
    "pull. Snip the hollows every 1 cm, to 2 mm from the seam. Turn right side out, "
    "understitch the facing in the hollows as far as the machine comes, press, and topstitch across the yoke "
    "below the seats.",
    "yoke to back skirt": "Neaten the edges as one, press them toward the yoke and topstitch twice, 2 and "
    "7 mm from the seam: it carries the pull of the straps.",
    "ends of the strap loop": "Tack both loops on the bib where they are marked, on the right side, raw ends "
    "on the raw edge of the top.",
    "bib top to facing": "Stitch over both loops a second time, 5 mm outside the seam. Topstitch the "
    "finished edge at 7 mm, with a bar tack across the foot of each loop: it carries the pull.",
    ("strap loop", "side"): "Cut it across at the notches: two loops.",
    ("strap", "end"): "Stitch a square with a cross in it: it carries the pull.",
    ("back pocket", "opening"): "Make a bar tack at both ends of the opening: a hand pulls there.",
    ("bib pocket", "opening"): "Make a bar tack at both ends of the opening: a tool pulls there.",
    "side seam": "Neaten the edges as one and press them to the back.",
}
"""What is also done in a step, above all where a seam carries load (common practice, no source)."""


def make_pinafore(
    body: Body, *, size: str = "", date: str = "", changes: Changes = NONE, **style: float
) -> Garment:
    """Draft, cut apart, finish and check the pinafore for one body.

    style: any of the values in STYLE, cm; values that cannot be drawn together are refused with a
    ValueAtFault naming one of them. size, date: written on the pieces. changes: made to the blocks after the
    toile; all pieces follow.

    >>> from patternlib.body import chart
    >>> garment = make_pinafore(chart("course").body("12"), yoke_depth=7.5)
    >>> len(garment.pieces), [finding.text for finding in garment.findings if finding.severity == "error"]
    (13, [])
    """
    all_values = _values(body, style, changes)
    given = {name: all_values[name] for name in style}
    values, front_half, back, back_cut = led(STYLE, given, body, partial(_halves, body, changes))
    skirt, bodice, _, front, front_cut = front_half
    pieces = {piece.name: piece for piece in (*front_cut, *back_cut)}
    fit = strap_fit(changes.body(body), back, values)
    pieces["strap"] = with_range(pieces["strap"], fit)
    seams = _seams(pieces)
    about = label_lines("kiln-room pinafore", size, date, changes)
    return Garment(
        name="pinafore",
        body=body,
        style=values,
        given=given,
        drafts={"skirt block": skirt, "bodice block": bodice, "front plan": front, "back plan": back},
        pieces=tuple(_finished(labelled(piece, about)) for piece in with_notches(pieces, seams).values()),
        seams=seams,
        notions=(closing.bought(values),),
        fittings=tuple(
            f"2 strap {what}, {values['fitting'] * 10:.0f} mm inside width" for what in ("rings", "slides")
        ),
        size=size,
        limits=tuple(
            (
                name,
                pieces[name].edge(edge).curve.length,
                values["fitting"],
                f"the {name} is wider than its fitting: take a wider fitting.",
            )
            for name, edge in (("strap", "end"), ("strap loop", "lower end"))
        ),
        remarks=(
            *level_line(back, "yoke"),
            *meets_at_the_side(values["waistband"], values["yoke_side_depth"]),
            *strap_findings(fit, values),
            *closing_findings(pieces),
            *getting_in(pieces, body),
        ),
        facts=(*strap_facts(fit), *changes.facts()),
        changes=changes,
        through=THROUGH,
        making=closing.making(MAKING),
        closings=(closing.fasten(values),),
    )


# While one value is moved most of a garment stays as it is; that is kept.

FRONT_READS = (
    "skirt_length", "flare", "hip_ease", "waist_ease", "waistband", "bib_top", "bib_height",
    "bib_pocket_width", "bib_pocket_depth", "bib_pocket_below_top", "opening", "hem", "fitting",
    "cloth_thickness", "loop", *(value.name for value in closing.STYLE),
)  # fmt: skip
"""The style values that blocks, front plan and front pieces read; they are given no others."""

_KEPT = 256
"""Fronts kept; a slider has fewer places."""

_bodice_block = lru_cache(_KEPT)(bodice_block)


class _Front(NamedTuple):
    skirt: Draft
    bodice: Draft
    back_lean: float
    plan: Draft
    pieces: tuple[Piece, ...]


@lru_cache(_KEPT)
def _front(body: Body, changes: Changes, read: tuple[float, ...]) -> _Front:
    """Blocks, front plan and front pieces for the values of FRONT_READS."""
    values = dict(zip(FRONT_READS, read, strict=True))
    skirt, back_lean, front_lean = skirt_and_leans(body, values, changes)
    bodice = changes.block(_bodice_block(body))
    plan = front_plan(skirt, bodice, values, front_lean)
    return _Front(skirt, bodice, back_lean, plan, tuple(front_pieces(plan, values)))


def _values(body: Body, style: Mapping[str, float], changes: Changes = NONE) -> dict[str, float]:
    """Every style value for a body; the opening follows what else is given, and all follow the changes."""
    shown = changes.body(body)
    values = read_style(STYLE, style, shown)
    if "opening" not in style:
        low, high = next(v.range_for(shown, values) for v in STYLE if v.name == "opening")
        values["opening"] = min(max(opening_for(body, values, changes), low), high)
    return changes.style(values)


def _halves(
    body: Body, changes: Changes, given: Mapping[str, float]
) -> tuple[dict[str, float], _Front, Draft, tuple[Piece, ...]]:
    """(every style value, the front half, back plan, back pieces) for the values that were given."""
    values = _values(body, given, changes)
    made = _drawn(body, changes, values)
    if "opening" not in given:
        pieces = {piece.name: piece for piece in (*made[1].pieces, *made[3])}
        wanted = values["opening"] + short_of_getting_in(pieces, body)
        _, high = next(v.range_for(changes.body(body), values) for v in STYLE if v.name == "opening")
        if values["opening"] < min(wanted, high):
            return _drawn(body, changes, values | {"opening": min(wanted, high)})
    return made


def _drawn(
    body: Body, changes: Changes, values: dict[str, float]
) -> tuple[dict[str, float], _Front, Draft, tuple[Piece, ...]]:
    """(the style values, the front half, back plan, back pieces)."""
    _agree(body, values)
    front = _front(body, changes, tuple(values[name] for name in FRONT_READS))
    back = back_plan(front.skirt, front.bodice, front.plan, values, front.back_lean)
    _on_the_shoulder(back, values)
    return values, front, back, tuple(back_pieces(back, values))


def pinafore_plans(body: Body, values: Mapping[str, float]) -> tuple[Draft, Draft]:
    """Front and back plan alone; values: every value of STYLE, cm. Raises ValueAtFault as make_pinafore."""
    front = _front(body, NONE, tuple(values[name] for name in FRONT_READS))
    return front.plan, back_plan(front.skirt, front.bodice, front.plan, values, front.back_lean)


_finished = lru_cache(4 * _KEPT)(finish)
"""The piece with its cut line; the same piece again where nothing of it has changed."""


def _agree(body: Body, v: Mapping[str, float]) -> None:
    """Refuse style values that do not go together, naming one of them."""
    over = max(v["waistband"], v["yoke_side_depth"])
    for ok, name, rule in (
        (v["fastening"] in (0, 1), "fastening", "must be 0 (buttons) or 1 (press fasteners)"),
        (v["fastenings"] % 1 == 0, "fastenings", "must be a whole number"),
        (
            v["skirt_length"] >= body.waist_to_hip + HEM_BELOW_HIP,
            "skirt_length",
            f"ends less than {HEM_BELOW_HIP:g} cm below the hip line",
        ),
        (
            v["yoke_depth"] <= body.waist_to_hip - YOKE_ABOVE_HIP,
            "yoke_depth",
            f"ends less than {YOKE_ABOVE_HIP:g} cm above the hip line",
        ),
        (
            v["opening"] >= over + OPENING_BELOW,
            "opening",
            f"must end at least {OPENING_BELOW:g} cm below the waistband and the yoke",
        ),
        (
            v["opening"] <= body.waist_to_hip + OPENING_BELOW_HIP,
            "opening",
            f"ends more than {OPENING_BELOW_HIP:g} cm below the hip line",
        ),
        (
            v["strap_level"] >= v["back_rise"] + STRAP_ABOVE_RISE,
            "strap_level",
            f"must lie at least {STRAP_ABOVE_RISE:g} cm above the back rise of {v['back_rise']:g} cm",
        ),
    ):
        if not ok:
            raise ValueAtFault(name, v[name], rule)


def _seams(pieces: Mapping[str, Piece]) -> tuple[Seam, ...]:
    """Every pair of edges that is sewn. Front notches are single, back notches double, none in the middle."""
    down, across, up, back = (
        ("along", "against"), ("against", "along"), ("along", "along"), ("against", "against"),
    )  # fmt: skip
    end, hem = (1.0, 1), (1.0, 1)  # notches at the end of the opening and at the fold of the hem
    yoke = pieces["back yoke"].edge("side").curve.length
    opening = pieces["back extension"].edge("opening edge").curve.length
    base = pieces["strap"].edge("base").curve.length
    at_base = ((0.42, 2),) if base >= 4.4 else ((0.33, 1),) if base >= 3.1 else ()  # 1 cm from the corners
    rows = (
        ("bib to waistband", "bib/waistband edge", "waistband/bib edge", across, (0.6, 1)),
        ("bib facing to waistband", "bib facing/waistband edge", "waistband/bib edge", across, (0.6, 1)),
        ("bib top to facing", "bib/top", "bib facing/top", up, (0.4, 1)),
        ("bib side to facing", "bib/side", "bib facing/side", up, (0.4, 1)),
        ("waistband to front skirt", "waistband/skirt edge", "front skirt/waistband edge", across, (0.6, 1)),
        ("side seam", "front skirt/side seam", "back skirt/side seam", down, (0.35, 1), hem),
        ("waistband ends", "waistband/side", "waistband/side", up),
        ("front opening", "front skirt/opening", "front facing/opening edge", up, (0.4, 1), end),
        (
            "back opening", "back yoke/side + back skirt/opening", "back extension/opening edge", across,
            (_opening_notch(yoke, opening), 2), end,
        ),
        ("top of the extension", "back extension/top", "back extension/under top", down),
        ("bottom of the extension", "back extension/bottom", "back extension/under bottom", across),
        ("yoke to back skirt", "back yoke/skirt edge", "back skirt/yoke edge", down, (0.6, 2)),
        ("strap to yoke", "strap/base", "back yoke/strap seat", down, *at_base),
        ("yoke to facing at the strap", "back yoke/strap seat", "yoke facing/strap seat", back, *at_base),
        ("yoke side edge to facing", "back yoke/side edge", "yoke facing/side edge", up, (0.4, 2)),
        ("yoke neck edge to facing", "back yoke/neck edge", "yoke facing/neck edge", up, (0.4, 2)),
        ("yoke facing to back skirt", "yoke facing/skirt edge", "back skirt/yoke edge", down, (0.6, 2)),
        (
            "yoke facing at the opening",
            "yoke facing/side + back skirt/opening", "back extension/opening edge", across,
            (_opening_notch(yoke, opening), 2), end,
        ),
        ("ends of the strap loop", "strap loop/lower end", "strap loop/upper end", across),
    )  # fmt: skip
    return tuple(seam(pieces, name, a, b, walk=walk, notches=notches) for name, a, b, walk, *notches in rows)


def _opening_notch(first: float, opening: float) -> float:
    """The notch's share of an opening of two parts: in the longer one, away from the ends and the middle."""
    start, length = (first, opening - first) if opening > 2 * first else (0.0, first)
    share = (start + 0.5 * length) / opening
    return share if abs(share - 0.5) > 0.05 else (start + 0.4 * length) / opening


NEAR_NECK, NEAR_TIP = 1.0, 1.0
"""cm from neck and shoulder tip that a strap keeps at least (common practice, no source)."""


def _on_the_shoulder(back: Draft, style: Mapping[str, float]) -> None:
    """Refuse a strap that crosses the shoulder too near the neck, where it rubs, or too near its tip."""
    shoulder = back["back shoulder"]
    inner, outer = (shoulder.meets(back[f"strap {side} side"]) for side in ("straight", "curved"))
    rule = ""
    if inner and inner[0] < NEAR_NECK:
        rule = f"lays the strap {inner[0]:.1f} cm from the neck, where it rubs"
    elif not inner or not outer:
        rule = "lays the strap beside the shoulder"
    elif outer[0] > shoulder.length - NEAR_TIP:
        left = shoulder.length - outer[0]
        rule = f"lays the strap {left:.1f} cm from the shoulder's tip, where it slips off"
    if rule:
        raise ValueAtFault("strap_from_centre", style["strap_from_centre"], rule)

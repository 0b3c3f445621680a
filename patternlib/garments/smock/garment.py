"""The throwing-room smock: a loose pull-on smock with set-in sleeves and a faced slit at the centre front.

It belongs to the same workwear family as the pinafore. The body is the bodice block with its bust dart
closed into fullness at the hem, the sleeve is the sleeve block, the collar stands or lies flat by choice.

Caution for lessons: a loose sleeve can be drawn in by a turning wheel or catch at a kiln door, so roll or
button it back clear of the wrist, and follow the workplace's own rules.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial

from ...alterations import NONE, Changes
from ...blocks.bodice import SHOULDER_ROOM, bodice_block
from ...blocks.sleeve import sleeve_block
from ...body import Body
from ...draft import Draft
from ...errors import ValueAtFault
from ...geometry import Move
from ...pieces import Piece, Seam, finish, seam, side_length, with_notches
from ..base import Garment, StyleValue, read_style
from ..leading import led
from ..marking import label_lines, labelled
from .pieces import body_pieces, collar_piece, facing_pieces, pocket_piece, sleeve_piece
from .plans import back_plan, collar_plan, front_plan, side_lean

STYLE = (
    StyleValue("length", "Length from the nape", 78, 65, 110, "It covers the lap, and clears the pedal."),
    StyleValue("bust_ease", "Ease round the bust", 20, 14, 36, "It is worn over other clothes.", 1),
    StyleValue("armhole_ease", "Armhole below the armpit", 4, 2.5, 8, "A raised arm must move freely."),
    StyleValue("dropped_shoulder", "Shoulder, longer by", 1, 0, 3, "A work sleeve is set a little low."),
    StyleValue("neck_ease", "Ease round the neck", 2, 1, 5, "A collar at work must not press."),
    StyleValue(
        "bust_dart", "Bust dart closed into the hem", 4, 2, 7,
        "A smaller one leaves the rest loose in the armhole; a man's block has none.",
    ),
    StyleValue("flare", "Flare of a quarter at the hem, at least", 5, 2, 12, "A step must not be hindered."),
    StyleValue(
        "slit", "Slit at the centre front", 18, 8, 28, "The head must pass.",
        within=lambda body, v: ((body.head_girth - body.neck_girth - v["neck_ease"] + PASSES) / 2 - 2, 28),
    ),
    StyleValue("facing", "Facing, width", 5, 4, 7, "It must not roll out."),
    StyleValue("collar", "Collar", 0, 0, 1, "Choose one of the two.", 1, "", choices=("Flat", "Stand")),
    StyleValue("collar_depth", "Flat collar, depth", 6.5, 4, 9, "A deeper one falls over the shoulder."),
    StyleValue("stand_height", "Stand collar, height", 3.5, 2.5, 5, "A higher one meets the chin."),
    StyleValue("sleeve_ease", "Ease round the upper arm", 9, 7, 20, "It goes over another sleeve.",
 within=lambda body, v: (7, 0.97 * (_armhole_for(body, v) + v["cap_ease"]) - body.upper_arm_girth - 2)),
    StyleValue("cap_ease", "Ease of the sleeve's cap", 1.5, 0.5, 4, "Firm cloth takes little ease.", 0.1),
    StyleValue(
        "sleeve_short", "Sleeve ends above the wrist by", 3, 0, 20, "A long one trails in the clay.",
        within=lambda body, v: (0, body.arm_length - v["dropped_shoulder"] - SLEEVE),
    ),
    StyleValue("wrist_ease", "Ease round the wrist", 10, 6, 18, "It must push up over the forearm."),
    StyleValue(
        "sleeve_hem", "Sleeve hem", 2.5, 1, 4, "It is turned twice; a curved end takes a narrow one.", 0.25,
        within=lambda body, v: (1, _deepest_sleeve_hem(body, v)),
    ),
    StyleValue(
        "pocket_width", "Pocket, width", 15, 11, 20, "A hand must go in.",
        within=lambda body, v: (11, _half_front(body, v) - v["pocket_from_centre"]),
    ),
    StyleValue(
        "pocket_depth", "Pocket, depth", 16, 11, 22, "A hand must go in.",
        within=lambda body, v: (11, _below_waist(body, v) - v["pocket_below_waist"]),
    ),
    StyleValue(
        "pocket_from_centre", "Pocket from the centre front", 5, 3, 10, "Nearer, the two pockets meet.",
        within=lambda body, v: (3, _half_front(body, v) - v["pocket_width"]),
    ),
    StyleValue(
        "pocket_below_waist", "Pocket below the waist", 6, 2, 14, "A bent arm must reach in.",
        within=lambda body, v: (2, _below_waist(body, v) - v["pocket_depth"]),
    ),
    StyleValue("hem", "Hem depth", 3, 1, 5, "A flared hem takes less than a straight one."),
)  # fmt: skip

SLEEVE = 30.0
"""cm; the shortest sleeve (common practice, no source)."""


STRETCHED = 1.4
"""cm that the raw edge of a sleeve's hem may be too short for where it lies: so much is stretched in pressing
(common practice, no source)."""


def _deepest_sleeve_hem(body: Body, v: Mapping[str, float]) -> float:
    """Up to which depth the hem lies flat, cm: both seams lean, and the end of the sleeve bends as much."""
    wide, wrist = body.upper_arm_girth + v["sleeve_ease"], body.wrist_girth + v["wrist_ease"]
    chord = 0.96 * (_armhole_for(body, v) + v["cap_ease"]) / 2
    cap = math.sqrt(max(chord**2 - (wide / 2) ** 2, 0.0))
    bend = 2 * math.atan2((wide - wrist) / 2, body.arm_length - cap)
    return STRETCHED / (2 * max(bend, 0.1))


def _armhole_for(body: Body, v: Mapping[str, float]) -> float:
    """Length of the whole armhole, cm, as far as the measures tell: fitted to drafts of simulated bodies."""
    return 1.24 * (body.armhole_depth + v["armhole_ease"]) + 0.32 * (body.bust_girth + v["bust_ease"]) - 18


def _half_front(body: Body, v: Mapping[str, float]) -> float:
    """Room for a pocket across half the front below the waist, cm, as far as the girths tell."""
    return (body.bust_girth + v["bust_ease"]) / 4 - 1.5


def _below_waist(body: Body, v: Mapping[str, float]) -> float:
    """Room for a pocket below the waist, cm, as far as the lengths tell."""
    return v["length"] - body.back_waist_length - v["hem"] - 3


PASSES = 2.0
"""cm that neck and slit together are larger than the head (common practice, no source)."""

ACROSS = 0.4
"""cm of back width and of chest width for each cm of bust ease beyond the block's 10: a loose body is wider
across as well as under the arm. A longer shoulder adds 1.5 for each cm, or the armhole would hook in below it
(common practice, no source)."""


INSIDE = (1.5, 1.5)
"""cm that the armhole of front and of back lies inside the shoulder's tip at most: further in it would hook
in below the tip and wave back to the side. Chest and back are widened for it (common practice, no source)."""


MAKING: Mapping[tuple[str, str] | str, str] = {
    "collar, outer edge": "Fuse the under collar first. Trim the seam to 4 mm, snip it where it is curved, "
    "cut the corners off; turn, roll the seam 1 mm to the under side, press, and topstitch at 5 mm.",
    "centre front": "Stop at the end of the slit and sew three stitches back. Press the seam open, and "
    "neaten both edges up to the neck.",
    "shoulder": "Neaten the edges as one, press them to the back and topstitch at 7 mm.",
    "side seam": "Neaten the edges as one and press them to the back.",
    "facing below the slit": "Fuse front facing and back facing first, wrong side. Press the seam open.",
    "facing shoulder": "Press these seams open, so that they do not show outside.",
    "sleeve underarm": "Neaten the edges as one and press them to the back.",
    "slit to facing": "Snip at the end of the slit to the last stitch, turn the facing in and press. Then "
    "turn it out again: the neckline is sewn next.",
    "collar to neckline": "Tack the collar on first, under collar on the right side, each end at the seam of "
    "the slit; the facing lies over it, right side down. Snip the neckline every "
    "1.5 cm to 2 mm from the seam, trim the layers to different widths, understitch the facing as far as the "
    "machine comes; turn it in, press, and topstitch slit and neck at 5 mm. Make a bar tack across the end "
    "of the slit: the head pulls there.",
    "sleeve to armhole": "Run two rows of long stitches over the cap, from notch to notch, and pull them up "
    "until it measures the armhole; no fullness lies below the notches. Sew from the sleeve's side, neaten "
    "the edges as one and press them to the sleeve.",
    ("pocket", "opening"): "Make a bar tack at both ends of the opening: a hand pulls there.",
    ("back facing", "outer edge"): "Snip it where it is curved, so that it lies flat.",
}
"""What is also done in a step of the making (common practice, no source)."""


def make_smock(
    body: Body, *, size: str = "", date: str = "", changes: Changes = NONE, **style: float
) -> Garment:
    """Draft, cut apart, finish and check the smock for one body.

    style: any of the values in STYLE, cm, and `collar`, 0 for a flat one or 1 for a stand; values that
    cannot be drawn together are refused with a ValueAtFault naming one of them. size, date: written on the
    pieces. changes: made to the bodice block after the toile.

    >>> from patternlib.body import chart
    >>> smock = make_smock(chart("course").body("12"), collar=1)
    >>> [piece.name for piece in smock.pieces]
    ['front', 'back', 'front facing', 'back facing', 'collar', 'sleeve', 'pocket']
    """
    asked = read_style(STYLE, style, changes.body(body))
    given = {name: asked[name] for name in style}
    v, drafts = led(STYLE, given, body, partial(_plans, body, changes))
    front, back, collar, sleeve = (
        drafts[name] for name in ("front plan", "back plan", "collar plan", "sleeve block")
    )
    cut = (
        *body_pieces(front, back, v), *facing_pieces(front, back, v), collar_piece(collar, v),
        sleeve_piece(sleeve, v), pocket_piece(front),
    )  # fmt: skip
    pieces = {piece.name: piece for piece in cut}
    seams = (*_seams(pieces, "along" if v["collar"] == 1 else "against"), _armhole(pieces, sleeve, v))
    about = label_lines("throwing-room smock", size, date, changes)
    return Garment(
        name="smock",
        body=body,
        style=v,
        given=given,
        drafts=drafts,
        pieces=tuple(finish(labelled(piece, about)) for piece in with_notches(pieces, seams).values()),
        seams=seams,
        size=size,
        making=MAKING,
        facts=changes.facts(),
        changes=changes,
    )


def _plans(
    body: Body, changes: Changes, given: Mapping[str, float]
) -> tuple[dict[str, float], dict[str, Draft]]:
    """(every style value, the drafts) for the values that were given."""
    v = read_style(STYLE, given, changes.body(body))
    if v["collar"] not in (0, 1):
        raise ValueAtFault("collar", v["collar"], "must be 0 (flat) or 1 (a stand collar)")
    bodice = changes.block(_loose_bodice(body, v))
    _refuse_shoulder_dart(bodice)
    side = side_lean(bodice, v)
    front, back = front_plan(bodice, v, side), back_plan(bodice, v, side)
    collar = collar_plan(bodice, v)
    _head_passes(body, collar, v)
    sleeve_length = body.arm_length - v["dropped_shoulder"] - v["sleeve_short"]
    if sleeve_length < SLEEVE:
        raise ValueAtFault("sleeve_short", v["sleeve_short"], "leaves too short a sleeve below the cap")
    sleeve = _sleeve(body, back, front, v, sleeve_length)
    return v, {
        "bodice block": bodice, "front plan": front, "back plan": back, "collar plan": collar,
        "sleeve block": sleeve,
    }  # fmt: skip


OF_SLEEVE = {
    "upper_arm_girth": ("sleeve_ease", "is too much for an upper arm of {:g} cm and this armhole"),
    "wrist_girth": ("wrist_ease", "makes the sleeve wider at a wrist of {:g} cm than at the upper arm"),
}
"""Measures that a sleeve block may name, each with the style value that is at fault, and why."""


def _sleeve(body: Body, back: Draft, front: Draft, v: Mapping[str, float], length: float) -> Draft:
    """The sleeve block; what it cannot draw is said of the smock's own style value."""
    try:
        return sleeve_block(
            body,
            back["armhole"],
            front["armhole"],
            cap_ease=v["cap_ease"],
            upper_arm_ease=v["sleeve_ease"],
            wrist_ease=v["wrist_ease"],
            length=length,
        )
    except ValueAtFault as fault:
        if fault.name == "length":
            raise ValueAtFault(
                "sleeve_short", v["sleeve_short"], "leaves too short a sleeve below the cap"
            ) from fault
        if fault.name not in OF_SLEEVE:
            raise
        name, rule = OF_SLEEVE[fault.name]
        raise ValueAtFault(name, v[name], rule.format(getattr(body, fault.name))) from fault


def _loose_bodice(body: Body, v: Mapping[str, float]) -> Draft:
    """The bodice block with a smock's ease; neck, shoulder, back and chest are drafted larger too."""
    across = ACROSS * (v["bust_ease"] - 10) + 1.5 * v["dropped_shoulder"]
    longer = 1 + v["dropped_shoulder"] / body.shoulder_length  # the dropped shoulder runs on in its slope
    larger = body.replace(
        neck_girth=body.neck_girth + v["neck_ease"],
        shoulder_length=body.shoulder_length * longer,
        shoulder_drop=SHOULDER_ROOM + (body.shoulder_drop - SHOULDER_ROOM) * longer,
        back_width=body.back_width + across,
        chest_width=body.chest_width + across,
    )
    draw = partial(
        bodice_block,
        bust_ease=v["bust_ease"],
        waist_ease=v["bust_ease"],
        armhole_ease=v["armhole_ease"],
        back_shoulder_ease=0.0,
        bust_dart=v["bust_dart"] if body.sex == "women" else 0.0,
    )
    bodice = draw(larger)
    wider = {
        f"{part}_width": getattr(larger, f"{part}_width") + 2 * (inside - most)
        for part, inside, most in zip(("chest", "back"), inside_tip(bodice), INSIDE, strict=True)
        if inside > most
    }
    return draw(larger.replace(**wider)) if wider else bodice


def inside_tip(bodice: Draft) -> tuple[float, float]:
    """How far chest point and back width point lie inside their shoulder tips, bust dart closed, cm."""
    closed = Move.turn(bodice["bust point"], -bodice["bust dart angle"])
    front = closed(bodice["chest point"]).x - closed(bodice["front shoulder tip"]).x
    return front, bodice["back shoulder tip"].x - bodice["back width point"].x


def _head_passes(body: Body, collar: Draft, v: Mapping[str, float]) -> None:
    short = body.head_girth + PASSES - 2 * collar["neckline length"] - 2 * v["slit"]
    if short > 0:
        raise ValueAtFault("slit", v["slit"], "is too short for the head to pass")


def _refuse_shoulder_dart(bodice: Draft) -> None:
    """A round upper back that needs a dart in the shoulder: the smock's is eased, and has none."""
    if "back shoulder dart leg" in bodice:
        over = bodice["back shoulder"].length - bodice["front neck point"].distance(
            bodice["shoulder tip, dart closed"]
        )
        rule = f"would make the smock's back shoulder {over:.1f} cm longer than the front one"
        raise ValueAtFault(
            "pinch",
            "a round upper back",
            rule,
            "It has no dart there: ease takes 1.3 cm. Take a smaller pinch.",
        )


def _seams(pieces: Mapping[str, Piece], collar: str) -> tuple[Seam, ...]:
    """Every pair of edges that is sewn, but for the armhole. Front notches single, back notches double.

    The back shoulder is eased onto the front one where it is longer.
    """
    eased = side_length(pieces, (("front", "shoulder"),)) - side_length(pieces, (("back", "shoulder"),))
    up, down, both = ("along", "along"), ("along", "against"), ("against", "against")
    neck = "back/neckline + front/neckline"
    notches, hem = ((0.25, 2), (0.7, 1)), (1.0, 1)  # the last where the hem is folded
    rows = (
        ("centre front", "front/centre front", "front/centre front", up, (0.0, 1), (1.0, 1)),
        ("shoulder", "front/shoulder", "back/shoulder", down, (0.4, 1)),
        ("side seam", "front/side", "back/side", down, (0.4, 1), hem),
        ("facing below the slit", "front facing/centre front", "front facing/centre front", up),
        ("facing shoulder", "front facing/shoulder", "back facing/shoulder", down),
        ("slit to facing", "front/slit", "front facing/slit", up, (0.6, 1)),
        ("collar, outer edge", "collar/outer edge", "collar/outer edge", up, (0.45, 1)),
        ("collar, front edge", "collar/front edge", "collar/front edge", up),
        ("collar to neckline", "collar/neck edge", neck, (collar, "against"), *notches),
        ("facing to neckline", "back facing/neckline + front facing/neckline", neck, both, *notches),
        ("sleeve underarm", "sleeve/front underarm", "sleeve/back underarm", down, (0.4, 1), (0.0, 1)),
    )
    return tuple(
        seam(pieces, n, a, b, walk=walk, notches=marks, ease=eased if n == "shoulder" else 0.0)
        for n, a, b, walk, *marks in rows
    )


def _armhole(pieces: Mapping[str, Piece], sleeve: Draft, v: Mapping[str, float]) -> Seam:
    """The sleeve walked into the armhole from the front underarm over the shoulder to the back underarm.

    Below the notches both sides are equally long, so the notches lie at one distance from the underarm.
    """
    cap = (("sleeve", "front cap"), ("sleeve", "back cap"))
    armhole = (("front", "armhole"), ("back", "armhole"))
    front, back = (sleeve[f"{part} notch from the underarm"] for part in ("front", "back"))
    ends = side_length(pieces, cap), side_length(pieces, armhole)
    notches = ((front, front, 1), (ends[0] - back, ends[1] - back, 2))
    return Seam("sleeve to armhole", cap, armhole, False, True, v["cap_ease"], notches)

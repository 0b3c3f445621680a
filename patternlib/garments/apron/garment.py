"""The glaze-day apron: a wrap apron with a shaped bib, crossed straps, side ties and a two-part pocket.

It belongs to the same workwear family as the pinafore and is drafted from the same blocks. The straps cross
the back, so that nothing hangs round the neck.

Caution for lessons: ties and straps that dangle can be caught by a turning wheel or touch a hot kiln, so knot
them short, tuck the ends in, and follow the workplace's own rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from ...alterations import NONE, Changes
from ...blocks.bodice import bodice_block
from ...blocks.skirt import skirt_block
from ...body import Body
from ...draft import Draft, Drafting
from ...errors import ValueAtFault
from ...geometry import Move
from ...pieces import finish, seam, with_notches
from ..aline import bodice_shift, dart_mouth, refuse_lean, refuse_waist, share_flare, write_quarter
from ..base import Garment, read_style
from ..leading import led
from ..marking import grained, label_lines, labelled
from ..pinafore.front import refuse_high_bib
from .making_up import FACED_BELOW, LAID_ON, MAKING, TIED, way_out
from .pieces import back_piece, front_pieces, pocket_piece, strip_pieces
from .style import BESIDE_POCKET, BIB_CURVE, HAND, HEM_BELOW_HIP, STYLE, shortest_tie


def make_apron(
    body: Body, *, size: str = "", date: str = "", changes: Changes = NONE, **style: float
) -> Garment:
    """Draft, cut apart, finish and check the apron for one body.

    style: any of the values in STYLE, cm; values that cannot be drawn together are refused with a
    ValueAtFault naming one of them. size, date: written on the pieces; changes: made after the toile.

    >>> from patternlib.body import chart
    >>> apron = make_apron(chart("course").body("12"))
    >>> [piece.name for piece in apron.pieces]
    ['front panel', 'bib facing', 'back panel', 'pocket', 'strap', 'tie']
    """
    asked = read_style(STYLE, style, changes.body(body))
    given = {name: asked[name] for name in style}
    v, drafts = led(STYLE, given, body, partial(_plans, body, changes))
    front, back, strips = (drafts[f"{name} plan"] for name in ("front", "back", "straps, ties and pocket"))
    cut = (*front_pieces(front, v), back_piece(back, v), pocket_piece(strips), *strip_pieces(strips))
    pieces = {piece.name: grained(piece) for piece in cut}
    long = pieces["front panel"].edge("side seam").curve.length
    opened = tuple(at / long for at in way_out(v))
    marks = (*((share, 1) for share in opened), (0.45, 1), (1.0, 1))  # the last where the hem is folded
    up, once = ("along", "along"), ((0.4, 1),)
    seams = (
        seam(pieces, "side seam", "front panel/side seam", "back panel/side seam", notches=marks),
        seam(pieces, "bib top to facing", "front panel/top", "bib facing/top", walk=up, notches=once),
        seam(
            pieces, "bib side to facing", "front panel/bib side", "bib facing/bib side", walk=up, notches=once
        ),
        seam(pieces, "tie to back panel", "tie/base", "back panel/tie seat", walk=("against", "along")),
    )
    about = label_lines("glaze-day apron", size, date, changes)
    return Garment(
        name="apron",
        body=body,
        style=v,
        given=given,
        drafts=drafts,
        pieces=tuple(finish(labelled(piece, about)) for piece in with_notches(pieces, seams).values()),
        seams=seams,
        size=size,
        making=MAKING,
        closings=(TIED,),
        left_open={"side seam": way_out(v)},
        facts=changes.facts(),
        changes=changes,
    )


def _plans(body: Body, changes: Changes, given: _Style) -> tuple[dict[str, float], dict[str, Draft]]:
    """(every style value, the drafts) for the values that were given."""
    v = changes.style(read_style(STYLE, given, changes.body(body)))
    _refuse(v["tie_length"] < shortest_tie(body, v), v, "tie_length", "does not reach round to a knot")
    length = v["skirt_length"]
    near = f"ends less than {HEM_BELOW_HIP:g} cm below the hip line"
    _refuse(length < body.waist_to_hip + HEM_BELOW_HIP, v, "skirt_length", near)
    skirt = skirt_block(
        body, length=length, hip_ease=v["hip_ease"], waist_ease=v["waist_ease"], one_dart=True
    )
    bodice = changes.block(bodice_block(body))
    mouths = (dart_mouth(skirt, "back"), dart_mouth(skirt, "front"))
    leans = changes.leans(skirt, *share_flare(mouths, length, body.waist_to_hip, v["flare"]))
    skirt = changes.block(skirt)
    front = _front_plan(skirt, bodice, v, leans[1])
    back = _back_plan(skirt, bodice, front, v, leans[0])
    drafts = {"skirt block": skirt, "bodice block": bodice, "front plan": front, "back plan": back}
    return v, drafts | {"straps, ties and pocket plan": _strips_plan(front, back, v)}


_Style = Mapping[str, float]


def _refuse(when: bool, v: Mapping[str, float], name: str, rule: str) -> None:
    if when:
        raise ValueAtFault(name, v[name], rule)


def _strap_on_shoulder(d: Drafting, bodice: Draft, shift: Move, part: str, tip: str, v: _Style) -> None:
    for name in (f"{part} neck point", tip):
        d.trace(name, shift(bodice[name]), f"the bodice block, {part}")
    d.trace("neckline", bodice[f"{part} neckline"].moved(shift), f"the bodice block, {part}")
    d.line("shoulder", f"{part} neck point", tip, style="block")
    away = v["strap_from_neck"]
    d.along("strap on the shoulder", f"{part} neck point", tip, away, source="strap from the neck")
    most = d["shoulder"].length - v["strap_width"] / 2 - 0.5
    _refuse(v["strap_from_neck"] > most, v, "strap_from_neck", "lets the strap slip off the shoulder")


def _front_plan(skirt: Draft, bodice: Draft, v: Mapping[str, float], lean: float) -> Draft:
    d = Drafting("front plan of the apron")
    write_quarter(d, skirt, "front", lean, below_hip=skirt["side below the hip"].length)
    refuse_lean(d, v["flare"])
    refuse_waist(d, v["hip_ease"])
    d.length("whole side", "side")
    half, inward = v["bib_top"] / 2, -d["side waist"].x - v["bib_top"] / 2
    rule = f"leaves {max(inward, 0):.1f} cm for the curve of the bib's side"
    _refuse(inward < BIB_CURVE, v, "bib_top", rule)
    refuse_high_bib(v["bib_height"], bodice["centre front neck"].y)
    d.go("bib top at centre front", "centre waist", "up", v["bib_height"], source="bib height")
    d.go("bib corner", "bib top at centre front", "left", half, source="half of the bib's top width")
    d.line("bib top", "bib top at centre front", "bib corner", style="style line")
    d.line("bib centre", "centre waist", "bib top at centre front", style="style line")
    bend = min(inward, 0.4 * v["bib_height"])
    d.go("bib curve inward", "side waist", "right", 0.7 * inward, source="0.7 of the way to the bib's corner")
    d.go("bib curve", "bib curve inward", "up", 0.8 * bend, source="for a round hollow under the arm")
    d.sum("bib foot, angle", {"waist end, angle": 1.0}, 180.0, source="square to the side, inward")
    bib_side, why = ["side waist", "bib curve", "bib corner"], "it runs on from the back's upper edge"
    d.curve("bib side", bib_side, start="bib foot, angle", style="style line", because=why)
    shift = bodice_shift(skirt, bodice, "front")
    _strap_on_shoulder(d, bodice, shift, "front", "shoulder tip, dart closed", v)
    d.go("strap on the bib", "bib corner", "right", v["strap_width"] / 2, source="half of the strap's width")
    d.line("strap line", "strap on the bib", "strap on the shoulder", style="style line")
    d.go("pocket top", "centre waist", "down", v["pocket_below_waist"], source="pocket below the waist")
    d.go("pocket corner", "pocket top", "left", v["pocket_width"] / 2, source="half of the pocket's width")
    d.go("pocket foot corner", "pocket corner", "down", v["pocket_depth"], source="pocket depth")
    d.add("pocket foot", "level", ("pocket foot corner", "pocket top"))
    d.line("pocket opening", "pocket top", "pocket corner", style="style line")
    d.line("pocket side", "pocket corner", "pocket foot corner", style="style line")
    d.line("pocket bottom", "pocket foot corner", "pocket foot", style="style line")
    level = d["side"].meets_line(d["pocket top"], d["pocket corner"])[0]
    edge = d["pocket corner"].x - d["side"].at(level).x
    _refuse(edge < BESIDE_POCKET, v, "pocket_width", f"leaves {max(edge, 0):.1f} cm beside the pocket")
    room = d["pocket foot"].y - d["centre hem"].y - v["hem"] - 3
    _refuse(room < 0, v, "pocket_depth", "comes too near the hem")
    below, rule = way_out(v)[1] + FACED_BELOW, "so that it reaches below the way out of the tie at the side"
    d.go("facing foot", "centre waist", "down", below, source=rule)
    d.add("facing at the side", "level on", ("side", "facing foot"))
    d.line("facing edge", "facing foot", "facing at the side", style="style line")
    return d.finish()


def _back_plan(skirt: Draft, bodice: Draft, front: Draft, v: Mapping[str, float], lean: float) -> Draft:
    d = Drafting("back plan of the apron")
    d.given("whole side", front["whole side"], source="side of the front")
    write_quarter(d, skirt, "back", lean, below_hip="carried over")
    refuse_waist(d, v["hip_ease"])
    for name in ("waist", "hem"):
        d.go(f"wrap {name}", f"centre {name}", "left", v["wrap"], source="wrap beyond the centre back")
        d.line(f"{name} beyond the centre", f"wrap {name}", f"centre {name}")
        d.add(f"wrapped {name}", "joined", (f"{name} beyond the centre", f"{name}line"), style="style line")
    d.line("back edge", "wrap waist", "wrap hem", style="style line")
    d.along("tie foot", "wrap waist", "wrap hem", v["tie_width"], source="width of the tie")
    d.line("tie seat", "wrap waist", "tie foot", style="style line")
    _strap_on_shoulder(d, bodice, bodice_shift(skirt, bodice, "back"), "back", "back shoulder tip", v)
    d.go("strap upright", "centre waist", "right", v["strap_from_centre"], source="strap from the centre")
    d.add("strap end", "upright crossing", ("waistline", "strap upright"))
    across = ("strap end", "centre waist", "centre hem")
    d.add("strap end of the other side", "mirror", across, because="the straps cross on the back")
    d.line("strap line", "strap on the shoulder", "strap end of the other side", style="style line")
    return d.finish()


def _strips_plan(front: Draft, back: Draft, v: Mapping[str, float]) -> Draft:
    """Strap, tie and pocket side by side, each a rectangle on the grain."""
    d = Drafting("straps, ties and pocket")
    d.given("strap in front", front["strap line"].length, source="from the bib to the shoulder")
    d.given("strap at the back", back["strap line"].length, source="from the shoulder to the other side")
    parts = {"strap in front": 1.0, "strap at the back": 1.0}
    d.sum("strap length", parts, 2 * LAID_ON, source="front + back + both ends laid on")
    x = 0.0
    for name, width, up in (
        ("strap", v["strap_width"], "strap length"),
        ("tie", v["tie_width"], v["tie_length"]),
        ("pocket", v["pocket_width"], v["pocket_depth"]),
    ):
        d.start(f"{name} corner 1", (x, 0.0))
        d.go(f"{name} corner 2", f"{name} corner 1", "right", width, source=f"{name} width")
        d.go(f"{name} corner 3", f"{name} corner 2", "up", up, source=f"{name} length")
        d.go(f"{name} corner 4", f"{name} corner 1", "up", up, source=f"{name} length")
        for k in range(1, 5):
            d.line(f"{name} edge {k}", f"{name} corner {k}", f"{name} corner {k % 4 + 1}", style="style line")
        x += width + 6
    for name, foot in (("division foot", "pocket corner 2"), ("division top", "pocket corner 3")):
        d.go(name, foot, "left", v["tool_part"], source="width of the tool part")
    d.line("division", "division foot", "division top", style="style line")
    rest = v["pocket_width"] - v["tool_part"]
    _refuse(rest < HAND, v, "tool_part", f"leaves {max(rest, 0):.1f} cm for a hand in the other part")
    return d.finish()

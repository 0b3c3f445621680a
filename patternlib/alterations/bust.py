"""A bust fuller or flatter, lower or higher than the draft, and an armhole that gapes.

Slashing and spreading as a method: New Mexico State University, Guide C-228. Length and width are changed
together and the dart opens wider: common practice, no source; as much length as width: from memory.
"""

from __future__ import annotations

import math

from ..blocks.bodice import length_over_bust
from ..draft import Draft
from ..errors import ValueAtFault
from ..geometry import Move, Point, direction, fair
from ..tolerances import SEAM
from .paper import Altered, Paper, solved
from .redrawn import armholes, tip_angle
from .waist_lines import closed_waist, darts, take_up

LEAST_ANGLE, MOST_ANGLE = 2.0, 50.0
"""degrees that a bust dart is left with at least, and opens at most (common practice, no source)."""

SHORTEST_DART = 4.0
"""cm of a waist dart that must be left (common practice, no source)."""


def fullness(block: Draft, amount: float) -> Altered:
    """A fuller bust: the front slashed through the bust point and spread by so many cm (less than 0:
    flatter).

    amount: on one side; the front gets as much length over the bust as width across it, and the bust dart
    opens wider. Neckline, shoulder, armhole and side seam keep their lengths, the waist its girth.

    >>> from patternlib.blocks import bodice_block
    >>> made = fullness(bodice_block("12"), 1)
    >>> round(made.after["bust line"].length - made.before["bust line"].length, 6)
    1.0
    """
    _refuse_undarted(block, amount)
    lift = 0.0
    for _ in range(6):
        made = _spread(block, amount, lift)
        over = length_over_bust(made.after) - length_over_bust(block) - amount
        if abs(over) < 1e-4:
            break
        lift += over
    return made


def _spread(block: Draft, amount: float, lift: float) -> Altered:
    """lift: how much the waist under the bust is raised, so that the length over the bust comes out, cm."""
    paper = Paper(block, "bodice for a fuller bust" if amount > 0 else "bodice for a flatter bust")
    underarm, bust, leg = (block.point(n) for n in ("underarm point", "bust point", "bust dart leg"))
    new_bust, new_leg = bust + Point(amount, amount / 2), leg + Point(amount, amount)
    outer, reach = block.point("bust dart leg 2"), new_leg.distance(new_bust)

    def over(turn: float) -> float:
        return Move.turn(underarm, turn)(outer).distance(new_bust) - reach

    turn = solved(over, -20.0, 20.0)
    across = Move.turn(underarm, turn)(outer) - new_bust
    angle = math.degrees(math.atan2((new_leg - new_bust).cross(across), (new_leg - new_bust).dot(across)))
    _refuse_angle(angle, amount)
    more = amount > 0
    paper.move(
        "centre front bust line", "right", amount,
        because="slashed from the bust dart through the bust point to the waist, the front is spread by "
        "so much"
        if more
        else "from the bust dart through the bust point to the waist so much is folded out",
    )  # fmt: skip
    paper.add(
        "centre front neck", "go", ("waist at centre front",),
        block.point("centre front neck").y + amount, way="up",
        source="front waist length, with what was pinched",
        because="across the front, from the centre to the underarm, the length changes as much",
    )  # fmt: skip
    for name, up, why in (
        ("front neck point", amount, "neck and shoulder go with the centre, up to the dart"),
        ("bust dart leg", amount, "it lies in the middle of the shoulder, as before"),
        ("bust point", amount / 2, "it lies in the middle of the changed length"),
    ):
        _moved(paper, name, amount, up, why)
    paper.old("chest point")
    paper.note(
        "bust dart angle", angle, source="measured on the new dart",
        because="the part under the shoulder turns about the underarm point until both legs are equal",
    )  # fmt: skip
    _opened(paper)
    paper.add(
        "chest point", "turn", ("chest point, before", "underarm point"), turn,
        because="the armhole turns with it",
    )  # fmt: skip
    paper.keep("side bust level", "foot of the leg")
    if lift:
        paper.move(
            "foot of the leg", "up", lift, source="", because="the length over the bust is trued at the waist"
        )  # fmt: skip
    armholes(paper, ("front",), length={"front": block.curve("front armhole").length})
    _refuse_armhole(paper, amount)
    _front_dart(paper, amount / 2)
    _back_darts(paper)
    for part in ("back", "front"):
        take_up(paper, part, closed_waist(block, part), because="the waist keeps its girth")
    return paper.finish()


def height(block: Draft, amount: float) -> Altered:
    """The bust point lowered by so many cm (less than 0: raised), as far from the centre as before.

    Both darts are drawn to the new point. The bust dart keeps its mouth.
    """
    paper = Paper(block, "bodice for a low bust" if amount > 0 else "bodice for a high bust")
    bust = block.point("bust point")
    low, high = 0.15 * block.point("nape").y, block.point("centre back bust line").y + 4
    if not low <= bust.y - amount <= high:
        raise ValueAtFault(
            "amount", amount, "brings the bust point too near the waist or the armhole",
            "Take a smaller amount.",
        )  # fmt: skip
    paper.move("bust point", "down", amount, because="the darts point at it")
    if "bust dart leg" in block:
        leg = block.point("bust dart leg")
        mouth, reach = (
            leg.distance(block.point("bust dart leg 2")),
            leg.distance(paper.now.point("bust point")),
        )
        angle = math.degrees(2 * math.asin(mouth / 2 / reach))
        _refuse_angle(angle, amount)
        paper.note(
            "bust dart angle", angle, source="mouth of the dart as before",
            because="the legs are drawn to the new point, both equally long",
        )  # fmt: skip
        _opened(paper)
        paper.keep("chest point")
    paper.keep("foot of the leg")
    if "bust dart leg" in block:
        armholes(paper, ("front",), length={"front": block.curve("front armhole").length})
    _front_dart(paper, -amount)
    _back_darts(paper)
    return paper.finish()


def gaping_armhole(block: Draft, amount: float) -> Altered:
    """A front armhole that gapes: so many cm folded out of it, running out at the bust point.

    The fold is closed and the bust dart opens by the same angle; sewn, the shoulder stays as it is.
    """
    _refuse_undarted(block, amount)
    bust, armhole = block.point("bust point"), block.curve("front armhole")
    fold = armhole.closest(block.point("chest point"))[0]
    if not amount < 0.5 * min(fold, armhole.length - fold):
        raise ValueAtFault("amount", amount, "is too much for one fold", "Take a smaller amount.")
    upper, lower = armhole.at(fold - amount / 2), armhole.at(fold + amount / 2)
    turn = (lower - bust).angle - (upper - bust).angle
    angle = block.number("bust dart angle") + turn
    _refuse_angle(angle, amount)
    paper = Paper(block, "bodice with its armhole taken in")
    paper.old("front armhole")
    paper.add(
        "upper end of the fold", "on", ("front armhole, before",), fold - amount / 2,
        source="half of what was pinched above the chest point",
    )  # fmt: skip
    paper.add(
        "lower end of the fold", "on", ("front armhole, before",), fold + amount / 2,
        source="half of it below the chest point",
    )  # fmt: skip
    paper.add(
        "upper end, closed", "turn", ("upper end of the fold", "bust point"), turn,
        because="the fold runs out at the bust point",
    )  # fmt: skip
    paper.note(
        "bust dart angle", angle, source="opened by the angle of the fold",
        because="the paper over the fold has been turned as far",
    )  # fmt: skip
    _opened(paper)
    paper.add("middle of the closed fold", "middle", ("upper end, closed", "lower end of the fold"))
    out = _outward(paper, bust, armhole.length - amount)
    paper.add(
        "chest point", "go", ("middle of the closed fold",), out,
        way=(paper.d["middle of the closed fold"] - bust).angle, source="away from the bust point",
        because="the armhole is drawn flatter across the closed fold, until it measures what is left",
    )  # fmt: skip
    armholes(paper, ("front",))
    return paper.finish()


def _moved(paper: Paper, name: str, right: float, up: float, why: str) -> None:
    """Mark a point of the front so far to the right and up of its old place (less than 0: left and down)."""
    paper.old(name)
    side, way = ("right", "up") if right > 0 else ("left", "down")
    paper.add(f"{name}, beside", "go", (f"{name}, before",), abs(right), way=side, source="pinched")
    source = "pinched" if up == right else "half of what was pinched"
    paper.add(name, "go", (f"{name}, beside",), abs(up), way=way, source=source, because=why)


def _opened(paper: Paper) -> None:
    """Open the bust dart by its angle: its second leg and the shoulder outside it."""
    paper.add(
        "bust dart leg 2", "turn", ("bust dart leg", "bust point"), "bust dart angle",
        because="both legs are then equally long",
    )  # fmt: skip
    paper.add(
        "front shoulder tip", "turn", ("shoulder tip, dart closed", "bust point"), "bust dart angle",
        because="the outer part of the shoulder turns with it",
    )  # fmt: skip


def _outward(paper: Paper, bust: Point, length: float) -> float:
    """How far the armhole passes outside the middle of its closed fold, so that it is so long, cm."""
    now, middle = paper.now, paper.d["middle of the closed fold"]
    tip, underarm = now.point("front shoulder tip"), now.point("underarm point")
    start, away = direction(tip_angle(now, "front") + 90), (middle - bust).unit()

    def over(cm: float) -> float:
        return fair([tip, middle + away * cm, underarm], start=start, end=Point(-1, 0)).length - length

    out = solved(over, -1.0, 2.5)
    if abs(over(out)) > 1e-6:
        raise ValueAtFault("amount", "the pinch", "is too much for one fold", "Take a smaller amount.")
    return out


def _front_dart(paper: Paper, up: float) -> None:
    """The first front waist dart ends as far below the bust point as before."""
    for name in darts(paper.before, "front")[:1]:
        point = paper.before.point(f"{name} point")
        if point.y + up < SHORTEST_DART:
            raise ValueAtFault(
                "amount", abs(up), f"leaves a waist dart {point.y + up:.1f} cm long", "Take a smaller amount."
            )
        paper.dart_point(name, up=up, because="it ends as far below the bust point as before")


def _back_darts(paper: Paper) -> None:
    """A back dart that would end above a lowered bust point ends at its level."""
    bust = paper.now.point("bust point").y
    for name in darts(paper.before, "back"):
        above = paper.before.point(f"{name} point").y - bust
        if above > 0 and bust < paper.before.point("bust point").y:
            paper.dart_point(name, up=-above, because="above the bust line it would take width from the bust")


def _refuse_undarted(block: Draft, amount: float) -> None:
    if "bust dart leg" not in block:
        raise ValueAtFault(
            "amount", amount, "needs a bust dart, and this block has none",
            "Change the girth at the bust instead.",
        )  # fmt: skip


def _refuse_armhole(paper: Paper, amount: float) -> None:
    """An armhole that no fair curve draws as long as it was."""
    off = paper.now.curve("front armhole").length - paper.before.curve("front armhole").length
    if abs(off) > SEAM:
        way = "longer" if off > 0 else "shorter"
        raise ValueAtFault(
            "amount", amount, f"would make the front armhole {abs(off):.2f} cm {way}",
            "Take a smaller amount, sew a new toile and look again.",
        )  # fmt: skip


def _refuse_angle(angle: float, amount: float) -> None:
    if not LEAST_ANGLE <= angle <= MOST_ANGLE:
        raise ValueAtFault(
            "amount", amount, f"gives a bust dart of {angle:.0f} degrees", "Take a smaller amount."
        )

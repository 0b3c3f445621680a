"""Shoulders squarer or more sloping, an upper back round or erect, a back hollow above the waist.

The signs and their corrections: Washington State University Extension, E.M. 2246 (shoulders); Montana State
College Extension, bulletin 265 (round shoulders); US Department of Agriculture, Fitting Dresses (erect
figure).
How far each line follows is common practice, no source.
"""

from __future__ import annotations

import math

from ..draft import Draft
from ..errors import ValueAtFault
from ..geometry import Move, Point
from .paper import Altered, Paper, solved
from .redrawn import armholes, necklines
from .waist_lines import closed_waist, darts, take_up

SLOPES = (1.0, 36.0)
"""degrees; a shoulder that slopes less or more is taken for another fault (common practice, no source)."""

MOST_EASE = 1.3
"""cm that a back shoulder may be longer than the front one and be eased [Browne 1911]."""


def shoulder(block: Draft, amount: float) -> Altered:
    """Square shoulders: both tips and the whole armhole raised by so many cm (less than 0: sloping ones).

    The shoulders keep their length, the armholes their size.

    >>> from patternlib.blocks import bodice_block
    >>> made = shoulder(bodice_block("12"), 1)
    >>> round(made.after["back shoulder tip"].y - made.before["back shoulder tip"].y, 6)
    1.0
    """
    paper = Paper(block, "bodice for square shoulders" if amount > 0 else "bodice for sloping shoulders")
    way = "up" if amount > 0 else "down"
    _refuse_slope(block, amount)
    for part, tip, side in (
        ("back", "back shoulder tip", "right"),
        ("front", "shoulder tip, dart closed", "left"),
    ):
        long = block.point(f"{part} neck point").distance(block.point(tip))
        paper.old(tip)
        paper.add(
            f"{part} tip level", "go", (f"{tip}, before",), abs(amount), way=way,
            source="what each tip is moved"
        )  # fmt: skip
        paper.add(
            tip, "swing", (f"{part} neck point", f"{part} tip level"), long, side=side,
            source="length of the shoulder", because="the shoulder turns at the neck and keeps its length",
        )  # fmt: skip
    why = "the armhole is moved as much as the tip and keeps its size"
    for name in ("back width point", "chest point, dart closed", "underarm point"):
        paper.move(name, "up", amount, source="as much", because=why)
    if paper.now["underarm point"].y - paper.now["side bust level"].y < 0.5:
        raise ValueAtFault("amount", amount, "leaves no side seam under the arm", "Take a smaller amount.")
    necklines(paper)
    armholes(paper, length={part: block.curve(f"{part} armhole").length for part in ("back", "front")})
    return paper.finish()


def _refuse_slope(block: Draft, amount: float) -> None:
    for part, tip in (("back", "back shoulder tip"), ("front", "shoulder tip, dart closed")):
        neck, at = block.point(f"{part} neck point"), block.point(tip)
        slope = math.degrees(math.asin(max(-1.0, min(1.0, (neck.y - at.y - amount) / neck.distance(at)))))
        if not SLOPES[0] <= slope <= SLOPES[1]:
            raise ValueAtFault(
                "amount", amount, f"gives the {part} shoulder a slope of {slope:.0f} degrees",
                "Take a smaller amount and look at the toile again.",
            )  # fmt: skip


def round_back(block: Draft, amount: float) -> Altered:
    """A round upper back: slashed across the blades, the centre back raised by so many cm.

    The paper above the slash turns about the armhole; the centre back is ruled straight again, and the
    shoulder,
    now too long, gets a dart over the blade where more than 1.3 cm would have to be eased.

    >>> from patternlib.blocks import bodice_block
    >>> made = round_back(bodice_block("12"), 1)
    >>> round(made.after["nape"].y - made.before["nape"].y, 6)
    1.0
    """
    if "back shoulder dart leg" in block:
        raise ValueAtFault("amount", amount, "is a second one for the upper back", "Take it in one change.")
    paper = Paper(block, "bodice for a round upper back")
    hinge = block.point("back width point")
    turn = math.degrees(math.asin(amount / hinge.x))
    front = block.point("front neck point").distance(block.point("shoulder tip, dart closed"))
    long = block.curve("back shoulder").length
    paper.old("back shoulder tip")
    paper.add("blade level", "level", ("back width point", "waist at centre back"))
    paper.d.line(
        "slash", "blade level", "back width point", because="the cloth is too short across the blades"
    )  # fmt: skip
    paper.keep("centre back bust line", "back width point")
    paper.move("nape", "up", amount, because="the slash opens by so much at the centre back")
    paper.add(
        "back neck point", "go", ("nape",), block.point("nape").distance(block.point("back neck point")),
        way=(block.point("back neck point") - block.point("nape")).angle, source="as before",
        because="the neck goes up with the nape, and the centre back stays straight",
    )  # fmt: skip
    paper.add(
        "back shoulder tip", "turn", ("back shoulder tip, before", "back width point"), -turn,
        because="the outer part turns about the armhole",
    )  # fmt: skip
    neck, tip = paper.now.point("back neck point"), paper.now.point("back shoulder tip")
    if neck.distance(tip) - front > MOST_EASE:
        _shoulder_dart(paper, long, neck, tip, hinge.y)
    necklines(paper, ("back",))
    armholes(paper, ("back",), length={"back": block.curve("back armhole").length})
    return paper.finish()


def _shoulder_dart(paper: Paper, long: float, neck: Point, tip: Point, level: float) -> None:
    """A dart from the middle of the shoulder down to the blade; sewn, the shoulder is straight and `long`."""
    d = paper.d
    paper.add("middle of the shoulder", "middle", ("back neck point", "back shoulder tip"))
    end = Point(d["middle of the shoulder"].x, level)
    paper.add(
        "back shoulder dart point", "go", ("middle of the shoulder",), d["middle of the shoulder"].y - level,
        way="down", style="block", because="the dart ends over the blade, at the level of the slash",
    )  # fmt: skip
    angle = solved(lambda a: neck.distance(Move.turn(end, a)(tip)) - long, 0.0, 30.0)
    d.sum(
        "shoulder dart, angle", {}, angle, source="so that the sewn shoulder is as long as before"
    )  # fmt: skip
    d.add(
        "shoulder tip, closed",
        "turn",
        ("back shoulder tip", "back shoulder dart point"),
        "shoulder dart, angle",
    )
    d.add("back shoulder dart leg", "middle", ("back neck point", "shoulder tip, closed"), style="block")
    d.sum("shoulder dart, opening angle", {"shoulder dart, angle": -1.0}, source="opened again")
    d.add(
        "back shoulder dart leg 2", "turn", ("back shoulder dart leg", "back shoulder dart point"),
        "shoulder dart, opening angle", style="block",
    )  # fmt: skip
    for n, leg in enumerate(("back shoulder dart leg", "back shoulder dart leg 2"), 1):
        d.line(f"back shoulder dart, line {n}", leg, "back shoulder dart point", style="block")
    paper.add(
        "back shoulder, neck part", "line", ("back neck point", "back shoulder dart leg"), style="block"
    )
    paper.add(
        "back shoulder, armhole part",
        "line",
        ("back shoulder dart leg 2", "back shoulder tip"),
        style="block",
    )


def erect_back(block: Draft, amount: float) -> Altered:
    """An erect back: the shoulder seam of the back taken up by so many cm at the neck.

    The nape goes down as much; the shoulder is ruled to the old tip and keeps its length.
    """
    paper = Paper(block, "bodice for an erect back")
    long = block.curve("back shoulder").length
    paper.keep("centre back bust line")
    paper.old("back shoulder tip")
    paper.move("nape", "down", amount, because="the back is too long between nape and blades")
    paper.move("back neck point", "down", amount, because="it is taken up at the neck end of the shoulder")
    paper.add(
        "back shoulder tip", "along", ("back neck point", "back shoulder tip, before"), long,
        source="length of the shoulder", because="the shoulder keeps its length",
    )  # fmt: skip
    necklines(paper, ("back",))
    armholes(paper, ("back",), length={"back": block.curve("back armhole").length})
    return paper.finish()


def hollow_above_waist(block: Draft, amount: float) -> Altered:
    """A hollow back: so many cm folded out across the back above the waist, running out at the side."""
    paper = Paper(block, "bodice for a hollow back")
    paper.keep(
        "nape", "centre back bust line", "waist at centre front", "side waist level", "side bust level",
        "bust point upright", "centre front neck", *(f"{name} point" for name in darts(block, "front")),
    )  # fmt: skip
    paper.move(
        "waist at centre back", "up", amount, because="the fold is deepest at the centre back"
    )  # fmt: skip
    for name in darts(block, "back"):
        paper.dart_point(name, up=-amount, because="the dart still ends where it did")
    for part in ("back", "front"):
        take_up(paper, part, closed_waist(block, part), because="the waist keeps its girth")
    return paper.finish()

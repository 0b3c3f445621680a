"""Alterations at the waist and the side of a skirt: seat, abdomen, hollow back, higher hip, side seam.

The ways of working are common practice, from memory; small changes are made at the edge, larger ones by
slashing and spreading: New Mexico State University, Guide C-228.
"""

from __future__ import annotations

import math

from ..draft import Draft
from ..errors import ValueAtFault
from .paper import Altered, Paper
from .waist_lines import LEAST_MOUTH, PARTS, closed_waist, darts, mouths, take_up

WIDTH = 0.5
"""Width given over seat or abdomen for each cm of length (common practice, from memory)."""


def seat(block: Draft, amount: float) -> Altered:
    """A fuller seat: the waist is raised by so many cm at the centre back and the back is made wider.

    Half as much width as length is spread from the dart to the hem; the dart takes it up at the waist. A flat
    seat is less than 0: the same folded out.

    >>> from patternlib.blocks import skirt_block
    >>> full = seat(skirt_block("12"), 1)
    >>> full.after["centre back waist"].y, round(full.after["side hip"].x - full.before["side hip"].x, 6)
    (0.0, 0.5)
    """
    paper = Paper(block, "skirt for a full seat" if amount > 0 else "skirt for a flat seat")
    paper.move(
        "centre back waist", "up", amount,
        because="the back is too short over the seat" if amount > 0 else "the back is too long over the seat",
    )  # fmt: skip
    width = WIDTH * amount if darts(block, "back") else 0.0
    if width:
        paper.move(
            "side hip", "right", width, source="half of what was pinched",
            because="slashed from the dart to the hem, the back is spread by so much"
            if width > 0
            else "from the dart to the hem so much is folded out",
        )  # fmt: skip
        paper.move("centre front hip", "right", width, because="the front lies beside the back")
        paper.add("side hem", "level", ("centre back hem", "side hip"))
    for part in PARTS:
        take_up(
            paper, part, closed_waist(block, part), because="the dart takes it up, the waist keeps its girth"
        )
    return paper.finish()


def hollow_back(block: Draft, amount: float) -> Altered:
    """The waist of a skirt lowered by so many cm at the centre back, running out at the side."""
    paper = Paper(block, "skirt for a hollow back")
    paper.move("centre back waist", "down", amount, because="the folds below the waist are cut away")
    for part in PARTS:
        take_up(paper, part, closed_waist(block, part), because="the waist keeps its girth")
    return paper.finish()


def abdomen(block: Draft, amount: float) -> Altered:
    """A full abdomen: the waist raised by so many cm at the centre front, the front darts let out.

    The darts give half as much as the waist is raised, as far as they can; the waist of the front grows
    by it.

    >>> from patternlib.blocks import skirt_block
    >>> made = abdomen(skirt_block("12"), 1).after
    >>> made["waist at centre front"].y
    1.0
    """
    paper = Paper(block, "skirt for a full abdomen")
    paper.move("waist at centre front", "up", amount, because="the front is too short over the abdomen")
    least = (LEAST_MOUTH + 0.2) * len(darts(block, "front"))
    given = min(WIDTH * amount, max(mouths(block, "front") - least, 0.0))
    take_up(
        paper, "front", closed_waist(block, "front") + given,
        because="a smaller dart leaves the cloth over the abdomen",
    )  # fmt: skip
    return paper.finish()


def higher_hip(block: Draft, amount: float) -> Altered:
    """The half with the higher hip: the waist raised by so many cm at the side, running out at the
    centres."""
    paper = Paper(block, "skirt, the side with the higher hip")
    for part in PARTS:
        paper.move(
            f"{part} side waist", "up", amount,
            because="this hip is higher, and the other half stays as it is",
        )  # fmt: skip
    for part in PARTS:
        take_up(paper, part, closed_waist(block, part), because="the waist keeps its girth")
    return paper.finish()


STEEPEST = 4.0
"""degrees; a side seam that must lean more belongs to a full abdomen or seat (common practice, no source)."""


def swing(block: Draft, amount: float) -> Altered:
    """Move flare from one quarter to the other: the foot of the side seam by so many cm toward the back.

    amount: how far the foot of the seam hangs in front of the plumb line, less than 0: behind it.
    """
    drop = block["side hip"].y - block["side hem"].y
    lean = math.degrees(math.atan2(amount, drop))
    if abs(lean) > STEEPEST:
        raise ValueAtFault(
            "amount", amount, "is too much for this seam",
            f"Take {drop * math.tan(math.radians(STEEPEST)):.1f} cm at most, and look at abdomen and seat "
            "first.",
        )  # fmt: skip
    paper = Paper(block, "skirt with its side seam set upright")
    paper.move(
        "side hem", "left", amount, because="the plumb line from the hip is the new seam, for both quarters"
    )
    seam = 90.0 - lean
    why = "the hem stands square on the seam"
    paper.draw("back hem", ["centre back hem", "side hem"], start="right", end=seam - 90, because=why)
    paper.draw("front hem", ["side hem", "centre front hem"], start=seam - 90, end="right", because=why)
    for part in PARTS:
        curve = block.curve(f"{part} hip curve")
        paper.draw(
            f"{part} hip curve", ["side hip", f"{part} side waist"], start=seam,
            end=curve.end_direction.angle, length=curve.length, because="the side runs straight into it",
        )  # fmt: skip
    return paper.finish()

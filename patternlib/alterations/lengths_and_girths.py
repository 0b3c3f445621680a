"""Length across the piece at a lengthening line, girth shared between the seams.

Both ways of working: Central Washington University, costume text, ch. 17 (length at a lengthening line, girth
shared between the seams, seams trued afterwards).
"""

from __future__ import annotations

from ..draft import Draft
from ..errors import ValueAtFault
from .paper import Altered, Paper
from .waist_lines import PARTS, closed_waist, darts, is_skirt, take_up

NARROWEST = 2.0
"""cm of armhole beside back width and chest that must be left (common practice, no source)."""


def length(block: Draft, amount: float) -> Altered:
    """Lengthen a skirt below the hip, or a bodice between armhole and waist, by so many cm (less: shorten).

    >>> from patternlib.blocks import skirt_block
    >>> round(length(skirt_block("12"), 3).after.curve("centre back").length, 2)
    62.0
    """
    return _skirt_length(block, amount) if is_skirt(block) else _bodice_length(block, amount)


def _skirt_length(block: Draft, amount: float) -> Altered:
    paper = Paper(block, "skirt, lengthened" if amount > 0 else "skirt, shortened")
    if block["side hip"].y - (block["side hem"].y - amount) < 5:
        raise ValueAtFault("amount", amount, "leaves no skirt below the hip", "Take a smaller amount.")
    paper.move(
        "centre back hem", "down", amount,
        because="cut across below the hip line, the paper is moved apart as far everywhere",
    )  # fmt: skip
    paper.add("side hem", "level", ("centre back hem", "side hip"))
    paper.add("centre front hem", "level", ("centre back hem", "waist at centre front"))
    return paper.finish()


def _bodice_length(block: Draft, amount: float) -> Altered:
    paper = Paper(block, "bodice, lengthened" if amount > 0 else "bodice, shortened")
    short = block["side bust level"].y + amount
    if short < 2.5 or block["underarm point"].y + amount < 6:
        raise ValueAtFault(
            "amount", amount, "leaves no side seam under the arm", "Take a smaller amount."
        )  # fmt: skip
    middle = 0.5 * block["underarm point"].y
    paper.lay("waist at centre back")
    paper.d.go(
        "centre back lengthening", "waist at centre back", "up", middle,
        source="half-way to the underarm point",
    )  # fmt: skip
    paper.add("centre front lengthening", "level", ("centre back lengthening", "waist at centre front"))
    paper.d.line(
        "lengthening line", "centre back lengthening", "centre front lengthening",
        because="above and below it both pieces stay as they are",
    )  # fmt: skip
    paper.keep("foot of the leg", "waist under the bust")
    why = "the paper above the lengthening line is moved as one"
    paper.move("nape", "up", amount, because=why)
    paper.move("centre front neck", "up", amount, because=why)
    paper.move("centre back bust line", "up", amount)
    paper.move("bust point", "up", amount)
    paper.move("underarm point", "up", amount)
    paper.move("side bust level", "up", amount)
    for part in PARTS:
        for name in darts(block, part):
            paper.dart_point(name, up=amount, because="the dart is as much longer as the piece")
    for part in PARTS:
        take_up(paper, part, closed_waist(block, part), because="the waist keeps its girth")
    return paper.finish()


def girth(block: Draft, amount: float, *, at: str) -> Altered:
    """Let out (less: take in) a block at its side seams, so many cm all round the body.

    at: 'waist', 'hip' or 'bust', where the seam runs back to its old line at the other end; or 'all the way'.
    Each of the four edges of the side seams takes a quarter; the darts stay.

    >>> from patternlib.blocks import skirt_block
    >>> made = girth(skirt_block("12"), 2, at="hip")
    >>> round(made.after["hip line"].length - made.before["hip line"].length, 6)
    1.0
    """
    upper = at in ("hip", "bust", "all the way")
    waist = at in ("waist", "all the way")
    quarter = amount / 4
    words = "let out" if amount > 0 else "taken in"
    paper = Paper(block, f"{'skirt' if is_skirt(block) else 'bodice'}, {words} at the side seams")
    why = "the girth is shared between the four edges of the side seams"
    out, inward = (quarter if upper else 0.0), (quarter if waist else 0.0)
    if is_skirt(block):
        if upper:
            paper.move("side hip", "right", out, because=why)
            paper.move(
                "centre front hip", "right", 2 * out, because="the front lies beside the wider back"
            )  # fmt: skip
            paper.add("side hem", "level", ("centre back hem", "side hip"))
    elif upper:
        paper.move("underarm point", "right", out, because=why)
        paper.move(
            "centre front bust line", "right", 2 * out, because="the front lies beside the wider back"
        )  # fmt: skip
        _refuse_narrow(paper.now, amount)
    shaping = block.number("side shaping") + out - inward
    _refuse_side(shaping, amount)
    if abs(out - inward) > 1e-9:
        paper.note(
            "side shaping", shaping, source="side shaping of the block, with what was pinched",
            because="the other end of the seam stays where it is",
        )  # fmt: skip
    for part in PARTS:
        take_up(
            paper, part, closed_waist(block, part) + inward,
            because="the darts stay as wide as they are, but for the trueing of the waist",
        )  # fmt: skip
    return paper.finish()


def _refuse_narrow(block: Draft, amount: float) -> None:
    underarm = block["underarm point"].x
    room = min(underarm - block["back width point"].x, block["chest point"].x - underarm)
    if room < NARROWEST:
        raise ValueAtFault(
            "amount", amount, f"leaves {room:.1f} cm of armhole under the arm",
            "Take a smaller amount, or take back and chest narrower too.",
        )  # fmt: skip


def _refuse_side(shaping: float, amount: float) -> None:
    if not -6 <= shaping <= 8:
        raise ValueAtFault(
            "amount", amount, f"gives a side seam that leans by {shaping:.1f} cm",
            "Take a smaller amount at the side and the rest at the darts.",
        )  # fmt: skip

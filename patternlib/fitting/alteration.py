"""A board of the fitting: a sign and its pinch, the paper before and after, the pieces that change."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from ..alterations import NONE, SIGNS, Altered, Change, Changes, agreement
from ..blocks import bodice_block, skirt_block
from ..boards.board import Board
from ..boards.picture import BoardStep, Picture
from ..boards.slider import Slider, choice
from ..body import Body
from ..checking import Finding
from ..draft import Draft
from ..garments import make
from ..garments.base import Garment
from ..garments.both_sides import changed_pieces
from ..moves import block_outline
from ..output.items import Stroke, curve_path
from ..output.scene import piece_scene, replayed, side_by_side
from ..output.scene.landmarks import sign_scene
from ..units import in_unit
from .before_after import alteration_scene

BESIDE = 8.0
"""cm between the sign on the body and the paper."""

MOST = 4.0
"""cm; the pinch that the slider reaches. Larger ones are made in two fittings."""


def alteration_board(
    body: Body, *, sign: str = "", pinch: float = 1.0, garment: str = "", changes: Changes = NONE
) -> Board:
    """A live board: choose a sign and a pinch, see it on the body, and the blocks before and after.

    sign, pinch: what it starts with; garment: 'pinafore', 'apron' or 'smock', whose changed pieces are named
    (and drawn where no block changes); changes: what was changed before, so that the blocks start from it.

    >>> board = alteration_board(Body(bust_girth=88, waist_girth=68, hip_girth=94), sign="full seat")
    >>> board.draw().findings[-1].text
    'every seam was walked again: side seams, shoulders and darts agree, and all corners are square.'
    """
    names = [one.name for one in SIGNS if garment or one.bodice or one.skirt]
    sliders = [
        choice("sign", "Sign on the body", names, start=names.index(sign) if sign else 0),
        Slider("pinch", "Pinched", 0.2, MOST, 0.1, pinch, "cm", "What you pinned and measured, in all."),
    ]
    blocks = [changes.block(bodice_block(body, one_dart=True)), changes.block(skirt_block(body))]

    def change(values: Mapping[str, float]) -> Change:
        return Change(names[round(values["sign"])], round(values["pinch"], 3))

    def redraw(values: Mapping[str, float], unit: str = "cm") -> Picture:
        now = change(values)
        made = _made(now, blocks)
        found = _said(now, unit)
        pieces: list[str] = []
        if garment:
            before, after = (_garment(garment, body, sheet) for sheet in (changes, changes.add(now)))
            pieces = changed_pieces(before, after)
            found.append(_note("pieces", _pieces_said(garment, pieces)))
        if made:
            scene = alteration_scene(made, side=now.of.side, unit=unit, title=now.sign)
            wrong = [finding for altered in made for finding in agreement(altered.after)]
            found += wrong or [_note("seams", ALL_AGREES, "right")]
        else:
            shown = [after[name] for name in pieces[:3]] or list(after.pieces[:1])
            scene = side_by_side(
                *(piece_scene(p, unit=unit, lettering="screen") for p in shown), title=now.sign
            )
        return Picture(side_by_side(sign_scene(now.sign), scene, title=now.sign, gap=BESIDE), found)

    def steps(values: Mapping[str, float], unit: str = "cm") -> Sequence[BoardStep]:
        made = _made(change(values), blocks)
        moves = (step for altered in made for step in replayed(altered.moves, unit=unit))
        return (_as_it_is(made), *(BoardStep(*step) for step in moves)) if made else ()

    return Board(
        redraw, sliders, title="From the sign to the paper", steps=steps, notes=7,
        hidden=("start",),  # the block as it was is drawn already, and the halves stand as wide as they are
    )  # fmt: skip


ALL_AGREES = "every seam was walked again: side seams, shoulders and darts agree, and all corners are square."


def _as_it_is(made: Sequence[Altered]) -> BoardStep:
    """The first step: what the moves are done on."""
    return BoardStep(
        "The block as it is, before the change.",
        tuple(
            Stroke(curve_path(edge), "block", "blocks", "", name)
            for altered in made for part in ("back", "front")
            for name, edge in block_outline(altered.before, part)
        ),
    )  # fmt: skip


def _made(change: Change, blocks: Sequence[Draft]) -> list[Altered]:
    found = (change.of.altered(block, change.pinch) for block in blocks)
    return [altered for altered in found if altered is not None]


def _note(where: str, text: str, severity: str = "note") -> Finding:
    return Finding(100, severity, where, None, None, None, text)


def _said(change: Change, unit: str) -> list[Finding]:
    of = change.of
    rows = (("you see", of.seen), ("because", of.cause), ("pin", of.pinch), ("on the paper", of.paper))
    return [_note(where, in_unit(text, unit)) for where, text in rows]


@lru_cache(8)
def _garment(name: str, body: Body, changes: Changes) -> Garment:
    return make(name, body, changes=changes)


def _pieces_said(garment: str, pieces: Sequence[str]) -> str:
    if not pieces:
        return f"no piece of the {garment} changes: it has no seam there. The block itself keeps the change."
    return f"these pieces of the {garment} change: {', '.join(pieces)}. Cut all others as they are."

"""The pieces of an own exercise: traced and finished by its steps, as the table does it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ...errors import PatternError
from ...operations import Value
from ...pieces import Grain, Piece, finish
from ..table.adding import HOWS
from ..table.laying import Laid, lay_on
from ..table.measure import Quantity
from ..table.tracing import TablePiece
from ..table.verbs import VERBS
from ..tasks.exercise import Asked
from ..tasks.record import StepTaken

KINDS = ("allowance", "corner", "notches", "grain", "label", "cut line")
"""What can be asked of a piece; the name of what is asked begins with the piece and one of these."""
CUT_LINE_MARKS = 2.0


def is_for_pieces(step: StepTaken) -> bool:
    """Whether a step traces or finishes a piece; what it does is no point, line or number of the draft."""
    return not VERBS[step.verb].op


def laid_pieces(
    title: str, values: Mapping[str, Value], numbers: Mapping[str, Quantity], steps: Sequence[StepTaken]
) -> Laid:
    """The steps for pieces done on a draft; raises PatternError with the first that cannot be done."""
    laid = lay_on(title, values, numbers, [s for s in steps if is_for_pieces(s)])
    for step, why in laid.faults.items():
        raise PatternError(f"{step}: {why}")
    return laid


def made(laid: Laid) -> tuple[Piece, ...]:
    """The pieces, finished; raises PatternError for one that is not cut free or lacks an allowance."""
    return tuple(_piece(piece, laid) for piece in laid.pieces.values() if piece.traced or piece.steps)


def _piece(found: TablePiece, laid: Laid) -> Piece:
    if not found.closed:
        raise PatternError(
            f"The piece {found.name} is not cut free: trace on, edge by edge, until the wheel is back where "
            "it began."
        )
    piece = found.piece().replace(notches=found.places(), label=found.label)
    if found.grain is not None:
        piece = piece.replace(grain=Grain(*found.grain))
    by = next((s for s in laid.steps if s.verb == "label" and s.piece == found.name), None)
    if by is not None:
        on_fold, pair = (by.how == how for how in HOWS[:2])
        piece = piece.replace(cut=int(by.count), pair=pair, on_fold=on_fold, cloths=(by.cloth.strip(),))
    return finish(piece)


def asked_of(laid: Laid) -> dict[str, Asked]:
    """All that the steps add to pieces, by its name, with the marks of a usual exercise."""
    found = {}
    for piece in laid.pieces.values():
        for name in piece.steps:
            words = name.removeprefix(f"{piece.name}: ")
            kind = next(kind for kind in KINDS if words.startswith(kind))
            part = words.removeprefix(kind).removeprefix(" of ")
            marks = CUT_LINE_MARKS if kind == "cut line" else 1.0
            found[name] = Asked(name, kind, marks, piece=piece.name, part=part)
    return found

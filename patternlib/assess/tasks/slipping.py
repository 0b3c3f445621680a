"""Drafts with mistakes put in: what a hand gets that makes a listed mistake and does all the rest rightly."""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, field, replace
from typing import Any

from ...draft import Draft
from ...errors import PatternError
from ...operations import Value
from ...pieces import Piece, finish
from .exercise import Exercise, finish_record
from .mistakes import Mistake
from .own_numbers import OwnNumbers
from .rework import Rework

UNDRAWABLE = (PatternError, ArithmeticError)
"""What lines that do not meet raise: then nothing can be drawn, and nothing compared."""


@dataclass(frozen=True)
class Slipped:
    """A draft with mistakes in it.

    made: the draft; target: the rule's; finish: what is written on each piece, as it is handed in; right:
    the same without the mistakes.
    """

    made: Rework
    target: Draft
    finish: dict[str, dict] = field(default_factory=dict)
    right: dict[str, dict] = field(default_factory=dict)

    def should(self, name: str) -> Value:
        """What the rule gives for a step on the draft's own earlier points and lines."""
        earlier = {k: v for k, v in self.made.instead.items() if k != name}
        return Rework(self.target, self.made.given, earlier).done(self.target.step(name))


def slipped(work: Exercise, of: OwnNumbers, mistakes: Sequence[Mistake]) -> Slipped | None:
    """The draft of a hand that makes these mistakes and no other; None where it cannot be drawn."""
    target = work.reference(of)
    made = Rework(target, {name: target[name] for name in work.ready})
    numbers = work.numbers(of)
    try:
        for step in target:
            for mistake in mistakes:
                if mistake.change and step.name in mistake.at:
                    changed = mistake.change(step, made, work.terms, numbers)
                    made = Rework(target, made.given, {**made.instead, step.name: changed})
        own = {a.name: made[a.name] for a in work.steps()}
    except UNDRAWABLE:
        return None
    pieces = _pieces(work, of, target, own)
    written = {p.name: finish_record(p) for p in pieces}
    right = deepcopy(written)
    for mistake in mistakes:
        for piece in pieces:
            if mistake.finish and piece.name == mistake.piece:
                mistake.finish(written[piece.name], piece)
                wide = written[piece.name]["allowances"]
                written[piece.name]["cut_line"] = _cut(piece, wide) or written[piece.name]["cut_line"]
    return Slipped(made, target, written, right)


def _pieces(work: Exercise, of: OwnNumbers, target: Draft, own: dict[str, Any]) -> tuple[Piece, ...]:
    """The pieces on the draft's own lines, or on the rule's where those make no piece."""
    if not work.finish:
        return ()
    try:
        return work.finish(target.replay(points=own), of)
    except UNDRAWABLE:
        return work.finish(target, of)


def _cut(piece: Piece, wide: dict[str, float]) -> list[list[float]] | None:
    """The cut line with other allowances, None where it cannot be drawn."""
    edges = tuple(replace(e, allowance=wide[e.name]) for e in piece.edges)
    try:
        return [list(p) for p in finish(piece.replace(edges=edges)).cut_line]
    except UNDRAWABLE:
        return None

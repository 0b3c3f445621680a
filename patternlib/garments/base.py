"""What every garment module gives: style values with ranges and reasons, and the finished garment."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, KeysView, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from ..alterations import NONE, Changes
from ..body import Body
from ..checking import Finding, check
from ..draft import Draft
from ..errors import ValueAtFault, look_up
from ..geometry import Point
from ..notebook import Pictured
from ..pieces import FUSING, Piece, Seam, side_length
from ..units import Length, read_length, shown


@dataclass(frozen=True)
class StyleValue:
    """One style value: name in code, words, starting value, range, the reason of the range, step, unit.

    follows: what the starting value is for a body, cm, where it depends on the body; `start` is then that of
    the course's size 12. within: (lowest, highest) that goes with a body and with the other style values, cm,
    where that is narrower than `low` and `high`. choices: the words for the values 0, 1 and so on,
    where one of several things is chosen.
    """

    name: str
    label: str
    start: float
    low: float
    high: float
    why: str
    step: float = 0.5
    unit: str = "cm"
    follows: Callable[[Body], float] | None = None
    within: Callable[[Body, Mapping[str, float]], tuple[float, float]] | None = None
    choices: tuple[str, ...] = ()

    def said(self, number: float) -> str:
        """A value as a reader sees it: the words of a choice, else the number."""
        return self.choices[round(number)] if self.choices else f"{number:g}"

    @property
    def span(self) -> str:
        """What can be taken, in words."""
        first, *others = self.choices or (f"{self.low:g} to {self.high:g}",)
        return " or ".join((first, *(words.lower() for words in others)))

    @property
    def rule(self) -> str:
        """What a value must keep to, for the sentence that refuses another."""
        if self.choices:
            return "must be " + " or ".join(f"{n} ({c.lower()})" for n, c in enumerate(self.choices))
        return f"must lie between {self.low:g} and {self.high:g} {self.unit}".rstrip()

    def start_for(self, body: Body | None, others: Mapping[str, float] | None = None) -> float:
        """The starting value for a body, within the range and on a step; others: every style value."""
        if body is None or (self.follows is None and self.within is None):
            return self.start
        wanted = self.start if self.follows is None else self.follows(body)
        low, high = self.range_for(body, others)
        return round(self.step * math.floor(min(max(wanted, low), high) / self.step + 1e-6), 6)

    def range_for(self, body: Body | None, others: Mapping[str, float] | None = None) -> tuple[float, float]:
        """(lowest, highest) for a body and the other values, on steps; others: every style value.

        A range is never narrower than a step. Values outside it are not refused for that alone.
        """
        if self.within is None or body is None or others is None:
            return self.low, self.high
        low, high = self.within(body, others)
        low = min(self.step * math.ceil(low / self.step - 1e-6), self.high - self.step)
        low = max(low, self.low)
        high = min(self.step * math.floor(high / self.step + 1e-6), self.high)
        return round(low, 6), round(max(high, low + self.step), 6)


def read_style(
    values: tuple[StyleValue, ...], given: Mapping[str, Length], body: Body | None = None
) -> dict[str, float]:
    """The starting values with the given ones put in; unknown names and values out of range are refused.

    A length may be text with its unit, such as "7.5 cm". body: whom the starting values follow, and the
    values that are given; None: size 12 of the course.
    """
    known = {value.name: value for value in values}
    style = {value.name: value.start_for(body) for value in values}
    style |= _given(known, given)
    for value in values:
        if value.name not in given:
            style[value.name] = value.start_for(body, style)
    return style


def _given(known: Mapping[str, StyleValue], given: Mapping[str, Length]) -> dict[str, float]:
    """The given values as numbers, each within its range."""
    style = {}
    for name, number in given.items():
        value = look_up("style value", name, known)
        if isinstance(number, str) and value.unit == "cm":
            number = read_length(number, name=name)
        if isinstance(number, bool) or not isinstance(number, int | float) or not math.isfinite(number):
            raise ValueAtFault(name, shown(number), "must be a number", f"For example {value.start:g}.")
        if not value.low <= number <= value.high:
            raise ValueAtFault(
                name,
                number,
                value.rule,
                value.why,
                instead={name: min(max(float(number), value.low), value.high)},
            )
        style[name] = float(number)
    return style


@dataclass(frozen=True)
class Garment(Pictured):
    """A finished garment: the drafts it was taken from, its pieces with cut lines, seams and findings.

    limits: (where, cm, at most cm, text) for what a fitting allows; remarks: findings of the plan itself;
    facts: sentences on how it fits the body, printed with the checks; through: what a piece whose width a
    fitting limits passes through, in words; making: what is also done in a step of the making, {(piece, edge)
    or name of a seam: sentence}; closings: what is done when all is sewn, a sentence a step; left_open: from
    where to where a seam is not sewn on the wearer's right, cm from its start; notions: what is bought in
    addition to cloth, thread and fittings; given: the style values that were asked for, the others follow the
    body; changes: what was changed after the toile; half: the garment as it is drawn in
    halves, for a pattern whose two sides differ; the order of making and its pictures are taken from it.
    """

    name: str
    body: Body
    style: Mapping[str, float]
    drafts: Mapping[str, Draft]
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    fittings: tuple[str, ...] = ()
    size: str = ""
    limits: tuple[tuple[str, float, float, str], ...] = ()
    remarks: tuple[Finding, ...] = ()
    facts: tuple[str, ...] = ()
    through: Mapping[str, str] = field(default_factory=dict)
    making: Mapping[tuple[str, str] | str, str] = field(default_factory=dict)
    closings: tuple[str, ...] = ()
    left_open: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    notions: tuple[str, ...] = ()
    given: Mapping[str, float] = field(default_factory=dict)
    changes: Changes = NONE
    half: Garment | None = None

    def piece(self, name: str) -> Piece:
        """One piece by its name; `garment[name]` is the same. Raises UnknownName."""
        return look_up(f"piece of the {self.name}", name, {piece.name: piece for piece in self.pieces})

    def __getitem__(self, name: str) -> Piece:
        return self.piece(name)

    def __contains__(self, name: object) -> bool:
        return name in self.keys()

    def __iter__(self) -> Iterator[Piece]:
        return iter(self.pieces)

    def __len__(self) -> int:
        return len(self.pieces)

    def keys(self) -> KeysView[str]:
        """The names of the pieces, in order."""
        return {piece.name: piece for piece in self.pieces}.keys()

    def _ipython_key_completions_(self) -> list[str]:
        return list(self.keys())

    def __repr__(self) -> str:
        size = f", size {self.size}" if self.size else ""
        return f"<{self.name}{size}: {len(self.pieces)} pieces, {len(self.seams)} seams>"

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What the checks found; empty where all is well."""
        return (*check(self.pieces, self.seams, limits=self.limits), *self.remarks)

    def to_dict(self) -> dict[str, Any]:
        """The garment as plain data, the contents of garment.json: cm, y up, see DEVELOPERS.md."""
        by_name = {piece.name: piece for piece in self.pieces}
        return {
            "format": "patternlib-garment",
            "version": 1,
            "garment": self.name,
            "size": self.size,
            "body": self.body.to_dict(),
            "style": dict(self.style),
            "pieces": [_piece_dict(piece) for piece in self.pieces],
            "seams": [
                {
                    "name": seam.name,
                    "a": [list(edge) for edge in seam.a],
                    "b": [list(edge) for edge in seam.b],
                    "ease": seam.ease,
                    "walk": {
                        "a": "against" if seam.against_a else "along",
                        "b": "against" if seam.against_b else "along",
                    },
                    "length": {
                        "a": _r(side_length(by_name, seam.a)),
                        "b": _r(side_length(by_name, seam.b)),
                    },
                }
                for seam in self.seams
            ],
            "fittings": [*self.fittings, *self.notions],
            "changes": self.changes.to_list(),
            "facts": list(self.facts),
            "findings": [finding.to_dict() for finding in self.findings],
        }


def _r(number: float) -> float:
    return round(number, 5) + 0.0


def _xy(point: Point) -> list[float]:
    return [_r(point[0]), _r(point[1])]


def _piece_dict(piece: Piece) -> dict[str, Any]:
    return {
        "name": piece.name,
        "cut": piece.cut,
        "pair": piece.pair,
        "on_fold": piece.on_fold,
        "cloths": list(piece.cloths),
        "fused": piece.copies(FUSING),
        "seam_line": [_xy(p) for p in piece.outline.flat()],
        "cut_line": [_xy(p) for p in piece.cut_line],
        "edges": [
            {
                "name": edge.name,
                "allowance": edge.allowance,
                "turn": edge.turn,
                "length": _r(edge.curve.length),
                "points": [_xy(p) for p in edge.curve.flat()],
            }
            for edge in piece.edges
        ],
        "notches": [
            {
                "edge": notch.edge,
                "at": _r(notch.at),
                "point": _xy(piece.notch_point(notch)),
                "count": notch.count,
                "seam": notch.seam,
            }
            for notch in piece.notches
        ],
        "drill_holes": [{"point": _xy(hole.point), "purpose": hole.purpose} for hole in piece.drill_holes],
        "marks": [
            {"name": mark.name, "style": mark.style, "points": [_xy(p) for p in mark.curve.flat()]}
            for mark in piece.marks
        ],
        "grain": [_xy(piece.grain.start), _xy(piece.grain.end)] if piece.grain else None,
        "label": list(piece.label),
    }

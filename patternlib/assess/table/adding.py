"""Steps that trace and finish pieces: each adds to a piece, or says in a sentence why it cannot."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ...errors import PatternError, unknown
from ...geometry import Curve, Point
from ...operations import Value
from ...pieces import TURNS, finish
from ...tolerances import POINT, SEAM
from ..tasks.record import StepTaken
from .measure import Quantity
from .tracing import NEITHER, NotchSet, TablePiece, Traced

NOTCHES = {"single": 1, "double": 2}
HOWS = ("on the fold", "as a pair", "single")
"""How a piece is cut."""
OF_THE_PIECE = 0.6
"""A grain line that is laid along a line takes so much of its piece, or of the line."""
WIDEST = 30.0
"""cm, of an allowance."""


class PieceWork:
    """The pieces while the steps are done, by name.

    asked: the pieces that are asked, with the names of their edges; pieces: as far as they are made;
    edges: what is traced, by step.
    """

    def __init__(self, asked: Mapping[str, tuple[str, ...]]):
        self.asked = asked
        self.pieces: dict[str, TablePiece] = {}
        self.edges: dict[str, Traced] = {}

    def take(
        self, step: StepTaken, values: Mapping[str, Value], measures: Mapping[str, Quantity]
    ) -> Curve | None:
        """Do a step; the edge for one that traces. Raises PatternError with a sentence."""
        things: list[Any] = [values[name] for name in step.of]
        measure = measures["measure"].value if "measure" in measures else None
        match step.verb:
            case "trace":
                return self._trace(step, things)
            case "grain" | "grain points":
                self._lay_grain(step, things, measure)
            case "label":
                self._write(step)
            case "allowance":
                self._allow(step, measure or 0.0)
            case "corner":
                self._fold(step)
            case "cut line":
                self._cut(step)
            case "notch":
                self._notch(step, (step.of[:2],), things, measure or 0.0)
            case "notch a seam":
                self._notch(step, (step.of[:2], step.of[2:]), things, measure or 0.0)
        return None

    def drill(self, step: StepTaken, hole: Point) -> None:
        piece = self._piece(step)
        self._put(replace(piece, holes=(*piece.holes, hole)))

    # -- the piece and its edges

    def _piece(self, step: StepTaken) -> TablePiece:
        name = step.piece.strip()
        if not name:
            raise PatternError("Say which piece this is.")
        return self.pieces.get(name) or TablePiece(name)

    def _put(self, piece: TablePiece, asked: str = "", step: str = "") -> None:
        """Keep a changed piece; asked: the name of what it now has, made by a step."""
        steps = {**piece.steps, asked: step} if asked else piece.steps
        self.pieces[piece.name] = replace(piece, steps=steps)

    def _once(self, piece: TablePiece, asked: str) -> None:
        if asked in piece.steps:
            raise PatternError(
                f"'{asked}' is there already: choose it in the list of steps to change it, or rub it out."
            )

    def _own(self, name: str) -> tuple[TablePiece, Traced]:
        traced = self.edges[name]
        return self.pieces[traced.piece], traced

    # -- tracing

    def _trace(self, step: StepTaken, things: list) -> Curve:
        piece, edge = self._piece(step), step.edge.strip()
        if not edge:
            raise PatternError("Say the name of this edge.")
        if piece.name in self.asked and edge not in self.asked[piece.name]:
            raise unknown(f"edge of the {piece.name}", edge, self.asked[piece.name])
        if any(traced.edge == edge for traced in piece.traced):
            raise PatternError(f"The {piece.name} has its {edge} already: give this edge another name.")
        if piece.closed:
            raise PatternError(
                f"The wheel is back at its start: the {piece.name} is cut free and has all its edges."
            )
        if len(things) == 2:
            raise PatternError(
                "Say where the wheel begins and where it ends, or leave out both to trace the whole line."
            )
        line, *ends = things
        if ends:
            begin, to = (reach(line, thing, name) for thing, name in zip(ends, step.of[1:], strict=True))
            if abs(begin - to) <= POINT:
                raise PatternError("The wheel begins and ends at one place: choose two that lie apart.")
            line = line.part(begin, to)
        traced = Traced(step.name, piece.name, edge, line)
        self.edges[step.name] = traced
        self._put(replace(piece, traced=(*piece.traced, traced)))
        return line

    # -- grain and label

    def _lay_grain(self, step: StepTaken, things: list, long: float | None) -> None:
        piece = self._piece(step)
        asked = f"{piece.name}: grain"
        self._once(piece, asked)
        if step.verb == "grain points":
            start, end = things
            if start.distance(end) <= POINT:
                raise PatternError("A grain line needs two points that lie apart.")
        else:
            start, end = self._beside(piece, things[0], long)
        self._put(replace(piece, grain=(start, end)), asked, step.name)

    def _beside(self, piece: TablePiece, line: Curve, long: float | None) -> tuple[Point, Point]:
        """An arrow side by side with a line, in the middle of the piece, or on the line where it is not cut
        free."""
        if line.start.distance(line.end) <= POINT:
            raise PatternError("This line ends where it starts: lay the grain along another, or by points.")
        way = (line.end - line.start).unit()
        spots = piece.piece().outline.flat(0.05) if piece.closed else [line.start, line.end]
        along, across = ([p.dot(axis) for p in spots] for axis in (way, way.left()))
        middle = way * _middle(along) + way.left() * _middle(across)
        half = (long or OF_THE_PIECE * (max(along) - min(along))) / 2
        return middle - way * half, middle + way * half

    def _write(self, step: StepTaken) -> None:
        piece = self._piece(step)
        asked = f"{piece.name}: label"
        self._once(piece, asked)
        if not re.fullmatch(r"[1-9]\d?", step.count.strip()):
            raise PatternError("Write how many are cut as a whole number, such as 1 or 2.")
        how = step.how.strip()
        if how not in HOWS:
            raise PatternError(f"'{how}' is no way to cut a piece: choose one of {', '.join(HOWS)}.")
        if not step.cloth.strip():
            raise PatternError("Say of which cloth it is cut.")
        cut = f"cut {step.count.strip()}" + (f" {how}" if how != "single" else "")
        lines = (piece.name, step.words.strip(), cut, step.cloth.strip())
        self._put(replace(piece, label=tuple(line for line in lines if line)), asked, step.name)

    # -- allowances, corners, the cut line

    def _allow(self, step: StepTaken, wide: float) -> None:
        piece, traced = self._own(step.of[0])
        asked = f"{piece.name}: allowance of {traced.edge}"
        self._once(piece, asked)
        if not 0 <= wide <= WIDEST:
            raise PatternError(f"An allowance lies between 0 and {WIDEST:g} cm; this is {wide:g} cm.")
        if step.turn not in TURNS:
            raise PatternError(f"Say what becomes of this edge: one of {', '.join(TURNS)}.")
        allowances = {**piece.allowances, traced.edge: (wide, step.turn)}
        self._put(replace(piece, allowances=allowances), asked, step.name)

    def _fold(self, step: StepTaken) -> None:
        (piece, one), (_, other) = (self._own(name) for name in step.of)
        if one.piece != other.piece:
            raise PatternError("A corner lies between two edges of one piece: choose another edge.")
        corner = piece.round.corner(one.step, other.step)
        if corner is None:
            raise PatternError(
                f"The {one.edge} and the {other.edge} do not meet: choose two edges that follow one another."
            )
        first = step.first.strip()
        if first not in (one.edge, other.edge, NEITHER):
            raise PatternError(
                f"Say which is folded back first: {one.edge}, {other.edge}, or {NEITHER} of them."
            )
        asked = f"{piece.name}: corner of {corner[0].edge} / {corner[1].edge}"
        self._once(piece, asked)
        folded = (one, other, "" if first == NEITHER else first)
        self._put(replace(piece, corners=(*piece.corners, folded)), asked, step.name)

    def _cut(self, step: StepTaken) -> None:
        piece = self._piece(step)
        asked = f"{piece.name}: cut line"
        self._once(piece, asked)
        if not piece.traced:
            raise PatternError(f"No edge of the {piece.name} is traced yet: take up the tracing wheel first.")
        if not piece.closed:
            raise PatternError(
                f"The {piece.name} is not cut free yet: trace on until the wheel is back where it began."
            )
        lacking = [e.edge for e in piece.round.edges if e.edge not in piece.allowances]
        if lacking:
            raise PatternError(
                f"There is no allowance yet at {', '.join(lacking)}: add one, 0 where there is none."
            )
        finish(piece.piece())
        self._put(replace(piece, cut=True), asked, step.name)

    # -- notches

    def _notch(self, step: StepTaken, sides: tuple, things: list, at: float) -> None:
        if step.count not in NOTCHES:
            raise PatternError("Say which notch it is: single or double.")
        found = []
        for name, thing in sides:
            piece, traced = self._own(name)
            if at > traced.curve.length + POINT:
                raise PatternError(
                    f"The {traced.edge} of the {piece.name} is only {traced.curve.length:.2f} cm long: "
                    "walk less far."
                )
            end = end_at(traced.curve, things[step.of.index(thing)], thing, traced.step)
            found.append(NotchSet(step.name, traced, end, at, NOTCHES[step.count]))
        if len(found) == 2 and found[0].traced == found[1].traced:
            raise PatternError("A seam joins two edges: choose another one for its second side.")
        for notch in found:
            piece = self.pieces[notch.traced.piece]
            asked = f"{piece.name}: notches of {notch.traced.edge}"
            first = piece.steps.get(asked, step.name)
            self._put(replace(piece, notches=(*piece.notches, notch)), asked, first)


def _middle(values: list[float]) -> float:
    return (min(values) + max(values)) / 2


def reach(line: Curve, thing: Point | Curve, name: str) -> float:
    """How far along a line something lies on it, touches its end or crosses it, cm.

    Raises PatternError where it does not, or crosses twice.
    """
    if isinstance(thing, Point):
        at, gap = line.closest(thing)
        if gap > SEAM:
            raise PatternError(f"'{name}' lies {gap:.1f} cm beside this line: choose a point on it.")
        return min(max(at, 0.0), line.length)
    places = [at for at, spot in ((0.0, line.start), (line.length, line.end)) if _on(spot, thing)]
    places += [line.closest(spot)[0] for spot in (thing.start, thing.end) if _on(spot, line)]
    places = _apart(places) or _apart(list(line.meets(thing)))
    if not places:
        raise PatternError(f"'{name}' does not meet this line: choose a line or a point that does.")
    if len(places) > 1:
        raise PatternError(f"'{name}' meets this line more than once: choose a point on it.")
    return min(max(places[0], 0.0), line.length)


def _on(spot: Point, line: Curve) -> bool:
    return line.closest(spot)[1] <= SEAM


def _apart(places: list[float]) -> list[float]:
    """The places that are not one and the same."""
    found: list[float] = []
    for at in places:
        if all(abs(at - other) > 2 * SEAM for other in found):
            found.append(at)
    return found


def end_at(line: Curve, thing: Point | Curve, name: str, edge: str) -> Point:
    """The end of an edge at which a point lies or a line touches; PatternError where neither or both do."""
    if isinstance(thing, Point):
        touching = [end for end in (line.start, line.end) if end.distance(thing) <= SEAM]
    else:
        touching = [end for end in (line.start, line.end) if _on(end, thing)]
    if len(touching) != 1:
        said = "both ends" if touching else "neither end"
        raise PatternError(
            f"'{name}' lies at {said} of {edge}: choose a point at one end, or an edge that meets it there."
        )
    return touching[0]

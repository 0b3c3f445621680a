"""Calls that answer a mistake with a sentence; among them those that finish pieces."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import wraps
from typing import Any

from ...errors import PatternError, unknown
from ...units import read_length
from ..tasks import record as records
from ..tasks.exercise import Exercise


def spoken(call: Callable) -> Callable:
    """A call that answers a mistake with a sentence."""

    @wraps(call)
    def said(self: Any, *given: Any, **named: Any) -> Any:
        try:
            done = call(self, *given, **named)
        except PatternError as fault:
            text = str(fault)
        except (TypeError, ValueError, AttributeError, LookupError, OverflowError):
            text = f"{call.__name__}: this cannot be read. Write it as {_model(call)}."
        else:
            return done
        self.said.append(text)
        print(text)
        return None

    return said


def _model(call: Callable) -> str:
    """The first line of a call's description, an example."""
    return (call.__doc__ or call.__name__).strip().splitlines()[0]


class Finishing:
    """What is written on a sheet about the pieces: allowances, corners, notches, grain, label, cut line."""

    work: Exercise
    unit: str
    finish: dict[str, dict]

    @spoken
    def allow(self, piece: str, allowances: Mapping[str, float | str]) -> None:
        """sheet.allow("back pocket", {"opening": 2.5, "inner side": 1})

        The allowance of each edge of a piece, cm."""
        read = {edge: float(read_length(cm, self.unit, name=edge)) for edge, cm in allowances.items()}
        self._piece(piece).setdefault("allowances", {}).update(read)

    @spoken
    def fold_first(self, piece: str, edge: str, *, at: Sequence[str]) -> None:
        """sheet.fold_first("back pocket", "opening", at=("outer side", "opening"))

        Which edge's allowance is folded back first at a corner; at: its edges, walking round."""
        self._piece(piece).setdefault("corners", {})[" / ".join(at)] = edge

    @spoken
    def notch(self, piece: str, edge: str, at: float | str, *, double: bool = False) -> None:
        """sheet.notch("front skirt", "side seam", 14.5)

        Mark a notch at a distance from an edge's start, walking round the piece anticlockwise, cm."""
        marks = self._piece(piece).setdefault("notches", [])
        here = {"edge": edge, "at": float(read_length(at, self.unit, name=edge)), "count": 2 if double else 1}
        marks[:] = [m for m in marks if (m["edge"], m["at"]) != (edge, here["at"])] + [here]

    @spoken
    def no_notches(self, piece: str) -> None:
        """sheet.no_notches("front skirt")

        Rub out the notches of a piece."""
        self._piece(piece)["notches"] = []

    @spoken
    def grain(self, piece: str, start: Sequence[float], end: Sequence[float]) -> None:
        """sheet.grain("strap", (1, 5), (1, 30))

        Draw the grain line of a piece from one place (across, up) to another, cm."""
        self._piece(piece)["grain"] = [_spot(start), _spot(end)]

    @spoken
    def label(self, piece: str, *lines: str) -> None:
        """sheet.label("strap", "strap", "cut 2 as a pair", "main cloth")

        Write on a piece."""
        self._piece(piece)["label"] = [str(line) for line in lines]

    @spoken
    def cut_line(self, piece: str, places: Sequence[Sequence[float]]) -> None:
        """sheet.cut_line("back pocket", [(0, 0), (12, 0), (12, 14), (0, 14)])

        The corners and places of a piece's cut line, walking round once, cm."""
        self._piece(piece)["cut_line"] = [_spot(p) for p in places]

    def _piece(self, name: str) -> dict:
        known = {a.piece for a in self.work.asked if a.piece}
        if not known:
            raise PatternError("this exercise asks for no pieces: draft the steps on its sheet.")
        if name not in known:
            raise unknown("piece of this exercise", name, known)
        return self.finish.setdefault(name, {})


def _spot(place: Sequence[float]) -> list[float]:
    x, y = place
    return records.spot((x, y))

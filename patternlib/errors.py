"""The errors of the library. Each text names the call, what came in, the rule, and the next move.

Do not catch and hide them: a board shows the text, the command line prints it as one line, a checking
cell puts it beside the picture.

>>> raise ValueAtFault("skirt_length", 620, "must lie between 35 and 110 cm", "Were these millimetres?")
Traceback (most recent call last):
    ...
patternlib.errors.ValueAtFault: skirt_length: 620 must lie between 35 and 110 cm. Were these millimetres?
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from typing import TypeVar

Held = TypeVar("Held")


class PatternError(Exception):
    """Any refusal of the library; its text is a sentence a student can act on."""

    def _render_traceback_(self) -> list[str]:
        """What a notebook shows: the sentence, without the lines of code that led to it."""
        return [str(self)]


class ValueAtFault(PatternError, ValueError):
    """One named value cannot be used.

    name: the measure or style value; got: what came in; rule: what must hold (begins with a verb);
    advice: a whole sentence with the next move, may be empty; instead: the values that the sentence names,
    by style value, where they were found by drawing them.
    """

    def __init__(
        self,
        name: str,
        got: object,
        rule: str,
        advice: str = "",
        *,
        instead: Mapping[str, float] | None = None,
    ):
        self.name, self.got, self.rule, self.advice = name, got, rule, advice
        self.instead = dict(instead or {})
        shown = f"{got:g}" if isinstance(got, float) else f"{got}"
        super().__init__(f"{name}: {shown} {rule}." + (f" {advice}" if advice else ""))

    def __reduce__(self) -> tuple:
        again = partial(type(self), instead=self.instead)
        return again, (self.name, self.got, self.rule, self.advice)


class GeometryError(PatternError, ArithmeticError):
    """Lines that do not meet, a point beyond the end of an edge, an outline that crosses itself."""


class UnknownName(PatternError, KeyError):
    """A step, piece, edge, size, chart or style value that does not exist; the text lists near names."""

    def __str__(self) -> str:  # KeyError would show the text in quotes
        return str(self.args[0]) if self.args else ""


def unknown(kind: str, name: object, known: Iterable[object]) -> UnknownName:
    """Make the error for a name that is not among `known`, with the nearest names.

    >>> str(unknown("style value", "yoke_dept", ["yoke_depth", "skirt_length"]))
    "no style value is called 'yoke_dept'. Did you mean 'yoke_depth'?"
    """
    import difflib

    names = [str(k) for k in known]
    said = f"{name}" if len(f"{name}") <= 60 else f"{name}"[:60] + "…"
    near = difflib.get_close_matches(said, names, n=3, cutoff=0.5)
    hint = (
        "Did you mean " + " or ".join(f"'{n}'" for n in near) + "?"
        if near
        else "There are: " + ", ".join(names[:40]) + "."
    )
    return UnknownName(f"no {kind} is called '{said}'. {hint}")


def look_up(kind: str, name: object, known: Mapping[str, Held]) -> Held:
    """Give what `known` holds under a name; any other name, of any type, raises UnknownName.

    >>> look_up("size", "12", {"12": 88.0})
    88.0
    """
    if not isinstance(name, str) or name not in known:
        raise unknown(kind, name, known)
    return known[name]

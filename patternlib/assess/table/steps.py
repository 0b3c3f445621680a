"""One step on the drafting table as plain data, and what it hangs from."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ...geometry import Curve, Point
from ...operations import Value
from ..tasks.record import StepTaken
from .measure import Quantity
from .verbs import VERBS, Place

WAYS = ("up", "down", "left", "right")
SQUARE_TO, RUNNING_ON, TOWARD = "square to ", "running on from ", "toward "
"""Words that begin a direction taken from something on the paper."""

TAKEN = ("point", "line", "thing", "points", "lines", "numbers", "edge", "at")
"""Kinds of place that take what is on the paper."""

MEASURES = ("length", "signed", "width", "angle", "share", "number", "bend")


def inputs(step: StepTaken, place: Place) -> tuple[str, ...]:
    """What stands in a place that takes things from the paper."""
    if place.field.startswith("of"):
        k = int(place.field[2:])
        return step.of[k : k + 1]
    return {
        "first": step.of[:1],
        "through": step.of[1:-1],
        "last": step.of[1:][-1:],
        "lines": step.of,
        "numbers": step.of,
    }.get(place.field, ())


def written(step: StepTaken, place: Place) -> str:
    """What stands in a place, as it was typed."""
    if place.kind in TAKEN:
        return " · ".join(inputs(step, place))
    return getattr(step, place.field)


def named(step: StepTaken, traced: Mapping[str, tuple[str, str]]) -> str:
    """The name of a step that asks for none; traced: (piece, edge) of the traced edges, by their steps.

    >>> named(StepTaken("?", "allowance", ("apron: hem",)), {"apron: hem": ("apron", "hem")})
    'apron: allowance of hem'
    """
    words = {"piece": step.piece, "edge": step.edge}
    for k, name in enumerate(step.of):
        piece, edge = traced.get(name, ("", name))
        words |= {f"of{k}": name, f"of{k}.piece": piece, f"of{k}.edge": edge}
    template = VERBS[step.verb].named
    return re.sub(r"\{([\w.]+)\}", lambda found: words.get(found[1], ""), template)[:80]


def sentence(step: StepTaken, measured: Mapping[str, Quantity], said: Mapping[str, str]) -> str:
    """A step as a sentence to read or print: each measure as it came out, and how it was put together.

    measured: what each measure came to, by field; said: the same in the reader's unit.
    """
    out = ""
    for optional, parts in VERBS[step.verb].groups():
        if optional and not all(written(step, part) for part in parts if isinstance(part, Place)):
            continue
        out += "".join(
            part if isinstance(part, str) else _filled(step, part, measured, said) for part in parts
        )
    return out + "."


def _filled(step: StepTaken, place: Place, measured: Mapping, said: Mapping[str, str]) -> str:
    text = written(step, place)
    if place.kind == "points":
        return " and ".join(inputs(step, place))
    if place.kind in ("lines", "numbers"):
        return ", ".join(inputs(step, place))
    if place.kind in MEASURES and place.field in measured:
        composed = measured[place.field].composed
        return f"{said[place.field]} ({text})" if composed else said[place.field]
    return text or "…"


def packed(value: Value) -> Any:
    """A value for the page: [x, y], {"c": cubics} or a number."""
    if isinstance(value, Point):
        return [value.x, value.y]
    if isinstance(value, Curve):
        return {"c": [[c for z in segment for c in (z.real, z.imag)] for segment in value.segments]}
    return value

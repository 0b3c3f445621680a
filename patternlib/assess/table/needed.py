"""Which of a student's numbers an exercise needs: those that change what is asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from functools import cache

from ...body import Body
from ...errors import PatternError
from ...geometry import Curve, Point
from ...operations import Value
from ..tasks.catalogue import exercise
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers, numbers_for
from ..tasks.rework import Rework

MORE = 1.01
"""Each number is made so many times as large."""
SAME = 1e-6
"""cm, degrees: what moves less is the same."""


@cache
def needed_numbers(id: str) -> frozenset[str]:
    """The names of the numbers that the steps of an exercise rest on, found by changing one after the other.

    >>> sorted(needed_numbers("02a"))
    ['hip_ease', 'hip_girth', 'skirt_length', 'waist_to_hip']
    """
    work, of = exercise(id), numbers_for("")
    target = work.draw(of)
    given = {name: target[name] for name in work.given(target)}
    usual = _asked(work, of, given)
    found = set()
    own = {field.name for field in fields(Body)} & set(of.numbers())
    for name in (*own, *of.style):
        try:
            if name in own:
                other = replace(of, body=of.body.replace(**{name: getattr(of.body, name) * MORE}))
            else:
                other = replace(of, style={**of.style, name: of.style[name] * MORE})
            moved = _asked(work, other, given)
        except PatternError:
            continue
        if any(_apart(moved[n], value) > SAME for n, value in usual.items()):
            found.add(name)
    return frozenset(found)


def _asked(work: Exercise, of: OwnNumbers, given: Mapping[str, Value]) -> dict[str, Value]:
    """What is asked, drawn on what is given."""
    done = Rework(work.draw(of), given)
    return {a.name: done[a.name] for a in work.steps()}


def _apart(a: Value, b: Value) -> float:
    if isinstance(a, Point):
        return a.distance(b)
    if isinstance(a, Curve):
        return max(
            abs(p - q)
            for s, t in zip(a.segments, b.segments, strict=False)
            for p, q in zip(s, t, strict=True)
        )
    return abs(a - b)

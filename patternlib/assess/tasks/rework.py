"""A draft worked out again on a student's own points, only as far as it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ...draft import Draft, Step, compute
from ...operations import Value


class Rework(Mapping[str, Value]):
    """The values of a draft where some steps are given (a student's) and others done differently (a slip's).

    draft: the rule; given: values by step name that stand for the steps' own; instead: other steps to be
    done in place of the draft's, by name. Errors of the geometry come through as PatternError.

    >>> from patternlib.draft import Drafting
    >>> d = Drafting("two points")
    >>> a, b, c = d.start("A"), d.go("B", "A", "down", 20), d.go("C", "B", "right", 25)
    >>> Rework(d.finish(), {"B": a})["C"]
    Point(x=25.0, y=0.0)
    """

    def __init__(
        self,
        draft: Draft,
        given: Mapping[str, Value] | None = None,
        instead: Mapping[str, Step] | None = None,
    ):
        self.draft = draft
        self.given = dict(given or {})
        self.instead = dict(instead or {})
        self._values: dict[str, Value] = {}

    def __getitem__(self, name: str) -> Any:
        if name in self.given:
            return self.given[name]
        if name not in self._values:
            self._values[name] = self.done(self.instead.get(name) or self.draft.step(name))
        return self._values[name]

    def done(self, step: Step) -> Any:
        """What a step gives here: the draft's own step, or another in its place."""
        return compute(step, self[step.measured_by] if step.measured_by else step.measure, self)

    def without(self, at: str) -> Rework:
        """The same, with everything that rests on a step to be worked out again."""
        other = Rework(self.draft, {n: v for n, v in self.given.items() if n != at}, self.instead)
        moved = _resting(self.draft, at)
        other._values = {n: v for n, v in self._values.items() if n not in moved}
        return other

    def with_step(self, at: str, step: Step) -> Rework:
        """The same, with another step in place of one; nothing that rests on it may be worked out yet."""
        other = Rework(self.draft, self.given, {**self.instead, at: step})
        other._values = dict(self._values)
        return other

    def rule(self, name: str) -> Any:
        """What the step's own rule gives, even where another value was given for it."""
        return self.done(self.instead.get(name) or self.draft.step(name))

    def __iter__(self) -> Iterator[str]:
        return (step.name for step in self.draft)

    def __len__(self) -> int:
        return len(self.draft.steps)


def _resting(draft: Draft, at: str) -> frozenset[str]:
    """The steps that rest on a step, itself included."""
    found = {at}
    for step in draft:
        if not found.isdisjoint(reads(step)):
            found.add(step.name)
    return frozenset(found)


def reads(step: Step) -> tuple[str, ...]:
    """The names of the steps a step reads, measure included."""
    return (*step.inputs, step.measured_by) if step.measured_by else step.inputs


def reach(draft: Draft, name: str, given: Mapping[str, Value]) -> tuple[list[str], list[str]]:
    """(given steps, other steps) that a step rests on, down to what is given; nearest first."""
    front: list[str] = []
    hidden: list[str] = []
    queue = list(reads(draft.step(name)))
    seen = {name}
    while queue:
        at = queue.pop(0)
        if at in seen:
            continue
        seen.add(at)
        if at in given:
            front.append(at)
        else:
            hidden.append(at)
            queue.extend(reads(draft.step(at)))
    return front, hidden

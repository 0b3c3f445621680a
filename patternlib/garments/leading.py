"""Refusals that lead on: the values nearest to those asked for that draw, found by drawing them.

A garment's checks say which style value is at fault and why. What to take instead is not calculated from the
check, as the next check may refuse it again: the garment is drafted with other values until one draws.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

from ..body import Body
from ..errors import PatternError, ValueAtFault
from .base import StyleValue, read_style

Drawn = TypeVar("Drawn")
Style = Mapping[str, float]

NAMED = 3
"""Values that one sentence names at most."""

PROBES = (1.0, 0.5, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875)
"""Where on one side of a value a place that draws is looked for, as shares of the way to the range's end."""


_advise = ContextVar("advise", default=True)


@contextmanager
def without_advice() -> Iterator[None]:
    """Within this, a refusal comes at once and says only what is wrong, not what to take instead."""
    before = _advise.set(False)
    try:
        yield
    finally:
        _advise.reset(before)


def led(stated: tuple[StyleValue, ...], given: Style, body: Body, draw: Callable[[Style], Drawn]) -> Drawn:
    """What draw(given) gives; a ValueAtFault comes back with values that draw.

    stated: the style values; given: those that were asked for, as numbers within their ranges; draw: drafts
    with given values, the others follow. The sentence names the value at fault where one of its own values
    draws with all else as it is; otherwise the fewest others that must change, at most three.
    """
    try:
        return draw(given)
    except ValueAtFault as fault:
        if not _advise.get():
            raise
        raise _Search(stated, given, body, draw).answer(fault) from None


class _Search:
    def __init__(
        self, stated: tuple[StyleValue, ...], given: Style, body: Body, draw: Callable[[Style], object]
    ):
        self.stated = {value.name: value for value in stated}
        self.given, self.body, self.draw = dict(given), body, draw
        self.kept: dict[tuple, bool] = {}

    def draws(self, style: Style) -> bool:
        key = tuple(sorted(style.items()))
        if key not in self.kept:
            try:
                self.draw(style)
            except PatternError:
                self.kept[key] = False
            else:
                self.kept[key] = True
        return self.kept[key]

    def all_of(self, style: Style) -> dict[str, float]:
        return read_style(tuple(self.stated.values()), style, self.body)

    def answer(self, fault: ValueAtFault) -> ValueAtFault:
        """The refusal with its advice."""
        change = self.changes(fault.name)
        if not change:
            return fault
        name = fault.name if fault.name in self.stated else next(iter(change))
        got = fault.got if name == fault.name else self.all_of(self.given)[name]
        rule = fault.rule if name == fault.name else f"does not go with this body: {fault.name} {fault.rule}"
        said = dict(sorted(change.items(), key=lambda item: item[0] != name)[:NAMED])
        return ValueAtFault(name, got, rule, self.sentence(name, said), instead=said)

    def sentence(self, name: str, change: Style) -> str:
        own = [self.amount(name, change[name])] if name in change else []
        if own and len(change) == 1:
            own[0] += self.way(name, change[name])
        first, *rest = (*own, *(f"{n} {self.amount(n, cm)}" for n, cm in change.items() if n != name))
        return f"Take {first}" + (", and " + " and ".join(rest) if rest else "") + "."

    def amount(self, name: str, number: float) -> str:
        unit = self.stated[name].unit
        return f"{number:g}" + (f" {unit}" if unit else "")

    def way(self, name: str, number: float) -> str:
        """' or less' or ' or more' where the next step and the range's end draw as well."""
        places, was = self.places(name, self.given), self.all_of(self.given)[name]
        up = number > was
        beyond = [v for v in places if (v > number if up else v < number)]
        if self.stated[name].unit == "" or not beyond:
            return ""
        ends = {beyond[0], beyond[-1]}
        words = " or more" if up else " or less"
        return words if all(self.draws(self.given | {name: v}) for v in ends) else ""

    def places(self, name: str, style: Style) -> list[float]:
        """The steps of a value's range, lowest first."""
        value = self.stated[name]
        low, high = value.range_for(self.body, self.all_of(style))
        first, last = round(low / value.step - 1e-6), round(high / value.step + 1e-6)
        steps = (round(value.step * k, 6) for k in range(first, last + 1))
        return [v for v in steps if low - 1e-9 <= v <= high + 1e-9]

    def nearest(self, name: str, style: Style, probes: tuple[float, ...] = PROBES) -> float | None:
        """The step of a value nearest to what it is now that draws with all else as in `style`."""
        now, places = self.all_of({**style, **self.asked(name)})[name], self.places(name, style)
        start = self.stated[name].start_for(self.body, self.all_of(style))
        sides = ([v for v in reversed(places) if v <= now], [v for v in places if v > now])
        found = [v for side in sides if (v := self._boundary(name, style, side, probes, start)) is not None]
        return min(found, key=lambda v: abs(v - now), default=None)

    def asked(self, name: str) -> Style:
        return {name: self.given[name]} if name in self.given else {}

    def _boundary(
        self, name: str, style: Style, side: list[float], probes: tuple[float, ...], start: float
    ) -> float | None:
        """The first of these values that draws, nearest first; those before one that draws are halved."""

        def draws(k: int) -> bool:
            return self.draws({**style, name: side[k]})

        if not side:
            return None
        last = len(side) - 1
        tried = [0, *(round(share * last) for share in probes)]
        if start in side:
            tried.insert(1, side.index(start))
        good = next((k for k in dict.fromkeys(tried) if draws(k)), None)
        if good is None:
            return None
        bad = -1
        while good - bad > 1:
            middle = (good + bad) // 2
            good, bad = (middle, bad) if draws(middle) else (good, middle)
        return side[good]

    def changes(self, name: str) -> dict[str, float]:
        """What to change: {style value: number}, empty where nothing was found."""
        if name in self.stated and (own := self.nearest(name, self.given)) is not None:
            return {name: own}
        kept = self.base(name)
        if kept is None:
            return {}
        lost = [n for n in kept if n not in self.given]
        for other in sorted(self.given, key=lambda n: n == name):  # the value at fault last: it gives way
            trial = kept | {other: self.given[other]}
            if self.draws(trial):
                kept = trial
            else:
                lost.append(other)
        for other in lost:
            without = {n: v for n, v in kept.items() if n != other}
            near = self.nearest(other, without)
            if near is not None:
                kept = without | {other: near}
        change = {n: kept.get(n, self.all_of(kept)[n]) for n in lost}
        return dict(sorted(change.items(), key=lambda item: item[0] != name))

    def base(self, name: str) -> dict[str, float] | None:
        """A style that draws: the starting one, or it with one value changed."""
        if self.draws({}):
            return {}
        for other in sorted(self.stated, key=lambda n: n != name):
            near = self.nearest(other, {}, (1.0, 0.5))
            if near is not None:
                return {other: near}
        return None

"""A lay without the engine: piece after piece into the first room that takes it, on the true shapes.

Cloth and pieces are cut into narrow bands along the length. In each band a piece fills stretches, and the
stretches of the cloth that are taken are the ones of a long whole number: whether a piece has room at a
place, for all places along the cloth at once, is then a few shifts of such numbers. A band takes the
widest that the piece is anywhere within it, so that true shapes never overlap.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from .shapes import Place, Ring, Shape, Strip, Way, box, no_room, room_needed, widened

BAND, STEP = 0.4, 0.1
"""cm: breadth of a band at most; places along the cloth lie this far apart at most."""
COARSEST = 240
"""Bands on wide cloth at most: wider bands are quicker and lose a little cloth."""
CHANGES = 1200
"""Changes of the order tried where no time is given, shared out over the pieces: 60 for 20 pieces."""


@dataclass(frozen=True)
class _Bands:
    """A way of a shape cut into bands.

    runs: (band, start, end) in steps; high: bands; long: steps; x0, y0: where the first band and step begin,
    cm; phase: steps from there to the way's level; fold: of the way.
    """

    runs: tuple[tuple[int, int, int], ...]
    high: int
    long: int
    x0: float
    y0: float
    phase: int
    fold: str


class _State(NamedTuple):
    """The cloth after some pieces. taken[j][band]: places from which the next 2**j steps are not all free;
    ends: (length, sum of all ends) in steps."""

    taken: tuple[list[int], ...]
    ends: tuple[int, int]
    places: tuple[Place, ...]


class _Laid(NamedTuple):
    """A lay. order: the shapes as they were laid; opened: those not laid at a fold; states: the cloth before
    the first piece, after it, and so on."""

    order: tuple[int, ...]
    opened: frozenset[int]
    states: tuple[_State, ...]

    @property
    def ends(self) -> tuple[int, int]:
        return self.states[-1].ends

    @property
    def places(self) -> tuple[Place, ...]:
        return self.states[-1].places

    def same_start(self, order: Sequence[int], opened: frozenset[int]) -> int:
        """How many pieces another order lays first in just the same way."""
        changed = self.opened ^ opened
        for k, (mine, other) in enumerate(zip(self.order, order, strict=True)):
            if mine != other or mine in changed:
                return k
        return len(self.order)


def search(
    shapes: Sequence[Shape], strip: Strip, *, seconds: float = 0.0, seed: int = 1, changes: int = CHANGES
) -> list[Place]:
    """Lay shapes on a strip; the shortest lay found in the time.

    Several orders are tried; then the order is changed here and there by chance (seed) and kept where the
    lay grows no longer: for so many seconds, or with none for a number of changes (shared out over the
    pieces), so that the result is always the same. On stripes every way's level
    lies on a whole number of repeats.
    """
    end = time.monotonic() + seconds if seconds else math.inf
    table = _Table(shapes, strip)
    numbers = [k for k, shape in enumerate(shapes) for _ in range(shape.count)]
    best: _Laid | None = None
    orders = _orders(table, numbers)
    for opened in table.openings():
        for order in orders:
            best = table.lay(order, opened, best.ends[0] if best else None) or best
            if best and time.monotonic() > end:
                return list(best.places)
    if best is None:
        raise no_room(shapes[numbers[0]])
    chance, changed = random.Random(seed), 0
    while len(numbers) > 1 and (time.monotonic() < end if seconds else changed < changes // len(numbers)):
        changed += 1
        order, opened, places = list(best.order), best.opened, best.places
        if table.either and chance.random() < 0.15:
            opened = opened ^ {chance.choice(table.either)}
        if chance.random() < 0.5:  # the piece that ends last is laid sooner
            i = max(range(len(order)), key=lambda k: (table.end_of(places[k]), chance.random()))
            order.insert(chance.randrange(i + 1), order.pop(i))
        else:
            i, j = chance.sample(range(len(order)), 2)
            order[i], order[j] = order[j], order[i]
        laid = table.lay(order, opened, best.ends[0] + 1, like=best)
        if laid and laid.ends <= best.ends:
            best = laid
    return list(best.places)


def _orders(table: _Table, numbers: list[int]) -> list[list[int]]:
    """Large pieces first, by several ideas of large."""
    first = [shape.ways[0].ring for shape in table.shapes]
    long = [box(r)[2] - box(r)[0] for r in first]
    high = [box(r)[3] - box(r)[1] for r in first]
    area = [abs(_area(r)) for r in first]
    fold = [bool(shape.ways[0].fold) for shape in table.shapes]
    ideas: list[Callable[[int], tuple[float, ...]]] = [
        lambda k: (-area[k], k),
        lambda k: (-long[k], -area[k], k),
        lambda k: (not fold[k], -area[k], k),
        lambda k: (-long[k] * high[k], k),
        lambda k: (-high[k], -area[k], k),
        lambda k: (-(long[k] + high[k]), k),
    ]
    orders: list[list[int]] = []
    for idea in ideas:
        order = sorted(numbers, key=idea)
        if order not in orders:
            orders.append(order)
    return orders


def _area(ring: Ring) -> float:
    return sum(p[0] * q[1] - p[1] * q[0] for p, q in zip(ring, (*ring[1:], ring[0]), strict=True)) / 2


class _Table:
    """The cloth in bands, and every way of every shape cut to the same bands."""

    def __init__(self, shapes: Sequence[Shape], strip: Strip):
        self.shapes, self.strip = shapes, strip
        by = room_needed([way.ring for shape in shapes for way in shape.ways], strip.gap)
        self.bands = min(COARSEST, math.ceil((strip.width + 2 * by) / BAND))
        self.band = (strip.width + 2 * by) / self.bands
        repeat = strip.repeat
        self.step = repeat / math.ceil(repeat / STEP) if repeat else STEP
        self.every = round(repeat / self.step) if repeat else 1
        self.by = by
        cut: dict[tuple, _Bands] = {}
        self.ways: list[list[_Bands]] = []
        for shape in shapes:
            made = []
            for way in shape.ways:
                key = (way.ring, way.level, way.fold)
                if key not in cut:
                    cut[key] = self._cut(way)
                made.append(cut[key])
            self.ways.append(made)
        whole = sum(self.ways[k][0].long * shape.count for k, shape in enumerate(shapes))
        self.end = whole + self.every * (sum(s.count for s in shapes) + 2)  # one behind the other, at worst
        at_fold = [[bool(way.fold) for way in shape.ways] for shape in shapes]
        self.either = [k for k, ways in enumerate(at_fold) if any(ways) and not all(ways)]
        self.either.sort(key=lambda k: (self.ways[k][0].long, k))
        self._off: dict[int, int] = {}
        self._start = [0] * self.bands
        if strip.closed:
            low, high = strip.closed  # a widened ring may reach into them as far as it was widened
            for k in range(math.floor((low + 2 * by) / self.band), math.ceil(high / self.band)):
                self._start[k] = (1 << self.end) - 1

    def openings(self) -> list[frozenset[int]]:
        """Which shapes that could lie at a fold are opened out: none, the shortest, the two shortest …"""
        return [frozenset(self.either[:k]) for k in range(len(self.either) + 1)]

    def _cut(self, way: Way) -> _Bands:
        from shapely import Polygon
        from shapely import box as rectangle

        ring = widened(way.ring, self.by, self.strip.gap)
        x0, y0, x1, y1 = box(way.ring)
        x0, y0, x1, y1 = x0 - self.by, y0 - self.by, x1 + self.by, y1 + self.by
        first = math.floor((x0 - way.level) / self.step + 1e-9) if self.every > 1 else 0
        origin = way.level + first * self.step if self.every > 1 else x0
        polygon = Polygon(ring)
        high = max(1, math.ceil((y1 - y0) / self.band - 1e-6))
        if way.fold == "high":
            y0 = y1 - high * self.band
        runs = []
        for k in range(high):
            low = y0 + k * self.band
            part = polygon.intersection(rectangle(x0 - 1, low, x1 + 1, low + self.band))
            spans = sorted(
                (g.bounds[0], g.bounds[2]) for g in getattr(part, "geoms", (part,)) if not g.is_empty
            )
            joined: list[list[float]] = []
            for a, b in spans:
                if joined and a <= joined[-1][1] + self.step:
                    joined[-1][1] = max(joined[-1][1], b)
                else:
                    joined.append([a, b])
            for a, b in joined:
                start = math.floor((a - origin) / self.step + 1e-6)
                end = max(math.ceil((b - origin) / self.step - 1e-6), start + 1)
                runs.append((k, max(start, 0), end))
        return _Bands(_spread(runs), high, max(end for *_, end in runs), origin, y0, -first, way.fold)

    def lay(
        self, order: Sequence[int], opened: frozenset[int], limit: int | None, *, like: _Laid | None = None
    ) -> _Laid | None:
        """Lay shapes in this order; None as soon as the lay would reach the limit, in steps.

        opened: the shapes that are not laid at a fold; like: an earlier lay, whose start is used again.
        """
        if like:
            states = list(like.states[: like.same_start(order, opened) + 1])
        else:
            levels = max(1, self.end.bit_length())
            states = [_State(tuple(list(self._start) for _ in range(levels)), (0, 0), ())]
        for number in order[len(states) - 1 :]:
            taken, (length, total), places = states[-1]
            best, latest = None, self.end if limit is None else limit - 1
            for way, cut in enumerate(self.ways[number]):
                if cut.fold and number in opened:
                    continue
                found = self._first(taken, cut, latest)
                if found and (best is None or found < best[:3]):
                    best, latest = (*found, way, cut), found[0]
            if best is None:
                return None
            end, x, y, way, cut = best
            length, total = max(length, end), total + end
            place = self._place(number, way, cut, x, y)
            states.append(_State(_with_piece(taken, cut, x, y), (length, total), (*places, place)))
        return _Laid(tuple(order), opened, tuple(states))

    def _first(self, taken, cut: _Bands, latest: int):
        """(end, x, y) of the place where a way of a shape ends soonest; None where it ends after `latest`."""
        runs = []
        for k, a, b in cut.runs:
            j = (b - a).bit_length() - 1
            runs.append((k, taken[j], a, a + (b - a) - (1 << j)))
        closed = self._off_stripe(cut.phase)
        best, most = None, latest - cut.long
        if most < 0:
            return None
        soon = (1 << (most + 1)) - 1  # the places that would still be soon enough
        top = self.bands - cut.high
        for y in {"low": (0,), "high": (top,), "": range(top + 1)}[cut.fold]:
            no = closed
            for k, rows, a, last in runs:
                row = rows[y + k]
                if row:
                    no |= row >> a
                    if last != a:
                        no |= row >> last
                    if no & soon == soon:
                        break
            else:
                x = _free(no)
                if x <= most:
                    best, most = (x + cut.long, x, y), x - 1
                    if x == 0:
                        break
                    soon = (1 << x) - 1
        return best

    def end_of(self, place: Place) -> float:
        """How far along the cloth a piece reaches, cm."""
        return box(self.shapes[place.shape].ways[place.way].ring)[2] + place.dx

    def _off_stripe(self, phase: int) -> int:
        """The places where a level `phase` steps into a shape does not lie on a whole number of repeats."""
        if self.every == 1:
            return 0
        if phase not in self._off:
            on = sum(1 << x for x in range(-phase % self.every, self.end, self.every))
            self._off[phase] = ((1 << self.end) - 1) ^ on
        return self._off[phase]

    def _place(self, number: int, way: int, cut: _Bands, x: int, y: int) -> Place:
        # on stripes the first room of the cloth is kept free, or the levels would leave the stripes
        left = 0.0 if self.every > 1 else self.by
        return Place(number, way, x * self.step - left - cut.x0, y * self.band - self.by - cut.y0)


def _with_piece(taken: tuple[list[int], ...], cut: _Bands, x: int, y: int) -> tuple[list[int], ...]:
    """What is taken once a way of a shape lies at step x and band y."""
    taken = tuple(list(rows) for rows in taken)
    for k, a, b in cut.runs:
        taken[0][y + k] |= ((1 << (b - a)) - 1) << (x + a)
    for k in {k for k, *_ in cut.runs}:
        row = taken[0][y + k]
        for j in range(1, len(taken)):
            row |= row >> (1 << (j - 1))
            taken[j][y + k] = row
    return taken


def _spread(runs: list[tuple[int, int, int]]) -> tuple[tuple[int, int, int], ...]:
    """The longest run, then the others so that any few of them lie far apart: what is in the way of a shape
    is met early."""
    runs = sorted(runs)
    bits = max(1, (len(runs) - 1).bit_length())
    numbers = (int(f"{k:0{bits}b}"[::-1], 2) for k in range(1 << bits))  # 0, half, a quarter, three quarters
    spread = [runs[k] for k in numbers if k < len(runs)]
    longest = max(spread, key=lambda run: run[2] - run[1])
    return (longest, *(run for run in spread if run is not longest))


def _free(no: int) -> int:
    """The first place that is not forbidden."""
    return (~no & (no + 1)).bit_length() - 1

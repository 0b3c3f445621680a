"""Fullness: slash the paper and spread it, or turn a dart into flare."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from .. import tolerances
from ..errors import GeometryError, ValueAtFault
from ..geometry import Move, Outline, fair, line
from ..units import Length, read_length
from .darts import close_dart
from .outlines import (
    Place,
    chain,
    moved,
    place_on,
    refuse_cut_off_paper,
    round_outline,
    undone,
)


def slash_and_spread(
    outline: Outline,
    cuts: Sequence[tuple[Place, Place]],
    *,
    spread: Length,
    parallel: bool = False,
    still: str | None = None,
    evenly: bool = False,
) -> Outline:
    """The outline slashed along straight cuts and spread; each gap is bridged by a straight edge.

    cuts: (place that opens, place of the hinge), in the order of the outline along the edge that opens;
    spread: how far each cut opens there, cm; parallel: the strips are shifted apart square to the cut by
    `spread` at both ends, not turned about the hinge; still: an edge that stays, None: the strip before the
    first cut; evenly: the first and the last strip move as far to either side instead.
    n cuts add n times the spread where they open, and nothing at the hinges unless parallel.
    The bridges are called 'spread', 'spread, part 1' and so on where there are several; redraw the edge
    fair afterwards. Cuts that cross or leave the paper are refused with GeometryError.
    """
    spread = read_length(spread, name="spread")
    if not 0 < spread <= 50:
        raise ValueAtFault("spread", spread, "must lie above 0 and be at most 50 cm", "It is one cut's gap.")
    opens = [place_on(outline, opening, "opening") for opening, _ in cuts]
    hinges = [place_on(outline, hinge, "hinge") for _, hinge in cuts]
    walked = [sum(c.length for _, c in outline.edges[:i]) + s for i, s in (*opens, *hinges[::-1])]
    order = [(w - walked[0]) % outline.length for w in walked]
    if not cuts or order != sorted(order):
        raise GeometryError("the cuts cross or are out of order: list them along the edge that opens.")
    moves, bridges, ends = [Move()], [], []
    for (i, s), (j, t) in zip(opens, hinges, strict=True):
        p, q = outline.edges[i][1].at(s), outline.edges[j][1].at(t)
        refuse_cut_off_paper(outline, p, q)
        if parallel:
            step = Move.shift(*((p - q).left().unit() * spread))
        elif spread < 1.2 * p.distance(q):
            step = Move.turn(q, math.degrees(2 * math.asin(spread / 2 / p.distance(q))))
        else:
            rule = f"is too wide for a cut of {p.distance(q):.1f} cm"
            raise ValueAtFault("spread", spread, rule, "Cut deeper, or make more cuts.")
        before, after = moves[-1], step.then(moves[-1])
        moves.append(after)
        bridges.append(("spread", line(before(p), after(p))))
        ends.append([("spread at the hinge", line(after(q), before(q)))] if parallel else [])
    # the hinge edge's part on the first strip comes last, as it does along that edge
    first, *edges = chain(outline, hinges[0], opens[0])
    for k in range(len(cuts)):
        end = opens[k + 1] if k + 1 < len(cuts) else hinges[k]
        edges += [bridges[k], *moved(chain(outline, opens[k], end), moves[k + 1])]
    for k in range(len(cuts) - 1, -1, -1):
        edges += ends[k] + (moved(chain(outline, hinges[k], hinges[k - 1]), moves[k]) if k else [first])
    made = round_outline(edges)
    if evenly:
        return made.moved(_half_back(moves[-1]))
    if still is None:
        return made
    middle = outline[still].at(outline[still].length / 2)
    rest = [c for name, c in edges if name == still]
    where = next(m for m in moves if any(c.closest(m(middle))[1] < tolerances.POINT for c in rest))
    return made.moved(undone(where))


def _half_back(move: Move) -> Move:
    """Half of a move, undone: a turn about its own middle, or a shift."""
    if abs(move.a - 1) < 1e-9:
        return Move.shift(-move.b.real / 2, -move.b.imag / 2)
    middle = move.b / (1 - move.a)
    return Move.turn((middle.real, middle.imag), -math.degrees(cmath.phase(move.a)) / 2)


def spread_into_flare(
    outline: Outline, legs: tuple[str, str], *, hem: str, at: Length | None = None, still: str | None = None
) -> Outline:
    """The outline with a dart closed, the hem opened below it and redrawn as one fair curve.

    hem: the edge that opens; at: distance (cm) from its start where it is cut, None: nearest to the dart
    point. The hem keeps its ends and leaves them as before; below the cut it keeps its depth from the dart
    point. Refused as by close_dart.
    """
    at = outline[hem].closest(outline[legs[0]].end)[0] if at is None else at
    made = close_dart(outline, legs, open_at=(hem, at), name="flare", still=still)
    first, second = made[f"{hem}, part 1"], made[f"{hem}, part 2"]
    leg = made["flare, second leg"]
    across = (made["flare, first leg"].start - leg.start).unit() + (leg.end - leg.start).unit()
    lowest = leg.start + across.unit() * leg.length
    curve = fair([first.start, lowest, second.end], start=first.start_direction, end=second.end_direction)
    gone = {f"{hem}, part 2", "flare, first leg", "flare, second leg"}
    kept = [(hem, curve) if n == f"{hem}, part 1" else (n, c) for n, c in made.edges if n not in gone]
    return Outline(tuple(kept))

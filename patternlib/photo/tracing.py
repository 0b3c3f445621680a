"""A pencil line followed between places on it: the way with the most ink first, then its middle."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from ..geometry import Point
from ..not_here import said_if_missing
from ..output.items import Box
from . import faults
from .ink import ink_of

COARSE = 20.0
"""Pixels a cm of the picture in which the way is looked for."""
ROUND = 3.0
"""cm: a line may bend out of the box of its ends so far, and by a third of its length."""
PAPER = 25.0
"""A cm of bare paper costs so many times a cm along a dark line."""
PALER = 0.7
"""A line to trace is at least so dark, as a share of the usual."""
BARE = 0.3
"""Of a way over more bare paper than this share it is said that there is no line."""
EVERY = 0.2
"""cm from place to place on the traced line."""
ASIDE = 0.12
"""cm: how far the middle of the line may lie beside the way that was found."""

Part = Callable[[Box, float], Any]


def usual_ink(part: Part, box: Box) -> float:
    """How dark drawn lines are on a paper, in the coarse picture; box: what is inside its rim of markers."""
    import numpy as np

    ink = ink_of(part(box, 2 * COARSE))
    return float(np.quantile(ink, 0.999))


def traced(part: Part, places: Sequence[Point], bounds: Box, fine: float, usual: float) -> tuple[Point, ...]:
    """The line over all places, the ends as they were given; usual: how dark drawn lines are."""
    import numpy as np

    runs = [_way(part, a, b, bounds, usual) for a, b in pairwise(places)]
    if not runs:
        return tuple(places)
    way = np.vstack([runs[0], *(run[1:] for run in runs[1:])])
    way = _evenly(way, EVERY)
    line = _middle(part, way, fine)
    return (places[0], *(Point(float(x), float(y)) for x, y in line[1:-1]), places[-1])


def _way(part: Part, a: Point, b: Point, bounds: Box, usual: float) -> Any:
    """The cheapest way from a to b over the pixels of a coarse picture, (n, 2) cm."""
    with said_if_missing("Tracing a line"):
        import numpy as np
        from scipy.ndimage import minimum_filter
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import dijkstra
    reach = ROUND + a.distance(b) / 3
    box = (
        max(bounds[0], min(a.x, b.x) - reach), max(bounds[1], min(a.y, b.y) - reach),
        min(bounds[2], max(a.x, b.x) + reach), min(bounds[3], max(a.y, b.y) + reach),
    )  # fmt: skip
    fine = part(box, 2 * COARSE)
    ink = ink_of(fine)
    high, wide = (n // 2 for n in ink.shape)
    # the darker of each four: a thin line stays a line
    dark = ink[: 2 * high, : 2 * wide].reshape(high, 2, wide, 2).max(axis=(1, 3))
    dark = np.clip(dark - 0.03, 0, None)
    strong = max(0.05, float(np.quantile(dark[dark > 0.05], 0.8)) if (dark > 0.05).any() else 0.05)
    strong = max(strong, PALER * usual)
    cost = 1 + PAPER * (1 - np.clip(dark / (0.6 * strong), 0, 1)) ** 2
    scale_x, scale_y = (box[2] - box[0]) / wide, (box[3] - box[1]) / high

    def node(p: Point) -> int:
        u = min(wide - 1, max(0, int((p.x - box[0]) / scale_x)))
        v = min(high - 1, max(0, int((box[3] - p.y) / scale_y)))
        return v * wide + u

    index = np.arange(high * wide).reshape(high, wide)
    rows, columns, costs = [], [], []
    for dv, du in ((0, 1), (1, 0), (1, 1), (1, -1)):
        one = (slice(0, high - dv), slice(max(0, -du), wide - max(0, du)))
        two = (slice(dv, high), slice(max(0, du), wide + min(0, du)))
        rows.append(index[one].ravel())
        columns.append(index[two].ravel())
        costs.append(((cost[one] + cost[two]) / 2 * math.hypot(dv, du)).ravel())
    count = high * wide
    graph = coo_array(
        (np.concatenate(costs), (np.concatenate(rows), np.concatenate(columns))), shape=(count, count)
    ).tocsr()
    start, end = node(a), node(b)
    _, before = dijkstra(graph, directed=False, indices=start, return_predecessors=True)
    nodes = [end]
    while nodes[-1] != start:
        nodes.append(int(before[nodes[-1]]))
        if nodes[-1] < 0:
            raise faults.no_line()
    way = np.array(nodes[::-1])
    near = minimum_filter(cost, 3).ravel()[way]
    if (near > 1 + 0.35 * PAPER).mean() > BARE:
        raise faults.no_line()
    v, u = np.divmod(way, wide)
    xy = np.column_stack([box[0] + (u + 0.5) * scale_x, box[3] - (v + 0.5) * scale_y])
    xy[0], xy[-1] = a, b
    return xy


def _evenly(way: Any, every: float) -> Any:
    """The way smoothed, with places at equal distances."""
    import numpy as np
    from scipy.ndimage import gaussian_filter1d

    if len(way) > 9:
        inner = np.column_stack([gaussian_filter1d(way[:, k], 2.5, mode="nearest") for k in (0, 1)])
        way = np.vstack([way[:1], inner[1:-1], way[-1:]])
    at = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(way, axis=0).T))])
    count = max(2, round(at[-1] / every) + 1)
    t = np.linspace(0, at[-1], count)
    return np.column_stack([np.interp(t, at, way[:, k]) for k in (0, 1)])


def _middle(part: Part, way: Any, fine: float) -> Any:
    """The way moved onto the middle of the line, by the ink across it."""
    import numpy as np
    from scipy.ndimage import gaussian_filter1d, map_coordinates

    if len(way) < 3:
        return way
    along = np.gradient(way, axis=0)
    along /= np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    across = np.column_stack([-along[:, 1], along[:, 0]])
    offsets = np.arange(-ASIDE, ASIDE + 1e-9, 0.5 / fine)
    # rows of ink across the way, each the mean over 1 mm along it
    shifts = np.linspace(-0.05, 0.05, 5)
    profile = np.zeros((len(way), len(offsets)))
    low, top = way.min(axis=0) - ASIDE - 0.5, way.max(axis=0) + ASIDE + 0.5
    step = max(1, math.ceil(max(top - low) / 12))
    for run in np.array_split(np.arange(len(way)), step):
        spots = (
            way[run][:, None, None]
            + offsets[None, :, None, None] * across[run][:, None, None]
            + shifts[None, None, :, None] * along[run][:, None, None]
        )
        x0, y0 = spots.reshape(-1, 2).min(axis=0) - 0.4
        x1, y1 = spots.reshape(-1, 2).max(axis=0) + 0.4
        ink = ink_of(part((x0, y0, x1, y1), fine))
        scale = ink.shape[1] / (x1 - x0), ink.shape[0] / (y1 - y0)
        u, v = (spots[..., 0] - x0) * scale[0] - 0.5, (y1 - spots[..., 1]) * scale[1] - 0.5
        profile[run] = map_coordinates(ink, [v, u], order=1, mode="nearest").mean(axis=2)
    profile = gaussian_filter1d(np.clip(profile, 0, None), 0.02 * fine * 2, axis=1, mode="nearest")
    best = _steady(profile)
    sub = offsets[best] + _peak(profile, best) * (offsets[1] - offsets[0])
    return way + sub[:, None] * across


def _steady(profile: Any) -> Any:
    """In each row a column with much ink, the columns of neighbours near each other (dynamic programming)."""
    import numpy as np

    gain = profile / max(1e-6, float(np.quantile(profile.max(axis=1), 0.8)))
    n, m = gain.shape
    reach, score, came = 3, gain[0].copy(), np.zeros((n, m), int)
    for k in range(1, n):
        options = np.full((2 * reach + 1, m), -np.inf)
        for j in range(-reach, reach + 1):
            lo, hi = max(0, j), min(m, m + j)
            options[j + reach, lo:hi] = score[lo - j : hi - j] - 0.03 * j * j
        pick = options.argmax(axis=0)
        came[k] = np.arange(m) - (pick - reach)
        score = options.max(axis=0) + gain[k]
    best = np.zeros(n, int)
    best[-1] = int(score.argmax())
    for k in range(n - 1, 0, -1):
        best[k - 1] = came[k, best[k]]
    return best


def _peak(profile: Any, best: Any) -> Any:
    """Where between columns the top lies, by a parabola."""
    import numpy as np

    rows, m = np.arange(len(best)), profile.shape[1]
    c = np.clip(best, 1, m - 2)
    a, b, d = profile[rows, c - 1], profile[rows, c], profile[rows, c + 1]
    bend = a - 2 * b + d
    t = np.where(abs(bend) > 1e-9, 0.5 * (a - d) / np.where(abs(bend) > 1e-9, bend, 1), 0)
    return np.clip(t, -1, 1) + (c - best)

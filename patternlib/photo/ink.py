"""Pencil lines in a flat picture: how dark the paper is, where lines run, where they cross, one traced.

A line is found as a ridge: where the curvature across is strongest, to a tenth of a pixel [C. Steger, An
unbiased detector of curvilinear structures, IEEE PAMI 20, 1998]. Near a crossing two ridges disturb each
other, so lines are fitted to the ridge a little away from it, and made to cross.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from ..geometry import Point

LINE = 0.022
"""cm: standard deviation of the blur at which lines are looked for; a pencil line is 0.03 to 0.06 cm wide."""
NEAR, FAR = 0.035, 0.3
"""cm from a crossing: ridges between these are used to place it."""
CLEAR = 0.05
"""cm between two lines from which on they are seen as two."""
OFF = 0.015
"""cm: how far a ridge may lie off its line."""
TURNED = math.radians(14)
"""And how far it may be turned from it."""
SHORTEST = 0.22
"""cm: shorter lines are specks and letters' strokes."""
APART, LEAST = math.radians(8), math.radians(5)
"""Lines that cross at less than the first angle give no place, at less than the second not even where both
end together."""
REACHES = 0.09
"""cm: a line must come so near to the crossing."""
WEAKEST = 0.38
"""A line paler than this share of the darkest line around is a printed grid or what the eraser left."""
NOISE = 5.0
"""And so many times stronger than what is left of the paper without lines."""
SAME = 0.06
"""cm: two crossings nearer than this are one."""
NARROW = math.sin(math.radians(28))
"""Lines that meet at a smaller angle, such as a dart's legs, run into each other long before they meet."""
SPREAD = 0.15
"""cm: a narrow crossing so near to a sharp one is that one, seen less well."""
AXIS = 0.045
"""cm: how far the ink where two lines have run together may lie beside the line through its middle."""
CAP = 0.02
"""cm: pencil reaches by so much, half its width, beyond the end of a line."""
GAP, ENDS = 0.15, 0.3
"""cm: ink ends where there is none for the first length; the end lies within the second of where the lines
would cross."""
MOST_LINES = 9
WIDEST = 75
"""Pixels: side of the square in which the brightness of the paper is looked for."""


class Crossing(NamedTuple):
    """Where two pencil lines cross or meet. strength: of the paler one, as a share of the darkest around;
    sharp: sine of the angle between them; at a small angle the place is less certain."""

    point: Point
    strength: float
    sharp: float = 1.0

    @property
    def clear(self) -> float:
        """How sure it is that just this place was meant, 0 to 1."""
        return self.strength * min(1.0, self.sharp / 0.5)


class Ridge(NamedTuple):
    """Places of ridges (n, 2), cm from the lower left corner; normals (n, 2); strengths (n,)."""

    at: Any
    normal: Any
    strength: Any
    noise: float


def ink_of(pixels: Any) -> Any:
    """How dark each pixel is against the paper round it, 0 to 1; colour counts less than grey pencil."""
    import cv2
    import numpy as np

    bright = pixels.max(axis=2) if pixels.ndim == 3 else pixels
    side = max(3, round(min(bright.shape) / 6)) | 1
    soft = cv2.GaussianBlur(bright, (0, 0), 1.0)
    # the paper's brightness changes slowly: of a large picture a small one will do
    shrink = min(1.0, WIDEST / side)
    small = cv2.resize(soft, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_LINEAR)
    side = round(side * shrink) | 1
    kernel = cv2.getStructuringElement(cv2.MORPH_RECT, (side, side))
    closed = cv2.morphologyEx(small, cv2.MORPH_CLOSE, kernel).astype(np.float32)
    even: Any = cv2.GaussianBlur(closed, (0, 0), side / 2)
    paper = cv2.resize(even, bright.shape[::-1], interpolation=cv2.INTER_LINEAR)
    return np.clip(1 - bright / np.maximum(paper, 8), -0.2, 1).astype(np.float32)


def ridges(ink: Any, px_per_cm: float, *, line: float = LINE) -> Ridge:
    """Where lines run in a flat picture."""
    import cv2
    import numpy as np

    s = max(1.2, line * px_per_cm)
    soft = cv2.GaussianBlur(ink, (0, 0), s)
    gx, gy = cv2.Sobel(soft, cv2.CV_32F, 1, 0, scale=1 / 8), cv2.Sobel(soft, cv2.CV_32F, 0, 1, scale=1 / 8)
    xx, yy = cv2.Sobel(soft, cv2.CV_32F, 2, 0, scale=1 / 4), cv2.Sobel(soft, cv2.CV_32F, 0, 2, scale=1 / 4)
    xy = cv2.Sobel(soft, cv2.CV_32F, 1, 1, scale=1 / 4)
    half, mean = np.sqrt(((xx - yy) / 2) ** 2 + xy**2), (xx + yy) / 2
    across = mean - half  # the curvature across the line, most negative on a dark one
    angle = 0.5 * np.arctan2(2 * xy, xx - yy) + np.pi / 2
    nx, ny = np.cos(angle), np.sin(angle)
    strength = -across * s * s
    noise = float(np.median(np.abs(strength))) * 1.5
    with np.errstate(divide="ignore", invalid="ignore"):
        t = -(gx * nx + gy * ny) / across
    px, py = t * nx, t * ny
    on = (strength > max(0.012, 2 * noise)) & (np.abs(px) <= 0.6) & (np.abs(py) <= 0.6)
    edge = round(2 * s)
    on[:edge], on[-edge:], on[:, :edge], on[:, -edge:] = False, False, False, False
    v, u = np.nonzero(on)
    high = ink.shape[0]
    at = np.column_stack([u + px[v, u] + 0.5, high - (v + py[v, u] + 0.5)]) / px_per_cm
    normal = np.column_stack([nx[v, u], -ny[v, u]])
    return Ridge(at.astype(float), normal.astype(float), strength[v, u].astype(float), noise)


def lines_crossing(ink: Any, px_per_cm: float) -> list[Crossing]:
    """All crossings in a flat picture, cm from its lower left corner."""
    return crossings_of(ridges(ink, px_per_cm), px_per_cm)


def darkness(found: Ridge) -> float:
    """How dark the darkest lines are, of ridges."""
    import numpy as np

    return float(np.quantile(found.strength, 0.97)) if len(found.at) else 0.0


def crossings_of(found: Ridge, px_per_cm: float, *, darkest_around: float = 0.0) -> list[Crossing]:
    """All crossings of ridges, cm as they are; darkest_around: of lines on the whole paper, where known."""
    found = _dark(found, darkest_around)
    lines = _lines(found, px_per_cm)
    if len(lines) < 2:
        return []
    darkest = max(darkest_around, *(strength for *_, strength in lines))
    least = max(WEAKEST * darkest, NOISE * found.noise)
    lines = [line for line in lines if line[2] >= least]
    out: list[Crossing] = []
    for k, a in enumerate(lines):
        for b in lines[k + 1 :]:
            crossing = _cross(found, a, b, darkest, px_per_cm)
            if crossing is not None and crossing.strength >= WEAKEST:
                out.append(crossing)
    kept: list[Crossing] = []
    for c in sorted(out, key=lambda c: -c.clear):
        apart = SAME if c.sharp >= NARROW else SPREAD
        if all(c.point.distance(o.point) > apart for o in kept):
            kept.append(c)
    return kept


def _dark(found: Ridge, darkest_around: float) -> Ridge:
    """Without ridges that are too pale beside the darkest to be a drawn line."""
    keep = found.strength > 0.7 * WEAKEST * max(darkest_around, darkness(found))
    return Ridge(found.at[keep], found.normal[keep], found.strength[keep], found.noise)


Line = tuple[Any, Any, float]
"""A place on it, its direction, its strength."""


def _lines(found: Ridge, px_per_cm: float) -> list[Line]:
    """Straight lines through the ridges, the longest first; a bent line gives several."""
    import numpy as np

    left = np.ones(len(found.at), bool)
    out: list[Line] = []
    weigh = np.minimum(found.strength, np.quantile(found.strength, 0.8)) if len(found.at) else found.strength
    for _ in range(MOST_LINES):
        index = np.nonzero(left)[0]
        if len(index) < SHORTEST * px_per_cm * 0.6:
            break
        at, normal, weight = found.at[index], found.normal[index], weigh[index]
        tried = index[:: max(1, len(index) // 70)]
        off = np.abs(((at[None] - found.at[tried][:, None]) * found.normal[tried][:, None]).sum(axis=2))
        alike = math.cos(TURNED) < np.abs(normal @ found.normal[tried].T).T
        score = ((off < OFF) & alike) @ weight
        best = tried[int(np.argmax(score))]
        place, along = found.at[best], _across(found.normal[best])
        on = np.zeros(len(index), bool)
        for _ in range(3):
            on = _on(at, normal, place, along)
            if on.sum() < 5:
                break
            place, along = _fitted(at[on], weight[on])
        if on.sum() < 5:
            left[best] = False
            continue
        t = (at[on] - place) @ along
        left[index[on]] = False
        if _covered(t, px_per_cm) >= SHORTEST:
            out.append((place, along, float(np.median(found.strength[index[on]]))))
    return out


def _across(v: Any) -> Any:
    import numpy as np

    return np.array([-v[1], v[0]])


def _on(at: Any, normal: Any, place: Any, along: Any, *, off: float = OFF, turned: float = TURNED) -> Any:
    across = _across(along)
    return (abs((at - place) @ across) < off) & (abs(normal @ across) > math.cos(turned))


def _fitted(at: Any, weight: Any) -> tuple[Any, Any]:
    """The straight line through places, by least squares of the distances."""
    import numpy as np

    place = np.average(at, axis=0, weights=weight)
    d = (at - place) * np.sqrt(weight)[:, None]
    return place, np.linalg.svd(d, full_matrices=False)[2][0]


def _covered(t: Any, px_per_cm: float) -> float:
    """cm of a line that ridges lie on."""
    import numpy as np

    return len(np.unique(np.floor(t * px_per_cm / 2))) * 2 / px_per_cm


def _cross(found: Ridge, a: Line, b: Line, darkest: float, px_per_cm: float) -> Crossing | None:
    """Where two lines meet, from the ridges near it; None where one of them does not come there."""
    sharp = _angle(a, b)
    if sharp < math.sin(LEAST):
        return None
    p, both = _refined(found, a, b, sharp, px_per_cm) or (None, [a, b])
    for lines in (both, [a, b]) if sharp < NARROW else ():
        end = _run_together(found, lines, _meet(*lines))
        if end is not None:
            p, both = end, lines
            break
    if p is None:
        return None
    strength = round(min(1.0, min(line[2] for line in both) / darkest), 3)
    return Crossing(Point(float(p[0]), float(p[1])), strength, round(_angle(*both), 3))


def _refined(found: Ridge, a: Line, b: Line, sharp: float, px_per_cm: float) -> tuple[Any, list[Line]] | None:
    """Where two lines meet as they run near that place, and the two as they run there."""
    import numpy as np

    if sharp < math.sin(APART):
        return None
    # the legs of a narrow dart run into each other: they are looked at farther from its point
    near = max(NEAR, CLEAR / sharp)
    far = max(FAR, 2.5 * near)
    p, both = _meet(a, b), [a, b]
    for _ in range(3):
        both = []
        for line in (a, b):
            d = found.at - p
            t = d @ line[1]
            on = _on(found.at, found.normal, line[0], line[1], off=2.5 * OFF, turned=1.4 * TURNED)
            if not (abs(t[on]) < REACHES * max(1, near / NEAR / 3)).any():
                return None
            on &= (abs(t) > near) & (abs(t) < far)
            if on.sum() < 5 or abs(t[on]).min() > near + REACHES:
                return None
            if _covered(t[on], px_per_cm) < 0.1:
                return None
            weight = found.strength[on] * np.exp(-((t[on] / (0.5 * far)) ** 2) / 2)
            place, along = _fitted(found.at[on], weight)
            both.append((place, along, float(np.median(found.strength[on]))))
        if _angle(both[0], both[1]) < math.sin(APART):
            return None
        q = _meet(both[0], both[1])
        moved = float(np.hypot(*(q - p)))
        p = q
        if moved > 0.1 / max(sharp, 0.3):
            return None
        if moved < 0.001:
            break
    return p, both


def _run_together(found: Ridge, both: list[Line], p: Any) -> Any:
    """Where the ink of lines that meet at a narrow angle ends, near where they would cross, p: it says more
    than that does. None where they run on beyond it, or where no ink leads there."""
    import numpy as np

    away = []
    for place, along, _ in both:
        t = (found.at - p) @ along
        own = t[_on(found.at, found.normal, place, along) & (abs(t) > ENDS)]
        if not len(own) or max(abs(own.min()), abs(own.max())) < 1.4 * ENDS:
            return None
        if own.min() < -2 * ENDS and own.max() > 2 * ENDS:
            return None
        away.append(along if own.max() > -own.min() else -along)
    if away[0] @ away[1] < 0:
        return None
    opened = (away[0] + away[1]) / np.hypot(*(away[0] + away[1]))
    d = found.at - p
    t, beside = d @ opened, abs(d @ _across(opened))
    inked = np.sort(t[(beside < AXIS) & (abs(t) < 2 * ENDS)])[::-1]
    if not len(inked) or inked[0] < ENDS / 2:
        return None
    gaps = np.nonzero(-np.diff(inked) > GAP)[0]
    end = float(inked[gaps[0]] if len(gaps) else inked[-1])
    return None if abs(end) > ENDS else p + opened * (end + CAP)


def _angle(a: Line, b: Line) -> float:
    """Sine of the angle between two lines."""
    return abs(float(a[1][0] * b[1][1] - a[1][1] * b[1][0]))


def _meet(a: Line, b: Line) -> Any:
    """Where two straight lines cross."""
    import numpy as np

    t = np.linalg.solve(np.column_stack([a[1], -b[1]]), b[0] - a[0])[0]
    return a[0] + t * a[1]

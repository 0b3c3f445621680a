"""One cubic Bézier: its length, its parts, its nearest point, and where it meets a line or another one.

Control points are complex numbers x + iy, cm; a place on the cubic is its parameter t, 0..1.
"""

from __future__ import annotations

import cmath
import itertools
import math
from collections.abc import Sequence

from .. import tolerances
from ..errors import GeometryError

Segment = tuple[complex, complex, complex, complex]
Terms = tuple[complex, complex, complex]
Stretch = tuple[float, float]
"""From t to t where two lines meet; both the same where they only cross or touch."""


def place(point: Sequence[float]) -> complex:
    """A point as a complex number; refuses what is not a place on paper."""
    z = complex(*point)
    if not cmath.isfinite(z):
        raise GeometryError(f"a point at {z.real:g}, {z.imag:g} is not a place on paper: check its measures.")
    return z


def gauss(n: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights of Gauss-Legendre quadrature on 0..1 (Newton on the Legendre polynomial)."""
    rows = []
    for k in range(1, n + 1):
        x = math.cos(math.pi * (k - 0.25) / (n + 0.5))
        for _ in range(50):
            p0, p1 = 1.0, x
            for j in range(2, n + 1):
                p0, p1 = p1, ((2 * j - 1) * x * p1 - (j - 1) * p0) / j
            slope = n * (x * p1 - p0) / (x * x - 1)
            x -= (step := p1 / slope)
            if abs(step) < 1e-15:
                break
        rows.append(((1 + x) / 2, 1 / ((1 - x * x) * slope * slope)))
    return tuple(rows)


_NODES = gauss(12)


def speed_terms(s: Segment) -> tuple[complex, complex, complex]:
    d0, d1, d2 = 3 * (s[1] - s[0]), 3 * (s[2] - s[1]), 3 * (s[3] - s[2])
    return d0, 2 * (d1 - d0), d0 - 2 * d1 + d2


def measure(terms: Terms, t0: float, t1: float) -> float:
    a, b, c = terms
    h = t1 - t0
    total = 0.0
    for node, weight in _NODES:
        t = t0 + h * node
        total += weight * abs(a + t * (b + t * c))
    return total * h


def measure_closely(terms: Terms, t0: float, t1: float, depth: int = 0) -> float:
    """Quadrature, halved until two halves agree with the whole (sharp bends near a handle)."""
    whole = measure(terms, t0, t1)
    mid = (t0 + t1) / 2
    halves = measure(terms, t0, mid) + measure(terms, mid, t1)
    if abs(whole - halves) < 1e-9 or depth > 12:
        return halves
    return measure_closely(terms, t0, mid, depth + 1) + measure_closely(terms, mid, t1, depth + 1)


def value(s: Segment, t: float) -> complex:
    u = 1 - t
    return u * u * u * s[0] + 3 * u * u * t * s[1] + 3 * u * t * t * s[2] + t * t * t * s[3]


def split(s: Segment, t: float) -> tuple[Segment, Segment]:
    a, b, c = s[0] + t * (s[1] - s[0]), s[1] + t * (s[2] - s[1]), s[2] + t * (s[3] - s[2])
    d, e = a + t * (b - a), b + t * (c - b)
    m = d + t * (e - d)
    return (s[0], a, d, m), (m, e, c, s[3])


def straight(s: Segment) -> bool:
    return abs(s[1] - (2 * s[0] + s[3]) / 3) + abs(s[2] - (s[0] + 2 * s[3]) / 3) < 1e-9


def tangent(s: Segment, t: float) -> complex:
    """The way the cubic runs at t, of any length; 0 only where all its points lie on one spot."""
    a, b, c = speed_terms(s)
    d = a + t * (b + t * c)
    if abs(d) > 1e-9:
        return d
    # a handle of no length, or a sharp turn on the way: the next point tells the way
    ways = (s[2] - s[0], s[3] - s[0]) if t < 1e-6 else (s[3] - s[1], s[3] - s[0])
    if 1e-6 <= t <= 1 - 1e-6:
        ways = (b + 2 * t * c, s[3] - s[0])
    return next((w for w in ways if abs(w) > 1e-9), s[3] - s[0])


def nearest(s: Segment, z: complex) -> tuple[float, float]:
    """(gap, t) of the point nearest to z."""
    if straight(s):
        d = s[3] - s[0]
        t = ((z - s[0]) * d.conjugate()).real / max(abs(d) ** 2, 1e-18)
        t = min(max(t, 0.0), 1.0)
        return abs(value(s, t) - z), t
    n = 12
    gaps = [abs(value(s, k / n) - z) for k in range(n + 1)]
    least = min(gaps)
    best = (least, gaps.index(least) / n)
    reach = sum(abs(q - p) for p, q in itertools.pairwise(s)) / n
    for k, gap in enumerate(gaps):
        low, high = max(k - 1, 0), min(k + 1, n)
        if gap <= least + reach and gap <= gaps[low] and gap <= gaps[high]:
            t = _settle(s, z, k / n, low / n, high / n)
            best = min(best, (abs(value(s, t) - z), t))
    return best


def _settle(s: Segment, z: complex, t: float, low: float, high: float) -> float:
    """Newton on the square of the gap, kept between two places where it is larger."""
    a, b, c = speed_terms(s)
    for _ in range(50):
        r, d, dd = value(s, t) - z, a + t * (b + t * c), b + 2 * t * c
        g = (r * d.conjugate()).real
        low, high = (low, t) if g > 0 else (t, high)
        h = abs(d) ** 2 + (r * dd.conjugate()).real
        new = t - g / h if h > 1e-12 else -1.0
        if not low <= new <= high:
            new = (low + high) / 2
        if abs(new - t) < 1e-13:
            break
        t = new
    return t


def meets_straight(s: Segment, p: complex, d: complex) -> list[Stretch]:
    """Where the cubic crosses or touches the line through p along d (length 1), without end."""
    h0, h1, h2, h3 = heights = tuple(((z - p) * d.conjugate()).imag for z in s)
    e = tolerances.POINT
    if max(heights) < -e or min(heights) > e:
        return []
    if max(-min(heights), max(heights)) < e:
        return [(0.0, 1.0)]
    a, b, c = 3 * (h1 - h0), 6 * (h2 - 2 * h1 + h0), 3 * (h3 - 3 * h2 + 3 * h1 - h0)

    def height(t: float) -> float:
        u = 1 - t
        return u * u * u * h0 + 3 * u * t * (u * h1 + t * h2) + t * t * t * h3

    stops = [0.0, *sorted(t for t in _quadratic_roots(c, b, a) if 1e-9 < t < 1 - 1e-9), 1.0]
    rises = [height(t) for t in stops]
    found = [t for t, h in zip(stops, rises, strict=True) if abs(h) < e]
    for low, high, below, above in zip(stops, stops[1:], rises, rises[1:], strict=False):
        if min(abs(below), abs(above)) < e or below * above > 0:
            continue  # an end that touches stands for a crossing beside it
        t = (low + high) / 2
        for _ in range(60):
            h = height(t)
            low, high = (t, high) if h * below > 0 else (low, t)
            slope = a + t * (b + t * c)
            new = t - h / slope if slope else low
            if not low < new < high:
                new = (low + high) / 2
            if abs(new - t) < 1e-14:
                break
            t = new
        found.append(t)
    return [(t, t) for t in sorted(found)]


def _quadratic_roots(a: float, b: float, c: float) -> list[float]:
    """Real roots of a t2 + b t + c, without loss of figures."""
    inside = b * b - 4 * a * c
    if inside < 0:
        return []
    q = -(b + math.copysign(math.sqrt(inside), b)) / 2
    return [n / m for n, m in ((q, a), (c, q)) if abs(m) > 1e-14]


def crossings(s: Segment, r: Segment) -> list[Stretch]:
    """Where s crosses, touches or runs along r, as t on s."""
    if _boxes_apart(s, r):
        return []
    if straight(r):
        d = r[3] - r[0]
        long = abs(d)
        if long < tolerances.POINT:
            gap, t = nearest(s, r[0])
            return [(t, t)] if gap < tolerances.POINT else []
        d /= long
        found = []
        for t, t2 in meets_straight(s, r[0], d):
            if t == t2:
                along = ((value(s, t) - r[0]) * d.conjugate()).real
                if -tolerances.POINT <= along <= long + tolerances.POINT:
                    found.append((t, t))
            else:
                found.extend(_overlap(s, r))
        return found
    if straight(s):
        places = [(value(r, u), value(r, u2)) for u, u2 in crossings(r, s)]
        ends = [(nearest(s, p)[1], nearest(s, q)[1]) for p, q in places]
        return [(min(pair), max(pair)) for pair in ends]
    return _curved_crossings(s, r)


def _boxes_apart(s: Segment, r: Segment) -> bool:
    e = tolerances.POINT
    sx, sy, rx, ry = [z.real for z in s], [z.imag for z in s], [z.real for z in r], [z.imag for z in r]
    return min(sx) > max(rx) + e or min(rx) > max(sx) + e or min(sy) > max(ry) + e or min(ry) > max(sy) + e


def _overlap(s: Segment, r: Segment) -> list[Stretch]:
    """The stretch of s that lies on r, between ends of either; [] where they only cross."""
    ends = [t for t in (0.0, 1.0) if nearest(r, value(s, t))[0] < tolerances.POINT]
    for z in (r[0], r[3]):
        gap, t = nearest(s, z)
        if gap < tolerances.POINT:
            ends.append(t)
    if not ends:
        return []
    low, high = min(ends), max(ends)
    runs = all(nearest(r, value(s, low + (high - low) * k))[0] < tolerances.POINT for k in (0.23, 0.5, 0.81))
    return [(low, high)] if runs else []


def _curved_crossings(s: Segment, r: Segment) -> list[Stretch]:
    """Both cubics are halved, and pairs that keep apart left out, until each pair can meet but once."""
    pairs = [(s, 0.0, r, 0.0)]
    width = 1.0
    found = [t for t in (0.0, 1.0) if nearest(r, value(s, t))[0] < tolerances.POINT]
    found += [t for gap, t in (nearest(s, r[0]), nearest(s, r[3])) if gap < tolerances.POINT]
    for depth in range(15):
        left = [
            (a, t, b, u) for a, t, b, u in pairs if not (_boxes_apart(a, b) or _beside(a, b) or _beside(b, a))
        ]
        if len(left) > 40 and (along := _overlap(s, r)):
            return along
        last = depth == 14 or len(left) > 120  # lines folded on themselves, or hardly larger than a point
        pairs = []
        for a, t, b, u in left:
            if last or (depth > 2 and _once(a, b)):
                hit = _meet_or_touch(s, r, t + width / 2, u + width / 2)
                if hit is not None:
                    found.append(hit)
            else:
                pairs.append((a, t, b, u))
        if not pairs:
            break
        width /= 2
        pairs = [
            (half, t + i * width, half2, u + j * width)
            for a, t, b, u in pairs
            for i, half in enumerate(split(a, 0.5))
            for j, half2 in enumerate(split(b, 0.5))
        ]
    kept: list[float] = []
    for t in sorted(found):  # found from several sides, or touching so closely that it is one place
        if kept and nearest(r, value(s, (kept[-1] + t) / 2))[0] < tolerances.POINT:
            kept[-1] = t if t == 1.0 else kept[-1]
        else:
            kept.append(t)
    return [(t, t) for t in kept]


def _beside(a: Segment, b: Segment) -> bool:
    """Whether b lies wholly to one side of the strip that holds a."""
    d = a[3] - a[0]
    if abs(d) < 1e-12:
        return False
    d = (d / abs(d)).conjugate()
    own = [((z - a[0]) * d).imag for z in a]
    other = [((z - a[0]) * d).imag for z in b]
    return min(other) > max(own) + tolerances.POINT or max(other) < min(own) - tolerances.POINT


def _once(a: Segment, b: Segment) -> bool:
    """Whether no way of a is parallel to a way of b, so that they cross once at most."""
    ways = [q - p for p, q in itertools.pairwise(a)]
    ways2 = [q - p for p, q in itertools.pairwise(b)]
    turns = [(v.conjugate() * w).imag for v in ways for w in ways2]
    return min(turns) > 0 or max(turns) < 0


def _meet_or_touch(s: Segment, r: Segment, t: float, u: float) -> float | None:
    """t of a crossing near (t, u), or else of a place where the cubics touch; None where neither."""
    terms, terms2 = speed_terms(s), speed_terms(r)
    for touching in (False, True):
        t1, u1 = t, u
        for _ in range(30):
            gap = value(s, t1) - value(r, u1)
            d, dd = _ways(terms, t1)
            e, ee = _ways(terms2, u1)
            if touching:  # the gap is square to s, and both run the same way
                f, g = (gap * d.conjugate()).real, (d.conjugate() * e).imag
                ft, fu = abs(d) ** 2 + (gap * dd.conjugate()).real, -(e * d.conjugate()).real
                gt, gu = (dd.conjugate() * e).imag, (d.conjugate() * ee).imag
            else:
                f, g = gap.real, gap.imag
                ft, fu, gt, gu = d.real, -e.real, d.imag, -e.imag
            det = ft * gu - fu * gt
            if abs(det) < 1e-18:
                break
            dt, du = (f * gu - fu * g) / det, (ft * g - f * gt) / det
            t1, u1 = min(max(t1 - dt, -0.01), 1.01), min(max(u1 - du, -0.01), 1.01)
            if abs(dt) + abs(du) < 1e-13:
                break
        t1, u1 = min(max(t1, 0.0), 1.0), min(max(u1, 0.0), 1.0)
        # near the pair it began from, and truly met
        if abs(t1 - t) + abs(u1 - u) < 0.3 and abs(value(s, t1) - value(r, u1)) < tolerances.POINT:
            return t1
    return None


def _ways(terms: Terms, t: float) -> tuple[complex, complex]:
    a, b, c = terms
    return a + t * (b + t * c), b + 2 * t * c

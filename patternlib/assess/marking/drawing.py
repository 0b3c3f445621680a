"""A hand-in as an inline SVG picture: own lines, target lines, and where the two differ."""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping

from ...output.styles import LINES
from ..judging.job import Lines
from ..safe_text import for_html

WIDTH, HIGHEST = 760, 620
"""px"""
MARGIN, TEXT = 34, 12
FAR = 400.0
"""cm: what lies farther than this from the target is left out of the picture and named below it."""


def picture(own: Lines, target: Lines, lines: Iterable[Mapping], alt: str) -> str:
    """Return the SVG text; lines: the verdict's lines, as `Verdict.to_dict` gives them."""
    off = {line["step"]: line["want"] for line in lines if line["verdict"] == "off"}
    wanted = {
        n: (w[0], w[1]) for n, w in off.items() if n in own.points and isinstance(w, list) and len(w) == 2
    }
    frame = Lines({**target.points, **wanted}, target.lines)
    own, left_out = _near(own, frame)
    spots = [*_spots(own), *_spots(frame)]
    if not spots:
        return ""
    x0, x1 = min(x for x, _ in spots), max(x for x, _ in spots)
    y0, y1 = min(y for _, y in spots), max(y for _, y in spots)
    scale = min((WIDTH - 2 * MARGIN) / max(x1 - x0, 1.0), (HIGHEST - 2 * MARGIN) / max(y1 - y0, 1.0))
    width, height = (x1 - x0) * scale + 2 * MARGIN, (y1 - y0) * scale + 2 * MARGIN

    def at(spot):
        return MARGIN + (spot[0] - x0) * scale, height - MARGIN - (spot[1] - y0) * scale

    parts = [_path(map(at, spots), "target") for spots in target.lines.values()]
    parts += [_path(map(at, spots), "own") for spots in own.lines.values()]
    for name, spot in wanted.items():
        if name in own.points:
            parts += [_path([at(own.points[name]), at(spot)], "measure"), _ring(at(spot))]
    drawn_lines = [*own.lines.values(), *target.lines.values()]
    labels = _Labels(width, height, [at(s) for spots in drawn_lines for s in spots[:: len(spots) // 60 + 1]])
    off_first = sorted(own.points.items(), key=lambda point: point[0] not in off)
    parts += [_dot(at(spot), name in off) for name, spot in off_first]
    parts += [labels.put(name, at(spot), name in off) for name, spot in off_first]
    note = f"<p>Too far away to be drawn: {for_html(', '.join(left_out))}.</p>" if left_out else ""
    drawn = f"<title>{for_html(alt)}</title><rect width='100%' height='100%' fill='#fff'/>{''.join(parts)}"
    return _svg(width, height, drawn) + note


def _near(own: Lines, target: Lines) -> tuple[Lines, list[str]]:
    frame = _spots(target) or [(0.0, 0.0)]
    x0, x1 = min(x for x, _ in frame) - FAR, max(x for x, _ in frame) + FAR
    y0, y1 = min(y for _, y in frame) - FAR, max(y for _, y in frame) + FAR

    def near(spots):
        return all(x0 <= x <= x1 and y0 <= y <= y1 for x, y in spots)

    points = {n: p for n, p in own.points.items() if near([p])}
    lines = {n: spots for n, spots in own.lines.items() if near(spots)}
    return Lines(points, lines), [n for n in (*own.points, *own.lines) if n not in points and n not in lines]


def _spots(drawn: Lines) -> list[tuple[float, float]]:
    return [*drawn.points.values(), *(spot for spots in drawn.lines.values() for spot in spots)]


def _path(spots: Iterable[tuple[float, float]], look: str) -> str:
    line = LINES[look]
    dashes = f' stroke-dasharray="{" ".join(f"{d * 2.5:g}" for d in line.dashes)}"' if line.dashes else ""
    way = "L".join(f"{x:.1f} {y:.1f}" for x, y in spots)
    return (
        f'<path d="M{way}" fill="none" stroke="{line.colour}" stroke-width="{line.width * 2.5:.2f}"{dashes}/>'
    )


def _dot(at: tuple[float, float], off: bool) -> str:
    size, ink = (4.5, LINES["own"].colour) if off else (2.5, "#1d1d1b")
    return f'<circle cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="{size}" fill="{ink}"/>'


def _ring(at: tuple[float, float]) -> str:
    colour = LINES["target"].colour
    return f'<circle cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="5" fill="none" stroke="{colour}" stroke-width="2"/>'


class _Labels:
    """Puts names beside their points, clear of one another; a name that finds no room is left out."""

    def __init__(self, width: float, height: float, lines: list[tuple[float, float]]):
        self.width, self.height, self.lines = width, height, lines
        self.taken: list[tuple[float, float, float, float]] = []

    def put(self, name: str, at: tuple[float, float], strong: bool) -> str:
        shown = name if len(name) <= 24 else name[:23] + "…"
        wide = len(shown) * TEXT * 0.56
        free = [place for place in _PLACES if self._is_free(self._box(at, wide, *place))]
        if not free:
            return ""
        clear = (p for p in free if not any(_holds(self._box(at, wide, *p), spot) for spot in self.lines))
        near, low, anchor = next(clear, free[0])
        box = self._box(at, wide, near, low, anchor)
        self.taken.append(box)
        weight = ' font-weight="bold"' if strong else ""
        return (
            f'<text x="{at[0] + near:.1f}" y="{at[1] + low:.1f}" text-anchor="{anchor}"{weight}'
            f' font-size="{TEXT}" font-family="sans-serif" fill="#1d1d1b" paint-order="stroke" '
            'stroke="#fff" stroke-width="3">'
            f"{for_html(shown)}</text>"
        )

    def _is_free(self, box: tuple[float, float, float, float]) -> bool:
        inside = box[0] >= 0 and box[1] >= 0 and box[2] <= self.width and box[3] <= self.height
        return inside and not any(_overlap(box, other) for other in self.taken)

    @staticmethod
    def _box(at, wide: float, near: float, low: float, anchor: str) -> tuple[float, float, float, float]:
        left = at[0] + near - {"start": 0.0, "end": wide, "middle": wide / 2}[anchor]
        return left, at[1] + low - TEXT, left + wide, at[1] + low + 3


_PLACES = (
    (7, -5, "start"),
    (7, 13, "start"),
    (-7, -5, "end"),
    (-7, 13, "end"),
    (0, -9, "middle"),
    (0, 20, "middle"),
)
"""px from a point, and how a name is set there; the first that is free is taken."""


def _holds(box, spot) -> bool:
    return box[0] <= spot[0] <= box[2] and box[1] <= spot[1] <= box[3]


def _overlap(a, b) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def bars(counts: Mapping[str, int], alt: str) -> str:
    """Return a row of bars with their counts as SVG; the names stand below."""
    most = max(counts.values(), default=0) or 1
    step, high = 64, 120
    parts = []
    for i, (name, count) in enumerate(counts.items()):
        x, tall = i * step + 10, high * count / most
        parts.append(
            f'<rect x="{x}" y="{high + 20 - tall:.1f}" width="{step - 16}" height="{tall:.1f}" '
            'fill="#4a6b7c"/>'
        )
        for text, y in ((str(count), high + 14 - tall), (name, high + 38)):
            parts.append(
                f'<text x="{x + (step - 16) / 2}" y="{y:.1f}" font-family="sans-serif" font-size="13" '
                f'text-anchor="middle">{html.escape(text)}</text>'
            )
    width = len(counts) * step + 10
    return _svg(width, high + 48, f"<title>{for_html(alt)}</title>{''.join(parts)}")


def _svg(width: float, height: float, drawn: str) -> str:
    size = f'viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}" height="{height:.0f}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" role="img" {size}>{drawn}</svg>'

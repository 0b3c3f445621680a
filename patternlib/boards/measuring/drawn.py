"""The figure as paths for the page: outlines in three views, each tape's course, where to look near."""

from __future__ import annotations

from typing import Any

from ...geometry import Curve
from ...output.items import curve_path, path_box
from ...output.scene.landmarks.figure import outlines
from ...output.scene.landmarks.tapes import LANDMARKS, courses
from .measures_asked import asked

VIEWS = ("front", "back", "side")
MARGIN, LEAST = 11.0, 62.0
"""cm shown beside a tape, and cm that are shown at least."""
NEAR = 1.3
"""cm from a landmark in which a tape goes by it."""


def figures() -> dict[str, Any]:
    """The outlines by view, and by measure its tapes with their landmarks and the boxes to look at."""
    return {
        "outlines": {view: _lines(view) for view in VIEWS},
        "tapes": {m.name: _tapes(m.name) for m in asked()},
    }


def _lines(view: str) -> list[str]:
    found = []
    for _, curve, mirrored in outlines(view):
        found.append(_path(curve))
        if mirrored:
            found.append(_path(curve, -1))
    return found


def _tapes(name: str) -> list[dict[str, Any]]:
    """view, path, box (x, y, width, height; y down) and landmarks (x, y, name) of each view of a measure."""
    found = []
    for view, curve in courses(name):
        x0, y0, x1, y1 = path_box(curve_path(curve))
        size = max(x1 - x0 + 2 * MARGIN, y1 - y0 + 2 * MARGIN, LEAST)
        mid = (x0 + x1) / 2, (y0 + y1) / 2
        box = [round(v, 1) for v in (mid[0] - size / 2, -mid[1] - size / 2, size, size)]
        marks: dict[tuple[float, float], str] = {}
        for end in (curve.start, curve.end):
            for words, seen, x, y, _ in LANDMARKS:
                for sign in (1, -1):
                    near = seen == view and abs(end.x - sign * x) + abs(end.y - y) < NEAR
                    if near and words not in marks.values():
                        marks[end.x, -end.y] = words
        ends = [[round(p.x, 2), round(-p.y, 2)] for p in (curve.start, curve.end)]
        landmarks = [[round(x, 2), round(y, 2), words] for (x, y), words in marks.items()]
        found.append({"view": view, "path": _path(curve), "box": box, "ends": ends, "marks": landmarks})
    return found


def _path(curve: Curve, sign: int = 1) -> str:
    """An SVG path in cm, y down."""
    out = []
    for kind, *values in curve_path(curve):
        numbers = (v * (sign if k % 2 == 0 else -1) for k, v in enumerate(values))
        out.append(kind + " ".join(f"{v:.2f}" for v in numbers))
    return "".join(out)

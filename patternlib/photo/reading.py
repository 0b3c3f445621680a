"""A photographed draft read: markers found, camera and paper fitted, faults said, the paper laid flat."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from ..geometry import Point
from ..not_here import said_if_missing
from ..output.items import Box
from . import faults
from .codes import marker_cells
from .decoding import decode
from .flat import Flat
from .layouts import (
    A_PAGE,
    FLAG_MARKER,
    FLAGS,
    PAPERS,
    SHEET_MARKER,
    STRIP_MARKER,
    STRIPS,
    TEST_LINE,
    Layout,
    flag_layout,
    sheet_layout,
    strips_layout,
)
from .lens import Body, Fit, fit_camera
from .markers import Seen, all_soft, find_markers, softness
from .plane import Plane

TILT = 25.0
"""Degrees: photographs held more off level are not read."""
BENT = 0.4
"""mm: the markers of the rim may lie so far off (root mean square) before the paper is not flat."""
SCALE = 0.005
"""A test line that is longer or shorter by this share is a page printed at another scale."""
SIZE = 0.015
"""The size of strips may differ so far, as a share, from what is printed, where distances tell it."""
WRONG = 0.06
"""If it differs more, the distances are wrong, not the printer."""
SOFT, SOFT_MM = 2.0, 0.4
"""A picture is blurred if edges are softer than both: pixels, and mm on the paper (standard deviation)."""
FEW_PIXELS = 1200
"""Pixels: a longest side below it is a picture made small."""
RATHER_SOFT = 0.6
"""Markers that are not found are blurred, not covered, if the others are softer than this share of it."""
SMALLEST = 18.0
"""Pixels a cm: below it a pencil line is lost."""
MISSING = 3
"""So many markers of a page's 20 may be missing, none of them next to each other."""
ALIKE = 0.9
"""So much of a marker is black or white as printed, where only a pencil line hides it from the finder."""
STRIP_LEAST = 8
"""Markers of a strip's 12 that must be seen."""
COVERED = 0.015
"""cm: a flag whose corners lie so far off a square is bent, or partly covered by another one."""
TAPES_OFF = 0.3
"""cm: how far the typed distances may differ from the picture."""


def read_photograph(
    data: bytes, *, distances: Sequence[tuple[str, str, float]] = (), test_line: float | None = None
) -> Flat:
    """Read the photograph of a worksheet's page, or of a full-size draft with marker strips round it.

    data: of a JPEG or PNG file; distances: between the crosses on two strips, measured with the ruler that
    drew the draft, such as ("A", "C", 71.3), cm; test_line: its length as measured, cm. Raises PhotoFault
    with a sentence that says what to do next, NotHere where a package is missing.
    """
    if test_line is not None:
        check_test_line(test_line)
    pixels = decode(data)
    with said_if_missing("Reading a photograph"):
        import cv2
    grey = cv2.cvtColor(pixels, cv2.COLOR_BGR2GRAY)
    seen = find_markers(grey)
    pages = {n // A_PAGE for n in seen.numbers if n < FLAGS}
    strips = sum(n >= STRIPS for n in seen.numbers)
    if len(seen.numbers) - sum(FLAGS <= n < STRIPS for n in seen.numbers) < 4:
        raise _why_none(grey, seen)
    soft = _softness(grey, seen)
    if soft > 1:
        raise faults.blurred()
    if seen.doubled() - set(range(FLAGS, STRIPS)):
        raise faults.two_sheets()
    layout = None
    if strips >= STRIP_LEAST and strips >= len(seen.numbers) / 4:
        kind, page = "strips", 0
        plane, names = _read_strips(seen, distances)
    else:
        kind, names = "sheet", ()
        page, layout, plane = _read_sheet(seen, grey, pages, soft)
    size = plane.fit.size
    if abs(size - 1) > SIZE:
        raise faults.other_size(size) if abs(size - 1) < WRONG else faults.wrong_distances(None)
    per_cm, residual = plane.px_per_cm(), plane.residual()
    if per_cm < SMALLEST:
        raise faults.too_small()
    if plane.fit.tilt > TILT:
        raise faults.tilted(plane.fit.tilt)
    if residual > BENT:
        raise faults.not_flat(residual)
    flags, doubtful = _flags(seen, plane)
    label = _label(layout, plane, pixels)
    found = Flat(
        kind, label, page, residual, plane.fit.tilt, hashlib.sha256(data).hexdigest(), flags, plane.box,
        per_cm, size, names, plane, pixels, doubtful,
    )  # fmt: skip
    return found


def check_test_line(cm: float) -> None:
    """Raises PhotoFault where the measured length of the test line says that its page has another scale."""
    if abs(cm / TEST_LINE - 1) > SCALE:
        raise faults.other_scale(cm / TEST_LINE)


def _why_none(grey: Any, seen: Seen) -> faults.PhotoFault:
    """The fault of a picture in which hardly a marker is found."""
    import cv2

    if len(find_markers(cv2.flip(grey, 1)).numbers) >= 4:
        return faults.mirrored()
    if max(grey.shape) < FEW_PIXELS:
        return faults.too_small()
    return faults.blurred() if all_soft(grey) else faults.no_markers()


def _softness(grey: Any, seen: Seen) -> float:
    """How soft the edges of the markers are; over 1 a pencil line cannot be read."""
    import numpy as np

    soft = softness(grey, seen)
    sides = np.linalg.norm(seen.corners - np.roll(seen.corners, 1, axis=1), axis=2).mean(axis=1)
    printed = [
        SHEET_MARKER if n < FLAGS else FLAG_MARKER if n < STRIPS else STRIP_MARKER for n in seen.numbers
    ]
    return float(min(soft / SOFT, soft / np.median(sides / printed) * 10 / SOFT_MM))


# -- worksheets


def _read_sheet(seen: Seen, grey: Any, pages: set[int], soft: float) -> tuple[int, Layout, Plane]:
    whole = [p for p in pages if len(_of_page(seen, p).numbers) > A_PAGE - MISSING - 1]
    if len(whole) > 1:
        raise faults.two_sheets()
    page = whole[0] if whole else max(pages, key=lambda p: len(_of_page(seen, p).numbers))
    own = _of_page(seen, page)
    if len(own.numbers) < 4:
        raise _why_none(grey, own)
    layout, fit = _best_sheet(own, page)
    _say_missing(layout, own, fit, soft, grey)
    return page, layout, Plane(fit, _page_box(layout))


def _of_page(seen: Seen, page: int) -> Seen:
    return seen.only(range(A_PAGE * page, A_PAGE * (page + 1)))


def _page_box(layout: Layout) -> Box:
    """From the outer edges of the markers on one side to those on the other."""
    xs = [p.x for four in layout.markers.values() for p in four]
    ys = [p.y for four in layout.markers.values() for p in four]
    return min(xs), min(ys), max(xs), max(ys)


def _best_sheet(own: Seen, page: int) -> tuple[Layout, Fit]:
    """The paper whose markers fit best: A4, Letter or A3, upright or across."""
    import cv2
    import numpy as np

    tried: list[tuple[float, int, Layout, Body]] = []
    for paper in PAPERS:
        for across in (False, True):
            layout = sheet_layout(paper, page, across=across)
            body = _body(layout, own)
            h, _ = cv2.findHomography(body.paper, body.picture, cv2.LMEDS)
            if h is None:
                continue
            off = cv2.perspectiveTransform(body.paper[None], h)[0] - body.picture
            tried.append((float(np.sqrt((off**2).sum(axis=1)).mean()), len(tried), layout, body))
    if not tried:
        raise faults.no_markers()
    # a lens bends more than one paper differs from another: the likeliest camera decides
    least = min(tried)[0]
    fits = []
    for off, k, layout, body in tried:
        if off < 4 * least + 1:
            fit = fit_camera([body], own.wide, own.high)
            fits.append((fit.unlikely, k, layout, fit))
    return min(fits)[2:]


def _body(layout: Layout, seen: Seen, *, marks: bool = False) -> Body:
    import numpy as np

    own = [k for k, n in enumerate(seen.numbers) if n in layout.markers]
    paper = np.array([layout.markers[seen.numbers[k]] for k in own], float).reshape(-1, 2)
    picture = seen.corners[own].reshape(-1, 2)
    return Body(layout.name, paper, picture, dict(layout.marks) if marks else {})


def _say_missing(layout: Layout, own: Seen, fit: Fit, soft: float, grey: Any) -> None:
    """Raises the fault for markers that are cut off or covered."""
    import numpy as np

    missing = [n for n in layout.markers if n not in own.numbers]
    if not missing:
        return
    middles = np.array([np.mean(layout.markers[n], axis=0) for n in missing])
    spots = fit.project(middles)
    sides = _outside(spots, own.wide, own.high)
    if sides:
        raise faults.cut_off(sides)
    there = [n for n in missing if soft <= RATHER_SOFT and _drawn_over(grey, fit, layout, n)]
    middles = middles[[n not in there for n in missing]]
    missing = [n for n in missing if n not in there]
    gaps = [
        n for n, p in zip(missing, middles, strict=True)
        if any(m != n and np.hypot(*(p - q)) < 7.5 for m, q in zip(missing, middles, strict=True))
    ]  # fmt: skip
    if len(missing) > MISSING or gaps:
        if soft > RATHER_SOFT:
            raise faults.blurred()
        wide, high = layout.size
        raise faults.covered(sorted({_where(x / wide, y / high) for x, y in middles}))


def _drawn_over(grey: Any, fit: Fit, layout: Layout, number: int) -> bool:
    """Whether a marker that was not found is there all the same, with a pencil line over it: nearly all of
    its cells are as they should be, at the place where it should be."""
    import cv2
    import numpy as np

    black = ~np.array(marker_cells(number))
    (x0, y1), (x1, y0) = layout.markers[number][0], layout.markers[number][2]
    across, down = Plane(fit, (x0, y0, x1, y1)).dense((x0, y0, x1, y1), 8 * len(black) / (x1 - x0))
    part = cv2.remap(grey, across, down, cv2.INTER_LINEAR)
    cells = np.median(part.reshape(len(black), 8, len(black), 8)[:, 2:6, :, 2:6], axis=(1, 3))
    between = (np.median(cells[black]) + np.median(cells[~black])) / 2
    return bool(((cells < between) == black).mean() > ALIKE and np.median(cells[~black]) - between > 15)


def _outside(spots: Any, wide: int, high: int) -> list[str]:
    sides = [("left", spots[:, 0] < 4), ("right", spots[:, 0] > wide - 5),
             ("top", spots[:, 1] < 4), ("bottom", spots[:, 1] > high - 5)]  # fmt: skip
    return [side for side, beyond in sides if beyond.any()]


def _where(x: float, y: float) -> str:
    if y > 0.85:
        return "at the top of the page"
    if y < 0.15:
        return "at the bottom of the page"
    return "on the left of the page" if x < 0.5 else "on the right of the page"


# -- strips


def _read_strips(seen: Seen, distances: Sequence[tuple[str, str, float]]) -> tuple[Plane, tuple[str, ...]]:

    layouts = [layout for page in (0, 1) for layout in strips_layout("a4", page)]
    counted = {layout.name: len(seen.only(layout.markers).numbers) for layout in layouts}
    known = [layout for layout in layouts if counted[layout.name] >= STRIP_LEAST]
    partly = [layout for layout in layouts if 0 < counted[layout.name] < STRIP_LEAST]
    names = tuple(layout.name[-1] for layout in known)
    if len(known) < 4:
        if partly:
            raise faults.covered([f"on {layout.name}" for layout in partly])
        raise faults.few_strips(names)
    for a, b, _ in distances:
        for name in (a, b):
            if name not in names:
                raise faults.no_such_distance(str(name)[:10], names)
    bodies = [_body(layout, seen, marks=True) for layout in known]
    if _together(bodies):
        raise faults.strips_together()
    fit = fit_camera(bodies, seen.wide, seen.high, distances=distances)
    if len(fit.tape_off) and abs(fit.tape_off).max() > TAPES_OFF:
        raise faults.wrong_distances(float(abs(fit.tape_off).max()))
    fit, (wide, high) = _upright(fit, bodies)
    return Plane(fit, (0.0, 0.0, wide, high)), names


def _together(bodies: Sequence[Body]) -> bool:
    """Whether the strips lie as they were printed, on one page that was not cut, or nearly so: the place in
    their middle is hardly farther from any than a strip is long."""
    import numpy as np

    middles = np.array([body.picture.mean(axis=0) for body in bodies])
    lengths = [np.ptp(body.picture, axis=0).max() for body in bodies]
    return bool(np.linalg.norm(middles - middles.mean(axis=0), axis=1).max() < 0.6 * np.median(lengths))


def _upright(fit: Fit, bodies: Sequence[Body]) -> tuple[Fit, tuple[float, float]]:
    """The fit with the paper's frame turned so that y points up in the picture, its lower left corner where
    the strips end; and the width and height between the strips' ends."""
    import numpy as np

    laid = np.vstack([fit.laid(k, body.paper) for k, body in enumerate(bodies)])
    middle = laid.mean(axis=0)
    here, right, up = fit.project(middle + np.array([(0, 0), (0.1, 0), (0, 0.1)]))
    above = np.linalg.solve(np.column_stack([right - here, up - here]), np.array([0.0, -1.0]))
    angle = float(np.pi / 2 - np.arctan2(above[1], above[0]))
    c, s = np.cos(angle), np.sin(angle)
    turned = laid @ np.array([[c, s], [-s, c]])
    low, top = turned.min(axis=0), turned.max(axis=0)
    return fit.turned(angle, float(-low[0]), float(-low[1])), (float(top[0] - low[0]), float(top[1] - low[1]))


def _label(layout: Layout | None, plane: Plane, pixels: Any) -> str:
    """The text of the two-dimensional code, '' where none can be read."""
    import cv2
    import numpy as np

    if layout is None or layout.code is None:
        return _loose_label(pixels)
    for fine, rim in ((80.0, 0.15), (160.0, 0.2), (50.0, 0.3), (120.0, 0.05)):
        x0, y0, x1, y1 = layout.code
        across, down = plane.dense((x0 - rim, y0 - rim, x1 + rim, y1 + rim), fine)
        part = cv2.cvtColor(cv2.remap(pixels, across, down, cv2.INTER_CUBIC), cv2.COLOR_BGR2GRAY)
        part = cv2.normalize(part, np.empty_like(part), 0, 255, cv2.NORM_MINMAX)
        for detector in (cv2.QRCodeDetector(), cv2.QRCodeDetectorAruco()):  # one reads what the other misses
            if text := _decoded(detector, part):
                return text
    return ""


def _decoded(detector: Any, part: Any) -> str:
    """What a detector of codes reads in a grey picture, '' where it reads nothing."""
    import cv2

    try:
        return str(detector.detectAndDecode(part)[0])
    except (cv2.error, UnicodeDecodeError):
        return ""


def _loose_label(pixels: Any) -> str:
    """The text of a code on a slip that lies anywhere in the picture, '' where there is none."""
    import cv2

    grey = cv2.cvtColor(pixels, cv2.COLOR_BGR2GRAY)
    for share in (0.5, 1.0):
        part = cv2.resize(grey, None, fx=share, fy=share, interpolation=cv2.INTER_AREA)
        if text := _decoded(cv2.QRCodeDetectorAruco(), part):
            return text
    return ""


def _flags(seen: Seen, plane: Plane) -> tuple[Mapping[int, Point], tuple[int, ...]]:
    """Where flags point, by number; and the numbers of those whose place is in doubt."""
    import numpy as np

    tips, doubtful = {}, {n - FLAGS for n in seen.doubled() if FLAGS <= n < STRIPS}
    for number, four in zip(seen.numbers, seen.corners, strict=True):
        if FLAGS <= number < STRIPS and number - FLAGS not in doubtful:
            layout = flag_layout(number - FLAGS)
            (printed,) = layout.markers.values()
            assert layout.tip is not None
            a, b = np.array(printed, float), plane.onto_paper(four)
            za, zb = _complex(a - a.mean(axis=0)), _complex(b - b.mean(axis=0))
            turn = (zb * za.conj()).sum() / (za * za.conj()).sum()
            if abs(turn * za - zb).max() > COVERED:
                doubtful.add(number - FLAGS)
                continue
            tip = complex(*b.mean(axis=0)) + turn * (complex(*layout.tip) - complex(*a.mean(axis=0)))
            tips[number - FLAGS] = Point(float(tip.real), float(tip.imag))
    return MappingProxyType(tips), tuple(sorted(doubtful))


def _complex(xy: Any) -> Any:
    return xy[:, 0] + 1j * xy[:, 1]

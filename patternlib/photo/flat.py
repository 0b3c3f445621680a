"""A photographed draft laid flat: a picture at true scale, enlargements, crossings, lines traced.

All places are cm on the flat paper, y up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from ..geometry import Point
from ..output.items import Box
from . import faults
from .ink import Crossing, crossings_of, darkness, ink_of, lines_crossing, ridges
from .plane import Plane
from .tracing import traced, usual_ink

FINEST = 160.0
"""Pixels a cm: finer than this no telephone shows the paper."""
MOST_PIXELS = 40_000_000
"""Of a flat picture."""
PALER = 0.6
"""Beside a crossing of dark lines one paler than this share of it is not meant."""
SURELY = 0.05
"""cm: which of two crossings is meant is not decided by less."""
CONTEXT = (0.5, 1.0)
"""cm of paper round the searched circle, so that lines are seen long enough; more where none cross at first,
as at the point of a narrow dart."""


@dataclass(frozen=True, eq=False)
class Flat:
    """What was read from a photograph.

    kind: 'sheet' or 'strips'; label: text of the two-dimensional code, '' where there is none; page: of a
    worksheet, from 0 (every 15 pages again); residual: mm that the markers lie off, paper not flat; tilt:
    degrees the telephone was off level; sha256: of the file; flags: by number, where their tips point;
    box: part of the paper that is measured; px_per_cm: how large the photograph shows the paper; size:
    printed length of the strips as a part of the true one; names: of the strips that were read;
    doubtful: numbers of flags that are bent, partly covered or there twice, none of them in `flags`.
    """

    kind: str
    label: str
    page: int
    residual: float
    tilt: float
    sha256: str
    flags: Mapping[int, Point]
    box: Box
    px_per_cm: float
    size: float
    names: tuple[str, ...]
    plane: Plane
    pixels: Any
    doubtful: tuple[int, ...] = ()

    def picture(self, px_per_cm: float = 40.0) -> bytes:
        """The flat paper as JPEG bytes, its box at true scale, without private data of the file."""
        x0, y0, x1, y1 = self.box
        most = math.sqrt(MOST_PIXELS / ((x1 - x0) * (y1 - y0)))
        return _jpeg(self.part(self.box, min(px_per_cm, most, FINEST)))

    def enlarged(self, at: Point, cm: float = 3.0, px: int = 480) -> bytes:
        """A square of the paper round a place, as JPEG bytes of px by px.

        Raises PhotoFault for a place outside the paper.
        """
        self.inside(at)
        return _jpeg(self.part(_around(at, cm / 2), min(px, 4000) / cm))

    def crossings(self, at: Point, radius: float = 0.3) -> tuple[Crossing, ...]:
        """Where pencil lines cross or meet within a radius (cm) of a place, the likeliest first.

        That is one that is near, dark, and no narrow meeting of lines.

        Two or more: the learner is asked. Raises PhotoFault for a place outside the paper.
        """
        self.inside(at)
        near: list[Crossing] = []
        for context in CONTEXT:
            near = near or [
                c for c in self._found(_around(at, radius + context)) if c.point.distance(at) <= radius
            ]
        least = PALER * max((c.strength for c in near), default=0.0)
        near = [c for c in near if c.strength >= least]
        return tuple(sorted(near, key=lambda c: (c.point.distance(at) + SURELY) / c.clear))

    def _found(self, box: Box) -> list[Crossing]:
        """The crossings in a box of the paper, in no order."""
        fine = self._fineness()
        found = lines_crossing(ink_of(self.part(box, fine)), fine)
        return [c._replace(point=Point(box[0] + c.point.x, box[1] + c.point.y)) for c in found]

    def all_crossings(self, box: Box | None = None) -> tuple[Crossing, ...]:
        """All crossings in a box of the paper, in rows of 1 cm from the top, each from the left."""
        x0, y0, x1, y1 = box or self.box
        fine, step, rim = self._fineness(), 2.0, CONTEXT[0]
        cells = []
        for j in range(max(1, math.ceil((y1 - y0) / step))):
            for i in range(max(1, math.ceil((x1 - x0) / step))):
                low, left = y0 + j * step, x0 + i * step
                cell = left, low, min(x1, left + step), min(y1, low + step)
                wider = cell[0] - rim, cell[1] - rim, cell[2] + rim, cell[3] + rim
                cells.append((cell, wider, ridges(ink_of(self.part(wider, fine)), fine)))
        # what is pale on the whole paper is pale where nothing darker is near, too
        darkest = sorted(darkness(found) for *_, found in cells)[int(0.9 * (len(cells) - 1))]
        found: list[Crossing] = []
        for cell, wider, seen in cells:
            for c in crossings_of(seen, fine, darkest_around=darkest):
                p = Point(wider[0] + c.point.x, wider[1] + c.point.y)
                if cell[0] <= p.x < cell[2] and cell[1] <= p.y < cell[3]:
                    found.append(c._replace(point=p))
        kept: list[Crossing] = []
        for c in sorted(found, key=lambda c: -c.strength):
            if all(c.point.distance(other.point) > 0.1 for other in kept):
                kept.append(c)
        return tuple(sorted(kept, key=lambda c: (-math.floor(c.point.y), c.point.x)))

    def trace(self, places: Sequence[Point]) -> tuple[Point, ...]:
        """The pencil line from the first place over the others to the last, a point about every 2 mm.

        Raises PhotoFault where no line leads from one to the next, or a place lies outside the paper.
        """
        for place in places:
            self.inside(place)
        return traced(self.part, places, self._bounds(), self._fineness(), self._usual_ink)

    def part(self, box: Box, px_per_cm: float) -> Any:
        """A box of the flat paper as pixels (height, width, 3), rows from the top."""
        import cv2

        across, down = self.plane.dense(box, px_per_cm)
        how = cv2.INTER_CUBIC if px_per_cm > 0.7 * self.px_per_cm else cv2.INTER_AREA
        how = cv2.INTER_LINEAR if how == cv2.INTER_AREA else how
        white = (255, 255, 255)
        shrink = self.px_per_cm / px_per_cm
        if shrink <= 1.5:
            return cv2.remap(
                self.pixels, across, down, how, borderMode=cv2.BORDER_CONSTANT, borderValue=white
            )
        # several pixels of the photograph in one of the flat picture: all of them are taken
        times = min(4, round(shrink))
        finer_x, finer_y = self.plane.dense(box, px_per_cm * times)
        finer = cv2.remap(
            self.pixels, finer_x, finer_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=white
        )
        return cv2.resize(finer, (across.shape[1], across.shape[0]), interpolation=cv2.INTER_AREA)

    def inside(self, at: Point) -> None:
        """Raises PhotoFault for a place that is not inside the box, or is no place."""
        x0, y0, x1, y1 = self._bounds()
        if not (x0 <= at[0] <= x1 and y0 <= at[1] <= y1):
            raise faults.off_paper()

    @cached_property
    def _usual_ink(self) -> float:
        x0, y0, x1, y1 = self.box
        rim = 5.0 if self.kind == "strips" else 1.2
        return usual_ink(self.part, (x0 + rim, y0 + rim, x1 - rim, y1 - rim))

    def _bounds(self) -> Box:
        return self.box

    def _fineness(self) -> float:
        return float(min(FINEST, max(60.0, 1.3 * self.px_per_cm)))


def _around(at: Point, reach: float) -> Box:
    return at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach


def _jpeg(pixels: Any) -> bytes:
    import cv2

    return bytes(cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, 88])[1].tobytes())

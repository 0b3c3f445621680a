"""A flat picture that was kept of a photograph, ready to be tapped on: crossings, enlargements, lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..geometry import Point
from ..not_here import said_if_missing
from ..output.items import Box
from . import faults
from .flat import Flat


@dataclass(frozen=True)
class Level:
    """The plane of a picture that is flat already, at so many pixels a cm of its box."""

    box: Box
    px: float

    def dense(self, box: Box, px_per_cm: float) -> tuple[Any, Any]:
        """For every pixel of a picture of a box the place in the kept picture, as `Plane.dense`."""
        import numpy as np

        x0, y0, x1, y1 = box
        wide, high = max(1, round((x1 - x0) * px_per_cm)), max(1, round((y1 - y0) * px_per_cm))
        x = x0 + (np.arange(wide) + 0.5) / wide * (x1 - x0)
        y = y1 - (np.arange(high) + 0.5) / high * (y1 - y0)
        across = ((x - self.box[0]) * self.px - 0.5).astype(np.float32)
        down = ((self.box[3] - y) * self.px - 0.5).astype(np.float32)
        across, down = np.broadcast_to(across, (high, wide)), np.broadcast_to(down[:, None], (high, wide))
        return np.ascontiguousarray(across), np.ascontiguousarray(down)


def kept_flat(
    jpeg: bytes,
    *,
    box: Box,
    px_per_cm: float,
    kind: str,
    label: str,
    page: int,
    residual: float,
    tilt: float,
    sha256: str,
    flags: Mapping[int, Point],
    doubtful: tuple[int, ...] = (),
) -> Flat:
    """A flat picture as `Flat.picture` gave it, with what was read from its photograph.

    Raises PhotoFault where it is no picture of the size that was said, NotHere where a package is missing.
    """
    with said_if_missing("Reading a photograph"):
        import cv2
        import numpy as np
    pixels = cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_COLOR)
    wide = box[2] - box[0]
    if pixels is None or abs(pixels.shape[1] - wide * px_per_cm) > 2:
        raise faults.no_picture("broken")
    plane: Any = Level(box, pixels.shape[1] / wide)
    return Flat(
        kind, label, page, residual, tilt, sha256, dict(flags), box, plane.px, 1.0, (), plane, pixels,
        doubtful,
    )  # fmt: skip

"""The coded markers found in the pixels, their corners to a tenth of a pixel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..not_here import said_if_missing

COARSE = 2200
"""Pixels: longest side of the picture in which markers are looked for; corners are found in the whole."""
LEAST = 20
"""Pixels of the whole picture: shortest side of a marker whose corners are exact enough."""

STAYS = 0.72
"""Of its steepest slope a sharp picture keeps less than this when it is blurred again."""


@dataclass(frozen=True, eq=False)
class Seen:
    """Markers in a picture. corners: (n, 4, 2) pixels, for each of numbers; wide, high: of the picture."""

    numbers: tuple[int, ...]
    corners: Any
    wide: int
    high: int

    def doubled(self) -> set[int]:
        """Numbers that are seen more than once."""
        return {n for n in self.numbers if self.numbers.count(n) > 1}

    def only(self, numbers: Any) -> Seen:
        keep = [k for k, n in enumerate(self.numbers) if n in numbers]
        return Seen(tuple(self.numbers[k] for k in keep), self.corners[keep], self.wide, self.high)


def find_markers(grey: Any) -> Seen:
    """The markers in a grey picture, an array of bytes (height, width)."""
    with said_if_missing("Reading a photograph"):
        import cv2
        import numpy as np
    high, wide = grey.shape
    shrink = min(1.0, COARSE / max(wide, high))
    small = cv2.resize(grey, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA) if shrink < 1 else grey
    how = cv2.aruco.DetectorParameters()
    how.adaptiveThreshWinSizeMin, how.adaptiveThreshWinSizeMax, how.adaptiveThreshWinSizeStep = 7, 43, 12
    how.minMarkerPerimeterRate = 0.015
    how.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    known = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    found, numbers, _ = cv2.aruco.ArucoDetector(known, how).detectMarkers(small)
    if numbers is None or len(numbers) == 0:
        return Seen((), np.zeros((0, 4, 2)), wide, high)
    corners = (np.concatenate(found).reshape(-1, 4, 2).astype(np.float64) + 0.5) / shrink - 0.5
    for four in corners:
        _refine(grey, four, shrink)
    return Seen(tuple(int(n) for n in np.ravel(numbers)), corners, wide, high)


def _refine(grey: Any, four: Any, shrink: float) -> None:
    """The corners of one marker, where its black meets the white paper."""
    import cv2
    import numpy as np

    side = min(np.linalg.norm(four - np.roll(four, 1, axis=0), axis=1))
    # the window stays inside the rim's one black cell and the white border
    reach = int(np.clip(side / 10, 2, 12))
    how = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 40, 0.01)
    x0, y0 = np.maximum(np.floor(four.min(axis=0)).astype(int) - reach - 3, 0)
    x1, y1 = np.ceil(four.max(axis=0)).astype(int) + reach + 4
    part = np.ascontiguousarray(grey[y0:y1, x0:x1])
    start = (four - (x0, y0)).astype(np.float32).reshape(-1, 1, 2)
    better = cv2.cornerSubPix(part, start.copy(), (reach, reach), (-1, -1), how).reshape(-1, 2)
    moved = np.linalg.norm(better - start.reshape(-1, 2), axis=1)
    good = moved < max(1.5 / shrink, side / 12)
    four[good] = better[good] + (x0, y0)


def softness(grey: Any, seen: Seen) -> float:
    """How soft the edges of the markers are: standard deviation of the blur in pixels, the middle one."""
    import cv2
    import numpy as np

    found = []
    for four in seen.corners[:: max(1, len(seen.numbers) // 12)]:
        for a, b in zip(four, np.roll(four, -1, axis=0), strict=True):
            along = b - a
            length = np.linalg.norm(along)
            out = np.array([along[1], -along[0]]) / length
            reach = length / 9
            across = np.linspace(-reach, reach, 41)
            t = np.linspace(0.2, 0.8, 15)
            places = a + t[:, None, None] * along + across[None, :, None] * out
            u, v = places[..., 0].astype(np.float32), places[..., 1].astype(np.float32)
            rows = cv2.remap(grey, u, v, cv2.INTER_LINEAR).astype(float).mean(axis=0)
            height = abs(rows[-4:].mean() - rows[:4].mean())
            steepest = np.abs(np.gradient(rows, across[1] - across[0])).max()
            if height > 20:
                found.append(height / (steepest * np.sqrt(2 * np.pi)))
    return float(np.median(found)) if found else float("inf")


def all_soft(grey: Any) -> bool:
    """Whether no edge in a picture is sharp: blurring it again then changes its steepest places little."""
    import cv2
    import numpy as np

    def steepest(spread: float) -> float:
        soft = cv2.GaussianBlur(grey, (0, 0), spread).astype(np.float32)
        across, down = cv2.Sobel(soft, cv2.CV_32F, 1, 0), cv2.Sobel(soft, cv2.CV_32F, 0, 1)
        return float(np.quantile(cv2.magnitude(across, down), 0.998))

    once, twice = 1.5, 3.5
    return steepest(twice) > STAYS * steepest(once)

"""From a place on the flat paper to a place in the picture, and back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..output.items import Box
from .lens import Fit

EVERY = 0.5
"""cm: the way into the picture is calculated so densely, and evenly between."""


@dataclass(frozen=True, eq=False)
class Plane:
    """fit: of the camera and the paper; box: part of the flat paper that is measured, cm."""

    fit: Fit
    box: Box

    def into_picture(self, paper: Any) -> Any:
        """Places on the flat paper (n, 2), cm, to pixels."""
        return self.fit.project(paper)

    def onto_paper(self, picture: Any) -> Any:
        """Pixels (n, 2) to places on the flat paper, cm."""
        import numpy as np

        x0, y0, x1, y1 = self.box
        paper = np.tile([(x0 + x1) / 2, (y0 + y1) / 2], (len(picture), 1))
        step = 1e-3
        for _ in range(12):
            here = self.into_picture(paper)
            right = (self.into_picture(paper + np.array([step, 0])) - here) / step
            up = (self.into_picture(paper + np.array([0, step])) - here) / step
            off = picture - here
            det = right[:, 0] * up[:, 1] - right[:, 1] * up[:, 0]
            det = np.where(abs(det) < 1e-9, 1e-9, det)
            move = np.column_stack(
                [
                    off[:, 0] * up[:, 1] - off[:, 1] * up[:, 0],
                    right[:, 0] * off[:, 1] - right[:, 1] * off[:, 0],
                ]
            )
            move /= det[:, None]
            reach = np.maximum(np.linalg.norm(move, axis=1, keepdims=True), 1e-12)
            move *= np.minimum(1, 20 / reach)
            paper = paper + move
            if abs(move).max() < 1e-5:
                break
        return paper

    def dense(self, box: Box, px_per_cm: float) -> tuple[Any, Any]:
        """For every pixel of a flat picture of a box, the place in the photograph: two arrays, rows from the
        top. Pixel (0, 0) has its middle half a pixel inside the upper left corner."""
        import cv2
        import numpy as np

        x0, y0, x1, y1 = box
        wide, high = max(1, round((x1 - x0) * px_per_cm)), max(1, round((y1 - y0) * px_per_cm))
        across, down = (max(2, int(np.ceil(cm / EVERY)) + 1) for cm in (x1 - x0, y1 - y0))
        xs, ys = np.linspace(x0, x1, across), np.linspace(y1, y0, down)
        places = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
        coarse = self.into_picture(places).reshape(down, across, 2).astype(np.float32)
        u = ((np.arange(wide) + 0.5) / wide * (across - 1)).astype(np.float32)
        v = ((np.arange(high) + 0.5) / high * (down - 1)).astype(np.float32)
        u, v = np.broadcast_to(u, (high, wide)), np.broadcast_to(v[:, None], (high, wide))
        both = cv2.remap(coarse, u, v, cv2.INTER_LINEAR)
        return both[..., 0], both[..., 1]

    def px_per_cm(self) -> float:
        """Pixels of the photograph for a cm in the middle of the paper."""
        import numpy as np

        x0, y0, x1, y1 = self.box
        middle = np.array([[(x0 + x1) / 2, (y0 + y1) / 2]])
        here = self.into_picture(middle)
        a, b = (self.into_picture(middle + d) - here for d in ((0.1, 0), (0, 0.1)))
        return float(np.sqrt(abs(a[0, 0] * b[0, 1] - a[0, 1] * b[0, 0])) * 10)

    def residual(self) -> float:
        """How far the markers lie off as long as the paper is taken to be flat: root mean square, mm."""
        import numpy as np

        return float(np.sqrt((self.fit.flat_off**2).sum(axis=1).mean()) / self.px_per_cm() * 10)

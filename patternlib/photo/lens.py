"""A camera's place, angle of view and lens, and paper that lies nearly in one plane, from marker corners.

All unknowns are fitted at once, by least squares: six of the camera's pose, its focal length, where its axis
goes through the picture, two of the lens; three for every body (how it is turned, where it lies), one for the
size that all were printed at; and how high the paper stands off the table. A sheet is one body; marker strips
round a draft are several, each rigid. The camera is the usual model: a pinhole, and radial distortion
1 + k1 r^2 + k2 r^4 [R. Hartley and A. Zisserman, Multiple View Geometry, 2nd edition, 7.4]. The paper's
height is the likeliest smooth surface, on which near places stand alike [C. Rasmussen and C. Williams,
Gaussian Processes for Machine Learning, 2.2]. Lengths in cm, y of the paper up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ..not_here import said_if_missing

USUAL_VIEW, VIEW_SPREAD = 0.62, 0.15
"""Focal length as a share of the picture's diagonal, and how far telephones' main cameras differ, as a share
(24 to 28 mm on a frame of 43 mm; from memory)."""
MIDDLE_SPREAD, K1_SPREAD, K2_SPREAD = 0.01, 0.12, 0.08
"""How far the axis goes by the middle, as a share of the diagonal; distortion at the picture's corner (own
judgement, wider than telephones in the simulation)."""
TAPE = 0.05
"""cm: how exact a distance is measured with the ruler."""
LEAST_NOISE = 0.15
"""Pixels: no corner is taken to be more exact."""
FLAT_NOISE = 3.0
"""Pixels: how far corners lie off as long as the paper is taken to be flat."""
STRANGE = 6.0
"""Markers that lie so many times farther off than the middle one are not used."""
TYPICAL_NOISE = 0.3
"""Pixels: with this exactness two explanations of a picture are compared."""
STANDS_OFF = 0.15
"""cm: how high paper usually stands off the table, up and down (own judgement)."""
ALIKE = 0.25
"""Places that are nearer than this share of the paper stand about equally high (own judgement)."""
MOST_BENDS, LEAST_BEND = 24, 1e-5
"""Ways in which the paper may bend; those much smaller than the largest are left out."""
CAMERA = 11
"""Unknowns of the camera."""


@dataclass(frozen=True, eq=False)
class Body:
    """Corners of the markers of one piece of paper. paper: (n, 2) cm as printed; picture: (n, 2) pixels;
    marks: places to measure from, by name, cm as printed."""

    name: str
    paper: Any
    picture: Any
    marks: Mapping[str, Any]


@dataclass(frozen=True, eq=False)
class Surface:
    """How high paper stands. at: (n, 2) cm, of the markers; near: cm; ways: (n, m), of its bends."""

    at: Any
    near: float
    ways: Any

    def heights(self, paper: Any) -> Any:
        """(k, m): how much each bend lifts each of k places."""
        return _alike(paper, self.at, self.near) @ self.ways


@dataclass(frozen=True, eq=False)
class Fit:
    """camera: its unknowns; poses: (angle, x, y) of each body; size: printed length, of the true one;
    off: what is left at each corner in pixels, per body; tape_off: at each distance, cm; flat_off: what was
    left at the corners as long as the paper was taken to be flat, pixels; surface, bends: how it stands;
    unlikely: how far all lies off, the camera's values among it, to compare one explanation with another."""

    camera: Any
    poses: Any
    size: float
    wide: int
    high: int
    off: tuple[Any, ...]
    tape_off: Any
    flat_off: Any = None
    surface: Surface | None = None
    bends: Any = None
    unlikely: float = 0.0

    def project(self, paper: Any) -> Any:
        """Places on the flat paper (n, 2), cm, to pixels."""
        height = 0.0 if self.surface is None else self.surface.heights(paper) @ self.bends
        return _project(self.camera, paper, height, self.wide, self.high)

    def laid(self, k: int, paper: Any) -> Any:
        """Places on body k as printed, to places on the flat paper."""
        return _laid(self.poses[k], self.size, paper)

    def turned(self, angle: float, x: float, y: float) -> Fit:
        """The same with the flat paper's frame changed: turned by an angle (radians), then shifted, cm."""
        import cv2
        import numpy as np

        c, s = np.cos(angle), np.sin(angle)
        to_new = np.array([[c, s], [-s, c]])
        poses = np.column_stack([self.poses[:, 0] + angle, self.poses[:, 1:] @ to_new + (x, y)])
        # a place of the new frame in the old one: turned back about the shift
        u, v = -np.array([x, y]) @ to_new.T
        rotation, shift = _turned(self.camera[5:8]), self.camera[8:11]
        moved = rotation @ np.array([u, -v, 0.0]) + shift
        spin = rotation @ np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]])
        camera = np.concatenate([self.camera[:5], cv2.Rodrigues(spin)[0].ravel(), moved])
        surface = self.surface and replace(self.surface, at=self.surface.at @ to_new + (x, y))
        return replace(self, camera=camera, poses=poses, surface=surface)

    @property
    def tilt(self) -> float:
        """Degrees between the camera's axis and the line straight down on the paper."""
        import numpy as np

        return float(np.degrees(np.arccos(np.clip(abs(_turned(self.camera[5:8])[2, 2]), 0, 1))))

    def noise(self) -> float:
        """Pixels: what is left at the corners (root mean square of a coordinate, the worst left out)."""
        import numpy as np

        squares = np.sort(np.concatenate([(o**2).sum(axis=1) for o in self.off]))
        return float(np.sqrt(squares[: max(1, int(0.95 * len(squares)))].mean() / 2))


Tapes = Sequence[tuple[str, str, float]]


def fit_camera(bodies: Sequence[Body], wide: int, high: int, *, distances: Tapes = ()) -> Fit:
    """The camera and the bodies' poses that explain the corners best; the first body gives the paper's frame.

    distances: (mark, mark, cm) as measured; with them the printed size is fitted too.
    """
    import numpy as np

    starts: list[tuple[float, int, Any]] = []
    flat = _Problem(bodies, wide, high, distances)
    for k in range(min(len(bodies), 4)):
        start = _start(bodies, k, wide, high)
        if start is not None:
            starts.append((flat.cost(start), len(starts), start))
    first = flat.solved(min(starts)[2], noise=FLAT_NOISE, most=60)
    fit = flat.fit(first)
    trusted = flat.trusting(fit)
    if not trusted.all():
        flat.trusted = trusted
        first = flat.solved(first, noise=FLAT_NOISE, most=60)
        fit = flat.fit(first)
    surface = _surface(fit, bodies)
    problem = _Problem(bodies, wide, high, distances, surface, fit)
    problem.trusted = trusted
    unknown = np.concatenate([first, np.zeros(surface.ways.shape[1])])
    noise = min(1.0, max(LEAST_NOISE, fit.noise()))
    for _ in range(2):
        unknown = problem.solved(unknown, noise=noise, most=25)
        noise = max(LEAST_NOISE, problem.fit(unknown).noise())
    left = problem.residuals(unknown, TYPICAL_NOISE)
    return replace(problem.fit(unknown), flat_off=np.vstack(fit.off), unlikely=float(left @ left))


class _Problem:
    """What least squares is given: residuals, and how they change with the unknowns.

    The unknowns are those of the camera, (angle, x, y) of each body but the first, the logarithm of the size,
    and the bends of the surface, each 1 where it is as large as usual.
    """

    def __init__(
        self, bodies: Sequence[Body], wide: int, high: int, tapes: Tapes, surface: Surface | None = None,
        like: Fit | None = None,
    ):  # fmt: skip
        import numpy as np

        self.bodies, self.wide, self.high, self.tapes, self.surface = (
            bodies,
            wide,
            high,
            tuple(tapes),
            surface,
        )
        self.rigid = CAMERA + 3 * (len(bodies) - 1) + 1
        if surface is not None and like is not None:
            laid = np.vstack([like.laid(k, body.paper) for k, body in enumerate(bodies)])
            self.lifts = surface.heights(laid)
        self.picture = np.vstack([body.picture for body in bodies])
        self.paper = np.vstack([body.paper for body in bodies])
        self.whose = np.repeat(np.arange(len(bodies)), [len(body.paper) for body in bodies])
        self.trusted = np.ones(len(self.paper))

    def solved(self, unknown: Any, *, noise: float, most: int) -> Any:
        with said_if_missing("Reading a photograph"):
            from scipy.optimize import least_squares
        return least_squares(
            self.residuals, unknown, self.slopes, args=(noise,), method="lm", x_scale="jac", max_nfev=most,
            xtol=1e-7, ftol=1e-6,
        ).x  # fmt: skip

    def parts(self, unknown: Any) -> tuple[Any, Any, float]:
        import numpy as np

        poses = np.vstack([np.zeros(3), unknown[CAMERA : self.rigid - 1].reshape(-1, 3)])
        return unknown[:CAMERA], poses, float(np.exp(unknown[self.rigid - 1]))

    def seen(self, unknown: Any, lifted: float = 0.0) -> Any:
        """Where the corners should be in the picture; lifted: by so many cm more."""
        import numpy as np

        camera, poses, size = self.parts(unknown)
        angle, x, y = poses[self.whose].T
        c, s, (a, b) = size * np.cos(angle), size * np.sin(angle), self.paper.T
        laid = np.column_stack([c * a - s * b + x, s * a + c * b + y])
        height = lifted
        if self.surface is not None:
            height = self.lifts @ unknown[self.rigid :] + lifted
        return _project(camera, laid, height, self.wide, self.high)

    def residuals(self, unknown: Any, noise: float) -> Any:
        import numpy as np

        _, poses, size = self.parts(unknown)
        corners = ((self.seen(unknown) - self.picture) * self.trusted[:, None]).ravel() / noise
        tape = np.array(_tape_off(poses, size, self.bodies, self.tapes)) / TAPE
        return np.concatenate([corners, tape, unknown * self.steady(len(unknown))])

    def steady(self, count: int) -> Any:
        """One over how far each unknown is usually from 0; 0 where it may be anything."""
        import numpy as np

        out = np.zeros(count)
        out[:5] = 1 / np.array([VIEW_SPREAD, MIDDLE_SPREAD, MIDDLE_SPREAD, K1_SPREAD, K2_SPREAD])
        # without a distance the printed size stays what it should be
        out[self.rigid - 1] = 20 if self.tapes else 1e6
        out[self.rigid :] = 1
        return out

    def slopes(self, unknown: Any, noise: float) -> Any:
        """How each residual changes with each unknown."""
        import numpy as np

        here = self.residuals(unknown, noise)
        out = np.zeros((len(here), len(unknown)))
        for k in range(self.rigid):
            step = 1e-6 * max(1.0, abs(unknown[k]))
            moved = unknown.copy()
            moved[k] += step
            out[:, k] = (self.residuals(moved, noise) - here) / step
        if self.surface is not None:
            step = 1e-4
            lift = (self.seen(unknown, step) - self.seen(unknown)) / step / noise * self.trusted[:, None]
            corners = lift[:, :, None] * self.lifts[:, None, :]
            out[: 2 * len(lift), self.rigid :] = corners.reshape(2 * len(lift), -1)
            bends = np.arange(self.rigid, len(unknown))
            out[len(here) - len(unknown) + bends, bends] = 1
        return out

    def fit(self, unknown: Any) -> Fit:
        import numpy as np

        camera, poses, size = self.parts(unknown)
        off = np.split(
            self.seen(unknown) - self.picture, np.cumsum([len(body.paper) for body in self.bodies])[:-1]
        )
        tape = np.array(_tape_off(poses, size, self.bodies, self.tapes))
        bends = None if self.surface is None else unknown[self.rigid :]
        return Fit(
            camera, poses, size, self.wide, self.high, tuple(off), tape, surface=self.surface, bends=bends
        )  # fmt: skip

    def trusting(self, fit: Fit) -> Any:
        """1 for corners, 0 for those of markers that lie far off: something else was taken for a marker, or
        something lies on it."""
        import numpy as np

        off = np.sqrt((np.vstack(fit.off) ** 2).sum(axis=1)).reshape(-1, 4).max(axis=1)
        return np.repeat(off < np.maximum(STRANGE * np.median(off), 4 * FLAT_NOISE), 4).astype(float)

    def cost(self, unknown: Any) -> float:
        import numpy as np

        return float(np.minimum(np.abs(self.residuals(unknown, 1.0)), 1000).sum())


def _surface(fit: Fit, bodies: Sequence[Body]) -> Surface:
    """The ways in which the paper bends at its markers, the largest first."""
    import numpy as np

    at = np.vstack([fit.laid(k, b.paper).reshape(-1, 4, 2).mean(axis=1) for k, b in enumerate(bodies)])
    near = ALIKE * float(max(at.max(axis=0) - at.min(axis=0)))
    values, vectors = np.linalg.eigh(_alike(at, at, near))
    keep = np.nonzero(values > LEAST_BEND * values[-1])[0][::-1][:MOST_BENDS]
    return Surface(at, near, STANDS_OFF * vectors[:, keep] / np.sqrt(values[keep]))


def _alike(a: Any, b: Any, near: float) -> Any:
    """How alike the heights of places are, 1 where they are one."""
    import numpy as np

    square = ((np.asarray(a)[:, None, :] - b[None, :, :]) ** 2).sum(axis=2)
    return np.exp(-square / (2 * near**2))


def _turned(vector: Any) -> Any:
    import cv2
    import numpy as np

    return cv2.Rodrigues(np.asarray(vector, float))[0]


def _project(camera: Any, paper: Any, height: Any, wide: int, high: int) -> Any:
    import numpy as np

    log_f, cx, cy, k1, k2 = camera[:5]
    diagonal = float(np.hypot(wide, high))
    rotation, shift = _turned(camera[5:8]), camera[8:11]
    up = np.reshape(height, (-1, 1))
    at = paper[:, :1] * rotation[:, 0] - paper[:, 1:2] * rotation[:, 1] - up * rotation[:, 2] + shift
    z = np.maximum(at[:, 2:3], 1e-3)
    u = np.exp(log_f) * USUAL_VIEW * at[:, :2] / z
    r2 = 4 * (u**2).sum(axis=1, keepdims=True)
    u = u * (1 + k1 * r2 + k2 * r2**2)
    return u * diagonal + ((wide - 1) / 2 + cx * diagonal, (high - 1) / 2 + cy * diagonal)


def _laid(pose: Any, size: float, paper: Any) -> Any:
    import numpy as np

    angle, x, y = pose
    c, s = np.cos(angle), np.sin(angle)
    return size * np.asarray(paper) @ np.array([[c, s], [-s, c]]) + (x, y)


def _tape_off(poses: Any, size: float, bodies: Sequence[Body], tapes: Tapes) -> list[float]:
    import numpy as np

    at = {
        name: _laid(pose, size, np.asarray(mark)[None])[0]
        for body, pose in zip(bodies, poses, strict=True)
        for name, mark in body.marks.items()
    }
    return [float(np.linalg.norm(at[a] - at[b])) - cm for a, b, cm in tapes]


def _start(bodies: Sequence[Body], k: int, wide: int, high: int) -> Any:
    """Unknowns to start from: the camera over body k alone, the other bodies where it sees them."""
    import cv2
    import numpy as np

    diagonal = float(np.hypot(wide, high))
    f = USUAL_VIEW * diagonal
    lens = np.array([[f, 0, (wide - 1) / 2], [0, f, (high - 1) / 2], [0, 0, 1.0]])
    body = bodies[k]
    flat = np.column_stack([body.paper[:, 0], -body.paper[:, 1], np.zeros(len(body.paper))])
    good, turn, shift = cv2.solvePnP(flat, body.picture, lens, None, flags=cv2.SOLVEPNP_IPPE)
    if not good:
        return None
    rotation = _turned(turn.ravel())
    h = lens @ np.column_stack([rotation[:, 0], -rotation[:, 1], shift.ravel()])
    back = np.linalg.inv(h)
    poses = []
    for other in bodies:
        seen = np.column_stack([other.picture, np.ones(len(other.picture))]) @ back.T
        poses.append(_rigid(other.paper, seen[:, :2] / seen[:, 2:]))
    # in the frame of the first body
    first = poses[0]
    c, s = np.cos(first[0]), np.sin(first[0])
    to_first = np.array([[c, s], [-s, c]])
    own = [np.array([p[0] - first[0], *(to_first @ (p[1:] - first[1:]))]) for p in poses]
    moved = rotation @ np.array([first[1], -first[2], 0.0]) + shift.ravel()
    spin = rotation @ np.array(
        [[c, s, 0], [-s, c, 0], [0, 0, 1.0]]
    )  # y of the paper is up, of the camera down
    vector = cv2.Rodrigues(spin)[0].ravel()
    return np.concatenate([np.zeros(5), vector, moved, *own[1:], [0.0]])


def _rigid(paper: Any, laid: Any) -> Any:
    """(angle, x, y) that lays a body's corners nearest to places."""
    import numpy as np

    a, b = paper - paper.mean(axis=0), laid - laid.mean(axis=0)
    angle = np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum())
    c, s = np.cos(angle), np.sin(angle)
    x, y = laid.mean(axis=0) - paper.mean(axis=0) @ np.array([[c, s], [-s, c]])
    return np.array([angle, x, y])

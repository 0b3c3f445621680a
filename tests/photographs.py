"""Simulated photographs of drafts on paper, as honest as we can make them; what is true of them is known.

The paper bends in one direction and keeps its lengths, as paper does. The camera is a pinhole with radial
distortion; then come shade, blur, sharpening, noise and JPEG. The pencil's line wobbles, is grainy,
overshoots; some lines have been erased. No real pencil draft was photographed for this. All figures are
own judgement, unless said otherwise; seeds are fixed. Lengths in cm on the paper, y up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import cv2
import numpy as np

from patternlib.photo.codes import marker_cells
from patternlib.photo.layouts import FLAG_SIZE, Layout

PAPER_WHITE, PRINT_BLACK = 245, 28


# -- paper, print and pencil


@dataclass
class Sheet:
    """Paper as it lies, seen from above: wide, high in cm, pixels (rows from the top), px a cm."""

    wide: float
    high: float
    px: float
    pixels: np.ndarray = field(init=False, repr=False)

    def __post_init__(self):
        shape = round(self.high * self.px), round(self.wide * self.px), 3
        self.pixels = np.full(shape, PAPER_WHITE, np.uint8)

    def to_px(self, points) -> np.ndarray:
        """Places in cm to pixels, whose middles are whole numbers."""
        p = np.asarray(points, float)
        return np.column_stack([p[:, 0] * self.px - 0.5, (self.high - p[:, 1]) * self.px - 0.5])

    def paste(self, layout: Layout, *, at=(0.0, 0.0), turned: float = 0.0, size: float = 1.0) -> None:
        """The printed markers of a layout, its paper's origin laid at a place, turned (radians)."""
        c, s = np.cos(turned), np.sin(turned)
        for number, corners in layout.markers.items():
            cells = np.array(marker_cells(number), np.uint8) * (PAPER_WHITE - PRINT_BLACK) + PRINT_BLACK
            fine = cv2.resize(cells, None, fx=24, fy=24, interpolation=cv2.INTER_NEAREST)
            four = size * np.array(corners, float) @ np.array([[c, s], [-s, c]]) + at
            self._lay(fine, four)

    def _lay(self, picture: np.ndarray, four: np.ndarray) -> None:
        """A picture between four corners, from the upper left one clockwise."""
        high, wide = picture.shape[:2]
        a = np.array([[-0.5, -0.5], [wide - 0.5, -0.5], [wide - 0.5, high - 0.5]], np.float32)
        b = self.to_px(four[:3]).astype(np.float32)
        low, top = np.floor(b.min(0)).astype(int) - 3, np.ceil(self.to_px(four).max(0)).astype(int) + 4
        low = np.minimum(low, np.floor(self.to_px(four).min(0)).astype(int) - 3)
        top = np.maximum(top, np.ceil(b.max(0)).astype(int) + 4)
        low = np.maximum(low, 0)
        size = (int(top[0] - low[0]), int(top[1] - low[1]))
        way = cv2.getAffineTransform(a, (b - low).astype(np.float32))
        mask = np.full((high, wide), 255, np.uint8)
        laid = cv2.warpAffine(picture, way, size, flags=cv2.INTER_AREA, borderMode=cv2.BORDER_REPLICATE)
        share = cv2.warpAffine(mask, way, size, flags=cv2.INTER_LINEAR)[..., None] / 255.0
        part = self.pixels[low[1] : top[1], low[0] : top[0]]
        share, laid = share[: part.shape[0], : part.shape[1]], laid[: part.shape[0], : part.shape[1]]
        laid = laid[..., None] if laid.ndim == 2 else laid
        part[:] = (part * (1 - share) + laid * share).astype(np.uint8)

    def put_code(self, text: str, box) -> None:
        """A two-dimensional code in a box, four cells of white round it."""
        cells = cv2.QRCodeEncoder.create().encode(text)
        fine = cv2.resize(cells, None, fx=16, fy=16, interpolation=cv2.INTER_NEAREST)
        x0, y0, x1, y1 = box
        rim = (x1 - x0) * 0.1
        x0, y0, x1, y1 = x0 + rim, y0 + rim, x1 - rim, y1 - rim
        inner = np.where(fine > 127, PAPER_WHITE, PRINT_BLACK).astype(np.uint8)
        self._lay(inner, np.array([(x0, y1), (x1, y1), (x1, y0), (x0, y0)], float))

    def flag(self, layout: Layout, tip, turned: float) -> None:
        """A flag laid on the paper, its tip at a place."""
        c, s = np.cos(turned), np.sin(turned)
        turn = np.array([[c, s], [-s, c]])
        at = np.asarray(tip, float) - np.asarray(layout.tip, float) @ turn
        wide, high = FLAG_SIZE
        outline = np.array([(0, 1.0), (0, high), (wide, high), (wide, 1.0), (wide / 2, 0)]) @ turn + at
        cv2.fillPoly(self.pixels, [_shifted(self.to_px(outline))], (238, 238, 238), cv2.LINE_AA, SHIFT)
        self.paste(layout, at=at, turned=turned)
        left, right = np.array([(0.2, 0.8), (wide - 0.2, 0.8)]) @ turn + at
        cv2.fillPoly(
            self.pixels, [_shifted(self.to_px([left, right, tip]))], (60, 60, 60), cv2.LINE_AA, SHIFT
        )

    def grid(self, box, step: float, *, bgr=(200, 200, 200), strong=(140, 140, 140), mm=(0.1, 0.1)) -> None:
        """A printed grid of thin lines, every fifth of them in another colour and width (mm)."""
        x0, y0, x1, y1 = box
        for ends in (
            [[(x, y0), (x, y1)] for x in np.arange(x0, x1 + 1e-9, step)],
            [[(x0, y), (x1, y)] for y in np.arange(y0, y1 + 1e-9, step)],
        ):
            for k, line in enumerate(ends):
                colour = 1 - np.array(bgr if k % 5 else strong) / 255
                self.line(line, darkness=colour, mm=mm[k % 5 == 0])

    def line(self, points, *, darkness, mm: float, grain: np.random.Generator | None = None) -> None:
        """A line drawn or printed; darkness 0 to 1, one number or one for each colour; grain: a pencil's."""
        p = self.to_px(points)
        pad = 12
        low = np.maximum(np.floor(p.min(0)).astype(int) - pad, 0)
        top = np.minimum(np.ceil(p.max(0)).astype(int) + pad, (self.pixels.shape[1], self.pixels.shape[0]))
        if (top <= low).any():
            return
        part = self.pixels[low[1] : top[1], low[0] : top[0]]
        cover = np.zeros(part.shape[:2], np.uint8)
        width = mm / 10 * self.px
        times = 1 if width >= 3 else 4  # thin lines are drawn larger, then made smaller
        if times > 1:
            cover = np.zeros((cover.shape[0] * times, cover.shape[1] * times), np.uint8)
        moved = (p - low + 0.5) * times - 0.5
        cv2.polylines(cover, [_shifted(moved)], False, 255, max(1, round(width * times)), cv2.LINE_AA, SHIFT)
        if times > 1:
            cover = cv2.resize(cover, (part.shape[1], part.shape[0]), interpolation=cv2.INTER_AREA)
        share = cover.astype(np.float32)[..., None] / 255 * np.float32(darkness)
        if grain is not None and share.size < 60_000_000:
            rough = grain.normal(0, 1, (share.shape[0] // 2 + 1, share.shape[1] // 2 + 1)).astype(np.float32)
            rough = cv2.resize(cv2.GaussianBlur(rough, (0, 0), 1.0), (share.shape[1], share.shape[0]))
            share *= np.clip(1 + 0.9 * rough, 0.1, 1.5)[..., None]
        part[:] = (part * (1 - np.clip(share, 0, 0.97))).astype(np.uint8)


SHIFT = 5


def _shifted(p: np.ndarray) -> np.ndarray:
    return np.round(p * 2**SHIFT).astype(np.int32).reshape(-1, 1, 2)


@dataclass(frozen=True)
class Hand:
    """How a draft is drawn. darkness: of the pencil, 0 to 1; mm: width of the line; wobble: mm, standard
    deviation of the line beside where it should be; erased: share of lines drawn wrong first and erased."""

    darkness: float = 0.5
    mm: float = 0.4
    wobble: float = 0.06
    erased: float = 0.1


def pencil(sheet: Sheet, lines: Iterable, rng: np.random.Generator, hand: Hand = Hand()) -> None:
    """Lines drawn by hand, each a sequence of places in cm; near their ends they wobble less."""
    for line in lines:
        p = _dense(np.asarray(line, float))
        if rng.random() < hand.erased:
            off = rng.normal(0, 0.25, 2)
            sheet.line(_wobbled(p + off, rng, hand), darkness=0.1, mm=hand.mm * 1.3, grain=rng)
        dark = hand.darkness * rng.uniform(0.85, 1.1)
        sheet.line(_wobbled(p, rng, hand), darkness=dark, mm=hand.mm * rng.uniform(0.85, 1.2), grain=rng)


def _dense(p: np.ndarray) -> np.ndarray:
    at = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    t = np.linspace(0, at[-1], max(2, int(at[-1] / 0.1) + 1))
    t = np.unique(np.round(np.union1d(t, at), 6))
    return np.column_stack([np.interp(t, at, p[:, k]) for k in (0, 1)])


def _wobbled(p: np.ndarray, rng: np.random.Generator, hand: Hand) -> np.ndarray:
    if len(p) < 3:
        return p
    along = np.gradient(p, axis=0)
    along /= np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    at = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    noise = sum(np.sin(2 * np.pi * at / rng.uniform(1.0, 4.0) + rng.uniform(0, 6.3)) for _ in range(4))
    noise = noise * hand.wobble / 10 / np.sqrt(2)
    calm = np.clip(np.minimum(at, at[-1] - at) / 0.5, 0, 1)
    return p + (noise * calm)[:, None] * np.column_stack([-along[:, 1], along[:, 0]])


def ticked(point, direction, *, length: float = 0.5) -> np.ndarray:
    """A short line across a point, as places on a line are marked."""
    d = np.asarray(direction, float)
    d = d / np.hypot(*d) * length / 2
    return np.array([np.asarray(point) - d, np.asarray(point) + d])


# -- the camera


@dataclass(frozen=True)
class Shot:
    """How a photograph is taken. width, height: pixels; tilt: degrees off level, towards `towards` (degrees);
    spin: degrees the telephone is turned; view: focal length as a share of the diagonal; k1, k2:
    distortion at the picture's corner; fill: share of the picture that the paper fills; warp: mm that the
    paper bends up and down; shade: how much darker the darkest part is; blur: pixels; noise: grey levels;
    quality: of the JPEG; aside: how far the paper is from the middle, as shares."""

    width: int = 4000
    height: int = 3000
    tilt: float = 8.0
    towards: float = 40.0
    spin: float = 0.0
    view: float = 0.62
    k1: float = -0.04
    k2: float = 0.02
    fill: float = 0.92
    warp: float = 0.8
    shade: float = 0.3
    blur: float = 0.8
    noise: float = 3.0
    quality: int = 88
    aside: tuple[float, float] = (0.0, 0.0)
    mirrored: bool = False


def any_shot(rng: np.random.Generator, **fixed) -> Shot:
    """A photograph as people take them: every value by chance, within what the guide asks for."""
    values: dict = dict(  # noqa: C408
        tilt=rng.uniform(0, 15), towards=rng.uniform(0, 360), spin=rng.normal(0, 4),
        view=rng.uniform(0.56, 0.7), k1=rng.uniform(-0.08, 0.06), k2=rng.uniform(-0.04, 0.04),
        fill=rng.uniform(0.84, 0.94), warp=0.8, shade=rng.uniform(0.1, 0.5), blur=rng.uniform(0.6, 1.2),
        noise=rng.uniform(1.5, 5), quality=int(rng.integers(82, 95)),
        aside=tuple(rng.uniform(-0.02, 0.02, 2)),
    )  # fmt: skip
    return Shot(**(values | fixed))


def photograph(sheet: Sheet, shot: Shot, rng: np.random.Generator) -> bytes:
    """The photograph of a sheet, as the bytes of a JPEG file."""
    how = [cv2.IMWRITE_JPEG_QUALITY, shot.quality]
    return cv2.imencode(".jpg", taken(sheet, shot, rng), how)[1].tobytes()


def taken(sheet: Sheet, shot: Shot, rng: np.random.Generator) -> np.ndarray:
    """The pixels of a photograph."""
    across, down = _places(sheet, shot, rng)
    middle = (shot.height // 2, shot.width // 2)
    beside = middle[0], middle[1] + 1
    per_px = float(np.hypot(across[beside] - across[middle], down[beside] - down[middle]))
    source = sheet.pixels
    if per_px > 1.3:
        source = cv2.GaussianBlur(source, (0, 0), 0.4 * per_px)
    table = (96, 118, 140)
    seen = cv2.remap(
        source, across, down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=table
    )
    del across, down
    high, wide = seen.shape[:2]
    u, v = np.meshgrid(np.linspace(-1, 1, 64), np.linspace(-1, 1, 48))
    angle, phase = rng.uniform(0, 2 * np.pi), rng.uniform(-0.5, 0.5)
    slope = np.cos(angle) * u + np.sin(angle) * v
    light = 1 - shot.shade * (0.5 + 0.5 * np.tanh(1.5 * (slope - phase))) - 0.06 * (u**2 + v**2)
    light = cv2.resize(light.astype(np.float32), (wide, high), interpolation=cv2.INTER_CUBIC)
    tint = rng.uniform(0.93, 1.0, 3).astype(np.float32)
    out = seen.astype(np.float32)
    out *= light[..., None] * tint
    if shot.blur > 0:
        out = cv2.GaussianBlur(out, (0, 0), shot.blur)
    out += 0.5 * (out - cv2.GaussianBlur(out, (0, 0), 1.5))  # telephones sharpen
    noise = rng.standard_normal(out.shape[:2], dtype=np.float32) * shot.noise
    out += noise[..., None]
    out = np.clip(out, 0, 255).astype(np.uint8)
    return np.ascontiguousarray(out[:, ::-1]) if shot.mirrored else out


COARSE = 8


def _places(sheet: Sheet, shot: Shot, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """For every pixel of the photograph the pixel of the sheet that it shows."""
    wide, high = shot.width, shot.height
    u = np.append(np.arange(0, wide + COARSE, COARSE), 0)[:-1]
    v = np.append(np.arange(0, high + COARSE, COARSE), 0)[:-1]
    spots = np.stack(np.meshgrid(u, v), axis=-1).reshape(-1, 2).astype(float)
    cm = on_sheet(sheet, shot, spots, rng)
    px = sheet.to_px(cm).reshape(len(v), len(u), 2).astype(np.float32)
    x = (np.arange(wide) / COARSE).astype(np.float32)
    y = (np.arange(high) / COARSE).astype(np.float32)
    x, y = np.broadcast_to(x, (high, wide)), np.broadcast_to(y[:, None], (high, wide))
    both = cv2.remap(px, x, y, cv2.INTER_LINEAR)
    return np.ascontiguousarray(both[..., 0]), np.ascontiguousarray(both[..., 1])


def on_sheet(sheet: Sheet, shot: Shot, spots: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    diagonal = np.hypot(shot.width, shot.height)
    d = (spots - ((shot.width - 1) / 2, (shot.height - 1) / 2)) / diagonal
    u = d.copy()
    for _ in range(12):  # the lens taken off
        r2 = 4 * (u**2).sum(axis=1, keepdims=True)
        u = d / (1 + shot.k1 * r2 + shot.k2 * r2**2)
    rays = np.column_stack([u / shot.view, np.ones(len(u))])
    # camera: x right, y down, z ahead; table: x right, y up, z up
    turn = np.radians(shot.spin)
    spin = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1.0]])
    rays = rays @ spin.T
    axis = np.array([np.cos(np.radians(shot.towards)), np.sin(np.radians(shot.towards)), 0])
    tilt = cv2.Rodrigues(axis * np.radians(shot.tilt))[0]
    rays = rays @ tilt.T
    rays = rays * (1, -1, -1)  # on the table
    ahead = tilt @ np.array([0, 0, 1.0]) * (1, -1, -1)
    # whether the paper's long side lies along the picture's
    across = (sheet.wide > sheet.high) == (shot.width > shot.height)
    long, short = (sheet.wide, sheet.high) if across else (sheet.high, sheet.wide)
    if abs(np.sin(turn)) > 0.7:
        long, short = short, long
    distance = max(long / shot.width, short / shot.height) * diagonal * shot.view / shot.fill
    aside = np.array([*shot.aside, 0.0]) * max(sheet.wide, sheet.high)
    camera = np.array([sheet.wide / 2, sheet.high / 2, 0]) + aside - ahead / ahead[2] * ahead[2] * distance
    # the paper bends along one direction and keeps its lengths
    way = rng.uniform(0, np.pi)
    along = np.array([np.cos(way), np.sin(way)])
    reach = sheet.wide + sheet.high
    s = np.linspace(-reach, reach, 8001)
    g = np.zeros_like(s)
    for _ in range(3):
        long_wave = rng.uniform(0.7, 1.6) * max(sheet.wide, sheet.high)
        g += rng.uniform(0.4, 1) * np.sin(2 * np.pi * s / long_wave + rng.uniform(0, 6.3))
    half = np.hypot(sheet.wide, sheet.high) / 2
    seen = abs(s) < half
    g -= g[seen].mean()
    g *= shot.warp / 10 / max(abs(g[seen]).max(), 1e-9)
    slope = np.gradient(g, s)
    flat = np.concatenate([[0], np.cumsum(np.sqrt(1 - np.minimum(slope[1:] ** 2, 0.9)) * np.diff(s))])
    flat -= np.interp(0, s, flat)
    centre = np.array([sheet.wide / 2, sheet.high / 2])
    z = np.zeros(len(rays))
    for _ in range(6):
        hit = camera[:2] + rays[:, :2] * ((z - camera[2]) / rays[:, 2])[:, None]
        at = (hit - centre) @ along
        paper_s = np.interp(at, flat, s)
        z = np.interp(paper_s, s, g)
    return hit + (paper_s - at)[:, None] * along


def upright_for(sheet: Sheet, shot: Shot) -> Shot:
    """The shot with the telephone held as the paper lies."""
    from dataclasses import replace

    if (sheet.wide > sheet.high) != (shot.width > shot.height):
        return replace(shot, width=shot.height, height=shot.width)
    return shot


def strips_round(sheet: Sheet, strips: Sequence[Layout], box, rng: np.random.Generator, size: float = 1.0):
    """Marker strips laid round a box of the sheet, a little askew; where each mark lies, cm."""
    x0, y0, x1, y1 = box
    marks = {}
    for k, strip in enumerate(strips):
        side, n = k % 4, k // 4
        count = (len(strips) - side + 3) // 4
        share = (n + 1) / (count + 1) + rng.uniform(-0.04, 0.04)
        turned = (np.pi / 2 if side in (1, 3) else 0.0) + rng.normal(0, 0.03)
        turned += np.pi if rng.random() < 0.5 else 0
        mx, my = {0: (x0 - 4, y0 + share * (y1 - y0)), 1: (x0 + share * (x1 - x0), y1 + 4),
                  2: (x1 + 4, y0 + share * (y1 - y0)), 3: (x0 + share * (x1 - x0), y0 - 4)}[side]  # fmt: skip
        c, s = np.cos(turned), np.sin(turned)
        turn = np.array([[c, s], [-s, c]])
        a, b, p, q = strip.box
        outline = size * np.array([(a, b), (p, b), (p, q), (a, q)]) @ turn
        at = np.array([mx, my]) - outline.mean(0) + rng.normal(0, 0.3, 2)
        cv2.fillPoly(sheet.pixels, [_shifted(sheet.to_px(outline + at))], (240, 240, 240), cv2.LINE_AA, SHIFT)
        sheet.paste(strip, at=at, turned=turned, size=size)
        for name, mark in strip.marks.items():
            marks[name] = size * np.asarray(mark, float) @ turn + at
    return marks

"""Pages of a PDF as pictures: cut at their lines, laid together, and measured like paper on a table."""

from __future__ import annotations

import io

import numpy as np
import pypdf
import pypdfium2
from shapely import LineString

DPI = 300
MM = DPI / 25.4
"""Pixels in a mm."""
MARGIN = 10.0
"""mm."""


def read(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data))


def render(data: bytes, page: int, dpi: float = DPI, *, corner: tuple | None = None) -> np.ndarray:
    """Greys of a page, 0 black to 255 white; corner: only so many mm from the left and from the top."""
    sheet = pypdfium2.PdfDocument(data)[page]
    crop = (0, 0, 0, 0)
    if corner:
        right, low = (max(a - b / 25.4 * 72, 0) for a, b in zip(sheet.get_size(), corner, strict=True))
        crop = (0, low, right, 0)
    return np.asarray(sheet.render(scale=dpi / 72, grayscale=True, crop=crop).to_pil()).astype(float)


def page_names(data: bytes) -> list[str]:
    """The largest words on each sheet: the page's name."""
    names = []
    for page in read(data).pages:
        big: list[tuple[float, str]] = []

        def see(text, _, matrix, __, size, big=big):
            if text.strip():
                big.append((size, text.strip()))

        page.extract_text(visitor_text=see)
        names.append(max(big)[1] if big else "")
    return names


def sheets(data: bytes) -> dict[tuple[int, int], np.ndarray]:
    """(row, column) -> picture, as the name on each page says."""
    return {
        (ord(name[0]) - ord("A"), int(name[1:]) - 1): render(data, k)
        for k, name in enumerate(page_names(data)[1:], 1)
    }


def joins(page: np.ndarray) -> dict[str, float]:
    """Where the grey lines lie, px: cut (left, top) and laid on (right, bottom), as found in the picture."""
    grey = (page > 90) & (page < 200)
    m, found = round(MARGIN * MM), {}
    for name, lines in (("left", grey.T), ("top", grey), ("right", grey.T), ("bottom", grey)):
        if name in ("left", "top"):
            near = np.arange(m, m + round(4 * MM))
        else:
            near = np.arange(len(lines) - m - round(13 * MM), len(lines) - m - round(7 * MM))
        share = lines[near].sum(axis=1) / (lines.shape[1] - 2 * m)
        share[share < 0.45] = 0  # the broken line is drawn for three fifths of its length
        if share.any():
            found[name] = float((share * near).sum() / share.sum())
    return found


def laid_together(pages: dict[tuple[int, int], np.ndarray]) -> np.ndarray:
    """The pages in one picture: each cut at its grey lines and laid on the broken ones of those before."""
    lines = {key: joins(page) for key, page in pages.items()}
    places = {min(pages): np.zeros(2)}
    for _ in pages:
        for r, c in pages.keys() - places.keys():
            for key, axis, mine, theirs in (
                ((r, c - 1), 0, "left", "right"), ((r, c + 1), 0, "right", "left"),
                ((r - 1, c), 1, "top", "bottom"), ((r + 1, c), 1, "bottom", "top"),
            ):  # fmt: skip
                if key in places:
                    places[r, c] = places[key].copy()
                    places[r, c][axis] += lines[key][theirs] - lines[r, c][mine]
    assert places.keys() == pages.keys(), "a page joins no other"
    low = np.min(list(places.values()), axis=0)
    reach = (np.max(list(places.values()), axis=0) - low).astype(int)
    wide, high = reach + pages[min(pages)].shape[::-1] + 2
    whole = np.full((high, wide), 255.0)
    m = MARGIN * MM
    for key in sorted(pages):
        page, own = pages[key], lines[key]
        left, top = round(own.get("left", m)), round(own.get("top", m))
        x, y = np.rint(places[key] - low).astype(int)
        right, end = round(page.shape[1] - m), round(page.shape[0] - m)
        whole[y + top : y + end, x + left : x + right] = page[top:end, left:right]
    return whole


def round_corners(pages: dict[tuple[int, int], np.ndarray]) -> list[list[np.ndarray]]:
    """For each corner where pages meet, what each of them shows round it: 1.5 mm before, 6.5 mm behind."""
    lines = {key: joins(page) for key, page in pages.items()}
    out = []
    for r, c in {(r + i, c + j) for r, c in pages for i in (0, -1) for j in (0, -1)}:
        seen = []
        for down in (0, 1):
            for right in (0, 1):
                key = r + down, c + right
                spots = lines.get(key, {})
                row, column = spots.get(("bottom", "top")[down]), spots.get(("right", "left")[right])
                if row is not None and column is not None:
                    near = [round(v - 1.5 * MM) + np.arange(round(8 * MM)) for v in (row, column)]
                    seen.append(pages[key][np.ix_(*near)])
        if len(seen) > 1:
            out.append(seen)
    return out


def measured(picture: np.ndarray, edges: list[list[tuple[float, float]]]) -> list[float]:
    """Lengths in mm of edges found in a picture, in their order round a piece; their points, cm, say where.

    nan for an edge beside one that is not there.

    Dark ink is looked for square to each edge every 2 mm, after the whole has been moved to where the ink
    is; corners are where the lines found for two edges meet.
    """
    dark = np.clip(110 - picture, 0, 110)
    ys, xs = np.nonzero(dark > 60)
    walked = [_walk(np.array(points) * [10, -10], 2.0) for points in edges]
    every = np.vstack([places for places, _ in walked])
    move = np.array([xs.min() + xs.max(), ys.min() + ys.max()]) / 2 / MM - (every.min(0) + every.max(0)) / 2
    for reach in (6.0, 4.0, 2.0, 1.0, 1.0):
        found = [_seek(dark, places + move, normals, reach) for places, normals in walked]
        sides = np.vstack([n[~np.isnan(d)] for (_, n), d in zip(walked, found, strict=True)])
        off = np.concatenate([d[~np.isnan(d)] for d in found])
        move = move + np.linalg.lstsq(sides, off, rcond=None)[0]
    runs = []
    for places, normals in walked:
        d = _seek(dark, places + move, normals, 1.0)
        runs.append((places + move + normals * d[:, None])[~np.isnan(d)])
    out = []
    for k, run in enumerate(runs):
        before, after = runs[k - 1], runs[(k + 1) % len(runs)]
        ends = _meet(before[-7:], run[:7]), _meet(run[-7:], after[:7])
        steps = np.diff(np.vstack([ends[0], run, ends[1]]), axis=0)
        out.append(float(np.linalg.norm(steps, axis=1).sum()))
    return out


def _walk(points: np.ndarray, step: float) -> tuple[np.ndarray, np.ndarray]:
    """Places every `step` mm along straight pieces, clear of the ends, and the normal at each."""
    pieces = np.diff(points, axis=0)
    long = np.linalg.norm(pieces, axis=1)
    at = np.concatenate([[0], np.cumsum(long)])
    s = np.arange(3.0, at[-1] - 3.0, step)
    k = np.clip(np.searchsorted(at, s, side="right") - 1, 0, len(long) - 1)
    way = pieces[k] / long[k, None]
    return points[k] + way * (s - at[k])[:, None], np.column_stack([-way[:, 1], way[:, 0]])


def _seek(dark: np.ndarray, places: np.ndarray, normals: np.ndarray, reach: float) -> np.ndarray:
    """Distance in mm along the normal to the middle of the ink, nan where there is none."""
    offsets = np.arange(-reach, reach, 0.25 / MM)
    at = np.rint((places[:, None, :] + normals[:, None, :] * offsets[None, :, None]) * MM).astype(int)
    high, wide = dark.shape
    weight = dark[np.clip(at[..., 1], 0, high - 1), np.clip(at[..., 0], 0, wide - 1)]
    total = weight.sum(1)
    enough = total > 4 * 110 * 2  # two pixels of black
    return np.where(enough, (weight * offsets).sum(1) / np.maximum(total, 1), np.nan)


def _meet(before: np.ndarray, after: np.ndarray) -> np.ndarray:
    """Where two edges cross when each runs on with the bend it has at its end; nan where they do not."""
    cross = _run_on(before).intersection(_run_on(after[::-1]))
    return np.full(2, np.nan) if cross.is_empty else np.array(cross.representative_point().coords[0])


def _run_on(places: np.ndarray) -> LineString:
    walked = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(places, axis=0), axis=1))])
    ahead = walked[-1] + np.arange(-2.0, 10.0, 0.1)
    return LineString(np.column_stack([np.polyval(np.polyfit(walked, v, 2), ahead) for v in places.T]))

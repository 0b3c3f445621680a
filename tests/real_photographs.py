"""Real photographs that packages ship, read as drafts are: python -m tests.real_photographs FOLDER

They are a reality check of the lens, the flat picture, the markers and the crossings. They show chessboards,
markers and a printed puzzle: no real pencil draft has been photographed by the project. FOLDER, or a folder
in it, holds what these packages unpack to:

- boards: left01.jpg to right14.jpg, of Debian's `opencv-doc` (`apt-get download`, then `dpkg-deb -x`);
- ruled lines: sudoku.png, of the same package: a puzzle on bent newsprint, taken with a telephone;
- markers: images/ of the source of `apriltags` 0.0.7 on PyPI (`pip download --no-deps --no-binary :all:`):
  36h11 markers on walls and on a clipboard. With the package `apriltag-python` what is read is compared
  with what that reader finds.
"""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Iterable
from pathlib import Path

import cv2
import numpy as np

from patternlib.geometry import Point
from patternlib.photo.flat import Flat
from patternlib.photo.kept import kept_flat
from patternlib.photo.lens import Body, fit_camera
from patternlib.photo.markers import find_markers
from patternlib.photo.plane import Plane

ACROSS, DOWN = 9, 6
"""Inner corners of the chessboards."""
SQUARE = 2.5
"""cm, taken for a square's side: all results are shares of the board's width."""
SURE = 30.0
"""A marker with this margin of decision in the other reader is counted."""


# -- chessboards: the rim is known, what lies inside is predicted


def board_corners(grey) -> np.ndarray | None:
    """The inner corners of a chessboard in a grey picture, in rows, (54, 2) pixels."""
    how = cv2.CALIB_CB_EXHAUSTIVE | cv2.CALIB_CB_ACCURACY
    found, corners = cv2.findChessboardCornersSB(grey, (ACROSS, DOWN), flags=how)
    if not found:
        found, corners = cv2.findChessboardCorners(grey, (ACROSS, DOWN))
        if found:
            ends = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 40, 0.001)
            corners = cv2.cornerSubPix(grey, corners, (5, 5), (-1, -1), ends)
    return corners.reshape(-1, 2).astype(float) if found else None


def board_errors(path: Path) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """How far the 28 corners inside lie from where the 26 on the rim say, % of the width between the rims.

    By the lens and paper that are fitted to the rim; in the flat picture, looked for again; by a homography
    alone.
    """
    pixels = cv2.imread(str(path))
    grey = cv2.cvtColor(pixels, cv2.COLOR_BGR2GRAY)
    seen = board_corners(grey)
    assert seen is not None, f"no board in {path}"
    column, row = (k.ravel() for k in np.meshgrid(np.arange(ACROSS), np.arange(DOWN)))
    right, down = seen[ACROSS - 1] - seen[0], seen[-ACROSS] - seen[0]
    mirrored = right[0] * down[1] < right[1] * down[0]
    board = SQUARE * np.column_stack([column, row if mirrored else DOWN - 1 - row]).astype(float)
    rim = (column % (ACROSS - 1) == 0) | (row % (DOWN - 1) == 0)
    wide, high = (ACROSS - 1) * SQUARE, (DOWN - 1) * SQUARE
    # the fit takes four corners for each marker: here they are one place
    body = Body(path.name, np.repeat(board[rim], 4, axis=0), np.repeat(seen[rim], 4, axis=0), {})
    plane = Plane(fit_camera([body], grey.shape[1], grey.shape[0]), (0.0, 0.0, wide, high))
    plain, _ = cv2.findHomography(seen[rim], board[rim])
    bare = cv2.perspectiveTransform(seen[~rim][None], plain)[0]
    laid = _in_flat_picture(plane, pixels)
    flat = np.full(1, np.nan)
    if laid is not None:
        flat = np.hypot(*(laid[:, None] - board[~rim]).T).min(axis=1)
    read = plane.onto_paper(seen[~rim])
    return tuple(100 / wide * off for off in (
        np.hypot(*(read - board[~rim]).T), flat, np.hypot(*(bare - board[~rim]).T)))  # fmt: skip


def _in_flat_picture(plane: Plane, pixels) -> np.ndarray | None:
    """The board's corners found in its flat picture, cm."""
    fine, rim = 1.6 * plane.px_per_cm(), 0.9 * SQUARE
    flat = Flat("sheet", "", 0, 0.0, 0.0, "", {}, plane.box, fine, 1.0, (), plane, pixels)
    x0, y0, x1, y1 = plane.box
    part = flat.part((x0 - rim, y0 - rim, x1 + rim, y1 + rim), fine)
    seen = board_corners(cv2.cvtColor(part, cv2.COLOR_BGR2GRAY))
    if seen is None:
        return None
    return np.column_stack([x0 - rim + (seen[:, 0] + 0.5) / fine, y1 + rim - (seen[:, 1] + 0.5) / fine])


def boards(files: Iterable[Path]) -> None:
    found = [board_errors(path) for path in files]
    print(f"{len(found)} chessboards predicted from their rim, % of the width: median / 95 in 100 / largest")
    for name, off in zip(("lens and paper fitted", "in the flat picture", "homography alone"),
                         (np.concatenate(one) for one in zip(*found, strict=True)), strict=True):  # fmt: skip
        seen = off[~np.isnan(off)]
        middle, most = np.median(seen), np.quantile(seen, 0.95)
        print(f"  {name:24} {middle:.3f} / {most:.3f} / {seen.max():.3f}", flush=True)


# -- ruled lines on bent paper


def ruled(path: Path) -> None:
    """Crossings of the puzzle's lines, and how far each lies off a smooth surface through all of them."""
    pixels, px = cv2.imread(str(path)), 60.0
    high, wide = pixels.shape[:2]
    data = cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, 97])[1].tobytes()
    flat = kept_flat(data, box=(0.0, 0.0, wide / px, high / px), px_per_cm=px, kind="sheet", label="", page=0,
                     residual=0.0, tilt=0.0, sha256="0" * 64, flags={})  # fmt: skip
    corners = np.array([(75, 86), (490, 73), (519, 518), (36, 514)], np.float32)  # seen by eye
    ends = np.array([(0, 0), (9, 0), (9, 9), (0, 9)], np.float32)
    near = cv2.getPerspectiveTransform(ends, corners)
    print("ruled lines of a printed puzzle on newsprint, a square about 48 pixels wide")
    for name, lines in (("strong lines", [0, 3, 6, 9]), ("all lines, thin ones among them", range(10))):
        at = np.array([(i, j) for j in lines for i in lines], float)
        taps = cv2.perspectiveTransform(at[None].astype(np.float32), near)[0]
        found = [flat.crossings(Point((u + 0.5) / px, (high - v - 0.5) / px), 0.3) for u, v in taps]
        first = [(*c[0].point,) if c else (np.nan, np.nan) for c in found]
        spots = np.array(first) * px
        seen = ~np.isnan(spots[:, 0])
        ways = np.column_stack([at[:, 0] ** a * at[:, 1] ** b for a in range(4) for b in range(4 - a)])
        smooth = ways @ np.linalg.lstsq(ways[seen], spots[seen], rcond=None)[0]
        off = np.hypot(*(smooth - spots)[seen].T)
        print(f"  {name}: {seen.sum()} of {len(at)} found, off a smooth surface {np.median(off):.1f} pixels "
              f"(median), {off.max():.1f} (largest)", flush=True)  # fmt: skip


# -- markers


def markers(files: Iterable[Path]) -> None:
    """The numbers that are read, and whether another reader finds the same ones in the same places."""
    other = _other_reader()
    pictures, sure, both, off, missed = 0, 0, 0, [], 0
    mine_in_all = 0
    for path in files:
        grey = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
        if grey is None:
            continue
        seen = find_markers(grey)
        pictures, mine_in_all = pictures + 1, mine_in_all + len(seen.numbers)
        mine = dict(zip(seen.numbers, seen.corners, strict=True))
        for found in other(grey) if other else ():
            if found["margin"] < SURE:
                continue
            sure += 1
            if found["id"] not in mine:
                missed += 1
                continue
            both += 1
            four, own = np.array(found["lb-rb-rt-lt"])[::-1] - 0.5, mine[found["id"]]
            off.append(min(np.hypot(*(np.roll(own, k, axis=0) - four).T).max() for k in range(4)))
    print(f"markers 36h11: {mine_in_all} read in {pictures} photographs")
    if other:
        print(
            f"  of {sure} that another reader is sure of {both} are read as the same number; their worst "
            f"corner lies {np.median(off):.2f} / {np.quantile(off, 0.95):.2f} / {max(off):.2f} pixels apart "
            f"(median / 95 in 100 / largest); {missed} are not read",
            flush=True,
        )


def _other_reader():
    if importlib.util.find_spec("apriltag") is None:
        return None
    from apriltag import apriltag

    return apriltag("tag36h11").detect


def main(words: list[str]) -> None:
    if len(words) != 1 or not Path(words[0]).is_dir():
        raise SystemExit(__doc__)
    every = sorted(path for path in Path(words[0]).rglob("*") if path.is_file())
    shots = [
        p for p in every if p.suffix == ".jpg" and p.stem[:-2] in ("left", "right") and p.stem[-1].isdigit()
    ]
    walls = [p for p in every if p.parent.name in ("hallway", "mapping_feb_2014", "clipboard")]
    if shots:
        boards(shots)
    for path in (p for p in every if p.name == "sudoku.png"):
        ruled(path)
    if walls:
        markers(walls)
    if not (shots or walls):
        raise SystemExit(f"No photograph of the packages lies in {words[0]}.\n{__doc__}")


if __name__ == "__main__":
    main(sys.argv[1:])

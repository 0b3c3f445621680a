"""The lens, the paper and the flat picture on real photographs of chessboards [source: SOURCES.txt].

No real pencil draft has been photographed by the project; `python -m tests.real_photographs` has more.
"""

from __future__ import annotations

from pathlib import Path

import pytest

np = pytest.importorskip("numpy")
pytest.importorskip("cv2")
pytest.importorskip("scipy")

BOARDS = sorted((Path(__file__).parent / "data" / "photographs").glob("*.jpg"))


def test_what_lies_inside_a_chessboard_is_known_from_its_rim():
    """From two cameras with strong lenses, up to 40 degrees off level. % of the board's width; on a page 20
    cm wide 0.1 % are 0.2 mm. A homography alone is out by half a per cent, so the lens has to be fitted."""
    from tests.real_photographs import board_errors

    assert len(BOARDS) == 8
    read, flat, bare = (np.concatenate(one) for one in zip(*map(board_errors, BOARDS), strict=True))
    assert np.median(read) < 0.08 and np.quantile(read, 0.95) < 0.2
    assert np.median(bare) > 0.4
    seen = flat[~np.isnan(flat)]
    assert len(seen) > 6 * 28 and np.median(seen) < 0.12 and np.quantile(seen, 0.95) < 0.3

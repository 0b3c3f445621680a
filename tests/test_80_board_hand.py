"""While the hand moves: no findings and no advice yet, and pictures are blended in the page."""

from __future__ import annotations

import json
import shutil
import statistics
import subprocess
from pathlib import Path
from random import Random

import pytest

import patternlib as pl
from patternlib.boards import garment_board

BODY = pl.chart("course").body("12")
BLEND = Path(__file__).parent / "page" / "blend_error.mjs"


def asked(board, kind: str, number: int = 1, **values: float) -> None:
    row = list({**board.values, **values}.values())
    board._hear(None, {"kind": kind, "who": "w", "n": number, "v": row, "s": 0}, None)


def test_findings_and_advice_come_when_the_hand_rests(monkeypatch):
    board = garment_board("pinafore", BODY, ["bib_top", "bib_pocket_width", "strap_level"])
    sent = []
    monkeypatch.setattr(board, "send", sent.append)
    before = board.picture["all"]["findings"]
    assert board.setup["rested"]
    asked(board, "draw", strap_level=20)
    assert "items" in sent[-1]["got"][0] and "findings" not in sent[-1]["got"][0]
    wide = {"bib_top": 17, "bib_pocket_width": 20}
    asked(board, "draw", 2, **wide)
    hasty = sent[-1]["got"][0]["error"]
    asked(board, "rest", 3, **wide)
    assert board.error.startswith(hasty.rstrip(".")) and " Take " in board.error and " Take " not in hasty
    asked(board, "rest", 4, bib_top=24, bib_pocket_width=14, strap_level=20)
    assert not board.error and board.picture["all"]["findings"] == before == []


@pytest.mark.parametrize(
    ("garment", "names"),
    [
        ("pinafore", ["skirt_length", "flare", "yoke_depth", "bib_height"]),
        ("smock", ["length", "bust_ease", "sleeve_short"]),
    ],
)
def test_blended_pictures_lie_near_those_that_python_draws(garment, names):
    """Half of them within 0.3 cm at each point of each line, none 3 cm off: 1 and 12 px on a board."""
    node = shutil.which("node")
    if not node:
        pytest.skip("the page's own code is tested with node, which is not installed")

    def page(**given):
        done = subprocess.run(
            [node, str(BLEND)], input=json.dumps(given), capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    board = garment_board(garment, BODY, names)
    sliders, row = board.setup["sliders"], list(board.values.values())

    def drawn(rows):
        return [[one, board._differ(dict(zip(names, one, strict=True)), 0)] for one in rows]

    random, wanted = Random(3), []
    for k, name in enumerate(names):
        s = board.slider(name)
        for _ in range(5):
            v = s.low + s.step * random.randrange(int((s.high - s.low) / s.step))
            wanted.append([*row[:k], round(v, 4), *row[k + 1 :]])
    near = drawn(page(sliders=sliders, row=row))
    gaps = page(sliders=sliders, row=row, whole=board.picture["all"], drawn=near, wanted=drawn(wanted))
    found = [gap[0] for gap in gaps if gap]
    assert len(found) > 0.7 * len(wanted)
    assert statistics.median(found) < 0.3 and max(found) < 3, sorted(found)

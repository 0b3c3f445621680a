"""Values a learner left on a board, found again when the cell is run again or the notebook is opened again.

While the kernel lives they are kept in it. Beyond that they stand in the notebook itself, in the metadata
of the board's still picture, and are read from the saved file. Without a notebook page (a test run, a
conversion) there is no cell to look up, and every board starts as it is written.
"""

from __future__ import annotations

import json
import math
import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

TAG = "draft_board"
"""The key in the metadata of an output."""
MOST_BACK = 50
"""Values at which the hand has rested that are kept, back and forward each."""

_left: dict[tuple[str, str], dict[str, Any]] = {}


def cell_id() -> str:
    """Return the id of the notebook cell that runs now, '' where no page has sent it."""
    try:
        from IPython import get_ipython

        return get_ipython().get_parent()["metadata"]["cellId"] or ""
    except (ImportError, AttributeError, KeyError, TypeError):
        return ""


def state(
    title: str, start: Mapping[str, float], values: Mapping[str, float], unit: str, trail: Mapping[str, Any]
) -> dict[str, Any]:
    """Return what is kept of a board: its title and start say which board it was."""
    kept = {"title": title, "start": dict(start), "values": dict(values), "unit": unit}
    lines = {way: [",".join(f"{v:.6g}" for v in row) for row in rows] for way, rows in trail.items() if rows}
    return kept | ({"trail": lines} if lines else {})


def trail(given: Any, count: int) -> dict[str, list[list[float]]]:
    """Return the rows of `count` values that can be gone back and forward to; what is none is left out.

    given: as the page sends it, or as `state` keeps it, a line of text for each row.

    >>> trail({"back": ["60,4", "x"], "forward": [[61, 5]]}, 2)
    {'back': [[60.0, 4.0]], 'forward': [[61.0, 5.0]]}
    """
    found: dict[str, list[list[float]]] = {"back": [], "forward": []}
    for way, rows in found.items():
        given_rows = given.get(way) if isinstance(given, Mapping) else None
        for row in (given_rows if isinstance(given_rows, list) else [])[-MOST_BACK:]:
            try:
                numbers = [float(v) for v in (row.split(",") if isinstance(row, str) else row)]
            except (TypeError, ValueError):
                continue
            if len(numbers) == count and all(map(math.isfinite, numbers)):
                rows.append(numbers)
    return found


def leave(cell: str, kept: dict[str, Any]) -> None:
    """Keep the state of a board that was made in a cell, for as long as the kernel lives."""
    if cell:
        _left[cell, kept["title"]] = kept


def found(cell: str, title: str, start: Mapping[str, float]) -> dict[str, Any]:
    """Return the state left on the board of a cell; empty for none, or where its start has changed."""
    if not cell:
        return {}
    known = _left.get((cell, title))
    for kept in [known] if known else _saved(cell):
        if kept.get("title") == title and kept.get("start") == dict(start):
            return kept
    return {}


def _saved(cell: str) -> Iterator[dict[str, Any]]:
    """The states in the saved notebook's outputs of a cell."""
    path = os.environ.get("JPY_SESSION_NAME", "")
    try:
        cells: Sequence[dict] = json.loads(Path(path).read_text(encoding="utf-8"))["cells"] if path else ()
        outputs = [out for one in cells if one.get("id") == cell for out in one.get("outputs", ())]
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return
    for out in outputs:
        kept = out.get("metadata", {}).get(TAG)
        if isinstance(kept, dict):
            yield kept

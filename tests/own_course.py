"""Commands given in a course folder with exercises of a teacher's own, as a teacher gives them."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from patternlib.assess.own.place import SAID_WHERE

ROOT = Path(__file__).parent.parent


def surroundings() -> dict[str, str]:
    """The environment in which a command finds the own exercises of the folder it is given in."""
    kept = {k: v for k, v in os.environ.items() if k != SAID_WHERE}
    return {**kept, "PYTHONPATH": str(ROOT)}


def command(folder: Path, *words: str) -> subprocess.CompletedProcess:
    """Give a command of the course in a folder."""
    return subprocess.run(
        [sys.executable, "-m", "patternlib", *words],
        cwd=folder, capture_output=True, text=True, env=surroundings(),
    )  # fmt: skip

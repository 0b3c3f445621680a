"""Where a teacher's own exercises lie: the folder `own_exercises` beside `lessons` and `exercises`."""

from __future__ import annotations

import os
from pathlib import Path

FOLDER = "own_exercises"
SAID_WHERE = "PATTERNLIB_OWN_EXERCISES"
"""An environment variable that names the folder; empty, there is none."""
COURSE = Path(__file__).resolve().parents[3]


def own_folder() -> Path | None:
    """The folder, found from where the notebook or the command runs, else beside the library; else None."""
    said = os.environ.get(SAID_WHERE)
    if said is not None:
        return Path(said) if said and Path(said).is_dir() else None
    here = Path.cwd()
    places = [*((here,) if here.name == FOLDER else ()), here / FOLDER, here.parent / FOLDER]
    if _course(here) is None:  # another copy of the course has exercises of its own, or none
        places.append(COURSE / FOLDER)
    return next((place.resolve() for place in places if place.is_dir()), None)


def new_folder() -> Path:
    """Where the folder is made: beside the folder `exercises`, found from where the command runs."""
    said = os.environ.get(SAID_WHERE)
    if said:
        return Path(said)
    here = Path.cwd()
    beside = _course(here) or (COURSE if (COURSE / "exercises").is_dir() else here)
    return beside / FOLDER


def lessons_beside(folder: Path) -> list[int]:
    """The numbers of the lessons that lie beside an own folder, those of a teacher's own among them; none
    where no lesson lies there."""
    found = {path.name[:2] for path in (folder.parent / "lessons").glob("[0-9][0-9]_*.ipynb")}
    return sorted(map(int, found))


def _course(here: Path) -> Path | None:
    """The copy of the course in which a notebook or command runs: what holds a folder `exercises`."""
    return next((place for place in (here, here.parent) if (place / "exercises").is_dir()), None)

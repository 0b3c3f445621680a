"""All exercises of a teacher's own, as the catalogue takes them; files that cannot be used are told."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from ...errors import PatternError
from ..tasks.exercise import Exercise
from .own_file import as_exercise, read_own_file
from .place import own_folder


def own_exercises() -> dict[str, Exercise]:
    """Every own exercise that can be used, by its id."""
    return dict(_read(own_folder())[0])


def own_faults() -> tuple[str, ...]:
    """A sentence for each file that cannot be used."""
    return _read(own_folder())[1]


@cache
def _read(folder: Path | None) -> tuple[dict[str, Exercise], tuple[str, ...]]:
    found: dict[str, Exercise] = {}
    faults = []
    for path in sorted(folder.glob("*.toml")) if folder else ():
        try:
            found[path.stem] = as_exercise(read_own_file(path))
        except PatternError as fault:
            faults.append(str(fault))
    return found, tuple(faults)

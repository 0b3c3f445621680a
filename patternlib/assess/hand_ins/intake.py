"""Opening what students hand in: loose notebooks, folders in folders, zips; nothing is trusted.

A file is looked at before it is opened (no links, no pipes, no devices, 16 MB at most) and opened so
that none of this can change in between. Whatever cannot be read becomes a `HandIn` with a `problem`: one
sentence for the report. Nothing that came in is passed over in silence, and each folder has its own limits,
so that what one student hands in takes nothing from another.
"""

from __future__ import annotations

import os
import stat
import zipfile
from collections.abc import Iterator
from pathlib import Path

from ...errors import PatternError
from ..safe_text import one_line
from .files import (
    LARGEST,
    LARGEST_PICTURE,
    NOTEBOOK,
    PASSED_OVER,
    HandIn,
    Quota,
    Refused,
    is_picture,
    other,
    read_file,
    small_enough,
    stamp_in,
    stem,
)
from .zips import open_zip

DEEPEST = 6
"""folders below one another."""


def open_all(handins: Path) -> Iterator[HandIn]:
    """Yield everything below a folder, or in a zip file, in the order of the names.

    Raises PatternError where there is nothing of that kind to open.
    """
    try:
        kind = os.stat(handins).st_mode
    except (OSError, ValueError):
        raise PatternError(f"There is no folder or zip file called {one_line(handins)}.") from None
    if stat.S_ISDIR(kind):
        yield from _folder(Path(handins), "", (), Quota())
    elif stat.S_ISREG(kind) and Path(handins).suffix.casefold() == ".zip":
        if not zipfile.is_zipfile(handins):
            raise PatternError(f"{one_line(handins)} cannot be opened as a zip file. Fetch or pack it again.")
        yield from open_zip(handins, one_line(Path(handins).name), (), Quota(), follow=True)
    else:
        raise PatternError(
            f"{one_line(handins)} is neither a folder nor a .zip file. Give the folder of hand-ins."
        )


def _folder(folder: Path, shown: str, names: tuple[str, ...], quota: Quota) -> Iterator[HandIn]:
    entries: list[os.DirEntry] = []
    try:
        for entry in os.scandir(folder):
            if entry.name in PASSED_OVER or entry.name.startswith(("._", ".DS_Store")):
                continue
            quota.entry()
            entries.append(entry)
    except OSError as error:
        yield HandIn(shown, names, None, f"This folder cannot be opened ({one_line(error.strerror)}).")
    except Refused as refused:
        yield HandIn(shown, names, None, str(refused))
    if not entries and shown:
        yield HandIn(shown, names, None, "This folder is empty.")
    for entry in sorted(entries, key=lambda e: e.name):
        name = one_line(entry.name)
        where = f"{shown}/{name}" if shown else name
        mine = (*names, stem(entry.name))
        try:
            yield from _entry(entry, where, names, mine, quota)
        except Refused as refused:
            yield HandIn(where, mine, None, str(refused))
        except OSError as error:
            yield HandIn(where, mine, None, f"It cannot be opened ({one_line(error.strerror)}).")


def _entry(entry: os.DirEntry, where, names, mine: tuple[str, ...], quota: Quota) -> Iterator[HandIn]:
    if entry.is_symlink():
        raise Refused("This is a link to another place, not a notebook; it was not followed.")
    if entry.is_dir(follow_symlinks=False):
        if len(names) >= DEEPEST:
            raise Refused(f"More than {DEEPEST} folders lie inside one another; not opened.")
        yield from _folder(Path(entry.path), where, (*names, one_line(entry.name)), quota.below())
    elif entry.name.casefold().endswith(".zip"):
        yield from open_zip(entry.path, where, mine, quota.below(), follow=False)
    elif NOTEBOOK.fullmatch(entry.name):
        facts = entry.stat(follow_symlinks=False)
        if stat.S_ISREG(facts.st_mode) and facts.st_size <= LARGEST:
            quota.take(facts.st_size)
        yield HandIn(where, mine, read_file(entry.path), stamp=_stamp(mine), saved=facts.st_mtime)
    elif is_picture(entry.name):
        facts = entry.stat(follow_symlinks=False)
        if stat.S_ISREG(facts.st_mode):
            small_enough(facts.st_size)
            quota.take(facts.st_size)
        data = read_file(entry.path, LARGEST_PICTURE)
        yield HandIn(where, mine, data, stamp=_stamp(mine), saved=facts.st_mtime, picture=True)
    else:
        yield other(where, mine, entry.name, stamp=_stamp(mine))


def _stamp(names: tuple[str, ...]) -> str:
    return next(filter(None, map(stamp_in, reversed(names))), "")

"""Opening what students hand in: loose notebooks, a folder a student, or a zip; nothing is trusted.

A file is looked at before it is opened (no links, no pipes, no devices, 16 MB at most) and opened so
that none of this can change in between. A zip is read entry by entry in memory, never unpacked to disk.
Whatever cannot be read becomes a `HandIn` with a `problem`: one sentence for the report.
"""

from __future__ import annotations

import os
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from ...errors import PatternError
from ..safe_text import one_line

LARGEST = 16_000_000
"""bytes: largest notebook that is opened."""
LARGEST_ZIP = 600_000_000
"""bytes: largest zip file."""
LARGEST_CLASS = 2_000_000_000
"""bytes: all notebooks of one zip together, unpacked."""
MOST = 5000
"""entries of one zip, or files of one folder of hand-ins, that are looked at."""
MOST_SWELLING = 200
"""an entry of a zip may unpack to this many times its packed size (and any entry to 1 MB)."""
LARGEST_LIST = 4_000_000
"""bytes: the list of contents at the end of a zip."""
DEEPEST = 6
"""folders below one another."""
PASSED_OVER = (".ipynb_checkpoints", "__MACOSX", "__pycache__")


class Refused(Exception):
    """A file that is not opened, or not read further; the text is a sentence for the report."""


@dataclass(frozen=True)
class HandIn:
    """One file as it came in.

    where: its path below the hand-ins, for people; place: the name that says whose it is (the student's
    folder, else the file's own name without its ending); data: its bytes, None where problem says why.
    """

    where: str
    place: str
    data: bytes | None
    problem: str = ""


def open_all(handins: Path) -> Iterator[HandIn]:
    """Yield every hand-in below a folder, or in a zip file, in the order of the names.

    Raises PatternError where there is nothing of that kind to open.
    """
    try:
        kind = os.stat(handins).st_mode
    except (OSError, ValueError):
        raise PatternError(f"There is no folder or zip file called {one_line(handins)}.") from None
    if stat.S_ISDIR(kind):
        yield from _folder(Path(handins), "", "", 0, [0])
    elif stat.S_ISREG(kind) and Path(handins).suffix.casefold() == ".zip":
        yield from _zip(Path(handins), Path(handins).name, "", follow=True)
    else:
        raise PatternError(
            f"{one_line(handins)} is neither a folder nor a .zip file. Give the folder of hand-ins."
        )


def _folder(folder: Path, shown: str, place: str, deep: int, seen: list[int]) -> Iterator[HandIn]:
    try:
        entries = sorted(os.scandir(folder), key=lambda e: e.name)
    except OSError as error:
        yield HandIn(shown, place or shown, None, f"This folder cannot be opened ({error.strerror}).")
        return
    for entry in entries:
        name = one_line(entry.name)
        where = f"{shown}/{name}" if shown else name
        if entry.name in PASSED_OVER or entry.name.startswith("._"):
            continue
        seen[0] += 1
        if seen[0] > MOST:
            yield HandIn(
                where, place or name, None, f"More than {MOST} files were handed in; the rest was not opened."
            )
            return
        stem, ending = os.path.splitext(entry.name)
        mine = place or one_line(stem)
        if entry.is_symlink():
            yield HandIn(
                where, mine, None, "This is a link to another place, not a notebook; it was not followed."
            )
        elif entry.is_dir(follow_symlinks=False):
            if deep >= DEEPEST:
                yield HandIn(
                    where, mine, None, f"More than {DEEPEST} folders lie inside one another; not opened."
                )
            else:
                yield from _folder(Path(entry.path), where, place or name, deep + 1, seen)
        elif ending.casefold() == ".zip":
            yield from _zip(Path(entry.path), where, mine, follow=False)
        elif ending.casefold() == ".ipynb":
            try:
                yield HandIn(where, mine, read_file(entry.path))
            except Refused as refused:
                yield HandIn(where, mine, None, str(refused))


def read_file(path: str | Path, largest: int = LARGEST, *, follow: bool = False) -> bytes:
    """Return the bytes of a regular file of at most `largest` bytes; raises Refused with a sentence."""
    with _opened(path, largest, follow) as file:
        data = file.read(largest + 1)
    if len(data) > largest:
        raise Refused(f"The file grew beyond {largest // 1_000_000} MB while it was read.")
    return data


def _opened(path, largest: int, follow: bool):
    """Open for reading without following a link and without waiting for a pipe's other end."""
    flags = (
        os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOCTTY", 0)
    )
    try:
        before = os.stat(path, follow_symlinks=follow)
        _regular(before, largest)
        descriptor = os.open(path, flags | (0 if follow else getattr(os, "O_NOFOLLOW", 0)))
    except (OSError, ValueError) as error:
        raise Refused(f"The file cannot be opened ({getattr(error, 'strerror', None) or error}).") from None
    try:
        _regular(os.fstat(descriptor), largest)
        return os.fdopen(descriptor, "rb")
    except BaseException:
        os.close(descriptor)
        raise


def _regular(facts: os.stat_result, largest: int) -> None:
    if stat.S_ISLNK(facts.st_mode):
        raise Refused("This is a link to another place, not a notebook; it was not followed.")
    if not stat.S_ISREG(facts.st_mode):
        raise Refused("This is a pipe or a device, not a file; it was not opened.")
    if facts.st_size > largest:
        raise Refused(
            f"The file is too large: {facts.st_size / 1e6:.0f} MB, the most is {largest // 1_000_000} MB. "
            "Clear large pictures from the notebook and hand it in again."
        )


def _zip(path: Path, shown: str, place: str, *, follow: bool) -> Iterator[HandIn]:
    owner = place or one_line(path.stem)
    try:
        with _opened(path, LARGEST_ZIP, follow) as file:
            _list_is_short(file)
            with zipfile.ZipFile(file) as archive:
                yield from _entries(archive, shown, place)
    except Refused as refused:
        yield HandIn(shown, owner, None, str(refused))
    except (zipfile.BadZipFile, OSError, ValueError, struct.error, NotImplementedError, EOFError):
        yield HandIn(shown, owner, None, "This is not a zip file that can be read; it may be cut short.")


def _list_is_short(file) -> None:
    """Refuse a zip whose list of contents alone would fill the memory, before it is read."""
    size = file.seek(0, os.SEEK_END)
    file.seek(max(0, size - 65_557))
    tail = file.read()
    file.seek(0)
    at = tail.rfind(b"PK\x05\x06")
    if at < 0 or len(tail) - at < 22:
        raise Refused("This is not a zip file that can be read; it may be cut short.")
    count, length = struct.unpack_from("<HI", tail, at + 10)
    if b"PK\x06\x06" in tail or count == 0xFFFF or count > MOST or length > LARGEST_LIST:
        raise Refused(f"The zip lists more than {MOST} files, or more than 4 GB; it was not opened.")


def _entries(archive: zipfile.ZipFile, shown: str, place: str) -> Iterator[HandIn]:
    total = 0
    entries = sorted((e for e in archive.infolist() if not e.is_dir()), key=lambda e: e.filename)
    common = _common_folder(entries)
    for entry in entries:
        path = PurePosixPath(entry.filename)
        if (
            path.suffix.casefold() != ".ipynb"
            or set(path.parts) & set(PASSED_OVER)
            or path.name.startswith("._")
        ):
            continue
        folders = path.parts[len(common) : -1]
        where = f"{shown}: {one_line(entry.filename)}"
        mine = place or one_line(folders[0] if folders else path.stem)
        try:
            data = _entry(archive, entry, LARGEST_CLASS - total)
            total += len(data)
            yield HandIn(where, mine, data)
        except Refused as refused:
            yield HandIn(where, mine, None, str(refused))


def _common_folder(entries: list[zipfile.ZipInfo]) -> tuple[str, ...]:
    """The one folder round everything, as most zip programs make it; it names no student.

    Only a folder that holds further folders counts: a zip of one student's folder keeps it.
    """
    firsts = {PurePosixPath(e.filename).parts[:1] for e in entries}
    deep = all(len(PurePosixPath(e.filename).parts) > 2 for e in entries)
    return firsts.pop() if len(firsts) == 1 and deep else ()


def _entry(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, left: int) -> bytes:
    name = entry.orig_filename
    parts = name.replace("\\", "/").split("/")
    if name.startswith(("/", "\\")) or ".." in parts or ":" in parts[0] or "\0" in name or "\\" in name:
        raise Refused("The zip names a place outside itself for this file; it was not unpacked.")
    kind = entry.external_attr >> 16
    if kind and stat.S_IFMT(kind) not in (0, stat.S_IFREG):
        raise Refused("This entry of the zip is a link or a device, not a notebook; it was not followed.")
    if entry.flag_bits & 0x1:
        raise Refused("This entry of the zip is locked with a password. Hand it in without one.")
    if entry.file_size > LARGEST:
        raise Refused(f"The file is too large: {entry.file_size / 1e6:.0f} MB unpacked, the most is 16 MB.")
    if entry.file_size > max(1_000_000, MOST_SWELLING * entry.compress_size):
        raise Refused("This entry of the zip swells far beyond its packed size; it was not unpacked.")
    if entry.file_size > left:
        raise Refused("The notebooks of this zip are more than 2 GB together; the rest was not unpacked.")
    try:
        with archive.open(entry) as stream:
            data = stream.read(LARGEST + 1)
    except (zipfile.BadZipFile, OSError, ValueError, EOFError, zlib.error, NotImplementedError, RuntimeError):
        raise Refused("This entry of the zip is damaged. Hand it in again.") from None
    if len(data) > LARGEST:
        raise Refused("This entry of the zip is larger than it says; it was not read further.")
    return data

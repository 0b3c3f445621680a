"""A zip, read entry by entry in memory and never unpacked to disk; a zip inside it as well."""

from __future__ import annotations

import io
import os
import stat
import struct
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import PurePosixPath

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
    opened,
    other,
    small_enough,
    stamp_in,
    stem,
)

LARGEST_ZIP = 600_000_000
"""bytes: largest zip file."""
LARGEST_INNER = 100_000_000
"""bytes: largest zip inside a zip."""
DEEPEST_ZIP = 3
"""zips inside one another."""
MOST_LISTED = 20_000
"""entries that one zip may list."""
MOST_SWELLING = 200
"""an entry of a zip may unpack to this many times its packed size (and any entry to 1 MB)."""
LARGEST_LIST = 16_000_000
"""bytes: the list of contents at the end of a zip."""
UNREADABLE = "This is not a zip file that can be read; it may be cut short."


def open_zip(path, where: str, names: tuple[str, ...], quota: Quota, *, follow: bool) -> Iterator[HandIn]:
    """Yield what a zip file holds; `names` say whose it is."""
    try:
        with opened(path, LARGEST_ZIP, follow) as file:
            yield from _archive(file, where, names, quota, 1)
    except Refused as refused:
        yield HandIn(where, names, None, str(refused))


def _archive(
    file, where: str, names: tuple[str, ...], quota: Quota, inside: int, when: str = ""
) -> Iterator[HandIn]:
    """Yield what an open zip holds; whatever is wrong with it is this zip's own fault, and told.

    when: the time at which the zip round this one took it in.
    """
    try:
        _list_is_short(file)
        with zipfile.ZipFile(file) as archive:
            yield from _entries(archive, where, names, quota, inside, when)
    except Refused as refused:
        yield HandIn(where, names, None, str(refused))
    except (GeneratorExit, KeyboardInterrupt):
        raise
    except Exception:  # zipfile and what it unpacks with raise many kinds on damaged data
        yield HandIn(where, names, None, UNREADABLE)


def _list_is_short(file) -> None:
    """Refuse a zip whose list of contents alone would fill the memory, before it is read."""
    size = file.seek(0, os.SEEK_END)
    file.seek(max(0, size - 65_557))
    tail = file.read()
    file.seek(0)
    at = tail.rfind(b"PK\x05\x06")
    if at < 0 or len(tail) - at < 22:
        raise Refused(UNREADABLE)
    count, length = struct.unpack_from("<HI", tail, at + 10)
    if b"PK\x06\x06" in tail or count == 0xFFFF or count > MOST_LISTED or length > LARGEST_LIST:
        raise Refused(f"The zip lists more than {MOST_LISTED} files, or more than 4 GB; it was not opened.")


def _entries(
    archive, where: str, names: tuple[str, ...], quota: Quota, inside: int, taken_in: str
) -> Iterator[HandIn]:
    entries = sorted(archive.infolist(), key=lambda e: e.filename)
    files = [e for e in entries if e.filename and not e.filename.endswith("/")]
    if not files:
        yield HandIn(where, names, None, "This zip is empty.")
    for nameless in (e for e in entries if not e.filename):
        yield HandIn(f"{where}: (no name)", names, None, "This entry has no name.", stamp=_stamp(nameless))
    quotas: dict[tuple[str, ...], Quota] = {(): quota}
    full: set[tuple[str, ...]] = set()
    for entry in files:
        path = PurePosixPath(entry.filename)
        folders = path.parts[:-1]
        if set(path.parts) & set(PASSED_OVER) or path.name.startswith("._"):
            continue
        chain = [quotas.setdefault(folders[:i], Quota(quota.deep + i)) for i in range(len(folders) + 1)]
        shown = f"{where}: {one_line(entry.filename)}"
        mine = (*names, *map(one_line, folders), stem(path.name))
        when = taken_in or _stamp_of(entry, mine)
        try:
            for round_it in reversed(chain):  # the innermost is full first, and costs the others nothing
                round_it.entry()
        except Refused as refused:
            if folders not in full:
                full.add(folders)
                yield HandIn(shown, mine, None, str(refused))
            continue
        yield from _file(archive, entry, shown, mine, when, chain, inside)


def _file(archive, entry, shown: str, mine: tuple[str, ...], when: str, chain, inside) -> Iterator[HandIn]:
    name = PurePosixPath(entry.filename).name
    packed = name.casefold().endswith(".zip")
    picture = is_picture(name)
    if not packed and not picture and not NOTEBOOK.fullmatch(name):
        yield other(shown, mine, name, stamp=when)
        return
    try:
        if packed and inside >= DEEPEST_ZIP:
            raise Refused(f"More than {DEEPEST_ZIP} zips lie inside one another; not opened.")
        if picture:
            small_enough(entry.file_size)
        largest = LARGEST_INNER if packed else LARGEST_PICTURE if picture else LARGEST
        data = _unpacked(archive, entry, largest, chain)
    except Refused as refused:
        yield HandIn(shown, mine, None, str(refused), when)
        return
    if packed:
        yield from _archive(io.BytesIO(data), shown, mine, chain[-1].below(), inside + 1, when)
    else:
        yield HandIn(shown, mine, data, stamp=when, saved=_seconds(entry), picture=picture)


def _unpacked(archive, entry: zipfile.ZipInfo, largest: int, chain) -> bytes:
    name = entry.orig_filename
    parts = name.replace("\\", "/").split("/")
    if name.startswith(("/", "\\")) or ".." in parts or ":" in parts[0] or "\0" in name or "\\" in name:
        raise Refused("The zip names a place outside itself for this file; it was not unpacked.")
    kind = entry.external_attr >> 16
    if kind and stat.S_IFMT(kind) not in (0, stat.S_IFREG):
        raise Refused("This entry of the zip is a link or a device, not a notebook; it was not followed.")
    if entry.flag_bits & 0x1:
        raise Refused("This entry of the zip is locked with a password. Hand it in without one.")
    if entry.file_size > largest:
        most = largest // 1_000_000
        raise Refused(
            f"The file is too large: {entry.file_size / 1e6:.0f} MB unpacked, the most is {most} MB."
        )
    if entry.file_size > max(1_000_000, MOST_SWELLING * entry.compress_size):
        raise Refused("This entry of the zip swells far beyond its packed size; it was not unpacked.")
    for quota in reversed(chain):
        quota.take(entry.file_size)
    try:
        with archive.open(entry) as stream:
            data = stream.read(largest + 1)
    except Exception:  # each way of packing raises its own kind on damaged data
        raise Refused("This entry of the zip is damaged. Hand it in again.") from None
    if len(data) > largest:
        raise Refused("This entry of the zip is larger than it says; it was not read further.")
    return data


def _stamp_of(entry: zipfile.ZipInfo, names: tuple[str, ...]) -> str:
    """The date in a name, innermost first; else the date that the zip gives the entry."""
    return next(filter(None, map(stamp_in, reversed(names))), "") or _stamp(entry)


def _stamp(entry: zipfile.ZipInfo) -> str:
    year, month, day, hour, minute, _ = entry.date_time
    if year < 2000 or not 1 <= month <= 12 or not 1 <= day <= 31 or hour > 23 or minute > 59:
        return ""
    return f"{year}-{month:02}-{day:02} {hour:02}:{minute:02}"


def _seconds(entry: zipfile.ZipInfo) -> float:
    import time

    with suppress(ValueError, OverflowError, OSError):
        return time.mktime((*entry.date_time, 0, 0, -1))
    return 0.0

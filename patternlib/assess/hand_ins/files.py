"""One thing that came in, one file opened safely, and how much one student's things may take."""

from __future__ import annotations

import os
import re
import stat
from dataclasses import dataclass, field

from ...photo.decoding import MOST_BYTES as LARGEST_PICTURE
from ..safe_text import one_line

LARGEST = 16_000_000
"""bytes: largest notebook that is opened."""
MOST_ENTRIES = (20_000, 5000, 1000)
"""Entries looked at below one folder or zip: at the top, one below, and everywhere deeper."""
MOST_BYTES = (4_000_000_000, 1_000_000_000, 300_000_000)
"""bytes read there."""
PASSED_OVER = (".ipynb_checkpoints", "__MACOSX", "__pycache__")
NOTEBOOK = re.compile(r"(.*?)\.ipynb(\.txt|\.json)?(\s*\(\d+\))?", re.IGNORECASE | re.DOTALL)
"""A notebook's file name, also as browsers change it when they save: `a.ipynb (1)`, `a.ipynb.txt`."""
OTHERS = {
    ".html": "This is a web page and not the notebook itself. Hand in the file that ends in .ipynb.",
    ".pdf": "",
    ".py": "This is a program and not the notebook. Hand in the file that ends in .ipynb.",
}
PICTURES = (
    ".jpg", ".jpeg", ".jfif", ".png", ".heic", ".heif", ".avif", ".webp", ".tif", ".tiff", ".bmp", ".gif",
)  # fmt: skip
"""Endings of what may be a photograph of a draft; of which kind it is, its bytes say."""
PACKED = (".rar", ".7z", ".tar", ".gz", ".tgz", ".bz2", ".xz")
_STAMP = re.compile(
    r"(?<!\d)(20\d\d)[-_.](\d\d)[-_.](\d\d)"
    r"(?:[-_. T]+(?:at[-_. ]+)?(\d\d)[-_.:h](\d\d)(?:[-_.:](\d\d))?)?(?!\d)"
)


class Refused(Exception):
    """A file that is not opened, or not read further; the text is a sentence for the report."""


@dataclass(frozen=True)
class HandIn:
    """One file as it came in.

    where: its path below the hand-ins, for people; names: what may say whose it is, the folders and zips
    from the outermost to the innermost, then the file's own name without its ending; data: its bytes, None
    where `problem` says why; stamp: when the school's system took it in, 'YYYY-MM-DD HH:MM', '' where
    nothing tells; saved: seconds since 1970 of the file itself; beside: no hand-in of an exercise, listed
    only; picture: it may be a photograph of a draft; mark: by which the same file is known again.
    """

    where: str
    names: tuple[str, ...]
    data: bytes | None
    problem: str = ""
    stamp: str = ""
    saved: float = 0.0
    beside: bool = False
    picture: bool = False
    mark: str = ""

    @property
    def place(self) -> str:
        """The outermost name."""
        return self.names[0] if self.names else self.where


@dataclass
class Quota:
    """What may still be looked at below one folder or zip; deep: how many folders lie round it."""

    deep: int = 0
    entries: int = field(default=0)
    bytes: int = field(default=0)

    def __post_init__(self):
        level = min(self.deep, len(MOST_ENTRIES) - 1)
        self.entries, self.bytes = MOST_ENTRIES[level], MOST_BYTES[level]

    def below(self) -> Quota:
        """The quota of a folder or zip inside."""
        return Quota(self.deep + 1)

    def entry(self) -> None:
        """One more file or folder is looked at; raises Refused where it is one too many."""
        self.entries -= 1
        if self.entries < 0:
            level = min(self.deep, len(MOST_ENTRIES) - 1)
            raise Refused(f"More than {MOST_ENTRIES[level]} files lie in here; the rest was not opened.")

    def take(self, size: int) -> None:
        """So many bytes more are to be read; raises Refused where they are too many."""
        if size > self.bytes:
            level = min(self.deep, len(MOST_BYTES) - 1)
            most = MOST_BYTES[level] // 1_000_000
            raise Refused(f"The files in here are more than {most} MB together; this one was not opened.")
        self.bytes -= size


def stem(name: str) -> str:
    """A file's name without its ending; of a notebook also without what a browser added.

    >>> stem("s29 (1).ipynb"), stem("s29.ipynb (1)"), stem("photo.jpg")
    ('s29 (1)', 's29 (1)', 'photo')
    """
    found = NOTEBOOK.fullmatch(name)
    bare = found[1] + (found[3] or "") if found else os.path.splitext(name)[0]
    return one_line(bare)


def stamp_in(name: str) -> str:
    """A date, with its time, that a school's system wrote into a name; '' where there is none.

    >>> stamp_in("Ada_2026-03-04-17-05-09_skirt"), stamp_in("week 2")
    ('2026-03-04 17:05', '')
    """
    found = _STAMP.search(name)
    if not found or not 1 <= int(found[2]) <= 12 or not 1 <= int(found[3]) <= 31:
        return ""
    hour, minute = int(found[4] or 23), int(found[5] or 59)
    if hour > 23 or minute > 59:
        return ""
    return f"{found[1]}-{found[2]}-{found[3]} {hour:02}:{minute:02}"


def is_picture(name: str) -> bool:
    """Whether a file's name is that of a picture.

    >>> is_picture("IMG_2041.JPG"), is_picture("notes.txt")
    (True, False)
    """
    return os.path.splitext(name)[1].casefold() in PICTURES


def small_enough(size: int) -> None:
    """Raises Refused for a picture of more bytes than are opened."""
    if size > LARGEST_PICTURE:
        raise Refused(
            f"The picture is too large: {size / 1e6:.0f} MB, the most is {LARGEST_PICTURE // 1_000_000} MB. "
            "Take it with the camera's usual setting."
        )


def other(where: str, names: tuple[str, ...], name: str, **when) -> HandIn:
    """What is no notebook and no zip: a sentence where it may be somebody's answer, else listed only."""
    ending = os.path.splitext(name)[1].casefold()
    if ending in PACKED:
        why = f"A {ending} file is not opened. Pack it as a .zip, or hand in the notebook alone."
    else:
        why = OTHERS.get(ending, "")
    if why:
        return HandIn(where, names, None, why, **when)
    return HandIn(where, names, None, "Not a notebook; listed only.", beside=True, **when)


def read_file(path, largest: int = LARGEST, *, follow: bool = False) -> bytes:
    """Return the bytes of a regular file of at most `largest` bytes; raises Refused with a sentence."""
    with opened(path, largest, follow) as file:
        data = file.read(largest + 1)
    if len(data) > largest:
        raise Refused(f"The file grew beyond {largest // 1_000_000} MB while it was read.")
    return data


def opened(path, largest: int, follow: bool):
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
    if stat.S_ISDIR(facts.st_mode):
        raise Refused("This is a folder, not a file.")
    if not stat.S_ISREG(facts.st_mode):
        raise Refused("This is a pipe or a device, not a file; it was not opened.")
    if facts.st_size > largest:
        raise Refused(
            f"The file is too large: {facts.st_size / 1e6:.0f} MB, the most is {largest // 1_000_000} MB. "
            "Clear large pictures from the notebook and hand it in again."
        )

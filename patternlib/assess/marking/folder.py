"""The folder for the marks: one run at a time, written aside, switched in one step, nothing left lying."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from ...errors import PatternError
from ..safe_text import one_line
from ..sent_photographs.looking import FOLDER as PICTURES

LOCK, ASIDE, READY, GONE = ".in-use", ".writing-", ".ready", ".gone"
PAGES, DRILLS = "students", "drills"
ROOMS, OLD = "patternlib-run-", 3600.0
"""Throw-away homes of notebooks, and after how many seconds one is left over from a run that fell."""


@contextmanager
def alone_in(out: Path) -> Iterator[None]:
    """Hold the folder while a run works in it; raises PatternError where another run does.

    What a run that fell left half done is finished or removed first. A folder made here and left empty is
    removed again.
    """
    path = out / LOCK
    try:
        out.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
    except OSError as fault:
        raise PatternError(
            f"--out: {one_line(out)} cannot be written ({fault.strerror}). Name another folder."
        ) from None
    try:
        if not _hold(handle) or not _still(handle, path):
            raise PatternError(f"Another run is writing into {one_line(out)}. Wait until it has ended.")
        _sweep(out)
        try:
            yield
        finally:
            with suppress(OSError):
                path.unlink()
    finally:
        os.close(handle)
        if sys.platform == "win32":  # there a file is removed when nobody has it open
            with suppress(OSError):
                path.unlink()
        with suppress(OSError):
            out.rmdir()


def _hold(handle: int) -> bool:
    """Lock the file; the system frees it when this process ends, however it ends."""
    try:
        import fcntl
    except ImportError:
        import msvcrt

        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
            return True
        except OSError:
            return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return True
    except BlockingIOError:
        return False
    except OSError:  # a file system without locks
        return True


def _still(handle: int, path: Path) -> bool:
    """Whether the locked file is the one that stands there, and not one that was removed meanwhile."""
    try:
        return os.fstat(handle).st_ino == os.stat(path).st_ino
    except OSError:
        return False


def _sweep(out: Path) -> None:
    for left in out.glob(f"{ASIDE}*"):
        if left.is_dir() and not left.is_symlink():
            shutil.rmtree(left, ignore_errors=True)
    if (out / READY).is_dir() and not (out / READY).is_symlink():
        _switch(out, keep_newer=True)


def sweep_rooms() -> None:
    """Remove the throw-away homes that runs which fell left behind; only old ones of one's own."""
    for left in Path(tempfile.gettempdir()).glob(f"{ROOMS}*"):
        with suppress(OSError):
            facts = left.lstat()
            mine = not hasattr(os, "getuid") or facts.st_uid == os.getuid()
            if mine and time.time() - facts.st_mtime > OLD and left.is_dir() and not left.is_symlink():
                shutil.rmtree(left, ignore_errors=True)


def place(out: Path, texts: Mapping[str, str | bytes], gone: Iterable[str]) -> None:
    """Write files into the folder and remove those that are `gone`: all of it, or nothing.

    Everything is first written aside; that folder is then renamed, which is one step. From then on a run
    that falls is finished by the next one.
    """
    for folder in (out / PAGES, out / PICTURES, out / DRILLS):
        if folder.is_symlink():
            raise PatternError(f"{folder} is a link to another place: remove it and start again.")
    out.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=ASIDE, dir=out))
    try:
        (aside / PAGES).mkdir()
        for name, text in texts.items():
            data = text if isinstance(text, bytes) else text.encode()
            (aside / name).parent.mkdir(parents=True, exist_ok=True)
            (aside / name).write_bytes(data)
        (aside / GONE).write_text("\n".join(gone), encoding="utf-8")
        os.replace(aside, out / READY)
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    _switch(out)


def _switch(out: Path, *, keep_newer: bool = False) -> None:
    """Move what is ready to its place; begun, it can be begun again.

    keep_newer: what was saved in its place after it was made stays, as the instructor's own marks are.
    """
    ready = out / READY
    (out / PAGES).mkdir(exist_ok=True)
    for path in sorted(ready.rglob("*")):
        if path.is_file() and path.name != GONE:
            (out / path.relative_to(ready)).parent.mkdir(parents=True, exist_ok=True)
            there = out / path.relative_to(ready)
            if not (keep_newer and _newer(there, path)):
                _replace(path, there)
    with suppress(OSError):
        for name in (ready / GONE).read_text(encoding="utf-8").splitlines():
            own = name in (f"{PAGES}/{Path(name).name}", Path(name).name)
            if own and name.endswith((".html", ".ipynb")):
                with suppress(OSError):
                    os.unlink(out / name)
    shutil.rmtree(ready, ignore_errors=True)


def _newer(there: Path, made: Path) -> bool:
    with suppress(OSError):
        return there.stat().st_mtime > made.stat().st_mtime
    return False


def can_be_written(paths: Iterable[Path]) -> None:
    """PatternError where another program holds one of the files, told before any work is done."""
    for path in paths:
        try:
            with suppress(FileNotFoundError), open(path, "r+b"):
                pass
        except PermissionError:
            raise _held(path) from None
        except OSError:  # no file at all: what is wrong is told where it is read
            continue


def _replace(made: Path, there: Path) -> None:
    try:
        os.replace(made, there)
    except PermissionError:
        raise _held(there) from None


def _held(path: Path) -> PatternError:
    return PatternError(
        f"{one_line(path)} cannot be written: it is open in another program, or protected. Close it there, "
        "and start the command again. What you saved in it stays."
    )


def put(path: Path, data: bytes) -> None:
    """Write one file whole or not at all."""
    aside = path.with_name(f"{path.name}.part")
    aside.write_bytes(data)
    os.replace(aside, path)

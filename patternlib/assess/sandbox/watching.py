"""A process that is watched from outside: its clock, its memory, its files, and how much it gives back."""

from __future__ import annotations

import os
import queue
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

from . import limits

START = 60.0
"""seconds that Python may take to start and to load the library."""
LONGEST = 8_000_000
"""bytes that a notebook may give back."""
FOLDER = 64_000_000
"""bytes of all files in the throw-away home."""
OWN = 3
"""processes that bubblewrap and Python themselves take."""
LOOK = 0.1
"""seconds between two looks at memory and files."""


@dataclass(frozen=True)
class Ended:
    """How a process ended, as the clock and the system tell it; data is only its own word."""

    data: bytes
    why: str = ""
    exit: int | None = None
    signal: int | None = None


def ended(data: bytes, why: str, status: int, *, wrapped: bool = False) -> Ended:
    """From the status: minus the signal, or where bubblewrap stands between 128 and the signal."""
    if status < 0:
        code, signal = None, -status
    elif wrapped and status > 128:
        code, signal = None, status - 128
    else:
        code, signal = status, None
    return Ended(b"" if why == "length" else data.lstrip(b"\n"), why, code, signal)


def watched(process: subprocess.Popen, way_back: int, home: str, seconds: float) -> tuple[bytes, str]:
    """What came back, and why it was stopped, '' if it ended by itself; it may still run.

    way_back: the file number from which it is read, which is closed when nothing more can come; home: the
    folder whose files are watched; seconds: by the clock from the first byte on.
    """
    parts: queue.SimpleQueue[bytes] = queue.SimpleQueue()
    threading.Thread(target=_read, args=(way_back, parts), daemon=True).start()
    data, end, looked, over = b"", time.monotonic() + START, 0.0, False
    while True:
        now = time.monotonic()
        if now > end:
            return data, "time" if data else "start"
        if now - looked > LOOK:
            looked = now
            if why := _too_much(process.pid, home):
                return data, why
        try:
            part = parts.get(timeout=min(LOOK, end - now))
        except queue.Empty:
            if over:
                return data, ""  # something it started keeps the way back open
            over = process.poll() is not None
            continue
        if not part:
            break
        if not data:  # the first bytes say that the cells begin
            end = time.monotonic() + seconds
        data += part
        if len(data) > LONGEST:
            return data, "length"
    try:
        process.wait(max(end - time.monotonic(), 0.1))
    except subprocess.TimeoutExpired:
        return data, "time"
    return data, ""


def _read(way_back: int, parts: queue.SimpleQueue[bytes]) -> None:
    left = LONGEST
    with suppress(OSError), os.fdopen(way_back, "rb", buffering=0) as source:
        while left >= 0 and (part := source.read(1 << 16)):
            left -= len(part)
            parts.put(part)
    parts.put(b"")


def end(process: subprocess.Popen) -> None:
    """End a process and what it started; in bubblewrap the system ends all that is inside."""
    if hasattr(os, "killpg"):
        with suppress(ProcessLookupError, PermissionError):
            os.killpg(process.pid, 9)
    process.kill()
    process.wait()


def _too_much(process: int, home: str) -> str:
    if sum(_sizes(home)) > FOLDER:
        return "files"
    sizes = list(_memory(process))
    if len(sizes) > limits.PROCESSES + OWN:  # root is under no limit that the system keeps
        return "processes"
    if sum(sizes) > limits.MEMORY:
        return "memory"
    return ""


def _sizes(folder: str) -> Iterator[int]:
    for above, _, names in os.walk(folder):
        for name in names:
            with suppress(OSError):
                found = os.lstat(os.path.join(above, name))
                yield found.st_blocks * 512 if hasattr(found, "st_blocks") else found.st_size


def _memory(top: int) -> Iterator[int]:
    """Bytes in memory of `top` and of each process that came from it."""
    import psutil  # the browser has none

    with suppress(psutil.Error):
        first = psutil.Process(top)
        for process in (first, *first.children(recursive=True)):
            with suppress(psutil.Error):
                yield process.memory_info().rss

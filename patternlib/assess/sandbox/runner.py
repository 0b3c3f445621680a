"""One notebook's cells in a process of their own: in bubblewrap where that works here, else bare.

Bubblewrap gives the process its own users, processes, network and files: it sees Python, its packages, this
library and an empty folder, and all that it starts ends with it. Limits on time, memory and processes are
set by the process itself (limits.py) and watched from here.
"""

from __future__ import annotations

import json
import os
import select
import shutil
import site
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from ..own.place import SAID_WHERE, own_folder
from . import limits
from .job import SOURCE

SECONDS = 15.0
"""A notebook may take this long by the clock; its processor time is limited more tightly."""
START = 60.0
"""seconds that Python may take to start and to load the library."""
LONGEST = 8_000_000
"""bytes that a notebook may give back."""
MOST_TEXT = 4_000_000
"""bytes of code of one notebook."""
FOLDER = 64_000_000
"""bytes of all files in the throw-away home."""
CELLS = "patternlib.assess.sandbox.child"
"""The module that runs a notebook's cells."""
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


@dataclass(frozen=True)
class Runner:
    """wrapped: in bubblewrap; seconds: by the clock, for the cells of one notebook."""

    wrapped: bool
    seconds: float = SECONDS

    def run(self, cells: tuple[str, ...], second: str = "") -> Ended:
        """Run cells; second: the class key of other measurements, '' for the student's own."""
        text = json.dumps([cells, second]).encode()
        if len(text) > MOST_TEXT:
            return Ended(b"", "text")
        return self.give(text, CELLS)

    def give(self, order: bytes, main: str) -> Ended:
        """Start a process, give it an order, take what it gives back; main: the module whose `main` runs."""
        with tempfile.TemporaryDirectory(prefix="patternlib-run-", ignore_cleanup_errors=True) as home:
            source, sink = os.pipe()
            with os.fdopen(source, "rb", buffering=0) as way_back:
                try:
                    process = self._start(order, home, sink, main)
                finally:
                    os.close(sink)
                try:
                    data, why = self._watch(process, way_back, home)
                finally:
                    _end(process)
        if not data:
            return Ended(b"", why or "start")
        return self._ended(data, why, process.returncode)

    def _start(self, text: bytes, home: str, sink: int, main: str) -> subprocess.Popen:
        work = "/tmp" if self.wrapped else home
        python = [sys.executable, "-P", "-B", "-c", self._code(sink, main)]
        with tempfile.TemporaryFile() as order:
            order.write(text)
            order.seek(0)
            return subprocess.Popen(
                [*wrapping(), *python] if self.wrapped else python,
                stdin=order,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                pass_fds=[sink],
                env=surroundings(work),
                cwd="/" if self.wrapped else home,
                start_new_session=True,
            )

    def _code(self, sink: int, main: str) -> str:
        path = f"import sys; sys.path.insert(0, {str(SOURCE)!r}); "
        return f"{path}from {main} import main; main({sink}, alone={self.wrapped})"

    def _watch(self, process: subprocess.Popen, way_back, home: str) -> tuple[bytes, str]:
        """What came back, and why it was stopped, '' if it ended by itself."""
        data, end, looked = b"", time.monotonic() + START, 0.0
        while True:
            now = time.monotonic()
            if now > end:
                return data, "time" if data else "start"
            if now - looked > LOOK:
                looked = now
                if why := _too_much(process.pid, home):
                    return data, why
            if not select.select([way_back], [], [], min(LOOK, end - now))[0]:
                if process.poll() is None:
                    continue
                return data, ""  # something it started keeps the way back open
            part = way_back.read(1 << 16)
            if not part:
                break
            if not data:  # the first bytes say that the cells begin
                end = time.monotonic() + self.seconds
            data += part
            if len(data) > LONGEST:
                return data, "length"
        try:
            process.wait(max(end - time.monotonic(), 0.1))
        except subprocess.TimeoutExpired:
            return data, "time"
        return data, ""

    def _ended(self, data: bytes, why: str, status: int) -> Ended:
        """From the status: minus the signal, or where bubblewrap stands between 128 and the signal."""
        if status < 0:
            code, signal = None, -status
        elif self.wrapped and status > 128:
            code, signal = None, status - 128
        else:
            code, signal = status, None
        return Ended(b"" if why == "length" else data.lstrip(b"\n"), why, code, signal)


def _end(process: subprocess.Popen) -> None:
    """End a process and what it started; in bubblewrap the system ends all that is inside."""
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
                yield os.lstat(os.path.join(above, name)).st_blocks * 512


def _memory(top: int) -> Iterator[int]:
    """Bytes in memory of `top` and of each process that came from it, where /proc shows them."""
    above, size = {}, {}
    with suppress(OSError):
        for process in (int(n) for n in os.listdir("/proc") if n.isdecimal()):
            with suppress(OSError), open(f"/proc/{process}/stat") as file:
                fields = file.read().rpartition(")")[2].split()
                above[process] = int(fields[1])
                size[process] = int(fields[21]) * os.sysconf("SC_PAGE_SIZE")
    for process in size:
        at = process
        while at not in (top, 0):
            at = above.get(at, 0)
        if at == top:
            yield size[process]


def _libraries() -> Iterator[str]:
    """What a notebook may read: Python, its packages, this library, fonts and time zones; no one's work."""
    places = {
        sys.prefix,
        sys.base_prefix,
        *(p for p in sys.path if Path(p).name in ("site-packages", "dist-packages")),
    }
    yield from sorted(p for p in places if p != "/usr")
    yield str(SOURCE / "patternlib")
    if own := own_folder():
        yield str(own)
    yield from ("/usr/lib", "/usr/lib64", "/lib", "/lib64", "/usr/share/fonts", "/usr/share/zoneinfo")
    yield from ("/etc/fonts", "/etc/ld.so.cache", "/etc/localtime")
    if sys.base_prefix == "/usr":
        yield "/usr/bin"


def wrapping() -> list[str]:
    """The bubblewrap command: own users, processes, network and files; no /proc, no capability."""
    line = ["bwrap", "--unshare-all", "--unshare-user", "--uid", "65534", "--gid", "65534"]
    line += ["--cap-drop", "ALL", "--die-with-parent", "--new-session", "--hostname", "notebook"]
    line += ["--dev", "/dev", "--size", str(2 * FOLDER), "--tmpfs", "/tmp"]
    for place in _libraries():
        if os.path.islink(place):
            line += ["--symlink", os.readlink(place), place]
        elif os.path.exists(place):
            line += ["--ro-bind", place, place]
    return [*line, "--chdir", "/tmp"]


def surroundings(work: str) -> dict[str, str]:
    """The environment of the process; `work` is its home."""
    kept = {k: v for k, v in os.environ.items() if k.startswith("OPENBLAS_") or k in ("LANG", "LC_ALL")}
    return {
        **kept,
        "PATH": os.defpath,
        "PYTHONUSERBASE": site.getuserbase(),
        "HOME": work,
        "TMPDIR": work,
        "MPLBACKEND": "agg",
        "MPLCONFIGDIR": os.path.join(work, "matplotlib"),
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
        "PYTHONHASHSEED": "0",
        "IPYTHONDIR": os.path.join(work, "ipython"),
        SAID_WHERE: str(own_folder() or ""),
    }


def can_wrap() -> bool:
    """Whether bubblewrap works here, found by starting something in it."""
    if shutil.which("bwrap") is None:
        return False
    command = [*wrapping(), sys.executable, "-I", "-S", "-c", ""]
    try:
        tried = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, timeout=START)
        return tried.returncode == 0
    except subprocess.TimeoutExpired:
        return False

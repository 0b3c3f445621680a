"""The room that a warm parent works in: started with bubblewrap where that works here, else bare."""

from __future__ import annotations

import json
import os
import select
import shutil
import site
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from ...errors import PatternError
from . import parent
from .job import SOURCE

START = 60.0
"""seconds that a warm parent may take to import the libraries."""
LONGEST = 8_000_000
"""bytes that a child may give back."""
MOST_TEXT = 4_000_000
"""bytes of code of one notebook."""


@dataclass(frozen=True)
class Ended:
    """How a child ended, as the clock and the system tell it; data is only its own word."""

    data: bytes
    why: str = ""
    exit: int | None = None
    signal: int | None = None


class Runner:
    """One warm parent and the folder it works in. Used by one thread at a time."""

    def __init__(self, *, wrapped: bool, seconds: float = parent.SECONDS):
        self.wrapped, self.seconds = wrapped, seconds
        self._folder = tempfile.mkdtemp(prefix="patternlib-room-")
        os.chmod(self._folder, 0o711)
        self._link, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_STREAM)
        with theirs:
            self._process = self._start(theirs.fileno())
        self._link.settimeout(START)
        try:
            ready = self._link.recv(16) == b"ready"
        except OSError:
            ready = False
        if not ready:
            self.close()
            raise PatternError("The locked-in room for running notebooks could not be set up.")

    def _start(self, channel: int) -> subprocess.Popen:
        work = "/tmp" if self.wrapped else self._folder
        settings = {"work": work, "readable": [*_libraries()], "alone": self.wrapped, "seconds": self.seconds}
        python = [sys.executable, "-P", "-B", "-c", self._code(channel, settings)]
        return subprocess.Popen(
            [*_wrapping(), *python] if self.wrapped else python,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            pass_fds=[channel],
            env=_surroundings(work),
            cwd="/",
            start_new_session=True,
        )

    def _code(self, channel: int, settings: dict) -> str:
        path = f"import sys; sys.path.insert(0, {str(SOURCE)!r}); "
        return f"{path}from patternlib.assess.sandbox.parent import serve; serve({channel}, {settings!r})"

    def run(self, cells: tuple[str, ...], second: str = "") -> Ended:
        """Run cells in a child; second: the class key of other measurements, '' for the student's own."""
        text = json.dumps(cells).encode()
        if len(text) > MOST_TEXT:
            return Ended(b"", "text")
        source, sink = os.pipe()
        try:
            with tempfile.TemporaryFile() as order:
                order.write(text)
                order.seek(0)
                socket.send_fds(self._link, [json.dumps({"second": second}).encode()], [order.fileno(), sink])
        except OSError:
            os.close(source)
            return Ended(b"", "room")
        finally:
            os.close(sink)
        try:
            data, too_long = _drain(source, self.seconds + 5)
        finally:
            os.close(source)  # whoever still writes is stopped by this
        try:
            self._link.settimeout(self.seconds + 5)
            told = json.loads(self._link.recv(4096) or b"null")
        except (OSError, ValueError):
            told = None
        if told is None:
            return Ended(b"", "room")
        return Ended(
            b"" if too_long else data, "length" if too_long else told["why"], told["exit"], told["signal"]
        )

    def close(self) -> None:
        """End the warm parent and all in its room."""
        self._link.close()
        self._process.kill()
        self._process.wait()
        shutil.rmtree(self._folder, ignore_errors=True)


def _drain(source: int, seconds: float) -> tuple[bytes, bool]:
    """Read a pipe to its end, for `seconds` and LONGEST bytes at most; says whether it was more."""
    end, parts, size = time.monotonic() + seconds, [], 0
    while (left := end - time.monotonic()) > 0:
        if not select.select([source], [], [], left)[0]:
            break
        part = os.read(source, 1 << 16)
        if not part:
            break
        parts.append(part)
        size += len(part)
        if size > LONGEST:
            return b"", True
    return b"".join(parts), False


def _libraries() -> Iterator[str]:
    """What a child may read: Python, its packages, this library, fonts and time zones; no one's work."""
    places = {
        sys.prefix,
        sys.base_prefix,
        *(p for p in sys.path if Path(p).name in ("site-packages", "dist-packages")),
    }
    yield from sorted(p for p in places if p != "/usr")
    yield str(SOURCE / "patternlib")
    yield from ("/usr/lib", "/usr/lib64", "/lib", "/lib64", "/usr/share/fonts", "/usr/share/zoneinfo")
    yield from ("/etc/fonts", "/etc/ld.so.cache", "/etc/localtime")
    if sys.base_prefix == "/usr":
        yield "/usr/bin"


def _wrapping() -> list[str]:
    """The bubblewrap command: own users, processes, network and files; no /proc, no capability."""
    line = [
        "bwrap",
        "--unshare-all",
        "--unshare-user",
        "--uid",
        "65534",
        "--gid",
        "65534",
        "--cap-drop",
        "ALL",
    ]
    line += ["--die-with-parent", "--new-session", "--hostname", "room", "--dev", "/dev"]
    line += ["--size", str(2 * parent.FOLDER), "--tmpfs", "/tmp"]
    for place in _libraries():
        if os.path.islink(place):
            line += ["--symlink", os.readlink(place), place]
        elif os.path.exists(place):
            line += ["--ro-bind", place, place]
    return [*line, "--chdir", "/tmp"]


def _surroundings(work: str) -> dict[str, str]:
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
    }


def can_wrap() -> bool:
    """Whether bubblewrap works here, found by starting something in it."""
    if shutil.which("bwrap") is None:
        return False
    command = [*_wrapping(), sys.executable, "-I", "-S", "-c", ""]
    try:
        tried = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, timeout=START)
        return tried.returncode == 0
    except subprocess.TimeoutExpired:
        return False

"""Bubblewrap round a process, where it works here, and the surroundings that a process sees."""

from __future__ import annotations

import os
import shutil
import site
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from ..own.place import SAID_WHERE, own_folder
from .job import SOURCE
from .watching import FOLDER, START

KEPT = ("LANG", "LC_ALL", "SYSTEMROOT")
"""What a process needs of the environment; Python does not start on Windows without the last."""


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
    kept = {k: v for k, v in os.environ.items() if k.startswith("OPENBLAS_") or k in KEPT}
    if sys.platform == "win32":
        kept |= dict.fromkeys(("USERPROFILE", "APPDATA", "TEMP", "TMP"), work)
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

"""What protects the instructor's machine while students' code runs: found by trying each thing, then said."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

from .runner import Runs
from .tries import ENDLESS, WORD, cells_to_try

LEVELS = ("limits", "files-and-network", "all")
"""From least to most: time and memory only; files, network and other programs too; and all that is tried."""

TRIED = {
    "reading": "reading your files",
    "finding": "seeing names, sizes and dates of your files",
    "writing": "writing outside its temporary home",
    "emptying": "emptying your files",
    "tcp": "TCP connections",
    "udp": "UDP messages",
    "ending": "ending other programs",
    "seeing": "seeing other programs",
    "environment": "seeing their settings",
    "processes": "more than 64 processes",
    "memory": "more than 4 GB of memory",
    "time": "running without an end",
}
AT_ONCE = 2
BRIEFLY = 1.0
"""seconds for the try that never ends."""
_MIDDLE = ("reading", "writing", "emptying", "tcp", "udp", "ending")


@dataclass(frozen=True)
class Protection:
    """closed, open: keys of TRIED by what a try at the start found; by: 'inside bubblewrap' or without."""

    closed: tuple[str, ...]
    open: tuple[str, ...]
    by: str = ""

    @property
    def level(self) -> str:
        if not self.open:
            return "all"
        return "limits" if set(self.open) & set(_MIDDLE) else "files-and-network"

    @property
    def words(self) -> str:
        """The protection in plain words, for the screen and the report."""
        said = (
            f"Each notebook was run again in a new process {self.by}, with limits on time, output and files. "
        )
        said += f"Tried at the start and found closed: {_named(self.closed)}. "
        if not self.open:
            said += "Nothing tried was found open. "
            return said + "Readable are only Python, its packages, this library and fonts."
        return said + f"Found OPEN: {_named(self.open)}."


def _named(keys: tuple[str, ...]) -> str:
    return ", ".join(TRIED[k] for k in keys) or "nothing"


def probe(runner: Runs) -> Protection:
    """Try from inside what must not be possible; what really happened outside is what counts."""
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="patternlib-yours-")))
        os.chmod(folder, 0o755)
        secret = os.urandom(16).hex()
        (folder / "read").write_text(secret, encoding="ascii")
        (folder / "empty").write_text(secret, encoding="ascii")
        tcp = stack.enter_context(socket.create_server(("127.0.0.1", 0)))
        udp = stack.enter_context(socket.socket(socket.AF_INET, socket.SOCK_DGRAM))
        udp.bind(("127.0.0.1", 0))
        waiting = [sys.executable, "-I", "-S", "-c", "import time; time.sleep(60)"]
        with_word = {**os.environ, WORD: secret}
        victim = stack.enter_context(subprocess.Popen(waiting, env=with_word))
        stack.callback(victim.kill)
        given = {
            "read": str(folder / "read"),
            "write": str(folder / "write"),
            "empty": str(folder / "empty"),
            "tcp": tcp.getsockname()[1],
            "udp": udp.getsockname()[1],
            "victim": victim.pid,
            "word": secret,
        }
        cells = cells_to_try(runner.python, given)
        with ThreadPoolExecutor(AT_ONCE) as pool:
            storm, hoard, endless = (
                pool.submit(way.run, order)
                for way, order in (
                    (runner, cells.storm),
                    (runner, cells.hoard),
                    (runner.within(BRIEFLY), ENDLESS),
                )
            )
            ended = runner.run(cells.reach)
        try:
            said = json.loads(json.loads(ended.data)["records"][-1])
        except (ValueError, KeyError, IndexError):
            return Protection((), tuple(TRIED), runner.by)  # nothing is known, so nothing is promised
        is_open = {
            "reading": said["reading"] == secret,
            "finding": said["finding"] is not None,
            "writing": (folder / "write").exists(),
            "emptying": not (folder / "empty").read_bytes(),
            "tcp": _arrived(tcp),
            "udp": _arrived(udp),
            "ending": victim.poll() is not None,
            "seeing": said["seeing"] is not None,
            "environment": said["environment"] is not None,
            "processes": b'"70"' in storm.result().data,
            "memory": b'"4200000000"' in hoard.result().data,
            "time": endless.result().why != "time" and endless.result().signal is None,
        }
    closed, found_open = (tuple(k for k in TRIED if is_open[k] == wanted) for wanted in (False, True))
    return Protection(closed, found_open, runner.by)


def _arrived(end: socket.socket) -> bool:
    end.settimeout(0.2)
    try:
        _ = end.accept() if end.type == socket.SOCK_STREAM else end.recv(1)
    except OSError:
        return False
    return True

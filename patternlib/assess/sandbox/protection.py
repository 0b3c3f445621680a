"""What protects the instructor's machine while students' code runs: found by trying each thing, then said."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import tempfile
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

from .runner import Runner

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
    "processes": "more than 64 processes",
    "memory": "more than 4 GB of memory",
}
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
            return said + "Nothing tried was found open. Readable are only Python, its packages and fonts."
        return said + f"Found OPEN: {_named(self.open)}."


def _named(keys: tuple[str, ...]) -> str:
    return ", ".join(TRIED[k] for k in keys) or "nothing"


_TRY = """
import json, os, socket
from IPython.display import display
given = json.loads({given!r})
found = {{}}
def attempt(name, do):
    try:
        found[name] = do()
    except BaseException as error:
        found[name] = None
def write():
    with open(given["write"], "w") as file:
        file.write("written")
def connect():
    with socket.create_connection(("127.0.0.1", given["tcp"]), 0.5) as link:
        link.sendall(b"x")
def send():
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as link:
        link.sendto(b"x", ("127.0.0.1", given["udp"]))
attempt("reading", lambda: open(given["read"]).read())
attempt("finding", lambda: os.stat(given["read"]).st_size)
attempt("writing", write)
attempt("emptying", lambda: os.truncate(given["empty"], 0))
attempt("tcp", connect)
attempt("udp", send)
attempt("seeing", lambda: open("/proc/%d/cmdline" % given["victim"]).read())
attempt("ending", lambda: os.kill(given["victim"], 15))
display({{{mime!r}: found}}, raw=True)
"""

_STORM = """
import os, sys, time
children = []
try:
    for _ in range(70):
        waiting = [sys.executable, "-I", "-S", "-c", "import time; time.sleep(20)"]
        children.append(os.posix_spawn(waiting[0], waiting, {{}}))
    time.sleep(1)
finally:
    for child in children:
        os.kill(child, 9)
    display({{{mime!r}: len(children)}}, raw=True)
"""
_HOARD = """
hoard = b"x" * 4_200_000_000
display({{{mime!r}: len(hoard)}}, raw=True)
"""


def probe(runner: Runner, by: str) -> Protection:
    """Try from inside what must not be possible; what really happened outside is what counts."""
    from ..tasks.record import MIME

    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="patternlib-yours-")))
        os.chmod(folder, 0o755)
        secret = os.urandom(16).hex()
        (folder / "read").write_text(secret)
        (folder / "empty").write_text(secret)
        tcp = stack.enter_context(socket.create_server(("127.0.0.1", 0)))
        udp = stack.enter_context(socket.socket(socket.AF_INET, socket.SOCK_DGRAM))
        udp.bind(("127.0.0.1", 0))
        waiting = [sys.executable, "-I", "-S", "-c", "import time; time.sleep(60)"]
        victim = stack.enter_context(subprocess.Popen(waiting))
        stack.callback(victim.kill)
        given = {
            "read": str(folder / "read"),
            "write": str(folder / "write"),
            "empty": str(folder / "empty"),
            "tcp": tcp.getsockname()[1],
            "udp": udp.getsockname()[1],
            "victim": victim.pid,
        }
        ended = runner.run((_TRY.format(given=json.dumps(given), mime=MIME),))
        try:
            said = json.loads(json.loads(ended.data)["records"][-1])
        except (ValueError, KeyError, IndexError):
            return Protection((), tuple(TRIED), by)  # nothing is known, so nothing is promised
        storm, hoard = (runner.run((cell.format(mime=MIME),)).data for cell in (_STORM, _HOARD))
        is_open = {
            "reading": said["reading"] == secret,
            "finding": said["finding"] is not None,
            "writing": (folder / "write").exists(),
            "emptying": not (folder / "empty").read_text(),
            "tcp": _arrived(tcp),
            "udp": _arrived(udp),
            "ending": victim.poll() is not None,
            "seeing": said["seeing"] is not None,
            "processes": b'"70"' in storm,
            "memory": b'"4200000000"' in hoard,
        }
    return Protection(tuple(k for k in TRIED if not is_open[k]), tuple(k for k in TRIED if is_open[k]), by)


def _arrived(end: socket.socket) -> bool:
    end.settimeout(0.2)
    try:
        _ = end.accept() if end.type == socket.SOCK_STREAM else end.recv(1)
    except OSError:
        return False
    return True

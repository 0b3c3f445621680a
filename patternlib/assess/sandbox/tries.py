"""The cells that try what must not be possible, for each Python in which a notebook can run.

Each shows what it found; what really happened outside is looked at in protection.py.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from ..tasks.record import MIME
from .runner import BROWSER, NATIVE


class Tries(NamedTuple):
    """reach: everything that is named to it; storm: seventy other programs; hoard: 4.2 GB of memory."""

    reach: tuple[str, ...]
    storm: tuple[str, ...]
    hoard: tuple[str, ...]


def cells_to_try(python: str, given: Mapping[str, object]) -> Tries:
    """The cells for NATIVE or BROWSER. given: paths, ports, a process and a word to try."""
    cells = {NATIVE: (_REACH, _STORM, _HOARD), BROWSER: (_PAGE_REACH, _PAGE_STORM, _PAGE_HOARD)}
    text = json.dumps({**given, "python": sys.executable})
    page = (Path(__file__).with_name("page") / "tries.js").read_text(encoding="utf-8")
    filled = [part.format(given=text, mime=MIME, page=page) for part in cells[python]]
    return Tries(*((part,) for part in filled))


WORD = "PATTERNLIB_WORD"
"""A name in the environment of another program, which nothing here may see."""
ENDLESS = ("while True:\n    pass",)

_REACH = """
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
def surroundings():
    return given["word"].encode() in open("/proc/%d/environ" % given["victim"], "rb").read() or None
attempt("reading", lambda: open(given["read"]).read())
attempt("finding", lambda: os.stat(given["read"]).st_size)
attempt("writing", write)
attempt("emptying", lambda: os.truncate(given["empty"], 0))
attempt("tcp", connect)
attempt("udp", send)
attempt("seeing", lambda: open("/proc/%d/cmdline" % given["victim"]).read())
attempt("environment", surroundings)
attempt("ending", lambda: os.kill(given["victim"], 15))
display({{{mime!r}: found}}, raw=True)
"""

_PAGE = """
import js, json, pyodide.code
page = pyodide.code.run_js({page!r})
given = json.loads({given!r})
"""
_PAGE_REACH = (
    _REACH.rpartition("display")[0]
    + _PAGE
    + """
for name, done in json.loads(await page.reach(js.JSON.parse(json.dumps(given)))).items():
    found[name] = found.get(name) or done
display({{{mime!r}: found}}, raw=True)
"""
)
_PAGE_STORM = _PAGE + "display({{{mime!r}: await page.storm(given['python'])}}, raw=True)"
_PAGE_HOARD = _PAGE + "display({{{mime!r}: page.hoard()}}, raw=True)"

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

"""One notebook's cells in a process of their own: in bubblewrap where that works here, else bare.

Bubblewrap gives the process its own users, processes, network and files: it sees Python, its packages, this
library and an empty folder, and all that it starts ends with it. Limits on time, memory and processes are
set by the process itself (limits.py) and watched from here (watching.py).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass, replace
from typing import Any, Protocol

from .job import SOURCE
from .watching import Ended, end, ended, watched
from .ways import surroundings, wrapping

SECONDS = 15.0
"""A notebook may take this long by the clock; its processor time is limited more tightly."""
MOST_TEXT = 4_000_000
"""bytes of code of one notebook."""
CELLS = "patternlib.assess.sandbox.child"
"""The module that runs a notebook's cells."""
NATIVE, BROWSER = "native", "browser"
INSIDE = "inside bubblewrap"


class Runs(Protocol):
    """What runs a notebook's cells. python: the Python they run in, NATIVE or BROWSER; by: in words."""

    @property
    def python(self) -> str: ...

    @property
    def by(self) -> str: ...

    def run(self, cells: tuple[str, ...], second: str = "") -> Ended:
        """Run cells; second: the class key of other measurements, '' for the student's own."""

    def within(self, seconds: float) -> Runs:
        """The same with another limit by the clock."""


def written(cells: tuple[str, ...], second: str) -> bytes:
    """The order for the process that runs the cells."""
    return json.dumps([cells, second]).encode()


@dataclass(frozen=True)
class Runner:
    """wrapped: in bubblewrap; seconds: by the clock, for the cells of one notebook."""

    wrapped: bool
    seconds: float = SECONDS
    python = NATIVE

    @property
    def by(self) -> str:
        return INSIDE if self.wrapped else "without bubblewrap"

    def run(self, cells: tuple[str, ...], second: str = "") -> Ended:
        """Run cells; second: the class key of other measurements, '' for the student's own."""
        text = written(cells, second)
        return Ended(b"", "text") if len(text) > MOST_TEXT else self.give(text, CELLS)

    def within(self, seconds: float) -> Runner:
        """The same with another limit by the clock."""
        return replace(self, seconds=seconds)

    def give(self, order: bytes, main: str) -> Ended:
        """Start a process, give it an order, take what it gives back; main: the module whose `main` runs."""
        with tempfile.TemporaryDirectory(prefix="patternlib-run-", ignore_cleanup_errors=True) as home:
            start = self._with_pipe if hasattr(os, "fork") else self._with_screen
            process, source = start(order, home, main)
            try:
                data, why = watched(process, source, home, self.seconds)
            finally:
                end(process)
        if not data:
            return Ended(b"", why or "start")
        return ended(data, why, process.returncode, wrapped=self.wrapped)

    def _with_pipe(self, order: bytes, home: str, main: str) -> tuple[subprocess.Popen, int]:
        """The process and the file number of its way back, a pipe of its own."""
        source, sink = os.pipe()
        try:
            return self._start(order, home, sink, main, pass_fds=[sink]), source
        except BaseException:
            os.close(source)
            raise
        finally:
            os.close(sink)

    def _with_screen(self, order: bytes, home: str, main: str) -> tuple[subprocess.Popen, int]:
        """The same on Windows, where a process is given no further file: its way back is what it prints."""
        process = self._start(order, home, 1, main, stdout=subprocess.PIPE)
        assert process.stdout is not None
        source = os.dup(process.stdout.fileno())
        process.stdout.close()
        return process, source

    def _start(self, text: bytes, home: str, sink: int, main: str, **way_back: Any) -> subprocess.Popen:
        work = "/tmp" if self.wrapped else home
        python = [sys.executable, "-P", "-B", "-c", self._code(sink, main)]
        with tempfile.TemporaryFile() as order:
            order.write(text)
            order.seek(0)
            return subprocess.Popen(
                [*wrapping(), *python] if self.wrapped else python,
                stdin=order,
                stderr=subprocess.DEVNULL,
                env=surroundings(work),
                cwd="/" if self.wrapped else home,
                start_new_session=True,
                **{"stdout": subprocess.DEVNULL, **way_back},
            )

    def _code(self, sink: int, main: str) -> str:
        path = f"import sys; sys.path.insert(0, {str(SOURCE)!r}); "
        return f"{path}from {main} import main; main({sink}, alone={self.wrapped})"

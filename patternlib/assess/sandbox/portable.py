"""The third way to run a notebook's cells: the browser's Python inside Deno, on any system.

Deno lets the process read this library, the prepared folder and a teacher's own exercises. It may write
nothing, reach no network, start and end no program, and see no environment. The folder is prepared once, on
a computer that is online: `python -m patternlib prepare-rerun`.

Source: Deno's manual, Security and permissions.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import msgspec

from ...errors import PatternError
from ..own.place import own_folder
from .job import SOURCE
from .limits import MEMORY
from .runner import BROWSER, MOST_TEXT, SECONDS, written
from .watching import Ended, end, ended, watched
from .ways import KEPT

PREPARED = Path.home() / ".cache" / "kiln-room-course" / "rerun"
"""The folder with the browser's Python and its packages."""
PAGE_CODE = Path(__file__).with_name("page") / "portable.js"
PARTS = ("python", "packages", "compiled")
"""In it: the browser's Python; packages in plain Python, unpacked; what is compiled of them."""
STATE = "rerun.json"
HEAP = MEMORY * 6 // 10
"""bytes that Python, and the page round it, may each take; the sum is watched from outside."""
PAGE = 1 << 16
"""bytes of one page of the browser's memory."""


class Prepared(msgspec.Struct):
    """compiled: packages of the prepared folder that are no plain Python; without: those it lacks."""

    compiled: tuple[str, ...]
    without: tuple[str, ...]


@dataclass(frozen=True)
class BrowserPython:
    """deno: the program; prepared: the folder; seconds: by the clock, for the cells of one notebook."""

    deno: str
    prepared: Path
    seconds: float = SECONDS
    python = BROWSER
    by = "in the browser's Python, inside Deno"

    def run(self, cells: tuple[str, ...], second: str = "") -> Ended:
        """Run cells; second: the class key of other measurements, '' for the student's own."""
        text = written(cells, second)
        if len(text) > MOST_TEXT:
            return Ended(b"", "text")
        with tempfile.TemporaryDirectory(prefix="patternlib-run-", ignore_cleanup_errors=True) as home:
            process = self.start(text, home)
            assert process.stdout is not None
            way_back = os.dup(process.stdout.fileno())
            process.stdout.close()
            try:
                data, why = watched(process, way_back, home, self.seconds)
            finally:
                end(process)
        return ended(data, why, process.returncode) if data else Ended(b"", why or "start")

    def within(self, seconds: float) -> BrowserPython:
        """The same with another limit by the clock."""
        return replace(self, seconds=seconds)

    def start(self, order: bytes, home: str, *, compile_into: Path | None = None) -> subprocess.Popen:
        """Start the process; home: its throw-away folder; compile_into: a folder that it may write into."""
        own = own_folder()
        library = SOURCE / "patternlib"
        read = [self.prepared, library, *([own] if own else ())]
        line = [self.deno, "run", "--quiet", "--no-prompt", "--no-remote", "--no-npm", "--cached-only"]
        line += ["--no-config", "--no-lock", "--no-code-cache", f"--allow-read={_listed(read)}"]
        limits = [f"--max-old-space-size={HEAP // 1_000_000}", f"--wasm-max-mem-pages={HEAP // PAGE}"]
        line += ["--v8-flags=" + ",".join(limits)]
        if compile_into is not None:
            line.append(f"--allow-write={_listed([compile_into])}")
        line += [str(PAGE_CODE), str(self.prepared), str(library), str(own or "")]
        # Deno itself needs these; it shows none of them to the cells
        environment = {name: os.environ[name] for name in KEPT if name in os.environ}
        homes = dict.fromkeys(("HOME", "USERPROFILE", "DENO_DIR", "TMPDIR", "TEMP", "TMP"), home)
        with tempfile.TemporaryFile() as file:
            file.write(order)
            file.seek(0)
            return subprocess.Popen(
                [*line, "compile"] if compile_into is not None else line,
                stdin=file,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env={**environment, **homes, "DENO_NO_UPDATE_CHECK": "1"},
                cwd=home,
                start_new_session=True,
            )


def _listed(folders: Iterable[Path]) -> str:
    """Folders as Deno reads them: parted by commas, so that none may have one in its name."""
    names = [str(folder) for folder in folders]
    for name in names:
        if "," in name:
            raise PatternError(
                f"The folder {name} has a comma in its name, which Deno cannot read: rename it."
            )
    return ",".join(names)


def deno_program() -> str:
    """Where Deno lies that is installed in this Python, '' where there is none."""
    try:
        from deno import find_deno_bin
    except ImportError:
        return ""
    try:
        return str(find_deno_bin())
    except FileNotFoundError:
        return ""


def prepared(folder: Path = PREPARED) -> Prepared | None:
    """What the prepared folder holds; None where there is none."""
    try:
        return msgspec.json.decode((folder / STATE).read_bytes(), type=Prepared)
    except (OSError, msgspec.MsgspecError):
        return None


def browser_python(*, seconds: float = SECONDS) -> BrowserPython | None:
    """The way by the browser's Python, where Deno is installed and the folder is prepared; else None."""
    deno = deno_program()
    return BrowserPython(deno, PREPARED, seconds) if deno and prepared(PREPARED) is not None else None

"""Starts the browser's own Python while the page is built, to compile its packages (`browser_python.py`)."""

from __future__ import annotations

import subprocess
from pathlib import Path

from ..assess.sandbox.portable import deno_program
from ..errors import PatternError
from ..not_here import python_here

MISSING = (
    "The builder is missing: install it in the folder of the course with  "
    f'{python_here()} -m pip install ".[page]"  and build again.'
)
HERE = Path(__file__).parent


def compile_packages(folder: Path) -> None:
    """Write the packages in a folder again, compiled. folder: the browser's Python and all packages it loads.

    A visitor's browser then starts Python in half the time. Raises PatternError where that cannot be done.
    """
    program = deno_program()
    if not program:
        raise PatternError(MISSING)
    closed = ("--no-prompt", "--no-remote", "--no-npm", "--no-config", "--no-lock")
    may = (f"--allow-read={folder},{HERE}", f"--allow-write={folder}")
    command = [program, "run", "-q", *closed, *may, str(HERE / "compile.mjs"), str(folder)]
    made = subprocess.run(
        [*command, str(HERE / "browser_python.py")], capture_output=True, encoding="utf-8", errors="replace"
    )
    if made.returncode:
        last = "\n".join((made.stderr or made.stdout).strip().splitlines()[-5:])
        raise PatternError(f"The packages of the page cannot be compiled: {last}")

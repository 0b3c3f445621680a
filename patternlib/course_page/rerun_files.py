"""The folder for running notebooks again without bubblewrap: the browser's Python, prepared once."""

from __future__ import annotations

import json
import shutil
import tempfile
import zipfile
from pathlib import Path

import msgspec

from ..assess.sandbox.portable import PARTS, PREPARED, STATE, BrowserPython, Prepared, deno_program
from ..errors import PatternError
from ..not_here import python_here
from .python_files import KEPT, LOCK, kernel_here, put_python

MISSING = (
    "What runs notebooks is missing: install it in the folder of the course with  "
    f'{python_here()} -m pip install ".[rerun]"  and prepare again.'
)
SECONDS = 120.0
_LOADS = "import IPython.core.interactiveshell, IPython.display, ipywidgets, anywidget"


def prepare_rerun(folder: Path = PREPARED, *, kept: Path = KEPT) -> Prepared:
    """Fetch the browser's Python and its packages into a folder, and compile them; what it holds.

    A folder that was prepared before is replaced as a whole. Raises PatternError with a sentence.
    """
    deno = deno_program()
    if not deno:
        raise PatternError(MISSING)
    kernel = kernel_here(MISSING)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".rerun-", dir=folder.parent) as made:
            new = Path(made) / "new"
            listed, without = put_python(new / PARTS[0], kernel, kept)
            plain = [e for e in listed["packages"].values() if e["file_name"].endswith("-none-any.whl")]
            for entry in plain:
                wheel = new / PARTS[0] / entry["file_name"]
                with zipfile.ZipFile(wheel) as archive:
                    archive.extractall(new / PARTS[1])
                wheel.unlink()
            compiled = tuple(sorted(set(listed["packages"]) - {e["name"] for e in plain}))
            for name in compiled:  # what these need in plain Python lies there already
                needs = listed["packages"][name]["depends"]
                listed["packages"][name]["depends"] = [d for d in needs if d in compiled]
            listed["packages"] = {name: listed["packages"][name] for name in compiled}
            (new / PARTS[0] / LOCK).write_text(json.dumps(listed), encoding="utf-8")
            state = Prepared(compiled, tuple(without))
            (new / STATE).write_bytes(msgspec.json.format(msgspec.json.encode(state), indent=1))
            (new / PARTS[2]).mkdir()
            _compile(BrowserPython(deno, new), Path(made))
            if folder.exists():
                folder.rename(Path(made) / "old")
            new.rename(folder)
    except OSError as fault:
        raise PatternError(f"{folder} cannot be written ({fault.strerror}). Ask for the right.") from None
    return state


def _compile(runner: BrowserPython, work: Path) -> None:
    """Load once what every run needs, so that its compiled form is kept; raises PatternError if it fails."""
    order = json.dumps([[_LOADS], ""]).encode()
    home = work / "home"
    home.mkdir()
    process = runner.start(order, str(home), compile_into=runner.prepared / PARTS[2])
    said, _ = process.communicate(timeout=SECONDS)
    if process.returncode or json.loads(said or b"{}").get("faults") != []:
        raise PatternError("The browser's Python does not start inside Deno here, so it cannot be used.")
    shutil.rmtree(home, ignore_errors=True)

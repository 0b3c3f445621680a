"""Runs in the browser's own Python while the page is built: compiles packages before any visitor comes.

Only what a lesson imports is compiled: compiled modules are twice as large as their text. This file uses
nothing of the library but what it tries.
"""

from __future__ import annotations

import base64
import contextlib
import hashlib
import importlib
import io
import pkgutil
import py_compile
import sys
import zipfile
from pathlib import Path

NOT_NEEDED = ("jedi/", ".data/")
"""Parts of packages: suggestions while code is typed, and files for a notebook that runs on a computer."""
NATIVE = (
    "patternlib.__main__",
    "patternlib.course_page",
    "patternlib.assess.marking",
    "patternlib.assess.sandbox",
)
"""Parts of the library that a page never runs."""
DAY = (2020, 1, 1, 0, 0, 0)
"""All files bear it: the same packages give the same archive."""


def imported() -> set[str]:
    """The files of all modules that a notebook of the course imports."""
    for name in ("piplite.piplite", "pyodide_kernel", "ipywidgets", "anywidget"):
        importlib.import_module(name)
    library = importlib.import_module("patternlib")
    for found in pkgutil.walk_packages(library.__path__, "patternlib."):
        if not found.name.startswith(NATIVE):
            with contextlib.suppress(ImportError):  # it needs a package that no browser has
                importlib.import_module(found.name)
    scene = importlib.import_module("patternlib.output.scene")
    pdf = importlib.import_module("patternlib.output.paper.pdf")
    pdf.as_pdf(scene.piece_scene(library.make("pinafore", "12")["strap"]))
    return {str(getattr(module, "__file__", "")) for module in sys.modules.values()}


def compiled(archive: bytes, name: str, files: set[str]) -> tuple[bytes, str]:
    """An archive with compiled modules in place of their text, and its new name.

    name: of a wheel or of the .zip of Python's own modules; files: to compile, as `imported` gives them.
    """
    version = sys.version_info
    tag = f"cp{version.major}{version.minor}-none-any"
    any_python = name.endswith("-none-any.whl")
    place = next(p for p in sys.path if p.endswith("site-packages" if name.endswith(".whl") else ".zip"))
    made, record, lines = io.BytesIO(), "", []
    with zipfile.ZipFile(io.BytesIO(archive)) as old, zipfile.ZipFile(made, "w") as new:
        for entry in old.infolist():
            path, content = entry.filename, old.read(entry)
            if path.endswith("/") or any(part in path for part in NOT_NEEDED):
                continue
            if path.endswith(".dist-info/RECORD"):
                record = path
                continue
            if path.endswith(".py") and f"{place}/{path}" in files:
                path, content = f"{path}c", _code(content, path)
            elif any_python and path.endswith(".dist-info/WHEEL"):
                kept = [line for line in content.decode().splitlines() if not line.startswith("Tag:")]
                content = "\n".join([*kept, f"Tag: {tag}", ""]).encode()
            new.writestr(zipfile.ZipInfo(path, DAY), content, zipfile.ZIP_DEFLATED, 9)
            digest = base64.urlsafe_b64encode(hashlib.sha256(content).digest()).rstrip(b"=").decode()
            lines.append(f"{path},sha256={digest},{len(content)}\n")
        if record:
            new.writestr(zipfile.ZipInfo(record, DAY), "".join([*lines, f"{record},,\n"]))
    return made.getvalue(), f"{'-'.join(name.split('-')[:2])}-{tag}.whl" if any_python else name


def _code(text: bytes, name: str) -> bytes:
    source, target = Path("/tmp/module.py"), Path("/tmp/module.pyc")
    source.write_bytes(text)
    mode = py_compile.PycInvalidationMode.UNCHECKED_HASH
    py_compile.compile(str(source), str(target), dfile=name, doraise=True, invalidation_mode=mode)
    return target.read_bytes()

"""The browser's Python: its own files and the packages for it, fetched once and checked by their hashes."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

from ..errors import PatternError
from .fetching import fetched, files_of
from .wheels import gather

KERNEL = Path("share/jupyter/labextensions/@jupyterlite/pyodide-kernel-extension/static/pypi")
NPM = "https://registry.npmjs.org/{name}/-/{name}-{version}.tgz"
HASHES = {
    "pyodide": "BKDTJyIqFxC4BExLqeRS3f5xvXZIjOt8C3zGLN/Cc7tFxSwvKVhVkchQQ2AGLOtR4YrVOIFxbV8poyDOOmWwxQ==",
    "fflate": "cPJU47OaAoCbg0pBvzsgpTPhmhqI5eJjh/JIu8tPj5q+T7iLvW/JAYUqmE7KOB4R1ZyEhzBaIQpQpardBF5z8A==",
    "localforage": "14/H1aX7hzBBmmh7sGPd+AOMkkIrHM3Z1PAyGgZigA1H1p5O5ANnMyWzvpAETtG68/dC4pC0ncy3+PPGzXZHPg==",
}
"""Of Python for the browser (its version is that of the kernel), of the maker of zips (0.8.2), and of the way
the notebooks keep files in the browser (1.10.0)."""
LOCK = "pyodide-lock.json"
"""In its folder: the list of packages that it reads."""
NEEDED = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", LOCK)
KEPT = Path.home() / ".cache" / "kiln-room-course"
"""Where fetched files are kept for the next time."""


class Kernel(NamedTuple):
    """Version of the browser's Python that the kernel needs, the address of its distribution, own wheels."""

    version: str
    distribution: str
    wheels: tuple[Path, ...]


def kernel_here(missing: str) -> Kernel:
    """The kernel's package as it is installed here; raises PatternError with the sentence `missing`."""
    try:
        from jupyterlite_pyodide_kernel import constants
    except ModuleNotFoundError:
        raise PatternError(missing) from None
    wheels = sorted((Path(sys.prefix) / KERNEL).glob("*.whl"))
    if not wheels:
        raise PatternError(missing)
    wheels = [w for w in wheels if not w.name.startswith("widgetsnbextension-3")]
    return Kernel(constants.PYODIDE_VERSION, constants.PYODIDE_CDN_URL, tuple(wheels))


def put_python(
    folder: Path,
    kernel: Kernel,
    kept: Path,
    own: Iterable[Path] = (),
    more: Iterable[str] = (),
    *,
    compiled: bool = False,
) -> tuple[dict[str, Any], list[str]]:
    """Put the browser's Python and its packages into a folder; returns their list and what was left out.

    own: more wheels that lie here already; more: packages of the distribution that no lesson needs; compiled:
    what a page imports is compiled (the library must be among `own`).
    """
    folder.mkdir(parents=True)
    core = package("pyodide", kernel.version, kept)
    for name in NEEDED:
        (folder / name).write_bytes(core[name])
    about = json.loads(core[LOCK])
    listed, left_out = gather(
        kernel.distribution, about, folder, kept, [*own, *kernel.wheels], more, compiled=compiled
    )
    text = json.dumps(listed, indent=1, sort_keys=True)
    (folder / LOCK).write_text(text, encoding="utf-8")
    return listed, left_out


def package(name: str, version: str, kept: Path) -> dict[str, bytes]:
    """The files of a package of the npm registry, checked by its hash."""
    return files_of(fetched(NPM.format(name=name, version=version), kept, sha512=HASHES[name]))

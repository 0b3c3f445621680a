"""Which packages the page holds, and the list of them that the browser's Python reads.

Packages in plain Python come from the Python registry at the versions that belong to the browser's Python;
msgspec has its own wheel for browsers there. What only the distribution of the browser's Python has (shapely,
numpy and Pillow) is copied in where that can be reached, and is left out with a loud line elsewhere.
"""

from __future__ import annotations

import hashlib
import re
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from ..errors import PatternError
from .compiling import compile_packages
from .fetching import Unreachable, fetched

START = ("ipython", "jedi", "micropip", "packaging", "traitlets", "typing-extensions", "charset-normalizer")
"""Packages of the browser's own list, in plain Python."""
UNUSED = ("parso",)
"""Needed only for suggestions while code is typed."""
BESIDE = ("comm", "psygnal", "ipywidgets", "anywidget", "reportlab")
"""Packages in plain Python that this list does not have: at the course's own versions."""
VERSIONS = Path(__file__).parent.parent / "data" / "versions.txt"

COMPILED = ("shapely", "numpy", "pillow")
"""Packages that only the browser Python's own distribution has."""


def gather(
    distribution: str,
    listed: Mapping[str, Any],
    folder: Path,
    kept: Path,
    own: Iterable[Path],
    more: Iterable[str] = (),
    *,
    compiled: bool,
) -> tuple[dict[str, Any], list[str]]:
    """Put all packages into a folder and return their list, and the names of those left out.

    distribution, listed: the address of the browser Python's distribution, and its list; folder: where this
    Python lies; own: wheels that lie here already; compiled: the modules that a page imports are compiled.
    """
    about = listed["info"]
    version = about["python"].rsplit(".", 1)[0]
    # only wheels in plain Python, whatever this machine has wheels of its own for
    python = ("--python-version", version)
    any_machine = ("--platform", "any", "--implementation", "py", "--abi", "none")
    plain = _with_what_they_need(listed["packages"], START)
    _download(
        folder, *python, *any_machine, *(f"{name}=={listed['packages'][name]['version']}" for name in plain)
    )
    _download(folder, *python, *any_machine, "-c", str(VERSIONS), *BESIDE)
    browser = ("--platform", f"pyemscripten_{about['abi_version']}_wasm32", "--implementation", "cp")
    abi = ("--abi", f"cp{version.replace('.', '')}")
    _download(folder, *python, *browser, *abi, "-c", str(VERSIONS), "msgspec")
    packages: dict[str, Any] = {}
    for wheel in own:
        shutil.copyfile(wheel, folder / wheel.name)
    if compiled:
        compile_packages(folder)
    for wheel in sorted(folder.glob("*.whl")):
        entry = _entry(wheel)
        if entry["name"] in packages:
            raise PatternError(f"{wheel.name} is there twice. Empty the folder and build again.")
        packages[entry["name"]] = entry
    left_out = []
    wanted = [*COMPILED, *_with_what_they_need(listed["packages"], more)]
    for name in (name for name in dict.fromkeys(wanted) if name not in packages):
        entry = dict(listed["packages"][name])
        url = f"{distribution}/{entry['file_name']}"
        try:
            data = fetched(url, kept, sha256=entry["sha256"])
        except Unreachable:
            left_out.append(name)
            continue
        (folder / entry["file_name"]).write_bytes(data)
        packages[name] = entry
    for entry in packages.values():
        entry["depends"] = [d for d in entry["depends"] if _plain(d) in packages]
    return {"info": about, "packages": packages}, left_out


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _with_what_they_need(packages: Mapping[str, Any], names: Iterable[str]) -> list[str]:
    found: list[str] = []
    waiting = list(names)
    while waiting:
        name = _plain(waiting.pop())
        if name not in found and name not in UNUSED:
            found.append(name)
            waiting += packages[name]["depends"]
    return sorted(found)


def _download(folder: Path, *wanted: str) -> None:
    command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "--only-binary=:all:"]
    command += ["-d", str(folder), *wanted]
    made = subprocess.run(command, capture_output=True, encoding="utf-8", errors="replace")
    if made.returncode:
        last = (made.stderr.strip().splitlines() or ["no reason was given"])[-1]
        raise PatternError(f"The packages of the page cannot be fetched: {last}")


def _entry(wheel: Path) -> dict[str, Any]:
    """What the list of the browser's Python says of a wheel."""
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
        meta = archive.read(next(n for n in names if n.endswith(".dist-info/METADATA"))).decode()
    needs = [re.split(r"[\s;<>=!~\[(]", line[15:].strip())[0] for line in meta.splitlines()
             if line.startswith("Requires-Dist: ") and "extra ==" not in line]  # fmt: skip
    tops = {n.split("/")[0] for n in names if "/" in n} | {n for n in names if "/" not in n}
    imports = sorted({t.partition(".")[0] for t in tops if t.isidentifier() or t.endswith((".py", ".pyc"))})
    name, version = wheel.name.split("-")[:2]
    return {
        "name": _plain(name), "version": version, "file_name": wheel.name, "install_dir": "site",
        "sha256": hashlib.sha256(wheel.read_bytes()).hexdigest(), "package_type": "package",
        "imports": imports, "depends": [_plain(n) for n in needs], "unvendored_tests": False,
    }  # fmt: skip

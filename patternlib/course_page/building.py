"""Build the page: one clean folder with the course, the browser's Python, and the learner's own page."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from ..errors import PatternError
from .compiling import MISSING
from .learners_menus import HIDDEN, what_a_learner_sees
from .python_files import KEPT, Kernel, kernel_here, package, put_python
from .stills import still_where_missing

ROOT = Path(__file__).resolve().parents[2]
PAGE = Path(__file__).with_name("page")
COURSE = ("lessons", "exercises")
"""Folders of the course a learner needs."""

APPS = ("lab", "notebooks", "tree", "edit")
BESIDE = '<link rel="stylesheet" href="../lesson.css"><script type="module" src="../lesson.js"></script>'
OPENING = '<p id="opening">The lesson is opening. On a first visit this takes up to half a minute.</p>'
AT_START = (
    "micropip",
    "piplite",
    "ipykernel",
    "comm",
    "pyodide-kernel",
    "jedi",
    "ipython",
    "patternlib",
    "msgspec",
    "anywidget",
    "ipywidgets",
)


def build_page(out: Path, *, kept: Path | None = None, more: Iterable[str] = ()) -> list[str]:
    """Write the whole page into a new folder; returns the names of packages that had to be left out.

    out: a folder that does not exist, or one that an earlier build has written (it is replaced as a whole);
    kept: where fetched files are kept for the next build; more: packages of the browser Python's distribution
    that no lesson needs. Raises PatternError with a sentence.
    """
    out, kept = out.resolve(), kept or KEPT
    if out.exists() and not (out / "course-page.json").is_file() and (not out.is_dir() or any(out.iterdir())):
        raise PatternError(f"{out} is there already and is no course page. Name a new folder with --out.")
    if not (ROOT / "lessons").is_dir():
        raise PatternError(
            "The lessons are not beside the library. Build the page from the course's own folder."
        )
    kernel = kernel_here(MISSING)
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        # beside its place, so that the finished folder is put there in one move
        with tempfile.TemporaryDirectory(prefix=".course-page-", dir=out.parent) as made:
            left_out = _built(Path(made), Path(made) / "site", kept, kernel, more)
            if out.exists():
                out.rename(Path(made) / "old")
            (Path(made) / "site").rename(out)
    except OSError as fault:
        raise PatternError(f"{out} cannot be written ({fault.strerror}). Name another folder.") from None
    return left_out


def _built(work: Path, site: Path, kept: Path, kernel: Kernel, more: Iterable[str]) -> list[str]:
    source = work / "source"
    wheels = work / "wheels"
    library = work / "library"  # a copy, so that no folder of an earlier build gets into the wheel
    shutil.copytree(ROOT / "patternlib", library / "patternlib", ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copyfile(ROOT / name, library / name)
    _run([sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(wheels), str(library)], work)
    own = wheels.glob("patternlib-*.whl")
    python = source / "static" / "pyodide"
    listed, left_out = put_python(python, kernel, kept, own, more, compiled=True)
    contents = work / "contents"
    for folder in COURSE:
        shutil.copytree(
            ROOT / folder, contents / folder, ignore=shutil.ignore_patterns(".*", "*.toml", "__pycache__")
        )
    if left_out:
        modules = {module for entry in listed["packages"].values() for module in entry["imports"]}
        still_where_missing(contents / "lessons", modules, left_out, work / "tried")
    asked = {"contents": [str(contents)], "output_dir": str(site), "apps": list(APPS)}
    settings = {"LiteBuildConfig": {**asked, "no_sourcemaps": True}}
    (source / "jupyter_lite_config.json").write_text(json.dumps(settings), encoding="utf-8")
    _run([sys.executable, "-m", "jupyterlite_core.app", "build", "--lite-dir", str(source)], source)
    _set_up(site)
    # the page's own worker takes the place of the notebooks' one, and passes on to it what is not a file
    (site / "service-worker.js").rename(site / "notebooks-worker.js")
    (site / "fflate.js").write_bytes(package("fflate", "0.8.2", kept)["esm/browser.js"])
    stored = package("localforage", "1.10.0", kept)["dist/localforage.min.js"]
    (site / "localforage.js").write_bytes(stored)
    for path in PAGE.iterdir():
        shutil.copyfile(path, site / path.name)
    lessons = [
        {"name": p.stem, "title": _title(p), "exercises": (contents / "exercises" / p.name).is_file()}
        for p in sorted((contents / "lessons").glob("*.ipynb"))
    ]
    known = {lesson["name"] for lesson in lessons}
    practice = [
        {"name": p.stem, "title": _title(p)}
        for p in sorted((contents / "exercises").glob("*.ipynb"))
        if p.stem not in known
    ]
    state = {"without": left_out, "lessons": lessons, "practice": practice}
    (site / "course-page.json").write_text(json.dumps(state, indent=1), encoding="utf-8")
    sizes = {p.relative_to(site).as_posix(): p.stat().st_size for p in sorted(site.rglob("*")) if p.is_file()}
    (site / "course-files.json").write_text(json.dumps({**sizes, "course-files.json": 0}), encoding="utf-8")
    return left_out


def _title(notebook: Path) -> str:
    """The first heading of a notebook."""
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    text = "".join("".join(c["source"]) + "\n" for c in cells if c["cell_type"] == "markdown")
    return next((line[2:].strip() for line in text.splitlines() if line.startswith("# ")), notebook.stem)


def _run(command: list[str], where: Path) -> None:
    made = subprocess.run(command, cwd=where, capture_output=True, encoding="utf-8", errors="replace")
    if made.returncode:
        last = "\n".join((made.stderr or made.stdout).strip().splitlines()[-5:])
        raise PatternError(f"The page cannot be built: {last}")


def _set_up(site: Path) -> None:
    """Nothing is fetched from elsewhere; the course's own packages are loaded with the kernel."""
    python = site / "static" / "pyodide"
    # a browser that keeps files of an earlier edition never mixes them with those of this one
    edition = hashlib.sha256((python / "pyodide-lock.json").read_bytes()).hexdigest()[:12]
    python = python.rename(python.with_name(f"pyodide-{edition}"))
    path = site / "jupyter-lite.json"
    settings: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    config = settings["jupyter-config-data"]
    kernel = config.setdefault("litePluginSettings", {}).setdefault(
        "@jupyterlite/pyodide-kernel-extension:kernel", {}
    )
    kernel["disablePyPIFallback"] = True
    kernel["pyodideUrl"] = f"./static/{python.name}/pyodide.mjs"
    kernel["loadPyodideOptions"] = {
        "packages": list(AT_START),
        "lockFileURL": f"./static/{python.name}/pyodide-lock.json",
    }
    config["exposeAppInBrowser"] = True
    config["appName"] = "The kiln-room pinafore"
    config["disabledExtensions"] = list(HIDDEN)
    config["settingsOverrides"] = what_a_learner_sees()
    path.write_text(json.dumps(settings, indent=1), encoding="utf-8")
    for app in APPS:
        page = site / app / "index.html"
        whole = page.read_text(encoding="utf-8")
        whole = whole.replace("</head>", f"{BESIDE}</head>", 1)
        if app == "notebooks":
            whole = re.sub("(<body[^>]*>)", rf"\1{OPENING}", whole, count=1)
        page.write_text(whole, encoding="utf-8")

"""The house rules that keep the library liveable: one-way imports, short modules, quick start."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
LIBRARY = ROOT / "patternlib"

ORDER = (
    "errors",
    "arguments",
    "tolerances",
    "units",
    "notebook",
    "geometry",
    "survey",
    "body",
    "operations",
    "steps",
    "draft",
    "blocks",
    "moves",
    "piece",
    "finish",
    "piece_check",
    "walk",
    "garments",
    "sizes",
    "lay",
    "making",
    "output",
    "boards",
    "assess",
    "__init__",
    "__main__",
)
"""A module imports only from modules above it. `__init__` is the front door: only commands use it."""

ROOMS = {
    "assess": (
        "safe_text",
        "tasks",
        "judging",
        "answers",
        "hand_ins",
        "sandbox",
        "marking",
        "__init__",
    ),
}
"""The order inside a room: a part imports only from parts above it; nothing inside uses its `__init__`."""

MODULES = sorted(LIBRARY.rglob("*.py"))


def part(path: Path) -> str:
    return path.relative_to(LIBRARY).parts[0].removesuffix(".py")


def imports(path: Path) -> set[tuple[str, ...]]:
    """What a module imports, anywhere in it, each dotted name in parts."""
    package = path.relative_to(ROOT).parent.parts
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {tuple(alias.name.split(".")) for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            target = (*base, *(node.module.split(".") if node.module else ()))
            if (LIBRARY.parent.joinpath(*target) / "__init__.py").exists():
                names |= {(*target, alias.name) for alias in node.names}
            else:
                names.add(target)
    return names


def imported(path: Path, room: str = "") -> set[str]:
    """The parts of the library, or of one of its rooms, that a module imports."""
    within = ("patternlib", room) if room else ("patternlib",)
    depth = len(within)
    return {name[depth] for name in imports(path) if name[:depth] == within and len(name) > depth}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(LIBRARY)))
def test_imports_go_one_way(path):
    here = part(path)
    assert here in ORDER, f"{here} has no place in the order of modules"
    if here in ("__init__", "__main__"):
        return
    later = {name for name in imported(path) if name != here and ORDER.index(name) > ORDER.index(here)}
    assert not later, f"{path.name} imports {sorted(later)}, which stand below it"


@pytest.mark.parametrize(
    ("room", "path"),
    [(room, path) for room in ROOMS for path in MODULES if path.relative_to(LIBRARY).parts[0] == room],
    ids=str,
)
def test_imports_inside_a_room_go_one_way(room, path):
    order = ROOMS[room]
    here = path.relative_to(LIBRARY / room).parts[0].removesuffix(".py")
    assert here in order, f"{here} has no place in the order of {room}/"
    if here == "__init__":
        return
    later = {
        name
        for name in imported(path, room)
        if name != here and (name not in order or order.index(name) > order.index(here))
    }
    assert not later, f"{path.name} imports {sorted(later)}, which stand below it"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(LIBRARY)))
def test_modules_stay_short(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


def test_importing_the_library_loads_nothing_heavy():
    """matplotlib, widgets, numpy and shapely load only when they are used."""
    code = "import sys, patternlib; print(*sorted(sys.modules))"
    loaded = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()
    heavy = {"matplotlib", "ipywidgets", "anywidget", "numpy", "shapely", "spyrrow", "ezdxf", "IPython"}
    assert not heavy & set(loaded)


@pytest.mark.skipif(not (ROOT / ".git").exists(), reason="not a git checkout")
def test_the_top_level_holds_what_it_should():
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    top = {name.split("/")[0] for name in tracked}
    allowed = {
        "README.md", "DEVELOPERS.md", "requirements.txt", "lessons", "patternlib", "tests", "exercises",
        "solutions", "pyproject.toml", "LICENSE",
    }  # fmt: skip
    assert {name for name in top if not name.startswith(".")} <= allowed

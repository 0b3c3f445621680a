"""The house rules that keep the library liveable: one-way imports, short modules, quick start."""

from __future__ import annotations

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
LIBRARY = ROOT / "patternlib"

ORDER = (
    "errors",
    "not_here",
    "arguments",
    "tolerances",
    "toml_text",
    "units",
    "notebook",
    "geometry",
    "survey",
    "body",
    "operations",
    "steps",
    "draft",
    "blocks",
    "pieces",
    "checking",
    "moves",
    "alterations",
    "garments",
    "own_measures",
    "sizes",
    "laying",
    "making",
    "output",
    "photo",
    "boards",
    "fitting",
    "assess",
    "course_page",
    "__init__",
    "__main__",
)
"""A module imports only from modules above it. `__init__` is the front door: only commands use it."""

ROOM_ORDERS: dict[str, tuple[str, ...]] = {
    "assess": (
        "safe_text", "tasks", "judging", "photographed", "answers", "hand_ins", "table", "showing", "project",
        "own", "learner", "practice", "sandbox", "sent_photographs", "marking",
    ),
    "assess/own": (
        "place", "sentences", "own_pieces", "own_criteria", "own_file", "library", "rehearsal", "notebooks",
        "command",
    ),
    "assess/project": (
        "levels", "questions", "written", "checks", "kept", "photographs", "still", "printed", "handouts",
        "form",
    ),
    "assess/tasks": (
        "own_numbers", "record", "rework", "mistakes", "in_words", "exercise", "needed", "slipping", "topics",
        "catalogue", "telling",
    ),
    "assess/judging": (
        "hands", "deviation", "measuring_slips", "rubric", "verdict", "causes", "whole_draft",
        "drawing_slips", "finishing", "naming", "judgement",
    ),
    "assess/photographed": ("label", "flags", "placed"),
    "assess/answers": (
        "sketch", "paper_form", "sheet_calls", "writing", "grids", "strips_and_flags", "worksheet",
        "pictures", "sheet", "feedback",
    ),
    "assess/hand_ins": ("copies", "files", "zips", "intake", "register", "students", "notebook"),
    "assess/table": (
        "verbs", "measure", "steps", "bending", "tracing", "adding", "laying", "viewing",
        "folding", "kept", "still", "coded", "board", "opening",
    ),
    "assess/showing": ("sections", "picture", "board", "pocket", "opening"),
    "assess/learner": (
        "card_file", "fields", "typed", "read_off", "photographs", "written", "shown", "form", "exercises",
        "card", "opening",
    ),
    "assess/practice": ("shown", "cards", "rounds", "kept", "board", "opening", "printed"),
    "assess/sandbox": (
        "again", "job", "cells", "limits", "child", "one_job", "apart", "watching", "ways", "runner",
        "portable", "tries", "protection", "running",
    ),
    "assess/sent_photographs": (
        "seen", "child", "looking", "lengths", "drafts", "contact_sheet", "waiting", "trial",
    ),
    "assess/marking": (
        "marks", "evidence", "class_marking", "pages", "photographed", "folder", "teaching", "project_page",
        "class_page", "portfolio", "changes", "mark_sheet", "outcome", "rubric_check", "command",
    ),
    "assess/marking/teaching": ("causes", "words", "cards"),
    "assess/tasks/topics": (
        "bodice", "cloth", "plans", "skirt", "measuring", "paper", "sizes", "cutting", "darts", "walking",
        "lines", "workwear", "fitting", "mistakes_listed", "lesson_rules",
    ),
    "assess/tasks/topics/mistakes_listed": (
        "in_blocks", "in_plans", "in_pieces", "in_fittings", "in_workwear",
    ),
    "geometry": ("point", "segment", "curve", "fair_curve", "path", "offsets"),
    "blocks": ("skirt_darts", "skirt", "bodice_lines", "bodice_waist", "bodice", "sleeve"),
    "pieces": ("piece", "cut_line", "seams"),
    "checking": ("findings", "piece_check", "walk", "report_text"),
    "moves": ("outlines", "darts", "slashing", "joining", "panels"),
    "alterations": (
        "paper", "waist_lines", "redrawn", "lengths_and_girths", "shoulder_and_back", "bust", "skirt_waist",
        "agreeing", "signs", "sheet", "levels",
    ),
    "garments": (
        "base", "marking", "eye", "aline", "leading", "closing", "closing_check", "straps", "pinafore",
        "apron", "smock", "toile", "both_sides",
    ),
    "garments/pinafore": ("front", "opening", "back", "style", "pieces", "garment"),
    "garments/apron": ("style", "making_up", "pieces", "garment"),
    "garments/smock": ("plans", "pieces", "garment"),
    "boards": (
        "page_code", "memory", "slider", "picture", "refusal", "board", "answers", "handles", "blocks",
        "garment", "pieces", "seams", "table", "printing", "measuring",
    ),
    "course_page": (
        "fetching", "browser_python", "compiling", "wheels", "python_files", "rerun_files",
        "stills", "learners_menus", "building",
    ),
    "fitting": ("before_after", "alteration", "sheet_form"),
    "boards/measuring": ("measures_asked", "relations", "reading", "own_file", "drawn", "form"),
    "laying": ("shapes", "engine", "rows", "parts", "cloth"),
    "making": ("edges", "graph", "order", "terms", "cutting"),
    "output": (
        "styles", "items", "kept", "layout", "signs", "lettering", "svg", "scene", "cells", "figure", "paper",
        "dxf", "files",
    ),
    "output/lettering": ("sizes", "space", "taken"),
    "output/scene": (
        "base", "pieces", "plans", "garments", "replaying", "lays", "nests", "outlines", "landmarks",
        "walking", "opened", "closing", "layers", "worn", "sewing",
    ),
    "output/scene/landmarks": ("figure", "tapes", "drawing", "creases", "dressed"),
    "output/scene/sewing": ("panel", "work", "turning", "seaming", "steps"),
    "output/scene/worn": ("sides", "pinafore", "apron", "smock", "drawing"),
    "photo": (
        "codes", "layouts", "printed", "faults", "decoding", "markers", "lens", "plane", "ink", "tracing",
        "flat", "reading", "kept",
    ),
    "output/paper": ("borders", "tiles", "pen", "first", "pdf", "booklet", "fitting_sheet"),
}  # fmt: skip
"""The order inside a room, for every room that has one: a part of it imports only from parts before it."""

MODULES = sorted(LIBRARY.rglob("*.py"))


def part(path: Path) -> str:
    return path.relative_to(LIBRARY).parts[0].removesuffix(".py")


def imported(path: Path) -> set[str]:
    """The parts of the library a module imports, anywhere in it."""
    package = path.relative_to(ROOT).parent.parts
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {tuple(alias.name.split(".")) for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            target = (*base, *(node.module.split(".") if node.module else ()))
            if target == ("patternlib",):
                names |= {("patternlib", alias.name) for alias in node.names}
            else:
                names.add(target)
    return {name[1] for name in names if name[0] == "patternlib" and len(name) > 1}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(LIBRARY)))
def test_imports_go_one_way(path):
    here = part(path)
    assert here in ORDER, f"{here} has no place in the order of modules"
    if here in ("__init__", "__main__"):
        return
    later = {name for name in imported(path) if name != here and ORDER.index(name) > ORDER.index(here)}
    assert not later, f"{path.name} imports {sorted(later)}, which stand below it"


def dotted(path: Path) -> str:
    """'output.scene.base' for a module, 'output.scene' for the front door of a room, '' for the library's."""
    return ".".join(path.relative_to(LIBRARY).with_suffix("").parts).removesuffix("__init__").strip(".")


NAMES = {dotted(path): path for path in MODULES}


def modules_imported(path: Path) -> set[str]:
    """The modules of the library that a module imports, at its head or anywhere inside it."""
    package = path.relative_to(LIBRARY).parent.parts
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.removeprefix("patternlib").strip(".") for alias in node.names
                      if alias.name.split(".")[0] == "patternlib"}  # fmt: skip
        elif isinstance(node, ast.ImportFrom):
            module = tuple(node.module.split(".")) if node.module else ()
            if node.level:
                target = (*package[: len(package) - node.level + 1], *module)
            elif module[0] == "patternlib":
                target = module[1:]
            else:
                continue
            for alias in node.names:
                inside = ".".join((*target, alias.name))
                found.add(inside if inside in NAMES else ".".join(target))
    return {name for name in found if name in NAMES and name != dotted(path)}


@cache
def all_imports() -> dict[str, set[str]]:
    """By module; read once, and not while the tests are only listed."""
    return {name: modules_imported(path) for name, path in NAMES.items()}


def circle_from(start: str, imports: dict[str, set[str]]) -> list[str]:
    """A way along the imports from a module back to itself, [] where there is none."""
    ways, seen = [[start]], set()
    while ways:
        way = ways.pop()
        for name in imports[way[-1]]:
            if name == start:
                return [*way, start]
            if name not in seen:
                seen.add(name)
                ways.append([*way, name])
    return []


@pytest.mark.parametrize("name", sorted(NAMES))
def test_no_module_imports_itself_by_a_way_round(name):
    """Imports inside functions count as well: they hide a circle, they do not cut it."""
    circle = circle_from(name, all_imports())
    assert not circle, " -> ".join(circle)


def test_a_circle_of_imports_is_found():
    imports = {"a": {"b"}, "b": {"c", "d"}, "c": set(), "d": {"a"}}
    assert circle_from("a", imports) == ["a", "b", "d", "a"]
    assert circle_from("c", imports) == []


@pytest.mark.parametrize("room", ROOM_ORDERS)
def test_imports_inside_a_room_go_one_way(room):
    order = ROOM_ORDERS[room]
    inside = room.replace("/", ".") + "."
    parts = {name.removeprefix(inside).split(".")[0] for name in NAMES if name.startswith(inside)}
    assert parts == set(order), f"{room}: the order and the modules differ by {sorted(parts ^ set(order))}"
    for name, imported in all_imports().items():
        if not name.startswith(inside):
            continue
        here = order.index(name.removeprefix(inside).split(".")[0])
        assert room.replace("/", ".") not in imported, f"{name} imports its own room's front door"
        for other in imported:
            if other.startswith(inside):
                there = order.index(other.removeprefix(inside).split(".")[0])
                assert there <= here, f"{name} imports {other}, which stands after it"


@pytest.mark.parametrize("room", ROOM_ORDERS)
def test_a_room_holds_fifteen_files_at_most(room):
    assert len(ROOM_ORDERS[room]) <= 15


def shared_names(name: str, source: str, modules: set[str]) -> set[str]:
    """What a module defines under its own name, and what a room's front door names like a module of it."""
    tree = ast.parse(source)
    made = {n.name for n in tree.body if isinstance(n, ast.FunctionDef | ast.ClassDef)}
    # `from . import x` gives the module x itself
    named = [n for n in tree.body if isinstance(n, ast.ImportFrom) and n.module]
    brought = {a.asname or a.name for n in named for a in n.names}
    inside = {m.removeprefix(f"{name}.") for m in modules if name and m.startswith(f"{name}.")}
    room = made | brought if inside else made
    return ({name.split(".")[-1]} & room) | (brought & inside)


@pytest.mark.parametrize("name", sorted(set(NAMES) - {""}))
def test_no_function_shares_its_modules_name(name):
    """Or `from x import x` gives now the one, now the other, by the order in which they are loaded."""
    shared = shared_names(name, NAMES[name].read_text(encoding="utf-8"), set(NAMES))
    assert not shared, f"{name}: {sorted(shared)}"


def test_shared_names_are_found():
    modules = {"fold", "room", "room.part"}
    assert shared_names("fold", "def fold(): pass", modules) == {"fold"}
    assert shared_names("room", "from .part import part", modules) == {"part"}
    assert shared_names("room", "from .part import room", modules) == {"room"}
    assert shared_names("fold", "from .room import turn", modules) == set()


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
        "solutions", "pyproject.toml", "LICENSE", "CHANGELOG.md",
    }  # fmt: skip
    assert {name for name in top if not name.startswith(".")} <= allowed

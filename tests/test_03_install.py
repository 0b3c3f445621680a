"""What is installed: every import is declared, and every package has one known version."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from importlib.metadata import PackageNotFoundError, packages_distributions, requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import patternlib

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
EXTRAS = {
    name: [Requirement(line) for line in lines] for name, lines in PROJECT["optional-dependencies"].items()
}
LIBRARY = [Requirement(line) for line in PROJECT["dependencies"]]
OWN = canonicalize_name(PROJECT["name"])


def declared(*extras: str) -> dict[str, Requirement]:
    """The packages that the library with these extras asks for, by name."""
    found = {canonicalize_name(r.name): r for r in LIBRARY}
    for extra in extras:
        for r in EXTRAS[extra]:
            if canonicalize_name(r.name) == OWN:
                found |= declared(*r.extras)
            else:
                found[canonicalize_name(r.name)] = r
    return found


def pinned() -> dict[str, list[Requirement]]:
    """The lines of the list of versions, by package."""
    found: dict[str, list[Requirement]] = {}
    for line in (ROOT / "patternlib" / "data" / "versions.txt").read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            r = Requirement(line)
            found.setdefault(canonicalize_name(r.name), []).append(r)
    return found


def version(lines: list[Requirement]) -> str:
    """The one version that these lines give for this machine."""
    here = [r for r in lines if r.marker is None or r.marker.evaluate()]
    assert len(here) == 1, lines
    (exact,) = here[0].specifier
    assert exact.operator == "==" and "*" not in exact.version, here[0]
    return exact.version


def imports(folder: Path) -> set[str]:
    """The packages outside Python and the project that a folder's modules import, wherever they do it."""
    names = set()
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
                names.add(node.module.split(".")[0])
    ours = {"patternlib", "tests", *(path.stem for path in folder.rglob("*.py"))}
    return names - ours - set(sys.stdlib_module_names)


@pytest.mark.parametrize(
    ("folder", "extras"),
    [
        ("patternlib", ("lay", "cluster", "page", "photo", "rerun")),
        ("tests", ("tests",)),
        ("solutions", ("tests",)),
    ],
)
def test_every_import_is_declared(folder, extras):
    gives = packages_distributions()
    asked = set(declared(*extras))
    # parts of packages that are declared
    carried = {
        "nbformat": "nbclient",
        "matplotlib_inline": "ipython",
        "packaging": "pytest",
        "PIL": "reportlab",
    }
    # what is compared only where these are installed
    carried |= {"marionette_driver": "pytest", "apriltag": "pytest"}
    missing = {
        name
        for name in imports(ROOT / folder)
        if not ({canonicalize_name(d) for d in gives.get(name, [name])} | {carried.get(name)}) & asked
    }
    assert not missing


def test_what_the_tests_need_is_not_installed_for_a_learner():
    only_tests = set(declared("tests")) - set(declared("course"))
    assert only_tests >= {"pytest", "playwright", "scipy", "distributed", "ruff", "hypothesis"}
    lines = (ROOT / "requirements.txt").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if not line.startswith("#")] == [
        "-c patternlib/data/versions.txt",
        "-e .[course]",
    ]


def test_each_package_asked_for_has_one_known_version():
    versions = pinned()
    for name, r in declared("tests").items():
        assert r.specifier.contains(version(versions[name])), name


def test_the_list_of_versions_has_what_the_packages_need_in_turn():
    """Otherwise a class in two years would get other versions of those."""
    versions = pinned()
    waiting = [(name, frozenset(r.extras)) for name, r in declared("tests").items()]
    seen = set()
    while waiting:
        name, extras = waiting.pop()
        if (name, extras) in seen:
            continue
        seen.add((name, extras))
        assert name in versions, f"{name} has no version: renew the list as DEVELOPERS.md says"
        try:
            lines = requires(name) or []
        except PackageNotFoundError:
            pytest.skip(f"{name} is not installed here")
        for line in lines:
            r = Requirement(line)
            if r.marker is None or any(r.marker.evaluate({"extra": e}) for e in extras | {""}):
                waiting.append((canonicalize_name(r.name), frozenset(r.extras)))
    assert len(seen) > 100


def test_the_readme_installs_the_course_and_for_its_tests_the_extra():
    lines = [
        line
        for line in (ROOT / "README.md").read_text("utf-8").splitlines()
        if "pip install" in line and "[page]" not in line
    ]
    start, tests = lines[:2], lines[2:]
    assert len(start) == len(tests) == 2, "each for Linux and macOS, and for Windows"
    assert all(" -r requirements.txt" in line and "[tests]" not in line for line in start)
    assert all(' -r requirements.txt -e ".[tests]"' in line for line in tests)


def test_the_version_is_told_once():
    assert "version" in PROJECT["dynamic"]
    assert re.fullmatch(r"\d+\.\d+\.\d+", patternlib.__version__)
    newest = re.search(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.M)
    assert newest and newest[1] == patternlib.__version__


def test_the_command_and_the_module_are_one():
    where, name = PROJECT["scripts"]["patternlib"].split(":")
    start = f"import sys; from {where} import {name}; sys.exit({name}())"
    words = ["make", "pinafore", "--size", "none", "--out", "x"]
    command, module = (
        subprocess.run([sys.executable, *how, *words], cwd=ROOT, capture_output=True, text=True, check=False)
        for how in (("-c", start), ("-m", "patternlib"))
    )
    assert command.returncode == module.returncode == 2
    assert command.stderr == module.stderr != ""

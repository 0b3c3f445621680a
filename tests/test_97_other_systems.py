"""What Windows and macOS lack is not needed: tried on Linux in a Python that lacks it, too (as_windows.py).

- A class is read, with a photograph, with names that no old alphabet has; a table that is open is told.
- Notebooks are not run where nothing protects; prepared, they run in the browser's Python.
- Files have names that every system takes, and each text says its encoding.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from patternlib.assess import MIME
from patternlib.assess.marking import folder
from patternlib.assess.marking.folder import alone_in
from patternlib.assess.sandbox import portable, runner, running
from patternlib.errors import PatternError

sys.path.insert(0, os.path.dirname(__file__))
import as_windows
import hostile
from test_96_class_run import table
from test_97_portable import browser  # noqa: F401 - a fixture

ROOT = Path(__file__).parent.parent
NAMES = ("ada", "कि", "con", "aux.", "who: me?", "a|b*c", "Ωmega")
FORBIDDEN = re.compile(r'[<>:"|?*\x00-\x1f]|[ .]$|^(con|prn|aux|nul|com\d|lpt\d)(\.|$)', re.IGNORECASE)
"""Source: Microsoft's rules for naming files, as remembered."""


@pytest.fixture(scope="module")
def windows(tmp_path_factory):
    """(a folder with hand-ins, a function that runs a command in it as on Windows)."""
    base = tmp_path_factory.mktemp("windows")
    (base / "in").mkdir()
    for n, who in enumerate(NAMES):
        book = hostile.notebook(hostile.draft(who))
        (base / "in" / f"{n}.ipynb").write_bytes(hostile.text(book))
    (base / "in" / "draft.jpg").write_bytes(b"\xff\xd8\xff no picture")
    surroundings = as_windows.surroundings(base / "site", HOME=str(base))

    def command(*words: str, **more: str) -> subprocess.CompletedProcess:
        return subprocess.run(
            [sys.executable, "-m", "patternlib", *words],
            cwd=base, env=surroundings | more, capture_output=True, encoding="cp1252",
        )  # fmt: skip

    return base, command


def test_a_class_is_read_as_on_windows(windows):
    base, command = windows
    done = command("assess", "in", "--out", "marks", "--workers", "1")
    assert (done.returncode, done.stderr) == (0, "")
    rows = table(base / "marks")
    assert {r["student"] for r in rows if r["mark"] == "8"} == set(NAMES)
    (picture,) = (r for r in rows if r["file"] == "draft.jpg")
    assert picture["state"] == "not read" and "could not be read" not in picture["notes"]
    assert not (base / "marks" / ".in-use").exists()
    names = [p.name for p in (base / "marks").rglob("*")]
    assert len(names) > 12 and not [n for n in names if FORBIDDEN.search(n)]

    before = (base / "marks" / "marks.csv").read_bytes()
    done = command("assess", "in", "--out", "marks", OPEN_ELSEWHERE="marks.csv")
    assert done.returncode == 2 and done.stderr.count("\n") == 1
    assert "marks.csv cannot be written: it is open in another program" in done.stderr
    assert (base / "marks" / "marks.csv").read_bytes() == before
    assert command("assess", "in", "--out", "marks").returncode == 0  # what was ready is put in its place


def test_every_module_is_imported_and_the_learners_forms_open_as_on_windows(windows):
    base, _ = windows
    code = """
import importlib, pkgutil, patternlib
for found in pkgutil.walk_packages(patternlib.__path__, "patternlib."):
    if not found.name.endswith(("__main__", "browser_python")):
        importlib.import_module(found.name)
from patternlib.assess import drafting_table, name_card
from patternlib.assess.learner.form import PaperForm
from patternlib.assess.project.form import ProjectForm
name_card().write("ada")
for form in (drafting_table("02a", student="ada"), PaperForm("02a", student="ada"), ProjectForm("ada")):
    form._repr_mimebundle_()
    print(form)
"""
    surroundings = as_windows.surroundings(base / "site 2")
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=base, env=surroundings, capture_output=True, encoding="cp1252"
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split("\n")[:3] == [
        "<DraftingTable 02a: 0 steps>", "<PaperForm 02a>", "<ProjectForm of ada>"
    ]  # fmt: skip


def test_what_is_printed_never_stops_a_command(windows):
    _, command = windows
    done = command("numbers", "कि")
    assert done.returncode == 0 and "??, in cm" in done.stdout


def test_on_windows_nothing_is_run_before_it_is_prepared(windows):
    _, command = windows
    done = command("assess", "in", "--out", "run", "--rerun", "--protection", "limits")
    assert done.returncode == 2 and done.stderr.count("\n") == 1
    assert "Not run: Windows itself has nothing that closes a notebook in." in done.stderr
    assert 'python -m pip install ".[rerun]"' in done.stderr and "bubblewrap" not in done.stderr


@pytest.mark.slow
def test_notebooks_are_run_again_as_on_windows(windows, browser):  # noqa: F811
    base, command = windows
    (base / ".cache" / "kiln-room-course").mkdir(parents=True)
    shutil.copytree(browser.prepared, base / ".cache" / "kiln-room-course" / "rerun")
    (base / "class").mkdir()
    plan = tuple(c for c in hostile.drawn_by_code("ada") if not re.search("numpy|shapely|matplotlib", c))
    for who, cells in (("ada", plan), ("ben", ("1 + 1",))):
        book = hostile.notebook(hostile.draft(who), cells=cells)
        (base / "class" / f"{who}.ipynb").write_bytes(hostile.text(book))
    done = command("assess", "class", "--out", "again", "--rerun", "--protection", "all", "--workers", "2")
    assert done.returncode == 0, done.stderr
    rows = {r["student"]: r["evidence"] for r in table(base / "again")}
    assert rows == {"ada": "run again: the same", "ben": "run again: gave nothing"}


def test_a_run_that_ends_is_read_without_the_signals_of_other_systems(monkeypatch):
    for name in ("SIGXCPU", "SIGXFSZ"):
        monkeypatch.delattr(running.signal, name)
    found = running._read(running.Ended(b'{"records": ["1"]}', exit=0))
    assert found.records == (b"1",) and found.settled
    assert "ended itself" in running._read(running.Ended(b"", exit=3221225477)).because


def test_a_process_gives_back_by_what_it_prints(monkeypatch):
    """Without fork a process is given no further file; it is watched all the same."""
    monkeypatch.delattr(os, "fork")
    cell = f"from IPython.display import display\ndisplay({{{MIME!r}: 1}}, raw=True)"
    ended = runner.Runner(wrapped=False).run((cell, "print('x')"))
    assert (ended.why, ended.exit) == ("", 0) and ended.data.startswith(b'{"records"')
    assert runner.Runner(wrapped=False, seconds=0.5).run(("import time\ntime.sleep(60)",)).why == "time"


@pytest.mark.parametrize(
    ("system", "bwrap", "words", "never"),
    [
        ("darwin", None, "macOS itself has nothing", "bubblewrap|sudo|kernel"),
        ("linux", None, "Install bubblewrap", "macOS|Windows|kernel"),
        ("linux", "/usr/bin/bwrap", "kernel.unprivileged_userns_clone", "macOS|Windows"),
        ("freebsd13", None, "prepare-rerun", "bubblewrap|macOS|Windows"),
    ],
)
def test_each_system_is_told_what_fits_it(monkeypatch, system, bwrap, words, never):
    monkeypatch.setattr(running.sys, "platform", system)
    monkeypatch.setattr(running.shutil, "which", lambda _: bwrap)
    said = running._help(runner.Runner(wrapped=False), tried=True)
    assert words in said and running.PREPARE in said and not re.search(never, said)


def test_a_prepared_folder_that_gives_no_answer_is_prepared_again():
    said = running._help(portable.BrowserPython("deno", Path("x")), tried=False)
    assert "prepare it again" in said and "bubblewrap" not in said


# -- files


def test_own_marks_that_were_saved_while_a_run_fell_stay(tmp_path, monkeypatch):
    """The table is open in a spreadsheet, the run stops there; what is then saved in it stays."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "marks.csv").write_text("old")
    real = os.replace

    def held(a, b):
        if Path(b).name == "marks.csv":
            raise PermissionError(13, "in use")
        real(a, b)

    with monkeypatch.context() as patch:
        patch.setattr(folder.os, "replace", held)
        with pytest.raises(PatternError, match=r"marks\.csv cannot be written: it is open"):
            folder.place(out, {"marks.csv": "new", "class.html": "new"}, [])
    (out / "marks.csv").write_text("own marks")
    os.utime(out / "marks.csv", (2e9, 2e9))
    with alone_in(out):
        pass
    assert (out / "marks.csv").read_text() == "own marks"
    assert (out / "class.html").read_text() == "new" and not (out / ".ready").exists()


def test_every_text_file_says_its_encoding():
    """Without it, Windows takes an alphabet of its own."""
    line = [
        sys.executable,
        "-m",
        "ruff",
        "check",
        "--preview",
        "--select",
        "PLW1514",
        "patternlib",
        "solutions",
    ]
    done = subprocess.run(line, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr

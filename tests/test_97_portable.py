"""Running notebooks again in the browser's Python inside Deno: as on macOS and Windows, tried on Linux."""

from __future__ import annotations

import json
import os
import re
import socket
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psutil  # noqa: F401 - before a test says that this is a Mac
import pytest

from patternlib.__main__ import main
from patternlib.assess import MIME
from patternlib.assess.hand_ins.files import HandIn
from patternlib.assess.hand_ins.notebook import Notebook, read_notebook
from patternlib.assess.marking import evidence
from patternlib.assess.marking.command import assess_command
from patternlib.assess.sandbox import portable, protection, runner, running
from patternlib.assess.sandbox.again import Again
from patternlib.assess.sandbox.running import Locked
from patternlib.assess.tasks.record import alike, read
from patternlib.course_page.rerun_files import prepare_rerun
from patternlib.errors import PatternError

sys.path.insert(0, os.path.dirname(__file__))
import hostile
from test_96_class_run import table

ROOT = Path(__file__).parent.parent
SECONDS = 4.0
"""by the clock, for cells that hang"""


@pytest.fixture(scope="session")
def browser(tmp_path_factory) -> portable.BrowserPython:
    """The way by the browser's Python, prepared here; skipped where Deno or the network is missing."""
    deno = portable.deno_program()
    if not deno:
        pytest.skip("Deno is not installed: pip install '.[rerun]'")
    folder = tmp_path_factory.mktemp("prepared") / "rerun of a class"
    try:
        prepare_rerun(folder)
    except PatternError as fault:
        pytest.skip(str(fault))
    return portable.BrowserPython(deno, folder)


@pytest.fixture
def as_on_a_mac(monkeypatch, browser):
    """No bubblewrap and no Linux: what is left is the browser's Python."""
    monkeypatch.setattr(running, "can_wrap", lambda: False)
    monkeypatch.setattr(running.sys, "platform", "darwin")
    monkeypatch.setattr(portable, "PREPARED", browser.prepared)


def show(expression: str) -> str:
    return f"display({{{MIME!r}: {expression}}}, raw=True)"


def said(ended) -> list:
    return [json.loads(r) for r in json.loads(ended.data)["records"]]


def test_a_package_that_is_not_there_is_told_apart_from_a_fault():
    """Only what this computer has and the browser's Python has not; a learner's own slip stays a slip."""

    def again(*faults, python=runner.BROWSER):
        data = json.dumps({"records": [], "faults": faults}).encode()
        return running._read(running.Ended(data, exit=0), python)

    missing = [2, "ModuleNotFoundError", "No module named 'shapely'"]
    not_here = [3, "NotHere", "The cut line needs the package shapely, which is missing here."]
    for fault in (missing, not_here):
        found = again([1, "ValueError", "x"], fault)
        assert found.lacking == "shapely" and not found.settled and "need shapely" in found.because
        assert again(fault, python=runner.NATIVE).lacking == ""
    assert again([1, "ModuleNotFoundError", "No module named 'shaply'"]).lacking == ""
    assert again([1, "ValueError", "No module named 'shapely'"]).lacking == ""
    assert again([1, "ModuleNotFoundError", "No module named '../x'"]).lacking == ""


def test_what_cannot_be_run_here_waits_and_says_so():
    handin = HandIn(where="ada.ipynb", names=("ada.ipynb",), data=b"")
    whole = hostile.draft("ada")
    part = hostile.changed(whole, points=dict([next(iter(whole["points"].items()))]), curves={}, numbers={})
    for records in ((), (hostile.text(part),)):
        (saved,), _ = evidence.answers_in(handin, (hostile.text(whole),))
        ran = Again(records, (), " because its cells need shapely", settled=False, lacking="shapely")
        (answer,) = evidence.with_run(handin, [saved], ran)
        assert answer.evidence == evidence.NOT_HERE and not answer.counts
        assert "has no shapely" in answer.notes[-1] and answer.record.points.keys() == whole["points"].keys()
    (saved,), _ = evidence.answers_in(handin, (hostile.text(whole),))
    ran = Again((hostile.text(whole),), (), "", settled=False, lacking="shapely")
    assert evidence.with_run(handin, [saved], ran)[0].evidence == evidence.SAME


def test_a_missing_package_leaves_no_notebook_out(monkeypatch):
    """It is not the student's fault: all of theirs are run."""
    lacks = Again((), None, " because its cells need shapely", settled=False, lacking="shapely")
    monkeypatch.setattr(running.Locked, "_once", lambda *_: lacks)
    inside = Locked(runner.Runner(wrapped=False), protection.Protection((), ()), 1)
    books = [("ada", Notebook((f"cell {i}",), ())) for i in range(6)]
    assert {a.because for a in inside.run_all(books, "", lambda _: None)} == {lacks.because}


def test_a_folder_that_was_not_prepared_is_not_taken(tmp_path, monkeypatch):
    monkeypatch.setattr(portable, "deno_program", lambda: "/somewhere/deno")
    monkeypatch.setattr(portable, "PREPARED", tmp_path)
    assert portable.browser_python() is None
    (tmp_path / portable.STATE).write_text("{")
    assert portable.browser_python() is None
    (tmp_path / portable.STATE).write_text('{"compiled": ["msgspec"], "without": []}')
    assert portable.browser_python().prepared == tmp_path
    monkeypatch.setattr(portable, "deno_program", lambda: "")
    assert portable.browser_python() is None


def test_without_deno_the_command_says_what_to_install(monkeypatch, capsys):
    monkeypatch.setattr("patternlib.course_page.rerun_files.deno_program", lambda: "")
    assert main(["prepare-rerun"]) == 2
    assert 'pip install ".[rerun]"' in capsys.readouterr().err


def test_a_comma_in_a_folder_opens_no_other_folder():
    """Deno reads it as two folders, and the second may be anybody's."""
    with pytest.raises(PatternError, match="comma in its name"):
        portable._listed([Path("/srv/course,/home")])


@pytest.mark.slow
def test_nothing_tried_is_open(as_on_a_mac):
    """Reading, writing, network, other programs, their settings, memory and time, by Python and page."""
    inside = running.locked(workers=1, least="all")
    assert inside.runner.python == runner.BROWSER
    assert inside.protection.open == () and set(inside.protection.closed) == set(protection.TRIED)
    assert "in the browser's Python, inside Deno" in inside.protection.words


@pytest.mark.slow
def test_a_try_that_gets_through_is_seen(as_on_a_mac, monkeypatch):
    """With more allowed than should be, the tries find it and the command refuses."""
    listed = portable._listed
    monkeypatch.setattr(portable, "_listed", lambda folders: f"{listed(folders)},/tmp")
    with pytest.raises(PatternError, match="Found OPEN: reading your files, seeing names"):
        running.locked(workers=1, least="files-and-network")


@pytest.mark.slow
@pytest.mark.parametrize("name", hostile.RUNNING)
def test_a_hostile_notebook_is_held(browser, name):
    """It ends in time, gives no draft, and a sentence says why, where its own words are no reason."""
    cell, _ = hostile.RUNNING[name]
    began = time.monotonic()
    ended = browser.within(SECONDS).run((cell,))
    assert time.monotonic() - began < 120 and ended.why != "start"
    found = running._read(ended, runner.BROWSER)
    assert not found.records and len(ended.data) < 10_000
    if name in HELD_BY:
        assert re.search(HELD_BY[name], found.because), found.because


HELD_BY = {
    "endless": "too long by the clock",
    "asleep": "too long by the clock",
    "hog": "emory",
    "flood": "printed far too much",
    "filler": "took too much memory",
    "large file": "took too much memory",
    "quitter": "ended itself",
    "deaf": "too long by the clock",
}
"""What the sentence says; the others find nothing that they could do harm with."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cell", "because"),
    [
        ("import js\njs.Deno.exit(0)", "ended itself"),
        ("import js\njs.Deno.stdout.writeSync(js.Uint8Array.new(9_000_000))", "far more than a draft"),
        ("from pyodide.code import run_js\nrun_js('while (true) {}')", "too long by the clock"),
        (
            "from pyodide.code import run_js\n"
            "run_js('const a = []; while (true) a.push(new Array(1e6).fill(1))')",
            "memory|signal",
        ),
        (
            "from pyodide.code import run_js\n"
            "await run_js('''(async () => {for (let i = 0; ; i++) {const held = await caches.open(\"c\" + i);"
            " await held.put(\"http://a/\" + i, new Response(new Uint8Array(8_000_000)))}})''')()",
            "files|ended itself",
        ),
        (
            "from pyodide.code import run_js\n"
            "run_js('''for (let i = 0; i < 20; i++) new Worker(\"data:text/javascript,const a=[];"
            "while(true)a.push(new Uint8Array(1e7).fill(1))\", {type: \"module\"})''')\n"
            "import time\ntime.sleep(60)",
            "memory",
        ),
    ],
    ids=["exit", "long tale", "page loops", "page hoards", "page stores", "page workers"],
)
def test_hostile_words_of_the_page_are_held(browser, cell, because):
    """What the page's own language can do beside Python."""
    ended = browser.within(SECONDS).run((cell,))
    found = running._read(ended, runner.BROWSER)
    assert not found.records and re.search(because, found.because), (found.because, ended)


@pytest.mark.slow
def test_what_is_not_theirs(browser, tmp_path):
    secret = tmp_path / "solutions" / "solution.ipynb"
    secret.parent.mkdir()
    secret.write_text("the solution")
    with socket.create_server(("127.0.0.1", 0)) as server:
        for name, cell in hostile.running(secret, server.getsockname()[1]).items():
            ended = browser.run((cell, show("{'done': 1}")))
            if name == "patcher":  # Deno's refusal to write into the library ends the whole run
                assert (ended.exit, ended.data) == (1, b"")
                continue
            assert said(ended) == [{"done": 1}], name
            assert name == "deleter" or json.loads(ended.data)["faults"], name
        server.settimeout(0.1)
        with pytest.raises(TimeoutError):
            server.accept()
    assert [p.name for p in secret.parent.iterdir()] == ["solution.ipynb"]
    assert secret.read_text() == "the solution"
    browser.run(("open('left', 'w').write('x')\nimport js\njs.localStorage.setItem('left', 'x')",))
    look = "import js, os\n" + show("['left' in os.listdir(), js.localStorage.getItem('left') != 'x']")
    assert said(browser.run((look,))) == [[False, True]]


def _code(notebook: Path) -> tuple[str, ...]:
    return read_notebook(notebook.read_bytes()).cells


@pytest.mark.slow
def test_honest_notebooks_give_the_same_drafts(browser):
    """The solutions' cells, in the browser's Python and in this one: alike, or a package is missing there."""
    books = sorted((ROOT / "solutions").glob("*.ipynb"))
    without = portable.prepared(browser.prepared).without
    with ThreadPoolExecutor(2) as pool:
        here = pool.map(lambda b: runner.Runner(wrapped=False, seconds=60).run(_code(b)), books)
        there = pool.map(lambda b: browser.within(120).run(_code(b)), books)
        for book, a, b in zip(books, here, there, strict=True):
            native, page = running._read(a), running._read(b, runner.BROWSER)
            wanted = {r.exercise: r for r in map(read, native.records)}
            found = {r.exercise: r for r in map(read, page.records)}
            differ = {e for e, r in wanted.items() if e not in found or not alike(r, found[e])}
            print(book.name, len(wanted), sorted(differ), page.lacking, page.because)
            assert wanted and (not differ or page.lacking in without), (book.name, differ, page.because)


@pytest.mark.slow
def test_a_class_run_again_as_on_a_mac(as_on_a_mac, tmp_path, capsys):
    """Right work counts, forged work waits, and what needs a package that is not there says so."""
    handins = tmp_path / "in"
    handins.mkdir()
    plan = tuple(c for c in hostile.drawn_by_code("ada") if "matplotlib" not in c and "shapely" not in c)
    plan = tuple(c for c in plan if "numpy" not in c)
    typed = hostile.draft("typist")
    books = {
        "ada": hostile.notebook(hostile.draft("ada"), cells=plan),
        "ben": hostile.notebook(hostile.draft("ben"), cells=("import matplotlib",)),
        "forger": hostile.notebook(hostile.draft("forger"), cells=("1 + 1",)),
        "hang": hostile.notebook(hostile.draft("hang"), cells=("import time\ntime.sleep(1000)",)),
        "typist": hostile.notebook(
            typed,
            cells=(f"import json\ndisplay({{{MIME!r}: json.loads({json.dumps(typed)!r})}}, raw=True)",),
        ),
    }
    for name, book in books.items():
        (handins / f"{name}.ipynb").write_bytes(hostile.text(book))
    command = [str(handins), "--out", str(tmp_path / "out"), "--rerun", "--workers", "2"]
    assert assess_command([*command, "--protection", "all"]) == 0
    assert "in the browser's Python, inside Deno" in capsys.readouterr().out
    rows = {r["student"]: r for r in table(tmp_path / "out")}
    assert (rows["ada"]["evidence"], rows["ada"]["mark"]) == ("run again: the same", "8")
    assert (rows["ben"]["evidence"], rows["ben"]["mark"]) == ("cannot be run here", "")
    assert "has no matplotlib" in rows["ben"]["notes"]
    assert rows["forger"]["evidence"] == "run again: gave nothing"
    assert "too long by the clock" in rows["hang"]["notes"] and rows["hang"]["mark"] == ""
    assert "typed in" in rows["typist"]["notes"]

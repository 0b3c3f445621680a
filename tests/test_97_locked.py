"""Running notebooks again: what a child can reach, how it may end, and what is said about it."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
import time
from contextlib import suppress

import pytest

from patternlib.assess import MIME, judge, numbers_for
from patternlib.assess.hand_ins.notebook import CARD, Notebook, read_notebook
from patternlib.assess.marking.command import assess_command
from patternlib.assess.sandbox import cells, protection, runner, running, watching, ways
from patternlib.assess.sandbox.again import Again, second_key
from patternlib.assess.sandbox.running import Locked
from patternlib.errors import PatternError

sys.path.insert(0, os.path.dirname(__file__))
import hostile
from test_96_class_run import table

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="limits are tried on Linux only")
CAN_WRAP = sys.platform.startswith("linux") and ways.can_wrap()
SECONDS = 2.0
"""by the clock, for cells that hang"""


@pytest.fixture(autouse=True)
def no_browser_python(monkeypatch):
    """Whether or not it is prepared on this machine; test_97_portable.py tries it."""
    monkeypatch.setattr(running, "browser_python", lambda **_: None)


@pytest.fixture
def wrapped():
    if not CAN_WRAP:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("bubblewrap does not work here")
    return runner.Runner(wrapped=True)


def said(ended: watching.Ended) -> list:
    return [json.loads(r) for r in json.loads(ended.data)["records"]]


def _left(mark: str) -> list[str]:
    """Processes that still run with this mark in their surroundings."""
    found = []
    for process in filter(str.isdecimal, os.listdir("/proc")):
        with suppress(OSError), open(f"/proc/{process}/environ", "rb") as file:
            if mark.encode() in file.read():
                found.append(process)
    return found


def show(expression: str) -> str:
    return f"display({{{MIME!r}: {expression}}}, raw=True)"


def test_nothing_tried_is_open_in_bubblewrap(wrapped):
    found = protection.probe(runner.Runner(wrapped=True))
    assert found.open == () and found.level == "all"


def test_what_is_open_without_it_is_seen_and_said():
    """The tries find what is open, and the words say so; memory and processes are watched there too."""
    found = protection.probe(runner.Runner(wrapped=False))
    assert set(found.open) == set(protection.TRIED) - {"memory", "processes", "time"}
    assert found.level == "limits"
    assert "Found OPEN" in found.words and "emptying your files" in found.words


def test_the_command_refuses_below_the_level_asked(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(running, "can_wrap", lambda: False)
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "note.txt").write_text("ill this week", encoding="utf-8")
    command = [str(tmp_path / "in"), "--out", str(tmp_path / "out"), "--rerun", "--workers", "1"]
    assert assess_command(command) == 2
    told = capsys.readouterr().err
    assert "Not run" in told and "reading your files" in told and "bubblewrap" in told
    assert not (tmp_path / "out").exists()
    assert assess_command([*command, "--protection", "limits"]) == 0
    page = (tmp_path / "out" / "class.html").read_text(encoding="utf-8")
    assert "Found OPEN" in page and "Found OPEN" in capsys.readouterr().out


@pytest.mark.parametrize("name", hostile.RUNNING)
def test_cells_that_do_harm(wrapped, name, monkeypatch):
    """Each ends in time with its sentence, and leaves no process behind."""
    cell, words = hostile.RUNNING[name]
    mark = os.urandom(16).hex()
    monkeypatch.setenv("OPENBLAS_MARK", mark)  # which goes into the process
    hangs = not words or "too long" in words
    ended = runner.Runner(wrapped=True, seconds=SECONDS if hangs else runner.SECONDS).run((cell,))
    read = running._read(ended)
    assert not read.records and re.search(words, read.because), read.because
    assert ended.why != "start"
    for _ in range(50):
        if not _left(mark):
            break
        time.sleep(0.1)
    assert not _left(mark)


def test_what_is_not_theirs(wrapped, tmp_path):
    """Solutions, other folders, the network, other programs, the library on disk: none is reached."""
    secret = tmp_path / "solutions" / "solution.ipynb"
    secret.parent.mkdir()
    secret.write_text("the solution")
    os.chmod(tmp_path, 0o755)
    with socket.create_server(("127.0.0.1", 0)) as server:
        for name, cell in hostile.running(secret, server.getsockname()[1]).items():
            ended = wrapped.run((cell, show("{'done': 1}")))
            assert said(ended) == [{"done": 1}], name
            faults = json.loads(ended.data)["faults"]
            assert name == "deleter" or faults, name
        server.settimeout(0.1)
        with pytest.raises(TimeoutError):
            server.accept()
    assert [p.name for p in secret.parent.iterdir()] == ["solution.ipynb"]
    assert secret.read_text() == "the solution"


def test_children_know_nothing_of_one_another(wrapped):
    """What one notebook leaves in memory, modules or its home, the next does not find."""
    wrapped.run(("import builtins, numpy\nbuiltins.left = numpy.left = 1\nopen('left', 'w').write('x')",))
    look = show("[hasattr(builtins, 'left'), hasattr(numpy, 'left'), 'left' in os.listdir()]")
    assert said(wrapped.run(("import builtins, numpy, os", look))) == [[False, False, False]]


def test_processor_time_is_limited_before_the_clock(wrapped):
    ended = runner.Runner(wrapped=True, seconds=60).run(("while True:\n    pass",))
    assert "processor time" in running._read(ended).because


def test_where_python_does_not_start_it_is_said(monkeypatch):
    """As where the memory of the machine is used up: that notebook has its sentence."""
    monkeypatch.setattr(runner.Runner, "_code", lambda self, *_: "raise SystemExit(1)")
    books = Locked(runner.Runner(wrapped=False), protection.Protection((), ()), 1)
    again = books.run(Notebook((show("{'fine': 1}"),), ()), "")
    assert again.records == () and "could not be started" in again.because and not again.settled


def test_a_limit_that_cannot_be_set_ends_no_run():
    """As on macOS, which refuses a limit of address space (its setrlimit(2))."""
    code = (
        "import resource\n"
        "def refuse(which, most):\n    raise ValueError('current limit exceeds maximum limit')\n"
        "resource.setrlimit = refuse\n"
        "from patternlib.assess.sandbox import limits\n"
        "limits._loaded = limits._found_by_trying\n"
        "limits.set_limits(alone=True)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize(
    ("system", "found", "words"),
    [
        ("linux", None, "Install bubblewrap"),
        ("linux", "/usr/bin/bwrap", "user namespaces"),
        ("darwin", None, "macOS itself .* prepare-rerun"),
        ("freebsd", None, "prepare-rerun"),
        ("linux", "answers nothing", "not by PYTHONPATH"),
    ],
)
def test_a_refusal_fits_the_machine(monkeypatch, system, found, words):
    monkeypatch.setattr(running, "can_wrap", lambda: found == "answers nothing")
    monkeypatch.setattr(running, "probe", lambda *_: protection.Protection((), ("reading",)))
    monkeypatch.setattr(running.sys, "platform", system)
    monkeypatch.setattr(running.shutil, "which", lambda _: found)
    with pytest.raises(PatternError, match=words) as told:
        running.locked(workers=1, least="all")
    assert system == "linux" or "nstall bubblewrap" not in str(told.value)


def test_cells_as_notebooks_have_them(wrapped):
    """Last values, display, await, magics, inspect, widgets with their first values, a cell that fails."""
    record = f"type('Draft', (), {{'_repr_mimebundle_': lambda self, **k: {{{MIME!r}: 'shown'}}}})()"
    ended = wrapped.run(
        (
            "%matplotlib inline\n!rm -rf /\nimport asyncio, inspect",
            record,
            f"{record};",
            f"await asyncio.sleep(0.01)\n{show('[1]')}",
            "def f():\n    return 1",
            show("inspect.getsource(f)"),
            "1 / 0",
            f"import ipywidgets\nipywidgets.interact(lambda x: {show('x')}, x=3)\nNone",
            "import matplotlib.pyplot as plt\nplt.plot([1, 2])\nplt.show()",
            "get_ipython().run_line_magic('matplotlib', 'inline')",
            show("float('nan')"),
            show("__name__"),
        )
    )
    assert said(ended) == ["shown", [1], "def f():\n    return 1\n", 3, "__main__"]
    faults = json.loads(ended.data)["faults"]
    assert [f[:2] for f in faults] == [[7, "ZeroDivisionError"], [0, "RecordError"]]


def test_a_second_set_of_measurements(wrapped):
    """The second run gives the same student other numbers, those that the judge will ask for."""

    ask = "from patternlib.assess import exercise, numbers_for\n" + show(
        "[exercise('02a').own_numbers(who).body.hip_girth, numbers_for(who, who).body.hip_girth]"
    )
    first, second = (said(wrapped.run(("who = 'ada'", ask), key))[0] for key in ("", second_key("k")))
    assert first == [numbers_for("ada").body.hip_girth, numbers_for("ada", "ada").body.hip_girth]
    assert second == [numbers_for("ada", second_key("k")).body.hip_girth] * 2 != first


def test_a_class_run_again(tmp_path):
    """Right work counts, typed-in answers are told; what a run does not give again waits for a word."""
    handins = tmp_path / "in"
    handins.mkdir()
    right = hostile.draft("ada")
    off = hostile.draft("forger")
    off["points"]["side hip"][0] += 5
    typed = hostile.draft("typist")
    hand_in = "from IPython.display import display\nimport json\n"
    books = {
        "ada": hostile.notebook(right, cells=hostile.drawn_by_code("ada")),
        "forger": hostile.notebook(
            hostile.draft("forger"),
            cells=(f"{hand_in}display({{{MIME!r}: json.loads({json.dumps(off)!r})}}, raw=True)",),
        ),
        "typist": hostile.notebook(
            typed, cells=(f"{hand_in}display({{{MIME!r}: json.loads({json.dumps(typed)!r})}}, raw=True)",)
        ),
        "faker": hostile.notebook(hostile.draft("faker"), cells=("raise ValueError('=nothing\\x1b[2J')",)),
        "paper": hostile.notebook(hostile.changed(hostile.draft("paper"), way="paper")),
        "silent": hostile.notebook(cells=hostile.drawn_by_code("silent")),
        "harm": hostile.notebook(cells=("import os\nos._exit(3)",)),
        "carded": _with_card("carded"),
        "emptied": hostile.notebook(hostile.draft("emptied"), cells=("",)),
        "boarder": hostile.notebook(
            hostile.changed(hostile.draft("boarder"), way="board"), cells=hostile.drawn_by_code("boarder")
        ),
        "dodger": hostile.notebook(
            hostile.draft("dodger"),
            cells=("import os\nif 'IPYTHONDIR' in os.environ:\n    os._exit(0)",),
        ),
    }
    for name, book in books.items():
        (handins / f"{name}.ipynb").write_bytes(hostile.text(book))
    saved = json.dumps(books["ada"], sort_keys=True)  # notebook programs sort all keys when they save
    (handins / "ada.ipynb").write_text(saved, encoding="utf-8")
    command = [str(handins), "--out", str(tmp_path / "out"), "--rerun", "--workers", "2"]
    assert assess_command([*command, "--protection", "limits"]) == 0
    rows = {r["student"]: r for r in table(tmp_path / "out")}
    assert rows["ada"]["mark"] == "8" and rows["ada"]["notes"] == ""
    assert rows["ada"]["evidence"] == "run again: the same"
    assert (rows["carded"]["evidence"], rows["carded"]["mark"]) == ("run again: the same", "1")
    assert rows["emptied"]["evidence"] == "run again: gave nothing"
    assert rows["dodger"]["evidence"] == "cannot be run again" and "ended itself" in rows["dodger"]["notes"]
    assert rows["boarder"]["evidence"] == "run again: differs"  # its cells do not draw on a board
    waiting = ("forger", "faker", "paper", "silent", "emptied", "boarder", "dodger")
    for name in waiting:  # these wait for the instructor's word
        assert rows[name]["mark"] == "" and "waits" in rows[name]["state"], name
    assert float(rows["forger"]["proposed"]) < 8 and rows["forger"]["evidence"] == "run again: differs"
    assert "another draft than the saved one" in rows["forger"]["notes"]
    assert rows["typist"]["mark"] == "8" and "typed in" in rows["typist"]["notes"]
    assert "ValueError: =nothing" in rows["faker"]["notes"] and "\x1b" not in rows["faker"]["notes"]
    assert rows["faker"]["evidence"] == "cannot be run again"
    assert rows["paper"]["proposed"] == "8" and rows["paper"]["evidence"] == "run again: gave nothing"
    assert rows["silent"]["proposed"] == "8" and "running it gave one" in rows["silent"]["notes"]
    assert "ended itself" in rows["harm"]["notes"]
    page = (tmp_path / "out" / "class.html").read_text(encoding="utf-8")
    assert "Tried at the start and found closed" in page
    first = (tmp_path / "out" / "marks.csv").read_bytes()
    assert assess_command([*command, "--protection", "limits"]) == 0
    assert (tmp_path / "out" / "marks.csv").read_bytes() == first


def _with_card(who: str) -> dict:
    """A notebook of the exercises as a learner saves it: the name stands on the card alone."""
    record = hostile.draft(who)
    drawn = {"centre back hip": record["points"]["centre back hip"]}
    book = hostile.notebook(
        hostile.changed(record, points=drawn, curves={}, numbers={}),
        cells=(
            "from patternlib.assess import compare_with_rule, name_card\ncard = name_card()\ncard",
            "sheet = card.sheet('02a')",
            "sheet.mark('centre back hip', sheet.measure('waist to hip'), below='waist at centre back')",
            "compare_with_rule(sheet, of='02a', key=card.key)",
        ),
    )
    shown = {"output_type": "display_data", "metadata": {}, "data": {CARD: {"student": who, "key": ""}}}
    book["cells"][0]["outputs"].append(shown)
    return book


def test_notebooks_that_hang_cost_their_own_students_time(monkeypatch):
    """After three the rest of that student's are left out; the others' are run."""
    ran = []

    def once(self, book, second):
        ran.append(book.cells[0])
        return (
            Again((), None, " because it ran too long by the clock", settled=False)
            if "hang" in book.cells[0]
            else Again(())
        )

    monkeypatch.setattr(running.Locked, "_once", once)
    books = [("slow", Notebook((f"hang {i}",), ())) for i in range(6)]
    books += [("good", Notebook((f"fine {i}",), ())) for i in range(6)]
    locked = Locked(runner.Runner(wrapped=False), protection.Protection((), ()), 1)
    agains = list(locked.run_all(books, "", lambda _: None))
    assert ran == ["hang 0", "hang 1", "hang 2", *(f"fine {i}" for i in range(6))]
    assert all("were not run" in a.because and not a.settled for a in agains[3:6])


def test_the_words_of_the_lessons(wrapped):
    """A sheet and its checking cell, as lessons have them, give a record on either set of numbers."""
    cells_ = (
        "from patternlib.assess import begin, compare_with_rule",
        "sheet = begin('02a', student='wanda')",
        "down = sheet.measure('waist to hip')",
        "sheet.mark('centre back hip', down, below='waist at centre back')",
        "compare_with_rule(sheet)",
    )
    for key in ("", second_key("")):
        (record,) = said(wrapped.run(cells_, key))
        lines = judge({**record, "student": "wanda"}, key=key).to_dict()["lines"]
        assert [line["step"] for line in lines if line["verdict"] == "right"] == ["centre back hip"]


def test_no_fork_no_rerun(tmp_path, monkeypatch):
    monkeypatch.delattr(os, "fork")
    monkeypatch.setattr(running, "can_wrap", lambda: False)
    with pytest.raises(PatternError, match=r"Windows itself .* prepare-rerun"):
        running.locked(workers=1, least="limits")


def test_lines_that_are_no_python_are_passed_over():
    book = read_notebook(hostile.text(hostile.notebook(cells=("%%bash\nrm -rf /", "!ls\nx = 1"))))
    found = json.loads(_run_here(book.cells))
    assert found == {"records": [], "faults": []}


def _run_here(texts) -> bytes:
    """Run harmless cells in a process of their own, without a room."""
    code = "import sys; from patternlib.assess.sandbox import cells; "
    code += f"sys.__stdout__.buffer.write(cells.run_cells({texts!r}))"
    root = os.path.dirname(os.path.dirname(cells.__file__))
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True, cwd=os.path.dirname(root)
    ).stdout

"""The command on a whole class of broken, hostile and copied hand-ins: it finishes, and says what it saw."""

from __future__ import annotations

import csv
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from patternlib.assess.marking import class_marking
from patternlib.assess.marking.command import assess_command
from patternlib.assess.sandbox import apart
from patternlib.assess.sandbox.apart import executor, judge_apart
from patternlib.assess.sandbox.job import Job, Judged

sys.path.insert(0, os.path.dirname(__file__))
import hostile


def table(out: Path) -> list[dict[str, str]]:
    with open(out / "marks.csv", encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def snapshot(folder: Path) -> dict:
    return {p: (p.lstat().st_mtime_ns, p.lstat().st_size) for p in folder.rglob("*")}


@pytest.fixture(scope="module")
def class_run(tmp_path_factory):
    """The hostile class, judged once."""
    base = tmp_path_factory.mktemp("class")
    told = hostile.write_class(base / "handins")
    before = snapshot(base / "handins")
    status = assess_command([str(base / "handins"), "--out", str(base / "marks"), "--workers", "2"])
    return base, told, status, before


def test_the_hostile_class_is_survived(class_run):
    """Every bad file has its sentence in the table and on the page; nothing beside the marks changed."""
    base, told, status, before = class_run
    assert status == 0
    assert snapshot(base / "handins") == before
    assert sorted(p.name for p in base.iterdir()) == ["handins", "marks"]
    rows = table(base / "marks")
    page = (base / "marks" / "class.html").read_text(encoding="utf-8")
    for name, words in told.items():
        mine = [r for r in rows if r["file"].split(":")[0].lstrip("'") == name]
        assert mine, name
        assert all(r["notes"] and r["mark"] == "" for r in mine), name
        assert any(words in r["notes"] for r in mine), (name, words, mine)
        assert name in page


def test_nobody_gains_and_nobody_loses(class_run):
    """A copy is judged on one's own numbers; a second 'ada' does not touch ada; forging is in vain."""
    rows = {r["file"]: r for r in table(class_run[0] / "marks")}
    assert float(rows["ada.ipynb"]["mark"]) == float(rows["ada.ipynb"]["out of"])
    assert rows["eve ada.ipynb"]["mark"] == "" and "carry this id" in rows["eve ada.ipynb"]["notes"]
    assert float(rows["ben.ipynb"]["mark"]) < float(rows["ben.ipynb"]["out of"])
    assert "another student" in rows["ben.ipynb"]["notes"]
    assert float(rows["forged.ipynb"]["mark"]) == 0
    page = (class_run[0] / "marks" / "class.html").read_text(encoding="utf-8")
    copies = page[page.index("Likely copies") : page.index("Not read or not judged")]
    assert "&#x27;dora&#x27; worked with the body and style that were given to &#x27;ada&#x27;" in copies
    assert "ben" in copies and "carl" in copies and "agree in every point" in copies


def test_odd_letters_and_names(class_run):
    rows = {r["file"]: r for r in table(class_run[0] / "marks")}
    for name in ("bom", "utf16", "cp1252", "con"):
        assert rows[f"{name}.ipynb"]["mark"] == rows[f"{name}.ipynb"]["out of"] != ""
    assert "'=1+1.ipynb" in rows
    for page in (class_run[0] / "marks").rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert "<script" not in text and "<img" not in text and "\u202e" not in text
        assert page.stem == page.stem.strip(".") and "Content-Security-Policy" in text


def test_a_second_run_judges_only_what_changed(class_run, tmp_path, monkeypatch, capsys):
    """Own marks stay, the result is the same to the byte, and a changed hand-in alone is judged again."""
    import shutil

    base = class_run[0]
    shutil.copytree(base / "marks", tmp_path / "marks")
    handins = tmp_path / "handins"
    shutil.copytree(
        base / "handins", handins, symlinks=True, ignore=shutil.ignore_patterns("pipe*", "round", "large*")
    )
    asked = []

    def counted(job: Job) -> Judged:
        asked.append(job.numbers)
        return judge_apart(job)

    monkeypatch.setattr(class_marking, "judge_apart", counted)
    command = [str(handins), "--out", str(tmp_path / "marks")]
    assert assess_command(command) == 0 and asked == []
    first = (tmp_path / "marks" / "marks.csv").read_bytes()
    edited = first.replace(b"ada,02a,8,8,,", b"ada,02a,8,8,6.5,seen in class", 1)
    assert edited != first
    (tmp_path / "marks" / "marks.csv").write_bytes(edited)
    own = "student,exercise,own mark,own remark\nbom,02a,,well done\n"
    (tmp_path / "marks" / "own-remarks.csv").write_text(own)
    record = hostile.draft("utf16")
    record["points"].popitem()
    (handins / "utf16.ipynb").write_bytes(hostile.text(hostile.notebook(record)))
    assert assess_command(command) == 0 and asked == ["utf16"]
    rows = {r["file"]: r for r in table(tmp_path / "marks")}
    assert (rows["ada.ipynb"]["own mark"], rows["ada.ipynb"]["own remark"]) == ("6.5", "seen in class")
    assert rows["bom.ipynb"]["own remark"] == "well done"
    assert (tmp_path / "marks" / "own-remarks.csv").read_text() == own
    assert "well done" in (tmp_path / "marks" / "students" / "bom.html").read_text(encoding="utf-8")
    (tmp_path / "marks" / "judged.json").write_bytes(b"\x00 damaged")
    assert assess_command(command) == 0 and len(asked) > 10


def test_the_same_on_every_run(class_run, tmp_path):
    """One worker or three, another folder, another order of hash seeds: the same table and pages."""
    base = class_run[0]
    handins = tmp_path / "handins"
    handins.mkdir()
    for name, data in sorted(hostile.answers().items(), reverse=True):
        (handins / name).write_bytes(data)
    results = []
    for workers, seed in (("1", "1"), ("3", "2")):
        out = tmp_path / f"marks-{workers}"
        command = [str(handins), "--out", str(out), "--workers", workers]
        code = (
            "import sys; from patternlib.assess.marking.command import assess_command as a; "
            f"sys.exit(a({command!r}))"
        )
        subprocess.run(
            [sys.executable, "-c", code], check=True, env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=Path(__file__).parent.parent, capture_output=True,
        )  # fmt: skip
        results.append({p.relative_to(out): p.read_bytes() for p in out.rglob("*.*") if p.is_file()})
    assert results[0] == results[1]
    assert {r["file"] for r in table(base / "marks")} > {r["file"] for r in table(tmp_path / "marks-1")}


@pytest.mark.parametrize(
    "words, more",
    [
        ("no folder", ["nowhere", "--out", "out"]),
        ("lie in one another", ["in", "--out", "in/../in"]),
        ("lie in one another", ["in", "--out", "in/out"]),
        ("lie in one another", ["in/deep", "--out", "in"]),
        ("is a file", ["in", "--out", "file"]),
        ("rubric", ["in", "--out", "out", "--rubric", "file"]),
        ("No scheduler", ["in", "--out", "out", "--scheduler", "tcp://127.0.0.1:9"]),
    ],
)
def test_wrong_input_is_one_sentence(tmp_path, monkeypatch, capsys, words, more):
    """Exit status 2, a sentence, and nothing written."""
    if "--scheduler" in more:
        pytest.importorskip("distributed")
        monkeypatch.setattr(apart, "CONNECT", 0.5)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "in" / "deep").mkdir(parents=True)
    (tmp_path / "file").write_text("[[[")
    before = snapshot(tmp_path)
    assert assess_command(more) == 2
    told = capsys.readouterr().err
    assert words in told and told.count("\n") == 1
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize(
    "more", [[], ["in"], ["in", "--out", "o", "--workers", "0"], ["in", "--out", "o", "--ou"]]
)
def test_a_wrong_command_is_one_sentence(more, capsys):
    with pytest.raises(SystemExit) as ended:
        assess_command(more)
    assert ended.value.code == 2 and capsys.readouterr().err.count("\n") == 1


def test_a_bar_on_a_screen_only(tmp_path, monkeypatch, capsys):
    handins = tmp_path / "in"
    handins.mkdir()
    (handins / "ada.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft("ada"))))
    assert assess_command([str(handins), "--out", str(tmp_path / "a")]) == 0
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    assert assess_command([str(handins), "--out", str(tmp_path / "b")]) == 0
    assert "Judging" in (told := capsys.readouterr().err) and told.endswith("1 of 1\n")


def test_an_empty_class(tmp_path, capsys):
    """Where nobody handed in, the table of the class says who is missed; without one nothing can be said."""
    (tmp_path / "in").mkdir()
    command = [str(tmp_path / "in"), "--out", str(tmp_path / "out")]
    assert assess_command(command) == 2
    assert "There is nothing in" in capsys.readouterr().err and not (tmp_path / "out").exists()
    (tmp_path / "class.csv").write_text("id\nada\n")
    assert assess_command([*command, "--register", str(tmp_path / "class.csv")]) == 0
    assert "Nothing stands out" in (tmp_path / "out" / "class.html").read_text(encoding="utf-8")


def test_a_rubric_of_ones_own(tmp_path):
    handins = tmp_path / "in"
    handins.mkdir()
    (handins / "ada.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft("ada"))))
    (tmp_path / "own.toml").write_text("[weight]\npoint = 2\n")
    assert (
        assess_command([str(handins), "--out", str(tmp_path / "out"), "--rubric", str(tmp_path / "own.toml")])
        == 0
    )
    assert table(tmp_path / "out")[0]["out of"] == "16"


def test_a_class_key(tmp_path):
    handins = tmp_path / "in"
    handins.mkdir()
    (handins / "ada.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft("ada", key="spring"))))
    marks = {}
    for key in ("spring", "autumn"):
        assert assess_command([str(handins), "--out", str(tmp_path / key), "--key", key]) == 0
        marks[key] = float(table(tmp_path / key)[0]["mark"])
    assert marks["spring"] == 8 > marks["autumn"]


def test_a_judge_that_hangs_or_falls_is_ended(monkeypatch):
    """A record that takes too long costs its own time only; the next one is judged as ever.

    With the pool its judging process ends too, and no pipe to it stays open.
    """
    good = Job(hostile.text(hostile.draft("ada")).decode(), "ada")
    for code, words in (("import time; time.sleep(60)", "longer than 0.5 seconds"), ("1 / 0", "failed")):
        with executor(1) as pool:
            with monkeypatch.context() as patch:
                patch.setattr(apart, "_CODE", code)
                start = time.monotonic()
                assert words in pool.submit(judge_apart, good, 0.5).result().problem
                assert time.monotonic() - start < 10
            assert pool.submit(judge_apart, good).result().verdict["mark"] == 8
            first = pool.submit(lambda: apart._mine.judge._process).result()
            first.kill()  # ended from outside: started again
            assert pool.submit(judge_apart, good).result().verdict["mark"] == 8
            second = pool.submit(lambda: apart._mine.judge._process).result()
            assert second is not first and second.poll() is None
        for process in (first, second):
            assert process.poll() is not None and process.stdin.closed and process.stdout.closed


def test_the_parent_never_unpickles():
    """Data between the programs is JSON with types: no module here loads pickles."""
    for path in Path(apart.__file__).parent.glob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert "pickle" not in text and "marshal" not in text and "shelve" not in text, path

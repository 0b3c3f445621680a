"""What a teacher writes and opens: own marks, ids, names, rubrics, the command."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from patternlib.assess.marking.command import assess_command
from patternlib.assess.marking.marks import Row, keep, settle, table
from patternlib.assess.safe_text import folded, for_cell, from_cell

sys.path.insert(0, os.path.dirname(__file__))


# tables


@pytest.mark.parametrize("own", ["nan", "inf", "-inf", "1e9", "9" * 6000, "six"])
def test_an_own_mark_that_is_no_number_blocks_nothing(own, tmp_path):
    row = Row("ada", "02a", 7.0, 8.0, judged=7.0, own_mark=own)
    settle([row])
    assert row.final == 7.0 and "is no number" in row.notes[0]
    (tmp_path / "own-remarks.csv").write_bytes(b"")
    (tmp_path / "marks.csv").write_text(table([row]), encoding="utf-8", newline="")
    assert keep([Row("ada", "02a", 7.0, 8.0)], tmp_path)[0].own_mark == from_cell(for_cell(own, 30_000))


def test_the_id_007_stays(tmp_path):
    """As we write it, and as a spreadsheet saves it."""
    row = Row("007", "02a", 7.0, 8.0, own_mark="5", file="007.ipynb")
    assert "'007" in table([row])
    for text in (table([row]), table([row]).replace("'007,", "7,")):
        (tmp_path / "marks.csv").write_text(text, encoding="utf-8", newline="")
        (kept,) = keep([Row("007", "02a", 7.0, 8.0, file="007.ipynb")], tmp_path)
        assert (kept.student, kept.own_mark) == ("007", "5")


def test_names_in_other_scripts_stay_apart():
    """Signs for vowels are letters' own parts in many scripts [Unicode Standard, chapter 12]."""
    names = ["कि", "कु", "का", "กิ", "กุ", "בָ", "ב", "Åsa", "ada"]
    assert len({folded(n) for n in names}) == len(names)
    assert folded("Ása") == folded("asa") and folded("İzmir")


def test_cells_that_a_spreadsheet_would_compute():
    """Also where the cell falls apart at a `;` [OWASP, CSV injection]."""
    for text in ("x;=1+1", "x; @SUM(A1)", "a,+1", "=1;-2+3", "x\t=1"):
        made = for_cell(text)
        for part in made.replace(",", ";").split(";"):
            assert part.strip()[:1] not in ("=", "+", "-", "@"), made
    for text in ("x;=1+1", "=1;-2+3", "007", "1-2", "12e3", "it's; fine", "'007'"):
        assert from_cell(for_cell(text)) == text


RUBRICS = {
    "unknown exercise": ('[exercise.99z.weight]\n"side hip" = 2\n', "99z"),
    "misspelt step": ('[exercise.02a.weight]\n"side hipp" = 2\n', "side hip"),
    "wrong type": ("[exercise]\n02a = 3\n", "must be a section"),
    "words is no section": ("words = 3\n", "must be a section"),
    "no number": ('[tolerance]\npoint = "0.3"\n', "must be a number"),
    "no tolerance at all": ("[tolerance]\npoint = 0\n", "above 0"),
    "bad placeholder": ('[words]\noff = "{step.__class__.x}"\n', "braces"),
    "bad format": ('[words]\noff = "{step:d}"\n', "braces"),
    "half a brace": ('[words]\noff = "{"\n', "braces"),
    "deep": ("a = " + "[" * 5000 + "]" * 5000, "nested"),
    "deep, and Python reads it": ("a = " + "[" * 50 + "]" * 50, "nested"),
    "long number": ("[tolerance]\npoint = " + "9" * 6000 + "\n", "number"),
    "no text": (b"\xff\xfe\x00", "cannot be read"),
}


@pytest.mark.parametrize("name", RUBRICS)
def test_a_rubric_is_checked_before_anything_is_marked(tmp_path, name, capsys):
    text, words = RUBRICS[name]
    (tmp_path / "in").mkdir()
    (tmp_path / "r.toml").write_bytes(text if isinstance(text, bytes) else text.encode())
    line = [str(tmp_path / "in"), "--out", str(tmp_path / "out"), "--rubric", str(tmp_path / "r.toml")]
    assert assess_command(line) == 2
    told = capsys.readouterr().err
    assert words in told and told.count("\n") == 1 and len(told) < 1300 and not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "more",
    [
        ["in", "--out", "out", "--key", "k" * 81],
        ["in", "--out", "o" * 5000],
        ["i" * 5000, "--out", "out"],
        ["in", "--out", "out", "--rubric", "r" * 5000],
        ["in", "--out", "out", "--register", "r" * 5000],
        ["in", "--out", "out", "--group", "A"],
        ["in\0", "--out", "out"],
        ["--", "--"],
        ["in", "--out", "out", "--workers", "9" * 6000],
    ],
    ids=lambda more: " ".join(more)[:30],
)
def test_a_wrong_command_is_a_sentence(tmp_path, monkeypatch, capsys, more):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "in").mkdir()
    try:
        status = assess_command(more)
    except SystemExit as ended:
        status = ended.code
    told = capsys.readouterr().err
    assert status == 2 and told.count("\n") == 1 and len(told) < 1500
    assert [p.name for p in tmp_path.iterdir()] == ["in"]


def test_two_dashes_of_the_whole_command():
    for line in (["--", "--"], ["assess", "--", "--"]):
        ran = subprocess.run([sys.executable, "-m", "patternlib", *line], capture_output=True, text=True)
        assert ran.returncode == 2 and ran.stderr.count("\n") == 1, ran.stderr

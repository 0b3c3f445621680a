"""The folder for the marks: one run at a time, and a run that fell costs nothing."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import pytest

from patternlib.assess.marking import class_marking, folder, outcome
from patternlib.assess.marking.command import assess_command
from patternlib.assess.marking.folder import alone_in

sys.path.insert(0, os.path.dirname(__file__))
import hostile

# the folder for the marks


def test_two_runs_into_one_folder(tmp_path, capsys):
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "ada.ipynb").write_bytes(hostile.text(hostile.notebook()))
    with alone_in(tmp_path / "out"):
        line = [str(tmp_path / "in"), "--out", str(tmp_path / "out")]
        assert assess_command(line) == 2
    assert "Another run" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    assert assess_command(line) == 0


def test_what_a_stopped_run_judged_is_kept(tmp_path, monkeypatch, capsys):
    handins = tmp_path / "in"
    handins.mkdir()
    for who in ("ada", "ben", "cyd"):
        (handins / f"{who}.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft(who))))
    real, asked = class_marking.judge_apart, []

    def judge(job):
        asked.append(job.numbers)
        if len(asked) == 3:
            raise KeyboardInterrupt
        return real(job)

    line = [str(handins), "--out", str(tmp_path / "out"), "--workers", "1"]
    monkeypatch.setattr(class_marking, "judge_apart", judge)
    assert assess_command(line) == 130 and "kept for the next run" in capsys.readouterr().err
    assert len(outcome.former(tmp_path / "out").judged) == 2
    assert assess_command(line) == 0 and len(asked) == 4


def test_a_switch_that_fell_is_finished_and_rests_are_swept(tmp_path, monkeypatch):
    out = tmp_path / "out"
    (out / ".writing-old").mkdir(parents=True)
    (out / ".writing-old" / "x").write_text("half")
    real, moved = os.replace, []

    def fall(a, b):
        if Path(b).name == "b.html":
            raise OSError("no power")
        moved.append(b)
        real(a, b)

    texts = {"students/a.html": "new", "students/b.html": "new", "marks.csv": "new"}
    (out / "students").mkdir()
    for name in (*texts, "students/gone.html"):
        (out / name).write_text("old")
    with monkeypatch.context() as patch:
        patch.setattr(folder.os, "replace", fall)
        with pytest.raises(OSError, match="no power"):
            folder.place(out, texts, ["students/gone.html"])
    assert moved
    with alone_in(out):
        assert {p.relative_to(out).as_posix(): p.read_text() for p in out.rglob("*.*") if p.is_file()} == {
            **texts,
            ".in-use": "",
        }
    assert not list(out.glob(".*"))


def test_old_rooms_are_swept(tmp_path, monkeypatch):
    monkeypatch.setattr(folder.tempfile, "gettempdir", lambda: str(tmp_path))
    for name in ("patternlib-run-old", "patternlib-run-new", "other"):
        (tmp_path / name).mkdir()
    os.utime(tmp_path / "patternlib-run-old", (time.time() - 9000,) * 2)
    folder.sweep_rooms()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["other", "patternlib-run-new"]

"""One hand-in costs no other: hostile, damaged and endless ones."""

from __future__ import annotations

import io
import os
import resource
import struct
import subprocess
import sys
import zipfile

import pytest

from patternlib.assess.hand_ins import files, zips
from patternlib.assess.hand_ins.intake import open_all
from patternlib.assess.marking import class_marking
from patternlib.assess.marking.command import assess_command
from patternlib.assess.sandbox.job import Judged
from patternlib.assess.tasks.catalogue import exercises

sys.path.insert(0, os.path.dirname(__file__))
import hostile
from test_96_class_run import table as marks_of

# one hand-in costs no other


def _damaged_lzma() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_LZMA) as archive:
        archive.writestr("a.ipynb", hostile.text(hostile.notebook(hostile.draft("ada"))))
    data = bytearray(out.getvalue())
    data[60:160] = bytes(100)
    return bytes(data)


def _nameless() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("a.ipynb", "{}")
    data = out.getvalue()
    at, end = data.index(b"PK\x01\x02"), data.rindex(b"PK\x05\x06")
    middle = bytearray(data[at:end])
    middle[28:30] = struct.pack("<H", 0)
    middle = middle[:46] + middle[46 + len("a.ipynb") :]
    tail = bytearray(data[end:])
    struct.pack_into("<I", tail, 12, len(middle))
    return data[:at] + bytes(middle) + bytes(tail)


def _large_books(count: int = 4) -> bytes:
    book = b'{"nbformat": 4, "cells": [{"cell_type": "code", "source": "%s"}]}'
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for i in range(count):
            archive.writestr(f"{i}.ipynb", book % (os.urandom(40_000).hex().encode() * 180))
    return out.getvalue()


@pytest.mark.parametrize("kind", ["lzma", "nameless", "folder", "large", "falls"])
def test_one_hand_in_loses_nobody(tmp_path, kind, monkeypatch):
    """The others have their marks, and this one its sentence."""
    handins = tmp_path / "in"
    (handins / "zed").mkdir(parents=True)
    (handins / "ada.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft("ada"))))
    (handins / "zoe.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft("zoe"))))
    if kind == "folder":
        monkeypatch.setattr(files, "MOST_ENTRIES", (200, 50, 20))
        for i in range(60):
            (handins / "zed" / f"{i}.ipynb").touch()
    elif kind == "falls":
        real = class_marking.read_notebook

        def read(data):
            if data == b"zed":
                raise KeyError("what no reader foresees")
            return real(data)

        monkeypatch.setattr(class_marking, "read_notebook", read)
        (handins / "zed" / "a.ipynb").write_bytes(b"zed")
    else:
        made = {"lzma": _damaged_lzma, "nameless": _nameless, "large": _large_books}[kind]()
        (handins / "zed" / "a.zip").write_bytes(made)
    assert assess_command([str(handins), "--out", str(tmp_path / "out")]) == 0
    rows = marks_of(tmp_path / "out")
    assert {r["student"]: r["mark"] for r in rows if r["exercise"]} == {"ada": "8", "zoe": "8"}
    assert any(r["student"] == "zed" and r["notes"] for r in rows)


@pytest.mark.slow
def test_all_that_is_hostile_at_once_loses_nobody(tmp_path):
    """In its true size, beside two honest learners; the memory of all processes stays that of a class."""
    handins = tmp_path / "in"
    for n in range(1, 7):
        (handins / f"zed{n}").mkdir(parents=True)
    for who in ("ada", "zoe"):
        (handins / f"{who}.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft(who))))
    for n, data in ((1, _damaged_lzma()), (2, _nameless()), (3, _large_books(40))):
        (handins / f"zed{n}" / "a.zip").write_bytes(data)
    for n in range(5001):
        (handins / "zed4" / f"{n}.ipynb").touch()
    others = ("page.html", "packed.rar", "twice.ipynb (1)", "note.txt")
    for name in others:
        (handins / "zed5" / name).write_bytes(b"{}")
    inner = hostile._zipped({"b.ipynb": hostile.text(hostile.notebook(hostile.draft("zed6")))})
    (handins / "zed6" / "a.zip").write_bytes(hostile._zipped({"inner.zip": inner}))
    (handins / "zed7").mkdir()
    line = [sys.executable, "-m", "patternlib", "assess", str(handins), "--out", str(tmp_path / "out")]
    ran = subprocess.run(line, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    rows = marks_of(tmp_path / "out")
    marks = {r["student"]: r["mark"] for r in rows if r["exercise"]}
    assert marks == {"ada": "8", "zoe": "8", "zed6": "8"}
    assert {f"zed{n}" for n in (1, 2, 3, 4, 5, 7)} <= {r["student"] for r in rows if r["notes"]}
    came_in = (tmp_path / "out" / "came-in.csv").read_text(encoding="utf-8-sig")
    assert all(f"zed5/{name}" in came_in for name in others) and "zed7" in came_in
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    assert peak < 700_000, f"{peak} kB"  # forty such notebooks alone have 576 MB


def test_no_code_is_kept_where_none_is_run(tmp_path):
    (tmp_path / "a.zip").write_bytes(_large_books())
    books, _, _ = class_marking.gather(open_all(tmp_path))
    assert len(books) == 4 and all(book.cells == () and book.handin.data is None for book in books)
    books, _, _ = class_marking.gather(open_all(tmp_path), with_code=True)
    assert all(sum(map(len, book.cells)) < 1000 for book in books)


def test_a_folders_limit_is_its_own(tmp_path, monkeypatch):
    """In a zip as well: the hostile folder is cut short, the next one is read."""
    monkeypatch.setattr(files, "MOST_ENTRIES", (100, 10, 10))
    with zipfile.ZipFile(tmp_path / "class.zip", "w") as archive:
        for i in range(60):
            archive.writestr(f"ada/{i:03}.ipynb", "{}")
        archive.writestr("ben/1.ipynb", "{}")
    found = list(open_all(tmp_path / "class.zip"))
    assert sum(h.data is not None for h in found) == 11
    assert [h.problem for h in found if h.problem] == [
        "More than 10 files lie in here; the rest was not opened."
    ]
    monkeypatch.setattr(files, "MOST_BYTES", (100, 3, 3))
    assert sum(h.data is not None for h in open_all(tmp_path / "class.zip")) == 2


def test_zips_inside_one_another_end(tmp_path):
    data = hostile.text(hostile.notebook(hostile.draft("ada")))
    for i in range(zips.DEEPEST_ZIP + 1):
        data = hostile._zipped({f"{i}.zip" if i else "ada.ipynb": data})
    (tmp_path / "deep.zip").write_bytes(data)
    (one,) = open_all(tmp_path / "deep.zip")
    assert "inside one another" in one.problem


def test_a_student_has_a_share_of_the_judging(monkeypatch):
    """Records that hang cost their own student's, and are not stored."""
    from concurrent.futures import ThreadPoolExecutor

    def judge(job):
        if job.numbers == "slow":
            return Judged(problem="longer than", settled=False)
        return Judged(verdict={"mark": 1.0, "out_of": 1.0, "lines": []})

    monkeypatch.setattr(class_marking, "judge_apart", judge)
    answers = []
    for who in ("slow", "good"):
        for i, exercise in enumerate(list(exercises())[:8]):
            record = hostile.draft(who, exercise)
            handin = files.HandIn(f"{who}{i}", (who,), None)
            made = class_marking.answers_in(handin, [hostile.text(record)])[0][0]
            made.student = made.numbers = who
            answers.append(made)
    known: dict[str, Judged] = {}
    with ThreadPoolExecutor(2) as pool:
        class_marking.judge_all(answers, pool, how=class_marking.How(), known=known, told=lambda *_: None)
    assert len(known) == 8 and all(j.settled for j in known.values())
    problems = [a.judged.problem for a in answers if a.student == "slow"]
    assert sum("could not be judged in time" in p for p in problems) == 5
    assert all(a.judged.verdict for a in answers if a.student == "good")

"""Opening hand-ins: folders and zips are read, everything else gets a sentence, nothing is followed."""

from __future__ import annotations

import io
import json
import os
import sys
import zipfile

import pytest

from patternlib import errors
from patternlib.assess.hand_ins.files import Refused, read_file
from patternlib.assess.hand_ins.intake import open_all
from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.hand_ins.students import Entry, counting, owners
from patternlib.assess.safe_text import file_stem, for_cell, for_html, from_cell, one_line
from patternlib.assess.tasks.record import RecordError, read

sys.path.insert(0, os.path.dirname(__file__))
import hostile


def opened(folder) -> dict[str, tuple[str, bool]]:
    return {h.where: (h.names, h.data is not None) for h in open_all(folder) if not h.beside}


def test_loose_in_folders_and_zipped(tmp_path):
    """Three ways to hand in; the student's folder, or the file's name, says whose it is."""
    (tmp_path / "ada" / "week 2").mkdir(parents=True)
    (tmp_path / "ada" / "week 2" / "skirt.ipynb").write_bytes(b"{}")
    (tmp_path / "ada" / ".ipynb_checkpoints").mkdir()
    (tmp_path / "ada" / ".ipynb_checkpoints" / "skirt.ipynb").write_bytes(b"{}")
    (tmp_path / "ben.ipynb").write_bytes(b"{}")
    (tmp_path / "notes.txt").write_bytes(b"x")
    with zipfile.ZipFile(tmp_path / "carl.zip", "w") as archive:
        archive.writestr("a.ipynb", "{}")
        archive.writestr("__MACOSX/a.ipynb", "x")
    assert opened(tmp_path) == {
        "ada/week 2/skirt.ipynb": (("ada", "week 2", "skirt"), True),
        "ben.ipynb": (("ben",), True),
        "carl.zip: a.ipynb": (("carl", "a"), True),
    }


def test_a_class_in_one_zip(tmp_path):
    with zipfile.ZipFile(tmp_path / "class.zip", "w") as archive:
        archive.writestr("hand-ins/ada/a.ipynb", "{}")
        archive.writestr("hand-ins/ben/b.ipynb", "{}")
    assert [h.names[1] for h in open_all(tmp_path / "class.zip")] == ["ada", "ben"]
    with zipfile.ZipFile(tmp_path / "loose.zip", "w") as archive:
        archive.writestr("ada.ipynb", "{}")
    assert [h.place for h in open_all(tmp_path / "loose.zip")] == ["ada"]


@pytest.mark.parametrize("name", ["nowhere", "file.txt"])
def test_nothing_to_open(tmp_path, name):
    (tmp_path / "file.txt").write_text("x")
    with pytest.raises(errors.PatternError, match=name):
        list(open_all(tmp_path / name))


@pytest.mark.parametrize("name", hostile.files())
def test_broken_files_get_a_sentence(tmp_path, name):
    """Whatever is wrong is said when it is opened, read as a notebook, or read as a record."""
    from patternlib.assess.marking import class_marking

    data, words = hostile.files()[name]
    (tmp_path / name).write_bytes(data)
    books, unread, _ = class_marking.gather(open_all(tmp_path))
    answers, silent = class_marking.answers_of(books, [None] * len(books))
    told = " ".join(u.why for u in unread + silent)
    if name == "unknown-exercise.ipynb":  # only the judge knows the exercises
        assert [a.record.exercise for a in answers] == ["99z"]
    else:
        assert not answers and told and words in told
        assert "Traceback" not in told and len(told) < 800


def test_links_pipes_and_devices_are_not_opened(tmp_path):
    (tmp_path / "real.ipynb").write_bytes(b"secret")
    (tmp_path / "in").mkdir()
    os.symlink(tmp_path / "real.ipynb", tmp_path / "in" / "a.ipynb")
    os.symlink("/dev/zero", tmp_path / "in" / "b.ipynb")
    os.symlink(tmp_path, tmp_path / "in" / "c")
    os.mkfifo(tmp_path / "in" / "d.ipynb")
    with open(tmp_path / "in" / "e.ipynb", "wb") as file:
        file.truncate(4_000_000_000)
    handins = list(open_all(tmp_path / "in"))
    assert len(handins) == 5 and all(h.data is None and h.problem for h in handins)
    with pytest.raises(Refused, match="link"):
        read_file(tmp_path / "in" / "a.ipynb")


def test_names_in_no_encoding(tmp_path):
    with open(os.path.join(os.fsencode(tmp_path), b"na\xefve.ipynb"), "wb") as file:
        file.write(b"{}")
    (handin,) = open_all(tmp_path)
    assert handin.data == b"{}" and (handin.where, handin.place) == ("na ve.ipynb", "na ve")


def test_a_file_that_grows_while_it_is_read(tmp_path, monkeypatch):
    path = tmp_path / "a.ipynb"
    path.write_bytes(b"x" * 50)
    monkeypatch.setattr("patternlib.assess.hand_ins.files._regular", lambda facts, largest: None)
    with pytest.raises(Refused, match="grew"):
        read_file(path, 20)


def test_a_zip_with_a_long_list_is_not_opened(tmp_path):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for i in range(20_001):
            archive.writestr(f"{i}.ipynb", "")
    (tmp_path / "many.zip").write_bytes(out.getvalue())
    (handin,) = open_all(tmp_path)
    assert "lists more than" in handin.problem


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le-bom", "cp1252"])
def test_letters_of_other_systems(encoding):
    text = json.dumps(
        {"nbformat": 4, "cells": [{"cell_type": "code", "source": ["ärmel\n", "x"]}]}, ensure_ascii=False
    )
    data = b"\xff\xfe" + text.encode("utf-16-le") if encoding == "utf-16-le-bom" else text.encode(encoding)
    assert read_notebook(data).cells == ("ärmel\nx",)


def test_only_records_are_taken_from_outputs():
    record = hostile.draft("ada")
    data = hostile.notebook(record, {"mark": 100})
    data["cells"][1]["outputs"].append({"output_type": "stream", "name": "stdout", "text": "mark: 100"})
    records = read_notebook(hostile.text(data)).records
    assert [json.loads(r) for r in records] == [record, {"mark": 100}]


def test_texts_made_safe():
    """No control or direction marks; in a page no tags; in a table no formula; in a file name no paths."""
    rude = "=cmd|'/C calc'!A0\x1b[2J\u202e<script>\x00"
    assert not set(one_line(rude)) & set("\x1b\u202e\x00\n")
    assert "<" not in for_html(rude) and '"' not in for_html('a"b')
    for text in ("=1+1", "+1+1", "-1+1", "@x", "\t=1", "\r=1", "|x", " =1"):
        assert for_cell(text)[0] == "'" and from_cell(for_cell(text)) == one_line(text)
    for text in ("12", "-3.5", "Ada", "7 of 8", "o'clock", "'tis"):
        assert for_cell(text) == text and from_cell(text) == text
    assert {file_stem(n) for n in ("../../x", "..", "con", "a/b", "\u202e")} == {
        "x",
        "student",
        "con-",
        "a-b",
    }


def test_whose_is_it():
    """A claim holds only where the place holds it too; nobody takes another's id."""
    claims = {"ada": "ada", "ben": "ada", "x7 carl skirt": "Carl", "drawing": "dora", "e": "", "f": "g"}
    claims["h"] = "g"
    given = dict(zip(claims, owners([((p,), c) for p, c in claims.items()]), strict=True))
    assert {p: (o.student, o.numbers) for p, o in given.items()} == {
        "ada": ("ada", "ada"), "ben": ("ben", "ben"), "x7 carl skirt": ("Carl", "Carl"),
        "drawing": ("dora", "dora"), "e": ("e", "e"), "f": ("f", "g"), "h": ("h", "g"),
    }  # fmt: skip
    assert "another student" in given["ben"].note and "Several" in given["f"].note
    assert not given["ada"].note and "named otherwise" in given["drawing"].note
    names = [(("Lovelace",), "s1"), (("Hopper",), "s2"), (("Noether",), "s3")]
    assert [o.student for o in owners(names)] == ["s1", "s2", "s3"] and all(o.assumed for o in owners(names))


def test_which_of_two_counts():
    best = [Entry("ada", 3, "x"), Entry("ada", 7, "y")]
    assert counting("ada", best)[0] == 1 and "best" in counting("ada", best)[1]
    other = [Entry("ada", 3, "x"), Entry("eve ada", 8, "y")]
    assert counting("ada", other)[0] == 0
    open_case = [Entry("ada left", 3, "x"), Entry("ada right", 8, "y")]
    assert counting("ada", open_case)[0] is None and "choose" in counting("ada", open_case)[1]


@pytest.mark.parametrize("limit", [300, 20_000])
def test_deep_files_get_the_same_sentence_whatever_the_process_allows(limit, monkeypatch):
    """How far Python may go down differs from one process to the next; what a file is told must not."""
    deep = b"[" * 2000 + b"]" * 2000
    book = hostile.text(hostile.notebook(hostile.draft("ada")))
    before = sys.getrecursionlimit()
    sys.setrecursionlimit(max(limit, _frames() + 120))
    try:
        with pytest.raises(Refused, match="nested too deeply"):
            read_notebook(b'{"nbformat": 4, "metadata": ' + deep + b', "cells": []}')
        with pytest.raises(RecordError, match="nested too deeply"):
            read(b'{"format": ' + deep + b"}")
        assert read_notebook(book).records
    finally:
        sys.setrecursionlimit(before)


def _frames() -> int:
    """How many calls lie round this one."""
    frame, count = sys._getframe(), 0
    while frame:
        frame, count = frame.f_back, count + 1
    return count

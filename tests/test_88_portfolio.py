"""A learner's portfolio: accepted drafts only, true measures, one page that loads and runs nothing."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from patternlib.__main__ import main
from patternlib.assess import MIME, exercises, numbers_for


def record(id: str, student: str, off: str = "") -> dict:
    """The rule's own draft as a hand-in; off: a point that lies 5 cm wrong."""
    work, of = exercises()[id], numbers_for(student)
    draft = work.reference(of)
    pieces = work.finish(draft, of) if work.finish else ()
    made = work.record(of, draft, student=student, pieces=pieces)
    if off:
        made["points"][off][0] += 5
    return made


def notebook(path: Path, *records: dict, source: str = "check(sheet)") -> None:
    outputs = [{"output_type": "display_data", "data": {MIME: r}, "metadata": {}} for r in records]
    cell = {"cell_type": "code", "source": source, "outputs": outputs, "metadata": {}, "execution_count": 1}
    path.write_text(
        json.dumps({"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [cell]}), "utf-8"
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    base = tmp_path_factory.mktemp("folio")
    (base / "work").mkdir()
    trap = f"open({str(base / 'ran')!r}, 'w')"
    notebook(base / "work" / "02.ipynb", record("02a", "lena"), record("12b", "lena"), source=trap)
    notebook(base / "work" / "06.ipynb", record("06a", "lena", off="bib corner"), record("10a", "lena"))
    notebook(base / "work" / "empty.ipynb")
    out = base / "folio.html"
    assert main(["portfolio", str(base / "work"), "--out", str(out)]) == 0
    return base, out.read_text(encoding="utf-8")


def test_only_what_is_right_is_in_it(made):
    base, html = made
    assert re.findall(r'<h2 id="(\w+)">', html) == ["02a", "10a", "12b"]
    assert "Begun, not yet right: 06a." in html
    assert not (base / "ran").exists()


def test_the_measures_are_those_handed_in(made):
    """A quarter of the hip and of the ease, from the student's own numbers."""
    of = numbers_for("lena")
    quarter = (of.body.hip_girth + of.style["hip_ease"]) / 4
    assert f"<td>side hip</td><td>{quarter:.1f} right, {of.body.waist_to_hip:.1f} down</td>" in made[1]
    assert "pattern-screen" in made[1].split('id="02a"')[1].split("<h2")[0]


def test_the_page_is_whole_in_itself(made):
    html = made[1]
    assert "Content-Security-Policy" in html and "<script" not in html
    assert set(re.findall(r'(?:src|href)="([^"]*)"', html)) == {"#02a", "#10a", "#12b"}
    ids = re.findall(r'\bid="([^"]*)"', html)
    assert len(ids) == len(set(ids))
    for pair in re.findall(r'aria-labelledby="([^"]*)"', html):
        assert set(pair.split()) <= set(ids)


def test_names_of_strangers_are_escaped(tmp_path):
    who = "<img src=x onerror=alert(1)>"
    notebook(tmp_path / "a.ipynb", record("02a", who))
    assert main(["portfolio", str(tmp_path), "--out", str(tmp_path / "p.html")]) == 0
    html = (tmp_path / "p.html").read_text(encoding="utf-8")
    assert "<img" not in html and "&lt;img" in html


def test_several_students_are_not_mixed(tmp_path, capsys):
    notebook(tmp_path / "a.ipynb", record("02a", "lena"))
    notebook(tmp_path / "b.ipynb", record("02a", "mira"))
    assert main(["portfolio", str(tmp_path), "--out", str(tmp_path / "p.html")]) == 2
    said = capsys.readouterr().err
    assert "lena, mira" in said and said.count("\n") == 1 and not (tmp_path / "p.html").exists()
    assert main(["portfolio", str(tmp_path), "--student", "mira", "--out", str(tmp_path / "p.html")]) == 0
    assert "Portfolio of mira" in (tmp_path / "p.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("folder", ["no such folder", "."])
def test_nothing_to_show_is_one_sentence(folder, tmp_path, capsys):
    assert main(["portfolio", str(tmp_path / folder), "--out", str(tmp_path / "p.html")]) == 2
    assert capsys.readouterr().err.count("\n") == 1

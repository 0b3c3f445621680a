"""Criteria in words of a teacher's own exercise: read, shown to learners, waiting for levels, then counted.

- What is missing or wrong in them is a sentence that says what to do.
- Three learners hand in by table, code and paper; the criteria wait, take levels, and come out on every page.
- A level that the criterion has not is not used; a renamed criterion is not counted twice.
"""

from __future__ import annotations

import csv
import json
import os
import sys
from pathlib import Path

import msgspec
import pytest

from patternlib.assess.learner.typed import read_typed, record_of
from patternlib.assess.own.notebooks import learners_book
from patternlib.assess.own.own_file import as_exercise, read_own_file
from patternlib.assess.own.rehearsal import rehearse
from patternlib.assess.table.laying import lay
from patternlib.assess.tasks.catalogue import with_exercise
from tests.form_tools import filled
from tests.own_course import command

sys.path.insert(0, os.path.dirname(__file__))
import hostile

PLEAT = """title = "A pleat in the skirt"
lesson = 2
task = "Draw a pleat at centre front."
paper = "skirt block"
hints = ["Begin at the hip.", "Then the hem.", "It is an eighth of the hip."]
steps = [
  "From centre front hip go right hip girth / 8: mark pleat at hip",
  "From centre front hem go right hip girth / 8 + 1 cm: mark pleat at hem",
]
"""
LINES = """
[criteria."Neatness of lines"]
"Each line is drawn once" = 2
"Lines are missing or drawn twice" = 0
"All lines are there, *some* twice" = 1
"""
WORDS = """
[criteria."Words on the paper"]
"No name" = 0
"Name and size, level with the grain" = 2.5
"""


def read(folder: Path, text: str):
    path = folder / "02p.toml"
    path.write_text(text, encoding="utf-8")
    return read_own_file(path)


def test_criteria_are_read_with_the_fewest_marks_first(tmp_path):
    found = read(tmp_path, PLEAT + LINES + WORDS)
    assert not found.faults and not found.lacking
    lines, words = as_exercise(found).in_words
    assert [(level.words, level.marks) for level in lines.levels] == [
        ("Lines are missing or drawn twice", 0),
        ("All lines are there, *some* twice", 1),
        ("Each line is drawn once", 2),
    ]
    assert words.most == 2.5
    assert words.said(2) == "No name" and words.said(2.5).startswith("Name and size")


FAULTS = {
    "words alone": ("criteria = 3\n" + PLEAT, "criteria: write a heading for each"),
    "a list": (PLEAT + '[criteria]\n"Neatness" = ["poor", "good"]\n', "'Neatness': below its heading"),
    "a number": (PLEAT + '[criteria]\n"Neatness" = 3\n', "'Neatness': below its heading"),
    "marks in quotes": (PLEAT + LINES.replace("= 1", '= "1"'), "'All lines are there, *some* twice' needs"),
    "marks under 0": (PLEAT + LINES.replace("= 1", "= -1"), "a number from 0 to 100"),
    "marks that are none": (PLEAT + LINES.replace("= 1", "= nan"), "a number from 0 to 100"),
    "the same marks": (PLEAT + LINES.replace("= 1", "= 2"), "two levels are worth the same, 2"),
    "a level without words": (PLEAT + LINES + '"  " = 3\n', "a level has no words"),
    "a long level": (PLEAT + LINES + f'"{"a" * 301}" = 3\n', "is longer than 300 letters"),
    "many levels": (PLEAT + LINES + "".join(f'"l{n}" = {n}\n' for n in range(3, 9)), "8 is the most"),
    "a long name": (PLEAT + LINES.replace("lines", "l" * 60), "is longer than 50 letters"),
    "a name of signs": (PLEAT + LINES.replace("of lines", "| lines"), "a sign that a table cannot show"),
    "no name": (PLEAT + LINES.replace("Neatness of lines", " "), "it has no name"),
    "twice": (PLEAT + LINES + LINES.replace("Neatness", "neatness"), "there are two of this name"),
    "the very same": (PLEAT + LINES + LINES, "A line cannot be read"),
    "many": (PLEAT + "".join(LINES.replace("lines", f"lines {n}") for n in range(13)), "12 is the most"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_what_is_wrong_with_a_criterion_is_a_sentence(tmp_path, fault):
    text, words = FAULTS[fault]
    found = read(tmp_path, text)
    assert any(words in said for said in found.faults), found.faults
    with pytest.raises(Exception, match=r"02p\.toml"):
        as_exercise(found)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[criteria."Neatness"]\n', "has no levels yet"),
        ('[criteria."Neatness"]\n"neat" = 2\n', "has one level only"),
        ('[criteria."Neatness"]\n"neat" = 0\n"rough" = 0.0\n', "two levels are worth the same"),
        ('[criteria."Neatness"]\n"neat" = 0\n', "has one level only"),
    ],
)
def test_what_is_missing_in_a_criterion_is_a_sentence(tmp_path, text, words):
    found = read(tmp_path, PLEAT + text)
    assert any(words in said for said in (*found.faults, *found.lacking))


def test_a_criterion_without_a_level_of_nothing_is_advised(tmp_path):
    found = read(tmp_path, PLEAT + LINES.replace("= 0", "= 0.5"))
    done = rehearse(found, as_exercise(found), 4)
    assert not done.faults and any("no level has 0 marks" in text for text in done.advice)


def test_learners_read_the_levels_in_their_task(tmp_path):
    work = as_exercise(read(tmp_path, PLEAT + LINES))
    task = next(c for c in json.loads(learners_book(work))["cells"] if c["id"] == "02p-task")["source"]
    assert "- **Neatness of lines**\n    - 0 marks: Lines are missing" in task
    assert "1 mark: All lines are there, \\*some\\* twice" in task


# -- a class


def hand_in(base: Path, who: str, way: str, *, off: float = 0.0) -> None:
    """One learner's notebook; off: cm that the pleat at the hip lies too far right."""
    found = read_own_file(base / "own_exercises" / "02p.toml")
    work = as_exercise(found)
    of = work.own_numbers(who, "loom")
    with with_exercise(work):
        if way == "table":
            record = work.record(of, lay(work, of, found.steps).values, student=who, way="table")
            record["steps"] = msgspec.to_builtins(found.steps)
        elif way == "paper":
            typed = filled(work, of)
            record = record_of(work, read_typed(work, typed), student=who, key="loom") | {"typed": typed}
        else:
            record = work.record(of, work.reference(of), student=who)
    x, y = record["points"]["pleat at hip"]
    record["points"]["pleat at hip"] = [x + off, y]
    (base / "handins" / f"{who}.ipynb").write_bytes(hostile.text(hostile.notebook(record)))


def marked(base: Path) -> tuple[dict, dict, str]:
    """Mark the class; its rows by student and exercise, its mark sheet by student, and what was said."""
    done = command(base, "assess", "handins", "--out", "marks", "--key", "loom", "--workers", "2")
    assert done.returncode == 0, done.stderr
    with open(base / "marks" / "marks.csv", encoding="utf-8-sig", newline="") as file:
        rows = {(r["student"], r["exercise"]): r for r in csv.DictReader(file)}
    with open(base / "marks" / "mark-sheet.csv", encoding="utf-8-sig", newline="") as file:
        sheet = {r["student"]: r for r in csv.DictReader(file)}
    del sheet["out of"]
    return rows, sheet, done.stdout


def give(base: Path, *lines: str) -> None:
    """The instructor's own levels, as own-remarks.csv has them."""
    heads = "student,exercise,own mark,own remark\r\n"
    (base / "marks" / "own-remarks.csv").write_text(heads + "\r\n".join(lines), encoding="utf-8")


def test_levels_wait_are_given_and_come_out_on_every_page(tmp_path):
    for folder in ("own_exercises", "handins", "exercises"):
        (tmp_path / folder).mkdir()
    read(tmp_path / "own_exercises", PLEAT + LINES + WORDS)
    for who, way in (("s01", "table"), ("s02", "code"), ("s03", "paper")):
        hand_in(tmp_path, who, way)
    rows, sheet, said = marked(tmp_path)
    assert [rows[f"s0{n}", "02p"]["mark"] for n in (1, 2, 3)] == ["2", "2", "2"]
    assert rows["s03", "02p Words on the paper"]["state"] == "waits for your level"
    assert "6 criteria in words wait for your levels: print criteria.html" in said
    assert {r["02p"] for r in sheet.values()} == {"waits"} and sheet["s01"]["out of"] == "6.5"
    form = (tmp_path / "marks" / "criteria.html").read_text(encoding="utf-8")
    assert "2.5: Name and size" in form and form.count("☐&nbsp;1") == 3
    assert "criteria.html" in (tmp_path / "marks" / "class.html").read_text(encoding="utf-8")

    give(
        tmp_path,
        "s01,02p Neatness of lines,2,Thin and true.", 's01,02p Words on the paper,"2,5",',
        "s02,02p Neatness of lines,1.5,", "s02,02p Words on the paper,7,", "s03,02p Neatness of lines,ok,",
        "s04,02p Neatness of lines,1,handed in at the table",
    )  # fmt: skip
    rows, sheet, said = marked(tmp_path)
    assert {who: r["02p"] for who, r in sheet.items()} == {
        "s01": "6.5", "s02": "waits", "s03": "waits", "s04": "1",
    }  # fmt: skip
    assert "LOOK: 2 of your own marks were not used (s02 02p Words on the paper, s03" in said
    assert "no level here; they go from 0 to 2.5" in rows["s02", "02p Words on the paper"]["notes"]
    assert "none is proposed here" in rows["s03", "02p Neatness of lines"]["notes"]
    page = (tmp_path / "marks" / "students" / "s01.html").read_text(encoding="utf-8")
    assert "6.5 of 6.5 marks in 1 exercise." in page and "Thin and true." in page
    assert "<strong>2 of 2.</strong> Each line is drawn once" in page
    page = (tmp_path / "marks" / "students" / "s02.html").read_text(encoding="utf-8")
    assert "All lines are there, *some* twice" in page and "not given yet" in page
    assert "1 of 2." in (tmp_path / "marks" / "students" / "s04.html").read_text(encoding="utf-8")

    read(tmp_path / "own_exercises", PLEAT + LINES.replace("of lines", "of paper") + WORDS)
    hand_in(tmp_path, "s01", "code", off=3.0)
    rows, sheet, said = marked(tmp_path)
    assert sheet["s01"]["02p"] == "waits" and sheet["s01"]["total"] == "3.5"  # 1 for the draft, 2.5 for words
    assert "has no criterion 'Neatness of lines' now" in rows["s01", "02p Neatness of lines"]["notes"]
    assert "given to another draft" in rows["s01", "02p Words on the paper"]["notes"]
    assert "LOOK: 1 of your own marks were given to other drafts" in said

    read(tmp_path / "own_exercises", PLEAT)
    _, sheet, _ = marked(tmp_path)
    assert not (tmp_path / "marks" / "criteria.html").exists()
    assert sheet["s01"]["02p"] == "1" and sheet["s01"]["out of"] == "2"


# -- names


def test_an_exercise_of_no_lesson_is_refused_and_one_of_an_own_lesson_made(tmp_path):
    (tmp_path / "exercises").mkdir()
    (tmp_path / "lessons").mkdir()
    for name in ("00_start_here", "01_measuring", "04_darts", "23_hats"):
        (tmp_path / "lessons" / f"{name}.ipynb").write_text("{}", encoding="utf-8")
    done = command(tmp_path, "exercise", "99z")
    assert done.returncode == 2 and not (tmp_path / "own_exercises").exists()
    assert "There is no lesson 99; there are 00 to 01, 04, 23." in done.stderr
    assert command(tmp_path, "exercise", "23p").returncode == 1
    assert (tmp_path / "own_exercises" / "23p.toml").exists()
    (tmp_path / "own_exercises" / "23p.toml").rename(tmp_path / "own_exercises" / "30p.toml")
    done = command(tmp_path, "exercise", "30p")  # one that exists is worked on, whatever lies beside it
    assert done.returncode == 1 and "There is no lesson" not in done.stderr

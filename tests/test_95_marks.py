"""The table of marks and the pages: an instructor's own words stay, and nothing in a page can act."""

from __future__ import annotations

import csv
import io
import os
import re
import sys
from html.parser import HTMLParser

import pytest

from patternlib.assess.hand_ins.files import HandIn
from patternlib.assess.hand_ins.register import Due, Register, Student
from patternlib.assess.marking import class_marking
from patternlib.assess.marking.class_page import page_of_class
from patternlib.assess.marking.evidence import Answer
from patternlib.assess.marking.mark_sheet import sheet_lines
from patternlib.assess.marking.marks import COLUMNS, Row, keep, missing, own_table, table
from patternlib.assess.marking.outcome import State, write
from patternlib.assess.marking.pages import student_page, student_part
from patternlib.assess.marking.teaching.cards import taught
from patternlib.assess.marking.teaching.causes import troubles
from patternlib.assess.sandbox.apart import judge_here
from patternlib.assess.sandbox.job import Job
from patternlib.assess.tasks.record import read
from patternlib.errors import PatternError

sys.path.insert(0, os.path.dirname(__file__))
import hostile


def class_html(work, titles, pages) -> str:
    """The page of a class whose notebooks were only read."""
    return page_of_class(work, taught(work), titles, pages, "read only")


def rows() -> list[Row]:
    return [
        Row("ada", "02a", 7.0, 8.0, "code", "judged", [], "ada.ipynb"),
        Row("ben", "02a", 5.0, 8.0, "code", "judged", [], "ben.ipynb"),
    ]


def written(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))


def _with_semicolons(text: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=";").writerows(written(text))
    return out.getvalue()


def test_own_marks_and_remarks_stay(tmp_path):
    """In marks.csv, also as a spreadsheet saves it in its own way; own-remarks.csv goes before it."""
    first = rows()
    first[0].own_mark, first[0].own_remark = "7,5", "=neat work; =better"
    for data in (
        table(first).encode(),
        _with_semicolons(table(first)).encode("cp1252"),
        table(first).removeprefix("\ufeff").encode("utf-16"),
    ):
        (tmp_path / "marks.csv").write_bytes(data)
        kept = keep(rows(), tmp_path)
        assert (kept[0].own_mark, kept[0].own_remark) == ("7,5", "=neat work; =better")
    (tmp_path / "marks.csv").write_text(table(first), encoding="utf-8", newline="")
    kept = keep(rows(), tmp_path)
    assert (kept[0].own_mark, kept[0].own_remark, kept[0].final) == ("7,5", "=neat work; =better", 7.5)
    (tmp_path / "own-remarks.csv").write_text(own_table() + "Ada,02a,8,from the file\r\nzoe,02a,3,ill\r\n")
    kept = keep(rows(), tmp_path)
    assert (kept[0].own_mark, kept[0].own_remark) == ("8", "from the file")
    assert (kept[-1].student, kept[-1].state, kept[-1].own_remark) == ("zoe", "no hand-in now", "ill")
    assert written(table(kept))[0] == list(COLUMNS)


@pytest.mark.parametrize("data", [b"what,ever\r\n1,2\r\n", b"\x00" * 10])
def test_a_table_that_may_hold_own_marks_is_never_passed_over(tmp_path, data):
    (tmp_path / "marks.csv").write_bytes(data)
    with pytest.raises(PatternError, match="own marks"):
        keep(rows(), tmp_path)


def test_no_cell_is_a_formula():
    row = Row("=1+1", "02a", 1.0, 2.0, notes=["@SUM(A1)"], file="+x", own_remark="-2+3")
    cells = written(table([row]))[1]
    assert not any(cell[:1] in "=+@-" for cell in cells if cell)


class _Page(HTMLParser):
    """Collects every tag and attribute of a page."""

    def __init__(self, text: str):
        super().__init__()
        self.tags, self.attributes = set(), []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes += attrs


def judged(record: dict, student: str) -> Answer:
    answer = Answer(HandIn("f.ipynb", (student,), None), read(record), "", student, student)
    answer.judged = judge_here(Job(hostile.text(record).decode(), student))
    answer.row = Row(
        student, "02a", answer.judged.verdict["mark"], answer.judged.verdict["out_of"], "code", "judged"
    )
    return answer


def test_a_page_has_nothing_that_acts():
    """No script, no outside link, no tag from a name; a policy that forbids the rest."""
    rude = '"><script>alert(1)</script><img src=//evil.example onerror=x>'
    record = hostile.draft("rude")
    record["points"][rude[:80]] = [3, 4]
    answer = judged(record, rude)
    answer.row.notes, answer.row.own_remark, answer.row.file = [rude], rude, rude
    page = _Page(student_page(rude, [answer.row], [answer], {"02a": rude}, [], ["03a"]))
    assert not page.tags & {"script", "img", "iframe", "link", "object", "base", "form", "a"}
    assert not [n for n, v in page.attributes if n.startswith("on") or n in ("src", "href")]
    assert any("default-src 'none'" in (v or "") for _, v in page.attributes)
    assert {"svg", "path", "circle"} & page.tags


def test_what_to_teach_again(tmp_path):
    """Nine of ten right and one step wrong for four: that step is named first, with its slip."""
    answers = []
    for i in range(10):
        record = hostile.draft(f"s{i}")
        work = hostile.exercises()["02a"]
        half = work.own_numbers(f"s{i}").body.hip_girth / 2
        if i < 4:  # the whole hip for its half
            x, y = record["points"]["side hip"]
            record["points"]["side hip"] = [x + half / 2, y]
        answers.append(judged(record, f"s{i}"))
    found = troubles(answers)
    assert found[0].step == "side hip" and found[0].count == 4 and found[0].drew == 10
    work = class_marking.Class(answers, [], [a.row for a in answers], [])
    page = class_html(work, {"02a": "The frame"}, {f"s{i}": f"students/s{i}.html" for i in range(10)})
    top = page[page.index("Teach again") : page.index("Where drafts went wrong")]
    assert "side hip" in top and "4 of 10" in top and "The frame" in top
    assert page.index("Teach again") < page.index("Spread of marks")


def test_what_is_left_for_the_teacher_is_named_at_the_top():
    """A link for each thing to do, to the place that lists it; nothing where nothing is left."""
    answer = judged(hostile.draft("ada"), "ada")
    work = class_marking.Class([answer], [], [answer.row], [])
    assert "What is left" not in class_html(work, {}, {})
    answer.row.late, answer.row.appeal = "3 days late", "I was ill."
    waits = Row("ben", "02a", judged=7.0, out_of=8.0, state="judged, waits for your word")
    work = class_marking.Class([answer], [], [answer.row, waits], [])
    page = class_html(work, {}, {})
    top, rest = page.split("What is left for you")[1].split("</div>", 1)
    assert re.findall('href="#([a-z]+)"', top) == ["waiting", "late", "appeals"]
    assert all(rest.count(f'id="{id}"') == 1 for id in ("waiting", "late", "appeals"))
    assert "3 days late" in rest
    other = Row("ben", "02a", 8.0, 8.0, judged=8.0, state="judged")  # a better attempt, which counts
    work = class_marking.Class([answer], [], [answer.row, waits, other], [])
    assert 'id="waiting"' not in class_html(work, {}, {})


def test_work_that_was_not_read_stands_last_on_the_page():
    rows = [Row("ada", "", state="not read", file="toile.jpg"), Row("ada", "02a", 8.0, 8.0, file="a.ipynb")]
    part = student_part("ada", rows, [], {"02a": "The frame"})
    assert part.index("The frame") < part.index("toile.jpg") and part.count("toile.jpg") == 1
    assert "in 1 exercise." in part


def test_many_files_that_were_not_read_fill_no_page(tmp_path):
    """A folder of a thousand empty files: ten are named, the others counted, on both pages."""
    handins = [HandIn(f"{n}.ipynb", (f"{n}",), None, "This file is empty.") for n in range(1000)]
    unread = [class_marking.Unread(one, "This file is empty.", "zed") for one in handins]
    rows = [Row("zed", "", state="not read", file=u.where, notes=[u.why]) for u in unread]
    page = class_html(class_marking.Class([], unread, rows, []), {}, {})
    assert page.count("This file is empty.") == 10 and "and 990 more" in page
    part = student_part("zed", rows, [], {})
    assert part.count("This file is empty.") == 10 and "And 990 more files" in part


def test_what_one_learner_hands_in_makes_no_work_for_others():
    """One of forty does an exercise that was not set: no other lacks it. All lack what has a day."""
    register = Register({f"s{n}": Student(f"s{n}") for n in range(40)}, (Due("02a", "2026-03-02"),))
    rows = [Row(f"s{n}", "02a", 8.0, 8.0, judged=8.0) for n in range(3)]
    rows += [Row(f"s{n}", "03a", 9.0, 13.0, judged=9.0) for n in range(20)]
    rows += [Row("s0", "10b", 3.0, 12.0, judged=3.0), Row("s0", "99z", state="not judged")]
    found = missing(rows, register, register.students)
    assert {e: len(who) for e, who in found.items() if who} == {"02a": 37, "03a": 20}
    heads, most, first, *_, last = sheet_lines(rows, register, group="", names=False)
    assert "99z" not in heads
    assert dict(zip(heads, most, strict=True))["out of"] == "21"
    assert dict(zip(heads, first, strict=True)) | {"group": ""} == {
        "student": "s0", "group": "", "02a": "8", "03a": "9", "10b": "3", "total": "20", "out of": "33",
        "missing": "0", "waits": "0",
    }  # fmt: skip
    assert dict(zip(heads, last, strict=True))["10b"] == "" and last[heads.index("out of")] == "21"


def test_written_whole_or_not_at_all(tmp_path, monkeypatch):
    """Where writing fails half way, the former run stays, and nothing is left lying about."""
    answer = judged(hostile.draft("ada"), "ada")
    work = class_marking.Class([answer], [], [answer.row], [])
    write(tmp_path, work, {}, "read only", State())
    before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    assert {p.name for p in before} == {
        "marks.csv",
        "class.html",
        "ada.html",
        "judged.json",
        "own-remarks.csv",
        "mark-sheet.csv",
        "mark-sheet-semicolons.csv",
        "came-in.csv",
        "all-students.html",
    }
    answer.row.mark = 1.0
    monkeypatch.setattr("patternlib.assess.marking.outcome.table", lambda rows, **_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        write(tmp_path, work, {}, "read only", State())
    monkeypatch.setattr("patternlib.assess.marking.outcome.table", lambda rows, **_: "\ud800")
    with pytest.raises(UnicodeError):
        write(tmp_path, work, {}, "read only", State())
    assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before


def test_students_with_like_names_have_their_own_pages(tmp_path):
    rows = [Row(n, "02a", file=f"{i}") for i, n in enumerate(("a b", "a-b.", "con", "../x", "é", "??", "!!"))]
    write(tmp_path, class_marking.Class([], [], rows, []), {}, "", State())
    assert len(list((tmp_path / "students").iterdir())) == 6  # 'a b' and 'a-b.' are one student's names


@pytest.mark.parametrize(
    ("shares", "median"),
    [((10, 90, 40), 40), ((100, 50, 60, 80), 70), ((30,), 30), ((0, 100), 50)],
)
def test_the_median_of_a_class(shares, median):
    """The middle value, or the mean of the two middle ones [NIST/SEMATECH e-Handbook of Statistical Methods,
    1.3.5.1, Measures of location]."""
    rows = [Row(f"s{i}", "02a", share / 10, 10.0, "code", "judged") for i, share in enumerate(shares)]
    page = class_html(class_marking.Class([], [], rows, []), {}, {row.student: "x.html" for row in rows})
    assert f"median {median} %" in page

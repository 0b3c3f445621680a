"""A class over a term: whose each hand-in is, attempts, time, and what the pages say."""

from __future__ import annotations

import csv
import io
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from patternlib.assess.hand_ins.register import read_due, read_register
from patternlib.assess.hand_ins.students import Entry, counting, owners
from patternlib.assess.judging.rubric import load_rubric
from patternlib.assess.marking.command import assess_command
from patternlib.assess.marking.marks import as_csv
from patternlib.assess.marking.teaching import cards
from patternlib.assess.marking.teaching.causes import Cause
from patternlib.assess.marking.teaching.words import in_the_solution, said_of, sayings
from patternlib.assess.tasks.catalogue import exercises
from patternlib.errors import PatternError

sys.path.insert(0, os.path.dirname(__file__))
import hostile
import messy_class
from test_96_class_run import table as marks_of


@pytest.fixture(scope="module")
def term(tmp_path_factory):
    """Forty students, four weeks, marked once by the guide's command."""
    base = tmp_path_factory.mktemp("term")
    messy_class.write_class(base, projects=0)
    assert assess_command(command(base, base / "marks")) == 0
    return base


def command(base: Path, out: Path, *more: str) -> list[str]:
    tables = ["--register", str(base / "class.csv"), "--due", str(base / "due.csv")]
    return [str(base / "handins"), "--out", str(out), *tables, *more]


def sheet(out: Path, name: str = "mark-sheet.csv", **how) -> dict[str, dict]:
    with open(out / name, encoding="utf-8-sig", newline="") as file:
        lines = list(csv.DictReader(file, **how))
    assert lines[0]["student"] == "out of"  # how many marks each exercise has
    return {r["student"]: r for r in lines[1:]}


def test_everyone_is_themselves(term):
    """Week folders, a zip in a zip and folders of the school's system: forty students, by their ids."""
    found = sheet(term / "marks")
    assert list(found) == list(messy_class.STUDENTS)
    handed_in = Counter(r["student"] for r in marks_of(term / "marks") if r["exercise"])
    assert set(handed_in) - set(messy_class.STUDENTS) == {"Learner35 Potter"}  # two names: asked
    for who in messy_class.STUDENTS:
        missing = 2 * sum(who in names for names in messy_class.MISSING.values())
        assert found[who]["missing"] == str(missing + 2 * (who == "s16")), who  # not begun
    assert found["s11"]["total"] == found["s11"]["out of"]  # of group A, by its own key
    assert found["s08"]["02b"] not in ("", "missing")  # handed in as a zip inside the zip


def test_the_mark_sheet_says_how_many_marks_each_exercise_has(term):
    """In a line under the headings, as the marks of everyone in marks.csv say it."""
    with open(term / "marks" / "mark-sheet.csv", encoding="utf-8-sig", newline="") as file:
        line = next(csv.DictReader(file))
    most = {r["exercise"]: r["out of"] for r in marks_of(term / "marks") if r["out of"]}
    assert {e: line[e] for e in most} == most and len(most) > 7
    assert line["total"] == line["out of"] == str(sum(map(int, most.values())))
    assert {line[c] for c in ("group", "missing", "waits")} == {""}


def test_all_attempts_are_kept_and_one_counts(term):
    rows = [r for r in marks_of(term / "marks") if (r["student"], r["exercise"]) == ("s29", "02a")]
    assert [(r["attempt"], r["mark"]) for r in rows] == [("2 of 2", "8"), ("1 of 2", "")]
    assert rows[1]["proposed"] == "7"


def test_late_by_the_schools_own_time(term):
    """Two were three days late: one was on leave when it was due, and has as many days after it."""
    late = {(r["student"], r["exercise"]): r["late"] for r in marks_of(term / "marks") if r["attempt"] != ""}
    late |= {(r["student"], r["exercise"]): r["late"] for r in marks_of(term / "marks") if not r["attempt"]}
    assert late["s05", "02b"] == "on time" and late["s06", "02b"] == "3 days late"
    second = [
        r for r in marks_of(term / "marks") if r["student"] in ("s03", "s10") and r["attempt"] == "2 of 2"
    ]
    assert {r["student"]: r["late"] for r in second} == {"s03": "1 day late", "s10": "3 days late"}


def test_two_names_are_asked_and_nothing_counts(term):
    asked = [r for r in marks_of(term / "marks") if r["student"] == "Learner35 Potter"]
    assert len(asked) == 2 and not any(r["mark"] for r in asked)
    assert "'s35' and 's36'" in asked[0]["notes"] and "Rename" in asked[0]["notes"]
    assert len(list((term / "marks" / "students").iterdir())) == len(messy_class.STUDENTS)
    assert "Learner35" not in (term / "marks" / "all-students.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("slip", "place", "words"),
    [
        ("half-for-quarter", ("02a", "side hip"), "A half in place of a quarter. The side then"),
        ("ease-undivided", ("01a", "half of the hip"), "Ease undivided. The girth is divided"),
        ("whole-in-mm", ("01a", "quarter of the hip"), ""),
    ],
)
def test_a_cause_is_explained_as_the_solution_does(slip, place, words):
    """By the mistake of the exercise's own list; no sentence about another mistake stands in its place."""
    exercise, said = in_the_solution(Cause(slip, who={place: {"s01", "s02"}}))
    assert said.startswith(words) and bool(said) == bool(words) == bool(exercise)


def test_every_slip_has_words_for_the_teacher():
    """What it is called, what is done wrongly, why and what to say; no code of ours among the words."""
    typed = {f"{code}-typed" for code in load_rubric().slips}
    codes = {code for code in load_rubric().slips if code not in typed} - {"look-again"}
    assert set(sayings()) == codes
    for code, said in sayings().items():
        assert said.called[0].isupper() and "-" not in said.called, code
        assert all(text.endswith((".", "?")) for text in said[1:]), code
    listed = {(m.code, work.id, m.at[:1]) for work in exercises().values() for m in work.mistakes}
    for code, exercise, at in listed:
        said = said_of(Cause(code, who={(exercise, *(at or ("",))): {"s01"}}), exercise)
        assert said.called and said.wrong and said.say and code not in (said.called, said.wrong), code


def test_a_cause_leads_to_the_pages_of_those_who_have_it(term):
    """Each name to the learner's page, at the exercise in which it shows; the drill lies beside the page."""
    page = (term / "marks" / "class.html").read_text(encoding="utf-8")
    top = page[page.index("Teach again") : page.index("What is left for you")]
    lines = top.split("<li>")[1:]
    assert 'href="#cause-1"' in top and len(lines) == 5
    old = [line.startswith("From earlier weeks: ") for line in lines]
    assert old == [False, False, True, True, True]  # of weeks 3 and 4, then 01a to 03a
    assert all((" 05a " in line or " 04a " in line) != o for line, o in zip(lines, old, strict=True))
    cards = page[page.index("<h2>Causes") : page.index("Where drafts went wrong")].split(
        '<section class="cause"'
    )
    assert len(cards) > 5
    for card in cards[1:]:
        assert "What they do:" in card and "Say on Monday:" in card and "See the remarks" not in card
        who = re.findall(r'href="(students/[^"#]+)#([^"]+)"', card)
        assert len(who) == int(re.search(r"(\d+) of \d+ students", card)[1])
        for file, place in who:
            there = (term / "marks" / file).read_text(encoding="utf-8")
            assert there.count(f'id="{place}"') == 1, (file, place)
        (drill,) = re.findall(r'href="(drills/[^"]+)"', card)
        assert (term / "marks" / drill).read_bytes()[:5] == b"%PDF-"
    assert "quarter of the hip 26.9" in cards[1]  # of a drill, its answers


def test_an_exercise_that_cannot_be_drawn_has_no_drill(monkeypatch):
    """And costs the class nothing; nor does one that is no longer there."""
    cause = Cause("", {"s01": "s01", "s02": "s02"}, {("02a", "side hip"): {"s01", "s02"}}, drew=2)
    gone = Cause("", {"s01": "s01"}, {("02z", "fold"): {"s01"}}, drew=2)
    (name,) = cards.drill_files([cause, gone])
    assert name in cards.cause_cards([cause, gone], {}, {})

    def refuse(numbers):
        raise PatternError("It cannot be drawn.")

    broken = replace(exercises()["02a"], draw=refuse)
    monkeypatch.setattr(cards, "exercises", lambda: exercises() | {"02a": broken})
    assert cards.drill_files([cause, gone]) == {}
    assert name not in cards.cause_cards([cause, gone], {}, {})


def test_progress_goes_by_the_days_on_which_work_was_due(term):
    page = (term / "marks" / "class.html").read_text(encoding="utf-8")
    table = page[page.index("Progress over the weeks") :].partition("</table>")[0]
    weeks = re.findall(r"<tr><td>([^<]*)</td><td>([^<]*)</td>", table)
    assert weeks == [
        ("2026-03-02", "01a, 02a"),
        ("2026-03-09", "02b, 03a"),
        ("2026-03-16", "04a, 05a"),
        ("2026-03-23", "06a, 08a"),
    ]


@pytest.mark.parametrize("words", ("half for quarter", "taken twice", "whole in mm", "half forgotten"))
def test_no_code_word_on_the_page(term, words):
    assert words not in (term / "marks" / "class.html").read_text(encoding="utf-8").casefold()


def one_changed(record: dict, folder: Path) -> dict:
    """The row of a record of s02 in which a point was moved by hand."""
    record["points"]["side hip"][0] += 0.5
    (folder / "in").mkdir()
    (folder / "in" / "s02.ipynb").write_bytes(hostile.text(hostile.notebook(record)))
    line = [str(folder / "in"), "--out", str(folder / "out"), "--key", messy_class.key("s02")]
    assert assess_command(line) == 0
    (row,) = marks_of(folder / "out")
    return row


def test_steps_of_the_table_are_done_again(term, tmp_path):
    """Also where notebooks are only read; points changed by hand wait for the instructor's word."""
    evidence = Counter((r["evidence"], r["state"]) for r in marks_of(term / "marks") if r["way"] == "table")
    assert set(evidence) <= {
        ("steps done again: the same", "judged"),
        ("steps done again: the same", "judged, does not count"),
    }
    assert evidence["steps done again: the same", "judged"] > 20
    row = one_changed(messy_class.on_the_table("s02", "02a"), tmp_path)
    assert (row["mark"], row["evidence"]) == ("", "steps done again: differ") and "waits" in row["state"]


def test_measures_typed_into_a_form_are_read_again(term, tmp_path):
    """Points changed by hand beside what was typed wait for the instructor's word."""
    paper = Counter(r["evidence"] for r in marks_of(term / "marks") if r["way"] == "paper")
    assert set(paper) == {"measures read again: the same"} and paper.total() > 20
    row = one_changed(messy_class.measured_record("s02", "02a"), tmp_path)
    assert (row["mark"], row["evidence"]) == ("", "measures read again: differ") and "waits" in row["state"]


def test_void_drafts_stand_apart(term):
    page = (term / "marks" / "class.html").read_text(encoding="utf-8")
    top = page[page.index("Teach again") : page.index("Void drafts")]
    void = page[page.index("Void drafts") : page.index("Spread of marks")]
    for who, why in (
        ("s12", "wrong key"),
        ("s14", "millimetres"),
        ("s24", "copy"),
    ):
        assert f">{who}</a></td>" in void and why in void
    assert ">s36<" not in void
    assert ">s20</a>" in void and ">s32<" not in void  # who copied, and who drew it
    assert (
        "not begun" in page[page.index("Not read or not judged") :]
    )  # s16 handed in the sheets as they came
    assert "point misplaced" not in top
    assert "half" in top.casefold() and "s33" in top


def test_what_came_in_is_listed(term):
    with open(term / "marks" / "came-in.csv", encoding="utf-8-sig", newline="") as file:
        came = {r["file"]: r["what became of it"] for r in csv.DictReader(file)}
    assert "web page" in came["week 1/s22.html"] and came["week 1/s23.ipynb (1)"] == "opened"
    assert "No printed markers" in came["week 4/Learner33 Potter/toile.jpg"]
    beside = [what for name, what in came.items() if name.endswith("photographs/toile-front.jpg")]
    assert beside and [w for w in beside if "listed only" not in w] == [], "the project's photographs"
    assert "not opened" in came["week 4/Learner34 Potter/old.rar"]
    assert any("work.zip: my work/02.ipynb" in name for name in came)
    assert came["week 3/Learner17 Potter_4817_2026-03-16-10-00-00"] == "This folder is empty."
    page = (term / "marks" / "class.html").read_text(encoding="utf-8")
    listed = page[page.index("All that came in") :]  # with ids in place of names
    assert "week 4/s34/old.rar" in listed and "Potter" not in listed and "toile-front" not in listed


def test_a_sheet_for_semicolon_countries(term):
    comma, semicolon = (
        sheet(term / "marks"),
        sheet(term / "marks", "mark-sheet-semicolons.csv", delimiter=";"),
    )
    assert comma.keys() == semicolon.keys()
    assert as_csv([["1.5", "a;=1"]], semicolons=True).removeprefix("\ufeff") == '1,5;"a;\'=1"\r\n'


def test_the_marks_open_where_the_table_of_the_class_was_saved_with_semicolons(tmp_path):
    """As in countries with a decimal comma; own words in it stay as they were written."""
    (tmp_path / "in").mkdir()
    record = hostile.draft("s01")
    record["points"].pop("side hip")
    (tmp_path / "in" / "s01.ipynb").write_bytes(hostile.text(hostile.notebook(record)))
    (tmp_path / "class.csv").write_text("id;handed in as\r\ns01;Ada; Lovelace\r\n", encoding="utf-8-sig")
    (tmp_path / "half.toml").write_text("[weight]\npoint = 0.5\n")
    line = [str(tmp_path / "in"), "--out", str(tmp_path / "m"), "--register", str(tmp_path / "class.csv")]
    line += ["--rubric", str(tmp_path / "half.toml")]
    for _ in range(2):
        assert assess_command(line) == 0
        text = (tmp_path / "m" / "marks.csv").read_bytes().decode("utf-8-sig")
        (row,) = csv.DictReader(io.StringIO(text), delimiter=";")
        assert row["student"] == "s01" and row["mark"] == "3,5" and row["out of"] == "4"
        (tmp_path / "m" / "marks.csv").write_text(text.replace("3,5;4;;;", "3,5;4;2.5;see 1.5;"), newline="")
    assert (row["own mark"], row["own remark"]) == ("2.5", "see 1.5")
    assert (tmp_path / "m" / "own-remarks.csv").read_text(
        "utf-8-sig"
    ) == "student;exercise;own mark;own remark\n"
    assert sheet(tmp_path / "m")["s01"]["total"] == "2.5"


def test_one_group_names_and_another_rule(term, tmp_path):
    assert (
        assess_command(command(term, tmp_path / "m", "--group", "B", "--names", "--counts", "earliest")) == 0
    )
    found = sheet(tmp_path / "m")
    assert set(found) == {w for w in messy_class.STUDENTS if messy_class.group(w) == "B"}
    assert found["s02"]["name"] == "Learner02 Potter"
    assert sheet(term / "marks")["s10"].get("name") is None
    page = (tmp_path / "m" / "class.html").read_text(encoding="utf-8")
    assert page.count("<p>20 students") == 1
    missing = page[page.index("<h2>Missing") :].partition("</table>")[0]
    assert ">s22</a>" in missing and ">s17</a>" not in missing  # of group A


def test_own_mark_on_an_attempt_decides_and_changes_are_told(term, tmp_path, capsys):
    """Marked again with another rubric: what was, what is, and why; own words stay."""
    out = tmp_path / "m"
    shutil.copytree(term / "marks", out)
    text = (out / "marks.csv").read_bytes().decode("utf-8-sig")
    lines = list(csv.reader(io.StringIO(text)))
    heads = lines[0]
    for line in lines:
        if line[0] == "s29" and line[heads.index("attempt")] == "1 of 2":
            line[heads.index("own mark")], line[heads.index("appeal")] = (
                "ok",
                "asked to count the first; =1+1",
            )
    out_text = io.StringIO()
    csv.writer(out_text).writerows(lines)
    (out / "marks.csv").write_text(out_text.getvalue(), encoding="utf-8", newline="")
    (tmp_path / "mine.toml").write_text('[exercise.02a.weight]\n"side hip" = 3\n')
    assert assess_command(command(term, out, "--rubric", str(tmp_path / "mine.toml"))) == 0
    rows = [r for r in marks_of(out) if (r["student"], r["exercise"]) == ("s29", "02a")]
    counted = [r for r in rows if r["state"] == "judged, counts by your word"]
    assert len(counted) == 1 and counted[0]["attempt"] == "1 of 2"
    assert counted[0]["appeal"] == "asked to count the first; '=1+1"
    assert "your own mark" in counted[0]["changed"] and "the rubric" in counted[0]["changed"]
    assert sheet(out)["s29"]["02a"] == counted[0]["proposed"]
    other = next(r for r in marks_of(out) if (r["student"], r["exercise"]) == ("s11", "02a"))
    assert other["changed"] == "was 8, now 10: the rubric"
    assert "asked to count" in (out / "class.html").read_text(encoding="utf-8")


def test_hand_outs_of_a_group(term, tmp_path, capsys):
    """One PDF with the sheets of all of group A; all pages of the marks on one page to print."""
    line = [sys.executable, "-m", "patternlib", "handouts", "01a", "--register", str(term / "class.csv")]
    line += ["--group", "A", "--out", str(tmp_path / "a.pdf")]
    ran = subprocess.run(line, capture_output=True, text=True)
    assert ran.returncode == 0 and "for 20 learners" in ran.stdout, ran.stderr
    assert (tmp_path / "a.pdf").read_bytes().count(b"/Type /Page\n") >= 20
    page = (term / "marks" / "all-students.html").read_text(encoding="utf-8")
    assert page.count('<section class="sheet">') == len(list((term / "marks" / "students").iterdir()))
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_marks_name_nobody(term):
    """With a register, names are joined only where they are asked for; whose it is, is found all the same."""
    for r in marks_of(term / "marks"):
        assert r["student"] == "Learner35 Potter" or "Potter" not in r["file"], r
    assert "Potter" not in (term / "marks" / "mark-sheet.csv").read_text(encoding="utf-8")
    assert "Potter" not in (term / "marks" / "students" / "s07.html").read_text(encoding="utf-8")


def test_a_students_page_says_what_is_missing_and_shows_one_attempt(term):
    """The other attempt has one line, without its picture; a step carried over is not said twice."""
    page = {
        s: (term / "marks" / "students" / f"{s}.html").read_text(encoding="utf-8") for s in ("s17", "s29")
    }
    lacking = re.search(r"Not handed in: ([^<]*)\.</p>", page["s17"])[1]
    assert [title[:3] for title in lacking.split("; ")] == [*messy_class_exercises()]
    assert "Not handed in" not in page["s29"] and "no student&#x27;s code was run" not in page["s29"]
    one, other = re.findall(r"<h2>02a[^<]*attempt (\d) of 2</h2>(.*?)</section>", page["s29"], re.DOTALL)
    assert one[0] == "2" and "<svg" in one[1] and "Mark: 8 of 8" in one[1]
    assert other[0] == "1" and "<svg" not in other[1] and "7 of 8; another attempt counts." in other[1]
    s03 = (term / "marks" / "students" / "s03.html").read_text(encoding="utf-8")
    first = s03[s03.index("<h2>01a") :].partition("</section>")[0]
    assert "Right for what was drawn before: shaping, side shaping, dart mouths." in first
    assert first.casefold().count("right for what") == 1


def messy_class_exercises() -> list[str]:
    return sorted(e for week in messy_class.WEEKS.values() for e in week)


# whose it is


def test_without_a_register_a_week_is_nobody():
    claims = [((week, f"s{i:02}"), f"s{i:02}") for week in ("week 1", "week 2") for i in range(1, 9)]
    assert {o.student for o in owners(claims)} == {f"s{i:02}" for i in range(1, 9)}
    inside = [(("class export", f"Family{i}_47", "02"), f"s{i}") for i in range(8)]
    assert [o.student for o in owners(inside)] == [f"s{i}" for i in range(8)]


def test_nobody_takes_anothers_place():
    """Ben's folder with ada's notebook in it stays ben's, whatever the file is called."""
    claims = [(("ada", "x"), "ada"), (("ben", "y"), "ben"), (("ben", "ada_skirt"), "ada")]
    assert [o.student for o in owners(claims)] == ["ada", "ben", "ben"]
    assert "another student" in owners(claims)[2].note


@pytest.mark.parametrize(("rule", "chosen"), [("best", 1), ("newest", 2), ("earliest", 0)])
def test_which_attempt_counts(rule, chosen):
    tries = [Entry("s29", 6, "x", ("1",)), Entry("s29 (1)", 8, "y", ("2",)), Entry("s29 (2)", 7, "z", ("3",))]
    assert counting("s29", tries, rule)[0] == chosen
    assert counting("s29", [tries[0], tries[1]._replace(counts=False)], "best")[0] == 0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("name\nx\n", "no column 'id'"),
        ("id,keys\nx,y\n", "not known"),
        ("id\n...\n", "has no id"),
        ("id,handed in as\na,Ada\nb,ada\n", "repeats"),
        ("id,leave\na,soon\n", "leave"),
        ("id,extra days\na,-1\n", "extra days"),
        ("id,key\na," + "k" * 81 + "\n", "80 characters"),
    ],
)
def test_a_register_at_fault_is_one_sentence(tmp_path, text, words, capsys):
    (tmp_path / "in").mkdir()
    (tmp_path / "class.csv").write_text(text)
    line = [str(tmp_path / "in"), "--out", str(tmp_path / "out"), "--register", str(tmp_path / "class.csv")]
    assert assess_command(line) == 2
    told = capsys.readouterr().err
    assert words in told and told.count("\n") == 1 and not (tmp_path / "out").exists()


def test_a_register_as_spreadsheets_save_it(tmp_path):
    text = "ID;Handed in as;group;leave\r\n'007;Ö. Löv;A;02.03.2026 to 9.3.2026\r\n"
    for data in (text.encode("utf-8-sig"), text.encode("cp1252"), text.encode("utf-16")):
        (tmp_path / "r.csv").write_bytes(data)
        (one,) = read_register(tmp_path / "r.csv").students.values()
        assert (one.id, one.aliases, len(one.leave)) == ("007", ("Ö. Löv",), 1)
    (tmp_path / "due.csv").write_text("exercise,due,group\n02,2026-03-02,\n02b,2026-03-09 12:00,B\n")
    assert len(read_due(tmp_path / "due.csv", exercises())) == 3
    (tmp_path / "due.csv").write_text("exercise,due\n99z,2026-03-02\n")
    with pytest.raises(PatternError, match="no exercise"):
        read_due(tmp_path / "due.csv", exercises())

"""Exercises of a teacher's own: drawn on the table or written in its sentences, tried, and used.

- The sentences of the table can be read again: all steps of all exercises of the course come back the same.
- The guide's recipe, followed with the commands alone, gives notebooks, worksheets, marks and a portfolio.
- What is missing or wrong in a file is a sentence that says what to do; nothing else stops for it.
- The course never uses their letters, git passes their folder over, and these tests see none of them.
"""

from __future__ import annotations

import csv
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from patternlib.assess import MIME, drafting_table, exercises, judge
from patternlib.assess.own import command as own_command
from patternlib.assess.own import place as own_place
from patternlib.assess.own.command import BEGUN
from patternlib.assess.own.notebooks import TEACHER, drawing_name
from patternlib.assess.own.own_file import ID, PAPERS, as_exercise, on_paper, read_own_file
from patternlib.assess.own.place import SAID_WHERE, own_folder
from patternlib.assess.own.rehearsal import Rehearsed, rehearse
from patternlib.assess.own.sentences import read_sentence, write_sentence
from patternlib.assess.sandbox.runner import Runner
from patternlib.assess.sandbox.ways import can_wrap
from patternlib.assess.table.kept import Kept, keep, place
from patternlib.assess.table.laying import handed_in, lay, numbers_of
from patternlib.assess.table.tracing import told_pieces
from patternlib.assess.tasks.catalogue import with_exercise
from patternlib.assess.tasks.own_numbers import numbers_for
from patternlib.assess.tasks.record import StepTaken
from patternlib.geometry import Curve, Point
from tests.own_course import command, surroundings
from tests.table_steps import table_steps

sys.path.insert(0, os.path.dirname(__file__))
import hostile

ROOT = Path(__file__).parent.parent

STEPS = (
    StepTaken("pleat at hip", "go", ("centre front hip",), "a quarter of the hip girth ÷ 2", way="right"),
    StepTaken("pleat at hem", "go", ("centre front hem",), "hip girth ÷ 8 + ease of the pleat", way="right"),
    StepTaken("fold", "rule", ("pleat at hip", "pleat at hem")),
)
WORDS = {
    'title = ""': 'title = "A pleat in the skirt"',
    'task = ""': 'task = "Draw a pleat at centre front."',
    'paper = "empty"': 'paper = "skirt block"',
    "[numbers]": '[numbers]\n"ease of the pleat" = 1',
    "[marks]": '[marks]\n"pleat at hip" = 2\n"pleat at hem" = 1\n"fold" = 1',
    '  "",\n  "",\n  "",\n': '  "Begin at the hip.",\n  "Then the hem.",\n  "It is an eighth of the hip.",\n',
}


def kind(value) -> str:
    return "point" if isinstance(value, Point) else "line" if isinstance(value, Curve) else "number"


# -- sentences


@pytest.mark.parametrize("id", exercises())
def test_every_sentence_of_the_course_is_read_again(id):
    work = exercises()[id]
    of = numbers_for("lena", "spring")
    steps = [s for s in table_steps(work, of) if s.verb]
    laid = lay(work, of, steps)
    known = {name: kind(value) for name, value in laid.given.items()}
    read: list[StepTaken] = []
    for step in steps:
        text = write_sentence(step)
        again = read_sentence(text + ".", known)
        assert write_sentence(again) == text
        assert (again.verb, again.of, again.measure, again.name) == (
            step.verb,
            step.of,
            step.measure,
            step.name,
        )
        assert (again.side, again.end) == (step.side, step.end)
        read.append(again)
        known[step.name] = kind(laid.values[step.name])
    for name, value in lay(work, of, read).values.items():
        assert value == laid.values[name], name


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("From centre back hip go down 5 cm: mark low", ""),
        ("from Centre Back Hip go down 20.5 cm (waist to hip): mark low.", ""),
        ("From centre bak hip go down 5 cm: mark low", "Did you mean 'centre back hip'"),
        (
            "From centre back hip walk 5 cm: mark low",
            "no sentence of the drafting table. One of them is: From",
        ),
        ("Draw something nice", "One of them is: Draw"),
        (
            "Measure centre back hip with the tape: note far",
            "'centre back hip' is a point; here belongs a line",
        ),
        ("", "no sentence"),
    ],
)
def test_a_sentence_that_the_table_does_not_know(text, words):
    known = {"centre back hip": "point", "hip line": "line"}
    if words:
        with pytest.raises(Exception, match=re.escape(words)):
            read_sentence(text, known)
    else:
        step = read_sentence(text, known)
        assert (step.verb, step.of, step.way, step.name) == ("go", ("centre back hip",), "down", "low")
        assert step.measure in ("5 cm", "waist to hip")


# -- a file


def begun(folder: Path, id: str = "02p", change: dict[str, str] | None = None) -> Path:
    text = BEGUN.format(id=id, lesson=int(id[:2]), papers=", ".join(PAPERS), drawing=drawing_name(id))
    steps = "".join(f"  {json.dumps(write_sentence(s), ensure_ascii=False)},\n" for s in STEPS)
    text = text.replace("steps = [\n", f"steps = [\n{steps}")
    for old, new in (*(WORDS | {k: v for k, v in (change or {}).items() if k in WORDS}).items(),
                     *((k, v) for k, v in (change or {}).items() if k not in WORDS)):  # fmt: skip
        assert old in text, old
        text = text.replace(old, new, 1)
    path = folder / f"{id}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_file_becomes_an_exercise(tmp_path):
    found = read_own_file(begun(tmp_path))
    work = as_exercise(found)
    assert not found.faults and not found.lacking
    assert [(a.name, a.kind, a.weight) for a in work.asked] == [
        ("pleat at hip", "point", 2), ("pleat at hem", "point", 1), ("fold", "curve", 1),
    ]  # fmt: skip
    of = work.own_numbers("lena", "spring")
    draft = work.reference(of)
    hip = draft["centre front hip"]
    assert abs(draft["pleat at hip"].x - hip.x - of.body.hip_girth / 8) < 1e-9
    assert abs(draft["pleat at hem"].x - draft["centre front hem"].x - of.body.hip_girth / 8 - 1) < 1e-9
    assert work.terms["pleat at hip"] == {"hip_girth": 0.125}
    assert set(work.given(draft)) == set(on_paper("skirt block", of))
    told = work.sheet(of)
    assert told[0] == "From centre front hip go right a quarter of the hip girth ÷ 2: mark pleat at hip."
    assert "ease of the pleat" in numbers_of(work, of)


FAULTS = {
    "quotes": ({'title = ""': 'title = "A pleat'}, "A line cannot be read"),
    "curly quotes": ({'title = ""': "title = “A pleat”"}, "has curly quotes: write straight ones"),
    "another lesson": ({"lesson = 2": "lesson = 9"}, "so lesson = 2"),
    "paper": ({'paper = "empty"': 'paper = "trouser block"'}, "paper: write one of 'empty'"),
    "a misspelt word": ({"guided = false": "guide = false"}, "'guide' is no word of such a file"),
    "marks for nothing": ({"[marks]": '[marks]\n"flod" = 2'}, "'flod' is asked, but no step draws it"),
    "a mark in words": ({"[marks]": '[marks]\n"fold" = "two"'}, "[marks]: write a name in quotes"),
    "a step too early": ({"steps = [\n": 'steps = [\n  "Rule from fold to side hip: call it x",\n'},
                         "steps, line 1: 'fold' is not on the paper at this step"),
    "an unknown measure": ({"steps = [\n": 'steps = [\n  "From side hip go up girht: mark x",\n'},
                           "steps, line 1, x: 'girht' is none of your numbers"),
    "a name twice": ({"steps = [\n": 'steps = [\n  "From side hip go up 3 cm: mark side hem",\n'},
                     "is on your paper already"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_what_is_wrong_is_a_sentence(tmp_path, fault):
    change, words = FAULTS[fault]
    found = read_own_file(begun(tmp_path, change=change))
    assert any(words in said for said in found.faults), found.faults
    with pytest.raises(Exception, match=r"02p\.toml"):
        as_exercise(found)


def test_a_deep_file_or_another_name_is_a_sentence(tmp_path):
    (tmp_path / "02q.toml").write_text("a = " + "[" * 5000 + "]" * 5000)
    assert read_own_file(tmp_path / "02q.toml").faults
    (tmp_path / "02q.toml").write_bytes(b"\xff\xfe\x00")
    assert read_own_file(tmp_path / "02q.toml").faults
    assert "letter from p to z" in read_own_file(begun(tmp_path).rename(tmp_path / "pleat.toml")).faults[0]


def test_200_learners_say_what_does_not_work_for_all(tmp_path):
    change = {"steps = [\n": 'steps = [\n  "From side hip go up waist girth − 72: mark odd",\n'}
    found = read_own_file(begun(tmp_path, change=change))
    if found.faults:  # for the first body already
        pytest.fail(found.faults[0])
    done = rehearse(found, as_exercise(found))
    said = re.search(r"For (\d+) of 200 learners it does not work", done.faults[0])
    below = sum(numbers_for(f"learner {n}", "rehearsal").body.waist_girth <= 72 for n in range(1, 201))
    assert said and int(said[1]) == below and 0 < below < 200
    assert "must be over 0" in done.faults[0]


def test_advice_costs_nothing(tmp_path):
    change = {"hip girth ÷ 8 + ease of the pleat": "12 cm", "a quarter of the hip girth ÷ 2": "12 cm"}
    path = begun(tmp_path)
    text = path.read_text(encoding="utf-8")
    for old, new in change.items():
        text = text.replace(old, new)
    path.write_text(text.replace('"It is an eighth of the hip.",', ""), encoding="utf-8")
    found = read_own_file(path)
    done = rehearse(found, as_exercise(found), 12)
    assert not done.faults
    assert any("There are 2 hints" in text for text in done.advice)


# -- the whole recipe


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """A course folder in which the guide's recipe was followed: made, filled in, drawn, tried."""
    base = tmp_path_factory.mktemp("course")
    (base / "exercises").mkdir()
    made = command(base, "exercise", "02p")
    own = base / "own_exercises"
    assert made.returncode == 1 and "open it in a text editor" in made.stdout
    lacking = command(base, "exercise", "02p")
    assert "title: is still empty" in lacking.stdout and "steps: there are none yet" in lacking.stdout
    path = own / "02p.toml"
    text = path.read_text(encoding="utf-8")
    for old, new in WORDS.items():
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")
    os.utime(path, (1, 1))  # the drawing is newer
    assert keep(Kept("02p", TEACHER, 3, STEPS), own) == ""
    done = command(base, "exercise", "02p")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "3 steps were taken over" in done.stdout and "works for 200 made-up learners" in done.stdout
    return base


def test_the_drawing_is_taken_over_and_all_else_stays(course, monkeypatch):
    text = (course / "own_exercises" / "02p.toml").read_text(encoding="utf-8")
    assert '"From centre front hip go right a quarter of the hip girth ÷ 2: mark pleat at hip",' in text
    assert "# Hints, each tells more" in text and '"fold" = 1' in text
    monkeypatch.setenv(SAID_WHERE, str(course / "own_exercises"))
    monkeypatch.setattr(own_command, "rehearse", lambda *_: Rehearsed((), ()))
    said, ready = own_command.exercise_command("02p")  # nothing newer: nothing taken over, the solution stays
    assert ready and "taken over" not in " ".join(said) and "solution" not in " ".join(said)


def test_learners_and_teacher_get_their_notebooks(course):
    own = course / "own_exercises"
    book = json.loads((own / "02p a pleat in the skirt.ipynb").read_text(encoding="utf-8"))
    sources = ["".join(c["source"]) for c in book["cells"]]
    assert any('card.table("02p")' in s for s in sources) and "Draw a pleat at centre front." in sources[2]
    assert not any("a quarter of the hip girth" in s for s in sources)  # no answer in it
    solution = (own / "solutions" / "02p_solution.ipynb").read_text(encoding="utf-8")
    assert "go right a quarter of the hip girth" in solution and "02p-remarks" in solution
    code = "\n".join(s for c, s in zip(book["cells"], sources, strict=True) if c["cell_type"] == "code")
    code = code.replace('\ncard.table("02p")', '\ntable = card.table("02p")\ndisplay(table)')
    code += "\ncard.write('s01')\nprint(table.thing)"
    ran = subprocess.run(
        [sys.executable, "-m", "IPython", "--colors=NoColor", "-c", code],
        cwd=own, capture_output=True, text=True, env=surroundings(),
    )  # fmt: skip
    assert "<DraftingTable 02p: 0 steps>" in ran.stdout, ran.stdout + ran.stderr


def record_of(base: Path, who: str, times: float = 1.0) -> dict:
    work = as_exercise(read_own_file(base / "own_exercises" / "02p.toml"))
    of = work.own_numbers(who, "loom")
    record = work.record(of, work.reference(of), student=who)
    hip = work.reference(of)["centre front hip"].x
    x, y = record["points"]["pleat at hip"]
    record["points"]["pleat at hip"] = [hip + times * (x - hip), y]
    return record


def test_marks_worksheets_and_portfolio_know_it(course, tmp_path):
    handins = tmp_path / "handins"
    handins.mkdir()
    for who, times in (("s01", 1.0), ("s02", 2.0), ("s03", 2.0)):
        book = hostile.notebook(record_of(course, who, times), cells=("card.table('02p')",))
        (handins / f"{who}.ipynb").write_bytes(hostile.text(book))
    steps = [msgspec.to_builtins(s) for s in STEPS]
    drawn = record_of(course, "s04") | {"way": "table", "steps": steps}
    (handins / "s04.ipynb").write_bytes(hostile.text(hostile.notebook(drawn)))
    out = tmp_path / "marks"
    done = command(course, "assess", str(handins), "--out", str(out), "--key", "loom", "--workers", "2")
    assert done.returncode == 0, done.stderr
    with open(out / "marks.csv", encoding="utf-8-sig", newline="") as file:
        rows = {r["student"]: r for r in csv.DictReader(file)}
    assert [rows[f"s0{n}"]["mark"] for n in (1, 2, 4)] == ["4", "2", "4"]
    assert rows["s04"]["evidence"] == "steps done again: the same"
    page = (out / "class.html").read_text(encoding="utf-8")
    assert "02p A pleat in the skirt" in page and "pleat at hip" in page
    assert "02p" in (out / "mark-sheet.csv").read_text(encoding="utf-8-sig").splitlines()[0]
    sheet = tmp_path / "02p.pdf"
    assert command(course, "worksheet", "02p", "--student", "s01", "--out", str(sheet)).returncode == 0
    assert sheet.read_bytes().startswith(b"%PDF")
    folio = tmp_path / "folio.html"
    done = command(
        course,
        "portfolio",
        str(handins),
        "--student", "s04",
                   "--key", "loom", "--out", str(folio))  # fmt: skip
    assert "1 accepted drafts" in done.stdout, done.stderr
    assert "A pleat in the skirt" in folio.read_text(encoding="utf-8")


def test_a_broken_file_costs_the_class_nothing(course, tmp_path):
    (tmp_path / "own_exercises").mkdir()
    begun(tmp_path / "own_exercises", change={"lesson = 2": "lesson = "})
    handins = tmp_path / "handins"
    handins.mkdir()
    (handins / "s01.ipynb").write_bytes(hostile.text(hostile.notebook(hostile.draft("s01"))))
    done = command(tmp_path, "assess", str(handins), "--out", str(tmp_path / "marks"))
    assert done.returncode == 0 and "NOT USED: an exercise of your own, 02p.toml" in done.stderr


def test_a_changed_exercise_is_judged_again(course, tmp_path, monkeypatch):
    from patternlib.assess.marking import class_marking

    stamps = []
    for text in ("", "# another word"):
        path = begun(tmp_path)
        path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")
        monkeypatch.setenv(SAID_WHERE, str(tmp_path))
        class_marking._version.cache_clear()
        stamps.append(class_marking.stamp("x"))
    class_marking._version.cache_clear()
    assert stamps[0] != stamps[1]


def test_a_notebook_that_is_run_again_sees_it(tmp_path, monkeypatch):
    begun(tmp_path)
    monkeypatch.setenv(SAID_WHERE, str(tmp_path))
    cell = f"from patternlib.assess import exercise\nfrom IPython.display import display\nimport os\n" \
           f"display({{{MIME!r}: exercise('02p').title}}, raw=True)"  # fmt: skip
    ended = Runner(wrapped=can_wrap()).run((cell,))
    assert json.loads(ended.data)["records"] == ['"A pleat in the skirt"']


# -- beside the course


def test_the_course_leaves_their_letters_and_their_folder_alone():
    assert not any(ID.fullmatch(id) for id in exercises())
    assert "own_exercises/" in (ROOT / ".gitignore").read_text().splitlines()
    assert own_folder() is None  # these tests see none
    tracked = subprocess.run(["git", "ls-files", "own_exercises"], cwd=ROOT, capture_output=True, text=True)
    assert not tracked.stdout


def test_another_copy_of_the_course_has_its_own(tmp_path, monkeypatch):
    """Exercises beside the library are taken only where no other copy of the course lies."""
    library, copy = tmp_path / "library", tmp_path / "copy"
    for folder in (library / "own_exercises", copy / "exercises", tmp_path / "elsewhere"):
        folder.mkdir(parents=True)
    monkeypatch.delenv(SAID_WHERE)
    monkeypatch.setattr(own_place, "COURSE", library)
    for here, found in ((copy, None), (copy / "exercises", None), (tmp_path / "elsewhere", library)):
        monkeypatch.chdir(here)
        assert own_folder() == (found and found / "own_exercises")
    monkeypatch.chdir(copy)
    assert own_command.exercise_command("02p")[1] is False
    assert (copy / "own_exercises" / "02p.toml").exists() and not list((library / "own_exercises").iterdir())


def test_a_drawing_is_taken_over_also_where_the_file_was_saved_later(tmp_path, monkeypatch):
    monkeypatch.setenv(SAID_WHERE, str(tmp_path))
    own_command.exercise_command("02p")
    assert keep(Kept("02p", TEACHER, 3, STEPS), tmp_path) == ""
    path = tmp_path / "02p.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"empty"', '"skirt block"', 1), encoding="utf-8")
    drawn = place("02p", TEACHER, tmp_path).stat().st_mtime
    os.utime(path, (drawn + 60, drawn + 60))
    assert "3 steps were taken over" in own_command.exercise_command("02p")[0][0]
    assert "taken over" not in " ".join(
        own_command.exercise_command("02p")[0]
    )  # what is written by hand stays


@pytest.mark.parametrize("id", ["02a", "2p", "own", "../02p", "02P"])
def test_a_name_that_cannot_be_is_one_sentence(tmp_path, id):
    done = command(tmp_path, "exercise", id)
    assert done.returncode == 2 and "such as 02p" in done.stderr and not list(tmp_path.iterdir())


# -- pieces


POCKET = """title = "A pocket for the long ruler"
lesson = 9
task = "Draw the pocket and cut it free as a piece."
pieces = true
hints = ["Begin at the corner.", "It is a sixth of the hip wide.", "The hem is 3 cm."]
steps = [
  "From corner go right hip girth / 6: mark top right",
  "From corner go down 30 cm: mark foot left",
  "Go level with foot left until straight above or below top right: mark foot right",
  "Rule from corner to top right: call it top line",
  "Rule from corner to foot left: call it left line",
  "Rule from foot left to foot right: call it foot line",
  "Rule from foot right to top right: call it right line",
  "Trace top line onto the piece ruler pocket: its opening",
  "Trace left line onto the piece ruler pocket: its left side",
  "Trace foot line onto the piece ruler pocket: its foot",
  "Trace right line onto the piece ruler pocket: its right side",
  "Beyond ruler pocket: opening add 3 cm (hem)",
  "Beyond ruler pocket: left side add 1 cm (fold-back)",
  "Beyond ruler pocket: foot add 1 cm (fold-back)",
  "Beyond ruler pocket: right side add 1 cm (fold-back)",
  "Lay the grain of ruler pocket along left line",
  "Write on ruler pocket: cut 2 as a pair, main cloth",
  "Walk 10 cm along ruler pocket: left side from its end at corner: cut a single notch",
  "Walk 20 cm along ruler pocket: left side from its end at corner: cut a double notch",
  "Draw the cut line round ruler pocket",
]
[marks]
"foot right" = 1
"ruler pocket: allowance of opening" = 2
"ruler pocket: notches of left side" = 1
"ruler pocket: label" = 1
"ruler pocket: cut line" = 3
"""


def _pocket(tmp_path, text: str = POCKET):
    path = tmp_path / "09p.toml"
    path.write_text(text, encoding="utf-8")
    return read_own_file(path)


def test_a_piece_of_ones_own_is_judged(tmp_path):
    """The answer is right for every learner; a hem of 2 cm costs the hem alone."""
    found = _pocket(tmp_path)
    work = as_exercise(found)
    done = rehearse(found, work, learners=8)
    assert done.faults == () and done.advice == ()
    assert [(a.name.removeprefix("ruler pocket: "), a.weight) for a in work.asked][1:] == [
        ("allowance of opening", 2), ("notches of left side", 1), ("label", 1), ("cut line", 3),
    ]  # fmt: skip
    of = work.own_numbers("ada")
    for wrong, cost in (("opening add 2 cm", 2), ("opening add 3 cm", 0)):
        steps = _pocket(tmp_path, POCKET.replace("opening add 3 cm", wrong)).steps
        with with_exercise(work):
            verdict = judge(handed_in(work, of, lay(work, of, steps), student="ada"))
            assert told_pieces("09p")[1].said.startswith("Write the label of the ruler pocket")
        assert verdict.out_of - verdict.mark == cost


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('  "Trace foot line onto the piece ruler pocket: its foot",\n', "", "not on the paper at this step"),
        ("pieces = true", 'pieces = "yes"', "true or false"),
        ("Walk 20 cm", "Walk 40 cm", "only 30.00 cm long"),
        ("add 3 cm (hem)", "add 3 cm (folded)", "Say what becomes of this edge"),
        ("add 3 cm (hem)", "add 40 cm (hem)", "between 0 and 30"),
        ("cut 2 as a pair", "cut 2 twice", "is no way to cut a piece"),
        ("allowance of opening", "allowance of top", "no step draws it"),
        (
            '  "Draw the cut line',
            '  "Measure ruler pocket: foot with the tape: note across",\n  "Draw the cut line',
            "is an edge of a piece; here belongs a line",
        ),
        (
            POCKET[POCKET.index('  "Trace foot') : POCKET.index("]\n[marks]")],
            '  "Lay the grain of ruler pocket along left line",\n',
            "not cut free",
        ),
    ],
)
def test_what_is_wrong_with_a_piece_is_a_sentence(tmp_path, old, new, words):
    assert old in POCKET
    (fault,) = _pocket(tmp_path, POCKET.replace(old, new, 1)).faults
    assert words in fault and len(fault) < 300


def test_the_tools_for_pieces_lie_on_the_table_before_the_answer_is_drawn(tmp_path):
    text = POCKET[: POCKET.index("steps = [")]
    work = as_exercise(_pocket(tmp_path, text))
    with with_exercise(work):
        assert "Tracing wheel" in drafting_table("09p", student=TEACHER)._setup()["hands"]
    work = as_exercise(_pocket(tmp_path, text.replace("pieces = true", "pieces = false")))
    with with_exercise(work):
        assert "Tracing wheel" not in drafting_table("09p", student=TEACHER)._setup()["hands"]

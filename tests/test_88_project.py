"""The project of lesson 16: what is typed, what is calculated from it, and the instructor's levels.

- A sound form has nothing wrong in it, on small and large bodies and for each garment.
- Each slip is seen, and costs its own criterion alone.
- Learners are told what is wrong, and not the answer.
- Photographs lose all that the camera noted; only their names are handed in.
- Levels come in by marks.csv and own-remarks.csv, are never written over, and enter totals and pages.
"""

from __future__ import annotations

import base64
import csv
import io
import os
import sys

import pytest
from PIL import Image
from pypdf import PdfReader

from patternlib import Body, chart, make
from patternlib.__main__ import main
from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.learner.card import NameCard
from patternlib.assess.learner.card_file import Name, find_card, write_card
from patternlib.assess.marking.command import assess_command
from patternlib.assess.marking.portfolio import portfolio_page
from patternlib.assess.project.checks import checks_of, proposed
from patternlib.assess.project.form import ProjectForm
from patternlib.assess.project.kept import Kept, find_project, record_of
from patternlib.assess.project.levels import HIGHEST, PROJECT, criteria
from patternlib.assess.project.photographs import FOLDER
from patternlib.assess.project.questions import sections
from patternlib.assess.project.written import read_project
from patternlib.assess.sandbox.ways import can_wrap
from patternlib.making import cutting_list
from patternlib.pieces.seams import side_length

sys.path.insert(0, os.path.dirname(__file__))
import hostile
import messy_class

ROOT = os.path.dirname(os.path.dirname(__file__))
SOUND = {"measures": 2, "style": 2, "ease": 2, "walks": 3, "cutting": 2, "toile": 2}


def typed_of(data: bytes) -> dict[str, str]:
    from patternlib.assess import read

    return read(read_notebook(data).records[0]).typed


@pytest.fixture
def sound() -> dict[str, str]:
    return typed_of(messy_class.project("s01"))


def levels_of(typed: dict[str, str]) -> dict[str, int]:
    project = read_project(typed)
    return proposed(project, checks_of(project))


def other_garment(garment: str, size: str, style: dict[str, float]) -> dict[str, str]:
    """A sound form for another garment, its walks and counts taken from its own pieces."""
    typed = typed_of(messy_class.project("s01"))
    typed = {k: v for k, v in typed.items() if not k.startswith(("style|", "walks|", "cutting|", "toile|"))}
    measures = {n: getattr(chart("course").body(size), n) for n in messy_class.MEASURED}
    typed |= {f"measures|{n}|length": f"{cm:g}" for n, cm in measures.items()}
    made = make(garment, Body(**measures), **style)
    typed["style||garment"] = garment
    for i, (name, cm) in enumerate(style.items(), 1):
        typed |= {f"style|{i}|value": name.replace("_", " "), f"style|{i}|is": f"{cm / 2.54} in"}
        typed[f"style|{i}|why"] = "for work"
    pieces = {p.name: p for p in made.pieces}
    for i in range(1, 4):
        seam = made.seams[(i - 1) % len(made.seams)]
        one, other = (side_length(pieces, side) for side in (seam.a, seam.b))
        if i <= len(made.seams):
            typed |= {f"walks|{i}|seam": seam.name, f"walks|{i}|one": f"{other:.1f}"}
            typed |= {f"walks|{i}|other": f"{one:.1f}", f"walks|{i}|did": "nothing"}  # sides the other way
    rows = [r for r in cutting_list(made) if r.cloth]
    typed["cutting||main"] = str(sum(r.cut for r in rows if r.cloth == rows[0].cloth))
    typed["cutting||fused"] = str(sum(r.cut for r in rows if r.cloth == "fusing"))
    return typed | {"cutting||sessions": "5", "ease||bought": "3 m".replace("3 m", "290"),
                    "toile|1|seen": "All is well.", "toile|1|changed": "nothing"}  # fmt: skip


@pytest.mark.parametrize("who", ["s01", "s02", "s05", "s08"])
def test_a_sound_form_has_nothing_wrong(who):
    project = read_project(typed_of(messy_class.project(who)))
    checks = checks_of(project)
    assert not project.faults and [c for c in checks if c.verdict != "right"] == []
    assert proposed(project, checks) == SOUND


@pytest.mark.parametrize(
    ("garment", "size", "style"),
    [
        ("apron", "10", {"skirt_length": 60, "hip_ease": 8, "tie_width": 3}),
        ("smock", "16", {"length": 80, "bust_ease": 20, "pocket_width": 17}),
    ],
)
def test_other_garments_in_inches(garment, size, style):
    typed = other_garment(garment, size, style)
    found = levels_of(typed)
    assert found | {"walks": 3} == SOUND
    assert found["walks"] == min(3, len(make(garment, size).seams))


SLIPS = {
    "a girth in millimetres": ({"measures|hip_girth|length": "954"}, "measures", "a body", "millimetres"),
    "a girth is missing": ({"measures|waist_girth|length": ""}, "measures", "a body", "waist girth"),
    "it does not say how": ({"measures|height|how": ""}, "measures", "how taken", "height"),
    "no reason": ({"style|2|why": ""}, "style", "reasons", "hip ease"),
    "values that cannot be drawn": ({"style|3|is": "60"}, "style", "it can be drawn", "bib height"),
    "too little cloth": ({"ease||bought": "70"}, "ease", "cloth needed", "too little"),
    "a narrow cloth": ({"ease||width": "30"}, "ease", "cloth needed", ""),
    "thickness in another unit": ({"ease||thick": "5"}, "ease", "cloth measured", "millimetres"),
    "no reason for the ease": ({"ease||why": ""}, "ease", "reason", "No reason"),
    "a walk on the cut line": ({"walks|1|one": "48"}, "walks", "walk 1", "again"),
    "one seam twice": ({"walks|2|seam": "side seam"}, "walks", "walk 2", "already"),
    "pieces miscounted": ({"cutting||main": "13"}, "cutting", "main", "a pair is two"),
    "the change is not in the pattern": ({"toile|1|is": "9"}, "toile", "fault 1", "part 1 or 2 has 7 cm"),
    "changed, but nowhere": ({"toile|1|changed": "flare", "toile|1|is": "9"}, "toile", "fault 1", "neither"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_each_slip_is_seen_where_it_is(sound, slip):
    change, criterion, what, words = SLIPS[slip]
    project = read_project(sound | change)
    checks = checks_of(project)
    (found,) = [c for c in checks if (c.criterion, c.what) == (criterion, what)]
    assert found.verdict in ("off", "missing") and words in found.text
    level = proposed(project, checks)[criterion]
    assert level < SOUND[criterion]
    if project.made is not None:  # what cannot be drawn cannot be compared either
        assert {k: v for k, v in proposed(project, checks).items() if v != SOUND[k]} == {criterion: level}


def test_no_level_is_proposed_for_what_cannot_be_compared(sound):
    """One girth in millimetres: three walks are written, and nothing can be drawn to hold them against."""
    project = read_project(sound | SLIPS["a girth in millimetres"][0])
    found = proposed(project, checks_of(project))
    assert "walks" not in found and "style" not in found and found["measures"] == 1
    assert project.body_fault.startswith("hip girth: 954 must lie between")
    unwritten = {k: v for k, v in project.typed.items() if not k.startswith("walks|")}
    project = read_project(unwritten)
    assert proposed(project, checks_of(project))["walks"] == 0


@pytest.mark.parametrize(
    ("text", "value", "fault"),
    [
        ("press fasteners", 1, ""),
        ("Buttons", 0, ""),
        ("1", 1, ""),
        ("zip", -1, "Buttons or press fasteners"),
    ],
)
def test_a_choice_of_the_style_is_written_in_its_words(sound, text, value, fault):
    project = read_project(sound | {"style|1|value": "fastening", "style|1|is": text})
    assert project.style["fastening"] == value
    assert fault in project.faults.get("style|1|is", "")


def test_less_ease_than_the_clothes_beneath_take_is_asked_about(sound):
    """Lesson 14: each layer round the body takes 2 pi times its thickness."""
    checks = checks_of(read_project(sound | {"ease||beneath": "0.5"}))
    (room,) = [c for c in checks if c.what == "room"]
    assert room.verdict == "near" and "worn under it" in room.text
    (room,) = [c for c in checks_of(read_project(sound | {"ease||beneath": "0.1"})) if c.what == "room"]
    assert room.verdict == "right"


@pytest.mark.parametrize("typed", [{}, {"style||garment": "pinafore"}, {"toile|1|seen": "It pulls."}])
def test_an_empty_form_has_no_level(typed):
    assert levels_of(typed) | {"toile": 0} == dict.fromkeys(SOUND, 0)


def test_what_cannot_be_read_is_a_sentence_beside_its_field(sound):
    wrong = {"walks|1|one": "long", "cutting||main": "some", "style|2|is": "wide", "ease||width": "9" * 40}
    assert set(read_project(sound | wrong).faults) == set(wrong)


# -- the form


def say(form: ProjectForm, kind: str, typed: dict[str, str], **more) -> list[dict]:
    told: list[dict] = []
    form.send = lambda what, *_: told.append(what)
    edits = form.kept.edits + 1
    form._hear(form, {"kind": kind, "who": "page", "n": 1, "typed": typed, "edits": edits, **more}, [])
    return told


def test_learners_are_not_told_the_answer(sound, tmp_path):
    form = ProjectForm("lena", tmp_path)
    (told,) = say(form, "check", sound | {"walks|1|one": "48", "cutting||main": "13"})
    texts = " ".join(c["text"] for c in told["checked"])
    project = read_project(sound)
    seam = next(s for s in project.made.seams if s.name == "side seam")
    length = side_length({p.name: p for p in project.made.pieces}, seam.a)
    assert f"{length:.1f}" in " ".join(c.aside for c in checks_of(project))
    assert f"the pattern has {length:.1f}" not in texts and "cutting list has" not in texts


def test_what_is_typed_is_found_again(sound, tmp_path):
    form = ProjectForm("lena", tmp_path)
    assert form.hand_in().record is None
    say(form, "set", sound)
    assert ProjectForm("lena", tmp_path).kept.typed == sound
    assert ProjectForm("mo", tmp_path).kept.typed == {}
    book = tmp_path / "a.ipynb"
    book.write_bytes(hostile.text(hostile.notebook(form.record())))
    assert find_project("lena", tmp_path / "elsewhere", book).typed == sound
    shown = form.hand_in()._repr_mimebundle_()
    assert "She kneels at the wheel" in shown["text/html"] and "She kneels" in shown["text/plain"]
    say(form, "set", {"style|1|why": "x" * 300})
    assert "more than 200 letters" in form.sheet["fault"] and form.kept.typed == sound


def test_the_card_lays_the_form_out_and_knows_the_name_of_the_exercises(tmp_path):
    (tmp_path / "exercises").mkdir()
    (tmp_path / "lessons").mkdir()
    write_card(Name("lena", "loom"), tmp_path / "exercises")
    card = NameCard(find_card(tmp_path / "lessons"), tmp_path / "lessons")
    place = card.project()
    place._ipython_display_()
    assert isinstance(place.thing, ProjectForm) and place.thing.student == "lena"
    card.write("mo")
    assert place.thing.student == "mo"


def test_own_measures_are_taken_from_the_file(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    form = ProjectForm("lena", tmp_path)
    (told,) = say(form, "measures", {})
    assert "No measures of yours are saved" in told["filled"] and not form.kept.typed
    (tmp_path / "me.toml").write_text("bust_girth = 94\nwaist_girth = 78\nhip_girth = '41 in'\n")
    (told,) = say(form, "measures", {"measures|bust_girth|length": "95"})
    assert told["filled"].startswith("3 measures")
    assert form.kept.typed["measures|bust_girth|length"] == "95"  # her own word stays
    assert form.kept.typed["measures|hip_girth|length"] == "104.1 cm"


def picture(kind: str = "JPEG", **more) -> str:
    out = io.BytesIO()
    noted = Image.Exif()
    noted[0x010F], noted[0x0112] = "The camera", 6  # its maker; turned by a quarter
    noted.get_ifd(0x8825)[1] = "N"  # the place
    Image.new("RGB", (2400, 1200), "brown").save(out, kind, exif=noted, **more)
    return base64.b64encode(out.getvalue()).decode()


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_photographs_lose_what_the_camera_noted(tmp_path, kind):
    form = ProjectForm("lena", tmp_path)
    (told,) = say(form, "photograph", {}, name="../My Toile.png", data=picture(kind))
    (path,) = (tmp_path / FOLDER).iterdir()
    assert path.name == "my-toile.jpg" and "my-toile.jpg" in told["photograph"]
    with Image.open(path) as kept:
        assert kept.size == (800, 1600) and not kept.getexif() and "exif" not in kept.info  # stands upright
    assert list(form.record()["typed"].values()) == ["my-toile.jpg"]  # the name, and no picture
    (told,) = say(form, "photograph", {}, name="x.jpg", data=base64.b64encode(b"no picture").decode())
    assert "no picture" in told["photograph"] and len(list((tmp_path / FOLDER).iterdir())) == 1


# -- in a class


def marks(out) -> list[dict[str, str]]:
    with open(out / "marks.csv", encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def mark(base, *more: str) -> None:
    out = str(base / "marks")
    assert assess_command([str(base / "handins"), "--out", out, "--workers", "2", *more]) == 0


def write_own(base, levels: dict[str, str]) -> None:
    rows = marks(base / "marks")
    for row in rows:
        row["own mark"] = levels.get(row["exercise"], row["own mark"])
    with open(base / "marks" / "marks.csv", "w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)


@pytest.fixture(scope="module")
def handed_in(tmp_path_factory):
    """Two learners: a sound project with two attempts, and one that writes page code into its reasons."""
    base = tmp_path_factory.mktemp("projects")
    for who, name in (("s01", "16"), ("s03", "16")):
        place = base / "handins" / who
        place.mkdir(parents=True)
        (place / f"{name}.ipynb").write_bytes(messy_class.project(who))
    typed = typed_of(messy_class.project("s03")) | {"style|1|why": "<script>alert(1)</script> =1+1"}
    (base / "handins" / "s03" / "16.ipynb").write_bytes(
        hostile.text(hostile.notebook(record_of(Kept("s03", 5, typed))))
    )
    begun = record_of(Kept("s01", 1, {"style||garment": "apron"}))
    (base / "handins" / "s01" / "16 (1).ipynb").write_bytes(hostile.text(hostile.notebook(begun)))
    photographs = base / "handins" / "s01" / "photographs"
    photographs.mkdir()
    (photographs / "toile-front.jpg").write_bytes(b"\xff\xd8\xff")
    mark(base)
    return base


def test_a_project_waits_for_the_instructors_levels(handed_in):
    rows = {
        r["exercise"]: r for r in marks(handed_in / "marks") if r["student"] == "s01" and " " in r["exercise"]
    }
    assert list(rows) == [f"16 {id}" for id in criteria()]  # as on the printed sheet
    assert {r["mark"] for r in rows.values()} == {""}
    assert {r["exercise"][3:]: int(r["proposed"]) for r in rows.values() if r["proposed"]} == SOUND
    assert {r["state"] for r in rows.values()} == {"waits for your level"}
    (other,) = [r for r in marks(handed_in / "marks") if r["student"] == "s01" and r["exercise"] == "16"]
    assert other["state"] == "judged, does not count"
    page = (handed_in / "marks" / "class.html").read_text()
    assert "Projects" in page and "project.html" in page


def test_the_sheet_of_criteria_has_all_that_is_needed(handed_in):
    page = (handed_in / "marks" / "project.html").read_text()
    for criterion in criteria().values():
        for words in criterion.levels:
            assert words.replace("'", "&#x27;") in page
    first, second = page.split('<section class="sheet" id="project-')[1:]
    assert "1 of 2 photographs that are named came in. Not: pieces.jpg." in first
    assert "0 of 2 photographs that are named came in." in second  # another learner's of the same name
    top = page.partition('id="project-0"')[0]
    assert '<a href="#project-0">s01</a>' in top and '<a href="#project-1">s03</a>' in top
    assert "<td>walk 1</td>" in top  # of s03, to be looked at
    assert "The pattern has 4" in page and "the library drafts" in page  # the answer, and what proves nothing
    assert "&lt;script&gt;" in page and "<script" not in page
    own = (handed_in / "marks" / "students" / "s01.html").read_text()
    assert "The pattern has 4" not in own and "0 of 8 levels are given" in own


def test_levels_come_in_by_the_own_marks_and_stay(handed_in, tmp_path):
    import shutil

    base = tmp_path / "copy"
    shutil.copytree(handed_in, base)
    ok = {f"16 {id}": "ok" for id in SOUND}
    write_own(base, ok | {"16 pieces": "2.5"})
    mark(base)
    with open(base / "marks" / "mark-sheet.csv", encoding="utf-8-sig", newline="") as file:
        sheet = {r["student"]: r for r in csv.DictReader(file)}
    assert sheet["s01"]["16"] == "waits" and sheet["s01"]["total"] == str(sum(SOUND.values()) + 2.5)
    with open(base / "marks" / "own-remarks.csv", "a", encoding="utf-8") as file:
        file.write("s01,16 neatness,1,Rule the grain lines.\n")
    mark(base)
    mark(base)
    with open(base / "marks" / "mark-sheet.csv", encoding="utf-8-sig", newline="") as file:
        sheet = {r["student"]: r for r in csv.DictReader(file)}
    assert sheet["s01"]["16"] == str(sum(SOUND.values()) + 3.5)
    assert sheet["s01"]["out of"] == str(HIGHEST * len(criteria()))
    own = (base / "marks" / "students" / "s01.html").read_text()
    assert "Mark: 16.5 of 24" in own and "Rule the grain lines." in own
    assert criteria()["neatness"].levels[1] in own
    (row,) = [r for r in marks(base / "marks") if (r["student"], r["exercise"]) == ("s01", "16 neatness")]
    assert row["state"] == "your level" and row["changed"].startswith("was no mark, now 1: your own mark")


@pytest.mark.skipif(not can_wrap(), reason="needs bubblewrap")
def test_the_lesson_of_the_project_is_not_run_again(handed_in, tmp_path, monkeypatch):
    from patternlib.assess.sandbox.runner import Runner

    run = Runner.run
    seen = []
    monkeypatch.setattr(
        Runner, "run", lambda self, cells, second="": seen.append(cells) or run(self, cells, second)
    )
    out = tmp_path / "marks"
    assert assess_command([str(handed_in / "handins"), "--out", str(out), "--rerun"]) == 0
    assert not any("card.project()" in cell for cells in seen for cell in cells)
    told = {r["exercise"]: r["evidence"] for r in marks(out) if " " in r["exercise"]}
    assert {e for e, said in told.items() if said == "only the paper tells"} == {"16 pieces", "16 neatness"}
    assert set(told.values()) == {"only the paper tells", "calculated from what was typed"}


def test_the_same_sentences_are_a_reason_to_ask(handed_in, tmp_path):
    for who in ("s29", "s30", "s31"):
        (tmp_path / "handins" / who).mkdir(parents=True)
        (tmp_path / "handins" / who / "16.ipynb").write_bytes(messy_class.project(who))
    mark(tmp_path)
    page = (tmp_path / "marks" / "class.html").read_text()
    assert "longer sentences of &#x27;s29&#x27; and &#x27;s30&#x27; agree word for word" in page
    assert "&#x27;s31&#x27;" not in page
    assert "agree word for word" not in (tmp_path / "marks" / "students" / "s30.html").read_text()


def test_the_empty_form_is_printed_with_its_criteria(tmp_path):
    (tmp_path / "class.csv").write_text("id,group\nada,A\nben,B\nmo,A\n")
    out = tmp_path / "16.pdf"
    words = ["handouts", "16", "--register", str(tmp_path / "class.csv"), "--group", "A", "--out", str(out)]
    assert main(words) == 0
    read = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]
    sheets = [text for text in read if "16 The project: criteria" in text]
    assert len(sheets) == 2 and "ada" in sheets[0] and "mo" in sheets[1]
    for criterion in criteria().values():
        for level in criterion.levels:
            assert level.replace(" ", "") in sheets[0].replace(" ", "")
    form = "".join(text for text in read if "ada" in text).replace(" ", "")
    for section in sections():
        assert section.title.replace(" ", "") in form
        for part in (*section.once, *section.parts):
            assert part.key == "unit" or part.label.replace(" ", "") in form
    assert main(["worksheet", "16", "--student", "ada", "--out", str(tmp_path / "one.pdf")]) == 0
    assert 2 * len(PdfReader(tmp_path / "one.pdf").pages) == len(read)
    assert main(["worksheet", "16", "--student", "ada", "--out", str(tmp_path / "no" / "x.pdf")]) == 2


def test_a_due_day_for_the_project(handed_in, tmp_path):
    (tmp_path / "due.csv").write_text("exercise,due\n16,2026-03-30\n")
    (tmp_path / "class.csv").write_text("id\ns01\ns03\ns04\n")
    out = tmp_path / "marks"
    tables = ["--due", str(tmp_path / "due.csv"), "--register", str(tmp_path / "class.csv")]
    assert assess_command([str(handed_in / "handins"), "--out", str(out), *tables]) == 0
    with open(out / "mark-sheet.csv", encoding="utf-8-sig", newline="") as file:
        sheet = {r["student"]: r[PROJECT] for r in csv.DictReader(file)}
    assert sheet.pop("out of") == str(HIGHEST * len(criteria()))
    assert sheet == {"s01": "waits", "s03": "waits", "s04": "missing"}


def test_the_portfolio_shows_the_project_without_measures(handed_in):
    page, said = portfolio_page(handed_in / "handins" / "s01")
    assert "and the project" in said and "She kneels at the wheel" in page and "<svg" in page
    assert "bust girth" not in page and "from a size chart" not in page
    page, said = portfolio_page(handed_in / "handins" / "s03")  # one of its walks is wrong
    assert "and the project" not in said and "Begun, not yet right: 16" in page


def test_every_published_criterion_of_the_sheet_is_one_of_the_table():
    """The table of criteria that units and rubrics have published: tests/data/assessment_criteria.csv."""
    with open(os.path.join(ROOT, "tests", "data", "assessment_criteria.csv"), encoding="utf-8") as file:
        known = {row[-1].strip() for row in csv.reader(line for line in file if line[0] != "#")}
    for criterion in criteria().values():
        assert len(criterion.levels) == HIGHEST + 1
        unit = ""
        for part in criterion.published.split(", ") if criterion.published != "our own" else ():
            unit = part.split(" ")[0] if not part[0].isdigit() else unit
            assert any(unit in where for where in known), criterion.id

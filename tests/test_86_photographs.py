"""Photographs on the paper form: what the page is answered, and the record of what was read.

- Everything read from photographs is a record of way 'photograph', with the pictures' hash and residual; one
  place typed over makes it a record of the ruler.
- Its scale is that of the sheet, whatever scale the lengths are typed at.
- What was read is found again, in the file and in the saved notebook.
- A file comes in parts; another exercise's or another student's sheet is answered by a sentence.
- Nothing of the rule's draft is used before it is compared, and nothing is imported before a file is chosen.
"""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from dataclasses import replace

import pytest

from patternlib.assess import exercises, judge, read
from patternlib.assess.learner import photographs
from patternlib.assess.learner.form import PaperForm
from patternlib.assess.learner.photographs import GONE, ONLY_LAB, Photographs, missing
from patternlib.assess.learner.written import find_form
from patternlib.assess.photographed.flags import flag_names
from patternlib.assess.photographed.label import STRIPS, Label
from patternlib.assess.photographed.placed import worked_again
from patternlib.errors import PatternError
from patternlib.geometry import Point
from patternlib.photo.layouts import sheet_layout
from tests.form_tools import filled, photographed
from tests.test_86_card_and_form import saved, say

STUDENT = "lena"


class Crossing:
    def __init__(self, point: Point, strength: float = 1.0) -> None:
        self.point, self.strength = point, strength


class FakeFlat:
    """A photograph as the reading gives it, with what a test wants to be on it."""

    kind, residual, tilt, sha256, box = "sheet", 0.113, 7.4, "cd" * 32, (1.0, 1.0, 20.0, 28.7)

    def __init__(self, label: str = "", flags=None) -> None:
        self.label, self.flags, self.doubtful = label, flags or {}, ()

    def picture(self, px_per_cm):
        return b"picture %d" % px_per_cm

    def enlarged(self, at, cm=3.0, px=480):
        return b"enlarged"

    def crossings(self, at, radius=0.3):
        return (Crossing(Point(at.x + 0.1, at.y)), Crossing(Point(at.x, at.y - 0.2), 0.6))

    def all_crossings(self, box=None):
        return tuple(Crossing(Point(k / 10, 5)) for k in range(900))

    def trace(self, places):
        return (places[0], (places[0] + places[-1]) * 0.5, places[-1])


def label(id: str = "02a", student: str = STUDENT) -> str:
    return Label(id, student, 2, "a4", 3, 4, Point(2.5, 26.25)).text()


def desk(work=None) -> Photographs:
    real = exercises()["02a"]
    return Photographs(work or real, real.own_numbers(STUDENT), STUDENT)


def form_of(id: str, folder, typed) -> PaperForm:
    form = PaperForm(id, student=STUDENT, folder=folder)
    say(form, "set", typed)
    return form


# -- the record


@pytest.mark.parametrize("id", ["02a", "02b", "03a", "06a", "07a", "09a", "10a", "20a"])
@pytest.mark.parametrize("scale", ["full", "half"])
def test_what_is_read_from_photographs_is_right_and_says_so(id, scale, tmp_path):
    work = exercises()[id]
    form = form_of(id, tmp_path, photographed(work, work.own_numbers(STUDENT), scale=scale))
    record = read(form.record())
    wrong = [line.text for line in judge(record).lines if line.verdict not in ("right", "carried")]
    assert wrong == []
    if not (record.points or record.curves or any(p.cut_line or p.grain for p in record.finish.values())):
        assert record.way == "paper"
        return
    assert (record.way, record.scale) == ("photograph", {"full": 1, "half": 2}[scale])
    (picture,) = record.photographs
    assert (picture.sha256, picture.residual, picture.page) == ("ab" * 32, 0.11, 1)
    assert record.places.keys() == record.curves.keys() and worked_again(record)


def test_one_place_typed_over_makes_it_a_record_of_the_ruler(tmp_path):
    work = exercises()["02a"]
    typed = photographed(work, work.own_numbers(STUDENT), scale="half")
    say_ruler = typed | {"side hip|across": f"{float(typed['side hip|across'].split()[0]) + 0.1:.2f} cm"}
    record = read(form_of("02a", tmp_path, say_ruler).record())
    assert (record.way, record.scale, record.photographs) == ("paper", 2, ())
    assert read(form_of("02a", tmp_path, typed).record()).way == "photograph"


def test_a_line_with_more_places_than_a_record_takes_is_judged_all_the_same(tmp_path):
    work = exercises()["02b"]
    curve, typed = work.reference(work.own_numbers(STUDENT))["back hip curve"], {}
    for k in range(40):
        x, y = curve.at(curve.length * k / 39)
        typed |= {f"back hip curve|{k + 1}|across": f"{x:.2f}", f"back hip curve|{k + 1}|up": f"{y:.2f}"}
    record = read(form_of("02b", tmp_path, typed).record())
    (line,) = (line for line in judge(record).lines if line.step == "back hip curve")
    assert record.way == "paper" and line.verdict in ("right", "carried")


def test_lengths_typed_at_half_scale_leave_the_record_of_a_photograph_as_it_is(tmp_path):
    work = exercises()["02a"]
    typed = photographed(work, work.own_numbers(STUDENT), scale="half")
    before = read(form_of("02a", tmp_path, typed).record())
    for key in [k for k in typed if k.endswith(("|across", "|up"))]:
        typed[key] = f"{float(typed[key].split()[0]) / 2:.2f} cm"
    after = read(form_of("02a", tmp_path, typed | {"scale": "half"}).record())
    assert (after.way, after.points, after.scale) == ("photograph", before.points, 2)


def test_a_photograph_at_another_scale_is_asked_no_question(tmp_path):
    """The sheet knows its scale: 'was this drawn at half scale?' would lead astray."""
    work = exercises()["02a"]
    typed = photographed(work, work.own_numbers(STUDENT), scale="half")
    for key in [k for k in typed if k.endswith("|photograph")]:
        n, x, y = typed[key].split()
        typed[key] = f"{n} {float(x) / 2:.4f} {float(y) / 2:.4f}"
        for part, cm in (("across", x), ("up", y)):
            typed[key.replace("photograph", part)] = f"{float(cm) / 2:.2f} cm"
    form = form_of("02a", tmp_path, typed)
    assert form.record()["way"] == "photograph" and form.compared()["question"] == {}


def test_strips_keep_the_distances_that_were_typed(tmp_path):
    work = exercises()["02a"]
    typed = photographed(work, work.own_numbers(STUDENT), sheet=False)
    typed |= {"photograph|0|cm0": "71.3", "photograph|0|cm1": "68,9 cm", "photograph|0|to1": "C"}
    (picture,) = read(form_of("02a", tmp_path, typed).record()).photographs
    assert (picture.kind, picture.distances) == ("strips", {"A–C": "71.3", "B–C": "68,9 cm"})


@pytest.mark.parametrize(
    "broken",
    [{"photograph|1|sha256": "no hash"}, {"photograph|1|residual": "small"}, {"side hip|photograph": "1 27"},
     {"side hip|photograph": "1 nan inf"}, {"side hip|photograph": "77 27.0 -24.1"}],
)  # fmt: skip
def test_a_photograph_that_is_not_known_counts_as_the_ruler(broken, tmp_path):
    work = exercises()["02a"]
    typed = photographed(work, work.own_numbers(STUDENT))
    assert read(form_of("02a", tmp_path, typed | broken).record()).way == "paper"


def test_what_was_read_is_found_again_in_the_file_and_in_the_saved_notebook(tmp_path):
    work = exercises()["02a"]
    typed = photographed(work, work.own_numbers(STUDENT))
    form = form_of("02a", tmp_path, typed)
    assert find_form("02a", STUDENT, tmp_path).typed == typed
    book = saved(tmp_path / "a.ipynb", form.hand_in()._repr_mimebundle_())
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    assert find_form("02a", STUDENT, elsewhere, book).typed == typed


# -- what the page is answered


def test_a_file_comes_in_parts_and_is_read_when_it_is_whole(monkeypatch):
    got = []
    monkeypatch.setattr(
        "patternlib.photo.reading.read_photograph", lambda data, **how: got.append((data, how))
    )
    monkeypatch.setattr(Photographs, "take", lambda self, flat: ({"taken": {}}, []))
    monkeypatch.setattr(photographs, "missing", lambda: "")
    form = desk()
    flat = FakeFlat(label())
    monkeypatch.setattr(
        "patternlib.photo.reading.read_photograph", lambda data, **how: got.append((data, how)) or flat
    )
    parts = [b"one", b"two", b"three"]
    for k, part in enumerate(parts):
        answer, _ = form.answer(
            {"do": "part", "part": k, "of": 3, "line": "15 cm", "ask": 9}, [memoryview(part)]
        )
        assert bool(answer) == (k == 2)
    assert got == [(b"onetwothree", {"distances": [], "test_line": 15.0})]
    assert answer == {"taken": {}, "do": "part", "ask": 9}
    form.answer({"do": "part", "part": 0, "of": 3}, [b"one"])
    lost, _ = form.answer({"do": "part", "part": 2, "of": 3}, [b"three"])
    assert "did not come whole" in lost["fault"]


def test_strips_ask_for_two_distances(monkeypatch):
    flat = FakeFlat()
    flat.kind = "strips"
    monkeypatch.setattr("patternlib.photo.reading.read_photograph", lambda data, **how: flat)
    monkeypatch.setattr(photographs, "missing", lambda: "")
    form = desk()
    said = {"do": "part", "part": 0, "of": 1, "distances": [["A", "C", "71.3"]]}
    answer, _ = form.answer(said, [b"x"])
    assert "two distances" in answer["fault"] and answer["lengths"]
    wrong, _ = form.answer({"do": "again", "distances": [["A", "C", "71 yards"], ["B", "D", "60"]]})
    assert wrong["fault"].startswith("distance from cross A to cross C: '71 yards' is not a length")
    right, pictures = form.answer({"do": "again", "distances": [["A", "C", "71.3"], ["B", "D", "60"]]})
    assert right["taken"]["kind"] == "strips" and right["taken"]["frame"] == "" and len(pictures) == 1


@pytest.mark.parametrize(("far", "read"), [(0.9, False), (1.1, True)])
def test_two_flags_close_to_each_other_do_not_say_how_the_draft_lies(far, read):
    """1 cm apart, a tip put 0.5 mm off would turn the whole draft by 3 degrees."""
    strips = FakeFlat(flags={0: Point(3, 4), 1: Point(3, 4 - far)})
    strips.kind = "strips"
    assert bool(desk().take(strips)[0]["taken"]["tapped"]) is read


def test_a_sheet_says_its_page_its_scale_and_where_the_draft_lies():
    form = desk()
    answer, (jpeg,) = form.take(FakeFlat(label()))
    taken = answer["taken"]
    assert (taken["page"], taken["scale"], taken["frame"]) == ("3", "half", "2.5000 26.2500 0 1 2")
    assert taken["flags"] == {} and jpeg == b"picture 60"


def test_flags_name_their_points_and_lines_are_followed_between_them():
    work = exercises()["02b"]
    of = work.own_numbers(STUDENT)
    names = flag_names(work, of)
    flags = {names.index(name): Point(k, 2 * k) for k, name in enumerate(("side hip", "back side waist"))}
    sheet = FakeFlat(label("02b"), flags | {170: Point(9, 9)})
    sheet.doubtful = (names.index("back dart point"), 171)
    answer, _ = Photographs(work, of, STUDENT).take(sheet)
    assert answer["taken"]["doubtful"] == ["back dart point"]
    assert answer["taken"]["flags"] == {"side hip": [0, 0], "back side waist": [1, 2]}
    assert answer["taken"]["lines"] == {"back hip curve": [[0, 0], [0.5, 1], [1, 2]]}
    assert answer["taken"]["tapped"] == []
    strips = FakeFlat(flags={0: Point(3, 4), 1: Point(3, -22)})
    strips.kind = "strips"
    answer, _ = Photographs(work, of, STUDENT).take(strips)
    assert answer["taken"]["tapped"] == [[3, 4], [3, 30]] and answer["taken"]["flags"] == {}


def test_the_slip_beside_strips_says_whose_draft_it_is():
    strips = FakeFlat(Label("02a", STUDENT, 2, STRIPS, 1, 1, Point(0, 0)).text())
    strips.kind = "strips"
    taken = desk().take(strips)[0]["taken"]
    assert (taken["scale"], taken["frame"], taken["page"]) == ("half", "", "")
    strips.label = Label("02a", "eva", 2, STRIPS, 1, 1, Point(0, 0)).text()
    with pytest.raises(PatternError, match="printed for 'eva'"):
        desk().take(strips)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (label("02b"), "This is a page of exercise 02b, and this is the form of 02a"),
        (label(student="eva"), "printed for 'eva'"),
        ("https://example.org", "not one of this course's worksheets"),
        ("", "code in the corner of the page cannot be read"),
    ],
)
def test_another_sheet_is_refused_with_a_sentence(text, said):
    form = desk()
    with pytest.raises(Exception, match=said):
        form.take(FakeFlat(text))
    assert form.flats == {}


def test_places_are_enlarged_crossings_listed_and_lines_traced_without_the_rule():
    def no_rule(_numbers):
        raise AssertionError("the rule's draft was looked at")

    form = desk(replace(exercises()["02a"], draw=no_rule))
    form.take(FakeFlat(label()))
    of = {"sha256": FakeFlat.sha256, "ask": 4}
    look, (jpeg,) = form.answer({"do": "look", "at": [3.0, 4.0], **of})
    assert (look["at"], look["cm"], look["ask"], jpeg) == ([3.0, 4.0], 3.0, 4, b"enlarged")
    assert look["crossings"] == [[[3.1, 4.0], 1.0], [[3.0, 3.8], 0.6]]
    found, _ = form.answer({"do": "crossings", "box": [1, 22.7, 7, 28.7], **of})
    assert len(found["crossings"]) == photographs.MOST_CROSSINGS and found["crossings"][1] == [0.1, 5]
    line, _ = form.answer({"do": "trace", "places": [[1, 1], [3, 5]], **of})
    assert line["line"] == [[1, 1], [2, 3], [3, 5]]


def test_the_edges_of_printed_squares_are_no_crossings_for_the_keys():
    layout = sheet_layout("a4", 2)
    (printed, *_), free = layout.markers.values(), Point(8, 12)
    inside = [*printed, *([Point((layout.code[0] + layout.code[2]) / 2, layout.code[1] + 0.4)])]

    class Seen(FakeFlat):
        def all_crossings(self, box=None):
            return tuple(Crossing(Point(*p)) for p in (*inside, free))

    form = desk()
    form.take(Seen(label()))
    found, _ = form.answer({"do": "crossings", "box": [1, 1, 20, 28], "sha256": FakeFlat.sha256})
    assert found["crossings"] == [[8, 12]]


def test_a_photograph_that_is_gone_is_said_and_a_strange_message_passed_over():
    form = desk()
    assert form.answer({"do": "look", "at": [1, 1], "sha256": "old"})[0]["fault"] == GONE
    assert form.answer({"do": "dance"}) == ({}, [])
    assert form.answer({"do": "again"})[0]["fault"] == "Choose the photograph first."


def test_what_goes_wrong_inside_is_said_on_the_page():
    """A page that hears nothing would wait for ever."""

    class Broken(FakeFlat):
        def trace(self, places):
            raise RuntimeError("inside")

    form = desk()
    form.take(Broken(label()))
    answer, _ = form.answer({"do": "trace", "places": [[1, 1], [3, 5]], "sha256": FakeFlat.sha256})
    assert "(RuntimeError)" in answer["fault"] and "Take the photograph again" in answer["fault"]


def test_photographs_held_ready_are_counted():
    form = desk()
    for n in range(15):
        flat = FakeFlat(label())
        flat.sha256 = f"{n:064x}"
        form.take(flat)
    assert len(form.flats) == photographs.MOST_KEPT and f"{14:064x}" in form.flats


# -- where it works


def test_without_the_package_and_in_the_browser_one_sentence_says_what_to_do(monkeypatch, tmp_path):
    there = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "cv2" else there(name))
    said = missing()
    assert "needs the package opencv-python-headless" in said and 'python -m pip install ".[photo]"' in said
    assert PaperForm("02a", student=STUDENT, folder=tmp_path).setup["photograph"] == said
    answer, _ = desk().answer({"do": "part", "part": 0, "of": 1}, [b"x"])
    assert answer["fault"] == said
    monkeypatch.setattr(sys, "platform", "emscripten")
    assert missing() == ONLY_LAB and "JupyterLab" in ONLY_LAB


def test_nothing_for_photographs_is_imported_before_one_is_chosen():
    code = (
        "import sys, tempfile, pathlib\n"
        "from patternlib.assess.learner.form import PaperForm\n"
        "form = PaperForm('02a', student='lena', folder=pathlib.Path(tempfile.mkdtemp()))\n"
        "form.record(); form.compared()\n"
        "print([n for n in ('cv2', 'scipy', 'patternlib.photo.reading') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_form_filled_with_the_ruler_is_no_photograph(tmp_path):
    work = exercises()["02a"]
    record = read(form_of("02a", tmp_path, filled(work, work.own_numbers(STUDENT))).record())
    assert (record.way, record.scale, record.photographs) == ("paper", 1, ())

"""The name card and the form for drafts on paper.

- The name is kept for all notebooks of a folder and in the saved notebook; no name says so at once.
- Every form filled in with a ruler's millimetres is right for each thing asked, pieces among them.
- A mistake is a sentence for its field and stops no other field.
- Millimetres, inches and half scale are asked about once for the whole draft.
- What was typed is found again, in its file or in the notebook; an empty form hands nothing in.
"""

from __future__ import annotations

import json

import nbformat
import pytest

from patternlib.assess import MIME, exercises, judge, read
from patternlib.assess.hand_ins.notebook import CARD, read_notebook
from patternlib.assess.learner.card import NONE, NameCard
from patternlib.assess.learner.card_file import Name, find_card, write_card
from patternlib.assess.learner.form import PaperForm
from patternlib.assess.learner.typed import read_typed
from patternlib.assess.learner.written import find_form
from patternlib.assess.sandbox.running import _named
from patternlib.assess.table.board import DraftingTable
from patternlib.units import write_length
from tests.form_tools import filled

STUDENT = "lena"


def saved(path, *bundles, cell="1"):
    """A notebook with these outputs, as it is saved."""
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell)])
    book.cells[0].outputs = [nbformat.v4.new_output("display_data", data=data) for data in bundles]
    nbformat.write(book, path)
    return path


def say(form: PaperForm, kind: str, typed: dict[str, str], **more) -> None:
    """What the page sends."""
    edits = form.written.edits + 1
    form._hear(form, {"kind": kind, "who": "page", "n": 1, "typed": typed, "edits": edits, **more}, [])


# -- the card


def test_the_name_is_kept_for_every_notebook_of_the_folder(tmp_path):
    card = NameCard(Name(), tmp_path)
    assert card.said == NONE and CARD not in card.still()._repr_mimebundle_()
    card.write("  Lena   K ", " spring ")
    assert find_card(tmp_path) == Name("Lena K", "spring")
    assert NameCard(find_card(tmp_path), tmp_path).sheet("02a").student == "Lena K"
    card.write("", "")
    assert find_card(tmp_path) == Name() and card.said == NONE


def test_the_name_is_found_in_the_saved_notebook_alone(tmp_path):
    book = saved(tmp_path / "a.ipynb", NameCard(Name("mo", "k"), tmp_path).still()._repr_mimebundle_())
    assert find_card(tmp_path, book) == Name("mo", "k")
    write_card(Name("ada"), tmp_path)
    assert find_card(tmp_path, book) == Name("ada")


def test_a_name_too_long_is_refused_with_a_sentence_and_a_folder_that_takes_no_file_is_said(tmp_path):
    card = NameCard(Name("lena"), tmp_path)
    card.write("x" * 90)
    assert "80 letters" in card.fault and card.student == "lena"
    (tmp_path / "drafts").write_text("no folder")
    card.write("mo")
    assert "cannot be kept" in card.fault and card.student == "mo"


def test_running_a_notebook_again_begins_with_the_name_on_its_card(tmp_path):
    """The name is no text of a cell: without it the cells would be drawn on other measures."""
    bundle = NameCard(Name("mo", "k"), tmp_path).still()._repr_mimebundle_()
    book = read_notebook(saved(tmp_path / "a.ipynb", bundle, cell="card = name_card()").read_bytes())
    space: dict = {"name_card": __import__("patternlib.assess").assess.name_card}
    exec(_named(book)[0], space)
    assert (space["card"].student, space["card"].key) == ("mo", "k")
    assert _named(read_notebook(saved(tmp_path / "b.ipynb").read_bytes())) == ("1",)


# -- the form


@pytest.mark.parametrize("id", exercises(), ids=str)
def test_every_form_filled_in_with_a_ruler_is_right(id, tmp_path):
    work = exercises()[id]
    form = PaperForm(id, student=STUDENT, folder=tmp_path)
    say(form, "set", filled(work, form.of))
    assert form.sheet["faults"] == {} and form.sheet["open"] == {}
    record = read(form.record())
    assert record.way == "paper" and record.typed == form.written.typed
    wrong = [line.text for line in judge(record).lines if line.verdict not in ("right", "carried")]
    assert wrong == []


@pytest.mark.parametrize(
    ("times", "words", "change"),
    [(10, "Were these millimetres?", {"unit": "mm"}), (1 / 2.54, "Were these inches?", {"unit": "in"}),
     (0.5, "Was this drawn at half scale?", {"scale": "half"})],
)  # fmt: skip
def test_unit_and_scale_are_asked_about_once_for_the_whole_draft(times, words, change, tmp_path):
    work = exercises()["02a"]
    form = PaperForm("02a", student=STUDENT, folder=tmp_path)
    typed = filled(work, form.of, times=times, write=lambda x: f"{x:.2f}")
    say(form, "set", typed)
    question = form.compared()["question"]
    assert (question["words"], question["change"]) == (words, change)
    say(form, "set", {**typed, "asked": question["code"]})
    assert form.compared()["question"] == {}
    say(form, "set", {**typed, **change})
    compared = form.compared()
    assert compared["question"] == {} and compared["said"] == "8 of 8."


def test_a_right_draft_is_asked_nothing_and_inches_are_read_with_their_fractions(tmp_path):
    work = exercises()["02a"]
    form = PaperForm("02a", student=STUDENT, folder=tmp_path)
    say(form, "set", filled(work, form.of, write=lambda cm: write_length(cm, "in")))
    compared = form.compared()
    assert compared["said"] == "8 of 8." and compared["question"] == {}


@pytest.mark.parametrize(
    ("id", "typed", "field", "said"),
    [
        ("02a", {"side hip|across": "27 yards", "side hip|up": "-24"}, "side hip|across", "is not a length"),
        ("02a", {"side hip|across": "{1}", "side hip|up": "-24"}, "side hip|across", "is not a length"),
        ("02a", {"side hip|across": "20 m", "side hip|up": "-24"}, "side hip|across", "more than 10 metres"),
        ("02a", {"side hip|across": "27"}, "side hip|up", "how far up"),
        ("02b", {"back waist|1|across": "0", "back waist|1|up": "0"}, "back waist", "two places"),
        ("10b", {"lean, angle|length": "steep"}, "lean, angle|length", "no angle"),
        ("09a", {"front skirt: grain|1|across": "1", "front skirt: grain|1|up": "1"}, "front skirt: grain",
         "two ends"),
    ],
)  # fmt: skip
def test_a_mistake_is_a_sentence_for_its_field_and_stops_no_other(id, typed, field, said):
    work = exercises()[id]
    whole = filled(work, work.own_numbers(STUDENT))
    rest = {key: text for key, text in whole.items() if key.split("|")[0] != field.split("|")[0]}
    found = read_typed(work, {**rest, **typed})
    assert said in (found.faults | found.open)[field]
    assert len(found.faults | found.open) == 1
    fewer = len(read_typed(work, whole).measures) - len(found.measures)
    assert fewer == (0 if ": " in field else 1)


def test_what_is_typed_is_found_in_its_file_and_in_the_notebook(tmp_path):
    folder, other = tmp_path / "one", tmp_path / "two"
    folder.mkdir()
    other.mkdir()
    form = PaperForm("02a", student=STUDENT, folder=folder)
    say(form, "set", {"side hip|across": "27,1", "side hip|up": "-24", "unit": "cm"})
    assert PaperForm("02a", student=STUDENT, folder=folder).sheet["typed"]["side hip|across"] == "27,1"
    book = saved(other / "a.ipynb", form.hand_in()._repr_mimebundle_())
    assert find_form("02a", STUDENT, other, book).typed == form.written.typed
    assert find_form("02a", "mo", other, book).typed == {}


def test_an_empty_form_hands_nothing_in_and_a_broken_one_keeps_its_text(tmp_path):
    form = PaperForm("02a", student=STUDENT, folder=tmp_path)
    assert MIME not in form.hand_in()._repr_mimebundle_()
    assert "fill in a row" in form.compared()["said"]
    say(form, "set", {"side hip|across": "much"})
    assert MIME not in form.hand_in()._repr_mimebundle_() and "much" in repr(form.hand_in())


def test_the_worksheet_is_written_beside_the_notebook(tmp_path):
    form = PaperForm("02a", student=STUDENT, folder=tmp_path)
    printed = form.printed(scale="half", paper="letter")
    assert (tmp_path / printed["file"]).read_bytes()[:5] == b"%PDF-"
    (tmp_path / printed["file"]).unlink()
    (tmp_path / printed["file"]).mkdir()
    assert "cannot be written" in form.printed(scale="half", paper="letter")["fault"]


# -- hints


def test_hints_are_counted_on_table_and_form_and_outlive_an_empty_table(tmp_path):
    table = DraftingTable("02a", student=STUDENT, folder=tmp_path)
    table._hear(table, {"kind": "hint", "n": 2, "who": "page"}, [])
    again = DraftingTable("02a", student=STUDENT, folder=tmp_path)
    assert again.sheet["hints"] == 2 and again.record()["hints"] == 2
    form = PaperForm("02a", student=STUDENT, folder=tmp_path)
    assert form.sheet["hints"] == 0
    form._hear(form, {"kind": "hint", "n": 3, "who": "page"}, [])
    say(form, "set", {"side hip|across": "27", "side hip|up": "-24"})
    assert read(json.dumps(form.record())).hints == 3
    assert judge(form.record()).mark == judge({**form.record(), "hints": 0}).mark


def test_what_the_table_of_the_old_name_hears_late_is_not_shown_for_the_new_one(tmp_path, monkeypatch):
    class Shown:
        def __init__(self, first):
            self.now = first

        def update(self, other, **_):
            self.now = other

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("patternlib.assess.learner.exercises.display", lambda first, **_: Shown(first))
    card = NameCard(Name("lena"), tmp_path)
    place = card.table("02a")
    place._ipython_display_()
    old = place.thing
    card.write("mo")
    old.put(old.kept)
    assert place._kept.now.record["student"] == "mo"
    place.thing.put(place.thing.kept)
    assert place._kept.now.record["student"] == "mo" and old.out is None

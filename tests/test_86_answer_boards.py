"""Answering on a live board: only what rests on a measure the student has set is handed in."""

from __future__ import annotations

import pytest

from patternlib.assess import exercises, judge
from patternlib.assess.answers.board import answer_board, board_record, settable
from patternlib.errors import PatternError
from patternlib.output.items import Stroke, Text


@pytest.mark.parametrize("id", exercises())
def test_an_untouched_board_earns_nothing(id):
    verdict = judge(board_record(id, {}, student="lena"))
    assert verdict.mark == 0 and {line.verdict for line in verdict.lines} == {"missing"}


def test_a_board_with_every_measure_set_right_earns_full_marks():
    for id in ("01a", "02a", "02b", "03a", "05c", "06a", "06b", "07a"):
        work = exercises()[id]
        draft = work.reference(work.own_numbers("lena"))
        right = {
            n: draft[n] if draft.step(n).op == "sum" else draft.step(n).measure for n in settable(work, draft)
        }
        verdict = judge(board_record(id, right, student="lena"))
        assert verdict.mark == verdict.out_of, id


@pytest.mark.parametrize("id", ("13b", "14b", "15a"))
def test_every_right_measure_can_be_set(id):
    """A number may be longer than any line of a draft, or under 0, as the ease that a small print leaves."""
    work = exercises()[id]
    board, under = answer_board(id, student="lena"), 0
    for student in map(str, range(40)):
        draft = work.reference(work.own_numbers(student))
        for name in settable(work, draft):
            assert board.slider(name).accept(draft[name]) == draft[name]
            under += draft[name] < 0
    assert under > 0 or id != "15a"


def test_a_board_says_what_is_still_to_be_set_and_nothing_about_right_or_wrong():
    board = answer_board("02a", student="lena")
    (said,) = board.draw().findings
    assert said.text.startswith("Still to be set: centre back hip, centre back hem,")
    board.values = dict.fromkeys(board.values, 30.0)
    (said,) = board.draw().findings
    assert said.text == "Every measure is set. Run the cell below to have them checked."


def test_a_board_names_what_is_drawn_and_shows_numbers_as_bars():
    """A bar is as long as its number, in the scale of the others; what is not set has none."""
    board = answer_board("02a", student="lena")
    named = {
        item.text for item in board.draw({"centre back hip": 20.0}).scene.items if isinstance(item, Text)
    }
    assert named == {"waist at centre back", "centre back hip"}
    picture = answer_board("01a", student="lena").draw({"half of the hip": 51.0, "shaping": 13.0})
    bars = {i.title: i.d[1][1] for i in picture.scene.items if isinstance(i, Stroke)}
    assert bars == {"half of the hip": 51.0, "shaping": 13.0}
    texts = [i.text for i in picture.scene.items if isinstance(i, Text)]
    assert "half of the hip: 51 cm" in texts and "dart mouths: not set" in texts


def test_an_exercise_without_measures_to_set_says_so():
    with pytest.raises(PatternError, match="in code or on paper"):
        answer_board("04a", student="lena")

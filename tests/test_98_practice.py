"""Find the slip: drafts by an imaginary hand, what is answered, which comes next, what is kept and printed.

- In each draft only the steps of the slip are off; they can be chosen, the right sentence is a choice.
- The same seed gives the same draft, the next one another body.
- The stated rule of the boxes holds; two slips come later; nothing is lost when it is opened again.
- The printed sheets are the same for the same word and end with the answers.
"""

from __future__ import annotations

import json
import re
import shutil
from itertools import pairwise
from pathlib import Path

import pytest

from patternlib.__main__ import main
from patternlib.assess import exercises, find_the_slip, name_card
from patternlib.assess.hand_ins.intake import open_all
from patternlib.assess.marking.class_marking import gather
from patternlib.assess.practice import rounds
from patternlib.assess.practice.board import SlipBoard
from patternlib.assess.practice.cards import MASTERED, RULE, WAIT, Drawn, boxes, cards_of, choose, lessons
from patternlib.assess.practice.kept import MIME, find_practice
from patternlib.assess.practice.printed import slips_pdf
from patternlib.assess.practice.rounds import Answered, make_round
from patternlib.assess.tasks.slipping import slipped
from tests.printed import read

ROOT = Path(__file__).resolve().parent.parent
CARDS = [key for lesson in lessons() for key in cards_of(lesson)]


def answered(made, card):
    return Answered(made.places(card)[0], card.mistake.code)


# -- the drafts


def test_every_listed_mistake_that_can_be_seen_has_a_card():
    listed = sum(not m.unseen for work in exercises().values() for m in work.mistakes)
    numbers = {id[:2] for id, work in exercises().items() if any(not m.unseen for m in work.mistakes)}
    assert len(CARDS) == listed > 80 and len(lessons()) == len(numbers) > 15


@pytest.mark.parametrize("key", CARDS)
def test_only_the_steps_of_the_slip_are_off_and_it_can_be_answered(key):
    made = make_round((key,), "lena 1")
    (card,) = made.cards
    steps = {step.name: step for step in made.shown().steps}
    off = {name for name in made.work.sentences(made.of) if rounds._off(made.draft, name)}
    assert off <= set(card.mistake.at)
    assert made.places(card) and set(made.places(card)) <= set(steps)
    assert made.choices[card.mistake.code] == f"{card.mistake.title}." and len(made.choices) == 5
    (reply,) = made.replies([answered(made, card)])
    assert reply.verdict == "found" and card.mistake.remark in reply.text
    if card.mistake.finish:
        assert made.draft.finish != made.draft.right
        assert all(steps[name].noted for name in card.mistake.at)


def test_a_number_of_the_slip_is_shown_as_it_was_noted():
    made = make_round(("12b ease-forgotten",), "a")
    girth, ease = (made.shown().numbers[n].value for n in ("waist girth", "waist ease"))
    noted = {step.name: step.noted for step in made.shown().steps}["wanted waist"]
    assert float(noted.removesuffix(" cm")) == pytest.approx(girth, abs=0.01)
    assert f"the rule gives {girth + ease:g} cm" in made.explain(made.cards[0])


def test_the_same_seed_gives_the_same_draft_and_the_next_has_another_body(tmp_path):
    boards = [SlipBoard("lena", lesson=2, folder=tmp_path / name) for name in "ab"]
    assert boards[0].state == boards[1].state
    assert SlipBoard("mo", lesson=2, folder=tmp_path).state["numbers"] != boards[0].state["numbers"]
    bodies = []
    for _ in range(4):
        bodies.append(boards[0].round.of.body)
        boards[0].answer()
        boards[0].next()
    assert all(a != b for a, b in pairwise(bodies))


# -- answers


def test_what_is_said_to_answers():
    made = make_round(("02a half-for-quarter",), "lena 2")
    wrong = Answered("centre back hem", "half-for-quarter")
    half = Answered("side hip", "hip-line-from-the-hem")
    right = answered(made, made.cards[0])
    said = made.replies([wrong, right])
    assert [r.verdict for r in said] == ["no", "found"] and said[0].text.startswith("No, centre back hem")
    assert made.done([wrong]) is None and made.done([wrong, right]) == (False,)
    assert [r.verdict for r in made.replies([half, right])] == ["step", "found"]
    assert [r.verdict for r in made.replies([half, wrong])] == ["step", "shown"]
    assert [r.verdict for r in made.replies([Answered()])] == ["shown"] and made.done([Answered()]) == (
        False,
    )
    assert made.done([right]) == (True,)
    assert " in too far right" in made.explain(made.cards[0], "in")


def test_two_slips_are_found_one_after_the_other():
    made = make_round(("02b the-mouth-is-not-centred", "02b the-whole-shaping-at-the-side"), "lena 9")
    one, two = (answered(made, card) for card in made.cards)
    assert made.done([two]) is None
    assert "one more slip" in made.replies([two])[0].text
    assert made.done([two, one]) == (True, True)
    assert made.done([two, Answered(), one]) == (False, True)


def test_nothing_of_the_answer_is_in_the_page_while_the_draft_is_open(tmp_path):
    board = SlipBoard("lena", lesson=2, folder=tmp_path)
    assert not board.state["wanted"] and not board.state["wrong"] and not board.state["done"]
    board.answer()
    assert board.state["wanted"] and board.state["wrong"] and board.state["done"]
    before = board.state
    board.answer("side hip", "half-for-quarter")  # it is done
    assert board.state == before


# -- which comes next


def test_the_stated_rule_of_the_boxes():
    """One slip at a time: a card that was seen comes when its time has come, or where no other's has."""
    key = "02a hip-line-from-the-hem"
    past = [Drawn((key,), (False,))]
    for n in range(1, 60):
        drawn, box = choose(2, past), boxes(2, past)
        last = {k: m for m, d in enumerate(past) for k in d.cards}
        due = {k: last[k] + WAIT[box[k] - 1] for k in last}
        if len(drawn) == 1 and drawn[0] in due:
            assert due[drawn[0]] <= n or not any(d <= n for d in due.values())
        if n == WAIT[0]:
            assert drawn == (key,)  # missed: after two drafts
        past.append(Drawn(drawn, (True,) * len(drawn)))
    assert all(f"{wait} " in RULE or f"{wait}." in RULE for wait in WAIT)
    assert set(boxes(2, past).values()) == {MASTERED}
    assert boxes(2, [*past, Drawn((key,), (False,))])[key] == 1


def test_every_card_comes_and_two_slips_come_later():
    for lesson in lessons():
        past: list[Drawn] = []
        for _ in range(50):
            drawn = choose(lesson, past)
            works = {cards_of(lesson)[key].work.id for key in drawn}
            assert len(works) == 1 and len(set(drawn)) == len(drawn)
            past.append(Drawn(drawn, (True,) * len(drawn)))
        assert {key for drawn in past for key in drawn.cards} == set(cards_of(lesson))
        first = next(n for n, drawn in enumerate(past) if len(drawn.cards) == 2)
        assert first >= len(cards_of(lesson)) / 2


def test_who_never_finds_a_slip_meets_no_two_at_once():
    past: list[Drawn] = []
    for _ in range(30):
        past.append(Drawn(choose(3, past), (False,)))
    assert all(len(drawn.cards) == 1 for drawn in past)


# -- kept


def test_it_is_kept_and_found_again(tmp_path):
    board = SlipBoard("lena", lesson=2, folder=tmp_path)
    board.answer("side hem", "half-for-quarter")
    assert SlipBoard("lena", folder=tmp_path).state == board.state
    board.answer()
    board.next()
    board.take_up(5)
    again = SlipBoard("lena", folder=tmp_path)
    assert again.lesson == 5 and again.practised == board.practised
    again.take_up(2)
    assert again.state["round"] == 2 and again.state["boxes"][0] == ["Hip line from the hem", 1, 0, 1]
    assert SlipBoard("mo", folder=tmp_path).state["round"] == 1


def test_the_notebook_keeps_it_where_the_file_is_lost(tmp_path):
    board = SlipBoard("lena", lesson=2, folder=tmp_path / "a")
    board.answer()
    board.next()
    still = board.hand_in()._repr_mimebundle_()
    assert "0 of 6 slips mastered" in still["text/html"] and "Hip line from the hem" in still["text/html"]
    cell = {
        "cell_type": "code",
        "source": "",
        "outputs": [{"output_type": "display_data", "data": {MIME: still[MIME]}}],
    }
    (tmp_path / "n.ipynb").write_text(json.dumps({"nbformat": 4, "cells": [cell]}))
    assert find_practice("lena", tmp_path / "b", tmp_path / "n.ipynb") == board.practised
    (tmp_path / "n.ipynb").write_text("broken")
    assert find_practice("lena", tmp_path / "b", tmp_path / "n.ipynb").edits == 0


def test_messages_of_the_page_are_read_with_care(tmp_path):
    board = SlipBoard("lena", lesson=2, folder=tmp_path)
    before = board.state
    for said in ({}, {"kind": "lesson", "lesson": 99}, {"kind": "lesson", "lesson": "x"}, {"kind": "next"}):
        board._hear(board, said, [])
    assert board.state == before
    board._hear(board, {"kind": "answer", "at": "x" * 5000, "said": 7, "draft": before["draft"]}, [])
    assert board.state["replies"][0][1] == "no"
    board.unit = "in"
    assert "cm" not in "".join(step[2] for step in board.state["steps"])


def test_a_key_pressed_twice_answers_once(tmp_path):
    board = SlipBoard("lena", lesson=2, folder=tmp_path)
    for kind, replies in (("answer", 1), ("answer", 2)):  # the first draft takes two wrong answers
        said = {"kind": kind, "at": "centre back hem", "said": "", "draft": board.state["draft"]}
        for _ in range(2):
            board._hear(board, said, [])
        assert len(board.state["replies"]) == replies
    said = {"kind": "next", "draft": board.state["draft"]}
    board._hear(board, said, [])
    board.answer()  # the second draft is done, too
    board._hear(board, said, [])
    assert board.state["round"] == 2


def test_what_is_chosen_while_a_name_is_written_is_not_lost(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    SlipBoard("mo", folder=tmp_path).take_up(4)
    card = name_card()
    place = find_the_slip(card)
    place._ipython_display_()
    seen = place.board
    old = {"kind": "answer", "at": "", "said": "", "draft": seen.state["draft"]}
    card.write("lena")  # the page shows the board of no name until it hears of this
    seen._hear(seen, old, [])
    seen._hear(seen, {"kind": "lesson", "lesson": 2}, [])
    seen.unit = "in"
    assert place.board is seen and [seen.state[k] for k in ("student", "lesson", "replies")] == [
        "lena",
        2,
        [],
    ]
    assert SlipBoard("lena").lesson == 2
    card.write("mo")
    assert seen.lesson == 4 and seen.unit == "in"
    card.write("kim")  # nothing is kept of hers: the board stays open where it is
    assert seen.lesson == 4
    card.write("")
    seen.take_up(5)
    card.write("mo")  # chosen just now, before she wrote her name
    assert seen.lesson == 5 and seen.state["student"] == "mo"


# -- printed


def test_the_sheets_are_the_same_for_the_same_word_and_end_with_the_answers(tmp_path):
    data, drafts = slips_pdf("02", count=4)
    assert drafts == 4 and data == slips_pdf("02", count=4)[0] != slips_pdf("02", count=4, seed="x")[0]
    out = tmp_path / "s.pdf"
    assert main(["slips", "02", "--count", "4", "--out", str(out)]) == 0
    assert out.read_bytes() == data
    pages = [page.extract_text() for page in read(data).pages]
    text = "".join(pages)
    answers = " ".join(pages[-1].split())
    assert answers.count("Tell this hand") == 4 and "Tell this hand" not in "".join(pages[:-1])
    assert len(re.findall("Which step went wrong", text)) == 4 and "Print at 100 %" in text


def test_a_draft_stands_on_one_page_where_a_smaller_drawing_allows_it():
    """Lesson 10: a page each and one for the answers; what happened is never parted from its heading."""
    pages = [page.extract_text() for page in read(slips_pdf("10", count=4)[0]).pages]
    assert len(pages) == 5
    for text in (page.extract_text() for page in read(slips_pdf("07", count=3)[0]).pages):
        if "What happened there?" in text:
            assert text.split("What happened there?")[1].count("\n") >= 5


def test_a_faulty_wish_for_sheets_is_refused(tmp_path, capsys):
    for words in (["99"], ["02", "--count", "0"], ["02", "--paper", "a0"]):
        assert main(["slips", *words, "--out", str(tmp_path / "s.pdf")]) == 2
    assert main(["slips", "02", "--count", "1", "--out", str(tmp_path / "none" / "s.pdf")]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_a_draft_without_a_mistake_is_the_rules(tmp_path):
    for work in exercises().values():
        of = work.own_numbers("lena")
        draft = slipped(work, of, ())
        assert all(draft.made[a.name] == draft.target[a.name] for a in work.steps())
        assert draft.finish == draft.right


def test_a_class_run_passes_the_practice_over(tmp_path):
    """It came in, there is nothing to mark in it, and nobody is told that an answer is missing."""
    (tmp_path / "mira").mkdir()
    name = "practice_find_the_slip.ipynb"
    shutil.copy(ROOT / "exercises" / name, tmp_path / "mira" / name)
    books, unread, came_in = gather(open_all(tmp_path))
    assert not books and not unread
    ((where, said),) = came_in
    assert where.endswith(name) and said.startswith("practice")

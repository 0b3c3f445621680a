"""Common mistakes and the lessons' rules, as they stand beside the exercises.

- each listed mistake is put in for seven students: seen, blamed, named, and it costs one step
- the prose in the solutions is printed from the data
- a whole draft in another unit, another scale, mirrored or turned over gets one remark
- an honest hand keeps its marks; a slip of twice the tolerance is blamed
- what a lesson teaches, and the official answers, are right for many students
"""

from __future__ import annotations

import contextlib
import io
import re
from pathlib import Path

import nbformat
import pytest

from patternlib.assess import exercises, judge, load_rubric, name_card
from patternlib.assess.tasks.mistakes import prose
from patternlib.assess.tasks.topics.lesson_rules import RULES
from tests.judging_benchmark import curve_of_sizes, honest, judged_once, right_drafts, whole

ROOT = Path(__file__).resolve().parent.parent
LISTED = [(id, m) for id, work in exercises().items() for m in work.mistakes if not m.unseen]
MANY = [f"student {k}" for k in range(200)]


def test_every_exercise_has_its_list():
    assert all(len(work.mistakes) >= 3 for work in exercises().values())
    assert len(LISTED) >= 89


@pytest.mark.parametrize(("id", "mistake"), LISTED, ids=lambda x: getattr(x, "code", x))
def test_a_listed_mistake_is_seen_blamed_named_and_costs_one_step(id, mistake):
    found = judged_once(id, mistake, 7)
    assert len(found) >= 7, "it must show for seven students"
    assert all(tried.lost > 0 for tried in found), "seen"
    assert all(tried.blamed for tried in found), [t.texts for t in found if not t.blamed][:1]
    assert all(tried.named for tried in found), [t.texts for t in found if not t.named][:1]
    assert all(tried.lost <= tried.dearest for tried in found), [t.texts for t in found][:1]


@pytest.mark.parametrize("path", sorted((ROOT / "solutions").glob("*.ipynb")), ids=lambda p: p.stem)
def test_the_solutions_print_the_lists(path):
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.id.endswith("-remarks"):
            assert cell.source.endswith("\n\n" + prose(exercises()[cell.id[:3]].mistakes))


def test_remarks_end_with_what_to_do_and_are_plain():
    rubric = load_rubric()
    said = [*rubric.slips.values(), *(m.remark for _, m in LISTED)]
    for sentence in said:
        assert sentence[-1] == "." and not re.search(r"reckon|anew|thus|hence|besides", sentence), sentence
        assert "?" not in sentence.split(". ")[-1].rstrip(".") or "? " in sentence, sentence
        assert len(sentence) < 200


@pytest.mark.parametrize("cause", ["mm", "inches", "half scale", "mirrored", "turned over"])
def test_a_whole_draft_off_for_one_cause_gets_one_remark(cause):
    count = whole(2)
    assert count[cause, "one remark"] == count[cause, "drafts"] >= 8


@pytest.mark.parametrize("times", [1.0, 2.0])
def test_an_honest_hand_keeps_its_marks(times):
    count = honest(20, 0.1, times=times)
    assert count["off"] <= 0.005 * count["steps"] and count["full"] >= 0.95 * count["drafts"]
    assert honest(20, 0.15, times=times)["off"] <= 0.02 * count["steps"]


def test_a_slip_of_twice_the_tolerance_is_blamed():
    count = curve_of_sizes(6, "paper")[2.0]
    assert count["drafts"] >= 20 and count["blamed"] >= 0.97 * count["drafts"]


# -- lessons and official answers


def _follows_the_lesson(id: str, rule, students) -> list[str]:
    """The students who follow the rule and are called wrong."""
    work, wrong = exercises()[id], []
    for student in students:
        of = work.own_numbers(student)
        draft = work.reference(of)
        pieces = work.finish(draft, of) if work.finish else ()
        own = {a.name: draft[a.name] for a in work.steps()}
        if rule.give:
            own[rule.at] = rule.give(draft, work.numbers(of))
        record = work.record(of, own, student=student, pieces=pieces)
        for piece in pieces:
            if rule.finish and piece.name == rule.piece:
                rule.finish(record["finish"][piece.name], piece)
        line = next(line for line in judge(record).lines if line.step == rule.at)
        if line.verdict != "right":
            wrong.append(line.text)
    return wrong


TAUGHT = [(id, rule) for id, rules in RULES.items() for rule in rules]


@pytest.mark.parametrize(("id", "rule"), TAUGHT, ids=lambda x: getattr(x, "at", x))
def test_whoever_follows_the_lesson_is_right(id, rule):
    lesson = next((ROOT / "lessons").glob(f"{exercises()[id].lesson:02}_*.ipynb"))
    text = " ".join(c.source for c in nbformat.read(lesson, as_version=4).cells)
    assert rule.sentence in text, "the lesson says so no more"
    assert _follows_the_lesson(id, rule, MANY[:20]) == []


@pytest.mark.slow
@pytest.mark.parametrize(("id", "rule"), TAUGHT, ids=lambda x: getattr(x, "at", x))
def test_whoever_follows_the_lesson_is_right_for_200_students(id, rule):
    assert _follows_the_lesson(id, rule, MANY) == []


def official(id: str, student: str):
    """The verdict on the solution's own cells, run for a student."""
    path = next((ROOT / "solutions").glob(f"{exercises()[id].lesson:02}_*.ipynb"))
    space: dict = {}
    with contextlib.redirect_stdout(io.StringIO()):
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type != "code":
                continue
            if cell.id == "here":
                space["card"] = name_card(student)
            elif (
                not re.match(r"\d\d[a-z]-", cell.id)
                or cell.id == f"{id}-sheet"
                or (cell.id.startswith(f"{id}-") and "answer" in cell.metadata.get("tags", []))
            ):
                exec(cell.source, space)
    return judge(space["sheet"].record())


READ_OFF = {"01b", "02b", "03a", "03b", "04b", "07a", "20a", "21a", "21b"}
"""Their answers hold numbers that are read off the sheet of the student 'your name'."""


@pytest.mark.parametrize("id", [id for id in exercises() if id not in READ_OFF])
def test_official_answers_are_right_for_other_students(id):
    for student in MANY[:3]:
        assert [line.text for line in official(id, student).lines if line.mark < line.weight] == []


@pytest.mark.slow
@pytest.mark.parametrize("id", [id for id in exercises() if id not in READ_OFF])
def test_official_answers_are_right_for_200_students(id):
    for student in MANY:
        assert [line.text for line in official(id, student).lines if line.mark < line.weight] == []


def test_right_drafts_are_right():
    assert right_drafts(3) == []

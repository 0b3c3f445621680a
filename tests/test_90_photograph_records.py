"""Photographs of paper drafts: the code on a page, the record of what was read, and its tolerance."""

from __future__ import annotations

import math
from itertools import pairwise

import msgspec
import numpy
import pytest

from patternlib.assess import exercise, judge
from patternlib.assess.judging.hands import hand_of
from patternlib.assess.photographed.label import Label, LabelFault, read_label
from patternlib.assess.photographed.placed import record_of_places, thinned, worked_again
from patternlib.assess.tasks.record import Photograph, RecordError, read
from patternlib.errors import PatternError
from patternlib.geometry import Curve, Point

PICTURE = Photograph("ab" * 32, 0.06, page=1)


@pytest.mark.parametrize("student", ["lena", "Zoë Ångström", "s;29/1", "李小龍", "a b", "%41", "ए" * 26])
@pytest.mark.parametrize("across", [False, True])
def test_a_label_is_read_as_it_was_written(student, across):
    label = Label("22b", student, 5, "letter", 3, 14, Point(-12.345, 160.001), across)
    assert read_label(label.text()) == label
    assert label.text().isascii()


@pytest.mark.parametrize(
    "text",
    [
        "", "draft1", "draft2;02a;lena;2;a4;1/4;0;0", "draft1;02a;lena;3;a4;1/4;0;0",
        "draft1;02a;;2;a4;1/4;0;0",
        "draft1;02a;lena;2;a4;5/4;0;0", "draft1;02a;lena;2;a4;0/4;0;0", "draft1;02a;lena;2;a5;1/4;0;0",
        "draft1;02a;lena;2;a4;1/4;0;600000", "draft1;02a;lena;2;a4;1/4;01;0", "draft1;02a;lena;2;a4;1/4;0;0;",
        "draft1;02a;le na;2;a4;1/4;0;0", "draft1;02a;%6cena;2;a4;1/4;0;0", "draft1;02a;%FF;2;a4;1/4;0;0",
        "draft1;02a;%0A;2;a4;1/4;0;0", "draft1;../x;lena;2;a4;1/4;0;0", "draft1;02a;lena;2;a4;1/4;nan;0",
        "draft1;02a;" + "%41" * 200 + ";2;a4;1/4;0;0", "draft1;02a;lena;2;a4;١/4;0;0", "x" * 10**6,
        "draft1;02a;%E2%80%AElena;2;a4;1/4;0;0", "draft1;02a;" + "a" * 81 + ";2;a4;1/4;0;0",
    ],
)  # fmt: skip
def test_any_other_text_is_refused_with_a_sentence(text):
    with pytest.raises(LabelFault) as fault:
        read_label(text)
    assert len(str(fault.value)) < 250 and str(fault.value).endswith(".")


def test_a_place_on_the_page_and_on_the_draft_are_the_same_place():
    label = Label("02a", "lena", 4, "a3", 2, 2, Point(-3.2, 20.1))
    assert label.on_draft(label.origin) == Point(0, 0)
    assert label.on_draft(label.on_page(Point(12.3, -45.6))).distance(Point(12.3, -45.6)) < 1e-9
    assert label.on_draft(Point(-2.2, 20.1)) == Point(4, 0)


def test_the_tolerance_is_the_one_that_was_asked_for():
    """95 of 100 honest points within 1 mm at full size, 0.7 mm on smaller paper; tried, not calculated."""
    rng = numpy.random.default_rng(4)
    for scale, most in ((1, 0.1), (2, 0.07), (4, 0.07), (5, 0.07)):
        on_paper = hand_of("photograph", scale).point / scale
        off = numpy.hypot(*rng.normal(0, on_paper, (2, 200_000)))
        assert abs(numpy.mean(off <= most) - 0.95) < 0.003
        assert hand_of("photograph", scale).point < hand_of("paper", scale).point


def draft_of(id: str, student: str) -> tuple[dict[str, Point], dict[str, list[Point]], dict[str, float]]:
    """The rule's own points, lines and numbers of an exercise."""
    work = exercise(id)
    target = work.reference(work.own_numbers(student))
    points, lines, numbers = {}, {}, {}
    for asked in work.steps():
        value = target[asked.name]
        if isinstance(value, Point):
            points[asked.name] = value
        elif isinstance(value, Curve):
            lines[asked.name] = [value.at(value.length * k / 40) for k in range(41)]
        else:
            numbers[asked.name] = value
    return points, lines, numbers


@pytest.mark.parametrize("id", ["02a", "02b", "05b", "06a", "20b"])
@pytest.mark.parametrize("scale", [1, 2])
def test_a_draft_read_place_by_place_is_judged_right(id, scale):
    points, lines, numbers = draft_of(id, "lena")
    record = record_of_places(
        id, points, lines, student="lena", scale=scale, photographs=[PICTURE], numbers=numbers
    )  # fmt: skip
    read_again = read(msgspec.json.encode(record))
    assert worked_again(read_again)
    verdict = judge(read_again)
    assert [line.step for line in verdict.lines if line.verdict in ("off", "missing") and line.step in
            {**points, **lines, **numbers}] == []  # fmt: skip


def test_how_far_off_a_point_may_be():
    points, lines, numbers = draft_of("02a", "lena")
    for scale, by, said in (
        (1, 0.1, "right"),
        (1, 0.37, "near"),
        (1, 0.6, "off"),
        (2, 0.2, "right"),
        (2, 0.9, "off"),
    ):
        off = {**points, "side hip": points["side hip"] + Point(by, 0)}
        verdict = judge(
            record_of_places(
                "02a", off, lines, student="lena", scale=scale, photographs=[PICTURE], numbers=numbers
            )
        )
        assert {line.step: line.verdict for line in verdict.lines}["side hip"] == said


def test_what_was_changed_by_hand_does_not_come_out_again():
    points, lines, numbers = draft_of("05b", "lena")
    record = record_of_places("05b", points, lines, student="lena", photographs=[PICTURE], numbers=numbers)
    assert lines and worked_again(read(record))
    name = next(iter(lines))
    places = {**record["places"], name: [[x + 0.1, y] for x, y in record["places"][name]]}
    assert not worked_again(read({**record, "places": places}))
    assert not worked_again(read({**record, "places": {}}))
    assert not worked_again(read({**record, "photographs": []}))


def test_what_is_not_asked_is_refused():
    with pytest.raises(PatternError, match="point asked in exercise 02a"):
        record_of_places("02a", {"elbow": Point(0, 0)}, {}, student="lena")
    with pytest.raises(PatternError, match="without length"):
        record_of_places(
            "05b", {}, {next(iter(draft_of("05b", "lena")[1])): [Point(1, 1)] * 9}, student="lena"
        )
    with pytest.raises(PatternError, match="scale"):
        record_of_places("02a", {}, {}, student="lena", scale=3)


def test_a_damaged_picture_entry_is_refused():
    record = record_of_places(
        "02a", {"side hip": Point(27, -24.1)}, {}, student="lena", photographs=[PICTURE]
    )
    for change in ({"sha256": "ab"}, {"residual": math.inf}, {"residual": -1}, {"page": 100}, {"who": "me"}):
        with pytest.raises(RecordError):
            read({**record, "photographs": [{**record["photographs"][0], **change}]})


def test_places_are_spread_evenly_along_a_bent_line():
    quarter = [Point(10 * math.cos(t), 10 * math.sin(t)) for t in numpy.linspace(0, math.pi / 2, 500) ** 1.0]
    few = thinned(quarter, 9)
    gaps = [a.distance(b) for a, b in pairwise(few)]
    assert len(few) == 9 and few[0] == quarter[0] and few[-1].distance(quarter[-1]) < 1e-9
    assert max(gaps) - min(gaps) < 0.01

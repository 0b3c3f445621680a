"""Lessons 17 to 22 drawn by their words alone: what a person with pencil and ruler gets lies within 0.3 cm.

The words are those that the lessons print: the steps with one decimal, the places in their tables, the marks
half-way along a curve. `words_reader` draws them without the library. The tolerance is that of a drawing at
full size: common practice, no source.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import nbformat
import pytest

import patternlib as pl
from patternlib.alterations import SIGNS
from patternlib.body import Body
from patternlib.draft import Draft, half_way
from patternlib.own_measures import own_sleeve

from .bodies import simulated
from .words_reader import Reader

LESSONS = Path(__file__).parents[1] / "lessons"
PAPER = 0.3
BODIES = {
    "12": pl.chart("course").body("12"), "24": pl.chart("course").body("24"),
    "a woman": simulated(1, "women", seed=41)[0], "a man": simulated(1, "men", seed=42)[0],
}  # fmt: skip


def placed(plan: Draft, *names: str) -> dict[str, complex]:
    """Places as the lessons' tables print them, to 1 mm."""
    return {n: complex(round(plan[n].x, 1), round(plan[n].y, 1)) for n in names if n in plan}


def between(plan: Draft, first: str, last: str) -> tuple[int, int]:
    names = [step.name for step in plan.steps]
    return (names.index(first), names.index(last) + 1) if first in plan and last in plan else (0, 0)


def hints(plan: Draft, *names: str) -> str:
    return "\n".join(half_way(plan.step(n)) for n in names if n in plan)


def off(reader: Reader, plan: Draft) -> list[str]:
    """The points that the reader has drawn elsewhere; nothing may be left that was not understood."""
    assert not reader.unread
    known = {s.name for s in plan.steps if hasattr(s.value, "x")} & set(reader.at)
    assert len(known) > 3
    return [
        f"{n} lies {d:.2f} cm off" for n in sorted(known)
        if (d := abs(reader.at[n] - complex(*plan[n]))) > PAPER
    ]  # fmt: skip


@pytest.fixture(params=BODIES)
def body(request) -> Body:
    return BODIES[request.param]


def lesson_source(lesson: int) -> str:
    """The cells of a lesson: the spans and places used here are those that it shows."""
    (path,) = LESSONS.glob(f"{lesson}_*.ipynb")
    return "\n".join(cell.source for cell in nbformat.read(path, 4).cells)


def asked(pattern: str, source: str) -> list[str]:
    """All names in quotes in the calls that a pattern finds."""
    return [name for call in re.findall(pattern, source) for name in re.findall(r'"([^"]+)"', call)]


OWN = ("neckline", "front neckline as drafted", "back neckline", "front neckline")
"""Lines of her own block that a lesson tells her to trace."""


def drawn(lesson: int, name: str, plan: Draft, **sides: str) -> Reader:
    """What a reader of a lesson draws of one plan: its tables first, then its steps in their order."""
    source = lesson_source(lesson)
    reader = Reader(placed(plan, *asked(rf"place\({name}, ([^)]*)\)", source)))
    reader.sides = {n.replace("_", " "): side for n, side in sides.items()}
    reader.lines |= {n: [complex(*p) for p in plan[n].flat(1e-4)] for n in OWN if n in plan}
    if "side hem" in reader.at:  # the hip curve runs straight on from the side line, says lesson 22
        reader.ways["side line"] = (reader.at["side hip"] - reader.at["side hem"]), False
        reader.rule("side line", "side hem", "side hip")
        reader.squares = {"waist end": "hip curve", "square to the side": "side line", "hem end": "side line"}
    curves = asked(rf"bend\({name}, ([^)]*)\)", source) + asked(rf"{name}\.step\(([^)]*)\)", source)
    spans = re.findall(rf'\b{name}\.read\("([^"]+)"(?:, "([^"]+)")?', source)
    listed = {
        s.name for first, last in spans for s in plan.steps[slice(*between(plan, first, last or first))]
    }
    for curve in curves:  # a curve through places of the table, of which the lesson gives ends and middle
        if curve in plan and curve not in listed:
            reader.read(plan.step(curve).text(), half_way(plan.step(curve)))
    if {"side line", "hip curve"} <= set(reader.lines):
        reader.lines["side"] = [*reader.lines["side line"], *reader.lines["hip curve"]]
    for first, last in spans:
        reader.read(plan.read(first, last or first).text if first in plan else "", hints(plan, *curves))
    return reader


def test_the_sleeve_of_lesson_20(body):
    _, sleeve = own_sleeve(body, say=lambda text: None)
    assert off(drawn(20, "sleeve", sleeve), sleeve) == []


@pytest.mark.parametrize("plan", ["front", "back"])
def test_the_smock_of_lesson_21(body, plan):
    draft = pl.own_garment(body, garment="smock", say=lambda text: None).drafts[f"{plan} plan"]
    assert off(drawn(21, plan, draft), draft) == []


@pytest.mark.parametrize(("plan", "collar"), [("flat", 0), ("stand", 1)])
def test_the_collars_of_lesson_21(body, plan, collar):
    draft = pl.own_garment(body, garment="smock", say=lambda text: None, collar=collar).drafts["collar plan"]
    reader = drawn(21, plan, draft, outer_edge="right" if plan == "flat" else "left")
    neck = sum(abs(q - p) for p, q in pairwise(reader.lines["neck edge"]))
    assert neck == pytest.approx(draft["neckline length"], abs=PAPER)
    assert off(reader, draft) == []


@pytest.mark.parametrize("plan", ["front", "back", "strips"])
def test_the_apron_of_lesson_22(body, plan):
    drafts = pl.own_garment(body, garment="apron", say=lambda text: None).drafts
    draft = drafts[f"{plan} plan" if plan != "strips" else "straps, ties and pocket plan"]
    assert off(drawn(22, plan, draft), draft) == []


@pytest.mark.parametrize("of", [s for s in SIGNS if s.bodice or s.skirt], ids=lambda s: s.name)
def test_the_alterations_of_lesson_17(body, of):
    """From the learner's own block; what a note gives is drawn as in lessons 02 and 03."""
    for block in (pl.bodice_block(body, one_dart=True), pl.skirt_block(body)):
        try:
            made = of.altered(block, of.start)
        except pl.PatternError:
            continue
        if made is None:
            continue
        own = {s.name: s.value for s in block.steps if hasattr(s.value, "x")}
        reader = Reader({n: complex(*p) for n, p in own.items()})
        reader.at |= {f"{n}, before": p for n, p in reader.at.items()}
        for step in block.steps:
            if hasattr(step.value, "flat"):
                run = [complex(*p) for p in step.value.flat(1e-4)]
                reader.lines |= {step.name: run, f"{step.name}, before": run}
        reader.read(made.read().text)
        assert not reader.unread
        for step in made.moves.steps:
            if hasattr(step.value, "x") and not step.name.endswith("before"):
                # 1 mm at a dart's mouth swings its point
                far = 1.5 * PAPER if step.op == "dart point" else PAPER
                assert abs(reader.at[step.name] - complex(*step.value)) < far, (of.name, step.name)

"""The form of the project as data: its sections, their lines and the fields in each line.

A field is known by its section, its line and its part: 'walks|2|one', 'measures|hip_girth|length'.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, NamedTuple

from ...garments import garment_names, make, style_values
from ...survey import measures

GARMENT, UNIT, SEX = "style||garment", "measures||unit", "measures||like"
WALKS, PHOTOGRAPHS = 3, 12
HOW = ("tape, by a partner", "tape, by myself", "on a stand", "from a size chart", "calculated")
NOTHING = "nothing"


class Part(NamedTuple):
    """One field of a line. kind: 'length', 'text', 'count' or 'choice'; choices: its texts; by_garment:
    choices that depend on the garment, by name of a list of `choices_of`."""

    key: str
    label: str
    kind: str = "text"
    choices: tuple[str, ...] = ()
    by_garment: str = ""


class Section(NamedTuple):
    """A part of the form. criterion: which it answers; once: fields that stand once; lines: how many lines it
    begins with; most: can have; named: lines that have a name in place of a number, (key, words)."""

    key: str
    title: str
    said: str
    criterion: str
    once: tuple[Part, ...] = ()
    parts: tuple[Part, ...] = ()
    lines: int = 0
    most: int = 0
    named: tuple[tuple[str, str], ...] = ()
    more: str = ""


@cache
def sections() -> tuple[Section, ...]:
    """The whole form, in its order."""
    each = tuple((name, f"{name.replace('_', ' ')}: {m.place}") for name, m in measures().items())
    return (
        Section(
            "measures", "1. Measures and how they were taken",
            "They go to your instructor with this notebook. If you would rather not show your own, take "
            "those of a stand or of the size chart. What stays empty is estimated; bust, waist and hip are "
            "needed.",
            "measures",
            (
                Part("whose", "whose", "choice", ("my own", "another person's, who agreed", "a stand's",
                     "of the size chart")),
                Part("unit", "numbers without a unit are", "choice", ("cm", "in")),
                Part("like", "estimate as for", "choice", ("women", "men")),
            ),
            (Part("length", "", "length"), Part("how", "how", "choice", HOW)),
            named=each,
        ),
        Section(
            "style", "2. Style values, with your reasons",
            "Write the values that you chose or changed; all others keep their starting values.",
            "style",
            (Part("garment", "garment", "choice", garment_names()),),
            (Part("value", "style value", "choice", by_garment="values"), Part("is", "is", "length"),
             Part("why", "because")),
            4, 20, more="Add a value",
        ),
        Section(
            "ease", "3. Cloth and ease",
            "Lesson 14 says how thickness and give are measured. The ease itself stands among your style "
            "values.",
            "ease",
            (
                Part("cloth", "cloth, as you would ask for it in the shop"),
                Part("thick", "thickness of one layer", "length"),
                Part("beneath", "thickness of what is worn under it", "length"),
                Part("grew", "10 cm across the grain, lightly pulled, grew to", "length"),
                Part("width", "width, from edge to edge", "length"),
                Part("bought", "length that you bought", "length"),
                Part("shrinkage", "10 cm, washed, became", "length"),
                Part("folded", "laid", "choice", ("flat", "folded once")),
                Part("way", "pieces lie", "choice", ("either way up", "all one way")),
                Part("why", "why this ease for this cloth"),
            ),
        ),
        Section(
            "walks", "4. Your own walks of three seams",
            "Walk three seams of your paper pieces, pin by pin, and write how long each side is. Then say "
            "what you did about the difference.",
            "walks", (),
            (Part("seam", "seam", "choice", by_garment="seams"), Part("one", "first side", "length"),
             Part("other", "second side", "length"), Part("did", "what I did about the difference")),
            WALKS, WALKS,
        ),
        Section(
            "cutting", "5. Cutting list and plan",
            "Count from your own list: a pair is two.",
            "cutting",
            (
                Part("main", "pieces to cut of the main cloth", "count"),
                Part("fused", "of these are fused", "count"),
                Part("sessions", "sessions in my sewing plan", "count"),
                Part("changed", "what I changed in the order of making, and why"),
            ),
        ),
        Section(
            "toile", "6. What the toile showed, and what was changed",
            "One line for each fault. Choose the measure or style value that you changed; the new value must "
            "stand in part 1 or 2 as well. If the toile had no fault, write so, and choose 'nothing'.",
            "toile", (),
            (Part("seen", "what I saw"), Part("cause", "its cause"),
             Part("changed", "changed", "choice", by_garment="changes"), Part("was", "it was", "length"),
             Part("is", "it is now", "length")),
            3, 12, more="Add a fault",
        ),
        Section(
            "photographs", "7. Photographs",
            "Pieces with their words, the walk of a seam, the toile from front, side and back. They are made "
            "smaller, without place and time, and put into the folder 'photographs' beside this notebook. "
            "Hand that folder in with the notebook. Leave faces out.",
            "pieces", (), (Part("name", "photograph"),), 0, PHOTOGRAPHS,
        ),
    )  # fmt: skip


@cache
def choices_of(garment: str) -> Mapping[str, tuple[str, ...]]:
    """What can be chosen for a garment: its style values, its seams, and all that a toile may change."""
    values = tuple(v.name.replace("_", " ") for v in style_values(garment))
    taken = tuple(n.replace("_", " ") for n in measures())
    seams = tuple(s.name for s in make(garment, "12").seams)
    return {"values": values, "seams": seams, "changes": (NOTHING, *values, *taken)}


def plain() -> list[dict[str, Any]]:
    """The sections for the page."""
    return [
        s._asdict() | {"once": [p._asdict() for p in s.once], "parts": [p._asdict() for p in s.parts]}
        for s in sections()
    ]

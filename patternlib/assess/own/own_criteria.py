"""The criteria in words of an own file: read, and what is wrong with them told in sentences.

[criteria."Neatness of lines"]
"Lines are missing or drawn twice" = 0
"Each line is drawn once and in one width" = 2
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from ..safe_text import folded, one_line
from ..tasks.in_words import InWords, Level

MOST_CRITERIA, MOST_LEVELS = 12, 8
LONGEST_NAME, LONGEST_LEVEL = 50, 300
MOST_MARKS = 100.0
MODEL = '[criteria."Neatness of lines"]'
"""How the heading of a criterion is written."""
_LEVEL = 'a line for each level, with its marks, such as "Each line is drawn once" = 2'


def read_criteria(given: Any) -> tuple[tuple[InWords, ...], list[str], list[str]]:
    """The criteria that a file names, what is wrong with them, and what is still empty; each a sentence."""
    if not isinstance(given, Mapping):
        return (), [f"criteria: write a heading for each, {MODEL}, and below it {_LEVEL}."], []
    faults, lacking, found = [], [], []
    if len(given) > MOST_CRITERIA:
        faults.append(f"criteria: there are {len(given)}; {MOST_CRITERIA} is the most.")
    for name, levels in list(given.items())[:MOST_CRITERIA]:
        called = " ".join(name.split())
        shown = f"criteria, '{one_line(called, 60)}'"
        wrong = _fault_of_name(called) or _fault_of_levels(levels)
        if wrong:
            faults.append(f"{shown}: {wrong}")
        elif len(levels) < 2 or not any(levels.values()):
            lacking.append(f"{shown}: {_too_few(levels)}")
        else:
            told = (Level(" ".join(words.split()), float(marks)) for words, marks in levels.items())
            found.append(InWords(called, tuple(sorted(told, key=lambda level: level.marks))))
    twice = [n for n, count in Counter(folded(c.name) for c in found).items() if count > 1]
    for name in twice:
        shown = next(c.name for c in found if folded(c.name) == name)
        faults.append(f"criteria, '{shown}': there are two of this name. Give one of them another name.")
    return tuple(found), faults, lacking


def _fault_of_name(name: str) -> str:
    if not name:
        return f"it has no name. Write the heading as {MODEL}."
    if len(name) > LONGEST_NAME:
        return f"the name is longer than {LONGEST_NAME} letters. Make it shorter; the levels say the rest."
    if one_line(name) != name or any(sign in name for sign in "|\"'"):
        return "the name has a sign that a table cannot show. Write letters, figures and spaces."
    return ""


def _fault_of_levels(levels: Any) -> str:
    if not isinstance(levels, Mapping):
        return f"below its heading, {MODEL}, stands {_LEVEL}."
    if len(levels) > MOST_LEVELS:
        return f"there are {len(levels)} levels; {MOST_LEVELS} is the most."
    for words, marks in levels.items():
        shown = f"the level '{one_line(words, 60)}'"
        if not words.strip():
            return "a level has no words. Write what you see on the paper, between the quotes."
        if len(words) > LONGEST_LEVEL:
            return f"{shown} is longer than {LONGEST_LEVEL} letters."
        if isinstance(marks, bool) or not isinstance(marks, int | float) or not 0 <= marks <= MOST_MARKS:
            return f"{shown} needs its marks as a number from 0 to {MOST_MARKS:g}, without quotes."
    again = [marks for marks, count in Counter(map(float, levels.values())).items() if count > 1]
    if again:
        return f"two levels are worth the same, {again[0]:g}. Give each level marks of its own."
    return ""


def _too_few(levels: Mapping[str, float]) -> str:
    """Why its levels are not enough yet."""
    if not levels:
        return f"has no levels yet. Write below its heading {_LEVEL}."
    if len(levels) == 1:
        return "has one level only. Write at least two, from the fewest marks to the most."
    return "gives no marks on any level. Give the best level at least 1."

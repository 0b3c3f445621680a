"""One file, one exercise: read from plain TOML, its answer as the sentences of the drafting table.

title = "A ruler pocket"
lesson = 9
task = "Draw the pocket for the long ruler on the front skirt."
paper = "empty"
steps = ["From corner go down pocket length: mark foot", ...]
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import msgspec

from ...draft import Draft
from ...errors import PatternError
from ...geometry import Curve, Point
from ...operations import Value
from ...pieces import Piece
from ...toml_text import parse_toml
from ..hand_ins.files import Refused, read_file
from ..safe_text import one_line
from ..table.laying import Laid, lay_on, numbers_of
from ..table.measure import Quantity, read_measure
from ..tasks.exercise import Asked, Exercise
from ..tasks.in_words import InWords
from ..tasks.own_numbers import OwnNumbers, numbers_for
from ..tasks.record import StepTaken
from ..tasks.topics import bodice, plans, skirt
from .own_criteria import read_criteria
from .own_pieces import asked_of, is_for_pieces, laid_pieces, made
from .sentences import read_sentence, write_sentence

LARGEST = 200_000
MOST_STEPS = 120
START = "corner"
"""The one point on empty paper."""
PAPERS = {
    "empty": None,
    "skirt block": skirt.block,
    "bodice block": bodice.EXERCISES[0].draw,
    "front plan": plans.EXERCISES[0].draw,
    "back plan": plans.EXERCISES[2].draw,
}
"""What lies on the learner's paper before the work begins."""
KEYS = (
    "title", "lesson", "task", "paper", "guided", "hints", "unit", "pieces", "steps", "numbers", "marks",
    "criteria",
)  # fmt: skip
ID = re.compile(r"\d\d[p-z]")
"""Lesson and a letter from p to z: the course itself never uses these letters."""
_ASKED = {"point": "point", "line": "curve", "number": "number"}
_NUDGE = 1.0


@dataclass
class OwnFile:
    """A file as it was read. faults: sentences that say what is wrong; lacking: what is still empty; texts:
    the steps as they are written."""

    id: str
    path: Path
    title: str = ""
    lesson: int = 0
    task: str = ""
    paper: str = "empty"
    guided: bool = False
    pieces: bool = False
    hints: tuple[str, ...] = ()
    unit: str = "cm"
    texts: tuple[str, ...] = ()
    numbers: dict[str, float] = field(default_factory=dict)
    marks: dict[str, float] = field(default_factory=dict)
    criteria: tuple[InWords, ...] = ()
    steps: tuple[StepTaken, ...] = ()
    faults: list[str] = field(default_factory=list)
    lacking: list[str] = field(default_factory=list)


def read_own_file(path: Path) -> OwnFile:
    """Read a file; all that is wrong with it is told in its faults."""
    found = OwnFile(path.stem, path)
    if not ID.fullmatch(found.id):
        found.faults.append(
            f"The file must be named after its lesson and a letter from p to z, such as 02p.toml, not "
            f"{path.name}."
        )
    try:
        given = parse_toml(read_file(path, LARGEST, follow=True))
    except Refused as refused:
        found.faults.append(str(refused))
    except PatternError as why:
        found.faults.append(
            f"A line cannot be read: {why}. {_curly(path) or 'Look at its quotes and commas.'}"
        )
    else:
        _fill(found, given)
        if found.texts and not found.faults:
            _read_steps(found)
    return found


def _curly(path: Path) -> str:
    """A sentence where an editor made quotes curly, as those of macOS do; else ''."""
    lines = read_file(path, LARGEST, follow=True).decode("utf-8", "replace").splitlines()
    number = next((n for n, line in enumerate(lines, 1) if re.search(r"^[^#\"]*[“”„]", line)), 0)
    return f'Line {number} has curly quotes: write straight ones, ".' if number else ""


def _fill(found: OwnFile, given: Mapping[str, Any]) -> None:
    for key in given:
        if key not in KEYS:
            found.faults.append(
                f"'{one_line(key, 40)}' is no word of such a file; these are: {', '.join(KEYS)}."
            )
    found.title = _text(found, given, "title", 80)
    found.task = _text(found, given, "task", 500)
    lesson = given.get("lesson")
    if isinstance(lesson, bool) or not isinstance(lesson, int) or not 0 <= lesson <= 99:
        found.faults.append("lesson: write the number of its lesson, without quotes, such as lesson = 2.")
    else:
        found.lesson = lesson
        if ID.fullmatch(found.id) and found.id[:2] != f"{lesson:02}":
            found.faults.append(f"lesson: the file is named {found.id}, so lesson = {int(found.id[:2])}.")
    paper = given.get("paper", "empty")
    if paper not in PAPERS:
        found.faults.append(f"paper: write one of {', '.join(repr(p) for p in PAPERS)}.")
    else:
        found.paper = paper
    found.guided = _yes(found, given, "guided")
    found.pieces = _yes(found, given, "pieces")
    unit = given.get("unit", "cm")
    if unit not in ("cm", "in"):
        found.faults.append('unit: write "cm" or "in".')
    else:
        found.unit = unit
    found.hints = tuple(h for h in _texts(found, given, "hints") if h.strip())
    found.texts = tuple(t for t in _texts(found, given, "steps") if t.strip())
    if len(found.texts) > MOST_STEPS:
        found.faults.append(f"steps: there are {len(found.texts)}; {MOST_STEPS} is the most.")
    found.numbers = _numbers(found, given, "numbers", -1000.0)
    found.marks = _numbers(found, given, "marks", 0.0)
    found.criteria, faults, lacking = read_criteria(given.get("criteria", {}))
    found.faults += faults
    found.lacking += lacking


def _text(found: OwnFile, given: Mapping[str, Any], key: str, most: int) -> str:
    text = given.get(key, "")
    if not isinstance(text, str) or len(text) > most:
        found.faults.append(f"{key}: write a text in quotes, of {most} letters at most.")
        return ""
    if not text.strip():
        found.lacking.append(f"{key}: is still empty. Write it between the quotes.")
    return " ".join(text.split())


def _yes(found: OwnFile, given: Mapping[str, Any], key: str) -> bool:
    yes = given.get(key, False)
    if not isinstance(yes, bool):
        found.faults.append(f"{key}: write true or false, without quotes.")
    return yes is True


def _texts(found: OwnFile, given: Mapping[str, Any], key: str) -> Sequence[str]:
    texts = given.get(key, [])
    if not isinstance(texts, list) or not all(isinstance(t, str) and len(t) < 600 for t in texts):
        found.faults.append(
            f"{key}: write sentences in quotes, with commas between them, in square brackets."
        )
        return ()
    return [" ".join(t.split()) for t in texts]


def _numbers(found: OwnFile, given: Mapping[str, Any], key: str, least: float) -> dict[str, float]:
    numbers = given.get(key, {})
    right = isinstance(numbers, dict) and all(
        isinstance(v, int | float) and not isinstance(v, bool) and least <= v <= 1000
        for v in numbers.values()
    )
    if not right:
        found.faults.append(f'[{key}]: write a name in quotes and a number in each line, such as "A" = 2.')
        return {}
    return {name.replace("_", " "): float(v) for name, v in numbers.items()}


# -- the steps


def _read_steps(found: OwnFile) -> None:
    """Read the sentences one after the other; each is done, so that the next knows what is on the paper."""
    of = numbers_for("")
    known = {name: _kind(v) for name, v in on_paper(found.paper, of).items()}
    steps: list[StepTaken] = []
    for count, text in enumerate(found.texts, 1):
        try:
            step = read_sentence(text, known)
        except PatternError as fault:
            found.faults.append(f"steps, line {count}: {fault}")
            return
        if found.unit == "in":
            step = msgspec.structs.replace(step, unit="in")
        steps.append(step)
        laid = _laid(found, steps, of)
        wrong = laid.faults.get(step.name) or _of_an_edge(step, known)
        if wrong:
            found.faults.append(f"steps, line {count}, {step.name}: {wrong}")
            return
        value = laid.values.get(step.name)
        known[step.name] = "finish" if value is None else "edge" if is_for_pieces(step) else _kind(value)
    found.steps = tuple(steps)
    try:
        can = _can_be_asked(found)
    except PatternError as fault:
        found.faults.append(f"steps: {fault}")
        return
    for name in found.marks:
        if name not in can:
            found.faults.append(f"[marks]: '{name}' is asked, but no step draws it.")


def _of_an_edge(step: StepTaken, known: Mapping[str, str]) -> str:
    """Why a step of the draft cannot be done: what is drawn must not hang from a piece that is cut of it."""
    edge = next((name for name in step.of if known.get(name) == "edge" and not is_for_pieces(step)), "")
    return f"'{edge}' is an edge of a piece: take the line from which it was traced." if edge else ""


def _can_be_asked(found: OwnFile) -> dict[str, Asked]:
    """All that can be asked, by its name; raises PatternError where a piece cannot be made."""
    of = numbers_for("")
    laid = _laid(found, _drawn(found), of)
    can = {name: Asked(name, _ASKED[_kind(v)]) for name, v in laid.values.items()}
    pieces = _laid_pieces(found, laid.draft, of)
    made(pieces)
    return can | asked_of(pieces)


def _drawn(found: OwnFile) -> tuple[StepTaken, ...]:
    return tuple(s for s in found.steps if not is_for_pieces(s))


def _laid_pieces(found: OwnFile, draft: Draft, of: OwnNumbers) -> Laid:
    values = {s.name: s.value for s in draft}
    return laid_pieces(found.title or found.id, values, _numbers_of(found, of), found.steps)


def on_paper(paper: str, of: OwnNumbers) -> dict[str, Value]:
    """The points and lines that lie on the paper before the work begins."""
    draw = PAPERS[paper]
    if draw is None:
        return {START: Point(0.0, 0.0)}
    return {s.name: s.value for s in draw(of) if isinstance(s.value, Point | Curve)}


def _kind(value: Value) -> str:
    return "point" if isinstance(value, Point) else "line" if isinstance(value, Curve) else "number"


def _laid(found: OwnFile, steps: Sequence[StepTaken], of: OwnNumbers) -> Laid:
    return lay_on(found.title or found.id, on_paper(found.paper, of), _numbers_of(found, of), steps)


def _numbers_of(found: OwnFile, of: OwnNumbers) -> dict[str, Quantity]:
    """A learner's own numbers and those of the exercise, as the steps name them."""
    nothing = Draft(found.id, ())
    shell = Exercise(found.id, "", 0, "", (), lambda _: nothing, constants=_constants(found))
    return numbers_of(shell, of)


def _constants(found: OwnFile) -> dict[str, float]:
    return {name.replace(" ", "_"): value for name, value in found.numbers.items()}


def as_exercise(found: OwnFile) -> Exercise:
    """The exercise of a file. Raises PatternError with the first fault of one that cannot be used.

    What is still empty is no fault: its answer can be drawn.
    """
    if found.faults:
        raise PatternError(f"{found.path.name}: {found.faults[0]}")

    def draw(of: OwnNumbers) -> Draft:
        laid = _laid(found, _drawn(found), of)
        for step, why in laid.faults.items():
            raise PatternError(f"{step}: {why}")
        return laid.draft

    def finished(draft: Draft, of: OwnNumbers) -> tuple[Piece, ...]:
        return made(_laid_pieces(found, draft, of))

    can = _can_be_asked(found)
    asked = [replace(can[name], weight=marks) for name, marks in found.marks.items()] or can.values()
    with_pieces = found.pieces or any(map(is_for_pieces, found.steps))
    return Exercise(
        id=found.id,
        title=found.title or "an exercise of your own",
        lesson=found.lesson,
        task=found.task or "Draw the answer.",
        asked=tuple(asked),
        draw=draw,
        finish=finished if with_pieces else None,
        terms=_terms(found),
        constants=_constants(found),
        rules={s.name: _braces(write_sentence(s)) + "." for s in _drawn(found)},
        hints=found.hints,
        guided=found.guided,
        in_words=found.criteria,
    )


def _braces(text: str) -> str:
    return text.replace("{", "{{").replace("}", "}}")


def _terms(found: OwnFile) -> dict[str, dict[str, float]]:
    """For each step how its measure is put together from own numbers, where it is a sum of shares of them."""
    numbers = _numbers_of(found, numbers_for(""))
    terms: dict[str, dict[str, float]] = {}
    for step in _drawn(found):
        try:
            base = read_measure(step.measure, numbers, unit=step.unit)
            shares = {}
            for name in base.names:
                once, twice = (
                    read_measure(
                        step.measure, numbers | {name: _more(numbers[name], k)}, unit=step.unit
                    ).value
                    for k in (1, 2)
                )
                if abs(twice - 2 * once + base.value) > 1e-6:
                    raise PatternError("not a sum of shares")
                shares[name.replace(" ", "_")] = round((once - base.value) / _NUDGE, 6)
        except PatternError:
            continue
        if shares:
            terms[step.name] = shares
    return terms


def _more(quantity: Quantity, times: int) -> Quantity:
    return replace(quantity, value=quantity.value + times * _NUDGE)

"""Causes on the page of the class: five lines for Monday, a card for each, and sheets to practise with."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

from ....errors import PatternError
from ....geometry import Point
from ...answers.worksheet import worksheet_pdf
from ...safe_text import for_html
from ...tasks.catalogue import exercises
from ..class_marking import Class
from ..evidence import Answer
from ..folder import DRILLS
from ..pages import linked
from .causes import Cause, find_causes, telling
from .words import bare, common, in_the_solution, said_of

TEACH = 5
"""How many things to teach again are named at the top."""
SHARE = 0.1
"""What went wrong for a smaller share of those who drew it is not named at the top."""
CARDS = 12
"""causes that have a card."""
DRILL, KEY = "drill-1", "drill"
"""The id and key on them, which no learner has."""


class Taught(NamedTuple):
    """What the answers of a class tell its teacher.

    answers: one a student and exercise; apart: the void ones, and why; shown: the causes that have a card:
    named ones, and steps that no slip explains in several drafts.
    """

    answers: list[Answer]
    apart: list[tuple[Answer, str]]
    shown: list[Cause]


def taught(work: Class) -> Taught:
    """What is to be learnt from the answers of a class."""
    answers, apart = telling(work)
    shown = [c for c in find_causes(answers) if c.slip or len(c.students) > 1][:CARDS]
    return Taught(answers, apart, shown)


def teach_again(shown: Sequence[Cause], titles: Mapping[str, str], newest: Collection[str]) -> str:
    """Up to TEACH causes, by how many students have them; each with a link to its card. newest: the exercises
    of the last two weeks; what shows in them stands first, so that what was taught again makes room."""

    def is_old(cause: Cause) -> bool:
        return not any(exercise in newest for exercise, _ in cause.who)

    many = [c for c in shown if len(c.students) > 1 and len(c.students) >= SHARE * c.drew]
    items = sorted(many, key=is_old)[:TEACH]
    lines = "".join(
        f"<li>{'From earlier weeks: ' if is_old(c) else ''}{_sentence(c, shown.index(c) + 1, titles)}</li>"
        for c in items
    )
    told = (
        f'<ol class="big">{lines}</ol>'
        if items
        else "<p>Nothing stands out: no cause is shared by several students.</p>"
    )
    return f'<div class="first"><h2 class="plain">Teach again on Monday</h2>{told}</div>'


def _sentence(cause: Cause, n: int, titles: Mapping[str, str]) -> str:
    """One line: what, for how many, where, and what to say."""
    exercise, step = cause.commonest
    title = titles.get(exercise, exercise)
    said = said_of(cause, title)
    where, told = "", said.say
    if not cause.slip:
        told = f"{common(list(cause.pairs.values()))} {said.say.partition('.')[0]}."
    else:
        others = len(cause.who) - 1
        more = f" and {others} other place{'s' if others > 1 else ''}" if others else ""
        where = f", at {for_html(step)} in {for_html(title)}{more}"
    return (
        f'<a href="#cause-{n}"><strong>{for_html(said.called)}</strong></a>: {len(cause.students)} of '
        f"{cause.drew} students{where}. <em>{for_html(told, 400)}</em>"
    )


def cause_cards(shown: Sequence[Cause], titles: Mapping[str, str], pages: Mapping[str, str]) -> str:
    """A card for each cause: what is done wrongly, why, what to say, who has it, and a drill."""
    if not shown:
        return ""
    said = (
        "<h2>Causes</h2><p>One cause over all exercises. Each name leads to the learner's page, at "
        "the exercise in which the cause shows. A drill is a sheet to print, on numbers of no learner.</p>"
    )
    return said + "\n".join(_card(c, n, titles, pages) for n, c in enumerate(shown, 1))


def _card(cause: Cause, n: int, titles: Mapping[str, str], pages: Mapping[str, str]) -> str:
    exercise = cause.commonest[0]
    said = said_of(cause, titles.get(exercise, exercise))
    parts = [
        f'<section class="cause" id="cause-{n}"><h3>{n}. {for_html(said.called)} '
        f'<span class="soft">{len(cause.students)} of {cause.drew} students</span></h3>'
    ]
    place, solution = in_the_solution(cause)
    who = ", ".join(linked(pages, shown, cause.exercise_of(w)) for w, shown in sorted(cause.students.items()))
    remark = bare(cause.remark)
    told = (
        ("What they do", for_html(said.wrong, 600)),
        ("Why" if cause.slip else "Look for this", for_html(said.why, 600)),
        ("Say on Monday", for_html(said.say, 600)),
        (f"In the solution of {for_html(place)}", "" if said.say in solution else for_html(solution, 900)),
        ("Remark on their pages", f"<em>{for_html(remark, 600)}</em>" if remark else ""),
        ("Who", who),
        ("Where", _where(cause)),
        ("Drill", _drill(exercise)),
    )
    parts += [f"<p><strong>{name}:</strong> {text}</p>" for name, text in told if text]
    return "\n".join((*parts, "</section>"))


def _where(cause: Cause) -> str:
    by: dict[str, list[str]] = {}
    for exercise, step in cause.places:
        by.setdefault(exercise, []).append(f"{step} ({len(cause.who[exercise, step])})")
    return "; ".join(f"{for_html(e)} {for_html(', '.join(steps), 600)}" for e, steps in by.items())


def _drill(exercise: str) -> str:
    """A link to the sheet, and its answers; nothing for an exercise that cannot be drawn on its numbers."""
    answers = _answers(exercise)
    if answers is None:
        return ""
    link = f'<a href="{DRILLS}/{_file(exercise)}">sheet of {for_html(exercise)}</a>'
    shown = (
        f"Its answers, in cm: {for_html('; '.join(answers), 4000)}."
        if answers
        else f"To see its answers, write {DRILL} and the key {KEY} on the card of its solution."
    )
    return f"{link}. <span class='soft'>{shown}</span>"


def _answers(exercise: str) -> list[str] | None:
    """What is asked, on the numbers of the sheet; None where that cannot be drawn."""
    work = exercises().get(exercise)
    if work is None:
        return None
    try:
        drawn = work.draw(work.own_numbers(DRILL, KEY))
    except PatternError:
        return None
    told = []
    for name in (asked.name for asked in work.asked if asked.name in drawn):
        value = drawn[name]
        if isinstance(value, Point):
            across, up = "left" if value.x < 0 else "right", "down" if value.y < 0 else "up"
            told.append(f"{name} {abs(value.x):.1f} {across}, {abs(value.y):.1f} {up}")
        elif isinstance(value, int | float):
            told.append(f"{name} {value:.1f}{'°' if 'angle' in name else ''}")
    return told


def drill_files(shown: Iterable[Cause]) -> dict[str, bytes]:
    """The sheets to practise with, by their file names."""
    wanted = dict.fromkeys(c.commonest[0] for c in shown)
    return {
        f"{DRILLS}/{_file(exercise)}": worksheet_pdf(exercise, student=DRILL, key=KEY)
        for exercise in wanted
        if _answers(exercise) is not None
    }


def _file(exercise: str) -> str:
    return f"drill-{exercise}.pdf"

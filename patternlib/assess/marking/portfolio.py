"""A learner's portfolio: every accepted draft with its picture and measures on one self-contained page.

The notebooks are only read, never run. A draft is accepted when everything it asks is right, given the steps
before; the page tells no marks, so that it can be shown to anyone.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from ...errors import PatternError
from ...geometry import Curve, Point
from ...operations import Value
from ...units import write_length
from ..answers.pictures import own_pictures
from ..answers.writing import save_bytes
from ..hand_ins.intake import open_all
from ..judging.judgement import examine
from ..project.levels import PROJECT, TITLE
from ..project.still import as_lines
from ..safe_text import folded, for_html, one_line
from ..sandbox.apart import judge_apart
from ..sandbox.job import Job
from ..tasks.catalogue import exercises
from ..tasks.exercise import Exercise
from ..tasks.needed import numbers_needed
from ..tasks.record import read
from .class_marking import answers_of, gather
from .evidence import Answer
from .pages import grid, page, with_own_ids

WAYS = {
    "code": "drawn in code",
    "board": "drawn on a board",
    "paper": "drawn on paper",
    "photograph": "drawn on paper and photographed",
    "table": "drawn on the drafting table",
}


def portfolio_page(folder: str | Path, *, student: str = "", key: str = "") -> tuple[str, str]:
    """Give the HTML of a learner's portfolio, and a sentence on what is in it.

    folder: their notebooks, in folders as they like, or a .zip; student: whose drafts, needed where the
    notebooks are of several; key: the class's key. Raises PatternError where there is no draft to show.
    """
    books, _, _ = gather(open_all(Path(folder)))
    answers, _ = answers_of(books, [None] * len(books))
    mine = _of_one([a for a in answers if _begun(a)], student)
    accepted: dict[str, Answer] = {}
    for answer in mine:
        id = answer.record.exercise
        if id in exercises() and id not in accepted and _right(answer, key):
            accepted[id] = answer
    owner = mine[0].record.student
    shown = _project([a for a in mine if a.is_project])
    waiting = sorted({a.record.exercise for a in mine} - accepted.keys() - ({PROJECT} if shown else set()))
    parts = [
        f"<h1>Portfolio of {for_html(owner)}</h1>",
        f"<p>Accepted drafts: {len(accepted)} of {len(exercises())} exercises. Lengths are at full size.</p>",
        _contents(accepted),
        *(_draft(exercises()[id], accepted[id], key) for id in sorted(accepted)),
        shown,
        f'<p class="soft">Begun, not yet right: {for_html(", ".join(waiting), 2000)}.</p>' if waiting else "",
    ]
    said = f"{len(accepted)} accepted drafts{' and the project' if shown else ''}, {len(waiting)} begun."
    return page(f"Portfolio of {one_line(owner)}", "\n".join(filter(None, parts))), said


def save_portfolio(folder: str | Path, path: str | Path, *, student: str = "", key: str = "") -> str:
    """Write a portfolio to an HTML file and give the sentence; raises ValueAtFault where it cannot."""
    html, said = portfolio_page(folder, student=student, key=key)
    save_bytes(html.encode("utf-8"), path)
    return said


def _begun(answer: Answer) -> bool:
    record = answer.record
    typed = record.typed if answer.is_project else {}
    return bool(record.points or record.curves or record.numbers or record.finish or typed)


def _of_one(answers: list[Answer], student: str) -> list[Answer]:
    """The answers of one student; refuses to mix several."""
    names = {folded(a.record.student): a.record.student for a in answers}
    wanted = folded(student) if student else next(iter(names), "")
    if not student and len(names) > 1:
        raise PatternError(
            f"The notebooks are of several students: {one_line(', '.join(sorted(names.values())))}. "
            "Name one with --student."
        )
    found = [a for a in answers if folded(a.record.student) == wanted]
    if not found:
        whose = f" of {one_line(student)}" if student else ""
        raise PatternError(
            f"There is no draft{whose} in the notebooks. Compare a draft with the rule, save its notebook "
            "and try again."
        )
    return found


def _right(answer: Answer, key: str) -> bool:
    """Whether everything asked is right; judged within a time limit, as for a class."""
    judged = judge_apart(Job(answer.text, answer.record.student, key))
    lines = judged.verdict.get("lines", [])
    return bool(lines) and all(line["verdict"] in ("right", "carried") for line in lines)


def _project(answers: list[Answer]) -> str:
    """The project as it is shown, '' where none can be: nothing in it may be wrong. Without the measures."""
    for answer in answers:
        judged = judge_apart(Job(answer.text, answer.record.student))
        lines = judged.verdict.get("lines", [])
        if not judged.picture or any(line["verdict"] == "off" for line in lines):
            continue
        shown = {k: v for k, v in answer.record.typed.items() if not k.startswith("measures|")}
        parts = [f'<h2 id="{PROJECT}">{for_html(TITLE)}</h2>', with_own_ids(judged.picture, "project")]
        for title, rows in as_lines(shown):
            title = title.partition(". ")[2].replace("your", "my").replace("Your", "My")
            written = [(for_html(words), for_html(said, 900)) for words, said in rows]
            parts += [f"<h3>{for_html(title)}</h3>", grid(("", ""), written)]
        return "\n".join(parts)
    return ""


def _contents(accepted: Iterable[str]) -> str:
    links = (
        f'<li><a href="#{id}">{id} · {for_html(exercises()[id].title)}</a></li>' for id in sorted(accepted)
    )
    return f'<ul class="contents">{"".join(links)}</ul>'


def _draft(work: Exercise, answer: Answer, key: str) -> str:
    record = read(answer.text)
    _, examination = examine(record, key=key)
    of = work.own_numbers(record.student, key)
    values = record.values()
    rows = [_measured(a.name, values[a.name]) for a in work.steps() if a.name in values]
    rows += [
        (for_html(f"{piece}: allowance of {edge}"), f"{cm:.1f} cm", write_length(cm, "in"))
        for piece, finish in record.finish.items()
        for edge, cm in finish.allowances.items()
    ]
    needed = "; ".join(f"{n.replace('_', ' ')} {cm:.1f} cm" for n, cm in numbers_needed(work, of).items())
    parts = [
        f'<h2 id="{work.id}">{work.id} · {for_html(work.title)}</h2>',
        f"<p>{for_html(work.task, 1000)}</p>",
        f'<p class="soft">Lesson {work.lesson:02}, {WAYS[record.way]}.'
        + (f" For: {for_html(needed, 2000)}." if needed else "") + "</p>",
        with_own_ids(own_pictures(record, examination), work.id),
        grid(("step", "cm", "inches"), rows),
    ]  # fmt: skip
    return "\n".join(filter(None, parts))


def _measured(name: str, value: Value) -> tuple[str, str, str]:
    if isinstance(value, Point):
        ways = (
            (("right", value.x), ("left", -value.x))[value.x < 0],
            (("up", value.y), ("down", -value.y))[value.y < 0],
        )
        return (
            for_html(name),
            ", ".join(f"{cm:.1f} {way}" for way, cm in ways),
            ", ".join(f"{write_length(cm, 'in')} {way}" for way, cm in ways),
        )
    if "angle" in name:
        return for_html(name), f"{value:.1f}°", ""
    cm = value.length if isinstance(value, Curve) else value
    kind = " long" if isinstance(value, Curve) else ""
    return for_html(name), f"{cm:.1f}{kind}", f"{write_length(cm, 'in')}{kind}"

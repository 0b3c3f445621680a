"""The notebooks of an own exercise: to draw its answer in, for learners, and the teacher's solution."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from ..safe_text import file_stem
from ..tasks.exercise import Exercise
from .own_file import OwnFile

TEACHER = "teacher"
"""The name whose numbers the answer is drawn on."""
SOLUTIONS = "solutions"

Cell = dict[str, Any]


def said_cell(id: str, text: str) -> Cell:
    return {"cell_type": "markdown", "id": id, "metadata": {}, "source": text}


def code_cell(id: str, text: str) -> Cell:
    folded = {"jupyter": {"source_hidden": True}}
    return {"cell_type": "code", "id": id, "metadata": folded, "source": text, "outputs": [],
            "execution_count": None}  # fmt: skip


def book(cells: list[Cell]) -> str:
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    book = {"cells": cells, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}
    return json.dumps(book, indent=1, ensure_ascii=False) + "\n"


_DRAWING = """# {id}: draw the answer

First write into {id}.toml what lies on the paper (its line `paper`). Then choose *Run*, *Run All Cells*
in the menu above, and draw the answer of your exercise on the table, as a learner would: each step
becomes one of its steps. Write measures by their names, such as *a quarter of the hip girth + 2 cm*, so
that every learner gets her own. What you draw is kept as you go. When it is done, save, close this
notebook, and give the command `python -m patternlib exercise {id}` again."""

_LEARNERS = """# {id} · {title}

Choose *Run*, *Run All Cells* in the menu above, then come back up here and write your name on the card
below: it gives you measures of your own. The drafting table tells you what is asked, has hints to
unfold, and *Compare with the rule*. If you would rather draw with pencil and ruler, open *I drew it on
paper* below the table. Everything is kept as you go. To hand in, save this notebook and hand in the
file."""

_REMARKS = """**Time: ? minutes.** Common mistakes and how to explain them:

- **Write here what goes wrong.** And how you explain it. A line for each mistake: the class page shows
them beside   the slips."""


def drawing_book(id: str) -> str:
    """The notebook in which the teacher draws the answer on the drafting table."""
    table = "# The drafting table, on made-up numbers\nfrom patternlib.assess import drafting_table\n\n"
    table += f'drafting_table("{id}", student="{TEACHER}")'
    return book([said_cell("title", _flowing(_DRAWING.format(id=id))), code_cell("table", table)])


def learners_book(work: Exercise) -> str:
    """The notebook that learners get."""
    return book(_common(work))


def solution_book(work: Exercise, found: OwnFile) -> str:
    """A skeleton of the solution: the steps, and room for what only the teacher knows."""
    steps = "\n".join(f"{n}. {text.rstrip('.')}." for n, text in enumerate(found.texts, 1))
    answer = said_cell(f"{work.id}-answer", f"## The answer, step by step\n\n{steps}")
    return book([*_common(work), answer, said_cell(f"{work.id}-remarks", _flowing(_REMARKS))])


def _common(work: Exercise) -> list[Cell]:
    way = "guided" if work.guided else "free"
    task = f"## {work.id} · {work.title}\n\n{work.task} ({way}; lesson {work.lesson:02}){_looked_at(work)}"
    card = "# The name card\nfrom patternlib.assess import name_card\n\ncard = name_card()\ncard"
    table = f'# The drafting table of {work.id}\ncard.table("{work.id}")'
    paper = f'# The form for {work.id} drawn on paper\ncard.paper("{work.id}")'
    return [
        said_cell("title", _flowing(_LEARNERS.format(id=work.id, title=work.title))),
        code_cell("student", card),
        said_cell(f"{work.id}-task", task),
        code_cell(f"{work.id}-table", table),
        code_cell(f"{work.id}-paper", paper),
    ]


def _looked_at(work: Exercise) -> str:
    """What the instructor judges at the paper, for the learners: each criterion with its levels."""
    if not work.in_words:
        return ""
    said = "\n\nYour instructor also looks at your draft and gives marks for:\n"
    for criterion in work.in_words:
        said += f"\n- **{_literal(criterion.name)}**"
        said += "".join(
            f"\n    - {_marks(level.marks)}: {_literal(level.words)}" for level in criterion.levels
        )
    return said


def _marks(marks: float) -> str:
    return f"{marks:g} mark" if marks == 1 else f"{marks:g} marks"


def _literal(text: str) -> str:
    """Words as they are written, where a sign would be read as layout."""
    return re.sub(r"([\\`*_<>\[\]$#&])", r"\\\1", text)


def _flowing(text: str) -> str:
    """Each paragraph on one line."""
    return "\n\n".join(" ".join(p.split()) for p in text.split("\n\n"))


def write_books(work: Exercise, found: OwnFile, folder: Path) -> list[Path]:
    """Write the learners' notebook, again each time, and the solution, once; returns those written."""
    name = f"{work.id} {re.sub(r'[^0-9a-z]+', ' ', file_stem(work.title)).strip()}.ipynb"
    for old in folder.glob(f"{work.id} *.ipynb"):
        if old.name not in (name, drawing_name(work.id)):
            old.unlink()
    learners, solution = folder / name, folder / SOLUTIONS / f"{work.id}_solution.ipynb"
    learners.write_text(learners_book(work), encoding="utf-8")
    written = [learners]
    if not solution.exists():
        solution.parent.mkdir(exist_ok=True)
        solution.write_text(solution_book(work, found), encoding="utf-8")
        written.append(solution)
    return written


def drawing_name(id: str) -> str:
    """The file in which the answer is drawn."""
    return f"{id} draw the answer.ipynb"

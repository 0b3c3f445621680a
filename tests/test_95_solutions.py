"""Solutions and the exercises made from them.

- Every exercise has a solution in the notebook named like its lesson, with table, form, answers in code, a
  comparison and remarks.
- A learner sees no code unless she opens it; hints are plain sentences.
- Each solution's answers are judged to full marks.
- Exercises are in step with their solutions: making them again gives the committed cells.
- An exercise holds no line of an answer and no number of it, and no picture of what is to be drawn.
- Cell ids are unique and follow from the exercise; tags are only those this course gives.
"""

from __future__ import annotations

import contextlib
import importlib.util
import io
import re
from functools import cache
from pathlib import Path

import nbformat
import pytest

from patternlib.assess import MIME, exercises, judge, read
from patternlib.assess.tasks.telling import guided, hints
from patternlib.geometry import Curve, Point

ROOT = Path(__file__).resolve().parent.parent
NAMES = {int(path.name[:2]): path.name for path in (ROOT / "lessons").glob("[0-9][0-9]_*.ipynb")}
DONE = {path.name for path in (ROOT / "solutions").glob("*.ipynb")}
WORKS = [work for work in exercises().values() if NAMES.get(work.lesson) in DONE]
LESSONS = {work.lesson: NAMES[work.lesson] for work in WORKS}
TAGS = {"answer", "instructor", "draft here"}


def _maker():
    spec = importlib.util.spec_from_file_location("empty_sheets", ROOT / "solutions/empty_sheets.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MAKER = _maker()


@cache
def notebook(folder: str, name: str) -> nbformat.NotebookNode:
    return nbformat.read(ROOT / folder / name, as_version=4)


def tags(cell) -> set[str]:
    return set(cell.metadata.get("tags", []))


def cells_of(book: nbformat.NotebookNode, id: str) -> list:
    return [cell for cell in book.cells if cell.id.startswith(f"{id}-")]


def setup(book: nbformat.NotebookNode) -> dict:
    """The names that the cells before the first exercise give."""
    space: dict = {}
    for cell in book.cells:
        if re.match(r"\d\d[a-z]-", cell.id):
            break
        if cell.cell_type == "code":
            exec(cell.source, space)
    return space


def drawn(book: nbformat.NotebookNode, id: str):
    """The sheet after the cells of one exercise, and all that was printed."""
    space, printed = setup(book), io.StringIO()
    with contextlib.redirect_stdout(printed):
        for cell in cells_of(book, id):
            if cell.id.endswith("-sheet") or tags(cell) & {"answer", "draft here"}:
                exec(cell.source, space)
    return space["sheet"]


def outputs(cell) -> list[str]:
    """Every text a cell shows, and the records in it."""
    found = []
    for output in cell.get("outputs", []):
        found.append(str(output.get("text", "")))
        found += [str(value) for value in output.get("data", {}).values()]
    return found


# -- whole and right


def test_every_lesson_with_exercises_has_both_notebooks_and_no_other_is_there():
    wanted = {NAMES[work.lesson] for work in exercises().values() if work.lesson in NAMES}
    assert len(wanted) >= 12
    for folder in ("solutions", "exercises"):
        assert {p.name for p in (ROOT / folder).glob("[0-9]*.ipynb")} == wanted
    others = {p.name for folder in ("solutions", "exercises") for p in (ROOT / folder).glob("[!0-9]*.ipynb")}
    assert others == {"practice_find_the_slip.ipynb"}


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.id)
def test_a_solution_has_task_table_form_and_remarks_and_the_answers_in_code(work):
    book = notebook("solutions", LESSONS[work.lesson])
    cells = cells_of(book, work.id)
    names = [cell.id.removeprefix(f"{work.id}-") for cell in cells]
    answers = [n for n in names if n.startswith("draw-")]
    assert answers == [f"draw-{k}" for k in range(1, len(answers) + 1)] and answers
    ways = ["ways", "sheet", "hints", *answers, "compare"]
    signs = ["signs"] if work.id == "17c" else []  # pictures of what is to be told apart
    assert names == ["task", *signs, "table", "paper", "remarks", "shown", *ways]
    by = dict(zip(names, cells, strict=True))
    assert by["task"].source.startswith(f"## {work.id} · {work.title}\n") and work.task in by["task"].source
    assert f'card.table("{work.id}")' in by["table"].source
    assert f'card.paper("{work.id}")' in by["paper"].source
    assert all(tags(by[n]) == {"answer"} for n in answers)
    assert f'solution_table("{work.id}", student=card.student' in by["shown"].source
    assert tags(by["shown"]) == {"instructor"} and by["shown"].metadata["jupyter"]["source_hidden"]
    assert tags(by["remarks"]) == {"instructor"} and re.search(r"\d+ minutes", by["remarks"].source)
    assert len(by["remarks"].source.split("\n- ")) > 3
    assert all(len(by[n].source.splitlines()) <= 5 for n in answers)


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.id)
def test_every_exercise_has_three_hints_in_words_and_says_whether_it_is_guided(work):
    task = next(c for c in cells_of(notebook("exercises", LESSONS[work.lesson]), work.id))
    assert len(hints(work.id)) == 3 and len(set(hints(work.id))) == 3
    for hint in hints(work.id):
        assert re.match(r'["A-Z].*[.?]$', hint) and not re.search(r"[`_(){}\[\]=]|sheet\.\w", hint), hint
    assert ("(guided;" in task.source) == guided(work.id)
    assert ("(free;" in task.source) != guided(work.id)


@pytest.mark.parametrize("name", LESSONS.values())
def test_a_learner_sees_no_code_unless_she_opens_it(name):
    """Cells before and beside the exercises are folded; the part in code stands under a folded heading."""
    folded = False
    for cell in notebook("exercises", name).cells:
        if cell.cell_type == "markdown" and cell.source.startswith("#"):
            folded = cell.metadata.get("jp-MarkdownHeadingCollapsed", False)
            assert folded == cell.id.endswith("-ways")
        if cell.cell_type == "code" and not folded:
            assert cell.metadata["jupyter"]["source_hidden"] and cell.source.startswith("# "), cell.id
        if cell.cell_type == "markdown" and not folded:
            assert "`" not in cell.source, cell.id


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.id)
def test_the_answers_of_a_solution_get_full_marks(work):
    book = notebook("solutions", LESSONS[work.lesson])
    sheet = drawn(book, work.id)
    verdict = judge(sheet.record())
    assert sheet.said == []
    assert [line.text for line in verdict.lines if line.verdict != "right"] == []
    assert verdict.mark == verdict.out_of > 0
    assert f"{verdict.mark:g} of {verdict.out_of:g}." in _checked("solutions", work)["text/plain"]


# -- in step


@pytest.mark.parametrize("name", LESSONS.values())
def test_exercises_are_in_step_with_their_solutions(name):
    made = MAKER.exercise_notebook(notebook("solutions", name))
    there = notebook("exercises", name)

    def cells_of(book):
        return [(c.id, c.cell_type, c.source, dict(c.metadata)) for c in book.cells]

    assert cells_of(made) == cells_of(there)


@pytest.mark.parametrize("folder", ["solutions", "exercises"])
@pytest.mark.parametrize("name", LESSONS.values())
def test_ids_are_unique_and_follow_from_the_exercise_and_tags_are_ours(folder, name):
    book = notebook(folder, name)
    ids = [cell.id for cell in book.cells]
    assert len(set(ids)) == len(ids)
    parts = "task|table|shown|sheet|hints|draw-[0-9]+|compare|remarks|ways|paper|signs"
    here = "|".join(work.id for work in WORKS if LESSONS[work.lesson] == name)
    assert all(re.fullmatch(rf"title|student|here|about|end|({here})-({parts})", id) for id in ids)
    assert set().union(*(tags(cell) for cell in book.cells)) <= TAGS
    if folder == "exercises":
        assert not any(tags(cell) & {"answer", "instructor"} for cell in book.cells)


# -- no answer leaks


@pytest.mark.parametrize("name", LESSONS.values())
def test_no_line_of_an_answer_and_no_remark_is_in_an_exercise(name):
    book = notebook("exercises", name)
    text = "\n".join([cell.source for cell in book.cells] + [o for c in book.cells for o in outputs(c)])
    for cell in notebook("solutions", name).cells:
        if tags(cell) & {"answer", "instructor"} and cell.id != "here":
            lines = cell.source.splitlines()
            for line in lines[1:] if lines[0].startswith("# ") else lines:
                assert not line.strip() or line.strip() not in text, line
    blanks = [cell for cell in book.cells if tags(cell) == {"draft here"}]
    for cell in blanks:
        assert all(line.startswith("#") for line in cell.source.splitlines()) and not cell.outputs


def _numbers(text: str) -> set[float]:
    return {abs(float(n)) for n in re.findall(r"(?<![\w.])-?\d+\.\d{2,}(?!\w)", text)}


def _checked(folder: str, work) -> dict:
    """What the checking cell of an exercise shows."""
    cells = cells_of(notebook(folder, LESSONS[work.lesson]), work.id)
    return next(cell for cell in cells if cell.id.endswith("-compare")).outputs[0].data


def _asked(work) -> set[float]:
    """Every coordinate, length and number that is asked, as it is shown in a verdict and in a record."""
    of = work.own_numbers("your name")
    reference = work.reference(of)
    known = {abs(v) for v in work.numbers(of).values()}
    for name in work.given(reference):
        known |= _parts(reference[name])
    found = set().union(*(_parts(reference[asked.name]) for asked in work.steps()))
    own = read(_checked("solutions", work)[MIME]).values()  # slightly beside the rule's
    found |= set().union(*map(_parts, own.values()))
    known |= {v for v in found if abs(v * 10 - round(v * 10)) < 1e-6}  # a whole millimetre tells nothing
    shown = {round(v, digits) for v in found for digits in (2, 3, 4)}
    return shown - {round(v, digits) for v in known for digits in (1, 2, 3, 4)}


def _parts(value) -> set[float]:
    if isinstance(value, Point):
        return {abs(value.x), abs(value.y)}
    if isinstance(value, Curve):
        return {value.length, *_parts(value.start), *_parts(value.end)}
    return {abs(value)}


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.id)
def test_no_number_that_is_asked_is_in_an_exercise(work):
    secret = _asked(work)
    for cell in cells_of(notebook("exercises", LESSONS[work.lesson]), work.id):
        for text in (cell.source, *outputs(cell)):
            if "<svg" not in text:  # its numbers are millimetres on the screen
                assert _numbers(text).isdisjoint(secret), cell.id


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.id)
def test_the_check_of_an_exercise_shows_what_is_given_alone(work):
    shown = _checked("exercises", work)
    assert shown["text/plain"].splitlines()[0] == f"{work.title}: nothing is drawn yet."
    captions = re.findall(r"<figcaption>(.*?)</figcaption>", shown["text/html"])
    assert set(captions) <= {"What is given"}
    assert MIME not in shown  # what is not begun is not handed in


def test_the_search_for_numbers_finds_them_in_the_solutions():
    """The judged solutions show what exercises must not: the search is no blind one."""
    found = 0
    for work in WORKS:
        found += bool(_numbers(str(_checked("solutions", work)[MIME])) & _asked(work))
    assert found > 20

"""Write the exercise notebooks from the solutions: python solutions/empty_sheets.py [NN ...]

Only the solutions are written by hand, but for the lists of common mistakes: these are printed from the
data beside the exercises. A cell tagged 'answer' becomes a cell to write in, a cell tagged
'instructor' is left out, every other cell is taken over with its id. Solution and exercise are run once, so
that one shows the checks passed and the other what a learner sees before the first attempt.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from copy import deepcopy
from pathlib import Path

import nbformat

ROOT = Path(__file__).resolve().parent.parent
SOLUTIONS, EXERCISES = ROOT / "solutions", ROOT / "exercises"

ANSWER, INSTRUCTOR = "answer", "instructor"
BLANK = "# Draft here, one step a line.\n"
LISTED = "Common mistakes and how to explain them:"


def print_mistakes(solution: nbformat.NotebookNode) -> None:
    """Put the lists of common mistakes into the solution's cells; the time before them stays."""
    from patternlib.assess import exercises
    from patternlib.assess.tasks.mistakes import prose

    for cell in solution.cells:
        id, _, name = cell.id.partition("-")
        if name == "remarks":
            time = cell.source.partition(LISTED)[0]
            cell.source = f"{time}{LISTED}\n\n{prose(exercises()[id].mistakes)}"


def exercise_cells(solution: nbformat.NotebookNode) -> list[nbformat.NotebookNode]:
    """The cells of an exercise, made from those of its solution."""
    cells = []
    for cell in solution.cells:
        tags = cell.metadata.get("tags", [])
        if INSTRUCTOR in tags:
            continue
        cell = deepcopy(cell)
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
        if ANSWER in tags:
            first = cell.source.splitlines()[0] if cell.source.startswith("# ") else ""
            cell.source = (first + "\n" if first else "") + BLANK
            cell.metadata = {"tags": ["draft here"]}
        cells.append(cell)
    return cells


def exercise_notebook(solution: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """The exercise made from a solution, not yet run."""
    notebook = nbformat.v4.new_notebook(metadata=deepcopy(solution.metadata))
    notebook.metadata.pop("widgets", None)
    notebook.cells = exercise_cells(solution)
    return notebook


def run(notebook: nbformat.NotebookNode, folder: Path) -> nbformat.NotebookNode:
    """The notebook after a run in its folder, without what differs from run to run."""
    from nbclient import NotebookClient

    NotebookClient(
        notebook,
        timeout=90,
        kernel_name="python3",
        resources={"metadata": {"path": folder}},
        coalesce_streams=True,
    ).execute()
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
    notebook.metadata.pop("widgets", None)
    notebook.metadata.language_info = {"name": "python"}
    return notebook


def write_exercises(names: Iterable[str] = ()) -> list[Path]:
    """Run the solutions whose file names start with one of `names` (none: all); write their exercises."""
    wanted = tuple(names)
    written = []
    for path in sorted(SOLUTIONS.glob("[0-9][0-9]_*.ipynb")):
        if wanted and not path.name.startswith(wanted):
            continue
        solution = nbformat.read(path, as_version=4)
        print_mistakes(solution)
        exercise = exercise_notebook(solution)
        nbformat.write(run(solution, SOLUTIONS), path)
        nbformat.write(run(exercise, EXERCISES), EXERCISES / path.name)
        written.append(EXERCISES / path.name)
    return written


if __name__ == "__main__":
    for made in write_exercises(sys.argv[1:]):
        print(made.relative_to(ROOT))

"""`python -m patternlib exercise 02p`: an own exercise made, drawn, tried, and its notebooks written.

Given again and again: each time it does what can be done and says in sentences what is missing.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

from ...errors import PatternError, ValueAtFault
from ..table.kept import MOST_BYTES, Kept, place, read_kept
from .notebooks import TEACHER, drawing_book, drawing_name, write_books
from .own_file import ID, PAPERS, OwnFile, as_exercise, read_own_file
from .place import lessons_beside, new_folder, own_folder
from .rehearsal import rehearse
from .sentences import write_sentence

BEGUN = """# An exercise of your own. Write between the quotes; what follows a # is only read by people.
# When you have changed something, save, and give the command again: python -m patternlib exercise {id}

title = ""          # such as "A pocket for the long ruler"
lesson = {lesson}          # the lesson it belongs to
task = ""           # what is to be drawn, in a sentence or two
paper = "empty"     # what lies on the paper before: {papers}
guided = false      # true: learners see every step from the start; false: only as the last hint

# Hints, each tells more than the one before.
hints = [
  "",
  "",
  "",
]

pieces = false      # true: pieces are asked, too, and the tools for them lie on the table

unit = "cm"         # of bare numbers in the steps: "cm" or "in"

# The answer, a sentence for each step. Draw it in '{drawing}' and it is
# written here for you; or write the sentences yourself, as the drafting table has them.
steps = [
]

# Numbers that all learners share, in cm, such as "ruler width" = 4
[numbers]

# What is asked, and its marks, such as "pocket foot" = 1. Empty: every step is asked for one mark.
[marks]

# What only you can judge, at the paper: a heading for each criterion; below it a line for each level, with
# its marks. Take the signs # away and write your own words; more criteria follow below in the same way.
# [criteria."Neatness of lines"]
# "Lines are missing or drawn twice" = 0
# "All lines are there, some of them drawn twice" = 1
# "Each line is drawn once and in one width" = 2
"""


def exercise_command(id: str) -> tuple[list[str], bool]:
    """Do what can be done for an own exercise; returns sentences for the screen, and whether it is ready.

    Raises PatternError for an id that is the course's, or cannot be one.
    """
    if not ID.fullmatch(id):
        raise ValueAtFault(
            "exercise", id[:20], "is no name for an exercise of your own",
            "Take its lesson and a letter from p to z, such as 02p: the course never uses these letters.",
        )  # fmt: skip
    folder = own_folder() or new_folder()
    path = folder / f"{id}.toml"
    _look_for_lesson(id, folder, path)
    try:
        folder.mkdir(exist_ok=True)
        return _do(id, folder, path)
    except OSError as fault:
        raise PatternError(f"{fault.filename or folder} cannot be written ({fault.strerror}).") from None


def _look_for_lesson(id: str, folder: Path, path: Path) -> None:
    """PatternError where a new exercise is named after a lesson that does not lie beside its folder."""
    lessons = lessons_beside(folder)
    if lessons and int(id[:2]) not in lessons and not path.exists():
        raise PatternError(
            f"There is no lesson {id[:2]}; there are {_in_runs(lessons)}. Begin the name with the number of "
            "the lesson that it belongs to, such as 02p. A lesson of your own must lie in the folder "
            f"{folder.parent / 'lessons'}, its number first in its name, such as 23_hats.ipynb."
        )


def _in_runs(numbers: list[int]) -> str:
    """Numbers in words, those that follow one another together.

    >>> _in_runs([0, 1, 2, 5, 7, 8])
    '00 to 02, 05, 07 to 08'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{r[0]:02} to {r[-1]:02}" if len(r) > 1 else f"{r[0]:02}" for r in runs)


def _do(id: str, folder: Path, path: Path) -> tuple[list[str], bool]:
    drawing = folder / drawing_name(id)
    said = []
    if not path.exists():
        text = BEGUN.format(id=id, lesson=int(id[:2]), papers=", ".join(PAPERS), drawing=drawing.name)
        path.write_text(text, encoding="utf-8")
        said.append(f"{path} was made: open it in a text editor, fill it in and save it.")
    if not drawing.exists():
        drawing.write_text(drawing_book(id), encoding="utf-8")
        said.append(f"Then draw the answer in {drawing}, and give this command again.")
        return said, False
    said += _take_over(id, folder, path, read_own_file(path))
    found = read_own_file(path)
    todo = [*found.faults, *found.lacking]
    if not found.texts:
        todo.append(f"steps: there are none yet. Draw the answer in {drawing.name}, save it and close it.")
    if todo:
        return [*said, "Still to do:", *(f"- {each}" for each in todo)], False
    return _tried(found, folder, said)


def _tried(found: OwnFile, folder: Path, said: list[str]) -> tuple[list[str], bool]:
    work = as_exercise(found)
    done = rehearse(found, work)
    advice = [f"- {text}" for text in done.advice]
    if done.faults:
        return [*said, "Still to do:", *(f"- {fault}" for fault in done.faults), *advice], False
    said.append(
        f"{found.id} works for {done.learners} made-up learners: drawn, done on the table and judged right."
    )
    said += [f"Written: {path}" for path in write_books(work, found, folder)]
    if advice:
        said += ["It could be better:", *advice]
    return said, True


def _take_over(id: str, folder: Path, path: Path, found: OwnFile) -> list[str]:
    """Write the steps of a drawing into the file if it has none, or older ones; all else in it stays."""
    drawn = place(id, TEACHER, folder)
    kept = read_kept(drawn, Kept, MOST_BYTES)
    if kept is None or not kept.steps:
        return []
    if found.texts and drawn.stat().st_mtime <= path.stat().st_mtime:
        return []
    units = {step.unit for step in kept.steps if re.search(r"\d", step.measure)}
    if len(units) > 1:
        return [
            "The drawing has steps in cm and in inches: draw all of them in one unit, or write the units."
        ]
    before = path.read_text(encoding="utf-8-sig")
    texts = [write_sentence(step) for step in kept.steps]
    steps = "steps = [\n" + "".join(f"  {json.dumps(t, ensure_ascii=False)},\n" for t in texts) + "]"
    after, count = re.subn(r"^steps\s*=\s*\[.*?^\]", lambda _: steps, before, count=1, flags=re.M | re.S)
    if not count:
        return [f"The line 'steps = [' was not found in {path.name}, so the drawing was not taken over."]
    unit = next(iter(units), "cm")
    after = re.sub(r'^unit\s*=\s*"\w+"', f'unit = "{unit}"', after, count=1, flags=re.M)
    path.write_text(after, encoding="utf-8")
    return [f"{len(texts)} steps were taken over from the drawing into {path.name}."]

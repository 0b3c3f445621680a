"""What is handed out on paper: sheets for one learner, or for every learner of the register in one PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ...errors import PatternError
from ..answers.worksheet import save_worksheet
from ..hand_ins.register import no_such_group, read_register
from ..safe_text import folded
from .levels import PROJECT
from .printed import save_project_forms


def save_sheets(
    id: str,
    path: str,
    *,
    students: Sequence[tuple[str, str]],
    scale: str = "half",
    paper: str = "a4",
    strips: bool = False,
    flags: bool = False,
) -> int:
    """Write the worksheets of an exercise ('02a') or a lesson ('02'), or the forms of the project ('16');
    returns the number of pages.

    students: of each the id and the key; strips, flags: as for a worksheet. Raises PatternError where the
    exercise or an option is at fault.
    """
    if id != PROJECT:
        return save_worksheet(
            id, path, students=students, scale=scale, paper=paper, strips=strips, flags=flags
        )
    if strips or flags:
        raise PatternError(
            "The form of the project is written on, not photographed. Leave out --strips and --flags."
        )
    return save_project_forms(path, students=[who for who, _ in students], paper=paper)


def save_handouts(
    id: str, path: str, *, register: str, group: str = "", key: str = "", **options
) -> tuple[int, int]:
    """Write the sheets of every learner of a class; returns the numbers of learners and of pages.

    register: the table of the class; group: of it, '' for all; key: for learners without a key of their own;
    options: as for `save_sheets`. Raises PatternError where the table, the group, the exercise or an option
    is at fault.
    """
    table = read_register(Path(register)).students.values()
    mine = [s for s in table if not group or folded(s.group) == folded(group)]
    if not mine:
        raise no_such_group(group, table)
    students = [(s.id, key if s.key is None else s.key) for s in mine]
    return len(mine), save_sheets(id, path, students=students, **options)

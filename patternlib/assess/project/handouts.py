"""Hand-outs for a whole class: the sheets of a lesson for every learner of the register in one PDF."""

from __future__ import annotations

from pathlib import Path

from ...errors import PatternError
from ..answers.strips_and_flags import nothing_to_photograph
from ..answers.worksheet import save_worksheet
from ..hand_ins.register import read_register
from ..safe_text import folded, one_line
from .levels import PROJECT
from .printed import save_project_forms


def save_handouts(
    id: str,
    path: str,
    *,
    register: str,
    group: str = "",
    key: str = "",
    scale: str = "half",
    paper: str = "a4",
    strips: bool = False,
    flags: bool = False,
) -> tuple[int, int]:
    """Write the worksheets of an exercise ('02a') or a lesson ('02'), or the forms of the project ('16');
    returns learners and pages.

    register: the table of the class; group: of it, '' for all; key: for learners without a key of their own;
    strips, flags: as for a worksheet. Raises PatternError where the table, the group or the exercise is at
    fault.
    """
    table = read_register(Path(register)).students.values()
    mine = [s for s in table if not group or folded(s.group) == folded(group)]
    if not mine:
        groups = ", ".join(sorted({s.group for s in table if s.group})) or "none"
        raise PatternError(f"The register has no group '{one_line(group, 40)}'; it has: {groups}.")
    if id == PROJECT and (strips or flags):
        raise nothing_to_photograph(f"lesson {id}")
    if id == PROJECT:
        return len(mine), save_project_forms(path, students=[s.id for s in mine], paper=paper)
    students = [(s.id, key if s.key is None else s.key) for s in mine]
    return len(mine), save_worksheet(
        id, path, students=students, scale=scale, paper=paper, strips=strips, flags=flags
    )

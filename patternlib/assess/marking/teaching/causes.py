"""What a class has not understood yet: by cause, over all exercises and students; void drafts left out."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from math import hypot
from typing import Any

from ...hand_ins.register import Due
from ...own.place import own_folder
from ...safe_text import folded
from ...sandbox.job import SOURCE
from ...tasks.catalogue import exercises
from ...tasks.mistakes import Mistake
from ..class_marking import Class
from ..evidence import Answer

TEN_TIMES = (8.0, 12.5)
"""A point that lies so many times too far out was measured in millimetres."""
FEWEST = 2
"""points that say so."""


@dataclass
class Trouble:
    """One step of one exercise over the whole class, with the students for whom it went wrong.

    drew: how many handed the exercise in; wrong, missing: students; slips: slip -> students; said: what
    the step is for; remarks: slip -> one remark as an example; pairs: student -> (what was given, what is
    right), where no slip explains it.
    """

    exercise: str
    step: str
    drew: int
    wrong: set[str] = field(default_factory=set)
    missing: set[str] = field(default_factory=set)
    slips: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    said: str = ""
    remarks: dict[str, str] = field(default_factory=dict)
    pairs: dict[str, tuple[Any, Any]] = field(default_factory=dict)

    @property
    def count(self) -> int:
        return len(self.wrong | self.missing)

    def named(self) -> list[tuple[str, int]]:
        """Slips by how many students made them."""
        return sorted(((s, len(who)) for s, who in self.slips.items()), key=lambda pair: (-pair[1], pair[0]))


@dataclass
class Cause:
    """One misconception wherever it shows. slip: its code, '' where no slip explains the step; students:
    folded name -> as shown; who: (exercise, step) -> their folded names; drew: how many handed one of these
    exercises in; remarks: one remark of each place; said: what the first step is for; pairs: see Trouble."""

    slip: str
    students: dict[str, str] = field(default_factory=dict)
    who: dict[tuple[str, str], set[str]] = field(default_factory=dict)
    drew: int = 0
    remarks: dict[tuple[str, str], str] = field(default_factory=dict)
    said: str = ""
    pairs: dict[str, tuple[Any, Any]] = field(default_factory=dict)

    @property
    def remark(self) -> str:
        """One remark as an example, made where most students show it."""
        return self.remarks.get(self.commonest, "")

    @property
    def commonest(self) -> tuple[str, str]:
        """The place where most students show it."""
        return self.places[0]

    @property
    def places(self) -> list[tuple[str, str]]:
        """Where it shows, (exercise, step), the place of most students first."""
        return sorted(self.who, key=lambda place: (-len(self.who[place]), place))

    def exercise_of(self, who: str) -> str:
        """The exercise in which a student shows it, by folded name."""
        return next((exercise for exercise, step in self.places if who in self.who[exercise, step]), "")


def troubles(answers: Iterable[Answer]) -> list[Trouble]:
    """Steps by how many students they went wrong for; a carried step is no trouble of its own."""
    answers = list(answers)
    drew = Counter(a.record.exercise for a in answers)
    found: dict[tuple[str, str], Trouble] = {}
    for answer in answers:
        exercise, who = answer.record.exercise, folded(answer.student)
        for line in answer.judged.verdict["lines"]:
            if line["verdict"] not in ("off", "missing"):
                continue
            step = line.get("at") or line["step"]
            trouble = found.setdefault((exercise, step), Trouble(exercise, step, drew[exercise]))
            trouble.said = trouble.said or answer.judged.steps.get(step, "")
            (trouble.missing if line["verdict"] == "missing" else trouble.wrong).add(who)
            if line["slip"]:
                trouble.slips[line["slip"]].add(who)
                trouble.remarks.setdefault(line["slip"], line["text"].removeprefix(f"{line['step']}: "))
            elif line["verdict"] == "off":
                trouble.pairs[who] = line["got"], line["want"]
    return sorted(found.values(), key=lambda t: (-t.count, t.exercise, t.step))


def find_causes(answers: Sequence[Answer]) -> list[Cause]:
    """Causes by how many students have them; a step that no slip explains is a cause of its own."""
    shown = {folded(a.student): a.student for a in answers}
    drew: dict[str, set[str]] = defaultdict(set)
    for answer in answers:
        drew[answer.record.exercise].add(folded(answer.student))
    found: dict[tuple[str, ...], Cause] = {}
    for trouble in troubles(answers):
        place = (trouble.exercise, trouble.step)
        for slip, who in trouble.slips.items():
            cause = found.setdefault((slip,), Cause(slip, said=trouble.said))
            cause.students |= {w: shown[w] for w in who}
            cause.who[place] = set(who)
            cause.remarks[place] = trouble.remarks[slip]
        rest = (trouble.wrong | trouble.missing) - set().union(*trouble.slips.values())
        if rest:
            pairs = {w: pair for w, pair in trouble.pairs.items() if w in rest}
            found[place] = Cause(
                "", {w: shown[w] for w in rest}, {place: rest}, said=trouble.said, pairs=pairs
            )
    for cause in found.values():
        cause.drew = len(set().union(*(drew[exercise] for exercise, _ in cause.who)))
    return sorted(found.values(), key=lambda c: (-len(c.students), c.slip == "", c.slip, sorted(c.who)))


def void(answer: Answer, copied: set[tuple[str, str]]) -> str:
    """Why a draft says nothing about what was understood, '' where it does."""
    record, verdict = answer.handed_in, answer.judged.verdict
    if (folded(answer.student), record.exercise) in copied:
        return "a likely copy"
    if any("other measures" in remark for remark in verdict.get("remarks", ())):
        return "drawn on other numbers: a wrong key or id"
    if _in_millimetres(answer) or any(line["slip"] == "whole-in-mm" for line in verdict["lines"]):
        return "in millimetres, or the decimal point is misplaced everywhere"
    return ""


def _in_millimetres(answer: Answer) -> bool:
    """Whether most of what was handed in is about ten times what is meant."""
    pairs = [
        (hypot(*answer.handed_in.points[name]), hypot(*rule))
        for name, rule in answer.judged.rule.items()
        if name in answer.handed_in.points
    ]
    for line in answer.judged.verdict.get("lines", ()):
        got, want = line["got"], line["want"]
        if line["step"] in answer.handed_in.numbers and isinstance(want, int | float):
            pairs.append((abs(got or 0.0), abs(want)))
    pairs = [(got, want) for got, want in pairs if want > 2]
    far = [got for got, want in pairs if TEN_TIMES[0] * want <= got <= TEN_TIMES[1] * want or got >= 900]
    return len(far) >= FEWEST and 2 * len(far) > len(pairs)


def telling(work: Class) -> tuple[list[Answer], list[tuple[Answer, str]]]:
    """The answers that tell what a class has understood, one a student and exercise, and the void ones."""
    copied = {(folded(c.students[0]), c.exercise) for c in work.copies}
    marks = {
        (folded(a.student), a.record.exercise): a.judged.verdict["mark"]
        for a in work.answers
        if a.judged.verdict
    }
    for copy in (c for c in work.copies if "every point" in c.why):
        alike = {(folded(who), copy.exercise) for who in copy.students}
        most = max(marks.get(who, 0.0) for who in alike)
        copied |= {who for who in alike if marks.get(who, 0.0) < most}  # whose numbers fit drew it
    best: dict[tuple[str, str], Answer] = {}
    apart: list[tuple[Answer, str]] = []
    for answer in work.answers:
        if answer.row is None or not answer.judged.verdict or answer.owner.asked or answer.is_project:
            continue
        if answer.unread:
            continue
        why = void(answer, copied)
        if why:
            apart.append((answer, why))
            continue
        place = (folded(answer.student), answer.record.exercise)
        if place not in best or _rank(answer) > _rank(best[place]):
            best[place] = answer
    return list(best.values()), apart


def _rank(answer: Answer) -> tuple[bool, float]:
    row = answer.row
    return bool(row and row.counts), answer.judged.verdict["mark"]


@dataclass(frozen=True)
class Week:
    """How a week's work went. name: the day on which it was due, or its lesson; students who handed in, their
    share of all marks, how many of the answers have every mark, steps wrong in a draft."""

    name: str
    exercises: tuple[str, ...]
    students: int
    share: float
    full: int
    answers: int
    off: float
    commonest: str


def progress(answers: Sequence[Answer], due: Iterable[Due]) -> list[Week]:
    """Week by week, in their order."""
    weeks = weeks_of(answers, due)
    by_week: dict[str, list[Answer]] = defaultdict(list)
    for answer in answers:
        by_week[weeks[answer.record.exercise]].append(answer)
    found = []
    for name, group in sorted(by_week.items()):
        pairs = [(a.judged.verdict["mark"], a.judged.verdict["out_of"]) for a in group]
        most = sum(out_of for _, out_of in pairs)
        share = sum(mark for mark, _ in pairs) / most if most else 0.0
        full = sum(mark >= out_of for mark, out_of in pairs)
        lines = [x for a in group for x in a.judged.verdict["lines"]]
        slips = Counter(x["slip"] for x in lines if x["slip"])
        off = sum(x["verdict"] in ("off", "missing") for x in lines) / len(group)
        commonest = min(slips, key=lambda s: (-slips[s], s)) if slips else ""
        students = len({folded(a.student) for a in group})
        of = tuple(sorted({a.record.exercise for a in group}))
        found.append(Week(name, of, students, share, full, len(group), off, commonest))
    return found


def weeks_of(answers: Iterable[Answer], due: Iterable[Due]) -> dict[str, str]:
    """The week of each exercise: the last day on which it was due; its lesson where no day is known."""
    handed_in = {a.record.exercise for a in answers}
    days = {d.exercise: d.when[:10] for d in sorted(due, key=lambda d: d.when) if d.exercise in handed_in}
    return {e: days.get(e, "no day") if days else f"lesson {e[:2]}" for e in handed_in}


def newest(answers: Iterable[Answer], due: Iterable[Due]) -> set[str]:
    """The exercises handed in last: those of the last two weeks."""
    weeks = weeks_of(answers, due)
    last = sorted(set(weeks.values()) - {"no day"})[-2:]
    return {exercise for exercise, week in weeks.items() if week in last}


def listed(exercise: str, slip: str, step: str) -> list[Mistake]:
    """The mistakes of an exercise's own list that have this slip's code, those made at this step first."""
    work = exercises().get(exercise)
    found = [m for m in work.mistakes if m.code == slip] if work else []
    return sorted(found, key=lambda m: step not in m.at)


@cache
def explained(exercise: str) -> tuple[str, ...]:
    """What the solution of an exercise says about its common mistakes; nothing where no solutions lie."""
    own = own_folder()
    places = [(SOURCE / "solutions", f"{exercise[:2]}_*.ipynb")]
    places += [(own / "solutions", f"{exercise}_*.ipynb")] if own else []
    for path in (found for folder, name in places for found in sorted(folder.glob(name))):
        try:
            cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        except (OSError, ValueError, KeyError):
            continue
        for cell in cells:
            if cell.get("id") == f"{exercise}-remarks":
                lines = "".join(cell["source"]).splitlines()
                return tuple(line[2:].replace("**", "") for line in lines if line.startswith("- "))
    return ()

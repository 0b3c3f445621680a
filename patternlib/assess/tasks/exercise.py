"""Exercises as data: one drafting function and one entry each.

A drafting function takes a OwnNumbers and gives a Draft by Drafting; an entry says which of its steps are
asked. The student's sheet, the judging and the pictures are all read from the recording.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from ...draft import Draft, Drafting, Step
from ...errors import ValueAtFault
from ...geometry import Curve, Point
from ...operations import Value
from ...pieces import Piece
from ...units import in_unit, write_length
from . import record as records
from .in_words import InWords
from .mistakes import Mistake
from .own_numbers import OwnNumbers, numbers_for, spelled
from .rework import reach

STEP_KINDS = ("point", "curve", "number")
FINISH_KINDS = ("seam line", "allowance", "corner", "notches", "grain", "label", "cut line")

QUARTER = "a quarter of the hip girth + a quarter of the hip ease"
"""Where a quarter of the hip comes from, as a step says it."""


@dataclass(frozen=True)
class Asked:
    """One thing asked: a step of the draft, or something added to a piece.

    name: the step, or the words of the finish; kind: one of STEP_KINDS or FINISH_KINDS; weight: marks;
    tolerance: cm (degrees for an angle) that is allowed at least, None: as for its kind and way; piece, part:
    the piece, its edge or corner; meets: cm allowed at most, for a seam that must match another.
    """

    name: str
    kind: str
    weight: float = 1.0
    tolerance: float | None = None
    piece: str = ""
    part: str = ""
    meets: float | None = None


@dataclass(frozen=True)
class Exercise:
    """One exercise.

    id: '02a'; lesson: number of its lesson; task: what is to be done, in words; asked: in the order of the
    draft; draw: own numbers -> Draft, its steps are the rule; finish: (draft, own numbers) -> pieces, where
    finishing is asked; terms: for a step, the parts of its measure, {name of a number: factor};
    constants: more numbers (cm) that terms may name; rules: sentences for steps whose own sentence would say
    too much or too little, {value} stands for the step's value; ready: steps that are drawn on the
    student's paper already; allowance: cm added round the pieces, 0 for a plan on seam lines; mistakes: those
    that are commonly made in it; hints, guided: as hints.toml has them for the course's own exercises;
    in_words: criteria that only the instructor can judge.
    """

    id: str
    title: str
    lesson: int
    task: str
    asked: tuple[Asked, ...]
    draw: Callable[[OwnNumbers], Draft]
    finish: Callable[[Draft, OwnNumbers], tuple[Piece, ...]] | None = None
    terms: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    constants: Mapping[str, float] = field(default_factory=dict)
    rules: Mapping[str, str] = field(default_factory=dict)
    ready: tuple[str, ...] = ()
    allowance: float = 0.0
    mistakes: tuple[Mistake, ...] = ()
    hints: tuple[str, ...] = ()
    guided: bool = False
    in_words: tuple[InWords, ...] = ()

    def own_numbers(self, student: str, key: str = "") -> OwnNumbers:
        """The student's own body and style."""
        return numbers_for(student, key)

    def reference(self, of: OwnNumbers) -> Draft:
        """The rule's draft on a student's own numbers."""
        return _reference(self.draw, of.body, tuple(of.style.items()))

    def numbers(self, of: OwnNumbers) -> dict[str, float]:
        """Every number a measure's parts can name, cm."""
        return of.numbers() | dict(self.constants)

    def steps(self) -> tuple[Asked, ...]:
        return tuple(a for a in self.asked if a.kind in STEP_KINDS)

    def given(self, draft: Draft) -> tuple[str, ...]:
        """The points and lines that are on the student's paper before the work begins."""
        return tuple(s.name for s in draft if s.op in ("trace", "start") or s.name in self.ready)

    def sheet(self, of: OwnNumbers, unit: str = "cm") -> tuple[str, ...]:
        """The drafting instructions, a sentence a step, without the measures that the student calculates.
        unit: of the lengths that are given, 'cm' or 'in'.

        >>> from patternlib.assess import exercises
        >>> exercises()["02a"].sheet(numbers_for("lena"))[0]
        'From waist at centre back go down (waist to hip): mark centre back hip, because the hip line lies \
at the fullest part of the hip.'
        """
        draft = self.reference(of)
        known = ((n, draft[n]) for n in self.ready if isinstance(draft[n], float))
        given = (f"Given: {n} is {f'{v:.2f}°' if 'angle' in n else _told(v, unit)}." for n, v in known)
        return (*given, *self.sentences(of, unit).values())

    def sentences(self, of: OwnNumbers, unit: str = "cm") -> dict[str, str]:
        """The instruction of each step that is to be done, by its name; lengths in `unit`."""
        draft = self.reference(of)
        wanted: set[str] = set()
        ready = {name: draft[name] for name in self.ready}
        for asked in self.steps():
            wanted.update((asked.name, *reach(draft, asked.name, ready)[1]))
        return {
            s.name: self._sentence(s, unit)
            for s in draft
            if s.name in wanted and s.op not in ("trace", "start")
        }

    def _sentence(self, step: Step, unit: str) -> str:
        if step.name in self.rules:
            return self.rules[step.name].format(value=step.value)
        return _unmeasured(step, self.terms.get(step.name, {}), unit)

    def record(
        self,
        of: OwnNumbers,
        draft: Draft | Mapping[str, Value],
        *,
        student: str | None = None,
        way: str = "code",
        scale: float = 1.0,
        pieces: Iterable[Piece] = (),
    ) -> dict:
        """The hand-in record of a draft: the asked steps that are in it, and the pieces' finish.

        scale: how many cm of the pattern one cm of the student's paper stands for.
        student: whose record it is, None: whose the numbers are. Numbers without a student, or of
        another student than the one named, raise ValueAtFault: they would be judged on other measures.
        """
        whose = _whose(of, student)
        found: dict[str, dict] = {"points": {}, "curves": {}, "numbers": {}}
        for asked in self.steps():
            if asked.name in draft:
                value = draft[asked.name]
                if isinstance(value, Point):
                    found["points"][asked.name] = records.spot(value)
                elif isinstance(value, Curve):
                    found["curves"][asked.name] = records.cubics(value)
                else:
                    found["numbers"][asked.name] = round(float(value), 4)
        drawn_smaller = {} if scale == 1 else {"scale": float(scale)}
        return {
            "format": records.FORMAT,
            "version": records.VERSION,
            "exercise": self.id,
            "student": whose,
            "way": way,
            "own_numbers": of.to_dict(),
            **found,
            **drawn_smaller,
            "finish": {p.name: finish_record(p) for p in pieces},
        }


def _whose(of: OwnNumbers, student: str | None) -> str:
    """The student of a record, who must be the one whose numbers were drafted on."""
    if student is None and of.student is None:
        advice = "Take the numbers from exercise.own_numbers(student), or name the student."
        raise ValueAtFault("student", "nobody", "is named, and the numbers name no student either", advice)
    if student is not None and of.student is not None and spelled(of.student) != spelled(student):
        advice = f"Take the numbers from exercise.own_numbers({student!r})."
        raise ValueAtFault("student", student, f"is named, but the numbers are those of {of.student}", advice)
    return student if student is not None else of.student or ""


def finish_record(piece: Piece) -> dict:
    """A finished piece as it is handed in."""
    return {
        "allowances": {e.name: round(e.allowance, 4) for e in piece.edges},
        "notches": [{"edge": n.edge, "at": round(n.at, 4), "count": n.count} for n in piece.notches],
        "grain": [records.spot(piece.grain.start), records.spot(piece.grain.end)] if piece.grain else None,
        "label": list(piece.label),
        "corners": {f"{before} / {after}": first for (before, after), first in piece.folds.items()},
        "cut_line": [records.spot(p) for p in piece.cut_line],
    }


@lru_cache(maxsize=600)
def _reference(draw: Callable[[OwnNumbers], Draft], body, style: tuple) -> Draft:
    return draw(OwnNumbers(body, dict(style)))


def _told(cm: float, unit: str) -> str:
    """A given length, in cm to the tenth of a millimetre."""
    return f"{cm:.2f} cm" if unit == "cm" else write_length(cm, unit)


def _unmeasured(step: Step, terms: Mapping[str, float], unit: str) -> str:
    """The step's sentence; a measure that can be calculated from known ones is left out."""
    if step.op == "sum":
        source = in_unit(step.source, unit)
        return f"Calculate {step.name}: {source}." if source else f"Calculate {step.name}."
    if step.op in ("length", "distance"):
        step = replace(step, value=step)  # the text leaves out what is not a number
    if step.measured_by or (terms and step.measure is not None):
        source = step.source or step.measured_by or " + ".join(name.replace("_", " ") for name in terms)
        text = replace(step, measure=None, source=source, measured_by="").text(unit)
        return re.sub(r"\s+", " ", text.replace("by : ", f"by {source}: "))
    return re.sub(r"\s+", " ", step.text(unit))


def note(d: Drafting, of: OwnNumbers, *names: str) -> None:
    """Note a student's own numbers on a draft, under the names a student reads."""
    numbers = of.numbers()
    for name in names:
        d.given(name.replace("_", " "), numbers[name])


def ask(
    *names: str, kind: str = "point", weight: float = 1.0, tolerance: float | None = None,
    meets: float | None = None,
) -> tuple[Asked, ...]:  # fmt: skip
    """Steps of one kind that are asked."""
    return tuple(Asked(name, kind, weight, tolerance, meets=meets) for name in names)


def ask_finish(
    piece: str,
    *,
    seam_line: bool = False,
    allowances: Iterable[str] = (),
    corners: Iterable[str] = (),
    notches: Iterable[str] = (),
    grain: bool = False,
    label: bool = False,
    cut_line: bool = False,
) -> tuple[Asked, ...]:
    """What is asked of one piece: allowances and notches by edge, corners as 'edge before / edge after'."""
    found = [Asked(f"{piece}: seam line", "seam line", 2.0, piece=piece)] if seam_line else []
    found += [Asked(f"{piece}: allowance of {e}", "allowance", piece=piece, part=e) for e in allowances]
    found += [Asked(f"{piece}: corner of {c}", "corner", piece=piece, part=c) for c in corners]
    found += [Asked(f"{piece}: notches of {e}", "notches", piece=piece, part=e) for e in notches]
    found += [Asked(f"{piece}: grain", "grain", piece=piece)] if grain else []
    found += [Asked(f"{piece}: label", "label", piece=piece)] if label else []
    found += [Asked(f"{piece}: cut line", "cut line", 2.0, piece=piece)] if cut_line else []
    return tuple(found)

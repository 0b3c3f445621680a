"""Feedback in the notebook: the target beside the own draft, a verdict a line, the slip, the next move.

The hand-in record goes into the same output, under its own MIME type. Before an attempt only what was given
is shown; of what was drawn, the rule is shown on the student's own earlier steps.
"""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from ...errors import PatternError
from ...not_here import NotHere
from ..judging.judgement import Examination, examine
from ..judging.rubric import Rubric, load_rubric
from ..judging.verdict import Line, Verdict
from ..tasks.catalogue import exercise
from ..tasks.own_numbers import NO_NAME, is_nobody
from ..tasks.record import MIME, read
from ..tasks.rework import reach
from .pictures import beside_the_rule, piece_pictures

SIGNS = {"right": "✓", "carried": "✓", "near": "½", "off": "✗", "missing": "·"}


class Feedback:
    """What the checking cell shows; `verdict` is None where the record cannot be used."""

    def __init__(self, record: Mapping[str, Any] | None, verdict: Verdict | None, text: str, html: str):
        self.record, self.verdict, self.text, self.html = record, verdict, text, html

    def __repr__(self) -> str:
        return self.text

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, Any]:
        shown = {"text/plain": self.text, "text/html": self.html}
        return shown | ({MIME: self.record} if self.record else {})


def compare_with_rule(work: Any, *, of: str = "", key: str = "", rubric: Rubric | None = None) -> Feedback:
    """Judge a sheet, a board or a record and show it; the last line of the checking cell.

    of: the exercise that the cell belongs to; the sheet of another is not judged, '' takes any.

    >>> from patternlib.assess.answers.sheet import begin
    >>> print(compare_with_rule(begin("02a", student="lena")))
    The frame of the skirt block: nothing is drawn yet.
    Next: From waist at centre back go down (waist to hip): mark centre back hip, because the hip line lies \
at the fullest part of the hip.
    """
    try:
        if not isinstance(work, Mapping) and not callable(getattr(work, "record", None)):
            raise PatternError(
                "compare_with_rule: this is no sheet and no board. "
                "Write compare_with_rule(sheet), as in the cell above."
            )
        record = work if isinstance(work, Mapping) else work.record()
        typed = read(record)
        if of and typed.exercise != of:
            raise PatternError(
                f"The sheet before you is that of {typed.exercise}. Run the cell below the task of {of}, "
                "which lays out its sheet, then the cells you wrote in, and then this one."
            )
        begun = bool(typed.values() or typed.finish)  # what is not begun leaves no record to hand in
        kept = dict(record) if begun else None
        verdict, examination = examine(typed, rubric=rubric, key=key)
    except NotHere as fault:  # handed in all the same: it is judged where the course is installed
        return Feedback(kept, None, str(fault), f"<p>{escape(str(fault))}</p>")
    except PatternError as fault:
        return Feedback(None, None, str(fault), f"<p>{escape(str(fault))}</p>")
    title = exercise(verdict.exercise).title
    said = _said(title, verdict, examination, rubric or load_rubric())
    html = f"<div><p><b>{escape(said[0])}</b></p>"
    html += f"{beside_the_rule(examination)}{piece_pictures(typed, examination)}{_table(verdict)}"
    html += "".join(
        f"<p>{escape(line)}</p>" for line in said[1:] if line not in [li.text for li in verdict.lines]
    )
    return Feedback(kept, verdict, "\n".join(said), html + "</div>")


def _said(title: str, verdict: Verdict, examination: Examination, rubric: Rubric) -> list[str]:
    attempted = [line for line in verdict.lines if line.verdict != "missing"]
    if not attempted:
        head = [f"{title}: nothing is drawn yet."]
    else:
        head = [f"{title}: {verdict.mark:g} of {verdict.out_of:g}.", *(line.text for line in attempted)]
    nobody = [NO_NAME] if is_nobody(verdict.student) else []
    return [*head, *nobody, *verdict.remarks, _next(verdict, examination)]


def _next(verdict: Verdict, examination: Examination) -> str:
    """The next move: the first step that is off, else the first that is not drawn."""
    for line in verdict.lines:
        if line.verdict in ("off", "near"):
            rests = "; what follows it was judged on yours" if line.step in examination.target else ""
            return f"Next: look at {line.at or line.step} again{rests}."
    for line in verdict.lines:
        if line.verdict == "missing":
            return "Next: " + _instruction(line, examination)
    return "Everything asked is right."


def _instruction(line: Line, examination: Examination) -> str:
    """The first sentence of the sheet that is still to be done for a step."""
    if line.step not in examination.target:
        return f"add the {line.step}."
    done = examination.given
    _, hidden = reach(examination.target, line.step, done)
    sheet = examination.work.sentences(examination.of)
    wanted = [
        s.name for s in examination.target if (s.name in hidden or s.name == line.step) and s.name in sheet
    ]
    return " ".join(sheet[name] for name in wanted[-3:])


def _table(verdict: Verdict) -> str:
    rows = "".join(
        f"<tr><td>{SIGNS[line.verdict]}</td><td style='text-align:left'>{escape(line.text)}</td>"
        f"<td>{line.mark:g} / {line.weight:g}</td></tr>"
        for line in verdict.lines
    )
    head = "<tr><th></th><th style='text-align:left'>Step</th><th>Marks</th></tr>"
    return f"<table><thead>{head}</thead><tbody>{rows}</tbody></table>"

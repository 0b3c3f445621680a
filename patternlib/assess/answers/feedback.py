"""Feedback in the notebook: the target beside the own draft, a verdict a line, the slip, the next move.

The hand-in record goes into the same output, under its own MIME type. Before an attempt only what was given
is shown; of what was drawn, the rule is shown on the student's own earlier steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from html import escape
from typing import Any

from ...errors import PatternError
from ...geometry import Curve, Point
from ...operations import Value
from ...output.items import join_boxes
from ...piece import Piece
from ..judging.finishing import with_allowances
from ..judging.judgement import Examination, examine
from ..judging.rubric import Rubric, load_rubric
from ..judging.verdict import Line, Verdict
from ..tasks.catalogue import exercise
from ..tasks.record import MIME, NotchMark, PieceFinish, Record, read
from ..tasks.rework import reach
from .sketch import Sketch, between, box_of, figures, scale, wider

SIGNS = {"right": "✓", "carried": "✓", "off": "✗", "missing": "·"}
LEAST_SHARE = 2.5
"""So many times smaller the target is drawn at most, to be seen in one scale with the own draft."""


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
        verdict, examination = examine(typed, rubric=rubric, key=key)
    except PatternError as fault:
        return Feedback(None, None, str(fault), f"<p>{escape(str(fault))}</p>")
    title = exercise(verdict.exercise).title
    said = _said(title, verdict, examination, rubric or load_rubric())
    html = f"<div><p><b>{escape(said[0])}</b></p>"
    html += f"{_pictures(examination)}{_pieces(typed, examination)}{_table(verdict)}"
    html += "".join(
        f"<p>{escape(line)}</p>" for line in said[1:] if line not in [li.text for li in verdict.lines]
    )
    return Feedback(dict(record), verdict, "\n".join(said), html + "</div>")


def _said(title: str, verdict: Verdict, examination: Examination, rubric: Rubric) -> list[str]:
    attempted = [line for line in verdict.lines if line.verdict != "missing"]
    if not attempted:
        head = [f"{title}: nothing is drawn yet."]
    else:
        head = [f"{title}: {verdict.mark:g} of {verdict.out_of:g}.", *(line.text for line in attempted)]
    return [*head, *verdict.remarks, _next(verdict, examination)]


def _next(verdict: Verdict, examination: Examination) -> str:
    """The next move: the first step that is off, else the first that is not drawn."""
    for line in verdict.lines:
        if line.verdict == "off":
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


# -- pictures


def _pictures(examination: Examination) -> str:
    """The target of what was attempted beside the own draft; what is given alone before an attempt."""
    whole = {name: examination.target[name] for name in examination.work.given(examination.target)}
    target = {name: examination.target[name] for name in examination.rules}
    own = {name: examination.values[name] for name in examination.rules}
    if not any(isinstance(value, Point | Curve) for value in own.values()):
        box = box_of(whole.values())
        return (
            figures([("What is given", wider(box), partial(_drawn, examination, whole, {}, "own"))])
            if box
            else ""
        )
    ground = _needed(whole, own, examination)
    off = [value for name in examination.off for value in (examination.values[name], examination.rules[name])]
    should = wider(box_of([*whole.values(), *target.values()]))
    drawn = wider(box_of([*whole.values(), *own.values(), *off]))
    both = join_boxes([should, drawn])
    if scale(both) * LEAST_SHARE > scale(should):  # side by side in one scale, unless one runs far away
        should = drawn = both
    left = ("As it should be", should, partial(_drawn, examination, ground, target, "target"))
    return figures([left, ("Your draft", drawn, partial(_drawn, examination, ground, own, "own"))])


def _needed(
    whole: Mapping[str, Value], own: Mapping[str, Value], examination: Examination
) -> dict[str, Value]:
    """What was given, without the points that nothing drawn rests on."""
    used = {n for name in own for n in reach(examination.target, name, whole)[0]}
    return {name: value for name, value in whole.items() if name in used or isinstance(value, Curve)}


def _drawn(
    examination: Examination, ground: Mapping[str, Value], drawn: Mapping[str, Value], style: str, size: float
) -> Sketch:
    """A draft on what was given; in the student's own, what is off stands out and the way to its place."""
    sketch = Sketch(size)
    sketch.draw(ground, "block")
    sketch.draw(_between(examination, drawn), "construct", names=None)
    off = sorted(examination.off.intersection(drawn)) if style == "own" else []
    for name in off:
        value, rule = drawn[name], examination.rules[name]
        sketch.draw({name: rule}, "target", names=None)
        if isinstance(value, Point):
            sketch.measure(value, rule, examination.rubric.length(value.distance(rule)))
    sketch.draw({n: v for n, v in drawn.items() if n not in off}, style, names=1)
    sketch.draw({n: drawn[n] for n in off}, style, names=0)
    return sketch


def own_pictures(record: Record, examination: Examination) -> str:
    """The draft that was handed in, on what was given, and its pieces' finish, as HTML."""
    whole = {name: examination.target[name] for name in examination.work.given(examination.target)}
    own = {name: examination.values[name] for name in examination.rules}
    drawn = ""
    if any(isinstance(value, Point | Curve) for value in own.values()):
        ground = _needed(whole, own, examination)
        title = f"{examination.work.id} · {examination.work.title}"
        box = wider(box_of([*whole.values(), *own.values()]))
        drawn = figures([(title, box, partial(_handed_in, examination, ground, own))])
    return drawn + _pieces(record, examination)


def _handed_in(
    examination: Examination, ground: Mapping[str, Value], own: Mapping[str, Value], size: float
) -> Sketch:
    sketch = Sketch(size)
    sketch.draw(ground, "block", names=None)
    sketch.draw(_between(examination, own), "construct", names=None)
    sketch.draw(own, "own", names=1)
    return sketch


def _between(examination: Examination, drawn: Mapping[str, Value]) -> dict[str, Value]:
    """Lines nobody asked for, on what was given and what is drawn."""
    given = {name: examination.target[name] for name in examination.work.given(examination.target)}
    return between(examination.target, [a.name for a in examination.work.steps()], {**given, **drawn})


def _pieces(record: Record, examination: Examination) -> str:
    """Each piece with what was written on it: cut line (the rule's beneath it), grain and notches."""
    if examination.work.finish is None:
        return ""
    pictures = []
    for piece in examination.pieces():
        own = record.finish.get(piece.name)
        if own and (len(own.cut_line) >= 3 or own.grain or own.notches):
            title = f"Your {piece.name}" + (
                ", the rule's cut line on your allowances dotted" if len(own.cut_line) >= 3 else ""
            )
            draw = partial(_piece, piece, own)
            pictures.append((title, wider(draw(1.0).box()), draw))
    return figures(pictures)


def _piece(piece: Piece, own: PieceFinish, size: float) -> Sketch:
    edges = {edge.name: edge.curve for edge in piece.edges}
    sketch = Sketch(size)
    sketch.draw(edges, "block")
    if len(own.cut_line) >= 3:
        sketch.line(_ring(with_allowances(piece, own).cut_line), "target", "cut line by the rule")
        sketch.line(_ring(own.cut_line), "own", "your cut line")
    if own.grain:
        sketch.line(_ring(own.grain), "own", "your grain line")
    for mark in own.notches:
        if mark.edge in edges and 0 <= mark.at <= edges[mark.edge].length:
            sketch.line(_ticks(edges[mark.edge], mark, size), "own", f"your notch of {mark.edge}")
    return sketch


def _ticks(edge: Curve, mark: NotchMark, size: float) -> tuple:
    """A short line outward from the edge, or two beside each other for a double notch."""
    apart = 0.25 * size if mark.count == 2 else 0.0
    path = []
    for at in {mark.at - apart, mark.at + apart}:
        at = min(max(at, 0.0), edge.length)
        foot, out = edge.at(at), edge.direction(at).right()
        path += [("M", *foot), ("L", *(foot + out * size))]
    return tuple(path)


def _ring(places: Iterable) -> tuple:
    first, *rest = places
    return (("M", *first), *(("L", *p) for p in rest), ("Z",))

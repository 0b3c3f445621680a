"""Feedback in the notebook: the target beside the own draft, a verdict a line, the slip, the next move.

The hand-in record goes into the same output, under its own MIME type. Before an attempt only what was given
is shown; of what was drawn, the rule is shown on the student's own earlier steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import Any

from ..errors import PatternError
from ..geometry import Curve, Point
from ..operations import Value
from ..output.items import Scene, Stroke, Text, curve_path, item_box, join_boxes
from ..output.svg import svg
from .exercise import exercise
from .judge import Court, examine
from .line import Line, Verdict
from .record import MIME, Record, read
from .rework import Rework, reach
from .rubric import Rubric, load_rubric

SIGNS = {"right": "✓", "carried": "✓", "off": "✗", "missing": "·"}
WIDTH = 440
"""px: each of the two pictures."""


class Feedback:
    """What the checking cell shows; `verdict` is None where the record cannot be used."""

    def __init__(self, record: Mapping[str, Any] | None, verdict: Verdict | None, text: str, html: str):
        self.record, self.verdict, self.text, self.html = record, verdict, text, html

    def __repr__(self) -> str:
        return self.text

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, Any]:
        shown = {"text/plain": self.text, "text/html": self.html}
        return shown | ({MIME: self.record} if self.record else {})


def check(work: Any, *, of: str = "", key: str = "", rubric: Rubric | None = None) -> Feedback:
    """Judge a sheet, a board or a record and show it; the last line of the checking cell.

    of: the exercise that the cell belongs to; the sheet of another is not judged, '' takes any.

    >>> from patternlib.assess.vocabulary import begin
    >>> print(check(begin("02a", student="lena")))
    The frame of the skirt block: nothing is drawn yet.
    Next: From waist at centre back go down (waist to hip): mark centre back hip, because the hip line lies \
at the fullest part of the hip.
    """
    try:
        if not isinstance(work, Mapping) and not callable(getattr(work, "record", None)):
            raise PatternError(
                "check: this is no sheet and no board. Write check(sheet), as in the cell above."
            )
        record = work if isinstance(work, Mapping) else work.record()
        typed = read(record)
        if of and typed.exercise != of:
            raise PatternError(
                f"The sheet before you is that of {typed.exercise}. Run the cell below the task of {of}, "
                "which lays out its sheet, then the cells you wrote in, and then this one."
            )
        verdict, court = examine(typed, rubric=rubric, key=key)
    except PatternError as fault:
        return Feedback(None, None, str(fault), f"<p>{escape(str(fault))}</p>")
    title = exercise(verdict.exercise).title
    said = _said(title, verdict, court, rubric or load_rubric())
    html = (
        f"<div><p><b>{escape(said[0])}</b></p>{_pictures(court)}{_cut_lines(typed, court)}{_table(verdict)}"
    )
    html += "".join(
        f"<p>{escape(line)}</p>" for line in said[1:] if line not in [li.text for li in verdict.lines]
    )
    return Feedback(dict(record), verdict, "\n".join(said), html + "</div>")


def _said(title: str, verdict: Verdict, court: Court, rubric: Rubric) -> list[str]:
    attempted = [line for line in verdict.lines if line.verdict != "missing"]
    if not attempted:
        head = [f"{title}: nothing is drawn yet."]
    else:
        head = [f"{title}: {verdict.mark:g} of {verdict.out_of:g}.", *(line.text for line in attempted)]
    return [*head, *verdict.remarks, _next(verdict, court)]


def _next(verdict: Verdict, court: Court) -> str:
    """The next move: the first step that is off, else the first that is not drawn."""
    for line in verdict.lines:
        if line.verdict == "off":
            return f"Next: look at {line.at or line.step} again; what follows it was judged on yours."
    for line in verdict.lines:
        if line.verdict == "missing":
            return "Next: " + _instruction(line, court)
    return "Everything asked is right."


def _instruction(line: Line, court: Court) -> str:
    """The first sentence of the sheet that is still to be done for a step."""
    if line.step not in court.target:
        return f"add the {line.step}."
    done = court.given
    _, hidden = reach(court.target, line.step, done)
    sheet = court.work.sentences(court.of)
    wanted = [s.name for s in court.target if (s.name in hidden or s.name == line.step) and s.name in sheet]
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


def _pictures(court: Court) -> str:
    """The target of what was attempted beside the own draft; what is given alone before an attempt."""
    given = {name: court.target[name] for name in court.work.given(court.target)}
    target = {name: court.target[name] for name in court.rules}
    own = {name: court.values[name] for name in court.rules}
    size = _letters([*given.values(), *target.values()])
    ground = list(_drawn(given, "block", 0.9 * size))
    if not any(isinstance(value, Point | Curve) for value in own.values()):
        return _picture(ground, "What is given") if ground else ""
    left = [*ground, *_between(court, {**given, **target}, size), *_drawn(target, "target", size)]
    right = [*ground, *_between(court, {**given, **own}, size), *_deviations(court, size)]
    right += _drawn({n: v for n, v in own.items() if n not in court.off}, "own", size)
    right += _drawn({n: v for n, v in own.items() if n in court.off}, "own", 1.2 * size, "point shown")
    return _picture(left, "As it should be") + _picture(right, "Your draft")


def own_pictures(record: Record, court: Court) -> str:
    """The draft that was handed in, on what was given, and its pieces' cut lines, as HTML."""
    whole = {name: court.target[name] for name in court.work.given(court.target)}
    own = {name: court.values[name] for name in court.rules}
    used = {n for name in own for n in reach(court.target, name, whole)[0]}
    given = {name: value for name, value in whole.items() if name in used or isinstance(value, Curve)}
    drawn = ""
    if any(isinstance(value, Point | Curve) for value in own.values()):
        size = _letters([*given.values(), *own.values()])
        ground = [*_drawn(given, "block", 0.9 * size, ""), *_between(court, {**given, **own}, size)]
        drawn = _picture([*ground, *_drawn(own, "own", size)], f"{court.work.id} · {court.work.title}")
    return drawn + _cut_lines(record, court)


def _cut_lines(record: Record, court: Court) -> str:
    """Each piece whose cut line was handed in, the rule's beneath it."""
    if court.work.finish is None:
        return ""
    drawn = []
    for piece in court.pieces():
        own = record.finish.get(piece.name)
        if own is None or len(own.cut_line) < 3:
            continue
        edges = [Stroke(curve_path(edge.curve), "block", "plan", "", edge.name) for edge in piece.edges]
        rule = Stroke(_ring(piece.cut_line), "target", "plan", "", "cut line by the rule")
        mine = Stroke(_ring(own.cut_line), "own", "plan", "", "your cut line")
        drawn.append(_picture([*edges, rule, mine], f"Your cut line of the {piece.name}, the rule's dotted"))
    return "".join(drawn)


def _ring(places: Iterable) -> tuple:
    first, *rest = places
    return (("M", *first), *(("L", *p) for p in rest), ("Z",))


def _letters(values: Iterable[Value]) -> float:
    """Size of the lettering, cm, before it is fitted to the screen."""
    items = list(_drawn({str(k): v for k, v in enumerate(values)}, "own", 0.1))
    if not items:
        return 1.0
    x0, y0, x1, y1 = join_boxes(item_box(item) for item in items if isinstance(item, Stroke))
    return max(0.03 * max(x1 - x0, y1 - y0), 0.3)


def _picture(items: list[Stroke | Text], title: str) -> str:
    box = join_boxes(item_box(item) for item in items)
    edge = max(box[2] - box[0], box[3] - box[1], 1.0) * 0.04
    scene = Scene(tuple(items), title, (box[0] - edge, box[1] - edge, box[2] + edge, box[3] + edge))
    drawn = svg(scene, true_size=False, width=WIDTH)
    place = "display:inline-block;vertical-align:top;margin:4px"
    return f"<figure style='{place}'><figcaption>{escape(title)}</figcaption>{drawn}</figure>"


def _drawn(
    values: Mapping[str, Value], style: str, size: float, letters: str = "point"
) -> Iterable[Stroke | Text]:
    """Points as crosses with their names, and curves; letters '' writes no names."""
    for name, value in values.items():
        if isinstance(value, Curve):
            yield Stroke(curve_path(value), style, "plan", "", name)
        elif isinstance(value, Point):
            (x, y), d = value, 0.35 * size
            cross = (("M", x - d, y), ("L", x + d, y), ("M", x, y - d), ("L", x, y + d))
            yield Stroke(cross, "own" if style == "own" else "seam", "plan", "", name)
            if letters:
                yield Text(x + d, y + d, name, size, "start", 0.0, "labels", letters)


def _deviations(court: Court, size: float) -> Iterable[Stroke | Text]:
    """The rule's point or line, on the student's own earlier steps, and the way to it from what is off."""
    for name in sorted(court.off):
        own, rule = court.values[name], court.rules[name]
        yield from _drawn({name: rule}, "target", size, "")
        if isinstance(own, Point):
            yield Stroke((("M", *own), ("L", *rule)), "target", "measures", "", f"{name}: deviation")
            middle = own.middle(rule)
            by = court.rubric.length(own.distance(rule))
            yield Text(middle.x, middle.y - 1.4 * size, by, 1.3 * size, "middle", 0.0, "measures", "measure")


def _between(court: Court, values: Mapping[str, Value], size: float) -> Iterable[Stroke | Text]:
    """Ruled lines and curves nobody asked for, where all they rest on is drawn."""
    work = Rework(court.target, values)
    asked = {a.name for a in court.work.steps()}
    for step in court.target:
        if step.op not in ("line", "curve") or step.name in values or step.name in asked:
            continue
        front, hidden = reach(court.target, step.name, values)
        if not front or any(isinstance(court.target[n], Point) for n in hidden):
            continue
        try:
            yield from _drawn({step.name: work.rule(step.name)}, "construct", size, "")
        except PatternError:
            continue

"""Pictures of a draft that was handed in: beside the rule's, over the rule's, alone, and its pieces."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from html import escape

from ...geometry import Curve, Point
from ...operations import Value
from ...output.items import Box, join_boxes
from ...pieces import Piece
from ..judging.finishing import with_allowances
from ..judging.judgement import Examination
from ..tasks.record import NotchMark, PieceFinish, Record
from ..tasks.rework import reach
from .sketch import Sketch, between, box_of, figures, scale, wider

LEAST_SHARE = 2.5
"""The target is drawn at most so many times smaller, to be seen in one scale with the student's draft."""
FAR = 400.0
"""cm: what lies farther than this from the rule's draft is left out of a picture and named below it."""


def beside_the_rule(examination: Examination) -> str:
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
    if style == "own":
        _draw_own(sketch, examination, drawn)
    else:
        sketch.draw(_between(examination, drawn), "construct", names=None)
        sketch.draw(drawn, style, names=1)
    return sketch


def _draw_own(sketch: Sketch, examination: Examination, own: Mapping[str, Value]) -> None:
    """The student's lines; what is off stands out, with the way to where the rule has it."""
    sketch.draw(_between(examination, own), "construct", names=None)
    off = sorted(examination.off.intersection(own))
    for name in off:
        value, rule = own[name], examination.rules[name]
        sketch.draw({name: rule}, "target", names=None)
        if isinstance(value, Point) and isinstance(rule, Point):
            sketch.measure(value, rule, examination.rubric.length(value.distance(rule)))
    sketch.draw({n: v for n, v in own.items() if n not in off}, "own", names=1)
    sketch.draw({n: own[n] for n in off}, "own", names=0)


def over_the_rule(record: Record, examination: Examination) -> str:
    """The draft that was handed in over the rule's, what is off marked at its place, and its pieces, as HTML.

    The rule's lines are dotted. What lies more than FAR away from them is named below the picture.
    """
    whole = {name: examination.target[name] for name in examination.work.given(examination.target)}
    rules = examination.rules
    own = {name: examination.values[name] for name in rules}
    if not any(isinstance(value, Point | Curve) for value in own.values()):
        return piece_pictures(record, examination)
    ground = _needed(whole, own, examination)
    frame = box_of([*ground.values(), *rules.values()])
    near = {name: value for name, value in own.items() if _is_near(value, frame)}
    drawn = figures(
        [
            (
                "The draft over the rule's (dotted)",
                wider(box_of([*ground.values(), *rules.values(), *near.values()])),
                partial(_drawn_over, examination, ground, near),
            )
        ],
    )
    left_out = [name for name in own if name not in near]
    if left_out:
        drawn += f"<p>Too far away to be drawn: {escape(', '.join(left_out))}.</p>"
    return drawn + piece_pictures(record, examination)


def _is_near(value: Value, frame: Box | None) -> bool:
    box = box_of([value])
    return (
        box is None
        or frame is None
        or (
            box[0] >= frame[0] - FAR
            and box[1] >= frame[1] - FAR
            and box[2] <= frame[2] + FAR
            and box[3] <= frame[3] + FAR
        )
    )


def _drawn_over(
    examination: Examination, ground: Mapping[str, Value], own: Mapping[str, Value], size: float
) -> Sketch:
    sketch = Sketch(size)
    sketch.draw(ground, "block", names=None)
    sketch.draw(
        {n: r for n, r in examination.rules.items() if n not in examination.off}, "target", names=None
    )
    _draw_own(sketch, examination, own)
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
    return drawn + piece_pictures(record, examination)


def _handed_in(
    examination: Examination, ground: Mapping[str, Value], own: Mapping[str, Value], size: float
) -> Sketch:
    sketch = Sketch(size)
    sketch.draw(ground, "block", names=None)
    sketch.draw(_between(examination, own), "construct", names=None)
    sketch.draw(own, "own", names=1)
    return sketch


def _between(examination: Examination, drawn: Mapping[str, Value]) -> dict[str, Value]:
    """Lines that were not asked for, on what was given and what is drawn."""
    given = {name: examination.target[name] for name in examination.work.given(examination.target)}
    return between(examination.target, [a.name for a in examination.work.steps()], {**given, **drawn})


def piece_pictures(record: Record, examination: Examination) -> str:
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

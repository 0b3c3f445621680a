"""What can be done on the drafting table, as data: words, sentences and the places in them to fill.

A sentence is text with places in braces, `{field:kind}`; what stands in square brackets is left out while
its place is empty. Fields `of0`, `of1`, ... are what is on the paper already; a curve has `first`, `through`
and `last`, joined lines are `lines`, several numbers `numbers`. Kinds: point, points, line, lines, numbers,
thing (a point or a line), way (a direction to go), bearing (a direction a curve takes), length, signed (a
length that may be under 0), width (a length that may be 0), angle, share, number, bend, side, end, name; and
for pieces: piece, edge (one that is traced), edge name, at (what touches an edge at its end), turn, first
(the edge that is folded first), notch, quantity, how, cloth, words. The page and the printed steps fill the
same sentences.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

HANDS = (
    "Pencil", "Ruler and square", "Curve", "Tape", "Pins and tracing paper", "Tracing wheel", "Seam gauge",
    "Notcher and awl",
)  # fmt: skip
"""What the hand takes up, in the order in which it lies on the table."""
FOR_PIECES = HANDS[5:]
"""What lies on the table only where pieces are asked."""

_PLACE = re.compile(r"\{(\w+):([\w ]+)\}")
_GROUP = re.compile(r"\[([^]]*)\]|([^[]+)")


class Place(NamedTuple):
    """A place to fill: the field of the step it fills, what kind of thing belongs there, may it be empty."""

    field: str
    kind: str
    optional: bool = False


class Verb(NamedTuple):
    """One thing the hand does.

    word: on its button; hand: one of HANDS; gives: 'point', 'line', 'number', 'same' (as its first input),
    'edge' (of a piece) or 'finish' (something added to a piece); sentence: with its places; about: a line
    that says what it is for; op: of the recording, '' for what is done to a piece; named: the name of a step
    that asks for none, {of0.piece} and {of0.edge} are those of a traced edge.
    """

    word: str
    hand: str
    gives: str
    sentence: str
    about: str
    op: str
    named: str = ""

    def groups(self) -> list[tuple[bool, list[str | Place]]]:
        """The sentence in order: (may be left out, its texts and places)."""
        return [
            (bool(optional), _parts(optional or plain, bool(optional)))
            for optional, plain in _GROUP.findall(self.sentence)
        ]

    def places(self) -> list[Place]:
        return [part for _, parts in self.groups() for part in parts if isinstance(part, Place)]

    def inputs(self) -> int:
        """How many things from the paper it takes, where the number is fixed."""
        return sum(place.field.startswith("of") for place in self.places())


def _parts(text: str, optional: bool) -> list[str | Place]:
    cut = _PLACE.split(text)
    found: list[str | Place] = []
    for k in range(0, len(cut), 3):
        found += [cut[k]] if cut[k] else []
        found += [Place(cut[k + 1], cut[k + 2], optional)] if k + 2 < len(cut) else []
    return found


_PENCIL, _RULER, _CURVE, _TAPE, _PINS, _WHEEL, _GAUGE, _NOTCHER = HANDS

VERBS: Mapping[str, Verb] = MappingProxyType({
    # pencil
    "go": Verb(
        "go", _PENCIL, "point", "From {of0:point} go {way:way} {measure:length}: mark {name:name}",
        "Up, down, left, right or at an angle.", "go",
    ),
    "toward": Verb(
        "go toward", _PENCIL, "point",
        "From {of0:point} go {measure:length} toward {of1:point}: mark {name:name}",
        "On the straight line to another point.", "along",
    ),
    "share": Verb(
        "part of the way", _PENCIL, "point",
        "Go {measure:share} of the way from {of0:point} to {of1:point}: mark {name:name}",
        "Half of the way, a third, a quarter.", "share",
    ),
    "end": Verb(
        "name an end", _PENCIL, "point", "Take the {end:end} of {of0:line}: mark {name:name}",
        "Give the end of a line a name.", "end",
    ),
    # ruler and square
    "rule": Verb(
        "rule a line", _RULER, "line", "Rule from {of0:point} to {of1:point}: call it {name:name}",
        "A straight line between two points.", "line",
    ),
    "level": Verb(
        "level with", _RULER, "point",
        "Go level with {of0:point} until straight above or below {of1:point}: mark {name:name}",
        "No measure: one point gives the height, the other the place across.", "level",
    ),
    "square": Verb(
        "square off", _RULER, "point",
        "At {of0:point} go {measure:length} square to the line toward {of1:point}, to its {side:side}: "
        "mark {name:name}",
        "Lay the set square on a line.", "square",
    ),
    "square from": Verb(
        "square from a line", _RULER, "point",
        "At {of0:point} go {measure:length} square to {of1:line}, to its {side:side}: mark {name:name}",
        "Square out of a line that is drawn.", "go",
    ),
    "foot": Verb(
        "square onto", _RULER, "point",
        "From {of2:point} go square onto the line from {of0:point} to {of1:point}: mark {name:name}",
        "The nearest place on a straight line.", "foot",
    ),
    "meeting": Verb(
        "run on to meet", _RULER, "point",
        "Run on the line from {of0:point} to {of1:point} and the line from {of2:point} to {of3:point} "
        "until they meet: mark {name:name}",
        "Lay the ruler on two lines.", "meeting",
    ),
    "crossing": Verb(
        "where lines cross", _RULER, "point", "Where {of0:line} crosses {of1:line}: mark {name:name}",
        "Two lines that are drawn.", "crossing",
    ),
    "upright": Verb(
        "upright onto a line", _RULER, "point",
        "Go straight up or down from {of1:point} to {of0:line}: mark {name:name}",
        "Where the upright crosses a line.", "upright crossing",
    ),
    "level on": Verb(
        "level onto a line", _RULER, "point",
        "Go level from {of1:point} to {of0:line}: mark {name:name}",
        "Where the level crosses a line.", "level on",
    ),
    "dart point": Verb(
        "point of a dart", _RULER, "point",
        "From the middle between {of0:point} and {of1:point} go square to them, until {measure:signed} "
        "below the level of {of2:point}: mark {name:name}",
        "Square from the middle of a dart's mouth.", "dart point",
    ),
    "swing": Verb(
        "swing to a level", _RULER, "point",
        "From {of0:point} swing {measure:length} to the {side:side} until it meets the level of {of1:point}: "
        "mark {name:name}",
        "An arc that meets a level.", "swing",
    ),
    "swing down": Verb(
        "swing to an upright", _RULER, "point",
        "From {of0:point} swing {measure:length} downward to the upright through {of1:point}: "
        "mark {name:name}",
        "An arc that meets an upright.", "swing down",
    ),
    # curve
    "curve": Verb(
        "draw a curve", _CURVE, "line",
        "Draw a fair curve from {first:point}[ through {through:points}] to {last:point}"
        "[, leaving {leaving:bearing}][, arriving {arriving:bearing}]"
        "[, half-way {bend:bend} off the straight line to its {side:side}]: call it {name:name}",
        "Fair through its points.", "curve",
    ),
    "beside": Verb(
        "draw beside", _CURVE, "line",
        "Draw along {of0:line}, {measure:length} to its {side:side}: call it {name:name}",
        "A line at an even distance.", "parallel",
    ),
    "part": Verb(
        "take a part", _CURVE, "line",
        "Take the part of {of0:line} from {of1:point} to {of2:point}: call it {name:name}",
        "A line between two points on it.", "part",
    ),
    "join": Verb(
        "join lines", _CURVE, "line", "Run {lines:lines} on as one line: call it {name:name}",
        "Lines that touch, end to end.", "joined",
    ),
    # tape
    "walk": Verb(
        "walk along", _TAPE, "point",
        "Walk {measure:length} along {of0:line} from its {end:end}: mark {name:name}",
        "The tape on its edge, along a line.", "on",
    ),
    "measure line": Verb(
        "measure a line", _TAPE, "number", "Measure {of0:line} with the tape: note {name:name}",
        "The tape on its edge.", "length",
    ),
    "measure": Verb(
        "measure across", _TAPE, "number",
        "Measure straight from {of0:point} to {of1:point}: note {name:name}",
        "From point to point.", "distance",
    ),
    "note": Verb(
        "calculate", _TAPE, "number", "Calculate {measure:number}: note {name:name}",
        "A number worked out on scrap paper.", "given",
    ),
    "smallest": Verb(
        "take the smallest", _TAPE, "number", "Of {numbers:numbers} take the smallest: note {name:name}",
        "The smallest of several numbers.", "smallest",
    ),
    "direction": Verb(
        "take a direction", _TAPE, "number",
        "Take the direction of {of0:line} at its {end:end}, turned by {measure:angle}: note {name:name}",
        "Degrees, counted from level, right.", "angle",
    ),
    "direction to": Verb(
        "direction to a point", _TAPE, "number",
        "Take the direction from {of0:point} to {of1:point}, turned by {measure:angle}: note {name:name}",
        "Degrees, counted from level, right.", "angle",
    ),
    "dart angle": Verb(
        "angle of a dart", _TAPE, "number",
        "A dart from {of0:point} opens {measure:signed} at {of1:point}: note its angle as {name:name}",
        "The degrees between a dart's legs.", "dart angle",
    ),
    # pins and tracing paper
    "turn": Verb(
        "turn about a pin", _PINS, "same",
        "Pin the paper at {of1:point} and turn {of0:thing} by {measure:angle}: call it {name:name}",
        "Anticlockwise above 0.", "turn",
    ),
    "fold": Verb(
        "fold and trace", _PINS, "same",
        "Fold the paper along the line from {of1:point} to {of2:point} and trace {of0:thing} through: "
        "call it {name:name}",
        "As in a mirror.", "mirror",
    ),
    "lay": Verb(
        "lay paper on paper", _PINS, "same",
        "Lay the paper with {of1:point} on {of3:point} and {of2:point} toward {of4:point}, and trace "
        "{of0:thing}: call it {name:name}",
        "A point on a point, a line on a line.", "lay",
    ),
    # tracing wheel
    "trace": Verb(
        "trace an edge", _WHEEL, "edge",
        "Trace {of0:line}[ from {of1:thing} to {of2:thing}] onto the piece {piece:piece}: its "
        "{edge:edge name}",
        "One edge after another, until the wheel is back where it began.", "", "{piece}: {edge}",
    ),
    "grain": Verb(
        "lay the grain", _WHEEL, "finish",
        "Lay the grain of {piece:piece} along {of0:line}[, {measure:length} long]",
        "An arrow side by side with a line.", "", "{piece}: grain",
    ),
    "grain points": Verb(
        "grain by points", _WHEEL, "finish",
        "Draw the grain of {piece:piece} from {of0:point} to {of1:point}",
        "An arrow from point to point.", "", "{piece}: grain",
    ),
    "label": Verb(
        "write the label", _WHEEL, "finish",
        "Write on {piece:piece}: cut {count:quantity} {how:how}, {cloth:cloth}[, {words:words}]",
        "How many are cut, on the fold or as a pair, of which cloth.", "", "{piece}: label",
    ),
    # seam gauge
    "allowance": Verb(
        "add an allowance", _GAUGE, "finish",
        "Beyond {of0:edge} add {measure:width} ({turn:turn})",
        "Each edge its own; the cut line grows at once.", "", "{of0.piece}: allowance of {of0.edge}",
    ),
    "corner": Verb(
        "fold a corner", _GAUGE, "finish",
        "Where {of0:edge} meets {of1:edge} fold back {first:first} first",
        "Which allowance is folded back first.", "", "{of0.piece}: corner of {of0.edge} / {of1.edge}",
    ),
    "cut line": Verb(
        "draw the cut line", _GAUGE, "finish", "Draw the cut line round {piece:piece}",
        "When every edge has its allowance.", "", "{piece}: cut line",
    ),
    # notcher and awl
    "notch": Verb(
        "notch an edge", _NOTCHER, "finish",
        "Walk {measure:length} along {of0:edge} from its end at {of1:at}: cut a {count:notch} notch",
        "The tape on the seam line.", "", "{of0.piece}: notches of {of0.edge}",
    ),
    "notch a seam": Verb(
        "notch a seam", _NOTCHER, "finish",
        "Lay {of0:edge} on {of2:edge}, its end at {of1:at} on the end at {of3:at}, and walk "
        "{measure:length} along both: cut a {count:notch} notch",
        "The same distance on both edges.", "", "notches of {of0} and {of2}",
    ),
    "hole": Verb(
        "drill a hole", _NOTCHER, "point",
        "In {piece:piece} go {way:way} {measure:length} from {of0:point} and drill a hole: mark {name:name}",
        "A measure from a corner or a point.", "go",
    ),
})  # fmt: skip

_OTHER_OPS = {"middle": "share", "sum": "given"}


def verb_of(op: str, inputs: int) -> str:
    """The verb by which a step of a recording is taken. inputs: how many things it takes from the paper.

    >>> verb_of("on", 1), verb_of("middle", 2), verb_of("angle", 2)
    ('walk', 'share', 'direction to')
    """
    if op == "angle" and inputs > 1:
        return "direction to"
    return next((key for key, verb in VERBS.items() if verb.op == _OTHER_OPS.get(op, op)), "go")

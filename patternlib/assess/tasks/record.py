"""The hand-in record: one draft as plain data, read with types, ranges and counts, and never corrected.

>>> read({"format": "patternlib-draft"})
Traceback (most recent call last):
    ...
patternlib.assess.tasks.record.RecordError: the record of the draft cannot be used: 'version' is not as \
the course writes it. Compare the draft with the rule again, save the notebook and hand it in.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from ...errors import PatternError
from ...geometry import Curve, Point
from ..safe_text import too_deep

MIME = "application/vnd.patternlib.draft+json"
FORMAT, VERSION = "patternlib-draft", 1
MOST_SEGMENTS = 200
MOST_PLACES = 24
"""Places of a line that were read on a photograph, or measured."""
MOST_BYTES = 1_000_000

Name = Annotated[str, Meta(min_length=1, max_length=80)]
Word = Annotated[str, Meta(max_length=200)]
Cm = Annotated[float, Meta(ge=-1000.0, le=1000.0)]
Spot = tuple[Cm, Cm]
Cubic = tuple[Spot, Spot, Spot, Spot]


DOUBLED = "one name stands twice in it"


class RecordError(PatternError):
    """A hand-in record that cannot be read; its text says what to do."""


class NotchMark(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A notch `at` cm along an edge's seam line; count 2 is a double notch."""

    edge: Name
    at: Cm
    count: Literal[1, 2] = 1


class PieceFinish(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What was added to a piece's seam line. corners: 'edge before / edge after' -> the edge folded first."""

    allowances: Annotated[dict[Name, Cm], Meta(max_length=40)] = {}
    notches: Annotated[tuple[NotchMark, ...], Meta(max_length=60)] = ()
    grain: tuple[Spot, Spot] | None = None
    label: Annotated[tuple[Word, ...], Meta(max_length=20)] = ()
    corners: Annotated[
        dict[Annotated[str, Meta(max_length=170)], Annotated[str, Meta(max_length=80)]], Meta(max_length=40)
    ] = {}
    cut_line: Annotated[tuple[Spot, ...], Meta(max_length=4000)] = ()


class StepTaken(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One step on the drafting table: the verb, what it is done with, and each measure as it was written.

    of: names of what is on the paper; measure: as it was put together, bare numbers in `unit`; value: what
    the measure came to (cm, degrees); way, leaving, arriving: directions in words; bend: half-way mark. For
    pieces: piece, edge: their names; turn: of an allowance; first: the edge folded first at a corner, or
    'neither'; count: how many are cut, or 'single' or 'double' of a notch; how: 'on the fold', 'as a pair' or
    'single'; cloth; words: more words of a label.
    """

    name: Name
    verb: Name
    of: Annotated[tuple[Name, ...], Meta(max_length=20)] = ()
    measure: Word = ""
    unit: Literal["cm", "in"] = "cm"
    value: Annotated[float, Meta(ge=-1000.0, le=1000.0)] | None = None
    way: Word = ""
    side: Literal["", "left", "right"] = ""
    end: Literal["", "start", "end"] = ""
    leaving: Word = ""
    arriving: Word = ""
    bend: Word = ""
    piece: Annotated[str, Meta(max_length=39)] = ""
    edge: Annotated[str, Meta(max_length=39)] = ""
    turn: Word = ""
    first: Word = ""
    count: Word = ""
    how: Word = ""
    cloth: Word = ""
    words: Word = ""


class Photograph(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A photograph that places of a draft were read from.

    sha256: of the file as it came from the camera; residual: how far the printed markers lie from where they
    should, in mm on the paper; kind: what was printed; page: of a worksheet, from 1; distances: between
    strips, as they were typed.
    """

    sha256: Annotated[str, Meta(pattern="^[0-9a-f]{64}$")]
    residual: Annotated[float, Meta(ge=0.0, le=100.0)]
    kind: Literal["sheet", "strips"] = "sheet"
    page: Annotated[int, Meta(ge=0, le=99)] = 0
    distances: Annotated[dict[Name, Word], Meta(max_length=28)] = {}


class Claim(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The body and style the student worked with, as claimed."""

    body: Annotated[
        dict[Name, float | Word | Annotated[tuple[Word, ...], Meta(max_length=40)]], Meta(max_length=60)
    ]
    style: Annotated[dict[Name, Cm], Meta(max_length=80)]


class Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One hand-in: exercise, student, the way it was answered, and what was drawn (cm, y up).

    scale: how many cm of the pattern one cm of the student's paper stands for;
    steps: as they were taken on the drafting table, none where it was answered otherwise; edits: how often
    the table or form had been changed; typed: the fields of the paper form, or of the project's, as they were
    filled in; hints: how many hints had been unfolded; photographs: what it was read from; places: those of
    each line that were read on a photograph, from one end to the other.
    """

    format: Literal["patternlib-draft"]
    version: Literal[1]
    exercise: Name
    student: Annotated[str, Meta(max_length=80)]
    way: Literal["code", "board", "paper", "photograph", "table", "project"]
    own_numbers: Claim
    points: Annotated[dict[Name, Spot], Meta(max_length=400)] = {}
    curves: Annotated[
        dict[Name, Annotated[tuple[Cubic, ...], Meta(min_length=1, max_length=MOST_SEGMENTS)]],
        Meta(max_length=100),
    ] = {}
    numbers: Annotated[dict[Name, Cm], Meta(max_length=400)] = {}
    finish: Annotated[dict[Name, PieceFinish], Meta(max_length=40)] = {}
    scale: Annotated[float, Meta(ge=1.0, le=10.0)] = 1.0
    steps: Annotated[tuple[StepTaken, ...], Meta(max_length=400)] = ()
    edits: Annotated[int, Meta(ge=0, le=10**9)] = 0
    typed: Annotated[dict[Word, Word], Meta(max_length=1000)] = {}
    hints: Annotated[int, Meta(ge=0, le=20)] = 0
    photographs: Annotated[tuple[Photograph, ...], Meta(max_length=40)] = ()
    places: Annotated[
        dict[Name, Annotated[tuple[Spot, ...], Meta(min_length=2, max_length=MOST_PLACES)]],
        Meta(max_length=100),
    ] = {}

    def values(self) -> dict[str, Point | Curve | float]:
        """Every point, curve and number handed in, by name; a name used for two of them is refused."""
        found: dict[str, Point | Curve | float] = {name: Point(*spot) for name, spot in self.points.items()}
        for name, cubics in self.curves.items():
            _once(name, found)
            spots = (tuple(complex(*spot) for spot in cubic) for cubic in cubics)
            found[name] = Curve(tuple((a, b, c, d) for a, b, c, d in spots))
        for name, number in self.numbers.items():
            _once(name, found)
            found[name] = number
        return found


def _once(name: str, found: Mapping) -> None:
    if name in found:
        raise RecordError(f"the record names '{name[:80]}' twice, as two kinds of thing: keep one of them.")


def read(data: bytes | str | Mapping[str, Any]) -> Record:
    """The typed record of a hand-in, from JSON or from plain data.

    Raises RecordError with a sentence for anything of another type, out of range, too many, not finite,
    or with one key twice.
    """
    if isinstance(data, bytes | bytearray | str):
        data = _decoded(data)
    try:
        record = msgspec.convert(data, Record)
    except (msgspec.ValidationError, RecursionError, ValueError, TypeError, OverflowError) as fault:
        raise RecordError(
            f"the record of the draft cannot be used: {_part(fault)} is not as the course writes it. Compare "
            "the draft with the rule again, save the notebook and hand it in."
        ) from None
    if sum(len(cubics) for cubics in record.curves.values()) > MOST_SEGMENTS:
        raise RecordError(
            f"the record has more than {MOST_SEGMENTS} pieces of curve: hand in the asked curves only."
        )
    for number in record.own_numbers.body.values():
        if isinstance(number, float) and not math.isfinite(number):
            raise RecordError(
                "the record cannot be used: a measure of the body is not a number. Measure it again."
            )
    for cubics in record.curves.values():
        if any(p[3] != q[0] for p, q in pairwise(cubics)):
            raise RecordError("the record has a curve in pieces that do not touch: draw it in one line.")
        if any(cubic[0] == cubic[1] == cubic[2] == cubic[3] for cubic in cubics):
            raise RecordError("the record has a curve without length: draw it again.")
    return record


def _part(fault: Exception) -> str:
    """Which part of a record is at fault, as the reader of records says it: `$.points[...]`."""
    found = re.search(r"`\$\.(\w+)|field `(\w+)`", f"{fault}")
    return f"'{(found[1] or found[2]).replace('_', ' ')}'" if found else "something in it"


def _twice(fault: Exception) -> str:
    """What this module itself found wrong; what a reader of files says is left out."""
    return f": {fault}" if f"{fault}" == DOUBLED else ""


def _decoded(text: bytes | str) -> Any:
    if len(text) > MOST_BYTES:
        raise RecordError(f"the record is longer than {MOST_BYTES} characters: hand in one draft a record.")
    if too_deep(text.encode("utf-8", "replace") if isinstance(text, str) else bytes(text)):
        raise RecordError("the record is nested too deeply to be a draft: hand in the notebook as saved.")
    try:
        msgspec.json.decode(text)  # refuses NaN, bad UTF-8 and deep nesting, quickly
        return json.loads(text, object_pairs_hook=_no_doubles)
    except (msgspec.DecodeError, RecursionError, ValueError) as fault:
        raise RecordError(
            f"the record of the draft is damaged{_twice(fault)}. Hand in the notebook as saved."
        ) from None


def _no_doubles(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    pairs = list(pairs)
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError(DOUBLED)
    return found


def spot(point) -> list[float]:
    """A point as it is handed in: cm to a thousandth of a millimetre."""
    return [round(float(point[0]), 4) + 0.0, round(float(point[1]), 4) + 0.0]


def cubics(curve: Curve) -> list[list[list[float]]]:
    """A curve as it is handed in."""
    return [[spot((z.real, z.imag)) for z in segment] for segment in curve.segments]


AGAIN = 0.002
"""cm: two runs of the same work on two machines lie closer than this."""


def alike(a: Record, b: Record) -> bool:
    """Whether two records hold the same draft, to what two machines may differ by."""
    return a.finish.keys() == b.finish.keys() and _close(_drawn(a), _drawn(b))


def _drawn(record: Record) -> Any:
    return msgspec.to_builtins([record.points, record.curves, record.numbers, record.finish])


def _close(a: Any, b: Any) -> bool:
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(_close(a[k], b[k]) for k in a)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(_close, a, b))
    if isinstance(a, int | float) and isinstance(b, int | float):
        return abs(a - b) <= AGAIN
    return bool(a == b)

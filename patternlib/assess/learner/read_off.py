"""What was read from photographs, kept among the fields of the form: its places, and their pictures.

Beside the fields of a place, such as 'side hip|across', stands 'side hip|photograph': the number of the
photograph and the place as it was read, full-size cm. As long as the fields say the same, the row counts as
read from the photograph; typed over, it counts as measured with the ruler.

>>> from patternlib.assess import exercise
>>> typed = {"side hip|across": "27.01 cm", "side hip|up": "-24.11 cm"}
>>> typed |= {"side hip|photograph": "1 27.0134 -24.11"}
>>> typed |= {"photograph|1|sha256": "0" * 64, "photograph|1|residual": "0.06", "photograph|1|scale": "full"}
>>> off = what_was_read(exercise("02a"), typed, "full")
>>> off.rows, off.photographs[0].residual
({'side hip': ((27.0134, -24.11),)}, 0.06)
>>> what_was_read(exercise("02a"), typed | {"side hip|across": "28"}, "full").rows
{}
"""

from __future__ import annotations

import contextlib
import math
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

import msgspec

from ...errors import PatternError
from ...geometry import Point
from ...units import read_length
from ..answers.paper_form import SCALES
from ..photographed.placed import record_of_places
from ..tasks.exercise import Exercise
from ..tasks.record import Photograph
from .fields import MOST_PLACES, Row, rows
from .typed import Reading, record_of

MARK = "photograph"
"""The part of a row, and the section of the form, that photographs have."""
PARTS = ("across", "up")
MOST = 12
"""Photographs of one draft."""
HALF = 0.0051
"""cm: fields are written to a hundredth."""
DISTANCES = 2
"""Distances between strips that can be typed."""


class Off(NamedTuple):
    """rows: full-size cm by row, where its fields still say what was read; photographs: those they are from;
    scale: of the draft on them, 'full' where there is none."""

    rows: dict[str, tuple[tuple[float, float], ...]]
    photographs: tuple[Photograph, ...]
    scale: str


def what_was_read(work: Exercise, typed: Mapping[str, str], scale: str) -> Off:
    """What of a form was read from photographs. scale: at which its lengths are typed."""
    found, used = {}, []
    for row in rows(work):
        if "across" in row.parts and (read := _row(row, typed, SCALES[scale])):
            (found[row.name], of) = read
            used += [n for n in of if n not in used]
    pictures = {n: picture for n in sorted(used) if (picture := _photograph(typed, n))}
    scales = [SCALES.get(typed.get(f"{MARK}|{n}|scale", ""), 1) for n in pictures]
    largest = max(scales, default=1)
    return Off(found if pictures else {}, tuple(pictures.values()), _NAMES[largest])


_NAMES = {times: name for name, times in SCALES.items()}


def _row(row: Row, typed: Mapping[str, str], times: int) -> tuple[tuple, list[int]] | None:
    places, of = [], []
    for line in range(1, MOST_PLACES + 1) if row.lines else (0,):
        said = [typed.get(row.key(part, line), "").strip() for part in PARTS]
        mark = _mark(typed.get(row.key(MARK, line), ""))
        if mark is None:
            if any(said):
                return None
            continue
        n, place = mark
        if not all(_says(text, cm, times) for text, cm in zip(said, place, strict=True)):
            return None
        places.append(place)
        of.append(n)
    return (tuple(places), of) if places else None


def _mark(text: str) -> tuple[int, tuple[float, float]] | None:
    with contextlib.suppress(ValueError):
        n, x, y = text.split(" ")
        place = float(x), float(y)
        if n.isdigit() and 0 < int(n) <= MOST and all(map(math.isfinite, place)):
            return int(n), place
    return None


def _says(text: str, cm: float, times: int) -> bool:
    try:
        return abs(read_length(text) - cm / times) <= HALF
    except PatternError:
        return False


def _photograph(typed: Mapping[str, str], n: int) -> Photograph | None:
    said = {part: typed.get(f"{MARK}|{n}|{part}", "") for part in ("sha256", "residual", "page")}
    page = said["page"]
    plain = {
        "sha256": said["sha256"], "residual": said["residual"], "page": page or 0,
        "kind": "sheet" if page else "strips", "distances": {} if page else dict(_distances(typed)),
    }  # fmt: skip
    try:
        return msgspec.convert(plain, Photograph, strict=False)
    except msgspec.ValidationError:
        return None


def _distances(typed: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for k in range(DISTANCES):
        said = typed.get(f"{MARK}|0|cm{k}", "").strip()
        if said:
            ends = [
                typed.get(f"{MARK}|0|{end}{k}", first)
                for end, first in zip(("from", "to"), FIRST[k], strict=True)
            ]
            yield "–".join(ends), said


FIRST = (("A", "C"), ("B", "D"))
"""The marks of strips that distances are measured between, unless other ones are chosen."""


# -- handed in


def handed_in(
    work: Exercise, read: Reading, typed: Mapping[str, str], *, student: str, key: str = ""
) -> dict[str, Any]:
    """The hand-in record of a form: of way 'photograph' where all that lies on the draft was read from
    photographs, of way 'paper' as soon as a part of it was measured with the ruler."""
    off = what_was_read(work, typed, read.scale)
    on_paper = {row.name for row in rows(work) if "across" in row.parts and _filled(row, read)}
    if not on_paper or not on_paper <= off.rows.keys():
        small = max(read.scale, off.scale, key=SCALES.__getitem__)
        return record_of(work, read, student=student, key=key) | {"scale": float(SCALES[small])}
    kinds = {asked.name: asked.kind for asked in work.steps()}
    points = {name: Point(*places[0]) for name, places in off.rows.items() if kinds.get(name) == "point"}
    lines = {name: [Point(*p) for p in ps] for name, ps in off.rows.items() if kinds.get(name) == "curve"}
    record = record_of_places(
        work.id, points, lines, student=student, key=key, scale=SCALES[off.scale],
        photographs=off.photographs,
        numbers={name: v for name, v in read.measures.items() if kinds[name] == "number"},
    )  # fmt: skip
    return record | {"finish": record_of(work, read, student=student, key=key)["finish"]}


def _filled(row: Row, read: Reading) -> bool:
    if not row.piece:
        return row.name in read.measures
    done = read.finish.get(row.piece, {})
    return bool(done.get("grain" if row.kind == "grain" else "cut_line"))

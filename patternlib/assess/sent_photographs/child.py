"""The process that looks at one photograph: it reads the file, limits itself, looks, writes what it saw.

A new one starts for each photograph, inside bubblewrap where that works. It holds nothing of the instructor's
but the class's key.
"""

from __future__ import annotations

import hashlib
import os
import sys
from contextlib import suppress
from typing import Any

import msgspec

from ...errors import PatternError
from ...not_here import NotHere
from ..photographed.flags import by_name, flag_names, given_places, line_places
from ..photographed.label import Label, LabelFault, read_label
from ..safe_text import folded
from ..sandbox.child import READY, only
from ..sandbox.limits import set_limits
from ..tasks.catalogue import exercises
from .seen import Asked, Distances, Seen, whose

SECONDS = 25
"""seconds of processor time for one photograph."""
SMALL, FINE = 28.0, 80.0
"""pixels a cm: of the picture on the contact sheet, and of the one to tap on."""
LONGEST = 2600
"""pixels of the longer side of a picture."""


def main(sink: int, *, alone: bool) -> None:
    """Look at the photograph in the standard input and write what was seen into `sink`; never returns.

    The input is a line of JSON, as `Asked`, and after it the bytes of the file.
    """
    head, _, data = sys.stdin.buffer.read().partition(b"\n")
    asked = msgspec.json.decode(head, type=Asked)
    only(sink)
    exercises()
    with suppress(ImportError):  # loaded before the limits are set
        import cv2
        import scipy.interpolate
        import scipy.optimize  # noqa: F401

        cv2.setNumThreads(1)
    set_limits(alone=alone, seconds=SECONDS)
    os.write(sink, READY)
    found = msgspec.json.encode(look(data, asked))
    with os.fdopen(sink, "wb") as file:
        file.write(found)
    os._exit(0)


def look(data: bytes, asked: Asked) -> Seen:
    """What one photograph shows; every fault becomes a sentence."""
    sha256 = hashlib.sha256(data).hexdigest()
    text = ""
    distances: Distances = ()  # of a draft between strips
    try:
        from ...photo.reading import read_photograph

        flat = read_photograph(data)
        label = read_label(flat.label) if flat.label else None
        if label is not None and label.loose:
            text = flat.label[:1000]
            distances = asked.distances.get(whose(label.student, label.exercise), ())
        if distances:
            flat = read_photograph(data, distances=distances)
        lines = _lines(flat, label, asked) if label is not None and not label.loose else {}
        x0, y0, x1, y1 = flat.box
        most = LONGEST / max(x1 - x0, y1 - y0)
        fine = min(FINE, most)
        return Seen(
            sha256, label=flat.label[:1000], kind=flat.kind, residual=round(flat.residual, 3),
            tilt=round(flat.tilt, 1), box=flat.box, lines=lines,
            flags={int(n): (round(p.x, 4), round(p.y, 4)) for n, p in flat.flags.items()},
            doubtful=list(flat.doubtful), distances=distances,
            small=flat.picture(min(SMALL, most)), fine=flat.picture(fine), fine_px=fine,
        )  # fmt: skip
    except LabelFault as fault:
        return Seen(sha256, fault=_sentence(fault), kind_of_fault="label")
    except NotHere as fault:
        return Seen(sha256, fault=_sentence(fault), kind_of_fault="missing", settled=False)
    except PatternError as fault:
        return Seen(
            sha256, fault=_sentence(fault), kind_of_fault=getattr(fault, "kind", "fault"), label=text,
            distances=distances,
        )  # fmt: skip
    except MemoryError:
        said = "The picture needs more memory to be read than a photograph can. Take it in the usual size."
        return Seen(sha256, fault=said, kind_of_fault="memory")


def _sentence(fault: PatternError) -> str:
    text = str(fault)[:900]
    return text[:1].upper() + text[1:]


def _lines(flat: Any, label: Label, asked: Asked) -> dict[str, list[tuple[float, float]]]:
    """The lines whose ends have flags, or are printed on the page, traced along the pencil."""
    work = exercises().get(label.exercise)
    if work is None:
        return {}
    try:
        of = work.own_numbers(label.student, asked.keys.get(folded(label.student), asked.key))
        flags = by_name(flat.flags, work, of)
    except PatternError:
        return {}
    at = {name: label.on_page(place) for name, place in given_places(work, of).items()} | flags
    found = {}
    for name, places in line_places(work, of).items():
        if not set(places) <= at.keys() or not set(places) & {*flag_names(work, of), *at}:
            continue
        with suppress(PatternError):  # no pencil line leads there: it is tapped
            found[name] = [(round(p.x, 4), round(p.y, 4)) for p in flat.trace([at[p] for p in places])]
    return found

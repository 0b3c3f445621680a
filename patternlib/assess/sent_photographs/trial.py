"""A trial in a class: how far what photographs say lies from what was measured with the ruler.

The table of measured points has the columns point, across and up: what the ruler says on the paper, from the
printed lines 0, such as `side hip;13,6;-12`. A name of one's own is good for a cross that is no point of the
exercise. With strips, a line such as `A to C;71,3` is a distance between two crosses. Photographs lie in a
folder, those of each telephone in a folder of its own.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

from ...errors import PatternError
from ...geometry import Point
from ...units import read_length
from ..hand_ins.files import LARGEST_PICTURE, Refused, is_picture, read_file
from ..hand_ins.register import table_lines
from ..photographed.flags import flag_names
from ..photographed.label import Label, read_label
from ..safe_text import one_line
from ..tasks.catalogue import exercise

if TYPE_CHECKING:
    from ...photo.reading import Flat

LARGEST_TABLE = 1_000_000
"""bytes."""
NEAR = 0.3
"""cm: a crossing so near to a measured place is taken for its mark."""
MOST = 500
"""Photographs of one trial."""
ASKED = 1.0
"""mm at full size: 95 in 100 points must be as near; 0.7 on smaller paper."""
ASKED_SMALL = 0.7
ERRORS_FILE = "photograph-errors.csv"
_ADVICE = (
    "Write a table with the columns point, across and up, a line for each point that was measured on the "
    "paper, in cm: 'side hip', 13.6, -12.0."
)


@dataclass(frozen=True)
class Measured:
    """What the ruler says. points: by name, cm on the paper from the lines 0; distances: between strips."""

    points: Mapping[str, Point]
    distances: tuple[tuple[str, str, float], ...] = ()


@dataclass(frozen=True)
class Tried:
    """One photograph. errors: mm on the paper by point; unseen: measured points on this page without a mark;
    fault: why the photograph could not be used, or ''."""

    name: str
    telephone: str
    errors: Mapping[str, float]
    unseen: tuple[str, ...] = ()
    residual: float = 0.0
    tilt: float = 0.0
    scale: int = 1
    fault: str = ""


def read_measured(path: Path) -> Measured:
    """Read the table of measured points; raises PatternError with a sentence for what cannot be used."""
    what = one_line(path.name, 80)
    try:
        lines = table_lines(read_file(path, LARGEST_TABLE, follow=True))
    except (Refused, csv.Error) as fault:
        raise PatternError(f"The table {what} cannot be read: {one_line(fault)} {_ADVICE}") from None
    heads = [" ".join(head.split()).casefold() for head in lines[0][1]] if lines else []
    if heads[:3] != ["point", "across", "up"]:
        raise PatternError(f"The first line of {what} must be: point, across, up. {_ADVICE}")
    points: dict[str, Point] = {}
    distances = []
    for number, line in lines[1:]:
        name, across, up = ([cell.strip() for cell in line] + ["", "", ""])[:3]
        ends = name.split(" to ")
        if not name or not across:
            raise PatternError(f"Line {number} of {what} is not complete. {_ADVICE}")
        if len(ends) == 2 and not up:
            distances.append((ends[0].strip(), ends[1].strip(), _length(across, what, number)))
        elif name in points:
            raise PatternError(f"Line {number} of {what} repeats '{one_line(name, 60)}'. Keep one of them.")
        else:
            points[name] = Point(_length(across, what, number), _length(up, what, number))
    if not points:
        raise PatternError(f"The table {what} holds no point. {_ADVICE}")
    return Measured(points, tuple(distances))


def _length(text: str, what: str, number: int) -> float:
    try:
        return read_length(text)
    except PatternError as fault:
        raise PatternError(f"Line {number} of {what}: {one_line(fault, 200)}") from None


def try_photographs(folder: Path, measured: Measured) -> list[Tried]:
    """Every photograph of a folder, and of the folders in it, against the ruler.

    Raises PatternError where there is none.
    """
    if folder.is_file():
        found = [folder]
    else:
        found = sorted(path for path in folder.rglob("*") if is_picture(path.name) and path.is_file())
    if not found:
        raise PatternError(
            f"There is no photograph in '{one_line(folder, 120)}'. Put the files there as the telephone made "
            "them, those of each telephone in a folder of its own."
        )
    if len(found) > MOST:
        raise PatternError(f"There are {len(found)} photographs; take {MOST} at most.")
    return [_tried(path, folder, measured) for path in found]


def _tried(path: Path, folder: Path, measured: Measured) -> Tried:
    from ...photo.reading import read_photograph

    name = path.name if path == folder else path.relative_to(folder).as_posix()
    telephone = name.rpartition("/")[0]
    try:
        flat = read_photograph(read_file(path, LARGEST_PICTURE), distances=measured.distances)
        label = read_label(flat.label)
        errors, unseen = _against(flat, label, measured)
    except (PatternError, Refused) as fault:
        return Tried(name, telephone, {}, fault=one_line(fault, 300))
    return Tried(name, telephone, errors, unseen, flat.residual, flat.tilt, label.scale)


def _against(flat: Flat, label: Label, measured: Measured) -> tuple[dict[str, float], tuple[str, ...]]:
    """mm that each point lies off, by its flag, else by the nearest crossing; and those without a mark."""
    work = exercise(label.exercise)
    names = flag_names(work, work.own_numbers(label.student)) if flat.flags else ()
    flags = {names[n]: tip for n, tip in flat.flags.items() if 0 <= n < len(names)}
    if flat.kind == "strips":
        return _as_a_whole({name: flags[name] for name in measured.points if name in flags}, measured)
    errors, unseen = {}, []
    for name, place in measured.points.items():
        at = label.origin + place
        if not _inside(at, flat):
            continue
        read = flags.get(name) or next((c.point for c in flat.crossings(at, NEAR)), None)
        if read is None:
            unseen.append(name)
        else:
            errors[name] = 10 * read.distance(at)
    return errors, tuple(unseen)


def _inside(at: Point, flat: Flat) -> bool:
    x0, y0, x1, y1 = flat.box
    return x0 < at.x < x1 and y0 < at.y < y1


def _as_a_whole(read: Mapping[str, Point], measured: Measured) -> tuple[dict[str, float], tuple[str, ...]]:
    """Between strips nothing says where 0 lies: the points are laid on those of the ruler."""
    if len(read) < 3:
        raise PatternError("Between strips, three measured points or more need their flag on them.")
    a = {name: complex(*place) for name, place in read.items()}
    b = {name: complex(*measured.points[name]) for name in read}
    ma, mb = (sum(side.values()) / len(side) for side in (a, b))
    turn = sum((b[n] - mb) * (a[n] - ma).conjugate() for n in read)
    turn = turn / abs(turn) if turn else 1
    errors = {n: 10 * abs((a[n] - ma) * turn - (b[n] - mb)) for n in read}
    return errors, tuple(n for n in measured.points if n not in read)


# -- said


def trial_said(tried: Sequence[Tried]) -> str:
    """The errors as a table for the screen: a line a photograph, one a telephone, one for all."""
    rows = [("photograph", "points", "middle", "95 in 100", "largest", "paper flat to", "tilt")]
    faults = []
    for one in tried:
        if one.fault:
            faults.append(f"{one.name}: {one.fault}")
            continue
        seen = f"{len(one.errors)} of {len(one.errors) + len(one.unseen)}"
        rows.append(
            (one.name, seen, *_figures(one.errors.values()), f"{one.residual:.2f} mm", f"{one.tilt:.0f}°")
        )
    for telephone, group in groupby(sorted(tried, key=lambda t: t.telephone), key=lambda t: t.telephone):
        errors = [e for one in group for e in one.errors.values()]
        if telephone:
            rows.append((f"all of {telephone}", str(len(errors)), *_figures(errors), "", ""))
    every = [e for one in tried for e in one.errors.values()]
    rows.append(("all", str(len(every)), *_figures(every), "", ""))
    wide = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    table = ["  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in rows]
    return "\n".join([*table, *(["", "Not used:", *faults] if faults else []), "", _sentence(tried)])


def _figures(errors: Iterable[float]) -> tuple[str, str, str]:
    found = sorted(errors)
    if not found:
        return "-", "-", "-"
    most = found[math.ceil(0.95 * len(found)) - 1]
    return f"{median(found):.2f} mm", f"{most:.2f} mm", f"{found[-1]:.2f} mm"


def _sentence(tried: Sequence[Tried]) -> str:
    errors = [(e, ASKED if one.scale == 1 else ASKED_SMALL) for one in tried for e in one.errors.values()]
    if not errors:
        return "No point could be compared. Look at the sentences above."
    near = sum(e <= asked for e, asked in errors)
    limits = " and ".join(f"{limit:g} mm" for limit in sorted({limit for _, limit in errors}))
    return (
        f"{100 * near / len(errors):.0f} of 100 points lie within {limits} on the paper; the course asks "
        "for 95. Your ruler's own error, about half a millimetre, is in these figures."
    )


def errors_table(tried: Iterable[Tried]) -> str:
    """The errors as CSV text: a line for each point of each photograph."""
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\n")
    lines.writerow(
        ("photograph", "telephone", "point", "off mm", "paper flat to mm", "tilt degrees", "remark")
    )
    for one in tried:
        facts = (f"{one.residual:.3f}", f"{one.tilt:.1f}")
        for name, mm in one.errors.items():
            lines.writerow((one.name, one.telephone, name, f"{mm:.3f}", *facts, ""))
        for name in one.unseen:
            lines.writerow((one.name, one.telephone, name, "", *facts, "no mark found"))
        if one.fault:
            lines.writerow((one.name, one.telephone, "", "", "", "", one.fault))
    return out.getvalue()


def run_trial(folder: Path, table: Path, out: Path) -> str:
    """The trial of a folder of photographs: writes the table of errors into `out`, gives what is printed."""
    tried = try_photographs(folder, read_measured(table))
    out.mkdir(parents=True, exist_ok=True)
    path = out / ERRORS_FILE
    path.write_text(errors_table(tried), encoding="utf-8-sig")
    return f"{trial_said(tried)}\nEvery point stands in {path}."

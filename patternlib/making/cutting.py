"""The cutting list, and the page that goes to the sewing room with it."""

from __future__ import annotations

import csv
import io
import math
import textwrap
from collections.abc import Iterable
from dataclasses import dataclass

from ..alterations import ONE_SIDE
from ..garments.base import Garment
from ..pieces import FUSING
from .edges import layers
from .order import sewing_order

THREAD = 2.5
"""cm of thread, upper and lower together, in a cm of lockstitch (from memory, unverified)."""
SPARE_THREAD = 1.5
"""Thread bought for each cm that is sewn: ends, overcast edges, second rows (common practice, no source)."""


@dataclass(frozen=True)
class CuttingRow:
    """One piece cut from one cloth, or a fitting or thread where `piece` names that and `cloth` is empty."""

    piece: str
    cloth: str = ""
    cut: int | None = None
    how: str = ""
    fused: bool = False
    allowances: str = ""
    note: str = ""


def cutting_list(garment: Garment) -> tuple[CuttingRow, ...]:
    """What is cut, from which cloth and how often, then the fittings and the thread.

    >>> from patternlib import chart, make
    >>> rows = cutting_list(make("pinafore", chart("course").body("12")))
    >>> rows[1].piece, rows[1].cut, rows[1].how
    ('waistband', 2, 'on the fold')
    """
    rows = []
    for piece in garment.pieces:
        edges = "; ".join(f"{e.name} {e.allowance:g} {e.turn}" for e in piece.edges if e.turn != "fold")
        how = "on the fold" if piece.on_fold else "as a pair" if piece.pair else "single"
        deep = layers(piece)
        stiff = piece.copies(FUSING)
        for cloth in piece.cloths:
            fused = stiff == piece.cut and cloth != FUSING
            notes = (f"{deep} layers" * (deep > 1), f"{stiff} of them fused" * (0 < stiff < piece.cut))
            note = ", ".join(filter(None, notes)) if cloth != FUSING else ""
            rows.append(CuttingRow(piece.name, cloth, piece.copies(cloth), how, fused, edges, note))
    rows += [CuttingRow(fitting, note="fitting") for fitting in (*garment.fittings, *garment.notions)]
    metres = thread(garment) / 100
    note = (
        f"about {10 * math.ceil(metres / 10)} m: {THREAD:g} cm for a cm of lockstitch, and half as much again"
    )
    return (*rows, CuttingRow("sewing thread", note=note))


def thread(garment: Garment) -> float:
    """Thread to buy, cm, from the length of all seams and turned edges."""
    return THREAD * SPARE_THREAD * sum(step.length for step in sewing_order(garment))


def cutting_list_csv(garment: Garment) -> str:
    """The cutting list as CSV, allowances in cm."""
    heads = ("piece", "cloth", "cut", "how", "fused", "edges and allowances (cm)", "note")
    rows = [
        (
            r.piece,
            r.cloth,
            "" if r.cut is None else r.cut,
            r.how,
            "yes" if r.fused else "",
            r.allowances,
            r.note,
        )
        for r in cutting_list(garment)
    ]
    return _csv(heads, rows)


def _csv(heads: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(heads)
    write.writerows(rows)
    return out.getvalue()


def sewing_order_csv(garment: Garment, *, unit: str = "cm") -> str:
    """The order of sewing as CSV: a line a step, with the steps it waits for."""
    heads = ("step", "kind", "what", "pieces", "seams", "after")
    steps = sewing_order(garment, unit=unit)
    rows = [
        (s.number, s.kind, s.text, "; ".join(s.pieces), "; ".join(s.seams), " ".join(map(str, s.after)))
        for s in steps
    ]
    return _csv(heads, rows)


def making_page(garment: Garment, *, unit: str = "cm") -> str:
    """Cutting list and order of sewing as plain text, to be printed and laid beside the machine."""
    rows = cutting_list(garment)
    size = f", size {garment.size}" if garment.size else ""
    lines = [f"{garment.name.capitalize()}{size}", "", "Cut"]
    cut = [row for row in rows if row.cloth]
    wide = max(len(row.piece) for row in cut)
    for row in cut:
        more = [row.cloth, row.note, "fuse" if row.fused else ""]
        lines.append(f"  {row.cut} x {row.piece:<{wide}}  {row.how}, " + ", ".join(m for m in more if m))
    if garment.half:
        lines += ["", *textwrap.wrap(ONE_SIDE, 92)]
    lines += ["", "Also needed"]
    lines += [
        f"  {row.piece}" + (f": {row.note}" if row.note != "fitting" else "") for row in rows if not row.cloth
    ]
    lines += ["", "Sew"]
    for step in sewing_order(garment, unit=unit):
        after = f"  [after {', '.join(map(str, step.after))}]" if step.after else ""
        lines += textwrap.wrap(
            f"{step.text}{after}", 92, initial_indent=f"{step.number:>4}  ", subsequent_indent=" " * 6
        )
    return "\n".join(lines) + "\n"

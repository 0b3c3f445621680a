"""The findings and the walked seams as text, for a file or a cell."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..pieces import Piece, Seam, side_length
from ..units import in_unit, write_length
from .findings import SEVERITIES, Finding
from .walk import is_known, said


def report(
    findings: Sequence[Finding], unit: str = "cm", *, pieces: Iterable[Piece] = (), seams: Iterable[Seam] = ()
) -> str:
    """The findings as text, by severity, lengths in `unit`; then each seam with the length of both sides."""
    lines = []
    for severity, words in SEVERITIES.items():
        some = [f for f in findings if f.severity == severity]
        if some:
            lines += [f"{words.capitalize()} ({len(some)})"]
            lines += [f"  {f.code}  {f.where}: {in_unit(f.text, unit)}" for f in some] + [""]
    if not lines:
        lines = ["Nothing to put right: every check passed.", ""]
    by_name = {piece.name: piece for piece in pieces}
    walked = [seam for seam in seams if is_known(by_name, seam)]
    if walked:
        lines += ["Seams walked on the seam lines"]
        off = {f.where for f in findings if f.code == 102}
        for seam in walked:
            a, b = (_length(side_length(by_name, side), unit) for side in (seam.a, seam.b))
            ease = f", ease {_length(seam.ease, unit)}" if seam.ease else ""
            n = len(seam.notches)
            notches = f", {n} notch{'es' if n > 1 else ''}" if n else ""
            lines += [
                f"  {seam.name}: {said(seam.a)} {a}; {said(seam.b)} {b}{ease}{notches}: "
                f"{'does not agree' if seam.name in off else 'agrees'}"
            ]
        lines += [""]
    if by_name:
        lines += ["Pieces checked: allowance of every edge, corners, turnings, grain, label, quantity"]
        for name in by_name:
            n = sum(f.where == name or f.where.startswith(name + ",") for f in findings)
            lines += [f"  {name}: {f'{n} named above' if n else 'passed'}"]
        lines += [""]
    return "\n".join(lines)


def _length(cm: float, unit: str) -> str:
    return write_length(cm, unit, decimals={"cm": 2, "mm": 1}.get(unit))

"""What of a form stays in the saved notebook without a kernel: its record, and the fields to read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from ..tasks.record import MIME
from .fields import MOST_PLACES, Row

_HIDE = (
    "<style>.jp-OutputArea-child:has(+ .jp-OutputArea-child .paper-form-still)"
    ":not(:has(.paper-form)){display:none}"
    ".jp-OutputArea:has(.paper-form) .jp-OutputArea-child:has(.paper-form-still){display:none}</style>"
)


class FormStill:
    """The hand-in of a form as a notebook keeps it; where nothing can be judged there is no record."""

    def __init__(self, record: dict[str, Any] | None, title: str, lines: Sequence[tuple[str, str]]) -> None:
        self.record, self.title, self.lines = record, title, tuple(lines)

    def __repr__(self) -> str:
        if not self.lines:
            return f"{self.title}, on paper: nothing is written yet."
        return "\n".join((f"{self.title}, on paper:", *(f"{name}: {said}" for name, said in self.lines)))

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, Any]:
        rows = "".join(
            f"<tr><td style='text-align:left'>{escape(name)}</td>"
            f"<td style='text-align:left'>{escape(said)}</td></tr>"
            for name, said in self.lines
        )
        body = f"<table>{rows}</table>" if rows else "<p>Nothing is written yet.</p>"
        html = (
            f'{_HIDE}<div class="paper-form-still"><p><b>{escape(self.title)}, on paper</b></p>{body}'
            "<p>Run this cell to go on.</p></div>"
        )
        shown: dict[str, Any] = {"text/plain": repr(self), "text/html": html}
        return shown | ({MIME: self.record} if self.record else {})


def as_lines(rows: Sequence[Row], typed: Mapping[str, str]) -> list[tuple[str, str]]:
    """Each row that has something in it, with its fields as they were typed."""
    found = []
    for row in rows:
        places = range(1, MOST_PLACES + 1) if row.lines else (0,)
        parts = [[typed.get(row.key(part, n), "").strip() for part in row.parts] for n in places]
        said = "; ".join(", ".join(t or "–" for t in one) for one in parts if any(one))
        if said:
            found.append((row.name, said))
    return found

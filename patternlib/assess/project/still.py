"""What of a project's form stays in the saved notebook without a kernel: its record, and words to read."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from ...notebook import table
from ..tasks.record import MIME
from .levels import TITLE
from .questions import sections

_HIDE = (
    "<style>.jp-OutputArea:has(.project-form) .jp-OutputArea-child:has(.project-still){display:none}</style>"
)


def as_lines(typed: Mapping[str, str]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Each section with what stands in it: (the words of a line, what was typed).

    >>> as_lines({"style|2|value": "hip ease", "style|2|is": "7"})
    [('2. Style values, with your reasons', [('2', 'style value: hip ease; is: 7')])]
    """
    found = []
    for section in sections():
        lines = [
            (part.label, typed[key].strip())
            for part in section.once
            if typed.get(key := f"{section.key}||{part.key}", "").strip()
        ]
        named = section.named or tuple((str(n), str(n)) for n in range(1, section.most + 1))
        for key, words in named:
            said = [
                f"{part.label}: {text}" if part.label else text
                for part in section.parts
                if (text := typed.get(f"{section.key}|{key}|{part.key}", "").strip())
            ]
            if said:
                lines.append((words.partition(":")[0], "; ".join(said)))
        if lines:
            found.append((section.title, lines))
    return found


class ProjectStill:
    """The hand-in of a project as a notebook keeps it; an empty form hands nothing in."""

    def __init__(self, record: dict[str, Any] | None, typed: Mapping[str, str]) -> None:
        self.record, self.parts = record, as_lines(typed)

    def __repr__(self) -> str:
        if not self.parts:
            return f"{TITLE}: nothing is written yet."
        lines = [f"{TITLE}:"]
        for title, rows in self.parts:
            lines += [title, *(f"  {words}: {said}" for words, said in rows)]
        return "\n".join(lines)

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, Any]:
        body = "".join(f"<p><b>{escape(title)}</b></p>{table(rows).html}" for title, rows in self.parts)
        html = f'{_HIDE}<div class="project-still"><p><b>{TITLE}</b></p>'
        html += (body or "<p>Nothing is written yet.</p>") + "<p>Run this cell to go on.</p></div>"
        shown: dict[str, Any] = {"text/plain": repr(self), "text/html": html}
        return shown | ({MIME: self.record} if self.record else {})

"""A table that first shows the steps of a section, and then is the reader's to draw on."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Any

from ...body import Body
from ..judging.judgement import judge_values
from ..judging.verdict import Line
from ..table.board import UNITS, DraftingTable, next_step
from ..tasks.own_numbers import OwnNumbers
from .picture import SectionStill
from .sections import Section

READER = "own measures"


class SectionTable(DraftingTable):
    """A section of a draft on the drafting table; make one with `section_table`.

    It keeps the reader's own steps as an exercise's table does, but there is nothing to hand in.
    """

    def __init__(
        self, part: Section, body: Body, *, style: Mapping[str, float] | None = None, unit: str = "cm",
        begin: str = "shown", folder: Path | None = None,
    ):  # fmt: skip
        self.part, self.begin = part, begin
        of = OwnNumbers(body, {n: v for n, v in (style or {}).items() if isinstance(v, int | float)})
        self._lay_out(part.exercise(), of, READER, "", unit, folder)

    def _setup(self) -> dict[str, Any]:
        shown = {"steps": self.part.to_page(), "begin": self.begin, "box": self.part.box}
        return {**super()._setup(), "student": "", "shown": shown}

    def _told(self) -> dict[str, Any]:
        return {"guided": False, "hints": [], "steps": {unit: [] for unit in UNITS}}

    def _next_steps(self) -> list[dict[str, Any]]:
        steps = (step for step in self.part.steps if step.op not in ("trace", "start"))
        return [next_step(step, {unit: step.text(unit) for unit in UNITS}) for step in steps]

    def _wanted(self) -> Collection[str]:
        said = " ".join(f"{s.source} {s.measured_by}" for s in self.part.steps)
        return [name for name in self.of.numbers() if name.replace("_", " ") in said]

    def compared(self) -> dict[str, Any]:
        """The comparison with the steps of the section, for the page."""
        lines = judge_values(self.work, self.of, self.laid.values, way="table")
        drawn = [line for line in lines if line.verdict != "missing"]
        right = sum(line.verdict in ("right", "carried") for line in drawn)
        return {
            "lines": [
                {"step": n.step, "verdict": n.verdict, "text": n.text, "want": n.want, "at": n.at}
                for n in lines
            ],
            "said": f"{right} of {len(lines)} steps are right.",
            "next": self._next(lines),
        }

    def _next(self, lines: list[Line]) -> str:
        for line in lines:
            if line.verdict in ("off", "near"):
                return f"Next: look at {line.at or line.step} again."
        for line in lines:
            if line.verdict == "missing":
                return "Next: " + self.part.draft.step(line.step).text(self.unit)
        return "This section is drawn."

    def hand_in(self) -> SectionStill:
        """The picture that stays in the saved notebook; a lesson has no record."""
        return SectionStill(self.part, self.unit)

    def _instead(self) -> str:
        return ""  # its still picture says it

    def __repr__(self) -> str:
        return f"<table: {self.part.title}>" if hasattr(self, "laid") else "<SectionTable>"

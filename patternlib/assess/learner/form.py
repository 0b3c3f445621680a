"""The form for a draft on paper, as a live board: what is measured is typed, kept, read and judged."""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import anywidget
import msgspec
import traitlets

from ...boards.page_code import form_css, join_page
from ...errors import PatternError
from ...notebook import from_page
from ..answers.feedback import Feedback, compare_with_rule
from ..answers.paper_form import SCALES
from ..answers.worksheet import save_worksheet
from ..table.kept import this_notebook
from ..tasks.catalogue import exercise
from ..tasks.telling import told
from .fields import MOST_PLACES, rows
from .photographs import Photographs, missing
from .read_off import handed_in
from .shown import FormStill, as_lines
from .typed import ASKED, SCALE, UNIT, Reading, read_typed
from .written import Written, find_form, keep_form

PAGE = Path(__file__).with_name("page")
TABLE = Path(__file__).parent.parent / "table" / "page"
QUESTIONS = {
    "whole-in-mm": ("Were these millimetres?", {UNIT: "mm"}),
    "whole-in-inches": ("Were these inches?", {UNIT: "in"}),
    "whole-twice-in-inches": ("Were these centimetres?", {UNIT: "cm"}),
    "whole-in-half-scale": ("Was this drawn at half scale?", {SCALE: "half"}),
    "whole-in-quarter-scale": ("Was this drawn at quarter scale?", {SCALE: "quarter"}),
}
"""By the cause that explains the whole draft: what is asked, and what a yes changes."""


class PaperForm(anywidget.AnyWidget):
    """The form of one exercise. setup: what does not change; sheet: the fields as typed, and what is said.

    held: flat photographs that lie on the form from the start.
    """

    _esm = join_page(PAGE / "form.js")
    _css = form_css(TABLE / "panels.css", TABLE / "form.css", PAGE / "photograph.css")

    setup = traitlets.Dict().tag(sync=True)
    sheet = traitlets.Dict().tag(sync=True)

    def __init__(
        self, id: str, *, student: str, key: str = "", folder: Path | None = None, held: Sequence[Any] = ()
    ):
        self.work = exercise(id)
        self.of = self.work.own_numbers(student, key)
        self.student, self.key = student, key
        self.folder = folder or Path.cwd()
        self.out: Any = None
        self.rows = rows(self.work)
        self.photographs = Photographs(self.work, self.of, student, held)
        self.written = find_form(id, student, self.folder, None if folder else this_notebook())
        super().__init__(setup=self._setup(), sheet=self._sheet("", ""))
        self.on_msg(from_page(self._hear))

    def _setup(self) -> dict[str, Any]:
        return {
            "exercise": {"id": self.work.id, "title": self.work.title, "task": self.work.task},
            "student": self.student,
            "rows": [row._asdict() for row in self.rows],
            "most": MOST_PLACES,
            "scales": list(SCALES),
            "told": told(self.work, self.of),
            "photograph": missing(),
            "held": len(self.photographs.held),
        }

    def _sheet(self, by: str, fault: str) -> dict[str, Any]:
        read = self.read()
        return {
            "typed": dict(self.written.typed), "edits": self.written.edits, "hints": self.written.hints,
            "faults": read.faults, "open": read.open, "by": by, "fault": fault,
        }  # fmt: skip

    def read(self) -> Reading:
        """What the fields say."""
        return read_typed(self.work, self.written.typed)

    # -- what the page says

    def _hear(self, _widget: Any, said: Mapping[str, Any], buffers: Any) -> None:
        who = said.get("who")
        match said.get("kind"):
            case "set":
                self._take(said)
            case "compare":
                self._take(said)
                self.send({"who": who, "compared": self.compared()})
            case "print":
                self.send({"who": who, "printed": self.printed(**_choice(said))})
            case "photograph":
                answer, pictures = self.photographs.answer(said, buffers)
                if answer:
                    self.send({"who": who, "photograph": answer}, buffers=pictures)
            case "hint":
                self._put(msgspec.structs.replace(self.written, hints=min(int(said["n"]), 20)))

    def _take(self, said: Mapping[str, Any]) -> None:
        """Take over the page's fields, keep them, and answer with what is wrong in them."""
        by = f"{said['who']}:{said['n']}"
        plain = {
            "exercise": self.work.id, "student": self.student, "hints": self.written.hints,
            "typed": said["typed"], "edits": said["edits"],
        }  # fmt: skip
        try:
            written = msgspec.convert(plain, Written)
        except msgspec.ValidationError:
            fault = "A field has more than 200 letters and cannot be kept. Write it shorter."
            self.sheet = self._sheet(by, fault)
            return
        fault = self._put(written)
        self.sheet = self._sheet(by, fault)

    def _put(self, written: Written) -> str:
        self.written = written
        fault = keep_form(written, self.folder)
        if self.out is not None:
            self.out.update(self.hand_in())
        return fault

    def printed(self, *, scale: str, paper: str, strips: bool = False, flags: bool = False) -> dict[str, Any]:
        """Write the worksheet beside the notebook: its file's name, or a sentence."""
        what = "strips" if strips else "worksheet"
        path = self.folder / f"{what} {self.work.id} {scale} scale.pdf"
        try:
            save_worksheet(
                self.work.id, str(path), student=self.student, key=self.key, scale=scale, paper=paper,
                strips=strips, flags=flags,
            )  # fmt: skip
        except PatternError as fault:
            return {"fault": str(fault)}
        return {"file": path.name, "data": base64.b64encode(path.read_bytes()).decode()}

    # -- judged and handed in

    def record(self) -> dict[str, Any]:
        """What is on the form, as it is handed in, with the fields as they were typed."""
        written = self.written
        record = handed_in(self.work, self.read(), written.typed, student=self.student, key=self.key)
        return record | {"typed": dict(written.typed), "edits": written.edits, "hints": written.hints}

    def hand_in(self) -> FormStill:
        """The record with the fields to read: what stays in the saved notebook."""
        read = self.read()
        record = self.record() if read.measures or read.finish else None
        return FormStill(
            record, f"{self.work.id} · {self.work.title}", as_lines(self.rows, self.written.typed)
        )

    def compared(self) -> dict[str, Any]:
        """The comparison with the rule: a line for each thing asked, the drawing, a question of the whole."""
        read = self.read()
        if not (read.measures or read.finish):
            return {
                "lines": [],
                "said": "Nothing is measured yet: fill in a row first.",
                "html": "",
                "next": "",
            }
        record = self.record()
        shown: Feedback = compare_with_rule(record, of=self.work.id, key=self.key)
        if shown.verdict is None:
            return {"lines": [], "said": shown.text, "html": "", "next": ""}
        lines = [
            {"step": line.step, "verdict": line.verdict, "text": line.text} for line in shown.verdict.lines
        ]
        slips = [line.slip for line in shown.verdict.lines if line.slip in QUESTIONS]
        question: dict[str, Any] = {}
        known = record["way"] == "photograph"  # its unit and scale are no question
        if slips and not known and self.written.typed.get(ASKED) != slips[0]:
            words, change = QUESTIONS[slips[0]]
            question = {"words": words, "change": change, "code": slips[0]}
        verdict = shown.verdict.to_dict()
        return {
            "lines": lines,
            "said": f"{verdict['mark']:g} of {verdict['out_of']:g}.",
            "next": shown.text.splitlines()[-1],
            "html": shown.html,
            "question": question,
        }

    def __repr__(self) -> str:
        return f"<PaperForm {self.work.id}>" if hasattr(self, "work") else "<PaperForm>"


def _choice(said: Mapping[str, Any]) -> dict[str, Any]:
    """What a page wants printed: its own choices only."""
    scale, paper, pages = (said.get(name) for name in ("scale", "paper", "pages"))
    return {
        "scale": scale if scale in SCALES else "half", "paper": paper if paper in ("a4", "letter") else "a4",
        "strips": "strips" in str(pages), "flags": "flags" in str(pages),
    }  # fmt: skip

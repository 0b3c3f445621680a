"""The form of the project as a live board: what is typed is kept, read and checked."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import anywidget
import msgspec
import traitlets

from ...boards.page_code import form_css, join_page
from ...errors import PatternError
from ...notebook import from_page
from ...own_measures import own_body
from ...survey import measures
from ...units import write_length
from ..table.kept import this_notebook
from .checks import checks_of
from .kept import Kept, find_project, keep_project, record_of
from .levels import CALLED, TITLE, criteria
from .photographs import FOLDER, put_photograph
from .questions import PHOTOGRAPHS, choices_of, plain
from .still import ProjectStill
from .written import Project, read_project

PAGE = Path(__file__).with_name("page")
FORM = Path(__file__).parent.parent / "table" / "page" / "form.css"


class ProjectForm(anywidget.AnyWidget):
    """The form of the project. setup: what does not change; sheet: the fields as typed, and what is said."""

    _esm = join_page(PAGE / "project.js")
    _css = form_css(FORM, PAGE / "project.css")

    setup = traitlets.Dict().tag(sync=True)
    sheet = traitlets.Dict().tag(sync=True)

    def __init__(self, student: str, folder: Path | None = None):
        self.student = student
        self.folder = folder or Path.cwd()
        self.out: Any = None
        self.kept = find_project(student, self.folder, None if folder else this_notebook())
        super().__init__(setup=self._setup(), sheet=self._sheet(self.read(), "", ""))
        self.on_msg(from_page(self._hear))

    def _setup(self) -> dict[str, Any]:
        return {
            "title": TITLE,
            "student": self.student,
            "sections": plain(),
            "called": list(CALLED),
            "criteria": {id: {"title": c.title, "levels": list(c.levels)} for id, c in criteria().items()},
        }

    def _sheet(self, read: Project, by: str, fault: str) -> dict[str, Any]:
        return {
            "typed": dict(self.kept.typed), "edits": self.kept.edits, "faults": read.faults,
            "choices": {k: list(v) for k, v in choices_of(read.garment).items()}, "by": by, "fault": fault,
        }  # fmt: skip

    def read(self) -> Project:
        """What the fields say."""
        return read_project(self.kept.typed)

    # -- what the page says

    def _hear(self, _widget: Any, said: Mapping[str, Any], _buffers: Any) -> None:
        match said.get("kind"):
            case "set":
                self._take(said)
            case "check":
                read = self._take(said)
                self.send({"who": said.get("who"), "checked": self.checked(read)})
            case "measures":
                self._fill(said)
            case "photograph":
                self._photograph(said)

    def _take(self, said: Mapping[str, Any]) -> Project:
        """Take over the page's fields, keep them, and answer with what is wrong in them."""
        return self._put(dict(said["typed"]), said["edits"], f"{said['who']}:{said['n']}")

    def _put(self, typed: dict[str, str], edits: int, by: str) -> Project:
        plainly = {"student": self.student, "typed": typed, "edits": edits}
        try:
            self.kept = msgspec.convert(plainly, Kept)
        except msgspec.ValidationError:
            fault = "A field has more than 200 letters and cannot be kept. Write it shorter."
        else:
            fault = keep_project(self.kept, self.folder)
            if self.out is not None:
                self.out.update(self.hand_in())
        read = self.read()
        self.sheet = self._sheet(read, by, fault)
        return read

    def _fill(self, said: Mapping[str, Any]) -> None:
        """Write the measures of me.toml into the fields that are empty."""
        told: list[str] = []
        body = own_body(say=lambda text: told.append(str(text)))
        typed = dict(said["typed"])
        mine = [n for n in measures() if n not in body.estimated] if told[0].startswith("This page") else []
        unit = "in" if typed.get("measures||unit") == "in" else "cm"
        for name in mine:
            length = write_length(getattr(body, name), unit)
            typed.setdefault(f"measures|{name}|length", length)
        self._put(typed, said["edits"] + 1, "")
        words = f"{len(mine)} measures were read from me.toml." if mine else told[0].partition(":")[0] + "."
        self.send({"who": said.get("who"), "filled": words})

    def _photograph(self, said: Mapping[str, Any]) -> None:
        typed = dict(self.kept.typed)
        free = [n for n in range(1, PHOTOGRAPHS + 1) if f"photographs|{n}|name" not in typed]
        try:
            if not free:
                raise PatternError(f"There are {PHOTOGRAPHS} photographs already: take one away first.")
            name = put_photograph(str(said["name"]), str(said["data"]), self.folder)
        except PatternError as fault:
            self.send({"who": said.get("who"), "photograph": str(fault)})
            return
        if name not in (v for k, v in typed.items() if k.startswith("photographs|")):
            typed[f"photographs|{free[0]}|name"] = name
        self._put(typed, self.kept.edits + 1, "")
        words = f"“{name}” lies in the folder '{FOLDER}', without place and time."
        self.send({"who": said.get("who"), "photograph": words})

    # -- checked and handed in

    def checked(self, read: Project) -> list[dict[str, str]]:
        """Every check, without what would be the answer."""
        return [
            {"criterion": c.criterion, "verdict": c.verdict, "text": c.text, "what": c.what}
            for c in checks_of(read)
        ]

    def record(self) -> dict[str, Any]:
        """What is on the form, as it is handed in."""
        return record_of(self.kept)

    def hand_in(self) -> ProjectStill:
        """The record with the words to read: what stays in the saved notebook."""
        return ProjectStill(self.record() if self.kept.typed else None, self.kept.typed)

    def __repr__(self) -> str:
        return f"<ProjectForm of {self.student}>" if hasattr(self, "student") else "<ProjectForm>"

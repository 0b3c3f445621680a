"""The name card at the head of an exercise notebook: whose measures everything below is drawn on."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from ...boards.page_code import join_page
from ...errors import PatternError
from ...notebook import from_page
from ..answers.sheet import Sheet, begin
from ..hand_ins.notebook import CARD
from ..project.form import ProjectForm
from ..project.levels import PROJECT
from ..table.board import DraftingTable
from ..table.kept import this_notebook
from ..tasks.own_numbers import numbers_for
from .card_file import Name, find_card, write_card
from .exercises import OnCard
from .form import PaperForm

PAGE = Path(__file__).with_name("page")
NONE = "No name is written yet. Write yours here first: it gives you measures of your own."
_given = Name()
"""The name that was given to `name_card` in this process, where no file has one."""


class NameCard(anywidget.AnyWidget):
    """The card; make one with `name_card`. student, key: as written; said: a sentence about them."""

    _esm = join_page(PAGE / "card.js")
    _css = (PAGE / "card.css").read_text(encoding="utf-8")

    student = traitlets.Unicode().tag(sync=True)
    key = traitlets.Unicode().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)
    fault = traitlets.Unicode().tag(sync=True)

    def __init__(self, name: Name, folder: Path):
        self.folder = folder
        self.out: Any = None
        self.places: dict[tuple[str, str], OnCard] = {}
        super().__init__(student=name.student, key=name.key, said=_said(name))
        self.on_msg(from_page(self._hear))

    def _hear(self, _widget: Any, said: Mapping[str, Any], _buffers: Any) -> None:
        if said.get("kind") == "name":
            self.write(str(said.get("student", "")), str(said.get("key", "")))
            self.send({"written": True})

    def write(self, student: str, key: str = "") -> None:
        """Write another name; every table and form of the notebook is laid out for it."""
        name = Name(" ".join(student.split()), key.strip())
        try:
            numbers_for(name.student, name.key)
        except PatternError:
            self.fault = "A name or key has 80 letters at most. Write it shorter."
            return
        self.fault = write_card(name, self.folder)
        self.student, self.key, self.said = name.student, name.key, _said(name)
        if self.out is not None:
            self.out.update(self.still())
        for place in self.places.values():
            place.lay_out()

    # -- the exercises

    def table(self, id: str) -> OnCard:
        """The drafting table of an exercise, on the measures of the card's name."""
        return OnCard(self, id, "table", DraftingTable)

    def paper(self, id: str) -> OnCard:
        """The form for a draft of an exercise that was made on paper."""
        return OnCard(self, id, "paper", PaperForm)

    def project(self) -> OnCard:
        """The form of the project, lesson 16."""
        return OnCard(self, PROJECT, "project", lambda id, *, student, key: ProjectForm(student))

    def sheet(self, id: str) -> Sheet:
        """A fresh sheet to draft on in code."""
        return begin(id, student=self.student, key=self.key)

    # -- shown

    def still(self) -> CardStill:
        """What stays in the saved notebook: the name, to be read by people and by the class command."""
        return CardStill(Name(self.student, self.key))

    def __repr__(self) -> str:
        return f"<NameCard {self.student}>"

    def _ipython_display_(self) -> None:
        bundle: Any = self._repr_mimebundle_()
        data, meta = bundle if isinstance(bundle, tuple) else (bundle, {})
        display({**data, "text/plain": " "}, metadata=meta, raw=True)
        self.out = display(self.still(), display_id=True)


class CardStill:
    """A name card without a kernel."""

    def __init__(self, name: Name) -> None:
        self.name = name

    def __repr__(self) -> str:
        return f"Name: {self.name.student or 'not written yet'}"

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, Any]:
        html = f'<p class="name-card-still">{escape(repr(self))}</p>'
        shown: dict[str, Any] = {"text/plain": repr(self), "text/html": html}
        return shown | (
            {CARD: {"student": self.name.student, "key": self.name.key}} if self.name.student else {}
        )


def _said(name: Name) -> str:
    if not name.student:
        return NONE
    return f"The measures below are those of {name.student}. The other exercise notebooks have the name too."


def lay_out_card(student: str, key: str) -> NameCard:
    """A card with the name given here, else the one kept beside the notebook or in it, else the last one."""
    global _given
    folder = Path.cwd()
    if student:
        _given = Name(student, key)
        return NameCard(_given, folder)
    kept = find_card(folder, this_notebook())
    return NameCard(kept if kept.student else _given, folder)

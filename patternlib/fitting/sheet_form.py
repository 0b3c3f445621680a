"""The sheet of changes as a form: a sign, a pinch, a note; each line is tried on the blocks before it is
kept."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from ..alterations import NONE, SIGNS, Change, Changes, load_changes, save_changes
from ..alterations.sheet import today
from ..blocks import bodice_block, skirt_block
from ..boards.page_code import form_css, join_page
from ..body import Body
from ..errors import PatternError
from ..notebook import from_page
from ..own_measures import CHANGES

PAGE = Path(__file__).with_name("page")
MOST_LETTERS = 200


class ChangesForm(anywidget.AnyWidget):
    """The sheet of one pattern. setup: the signs; sheet: the lines so far, and what is said of the last
    one."""

    _esm = join_page(PAGE / "changes.js")
    _css = form_css(PAGE / "changes.css")

    setup = traitlets.Dict().tag(sync=True)
    sheet = traitlets.Dict().tag(sync=True)

    def __init__(self, body: Body, folder: Path | None = None) -> None:
        self.body = body
        self.path = (folder or Path.cwd()) / CHANGES
        self.changes, fault = _found(self.path)
        signs = [
            {"name": s.name, "seen": s.seen, "cause": s.cause, "pinch": s.pinch, "paper": s.paper,
            "most": s.most}
            for s in SIGNS
        ]  # fmt: skip
        super().__init__(setup={"signs": signs, "file": CHANGES}, sheet={})
        self._show(fault=fault)
        self.on_msg(from_page(self._hear))

    def _show(self, *, said: str = "", fault: str = "") -> None:
        self.sheet = {
            "rows": [list(row) for row in self.changes.rows()], "version": self.changes.version,
            "said": said, "fault": fault, "turn": self.sheet.get("turn", 0) + 1,
        }  # fmt: skip

    def _hear(self, _widget: Any, said: Mapping[str, Any], _buffers: Any) -> None:
        if said.get("kind") == "add":
            self.add(str(said.get("sign", "")), str(said.get("pinch", "")), str(said.get("note", "")))
        elif said.get("kind") == "take back":
            self.take_back()

    def add(self, sign: str, pinch: str, note: str = "") -> None:
        """Write a line on the sheet; what cannot be drawn on the blocks is refused in a sentence."""
        try:
            made = self.changes.add(Change(sign, _as_typed(pinch), today(), note[:MOST_LETTERS]))
            for block in (bodice_block(self.body, one_dart=True), skirt_block(self.body)):
                made.block(block)
        except PatternError as fault:
            self._show(fault=str(fault))
            return
        self._keep(made, f"Written in {CHANGES}: the pattern is now version {made.version}.")

    def take_back(self) -> None:
        """Strike out the last line."""
        if not self.changes:
            self._show(fault="There is no change on the sheet to take back.")
            return
        gone = self.changes.made[-1].sign
        made = self.changes.without_last()
        self._keep(made, f"Taken back: {gone}. The pattern is version {made.version} again.")

    def _keep(self, made: Changes, said: str) -> None:
        part = self.path.with_suffix(".part")
        try:
            save_changes(made, part)
            os.replace(part, self.path)
        except OSError as fault:
            text = f"{CHANGES} cannot be written into this folder ({fault.strerror}). Write it on paper too."
            self._show(fault=text)
            return
        self.changes = made
        self._show(said=said)

    def __repr__(self) -> str:
        return f"<ChangesForm: version {self.changes.version}>"

    def _ipython_display_(self) -> None:
        """Show the form; the saved notebook keeps a sentence and nothing of anybody's sheet."""
        bundle = self._repr_mimebundle_()
        data, meta = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        display({**data, "text/plain": "The sheet of changes."}, metadata=meta, raw=True)
        display(Still())


def _as_typed(pinch: str) -> Any:
    text = pinch.strip()
    return text or "0"


def _found(path: Path) -> tuple[Changes, str]:
    if not path.is_file():
        return NONE, ""
    try:
        return load_changes(path), ""
    except PatternError as fault:
        return NONE, f"{fault} A new sheet takes its place when you write the first line."


class Still:
    """What stays in a saved notebook: a sentence, hidden while the form is alive."""

    def __repr__(self) -> str:
        return "The sheet of changes. Run this cell to write on it."

    def _repr_html_(self) -> str:
        return (
            "<style>.jp-OutputArea:has(.fitting-sheet) .jp-OutputArea-child:has(.fitting-still)"
            f'{{display:none}}</style><div class="fitting-still"><p>{self!r}</p></div>'
        )


def changes_form(body: Body) -> ChangesForm:
    """The sheet of changes for a pattern of this body, kept in my_changes.toml beside the notebook."""
    return ChangesForm(body)

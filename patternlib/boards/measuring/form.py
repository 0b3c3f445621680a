"""The form as a live board: what is typed is read, doubted and saved at once, and stays with the learner."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from ...notebook import from_page
from ...tolerances import TAPE
from ...units import read_length, write_length
from ..page_code import form_css, join_page
from .drawn import figures
from .measures_asked import NEEDED, asked, lessons_said
from .own_file import FILE, as_toml, found, save
from .reading import OVER, READINGS, SEX, UNIT, read_typed

PAGE = Path(__file__).with_name("page")
MOST_LETTERS = 80
_KEYS = {f"{one.name}|{n}" for one in asked() for n in READINGS} | {UNIT, SEX, OVER}


class MeasuringForm(anywidget.AnyWidget):
    """Fields for every measure. setup: what does not change; sheet: what is typed, and what is said of it."""

    _esm = join_page(PAGE / "measuring.js")
    _css = form_css(PAGE / "measuring.css")

    setup = traitlets.Dict().tag(sync=True)
    sheet = traitlets.Dict().tag(sync=True)

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or Path.cwd()
        self.typed, fault = found(self.folder)
        super().__init__(setup=_setup(), sheet=self._sheet("", fault, saved=bool(self.typed)))
        self.on_msg(from_page(self._hear))

    def _sheet(self, by: str, fault: str, *, saved: bool) -> dict[str, Any]:
        read = read_typed(self.typed)
        said = {
            name: {"value": one.value, "fault": one.fault, "doubts": one.doubts, "third": one.third,
                   "offers": one.offers}
            for name, one in read.said.items()
        }  # fmt: skip
        missing = [m.term for m in asked() if m.name in NEEDED and m.name not in read.values]
        return {
            "typed": dict(self.typed), "said": said, "by": by, "fault": fault,
            "saved": _saved(len(read.values), missing) if saved and not fault else "",
        }  # fmt: skip

    def _hear(self, _widget: Any, said: Mapping[str, Any], _buffers: Any) -> None:
        if said.get("kind") == "set":
            self.take(said.get("typed", {}), by=f"{said.get('who')}:{said.get('n')}")
        elif said.get("kind") == "right":
            self.put_right(str(said.get("name")), float(said.get("factor", 1.0)))

    def put_right(self, name: str, factor: float) -> None:
        """Write every reading of a measure again, so many times as large: all were taken in the same way."""
        read = read_typed(self.typed)
        changed = {
            f"{name}|{n}": write_length(read_length(text, read.unit) * factor, read.unit, parts=8)
            for n in READINGS
            if (text := self.typed.get(f"{name}|{n}", ""))
        }
        self.take(self.typed | changed)

    def take(self, typed: Mapping[str, str], *, by: str = "") -> None:
        """Take over the fields, save them in the file, and say what is wrong in them."""
        self.typed = {k: str(v)[:MOST_LETTERS] for k, v in typed.items() if k in _KEYS and str(v).strip()}
        fault = save(as_toml(read_typed(self.typed), self.typed), self.folder)
        self.sheet = self._sheet(by, fault, saved=True)

    def __repr__(self) -> str:
        return "<MeasuringForm>"

    def _ipython_display_(self) -> None:
        """Show the form; the saved notebook keeps a sentence, and no measure of anybody."""
        bundle = self._repr_mimebundle_()
        data, meta = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        display({**data, "text/plain": "My measures."}, metadata=meta, raw=True)
        display(Still())


class Still:
    """What stays in a saved notebook: a sentence, hidden while the form is alive."""

    def __repr__(self) -> str:
        return "The form for your own measures. Run this cell to fill it in."

    def _repr_html_(self) -> str:
        return (
            "<style>.jp-OutputArea-child:has(+ .jp-OutputArea-child .measuring-still):not(:has(.measuring))"
            "{display:none}.jp-OutputArea:has(.measuring) .jp-OutputArea-child:has(.measuring-still)"
            f'{{display:none}}</style><div class="measuring-still"><p>{self!r}</p></div>'
        )


def measuring_form() -> MeasuringForm:
    """The form for one's own measures. They are saved in me.toml beside the notebook that shows it."""
    return MeasuringForm()


def _setup() -> dict[str, Any]:
    rows = [
        {
            "name": one.name, "term": one.term[:1].upper() + one.term[1:], "place": one.place,
            "group": one.group,
            "needed": one.name in NEEDED, "checks": one.checks, "lessons": lessons_said(one.name),
        }
        for one in asked()
    ]  # fmt: skip
    return {"rows": rows, "figures": figures(), "file": FILE, "apart": TAPE}


def _saved(count: int, missing: list[str]) -> str:
    text = f"Saved in {FILE}: {count} of {len(asked())} measures."
    if missing:
        text += f" Still needed before a lesson can use them: {', '.join(missing)}."
    else:
        text += " Every lesson now draws on your measures; what you left out is estimated."
    return text

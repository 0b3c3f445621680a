"""One cell of an exercise: its table or its form, laid out for the name on the card."""

from __future__ import annotations

from html import escape
from typing import Any, Protocol

from IPython.display import display

from ...errors import PatternError


class Named(Protocol):
    """What knows the name: the card."""

    student: str
    key: str
    places: dict


class OnCard:
    """A table or a form in its cell, made by `make(id, student=, key=)`.

    Another name on the card lays out another one in the same place.
    """

    def __init__(self, card: Named, id: str, way: str, make: Any) -> None:
        self.card, self.id, self.way, self.make = card, id, way, make
        self.thing: Any = None
        self._live: Any = None
        self._kept: Any = None

    def lay_out(self) -> None:
        """Lay out what belongs to the name that is on the card now."""
        if self.thing is not None:
            self.thing.out = None  # what it hears late does not stand for the new name
        data, meta, kept = self._now()
        if self._live is None:
            self._live = display(data, metadata=meta, raw=True, display_id=True)
            self._kept = display(kept, display_id=True)
        else:
            self._live.update(data, metadata=meta, raw=True)
            self._kept.update(kept)
        if self.thing is not None:
            self.thing.out = self._kept

    def _now(self) -> tuple[dict, dict, Any]:
        self.thing = None
        if not self.card.student:
            return _sentence(_NO_NAME.format(_CALLED[self.way])), {}, Nothing()
        try:
            self.thing = self.make(self.id, student=self.card.student, key=self.card.key)
        except PatternError as fault:
            return _sentence(str(fault)), {}, Nothing()
        bundle = self.thing._repr_mimebundle_()
        data, meta = bundle if isinstance(bundle, tuple) else (bundle, {})
        return {**data, "text/plain": repr(self.thing)}, meta, self.thing.hand_in()

    def _ipython_display_(self) -> None:
        self._live = self._kept = None
        self.card.places[self.id, self.way] = self
        self.lay_out()


_NO_NAME = "Write your name on the card at the head of this notebook. Then {} laid out here."
_CALLED = {
    "table": "your measures and the drafting table are",
    "paper": "your measures and the form for a draft on paper are",
    "project": "the form of your project is",
}


class Nothing:
    """No hand-in."""

    def __repr__(self) -> str:
        return ""

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, str]:
        return {"text/plain": "", "text/html": ""}


def _sentence(words: str) -> dict[str, str]:
    return {"text/plain": words, "text/html": f"<p>{escape(words)}</p>"}

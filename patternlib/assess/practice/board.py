"""The board for finding slips: the page shows a draft and takes answers, Python draws, judges and keeps."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from html import escape
from pathlib import Path
from typing import Any

import anywidget
import msgspec
import traitlets
from IPython.display import display

from ...boards.page_code import form_css, join_page
from ...notebook import from_page, table
from ..table.board import PAGE as TABLE
from ..table.board import packed
from ..table.kept import this_notebook
from .cards import MASTERED, RULE, Drawn, boxes, cards_of, choose, lessons
from .kept import MIME, Lesson, find_practice, keep_practice
from .rounds import Answered, Round, make_round

PAGE = Path(__file__).with_name("page")


@cache
def _css() -> str:
    return form_css(*(TABLE / f"{name}.css" for name in ("paper", "panels", "table")), PAGE / "practice.css")


class SlipBoard(anywidget.AnyWidget):
    """A board on which slips are found; make one with `find_the_slip`.

    state: all that the page shows; unit: of lengths, 'cm' or 'in'.
    """

    _esm = join_page(PAGE / "main.js")
    _css = _css()

    state = traitlets.Dict().tag(sync=True)
    unit = traitlets.Enum(["cm", "in"], "cm").tag(sync=True)

    def __init__(self, student: str = "", *, lesson: int | None = None, folder: Path | None = None):
        self.student = student
        self.folder = folder or Path.cwd()
        self.out: Any = None
        self._notebook = this_notebook() if folder is None else None
        self.practised = find_practice(student, self.folder, self._notebook)
        self.fault = ""
        self._fixed, self._chosen = lesson is not None, False
        self.lesson = lesson or int(self.practised.lesson or 0) or next(iter(lessons()))
        super().__init__(state=self._state())
        self.on_msg(from_page(self._hear))
        self.observe(lambda _: self._show(), "unit")

    # -- where the learner is

    @property
    def of_lesson(self) -> Lesson:
        """What was done in the lesson that is open."""
        return self.practised.lessons.get(f"{self.lesson:02}", Lesson())

    @property
    def round(self) -> Round:
        """The draft that is open."""
        past = self.of_lesson.past
        return make_round(choose(self.lesson, past), f"{self.student} {self.lesson:02} {len(past)}")

    def turn_to(self, student: str) -> None:
        """Go over to the drafts of another name, where they were left.

        A lesson that was chosen before any name was written stays open.
        """
        if student == self.student:
            return
        stays = self._fixed or (self._chosen and not self.student)
        self.student, self.fault = student, ""
        self.practised = find_practice(student, self.folder, self._notebook)
        if self.practised.lesson and not stays:
            self.lesson = int(self.practised.lesson)
        self._show()

    def _put(self, of_lesson: Lesson) -> None:
        kept = self.practised
        self.practised = msgspec.structs.replace(
            kept,
            lesson=f"{self.lesson:02}",
            lessons={**kept.lessons, f"{self.lesson:02}": of_lesson},
            edits=kept.edits + 1,
        )
        self.fault = keep_practice(self.practised, self.folder)
        self._show()

    def _show(self) -> None:
        if self.out is not None:  # first: who sees the answer and saves has it in the notebook
            self.out.update(self.hand_in())
        self.state = self._state()

    # -- what the page says

    def _hear(self, _widget: Any, said: Mapping[str, Any], _buffers: Any) -> None:
        meant = said.get("draft") == self._draft()  # not pressed twice, nor on a draft that has gone
        match said.get("kind"):
            case "answer" if meant:
                self.answer(str(said.get("at", ""))[:80], str(said.get("said", ""))[:80])
            case "next" if meant:
                self.next()
            case "lesson" if said.get("lesson") in lessons():
                self.take_up(int(said["lesson"]))

    def answer(self, at: str = "", said: str = "") -> None:
        """Say at which step the slip is and what happened; both empty shows it."""
        now = self.of_lesson.now
        if self.round.done(now) is None:
            self._put(msgspec.structs.replace(self.of_lesson, now=(*now, Answered(at, said))))

    def next(self) -> None:
        """Go on to the next draft, where this one is done."""
        found = self.round.done(self.of_lesson.now)
        if found is not None:
            cards = tuple(card.key for card in self.round.cards)
            self._put(Lesson((*self.of_lesson.past, Drawn(cards, found))))

    def take_up(self, lesson: int) -> None:
        """Take up another lesson where it was left."""
        self.lesson, self._chosen = lesson, True
        self._put(self.of_lesson)

    # -- what the page is given

    def _draft(self) -> str:
        """Which draft is open, and after how many answers: the page says it with each answer."""
        return f"{self.lesson:02} {len(self.of_lesson.past)} {len(self.of_lesson.now)} {self.student}"

    def _state(self) -> dict[str, Any]:
        open_now, now = self.round, self.of_lesson.now
        shown = open_now.shown(self.unit)
        done = open_now.done(now)
        replies = open_now.replies(now, self.unit)
        return {
            "student": self.student,
            "draft": self._draft(),
            "lessons": [[n, titles] for n, titles in lessons().items()],
            "lesson": self.lesson,
            "round": len(self.of_lesson.past) + 1,
            "title": f"{open_now.work.id} · {open_now.work.title}",
            "slips": len(open_now.cards),
            "numbers": [[name, n.value, n.kind] for name, n in shown.numbers.items()],
            "told": list(shown.told),
            "given": {name: packed(value) for name, value in shown.given.items()},
            "drawn": {name: packed(value) for name, value in shown.drawn.items()},
            "steps": [[step.name, step.said, step.noted] for step in shown.steps],
            "choices": list(open_now.choices.items()),
            "replies": [[a.at, r.verdict, r.text] for a, r in zip(now, replies, strict=False)],
            "done": done is not None,
            "wanted": {n: packed(v) for n, v in open_now.wanted().items()} if done is not None else {},
            "wrong": [at for card in open_now.cards for at in open_now.places(card)] if done else [],
            "boxes": self.mastered(),
            "rule": RULE,
            "fault": self.fault,
        }

    def mastered(self) -> list[list[Any]]:
        """The cards of the lesson: [what happens, box, found at the first answer, drafts it was in]."""
        past = self.of_lesson.past
        box = boxes(self.lesson, past)
        rows = []
        for key, card in cards_of(self.lesson).items():
            tried = [
                found for drawn in past for k, found in zip(drawn.cards, drawn.found, strict=True) if k == key
            ]
            rows.append([card.mistake.title, box[key], sum(tried), len(tried)])
        return rows

    def hand_in(self) -> PracticeStill:
        """What stays in the saved notebook: the cards and their boxes."""
        return PracticeStill(self)

    def __repr__(self) -> str:
        return f"<SlipBoard lesson {self.lesson}>" if hasattr(self, "lesson") else "<SlipBoard>"


class PracticeStill:
    """How far the practice has come, without a kernel."""

    def __init__(self, board: SlipBoard) -> None:
        self.rows = board.mastered()
        self.lesson, self.practised = board.lesson, board.practised

    def __repr__(self) -> str:
        done = sum(row[1] == MASTERED for row in self.rows)
        return f"Find the slip, lesson {self.lesson:02}: {done} of {len(self.rows)} slips mastered."

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, Any]:
        rows = [(title, _box(box), f"{found} of {tried}") for title, box, found, tried in self.rows]
        html = (
            "<style>.jp-OutputArea-child:has(+ .jp-OutputArea-child .find-slip-still)"
            ":not(:has(.find-slip)){display:none}.jp-OutputArea:has(.find-slip) "
            ".jp-OutputArea-child:has(.find-slip-still){display:none}</style>"
            f'<div class="find-slip-still"><p><b>{escape(repr(self))}</b></p>'
            f"{table(rows, heads=('slip', 'box', 'found at the first answer')).html}"
            "<p>Run this cell to go on.</p></div>"
        )
        shown: dict[str, Any] = {"text/plain": repr(self), "text/html": html}
        return shown | ({MIME: msgspec.to_builtins(self.practised)} if self.practised.edits else {})


def _box(box: int) -> str:
    return "mastered" if box == MASTERED else f"{box}" if box else "still to come"


class OnBoard:
    """The board in its cell; another name on the card turns it to the drafts of that name.

    It stays one board: what is chosen on it while a name is being written is not lost.
    """

    def __init__(self, card: Any, lesson: int | None) -> None:
        self.card, self.lesson = card, lesson
        self.board: SlipBoard | None = None

    def lay_out(self) -> None:
        """Show the drafts of the name that is on the card now."""
        if self.board is not None:
            self.board.turn_to(self.card.student)

    def _ipython_display_(self) -> None:
        self.board = SlipBoard(self.card.student if self.card else "", lesson=self.lesson)
        if self.card is not None:
            self.card.places["practice", "board"] = self
        bundle: Any = self.board._repr_mimebundle_()
        data, meta = bundle if isinstance(bundle, tuple) else (bundle, {})
        display({**data, "text/plain": " "}, metadata=meta, raw=True)
        self.board.out = display(self.board.hand_in(), display_id=True)

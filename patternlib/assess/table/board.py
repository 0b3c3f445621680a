"""The drafting table as a live board: the page draws and never waits, Python keeps, draws and judges."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import anywidget
import msgspec
import traitlets
from IPython.display import display

from ...boards.page_code import form_css, join_page
from ...draft import Step
from ...errors import PatternError
from ...notebook import from_page
from ..answers.feedback import Feedback, compare_with_rule
from ..judging.verdict import Line
from ..tasks.catalogue import exercise
from ..tasks.exercise import Exercise
from ..tasks.needed import numbers_needed
from ..tasks.own_numbers import OwnNumbers
from ..tasks.record import StepTaken
from ..tasks.telling import told
from .coded import as_code, from_code
from .kept import Kept, keep, this_notebook, versions
from .laying import Laid, handed_in, lay, numbers_of
from .steps import packed
from .still import Still, picture
from .tracing import asked_pieces, told_pieces
from .verbs import FOR_PIECES, HANDS, VERBS, verb_of
from .viewing import spots, viewed

PAGE = Path(__file__).with_name("page")
_KIND = {"point": "point", "curve": "line", "number": "number"}
UNITS = ("cm", "in")


@cache
def _css() -> str:
    return form_css(*(PAGE / f"{name}.css" for name in ("paper", "panels", "pieces", "replay", "table")))


def next_step(step: Step, said: Mapping[str, str]) -> dict[str, Any]:
    """A step that is to be drawn, for the page. said: its sentence by unit."""
    return {"names": [step.name], "verb": verb_of(step.op, len(step.inputs)), "said": dict(said)}


class DraftingTable(anywidget.AnyWidget):
    """A drafting table for one exercise; make one with `drafting_table`.

    setup: what does not change: the exercise, the verbs, the student's numbers, what is given; sheet: the
    steps with what they give; unit: of the lengths shown and of bare numbers typed, 'cm' or 'in'.
    """

    _esm = join_page(PAGE / "main.js")
    _css = _css()

    setup = traitlets.Dict().tag(sync=True)
    sheet = traitlets.Dict().tag(sync=True)
    unit = traitlets.Enum(["cm", "in"], "cm").tag(sync=True, echo_update=False)

    def __init__(self, id: str, *, student: str, key: str = "", unit: str = "cm", folder: Path | None = None):
        work = exercise(id)
        self._lay_out(work, work.own_numbers(student, key), student, key, unit, folder)

    def _lay_out(
        self, work: Exercise, of: OwnNumbers, student: str, key: str, unit: str, folder: Path | None
    ) -> None:  # fmt: skip
        self.work, self.of = work, of
        self.student, self.key = student, key
        self.folder = folder or Path.cwd()
        self._has_page = False
        self.out = None
        notebook = this_notebook() if folder is None else None
        self.kept, self.other = versions(work.id, student, self.folder, notebook)
        self.laid: Laid = lay(self.work, self.of, self.kept.steps)
        super().__init__(setup=self._setup(), unit=unit, sheet=self._sheet("", ""))
        self.on_msg(from_page(self._hear))

    # -- what the page is given

    def _setup(self) -> dict[str, Any]:
        wanted = self._wanted()
        pieces = asked_pieces(self.work.id)
        return {
            "exercise": {"id": self.work.id, "title": self.work.title, "task": self.work.task},
            "student": self.student,
            "pieceHands": list(FOR_PIECES),
            "hands": [hand for hand in HANDS if self.work.finish or hand not in FOR_PIECES],
            "verbs": [{"key": key, **verb._asdict()} for key, verb in VERBS.items()],
            "asked": [{"name": a.name, "kind": _KIND.get(a.kind, a.kind)} for a in self.work.asked],
            "pieces": {name: list(edges) for name, edges in pieces.items()},
            "numbers": [
                [name, number.value, number.kind, name.replace(" ", "_") in wanted]
                for name, number in numbers_of(self.work, self.of).items()
            ],
            "given": {name: packed(value) for name, value in self.laid.given.items()},
            "told": self._told(),
            "next": self._next_steps(),
            "other": self._other(),
        }

    def _other(self) -> dict[str, Any] | None:
        """Steps that were kept elsewhere and differ: where, and the steps."""
        if self.other is None:
            return None
        words, kept = self.other
        return {"where": words, "steps": msgspec.to_builtins(kept.steps)}

    def _wanted(self) -> Collection[str]:
        """The numbers that are needed, which stand first beside the paper."""
        return numbers_needed(self.work, self.of)

    def _told(self) -> dict[str, Any]:
        """The hints and the drafting steps in words, those of the pieces after the others."""
        said, pieces = told(self.work, self.of), [told.said for told in told_pieces(self.work.id)]
        return said | {"steps": {unit: lines + pieces for unit, lines in said["steps"].items()}}

    def _next_steps(self) -> list[dict[str, Any]]:
        """The steps of a guided exercise in order: the names that are on the paper then, verb, sentence."""
        if not told(self.work, self.of)["guided"]:
            return []
        draft, said = self.work.reference(self.of), {u: self.work.sentences(self.of, u) for u in UNITS}
        steps = [next_step(draft.step(n), {u: said[u][n] for u in UNITS}) for n in said["cm"]]
        pieces = [
            {"names": list(piece.names), "verb": piece.verb, "said": dict.fromkeys(UNITS, piece.said)}
            for piece in told_pieces(self.work.id)
        ]
        return [*steps, *pieces]

    def _sheet(self, by: str, fault: str) -> dict[str, Any]:
        plain = msgspec.to_builtins(self.kept)
        return {
            **{part: plain[part] for part in ("edits", "steps", "past", "ahead", "hints")},
            "by": by,
            "fault": fault,
            "drawn": {name: packed(value) for name, value in self.laid.values.items()},
            "pieces": [viewed(piece) for piece in self.laid.pieces.values()],
            "added": {a: s for piece in self.laid.pieces.values() for a, s in piece.steps.items()},
            "faults": dict(self.laid.faults),
        }

    # -- what the page says

    def _hear(self, _widget: Any, said: Mapping[str, Any], _buffers: Any) -> None:
        self._has_page = True
        match said.get("kind"):
            case "set":
                self._take(said)
            case "try":
                self.send({"who": said["who"], "tried": said["n"], **self._tried(said)})
            case "corner":
                self.send({"who": said["who"], "corner": said["key"], "shapes": self._folded(said["of"])})
            case "compare":
                self.send({"who": said["who"], "compared": self.compared()})
            case "hint":
                self.hinted(said["n"])
            case "code":
                self.send({"who": said["who"], "code": as_code(self.kept.steps)})
            case "read":
                self.send({"who": said["who"], "read": self.read(said.get("text", ""))})

    def _take(self, said: Mapping[str, Any]) -> None:
        """Take over the page's steps, keep them, and answer with what they give."""
        by = f"{said['who']}:{said['n']}"
        try:
            parts = {part: said["sheet"][part] for part in ("edits", "steps", "past", "ahead")}
            plain = {"exercise": self.work.id, "student": self.student, "hints": self.kept.hints, **parts}
            kept = msgspec.convert(plain, Kept)
        except (msgspec.ValidationError, KeyError, TypeError) as wrong:
            self.sheet = self._sheet(by, f"This step cannot be kept: {wrong}. Take it back.")
            return
        self.put(kept, by=by)

    def put(self, kept: Kept, *, by: str = "") -> None:
        """Lay other steps on the table and keep them; by: who did it, '' for Python."""
        self.kept = kept
        self.laid = lay(self.work, self.of, kept.steps)
        self.sheet = self._sheet(by, keep(kept, self.folder))
        if self.out is not None:
            self.out.update(self.hand_in())

    def read(self, text: str) -> dict[str, Any]:
        """Steps that are written in code, for the page, or a sentence."""
        try:
            return {"steps": msgspec.to_builtins(from_code(str(text)))}
        except PatternError as fault:
            said = str(fault)
            return {"fault": said[:1].upper() + said[1:]}

    def hinted(self, count: int) -> None:
        """So many hints are unfolded; they are counted and cost nothing."""
        self.kept = msgspec.structs.replace(self.kept, hints=max(self.kept.hints, min(int(count), 20)))
        keep(self.kept, self.folder)
        if self.out is not None:
            self.out.update(self.hand_in())

    def _tried(self, said: Mapping[str, Any]) -> dict[str, Any]:
        """What one more step would give after those before it."""
        try:
            step = msgspec.convert(said["step"], StepTaken)
        except msgspec.ValidationError:
            return {"fault": "This cannot be read yet."}
        laid = lay(self.work, self.of, (*self.kept.steps[: said["at"]], step))
        if step.name in laid.faults:
            return {"fault": laid.faults[step.name]}
        found: dict[str, Any] = {}
        if VERBS[step.verb].hand in FOR_PIECES:
            touched = (p for p in laid.pieces.values() if p.name == step.piece or step.name in p.made_by())
            found["pieces"] = [viewed(piece) for piece in touched]
        if step.name in laid.values:
            found["value"] = packed(laid.values[step.name])
        return found

    def _folded(self, of: Sequence[str]) -> list[dict[str, Any]]:
        """The ways in which the corner of two edges can be cut, folded back."""
        names = [str(name) for name in of]
        piece = next((p for p in self.laid.pieces.values() if set(names) <= {e.step for e in p.traced}), None)
        try:
            from .folding import folded_corner
        except ModuleNotFoundError:  # shapely may be missing, as in a browser: then no corner is shown folded
            return []
        return folded_corner(piece, *names) if piece and len(names) == 2 else []

    # -- judged and handed in

    def record(self) -> dict[str, Any]:
        """What is on the table, as it is handed in, with the steps that were taken."""
        record = handed_in(self.work, self.of, self.laid, student=self.student)
        steps = [self._handed_in(step) for step in self.laid.steps]
        more = {"edits": self.kept.edits, "hints": self.kept.hints}
        return record | {"steps": msgspec.to_builtins(steps)} | more

    def _handed_in(self, step: StepTaken) -> StepTaken:
        measured = self.laid.measured.get(step.name, {}).get("measure")
        return msgspec.structs.replace(step, value=round(measured.value, 4)) if measured else step

    def compared(self) -> dict[str, Any]:
        """The comparison with the rule, for the page: a line for each thing asked, the mark, what is next."""
        shown: Feedback = compare_with_rule(self.record(), of=self.work.id, key=self.key)
        if shown.verdict is None:
            return {"lines": [], "said": shown.text, "next": ""}
        verdict = shown.verdict.to_dict()
        lines = [self._compared_line(line) for line in shown.verdict.lines]
        return {
            "lines": lines,
            "said": f"{verdict['mark']:g} of {verdict['out_of']:g}.",
            "next": shown.text.splitlines()[-1],
        }

    def _compared_line(self, line: Line) -> dict[str, Any]:
        """A line of the verdict: what was added to a piece with the step behind it and its place."""
        found = {"step": line.step, "verdict": line.verdict, "text": line.text, "want": line.want}
        for piece in self.laid.pieces.values():
            if line.step in piece.steps:
                spot = spots(piece).get(line.step)
                return found | {"at": piece.steps[line.step], "spot": list(spot) if spot else None}
        return found | {"at": line.at}

    def hand_in(self) -> Any:
        """The record with a picture and the steps to read: what stays in the saved notebook."""
        title = f"{self.work.id} · {self.work.title}"
        return Still(self.record(), title, picture(self.laid, title), self.said())

    def said(self) -> list[str]:
        """Every step as a sentence, in order."""
        return [self.laid.said(step, self.unit) for step in self.laid.steps]

    def __repr__(self) -> str:
        if not hasattr(self, "laid"):
            return "<DraftingTable>"
        return f"<DraftingTable {self.work.id}: {len(self.laid.steps)} steps>"

    def _instead(self) -> str:
        """What a notebook that is not trusted yet shows in place of the live table."""
        return repr(self)

    def _ipython_display_(self) -> None:
        """Show the live table and, beside it, the record with a still picture that stay in the notebook."""
        bundle = self._repr_mimebundle_()
        data, meta = bundle if isinstance(bundle, tuple) else (bundle, {})
        display({**data, "text/plain": self._instead()}, metadata=meta, raw=True)
        self.out = display(self.hand_in(), display_id=True)

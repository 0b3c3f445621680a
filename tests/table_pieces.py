"""What a learner does on the drafting table for the pieces of an exercise, rightly and with a mistake."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from msgspec.structs import replace

from patternlib.assess.table.steps import named
from patternlib.assess.tasks.exercise import Exercise
from patternlib.assess.tasks.own_numbers import OwnNumbers
from patternlib.assess.tasks.record import StepTaken
from tests.table_steps import table_steps

Lines = Mapping[str, tuple[str, ...]]
"""By edge, walking round: the line that is traced, and where the wheel begins and ends on it."""

PLAN_LINES: dict[str, dict[str, Lines]] = {
    "09a": {
        "front skirt": {
            "centre front": ("centre of the skirt",), "waistband edge": ("waistband line",),
            "opening": ("opening above",), "side seam": ("side seam",), "hem": ("hemline",),
        },
    },
    "09b": {
        "back yoke": {
            "centre back": ("centre of the yoke",), "skirt edge": ("yoke line",),
            "side": ("side of the yoke",), "side edge": ("back side edge",), "strap seat": ("strap seat",),
            "neck edge": ("back neck edge",),
        },
    },
    "10a": {
        "back pocket": {
            edge: (f"the {edge}",)
            for edge in ("inner side", "inner foot", "outer foot", "outer side", "opening")
        },
    },
    "10b": {
        "front skirt": {
            "centre front": ("the centre",), "waistband edge": ("the band line",),
            "opening": ("side", "opening end", "at the side"),
            "side seam": ("side", "hemline", "opening end"), "hem": ("hemline",),
        },
    },
    "11a": {
        "back skirt": {
            "centre back": ("centre", "hemline", "yoke line"), "hem": ("hemline",),
            "side seam": ("side", "hemline", "opening end"), "opening": ("side", "opening end", "yoke line"),
            "yoke edge": ("yoke line",),
        },
    },
    "11b": {
        "back yoke": {
            "centre back": ("the centre", "centre back top", "yoke at centre back"),
            "skirt edge": ("yoke line",), "side": ("side", "yoke line", "back side edge"),
            "side edge": ("back side edge",), "strap seat": ("strap seat",), "neck edge": ("back neck edge",),
        },
        "strap": {
            "straight side": ("strap straight side",), "base": ("strap seat",),
            "curved side": ("strap curved side",),
        },
    },
}  # fmt: skip

POCKET = ("inner top", "inner corner", "point", "outer corner", "outer top", "inner top")

BEFORE: dict[str, tuple[StepTaken, ...]] = {
    "10a": tuple(
        StepTaken(f"the {edge}", "rule", (f"pocket {POCKET[k]}", f"pocket {POCKET[k + 1]}"))
        for k, edge in enumerate(PLAN_LINES["10a"]["back pocket"])
    ),
    "10b": (
        StepTaken("the centre", "rule", ("centre hem", "waistband at centre front")),
        StepTaken("at the side", "walk", ("side",), "waistband", end="end"),
        StepTaken("opening end", "walk", ("side",), "opening", end="end"),
        StepTaken(
            "the band line", "curve", ("waistband at centre front", "at the side"), leaving="left",
            arriving="square to side",
        ),
    ),
    "11b": (StepTaken("the centre", "rule", ("centre back top", "yoke at centre back")),),
}  # fmt: skip
"""What is ruled and drawn before the wheel is taken up."""

GRAIN = {"front skirt": "centre of the skirt", "back yoke": "centre", "back pocket": "centre"}
"""The line that each grain is laid along."""
SEAMS = {
    "11a": (
        ("back skirt: side seam", "opening end", "notch from the opening", "single"),
        ("back skirt: yoke edge", "yoke at centre back", "yoke notch from the centre", "double"),
    ),
    "11b": (
        ("back yoke: strap seat", "back side edge", "seat notch from the outside", "double"),
        ("back yoke: skirt edge", "yoke at centre back", "yoke notch from the centre", "double"),
    ),
}
"""Notches: the edge, from where, how far, which. The strap's base is walked together with the yoke's seat."""


def all_steps(work: Exercise, of: OwnNumbers) -> list[StepTaken]:
    """Every step of an exercise from the empty table to the last, its pieces among them."""
    return [*table_steps(work, of), *piece_steps(work, of)]


def piece_steps(work: Exercise, of: OwnNumbers) -> list[StepTaken]:
    """The steps that trace and finish the pieces; none where no piece is asked."""
    if work.finish is None:
        return []
    return with_names([*BEFORE.get(work.id, ()), *_bare(work, of)])


def _bare(work: Exercise, of: OwnNumbers) -> Iterable[StepTaken]:
    for piece, edges in PLAN_LINES[work.id].items():
        for edge, line in edges.items():
            yield StepTaken("?", "trace", line, piece=piece, edge=edge)
    pieces = {p.name: p for p in work.finish(work.reference(of), of)}
    for asked in work.asked:
        if asked.kind not in _STEP:
            continue
        yield from _STEP[asked.kind](pieces[asked.piece], asked)
    for edge, end, walked, count in SEAMS.get(work.id, ()):
        if edge == "back yoke: strap seat":
            both = (edge, end, "strap: base", "strap: curved side")
            yield StepTaken("?", "notch a seam", both, walked, count=count)
        else:
            yield StepTaken("?", "notch", (edge, end), walked, count=count)


def _grain(piece, asked):
    yield StepTaken("?", "grain", (GRAIN[piece.name],), piece=piece.name)


def _label(piece, asked):
    how = "on the fold" if piece.on_fold else "as a pair" if piece.pair else "single"
    yield StepTaken("?", "label", piece=piece.name, count=str(piece.cut), how=how, cloth=piece.cloths[0])


def _allowance(piece, asked):
    edge = piece.edge(asked.part)
    yield StepTaken("?", "allowance", (f"{piece.name}: {edge.name}",), f"{edge.allowance:g}", turn=edge.turn)


def _corner(piece, asked):
    before, after = asked.part.split(" / ")
    both = (f"{piece.name}: {before}", f"{piece.name}: {after}")
    yield StepTaken("?", "corner", both, first=piece.folds[before, after])


def _cut_line(piece, asked):
    yield StepTaken("?", "cut line", piece=piece.name)


_STEP: dict[str, Callable] = {
    "grain": _grain, "label": _label, "allowance": _allowance, "corner": _corner, "cut line": _cut_line,
}  # fmt: skip


def with_names(steps: Iterable[StepTaken]) -> list[StepTaken]:
    """The steps with the names that the page gives them."""
    traced: dict[str, tuple[str, str]] = {}
    found = []
    for step in steps:
        if step.name == "?":
            step = replace(step, name=named(step, traced))
        if step.verb == "trace":
            traced[step.name] = step.piece, step.edge
        found.append(step)
    return found


# -- common mistakes of pieces, as they are made on the table

Change = Callable[[StepTaken], StepTaken]


def _with(verb: str, **fields) -> Change:
    """The steps of a verb with other fields."""
    return lambda step: replace(step, **fields) if step.verb == verb else step


def _from(verb: str, ends: Mapping[str, str]) -> Change:
    """Notches walked from other ends: ends: right end -> wrong end."""
    return lambda step: (
        replace(step, of=tuple(ends.get(name, name) for name in step.of)) if step.verb == verb else step
    )


def _other_first(step: StepTaken) -> StepTaken:
    if step.verb != "corner":
        return step
    sides = {name.split(": ")[1] for name in step.of}
    return replace(step, first=(sides - {step.first}).pop())


def _in_the_middle(step: StepTaken) -> StepTaken:
    if step.verb != "notch":
        return step
    line = {"side seam": "side seam", "yoke edge": "yoke line"}[step.of[0].split(": ")[1]]
    return replace(step, measure=f"{line}, length ÷ 2")


def _on_the_fold(step: StepTaken) -> StepTaken:
    return replace(step, measure="1") if step.name.endswith("centre front") and step.measure == "0" else step


def _short_grain(step: StepTaken) -> StepTaken:
    right = step.verb == "grain" and step.piece == "back yoke"
    return replace(step, measure="2") if right else step


def _alike(step: StepTaken) -> StepTaken:
    return replace(step, measure="1") if step.verb == "allowance" else step


MADE_ON_THE_TABLE: dict[tuple[str, str], Change] = {
    ("09a", "grain-slanted"): _with("grain", of=("side",)),
    ("09a", "label-lacks"): _with("label", count="2", how="single"),
    ("09b", "label-no-pair"): lambda step: replace(step, how="single") if step.count == "2" else step,
    ("09b", "grain-short"): _short_grain,
    ("10a", "anothers-allowance"): _alike,
    ("10a", "corner-plain"): _with("corner", first="neither"),
    ("10a", "corner-other-first"): _other_first,
    ("10b", "allowance-on-the-fold"): _on_the_fold,
    ("11a", "wrong-end"): _from("notch", {"opening end": "hemline", "yoke at centre back": "side"}),
    ("11a", "notch-in-the-middle"): _in_the_middle,
    ("11b", "wrong-end"): _from("notch a seam", {"strap: curved side": "strap: straight side"}),
    ("11b", "notch-count"): lambda step: replace(step, count="single") if step.count == "double" else step,
}
"""By exercise and code of the mistake: what a learner does in place of the right step."""

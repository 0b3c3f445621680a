"""The rule's own steps written as steps of the drafting table, each measure as a learner may type it."""

from __future__ import annotations

from patternlib.assess.tasks.exercise import Exercise
from patternlib.assess.tasks.own_numbers import OwnNumbers
from patternlib.assess.tasks.record import StepTaken
from patternlib.assess.tasks.rework import reach
from patternlib.draft import Draft, Step
from patternlib.operations import WAYS

SAME = {
    "along": "toward", "line": "rule", "level": "level", "square": "square", "foot": "foot", "share": "share",
    "meeting": "meeting", "crossing": "crossing", "upright crossing": "upright", "level on": "level on",
    "dart point": "dart point", "curve": "curve", "parallel": "beside", "part": "part", "joined": "join",
    "on": "walk", "length": "measure line", "distance": "measure", "dart angle": "dart angle", "turn": "turn",
    "mirror": "fold", "lay": "lay", "end": "end", "go": "go",
    "swing": "swing", "swing down": "swing down", "smallest": "smallest",
}  # fmt: skip


def table_steps(work: Exercise, of: OwnNumbers) -> list[StepTaken]:
    """Every step that is asked or rests between what is given and what is asked."""
    draft = work.reference(of)
    ready = {name: draft[name] for name in work.ready}
    wanted = set()
    for asked in work.steps():
        wanted.update((asked.name, *reach(draft, asked.name, ready)[1]))
    given = set(work.given(draft))
    return [table_step(draft, step) for step in draft if step.name in wanted - given]


def table_step(draft: Draft, step: Step) -> StepTaken:
    """One step of a draft as it is done on the table."""
    verb, of, more = SAME.get(step.op, ""), step.inputs, {}
    measure = step.measured_by or ("" if step.measure is None else _written(step))
    options = step.options
    if step.op == "go":
        of, more["way"] = of[:1], _bearing(options["way"])
    elif step.op == "middle":
        verb, measure = "share", "half"
    elif step.op == "curve":
        of = of[: options["points"]]
        more = {"leaving": _bearing(options.get("start")), "arriving": _bearing(options.get("end"))}
    elif step.op in ("square", "parallel", "swing"):
        more["side"] = options.get("side", "right")
    elif step.op in ("on", "end"):
        more["end"] = options.get("at") or ("end" if options.get("from_end") else "start")
    elif step.op in ("given", "sum"):
        verb, of, measure = "note", (), _sum(draft, step) if step.op == "sum" else measure
    elif step.op == "angle":
        verb, more["end"] = ("direction", options.get("at", "end")) if len(of) == 1 else ("direction to", "")
        measure = measure or "0"
    elif step.op == "share":
        measure = _number(step.measure)
    return StepTaken(step.name, verb, of, measure, **{k: v for k, v in more.items() if v})


def _bearing(way) -> str:
    if way is None or way in WAYS:
        return way or ""
    return f"at {way if isinstance(way, str) else _number(way)}"


def _written(step: Step) -> str:
    angle = step.op in ("turn", "angle") or (step.op == "given" and "angle" in step.name)
    return _number(step.measure) + ("°" if angle else " cm")


def _number(value: float) -> str:
    text = f"{abs(value):.12f}".rstrip("0").rstrip(".")
    return f"− {text}" if value < 0 else text


def _sum(draft: Draft, step: Step) -> str:
    """A sum as arithmetic on the numbers it is made of; one that a bound holds is typed as it is."""
    factors = step.options["factors"]
    total = step.measure + sum(f * draft[n] for n, f in zip(step.inputs, factors, strict=True))
    angle = "angle" in step.name
    if abs(total - step.value) > 1e-9 or not step.inputs:
        return _number(step.value) + ("°" if angle else " cm")
    terms = [f"{_number(f)} × {name}" for name, f in zip(step.inputs, factors, strict=True)]
    terms += [_number(step.measure) + ("°" if angle else " cm")] if step.measure else []
    return " + ".join(f"({t})" if t.startswith("−") else t for t in terms)

"""What can be calculated from a project's own values: checks by criterion, and the level they propose.

A check is right, near (look at it again), off or missing. The level is a proposal: the instructor decides.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ...errors import PatternError
from ...laying import lay
from ...making import cutting_list
from ...pieces import FUSING, side_length
from ...tolerances import SEWN
from ...units import write_length
from ..judging.hands import PENCIL
from .levels import criteria
from .questions import NOTHING, WALKS
from .written import Project

FEW = 8
"""Measures that are taken for a pattern of one's own, at least (common practice, no source)."""
FEW_VALUES = 3
"""Style values with reasons, at least."""
STRETCH = 0.01
"""A tape and a walk of pins are off by so much of a long seam, at most (from memory of practice)."""
MUCH = 1.6
"""Times the cloth needed: more than this is much too much."""
SHIRT = 0.05
"""cm: what a shirt is thick; the starting ease has room for it (lesson 14)."""
FIRM = 0.05
"""Cloth that gives less is treated as firm (lesson 14)."""
THICK = (0.01, 1.0)
"""cm: how thick a cloth for clothes can be."""
SAME = 0.06
"""cm: two values written down are the same."""


@dataclass(frozen=True)
class Check:
    """One check. criterion: it belongs to; what: in a few words; verdict: 'right', 'near', 'off' or
    'missing'; text: a sentence; aside: what the instructor alone is told, since it is the answer."""

    criterion: str
    what: str
    verdict: str
    text: str
    aside: str = ""


def checks_of(project: Project) -> tuple[Check, ...]:
    """Every check of a project, in the order of the form."""
    found = (_measures, _style, _ease, _walks, _cutting, _toile, _photographs)
    return tuple(check for checks in found for check in checks(project))


def proposed(project: Project, checks: tuple[Check, ...]) -> dict[str, int]:
    """The level that is proposed by criterion; those of which nothing can be calculated are left out."""
    levels = {}
    for id, criterion in criteria().items():
        if criterion.calculated and not _cannot_be_told(project, id):
            mine = [c.verdict for c in checks if c.criterion == id]
            levels[id] = min(_LEVEL.get(id, _usual)(project, mine), criterion.calculated)
    return levels


def _cannot_be_told(project: Project, criterion: str) -> bool:
    """Whether something is written that cannot be compared, as nothing can be drawn on the measures."""
    written = project.lines(criterion) if criterion in ("style", "walks") else ()
    lacking = project.body if criterion == "style" else project.made
    return bool(written) and lacking is None


def _usual(project: Project, verdicts: list[str]) -> int:
    """0 where nothing is there, 2 where nothing is wrong or missing, else 1."""
    if all(v == "missing" for v in verdicts):
        return 0
    return 1 if {"off", "missing"} & set(verdicts) else 2


def _of_style(project: Project, verdicts: list[str]) -> int:
    return 0 if project.made is None or not project.style else _usual(project, verdicts)


def _of_walks(project: Project, verdicts: list[str]) -> int:
    level = verdicts[:WALKS].count("right")
    return min(level, 2) if "missing" in verdicts[WALKS:] else level


def _of_toile(project: Project, verdicts: list[str]) -> int:
    return _usual(project, verdicts) if project.lines("toile") else 0


_LEVEL = {"style": _of_style, "walks": _of_walks, "toile": _of_toile}


def _check(criterion: str, what: str, verdict: str, text: str, aside: str = "") -> Check:
    return Check(criterion, what, verdict, text, aside)


# -- measures


def _measures(p: Project) -> Iterator[Check]:
    taken = len(p.measures)
    if p.body is None:
        yield _check("measures", "a body", "missing" if not taken else "off", p.body_fault)
        return
    yield _check("measures", "a body", "right", "The measures go together to a body that can be drawn.")
    verdict = "right" if taken >= FEW else "near"
    rest = len(p.body.estimated)
    yield _check("measures", "how many", verdict, f"{_many(taken, 'measure')} written, {rest} estimated.")
    doubts = p.body.doubts()
    for doubt in doubts:
        yield _check("measures", "a doubt", "near", f"{doubt} Measure it again; unusual bodies exist.")
    if not doubts:
        yield _check("measures", "doubts", "right", "No measure looks doubtful beside the others.")
    lacking = [n.replace("_", " ") for n in p.measures if not p.text("measures", "how", n)]
    if not lacking:
        yield _check("measures", "how taken", "right", "It says of each measure how it was taken.")
    else:
        many = f"{len(lacking)} of {taken} do not say how they were taken: {', '.join(lacking)}."
        yield _check("measures", "how taken", "missing", many)


# -- style


def _style(p: Project) -> Iterator[Check]:
    if not p.style:
        yield _check("style", "values", "missing", "No style value is written.")
    elif len(p.style) < FEW_VALUES:
        yield _check("style", "values", "near", f"Only {_many(len(p.style), 'style value')} written.")
    else:
        yield _check("style", "values", "right", f"{_many(len(p.style), 'style value')} written.")
    if p.body is None:
        yield _check("style", "it can be drawn", "missing", "Without a body the garment cannot be drawn.")
    elif p.made is None:
        yield _check("style", "it can be drawn", "off", p.garment_fault)
    else:
        said = f"The {p.garment} can be drawn on these measures with these values."
        yield _check("style", "it can be drawn", "right", said)
        errors = [f.text for f in p.made.findings if f.severity == "error"]
        for text in errors[:4]:
            yield _check("style", "must be put right", "off", text)
        if not errors:
            yield _check("style", "findings", "right", "Nothing on its pieces must be put right.")
    lacking = [n for n in p.lines("style") if p.text("style", "value", n) and not p.text("style", "why", n)]
    names = ", ".join(p.text("style", "value", n) for n in lacking)
    if lacking:
        yield _check("style", "reasons", "missing", f"No reason is given for {names}.")
    elif p.style:
        yield _check(
            "style", "reasons", "right", "Each value has a reason.", "Whether it is good, you judge."
        )


# -- cloth and ease


def _ease(p: Project) -> Iterator[Check]:
    cloth = p.text("ease", "cloth")
    yield _check("ease", "cloth", "right" if cloth else "missing", cloth or "No cloth is named.")
    thick, grew = p.length("ease", "thick"), p.length("ease", "grew")
    if thick is None or grew is None:
        yield _check("ease", "cloth measured", "missing", "Thickness and give are not both measured.")
    elif not THICK[0] <= thick <= THICK[1]:
        said = f"A cloth {write_length(thick, p.unit)} thick is hardly worn. Was it in millimetres?"
        yield _check("ease", "cloth measured", "off", said)
    elif not 9.9 <= grew <= 20:
        said = f"10 cm that grow to {write_length(grew, p.unit)}: write what the 10 cm became."
        yield _check("ease", "cloth measured", "off", said)
    else:
        layer = write_length(thick, p.unit, decimals=2 if p.unit == "cm" else None)
        said = f"One layer is {layer} thick; it gives {100 * (grew / 10 - 1):.0f} %."
        yield _check("ease", "cloth measured", "right", said)
    if p.made is not None:
        yield from _enough_ease(p, grew)
        yield from _enough_cloth(p)
    why = p.text("ease", "why")
    said = "A reason for the ease is given." if why else "No reason is given for the ease."
    yield _check("ease", "reason", "right" if why else "missing", said)


def _enough_ease(p: Project, grew: float | None) -> Iterator[Check]:
    """As lesson 14 calculates it: thicker clothes beneath take more, half of the give may come off."""
    name = "hip_ease" if p.garment != "smock" else "bust_ease"
    around = p.made.body.hip_girth if p.garment != "smock" else p.made.body.bust_girth  # type: ignore[union-attr]
    has, start = p.made.style[name], _start(p, name)  # type: ignore[union-attr]
    give = max((grew or 10.0) / 10 - 1, 0.0)
    beneath = p.length("ease", "beneath") or 0.0
    least = start + 2 * math.pi * max(beneath - SHIRT, 0.0) - (give * around / 2 if give > FIRM else 0.0)
    called, cm, wanted = name.replace("_", " "), write_length(has, p.unit), write_length(least, p.unit)
    if has >= least - 0.5:
        yield _check("ease", "room", "right", f"{called} {cm}: lesson 14 asks for about {wanted}.")
    else:
        said = (
            f"{called} {cm} is less than the {wanted} that lesson 14 calculates for this cloth and what is "
        )
        yield _check("ease", "room", "near", said + "worn under it. Look at the reason and the toile.")


def _start(p: Project, name: str) -> float:
    from ...garments import style_values

    return next(v for v in style_values(p.garment) if v.name == name).start_for(p.body)


def _enough_cloth(p: Project) -> Iterator[Check]:
    width, bought = p.length("ease", "width"), p.length("ease", "bought")
    if width is None or bought is None:
        yield _check("ease", "cloth needed", "missing", "Width and length of the cloth are not both written.")
        return
    became = p.length("ease", "shrinkage")
    shrinkage = 0.04 if became is None or not 8 <= became <= 10 else 1 - became / 10
    try:
        laid = lay(
            p.made, width=width, shrinkage=shrinkage, seconds=0,  # type: ignore[arg-type]
            folded=p.text("ease", "folded") == "folded once", one_way=p.text("ease", "way") == "all one way",
        )  # fmt: skip
    except PatternError as fault:
        yield _check("ease", "cloth needed", "off", str(fault))
        return
    needs = laid.length / (1 - shrinkage)
    takes, has = write_length(needs, p.unit), write_length(bought, p.unit)
    said = f"A quick lay takes {takes} with shrinkage; {has} were bought."
    if bought < needs * 0.94:  # a patient hand finds a lay some per cent shorter than a quick one
        yield _check("ease", "cloth needed", "off", f"{said} It is too little.")
    elif bought < needs:
        yield _check("ease", "cloth needed", "near", f"{said} It is tight: show your own lay.")
    elif bought > MUCH * needs:
        yield _check("ease", "cloth needed", "near", f"{said} It is far more than is needed.")
    else:
        yield _check("ease", "cloth needed", "right", said)


# -- walks


def _walks(p: Project) -> Iterator[Check]:
    seen: set[str] = set()
    for n in range(1, WALKS + 1):
        name = p.text("walks", "seam", n)
        one, other = p.length("walks", "one", n), p.length("walks", "other", n)
        if not name or one is None or other is None:
            yield _check("walks", f"walk {n}", "missing", f"Walk {n}: write the seam and both of its sides.")
        elif name in seen:
            yield _check(
                "walks", f"walk {n}", "off", f"Walk {n}: {name} was walked already. Walk another seam."
            )
        elif p.made is None:
            yield _check(
                "walks", f"walk {n}", "missing", f"Walk {n}: the garment cannot be drawn to compare it."
            )
        else:
            yield _walk(p, n, name, one, other)
        seen.add(name)
    begun = [n for n in p.lines("walks") if p.text("walks", "seam", n)]
    silent = [n for n in begun if not p.text("walks", "did", n)]
    if begun:
        said = "It says what was done about each difference."
        lacking = f"Walk {', '.join(map(str, silent))}: what was done about the difference is not said."
        yield _check("walks", "what was done", "missing" if silent else "right", lacking if silent else said)


def _walk(p: Project, n: int, name: str, one: float, other: float) -> Check:
    made = p.made
    assert made is not None
    seam = next((s for s in made.seams if s.name == name), None)
    if seam is None:
        return _check("walks", f"walk {n}", "off", f"Walk {n}: the {p.garment} has no seam called {name}.")
    pieces = {piece.name: piece for piece in made.pieces}
    sides = [side_length(pieces, side) for side in (seam.a, seam.b)]
    given = [one, other]
    if abs(one - sides[1]) + abs(other - sides[0]) < abs(one - sides[0]) + abs(other - sides[1]):
        sides.reverse()
    both = " and ".join(write_length(cm, p.unit) for cm in given)
    want = " and ".join(write_length(cm, p.unit) for cm in sides)
    far = [
        abs(g - w) > max(PENCIL.tolerance("number"), STRETCH * w) for g, w in zip(given, sides, strict=True)
    ]
    said, aside = f"Walk {n}, {name}: {both}", f"The pattern has {want}."
    if any(far):
        again = "It does not agree with the pattern. Walk it again, on the seam lines."
        return _check("walks", f"walk {n}", "off", f"{said}. {again}", aside)
    apart = abs(abs(one - other) - abs(seam.ease))
    if apart > SEWN:
        more = f"The two sides differ by {write_length(apart, p.unit)} from what is meant."
        return _check("walks", f"walk {n}", "near", f"{said}. {more}", aside)
    return _check("walks", f"walk {n}", "right", f"{said}: it agrees with the pattern.", aside)


# -- cutting list, toile, photographs


def _cutting(p: Project) -> Iterator[Check]:
    main, fused = p.count("cutting", "main"), p.count("cutting", "fused")
    if p.made is not None:
        rows = [r for r in cutting_list(p.made) if r.cloth]
        first = rows[0].cloth
        wanted = (
            ("main", main, sum(r.cut or 0 for r in rows if r.cloth == first), f"pieces of the {first}"),
            ("fused", fused, sum(r.cut or 0 for r in rows if r.cloth == FUSING), "pieces to be fused"),
        )
        for what, given, want, words in wanted:
            if given is None:
                yield _check("cutting", what, "missing", f"The number of {words} is not written.")
            else:
                right = given == want
                said = f"{given} {words}: " + ("right." if right else "count again, a pair is two.")
                verdict = "right" if right else "off"
                yield _check("cutting", what, verdict, said, f"The cutting list has {want}.")
    sessions = p.count("cutting", "sessions")
    said = f"A plan of {sessions} sessions." if sessions else "No plan of sessions is written."
    yield _check("cutting", "plan", "right" if sessions else "missing", said)


def _toile(p: Project) -> Iterator[Check]:
    lines = [n for n in p.lines("toile") if p.text("toile", "seen", n)]
    if not lines:
        yield _check("toile", "faults", "missing", "Nothing is written about a toile.")
        return
    many = "One thing is" if len(lines) == 1 else f"{len(lines)} things are"
    yield _check("toile", "faults", "right", f"{many} written about the toile.")
    for n in lines:
        changed, now = p.text("toile", "changed", n), p.length("toile", "is", n)
        if not changed:
            yield _check("toile", f"fault {n}", "missing", f"Fault {n}: it does not say what was changed.")
        elif changed == NOTHING:
            yield _check("toile", f"fault {n}", "right", f"Fault {n}: nothing was changed.")
        elif now is None:
            yield _check("toile", f"fault {n}", "missing", f"Fault {n}: the new {changed} is not written.")
        else:
            yield _carried(p, n, changed, now)


def _carried(p: Project, n: int, changed: str, now: float) -> Check:
    """Whether a correction stands in the measures or the style, where the pattern is drawn from."""
    name = changed.replace(" ", "_")
    stands = p.measures.get(name, p.style.get(name))
    cm = write_length(now, p.unit)
    if stands is None:
        said = f"Fault {n}: {changed} was changed to {cm}, but it stands neither in part 1 nor in part 2."
        return _check("toile", f"fault {n}", "off", said)
    if abs(stands - now) > SAME:
        said = (
            f"Fault {n}: {changed} was changed to {cm}, but part 1 or 2 has {write_length(stands, p.unit)}."
        )
        return _check("toile", f"fault {n}", "off", said)
    return _check("toile", f"fault {n}", "right", f"Fault {n}: {changed} is now {cm}, in the pattern too.")


def _photographs(p: Project) -> Iterator[Check]:
    names = [p.text("photographs", "name", n) for n in p.lines("photographs")]
    said = f"{_many(len(names), 'photograph')}: {', '.join(names)}." if names else "No photographs."
    yield _check("pieces", "photographs", "right" if names else "missing", said)


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"

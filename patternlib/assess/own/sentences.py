"""Steps of the drafting table as sentences: written for a file, and read from it again.

>>> step = read_sentence("From A go down 20 cm: mark B.", {"A": "point"})
>>> step.verb, step.of, step.measure, step.name
('go', ('A',), '20 cm', 'B')
>>> write_sentence(step)
'From A go down 20 cm: mark B'
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from itertools import count

from msgspec.structs import replace

from ...errors import PatternError
from ..table.steps import named, sentence
from ..table.verbs import VERBS, Place, Verb
from ..tasks.record import StepTaken

TAKEN = {
    "point": ("point",), "points": ("point",), "line": ("line",), "lines": ("line",), "numbers": ("number",),
    "thing": ("point", "line", "edge"), "edge": ("edge",), "at": ("point", "line", "edge"),
}  # fmt: skip
"""Kinds of place that take what is on the paper, and what each takes."""
_SEVERAL = {"points": " and ", "lines": ", ", "numbers": ", "}
_ONE = {"point": "a point", "line": "a line", "number": "a number", "edge": "an edge of a piece"}
_ONE_OF = {
    "side": ("left", "right"),
    "end": ("start", "end"),
}
_AT = r"at (?:[−-]? ?[\d.,]+ ?°|\(.+?\))"
"""A direction in degrees."""
_PRINTED = re.compile(r"−?-?[\d.,/ ]+ ?(?:cm|in|°)? \((.*)\)")
"""A measure as the table prints it, with how it was put together."""


def write_sentence(step: StepTaken) -> str:
    """A step as its sentence, each measure as it was typed; degrees stand with their sign or in brackets."""
    ways = {f: _bracketed(getattr(step, f)) for f in ("way", "leaving", "arriving") if getattr(step, f)}
    return sentence(replace(step, **ways), {}, {}).removesuffix(".")


def _bracketed(way: str) -> str:
    """A direction in degrees so written that its end is seen: 'at −18.5°', 'at (dart angle + 90)'."""
    if not way.startswith("at "):
        return way
    degrees = way.removeprefix("at ").strip()
    if re.fullmatch(r"[−-]? ?[\d.,]+ ?°?", degrees):
        return f"at {degrees.removesuffix('°').strip()}°"
    return way if degrees.startswith("(") and degrees.endswith(")") else f"at ({degrees})"


def read_sentence(text: str, known: Mapping[str, str]) -> StepTaken:
    """The step that a sentence says. known: what is on the paper before, 'point', 'line' or 'number' by name.

    Raises PatternError with a sentence where the table has no such sentence, or what it names is not there.
    """
    words = " ".join(text.split()).removesuffix(".")
    for verb, made in VERBS.items():
        match = re.fullmatch(_pattern(made, known), words, re.IGNORECASE)
        if match:
            return _step(verb, made, match, known)
    for verb, made in VERBS.items():  # the sentence is there, but not what it names
        match = re.fullmatch(_pattern(made, None), words, re.IGNORECASE)
        if match:
            raise PatternError(_lacking(verb, made, match, known))
    first = words.split(" ")[0] if words else ""
    near = [_model(v) for v in VERBS.values() if _model(v).split(" ")[0].casefold() == first.casefold()]
    likely = get_close_matches(words, near or [_model(v) for v in VERBS.values()], 1, 0.0)
    raise PatternError(f"'{words[:120]}' is no sentence of the drafting table. One of them is: {likely[0]}.")


def _model(verb: Verb) -> str:
    """A sentence with its places left open."""
    parts = [p for _, group in verb.groups() for p in group]
    return "".join(part if isinstance(part, str) else "…" for part in parts)


def _pattern(verb: Verb, known: Mapping[str, str] | None) -> str:
    """A regular expression for a sentence; known: None takes any name for what is on the paper."""
    found, seen = "", 0
    for optional, parts in verb.groups():
        inside = ""
        for part in parts:
            if isinstance(part, str):
                inside += re.escape(part)
            else:
                inside += f"(?P<{part.field}>{_taken(part, known)})"
                seen += 1
        found += f"(?:{inside})?" if optional else inside
    return found


def _taken(place: Place, known: Mapping[str, str] | None) -> str:
    if place.kind in _ONE_OF:
        return "|".join(_ONE_OF[place.kind])
    if place.kind == "way":
        return "up|down|left|right|" + _AT
    if place.kind not in TAKEN or known is None:
        return ".+?"
    names = sorted((n for n, kind in known.items() if kind in TAKEN[place.kind]), key=len, reverse=True)
    one = "|".join(map(re.escape, names)) or "(?!)"
    between = _SEVERAL.get(place.kind)
    return f"(?:{one})(?:{re.escape(between)}(?:{one}))*" if between else one


def _step(key: str, verb: Verb, match: re.Match, known: Mapping[str, str]) -> StepTaken:
    spelled = {name.casefold(): name for name in known}
    of: dict[str, list[str]] = {}
    fields: dict[str, str] = {}
    for place in verb.places():
        text = match[place.field]
        if text is None:
            continue
        if place.kind in TAKEN:
            between = _SEVERAL.get(place.kind)
            names = _split(text, between, spelled) if between else [text]
            of[place.field] = [spelled[name.casefold()] for name in names]
        elif place.kind in _ONE_OF:
            fields[place.field] = text.casefold()
        else:
            printed = _PRINTED.fullmatch(text)
            fields[place.field] = printed[1] if printed else text
    name = fields.pop("name", "?")
    order = sorted(of) if "of0" in of else list(of)  # of0, of1 ... may stand in another order in the sentence
    taken = tuple(name for field in order for name in of[field])
    step = StepTaken(name, key, taken, **fields)  # type: ignore[arg-type]
    return replace(step, name=_free(named(step, traced(known)), known)) if verb.named else step


def _free(name: str, known: Mapping[str, str]) -> str:
    """The name, or with a number where something has it: 'pocket: notches of side 2'."""
    numbered = (f"{name} {n}" for n in count(2))
    return name if name not in known else next(n for n in numbered if n not in known)


def traced(known: Mapping[str, str]) -> dict[str, tuple[str, str]]:
    """(piece, edge) of each edge that is traced, by the name of its step, 'piece: edge'."""
    split = {name: name.partition(": ") for name, kind in known.items() if kind == "edge"}
    return {name: (piece, edge) for name, (piece, _, edge) in split.items()}


def _split(text: str, between: str, spelled: Mapping[str, str]) -> list[str]:
    """Several names; one that itself holds the word between them stays whole."""
    parts, found = text.split(between), []
    while parts:
        for k in range(len(parts), 0, -1):
            if between.join(parts[:k]).casefold() in spelled:
                found.append(between.join(parts[:k]))
                parts = parts[k:]
                break
        else:
            found.append(parts.pop(0))
    return found


def _lacking(key: str, verb: Verb, match: re.Match, known: Mapping[str, str]) -> str:
    for place in verb.places():
        text = match[place.field]
        if text is None or place.kind not in TAKEN:
            continue
        wanted = [n for n, kind in known.items() if kind in TAKEN[place.kind]]
        between = _SEVERAL.get(place.kind)
        for name in _split(text, between, {n.casefold(): n for n in known}) if between else [text]:
            if name.casefold() not in {n.casefold() for n in wanted}:
                return _not_there(name, place.kind.removesuffix("s"), known, wanted)
    return f"'{verb.word}' cannot be read here: look at its words again."


def _not_there(name: str, kind: str, known: Mapping[str, str], wanted: Iterable[str]) -> str:
    if name in known:
        return f"'{name}' is {_ONE[known[name]]}; here belongs {_ONE.get(kind, 'a point or a line')}."
    near = get_close_matches(name, list(wanted), 1, 0.6)
    return f"'{name}' is not on the paper at this step." + (f" Did you mean '{near[0]}'?" if near else "")

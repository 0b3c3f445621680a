"""The learner's own measures, where she has saved them: what each lesson starts with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from .alterations import NONE, Changes, load_changes
from .blocks import bodice_block, sleeve_block
from .body import Body, chart, load_body
from .draft import Draft
from .errors import PatternError, ValueAtFault
from .garments import make, style_values
from .garments.base import Garment
from .notebook import speak
from .toml_text import read_toml
from .units import read_length

MOST_ADVICE = 6
"""So often at most the advice of a refusal is followed."""


CHANGES = "my_changes.toml"
"""The learner's sheet of changes, beside her measures."""


def own_body(*, file: str | Path = "me.toml", size: str = "12", say: Callable[[str], object] = speak) -> Body:
    """Her own measures when she has saved them, else a size of the course's chart; one sentence says which.

    file: looked for in the folder of the notebook, then in the folder `lessons` beside or below it. A file
    that cannot be used is named in the sentence, and the size is taken. say: is given the sentence.

    >>> own_body(file="nobody.toml").bust_girth
    No measures of yours are saved in nobody.toml yet: this page draws size 12 of the course's chart.
    88.0
    """
    named, found = Path(file), own_file(file)
    instead = f"this page draws size {size} of the course's chart"
    if found is None:
        say(f"No measures of yours are saved in {named.name} yet: {instead}.")
        return chart("course").body(size)
    try:
        body = load_body(found)
    except PatternError as fault:
        say(f"Your file {named.name} cannot be used yet, so {instead}. {fault}")
        return chart("course").body(size)
    over = own_note("over", file=found)
    said = f"bust {body.bust_girth:g}, waist {body.waist_girth:g}, hip {body.hip_girth:g} cm"
    say(
        f"This page draws your own measures, saved in {named.name}: {said}{f', over {over}' if over else ''}."
    )
    return body


def own_changes(*, file: str | Path = CHANGES, say: Callable[[str], object] = speak) -> Changes:
    """Her sheet of changes when she has one, else none; one sentence says which.

    file: looked for like the measures, see `own_body`. A file that cannot be used is named in the sentence.

    >>> own_changes(file="nothing.toml").version
    No changes are written in nothing.toml yet: the pattern is as it was drafted.
    1
    """
    found = own_file(file)
    if found is None:
        say(f"No changes are written in {Path(file).name} yet: the pattern is as it was drafted.")
        return NONE
    try:
        changes = load_changes(found)
    except PatternError as fault:
        say(f"Your file {found.name} cannot be used yet, so the pattern is as it was drafted. {fault}")
        return NONE
    names = "; ".join(change.said() for change in changes) or "none"
    say(f"This page makes the changes of {found.name}, version {changes.version}: {names}.")
    return changes


def own_file(file: str | Path = "me.toml") -> Path | None:
    """The file of own measures: beside the notebook, or in the folder `lessons` beside or below it."""
    named = Path(file)
    places = (named, Path("lessons") / named, Path("..") / "lessons" / named)
    return next((place for place in places if place.is_file()), None)


def own_check(name: str, *, file: str | Path = "me.toml") -> float | None:
    """A measure (cm) that only checks a draft, such as "strap_path"; None where it was not taken.

    It stands in the file's table `also`, where the form of lesson 01 writes it.

    >>> own_check("strap_path", file="nobody.toml") is None
    True
    """
    try:
        return read_length(own_note("also", file=file)[name], name=name)
    except (ValueError, KeyError, TypeError):
        return None


def own_note(key: str, *, file: str | Path = "me.toml") -> Any:
    """What the file of own measures notes beside them: "over" what was measured, or "also" taken measures.

    >>> own_note("over", file="nobody.toml") is None
    True
    """
    found = own_file(file)
    try:
        return read_toml(found).get(key) if found else None
    except PatternError:
        return None


def own_sleeve(body: Body, *, say: Callable[[str], object] = speak, **asked: Any) -> tuple[Draft, Draft]:
    """The bodice block of a body and the sleeve block for its armholes; size 12 where they cannot be drawn.

    asked: what `sleeve_block` takes. say: is given a sentence where size 12 is drawn.

    >>> own_sleeve(chart("course").body("12"))[1].title
    'sleeve block'
    """
    try:
        bodice = bodice_block(body, one_dart=True)
        return bodice, sleeve_block(body, bodice["back armhole"], bodice["front armhole"], **asked)
    except PatternError as fault:
        say(f"The sleeve cannot be drawn on these measures, so this page draws size 12. {fault}")
        return own_sleeve(chart("course").body("12"), say=say, **asked)


def own_unit(*, file: str | Path = "me.toml") -> str:
    """The unit that she chose in the form of lesson 01, or that her file names: 'cm' or 'in'; else 'cm'.

    >>> own_unit(file="nobody.toml")
    'cm'
    """
    readings, named = (own_note(key, file=file) for key in ("readings", "unit"))
    chosen = readings.get("unit", named) if isinstance(readings, dict) else named
    return "in" if chosen == "in" else "cm"


def own_garment(
    body: Body, *, garment: str = "pinafore", say: Callable[[str], object] = speak, **asked: Any
) -> Garment:
    """A garment for a body; where a value is refused, the advised one is taken, and a sentence says so.

    asked: what `make` takes. say: is given the sentences. Where no advice helps, size 12 is drawn and the
    sentence says so, so that a page can be read to its end.

    >>> tall = Body(bust_girth=76, waist_girth=58, hip_girth=82, height=190)
    >>> own_garment(tall, pocket_width=14).style["pocket_width"]  # doctest: +ELLIPSIS
    On these measures 'Back pocket, width' 14 cm is refused: ...
    13.5
    """
    taken = dict(asked)
    for _ in range(MOST_ADVICE):
        try:
            return make(garment, body, **taken)
        except ValueAtFault as fault:
            refused: PatternError = fault
            if not fault.instead or fault.instead.items() <= taken.items():
                break
            taken |= fault.instead
            takes = (_in_words(garment, name, value) for name, value in fault.instead.items())
            was = _in_words(garment, fault.name, fault.got)
            text = f"On these measures {was} is refused: {fault.rule}. This page takes"
            say(f"{text} {' and '.join(takes)}.")
        except PatternError as fault:
            refused = fault
            break
    say(f"These values cannot be drawn on these measures, so this page draws size 12. {refused}")
    return make(garment, "12", **{name: value for name, value in asked.items() if name in ("size", "date")})


def _in_words(garment: str, name: str, value: object) -> str:
    """A style value with its amount, as the boards name it: 'Yoke depth at the side' 8 cm."""
    known = next((v for v in style_values(garment) if v.name == name), None)
    label, unit = (known.label, known.unit) if known else (name.replace("_", " "), "")
    amount = str(value)
    if isinstance(value, int | float):
        amount = known.said(value) if known else f"{value:g}"
    return f"'{label}' {amount} {unit}".strip()

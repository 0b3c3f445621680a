"""The learner's own measures, where she has saved them: what each lesson starts with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from .body import Body, chart, load_body
from .errors import PatternError


def own_body(*, file: str | Path = "me.toml", size: str = "12", say: Callable[[str], object] = print) -> Body:
    """Her own measures when she has saved them, else a size of the course's chart; one sentence says which.

    file: looked for in the folder of the notebook, then in the folder `lessons` beside or below it. A file
    that cannot be used is named in the sentence, and the size is taken. say: is given the sentence.

    >>> own_body(file="nobody.toml").bust_girth
    No measures of yours are saved in nobody.toml yet: this page draws size 12 of the course's chart.
    88.0
    """
    named = Path(file)
    places = (named, Path("lessons") / named, Path("..") / "lessons" / named)
    found = next((place for place in places if place.is_file()), None)
    instead = f"this page draws size {size} of the course's chart"
    if found is None:
        say(f"No measures of yours are saved in {named.name} yet: {instead}.")
        return chart("course").body(size)
    try:
        body = load_body(found)
    except PatternError as fault:
        say(f"Your file {named.name} cannot be used yet, so {instead}. {fault}")
        return chart("course").body(size)
    said = f"bust {body.bust_girth:g}, waist {body.waist_girth:g}, hip {body.hip_girth:g} cm"
    say(f"This page draws your own measures, saved in {named.name}: {said}.")
    return body

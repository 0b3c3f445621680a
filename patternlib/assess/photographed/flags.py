"""Which flag stands for which point, and which places a line is drawn through, by name.

Only names are taken from the rule's draft, such as that the hip curve runs from the side hip to the side
waist; where a point should lie is not used.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ...draft import Draft
from ...errors import PatternError
from ...geometry import Curve, Point
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers

ORIGIN = "centre line at the waist level"
ABOVE, BELOW = "far up the centre line", "far down the centre line"
"""The first flag, and the second of one of two names, say how a draft between strips lies."""
FRAME = (ORIGIN, ABOVE, BELOW)
APART = 1.0
"""cm on the paper: two flags on the centre line that lie closer say nothing."""
SAME = 1e-6
"""cm: two places of the rule's draft that are one."""
MOST = 180
"""Flags there are."""


def flag_names(work: Exercise, of: OwnNumbers) -> tuple[str, ...]:
    """The names of an exercise's flags, by number: the two for strips, the points asked, other ends of lines.

    >>> from patternlib.assess import exercise, numbers_for
    >>> flag_names(exercise("02a"), numbers_for("lena"))[1:4]
    ('far down the centre line', 'centre back hip', 'centre back hem')
    """
    draft = work.reference(of)
    points = [a.name for a in work.steps() if a.kind == "point"]
    ends = [name for names in line_places(work, of).values() for name in names]
    given = {name for name in work.given(draft) if isinstance(draft[name], Point)}
    along = ABOVE if sum(draft[name].y for name in points) > 0 else BELOW
    return tuple(dict.fromkeys((ORIGIN, along, *points, *(n for n in ends if n not in given))))[:MOST]


def frame_flags(flags: Mapping[str, Point]) -> tuple[Point, Point] | None:
    """Where the centre line crosses the waist level, and a place up the centre line, from the flags.

    None where one of the two is missing or they lie in one place.

    >>> frame_flags({ORIGIN: Point(5, 5), BELOW: Point(5, 1)})
    (Point(x=5, y=5), Point(x=5, y=9))
    """
    origin, above, below = (flags.get(name) for name in (ORIGIN, ABOVE, BELOW))
    if origin is not None and above is None and below is not None:
        above = origin + (origin - below)
    return None if origin is None or above is None or origin.distance(above) < APART else (origin, above)


def line_places(work: Exercise, of: OwnNumbers) -> dict[str, tuple[str, ...]]:
    """The named places that each line asked is drawn through, from one end to the other.

    An end that has no name is called after its line: 'one end of the button line'.

    >>> from patternlib.assess import exercise, numbers_for
    >>> line_places(exercise("02b"), numbers_for("lena"))["back hip curve"]
    ('side hip', 'back side waist')
    """
    draft = work.reference(of)
    asked = [a.name for a in work.steps()]
    found = {}
    for name in asked:
        line = draft[name]
        if isinstance(line, Curve):
            first = _named(line.start, draft, work) or f"one end of the {name}"
            last = _named(line.end, draft, work) or f"other end of the {name}"
            between = [n for n in draft.step(name).inputs if n in asked and isinstance(draft[n], Point)]
            inner = [n for n in between if n not in (first, last) and _on(line, draft[n])]
            found[name] = (first, *inner, last)
    return found


def _named(place: Point, draft: Draft, work: Exercise) -> str:
    """The point of the draft at a line's end: one that is asked, else one that is given, else another."""
    here = [n for n, p in draft.points().items() if p.distance(place) < SAME]
    asked, given = {a.name for a in work.steps()}, set(work.given(draft))
    return next(iter(sorted(here, key=lambda n: (n not in asked, n not in given))), "")


def _on(line: Curve, place: Point) -> bool:
    return bool(line.closest(place)[1] < SAME)


def given_places(work: Exercise, of: OwnNumbers) -> dict[str, Point]:
    """The points that are printed on the student's sheet, full-size cm."""
    draft = work.reference(of)
    return {n: draft[n] for n in work.given(draft) if isinstance(draft[n], Point)}


def by_name(numbers: Mapping[int, Point], work: Exercise, of: OwnNumbers) -> dict[str, Point]:
    """Flags that were seen, by the name that each stands for; others are left out."""
    names = flag_names(work, of)
    return {names[k]: place for k, place in sorted(numbers.items()) if 0 <= k < len(names)}


def in_doubt(numbers: Iterable[int], work: Exercise, of: OwnNumbers) -> list[str]:
    """The names of flags that were seen but are not believed."""
    names = flag_names(work, of)
    return [names[k] for k in sorted(numbers) if 0 <= k < len(names)]


def drawable(work: Exercise, of: OwnNumbers) -> bool:
    """Whether anything that is asked lies on the paper, so that a photograph can show it."""
    try:
        draft = work.reference(of)
    except PatternError:
        return False
    return any(isinstance(draft[a.name], Point | Curve) for a in work.steps())

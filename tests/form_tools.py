"""The paper form filled in as by someone with a ruler: to the millimetre, off the rule's own draft."""

from __future__ import annotations

from collections.abc import Iterable

from patternlib.assess.answers.paper_form import SCALES
from patternlib.assess.learner.fields import Row, rows
from patternlib.assess.tasks.exercise import Exercise
from patternlib.assess.tasks.own_numbers import OwnNumbers
from patternlib.geometry import Curve
from patternlib.pieces import Piece

PLACES = 9
"""Places of a curve that are measured."""
ROUND = 0.05
"""cm that a cut line may stray between two places that are measured."""


def filled(work: Exercise, of: OwnNumbers, *, times: float = 1.0, write=None) -> dict[str, str]:
    """Every field of an exercise's form; times: the size of what is measured; write: a length as text."""
    write = write or (lambda cm: f"{cm:.1f}")
    draft = work.reference(of)
    pieces = {p.name: p for p in (work.finish(draft, of) if work.finish else ())}
    found: dict[str, str] = {}
    for row in rows(work):
        for key, value in _row(row, draft, pieces):
            found[key] = value if isinstance(value, str) else write(value * times)
    return found


def _row(row: Row, draft, pieces: dict[str, Piece]) -> Iterable[tuple[str, float | str]]:
    piece = pieces.get(row.piece)
    part = row.name.split(" of ", 1)[-1]
    match row.kind:
        case "point":
            yield from _spots(row, [draft[row.name]])
        case "curve":
            yield from _spots(row, _places(draft[row.name]))
        case "number":
            yield row.key("length"), draft[row.name]
        case "angle":
            yield row.key("length"), f"{draft[row.name]:.1f}"
        case "allowance":
            yield row.key("wide"), piece.edge(part).allowance
        case "corner":
            yield row.key("first"), piece.folds[row.choices]
        case "notches":
            for n, notch in enumerate([n for n in piece.notches if n.edge == part], 1):
                yield row.key("at", n), notch.at
                yield row.key("slits", n), "double" if notch.count == 2 else "single"
        case "grain":
            yield from _spots(row, [piece.grain.start, piece.grain.end])
        case "label":
            for n, said in enumerate([piece.label[0], *piece.label[-2:]], 1):
                yield row.key("text", n), said
        case "cut line":
            yield from _spots(row, _thinned(piece.cut_line))


def _places(curve: Curve) -> list:
    return [curve.at(curve.length * k / (PLACES - 1)) for k in range(PLACES)]


def _thinned(places) -> list:
    """The corners of a cut line, and so many places of its curves that it strays nowhere."""
    from shapely import LineString

    return list(LineString([(*p,) for p in places]).simplify(ROUND).coords)


def _spots(row: Row, spots) -> Iterable[tuple[str, float]]:
    for n, (x, y) in enumerate(spots, 1):
        yield row.key("across", n), x + 0.0
        yield row.key("up", n), y + 0.0


def photographed(
    work: Exercise, of: OwnNumbers, *, scale: str = "full", sheet: bool = True
) -> dict[str, str]:
    """The form as the page fills it from photographs of a right draft; other lengths are typed."""
    times = SCALES[scale]
    typed = filled(work, of)
    draft = work.reference(of)
    pieces = {p.name: p for p in (work.finish(draft, of) if work.finish else ())}
    for row in rows(work):
        if "across" not in row.parts:
            continue
        spots = dict(_row(row, draft, pieces))
        for key in [key for key in spots if key.endswith("|across")]:
            x, y = float(spots[key]), float(spots[key.replace("|across", "|up")])
            typed[key.replace("|across", "|photograph")] = f"1 {x:.4f} {y:.4f}"
            typed[key] = f"{x:.2f} cm"
            typed[key.replace("|across", "|up")] = f"{y:.2f} cm"
    facts = {"sha256": "ab" * 32, "residual": "0.11", "scale": scale, "frame": f"2 26 0 1 {times}"}
    if sheet:
        facts["page"] = "1"
    return typed | {f"photograph|1|{part}": text for part, text in facts.items()}

"""Boards of seams: walked side by side, ends sewn and opened flat; the side opening and how it is closed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ..body import Body
from ..checking import Finding
from ..garments import make
from ..garments.base import Garment
from ..output.scene import side_by_side
from ..output.scene.walking import ENDS, find_seam, walk_scene
from ..pieces import side_length
from ..units import write_length
from .board import Board
from .garment import style_slider
from .picture import Picture
from .slider import Slider, choice

FLAT, FOLDED = "opened flat", "hems folded up as well"
CLOSING = ("opening", "extension", "fastening", "fastenings", "button")
"""The style values that close the opening."""


def walk_board(garment: Garment, seam: str = "", *, title: str = "", unit: str = "cm") -> Board:
    """A live board that walks a seam of a garment from its start to its end; the walk stops at notches.

    seam: the one shown first, '' for the garment's first. UnknownName for a seam it does not have.

    >>> from patternlib import chart, make
    >>> board = walk_board(make("pinafore", chart("course").body("12")), "side seam")
    >>> board.values = {"seam": "strap to yoke", "walked": 50}
    >>> board.draw().findings[0].text
    'strap 4.6 cm, back yoke 4.6 cm, they agree'
    """
    names = _names(garment)
    sliders = (
        choice("seam", "Seam", names, start=_first(garment, seam)),
        Slider("walked", "Walked", 0, 100, 1, 0, "%", "From the seam's start; it stops at each notch."),
    )

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        name = names[round(values["seam"])]
        sewn = find_seam(garment, name)
        by_name = {piece.name: piece for piece in garment.pieces}
        long = max(side_length(by_name, sewn.a), side_length(by_name, sewn.b))
        scene = walk_scene(garment, name, long * values["walked"] / 100, unit=unit)
        return Picture(
            scene, _said(garment, name, scene.title.removeprefix(f"{name}: "), "agree" in scene.title)
        )

    return Board(redraw, sliders, title=title or "Walking a seam", unit=unit)


def opened_board(garment: Garment, seam: str = "", *, title: str = "", unit: str = "cm") -> Board:
    """A live board of the ends of a garment's seams, sewn and opened flat, as seen from the inside.

    seam: the one shown first, '' for the garment's first. UnknownName for a seam it does not have.

    >>> from patternlib import chart, make
    >>> board = opened_board(make("pinafore", chart("course").body("12")), "side seam")
    >>> board.values = {"end": "end"}
    >>> board.draw().findings[0].text
    'opened flat, nothing stands out'
    """
    names = _names(garment)
    sliders = (
        choice("seam", "Seam", names, start=_first(garment, seam)),
        choice("end", "End of the seam", ENDS, why="In the direction of the walk."),
        choice("stage", "Shown", (FLAT, FOLDED)),
    )

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        from ..output.scene.opened import opened_scene

        name, end = names[round(values["seam"])], ENDS[round(values["end"])]
        scene = opened_scene(garment, name, end, folded=bool(round(values["stage"])), unit=unit)
        said = scene.title.removeprefix(f"{name}, {end}: ")
        return Picture(scene, _said(garment, name, said, "nothing stands out" in said))

    return Board(redraw, sliders, title=title or "A seam's end, sewn and opened", unit=unit)


def spoilt(garment: Garment) -> Garment:
    """A pinafore with three pieces that no longer belong to it, as a task: find them by the checks.

    >>> from patternlib import chart, make
    >>> made = make("pinafore", chart("course").body("12"))
    >>> sum(p != q for p, q in zip(made.pieces, spoilt(made).pieces))
    3
    """
    changed: Mapping[str, Any] = {**garment.style, "fitting": 3.8, "waistband": 6}
    other = make("pinafore", garment.body, **changed)
    strange = {name: other.piece(name) for name in ("strap", "waistband")}
    strange["back pocket"] = garment.piece("back pocket").replace(cut=1)
    return replace(garment, pieces=tuple(strange.get(p.name, p) for p in garment.pieces))


def _names(garment: Garment) -> tuple[str, ...]:
    return tuple(seam.name for seam in garment.seams)


def _first(garment: Garment, seam: str) -> int:
    return _names(garment).index(find_seam(garment, seam).name) if seam else 0


def _said(garment: Garment, seam: str, text: str, right: bool) -> tuple[Finding, ...]:
    """What the drawing shows, then what the checks say of this seam."""
    shown = Finding(100, "right" if right else "error", seam, None, None, None, text)
    return (shown, *(f for f in garment.findings if f.where == seam or f.where.startswith(f"{seam}, ")))


def closing_board(
    body: Body, names: Sequence[str] = CLOSING, *, title: str = "", unit: str = "cm", **style: float
) -> Board:
    """A live board of the pinafore's side opening, closed and open, with lap and buttons as sliders.

    names: the style values that get a slider; other style values may be set by keyword and stay.

    >>> from patternlib import chart
    >>> board = closing_board(chart("course").body("12"))
    >>> board.values = {"extension": 4}
    >>> board.draw().findings[0].text
    'closed: the side lines meet; waist 74.2 cm'
    """
    set_so: dict[str, Any] = dict(style)
    begun = make("pinafore", body, **set_so).style
    sliders = [style_slider("pinafore", name, begun[name]) for name in names]

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        from ..output.scene.closing import closing_scene

        garment = make("pinafore", body, **(set_so | dict(values)))
        closed, opened = (closing_scene(garment, opened=way, unit=unit) for way in (False, True))
        wrong = tuple(f for f in garment.findings if f.code // 10 in (71, 72))
        meets = "right" if "meet" in closed.title else "error"
        found = [Finding(100, meets, "side opening", None, None, None, closed.title), *wrong]
        if not any(f.code == 721 for f in wrong):
            deep = write_length(garment.style["opening"], unit)
            text = f"{deep} deep: the hips pass through its end"
            found.append(Finding(100, "right", "side opening", None, None, None, text))
        return Picture(side_by_side(closed, opened, title="the side opening, closed and open"), tuple(found))

    return Board(redraw, sliders, title=title or "Closing the side", unit=unit)

"""Boards of seams: both sides walked along each other, and their ends sewn and opened flat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ..checking import Finding
from ..garments import make
from ..garments.base import Garment
from ..output.scene.walking import ENDS, find_seam, walk_scene
from ..pieces import side_length
from .board import Board
from .picture import Picture
from .slider import Slider, choice

FLAT, FOLDED = "opened flat", "hems folded up as well"


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

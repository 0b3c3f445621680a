"""A board for a whole garment: its plans and its pieces, its findings and its style values as sliders."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .. import tolerances
from ..body import Body
from ..errors import unknown
from ..garments import make, style_values
from ..garments.base import Garment, read_style
from ..output.scene import Scene, facts, garment_scene, plan_scene, replayed, sheet_scene, side_by_side
from ..output.scene.garments import Handles, Places
from .board import Board
from .handles import GARMENT_POINTS, handles_of
from .picture import BoardStep, Picture
from .slider import Slider

SHOWN = ("plans", "pieces")
"""What a garment's board shows if nothing else is asked for; 'drawing', the garment as worn, is the third."""


def style_slider(garment: str, name: str, start: float | None = None, *, body: Body | None = None) -> Slider:
    """The slider of one style value of a garment, with its words, reason, and the range for this body.

    start: where it stands; None: where the garment starts for this body.

    >>> style_slider("pinafore", "yoke_depth").shown(7.5)
    'Yoke depth at centre back 7.5 cm'
    """
    values = {value.name: value for value in style_values(garment)}
    if name not in values:
        raise unknown("style value", name, values)
    v = values[name]
    of_all = read_style(tuple(values.values()), {}, body)
    stands = of_all[name] if start is None else start
    low, high = v.range_for(body, of_all)
    low, high = min(low, stands), max(high, stands)
    return Slider(v.name, v.label, low, high, v.step, stands, v.unit, v.why, v.choices)


def garment_board(
    garment: str,
    body: Body,
    names: Sequence[str],
    *,
    title: str = "",
    show: Sequence[str] = SHOWN,
    steps_of: str = "",
    unit: str = "cm",
    **style: float,
) -> Board:
    """A live board of a garment for one body.

    names: the style values that get a slider; other style values may be set by keyword and stay. show: any
    of 'plans', 'pieces' and 'drawing', the garment as it is worn; steps_of: the draft whose steps the step
    slider replays, '' for none.
    """
    sliders = [style_slider(garment, name, style.pop(name, None), body=body) for name in names]

    def made(values: Mapping[str, float]) -> Garment:
        set_now: Mapping[str, Any] = {**style, **values}
        return make(garment, body, **set_now)

    ways: dict[str, Handles] = {}

    def handles() -> Handles:
        """The movable points, whose ways are those at the start of the board."""
        if not ways:
            points = GARMENT_POINTS.get(garment, {})
            ways["start"] = handles_of(points, sliders, lambda values: made(values).drafts)
        return ways["start"]

    def redraw(
        values: Mapping[str, float], *, unit: str, places: Places | None = None, checked: bool = True
    ) -> Picture:
        whole = made(values)
        name = title or whole.name
        if tuple(show) == ("drawing",):
            scene = _worn(whole, unit)
        elif "plans" in show and "pieces" in show:
            scene = sheet_scene(whole, unit=unit, title=name, handles=handles(), places=places)
        elif "plans" in show:
            scene = plan_scene(
                whole, unit=unit, lettering="screen", construction=False, handles=handles(), places=places
            )
        else:
            scene = garment_scene(whole, unit=unit, lettering="screen", test_square=False, places=places)
        if "drawing" in show and len(show) > 1:
            scene = side_by_side(_worn(whole, unit), scene, title=name)
        known = facts(whole) if {"pieces", "drawing"} & set(show) else {}
        return Picture(scene, whole.findings if checked else None, known)

    def steps(values: Mapping[str, float], *, unit: str) -> tuple[BoardStep, ...]:
        return tuple(BoardStep(*step) for step in replayed(made(values).drafts[steps_of], unit=unit))

    named = [style_slider(garment, value.name) for value in style_values(garment)]
    return Board(
        redraw, sliders, title=title or garment, steps=steps if steps_of else None, unit=unit, named=named
    )


def compare(board: Board, **asked: float) -> str:
    """Sentences on how the values of a board differ from those asked for, in the sliders' own units.

    >>> from patternlib.body import chart
    >>> board = garment_board("pinafore", chart("course").body("12"), ["yoke_depth"], show=["plans"])
    >>> print(compare(board, yoke_depth=8))
    Yoke depth at centre back stands at 7 cm; 8 cm is asked for.
    """
    lines = []
    for name, want in asked.items():
        if name not in board.values:
            raise unknown("slider of this board", name, board.values)
        got = board.values[name]
        if abs(got - want) > tolerances.ENTERED:
            slider = board.slider(name)
            unit = f" {slider.unit}" if slider.unit else ""
            words = slider.choices
            stands, asks = (words[round(n)] if words else f"{n:g}{unit}" for n in (got, want))
            lines.append(f"{slider.label} stands at {stands}; {asks} is asked for.")
    return "\n".join(lines) or "Right: this is what was asked for."


def _worn(garment: Garment, unit: str) -> Scene:
    from ..output.scene.worn import worn_scene

    return worn_scene(garment, unit=unit)

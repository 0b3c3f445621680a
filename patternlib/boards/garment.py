"""A board for a whole garment: its plans and its pieces, its findings and its style values as sliders."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .. import tolerances
from ..body import Body
from ..errors import unknown
from ..garments import make, style_values
from ..garments.base import Garment, read_style
from ..geometry import Point
from ..not_here import said_if_missing
from ..output.scene import Scene, facts, garment_scene, plan_scene, replayed, sheet_scene, side_by_side
from ..output.scene.garments import Places
from .board import Board
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
    return Slider(v.name, v.label, min(low, stands), max(high, stands), v.step, stands, v.unit, v.why)


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

    def redraw(
        values: Mapping[str, float], *, unit: str, places: Places | None = None, checked: bool = True
    ) -> Picture:
        whole = made(values)
        name = title or whole.name
        if tuple(show) == ("drawing",):
            scene = _worn(whole)
        elif "plans" in show and "pieces" in show:
            handles = _handles(whole, names)
            scene = sheet_scene(whole, unit=unit, title=name, handles=handles, places=places)
        elif "plans" in show:
            handles = _handles(whole, names)
            scene = plan_scene(whole, unit=unit, lettering="screen", construction=False, handles=handles)
        else:
            scene = garment_scene(whole, unit=unit, lettering="screen", test_square=False, places=places)
        if "drawing" in show and len(show) > 1:
            scene = side_by_side(_worn(whole), scene, title=name)
        known = facts(whole) if {"pieces", "drawing"} & set(show) else {}
        return Picture(scene, whole.findings if checked else None, known)

    def steps(values: Mapping[str, float], *, unit: str) -> tuple[BoardStep, ...]:
        return tuple(BoardStep(*step) for step in replayed(made(values).drafts[steps_of], unit=unit))

    named = [style_slider(garment, value.name) for value in style_values(garment)]
    return Board(
        redraw, sliders, title=title or garment, steps=steps if steps_of else None, unit=unit, named=named
    )


def _handles(garment: Garment, names: Sequence[str]):
    """The points of the plans that a hand may move: {(draft, step): (words, {style value: way})}."""
    if garment.name != "pinafore":
        return {}
    side = garment.drafts["back plan"]["yoke side part"].start_direction
    points = {
        ("back plan", "yoke at centre back"): ("Yoke at the centre back", {"yoke_depth": Point(0, -1)}),
        ("back plan", "yoke at the side"): ("Yoke at the side", {"yoke_side_depth": -side}),
        ("back plan", "pocket point"): ("Pocket point", {"pocket_point": Point(0, -1)}),
        ("back plan", "strap point"): (
            "Strap point", {"strap_from_centre": Point(1, 0), "strap_level": Point(0, 1)},
        ),
        ("front plan", "bib corner"): ("Bib corner", {"bib_top": Point(-0.5, 0), "bib_height": Point(0, 1)}),
    }  # fmt: skip
    kept = {}
    for place, (words, moves) in points.items():
        moves = {name: tuple(way) for name, way in moves.items() if name in names}
        if moves:
            kept[place] = (words, moves)
    return kept


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
            lines.append(f"{slider.label} stands at {got:g}{unit}; {want:g}{unit} is asked for.")
    return "\n".join(lines) or "Right: this is what was asked for."


def _worn(garment: Garment) -> Scene:
    with said_if_missing("The working drawing"):
        from ..output.scene.worn import worn_scene
    return worn_scene(garment)

"""A board for a whole garment: its plans and its pieces, its findings and its style values as sliders."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .. import tolerances
from ..body import Body
from ..errors import PatternError, unknown
from ..garments import make, style_values
from ..garments.base import Garment, read_style
from ..geometry import Point
from ..output.scene import Scene, facts, garment_scene, plan_scene, replayed, sheet_scene, side_by_side
from ..output.scene.garments import Handles, Places
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

    ways: dict[str, Handles] = {}

    def handles() -> Handles:
        """The movable points, whose ways are those at the start of the board."""
        if not ways:
            ways["start"] = plan_handles(made({s.name: s.start for s in sliders}), names)
        return ways["start"]

    def redraw(
        values: Mapping[str, float], *, unit: str, places: Places | None = None, checked: bool = True
    ) -> Picture:
        whole = made(values)
        name = title or whole.name
        if tuple(show) == ("drawing",):
            scene = _worn(whole)
        elif "plans" in show and "pieces" in show:
            scene = sheet_scene(whole, unit=unit, title=name, handles=handles(), places=places)
        elif "plans" in show:
            scene = plan_scene(
                whole, unit=unit, lettering="screen", construction=False, handles=handles(), places=places
            )
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


# -- points of the plans that a hand may move

LEAST = 0.1
"""cm: a point that goes less for 1 cm of its value is no handle for it."""

POINTS: Mapping[str, Mapping[tuple[str, str], tuple[str, tuple[str, ...]]]] = {
    "pinafore": {
        ("front plan", "bib corner"): ("Bib corner", ("bib_top", "bib_height")),
        ("front plan", "waistband at centre front"): ("Waistband at the centre front", ("waistband",)),
        ("front plan", "bib pocket foot corner"): (
            "Bib pocket corner", ("bib_pocket_width", "bib_pocket_depth"),
        ),
        ("front plan", "opening end"): ("End of the side opening", ("opening",)),
        ("front plan", "centre hem"): ("Hem at the centre front", ("skirt_length",)),
        ("back plan", "yoke at centre back"): ("Yoke at the centre back", ("yoke_depth",)),
        ("back plan", "yoke at the side"): ("Yoke at the side", ("yoke_side_depth",)),
        ("back plan", "pocket point"): ("Pocket point", ("pocket_point",)),
        ("back plan", "pocket outer corner"): ("Pocket corner", ("pocket_width", "pocket_length")),
        ("back plan", "strap point"): ("Strap point", ("strap_from_centre", "strap_level")),
        ("back plan", "side hem"): ("Side seam at the hem", ("flare", "skirt_length")),
    },
    "apron": {
        ("front plan", "bib corner"): ("Bib corner", ("bib_top", "bib_height")),
        ("front plan", "pocket top"): ("Pocket top", ("pocket_below_waist",)),
        ("front plan", "pocket foot corner"): ("Pocket corner", ("pocket_width", "pocket_depth")),
        ("front plan", "centre hem"): ("Hem at the centre front", ("skirt_length",)),
        ("back plan", "side waist"): ("Side seam at the waist", ("waist_ease",)),
        ("back plan", "side hem"): ("Side seam at the hem", ("flare", "skirt_length")),
        ("back plan", "wrap hem"): ("Edge of the wrap", ("wrap",)),
        ("back plan", "strap end of the other side"): ("Strap end", ("strap_from_centre",)),
    },
    "smock": {
        ("front plan", "underarm"): ("Underarm", ("bust_ease", "armhole_ease")),
        ("front plan", "pocket inner top"): ("Pocket top", ("pocket_from_centre", "pocket_below_waist")),
        ("front plan", "pocket outer corner"): ("Pocket corner", ("pocket_width", "pocket_depth")),
        ("front plan", "facing foot"): ("End of the slit", ("slit",)),
        ("front plan", "side hem"): ("Bust dart, turned into the hem", ("bust_dart",)),
        ("front plan", "centre hem"): ("Hem at the centre front", ("length",)),
        ("back plan", "neck point"): ("Neck point", ("neck_ease",)),
        ("back plan", "shoulder tip"): ("Shoulder tip", ("dropped_shoulder",)),
        ("back plan", "side hem"): ("Side seam at the hem", ("flare", "length")),
        ("collar plan", "centre back at the outer edge"): ("Collar edge", ("collar_depth",)),
    },
}  # fmt: skip
"""{garment: {(draft, step): (words, style values)}}."""


def plan_handles(garment: Garment, names: Sequence[str]) -> Handles:
    """Return the points of a garment that move with these style values: words, and the way 1 cm goes.

    The ways are found by drafting the garment again with each value a step further.

    >>> from patternlib.body import chart
    >>> handles = plan_handles(make("smock", chart("course").body("12")), ["length"])
    >>> [(words, way["length"]) for words, way in handles.values() if "centre" in words]
    [('Hem at the centre front', (0.0, -1.0))]
    """
    asked = {name for _, values in POINTS.get(garment.name, {}).values() for name in values} & set(names)
    stepped = {name: found for name in asked if (found := _a_step_on(garment, name))}
    kept = {}
    for (draft, step), (words, values) in POINTS.get(garment.name, {}).items():
        if draft not in garment.drafts or step not in garment.drafts[draft]:
            continue
        ways = {}
        for name in values:
            if name in stepped and step in stepped[name][0].drafts[draft]:
                other, by = stepped[name]
                way: Point = (other.drafts[draft][step] - garment.drafts[draft][step]) * (1 / by)
                if way.length > LEAST:
                    ways[name] = (round(way.x, 4) + 0.0, round(way.y, 4) + 0.0)
        if ways:
            kept[draft, step] = (words, ways)
    return kept


def _a_step_on(garment: Garment, name: str) -> tuple[Garment, float] | None:
    """(the garment with one value a step further, by how much); None where neither way draws."""
    value = next(v for v in style_values(garment.name) if v.name == name)
    body: Body = garment.body
    for by in (value.step, -value.step):
        changed: dict[str, Any] = {**garment.given, name: garment.style[name] + by}
        if value.low <= changed[name] <= value.high:
            try:
                return make(garment.name, body, **changed), by
            except PatternError:
                continue
    return None


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
    from ..output.scene.worn import worn_scene

    return worn_scene(garment)

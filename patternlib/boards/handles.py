"""Movable points: which points of a draft go with which values, and how far 1 of a value moves them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from ..draft import Draft
from ..errors import PatternError
from ..output.scene.garments import Handles
from .slider import Slider

LEAST = 0.1
"""cm: a point that goes less for 1 of its value is no handle for it."""

Points = Mapping[tuple[str, str], tuple[str, tuple[str, ...]]]
"""{(draft, step): (words, values that move it, the best first)}."""

Drafts = Mapping[str, Draft]
Drawn = Callable[[dict[str, float]], Drafts]


def handles_of(
    points: Points, sliders: Iterable[Slider], drawn: Callable[[dict[str, float]], Drafts]
) -> Handles:
    """The points that move with the values of the sliders, and the way that 1 of each value goes.

    drawn: the drafts of a row of values; the ways are found by drafting again with each value a step further
    (a step back where that cannot be drawn). A point keeps the first two of its values that move it in
    different directions.

    >>> from patternlib import chart, skirt_block
    >>> length = Slider("length", "Length", 40, 90, 0.5, 60, "cm", "")
    >>> handles_of(
    ...     {("block", "side hem"): ("Hem", ("length",))}, [length],
    ...     lambda values: {"block": skirt_block(chart("course").body("12"), **values)},
    ... )
    {('block', 'side hem'): ('Hem', {'length': (0.0, -1.0)})}
    """
    on = {s.name: s for s in sliders}
    start = {name: float(s.start) for name, s in on.items()}
    drafts = drawn(start)
    asked = {name for _, values in points.values() for name in values} & set(on)
    stepped = {name: found for name in asked if (found := _a_step_on(on[name], start, drawn))}
    kept = {}
    for (draft, step), (words, values) in points.items():
        if draft not in drafts or step not in drafts[draft]:
            continue
        ways: dict[str, tuple[float, float]] = {}
        for name in values:
            if name not in stepped or step not in stepped[name][0][draft]:
                continue
            other, by = stepped[name]
            way = (other[draft][step] - drafts[draft][step]) * (1 / by)
            if (
                way.length > LEAST
                and all(_apart(way.x, way.y, *one) for one in ways.values())
                and len(ways) < 2
            ):
                ways[name] = (round(way.x, 4) + 0.0, round(way.y, 4) + 0.0)
        if ways:
            kept[draft, step] = (words, ways)
    return kept


def _apart(x: float, y: float, u: float, v: float) -> bool:
    """Whether two ways go in directions that differ, so that a hand can choose between them."""
    return abs(x * v - y * u) > 0.2 * (x * x + y * y) ** 0.5 * (u * u + v * v) ** 0.5


def _a_step_on(slider: Slider, start: dict[str, float], drawn: Drawn) -> tuple[Drafts, float] | None:
    """(the drafts with one value a step further, by how much); None where neither way draws."""
    for by in (slider.step, -slider.step):
        v = start[slider.name] + by
        if slider.low <= v <= slider.high:
            try:
                return drawn({**start, slider.name: v}), by
            except PatternError:
                continue
    return None


GARMENT_POINTS: Mapping[str, Points] = {
    "pinafore": {
        ("front plan", "bib corner"): ("Bib corner", ("bib_top", "bib_height")),
        ("front plan", "waistband at centre front"): ("Waistband at the centre front", ("waistband",)),
        ("front plan", "bib pocket foot corner"): (
            "Bib pocket corner", ("bib_pocket_width", "bib_pocket_depth"),
        ),
        ("front plan", "opening end"): ("End of the side opening", ("opening",)),
        ("front plan", "side waist"): ("Front side seam at the waist", ("waist_ease",)),
        ("front plan", "side hip"): ("Front side seam at the hip", ("hip_ease",)),
        ("front plan", "side hem"): ("Front side seam at the hem", ("flare", "skirt_length")),
        ("front plan", "centre hem"): ("Hem at the centre front", ("skirt_length",)),
        ("back plan", "yoke at centre back"): ("Yoke at the centre back", ("yoke_depth",)),
        ("back plan", "yoke at the side"): ("Yoke at the side", ("yoke_side_depth",)),
        ("back plan", "pocket point"): ("Pocket point", ("pocket_point",)),
        ("back plan", "pocket outer corner"): ("Pocket corner", ("pocket_width", "pocket_length")),
        ("back plan", "strap point"): ("Strap point", ("strap_from_centre", "strap_level")),
        ("back plan", "side hip"): ("Back side seam at the hip", ("hip_ease",)),
        ("back plan", "side hem"): ("Side seam at the hem", ("flare", "skirt_length")),
        ("back plan", "centre hem"): ("Hem at the centre back", ("skirt_length",)),
    },
    "apron": {
        ("front plan", "bib corner"): ("Bib corner", ("bib_top", "bib_height")),
        ("front plan", "pocket top"): ("Pocket top", ("pocket_below_waist",)),
        ("front plan", "pocket foot corner"): ("Pocket corner", ("pocket_width", "pocket_depth")),
        ("front plan", "side waist"): ("Front side seam at the waist", ("waist_ease",)),
        ("front plan", "side hip"): ("Front side seam at the hip", ("hip_ease",)),
        ("front plan", "side hem"): ("Front side seam at the hem", ("flare", "skirt_length")),
        ("front plan", "centre hem"): ("Hem at the centre front", ("skirt_length",)),
        ("back plan", "side waist"): ("Side seam at the waist", ("waist_ease",)),
        ("back plan", "side hip"): ("Back side seam at the hip", ("hip_ease",)),
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
        ("back plan", "underarm"): ("Underarm at the back", ("bust_ease", "armhole_ease")),
        ("back plan", "side hem"): ("Side seam at the hem", ("flare", "length")),
        ("back plan", "centre hem"): ("Hem at the centre back", ("length",)),
        ("collar plan", "centre back at the outer edge"): ("Collar edge", ("collar_depth",)),
    },
}  # fmt: skip
"""By garment. The darts of pinafore and apron are closed into the flare, so no dart is drawn there."""

BLOCK_POINTS: Mapping[str, Points] = {
    "Straight skirt block": {
        ("block", "centre back hip"): ("Hip level at the centre back", ("waist_to_hip",)),
        ("block", "centre back hem"): ("Hem at the centre back", ("length",)),
        ("block", "centre back waist"): ("Waist at the centre back", ("waist_drop",)),
        ("block", "side hip"): ("Side seam at the hip", ("hip_ease", "hip_girth")),
        ("block", "side hem"): ("Side seam at the hem", ("hip_ease", "length")),
        ("block", "back side waist"): ("Back side seam at the waist", ("waist_ease", "waist_girth")),
        ("block", "front side waist"): ("Front side seam at the waist", ("waist_ease", "waist_girth")),
        ("block", "back dart leg 2"): ("Back dart", ("waist_ease", "waist_girth")),
        ("block", "back dart 1 leg 2"): ("First back dart", ("waist_ease", "waist_girth")),
        ("block", "back dart 2 leg 2"): ("Second back dart", ("waist_ease", "waist_girth")),
        ("block", "front dart leg 2"): ("Front dart", ("waist_ease", "waist_girth")),
    },
    "Bodice block": {
        ("block", "nape"): ("Nape", ("back_waist_length",)),
        ("block", "back shoulder tip"): ("Back shoulder tip", ("shoulder_drop", "shoulder_length")),
        ("block", "underarm point"): ("Underarm", ("bust_ease", "bust_girth", "armhole_depth")),
        ("block", "bust point"): ("Bust point", ("bust_span", "neck_to_bust")),
        ("block", "bust dart leg 2"): ("Bust dart", ("bust_dart",)),
        ("block", "back dart leg 2"): ("Back waist dart", ("waist_ease", "waist_girth", "underbust_girth")),
        ("block", "front dart leg 2"): ("Front waist dart", ("waist_ease", "waist_girth", "underbust_girth")),
        ("block", "front side waist"): ("Front side seam at the waist", ("waist_ease", "waist_girth")),
    },
    "Sleeve block": {
        ("block", "cap top"): ("Top of the cap", ("cap_ease",)),
        ("block", "front underarm"): ("Front underarm", ("upper_arm_ease", "upper_arm_girth")),
        ("block", "back underarm"): ("Back underarm", ("upper_arm_ease", "upper_arm_girth")),
        ("block", "front wrist"): ("Front of the wrist", ("wrist_ease", "wrist_girth")),
        ("block", "back wrist"): ("Back of the wrist", ("wrist_ease", "wrist_girth")),
    },
}  # fmt: skip
"""By title of the board."""

"""The points of a garment's plans that a hand may move, and how far each goes with its style values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..body import Body
from ..errors import PatternError
from ..garments import make, style_values
from ..garments.base import Garment
from ..geometry import Point
from ..output.scene.garments import Handles

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

"""Lessons 6, 7 and 8: front plan, back plan and straps of the kiln-room pinafore."""

from functools import lru_cache

from ....draft import Draft, Drafting
from ....garments.base import read_style
from ....garments.pinafore import STYLE, pinafore_plans
from ....tolerances import SEWN
from ..exercise import Exercise, ask, note
from ..own_numbers import OwnNumbers


def both(v: OwnNumbers) -> tuple[Draft, Draft, dict[str, float]]:
    """(front plan, back plan, every style value) of a student."""
    return _both(v.body, tuple(v.style.items()))


@lru_cache(maxsize=600)
def _both(body, style) -> tuple[Draft, Draft, dict[str, float]]:
    values = read_style(STYLE, dict(style), body)
    return *pinafore_plans(body, values), values


def front(v: OwnNumbers) -> Draft:
    return both(v)[0]


def back(v: OwnNumbers) -> Draft:
    return both(v)[1]


THICKNESS, TURNED, LOOP_AND_RING, ROUND_SLIDE = 0.3, 1.5, 2.5, 3.0
"""cm; room for the cloth in the fitting, an edge turned twice, what stands between bib and strap, and what is
turned round the slide's bar (common practice, no source)."""


def strap_sums(v: OwnNumbers) -> Draft:
    d = Drafting("a strap calculated", back(v))
    note(d, v, "fitting", "strap_spread", "turn_back")
    d.given("cloth thickness", THICKNESS)
    d.given("allowance turned twice", TURNED)
    d.given("loop and ring", LOOP_AND_RING)
    d.given("round the slide", ROUND_SLIDE)
    d.sum(
        "strap width",
        {"fitting": 1.0, "cloth thickness": -1.0},
        source="fitting less the thickness of the cloth",
        because="the strap must slide in its fitting",
    )
    d.sum("base width", {"strap width": 1.0, "strap spread": 1.0}, source="strap width + spread at the base")
    d.add("straight side, length", "length", ("strap straight side",))
    d.add("curved side, length", "length", ("strap curved side",))
    d.sum(
        "cut width",
        {"base width": 1.0, "allowance turned twice": 2.0},
        source="base width + both allowances",
        because="the strip that is cut must hold the strap where it is widest",
    )
    d.sum(
        "worn length",
        {"straight side, length": 1.0, "loop and ring": -1.0},
        source="straight side less loop and ring",
        because="loop and ring stand between the bib and the strap",
    )
    d.sum(
        "cut length",
        {"worn length": 1.0, "turn back": 1.0, "round the slide": 1.0, "allowance turned twice": 1.0},
        source="worn length + back up to the slide + round its bar + the allowance at the base",
    )
    return d.finish()


WAIST = (
    "side hip",
    "side waist",
    "hip curve",
    "waistline",
    "side hem",
    "side line",
    "side",
    "hemline",
    "centre",
)
FRONT_TERMS = {
    "waistband at centre front": {"waistband": 1.0},
    "waistband at the side": {"waistband": 1.0},
    "bib top at centre front": {"bib_height": 1.0},
    "bib corner": {"bib_top": 0.5},
    "bib pocket top": {"bib_pocket_below_top": 1.0},
    "bib pocket corner": {"bib_pocket_width": 0.5},
    "bib pocket foot corner": {"bib_pocket_depth": 1.0},
    "bib pocket foot": {"bib_pocket_depth": 1.0},
    "opening end": {"opening": 1.0},
    "run-on end": {"opening": 1.0, "extension_run_on": 1.0},
    "button line": {"extension": 0.5},
}
BACK_TERMS = {
    "yoke at centre back": {"yoke_depth": 1.0},
    "yoke at the side": {"yoke_side_depth": 1.0},
    "opening end": {"opening": 1.0},
    "run-on end": {"opening": 1.0, "extension_run_on": 1.0},
    "centre back top": {"back_rise": 1.0},
    "strap level": {"strap_level": 1.0},
    "strap point": {"strap_from_centre": 1.0},
    "pocket inner upright": {"pocket_from_centre": 1.0},
    "pocket outer upright": {"pocket_from_centre": 1.0, "pocket_width": 1.0},
    "pocket inner corner": {"pocket_length": 1.0},
    "pocket point": {"pocket_point": 1.0},
    "pocket top line": {"pocket_below_yoke": 1.0},
}

BIB = Exercise(
    id="06a",
    title="Front plan: waistband, bib and bib pocket",
    lesson=6,
    task="Draw waistband, bib and bib pocket on the front that has its flare already.",
    asked=(
        *ask("waistband at centre front", "waistband at the side"),
        *ask("waistband line", kind="curve"),
        *ask("bib top at centre front", "bib corner"),
        *ask("bib side", kind="curve"),
        *ask("bib pocket top", "bib pocket corner", "bib pocket foot corner", "bib pocket foot"),
    ),
    draw=front,
    terms=FRONT_TERMS,
    ready=WAIST,
)

FLARE = Exercise(
    id="06b",
    title="Front plan: flare, side and opening",
    lesson=6,
    task="Close the front dart into flare, draw waist, side and hem, and mark the opening.",
    asked=(
        *ask("pin", "side hip", "side waist"),
        *ask("hip curve", "waistline", kind="curve"),
        *ask("side hem"),
        *ask("hemline", kind="curve"),
        *ask("opening end", "run-on end"),
        *ask("button line", "facing line", kind="curve"),
    ),
    draw=front,
    terms=FRONT_TERMS,
    ready=("closing angle", "side line, angle"),
)

YOKE = Exercise(
    id="07a",
    title="Back plan: flare, levels and yoke",
    lesson=7,
    task="Close the back dart into flare, carry the side's length over, draw yoke and opening.",
    asked=(
        *ask("pin", "side hip", "side waist"),
        *ask("hip curve", "waistline", kind="curve"),
        *ask("below the hip", kind="number", meets=SEWN),
        *ask("side hem"),
        *ask("hemline", kind="curve"),
        *ask("yoke at centre back", "yoke at the side"),
        *ask("yoke line", kind="curve"),
        *ask("opening end", "run-on end"),
    ),
    draw=back,
    terms=BACK_TERMS,
    ready=("closing angle", "side line, angle"),
)

POCKET = Exercise(
    id="07b",
    title="Back plan: the patch pocket",
    lesson=7,
    task="Set the pocket under the yoke: sides on the grain, corners squared, its point in the middle.",
    asked=(
        *ask("pocket inner top", "pocket outer top", "pocket inner corner", "pocket outer corner"),
        *ask("pocket bottom middle", "pocket point"),
    ),
    draw=back,
    terms=BACK_TERMS,
    ready=(*WAIST, "yoke at centre back", "yoke at the side", "yoke line"),
)

STRAP = Exercise(
    id="08a",
    title="The strap on the back plan",
    lesson=8,
    task="Lay the front over the shoulder, draw the strap to the bib's corner, and the edges beside it.",
    asked=(
        *ask("bib corner, joined", "strap end", "centre back top", "strap level", "strap point"),
        *ask("strap outer point", "strap end outside", "taper end"),
        *ask("strap curved side", "back neck edge", "back side edge", kind="curve"),
    ),
    draw=back,
    terms=BACK_TERMS,
    ready=(*WAIST, "waist end, angle"),
)

STRAP_SUMS = Exercise(
    id="08b",
    title="A strap calculated",
    lesson=8,
    task="From fitting, cloth and plan, calculate how wide and how long the strap is sewn and cut.",
    asked=ask(
        "strap width",
        "base width",
        "straight side, length",
        "curved side, length",
        "cut width",
        "worn length",
        "cut length",
        kind="number",
    ),
    draw=strap_sums,
    ready=("strap straight side", "strap curved side"),
    allowance=TURNED,
)

EXERCISES = (BIB, FLARE, YOKE, POCKET, STRAP, STRAP_SUMS)

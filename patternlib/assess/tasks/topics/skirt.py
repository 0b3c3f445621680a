"""Lesson 2: the straight skirt block, given body and ease."""

from ....blocks.skirt import SIDE_SHARE, skirt_block
from ....draft import Draft
from ..exercise import Exercise, ask
from ..own_numbers import OwnNumbers

DROP, RISE = 1.0, 1.2
"""cm; the waist at centre back is lowered, the side raised (common practice, no source)."""


def block(v: OwnNumbers) -> Draft:
    return skirt_block(
        v.body,
        length=v.style["skirt_length"],
        hip_ease=v.style["hip_ease"],
        waist_ease=v.style["waist_ease"],
        waist_drop=DROP,
        side_rise=RISE,
        one_dart=True,
    )


QUARTER = {"hip_girth": 0.25, "hip_ease": 0.25}
TERMS = {
    "centre back hip": {"waist_to_hip": 1.0},
    "centre back hem": {"skirt_length": 1.0},
    "side hip": QUARTER,
    "centre front hip": QUARTER,
    "side waist level back": {"waist_to_hip": 1.0},
    "side shaping": {
        "hip_girth": SIDE_SHARE / 2,
        "hip_ease": SIDE_SHARE / 2,
        "waist_girth": -SIDE_SHARE / 2,
        "waist_ease": -SIDE_SHARE / 2,
    },
}
RULES = {
    "side shaping": f"Calculate side shaping: {SIDE_SHARE:g} of (half of hip and hip ease, less half of "
    "waist and waist ease); back and front take it alike.",
}

FRAME = Exercise(
    id="02a",
    title="The frame of the skirt block",
    lesson=2,
    task="Draw the frame of the straight skirt block on your own measures: hip line, hem and side.",
    asked=ask(
        "centre back hip",
        "centre back hem",
        "side hip",
        "centre front hip",
        "side hem",
        "centre front hem",
        "waist at centre front",
        "centre back waist",
    ),
    draw=block,
    terms=TERMS,
)

WAIST = Exercise(
    id="02b",
    title="Waist, side and darts of the skirt block",
    lesson=2,
    task="Shape the side, draw the waist and place one dart in the back and one in the front.",
    asked=(
        *ask("side hip"),
        *ask("side shaping", kind="number"),
        *ask("back side waist", "front side waist"),
        *ask("back hip curve", "back waist", kind="curve"),
        *ask("back dart mouths", kind="number"),
        *ask("back dart leg", "back dart leg 2", "back dart point"),
        *ask("front hip curve", "front waist", kind="curve"),
        *ask("front dart mouths", kind="number"),
        *ask("front dart leg", "front dart leg 2", "front dart point"),
    ),
    draw=block,
    terms=TERMS,
    rules=RULES,
)

EXERCISES = (FRAME, WAIST)

"""Lesson 3: the bodice block, back and front, and its lengths by the tape alone."""

from ....blocks.bodice import NECK_WIDTH, bodice_block
from ....draft import Draft, Drafting
from ..exercise import Exercise, ask
from ..own_numbers import OwnNumbers

EASE = {"bust_ease": 10.0, "waist_ease_of_the_bodice": 5.0, "armhole_ease": 2.5, "back_shoulder_ease": 0.8}


def block(v: OwnNumbers) -> Draft:
    return bodice_block(v.body, one_dart=True)


def taped(v: OwnNumbers) -> Draft:
    d = Drafting("the bodice block by the tape", block(v))
    d.add("shoulder to underarm, back", "distance", ("back shoulder tip", "underarm point"))
    d.add("nape to underarm", "distance", ("nape", "underarm point"))
    d.add("neck point to bust point", "distance", ("front neck point", "bust point"))
    d.length("side seam", "back side")
    for name in ("back neckline", "front neckline", "back shoulder", "back armhole", "front armhole"):
        d.length(f"{name}, length", name)
    d.add("width across the bust line", "distance", ("centre back bust line", "centre front bust line"))
    return d.finish()


TERMS = {
    "nape": {"back_waist_length": 1.0},
    "centre back bust line": {"armhole_depth": 1.0, "armhole_ease": 1.0},
    "centre front bust line": {"bust_girth": 0.5, "bust_ease": 0.5},
    "neck width at the back": {"neck_girth": 1 / NECK_WIDTH},
    "neck width at the front": {"neck_girth": 1 / NECK_WIDTH},
    "back shoulder tip": {"shoulder_length": 1.0, "back_shoulder_ease": 1.0},
    "centre front neck": {"front_waist_length": 1.0},
    "bust point upright": {"bust_span": 0.5},
    "shoulder tip, dart closed": {"shoulder_length": 1.0},
    "fullness": {"bust_girth": 0.25, "underbust_girth": -0.25},
}

FRAME = Exercise(
    id="03a",
    title="The bodice block: levels, necklines, shoulders",
    lesson=3,
    task="Draw the levels of the bodice block, both necklines and both shoulders on your own measures.",
    asked=(
        *ask("nape", "centre back bust line", "centre front bust line", "waist at centre front"),
        *ask("neck width at the back", "back neck point", "back shoulder tip"),
        *ask("back neckline", kind="curve"),
        *ask("centre front neck", "front neck point"),
        *ask("front neckline", kind="curve"),
        *ask("bust point", "shoulder tip, dart closed"),
    ),
    draw=block,
    terms=TERMS,
    constants=EASE,
)

ARMHOLE = Exercise(
    id="03b",
    title="The bodice block: bust dart, armholes, waist",
    lesson=3,
    task="Open the bust dart, draw both armholes and shape the waist.",
    asked=(
        *ask("bust dart leg", "fullness mark"),
        *ask("bust dart angle", kind="number"),
        *ask("bust dart leg 2", "front shoulder tip", "bust dart end", "underarm point"),
        *ask("back side waist", "front side waist", "waist under the bust"),
        *ask("back armhole", "front armhole", "back waist", "front waist", kind="curve"),
        *ask("back dart leg", "back dart leg 2", "back dart point"),
        *ask("front dart leg", "front dart leg 2", "front dart point"),
    ),
    draw=block,
    terms=TERMS,
    constants=EASE,
    ready=(
        "nape",
        "centre back bust line",
        "centre front bust line",
        "waist at centre front",
        "bust line",
        "back neck point",
        "back shoulder tip",
        "front neck point",
        "centre front neck",
        "bust point",
        "shoulder tip, dart closed",
        "back width point",
        "chest point, dart closed",
    ),
)

TAPED = Exercise(
    id="03c",
    title="The bodice block by the tape alone",
    lesson=3,
    task="Draft the bodice block on paper and take these lengths from it with ruler and tape.",
    asked=ask(
        "width across the bust line",
        "nape to underarm",
        "shoulder to underarm, back",
        "side seam",
        "neck point to bust point",
        "back neckline, length",
        "front neckline, length",
        "back shoulder, length",
        "back armhole, length",
        "front armhole, length",
        kind="number",
        tolerance=0.3,
    ),
    draw=taped,
    terms=TERMS,
    constants=EASE,
)

EXERCISES = (FRAME, ARMHOLE, TAPED)

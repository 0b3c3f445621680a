"""Lesson 1: measures of the body, their quarters and halves, and whether they are plausible."""

from ....draft import Draft, Drafting
from ....survey import measures, table
from ....units import CM_PER_INCH
from ..exercise import QUARTER, Exercise, ask, note
from ..own_numbers import OwnNumbers

SIDE = 0.22
"""The side's share of the shaping; darts take the rest (common practice, no source)."""


def shares(v: OwnNumbers) -> Draft:
    d = Drafting("quarters and halves")
    note(d, v, "bust_girth", "waist_girth", "hip_girth", "waist_ease", "hip_ease", "bust_span")
    d.sum("quarter of the hip", {"hip girth": 0.25, "hip ease": 0.25}, source=QUARTER)
    half = "half of the {0} girth + half of the {0} ease"
    d.sum("half of the hip", {"hip girth": 0.5, "hip ease": 0.5}, source=half.format("hip"))
    d.sum("half of the waist", {"waist girth": 0.5, "waist ease": 0.5}, source=half.format("waist"))
    d.sum(
        "shaping",
        {"half of the hip": 1.0, "half of the waist": -1.0},
        source="half hip less half waist",
        because="side and darts take this up",
    )
    d.sum("side shaping", {"shaping": SIDE}, source=f"{SIDE:g} of the shaping, for back and front each")
    d.sum("dart mouths", {"shaping": 1.0, "side shaping": -2.0}, source="shaping less twice the side shaping")
    d.sum("bust point from the centre", {"bust span": 0.5}, source="half of the bust span")
    return d.finish()


def _signed(number: float) -> str:
    return f"{'-' if number < 0 else '+'} {abs(number):g}"


def plausible(v: OwnNumbers) -> Draft:
    d = Drafting("are these measures plausible?")
    note(d, v, "bust_girth", "height", "hip_girth", "waist_girth")
    lines = {r["measure"]: r for r in table("survey_regression") if r["sex"] == "women"}
    for name in ("hip_girth", "waist_girth"):
        row = lines[measures()[name].survey]
        said = name.replace("_", " ")
        a, b, k = (float(row[c]) for c in ("a", "b_bust", "k_stature"))
        d.sum(
            f"usual {said}",
            {"bust girth": b, "height": k},
            a,
            source=f"{b:g} x bust {_signed(k)} x height {_signed(a)} cm",
            because="of 2,208 women measured, this is the middle",
        )
        d.sum(f"{said} less the usual", {said: 1.0, f"usual {said}": -1.0}, source=f"{said} less the usual")
    d.sum("hip less waist", {"hip girth": 1.0, "waist girth": -1.0}, source="hip less waist")
    d.given("waist read in inches", round(v.body.waist_girth / CM_PER_INCH * 8) / 8)
    d.sum("waist in cm", {"waist read in inches": CM_PER_INCH}, source="2.54 x the inches on the tape")
    d.sum(
        "tape against tape", {"waist in cm": 1.0, "waist girth": -1.0}, source="waist in cm less waist girth"
    )
    return d.finish()


SHARES = Exercise(
    id="01a",
    title="Quarters, halves and ease",
    lesson=1,
    task="Calculate from your measures and ease what the half pattern of a skirt needs.",
    asked=ask(
        "quarter of the hip",
        "half of the hip",
        "half of the waist",
        "shaping",
        "side shaping",
        "dart mouths",
        "bust point from the centre",
        kind="number",
    ),
    draw=shares,
)

PLAUSIBLE = Exercise(
    id="01b",
    title="Are these measures plausible?",
    lesson=1,
    task="Calculate what is usual for your bust and height, and how far your measures lie from it.",
    asked=ask(
        "usual hip girth",
        "hip girth less the usual",
        "usual waist girth",
        "waist girth less the usual",
        "hip less waist",
        "waist in cm",
        "tape against tape",
        kind="number",
    ),
    draw=plausible,
    rules={"waist read in inches": "The tape reads {value:g} inches at the waist."},
)

EXERCISES = (SHARES, PLAUSIBLE)

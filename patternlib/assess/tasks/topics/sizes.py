"""Lesson 13: how a girth grade is shared out, and from a size of a chart to one's own measures."""

from ....body import chart
from ....draft import Draft, Drafting
from ....units import CM_PER_INCH
from ..exercise import QUARTER, Exercise, ask, note
from ..own_numbers import OwnNumbers

GRADES = (1.0, 1.5, 2.0)
"""Inches from one size to the next: 0 to 10, 12 to 16, 18 and up (common practice)."""
STEPS = 5


def shared_grade(v: OwnNumbers) -> Draft:
    d = Drafting("a girth grade shared out")
    d.given("girth grade", GRADES[int(2 * v.body.waist_girth) % 3] * CM_PER_INCH)
    note(d, v, "hip_girth", "hip_ease")
    d.sum("girth grows by", {"girth grade": STEPS}, source=f"{STEPS} x the girth grade")
    for name, share, said in (("half pattern", 2, "half"), ("half front", 4, "a quarter")):
        d.sum(f"{name} grows by", {"girth grows by": 1 / share}, source=f"{said} of what the girth grows by")
    for name, share, said in (("neck", 4, "a quarter"), ("shoulder", 4, "a quarter"), ("side", 2, "half")):
        d.sum(
            f"{name} takes",
            {"half front grows by": 1 / share},
            source=f"{said} of what the half front grows by",
        )
    d.sum("quarter of the hip", {"hip girth": 0.25, "hip ease": 0.25}, source=QUARTER)
    d.sum(
        "quarter of the hip, graded",
        {"quarter of the hip": 1.0, "half front grows by": 1.0},
        source="quarter of the hip + what the half front grows by",
    )
    return d.finish()


SHARED = Exercise(
    id="13a",
    title="A girth grade shared out",
    lesson=13,
    task=f"Share what a girth grows over {STEPS} sizes out to half front, neck, shoulder and side.",
    asked=ask(
        "girth grows by",
        "half pattern grows by",
        "half front grows by",
        "neck takes",
        "shoulder takes",
        "side takes",
        "quarter of the hip",
        "quarter of the hip, graded",
        kind="number",
    ),
    draw=shared_grade,
    ready=("girth grade",),
)


def from_chart(v: OwnNumbers) -> Draft:
    """The largest size that is nowhere larger than the body, or the smallest; what the body has beyond it."""
    d = Drafting("from a size to your own measures")
    sizes = [chart("course").body(size) for size in chart("course").sizes]
    girths = ("bust_girth", "waist_girth", "hip_girth")
    below = [k for k, b in enumerate(sizes) if all(getattr(b, g) <= getattr(v.body, g) for g in girths)]
    k = min(max(below, default=0), len(sizes) - 2)
    size, above = sizes[k], sizes[k + 1]
    note(d, v, *girths)
    for girth in girths:
        what = girth.split("_")[0]
        d.given(f"{what} of the size", getattr(size, girth))
        d.sum(
            f"{what} beyond the size",
            {f"{what} girth": 1.0, f"{what} of the size": -1.0},
            source=f"your {what} less that of the size",
        )
    d.given("hip of the size above", above.hip_girth)
    d.sum(
        "hip grade of the chart",
        {"hip of the size above": 1.0, "hip of the size": -1.0},
        source="hip of the size above less hip of the size",
    )
    for what in ("waist", "hip"):
        d.sum(
            f"side moves out at the {what}",
            {f"{what} beyond the size": 0.25},
            source=f"a quarter of what the {what} has beyond the size",
        )
    return d.finish()


FROM_CHART = Exercise(
    id="13b",
    title="From a size to your own measures",
    lesson=13,
    task="Compare your girths with those of the size below you (of the smallest size, where you are "
    "smaller), and calculate how far its side lines move out; a number under 0 moves them in.",
    asked=ask(
        "bust beyond the size",
        "waist beyond the size",
        "hip beyond the size",
        "hip grade of the chart",
        "side moves out at the waist",
        "side moves out at the hip",
        kind="number",
    ),
    draw=from_chart,
    ready=("bust of the size", "waist of the size", "hip of the size", "hip of the size above"),
)

EXERCISES = (SHARED, FROM_CHART)

"""Lesson 14: what fits across the cloth, what washing takes, and how much to buy."""

from functools import lru_cache

from ....draft import Draft, Drafting
from ....garments.pinafore import make_pinafore
from ....geometry import Point
from ..exercise import QUARTER, Exercise, ask, note
from ..own_numbers import OwnNumbers

WIDTHS = (140.0, 150.0)
WASHED = (47.5, 48.0, 48.5)
TESTED, SELVEDGE, SEAM = 50.0, 1.5, 1.0
"""cm: a test piece before washing; the selvedge (common practice); a plain seam [Lo 2011]."""
FLAT, FOLDED, KEPT = 0.80, 0.65, 0.96
"""Use of cloth, flat and folded (common practice, no source); what is left of a length after washing."""
STRIP = 100.0
"""cm: the area of all pieces is given as the length of a strip of this width."""


def _cloth(d: Drafting, v: OwnNumbers) -> None:
    d.given("width of the cloth", WIDTHS[int(2 * v.body.bust_girth) % 2])
    d.given("selvedge", SELVEDGE)


def on_fold(v: OwnNumbers) -> Draft:
    """Front and back of a straight skirt side by side on folded cloth, and the cloth's shrinkage."""
    d = Drafting("what fits on the fold")
    _cloth(d, v)
    note(d, v, "hip_girth", "hip_ease", "skirt_length", "hem")
    d.given("seam allowance", SEAM)
    d.given("test piece", TESTED)
    d.given("test piece, washed", WASHED[int(2 * v.body.hip_girth) % 3])
    d.sum(
        "usable width on the fold",
        {"width of the cloth": 0.5, "selvedge": -1.0},
        source="half of the width less one selvedge",
    )
    d.sum(
        "skirt panel, across",
        {"hip girth": 0.25, "hip ease": 0.25, "seam allowance": 1.0},
        source=f"{QUARTER} + one seam allowance",
        because="its other edge lies on the fold",
    )
    d.sum(
        "room left across",
        {"usable width on the fold": 1.0, "skirt panel, across": -2.0},
        source="usable width less two panels",
    )
    d.sum(
        "skirt panel, along",
        {"skirt length": 1.0, "hem": 1.0, "seam allowance": 1.0},
        source="skirt length + hem + one seam allowance",
    )
    d.sum("the test piece lost", {"test piece": 1.0, "test piece, washed": -1.0}, source="before less washed")
    d.sum(
        "panel before washing",
        {"skirt panel, along": TESTED / d["test piece, washed"]},
        source="the panel along x the test piece, divided by the test piece, washed",
    )
    return d.finish()


ON_FOLD = Exercise(
    id="14a",
    title="What fits on the fold",
    lesson=14,
    task="Calculate whether two skirt panels lie side by side on folded cloth, and what washing will take.",
    asked=ask(
        "usable width on the fold",
        "skirt panel, across",
        "room left across",
        "skirt panel, along",
        "the test piece lost",
        "panel before washing",
        kind="number",
    ),
    draw=on_fold,
    ready=("width of the cloth", "selvedge", "seam allowance", "test piece", "test piece, washed"),
)


@lru_cache(maxsize=600)
def _area(body, style: tuple) -> float:
    """cm2 of all cut pieces of the pinafore."""
    area = 0.0
    for piece in make_pinafore(body, **dict(style)).pieces:
        ring = piece.cut_line
        around = zip(ring, (*ring[1:], ring[0]), strict=True)
        one = abs(sum(Point(*p).cross(Point(*q)) for p, q in around)) / 2
        area += one * piece.cut * (2 if piece.on_fold else 1)
    return area


def to_buy(v: OwnNumbers) -> Draft:
    """From the area of the pieces and the use of cloth to the length to buy."""
    d = Drafting("from area to length")
    _cloth(d, v)
    d.given("strip of all pieces", round(_area(v.body, tuple(v.style.items())) / STRIP, 1))
    d.sum("usable width", {"width of the cloth": 1.0, "selvedge": -2.0}, source="width less both selvedges")
    d.sum(
        "length without waste",
        {"strip of all pieces": STRIP / d["usable width"]},
        source=f"the strip x {STRIP:g} cm, divided by the usable width",
    )
    for name, use in (("length, flat", FLAT), ("length, folded", FOLDED)):
        d.sum(name, {"length without waste": 1 / use}, source=f"length without waste, divided by {use:g}")
    d.sum("the fold costs", {"length, folded": 1.0, "length, flat": -1.0}, source="folded less flat")
    d.sum("flat, before washing", {"length, flat": 1 / KEPT}, source=f"length, flat, divided by {KEPT:g}")
    return d.finish()


TO_BUY = Exercise(
    id="14b",
    title="From area to length",
    lesson=14,
    task=f"All pieces together would fill a strip {STRIP:g} cm wide: calculate how long the cloth must be.",
    asked=ask(
        "usable width",
        "length without waste",
        "length, flat",
        "length, folded",
        "the fold costs",
        "flat, before washing",
        kind="number",
    ),
    draw=to_buy,
    ready=("width of the cloth", "selvedge", "strip of all pieces"),
)

EXERCISES = (ON_FOLD, TO_BUY)

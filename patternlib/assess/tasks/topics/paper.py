"""Lesson 15: a pattern printed at the wrong scale, and how much of it a page carries."""

from ....draft import Draft, Drafting
from ..exercise import QUARTER, Exercise, ask, note
from ..own_numbers import OwnNumbers

SQUARE = 10.0
"""cm: the side of the test square."""
PRINTED = (9.7, 9.6, 9.4)
PAPERS = ((21.0, 29.7), (21.59, 27.94))
"""cm: A4 [ISO 216] and Letter [ANSI/ASME Y14.1]."""
MARGIN, LAP, TRIM, SEAM = 0.8, 1.5, 0.2, 1.0


def wrong_scale(v: OwnNumbers) -> Draft:
    d = Drafting("a print at the wrong scale")
    d.given("test square, as printed", PRINTED[int(2 * v.body.height) % 3])
    note(d, v, "skirt_length", "hip_girth", "hip_ease")
    scale = d["test square, as printed"] / SQUARE
    of = f"x the square as printed, divided by {SQUARE:g} cm"
    d.sum("skirt length, as printed", {"skirt length": scale}, source=f"skirt length {of}")
    d.sum(
        "skirt too short by",
        {"skirt length": 1.0, "skirt length, as printed": -1.0},
        source="skirt length less as printed",
    )
    d.sum("quarter of the hip", {"hip girth": 0.25, "hip ease": 0.25}, source=QUARTER)
    d.sum("quarter, as printed", {"quarter of the hip": scale}, source=f"quarter of the hip {of}")
    d.sum(
        "too tight round the hip by",
        {"quarter of the hip": 4.0, "quarter, as printed": -4.0},
        source="4 x (quarter less as printed)",
    )
    d.sum(
        "ease that is left",
        {"hip ease": 1.0, "too tight round the hip by": -1.0},
        source="hip ease less what is missing",
    )
    return d.finish()


WRONG_SCALE = Exercise(
    id="15a",
    title="A print at the wrong scale",
    lesson=15,
    task="The test square came out too small: calculate what that does to a skirt printed with it.",
    asked=ask(
        "skirt length, as printed",
        "skirt too short by",
        "quarter of the hip",
        "quarter, as printed",
        "too tight round the hip by",
        "ease that is left",
        kind="number",
    ),
    draw=wrong_scale,
    ready=("test square, as printed",),
)


def on_pages(v: OwnNumbers) -> Draft:
    d = Drafting("how much a page carries")
    across, up = PAPERS[int(2 * v.body.waist_girth) % 2]
    for name, value in (
        ("paper across", across), ("paper up", up), ("margin", MARGIN), ("overlap", LAP), ("trim", TRIM),
        ("seam allowance", SEAM),
    ):  # fmt: skip
        d.given(name, value)
    note(d, v, "hip_girth", "hip_ease", "skirt_length", "hem")
    for name in ("across", "up"):
        d.sum(
            f"a page adds, {name}",
            {f"paper {name}": 1.0, "margin": -2.0, "overlap": -1.0, "trim": -1.0},
            source="paper less two margins, the overlap and the strip that is trimmed off",
        )
    d.sum("two pages across", {"a page adds, across": 2.0}, source="2 x what a page adds across")
    d.sum("three pages up", {"a page adds, up": 3.0}, source="3 x what a page adds up")
    d.sum(
        "skirt panel, across",
        {"hip girth": 0.25, "hip ease": 0.25, "seam allowance": 1.0},
        source=f"{QUARTER} + one seam allowance",
    )
    d.sum(
        "skirt panel, up",
        {"skirt length": 1.0, "hem": 1.0, "seam allowance": 1.0},
        source="skirt length + hem + one seam allowance",
    )
    for name, pages in (("across", "two pages across"), ("up", "three pages up")):
        d.sum(
            f"to spare, {name}",
            {pages: 1.0, f"skirt panel, {name}": -1.0},
            source=f"{pages} less the panel",
        )
    return d.finish()


ON_PAGES = Exercise(
    id="15b",
    title="How much a page carries",
    lesson=15,
    task="Calculate what each page adds, and whether two by three pages carry your skirt panel.",
    asked=ask(
        "a page adds, across",
        "a page adds, up",
        "two pages across",
        "three pages up",
        "skirt panel, across",
        "skirt panel, up",
        "to spare, across",
        "to spare, up",
        kind="number",
    ),
    draw=on_pages,
    ready=("paper across", "paper up", "margin", "overlap", "trim", "seam allowance"),
)

EXERCISES = (WRONG_SCALE, ON_PAGES)

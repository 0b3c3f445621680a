"""Lessons 9 and 10: pieces, allowances, hems and corners."""

import math

from ....draft import Draft, Drafting
from ....garments.marking import labelled
from ....garments.pinafore.pieces import back_pieces, front_pieces
from ....pieces import Piece, finish
from ..exercise import Exercise, ask, ask_finish
from ..own_numbers import OwnNumbers
from .plans import back, both, front

ABOUT = ("kiln-room pinafore", "own measures")
SEAM = 1.0
"""cm; a plain seam [Lo 2011]."""


def finished(pieces: list[Piece], *names: str) -> dict[str, Piece]:
    """The named pieces, labelled and finished."""
    return {p.name: finish(labelled(p, ABOUT)) for p in pieces if p.name in names}


# -- lesson 9: pieces


def front_parts(v: OwnNumbers) -> Draft:
    d = Drafting("the front cut apart", front(v))
    d.add("side seam", "part", ("side", "side hem", "opening end"))
    d.add("opening above", "part", ("side", "opening end", "waistband at the side"))
    d.line("centre of the skirt", "centre hem", "waistband at centre front")
    for name in ("side seam", "opening above", "waistband line", "hemline", "centre of the skirt"):
        d.length(f"{name}, length", name)
    return d.finish()


def front_skirt(d: Draft, v: OwnNumbers) -> tuple[Piece, ...]:
    return (finished(front_pieces(d, both(v)[2]), "front skirt")["front skirt"],)


FRONT_PARTS = Exercise(
    id="09a",
    title="The front skirt as a piece",
    lesson=9,
    task="Trace the front skirt off the plan, edge by edge; measure its edges, add grain and label.",
    asked=(
        *ask("side seam", "opening above", "centre of the skirt", kind="curve"),
        *ask(
            "side seam, length",
            "opening above, length",
            "waistband line, length",
            "hemline, length",
            "centre of the skirt, length",
            kind="number",
        ),
        *ask_finish("front skirt", grain=True, label=True),
    ),
    draw=front_parts,
    finish=front_skirt,
    ready=(
        "side",
        "waistband line",
        "hemline",
        "opening end",
        "waistband at the side",
        "waistband at centre front",
        "side hem",
    ),
    allowance=SEAM,
)


def yoke_parts(v: OwnNumbers) -> Draft:
    d = Drafting("the yoke cut apart", back(v))
    d.line("centre of the yoke", "centre back top", "yoke at centre back")
    d.add("side of the yoke", "part", ("side", "yoke at the side", "side waist"))
    for name in (
        "centre of the yoke",
        "yoke line",
        "side of the yoke",
        "back side edge",
        "strap seat",
        "back neck edge",
    ):
        d.length(f"{name}, length", name)
    return d.finish()


def yoke_and_pocket(d: Draft, v: OwnNumbers) -> tuple[Piece, ...]:
    found = finished(back_pieces(d, both(v)[2]), "back yoke", "back pocket")
    return found["back yoke"], found["back pocket"]


YOKE_READY = (
    "centre",
    "side",
    "side waist",
    "yoke at centre back",
    "yoke at the side",
    "yoke line",
    "centre back top",
    "back neck edge",
    "back side edge",
    "strap seat",
)

YOKE_PARTS = Exercise(
    id="09b",
    title="Yoke and pocket as pieces",
    lesson=9,
    task="Trace the yoke off the plan; measure its edges, add grain and labels to yoke and pocket.",
    asked=(
        *ask("centre of the yoke", "side of the yoke", kind="curve"),
        *ask(
            "centre of the yoke, length",
            "yoke line, length",
            "side of the yoke, length",
            "back side edge, length",
            "strap seat, length",
            "back neck edge, length",
            kind="number",
        ),
        *ask_finish("back yoke", grain=True, label=True),
        *ask_finish("back pocket", grain=True, label=True),
    ),
    draw=yoke_parts,
    finish=yoke_and_pocket,
    ready=YOKE_READY,
    allowance=SEAM,
)

# -- lesson 10: allowances, hems, corners


def pocket(d: Draft, v: OwnNumbers) -> tuple[Piece, ...]:
    return (yoke_and_pocket(d, v)[1],)


POCKET_EDGES = ("opening", "inner side", "inner foot", "outer foot", "outer side")

POCKET_CUT = Exercise(
    id="10a",
    title="The pocket's allowances and corners",
    lesson=10,
    task="Draw the pocket's cut line: a hem at the opening, fold-backs elsewhere, corners that lie flat.",
    asked=(
        *ask("pocket inner corner", "pocket outer corner", "pocket point"),
        *ask_finish(
            "back pocket",
            allowances=POCKET_EDGES,
            corners=("outer side / opening", "opening / inner side"),
            cut_line=True,
        ),
    ),
    draw=back,
    finish=pocket,
    ready=("pocket inner top", "pocket outer top"),
    allowance=SEAM,
)


def hem_sums(v: OwnNumbers) -> Draft:
    d = Drafting("a flared hem calculated", front(v))
    d.given("hem depth", v.style["hem"])
    d.given("allowance of the waistband edge", SEAM)
    d.sum(
        "lean, angle",
        {"side line, angle": 1.0},
        -90.0,
        source="the side line's direction less a right angle",
        because="the side leans out by this much",
    )
    d.length("hemline, length", "hemline")
    d.sum(
        "hem too long by",
        {"lean, angle": -2 * math.radians(v.style["hem"])},
        source="2 x lean in radians x hem depth",
        because="a flared hem turned up is too long by 2 x lean x depth",
    )
    d.add("centre of the skirt", "distance", ("waistband at centre front", "centre hem"))
    d.sum(
        "cut length at the centre",
        {"centre of the skirt": 1.0, "allowance of the waistband edge": 1.0, "hem depth": 1.0},
        source="centre + allowance above + hem below",
    )
    return d.finish()


HEM_CUT = Exercise(
    id="10b",
    title="The front skirt's allowances and flared hem",
    lesson=10,
    task="Add allowances and hem to the front skirt, and calculate how much too long its hem allowance is.",
    asked=(
        *ask(
            "lean, angle",
            "hemline, length",
            "hem too long by",
            "centre of the skirt",
            "cut length at the centre",
            kind="number",
        ),
        *ask_finish(
            "front skirt",
            allowances=("waistband edge", "opening", "side seam", "hem", "centre front"),
            cut_line=True,
        ),
    ),
    draw=hem_sums,
    finish=front_skirt,
    ready=("hemline", "side", "side line, angle", "waistband at centre front"),
    allowance=SEAM,
)

EXERCISES = (FRONT_PARTS, YOKE_PARTS, POCKET_CUT, HEM_CUT)

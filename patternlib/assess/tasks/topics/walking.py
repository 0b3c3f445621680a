"""Lessons 11 and 12: notches, drill holes, and walking seam lines."""

from dataclasses import replace

from ....draft import Draft, Drafting
from ....garments.pinafore.pieces import back_pieces
from ....geometry import line
from ....pieces import Notch, Piece
from ..exercise import Exercise, ask, ask_finish
from ..own_numbers import OwnNumbers
from .cutting import YOKE_READY, finished
from .plans import back, both, front

BELOW, INSIDE = 1.0, 0.3
"""cm; a drill hole lies below the pocket's opening edge and inside its placement line (common practice)."""
ALONG_SIDE, ALONG_YOKE, ALONG_SEAT = 0.35, 0.6, 0.42
"""Where notches lie, as a share of the seam; never in its middle (common practice, no source)."""


def back_marks(v: OwnNumbers) -> Draft:
    d = Drafting("notches and drill holes of the back skirt", back(v))
    d.along("inner hole, level", "pocket inner top", "pocket outer top", INSIDE)
    d.go("inner drill hole", "inner hole, level", "down", BELOW, because="the sewn pocket hides it")
    d.along("outer hole, level", "pocket outer top", "pocket inner top", INSIDE)
    d.go("outer drill hole", "outer hole, level", "down", BELOW)
    d.add("side seam", "part", ("side", "side hem", "opening end"))
    d.length("side seam, length", "side seam")
    d.sum(
        "notch from the opening", {"side seam, length": ALONG_SIDE}, source=f"{ALONG_SIDE:g} of the side seam"
    )
    d.length("yoke line, length", "yoke line")
    d.sum(
        "yoke notch from the centre",
        {"yoke line, length": ALONG_YOKE},
        source=f"{ALONG_YOKE:g} of the yoke seam",
    )
    return d.finish()


def back_skirt(d: Draft, v: OwnNumbers) -> tuple[Piece, ...]:
    piece = finished(back_pieces(d, both(v)[2]), "back skirt")["back skirt"]
    side, yoke = piece.edge("side seam").curve.length, piece.edge("yoke edge").curve.length
    return (
        replace(
            piece,
            notches=(
                Notch("side seam", side * (1 - ALONG_SIDE), 1),
                Notch("yoke edge", yoke * (1 - ALONG_YOKE), 2),
            ),
        ),
    )


BACK_MARKS = Exercise(
    id="11a",
    title="Notches and drill holes of the back skirt",
    lesson=11,
    task="Mark the pocket's drill holes, the side seam's single notch and the yoke seam's double one.",
    asked=(
        *ask("inner drill hole", "outer drill hole"),
        *ask(
            "side seam, length",
            "notch from the opening",
            "yoke line, length",
            "yoke notch from the centre",
            kind="number",
        ),
        *ask_finish("back skirt", notches=("side seam", "yoke edge")),
    ),
    draw=back_marks,
    finish=back_skirt,
    ready=(
        "pocket inner top",
        "pocket outer top",
        "side",
        "yoke line",
        "opening end",
        "side hem",
        "centre",
        "hemline",
        "yoke at centre back",
    ),
)


def seat_marks(v: OwnNumbers) -> Draft:
    d = Drafting("notches of yoke and strap", back(v))
    for name in ("strap seat", "yoke line"):
        d.length(f"{name}, length", name)
    d.sum(
        "seat notch from the outside",
        {"strap seat, length": ALONG_SEAT},
        source=f"{ALONG_SEAT:g} of the seat",
    )
    d.on("seat notch", "strap seat", "seat notch from the outside")
    d.sum(
        "yoke notch from the centre",
        {"yoke line, length": ALONG_YOKE},
        source=f"{ALONG_YOKE:g} of the yoke seam",
    )
    d.on("yoke notch", "yoke line", "yoke notch from the centre")
    return d.finish()


def yoke_and_strap(d: Draft, v: OwnNumbers) -> tuple[Piece, ...]:
    found = finished(back_pieces(d, both(v)[2]), "back yoke", "strap")
    yoke, strap = found["back yoke"], found["strap"]
    seat, line = yoke.edge("strap seat").curve.length, yoke.edge("skirt edge").curve.length
    return (
        replace(
            yoke,
            notches=(Notch("strap seat", seat * ALONG_SEAT, 2), Notch("skirt edge", line * ALONG_YOKE, 2)),
        ),
        replace(strap, notches=(Notch("base", strap.edge("base").curve.length * (1 - ALONG_SEAT), 2),)),
    )


SEAT_MARKS = Exercise(
    id="11b",
    title="Notches of yoke and strap",
    lesson=11,
    task="Walk the strap's base along the yoke's seat and mark both notches so that they meet.",
    asked=(
        *ask("strap seat, length", "seat notch from the outside", kind="number"),
        *ask("seat notch"),
        *ask("yoke line, length", "yoke notch from the centre", kind="number"),
        *ask("yoke notch"),
        *ask_finish("back yoke", notches=("strap seat", "skirt edge")),
        *ask_finish("strap", notches=("base",)),
    ),
    draw=seat_marks,
    finish=yoke_and_strap,
    ready=(*YOKE_READY, "strap point", "strap outer point", "strap straight side", "strap curved side"),
)

# -- lesson 12: walking

LONG = 0.6
"""cm; the back's side as it is on the sheet is longer than the front's by this much, at the hem."""


def walk_side(v: OwnNumbers) -> Draft:
    """Walk a side seam whose back was cut a little too long, and share the difference out."""
    d = Drafting("the side seam walked")
    f, b, n = front(v), back(v), both(v)[2]
    d.trace("front side", f["side"], "the front skirt")
    side = b["side"]
    hem = side.start - side.start_direction * LONG
    d.trace("back side", line(hem, side.start).joined(side), "the back skirt")
    d.given("opening", n["opening"])
    d.length("front side, length", "front side")
    d.length("back side, length", "back side")
    d.sum("difference", {"back side, length": 1.0, "front side, length": -1.0}, source="back less front")
    d.sum("each side changes by", {"difference": 0.5}, source="half of the difference")
    d.sum(
        "front seam below the opening",
        {"front side, length": 1.0, "opening": -1.0},
        source="side less the opening",
    )
    d.sum(
        "notch from the waist",
        {"opening": 1.0, "front seam below the opening": ALONG_SIDE},
        source=f"the opening + {ALONG_SIDE:g} of the seam below it",
    )
    d.on(
        "front notch", "front side", "notch from the waist", from_end=True,
        because="both notches lie at the same walked distance from the waist",
    )  # fmt: skip
    d.on("back notch", "back side", "notch from the waist", from_end=True)
    return d.finish()


WALK_SIDE = Exercise(
    id="12a",
    title="Walking the side seam",
    lesson=12,
    task="Walk front along back, find the difference, share it out and mark notches that meet.",
    asked=(
        *ask(
            "front side, length",
            "back side, length",
            "difference",
            "each side changes by",
            "front seam below the opening",
            "notch from the waist",
            kind="number",
        ),
        *ask("front notch", "back notch"),
    ),
    draw=walk_side,
)


def walk_waist(v: OwnNumbers) -> Draft:
    """Walk bib on waistband and waistband on skirt; compare the finished waist with the body."""
    d = Drafting("the waistband walked", front(v))
    for name in ("waistline", "waistband line", "bib top"):
        d.length(f"{name}, length", name)
    b = back(v)
    d.trace("back waistline", b["waistline"], "the back plan")
    d.length("back waistline, length", "back waistline")
    d.given("waist girth", v.body.waist_girth)
    d.given("waist ease", v.style["waist_ease"])
    d.sum(
        "finished waist",
        {"waistline, length": 2.0, "back waistline, length": 2.0},
        source="twice front + twice back",
    )
    d.sum("wanted waist", {"waist girth": 1.0, "waist ease": 1.0}, source="waist + waist ease")
    d.sum("waist too wide by", {"finished waist": 1.0, "wanted waist": -1.0}, source="finished less wanted")
    d.sum(
        "band's spring",
        {"waistband line, length": 1.0, "waistline, length": -1.0},
        source="waistband line less waistline",
        because="a shaped band is longer below",
    )
    return d.finish()


WALK_WAIST = Exercise(
    id="12b",
    title="Walking the waist",
    lesson=12,
    task="Walk waistline and waistband, and compare the finished waist with the measure and its ease.",
    asked=ask(
        "waistline, length",
        "waistband line, length",
        "back waistline, length",
        "finished waist",
        "wanted waist",
        "waist too wide by",
        "band's spring",
        kind="number",
    ),
    draw=walk_waist,
    ready=("waistline", "waistband line", "bib top"),
)

EXERCISES = (BACK_MARKS, SEAT_MARKS, WALK_SIDE, WALK_WAIST)

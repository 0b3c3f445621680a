"""Lesson 5: lines that meet: a dart trued, necklines and armholes across the joined shoulder."""

from ....draft import Draft, Drafting
from ....geometry import Move, Point
from ..exercise import Exercise, ask
from ..own_numbers import OwnNumbers
from . import bodice, skirt
from .darts import ruled

SHORT = 0.8
"""cm; the second leg as traced is too short by this much."""


def trued(v: OwnNumbers) -> Draft:
    """True a back waist dart whose second leg came out short, and find the ridge of its folded mouth."""
    block = skirt.block(v)
    d = Drafting("a dart trued")
    leg, leg2, point = (block[f"back dart {n}"] for n in ("leg", "leg 2", "point"))
    d.trace("leg", leg, "the skirt block, back")
    d.trace("dart point", point, "the skirt block, back")
    d.trace("second leg as traced", leg2.toward(point, SHORT), "the skirt block, back")
    d.trace(
        "waist beside the dart",
        block["back waist"].at(block["back dart, first leg at"] - 3),
        "the skirt block",
    )
    d.add("length of the leg", "distance", ("dart point", "leg"))
    d.along(
        "second leg",
        "dart point",
        "second leg as traced",
        "length of the leg",
        because="both legs are sewn together and must be equally long",
    )
    d.add("middle of the mouth", "middle", ("leg", "second leg"))
    d.add("mouth", "distance", ("leg", "second leg"))
    d.add(
        "waist folded over",
        "mirror",
        ("waist beside the dart", "dart point", "leg"),
        because="the dart is pressed toward the centre and cut along the waist",
    )
    d.add(
        "ridge",
        "meeting",
        ("leg", "waist folded over", "dart point", "middle of the mouth"),
        because="unfolded, the mouth rises to this point",
    )
    d.add("foot of the ridge", "foot", ("leg", "second leg", "ridge"))
    d.add("height of the ridge", "distance", ("foot of the ridge", "ridge"))
    ruled(
        d,
        ("first side of the dart", "dart point", "leg"),
        ("second side of the dart", "dart point", "second leg"),
        ("waist up to the dart", "waist beside the dart", "leg"),
        ("ridge, first side", "leg", "ridge"),
        ("ridge, second side", "ridge", "second leg"),
    )
    return d.finish()


def joined(v: OwnNumbers) -> Draft:
    """Lay the front on the back along the shoulder and look at neckline and armhole."""
    block = bodice.block(v)
    shift = Move.shift(-block["waist at centre front"].x - 15, 12)
    d = Drafting("across the joined shoulder")
    for name in (
        "nape",
        "back neck point",
        "back shoulder tip",
        "back width point",
        "back neckline",
        "back armhole",
    ):
        d.trace(name, block[name], "the bodice block, back")
    for name in (
        "front neck point",
        "shoulder tip, dart closed",
        "centre front neck",
        "chest point, dart closed",
    ):
        d.trace(name, shift(block[name]), "the bodice block, front with its dart closed")
    d.trace("front neckline", block["front neckline"].moved(shift), "the bodice block, front")
    lay = ("front neck point", "shoulder tip, dart closed", "back neck point", "back shoulder tip")
    for name in (
        "shoulder tip, dart closed",
        "centre front neck",
        "chest point, dart closed",
        "front neckline",
    ):
        d.add(name.removesuffix(", dart closed") + ", joined", "lay", (name, *lay))
    d.add("back shoulder, length", "distance", ("back neck point", "back shoulder tip"))
    d.add("front shoulder, length", "distance", ("front neck point", "shoulder tip, dart closed"))
    d.sum(
        "shoulder ease",
        {"back shoulder, length": 1.0, "front shoulder, length": -1.0},
        source="back shoulder less front shoulder",
    )
    d.add("back neckline at the shoulder, angle", "angle", ("back neckline",), at="end")
    d.add("front neckline at the shoulder, angle", "angle", ("front neckline, joined",), 180.0, at="start")
    d.sum(
        "corner in the neckline, angle",
        {"back neckline at the shoulder, angle": 1.0, "front neckline at the shoulder, angle": -1.0},
        180.0,
        source="one direction less the other",
        because="a neckline runs across the seam without a corner",
    )
    return d.finish()


def squared(v: OwnNumbers) -> Draft:
    """A pocket squared from the grain, and a strap end squared to its side."""
    d = Drafting("squared corners")
    n = v.numbers()
    d.start("A")
    d.trace("B", Point(n["pocket_length"], -2.0), "the sheet")
    d.add("C", "square", ("B", "A"), n["pocket_width"], side="right", source="pocket width")
    d.add("D", "square", ("A", "B"), n["pocket_width"], side="left", source="pocket width")
    d.add("E", "share", ("D", "C"), 1 / 3)
    d.add("F", "foot", ("A", "B", "E"))
    d.add("across C", "distance", ("A", "C"))
    d.add("across D", "distance", ("B", "D"))
    ruled(d, ("AB", "A", "B"), ("BC", "B", "C"), ("CD", "C", "D"), ("DA", "D", "A"))
    return d.finish()


TRUED = Exercise(
    id="05a",
    title="A dart trued",
    lesson=5,
    task="Make both legs equally long, fold the dart toward the centre and find the ridge of its mouth.",
    asked=(
        *ask("length of the leg", kind="number"),
        *ask("second leg", "middle of the mouth"),
        *ask("mouth", kind="number"),
        *ask("waist folded over", "ridge", "foot of the ridge"),
        *ask("height of the ridge", kind="number"),
    ),
    draw=trued,
)

JOINED = Exercise(
    id="05b",
    title="Neckline and armhole across the joined shoulder",
    lesson=5,
    task="Lay the front on the back along the shoulder, neck point on neck point, and trace it.",
    asked=(
        *ask("shoulder tip, joined", "centre front neck, joined", "chest point, joined"),
        *ask("front neckline, joined", kind="curve"),
        *ask("back shoulder, length", "front shoulder, length", "shoulder ease", kind="number"),
        *ask("corner in the neckline, angle", kind="number", tolerance=4.0),
    ),
    draw=joined,
)

SQUARED = Exercise(
    id="05c",
    title="Squared corners",
    lesson=5,
    task="Square a pocket from a line that leans, and check it across both corners.",
    asked=(*ask("C", "D", "E", "F"), *ask("across C", "across D", kind="number")),
    draw=squared,
    terms={"C": {"pocket_width": 1.0}, "D": {"pocket_width": 1.0}},
)

EXERCISES = (TRUED, JOINED, SQUARED)

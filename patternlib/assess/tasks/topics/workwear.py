"""Lessons 20 to 22: the sleeve block, the smock's front and collar, the apron's front and back."""

from __future__ import annotations

from functools import lru_cache

from ....blocks.sleeve import sleeve_block
from ....draft import Draft, Drafting
from ....garments import make
from ..exercise import Exercise, ask
from ..own_numbers import OwnNumbers
from . import bodice

LAID_ON = 3.0
"""cm of each strap end that is stitched on the apron (common practice, no source)."""


def sleeve(v: OwnNumbers) -> Draft:
    block = bodice.block(v)
    return sleeve_block(v.body, block["back armhole"], block["front armhole"])


def cap(v: OwnNumbers) -> Draft:
    """The sleeve's cap with its ease, walked."""
    d = Drafting("the cap of the sleeve, walked", sleeve(v))
    for part in ("front", "back"):
        d.length(f"{part} cap, length", f"{part} cap")
        d.sum(
            f"ease at the {part}",
            {f"{part} cap, length": 1.0, f"{part} armhole length": -1.0},
            source=f"{part} cap less {part} armhole",
        )
    return d.finish()


_OF_APRON = ("skirt_length", "flare", "hip_ease", "waist_ease", "bib_top", "bib_height")
"""Style values that the apron has in common with the pinafore."""


_SMOCK = (("dropped_shoulder", 0.0), ("armhole_ease", 5.0))
"""Style values with which the smock draws on every student's own numbers."""


@lru_cache(maxsize=400)
def _drafts(garment: str, body, style: tuple):
    return make(garment, body, **dict(style)).drafts


def smock_front(v: OwnNumbers) -> Draft:
    return _drafts("smock", v.body, _SMOCK)["front plan"]


def smock_collar(v: OwnNumbers) -> Draft:
    return _drafts("smock", v.body, _SMOCK)["collar plan"]


def _apron(v: OwnNumbers):
    return _drafts("apron", v.body, tuple((name, v.style[name]) for name in _OF_APRON))


def apron_front(v: OwnNumbers) -> Draft:
    d = Drafting("front of the apron", _apron(v)["front plan"])
    d.add("strap in front", "distance", ("strap on the bib", "strap on the shoulder"))
    return d.finish()


def apron_back(v: OwnNumbers) -> Draft:
    front = apron_front(v)
    d = Drafting("back of the apron", _apron(v)["back plan"])
    d.add("strap at the back", "distance", ("strap on the shoulder", "strap end of the other side"))
    d.given("strap in front", front["strap in front"], source="from the bib to the shoulder")
    d.sum(
        "strap, cut length",
        {"strap in front": 1.0, "strap at the back": 1.0},
        2 * LAID_ON,
        source=f"front + back + {2 * LAID_ON:g} cm that is stitched on",
    )
    return d.finish()


FRAME = (
    "cap top", "front armhole length", "front cap seam", "front chord", "front underarm",
    "back armhole length", "back cap seam", "back chord", "back underarm", "biceps line", "sleeve end level",
    "centre line", "biceps middle", "sleeve end middle", "back sleeve end level", "back wrist",
    "back underarm seam", "back underarm, angle", "front sleeve end level", "front wrist",
    "front underarm seam", "front underarm, angle", "sleeve end, angle", "wrist line",
)  # fmt: skip
QUARTER = (
    "dart mouth", "pin", "closing angle", "side hip", "side waist", "side line, angle", "hip curve",
    "waist end, angle", "waistline", "down the side, angle", "hip curve as drawn", "below the hip",
    "side hem", "side line", "side", "hem end, angle", "hemline", "centre", "whole side",
)  # fmt: skip
"""The quarter that lesson 06 draws: the apron begins with it."""
IN_FRONT = tuple(name for name in QUARTER if name not in ("hip curve as drawn", "below the hip"))
AT_THE_BACK = tuple(name for name in QUARTER if name != "whole side")

SLEEVE_FRAME = Exercise(
    id="20a",
    title="The sleeve block: frame and sleeve end",
    lesson=20,
    task="Calculate both halves of the cap from your own armholes, and draw the sleeve's frame and its end.",
    asked=(
        *ask("front cap seam", "back cap seam", kind="number"),
        *ask("front underarm", "back underarm", "sleeve end level", "back wrist", "front wrist"),
        *ask("wrist line", kind="curve"),
    ),
    draw=sleeve,
    terms={"sleeve end level": {"arm_length": 1.0}},
    ready=("cap top",),
)

SLEEVE_CAP = Exercise(
    id="20b",
    title="The cap, its notches and its ease walked",
    lesson=20,
    task="Draw both halves of the cap into the frame, walk them against the armholes and set the notches.",
    asked=(
        *ask("front swell", "front hollow", "back swell", "back hollow"),
        *ask("front cap", "back cap", kind="curve"),
        *ask("ease at the front", "ease at the back", kind="number"),
        *ask("front notch", "back notch"),
    ),
    draw=cap,
    ready=FRAME,
)

FRONT = Exercise(
    id="21a",
    title="The smock's front and its facing",
    lesson=21,
    task="Close the bust dart into the hem, draw side, armhole and hem, then slit and facing.",
    asked=(
        *ask("shoulder tip", "chest point", "underarm", "side hem"),
        *ask("armhole", "hemline", kind="curve"),
        *ask("slit end", "facing foot", "facing corner", "facing on the shoulder"),
        *ask("facing edge", kind="curve"),
    ),
    draw=smock_front,
    ready=("closing, angle",),
)

COLLAR = Exercise(
    id="21b",
    title="The flat collar on the joined necklines",
    lesson=21,
    task="Lay the front on the back with the shoulder tips overlapped and draw the flat collar.",
    asked=(
        *ask("neckline length", kind="number"),
        *ask("overlapped shoulder tip", "centre front neck, laid on", "collar front"),
        *ask("neck edge", "outer edge", kind="curve"),
    ),
    draw=smock_collar,
)

BIB = Exercise(
    id="22a",
    title="The apron's bib, strap and pocket",
    lesson=22,
    task="Draw bib, strap and pocket of the apron on the front quarter that you know from the pinafore.",
    asked=(
        *ask("bib top at centre front", "bib corner", "bib curve"),
        *ask("bib side", kind="curve"),
        *ask("strap on the shoulder", "strap on the bib"),
        *ask("strap in front", kind="number"),
        *ask("pocket top", "pocket corner", "pocket foot"),
    ),
    draw=apron_front,
    terms={"bib top at centre front": {"bib_height": 1.0}, "bib corner": {"bib_top": 0.5}},
    ready=IN_FRONT,
)

BACK = Exercise(
    id="22b",
    title="The apron's back: wrap and crossed straps",
    lesson=22,
    task="Draw wrap, tie and crossed straps on the back quarter, and calculate how long a strap is cut.",
    asked=(
        *ask("wrap waist", "wrap hem", "tie foot"),
        *ask("strap on the shoulder", "strap end", "strap end of the other side"),
        *ask("strap at the back", "strap, cut length", kind="number"),
    ),
    draw=apron_back,
    ready=(*AT_THE_BACK, "strap in front"),
)

EXERCISES = (SLEEVE_FRAME, SLEEVE_CAP, FRONT, COLLAR, BIB, BACK)

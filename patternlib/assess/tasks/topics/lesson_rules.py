"""What the lessons teach, as data beside the exercises: a student who follows the lesson must be right.

Each rule is worked out here from the student's own numbers in the lesson's own way, and not as the library
draws it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from ....geometry import Point
from ....pieces import Piece


@dataclass(frozen=True)
class Taught:
    """One rule of a lesson.

    sentence: words that stand in the lesson; at: the step (or finish) that follows it; give: (draft, all
    numbers) -> what it comes to; finish: changes a piece's hand-in record as the lesson allows; piece: which.
    """

    sentence: str
    at: str
    give: Callable[[Any, Any], Any] | None = None
    finish: Callable[[dict, Piece], None] | None = None
    piece: str = ""


def _pin(d, n):
    mouth, point, level = d["dart mouth"], d["dart point"], d["block side hip"].y
    return mouth + (point - mouth) * ((level - mouth.y) / (point.y - mouth.y))


def _square_to_the_strap(width: str):
    def give(d, n):
        along = (d["strap end"] - d["strap point"]).unit()
        base = n["fitting"] - 0.3 + (n["strap_spread"] if width == "base" else 0.0)
        start = d["strap point"] if width == "base" else d["strap end"]
        return start + along.right() * base

    return give


def _label(how: str):
    def change(record: dict, piece: Piece) -> None:
        record["label"] = [how if text.startswith("cut ") else text for text in record["label"]]

    return change


def _notch_at_the_hem_fold(record: dict, piece: Piece) -> None:
    names = [e.name for e in piece.edges]
    k = names.index("side seam")
    at_end = piece.edges[(k + 1) % len(names)].name == "hem"
    at = piece.edge("side seam").curve.length if at_end else 0.0
    record["notches"].append({"edge": "side seam", "at": at, "count": 1})


def _hem_too_long(d, n):
    (a, b), (x, y) = d["side hem"], d["side hip"]
    lean = abs(math.degrees(math.atan2(x - a, y - b)))
    return 2 * math.radians(lean) * n["hem"]


RULES: dict[str, tuple[Taught, ...]] = {
    "02a": (
        Taught(
            "hip", "side hip",
            lambda d, n: Point((n["hip_girth"] + n["hip_ease"]) / 4, -n["waist_to_hip"]),
        ),
    ),
    "06b": (
        Taught("Where it meets the hip line mark the **pin**", "pin", _pin),
        Taught(
            "Walk down the side from the waist: the opening's end", "opening end",
            lambda d, n: d["side"].reversed().at(n["opening"]),
        ),
    ),
    "08a": (
        Taught("square to the right", "strap outer point", _square_to_the_strap("base")),
        Taught("square to the right", "strap end outside", _square_to_the_strap("end")),
    ),
    "08b": (
        Taught(
            "finished width = inside width − room for the cloth", "strap width",
            lambda d, n: n["fitting"] - 0.3,
        ),
        Taught(
            "The rectangle that holds the cut strap", "cut width",
            lambda d, n: n["fitting"] - 0.3 + n["strap_spread"] + 1.5 + 1.5,
        ),
    ),
    "09a": (
        Taught(
            "Where left and right are alike, half the piece is enough", "front skirt: label",
            finish=_label("cut 1 on the fold"), piece="front skirt",
        ),
    ),
    "09b": (
        Taught(
            "Write *cut 2 as a pair*", "back pocket: label", finish=_label("cut 2 as a pair"),
            piece="back pocket",
        ),
        Taught(
            "or *cut 1 pair*", "back pocket: label", finish=_label("cut 1 pair"), piece="back pocket",
        ),
    ),
    "10b": (Taught("too long by 2 × φ × h", "hem too long by", _hem_too_long),),
    "11a": (
        Taught(
            "At the **fold of a skirt's hem**, on the side seam", "back skirt: notches of side seam",
            finish=_notch_at_the_hem_fold, piece="back skirt",
        ),
    ),
    "12a": (
        Taught("Lay both pieces", "back side, length", lambda d, n: d["back side"].length),
        Taught(
            "If not, measure by how much", "difference",
            lambda d, n: d["back side"].length - d["front side"].length,
        ),
    ),
    "12b": (
        Taught(
            "both sides", "finished waist",
            lambda d, n: 2 * (d["waistline"].length + d["back waistline"].length),
        ),
    ),
}  # fmt: skip

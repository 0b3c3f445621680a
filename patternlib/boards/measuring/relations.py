"""Measures that must go together on one body, whatever its shape, and two that only check the others."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ...body import Body
from ...garments.straps import NAPE_RISE
from ...survey import measures
from ...units import write_length

STRAP_PATH = 5.0
"""cm that the strap path may differ from the lengths it runs beside (common practice, no source)."""

_SMALLER: tuple[tuple[str, str, str], ...] = (
    ("underbust_girth", "bust_girth", "the tape below the bust reads less than the tape over it"),
    ("high_bust_girth", "bust_girth", "the tape above the bust reads no more than the tape over it"),
    ("neck_to_bust", "length_over_bust", "the tape passes the bust point on its way to the waist"),
    ("front_waist_length", "length_over_bust", "the pit of the neck lies below the side neck point"),
    ("bust_span", "chest_width", "the bust points lie between the arms"),
    ("armhole_depth", "back_waist_length", "the armpits lie above the waist"),
    ("wrist_girth", "upper_arm_girth", "the arm grows thinner to the wrist"),
)
"""The first is smaller than the second, because ..."""


def relation_doubts(body: Body, taken: Mapping[str, float], unit: str) -> Iterator[tuple[str, str]]:
    """Give a sentence, with the name of its measure, for each pair that cannot both be right.

    body: with what was taken, the rest estimated. taken: cm by name. unit: 'cm' or 'in'.

    >>> body = Body(bust_girth=88, waist_girth=70, hip_girth=95)
    >>> taken = {"bust_girth": 88.0, "high_bust_girth": 96.0}
    >>> [name for name, _ in relation_doubts(body, taken, "cm")]
    ['high_bust_girth']
    """
    slack = {"high_bust_girth": 2.0}  # on a flat chest the two are nearly the same
    for less, more, because in _SMALLER:
        if less in taken and more in taken and taken[less] >= taken[more] + slack.get(less, 0):
            yield (
                less,
                (
                    f"{_said(less, taken[less], unit)} and {_said(more, taken[more], unit)}: {because}. "
                    "Measure both again."
                ),
            )
    if "strap_path" in taken:
        # up the back and down the front on one line; the middle of the shoulder lies half the drop lower
        way = body.back_waist_length + NAPE_RISE + body.length_over_bust - body.shoulder_drop
        if abs(taken["strap_path"] - way) > STRAP_PATH:
            shown = write_length(way, unit, parts=8)
            yield (
                "strap_path",
                (
                    f"Back waist length, length over the bust and shoulder drop ask for about {shown}. "
                    "Measure these and the strap path again."
                ),
            )


def _said(name: str, cm: float, unit: str) -> str:
    term = measures()[name].term if name in measures() else name.replace("_", " ")
    return f"{term[:1].upper() + term[1:]} {write_length(cm, unit, parts=8)}"

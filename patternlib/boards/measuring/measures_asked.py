"""What the form asks: each measure, in the order in which it is easily taken, and the lessons that need it.

>>> [one.name for one in asked()][:4], len(asked())
(['bust_girth', 'waist_girth', 'hip_girth', 'height'], 24)
>>> lessons_said("hip_girth")
'Lessons 02, 06, 07 and 22.'
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from ...survey import measures

NEEDED = ("bust_girth", "waist_girth", "hip_girth")
"""Without these no body can be made."""

GROUPS: dict[str, tuple[str, ...]] = {
    "Needed in any case": (*NEEDED, "height"),
    "Girths of the trunk": ("underbust_girth", "high_bust_girth"),
    "Down the front": ("front_waist_length", "neck_to_bust", "length_over_bust", "bust_span", "chest_width"),
    "Down the back": ("back_waist_length", "armhole_depth", "back_width"),
    "Neck and shoulder": ("neck_girth", "shoulder_length", "shoulder_drop", "strap_path"),
    "Below the waist": ("waist_to_hip", "waist_to_knee"),
    "Arm and head": ("arm_length", "upper_arm_girth", "wrist_girth", "head_girth"),
}

_TOP = (3, 7, 20, 21, 22)
"""The bodice block, and what is drawn with it: straps over its shoulder, the sleeve in its armhole, smock,
apron."""
_SHOULDER = (3, 6, 7, 8, 20, 21, 22)
_SKIRT = (2, 6, 7, 22)
_ARM = (20, 21)
LESSONS: dict[str, tuple[int, ...]] = {
    "bust_girth": _TOP,
    "waist_girth": (2, 3, 6, 7, 21, 22),
    "hip_girth": _SKIRT,
    "underbust_girth": (3, 20, 21, 22),
    "high_bust_girth": (3,),
    "front_waist_length": _SHOULDER,
    "neck_to_bust": _TOP,
    "length_over_bust": (3, 21, 22),
    "bust_span": _TOP,
    "chest_width": (3, 6, 7, 20, 21, 22),
    "back_waist_length": (3, 7, 8, 20, 21, 22),
    "armhole_depth": _TOP,
    "back_width": _TOP,
    "neck_girth": _SHOULDER,
    "shoulder_length": _SHOULDER,
    "shoulder_drop": _SHOULDER,
    "strap_path": (8,),
    "waist_to_hip": _SKIRT,
    "arm_length": _ARM,
    "upper_arm_girth": _ARM,
    "wrist_girth": _ARM,
    "head_girth": (21,),
}
"""The lessons whose drafts move when a measure does; of the two that check a draft, where they are used."""

_SAID = {
    "height": "All lessons: what you do not measure is estimated from bust and height.",
    "waist_to_knee": "No draft: it shows where a hem falls. Look at it when you choose a skirt length.",
}


class AskedMeasure(NamedTuple):
    """A measure of the form. checks: it only checks a draft; low, high: cm that a body can have."""

    name: str
    term: str
    place: str
    group: str
    kind: str
    low: float
    high: float
    checks: bool


_ALSO = (
    AskedMeasure(
        "high_bust_girth",
        "high bust girth",
        "level round the trunk above the bust, high under the arms and over the shoulder blades",
        "", "girth", 55, 175, True,
    ),
    AskedMeasure(
        "strap_path",
        "strap path",
        "from the waist at the back, a hand beside the spine, over the middle of the shoulder and the "
        "bust point straight down to the waist in front",
        "", "length", 55, 150, True,
    ),
)  # fmt: skip


@cache
def asked() -> tuple[AskedMeasure, ...]:
    """Every measure that the form asks for, in the order in which it asks."""
    known = {m.name: AskedMeasure(m.name, m.term, m.place, "", m.kind, m.low, m.high, False)
             for m in measures().values()}  # fmt: skip
    known |= {one.name: one for one in _ALSO}
    return tuple(known[name]._replace(group=group) for group, names in GROUPS.items() for name in names)


def lessons_said(name: str) -> str:
    """A sentence: which lessons need a measure."""
    if name in _SAID:
        return _SAID[name]
    numbers = [f"{n:02d}" for n in sorted(LESSONS[name])]
    if len(numbers) == 1:
        return f"Lesson {numbers[0]}."
    return f"Lessons {', '.join(numbers[:-1])} and {numbers[-1]}."

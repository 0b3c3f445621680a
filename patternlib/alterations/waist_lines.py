"""What every alteration of a waist needs: its darts, its girth, and the dart that takes up a changed line."""

from __future__ import annotations

from ..draft import Draft
from ..errors import ValueAtFault
from .paper import Paper

PARTS = ("back", "front")
LEAST_MOUTH = 0.3
"""cm; a narrower dart cannot be sewn (common practice, no source)."""


def is_skirt(block: Draft) -> bool:
    return "side hip" in block


def darts(block: Draft, part: str) -> tuple[str, ...]:
    """The names of the waist darts of the 'back' or 'front', from the centre to the side."""
    names = (f"{part} dart", f"{part} dart 1", f"{part} dart 2")
    return tuple(name for name in names if f"{name} leg" in block)


def mouth_of(block: Draft, name: str) -> str:
    """The step that gives the mouth of a dart."""
    return f"{name} mouth" if f"{name} mouth" in block else f"{name.split(' dart')[0]} dart mouths"


def mouths(block: Draft, part: str) -> float:
    """All waist dart mouths of the 'back' or 'front' together, cm."""
    return sum(block.number(mouth_of(block, name)) for name in darts(block, part))


def closed_waist(block: Draft, part: str) -> float:
    """The waist of the 'back' or 'front' with its darts closed, cm."""
    return block.curve(f"{part} waist").length - mouths(block, part)


def take_up(paper: Paper, part: str, closed: float, *, because: str) -> None:
    """Let the darts of a part take up what its waist is longer than `closed`, cm, each its share.

    A dart that would become too narrow is refused; a part without darts stays as it is drawn.
    """
    names = darts(paper.before, part)
    if not names:
        return
    old = mouths(paper.before, part)
    new = paper.now.curve(f"{part} waist").length - closed
    if new < LEAST_MOUTH * len(names):
        raise ValueAtFault(
            "amount", f"{old - new:.1f} cm off", f"leaves no {part} waist dart that can be sewn",
            f"Take a smaller amount: the {part} darts are {old:.1f} cm wide in all.",
        )  # fmt: skip
    whole = f"{part} dart mouths"
    if whole in paper.before:
        paper.note(whole, new, source=f"{part} waist as drawn less {closed:.1f} cm", because=because)
        return
    for name in names:
        mouth = mouth_of(paper.before, name)
        share = paper.before.number(mouth) / old
        paper.note(mouth, share * new, source=f"{part} waist as drawn less {closed:.1f} cm", because=because)

"""An alteration as a drawing: the block as it becomes over the block as it was."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..alterations import Altered, centred
from ..geometry import Move, Outline, Point
from ..output.scene import Scene, side_by_side
from ..output.scene.outlines import outline_scene

APART, BELOW = 6.0, 8.0
"""cm between back and front, and between bodice and skirt."""

Pair = tuple[Outline, Outline]
"""An outline before and after."""


def alteration_scene(
    made: Iterable[Altered],
    *,
    halves: bool = False,
    unit: str = "cm",
    lettering: str = "screen",
    title: str = "",
) -> Scene:
    """Each altered block in unbroken lines over the old one in dashed ones; back on the left, front on
    the right.

    halves: both halves are drawn, the left one as it was; unit: of written measures.
    """
    scenes = []
    for altered in made:
        pairs = [pair for part in ("back", "front") for pair in _pairs(altered, part, halves)]
        scenes.append(
            outline_scene(
                *(after for _, after in pairs), beneath=[before for before, _ in pairs], unit=unit,
                lettering=lettering, title=title or altered.after.title,
            )
        )  # fmt: skip
    return scenes[0] if len(scenes) == 1 else side_by_side(*scenes, title=title, gap=BELOW)


def _pairs(altered: Altered, part: str, halves: bool) -> Iterator[Pair]:
    """The half, and with `halves` the other one mirrored; the front lies to the right of the back."""
    before, after = centred(altered.before, part), centred(altered.after, part)
    wide = max(abs(p.x) for p in (*before.flat(0.5), *after.flat(0.5)))
    if halves:
        to = Move.shift(0 if part == "back" else 2 * wide + APART, 0)
        mirror = Move.mirror(Point(0, 0), Point(0, 1))
        other = before.moved(mirror)
        yield other.moved(to), other.moved(to)
    else:
        to = Move.shift(0 if part == "back" else 2 * wide + APART, 0)
    yield before.moved(to), after.moved(to)

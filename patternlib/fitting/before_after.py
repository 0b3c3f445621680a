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
    side: str = "",
    unit: str = "cm",
    lettering: str = "screen",
    title: str = "",
) -> Scene:
    """Each altered block in unbroken lines over the old one in dashed ones; back on the left, front on
    the right.

    side: 'right' or 'left' of the wearer where one half alone is changed: then both are drawn; unit:
    of written measures.
    """
    scenes = []
    for altered in made:
        pairs = [pair for part in ("back", "front") for pair in _pairs(altered, part, side)]
        scenes.append(
            outline_scene(
                *(after for _, after in pairs), beneath=[before for before, _ in pairs], unit=unit,
                lettering=lettering, title=title or altered.after.title,
            )
        )  # fmt: skip
    return scenes[0] if len(scenes) == 1 else side_by_side(*scenes, title=title, gap=BELOW)


def _pairs(altered: Altered, part: str, side: str) -> Iterator[Pair]:
    """The half, and with a `side` the other one as it was; the front lies to the right of the back.

    A block is drawn as her right half, which is on the right of the back and on the left of the front.
    """
    before, after = centred(altered.before, part), centred(altered.after, part)
    wide = max(abs(p.x) for p in (*before.flat(0.5), *after.flat(0.5)))
    to = Move.shift(0 if part == "back" else 2 * wide + APART, 0)
    over = Move.mirror(Point(0, 0), Point(0, 1))
    if side == "left":
        before, after = before.moved(over), after.moved(over)
    if side:
        other = centred(altered.before, part).moved(over if side == "right" else Move()).moved(to)
        yield other, other
    yield before.moved(to), after.moved(to)

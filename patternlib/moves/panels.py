"""Two darts that point at each other become one seam: the piece falls into two panels."""

from __future__ import annotations

from ..errors import GeometryError
from ..geometry import Curve, Outline, fair
from .outlines import Edges, index_of, round_outline


def panel_seam(
    outline: Outline, legs: tuple[str, str], legs2: tuple[str, str], *, name: str = "panel seam"
) -> tuple[Outline, Outline]:
    """The outline cut apart along two darts: (the panel after the first dart, the panel after the second).

    legs, legs2: the legs of each dart, in the order of the outline. Each panel's seam is one fair curve from
    mouth to mouth that passes by both dart points and lies on the legs near both mouths, so neither panel
    keeps a dart. The two seams are nearly equally long: walk them, and ease what one has more.
    Raises GeometryError where the legs of a dart do not follow one another.

    >>> from patternlib.blocks.bodice import bodice_block
    >>> from patternlib.moves.outlines import block_outline
    >>> front = block_outline(bodice_block("12", one_dart=True), "front")
    >>> bust = ("bust dart, neck leg", "bust dart, armhole leg")
    >>> side, centre = panel_seam(front, bust, ("waist dart, side leg", "waist dart, centre leg"))
    >>> side.names, abs(side["panel seam"].length - centre["panel seam"].length) < 0.5
    (('shoulder, armhole part', 'armhole', 'side', 'waist, side part', 'panel seam'), True)
    """
    i, j = index_of(outline, legs[0]), index_of(outline, legs2[0])
    count = len(outline.edges)
    for first, pair in ((i, legs), (j, legs2)):
        if outline.edges[(first + 1) % count][0] != pair[1]:
            raise GeometryError(f"'{pair[0]}' and '{pair[1]}' are not the legs of one dart, in this order.")
    return _panel(outline, i, j, name), _panel(outline, j, i, name)


def _panel(outline: Outline, start: int, end: int, name: str) -> Outline:
    """From the second leg of the dart at `start` to the first leg of the dart at `end`."""
    count = len(outline.edges)
    out, back = outline.edges[(start + 1) % count][1], outline.edges[end][1]
    between: Edges = []
    k = (start + 2) % count
    while k != end:
        between.append(outline.edges[k])
        k = (k + 1) % count
    return round_outline([*between, (name, _seam(back, out))])


KEEPS = 0.6
"""Share of a leg, from its mouth, along which the seam stays on it; beyond, the corner is rounded."""


def _seam(back: Curve, out: Curve) -> Curve:
    """From the mouth of one dart past its point and the other's point to the other mouth."""
    first = back.start.toward(back.end, KEEPS * back.length)
    last = out.end.toward(out.start, KEEPS * out.length)
    points = [back.start, first, back.end, out.start, last, out.end]
    if back.end.distance(out.start) < 1e-6:
        del points[3]
    return fair(points, start=back.start_direction, end=out.end_direction)

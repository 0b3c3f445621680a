"""The outline of one plain figure, 165 cm tall, seen from the front, from the back and from the side."""

from __future__ import annotations

from collections.abc import Iterator

from ....geometry import Curve, Point, fair, polyline

_DOWN, _OUT, _IN = Point(0, -1), Point(1, 0), Point(-1, 0)


def half_figure(view: str) -> Iterator[tuple[str, Curve]]:
    """The right half of the figure, standing with the arms a little away from the body."""
    chin = [(0, 141.5)] if view == "front" else []
    yield "head", fair([(0, 165), (7.4, 155), (5.4, 146.5), *chin], start=_OUT, end=_IN if chin else None)
    yield (
        "neck and shoulder",
        fair(
            [(5.4, 146.5), (6.2, 142.3), (12, 139.6), (18.6, 137), (21.6, 132)], start=_DOWN, end=Point(1, -4)
        ),
    )
    yield (
        "arm, outside",
        fair(
            [(21.6, 132), (23.6, 121), (26, 108), (30.2, 92), (32.4, 83), (34.6, 74), (33.4, 66)],
            start=Point(1, -4),
        ),
    )
    yield "arm, inside", fair([(16.2, 122), (19.6, 110), (25.4, 93), (28.6, 83.6), (29.6, 74), (33.4, 66)])
    yield (
        "trunk and leg, outside",
        fair(
            [
                (16.2, 122),
                (15.4, 115),
                (12.4, 104),
                (17.6, 83),
                (15.8, 66),
                (11.4, 47),
                (11.6, 35),
                (8, 9),
                (11, 0.8),
            ],
            start=_DOWN,
        ),
    )
    yield "leg, inside", fair([(0, 77), (2.6, 60), (3.6, 47), (3.2, 35), (3.6, 9), (3.2, 0.8)], end=_DOWN)
    yield "sole", polyline([(3.2, 0.8), (11, 0.8)])


def side_figure() -> Iterator[tuple[str, Curve]]:
    """The figure seen from its left side: it looks to the left."""
    yield (
        "front of the body",
        fair(
            [(0.6, 165), (-7.2, 158.5), (-7.8, 150.5), (-5.4, 145.8), (-4.2, 142.6), (-5.6, 139),
             (-10.2, 128), (-13, 116.2), (-10.8, 109.5), (-9.6, 104), (-10.8, 94), (-10.2, 83),
             (-9.4, 68), (-7, 47), (-5.2, 33), (-4.2, 9)],
            start=_IN,
        ),
    )  # fmt: skip
    yield (
        "back of the body",
        fair(
            [(0.6, 165), (9.4, 158), (9, 150), (6, 145.6), (6.4, 142.6), (9.8, 134), (11.2, 124), (8.8, 112),
             (7.4, 104), (10, 93.5), (12.8, 84), (9.6, 74.5), (7.4, 62), (5.2, 47), (6.8, 35), (3.4, 12),
             (4.8, 3)],
            start=_OUT,
        ),
    )  # fmt: skip
    yield "foot", fair([(-4.2, 9), (-8, 5), (-16.4, 2.4), (-15, 0.8)], start=_DOWN)
    yield "sole", polyline([(-15, 0.8), (4, 0.8), (4.8, 3)])
    yield (
        "arm, front",
        fair([(-4.4, 134), (-5, 121), (-5, 108), (-6.6, 94), (-7.4, 83.6), (-8.4, 72), (-5, 66)]),
    )
    yield "arm, back", fair([(5.4, 132), (4.6, 121), (3.6, 107), (0.4, 94), (-2.6, 83), (-3, 74), (-5, 66)])
    yield "shoulder", fair([(-4.4, 134), (0.2, 138), (5.4, 132)])


def outlines(view: str) -> Iterator[tuple[str, Curve, bool]]:
    """Every line of the figure in a view ('front', 'back' or 'side'): name, curve, mirrored too."""
    if view == "side":
        yield from ((name, curve, False) for name, curve in side_figure())
    else:
        yield from ((name, curve, True) for name, curve in half_figure(view))

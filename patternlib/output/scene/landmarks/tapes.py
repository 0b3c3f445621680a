"""The course of the tape for each measure on the figure, and the landmarks it goes by."""

from __future__ import annotations

from collections.abc import Iterator

from ....geometry import Curve, fair, polyline


def _round(x0: float, x1: float, y: float, sag: float) -> Curve:
    """A tape round the body, its nearer half, hanging `sag` cm lower in the middle than at the sides."""
    return fair([(x0, y), ((x0 + x1) / 2, y - sag), (x1, y)])


def _taped(*points) -> Curve:
    return polyline(points)


TAPES: tuple[tuple[str, str, Curve, tuple[float, float]], ...] = (
    # measure, view, line, place of its number
    ("bust_girth", "front", _round(-15.4, 15.4, 115.2, 1.2), (10.8, 110.6)),
    ("waist_girth", "front", _round(-12.4, 12.4, 104, 1.2), (7.5, 99.5)),
    ("hip_girth", "front", _round(-17.6, 17.6, 83, 1.4), (8, 78.2)),
    ("height", "front", _taped((-42, 0.8), (-42, 165)), (-45.5, 82)),
    ("neck_girth", "front", _round(-6.4, 6.4, 142.6, 3.4), (-11, 143.4)),
    ("shoulder_length", "back", _taped((6.2, 142.3), (18.6, 137)), (13.5, 142)),
    ("back_waist_length", "back", _taped((0, 143.4), (0, 104)), (-3.4, 112.5)),
    ("front_waist_length", "front", _taped((0, 139.2), (0, 103)), (-3.4, 108.5)),
    ("neck_to_bust", "front", _taped((6.2, 142.3), (8, 116.2)), (10, 131.6)),
    ("bust_span", "front", _taped((-8, 116.2), (8, 116.2)), (-4.2, 117.4)),
    ("armhole_depth", "back", _taped((4.2, 143.4), (4.2, 122)), (7.6, 133.5)),
    ("back_width", "back", _taped((-16.2, 122), (16.2, 122)), (-9, 123)),
    ("chest_width", "front", _taped((-15.6, 127), (15.6, 127)), (-9, 128)),
    ("upper_arm_girth", "front", _round(-24, -16.9, 119.6, 0.8), (-27, 118.2)),
    ("wrist_girth", "front", _round(28.6, 32.4, 83.4, 0.6), (36.2, 82.4)),
    ("arm_length", "back", fair([(18.6, 137), (23.6, 121), (26, 108), (30.2, 92), (32.4, 83)]), (30.4, 109)),
    ("waist_to_hip", "back", _taped((-20.5, 104), (-20.5, 83)), (-23.5, 79)),
    ("waist_to_knee", "front", _taped((20.5, 104), (20.5, 47)), (24, 60)),
    ("head_girth", "front", _round(-7.4, 7.4, 157.2, 1.2), (11, 156.4)),
    ("shoulder_drop", "back", _taped((-18.6, 142.3), (-18.6, 137)), (-21.8, 138.6)),
    ("underbust_girth", "front", _round(-14, 14, 110.2, 1.2), (-18, 109)),
    ("length_over_bust", "front", _taped((-6.2, 142.3), (-8, 116.2), (-8, 103.4)), (-11.2, 135)),
)

LANDMARKS: tuple[tuple[str, str, float, float, float], ...] = (
    # name, view, place, level of its name; names stand on the left of the front and on the right of the back
    ("top of the head", "front", 0, 165, 165),
    ("side neck point", "front", -6.2, 142.3, 147),
    ("pit of the neck", "front", 0, 139.2, 142),
    ("shoulder point", "front", -18.6, 137, 137),
    ("arm crease", "front", -15.8, 126, 126),
    ("bust point", "front", -8, 116.2, 116.2),
    ("natural waist", "front", -12.4, 104, 104),
    ("fullest hip", "front", -17.6, 83, 88),
    ("middle of the kneecap", "front", -7.4, 47, 47),
    ("nape bone", "back", 0, 143.4, 147),
    ("shoulder point", "back", 18.6, 137, 137),
    ("armpit level", "back", 16.2, 122, 122),
    ("elbow", "back", 26, 108, 110),
    ("natural waist", "back", 12.4, 104, 104),
    ("fullest seat", "back", 17.6, 83, 89),
    ("wrist bone", "back", 32.4, 83, 83),
)

_ARM_BEHIND = [(18.6, 137), (23.6, 121), (26, 108), (30.2, 92), (32.4, 83)]

_MORE: dict[str, tuple[tuple[str, Curve], ...]] = {
    "bust_girth": (("back", _round(-15.4, 15.4, 115.8, -0.8)), ("side", _taped((-13, 116.2), (10.1, 116.6)))),
    "waist_girth": (("back", _round(-12.4, 12.4, 104, 0.6)), ("side", _taped((-9.6, 104), (7.4, 104)))),
    "hip_girth": (("back", _round(-17.6, 17.6, 83, 0.8)), ("side", _taped((-10.2, 83), (12.7, 83)))),
    "height": (("side", _taped((22, 0.8), (22, 165))),),
    "neck_girth": (("back", fair([(-6.2, 142.3), (0, 143.4), (6.2, 142.3)])),
                   ("side", fair([(-5.4, 139.4), (0.2, 141.6), (6.3, 143.2)]))),
    "back_waist_length": (("side", fair([(6.3, 143.4), (9.8, 134), (11.2, 124), (8.8, 112), (7.4, 104)])),),
    "front_waist_length": (("side", _taped((-5.6, 139.2), (-13, 116.2), (-9.6, 104))),),
    "neck_to_bust": (("side", _taped((0.2, 141.6), (-9.4, 129), (-13, 116.2))),),
    "armhole_depth": (("side", fair([(6.3, 143.4), (9.8, 134), (11.1, 122)])),),
    "chest_width": (),
    "upper_arm_girth": (("side", _taped((-5, 119.6), (4.5, 119.6))),),
    "wrist_girth": (("side", _taped((-7.4, 83.6), (-2.6, 83))),),
    "arm_length": (("side", fair([(0.2, 138), (-0.2, 121), (-0.8, 108), (-3.4, 94), (-5, 83.4)])),
                   ("front", fair(_ARM_BEHIND))),
    "waist_to_hip": (("side", _taped((0.4, 104), (0.4, 83))),),
    "waist_to_knee": (("side", _taped((0.4, 104), (0.4, 47))),),
    "head_girth": (("side", _taped((-7.6, 157), (9.3, 157))), ("back", _round(-7.4, 7.4, 157.2, 0.8))),
    "shoulder_drop": (("front", _taped((-18.6, 142.3), (-18.6, 137))),),
    "underbust_girth": (("side", _taped((-10.9, 110), (8.4, 110.4))), ("back", _round(-14, 14, 110.2, -0.6))),
    "length_over_bust": (("side", _taped((0.2, 141.6), (-9.4, 129), (-13, 116.2), (-10.2, 104))),),
    "high_bust_girth": (("front", _round(-15.6, 15.6, 123, -1.2)),
                        ("side", _taped((-11.4, 124.4), (11, 121))), ("back", _round(-16, 16, 121.6, -0.8))),
    "strap_path": (("front", _taped((12.4, 139.6), (8, 116.2), (8, 103.2))),
                   ("back", _taped((7, 103.8), (8.4, 124), (12.4, 139.6))),
                   ("side", _taped((7.4, 104), (11.2, 124), (8.6, 134), (0.4, 139.6), (-9.4, 129),
                                   (-13, 116.2), (-9.6, 104)))),
}  # fmt: skip
"""The same measures seen from other sides, and those that no block is drafted from."""


def courses(name: str) -> Iterator[tuple[str, Curve]]:
    """Give each view in which a measure's tape is seen, the best one first, and its course there.

    >>> [view for view, _ in courses("hip_girth")], [view for view, _ in courses("strap_path")]
    (['front', 'back', 'side'], ['front', 'back', 'side'])
    """
    for measure, view, curve, _ in TAPES:
        if measure == name:
            yield view, curve
    yield from _MORE.get(name, ())

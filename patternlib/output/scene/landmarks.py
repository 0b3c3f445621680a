"""Where a tape is laid: one plain figure, seen from the front and from the back, with every measure numbered.

The figure is a schematic drawing of the course's own, about 165 cm tall, the same for every body; only the
figures beside it are those of one body. Lines drawn unbroken were measured, dotted ones are estimated.
"""

from __future__ import annotations

from collections.abc import Iterator

from ...body import Body
from ...errors import ValueAtFault
from ...geometry import Curve, Point, fair, polyline
from ...survey import measures
from ...units import write_length
from ..items import Stroke, Text, curve_path, item_box, join_boxes, shifted
from .base import Scene

APART, LETTER, ROW, TOP = 82.0, 3.9, 13.5, 228.0
"""cm from the middle of the front figure to that of the back; size of lettering; from row to row, far enough
to be read on a narrow page; height of the first row."""

_DOWN, _OUT, _IN = Point(0, -1), Point(1, 0), Point(-1, 0)


def _figure(view: str) -> Iterator[tuple[str, Curve]]:
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


def _round(x0: float, x1: float, y: float, sag: float) -> Curve:
    """A tape round the body, its nearer half, hanging `sag` cm lower in the middle than at the sides."""
    return fair([(x0, y), ((x0 + x1) / 2, y - sag), (x1, y)])


def _taped(*points) -> Curve:
    return polyline(points)


_TAPES: tuple[tuple[str, str, Curve, tuple[float, float]], ...] = (
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

_LANDMARKS: tuple[tuple[str, str, float, float, float], ...] = (
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


def _outlines(view: str) -> list[Stroke | Text]:
    out: list[Stroke | Text] = []
    for name, curve in _figure(view):
        for sign in (1, -1):
            d = tuple(
                (c[0], *(v * sign if k % 2 == 0 else v for k, v in enumerate(c[1:])))
                for c in curve_path(curve)
            )
            out.append(Stroke(d, "measure", "blocks", "", f"figure seen from the {view}, {name}"))
    return out


def _cross(x: float, y: float, title: str) -> Stroke:
    a = 0.9
    return Stroke(
        (("M", x - a, y), ("L", x + a, y), ("M", x, y - a), ("L", x, y + a)), "notch", "plan", "", title
    )


def _sheet(front: list, back: list, more: list, title: str) -> Scene:
    items = [*front, Text(0, 170, "front", LETTER, style="heading")]
    second = [*back, Text(0, 170, "back", LETTER, style="heading")]
    items += [shifted(item, APART) for item in second] + more
    x0, y0, x1, y1 = join_boxes(item_box(item) for item in items)
    return Scene(tuple(items), title, (x0 - 2, y0 - 2, x1 + 2, y1 + 2))


def landmarks_scene() -> Scene:
    """Draw the landmarks: the points of a body from which a tailor measures, each with its name.

    >>> landmarks_scene().title
    'Landmarks of the body, front and back'
    """
    views = {"front": _outlines("front"), "back": _outlines("back")}
    for name, view, x, y, level in _LANDMARKS:
        out = -1 if view == "front" else 1
        lead = (("M", x + 1.4 * out, y), ("L", 37.0 * out, level))
        views[view] += [
            _cross(x, y, name),
            Stroke(lead, "measure", "measures", "", name),
            Text(38.0 * out, level - 0.9, name, LETTER, "start" if out > 0 else "end"),
        ]
    return _sheet(views["front"], views["back"], [], "Landmarks of the body, front and back")


def measures_scene(body: Body | None = None, *, unit: str = "cm") -> Scene:
    """Draw where each measure is taken, with a list of terms and, for a body, what each measures.

    body: its measures are written in `unit` ('cm' or 'in'); what is estimated is dotted and says so. None:
    every line unbroken and the terms alone. Raises ValueAtFault for another unit.

    >>> from patternlib.body import Body
    >>> scene = measures_scene(Body(bust_girth=88, waist_girth=70, hip_girth=95))
    >>> sum(item.style == "placement" for item in scene.items)
    19
    """
    if unit not in ("cm", "in"):
        raise ValueAtFault("unit", unit, "must be 'cm' or 'in'", "Measures are written in one of these.")
    views = {"front": _outlines("front"), "back": _outlines("back")}
    listed: list[Text] = []
    left = APART + 46
    guessed = body.estimated if body else ()
    for k, (name, view, curve, (x, y)) in enumerate(_TAPES, 1):
        term, style = measures()[name].term, "placement" if name in guessed else "style line"
        words = f"{term}, estimated" if name in guessed else term
        views[view].append(Stroke(curve_path(curve), style, "plan", f"measures/{name}", words))
        for end in (curve.start, curve.end) if name in ("height", "waist_to_hip", "waist_to_knee") else ():
            tick = (("M", end.x - 1.2, end.y), ("L", end.x + 1.2, end.y))
            views[view].append(Stroke(tick, "measure", "plan", "", words))
        views[view].append(Text(x, y, f"{k}", LETTER, style="heading"))
        row, y = f"measure {k}", TOP - ROW * (k - 1)
        listed += [
            Text(left + 5, y, f"{k}", LETTER, "end", style="heading", row=row),
            Text(left + 15, y, term, LETTER, "start", row=row),
        ]
        if body:
            value = write_length(getattr(body, name), unit, parts=8)
            kind = "est." if name in guessed else ""
            listed.append(Text(left + 212, y, value, LETTER, "end", style="heading", row=row))
            if kind:
                listed.append(Text(left + 221, y, kind, LETTER, "start", style="measure", row=row))
    if body:
        listed += [
            Text(left, TOP - (len(_TAPES) + 0.2) * ROW, "unbroken line: measured", LETTER, "start"),
            Text(
                left,
                TOP - (len(_TAPES) + 1.2) * ROW,
                "dotted line, est.: estimated from bust and stature",
                LETTER,
                "start",
            ),
        ]
    return _sheet(views["front"], views["back"], listed, "Where each measure is taken, front and back")

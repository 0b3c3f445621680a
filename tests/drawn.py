"""Garments and scenes to draw in tests, and a small reader of path data, independent of the writer."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
from scipy.integrate import quad
from shapely import LineString, Polygon, polygonize_full

from patternlib.body import chart
from patternlib.errors import ValueAtFault
from patternlib.garments.pinafore import make_pinafore
from patternlib.geometry import Point, cubic, line
from patternlib.output.items import Stroke
from patternlib.output.scene import garment_scene
from patternlib.pieces import DrillHole, Edge, Grain, Mark, Notch, Piece

SIZES = ("6", "12", "26")


@cache
def pinafore(size: str):
    return make_pinafore(chart("course").body(size), size=size, date="2026-11-25")


@cache
def drawn(size: str, lettering: str = "paper", measures: bool = False):
    return garment_scene(pinafore(size), lettering=lettering, measures=measures)


def edges_round(block, names) -> list[Point]:
    """The places along named lines of a draft, each begun where the one before ends."""
    places: list[Point] = []
    for name in names:
        points = list(block[name].flat())
        if places and points[0].distance(places[-1]) > 1e-6:
            points.reverse()
        assert not places or points[0].distance(places[-1]) < 1e-6, f"{name} does not touch the edge before"
        places += points[1:] if places else points
    return places


def led(draw, style: dict[str, float]):
    """What `draw(**style)` gives, where up to three refusals are answered with what they advise."""
    for _ in range(3):
        given = draw(**style)
        if not isinstance(given, ValueAtFault):
            return given
        style = style | given.instead
    return draw(**style)


def panel(width: float, height: float, *, name="panel", tilt=0.0, label=(), **more) -> Piece:
    """A panel with one bowed side, turned by `tilt` degrees; not finished."""
    corners = [Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)]
    a, b, c, d = (p.turned(tilt) for p in corners)
    out = (b - a).unit() * (0.1 * width)
    edges = (
        Edge("hem", line(a, b), 3.0, "hem"),
        Edge("side", cubic(b, b + out + (c - b) * 0.3, b + out + (c - b) * 0.7, c), 1.0),
        Edge("top", line(c, d), 1.0),
        Edge("centre", line(d, a), 1.0),
    )
    middle = a.middle(c)
    up = (d - a).unit() * (0.3 * height)
    more = {"grain": Grain(middle - up, middle + up), "label": label, **more}
    return Piece(name, edges, **more)


def marked(piece: Piece) -> Piece:
    middle = piece.grain.start.middle(piece.grain.end)
    return piece.replace(
        notches=(Notch("side", 5.0), Notch("top", 4.0, 2), Notch("hem", 0.4)),
        drill_holes=(DrillHole(middle + Point(3, 2), "pocket"),),
        marks=(Mark("pocket", line(middle + Point(2, 1), middle + Point(5, 1))),),
    )


# --- path data ----------------------------------------------------------------------------------------------


def pieces_of(d) -> list[tuple[complex, ...]]:
    """Path data (SVG text, or the commands of a stroke) as straight pieces (2 points) and cubics (4)."""
    if not isinstance(d, str):
        d = " ".join(f"{c[0]} {' '.join(map(repr, map(float, c[1:])))}" for c in d)
    tokens = re.findall(r"[MLCZ]|[-+.\deE]+", d)
    out, at, start, k, op = [], 0j, 0j, 0, ""
    while k < len(tokens):
        if tokens[k] in "MLCZ":
            op, k = tokens[k], k + 1
        if op == "Z":
            if at != start:
                out.append((at, start))
            at = start
            continue
        count = {"M": 2, "L": 2, "C": 6}[op]
        numbers = list(map(float, tokens[k : k + count]))
        k += count
        places = [complex(x, y) for x, y in zip(numbers[0::2], numbers[1::2], strict=True)]
        if op == "M":
            start = places[0]
        else:
            out.append((at, *places))
        at = places[-1]
    return out


def value(s, t):
    return (1 - t) ** 3 * s[0] + 3 * (1 - t) ** 2 * t * s[1] + 3 * (1 - t) * t**2 * s[2] + t**3 * s[3]


def path_length(d) -> float:
    """Length of path data by scipy's quadrature, in its own unit."""
    total = 0.0
    for s in pieces_of(d):
        if len(s) == 2:
            total += abs(s[1] - s[0])
        else:
            a, b, c = 3 * (s[1] - s[0]), 3 * (s[2] - s[1]), 3 * (s[3] - s[2])

            def speed(t, a=a, b=b, c=c):
                return abs((1 - t) ** 2 * a + 2 * t * (1 - t) * b + t * t * c)

            total += quad(speed, 0, 1)[0]
    return total


def path_lines(d) -> list[LineString]:
    """Path data as lines of shapely, cubics in 60 steps."""
    out = []
    for s in pieces_of(d):
        zs = s if len(s) == 2 else [value(s, t) for t in np.linspace(0, 1, 61)]
        if abs(zs[-1] - zs[0]) > 1e-12 or len(zs) > 2:
            out.append(LineString([(z.real, z.imag) for z in zs]))
    return out


def rounds(ds) -> list[Polygon]:
    """The areas that paths enclose together; they must meet exactly and leave no loose end."""
    areas, cuts, dangles, wrong = polygonize_full([g for d in ds for g in path_lines(d)])
    assert cuts.is_empty and dangles.is_empty and wrong.is_empty, "the outline is not closed"
    return list(areas.geoms)


def cut_area(scene, piece: str) -> Polygon:
    """The cut piece as drawn: inside its cut line and fold."""
    ds = [
        i.d
        for i in scene.items
        if isinstance(i, Stroke) and i.piece == piece and (i.style == "cut" or (i.style == "fold" and i.id))
    ]
    (area,) = rounds(ds)
    return area

"""A made-up scene for trying boards: a plan with ten panels that follow four values. Not a garment."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, sin

from patternlib.boards import BoardStep, Picture, Slider
from patternlib.checking import Finding
from patternlib.errors import ValueAtFault
from patternlib.output.items import Handle, Stroke, Text
from patternlib.output.scene import Scene

SLIDERS = [
    Slider("length", "Skirt length", 45, 75, 0.5, 60, why="Waist to hem at the centre"),
    Slider("yoke_depth", "Yoke depth at centre back", 5, 14, 0.1, 8, why="Waist down to the yoke seam"),
    Slider("pocket_across", "Pocket point across", 4, 12, 0.1, 7, why="Centre front to the pocket's point"),
    Slider("pocket_down", "Pocket point down", 10, 26, 0.1, 16, why="Waist down to the pocket's point"),
]


def curve(a, b, bulge):
    """Return a cubic from a to b that bows to the right by `bulge` cm."""
    nx, ny = (b[1] - a[1]), -(b[0] - a[0])
    n = hypot(nx, ny) or 1
    ox, oy = nx / n * bulge * 4 / 3, ny / n * bulge * 4 / 3
    third = [(a[i] + (b[i] - a[i]) / 3, a[i] + (b[i] - a[i]) * 2 / 3) for i in (0, 1)]
    return ("C", third[0][0] + ox, third[1][0] + oy, third[0][1] + ox, third[1][1] + oy, *b)


def panel(name, corners, bows, *, allowance=1.0):
    """Return the items and facts of one panel: seam line, cut line, notches, grain, label, lengths."""
    items, facts = [], {}
    n = len(corners)
    mx, my = sum(x for x, _ in corners) / n, sum(y for _, y in corners) / n
    outer = [
        (x + allowance * (1 if x > mx else -1), y + allowance * (1 if y > my else -1)) for x, y in corners
    ]
    names = ["waist", "side", "hem", "centre", "inset", "top"]
    for i, a in enumerate(corners):
        b, bow = corners[(i + 1) % n], bows[i % len(bows)]
        edge = f"{name}/{names[i]}"
        items.append(Stroke((("M", *a), curve(a, b, bow)), "seam", "seam lines", edge))
        oa, ob = outer[i], outer[(i + 1) % n]
        items.append(Stroke((("M", *oa), curve(oa, ob, bow)), "cut", "cut lines", edge))
        length = hypot(b[0] - a[0], b[1] - a[1])
        facts[edge] = {
            "name": f"{name}, {names[i]}",
            "length": length,
            "allowance": allowance,
            "turn": "seam",
            "partners": [],
        }
        ax, ay = (oa[0] + ob[0]) / 2, (oa[1] + ob[1]) / 2
        items.append(
            Stroke(
                (("M", ax, ay), ("L", ax + 0.3 * (mx - ax) / 9, ay + 0.3 * (my - ay) / 9)),
                "notch",
                "cut lines",
            )
        )
        angle = degrees(atan2(b[1] - a[1], b[0] - a[0]))
        angle = angle - 180 if angle > 90 else angle + 180 if angle <= -90 else angle
        items.append(
            Text(
                (a[0] + b[0]) / 2,
                (a[1] + b[1]) / 2,
                f"{length:.1f}",
                0.5,
                "middle",
                angle,
                "measures",
                "measure",
            )
        )
    items.append(Stroke((("M", mx, my - 9), ("L", mx, my + 9)), "grain", "cut lines"))
    items.append(Text(mx, my + 1, name, 1.0))
    items.append(Text(mx, my - 1, "cut 2", 0.7))
    return items, facts


def redraw(values):
    length, yoke = values["length"], values["yoke_depth"]
    px, py = values["pocket_across"], values["pocket_down"]
    if yoke > 13 and length < 50:
        raise ValueAtFault(
            "yoke_depth",
            yoke,
            f"leaves no skirt under a yoke at length {length:g}",
            "Make the yoke less deep.",
        )
    if py < yoke + 1:
        raise ValueAtFault(
            "pocket_down", py, f"must lie below the yoke, at least {yoke + 1:g} cm down", "Lower the pocket."
        )
    items, facts = [], {}
    for x in range(0, 100, 24):
        items.append(Stroke((("M", x, 0), ("L", x, -length - 4)), "block", "blocks"))
    for k in range(5):
        x, wide = k * 26.0, 18 + 0.4 * k
        for name, top, bottom in ((f"yoke {k + 1}", 0, -yoke), (f"skirt {k + 1}", -yoke - 5, -length - 5)):
            flare = 2.0 if bottom < -30 else 0.5
            corners = [(x + wide, top), (x, top), (x - flare * 0.3, bottom), (x + wide + flare, bottom - 0.5)]
            more, known = panel(name, corners, [0.6, 0.2, -0.6, 0.3])
            items += more
            facts |= known
    for k in range(1, 6):
        facts[f"yoke {k}/hem"]["partners"] = [f"skirt {k}/waist"]
        facts[f"skirt {k}/waist"]["partners"] = [f"yoke {k}/hem"]
    p = (px, -py - 5)
    items.append(
        Stroke(
            (
                ("M", 2, p[1] + 4),
                ("L", 2, p[1] + 1),
                ("L", *p),
                ("L", px + 5, p[1] + 1),
                ("L", px + 5, p[1] + 4),
                ("Z",),
            ),
            "placement",
            "plan",
        )
    )
    items.append(
        Handle(*p, "pocket point", {"pocket_across": (1, 0), "pocket_down": (0, -1)}, "Pocket point")
    )
    items.append(Handle(9, -yoke, "yoke", {"yoke_depth": (0, -1)}, "Yoke at centre back"))
    for k in range(12):
        a = k * 0.52
        items.append(
            Stroke(
                (("M", 9 + 3 * cos(a), p[1] + 3 * sin(a)), ("L", 9 + 3.4 * cos(a), p[1] + 3.4 * sin(a))),
                "construct",
                "plan",
            )
        )
    found = []
    if length > 70:
        found.append(
            Finding(901, "warning", "skirt 1, hem", length, 70.0, 0.0, f"{length:g} cm is long near wheels.")
        )
    return Picture(Scene(tuple(items), "Panels", (-3.0, -length - 8, 129.0, 3.0)), tuple(found), facts)


def steps(values):
    items = redraw(values).scene.items
    size = len(items) // 8
    return tuple(
        BoardStep(
            f"Step {k + 1}: draw part {k + 1}, because the next one hangs on it.",
            items[k * size : (k + 1) * size],
        )
        for k in range(8)
    )

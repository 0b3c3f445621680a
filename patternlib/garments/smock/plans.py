"""The plans of the throwing-room smock: front, back and collar. The sleeve is a block of its own.

Centre front and centre back lie on x = 0, the front to the left, the back to the right, the waist level on
y = 0. The bust dart is closed about the bust point and opens into fullness at the hem; front and back lean
out alike at the side.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from ...draft import Draft, Drafting
from ...errors import GeometryError, ValueAtFault
from ...geometry import Curve, Move, Point, direction, fair
from ..eye import turnings

OVERLAP = 2.0
"""cm; shoulders of back and front overlapped at the tip under a flat collar, so that its outer edge draws
in and hides the neck seam: common practice, no source."""

RISE = 1.5
"""cm; a stand collar's neck edge rises toward the front, so that the collar leans to the neck: common
practice, no source."""

BELOW_SLIT = 3.0
"""cm; the facing reaches below the slit (common practice, no source)."""


ARMHOLE_WAVE = 8.0
"""degrees that an armhole turns back at most (common practice, no source)."""


def side_lean(bodice: Draft, v: Mapping[str, float]) -> tuple[float, float]:
    """(length of the side in cm, lean of the side in degrees), alike for front and back.

    The lean is what closing the bust dart gives, or more where more flare is wanted. The side is so long that
    the back's hem, level at the centre and square to the side, rises without a dip: a third of the way that
    the side's own slope would lift it.
    """
    level = bodice["nape"].y - v["length"]
    long = bodice["underarm point"].y - level
    if long < 25:
        raise ValueAtFault("length", v["length"], f"leaves only {long:.1f} cm below the arm")
    lean = max(bodice["bust dart angle"], math.degrees(math.atan2(v["flare"], long)))
    third, turn = math.tan(math.radians(lean)) / 3, math.radians(lean)
    across = bodice["underarm point"].x
    return (long - third * across) / (math.cos(turn) + third * math.sin(turn)), lean


def front_plan(bodice: Draft, v: Mapping[str, float], side: tuple[float, float]) -> Draft:
    d = Drafting("front plan of the smock")
    shift = Move.shift(-bodice["waist at centre front"].x, 0)
    of = "the bodice block, front"
    for name, source in (
        ("neck point", "front neck point"),
        ("centre front neck", "centre front neck"),
        ("waist at centre front", "waist at centre front"),
        ("bust point", "bust point"),
        ("block shoulder tip", "front shoulder tip"),
        ("block chest point", "chest point"),
        ("block underarm", "underarm point"),
    ):
        d.trace(name, shift(bodice[source]), of)
    d.trace("neckline", bodice["front neckline"].moved(shift), of, style="style line")
    d.trace("block armhole", bodice["front armhole"].moved(shift), of)
    d.given("closing, angle", -bodice["bust dart angle"], source="the bust dart's angle, turned back")
    for name in ("shoulder tip", "chest point", "underarm"):
        d.add(
            name, "turn", (f"block {name}", "bust point"), "closing, angle",
            because="closing the bust dart opens the hem",
        )  # fmt: skip
    _body(d, bodice["nape"].y - v["length"], side, "front", v["dropped_shoulder"])
    d.line("centre", "centre hem", "centre front neck", style="style line")
    d.go("slit end", "centre front neck", "down", v["slit"], source="slit")
    if d["slit end"].y - BELOW_SLIT < d["centre hem"].y + 10:
        raise ValueAtFault("slit", v["slit"], "ends too near the hem")
    d.go("facing foot", "slit end", "down", BELOW_SLIT, source="below the slit's end")
    d.go("facing corner", "facing foot", "left", v["facing"], source="facing width")
    d.along("facing on the shoulder", "neck point", "shoulder tip", v["facing"], source="facing width")
    d.curve(
        "facing edge", ["facing on the shoulder", "facing corner"], start="armhole start, angle", end="down",
        style="style line", because="it leaves the shoulder square",
    )  # fmt: skip
    d.line("facing bottom", "facing corner", "facing foot", style="style line")
    _pocket(d, v)
    return d.finish()


def back_plan(bodice: Draft, v: Mapping[str, float], side: tuple[float, float]) -> Draft:
    d = Drafting("back plan of the smock")
    of = "the bodice block, back"
    for name, source in (
        ("nape", "nape"),
        ("neck point", "back neck point"),
        ("shoulder tip", "back shoulder tip"),
        ("back width point", "back width point"),
        ("underarm", "underarm point"),
    ):
        d.trace(name, bodice[source], of)
    d.trace("neckline", bodice["back neckline"], of, style="style line")
    d.trace("block armhole", bodice["back armhole"], of)
    _body(d, bodice["nape"].y - v["length"], side, "back", v["dropped_shoulder"])
    d.line("centre", "nape", "centre hem", style="style line")
    d.add("facing edge", "parallel", ("neckline",), v["facing"], side="right", style="style line")
    return d.finish()


def _body(d: Drafting, level: float, side: tuple[float, float], part: str, dropped: float) -> None:
    """Shoulder, armhole, side and hem of one half; `level` is the hem's at the centre."""
    (long, lean), back = side, part == "back"
    sign = 1 if back else -1
    d.start("centre hem", (0.0, level), because="the length is measured from the nape")
    d.line("shoulder", "neck point", "shoulder tip", style="style line")
    d.add("armhole start, angle", "angle", ("shoulder",), -90.0 * sign, at="end")
    d.go(
        "side hem", "underarm", -90 + sign * lean, long, source="underarm to hem",
        because="both sides lean out alike, so the side seam hangs straight",
    )  # fmt: skip
    d.line("side", "underarm", "side hem", style="style line")
    d.add("square to the side, angle", "angle", ("side",), 90.0 * sign, at="start")
    d.curve(
        "armhole", ["shoulder tip", "back width point" if back else "chest point", "underarm"],
        start="armhole start, angle", end="square to the side, angle", style="style line",
        because="it stands square on the shoulder and on the side",
    )  # fmt: skip
    wave = min(turnings(d["armhole"]))
    if wave > ARMHOLE_WAVE:
        raise ValueAtFault(
            "dropped_shoulder", dropped, f"makes the {part} armhole wave, {wave:.0f} degrees back"
        )
    d.curve(
        "hemline", ["centre hem", "side hem"], start="right" if back else "left",
        end="square to the side, angle", style="style line",
        because="sewn together it must not show a corner at the side",
    )  # fmt: skip


def _pocket(d: Drafting, v: Mapping[str, float]) -> None:
    width, depth = v["pocket_width"], v["pocket_depth"]
    below = v["pocket_below_waist"]
    d.go("pocket level", "waist at centre front", "down", below, source="pocket below the waist")
    d.go("pocket inner top", "pocket level", "left", v["pocket_from_centre"], source="pocket from the centre")
    d.go("pocket outer top", "pocket inner top", "left", width, source="pocket width")
    for place in ("inner", "outer"):
        d.go(f"pocket {place} corner", f"pocket {place} top", "down", depth, source="pocket depth")
    for name, start, end in (
        ("pocket opening", "pocket outer top", "pocket inner top"),
        ("pocket inner side", "pocket inner top", "pocket inner corner"),
        ("pocket bottom", "pocket inner corner", "pocket outer corner"),
        ("pocket outer side", "pocket outer corner", "pocket outer top"),
    ):
        d.line(name, start, end, style="style line")
    room = d["pocket outer corner"].y - d["centre hem"].y - v["hem"] - 2
    if room < 0:
        raise ValueAtFault("pocket_depth", depth, "comes too near the hem")
    across = d["side"].meets_line(d["pocket level"], d["pocket inner top"])
    beside = d["pocket outer top"].x - d["side"].at(across[0]).x if across else 0.0
    if beside < 1.5:
        raise ValueAtFault(
            "pocket_width", width, f"leaves {max(beside, 0):.1f} cm beside the pocket"
        )  # fmt: skip


# -- the collar


def collar_plan(bodice: Draft, v: Mapping[str, float]) -> Draft:
    """A flat collar on the laid-together necklines, or a stand collar; centre back on x = 0."""
    d = Drafting("collar plan of the smock")
    for part in ("back", "front"):
        name = f"{part} neckline"
        d.trace(f"{name} as drafted", bodice[name], f"the bodice block, {part}", style="aside")
        d.length(f"{part} neckline length", f"{part} neckline as drafted")
    d.sum(
        "neckline length", {"back neckline length": 1.0, "front neckline length": 1.0},
        source="back neckline + front neckline", because="the collar's neck edge must measure as much",
    )  # fmt: skip
    if v["collar"] == 1:
        _stand(d)
        depth, outside = v["stand_height"], "left"
    else:
        _flat(d, bodice)
        depth, outside = v["collar_depth"], "right"
    d.add(
        "outer edge", "parallel", ("neck edge",), depth, side=outside, style="style line",
        because="the collar is equally deep all round",
    )  # fmt: skip
    for name, at in (("centre back", "start"), ("front", "end")):
        d.add(f"{name} at the neck", "end", ("neck edge",), at=at)
        d.add(f"{name} at the outer edge", "end", ("outer edge",), at=at)
    d.line("centre back", "centre back at the outer edge", "centre back at the neck", style="style line")
    d.line("front edge", "front at the neck", "front at the outer edge", style="style line")
    return d.finish()


def _fit(curve: Callable[[float], Curve], length: float, x: float) -> float:
    """The x for which a neck edge measures the neckline (secant)."""
    x0, x1 = x, x + 0.2
    f0, f1 = curve(x0).length - length, curve(x1).length - length
    for _ in range(30):
        if abs(f1) < 1e-9 or f1 == f0:
            break
        x0, x1, f0 = x1, x1 - f1 * (x1 - x0) / (f1 - f0), f1
        f1 = curve(x1).length - length
    if not abs(f1) < 1e-6:
        raise GeometryError("a collar cannot be fitted to this neckline: measure the neck again.")
    return x1


def _stand(d: Drafting) -> None:
    def edge(long: float) -> Curve:
        end = direction(math.degrees(2 * math.atan2(RISE, long)))
        return fair([Point(0, 0), Point(long, RISE)], start=Point(1, 0), end=end)

    length = d["neckline length"]
    long = _fit(edge, length, length - 0.5)
    d.start("centre back foot")
    fits = "so that the neck edge measures the neckline"
    d.go("front foot level", "centre back foot", "right", long, source=fits)
    d.go("front foot", "front foot level", "up", RISE, source="rise", because="the collar leans to the neck")
    d.curve(
        "neck edge", ["centre back foot", "front foot"], start="right",
        end=math.degrees(2 * math.atan2(RISE, long)), style="style line",
    )  # fmt: skip


def _flat(d: Drafting, bodice: Draft) -> None:
    """The front laid on the back at the shoulder, the tips overlapped, the neckline redrawn in one."""
    for name in ("nape", "back neck point", "back shoulder tip"):
        d.trace(name, bodice[name], "the bodice block, back")
    d.trace("block back neckline", bodice["back neckline"], "the bodice block, back")
    for name in ("front neck point", "shoulder tip, dart closed", "centre front neck"):
        d.trace(f"{name} as drafted", bodice[name], "the bodice block, front", style="aside")
    shoulder = bodice["back neck point"].distance(bodice["back shoulder tip"])
    d.add(
        "overlapped shoulder tip", "turn", ("back shoulder tip", "back neck point"),
        -math.degrees(2 * math.asin(OVERLAP / 2 / shoulder)),
        source=f"{OVERLAP:g} cm at the tip", because="the outer edge of the collar draws in",
    )  # fmt: skip
    lay = (
        "front neck point as drafted", "shoulder tip, dart closed as drafted", "back neck point",
        "overlapped shoulder tip",
    )  # fmt: skip
    d.add("front neckline, laid on", "lay", ("front neckline as drafted", *lay), style="block")
    d.add("centre front neck, laid on", "lay", ("centre front neck as drafted", *lay))
    d.add("neck end, angle", "angle", ("front neckline, laid on",), at="end")
    nape, neck, front = d["nape"], d["back neck point"], d["centre front neck, laid on"]
    way = d["front neckline, laid on"].end_direction

    def edge(further: float) -> Curve:
        return fair([nape, neck, front + way * further], start=Point(1, 0), end=way)

    further, on = _fit(edge, d["neckline length"], 0.0), "neck end, angle"
    if further < 0:
        on = "back along the neck, angle"
        d.sum(on, {"neck end, angle": 1.0}, 180.0, source="the neck's end turned about")
    d.go(
        "collar front", "centre front neck, laid on", on, abs(further),
        source="so that the neck edge measures the neckline",
    )  # fmt: skip
    d.curve(
        "neck edge", ["nape", "back neck point", "collar front"], start="right", end="neck end, angle",
        style="style line", because="it is redrawn fair over the shoulder",
    )  # fmt: skip

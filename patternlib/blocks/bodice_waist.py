"""Steps of the bodice block: the waist and its darts."""

from __future__ import annotations

from ..body import Body
from ..draft import Drafting
from ..errors import ValueAtFault
from ..geometry import Point
from .bodice_lines import SHORT

LEAST_DIP, MOST_DIP = -2.0, 3.5
"""cm; how far the waist may dip under the bust: beyond, the measures do not go together."""


def _lengths(d: Drafting) -> tuple[float, float]:
    """Height of the back and of the front waist dart over the waist at the centres.

    Front: 2 cm short of the bust point, less where that lies low; back: to the level of the bust point, where
    it takes nothing from the girth, 1.5 cm below the bust line at most and 6 at least.
    """
    bust, line = d["bust point"].y, d["centre back bust line"].y
    return min(max(bust, 6.0), line - 1.5), max(bust - SHORT, min(7.0, bust - 0.5))


def _front_share(d: Drafting, body: Body, mouths: float) -> float:
    """The front's share of the waist darts: more for a full bust; no mouth far wider than half its length."""
    share = min(0.4 + 0.05 * (body.bust_girth - body.underbust_girth) / 4, 0.7)
    back, front = _lengths(d)
    most, least = 0.6 * front / mouths, 1 - 0.5 * back / mouths
    if least > most:
        return front / (front + back)
    return min(max(share, least), most)


def _under_the_bust(d: Drafting, body: Body, mouth: float, trued: float) -> None:
    """Where the waist lies under the bust, so that the length over the bust is the body's."""
    bust, neck = d["bust point"], d["front neck point"]
    _, front = _lengths(d)
    short = bust.y - front
    left = body.length_over_bust - neck.distance(bust) - short
    least, most = ((front + dip) ** 2 + mouth**2 / 4 for dip in (LEAST_DIP, MOST_DIP))
    if "length_over_bust" in body.estimated:  # a guess gives way
        left = min(max(left, max(least, 1.0) ** 0.5), most**0.5)
    if not max(least, 1.0) - 1e-9 <= max(left, 0.0) ** 2 <= most + 1e-9:
        low, high = (v**0.5 + neck.distance(bust) + short for v in (max(least, 1.0), most))
        raise ValueAtFault(
            "length_over_bust",
            body.length_over_bust,
            f"does not go with front waist length and neck to bust: {low:.1f} to {high:.1f} cm can be drawn",
            "Measure all three again, each down to the same waist.",
        )
    d.go("dart end below the bust point", "bust point", "down", short)
    d.go(
        "leg upright",
        "bust point upright",
        "right",
        mouth / 2,
        source="half of the mouth that bust less waist leaves for this dart",
    )
    d.add(
        "foot of the leg",
        "swing down",
        ("dart end below the bust point", "leg upright"),
        left + trued,
        source=f"length over the bust less neck to bust less {short:g}" + (", trued" if trued else ""),
        because="the leg has the length that the tape has there",
    )
    d.add(
        "waist under the bust",
        "level",
        ("foot of the leg", "bust point"),
        because="the waist dips under a full bust",
    )


def waist(d: Drafting, body: Body, half_waist: float, mouths: float, trued: float) -> None:
    """Both waist lines and their darts; mouths: what bust less waist leaves for the darts, 0 for
    none; trued: added to the front dart's leg."""
    share = _front_share(d, body, mouths) if mouths else 0.0
    _under_the_bust(d, body, share * mouths, trued)
    for part, way, through in (("back", "right", []), ("front", "left", ["waist under the bust"])):
        d.curve(
            f"{part} waist",
            [f"waist at centre {part}", *through, f"{part} side waist"],
            start=way,
            end=f"{part} side waist, angle",
            style="block",
        )
        d.length(f"{part} waist as drawn", f"{part} waist")
    if not mouths:
        return
    d.sum(
        "waist dart mouths",
        {"back waist as drawn": 1.0, "front waist as drawn": 1.0},
        -half_waist,
        source=f"both waists as drawn less {half_waist:.1f}, half of waist + ease",
    )
    back_centre = 0.5 * d["back side waist"].x
    tops = _lengths(d)
    for part, of, at, top in (
        ("back", 1 - share, Point(back_centre, 0), tops[0]),
        ("front", share, d["waist under the bust"], tops[1]),
    ):
        mouth = f"{part} dart mouth"
        d.sum(mouth, {"waist dart mouths": of}, source=f"{of:.2g} of the waist dart mouths")
        curve = d[f"{part} waist"]
        place = curve.closest(at)[0]
        place = min(max(place, d[mouth] / 2 + 1.5), curve.length - d[mouth] / 2 - 1.5)
        d.given(
            f"{part} dart centre",
            place,
            source="under the bust point" if part == "front" else "midway to the side",
        )
        d.sum(
            f"{part} dart, first leg at",
            {f"{part} dart centre": 1.0, mouth: -0.5},
            source="centre less half the mouth",
        )
        d.sum(
            f"{part} dart, second leg at",
            {f"{part} dart centre": 1.0, mouth: 0.5},
            source="centre + half the mouth",
        )
        d.on(f"{part} dart leg", f"{part} waist", f"{part} dart, first leg at")
        d.on(f"{part} dart leg 2", f"{part} waist", f"{part} dart, second leg at")
        d.add(
            f"{part} dart point",
            "dart point",
            (f"{part} dart leg", f"{part} dart leg 2", "waist at centre back"),
            -top,
            because="square from the middle of the mouth both legs come out equal",
        )
        for n, leg in enumerate((f"{part} dart leg", f"{part} dart leg 2"), 1):
            d.line(f"{part} dart, line {n}", leg, f"{part} dart point", style="block")

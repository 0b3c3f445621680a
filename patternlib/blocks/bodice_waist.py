"""Steps of the bodice block: the waist and its darts."""

from __future__ import annotations

from ..body import Body
from ..draft import Drafting
from ..errors import ValueAtFault
from ..geometry import Point
from .bodice_lines import SHORT
from .skirt_darts import write_point

LEAST_DIP, MOST_DIP = -3.0, 3.5
"""cm; how far the waist may dip under the bust: beyond, the measures do not go together."""

WIDE = (5.0, 7.0)
"""cm; a waist dart of the back and of the front that would be wider is shared between two darts (taste; a
single waist dart of 3 to 5 is usual, more only under the bust: common practice, no source)."""

SECOND = 0.8
"""The second dart of a part is this share of the first one's height (taste)."""


def _lengths(d: Drafting) -> tuple[float, float]:
    """Height of the back and of the front waist dart over the waist at the centres.

    Front: 2 cm short of the bust point, less where that lies low; back: to the level of the bust point, where
    it takes nothing from the girth, 1.5 cm below the bust line at most and 6 at least.
    """
    bust, line = d["bust point"].y, d["centre back bust line"].y
    return min(max(bust, 6.0), line - 1.5), max(bust - SHORT, min(7.0, bust - 0.5))


def _shared(d: Drafting, body: Body, mouths: float, one_dart: bool) -> tuple[float, tuple[int, int]]:
    """The front's share of the waist darts, more for a full bust, and how many darts back and front have.

    No mouth is far wider than half its length where that can be helped.
    """
    wanted = min(0.4 + 0.05 * (body.bust_girth - body.underbust_girth) / 4, 0.7)
    counts, lengths = (1, 1), _lengths(d)
    for _ in range(3):
        back, front = (count * length for count, length in zip(counts, lengths, strict=True))
        most, least = 0.6 * front / mouths, 1 - 0.5 * back / mouths
        share = front / (front + back) if least > most else min(max(wanted, least), most)
        # a front dart too short for its share is doubled before the back takes more
        wide = zip(
            counts, ((1 - share) * mouths, max(share, min(wanted, 2 * most)) * mouths), WIDE, strict=True
        )
        back_more, front_more = (2 if mouth > limit else count for count, mouth, limit in wide)
        more = (back_more, front_more)
        if one_dart or more == counts:
            break
        counts = more
    return share, counts


def _under_the_bust(d: Drafting, body: Body, mouth: float, trued: float) -> None:
    """Where the waist lies under the bust, so that the length over the bust is the body's.

    mouth: of the dart that will stand there, cm, 0 for none; trued: what its leg is longer by.
    """
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
    if not mouth:
        d.go(
            "waist under the bust",
            "bust point",
            "down",
            short + left + trued,
            source="length over the bust less neck to bust" + (", trued" if trued else ""),
            because="the tape runs on straight down to the waist",
        )
        return
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
        source=f"length over the bust less neck to bust less {short:.3g} cm" + (", trued" if trued else ""),
        because="the leg has the length that the tape has there",
    )
    d.add(
        "waist under the bust",
        "level",
        ("foot of the leg", "bust point"),
        because="the waist dips under a full bust",
    )


def waist(d: Drafting, body: Body, half_waist: float, mouths: float, trued: float, one_dart: bool) -> None:
    """Both waist lines and their darts.

    mouths: what bust less waist leaves for the darts, 0 for none; trued: added to the front dart's leg;
    one_dart: one dart in each part, however wide.
    """
    share, counts = _shared(d, body, mouths, one_dart) if mouths else (0.0, (1, 1))
    _under_the_bust(d, body, share * mouths / counts[1], trued)
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
        source=f"both waists as drawn less {half_waist:.1f} cm, half of waist + ease",
    )
    tops = _lengths(d)
    side, bust = d["back side waist"].x, d["waist under the bust"]
    between = 0.5 * (bust.x + d["front side waist"].x)
    for part, of, places, top in (
        ("back", 1 - share, (0.5 * side,) if counts[0] == 1 else (side / 3, side / 1.5), tops[0]),
        ("front", share, (bust.x, between)[: counts[1]], tops[1]),
    ):
        whole = f"{part} dart mouth" if len(places) == 1 else f"{part} dart mouths"
        d.sum(whole, {"waist dart mouths": of}, source=f"{of:.2g} of the waist dart mouths")
        if len(places) == 1:
            _dart(d, part, f"{part} dart", whole, Point(places[0], bust.y if part == "front" else 0), top)
            continue
        for k, x in enumerate(places, 1):
            name = f"{part} dart {k}"
            d.sum(f"{name} mouth", {whole: 0.5}, source=f"half of the {part} dart mouths")
            level = bust.y if part == "front" else 0.0
            _dart(d, part, name, f"{name} mouth", Point(x, level), top if k == 1 else SECOND * top)


def _dart(d: Drafting, part: str, name: str, mouth: str, at: Point, top: float) -> None:
    """One waist dart, its middle near `at`, its point `top` above the waist at the centre back."""
    curve = d[f"{part} waist"]
    place = curve.closest(at)[0]
    place = min(max(place, d[mouth] / 2 + 1.5), curve.length - d[mouth] / 2 - 1.5)
    first = "under the bust point" if part == "front" else "midway to the side"
    where = {"1": "under the bust point" if part == "front" else "a third of the way to the side"}
    where["2"] = "midway between the first dart and the side" if part == "front" else "two thirds of the way"
    d.given(f"{name} centre", place, source=where.get(name[-1], first))
    d.sum(f"{name}, first leg at", {f"{name} centre": 1.0, mouth: -0.5}, source="centre less half the mouth")
    d.sum(f"{name}, second leg at", {f"{name} centre": 1.0, mouth: 0.5}, source="centre + half the mouth")
    write_point(d, part, name, -top)
    for n, leg in enumerate((f"{name} leg", f"{name} leg 2"), 1):
        d.line(f"{name}, line {n}", leg, f"{name} point", style="block")

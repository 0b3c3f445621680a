"""The darts of the skirt block: how wide they are, where they lie, and the steps that draw them."""

from __future__ import annotations

from dataclasses import dataclass

from ..draft import Drafting

BACK_SHARE = 0.6
"""The back darts' share of all dart mouths: common practice, no source."""

WIDE_DART = 3.2
"""cm; a wider mouth is shared between two darts: common practice, no source."""


@dataclass(frozen=True)
class SkirtDart:
    """A waist dart: width of the mouth (cm; None: what is left over), length (cm), place on the waist.

    place: share of the way along the waist from the centre to the side, 0 to 1.
    """

    width: float | None
    length: float
    place: float


def widths(darts: tuple[SkirtDart, ...]) -> list[float | None]:
    return [dart.width for dart in darts]


def dart_names(part: str, n: int) -> tuple[str, ...]:
    """The names of the n darts of the 'back' or 'front', from the centre to the side."""
    return (f"{part} dart",) if n == 1 else tuple(f"{part} dart {k}" for k in range(1, n + 1))


def back_darts_for(total: float, depth: float, one: bool) -> tuple[SkirtDart, ...]:
    most = depth - 4
    if total <= 0:
        return ()
    if one or total <= WIDE_DART:
        return (SkirtDart(total, min(13.0, most), 0.5),)
    return (
        SkirtDart(total / 2, min(14.0, most), 1 / 3),
        SkirtDart(total / 2, min(12.5, most), 2 / 3),
    )


def front_darts_for(total: float, depth: float, one: bool) -> tuple[SkirtDart, ...]:
    most = depth - 5
    if total <= 0:
        return ()
    if one or total <= WIDE_DART:
        return (SkirtDart(total, min(10.0, most), 0.5),)
    return (
        SkirtDart(total / 2, min(10.0, most), 0.45),
        SkirtDart(total / 2, min(9.0, most), 0.75),
    )


def write_darts(d: Drafting, part: str, darts, waist: float, as_given: bool) -> None:
    """The darts of one quarter on its waist as drawn; waist: with them closed, cm; as_given: as asked for."""
    mouths = f"{part} dart mouths"
    _write_mouths(d, part, darts, waist, as_given)
    for dart, name in zip(darts, dart_names(part, len(darts)), strict=True):
        if len(darts) > 1:
            _write_mouth(d, mouths, f"{name} mouth", dart, darts)
        _write_dart(d, part, name, mouths if len(darts) == 1 else f"{name} mouth", dart)


def _write_mouths(d: Drafting, part: str, darts, waist: float, as_given: bool) -> None:
    """How wide the darts of a quarter are together."""
    if as_given:
        d.given(f"{part} dart mouths", sum(width or 0.0 for width in widths(darts)), source="as asked for")
    else:
        d.sum(
            f"{part} dart mouths",
            {f"{part} waist as drawn": 1.0},
            -waist,
            source=f"{part} waist as drawn less {waist:.1f} cm, the {part} quarter of waist and ease",
            because="the darts take up the extra length of the waist curve",
        )


def _write_mouth(d: Drafting, mouths: str, mouth: str, dart: SkirtDart, darts) -> None:
    """How wide one of several darts is; mouths: the step of all of them together."""
    fixed = sum(each.width or 0.0 for each in darts)
    rest = [each for each in darts if each.width is None]
    if dart.width is None:
        source = f"the {mouths} less {fixed:g} cm"
        d.sum(mouth, {mouths: 1 / len(rest)}, -fixed / len(rest), source=source)
    elif rest:
        d.given(mouth, dart.width, source="as asked for")
    else:
        share = dart.width / fixed
        d.sum(mouth, {mouths: share}, source=f"{share:.2g} of the {mouths}")


def write_point(d: Drafting, part: str, name: str, length: float) -> None:
    """The ends of the legs on the waist, and the point of a dart, cm below the waist or (negative) above."""
    d.on(f"{name} leg", f"{part} waist", f"{name}, first leg at")
    d.on(f"{name} leg 2", f"{part} waist", f"{name}, second leg at")
    d.add(
        f"{name} point",
        "dart point",
        (f"{name} leg", f"{name} leg 2", "waist at centre back"),
        length,
        because="square from the middle of the mouth, both legs come out equally long",
    )


def _write_dart(d: Drafting, part: str, name: str, mouth: str, dart: SkirtDart) -> None:
    """Legs and point of a dart; mouth: the step that gives how wide it is."""
    d.sum(
        f"{name}, first leg at",
        {f"{part} waist as drawn": dart.place, mouth: -0.5},
        source=f"{dart.place:.2f} of the {part} waist less half the mouth",
    )
    d.sum(f"{name}, second leg at", {f"{name}, first leg at": 1.0, mouth: 1.0}, source="first leg + mouth")
    write_point(d, part, name, dart.length)
    d.line(f"{name}, leg nearer the centre", f"{name} leg", f"{name} point", style="block")
    d.line(f"{name}, leg nearer the side", f"{name} leg 2", f"{name} point", style="block")

"""What each sign of a toile looks like on the body: creases, placed by level, and the lines that it moves.

Drawn for the course from the words of the signs (their sources stand beside them in `alterations`); how a
crease runs is common practice, from memory. Lengths in cm on the plain figure, 165 cm tall: neck 142,
shoulder 137, armpit 122, bust 115, waist 104, hip 83. A line is a row of points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Row = tuple[tuple[float, float], ...]

BODICE, SKIRT = (94.0, 150.0), (44.0, 112.0)
"""The part of the figure that is shown, from level to level."""

HEM = 50.0

TOILE: Mapping[str, Mapping[str, Row]] = {
    "front": {
        "neckline": ((-6.2, 142.3), (0, 138.4), (6.2, 142.3)),
        "shoulder": ((6.2, 142.3), (18.6, 137)),
        "armhole": ((18.6, 137), (16, 128), (16.6, 122)),
        "side": ((16.6, 122), (15.8, 115), (13, 104), (18, 83), (18.4, 67), (18.6, HEM)),
        "bust line": ((-15.8, 115.2), (0, 114.2), (15.8, 115.2)),
        "waist": ((-13, 104), (0, 103), (13, 104)),
        "hip line": ((-18, 83), (0, 82), (18, 83)),
        "hem": ((-18.6, HEM), (0, HEM - 1), (18.6, HEM)),
        "centre": ((0, 138.4), (0, HEM - 1)),
        "waist dart": ((7.6, 103.6), (8, 112)),
        "skirt dart": ((7.6, 103.6), (8.4, 96)),
    },
    "back": {
        "neckline": ((-6.2, 142.3), (0, 142.8), (6.2, 142.3)),
        "shoulder": ((6.2, 142.3), (18.6, 137)),
        "armhole": ((18.6, 137), (16.4, 128), (16.6, 122)),
        "side": ((16.6, 122), (15.8, 115), (13, 104), (18, 83), (18.4, 67), (18.6, HEM)),
        "bust line": ((-15.8, 115.2), (0, 115.6), (15.8, 115.2)),
        "waist": ((-13, 104), (0, 104.4), (13, 104)),
        "hip line": ((-18, 83), (0, 83.4), (18, 83)),
        "hem": ((-18.6, HEM), (0, HEM), (18.6, HEM)),
        "centre": ((0, 142.8), (0, HEM)),
        "waist dart": ((7.6, 104.2), (8.2, 116)),
        "skirt dart": ((7.6, 104.2), (8.4, 92)),
    },
    "side": {
        "neckline": ((-5.8, 139), (0.2, 141.8), (6.8, 143)),
        "shoulder": ((0.2, 141.8), (0.4, 138)),
        "armhole": ((0.4, 138), (-5, 129), (0.2, 121.4), (5, 129), (0.4, 138)),
        "front": ((-5.8, 139), (-10.8, 128), (-13.6, 116.2), (-10.4, 104), (-11.4, 94), (-11, 83),
            (-11.3, 67), (-11.6, HEM)),
        "back": ((6.8, 143), (10.3, 134), (11.7, 124), (9.3, 112), (7.9, 104), (10.5, 93.5), (13.3, 84),
            (13.2, 67), (12.8, HEM)),
        "side": ((0.2, 121.4), (0.2, 104), (0.2, 83), (0.2, HEM)),
        "bust line": ((-13.6, 116), (9.6, 115)),
        "waist": ((-10.4, 104), (7.9, 104)),
        "hip line": ((-11, 83), (13.2, 83)),
        "hem": ((-11.6, HEM), (12.8, HEM)),
    },
}  # fmt: skip
"""The toile on the figure. From the front and the back a line of one half is drawn on both."""

ON_BOTH = ("shoulder", "armhole", "side", "waist dart", "skirt dart", "bib side", "strap")
"""Lines of one half in the views from front and back."""

BIB: Mapping[str, Row] = {
    "top": ((-9.5, 127), (0, 126.4), (9.5, 127)),
    "bib side": ((9.5, 127), (10.4, 116), (13, 104)),
    "waist": TOILE["front"]["waist"],
    "waistband": ((-13.4, 99.6), (0, 98.6), (13.4, 99.6)),
    "strap": ((7.6, 126.8), (9.2, 141)),
    "side": ((13, 104), (13.4, 99.6), (18, 83)),
}
"""The front of the pinafore, for the sign that no block shows."""


@dataclass(frozen=True)
class Look:
    """One view of a sign. levels: the part of the figure; tight, loose: creases; moved: lines of the toile
    that lie elsewhere; wanted: where a line should lie; marks: places on the body; twice: creases of one half
    are on both; bib: the pinafore's front is worn."""

    view: str
    levels: tuple[float, float]
    tight: tuple[Row, ...] = ()
    loose: tuple[Row, ...] = ()
    moved: Mapping[str, Row] = field(default_factory=dict)
    wanted: tuple[Row, ...] = ()
    marks: tuple[tuple[float, float], ...] = ()
    twice: bool = True
    bib: bool = False


def _level(y: float, x: float, sag: float = 0.8, inner: float = 0.0) -> Row:
    """A level crease from one side to the other, or with `inner` on one half."""
    if inner:
        return ((inner, y - 0.3 * sag), ((inner + x) / 2, y - sag), (x, y))
    return ((-x, y), (0, y - sag), (x, y))


def _upright(x: float, low: float, high: float, lean: float = 0.5) -> Row:
    return ((x, high), (x + lean, (low + high) / 2), (x, low))


def _hem(y: float, half: float, sag: float = 1.0) -> dict[str, Row]:
    """The hem at another level, and the sides that end there."""
    side = TOILE["front"]["side"][:-2]
    return {"hem": ((-half, y), (0, y - sag), (half, y)), "side": (*side, (half, y))}


def _arch(middle: float) -> dict[str, Row]:
    """The hem with its middle at another level."""
    return {"hem": ((-18.6, HEM), (-9, HEM + 0.6 * (middle - HEM)), (0, middle),
        (9, HEM + 0.6 * (middle - HEM)),
                    (18.6, HEM))}  # fmt: skip


def _leaning(foot: float) -> dict[str, Row]:
    """The side seam that leaves the plumb line at the hip."""
    return {"side": ((0.2, 121.4), (0.2, 104), (0.2, 84), (0.2 + 0.4 * foot, 68), (0.2 + foot, HEM))}


PLUMB = ((0.2, 83.0), (0.2, HEM - 4))
ACROSS_BUST, ACROSS_HIP = (111.5, 114.0, 116.5, 119.0), (78.0, 81.0, 84.0, 87.0)


def _higher(sign: int) -> Look:
    """One hip higher: sign -1 for her right in the view from the front, 1 for her left."""
    ends = HEM + 6, HEM - 1
    slant: tuple[Row, ...] = tuple(
        ((16.6 * sign, 92 - 3.4 * k), (7 * sign, 84 - 5.4 * k), (-6 * sign, 79 - 7.5 * k)) for k in range(3)
    )
    above = TOILE["front"]["side"][:-1]
    sides = [
        tuple((x * way, y) for x, y in (*above, (18.6, end)))
        for way, end in zip((sign, -sign), ends, strict=True)
    ]
    hem = (sides[1][-1], (0.0, HEM), sides[0][-1])
    moved = {"hem": hem, "side": sides[0], "other side": sides[1]}
    return Look("front", SKIRT, slant, moved=moved, wanted=(((-18.6, HEM), (18.6, HEM)),), twice=False)


LOOKS: Mapping[str, tuple[Look, ...]] = {
    "bodice too short": (
        Look("front", BODICE, moved={"waist": ((-14, 108.4), (0, 107.4), (14, 108.4))},
             wanted=(((-13, 104), (0, 103), (13, 104)),)),
    ),
    "bodice too long": (Look("front", BODICE, loose=tuple(_level(y, 12.4) for y in (105.6, 107.6, 109.6))),),
    "skirt too short": (
        Look("front", SKIRT, moved=_hem(59, 18.4), wanted=(((-18.6, HEM), (0, HEM - 1), (18.6, HEM)),)),
    ),
    "skirt too long": (
        Look("front", SKIRT, moved=_hem(46, 18.7), wanted=(((-18.5, 56), (0, 55), (18.5, 56)),)),
    ),
    "bust too tight": (Look("front", BODICE, tuple(_level(y, 15, 0.4) for y in ACROSS_BUST)),),
    "bust too loose": (
        Look("front", BODICE, loose=(_upright(14.6, 107, 121), _upright(12.6, 108, 119))),
    ),
    "waist too tight": (Look("front", (84.0, 126.0),
        tuple(_level(y, 12.4, 0.4) for y in (101, 103, 105.4, 107.4))),),
    "waist too loose": (
        Look("front", (84.0, 126.0), loose=(_upright(12.6, 92, 103), _upright(9.4, 93, 103),
            _upright(12.6, 105, 113)),
             moved={"side": ((16.6, 122), (16, 115), (15.6, 104), (18, 83), (18.6, HEM)),
                    "waist": ((-15.6, 104), (0, 102.6), (15.6, 104))}),
    ),
    "hip too tight": (
        Look("front", SKIRT, tuple(_level(y, 17.2, 0.5) for y in ACROSS_HIP), moved=_hem(54, 18.2),
             wanted=(((-18.6, HEM), (0, HEM - 1), (18.6, HEM)),)),
    ),
    "hip too loose": (
        Look("front", SKIRT, loose=(_upright(16, 56, 82), _upright(12.4, 54, 84), _upright(8.6, 58, 82)),
             moved={"side": ((16.6, 122), (15.8, 115), (13, 104), (19.6, 83), (20.4, HEM)),
                    "hem": ((-20.4, HEM), (0, HEM - 1), (20.4, HEM)),
                    "hip line": ((-19.6, 83), (0, 82), (19.6, 83))}),
    ),
    "square shoulders": (
        Look("front", BODICE, (((18, 136.4), (11, 132), (3.4, 129)), ((17.4, 135), (11, 129.4), (4.6, 125.6)),
                               ((17.6, 136), (10, 134), (2.6, 133))),
             moved={"shoulder": ((6.8, 144.4), (12, 140.6), (18.6, 137)),
                    "neckline": ((-6.8, 144.4), (0, 139.4), (6.8, 144.4))}),
    ),
    "sloping shoulders": (
        Look("front", BODICE, loose=(((7, 140.4), (11, 134), (15.4, 126)), ((5.6, 139), (9.4, 132),
            (14.4, 123.4)),
                                     ((9.6, 140), (13, 134.4), (16, 128.6)))),
    ),
    "round upper back": (
        Look("back", BODICE, tuple(((-15.4, y), (0, y + 0.6), (15.4, y)) for y in (126, 129, 132)),
             moved={"neckline": ((-6.2, 142.3), (0, 145.6), (6.2, 142.3))}),
        Look("side", BODICE, (((4.6, 131), (10.4, 130.4)), ((4.8, 127.6), (11.2, 127))),
             moved={"back": ((9.6, 144.6), (11, 134), (11.9, 124), (9.3, 112), (7.9, 104), (10.5, 93.5),
                 (13.3, 84),
                             (12.8, HEM)),
                    "neckline": ((-5.8, 139), (0.2, 141.8), (9.6, 144.6))}),
    ),
    "erect back": (
        Look("back", BODICE, loose=tuple(((1.4, y), (7.4, y - 2),
            (13.6, y + 0.4)) for y in (124, 120.6, 117.2))),
    ),
    "hollow back, bodice": (
        Look("back", BODICE, loose=tuple(((-8 + k, y), (0, y + 0.4),
            (8 - k, y)) for k, y in enumerate((105.8, 108, 110)))),
        Look("side", BODICE, loose=(((3.4, 106), (8.4, 105.6)), ((4, 108.4), (8.8, 108)), ((4.8, 110.6),
            (9.2, 110.2)))),
    ),
    "full bust": (
        Look("front", BODICE, (((15.6, 124), (12, 120.6), (9.4, 117.6)), ((15.4, 112), (12, 113.6),
            (9.8, 115)),
                               ((8, 107.6), (8, 113)), ((2, 119), (6.4, 117))),
             moved={"waist": ((-13, 104), (-7, 106.6), (0, 107.4), (7, 106.6), (13, 104)),
                    "armhole": ((18.6, 137), (14.4, 129), (16.6, 122))}, marks=((8, 116.2),)),
    ),
    "flat bust": (
        Look("front", BODICE, loose=(((3, 120), (8, 117.6), (13.6, 120.4)), ((2.8, 116.4), (8, 113.6),
            (13.4, 116.6)),
                                     ((3.4, 112.4), (8, 110.2), (12.6, 112.4)))),
    ),
    "low bust": (
        Look("front", BODICE, (((4.4, 112.8), (7.4, 111.6)), ((12, 113), (8.8, 111.6)), ((8, 107),
            (8, 110.2))),
             moved={"waist dart": ((7.6, 103.6), (8, 116))}, marks=((8, 111.2),)),
    ),
    "high bust": (
        Look("front", BODICE, loose=(((6.4, 114.6), (8, 113), (9.6, 114.6)),),
             moved={"waist dart": ((7.6, 103.6), (8, 114))}, marks=((8, 120.4),)),
    ),
    "armhole gapes": (
        Look("front", BODICE, loose=(((14.2, 129.6), (11.4, 124), (9, 118.6)),),
             moved={"armhole": ((18.6, 137), (13.4, 130), (16.6, 122))}, wanted=(TOILE["front"]["armhole"],)),
    ),
    "full seat": (
        Look("back", SKIRT, (((3, 91), (8, 86), (16, 83)), ((2.4, 95), (8, 91), (16.6, 89)), ((3, 81),
            (8, 79), (15, 77))),
             moved=_arch(56), wanted=(TOILE["back"]["hem"],)),
        Look("side", SKIRT, (((4, 90), (12, 87)), ((3.6, 86), (12.6, 84))),
             moved={"hem": ((-11.6, HEM), (2, 51.6), (12.8, 56))}, wanted=(((-11.6, HEM), (12.8, HEM)),)),
    ),
    "flat seat": (
        Look("back", SKIRT, loose=tuple(((2, y + 1), (8, y - 1.6),
            (14.6, y + 1.4)) for y in (76, 71.6, 67.2)),
             moved=_arch(47), wanted=(TOILE["back"]["hem"],)),
        Look("side", SKIRT, loose=(((5, 76), (12.6, 74.6)), ((5.4, 71.6), (12.6, 70.2)), ((6, 67),
            (12.4, 65.8))),
             moved={"hem": ((-11.6, HEM), (2, 49.2), (12.8, 47))}, wanted=(((-11.6, HEM), (12.8, HEM)),)),
    ),
    "hollow back, skirt": (
        Look("back", SKIRT, loose=tuple(((-8 + k, y), (0, y + 0.4),
            (8 - k, y)) for k, y in enumerate((101.8, 99.4, 97.2)))),
        Look("side", SKIRT, loose=(((3.6, 101.6), (8.6, 101.4)), ((4.2, 99.2), (9, 99)), ((5, 97),
            (9.6, 96.8)))),
    ),
    "full abdomen": (
        Look("front", SKIRT, (((1.6, 96), (7, 92), (15.4, 90)), ((1.6, 91.6), (7, 88), (15.8, 86))),
             moved=_arch(55), wanted=(TOILE["front"]["hem"],)),
        Look("side", SKIRT, (((-3, 92), (-11, 94)), ((-3, 88.6), (-11, 90.4))),
             moved={"hem": ((-13.4, 55), (-2, 51.4), (12.8, HEM)), **_leaning(-3.4),
                    "front": ((-5.8, 139), (-10.8, 128), (-13.6, 116.2), (-10.4, 104), (-12.8, 94),
                        (-12.4, 83),
                              (-13.4, 55))},
             wanted=(PLUMB, ((-11.6, HEM), (12.8, HEM)))),
    ),
    "right hip higher": (_higher(-1),),
    "left hip higher": (_higher(1),),
    "side seam swings forward": (Look("side", SKIRT, moved=_leaning(-4.4), wanted=(PLUMB,)),),
    "side seam swings back": (Look("side", SKIRT, moved=_leaning(4.4), wanted=(PLUMB,)),),
    "upper edge gapes": (
        Look("front", BODICE, loose=(((5.4, 127.6), (6.4, 118), (9.4, 106)),),
             moved={"top": ((-9.5, 127), (-5, 129.6), (0, 128.6), (5, 129.6), (9.5, 127))},
             wanted=(BIB["top"],), bib=True),
    ),
}  # fmt: skip
"""Every sign, with the views in which it is seen best."""

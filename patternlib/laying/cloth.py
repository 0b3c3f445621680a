"""A lay: pieces on cloth of a given width, the length it takes, and how well the cloth is used."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from ..errors import ValueAtFault
from ..garments.base import Garment
from ..geometry import Move, Point
from ..not_here import said_if_missing
from ..pieces import Piece
from ..units import CM_PER_INCH, Length, read_length, read_lengths, read_number, write_length
from . import engine, rows
from .parts import Part, as_garments, cloths, parts_to_lay
from .shapes import Place, Shape, Strip, box, faults, laid_ring, with_room

CM_PER_YARD = 36 * CM_PER_INCH
"""The international yard, exact since 1959 [NIST Special Publication 811]."""
ROUND_UP = {"cm": 10.0, "in": CM_PER_YARD / 8}
"""Cloth is bought in steps of 10 cm, or of an eighth of a yard (common practice, no source)."""

FEW = 30
"""With no more pieces than this, laying them one by one costs little beside the engine: both are done."""


@dataclass(frozen=True)
class Laid:
    """One piece on the cloth.

    move: from the piece's own place to the cloth, turned over where move.over; outline: its cut line
    there, cm; opened: laid whole though half is drawn; on_fold: its fold lies on a fold of the cloth; gives:
    pieces got from it (2 where both layers are cut and used); spare: one of the two layers under it is
    not needed.
    """

    garment: str
    size: str
    piece: Piece
    copy: int
    move: Move
    outline: tuple[Point, ...]
    opened: bool = False
    on_fold: bool = False
    gives: int = 1
    spare: bool = False

    @property
    def name(self) -> str:
        return self.piece.name

    @property
    def turned(self) -> bool:
        """Whether it lies upside down: its head toward the cloth's start."""
        up = self.piece.grain.end - self.piece.grain.start if self.piece.grain else Point(0.0, 1.0)
        return (self.move(up) - self.move(Point(0.0, 0.0))).x < 0

    @property
    def area(self) -> float:
        """cm2 of cloth in the finished cut, all layers."""
        around = zip(self.outline, (*self.outline[1:], self.outline[0]), strict=True)
        return abs(sum(p.cross(q) for p, q in around)) / 2 * (2 if self.on_fold else self.gives)


@dataclass(frozen=True)
class Lay:
    """Pieces laid on one cloth. Lengths in cm; x runs along the cloth, y across it from its edge or its fold.

    folds: 0, 1 or 2; closed: the stretch of y where the selvedges meet on cloth folded twice; length: of the
    lay; engine: 'spyrrow' or 'rows', what found it.
    """

    cloth: str
    width: float
    folds: int
    one_way: bool
    selvedge: float
    gap: float
    stripe_repeat: float | None
    shrinkage: float
    unit: str
    pieces: tuple[Laid, ...]
    length: float
    engine: str
    closed: tuple[float, float] | None = None

    @property
    def usable(self) -> tuple[float, float]:
        """Between which y the pieces lie, cm."""
        if self.folds == 2:
            return 0.0, self.width / 2
        if self.folds == 1:
            return 0.0, self.width / 2 - self.selvedge
        return self.selvedge, self.width - self.selvedge

    @property
    def use(self) -> float:
        """Use of cloth, percent of the usable width times the length of the lay."""
        cloth = (self.width - 2 * self.selvedge) * self.length
        return 100 * sum(piece.area for piece in self.pieces) / cloth

    @property
    def length_to_buy(self) -> float:
        """cm: the length with its shrinkage, rounded up to 10 cm or to 1/8 yard."""
        step = ROUND_UP[self.unit]
        return step * math.ceil(self.length / (1 - self.shrinkage) / step - 1e-9)

    @property
    def text(self) -> str:
        """What to buy and why, in sentences."""
        how = ("flat", "folded once along its length", "with both edges folded in")[self.folds]
        way = "one way" if self.one_way else "either way up"
        buy = self.length_to_buy
        bought = f"{_yards(buy)} yd" if self.unit == "in" else f"{buy:.0f} cm"
        stripes = (
            f" The waist levels lie on stripes repeating every {write_length(self.stripe_repeat, self.unit)}."
            if self.stripe_repeat
            else ""
        )
        wide, takes = (write_length(cm, self.unit) for cm in (self.width, self.length))
        return (
            f"Buy {bought} of {self.cloth}, {wide} wide. Laid {how}, pieces {way}, "
            f"it takes {takes}; {100 * self.shrinkage:.3g} % is added for shrinkage. "
            f"Use of cloth between the selvedges: {self.use:.0f} %.{stripes}"
        )


def _yards(cm: float) -> str:
    eighths = round(cm / CM_PER_YARD * 8)
    return write_length(eighths / 8 * CM_PER_INCH, "in", parts=8).removesuffix(" in")


def lay(
    garments: Garment | Iterable[Garment],
    *,
    width: Length,
    cloth: str | None = None,
    folded: bool | str = False,
    one_way: bool = False,
    selvedge: Length = 1.5,
    gap: Length = 0.0,
    stripe_repeat: Length | None = None,
    shrinkage: float = 0.04,
    seconds: float = 5.0,
    seed: int = 1,
    unit: str = "cm",
) -> Lay:
    """Lay the cut pieces of one or more garments, in any sizes, on one cloth.

    width: of the cloth from edge to edge, cm, after washing; cloth: its name, where garments use several
    (None: the first); folded: True once along the length, 'twice' with both edges folded in until they meet,
    so that two folds take pieces; pairs are then cut through both layers, pieces on the fold lie at a fold,
    and those that cannot be are opened out where that saves cloth; one_way: all heads point one way, for
    nap and one-way prints; selvedge: left free at each edge, cm; gap: least room between pieces, cm;
    stripe_repeat: every piece's level y = 0 (in the plans the waist) lies on a whole number of repeats
    along the length, cm; shrinkage: share of the length; unit: 'cm' buys in steps of 10 cm, 'in' in eighths
    of a yard.

    seconds: time for the packing engine where it is installed; below 1, on a fold with pieces at it, or on
    stripes, the pieces are laid one by one instead (in the last two cases with the time spent on trying
    orders). seed: start of its chances. With seconds=0 the same call always gives the same lay.
    Raises ValueAtFault for a width that takes no piece and for values out of range, UnknownName for a cloth.

    >>> from patternlib import chart, make
    >>> laid = lay(make("pinafore", chart("course").body("12")), width=150, folded=True, seconds=0)
    >>> sum(piece.gives for piece in laid.pieces), laid.length_to_buy % 10, laid.use > 55
    (18, 0.0, True)
    """
    with said_if_missing("Laying pieces on cloth"):
        import shapely  # noqa: F401
    garments = as_garments(garments)
    width, selvedge, gap = read_lengths(width=width, selvedge=selvedge, gap=gap)
    stripe_repeat = None if stripe_repeat is None else read_length(stripe_repeat, name="stripe_repeat")
    shrinkage, seconds = read_number(shrinkage, name="shrinkage"), read_number(seconds, name="seconds")
    _check({"width": width, "selvedge": selvedge, "gap": gap, "stripe_repeat": stripe_repeat or 10,
            "shrinkage": shrinkage, "seconds": seconds})  # fmt: skip
    if unit not in ROUND_UP:
        raise ValueAtFault("unit", unit, "must be 'cm' or 'in'", "'in' buys cloth in eighths of a yard.")
    if folded not in (False, True, "twice"):
        raise ValueAtFault("folded", folded, "must be False, True or 'twice'", "True folds the cloth once.")
    folds = 2 if folded == "twice" else int(folded)
    cloth = cloth or cloths(garments)[0]
    strips = _strips(garments, cloth, width, selvedge, folds, gap, stripe_repeat)

    def made(strip: Strip, seconds: float, changes: int = rows.CHANGES) -> Lay:
        room = strip.closed[0] if strip.closed else strip.width
        todo = parts_to_lay(garments, cloth, folds=folds, one_way=one_way, room=room)
        shapes = [part.shape for part in todo]
        places, found_by = pack(shapes, strip, seconds=seconds, seed=seed, changes=changes)
        laid = _laid(todo, places, 0.0 if folds else selvedge)
        length = max(p.x for piece in laid for p in piece.outline)
        return Lay(cloth, width, folds, one_way, selvedge, gap, stripe_repeat, shrinkage, unit, laid, length,
                   found_by, strip.closed)  # fmt: skip

    return _shortest(strips, made, seconds)


LAID_IN = {"shrinkage": "", "seconds": " seconds"}
"""Units of what is not a length."""


def _check(values: Mapping[str, float]) -> None:
    """Refuse what is out of range; values by the name of the option."""
    width = values["width"]
    for name, low, high, advice in (
        ("width", 20, 400, "Were these millimetres?" if width > 400 else "Measure the cloth in cm."),
        ("selvedge", 0, 5, "1 to 2 cm is usual."),
        ("gap", 0, 5, "A few millimetres are plenty."),
        ("stripe_repeat", 0.5, 80, "Measure from a stripe to the next like it, in cm."),
        ("shrinkage", 0, 0.2, "4 % is written 0.04."),
        ("seconds", 0, 3600, "5 is enough for one garment."),
    ):
        if not low <= values[name] <= high:
            unit = LAID_IN.get(name, " cm")
            raise ValueAtFault(name, values[name], f"must lie between {low} and {high}{unit}", advice)


def _shortest(strips: list[Strip], made: Callable[..., Lay], seconds: float) -> Lay:
    """The shortest lay of the ways to fold the cloth; the time is spent on the best of quick lays."""
    if len(strips) == 1:
        return made(strips[0], seconds)
    tried: list[tuple[Lay, Strip]] = []
    refused: ValueAtFault | None = None
    for strip in strips:
        try:
            tried.append((made(strip, 0, 0), strip))
        except ValueAtFault as fault:
            refused = fault
    if refused and not tried:
        raise refused
    best, strip = min(tried, key=lambda pair: pair[0].length)
    return min(best, made(strip, seconds), key=lambda lay: lay.length)


def _strips(
    garments, cloth: str, width: float, selvedge: float, folds: int, gap: float, repeat: float | None
) -> list[Strip]:
    """The cloth as it may be folded: of two folds, several places where the edges can meet."""
    if folds < 2:
        return [Strip(width / 2 - selvedge if folds else width - 2 * selvedge, gap, repeat)]
    half = width / 2
    deep = set()
    for part in parts_to_lay(garments, cloth, folds=1, one_way=False, room=0.0):
        y = [box(way.ring)[3] for way in part.shape.ways if way.fold]
        deep |= {math.ceil(2 * (min(y) + selvedge) + 1) / 2} if y else set()
    meet = {half / 2} | {max(y, half - y) for y in deep if 2 * selvedge < max(y, half - y) < half - selvedge}
    return [Strip(half, gap, repeat, (y - selvedge, y + selvedge)) for y in sorted(meet)]


def pack(
    shapes: Iterable[Shape], strip: Strip, *, seconds: float = 5.0, seed: int = 1, changes: int = rows.CHANGES
) -> tuple[list[Place], str]:
    """Lay any shapes on a strip as short as it comes; gives their places and what found them.

    seconds, seed: as for `lay`; changes: as for `rows.search`. No shape overlaps another or an edge: what
    the engine gives is checked on the shapes themselves. Raises ValueAtFault for a shape that is
    wider than the strip.
    """
    shapes = list(shapes)
    possible = with_room(shapes, strip)
    plain = strip.repeat is None and not any(way.fold for shape in possible for way in shape.ways)
    found = []
    if plain and seconds >= 1 and engine.installed():
        places = engine.pack(possible, strip, seconds=seconds, seed=seed)
        if not faults(possible, places, strip):
            found.append((_length(possible, places), places, "spyrrow"))
    if not found or sum(shape.count for shape in shapes) <= FEW:
        limit = 0.0 if plain else seconds
        places = rows.search(possible, strip, seconds=limit, seed=seed, changes=changes)
        found.append((_length(possible, places), places, "rows"))
    _, places, found_by = min(found, key=lambda one: one[0])
    return _named(shapes, possible, places), found_by


def _length(shapes: list[Shape], places: list[Place]) -> float:
    return max(x for place in places for x, _ in laid_ring(shapes, place))


def _named(shapes: list[Shape], possible: list[Shape], places: list[Place]) -> list[Place]:
    """The places with each way's number among all ways of its shape."""
    return [p._replace(way=shapes[p.shape].ways.index(possible[p.shape].ways[p.way])) for p in places]


def _laid(todo: list[Part], places: list[Place], low: float) -> tuple[Laid, ...]:
    out: list[Laid] = []
    copies: dict[tuple[str, str, str], int] = {}
    shapes = [part.shape for part in todo]
    for place in sorted(places, key=lambda p: p.shape):
        part = todo[place.shape]
        shift = Move.shift(place.dx, place.dy + low)
        key = part.garment, part.size, part.piece.name
        copies[key] = copies.get(key, 0) + 1
        lie, way = part.lies[place.way], part.shape.ways[place.way]
        outline = tuple(Point(x, y + low) for x, y in laid_ring(shapes, place))
        out.append(
            Laid(*key[:2], part.piece, copies[key], lie.move.then(shift), outline, lie.opened, bool(way.fold),
                 part.gives, lie.spare)
        )  # fmt: skip
    return tuple(out)

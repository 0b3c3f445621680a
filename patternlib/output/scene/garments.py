"""Drafts, pieces and garments as scenes, and what is known of every edge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ...draft import Draft
from ...errors import ValueAtFault
from ...garments.base import Garment
from ...geometry import Curve, Point
from ...pieces import Piece, Seam
from ..items import Box, Handle, Stroke, Text, item_box, join_boxes, shifted, text_width
from ..kept import keep_results
from ..layout import sheet_width, shelves
from ..lettering.sizes import Letters, blocks, letters
from ..lettering.space import Space
from .base import TALL, WIDE, Scene, page_width
from .pieces import Sheet, draw_piece
from .plans import draw_draft, position

GAP = 2.0
"""cm between pieces laid side by side."""
SQUARE = 10.0
"""cm: side of the test square, to be measured on the printed sheet."""
MARGIN = 1.0
"""cm round a drawing."""

NAMED = 25.0
"""cm: a piece narrower than this has its name beside it on a sheet with plans, which takes as much room."""
NARROW = 1.15
"""Plans and pieces on one sheet are lettered for a page this many times narrower than one drawing has."""

Places = Mapping[str, tuple[float, float]]
"""Upper left corners of pieces, and how far plans are moved over, cm, by name."""

Handles = Mapping[tuple[str, str], tuple[str, Mapping[str, tuple[float, float]]]]
"""Points the hand can move: {(draft, step): (words, {style value: (dx, dy)})}."""


def draft_scene(
    draft: Draft,
    *,
    upto: int | str | None = None,
    unit: str = "cm",
    lettering: str = "paper",
    labels: bool = True,
    construction: bool = True,
    around: Sequence[str] = (),
    window: Box | None = None,
    handles: Handles | None = None,
) -> Scene:
    """Draw a draft; with upto, as it stands after that step (its name, or its number from 0).

    unit: of the measures, 'cm' or 'in'; lettering: 'paper' or 'screen', see garment_scene; labels: the
    points' names; construction: the fine lines and the points that only lead to others. The box is that of
    the whole draft, so that a drawing that grows step by step keeps its place; or the part of the sheet that
    is looked at: round the points and lines named in `around`, or window: (x0, y0, x1, y1) in cm. handles:
    points of this draft that the hand can move. Unknown names raise UnknownName.
    """
    if around:
        window = _wider(join_boxes(_value_box(draft[name]) for name in around), 2 * MARGIN)
    box = window or _draft_box(draft)
    look = {
        "unit": _unit(unit),
        "size": letters(lettering, page_width(box)).size,
        "labels": labels,
        "construction": construction,
    }
    items, title = whole, _ = draw_draft(draft, shown=None, **look), draft.title
    shown = position(draft, upto)
    if shown is not None:
        items, title = draw_draft(draft, shown=shown, **look), f"{title}, as far as {draft.steps[shown].name}"
    if window:
        return Scene(tuple(item for item in items if _looked_at(item, window)), title, window)
    whole_box = join_boxes([box, *(item_box(item) for item in (*whole, *items))])
    movable = [
        Handle(draft[step].x, draft[step].y, step, moves, words)
        for (_, step), (words, moves) in (handles or {}).items()
        if step in draft
    ]
    return Scene((*items, *movable), title, _wider(whole_box, MARGIN))


def _looked_at(item: Stroke | Text, window: Box) -> bool:
    """Whether a line reaches into the window, or a word stands in it."""
    x0, y0, x1, y1 = item_box(item) if isinstance(item, Stroke) else (item.x, item.y, item.x, item.y)
    return x0 < window[2] and x1 > window[0] and y0 < window[3] and y1 > window[1]


def plan_scene(
    garment: Garment,
    *,
    unit: str = "cm",
    lettering: str = "paper",
    labels: bool | frozenset[str] = True,
    construction: bool = True,
    handles: Handles | None = None,
    beside: float = 0.0,
    places: Places | None = None,
) -> Scene:
    """Draw a garment's plans side by side: the front with its centre on the right, the back to its right.

    labels: whether points are named, or which; handles: points the hand can move, see Handles and Handle;
    beside: how many cm of the same sheet other drawings take up, so that lettering for the screen fits both;
    places: as for garment_scene.
    """
    drafts = _plans(garment)
    high = max(box[3] - box[1] for box in map(_draft_box, drafts.values()))
    size = letters(lettering, max(_rough_width(drafts) + beside, page_width((0.0, 0.0, 0.0, high)))).size
    sheets = {
        name: draw_draft(
            draft, shown=None, unit=_unit(unit), size=size, labels=labels, construction=construction
        )
        for name, draft in drafts.items()
    }
    few = isinstance(labels, frozenset)  # names of points then find room beside the lines, which keep still
    around = {name: _box_round(drawn, texts=not few) for name, drawn in sheets.items()}
    apart = 3 * GAP + 4 * size if few else 3 * GAP
    top = max(box[3] for box in around.values()) + 1.5
    items: list[Stroke | Text | Handle] = []
    boxes: list[Box] = []
    across: dict[str, tuple[float, float]] = {}
    for name, drawn in sheets.items():
        x0, y0, x1, _ = around[name]
        headed = text_width(name, 1.5 * size, bold=True) - (x1 - x0)
        x0, x1 = x0 - max(headed, 0.0) / 2, x1 + max(headed, 0.0) / 2
        dx = boxes[-1][2] + apart - x0 if boxes else 0.0
        across[name] = (places or {}).get(name, (dx, 0.0))
        dx = across[name][0]
        items += [shifted(item, dx) for item in drawn]
        head = Text((x0 + x1) / 2 + dx, top, name, 1.5 * size, "middle", 0.0, "labels", "heading")
        items.append(head)
        boxes.append((x0 + dx, y0, x1 + dx, top + 1.5 * size))
        for (plan, step), (words, moves) in (handles or {}).items():
            if plan == name:
                p = drafts[name][step]
                twice = sum(other == step for _, other in handles or {}) > 1
                called = f"{plan}, {step}" if twice else step
                items.append(Handle(p.x + dx, p.y, called, moves, words))
    title = f"{garment.name}: {' and '.join(drafts)}"
    x0, y0, x1, y1 = _wider(join_boxes(boxes), MARGIN)
    if isinstance(labels, frozenset):  # room for the names at the rim, wherever their points are pulled to
        first, last = (list(drafts.values())[k] for k in (0, -1))
        x0 -= _name_room(first, labels, size, -1)
        x1 += _name_room(last, labels, size, 1)
    return Scene(tuple(items), title, (x0, y0, x1, y1), across)


def _name_room(draft: Draft, labels: frozenset[str], size: float, side: int) -> float:
    """Width, cm, of the longest name whose point lies in the left (side -1) or right (1) half of a draft."""
    x0, _, x1, _ = _draft_box(draft)
    there = [n for n in labels if n in draft and (draft[n].x - (x0 + x1) / 2) * side > 0]
    return max((text_width(name, size) + size for name in there), default=0.0)


def piece_scene(
    piece: Piece,
    *,
    unit: str = "cm",
    lettering: str = "paper",
    measures: bool = False,
    beside: float = 0.0,
) -> Scene:
    """Draw one piece, its grain upright.

    measures: write the length of each edge along its seam line; beside: as for plan_scene.
    """
    wide, high = _rough_size(piece)
    size = letters(lettering, page_width((0.0, 0.0, wide + beside, high), 1.0))
    sheet = draw_piece(piece, size, unit=_unit(unit), measures=measures)
    return Scene(tuple(sheet.items()), piece.name, _wider(sheet.box, MARGIN))


def garment_scene(
    garment: Garment,
    *,
    unit: str = "cm",
    lettering: str = "paper",
    measures: bool = False,
    test_square: bool = True,
    width: float | None = None,
    beside: float = 0.0,
    corner: tuple[float, float] = (0.0, 0.0),
    places: Places | None = None,
) -> Scene:
    """Draw all pieces of a garment side by side, grain upright, none overlapping.

    unit: of written measures; lettering: 'paper' for the full size, 'screen' for a picture about 900 px wide,
    with fewer and larger letters; measures: write the length of each edge along its seam line; test_square:
    a square of 10 cm to check a print with; width: of the sheet, cm (None: fitting); beside: as for
    plan_scene; corner: the sheet's upper left one; places: where the pieces lay before, if they are to stay
    there (they may then overlap). The same garment always gives the same drawing.
    """
    rough = width or sheet_width([_rough_size(piece) for piece in garment.pieces], gap=GAP)
    size = letters(lettering, rough + beside)
    sheets = [draw_piece(piece, size, unit=_unit(unit), measures=measures) for piece in garment.pieces]
    title = garment.name + (f", size {garment.size}" if garment.size else "")
    if test_square:
        sheets.append(_test_square(title, size))
    names = [sheet.name for sheet in sheets]
    if not places or not set(places) >= set(names):
        sizes = [(s.box[2] - s.box[0], s.box[3] - s.box[1]) for s in sheets]
        left, top = corner[0] + MARGIN, corner[1] - MARGIN
        packed = shelves(sizes, gap=GAP, width=width)
        places = {
            n: (x + left, y + high + top) for n, (x, y), (_, high) in zip(names, packed, sizes, strict=True)
        }
    items: list[Stroke | Text] = []
    boxes = []
    for sheet in sheets:
        x, y = places[sheet.name]
        y -= sheet.box[3] - sheet.box[1]
        items += sheet.items(x - sheet.box[0], y - sheet.box[1])
        boxes.append((x, y, x + sheet.box[2] - sheet.box[0], y + sheet.box[3] - sheet.box[1]))
    return Scene(tuple(items), title, _wider(join_boxes(boxes), MARGIN), places)


def sheet_scene(
    garment: Garment,
    *,
    unit: str = "cm",
    title: str = "",
    handles: Handles | None = None,
    places: Places | None = None,
) -> Scene:
    """Draw plans and pieces on one sheet for the screen, the pieces about as high as the plans.

    On the plans only the points are named that the hand can move. places: as for garment_scene.
    """
    drafts = _plans(garment)
    plans = _rough_width(drafts)
    high = max(box[3] - box[1] for box in map(_draft_box, drafts.values()))
    wide, deep = _piece_room(garment.pieces, plans)
    whole = NARROW * max(plans + wide, page_width((0.0, 0.0, 0.0, max(high, deep))))
    drawn = plan_scene(
        garment,
        unit=unit,
        lettering="screen",
        labels=frozenset(step for _, step in handles or ()),
        construction=False,
        handles=handles,
        beside=whole - plans,
        places=places,
    )
    _, _, right, top = drawn.bounds
    pieces = garment_scene(
        garment,
        unit=unit,
        lettering="screen",
        test_square=False,
        width=wide,
        beside=whole - wide,
        corner=(right + GAP, top),
        places=places,
    )
    box = join_boxes([drawn.bounds, pieces.bounds])
    return Scene(drawn.items + pieces.items, title, box, {**drawn.places, **pieces.places})


def _piece_room(pieces: Sequence[Piece], plans: float) -> tuple[float, float]:
    """Width of the sheet for pieces beside plans of a width, and about how high they then lie, cm.

    Of widths in steps, so that small changes leave it alone, the one at which all is shown largest.
    """
    rough = [_rough_size(piece) for piece in pieces]
    sizes = [(w + (NAMED if w < NAMED else 2 * GAP), h + GAP) for w, h in rough]  # small ones: name beside

    def room(wide: float) -> tuple[float, float]:
        return wide, -min(y for _, y in shelves(sizes, gap=GAP, width=wide))

    rooms = [room(25.0 * k) for k in range(2, 13)]
    return min(rooms, key=lambda one: max(plans + one[0], one[1] * WIDE / TALL))


def facts(garment: Garment) -> dict[str, dict[str, Any]]:
    """What is known of every edge, by 'piece/edge'.

    name, length (cm, on the seam line), allowance (cm), turn, seam (names, '' where it is not sewn) and
    partners: the edges that lie opposite when the seam is walked.
    """
    sewn: dict[tuple[str, str], tuple[list[str], list[str]]] = {}
    lengths = {(p.name, e.name): e.curve.length for p in garment.pieces for e in p.edges}
    for seam in garment.seams:
        for edge, opposite in _opposites(seam, lengths):
            names, partners = sewn.setdefault(edge, ([], []))
            if seam.name not in names:
                names.append(seam.name)
            partners += [f"{piece}/{name}" for piece, name in opposite if f"{piece}/{name}" not in partners]
    out: dict[str, dict[str, Any]] = {}
    for piece in garment.pieces:
        for edge in piece.edges:
            key = piece.name, edge.name
            names, partners = sewn.get(key, ([], []))
            out[f"{piece.name}/{edge.name}"] = {
                "name": f"{piece.name}, {edge.name}",
                "length": lengths[key],
                "allowance": edge.allowance,
                "turn": edge.turn,
                "seam": ", ".join(names),
                "partners": list(partners),
            }
    return out


def _opposites(seam: Seam, lengths: Mapping[tuple[str, str], float]):
    """(edge, edges opposite) for both sides, by the shares of the seam that they take up."""
    sides = [_shares(side, lengths) for side in (seam.a, seam.b)]
    for own, other in (sides, sides[::-1]):
        for edge, low, high in own:
            yield edge, [e for e, a, b in other if min(high, b) - max(low, a) > 0.002]


def _shares(side: Sequence[tuple[str, str]], lengths: Mapping[tuple[str, str], float]):
    whole = sum(lengths[edge] for edge in side) or 1.0
    out, at = [], 0.0
    for edge in side:
        end = at + lengths[edge] / whole
        out.append((edge, at, end))
        at = end
    return out


def _plans(garment: Garment) -> dict[str, Draft]:
    return {name: d for name, d in garment.drafts.items() if name.endswith("plan")} or dict(garment.drafts)


def _rough_width(drafts: Mapping[str, Draft]) -> float:
    return 1.3 * sum(box[2] - box[0] for box in map(_draft_box, drafts.values())) + 3 * GAP


def _test_square(title: str, letters: Letters) -> Sheet:
    """A square of 10 cm, to be measured on the printed sheet before cutting."""
    sheet = Sheet("test square")
    a = SQUARE
    d = (("M", 0.0, 0.0), ("L", a, 0.0), ("L", a, a), ("L", 0.0, a), ("Z",))
    sheet.stroke(d, "grain", "marks", "test square", "test square, 10 cm by 10 cm")
    outline = [(0, 0, a, 0), (a, 0, a, a), (a, a, 0, a), (0, a, 0, 0)]
    space = Space(outline, ())
    for words in ((title, "test square", "10 cm by 10 cm:", "measure it", "before you cut"), ("10 cm",)):
        for block in blocks(words, words[0], letters):
            found = [] if sheet.texts else space.place(block)
            sheet.write(found or [])
    sheet.box = (0.0, 0.0, a, a)
    return sheet


def _rough_size(piece: Piece) -> tuple[float, float]:
    points = piece.cut_line or piece.outline.flat()
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return max(xs) - min(xs), max(ys) - min(ys)


def _unit(unit: str) -> str:
    if unit not in ("cm", "in"):
        raise ValueAtFault(
            "unit", unit, "must be 'cm' or 'in'", "Pattern measures are written in one of these."
        )
    return unit


@keep_results(16)
def _box_round(items: Sequence[Stroke | Text], *, texts: bool) -> Box:
    return join_boxes(item_box(item) for item in items if texts or isinstance(item, Stroke))


@keep_results(16)
def _draft_box(draft: Draft) -> Box:
    drawn = [step.value for step in draft.steps if step.style != "aside"]
    return join_boxes(_value_box(value) for value in drawn if isinstance(value, Point | Curve))


def _value_box(value: Any) -> Box:
    """The box of a point, or of the ends of a line's segments."""
    if isinstance(value, Point):
        return value.x, value.y, value.x, value.y
    xs, ys = zip(*((p.real, p.imag) for s in value.segments for p in (s[0], s[3])), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _wider(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by

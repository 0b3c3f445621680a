"""Boards of the cutting table: a nest of sizes, pieces laid on cloth, a pattern spread over pages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cache

from ..checking import Finding
from ..garments.base import Garment
from ..laying import lay
from ..output.items import Handle, Stroke, Text
from ..output.paper.tiles import read_paper, tile
from ..output.scene import Scene, garment_scene
from ..output.scene.lays import lay_scene
from ..output.scene.nests import called, nest_scene
from ..sizes import SizeRange, points, usual_point
from ..units import write_length
from .board import Board
from .picture import Picture, said
from .slider import choice

WIDTHS = (90, 115, 140, 150)
"""cm: widths that cloth is woven in (common practice)."""
FOLDS = ("flat", "folded once")
WAYS = ("either way up", "one way")
NOT_WALKED = "the seams of these sizes were not walked here."
ONLY_THE_LAY = "how the pieces lie was looked at, not the pieces."
ONLY_PAGES = "only the pages were counted; the pieces were not looked at."
PAPERS = ("a4", "letter", "a3", "a0", "roll=90")


def nest_board(sizes: SizeRange, piece: str, *, title: str = "", unit: str = "cm") -> Board:
    """A live board of one piece in all sizes; chosen is the point at which they lie on one another.

    Raises UnknownName for a piece that does not exist.

    >>> from patternlib.sizes import size_range
    >>> board = nest_board(size_range("pinafore", "course", ["10", "12", "14"]), "bib")
    >>> board.draw({"at": "top / side"}).findings[0].where
    'bib'
    """
    every = list(sizes.piece(piece).values())
    shared = tuple(name for name in points(every[0]) if all(name in points(p) for p in every))
    sliders = (
        choice("at", "The sizes lie on one another at", shared, start=shared.index(usual_point(every[0]))),
        choice("lines", "Shown", ("cut", "seam"), why="With the allowances, or the lines that are sewn."),
    )

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        at, lines = shared[round(values["at"])], ("cut", "seam")[round(values["lines"])]
        grown = [row for row in sizes.grade_table({piece: at}) if row.piece == piece and row.dx is not None]
        far = max(grown, key=lambda row: abs(row.dx or 0.0) + abs(row.dy or 0.0))
        dx, dy = (write_length(abs(step or 0.0), unit) for step in (far.dx, far.dy))
        text = (
            f"From one size to the next, {far.point} moves farthest: "
            f"{dx} across, {dy} up or down (to {called(far.size)})."
        )
        return Picture(
            nest_scene(sizes, [piece], at={piece: at}, lines=lines),
            [_said(piece, text), said(piece, NOT_WALKED)],
        )

    return Board(redraw, sliders, title=title or f"{piece}, nested", unit=unit)


def lay_board(
    garment: Garment, *, widths: Sequence[int] = WIDTHS, title: str = "", unit: str = "cm"
) -> Board:
    """A live board of a garment laid on cloth: its width (cm), flat or folded, either way up or one way.

    A lay takes a moment; one that was shown before comes back at once. A cloth too narrow for a piece is
    refused with a sentence.

    >>> from patternlib import chart, make
    >>> lay_board(make("pinafore", chart("course").body("12"))).setup["title"]
    'On the cloth'
    """

    @cache
    def laid(width: int, folded: bool, one_way: bool, unit: str):
        return lay(garment, width=width, folded=folded, one_way=one_way, seconds=0, unit=unit)

    sliders = (
        choice("width", "Width of the cloth", [write_length(w, unit) for w in widths], start=len(widths) - 1),
        choice("folded", "The cloth lies", FOLDS),
        choice("one_way", "Heads of the pieces", WAYS, why="One way for nap and one-way prints."),
    )

    def redraw(values: Mapping[str, float], *, unit: str) -> Picture:
        width = widths[round(values["width"])]
        found = laid(width, bool(round(values["folded"])), bool(round(values["one_way"])), unit)
        return Picture(
            lay_scene(found, unit=unit),
            [_said("cloth", found.text), said("cloth", ONLY_THE_LAY)],
        )

    return Board(redraw, sliders, title=title or "On the cloth", unit=unit)


def pages_board(garment: Garment, *, papers: Sequence[str] = PAPERS, title: str = "") -> Board:
    """A live board of the pages that a pattern is printed on, for each paper; see output.paper.tiles.

    >>> from patternlib import chart, make
    >>> board = pages_board(make("pinafore", chart("course").body("12")), papers=("a4", "a0"))
    >>> board.draw({"paper": "a0"}).findings[0].where
    'a0'
    """
    pattern = garment_scene(garment, test_square=False)

    @cache
    def tiled(paper: str) -> tuple[Scene, str]:
        tiling = tile(pattern, read_paper(paper))
        items = _named_once(tiling.scene.items)
        for page in tiling.pages:
            x0, y0, x1, y1 = page.cell
            d = (("M", x0, y0), ("L", x1, y0), ("L", x1, y1), ("L", x0, y1), ("Z",))
            items.append(Stroke(d, "block", "pages", "", f"page {page.name}"))
            items.append(Text(x0 + 0.6, y1 - 2.2, page.name, 1.6, "start", layer="pages", style="heading"))
        left, low, right, top = zip(*(page.cell for page in tiling.pages), strict=True)
        x0, y0, x1, y1 = min(left), min(low), max(right), max(top)
        side = max(0.0, (y1 - y0 - (x1 - x0)) / 2)  # a sheet no higher than wide is seen whole
        box = (x0 - side - 1, y0 - 1, x1 + side + 1, y1 + 1)
        many = len(tiling.pages)
        text = f"{many} {'page' if many == 1 else 'pages'}, {tiling.columns} across and {tiling.rows} down."
        return Scene(tuple(items), f"{garment.name} on {paper}", box), text

    def redraw(values: Mapping[str, float]) -> Picture:
        paper = papers[round(values["paper"])]
        scene, text = tiled(paper)
        return Picture(
            scene,
            [_said(paper, text), said(paper, ONLY_PAGES)],
        )

    return Board(redraw, (choice("paper", "Paper", papers),), title=title or "On pages")


def _named_once(items: Iterable[Stroke | Text | Handle]) -> list[Stroke | Text | Handle]:
    """The items with a piece's name in place of its whole label, which is too long for so small a drawing."""
    found, named = list[Stroke | Text | Handle](), set[str]()
    for item in items:
        if isinstance(item, Text) and item.layer == "labels":
            if item.piece in named or item.text == "place on the fold":
                continue
            named.add(item.piece)
            item = replace(item, text=item.piece, style="heading")
        found.append(item)
    return found


def _said(where: str, text: str) -> Finding:
    return Finding(100, "right", where, None, None, None, text)

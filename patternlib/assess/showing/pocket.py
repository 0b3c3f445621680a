"""A first pattern: a pocket for one's own hand, drawn on the table and printed at true size."""

from __future__ import annotations

import base64
from collections.abc import Collection, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

from ...body import Body
from ...draft import Draft, Drafting
from ...errors import PatternError
from ...garments.marking import OPENING_HEM, SEAM, grained
from ...geometry import Point, line
from ...output.paper.pdf import as_pdf
from ...output.scene.garments import piece_scene
from ...pieces import Edge, Piece, finish
from ...tolerances import HAND_CURVE
from ...units import write_length
from ..table.verbs import HANDS
from .board import SectionTable
from .sections import section

WIDTH, DEPTH = 14.0, 15.0
"""cm: the pocket of the steps that are shown."""
CORNERS = ("top left", "bottom left", "bottom right", "top right")
"""Anticlockwise, as a piece runs."""
SMALLEST, LARGEST = 4.0, 50.0
"""cm: the sides of a pocket."""
FILE = "my pocket.pdf"


def pocket_draft() -> Draft:
    """The pocket that is shown: three steps from one corner."""
    d = Drafting("a pocket for your hand")
    d.start("top left")
    d.go("top right", "top left", "right", WIDTH, source="width of the hand + 4 cm")
    d.go("bottom left", "top left", "down", DEPTH, source="length of the hand − 3 cm")
    d.add("bottom right", "level", ("bottom left", "top right"))
    return d.finish()


class PocketTable(SectionTable):
    """A small table for the pocket; its four corners make a piece that is printed at true size."""

    def __init__(self, body: Body, *, unit: str = "cm", folder: Path | None = None):
        part = section(
            pocket_draft(), ("top right", "bottom right"), place="00 pocket", title="A pocket for your hand"
        )
        super().__init__(part, body, unit=unit, begin="own", folder=folder)

    def _setup(self) -> dict[str, Any]:
        return {**super()._setup(), "hands": list(HANDS[:2]), "prints": True}

    def _wanted(self) -> Collection[str]:
        return ()

    def _hear(self, widget: Any, said: Mapping[str, Any], buffers: Any) -> None:
        if said.get("kind") == "print":
            self.send({"who": said["who"], "printed": self.printed(said.get("paper"))})
        else:
            super()._hear(widget, said, buffers)

    def piece(self) -> Piece:
        """The pocket with its allowances, on the corners that are drawn. Raises PatternError."""
        drawn = self._points()
        missing = [name for name in CORNERS if name not in drawn]
        if missing:
            raise PatternError(f"Draw {missing[0]} first: a pocket has four corners.")
        corners = _anticlockwise([drawn[name] for name in CORNERS])
        for a, b in pairwise((*corners, corners[0])):
            if not SMALLEST <= a.distance(b) <= LARGEST:
                raise PatternError(
                    f"A side of this pocket is {write_length(a.distance(b), self.unit)} long. Make it "
                    f"{write_length(SMALLEST, self.unit)} to {write_length(LARGEST, self.unit)} long."
                )
        top = _higher(corners)
        names = {(top + k) % 4: name for k, name in enumerate(("opening", "side", "bottom", "side 2"))}
        edges = tuple(
            Edge(
                names[k], line(corners[k], corners[(k + 1) % 4]),
                *((OPENING_HEM, "hem") if names[k] == "opening" else (SEAM, "fold-back")),
            )
            for k in range(4)
        )  # fmt: skip
        folds = {("side 2", "opening"): "opening", ("opening", "side"): "opening"}
        label = ("pocket", "cut 1 of the main cloth", "my own first pattern")
        return finish(grained(Piece("pocket", edges, label=label, folds=folds)))

    def _points(self) -> dict[str, Point]:
        drawn = {**self.laid.given, **self.laid.values}
        return {name: value for name, value in drawn.items() if isinstance(value, Point)}

    def printed(self, paper: Any) -> dict[str, Any]:
        """Write the pocket beside the notebook as a PDF: its name and what to do, or a sentence why not."""
        path = self.folder / FILE
        try:
            piece = self.piece()
            data = as_pdf(piece_scene(piece, unit=self.unit), paper=paper if paper == "letter" else "a4")
            path.write_bytes(data)
        except PatternError as fault:
            return {"fault": str(fault)}
        except OSError as fault:
            return {"fault": f"'{path.name}' cannot be written beside the notebook ({fault.strerror})."}
        return {"file": path.name, "said": self.square(), "data": base64.b64encode(data).decode()}

    def square(self) -> str:
        """How large the pocket is, and whether its corners are square, told by its diagonals."""
        drawn = self._points()
        a, b, c, d = (drawn[name] for name in CORNERS)
        wide, deep, one, other = (
            write_length(p.distance(q), self.unit) for p, q in ((a, d), (a, b), (a, c), (b, d))
        )
        said = f"Your pocket is {wide} wide and {deep} deep. "
        if abs(a.distance(c) - b.distance(d)) <= HAND_CURVE:
            return f"{said}Both diagonals measure {one}, so its corners are square."
        return f"{said}Its diagonals measure {one} and {other}, so its corners are not square."


def _anticlockwise(corners: list[Point]) -> list[Point]:
    """The corners in the order of a piece. Raises PatternError where they cross or dent."""
    turns = [
        (corners[(k + 1) % 4] - corners[k]).cross(corners[(k + 2) % 4] - corners[(k + 1) % 4])
        for k in range(4)
    ]
    if all(turn > 0 for turn in turns):
        return corners
    if all(turn < 0 for turn in turns):
        return corners[::-1]
    raise PatternError("The sides of this pocket cross: look at where its four corners lie.")


def _higher(corners: list[Point]) -> int:
    """The side that lies highest, which is the opening: the number of its first corner."""
    return max(range(4), key=lambda k: corners[k].y + corners[(k + 1) % 4].y)

"""Buttons that write a PDF beside the notebook: the booklet of a garment, one piece in true size."""

from __future__ import annotations

import base64
from collections.abc import Callable
from html import escape
from pathlib import Path

import ipywidgets as widgets

from ..errors import PatternError
from ..garments.base import Garment
from ..pieces import Piece


class PrintButton(widgets.VBox):
    """A button that writes a PDF beside the notebook, and a link to it."""

    def __init__(
        self, label: str, file: str, pdf: Callable[[str], bytes], folder: Path | None = None
    ) -> None:
        """label: on the button; file: the name of the PDF; pdf: from the paper's name to the PDF."""
        self.label, self.path, self.pdf = label, (folder or Path.cwd()) / file, pdf
        room = widgets.Layout(min_height="44px", width="auto")
        sizes = [("A4 paper", "a4"), ("letter paper", "letter")]
        self.paper = widgets.Dropdown(options=sizes, description="Print on", layout=room)
        self.button = widgets.Button(description=label, layout=room)
        self.said = widgets.HTML()
        self.button.on_click(lambda _: self.print())
        super().__init__([widgets.HBox([self.paper, self.button]), self.said])

    def print(self) -> None:
        """Write the file and say where it is; a folder that cannot be written is said."""
        name = escape(self.path.name)
        try:
            pdf = self.pdf(self.paper.value)
            self.path.write_bytes(pdf)
        except (OSError, PatternError) as fault:
            self.said.value = f"<p>“{name}” cannot be written here: {escape(str(fault))}</p>"
            return
        link = f"data:application/pdf;base64,{base64.b64encode(pdf).decode()}"
        self.said.value = (
            f'<p><a href="{link}" download="{name}" style="display:inline-block;padding:12px 0">Open '
            f"“{name}”</a>. It lies beside this notebook too. Print it at 100 %.</p>"
        )

    def __repr__(self) -> str:
        return f"{self.label}: a button that works once this cell is run."


def booklet_button(garment: Garment, *, folder: Path | None = None) -> PrintButton:
    """A button for the booklet: drawing, cutting list, what is needed, cautions, each step with its picture.

    folder: where the file is written, the current one if left out.

    >>> from patternlib.garments import make
    >>> booklet_button(make("apron", "12"))
    Make the booklet of the apron: a button that works once this cell is run.
    """

    def pdf(paper: str) -> bytes:
        from ..output.paper.booklet import making_pdf

        return making_pdf(garment, paper=paper)

    label = f"Make the booklet of the {garment.name}"
    return PrintButton(label, f"making {garment.name}.pdf", pdf, folder)


def piece_button(piece: Piece, *, folder: Path | None = None) -> PrintButton:
    """A button that prints one piece in true size, with a test square.

    folder: where the file is written, the current one if left out.

    >>> from patternlib.garments import make
    >>> piece_button(make("pinafore", "12")["strap"])
    Print the strap in true size: a button that works once this cell is run.
    """

    def pdf(paper: str) -> bytes:
        from ..output.paper.pdf import as_pdf
        from ..output.scene import piece_scene

        return as_pdf(piece_scene(piece), paper=paper)

    return PrintButton(f"Print the {piece.name} in true size", f"{piece.name}.pdf", pdf, folder)

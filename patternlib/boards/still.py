"""The still picture of a board: it stays in the saved notebook and needs no kernel."""

from __future__ import annotations

import base64
import html


class StillPicture:
    """A picture (SVG text) with its text alternative, as a notebook keeps it; both the same in every run.

    It is shown in notebooks and in HTML exports. Its style takes away the empty place of a board that is not
    alive; a board that is alive hides it.
    """

    def __init__(self, svg: str, alt: str) -> None:
        self.svg, self.alt = svg, alt

    def __repr__(self) -> str:
        return self.alt

    def _repr_html_(self) -> str:
        words = html.escape(self.alt, quote=True)
        data = base64.b64encode(self.svg.encode()).decode()
        image = f'<img alt="{words}" style="max-width:100%" src="data:image/svg+xml;base64,{data}">'
        return (
            "<style>.jp-OutputArea-child:has(+ .jp-OutputArea-child .draft-board-still)"
            ":not(:has(.draft-board)){display:none}</style>"
            f'<div class="draft-board-still">{image if self.svg else words}'
            "<p>Still picture. Run this cell to move the sliders.</p></div>"
        )

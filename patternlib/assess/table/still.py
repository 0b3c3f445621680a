"""What of a table stays in the saved notebook without a kernel: its record, a picture, the steps to read."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from html import escape
from typing import Any

from ...geometry import polyline
from ...output.items import Text, item_box, join_boxes
from ...output.scene import Scene
from ...output.svg import as_svg
from ..answers.sketch import Sketch, box_of, wider
from ..tasks.record import MIME
from .laying import Laid
from .viewing import sketch_pieces

_HIDE = (
    "<style>.jp-OutputArea-child:has(+ .jp-OutputArea-child .draft-table-still)"
    ":not(:has(.draft-table)){display:none}</style>"
)


class Still:
    """The hand-in of a table as a notebook keeps it; without steps there is no record."""

    def __init__(self, record: dict[str, Any], title: str, picture: str, said: Sequence[str]) -> None:
        self.record, self.title, self.picture, self.said = record, title, picture, tuple(said)

    def __repr__(self) -> str:
        if not self.said:
            return f"{self.title}: nothing is drawn yet."
        lines = (f"{number}. {sentence}" for number, sentence in enumerate(self.said, 1))
        return "\n".join((f"{self.title}:", *lines))

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, Any]:
        shown = {"text/plain": repr(self), "text/html": self._html()}
        return shown | ({MIME: self.record} if self.said else {})

    def _html(self) -> str:
        data = base64.b64encode(self.picture.encode()).decode()
        image = (
            f'<img alt="{escape(self.title, quote=True)}, as it was drawn" style="max-width:100%" '
            f'src="data:image/svg+xml;base64,{data}">'
            if self.picture
            else ""
        )
        steps = "".join(f"<li>{escape(sentence)}</li>" for sentence in self.said)
        steps = f"<ol>{steps}</ol>" if steps else "<p>Nothing is drawn yet.</p>"
        return (
            f'{_HIDE}<div class="draft-table-still"><p><b>{escape(self.title)}</b></p>{image}{steps}'
            "<p>Still picture. Run this cell to go on drawing.</p></div>"
        )


def picture(laid: Laid, title: str) -> str:
    """The paper as SVG text; empty where there is nothing to draw."""
    cut = [polyline(piece.cut_line) for piece in laid.pieces.values() if piece.cut_line]
    box = box_of([*laid.given.values(), *laid.values.values(), *cut])
    if box is None:
        return ""
    box = wider(box)
    sketch = Sketch(max(box[2] - box[0], 1.4 * (box[3] - box[1])) / 60)
    sketch.draw(laid.given, "block")
    edges = {edge.step for piece in laid.pieces.values() for edge in piece.traced}
    sketch.draw({name: value for name, value in laid.values.items() if name not in edges}, "own", names=1)
    sketch_pieces(sketch, laid.pieces.values())
    items = sketch.items()
    box = join_boxes([box, *(item_box(item) for item in items if isinstance(item, Text))])
    return as_svg(Scene(tuple(items), title, box), true_size=False)

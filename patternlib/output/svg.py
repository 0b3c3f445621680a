"""Scenes as SVG: full size in mm for paper, or a picture of a given width for the screen.

Here alone y is turned over and cm become mm. Curves stay cubics, text stays text, and nothing outside the
file is referred to [Scalable Vector Graphics (SVG) 1.1, W3C, 2011].
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape

from ..errors import ValueAtFault
from ..units import MM_PER_CM
from .items import Command, Drawing, Stroke, Text, item_box, join_boxes
from .lettering.taken import texts_for_screen
from .styles import LETTERINGS, LINES, PX_DASH, PX_WIDTH

FONT = "Arial, Helvetica, 'DejaVu Sans', sans-serif"
ON_SCREEN = (
    ".pattern-screen path{vector-effect:non-scaling-stroke}"
    ".pattern-screen text{paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}"
)
"""Lines keep their width at every zoom; the paper's colour round a word ends a line that would cross it."""


def as_svg(
    scene: Drawing,
    *,
    true_size: bool = True,
    width: float = 900,
    colour: bool = True,
    title: str = "",
    desc: str = "",
) -> str:
    """Give a scene as SVG text.

    true_size: full size, its lengths in mm; False makes a picture `width` px wide whose lines keep their
    width at every zoom. colour: False draws in greys only. title, desc: the text alternative; left out, the
    scene's title and a count of its pieces. Raises ValueAtFault for a width that is not 50 to 10000 px.

    >>> from patternlib.output.items import Stroke
    >>> from patternlib.output.scene import Scene
    >>> square = Stroke((("M", 0, 0), ("L", 10, 0), ("L", 10, 10), ("L", 0, 10), ("Z",)), "cut", "cut lines")
    >>> drawn = as_svg(Scene((square,), "a square", (0, 0, 10, 10)))
    >>> 'width="100mm" height="100mm" viewBox="0 0 100 100"' in drawn, "M0 100L100 100L100 0L0 0Z" in drawn
    (True, True)
    """
    if not 50 <= width <= 10_000:
        raise ValueAtFault("width", width, "must lie between 50 and 10000 px", "900 fills a notebook.")
    x0, y0, x1, y1 = scene.bounds
    scale = MM_PER_CM if true_size else width / (x1 - x0)
    texts = [item for item in scene.items if isinstance(item, Text)]
    if not true_size:  # larger letters may need a wider sheet
        texts = texts_for_screen(scene.items, scale)
        x0, y0, x1, y1 = join_boxes([scene.bounds, *map(item_box, texts)])
    wide, high = _n((x1 - x0) * scale), _n((y1 - y0) * scale)
    unit, kind = ("mm", "paper") if true_size else ("", "screen")
    draw = _Pen(x0, y1, scale, true_size, colour)
    names = _Names()
    pieces = list(dict.fromkeys(item.piece for item in scene.items if isinstance(item, Stroke | Text)))
    parts = []
    for piece in pieces:
        group: list[Stroke | Text] = [i for i in scene.items if isinstance(i, Stroke) and i.piece == piece]
        group += [i for i in texts if i.piece == piece]
        drawn = "".join(draw.layers(group, names))
        if piece:
            parts.append(f'<g id="{names.id(piece)}" data-piece="{_text(piece)}">\n{drawn}</g>\n')
        else:
            parts.append(drawn)
    count = len([p for p in pieces if p and p != "test square"])
    said = desc or ("Full size, lengths in mm." if true_size else "Not to size.") + (
        f" {count} piece{'s' if count != 1 else ''}: " + ", ".join(p for p in pieces if p) + "."
        if count
        else ""
    )
    keep = "" if true_size else f"<style>{ON_SCREEN}</style>\n"
    head, about = names.id("drawing title"), names.id("drawing description")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pattern-{kind}" width="{wide}{unit}" '
        f'height="{high}{unit}" viewBox="0 0 {wide} {high}" role="img" aria-labelledby="{head} {about}">\n'
        f'<title id="{head}">{_text(title or scene.title)}</title>\n'
        f'<desc id="{about}">{_text(said)}</desc>\n{keep}'
        f'<rect width="{wide}" height="{high}" fill="#ffffff"/>\n'
        f'<g fill="none" stroke-linejoin="round" font-family="{FONT}">\n{"".join(parts)}</g>\n</svg>\n'
    )


class _Names:
    """Ids that are unique in the file and plain enough for every reader."""

    def __init__(self):
        self.used: set[str] = set()

    def id(self, name: str) -> str:
        stem = ".".join(
            re.sub(r"[^a-z0-9]+", "-", part.lower()).strip("-") or "x" for part in name.split("/")
        )
        stem = stem if stem[0].isalpha() else f"n{stem}"
        made, n = stem, 1
        while made in self.used:
            n += 1
            made = f"{stem}-{n}"
        self.used.add(made)
        return made


class _Pen:
    """Puts items on the sheet: places, line widths and lettering in its units."""

    def __init__(self, left: float, top: float, scale: float, true_size: bool, colour: bool):
        self.left, self.top, self.scale = left, top, scale
        self.true_size, self.colour = true_size, colour

    def path(self, d: Sequence[Command]) -> str:
        k, left, top = self.scale, self.left, self.top
        out = []
        for c in d:
            places = [_n((v - left) * k) if i % 2 == 0 else _n((top - v) * k) for i, v in enumerate(c[1:])]
            out.append(c[0] + " ".join(places))
        return "".join(out)

    def ink(self, grey: int, colour: str) -> str:
        return colour if self.colour else f"#{grey:02x}{grey:02x}{grey:02x}"

    def line(self, style: str) -> str:
        """The attributes of a line style."""
        look = LINES[style]
        wide, dash = (1.0, 1.0) if self.true_size else (PX_WIDTH, PX_DASH)
        dashes = f' stroke-dasharray="{" ".join(_n(v * dash) for v in look.dashes)}"' if look.dashes else ""
        return f'stroke="{self.ink(look.grey, look.colour)}" stroke-width="{_n(look.width * wide)}"{dashes}'

    def layers(self, items: Sequence[Stroke | Text], names: _Names) -> Iterable[str]:
        """One group for each layer, and in it one for each style of line."""
        by_layer: dict[str, dict[str, list[str]]] = {}
        for item in items:
            looks = by_layer.setdefault(item.layer, {})
            if isinstance(item, Stroke):
                looks.setdefault(item.style, []).append(self.stroke(item, names))
            else:
                looks.setdefault("", []).append(self.text(item))
        for layer, looks in sorted(by_layer.items(), key=lambda entry: "" in entry[1]):  # words lie on top
            id = names.id("/".join(filter(None, (items[0].piece, layer))))
            yield f'<g id="{id}" data-layer="{_text(layer)}">\n'
            for style, drawn in sorted(looks.items(), key=lambda entry: not entry[0]):
                if style:
                    yield f'<g data-style="{style}" {self.line(style)}>\n{"".join(drawn)}</g>\n'
                else:
                    yield "".join(drawn)
            yield "</g>\n"

    def stroke(self, item: Stroke, names: _Names) -> str:
        id = f' id="{names.id(item.id)}"' if item.id else ""
        title = f"><title>{_text(item.title)}</title></path>" if item.title else "/>"
        return f'<path{id} d="{self.path(item.d)}"{title}\n'

    def text(self, item: Text) -> str:
        look = LETTERINGS[item.style]
        x, y = _n((item.x - self.left) * self.scale), _n((self.top - item.y) * self.scale)
        turn = f' transform="rotate({_n(-item.angle)} {x} {y})"' if item.angle else ""
        more = (' font-weight="bold"' if look.bold else "") + (' font-style="italic"' if look.slanted else "")
        return (
            f'<text x="{x}" y="{y}" font-size="{_n(item.size_cm * self.scale)}" text-anchor="{item.anchor}"'
            f' fill="{self.ink(look.grey, look.colour)}"{more}{turn}>{_text(item.text)}</text>\n'
        )


def _n(value: float) -> str:
    """A number of mm or px, to a thousandth, as short as it goes."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _text(words: str) -> str:
    """Words as they may stand in XML: escaped, without the characters it does not know."""
    return escape(re.sub("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", "", words), quote=True)

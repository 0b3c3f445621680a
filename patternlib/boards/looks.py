"""Looks of lines and letterings on a page; printed drawings take them from the same tables."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from ..output.styles import LETTERINGS, LINES, PX_DASH, PX_WIDTH


@cache
def board_css() -> str:
    """Return the style rules of a board: those of lines and letterings, then `page/*.css`."""
    rules = []
    for style, look in LINES.items():
        dashes = " ".join(f"{d * PX_DASH:g}" for d in look.dashes) or "none"
        rules.append(
            f'.db-line[data-style="{style}"] {{ stroke: {_ink(look.grey, look.colour)}; '
            f"stroke-width: {look.width * PX_WIDTH:.2f}px; stroke-dasharray: {dashes}; }}"
        )
    for style, letters in LETTERINGS.items():
        weight, slant = 600 if letters.bold else 400, "italic" if letters.slanted else "normal"
        rules.append(
            f'.db-texts text[data-style="{style}"] {{ fill: {_ink(letters.grey, letters.colour)}; '
            f"font-weight: {weight}; font-style: {slant}; }}"
        )
    own = sorted(Path(__file__).with_name("page").glob("*.css"), reverse=True)  # the board's come last
    return "\n".join([*rules, *(path.read_text(encoding="utf-8") for path in own)])


def _ink(grey: int, colour: str) -> str:
    """A colour that stands out on a light and on a dark sheet: a share of the page's own ink."""
    red, green, blue = colour[1:3], colour[3:5], colour[5:7]
    if red == green == blue:
        return f"color-mix(in srgb, var(--ink) {round(100 - grey / 3.2)}%, var(--paper))"
    return f"color-mix(in srgb, {colour} var(--strong), var(--ink))"

"""Sizes of lettering, and the lines of a label: on ever fewer lines, then smaller."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from ...errors import unknown
from ..items import text_width
from ..styles import LEAST_TEXT, LETTERINGS

LEADING = 1.35
"""From base line to base line, in sizes."""


class Letters(NamedTuple):
    """Size of plain lettering and the least size, cm; short: only what a picture on a screen has room for."""

    size: float
    least: float
    short: bool = False


PAPER = Letters(0.6, LEAST_TEXT)
SCREEN_SHARE = 70
"""On a screen a sheet is as wide as this many plain letters are high: 12 px where it is shown 900 px wide."""


def letters(lettering: str, sheet_width: float) -> Letters:
    """The sizes for 'paper' or 'screen'; sheet_width: cm. Anything else raises UnknownName."""
    if lettering not in ("paper", "screen"):
        raise unknown("lettering", lettering, ("paper", "screen"))
    if lettering == "paper":
        return PAPER
    # in steps, so that lettering keeps its size while a small change widens the sheet
    size = max(10 * math.ceil(sheet_width / 10) / SCREEN_SHARE, PAPER.size)
    return Letters(size, 0.9 * size, True)


Line = tuple[str, float, str]
"""Text, size (cm), style of one line of a block."""


def block_width(lines: Iterable[Line]) -> float:
    """Width of the widest line of a block, cm."""
    return max(text_width(text, size, bold=LETTERINGS[style].bold) for text, size, style in lines)


def blocks(lines: Sequence[str], heading: str, letters: Letters) -> Iterator[list[Line]]:
    """The same words on ever fewer lines; then all of it smaller, down to the least size."""
    head = heading if heading in lines else lines[0]
    rest = [line for line in lines if line != head]
    last = 0.0
    for factor in (1.0, 0.8, 0.65, 0.5):
        small = max(letters.size * factor, letters.least)
        if small == last:
            return
        last = small
        for count in range(len(rest), 0, -1):
            below = ((line, small, "label") for line in wrapped(rest, count))
            yield [(head, small * (1.1 if letters.short else 1.35), "heading"), *below]
        yield [(" · ".join((head, *rest)), small, "label")]


@lru_cache(maxsize=512)
def _wrapped(words: tuple[str, ...], count: int) -> tuple[str, ...]:
    if count == 1:
        return (" · ".join(words),)
    ways = (
        (" · ".join(words[:k]), *_wrapped(words[k:], count - 1)) for k in range(1, len(words) - count + 2)
    )
    return min(ways, key=lambda lines: max(text_width(line) for line in lines))


def wrapped(words: Sequence[str], count: int) -> tuple[str, ...]:
    """Words run together on `count` lines, the longest as short as can be.

    >>> wrapped(["size 12", "cut 2 as a pair", "main cloth"], 2)
    ('size 12 · cut 2 as a pair', 'main cloth')
    """
    return _wrapped(tuple(words), min(count, len(words)))

"""The sheet of changes: what was changed at each fitting, how much and why. It travels with the pattern."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .. import tolerances
from ..body import Body
from ..draft import Draft
from ..errors import PatternError, ValueAtFault
from ..toml_text import read_toml
from ..units import Length, read_length, write_length
from .paper import Altered
from .signs import Sign, sign

ONE_SIDE = (
    "The two sides differ: right and left stand on the pieces, as the person who wears it sees them. Lay "
    "each of these pieces once, printed side up on the right side of the cloth, in a single layer, and turn "
    "none over. Fusing lies with its glue side up under the same paper."
)
"""How a pattern is cut that has a change on one side only (common practice, no source)."""

IDLE = (
    "This sign changes no piece of this garment. If you see it there too, another style value puts it right."
)
"""What is said of a change that a garment passes over."""


@dataclass(frozen=True)
class Change:
    """One line of the sheet: the sign that was seen, what was pinched (cm), the day, and a note of her own.

    >>> Change("square shoulders", 1.5).said()
    'square shoulders, 1.5 cm: the shoulders are squarer than the draft'
    """

    sign: str
    pinch: float
    date: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        of = sign(self.sign)
        object.__setattr__(self, "pinch", read_length(self.pinch, name="pinch"))
        if not tolerances.SEAM <= self.pinch <= of.most:
            raise ValueAtFault(
                "pinch", self.pinch, f"must lie between 0.1 and {of.most:g} cm for '{self.sign}'",
                "Where more is needed, change so much, sew a new toile and look again.",
            )  # fmt: skip

    @property
    def of(self) -> Sign:
        return sign(self.sign)

    def said(self, unit: str = "cm") -> str:
        why = self.of.cause.rstrip(".")
        return f"{self.sign}, {write_length(self.pinch, unit)}: {why[0].lower()}{why[1:]}"


@dataclass(frozen=True)
class Changes:
    """All changes of a pattern, in the order in which they were made. Its version is how many there are.

    idle: the places in `made` of those that change no piece of the garment that the sheet lies with. They
    stay on the sheet with a sentence that says so, and are not named on the pieces.

    >>> from patternlib.blocks import bodice_block
    >>> sheet = Changes((Change("square shoulders", 2.0),))
    >>> block = bodice_block("12")
    >>> round(sheet.block(block)["back shoulder tip"].y - block["back shoulder tip"].y, 6)
    1.0
    """

    made: tuple[Change, ...] = ()
    idle: frozenset[int] = frozenset()

    def __bool__(self) -> bool:
        return bool(self.made)

    def __iter__(self) -> Iterator[Change]:
        return iter(self.made)

    def __len__(self) -> int:
        return len(self.made)

    @property
    def version(self) -> int:
        """The number of the pattern's version: 1 as drafted, one more with each change."""
        return len(self.made) + 1

    @property
    def date(self) -> str:
        """The day of the last change, '' where none was written."""
        return max((change.date for change in self.made), default="")

    def add(self, change: Change) -> Changes:
        return Changes((*self.made, change))

    def without_last(self) -> Changes:
        return Changes(self.made[:-1])

    def steps(self, block: Draft) -> tuple[Altered, ...]:
        """What each change makes of a block, one after the other; changes that leave it are passed over.

        A dart in the back shoulder is drawn last, on the shoulder as the other changes leave it. The block is
        that of `side`, changes of the other side are passed over.
        """
        out = []
        for change in sorted(self.made, key=lambda c: c.sign in LAST):
            if change.of.side not in ("", self.side):
                continue
            altered = change.of.altered(block, change.pinch)
            if altered is not None:
                out.append(altered)
                block = altered.after
        return tuple(out)

    def block(self, block: Draft) -> Draft:
        """The block with every change. Raises ValueAtFault for one that it cannot take."""
        steps = self.steps(block)
        return steps[-1].after if steps else block

    def style(self, values: dict[str, float]) -> dict[str, float]:
        """The style values of a garment with a narrower top of the bib."""
        gap = sum(change.of.upper_edge * change.pinch for change in self.made)
        return {**values, "bib_top": values["bib_top"] - gap} if gap and "bib_top" in values else values

    def leans(self, skirt: Draft, back: float, front: float) -> tuple[float, float]:
        """The leans of both sides of a flared skirt (degrees), with flare moved from one to the other."""
        moved = sum(c.of.factor * c.pinch for c in self.made if c.sign.startswith("side seam swings"))
        lean = math.degrees(math.atan2(moved, skirt["side hip"].y - skirt["side hem"].y))
        return back - lean, front + lean

    def facts(self) -> tuple[str, ...]:
        """What was changed, a sentence each."""
        return tuple(
            f"Seen on the toile: {change.said()}. {IDLE}"
            if k in self.idle
            else f"Changed after the toile: {change.said()}."
            for k, change in enumerate(self.made)
        )

    @property
    def acting(self) -> tuple[Change, ...]:
        """The changes that change a piece."""
        return tuple(change for k, change in enumerate(self.made) if k not in self.idle)

    def without(self, k: int) -> Changes:
        """The sheet without one of its lines."""
        return Changes((*self.made[:k], *self.made[k + 1 :]))

    @property
    def side(self) -> str:
        """The side of the body that the drawn half is of: 'left' where only that side is changed alone."""
        sides = {change.of.side for change in self.acting}
        return "left" if "left" in sides and "right" not in sides else "right"

    def one_sided(self) -> tuple[Change, ...]:
        """The changes that are made on one half of the pattern only."""
        return tuple(change for change in self.acting if change.of.side)

    def other_half(self) -> Changes:
        """The changes of the half that is not drawn, see `side`."""
        return Changes(tuple(c for c in self.made if c.of.side != self.side))

    def body(self, body: Body) -> Body:
        """The body as the toile has shown it, for what a garment starts with; the measures taken stay
        hers."""
        by: dict[str, float] = {}
        for change in self.made:
            for name, each in change.of.measures:
                by[name] = by.get(name, 0.0) + each * change.pinch
        try:
            return body.replace(**{name: getattr(body, name) + cm for name, cm in by.items()}) if by else body
        except PatternError:
            return body

    def label(self, unit: str = "cm") -> tuple[str, ...]:
        """What is printed on every piece: version and day, and what was changed; nothing if nothing was."""
        if not self.acting:
            return ()
        what = ", ".join(f"{change.sign} {write_length(change.pinch, unit)}" for change in self.acting)
        return (f"version {self.version}" + (f", {self.date}" if self.date else ""), f"for: {what}")

    def rows(self, unit: str = "cm") -> list[tuple[str, str, str, str, str]]:
        """The sheet as rows: version, date, sign, pinched, what was done and why (with her own note)."""
        return [
            (
                str(k + 2), change.date, change.sign, write_length(change.pinch, unit),
                (IDLE if k in self.idle else change.of.paper)
                + f" {change.of.cause}" + (f" {change.note}" if change.note else ""),
            )
            for k, change in enumerate(self.made)
        ]  # fmt: skip

    def to_list(self) -> list[dict[str, Any]]:
        """The sheet as plain data, for garment.json."""
        return [
            {"sign": c.sign, "pinch": c.pinch, "date": c.date, "note": c.note, "idle": k in self.idle}
            for k, c in enumerate(self.made)
        ]


LAST = ("round upper back",)
"""Signs whose change is made after all others, as it cuts the shoulder in two."""

NONE = Changes()
"""A pattern as it was drafted."""


def today() -> str:
    return datetime.date.today().isoformat()


def read_change(row: Mapping[str, Any], *, name: str = "change") -> Change:
    """One change from plain data; what is missing or of the wrong kind is refused in words."""
    if not isinstance(row, Mapping) or not isinstance(row.get("sign"), str) or "pinch" not in row:
        raise ValueAtFault(name, "a line", "must name a sign and a pinch", "Write the sheet with its form.")
    pinch: Length = row["pinch"]
    return Change(
        row["sign"], read_length(pinch, name="pinch"), str(row.get("date", "")), str(row.get("note", ""))
    )


def load_changes(file: str | Path) -> Changes:
    """The sheet of a file that `save_changes` wrote; a file that cannot be read is a PatternError."""
    try:
        data = read_toml(Path(file))
    except PatternError as why:
        raise PatternError(
            f"the sheet of changes {Path(file).name} cannot be read: {why}. Write it again with its form."
        ) from None
    rows = data.get("change", [])
    if not isinstance(rows, list) or set(data) - {"change"}:
        raise PatternError(f"the sheet {Path(file).name} is no sheet of changes. Write it with its form.")
    return Changes(tuple(read_change(row) for row in rows))


def save_changes(changes: Changes, file: str | Path) -> None:
    """Write the sheet to a file, one block of lines for each change."""
    lines = ["# The sheet of changes of a pattern: lengths in cm. The form on the page writes this file."]
    for change in changes:
        lines += ["", "[[change]]", f"sign = {_quoted(change.sign)}", f"pinch = {change.pinch:g}"]
        lines += [f"date = {_quoted(change.date)}", f"note = {_quoted(change.note)}"]
    Path(file).write_text("\n".join(lines) + "\n", encoding="utf-8")


def _quoted(text: str) -> str:
    """Text as a basic string of TOML: one line, quotes and strokes marked."""
    one_line = " ".join(text.split())
    plain = "".join(c for c in one_line if c.isprintable())
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'

"""What a closed-in process says of one photograph, as plain typed data; all of it is checked."""

from __future__ import annotations

from math import isfinite
from typing import Annotated

import msgspec
from msgspec import Meta

from ..safe_text import folded

Distances = tuple[tuple[str, str, float], ...]
"""Between the crosses on two strips: their letters, and cm as the ruler says."""
Spot = tuple[float, float]
Text = Annotated[str, Meta(max_length=1000)]
MOST_FLAGS, MOST_LINES, MOST_PLACES = 200, 60, 2000
FARTHEST = 1000.0
"""cm"""
JPEG = b"\xff\xd8\xff"


class Asked(msgspec.Struct, frozen=True):
    """What the process is told: the class's key, the keys of students by folded id, and the distances that
    were measured between the strips of a draft, by `whose`."""

    key: str = ""
    keys: dict[str, str] = {}
    distances: dict[str, Distances] = {}


def whose(student: str, exercise: str) -> str:
    """The name under which a draft's measured lengths stand.

    >>> whose("Ada-L", "02a")
    'ada l;02a'
    """
    return f"{folded(student)};{exercise}"


class Seen(msgspec.Struct, frozen=True):
    """One photograph.

    sha256: of the file; fault, kind_of_fault: why it cannot be used, in a sentence and in a word; label: the
    text of its code; kind: 'sheet' or 'strips'; residual: mm; tilt: degrees; box: of the paper, cm; flags: by
    number, where they point; doubtful: numbers of flags that are not believed; lines: traced from flag to
    flag, by name; small, fine: the flat paper as JPEG, drawn again from its pixels, so that nothing that the
    camera noted is in it; fine_px: pixels a cm of the latter; distances: those between strips on which its
    size rests. All places are cm on the paper. settled:
    looking at it again would give the same.
    """

    sha256: Annotated[str, Meta(pattern="^[0-9a-f]{64}$")]
    fault: Text = ""
    kind_of_fault: Text = ""
    label: Text = ""
    kind: Text = ""
    residual: Annotated[float, Meta(ge=0.0, le=100.0)] = 0.0
    tilt: Annotated[float, Meta(ge=0.0, le=90.0)] = 0.0
    box: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    flags: Annotated[dict[int, Spot], Meta(max_length=MOST_FLAGS)] = {}
    doubtful: Annotated[list[Annotated[int, Meta(ge=0, le=MOST_FLAGS)]], Meta(max_length=MOST_FLAGS)] = []
    lines: Annotated[
        dict[Text, Annotated[list[Spot], Meta(max_length=MOST_PLACES)]], Meta(max_length=MOST_LINES)
    ] = {}
    small: bytes = b""
    fine: bytes = b""
    fine_px: Annotated[float, Meta(ge=0.0, le=400.0)] = 0.0
    settled: bool = True
    distances: Distances = ()

    @property
    def read(self) -> bool:
        """Whether there is anything to go on with."""
        return not self.fault


def checked(data: bytes, sha256: str) -> Seen | None:
    """What a process gave back, if it is of the right kind, about the right file and in its bounds."""
    try:
        seen = msgspec.json.decode(data, type=Seen)
    except (msgspec.MsgspecError, UnicodeError, RecursionError, ValueError):
        return None
    numbers = [*seen.box, *(v for spot in seen.flags.values() for v in spot)]
    numbers += [v for line in seen.lines.values() for spot in line for v in spot]
    if seen.sha256 != sha256 or not all(isfinite(v) and abs(v) <= FARTHEST for v in numbers):
        return None
    if any(picture and not picture.startswith(JPEG) for picture in (seen.small, seen.fine)):
        return None
    whole = seen.small and seen.box[0] < seen.box[2] and seen.box[1] < seen.box[3]
    return seen if seen.fault or whole else None

"""What running a notebook again gave."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass


@dataclass(frozen=True)
class Again:
    """records: the records it gave; second: those on a second set of measurements, None if not tried;
    because: ' because ...' where the run did not reach its end, else ''; settled: all cells were run to
    their end, so that running it again would give the same; lacking: a package of this computer that its
    cells need and the Python they ran in has not, '' where there is none."""

    records: tuple[bytes, ...]
    second: tuple[bytes, ...] | None = None
    because: str = ""
    settled: bool = True
    lacking: str = ""


def second_key(key: str) -> str:
    """The key of the second set of measurements that belongs to a class's key."""
    return "second " + hashlib.sha256(key.encode()).hexdigest()[:24]

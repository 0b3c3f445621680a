"""A file of named values that a person wrote (TOML): read whole, or answered with a sentence."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from .errors import PatternError

LARGEST = 100_000
"""bytes: the longest file that a learner writes is a hundredth of this."""
DEEPEST = 10
"""Tables and lists inside each other; the deepest file of the course, a rubric, needs five."""


def read_toml(path: Path, *, largest: int = LARGEST) -> dict[str, Any]:
    """What a file says. Raises PatternError with the reason, to stand behind the file's name."""
    try:
        if path.is_dir():
            raise PatternError("it is a folder, not a file")
        if path.stat().st_size > largest:
            raise PatternError(f"it is longer than {largest // 1000} kB, which is too long for such a file")
        data = path.read_bytes()
    except FileNotFoundError:
        raise PatternError(f"there is no such file in the folder '{path.parent}'") from None
    except OSError as fault:
        raise PatternError(f"it cannot be opened ({fault.strerror})") from None
    return parse_toml(data)


def parse_toml(data: bytes) -> dict[str, Any]:
    """What the bytes of a file say; raises PatternError with the reason.

    >>> parse_toml(b"hip_girth = 98")
    {'hip_girth': 98}
    >>> parse_toml(b"hip_girth 98")
    Traceback (most recent call last):
        ...
    patternlib.errors.PatternError: it is not written as name = value at line 1, column 11
    """
    try:
        found = tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise PatternError("it is not plain text. Save it as text in UTF-8") from None
    except tomllib.TOMLDecodeError as fault:
        raise PatternError(_where(f"{fault}")) from None
    except (RecursionError, MemoryError):
        raise PatternError("it is nested too deeply") from None
    except ValueError:
        raise PatternError("a number in it is far too long") from None
    if _depth(found) > DEEPEST:
        raise PatternError("it is nested too deeply")
    return found


def _where(fault: str) -> str:
    """What Python's reader of such files says, for people: the place, and a name that stands there twice."""
    place = re.search(r"\(at (?:line (\d+), column (\d+)|end of document)\)", fault)
    at = "" if place is None else " at its end"
    if place is not None and place[1]:
        at = f" at line {place[1]}, column {place[2]}"
    if "overwrite" in fault or "twice" in fault:
        return f"a name is given a second time{at}"
    return f"it is not written as name = value{at}"


def _depth(given: Any) -> int:
    """How many tables and lists lie inside each other; without recursion, which a deep file would end."""
    depth, level = 0, [given]
    while level:
        inside = [list(v.values()) if isinstance(v, dict) else v for v in level if isinstance(v, dict | list)]
        depth, level = depth + bool(inside), [v for values in inside for v in values]
    return depth

"""Parts of the library that need a package which may be missing, as in a browser: a sentence says so."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from .errors import PatternError

MAY_BE_MISSING = ("shapely", "numpy", "matplotlib", "ezdxf", "reportlab", "PIL", "spyrrow")
EXTRAS = {"cv2": ("photo", "opencv-python-headless"), "scipy": ("photo", "scipy")}
"""Packages that only an extra of the course brings, by the name they are imported under: the extra, and the
name they are installed under."""


class NotHere(PatternError, ImportError):
    """What was asked for needs a package that is not installed here."""


def extra_needed(what: str, package: str) -> str:
    """The sentence for a package of EXTRAS that is missing.

    >>> extra_needed("Reading a photograph", "cv2")[:82]
    'Reading a photograph needs the package opencv-python-headless, which is missing he'
    """
    extra, installed = EXTRAS[package]
    return (
        f"{what} needs the package {installed}, which is missing here. Install what is needed for it with "
        f'{python_here()} -m pip install ".[{extra}]" in the folder of the course (about 110 MB to download).'
    )


def python_here() -> str:
    """How the Python that runs now is called in a command, from the folder in which it was started.

    >>> python_here().rpartition("/")[2][:6]
    'python'
    """
    if not sys.executable:  # in a browser
        return "python"
    called = Path(sys.executable.removesuffix(".exe"))
    with suppress(ValueError):
        called = called.relative_to(Path.cwd())
    return f'"{called}"' if " " in str(called) else str(called)


@contextmanager
def said_if_missing(what: str) -> Iterator[None]:
    """Round an import: where its package is missing, NotHere says that `what` cannot be had here.

    >>> with said_if_missing("The picture of the lay"):
    ...     raise ModuleNotFoundError("No module named 'shapely'", name="shapely")
    Traceback (most recent call last):
        ...
    patternlib.not_here.NotHere: The picture of the lay needs the package shapely, which is missing here. \
Open this page in the course on a computer where the course is installed.
    """
    try:
        yield
    except ModuleNotFoundError as missing:
        package = (missing.name or "").partition(".")[0]
        if package in EXTRAS:
            raise NotHere(extra_needed(what, package)) from None
        if package not in MAY_BE_MISSING:
            raise
        raise NotHere(
            f"{what} needs the package {package}, which is missing here. Open this page in the course on a "
            "computer where the course is installed."
        ) from None

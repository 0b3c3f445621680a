"""Files of fixed content from the package registries: kept in a folder, checked by their hash."""

from __future__ import annotations

import base64
import hashlib
import io
import tarfile
import urllib.error
import urllib.request
from pathlib import Path

from ..errors import PatternError

SECONDS = 60


class Unreachable(PatternError):
    """A file cannot be fetched from here."""


def fetched(url: str, kept: Path, *, sha256: str = "", sha512: str = "") -> bytes:
    """The content behind an address, from the kept files where it lies there.

    kept: a folder; sha256: hexadecimal; sha512: base64, as the npm registry writes it. Raises Unreachable
    where it cannot be fetched, and PatternError for other content than the hash says.
    """
    path = kept / (hashlib.sha256(url.encode()).hexdigest()[:16] + "-" + url.rsplit("/", 1)[-1])
    if not path.is_file():
        try:
            with urllib.request.urlopen(url, timeout=SECONDS) as answer:
                data = answer.read()
        except (urllib.error.URLError, OSError) as fault:
            raise Unreachable(
                f"{url} cannot be reached: {fault}. Build the page on a computer that is online."
            ) from None
    else:
        data = path.read_bytes()
    for wanted, found in (
        (sha256, hashlib.sha256(data).hexdigest()),
        (sha512, base64.b64encode(hashlib.sha512(data).digest()).decode()),
    ):
        if wanted and wanted != found:
            path.unlink(missing_ok=True)
            raise PatternError(
                f"{url} gave something else than this course needs. Nothing of it was used; try again."
            )
    if not path.is_file():
        kept.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return data


def files_of(package: bytes) -> dict[str, bytes]:
    """The files of a package of the npm registry, by their path without the leading 'package/'."""
    with tarfile.open(fileobj=io.BytesIO(package), mode="r:gz") as archive:
        return {
            member.name.removeprefix("package/"): archive.extractfile(member).read()  # type: ignore[union-attr]
            for member in archive
            if member.isfile()
        }

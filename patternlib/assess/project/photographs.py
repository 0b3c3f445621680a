"""Photographs of a project: made smaller, without place, time and camera, beside the notebook."""

from __future__ import annotations

import base64
import binascii
import io
from pathlib import Path

from ...errors import PatternError
from ..safe_text import file_stem

FOLDER = "photographs"
LONGEST_SIDE = 1600
"""pixels."""
MOST_BYTES = 12_000_000


def put_photograph(name: str, data: str, folder: Path) -> str:
    """Write a picture, given as base64, into the folder `photographs`; returns the name of its file.

    It is drawn again from its points alone, so that nothing that the camera noted goes along. Raises
    PatternError where it is no picture or cannot be written.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        raw = base64.b64decode(data, validate=True)
        if len(raw) > MOST_BYTES:
            raise PatternError("This picture is too large. Take a smaller one.")
        with Image.open(io.BytesIO(raw)) as opened:
            opened.thumbnail((4 * LONGEST_SIDE, 4 * LONGEST_SIDE))
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (binascii.Error, UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError):
        raise PatternError("This is no picture that can be read. Take a JPEG or a PNG.") from None
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    clean = Image.new("RGB", upright.size)
    clean.paste(upright)
    stem = file_stem(name.rpartition(".")[0] or name)[:60]
    path = folder / FOLDER / f"{stem}.jpg"
    try:
        path.parent.mkdir(exist_ok=True)
        clean.save(path, "JPEG", quality=85)
    except OSError as fault:
        raise PatternError(
            f"The picture cannot be written into '{path.parent}' ({fault.strerror})."
        ) from None
    return path.name

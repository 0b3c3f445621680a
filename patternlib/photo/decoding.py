"""A picture file made into pixels, after its kind and size have been read from its first bytes.

A small file can stand for a picture of any size. So the size is read without decoding, and what is too
large is refused before memory is taken for it.
"""

from __future__ import annotations

import struct
from typing import Any

from ..not_here import said_if_missing
from . import faults

MOST_BYTES = 40_000_000
MOST_PIXELS = 64_000_000
"""Of a JPEG file; above WHOLE it is decoded at half its size."""
MOST_PNG_PIXELS = 25_000_000
"""A PNG file can only be decoded whole."""
WHOLE = 17_000_000
LEAST_SIDE = 300

_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
"""JPEG segments that state the size of the picture [ITU-T T.81, table B.1]."""
_KNOWN = (
    (b"%PDF", "PDF"),
    (b"PK\x03\x04", "zip"),
    (b"GIF8", "GIF"),
    (b"BM", "BMP"),
    (b"II*\x00", "TIFF"),
    (b"MM\x00*", "TIFF"),
    (b"RIFF", "WebP"),
)


def picture_size(data: bytes) -> tuple[str, int, int]:
    """The kind of a picture file ('jpeg' or 'png') and its width and height in pixels, without decoding it.

    Raises PhotoFault where it is no such file.

    >>> picture_size(b"hello")
    Traceback (most recent call last):
        ...
    patternlib.photo.faults.PhotoFault: This file is no picture. Choose the JPEG or PNG file that \
the camera saved.
    """
    if data[:8] == b"\x89PNG\r\n\x1a\n":
        if len(data) < 24 or data[12:16] != b"IHDR":
            raise faults.no_picture("broken")
        return ("png", *struct.unpack(">II", data[16:24]))
    if data[:2] == b"\xff\xd8":
        return ("jpeg", *_jpeg_size(data))
    if data[4:8] == b"ftyp" and data[8:12] in (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"avif"):
        raise faults.no_picture("heic")
    raise faults.no_picture(next((kind for head, kind in _KNOWN if data.startswith(head)), ""))


def _jpeg_size(data: bytes) -> tuple[int, int]:
    at = 2
    while at + 9 < len(data) and data[at] == 0xFF:
        kind = data[at + 1]
        if kind == 0xFF:  # a byte that only fills up
            at += 1
        elif kind in _FRAMES:
            high, wide = struct.unpack(">HH", data[at + 5 : at + 9])
            return wide, high
        elif kind in (0x01, *range(0xD0, 0xD8)):
            at += 2
        else:
            at += 2 + max(2, struct.unpack(">H", data[at + 2 : at + 4])[0])
    raise faults.no_picture("broken")


def decode(data: bytes) -> Any:
    """The pixels of a JPEG or PNG file, upright as its camera held it: an array (height, width, 3).

    Raises PhotoFault for other files and for pictures too large or too small, NotHere without the package.
    """
    if len(data) > MOST_BYTES:
        raise faults.too_large(f"{len(data) / 1e6:.0f} MB", f"{MOST_BYTES / 1e6:.0f} MB")
    kind, wide, high = picture_size(data)
    most = MOST_PIXELS if kind == "jpeg" else MOST_PNG_PIXELS
    if wide * high > most:
        raise faults.too_large(f"{wide * high / 1e6:.0f} million pixels", f"{most / 1e6:.0f} million")
    if min(wide, high) == 0:
        raise faults.no_picture("broken")
    if min(wide, high) < LEAST_SIDE:
        raise faults.too_small()
    with said_if_missing("Reading a photograph"):
        import cv2
        import numpy as np
    how = cv2.IMREAD_COLOR if wide * high <= WHOLE else cv2.IMREAD_REDUCED_COLOR_2
    try:
        pixels = cv2.imdecode(np.frombuffer(data, np.uint8), how)
    except cv2.error:
        pixels = None
    if pixels is None:
        raise faults.no_picture("broken")
    return pixels

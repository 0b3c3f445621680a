"""What can be wrong with a photograph of a draft: a sentence for each, with what to do next.

>>> raise blurred()
Traceback (most recent call last):
    ...
patternlib.photo.faults.PhotoFault: The picture is blurred. Wipe the lens, hold the telephone still, in good \
light, tap on the paper to focus, and take it again.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import PatternError


class PhotoFault(PatternError):
    """A photograph that cannot be used; kind: one word for the fault, the text says what to do."""

    def __init__(self, kind: str, said: str):
        self.kind = kind
        super().__init__(said)

    def __reduce__(self) -> tuple:
        return type(self), (self.kind, str(self))


def no_picture(found: str = "") -> PhotoFault:
    """found: what the file is, where it is known."""
    if found == "heic":
        said = (
            "This is a picture in the HEIC format, which cannot be read here. In the settings of the "
            "telephone's camera choose JPEG ('most compatible'), or send the picture to yourself as JPEG."
        )
    elif found == "broken":
        said = "The picture is damaged or not complete. Copy it from the telephone again."
    elif found:
        said = f"This is a {found} file, not a photograph. Choose the JPEG or PNG file that the camera saved."
    else:
        said = "This file is no picture. Choose the JPEG or PNG file that the camera saved."
    return PhotoFault("no picture", said)


def too_large(what: str, most: str) -> PhotoFault:
    return PhotoFault(
        "too large",
        f"The picture has {what}; at most {most} can be read. Take it with the camera's usual setting, "
        "about 12 million pixels.",
    )


def too_small() -> PhotoFault:
    return PhotoFault(
        "too small",
        "The picture shows the paper too small to read it to a millimetre. Send the original file, not one "
        "from a chat, and fill the picture with the paper.",
    )


def no_markers() -> PhotoFault:
    return PhotoFault(
        "no markers",
        "No printed markers are seen. Photograph a printed worksheet with its whole rim, or a draft with the "
        "marker strips laid round it, in good light.",
    )


def blurred() -> PhotoFault:
    return PhotoFault(
        "blurred",
        "The picture is blurred. Wipe the lens, hold the telephone still, in good light, tap on the paper to "
        "focus, and take it again.",
    )


def mirrored() -> PhotoFault:
    return PhotoFault(
        "mirrored",
        "The picture is mirrored, as some front cameras save it. Use the main camera on the back of the "
        "telephone, or turn mirroring off.",
    )


def cut_off(sides: Sequence[str]) -> PhotoFault:
    """sides: of the picture, where paper is missing."""
    where = " and ".join(sides)
    return PhotoFault(
        "cut off",
        f"The page is cut off at the {where} of the picture. Go back a little, until all markers of the "
        "rim are in the picture.",
    )


def covered(where: Sequence[str]) -> PhotoFault:
    """where: on the page or on which strip markers are missing."""
    return PhotoFault(
        "covered",
        f"Markers are not seen {_listed(where)}. Take away what lies on them, and any shadow or glare, and "
        "photograph again; if they are drawn over or worn, print the page again.",
    )


def tilted(degrees: float) -> PhotoFault:
    return PhotoFault(
        "tilted",
        f"The telephone was held about {degrees:.0f} degrees off level. Hold it level above the middle of "
        "the paper: up to 20 degrees are good, over 25 degrees are not read.",
    )


def not_flat(mm: float) -> PhotoFault:
    return PhotoFault(
        "not flat",
        f"The paper is not flat: its rim lies {mm:.1f} mm off where it should be, at most 0.4 mm are good. "
        "Tape or weigh it down at the corners, press folds out, and photograph again.",
    )


def other_scale(share: float) -> PhotoFault:
    """share: printed length as a part of the true one."""
    return PhotoFault(
        "other scale",
        f"The page is printed at {100 * share:.1f} % of its size. Print it again at 100 % ('actual size', "
        "not 'fit to page'), and measure the test line: it must be 15 cm long.",
    )


def two_sheets() -> PhotoFault:
    return PhotoFault(
        "two sheets",
        "More than one printed page is seen, and it is not clear which is meant. Photograph one page at a "
        "time: turn the others over; of pages that are joined let one fill the picture.",
    )


def few_strips(names: Sequence[str]) -> PhotoFault:
    """names: of the strips that are seen."""
    return PhotoFault(
        "few strips",
        f"Only {_listed([f'strip {name}' for name in names])} can be read. Lay at least four strips round "
        "the draft, the whole of each in the picture, and tape them down.",
    )


def strips_together() -> PhotoFault:
    return PhotoFault(
        "strips together",
        "The strips lie together in one place, so that the rest of the draft cannot be measured. Cut the "
        "page into its four strips, lay one on each side of the draft, and tape them down.",
    )


def other_size(share: float) -> PhotoFault:
    """share: printed length of the strips as a part of the true one, from the distances typed."""
    return PhotoFault(
        "other scale",
        f"By the distances typed, the strips are printed at {100 * share:.1f} % of their size. Measure the "
        "distances again; if they are right, print the strips again at 100 % ('actual size', not 'fit to "
        "page').",
    )


def wrong_distances(cm: float | None) -> PhotoFault:
    """cm: how far they are off, where that is known."""
    off = "" if cm is None else f": they are off by {cm:.1f} cm"
    return PhotoFault(
        "wrong distances",
        f"The distances typed do not fit the picture{off}. Measure from cross to "
        "cross on the strips again, with the ruler that drew the draft, and check the letters.",
    )


def no_such_distance(name: str, seen: Sequence[str]) -> PhotoFault:
    return PhotoFault(
        "wrong distances",
        f"A distance is given from strip {name}, which is not in the picture. Measure between two of the "
        f"strips {', '.join(seen)}.",
    )


def off_paper() -> PhotoFault:
    return PhotoFault(
        "off the paper",
        "This place is outside the part of the paper that can be measured. Choose one inside the printed "
        "markers.",
    )


def no_line() -> PhotoFault:
    return PhotoFault(
        "no line",
        "No pencil line is found from one place to the next. Tap on both ends of the line, and on one or two "
        "places between them where it bends.",
    )


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]

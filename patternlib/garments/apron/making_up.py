"""How the apron is made up and closed: its straps, its ties and the way out for the tie that lies below."""

from __future__ import annotations

from collections.abc import Mapping

LAID_ON = 3.0
"""cm of each strap end that is stitched on the apron (common practice, no source)."""

WAY_OUT, ROUND_TIE = 1.5, 1.0
"""cm from the upper edge down to the opening in the side seam through which the tie of the back that lies
below comes out, and what this opening is longer than the tie is wide (common practice, no source)."""

FACED_BELOW = 1.5
"""cm that the bib's facing reaches down the side below this opening (common practice, no source)."""


def way_out(v: Mapping[str, float]) -> tuple[float, float]:
    """Upper and lower end of the tie's opening, cm down the side seam from the upper edge."""
    return WAY_OUT, WAY_OUT + v["tie_width"] + ROUND_TIE


MAKING: Mapping[tuple[str, str] | str, str] = {
    "bib side to facing": "Snip the hollow every 1 cm, to 2 mm from the seam. Understitch the facing as "
    "far as the machine comes, press, and topstitch side and top at 5 mm. Tack the ends of the facing to "
    "the sides of the front panel.",
    "side seam": "Begin exactly where both upper edges end, and sew three stitches back. The ends of the "
    "facing are caught in this seam. On the wearer's right leave it open between the two upper notches: the "
    "tie of the left back comes out there. Press the allowances apart, topstitch round the opening, and "
    "make a bar tack at both its ends.",
    (
        "back panel",
        "back edge",
    ): "Before you turn it, snip into the allowance at the foot of the tie "
    "seat, to the line: above the snip it stays flat for the tie.",
    "tie to back panel": "Press the allowances onto the back panel, turn their raw edges under, and stitch a "
    "square with a cross on them, through all layers: it carries the pull.",
    ("pocket", "opening"): "Stitch the line that parts it, and make a bar tack at both ends of the opening "
    "and at the upper end of the line: tools pull there.",
    ("strap", "lower end"): f"Lay the lower end {LAID_ON:g} cm deep on the inside of the bib's top, cross "
    f"the straps on the back, and pin the upper end {LAID_ON:g} cm deep on the inside of the other back. Try "
    "the apron on. Then stitch a square with a cross in it at both ends: it carries the pull.",
}
"""What is also done in a step (common practice, no source)."""

TIED = (
    "Put it on: lay the left back on the body, pass its tie from the inside out through the opening in the "
    "right side seam, and lay the right back over it. Bring both ties to the front, knot them short and tuck "
    "the ends in."
)
"""How it closes."""

"""What a step of the making is called in the trade: its seam, its stitch, and what to take care of."""

from __future__ import annotations

from collections.abc import Iterable

from ..garments.base import Garment
from ..pieces import Seam
from .order import SewingStep

STANDARD = (
    "Numbers in brackets are classes of ISO 4915 (stitches) and ISO 4916 (seams), given from memory: "
    "look them up before you rely on them. 301 is the lockstitch, 304 the zigzag lockstitch, 504 the "
    "three-thread overedge stitch."
)
"""What the numbers in `finish_of` mean."""

TOOLS = (
    "Tools: shears for cloth, small scissors, pins or clips, tailor's chalk, tape measure, seam "
    "ripper, iron and pressing board, a machine that sews a straight stitch and a zigzag. For work "
    "cloth such as a medium canvas or drill take a needle of size 90 to 100, all-purpose polyester "
    "thread and a stitch of 2.5 to 3 mm (common practice, no source). Try needle, thread and stitch "
    "on a scrap first."
)
"""What is needed to sew, in words."""

BEFORE = (
    "Wash and press the cloth before you cut it. Cut each notch as a slit of 2 mm, prick the drill "
    "holes, and write right and left on the wrong side of what is cut as a pair. Press the fusing on "
    "before you sew, its glue side on the wrong side of the piece. Press each seam before another one "
    "crosses it."
)
"""What is done before the first seam, and after each (common practice, no source)."""

CARE = (
    "Iron: steam burns. Keep your other hand out of the steam, stand the iron up, switch it off when "
    "you leave.",
    "Blades: cut away from your hand. Open a buttonhole with a pin set across its end, so that the "
    "ripper stops.",
    "Needles: stop the machine before you reach near the needle; take out each pin before it comes to"
    " the foot. Throw broken needles away in a closed box.",
    "The rules of your workplace and your country go first; where they differ from this page, they "
    "are right.",
)
"""Cautions for the sewing room."""

WORN = {
    "pinafore": (
        "Worn at work: the straps end in their slides and no end hangs loose. Check this before "
        "you go to a turning wheel or a hot kiln, and keep the cloth away from kiln and flame."
    ),
    "apron": (
        "Worn at work: knot the ties short and tuck the ends in. A loose tie or strap can be caught "
        "by a turning wheel or touch a hot kiln."
    ),
    "smock": (
        "Worn at work: roll the sleeves up, clear of the wrist. A loose sleeve can be "
        "drawn in by a turning wheel or catch at a kiln door."
    ),
}
"""Cautions for the one who wears it, by garment."""


def finish_of(garment: Garment, step: SewingStep) -> str:
    """The trade's name of a step's seam or edge finish, with its classes (from memory).

    >>> from patternlib import chart, make
    >>> from patternlib.making import sewing_order
    >>> apron = make("apron", chart("course").body("12"))
    >>> finish_of(apron, sewing_order(apron)[0])
    'hem turned twice, stitched close to its inner fold [seam 6.03, stitch 301]'
    """
    garment = garment.half or garment
    if step.kind == "turn":
        turns = {_edge(garment, place).turn for place in step.edges}
        if "hem" in turns:
            return "hem turned twice, stitched close to its inner fold [seam 6.03, stitch 301]"
        return "edge folded once and stitched [seam 6.02, stitch 301]"
    if step.kind == "patch":
        return "patch with pressed edges, edge stitched 2 mm from the fold [seam 5.31, stitch 301]"
    if step.kind == "close":
        return "folded edge laid on the seam and edge stitched [stitch 301]"
    if step.kind == "fit":
        return _fastened(garment)
    return _seamed(garment, step)


def _seamed(garment: Garment, step: SewingStep) -> str:
    """The name of a seam by what it joins."""
    by_name = {seam.name: seam for seam in garment.seams}
    seams = [by_name[name] for name in step.seams]
    pieces = {p for seam in seams for p, _ in (*seam.a, *seam.b)}
    facings = {p for p in pieces if "facing" in p}
    if pieces == {"collar"}:
        return "plain seam, trimmed, turned and topstitched [seam 1.06, stitch 301]"
    if pieces == facings:
        return "plain seam, pressed open [seam 1.01, stitch 301]"
    if "sleeve" in pieces and len(pieces) > 1:
        return "plain seam, the cap eased in [seam 1.01, stitch 301; edges as one: stitch 504 or 304]"
    held = next((p for p in pieces if sum(p in {q for q, _ in s.a} & {q for q, _ in s.b} for s in seams)), "")
    if held and len(pieces) > 1:
        return f"plain seam between two layers of the {held} [seam 1.01, stitch 301]"
    if facings and any(_both(garment.seams, f, pieces) - set(step.seams) for f in facings if len(seams) > 1):
        return "plain seam through all layers [seam 1.01, stitch 301]"
    if facings and any(len(_both(seams, f, pieces)) > 1 for f in facings):
        return "plain seam with a facing, turned right side out [seam 1.01, stitch 301]"
    if facings:
        return "plain seam; the facing is turned in [seam 1.01, stitch 301]"
    return "plain seam [seam 1.01, stitch 301]; raw edges that stay open are neatened [stitch 504 or 304]"


def _both(seams: Iterable[Seam], facing: str, pieces: set[str]) -> set[str]:
    """Seams along which a facing is sewn, edge on edge, to one other piece of a step that is no facing."""
    sides = {s.name: ({p for p, _ in s.a}, {p for p, _ in s.b}) for s in seams}
    other = {p for p in pieces if "facing" not in p}
    return {name for name, (a, b) in sides.items() if {facing} in (a, b) and (a | b) - {facing} <= other}


def _fastened(garment: Garment) -> str:
    """How the last step fastens the garment."""
    bought = " ".join(garment.notions)
    if "button" in bought:
        return "buttonholes and buttons [stitch 304]"
    if "press fastener" in bought:
        return "press fasteners, set with their tool"
    return "fittings sewn on [stitch 301]" if garment.fittings else "tied: nothing is sewn in this step"


def _edge(garment: Garment, place: tuple[str, str]):
    return garment.piece(place[0]).edge(place[1])

"""The signs of a toile: what is seen on the body, why, what is pinched, and what is done on paper.

Signs, causes and corrections are facts of the sources named with each; the words are our own. Where a source
says 'common practice', the figure or the way comes from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from ..draft import Draft
from ..errors import PatternError, ValueAtFault, look_up
from ..notebook import Told, told
from . import bust, lengths_and_girths, shoulder_and_back, skirt_waist
from .paper import Altered

WSU = "Washington State University Extension, E.M. 2246, 1962, Garment Fitting"
USDA = "US Department of Agriculture, bulletin Fitting Dresses"
ICAR = "ICAR e-Courses, textile and apparel: fitting"
NMSU = "New Mexico State University, Guide C-228, Pattern Alteration"
MONTANA = "Montana State College Extension, bulletin 265, 1950"
CWU = "Central Washington University, costume text, ch. 17"
CUSTOM = "common practice, from memory"

Move = Callable[[Draft, float], Altered]


@dataclass(frozen=True)
class Sign:
    """One sign of a toile.

    name: in a word or two; seen: what shows on the body; cause: why; pinch: what is pinned and measured, cm;
    paper: what is done on the paper; source: of sign and correction; bodice, skirt: what is done to each
    block, called with the block and cm, None where it stays; factor: what the pinch is multiplied with;
    most, start: the largest pinch and the one that a board starts with, cm; upper_edge: how much narrower the
    upper edge of a bib becomes for each cm; measures: {measure of the body: cm for each cm of the pinch},
    what the change says about the body, so that a garment's starting values follow; side: 'right' or 'left'
    of the wearer where one half alone is changed, '' where both are.
    """

    name: str
    seen: str
    cause: str
    pinch: str
    paper: str
    source: str
    bodice: Move | None = None
    skirt: Move | None = None
    factor: float = 1.0
    most: float = 3.0
    start: float = 1.0
    upper_edge: float = 0.0
    measures: tuple[tuple[str, float], ...] = ()
    side: str = ""

    def altered(self, block: Draft, pinch: float) -> Altered | None:
        """What becomes of a block; None where this sign changes nothing of it."""
        move = self.skirt if "side hip" in block else self.bodice
        if move is None:
            return None
        try:
            return move(block, self.factor * pinch)
        except ValueAtFault as fault:
            name = "pinch" if fault.name == "amount" else fault.name
            raise ValueAtFault(name, pinch, fault.rule, fault.advice) from None


_length, _girth = lengths_and_girths.length, lengths_and_girths.girth
_at_bust, _at_waist, _at_hip = (partial(_girth, at=at) for at in ("bust", "waist", "hip"))
_shoulder, _fullness, _height = shoulder_and_back.shoulder, bust.fullness, bust.height
_long = (("back_waist_length", 1.0), ("front_waist_length", 1.0))

SIGNS = (
    Sign(
        "bodice too short", "The waist of the bodice lies above her waist, all the way round.",
        "She is longer between armhole and waist than the draft.",
        "Tie a tape round her waist and measure from the seam down to it.",
        "Cut across back and front between armhole and waist and move the paper apart.", CWU,
        bodice=_length, measures=_long,
    ),
    Sign(
        "bodice too long", "Level folds lie all the way round just above the waist.",
        "She is shorter between armhole and waist than the draft.",
        "Pin one level fold all the way round and measure all that it takes up, both layers.",
        "Fold back and front across between armhole and waist.", CWU,
        bodice=_length, factor=-1.0, measures=tuple((name, -by) for name, by in _long),
    ),
    Sign(
        "skirt too short", "The hem is level but too high.", "The skirt is shorter than wanted.",
        "Measure from the hem down to where it is wanted.",
        "Cut across every long piece below the hip and move the paper apart.", CWU,
        skirt=_length, most=12.0, start=3.0,
    ),
    Sign(
        "skirt too long", "The hem is level but too low.", "The skirt is longer than wanted.",
        "Pin the hem up level and measure what is turned up.", "Fold every long piece across below the hip.",
        CWU, skirt=_length, factor=-1.0, most=12.0, start=3.0,
    ),
    Sign(
        "bust too tight", "Level creases run across the bust from one side seam to the other.",
        "There is too little girth at the bust, back and front.",
        "Open the side seams under the arm, let them lie flat, and measure both gaps together.",
        "Share it between the four edges of the side seams; the waist keeps its girth.", ICAR,
        bodice=_at_bust, most=6.0, start=2.0, measures=(("bust_girth", 1.0),),
    ),
    Sign(
        "bust too loose", "Loose upright folds hang under both arms.",
        "There is too much girth at the bust, back and front.",
        "Pin the same fold at both side seams and measure both folds together, all layers.",
        "Share it between the four edges of the side seams; the waist keeps its girth.", ICAR,
        bodice=_at_bust, factor=-1.0, most=6.0, start=2.0, measures=(("bust_girth", -1.0),),
    ),
    Sign(
        "waist too tight", "Level creases lie at the waist, or the fastening does not close.",
        "There is too little girth at the waist.",
        "Open the side seams at the waist and measure both gaps together.",
        "Share it between the edges of the side seams of bodice and skirt, which still meet at the waist.",
        ICAR, bodice=_at_waist, skirt=_at_waist, most=8.0, start=2.0, measures=(("waist_girth", 1.0),),
    ),
    Sign(
        "waist too loose", "The waist stands off and upright folds fall from it.",
        "There is too much girth at the waist.",
        "Pin the same fold at both side seams and measure both folds together, all layers.",
        "Share it between the edges of the side seams of bodice and skirt, which still meet at the waist.",
        ICAR, bodice=_at_waist, skirt=_at_waist, factor=-1.0, most=8.0, start=2.0,
        measures=(("waist_girth", -1.0),),
    ),
    Sign(
        "hip too tight", "Level creases lie across the hip and the skirt rides up all the way round.",
        "There is too little girth at the hip.",
        "Open the side seams at the hip and measure both gaps together.",
        "Share it between the four edges of the side seams from the hip to the hem; the waist stays.", ICAR,
        skirt=_at_hip, most=8.0, start=2.0, measures=(("hip_girth", 1.0),),
    ),
    Sign(
        "hip too loose", "Loose upright folds hang from the hip.", "There is too much girth at the hip.",
        "Pin the same fold at both side seams and measure both folds together, all layers.",
        "Share it between the four edges of the side seams from the hip to the hem; the waist stays.", ICAR,
        skirt=_at_hip, factor=-1.0, most=8.0, start=2.0, measures=(("hip_girth", -1.0),),
    ),
    Sign(
        "square shoulders",
        "Slanting creases run from the tips of the shoulders toward the centre; the seam stands off at "
        "the neck.",
        "The shoulders are squarer than the draft.",
        "Open the shoulder seam at the tip until the creases are gone, and measure the gap.",
        "Raise the tips of back and front by half of the gap each, and the whole armhole as much.", WSU,
        bodice=_shoulder, factor=0.5, most=4.0, measures=(("shoulder_drop", -0.5),),
    ),
    Sign(
        "sloping shoulders", "Slanting folds run from the neck down toward the armhole.",
        "The shoulders slope more than the draft.",
        "Pin the fold along the seam at the tip and measure all that it takes up.",
        "Lower the tips of back and front by half of it each, and the whole armhole as much.", CUSTOM,
        bodice=_shoulder, factor=-0.5, most=4.0, measures=(("shoulder_drop", 0.5),),
    ),
    Sign(
        "round upper back", "The cloth draws across the blades and the neck of the back stands off.",
        "The upper back is rounder than the draft: it is too short there.",
        "Cut the toile across at the blades, let it open, and measure the gap at the centre back.",
        "Slash the back across the blades and raise the neck; the shoulder gets a small dart over the blade.",
        MONTANA, bodice=shoulder_and_back.round_back, measures=(("back_waist_length", 1.0),),
    ),
    Sign(
        "erect back", "The back sags in soft folds below the shoulder blades.",
        "She stands very straight: the length between nape and blades is not used.",
        "Pin a level fold at the centre back above the blades and measure all that it takes up.",
        "Take up the back shoulder seam at the neck end; nape and neckline go down as much.", USDA,
        bodice=shoulder_and_back.erect_back, most=2.5, measures=(("back_waist_length", -0.5),),
    ),
    Sign(
        "hollow back, bodice", "Level folds lie at the centre back just above the waist.",
        "The back is hollow: its length above the waist is not used.",
        "Pin a level fold there that runs out at the sides, and measure all that it takes up in the middle.",
        "Fold it out of the centre back, running out at the side seam.", USDA,
        bodice=shoulder_and_back.hollow_above_waist, most=2.5,
        measures=(("back_waist_length", -1.0),),
    ),
    Sign(
        "full bust", "The cloth draws toward the bust points; the waist rides up in front, the armholes "
        "gape.",
        "The bust is fuller than the draft: width and length are missing there.",
        "Cut the front open from the dart over the bust point to the waist and measure the gap at the bust.",
        "Slash and spread the front through the bust point, as much in length as in width; the dart opens "
        "wider.",
        NMSU + "; " + CUSTOM, bodice=_fullness, most=2.5,
        measures=(("bust_girth", 2.0), ("front_waist_length", 1.0)),
    ),
    Sign(
        "flat bust", "The front sags in folds over and below the bust.",
        "The bust is flatter than the draft: width and length are not used there.",
        "Pin an upright fold through the bust point and measure all that it takes up there, on one side.",
        "Fold the front out through the bust point, in width and in length; the dart becomes narrower.",
        USDA, bodice=_fullness, factor=-1.0, most=2.0,
        measures=(("bust_girth", -2.0), ("front_waist_length", -1.0)),
    ),
    Sign(
        "low bust", "The dart ends above the bust, and the cloth is strained below its point.",
        "The bust point lies lower than on the draft.",
        "Mark her bust point on the toile and measure down to it from the point that was drafted.",
        "Lower the bust point and draw both darts to it.", CUSTOM,
        bodice=_height, most=4.0, start=2.0, measures=(("neck_to_bust", 1.0),),
    ),
    Sign(
        "high bust", "The dart ends below the bust and makes an empty point there.",
        "The bust point lies higher than on the draft.",
        "Mark her bust point on the toile and measure up to it from the point that was drafted.",
        "Raise the bust point and draw both darts to it.", CUSTOM,
        bodice=_height, factor=-1.0, most=3.0, measures=(("neck_to_bust", -1.0),),
    ),
    Sign(
        "armhole gapes", "The front armhole stands off the body halfway up, and nothing else draws.",
        "The armhole is longer than the way round the hollow beside the bust.",
        "Pin a fold at the armhole that runs out toward the bust point and measure all that it takes up.",
        "Fold it out of the armhole to the bust point; the bust dart opens by the same angle.", CUSTOM,
        bodice=bust.gaping_armhole, most=1.5,
    ),
    Sign(
        "full seat", "The skirt rides up at the back and the hem lifts there.",
        "The seat is fuller than the draft: the back is too short over it.",
        "Let the skirt down at the centre back until the hem is level, and measure how far.",
        "Raise the waist at the centre back; give half as much width, taken up by the dart.", CUSTOM,
        skirt=skirt_waist.seat, most=4.0,
    ),
    Sign(
        "flat seat", "The back hangs in folds below the seat and the hem drops there.",
        "The seat is flatter than the draft: the back is too long and too wide over it.",
        "Pin a level fold at the centre back that runs out at the sides, and measure all that it takes up.",
        "Lower the waist at the centre back; take out half as much width, and so much from the dart.", CUSTOM,
        skirt=skirt_waist.seat, factor=-1.0, most=2.5,
    ),
    Sign(
        "hollow back, skirt", "Level folds lie at the centre back just below the waist.",
        "The back is hollow: the skirt is too long there above the hip.",
        "Pin a level fold at the centre back that runs out at the sides, and measure all that it takes up.",
        "Lower the waist at the centre back, running out at the side.", CUSTOM,
        skirt=skirt_waist.hollow_back, most=3.0,
    ),
    Sign(
        "full abdomen", "The skirt rides up in front; the front hem lifts and the side seams swing forward.",
        "The abdomen is fuller than the draft: the front is too short over it.",
        "Let the skirt down at the centre front until the hem is level, and measure how far.",
        "Raise the waist at the centre front; the front darts are made smaller.", CUSTOM,
        skirt=skirt_waist.abdomen, most=4.0,
    ),
    *(
        Sign(
            f"{side} hip higher", f"The hem lifts at the {side} side and creases slant from that hip.",
            f"Her {side} hip is higher than the other one.",
            "Let the skirt down at that side until the hem is level, and measure how far.",
            "Raise the waist at that side only; both halves of the pattern are drawn.", CUSTOM,
            skirt=skirt_waist.higher_hip, side=side,
        )
        for side in ("right", "left")
    ),
    Sign(
        "side seam swings forward", "The side seam hangs straight to the hip and swings forward below it.",
        "The back quarter flares more than the front one.",
        "Hang a weight on a thread from the hip and measure from the seam back to it at the hem.",
        "Move the foot of the seam back: the front gains what the back loses.", CUSTOM,
        skirt=skirt_waist.swing, most=2.5,
    ),
    Sign(
        "side seam swings back", "The side seam hangs straight to the hip and swings to the back below it.",
        "The front quarter flares more than the back one.",
        "Hang a weight on a thread from the hip and measure from the seam forward to it at the hem.",
        "Move the foot of the seam forward: the back gains what the front loses.", CUSTOM,
        skirt=skirt_waist.swing, factor=-1.0, most=2.5,
    ),
    Sign(
        "upper edge gapes", "The top of the bib stands off the chest.",
        "The upper edge is longer than the way across the body there.",
        "Pin a fold at each end of the bib's top that runs out at the waist; measure both together, all "
        "layers.",
        "Make the bib narrower at its top by so much, running out at the waist.", CUSTOM,
        factor=1.0, most=4.0, upper_edge=1.0,
    ),
)  # fmt: skip
"""Every sign that is taught, in the order of the board."""

BY_NAME = {sign.name: sign for sign in SIGNS}


def on_paper(name: str, pinch: float, *blocks: Draft, unit: str = "cm") -> Told:
    """The steps of a sign's correction on blocks, as a list; a refusal is told in their place.

    >>> from patternlib.blocks import skirt_block
    >>> on_paper("hollow back, skirt", 1, skirt_block("12"))  # doctest: +ELLIPSIS
    · From centre back waist, before go down 1 cm (pinched): mark centre back waist, because ...
    """
    try:
        made = [sign(name).altered(block, pinch) for block in blocks]
    except PatternError as fault:
        return told(f"On these measures: {fault}")
    read = [altered.read(unit) for altered in made if altered is not None]
    return sum(read[1:], start=read[0]) if read else told("Nothing is changed on these blocks.")


def sign(name: str) -> Sign:
    """A sign by its name. Raises UnknownName.

    >>> sign("square shoulders").pinch
    'Open the shoulder seam at the tip until the creases are gone, and measure the gap.'
    """
    return look_up("sign", name, BY_NAME)

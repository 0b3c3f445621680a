"""Common mistakes of lessons 1 to 5: measures, blocks, darts, lines that meet."""

import math

from .....blocks.skirt import SIDE_SHARE
from .....geometry import Point
from .....units import CM_PER_INCH
from ...mistakes import (
    Mistake,
    done,
    ease_undivided,
    giving,
    measuring,
    right_measure,
    scaled,
    stays,
    taken,
    value,
)  # fmt: skip


def _eighths(work, numbers):
    whole = math.floor(work["waist read in inches"])
    return CM_PER_INCH * (whole + (work["waist read in inches"] - whole) * 8 / 10)


def _below_a_leg(step, work, terms, numbers):
    return giving(step, Point(work[step.inputs[1]].x, work.done(step).y))


def _leans_other_way(step, work, terms, numbers):
    return done(options={"way": -step.options["way"] % 360})(step, work, terms, numbers)


def _chord(step, work, terms, numbers):
    curve = work[step.inputs[0]]
    return giving(step, curve.start.distance(curve.end))


def _about(pin):
    def change(step, work, terms, numbers):
        return done(inputs=(step.inputs[0], pin))(step, work, terms, numbers)

    return change


def _opened_by_the_mouth(step, work, terms, numbers):
    start = work[step.inputs[0]]
    return giving(step, start.toward(work.done(step), work["dart mouth"]))


def _from_the_papers_edge(step, work, terms, numbers):
    return giving(step, work[step.inputs[0]] + Point(0, right_measure(step, work)))


def _other_side(step, work, terms, numbers):
    side = "right" if step.options["side"] == "left" else "left"
    return done(options={"side": side})(step, work, terms, numbers)


def _neck_point_high(work, numbers):
    return numbers["front_waist_length"] - right_measure(work.draft.step("front neck point"), work)


def _tip_on_tip(step, work, terms, numbers):
    moved, neck, tip, back_neck, back_tip = step.inputs
    return done(inputs=(moved, tip, neck, back_tip, back_neck))(step, work, terms, numbers)


def _without_180(step, work, terms, numbers):
    return measuring(step, right_measure(step, work) - 180)


MISTAKES: dict[str, tuple[Mistake, ...]] = {
    "01a": (
        Mistake(
            "Ease undivided",
            "The girth is divided and the whole ease added. Pin a tape of the whole ease round a stand: it "
            "is shared out like the girth.",
            "Did you add the whole ease? Add the ease to the girth first, then divide both together.",
            ("quarter of the hip", "half of the hip", "half of the waist"), ease_undivided, "ease-undivided",
        ),
        Mistake(
            "The side's share taken off once",
            "The side has two quarters, so its share is taken off twice. Draw the waist as a bar and cut "
            "the pieces off it.",
            "Did you take the side shaping off once? Back and front both have it: take it off twice.",
            ("dart mouths",), taken(side_shaping=-1.0),
        ),
        Mistake(
            "Rounding early",
            "Let them keep one more digit than they draw with.",
            unseen="a rounding of a millimetre or two lies within the tolerance",
        ),
    ),
    "01b": (
        Mistake(
            "A sign lost",
            "The difference is yours less the usual; without its sign nobody knows whether the tape slipped"
            " up or down.",
            "The sign is wrong: take your measure less the usual one, and keep the minus.",
            ("hip girth less the usual", "waist girth less the usual"), scaled(-1.0),
        ),
        Mistake(
            "Plausible is taken for right",
            "A measure far from the usual one is taken again; if it comes out the same, it stays. Bodies "
            "differ; the rule is only a middle.",
            unseen="it is an opinion about a number, not a number",
        ),
        Mistake(
            "Eighths read as decimals",
            "Let them find the eighths on the tape and say them aloud.",
            "Did you read 3/8 as 0.3? Divide the eighths by 8 first, then multiply by 2.54.",
            ("waist in cm",), value(_eighths),
        ),
    ),
    "02a": (
        Mistake(
            "Hip line from the hem",
            "Waist to hip is measured down from the waist, and so is the skirt's length; let them lay the "
            "tape on the sheet from the waist.",
            "Did you measure up from the hem? Measure waist to hip down from the waist.",
            ("centre back hip",),
            value(lambda w, n: Point(0, n["waist_to_hip"] - n["skirt_length"])),
        ),
        Mistake(
            "A half in place of a quarter",
            "The side then falls on the centre front. Ask how often the distance fits into the whole girth.",
            "Did you take half of hip and ease? Take a quarter: back and front each have two.",
            ("side hip", "centre front hip"), scaled(2.0), "half-for-quarter",
        ),
        Mistake(
            "Centre front measured from centre back in one go",
            "It is right, but a slip at the side no longer shows; have them walk quarter by quarter.",
            unseen="it gives the right point",
        ),
    ),
    "02b": (
        Mistake(
            "The whole shaping at the side",
            "It makes a jutting hip. Lay a strip round a stand: the body goes in at the back and the front,"
            " too.",
            "Did you put the whole shaping at the side? Take only the share that the sheet names; darts "
            "take the rest.",
            ("side shaping",), scaled(1 / (2 * SIDE_SHARE)),
        ),
        Mistake(
            "The mouth is not centred",
            "Half of it lies on each side of the middle of the waist.",
            "Did you begin the dart at the middle of the waist? Set half of the mouth to each side of the "
            "middle.",
            ("back dart, first leg at", "front dart, first leg at"), done(options={"factors": (0.5, 0.0)}),
        ),
        Mistake(
            "Dart point straight below a leg",
            "Then the legs are unequal and the waist gets a step. Square from the middle of the mouth; fold"
            " the paper to see it.",
            "Is the dart point straight below a leg? Go square from the middle of the mouth, so that both "
            "legs are equally long.",
            ("back dart point", "front dart point"), _below_a_leg, "dart-legs-unequal",
        ),
        Mistake(
            "A waist that meets the side at a slant",
            "Fold both sides together: a peak or a dip shows at once.",
            "The waist meets the side at a slant: draw its last few centimetres square to the side.",
            ("back waist", "front waist"), done(options={"end": None}), "end-not-square",
        ),
    ),
    "03a": (
        Mistake(
            "Ease added to the half bust undivided",
            "The sheet says half of bust and ease.",
            "Did you add the whole ease to half of the bust? Take half of bust and ease together.",
            ("centre front bust line",), taken(bust_ease=1.0), "ease-undivided",
        ),
        Mistake(
            "Front waist length measured from the neck point",
            "It runs from the hollow of the neck to the waist, and so the front's neckline is set by it.",
            "Did you measure the front waist length from the neck point? Measure it from the hollow of the "
            "neck at the centre front.",
            ("centre front neck",), done(measure=_neck_point_high),
        ),
        Mistake(
            "Shoulders that lean the other way",
            "Ask which way the paper's shoulder goes down from the neck; on the front it falls to the left.",
            "The shoulder goes up: let it fall from the neck point down to the tip.",
            ("back shoulder tip", "shoulder tip, dart closed"), _leans_other_way, "slope-other-way",
        ),
        Mistake(
            "The back shoulder as long as the front",
            "It is eased on over the shoulder blade; show it with two strips and pins.",
            "Did you leave out the ease of the back shoulder? Add it to the shoulder length.",
            ("back shoulder tip",), taken(back_shoulder_ease=0.0), "ease-forgotten",
        ),
    ),
    "03b": (
        Mistake(
            "The dart opened toward the neck",
            "Only the armhole's part moves; the neck stays where it is.",
            "Did you open the dart toward the neck? Turn the part at the armhole away from the neck.",
            ("bust dart leg 2", "front shoulder tip", "chest point"), scaled(-1.0), "turned-other-way",
        ),
        Mistake(
            "The chest point left behind",
            "Then the armhole has a dent. Trace the turned paper as one.",
            "Did the chest point stay where it was? Turn it with the shoulder, then draw the armhole "
            "through it.",
            ("chest point",), stays("chest point, dart closed"),
        ),
        Mistake(
            "A corner under the arm",
            "Lay back and front together at the side: the armhole must run through like one curve.",
            "The armhole has a corner at the side: let it run level there, so that back and front make one "
            "curve.",
            ("back armhole", "front armhole"), done(options={"end": None}), "end-not-square",
        ),
        Mistake(
            "A front waist without its dip",
            "Lay the tape over the bust of a stand and let them see where it ends.",
            "Is the front waist level under the bust? Let it dip there, as far as the sheet says.",
            ("waist under the bust",),
            value(lambda w, n: Point(w["bust point"].x, w["waist at centre front"].y)),
        ),
        Mistake(
            "A dart point at the bust point",
            "Sewn darts stop short of it; show one sewn to the very point on a scrap.",
            "The dart runs to the bust point: end it as far before the point as the sheet says.",
            ("bust dart end",), stays("bust point"),
        ),
    ),
    "03c": (
        Mistake(
            "Curves measured with the tape flat",
            "It buckles and the curve comes out too long; stand it on its edge.",
            "It is a little too long: did the tape lie flat? Stand it on its edge and walk the curve again.",
            ("back neckline, length", "front neckline, length", "back armhole, length",
             "front armhole, length"),
            scaled(1.06), code="tape-flat",
        ),
        Mistake(
            "The armhole measured with the dart open at the wrong leg",
            "The front armhole starts at the shoulder tip as it lies when the dart is open.",
            "Did you measure from the shoulder tip of the closed dart? Open the dart first, then walk the "
            "armhole.",
            ("front shoulder tip",), stays("shoulder tip, dart closed"),
        ),
        Mistake(
            "Curves measured straight from end to end",
            "Walk both on one armhole and compare; the difference is seen at once.",
            "Did you measure straight from end to end? Stand the tape on its edge and walk it along the "
            "curve.",
            (
                "back neckline, length", "front neckline, length", "back armhole, length",
                "front armhole, length",
            ),
            _chord, "chord-not-curve",
        ),
    ),
    "04a": (
        Mistake(
            "Opened in place of closed",
            "The second leg must come to lie on the first. Let them push a pin through and turn the paper.",
            "Did you open the dart wider? Turn the paper the other way, until the second leg lies on the "
            "first.",
            ("closing, angle",), scaled(-1.0), "turned-other-way",
        ),
        Mistake(
            "Pin at the mouth",
            "Then nothing opens at the hem. The pin is where the dart has no width.",
            "Was the pin at the mouth of the dart? Put it at the dart's point and turn again.",
            (
                "second leg, closed", "side waist, closed", "side hip, closed", "side hem, closed",
                "slash, opened", "hip curve, closed",
            ),
            _about("front dart leg"), "wrong-pin",
        ),
        Mistake(
            "The hem is asked to open by the dart's mouth",
            "It opens wider, the farther it lies below the pin; the angle is what stays.",
            "Did you open the hem by the width of the mouth? Turn by the dart's angle: the hem opens wider.",
            ("slash, opened",), _opened_by_the_mouth,
        ),
    ),
    "04b": (
        Mistake(
            "Mouth carried over in place of the angle",
            "The new mouth is as wide as its distance from the bust point makes it. Compare both with a "
            "protractor.",
            "Did you carry the width of the mouth over? Turn by the dart's angle and trace what comes out.",
            ("slash point, moved",), _opened_by_the_mouth,
        ),
        Mistake(
            "The lower part of the side turned as well",
            "The waist stays; only the part between the two cuts moves.",
            unseen="nothing below the cut is asked for",
        ),
        Mistake(
            "The new dart sewn to the bust point",
            "It ends short of it, or it makes a point in the cloth.",
            "The new dart runs to the bust point: end it as far before the point as the sheet says.",
            ("new dart end",), stays("bust point"),
        ),
    ),
    "05a": (
        Mistake(
            "The longer leg shortened",
            "The first leg was walked from the waist; the traced one is made as long.",
            "Did you measure the leg as traced? Measure the first leg and make the second one as long.",
            ("length of the leg",),
            value(lambda w, n: w["dart point"].distance(w["second leg as traced"])),
        ),
        Mistake(
            "The dart folded the other way",
            "Waist darts are pressed toward the centre (common practice); folded outward the ridge lies "
            "elsewhere.",
            "Did you fold along the second leg? Fold the dart toward the centre, along the first leg.",
            ("waist folded over",), done(inputs=("waist beside the dart", "dart point", "second leg")),
        ),
        Mistake(
            "A straight mouth",
            "Fold it and cut along the waist, then unfold: the class sees the ridge made by the scissors.",
            "Did you leave the mouth straight? Fold the dart, carry the waist on over it, unfold: that is "
            "the ridge.",
            ("ridge",), stays("middle of the mouth"),
        ),
    ),
    "05b": (
        Mistake(
            "Shoulders laid tip on tip",
            "The back shoulder is longer by its ease, so the neck points are laid together and the tips do "
            "not meet.",
            "Did you lay tip on tip? Lay neck point on neck point; the tips need not meet.",
            (
                "shoulder tip, joined", "centre front neck, joined", "chest point, joined",
                "front neckline, joined",
            ),
            _tip_on_tip,
        ),
        Mistake(
            "Ease with its sign turned round",
            "Back less front: the back is eased on.",
            "The sign is wrong: take the back shoulder less the front shoulder.",
            ("shoulder ease",), scaled(-1.0),
        ),
        Mistake(
            "A corner of many degrees",
            "One of the two directions was read the other way along its line; turn a pencil along the "
            "neckline to show it.",
            "One direction was read the other way along its line: read both in the way the neckline runs.",
            ("corner in the neckline, angle",), _without_180,
        ),
    ),
    "05c": (
        Mistake(
            "Squared from the paper's edge",
            "The line leans, the pocket becomes a slanting box. Lay the set square on the line.",
            "Did you square from the edge of the paper? Lay the set square on the leaning line.",
            ("C", "D"), _from_the_papers_edge,
        ),
        Mistake(
            "Right and left changed",
            "Stand at the corner and look along the line: where is your right hand?",
            "Did you go to the wrong side? Look along the line from the corner and find its right and left.",
            ("C", "D"), _other_side, "wrong-side",
        ),
        Mistake(
            "Equal sides are taken for square",
            "Only equal diagonals prove it.",
            unseen="it is an opinion about a draft, not a draft",
        ),
    ),
}  # fmt: skip

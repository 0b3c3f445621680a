"""Common mistakes of lessons 6 to 8: front plan, back plan and straps."""

from .....geometry import Point, line
from ...mistakes import Mistake, done, giving, right_measure, scaled, stays, taken, value


def _straight(step, work, terms, numbers):
    curve = work.done(step)
    return giving(step, line(curve.start, curve.end))


def _straight_down(step, work, terms, numbers):
    """On the side, but the measure counted straight down from the waist."""
    side = work[step.inputs[0]]
    level = side.end + Point(0, -right_measure(step, work))
    places = side.meets_line(level, level + Point(1, 0))
    return giving(step, side.at(places[0]))


def _below_the_yoke(step, work, terms, numbers):
    more = scaled(1.0, numbers["yoke_side_depth"])
    return more(step, work, terms, numbers)


def _along_the_side(step, work, terms, numbers):
    """A pocket's corner below its top, the pocket's side parallel to the side seam."""
    down = (work["side hem"] - work["side hip"]).unit()
    if step.name == "pocket inner corner":
        return giving(step, work["pocket inner top"] + down * right_measure(step, work))
    top = work["pocket outer top"]
    deep = top.y - work["pocket inner corner"].y
    return giving(step, top + down * (deep / -down.y))


def _tip_on_tip(step, work, terms, numbers):
    moved, neck, tip, back_neck, back_tip = step.inputs
    return done(inputs=(moved, tip, neck, back_tip, back_neck))(step, work, terms, numbers)


def _level(step, work, terms, numbers):
    return done(inputs=step.inputs[:1], options={"way": "right"})(step, work, terms, numbers)


def _free_at_the_strap(step, work, terms, numbers):
    at = "end" if step.name == "back neck edge" else "start"
    return done(options={at: None})(step, work, terms, numbers)


MISTAKES: dict[str, tuple[Mistake, ...]] = {
    "06a": (
        Mistake(
            "Whole widths in place of halves",
            "The plan shows half the front: bib top and pocket are halved.",
            "Did you take the whole width? The plan shows half of the front: take half of it.",
            ("bib corner", "bib pocket corner"), scaled(2.0), "half-forgotten",
        ),
        Mistake(
            "Depth at the side measured straight down",
            "It is walked along the slanting side, or the band is not parallel.",
            "Did you measure straight down? Walk the depth along the slanting side.",
            ("waistband at the side",),
            value(lambda w, n: w["side waist"] + Point(0, -n["waistband"])),
        ),
        Mistake(
            "A bib's side that bends both ways",
            "On a narrow bib over a wide waist the side cannot run on from the skirt's: rule the line from "
            "waist to corner first, and leave flatter than it.",
            "The side of the bib bends both ways: rule a line from waist to corner, and leave the waist "
            "flatter than that line.",
            ("bib side",), done(options={"start": "side's run, angle"}),
        ),
    ),
    "06b": (
        Mistake(
            "Pinned at the dart's point",
            "Above the hip line the pin opens the hip as well: the ease told is no longer the ease drawn. "
            "Let them measure the hip line both ways.",
            "Is the pin at the dart's point? Carry the dart's middle line on to the hip line and pin there.",
            ("pin",), stays("dart point"),
        ),
        Mistake(
            "A hem drawn straight from centre to side",
            "Folded together at the side it makes a peak.",
            "The hem is straight: curve it, so that it meets centre and side square.",
            ("hemline",), _straight, "straight-for-curve",
        ),
        Mistake(
            "Opening measured straight down",
            "It is walked along the slanting side, as it will be sewn to the back's.",
            "Did you measure the opening straight down? Walk it along the side, from the waist.",
            ("opening end", "run-on end"), _straight_down, "chord-not-curve",
        ),
        Mistake(
            "Button line and facing on the wrong side of the line",
            "The front's edge is the side line itself: both lie inside, toward the centre.",
            "This line lies outside the side line: draw it inside, toward the centre.",
            ("button line", "facing line"), scaled(-1.0), "wrong-side",
        ),
    ),
    "07a": (
        Mistake(
            "The whole side measured below the hip",
            "Back and front must be sewn together: the side's whole length is carried over, and what the "
            "hip curve has of it is taken off.",
            "Did you carry the whole side over below the hip? Take the length of the hip curve off first.",
            ("below the hip",), taken(hip_curve_as_drawn=0.0),
        ),
        Mistake(
            "Yoke as deep at the side as at the centre",
            "Two measures are on the sheet; the yoke is shaped.",
            "Did you use the depth at the centre? The side has its own, smaller depth: use that.",
            ("yoke at the side",),
            done(measure=lambda w, n: n["yoke_depth"]), "neighbour-measure",
        ),
        Mistake(
            "The opening begins below the yoke",
            "It is walked from the waist, on the back as on the front.",
            "Did you begin at the yoke line? Walk the opening from the waist.",
            ("opening end", "run-on end"), _below_the_yoke,
        ),
    ),
    "07b": (
        Mistake(
            "Both sides measured",
            "The top slants with the yoke; measured down both sides the bottom slants, too. One is "
            "measured, the other squared.",
            "Did you measure down both sides? Measure the inner side, then square across to the outer one.",
            ("pocket outer corner",),
            value(lambda w, n: w["pocket outer top"] + Point(0, -n["pocket_length"])),
        ),
        Mistake(
            "Set below the waist, not below the yoke",
            "The line lies beside the yoke line: square to it at every place.",
            "Did you measure from the waist? Draw the pocket's top beside the yoke line, at its distance.",
            ("pocket top line",), done(inputs=("waistline",)), "wrong-line",
        ),
        Mistake(
            "Sides parallel to the side seam",
            "They lie on the grain, or the pocket pulls the skirt.",
            "Do the pocket's sides lean like the side seam? Draw them straight down, on the grain.",
            ("pocket inner corner", "pocket outer corner"), _along_the_side,
        ),
    ),
    "08a": (
        Mistake(
            "Front laid on the back tip on tip",
            "Neck point on neck point; the ease stays at the tip.",
            "Did you lay tip on tip? Lay neck point on neck point; the tips need not meet.",
            ("bib corner, joined", "strap end"), _tip_on_tip,
        ),
        Mistake(
            "Width measured level",
            "The strap slants: its width is square to it.",
            "Did you measure the width level? Lay the set square on the strap and measure square to it.",
            ("strap outer point", "strap end outside", "taper end"), _level,
        ),
        Mistake(
            "The strap as wide as the fitting",
            "The cloth has a thickness, too; try it with a buckle from the box.",
            "Is the strap as wide as the fitting? Take off room for the thickness of the cloth first.",
            ("strap outer point", "strap end outside", "taper end"), scaled(1.0, 0.3),
        ),
        Mistake(
            "Corners beside the strap",
            "Neck edge and side edge run on into it; a corner there tears. Loose straps near wheels and "
            "mixers are dangerous: keep to the studio's rules.",
            "This edge meets the strap with a corner: let it run on in the strap's own direction.",
            ("back neck edge", "back side edge"), _free_at_the_strap, "end-not-square",
        ),
    ),
    "08b": (
        Mistake(
            "One edge's allowance forgotten",
            "A strap has two edges; both are turned.",
            "Did you add one allowance? The strap has two edges: add it twice.",
            ("cut width",), taken(allowance_turned_twice=1.0),
        ),
        Mistake(
            "Loop and ring forgotten",
            "They stand between bib and strap: without them the strap is 2.5 cm too long.",
            "Did you leave out loop and ring? Take their length off the straight side.",
            ("worn length",), taken(loop_and_ring=0.0),
        ),
        Mistake(
            "Turn-back forgotten",
            "Without it the strap ends at the ring and cannot be let out. Fold a paper strip through a ring"
            " and a slide.",
            "Did you leave out the turn-back? Add it, so that the strap can be let out.",
            ("cut length",), taken(turn_back=0.0),
        ),
        Mistake(
            "The strap width taken for the cut width",
            "The strap is wider at its base, and the strip must hold all of it.",
            "Did you start from the strap width? Start from the wider base width, then add both allowances.",
            ("cut width",), value(lambda w, n: w["strap width"] + 2 * w["allowance turned twice"]),
        ),
    ),
}  # fmt: skip

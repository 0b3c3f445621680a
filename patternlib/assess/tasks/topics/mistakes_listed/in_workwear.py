"""Common mistakes of lessons 20 to 22: sleeve, smock, apron."""

from .....geometry import Point
from ...mistakes import Mistake, done, giving, measuring, scaled, stays, value


def _no_cap_ease(step, work, terms, numbers):
    return measuring(step, work[step.inputs[0]])


def _whole_cap_ease(step, work, terms, numbers):
    return measuring(step, work[step.inputs[0]] + 2.5)


def _chord_along_the_level(step, work, terms, numbers):
    sign = 1 if step.options["side"] == "right" else -1
    return giving(step, Point(work["cap foot"].x + sign * work[step.measured_by], work["cap foot"].y))


def _other_side(step, work, terms, numbers):
    side = "right" if step.options["side"] == "left" else "left"
    return done(options={"side": side})(step, work, terms, numbers)


def _ease_by_the_chord(step, work, terms, numbers):
    part = step.name.rsplit(" ", 1)[-1]
    return measuring(step, work[f"{part} armhole length"] - work[f"{part} chord"])


MISTAKES: dict[str, tuple[Mistake, ...]] = {
    "20a": (
        Mistake(
            "Cap ease forgotten",
            "A cap as long as its armhole pulls over the top of the arm. Pin both on a stand and look.",
            "Did you leave out the cap ease? Add this half's share of it to the armhole.",
            ("front cap seam", "back cap seam"), _no_cap_ease,
        ),
        Mistake(
            "The whole cap ease in one half",
            "The ease is shared: a little more at the back than in front. Add both halves up and compare.",
            "Did you add the whole cap ease to one half? Add only the share that the step names.",
            ("front cap seam", "back cap seam"), _whole_cap_ease,
        ),
        Mistake(
            "Chord laid along the biceps line",
            "The chord is the slanting side of a triangle. Swing it from the cap top with the tape.",
            "Did you lay the chord along the biceps line? Swing it from the cap top down to that line.",
            ("front underarm", "back underarm"), _chord_along_the_level,
        ),
        Mistake(
            "Arm length from the biceps line",
            "The arm is measured from the shoulder point, so the sleeve's length starts at the cap top.",
            "Did you measure the arm length from the biceps line? Measure it from the cap top.",
            ("sleeve end level",), done(inputs=("cap foot",)),
        ),
    ),
    "20b": (
        Mistake(
            "Swell and hollow on the wrong side",
            "Above the chord the cap swells outward, below it goes in. Draw the S in the air first.",
            "Did you square to the wrong side? The cap swells out above and goes in below: square to the "
            "other side.",
            ("front swell", "front hollow", "back swell", "back hollow"), _other_side, "wrong-side",
        ),
        Mistake(
            "Notches walked from the cap top",
            "Below the notches cap and armhole are equally long, so both are walked from the underarm.",
            "Did you walk from the cap top? Walk the notch from the underarm, as in the armhole.",
            ("front notch", "back notch"), done(options={"from_end": False}),
        ),
        Mistake(
            "Ease from the chord",
            "The cap is a curve. Stand the tape on its edge and walk it.",
            "Did you measure the chord? Walk the cap's curve with the tape on its edge, then take the "
            "armhole off.",
            ("ease at the front", "ease at the back"), _ease_by_the_chord,
        ),
    ),
    "21a": (
        Mistake(
            "Opened in place of closed",
            "The dart is closed, so shoulder and armhole turn toward the centre front, and the side swings "
            "out.",
            "Did you open the dart wider? Turn the other way, until its legs meet.",
            ("shoulder tip", "chest point", "underarm"), scaled(-1.0), "turned-other-way",
        ),
        Mistake(
            "The chest point left behind",
            "All that lies on the armhole's side of the dart turns with it. Trace the turned paper as one.",
            "Did the chest point stay where it was? Turn it with the shoulder and the underarm.",
            ("chest point",), stays("block chest point"),
        ),
        Mistake(
            "The facing ends at the slit",
            "The end of the slit carries the pull when the head goes through: it lies on the facing.",
            "Did the facing end at the slit's end? Let it reach below the slit, as far as the sheet says.",
            ("facing foot",), stays("slit end"),
        ),
    ),
    "21b": (
        Mistake(
            "Shoulders not overlapped",
            "Without the overlap the collar lies flat like a second bodice, and the neck seam shows.",
            "Did you lay the shoulders edge on edge? Overlap the tips as the sheet says.",
            ("overlapped shoulder tip",), stays("back shoulder tip"),
        ),
        Mistake(
            "Overlap to the wrong side",
            "The front comes nearer to the back, it does not gape. Try it with two strips and a pin.",
            "Did you let the shoulders gape? Turn the other way, so that the tips overlap.",
            ("overlapped shoulder tip",), scaled(-1.0), "turned-other-way",
        ),
        Mistake(
            "The whole neck for half",
            "The draft shows half of the collar, up to the fold at the centre back.",
            "Did you double the neckline? The draft is half of the collar: add back and front neckline "
            "once.",
            ("neckline length",), scaled(2.0),
        ),
    ),
    "22a": (
        Mistake(
            "The whole bib from the centre",
            "The centre front is a fold; half of the bib lies on the draft.",
            "Did you draw the whole width of the bib? Half of it lies on this side of the fold: take half.",
            ("bib corner",), scaled(2.0),
        ),
        Mistake(
            "The strap's middle at the corner",
            "Half of the strap would then hang over the edge. Lay a strip on the draft.",
            "Does the strap's middle lie on the corner? Move it in by half of the strap's width.",
            ("strap on the bib",), stays("bib corner"),
        ),
        Mistake(
            "The pocket measured from the bib's top",
            "It is reached with the arm bent, so it is set down from the waist.",
            "Did you measure from the top of the bib? Measure the pocket down from the waist.",
            ("pocket top",), done(inputs=("bib top at centre front",)),
        ),
    ),
    "22b": (
        Mistake(
            "Straps that do not cross",
            "A strap that runs straight down slips off the shoulder. Cross two tapes on a stand.",
            "Did you end the strap on its own side? It crosses: fold at the centre back and mark the other "
            "side.",
            ("strap end of the other side",), stays("strap end"),
        ),
        Mistake(
            "The wrap taken off",
            "The back reaches beyond the centre, so that it stays closed when its wearer bends.",
            "Did you go the wrong way? Measure the wrap beyond the centre back, away from the side.",
            ("wrap waist", "wrap hem"), scaled(-1.0),
        ),
        Mistake(
            "The strap without its ends",
            "Each end is laid on and stitched down, or it pulls out.",
            "Did you forget the ends? Add what is stitched on at the bib and at the back.",
            ("strap, cut length",), value(lambda w, n: w["strap in front"] + w["strap at the back"]),
        ),
    ),
}  # fmt: skip

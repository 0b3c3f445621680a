"""Common mistakes of lessons 9 to 15: pieces, allowances, notches, walking, sizes, cloth and paper."""

import math

from ...mistakes import Mistake, done, giving, right_measure, scaled, stays, taken, value
from ..walking import ALONG_SIDE


def _grain_turned(record: dict, piece) -> None:
    (x, y), (u, v) = record["grain"]
    long = math.hypot(u - x, v - y)
    record["grain"] = [[x, y], [x + long * math.sin(math.radians(12)), y + long * math.cos(math.radians(12))]]


def _grain_short(record: dict, piece) -> None:
    (x, y), (u, v) = record["grain"]
    long = math.hypot(u - x, v - y)
    record["grain"] = [[x, y], [x + 2 * (u - x) / long, y + 2 * (v - y) / long]]


def _labelled(how: str):
    def change(record: dict, piece) -> None:
        record["label"] = [how if text.startswith("cut ") else text for text in record["label"]]

    return change


def _allowed(**cm: float):
    def change(record: dict, piece) -> None:
        record["allowances"] |= {name.replace("_", " "): wide for name, wide in cm.items()}

    return change


def _corners(first: str):
    """first: '' plain corners, 'other' the other edge folded first."""

    def change(record: dict, piece) -> None:
        for corner, right in record["corners"].items():
            before, _, after = corner.partition(" / ")
            record["corners"][corner] = first and (after if right == before else before)

    return change


def _notches(move):
    def change(record: dict, piece) -> None:
        for notch in record["notches"]:
            notch |= move(notch, piece.edge(notch["edge"]).curve.length)

    return change


def _notches_from_the_other_end(notch: dict, length: float) -> dict:
    return {"at": length - notch["at"]}


def _at_the_same_share(work, numbers):
    back = work["back side"]
    return back.at((1 - ALONG_SIDE) * (back.length - numbers["opening"]))


def _multiplied(step, work, terms, numbers):
    bare = work[step.inputs[0]]
    return giving(step, bare * bare / right_measure(step, work))


def _taken_off_once(step, work, terms, numbers):
    return giving(step, work[step.inputs[0]] - (10 - work["test square, as printed"]))


MISTAKES: dict[str, tuple[Mistake, ...]] = {
    "09a": (
        Mistake(
            "The whole side as one edge",
            "The opening is sewn to the extension, the rest to the back; they are two edges.",
            "Did you trace the whole side? End this edge where the opening ends; the opening is an edge of "
            "its own.",
            ("side seam",), done(inputs=("side", "side hem", "waistband at the side")),
        ),
        Mistake(
            "Grain along the side",
            "It lies parallel to the centre; measure at both of its ends.",
            "The grain line slants: draw it parallel to the centre, at the same distance at both ends.",
            ("front skirt: grain",), code="grain-slanted", finish=_grain_turned, piece="front skirt",
        ),
        Mistake(
            "Cut 2 for a piece on the fold",
            "Unfold a paper front: one is enough.",
            "The piece lies on the fold and one is enough: write 'cut 1 on the fold'.",
            ("front skirt: label",), code="label-lacks", finish=_labelled("cut 2"), piece="front skirt",
        ),
    ),
    "09b": (
        Mistake(
            "The pocket cut twice the same way",
            "A slanting opening has a left and a right: they are a pair.",
            "Two alike are two left pockets: write 'cut 2 as a pair'.",
            ("back pocket: label",), code="label-no-pair", finish=_labelled("cut 2"), piece="back pocket",
        ),
        Mistake(
            "The centre traced down to the hem",
            "The yoke ends at the yoke line.",
            "Did you trace the centre down to the hem? End it at the yoke line.",
            ("centre of the yoke",), done(inputs=("centre back top", "centre hem")),
        ),
        Mistake(
            "A grain line too short to measure",
            "It must be long enough to be measured at both ends.",
            "The grain line is too short to measure at both ends: make it at least 5 cm long.",
            ("back yoke: grain",), code="grain-short", finish=_grain_short, piece="back yoke",
        ),
    ),
    "10a": (
        Mistake(
            "The same allowance all round",
            "The opening is a hem, it is turned twice.",
            "Did you give the opening the same allowance as the sides? It is a hem: look up its own "
            "allowance.",
            ("back pocket: allowance of opening",), code="anothers-allowance", finish=_allowed(opening=1.0),
            piece="back pocket",
        ),
        Mistake(
            "Corners cut off square",
            "Fold a paper pocket: what juts out is trimmed, what is missing shows as a hole.",
            "Are these plain corners? Fold the opening back first, and cut the corner to lie under it.",
            ("back pocket: corner of outer side / opening", "back pocket: corner of opening / inner side"),
            code="corner-plain", finish=_corners(""), piece="back pocket",
        ),
        Mistake(
            "The wrong edge folded first",
            "Fold both ways in paper and look from the right side.",
            "The other edge is folded first: fold it in paper both ways and look from the right side.",
            ("back pocket: corner of outer side / opening", "back pocket: corner of opening / inner side"),
            code="corner-other-first", finish=_corners("other"), piece="back pocket",
        ),
    ),
    "10b": (
        Mistake(
            "An allowance on the fold",
            "The skirt gets wider by it twice. Write 'fold' on the line before anything else.",
            "This edge lies on the fold of the cloth: give it no allowance.",
            ("front skirt: allowance of centre front",), code="allowance-on-the-fold",
            finish=_allowed(centre_front=1.0), piece="front skirt",
        ),
        Mistake(
            "Degrees used in place of radians",
            "The hem would be too long by metres; let them doubt their result.",
            "Did you multiply by degrees? Multiply the lean by 3.14 and divide it by 180 first.",
            ("hem too long by",), scaled(math.degrees(1)),
        ),
        Mistake(
            "A deep hem on much flare",
            "The class turns up a paper hem and sees the pleats: less depth or less flare.",
            unseen="the hem's depth is given",
        ),
    ),
    "11a": (
        Mistake(
            "Holes on the line",
            "They show as holes beside the pocket; put a pin through a sewn sample.",
            "Does the hole lie on the pocket's line? Move it inside, so that the sewn pocket hides it.",
            ("inner hole, level", "outer hole, level"), scaled(0.0),
        ),
        Mistake(
            "A notch counted from the wrong end",
            "Edges run anticlockwise round the piece; let them walk with a finger.",
            "Did you count from the wrong end? Edges run anticlockwise round the piece: walk with a finger "
            "and count again.",
            ("back skirt: notches of side seam", "back skirt: notches of yoke edge"), code="wrong-end",
            finish=_notches(_notches_from_the_other_end), piece="back skirt",
        ),
        Mistake(
            "A notch in the middle",
            "Turned round, the seam still fits; that is what a notch should prevent.",
            "A notch in the middle does not show which end is which: move it to the place that the sheet "
            "names.",
            ("back skirt: notches of side seam", "back skirt: notches of yoke edge"),
            code="notch-in-the-middle", finish=_notches(lambda n, length: {"at": length / 2}),
            piece="back skirt",
        ),
    ),
    "11b": (
        Mistake(
            "The same distance on both pieces",
            "They are walked in opposite directions; lay the strap's base on the seat.",
            "The two are walked in opposite directions: lay the strap's base on the seat and mark where "
            "they meet.",
            ("strap: notches of base",), code="wrong-end", finish=_notches(_notches_from_the_other_end),
            piece="strap",
        ),
        Mistake(
            "Single notches",
            "These are back pieces: double.",
            "Make it a double notch: these are back pieces.",
            (
                "back yoke: notches of strap seat", "back yoke: notches of skirt edge",
                "strap: notches of base",
            ),
            code="notch-count", finish=_notches(lambda n, length: {"count": 1}), piece="back yoke",
        ),
        Mistake(
            "Measured on the cut line",
            "A notch is placed on the seam line and carried out to the edge.",
            "Did you measure from the cut corner? Measure on the seam line, without the allowance of 1.5 "
            "cm.",
            ("seat notch from the outside",), scaled(1.0, -1.5),
        ),
    ),
    "12a": (
        Mistake(
            "All of it taken off one side",
            "Then hem and opening no longer meet as drawn; half on each side keeps the hem fair.",
            "Did you take the whole difference off one side? Change each side by half of it.",
            ("each side changes by",), scaled(2.0), "half-forgotten",
        ),
        Mistake(
            "Notches at the same share of unequal seams",
            "They must have the same distance from the opening, not the same share.",
            "Did you take a share of the longer back? Use the same distance from the waist as in front.",
            ("back notch",), value(_at_the_same_share),
        ),
        Mistake(
            "Walked to the cut edge",
            "Allowances differ; only seam lines are walked.",
            "Did you walk to the cut edge? Walk the seam line only, down to the hem's fold.",
            ("front side, length", "back side, length"),
            lambda step, work, terms, n: scaled(1.0, n["hem"])(step, work, terms, n),
        ),
    ),
    "12b": (
        Mistake(
            "Halves compared with wholes",
            "Draw all four quarters round a waist.",
            "Did you take front and back once? The lines are quarters of the waist: take each twice.",
            ("finished waist",), scaled(0.5),
        ),
        Mistake(
            "Ease forgotten",
            "The finished waist is never the body's own.",
            "Did you leave out the waist ease? Add it to the waist girth.",
            ("wanted waist",), taken(waist_ease=0.0), "ease-forgotten",
        ),
        Mistake(
            "A straight band expected",
            "It springs below because the body does; cut one straight and try.",
            "The waistband line is the lower, longer edge of a shaped band: take it less the waistline.",
            ("band's spring",), value(lambda w, n: 0.0),
        ),
    ),
    "13a": (
        Mistake(
            "The whole grade on the half front",
            "Four half fronts would grow four times too much; draw the round of the body as four bars.",
            "Did you give the half front the whole growth? It is one of four parts: divide by 4.",
            ("half front grows by",), scaled(4.0), "quarter-forgotten",
        ),
        Mistake(
            "All of it at the side",
            "The armhole moves out and the shoulder is left behind; let them lay two sizes on each other.",
            "Did you put all of it at the side? The side takes half; neck and shoulder take the rest.",
            ("side takes",), scaled(2.0), "half-forgotten",
        ),
        Mistake(
            "The steps forgotten",
            "The grade is from one size to the next; count the steps aloud.",
            "Did you grade by one size only? Multiply the grade by the number of sizes you go up.",
            ("girth grows by",), scaled(1 / 5),
        ),
    ),
    "13b": (
        Mistake(
            "The nearest size by bust alone",
            "Here the size is taken that is nowhere larger; then everything is put on and nothing taken "
            "away.",
            unseen="the size is given",
        ),
        Mistake(
            "Divided by 2 in place of 4",
            "There are two side seams, but each has two side lines.",
            "Did you divide by 2? There are four side lines: divide by 4.",
            ("side moves out at the waist", "side moves out at the hip"), scaled(2.0), "half-for-quarter",
        ),
        Mistake(
            "The same at waist and hip",
            "Waist and hip of a body rarely lie equally far between two sizes; the side line gets another "
            "slope.",
            "Did you use the waist's number for the hip? Calculate the hip's from its own difference.",
            ("side moves out at the hip",), stays("side moves out at the waist"),
        ),
    ),
    "14a": (
        Mistake(
            "Two selvedges taken off",
            "Fold a strip of cloth: only one edge of each layer is a selvedge.",
            "Did you take two selvedges off? On the fold only one edge is a selvedge: take one off.",
            ("usable width on the fold",), taken(selvedge=-2.0),
        ),
        Mistake(
            "Two allowances for a panel on the fold",
            "At the fold nothing is sewn.",
            "Did you add two allowances? One edge lies on the fold: add only one.",
            ("skirt panel, across",), taken(seam_allowance=2.0), "allowance-twice",
        ),
        Mistake(
            "The loss of the test piece added as it is",
            "A longer piece loses more: divide, do not add.",
            "Did you add what the test piece lost? A longer piece loses more: calculate as the sheet says.",
            ("panel before washing",), value(lambda w, n: w["skirt panel, along"] + w["the test piece lost"]),
        ),
    ),
    "14b": (
        Mistake(
            "Multiplied by the share in place of divided",
            "Then less cloth would be needed where more is lost; ask whether that can be.",
            "Did you multiply by the share? Then you would need less cloth: divide by it.",
            ("length, flat", "length, folded", "flat, before washing"), _multiplied,
        ),
        Mistake(
            "One selvedge",
            "Flat, the cloth has two.",
            "Did you take one selvedge off? Flat cloth has two: take both off.",
            ("usable width",), taken(selvedge=-1.0),
        ),
        Mistake(
            "Figures taken for promises",
            "The shares of the lesson are only usual ones; the lay itself decides.",
            unseen="it is an opinion about a number, not a number",
        ),
    ),
    "15a": (
        Mistake(
            "The missing millimetres of the square taken off once",
            "A small slip in the square is a large one in the skirt; let them lay squares along the length.",
            "Did you take the missing millimetres off once? Every 10 cm lose as much: multiply by the "
            "scale.",
            ("skirt length, as printed", "quarter, as printed"), _taken_off_once,
        ),
        Mistake(
            "A quarter taken for the whole",
            "The hip is short by four times as much.",
            "Did you stop at one quarter? There are four round the hip: multiply by 4.",
            ("too tight round the hip by",), scaled(0.25),
        ),
        Mistake(
            "Printed again at a guessed scale",
            "Set the printer to true size, measure the square, then print the rest.",
            unseen="it is done at the printer, not in a draft",
        ),
    ),
    "15b": (
        Mistake(
            "One margin",
            "A page has a margin on both sides.",
            "Did you take one margin off? A page has one on both sides: take two off.",
            ("a page adds, across", "a page adds, up"), taken(margin=-1.0),
        ),
        Mistake(
            "Overlap added",
            "It is there twice, but carries the drawing once.",
            "Did you add the overlap? It lies under the next page: take it off.",
            ("a page adds, across", "a page adds, up"), taken(overlap=1.0),
        ),
        Mistake(
            "A number below 0 taken for a slip",
            "It says that the panel does not fit: one more page is needed.",
            "The sign is wrong: take what the pages carry less the panel, and keep a minus.",
            ("to spare, across", "to spare, up"), scaled(-1.0),
        ),
    ),
}  # fmt: skip

"""Common mistakes of lessons 17 and 18: a pinch carried to the paper."""

from ...mistakes import Mistake, done, scaled, stays, taken, value
from ..fitting import LEVELS


def _straight_up(work, numbers):
    return work["raised level"]


def _other_level(work, numbers):
    """The number after the right one: the sign of another level."""
    return work.draft["number of the sign"] % 5 + 1


def _let_out(work, numbers):
    """The waist carried on beyond its end, by what each edge should lose."""
    waist = work["waistline"]
    return waist.end + waist.end_direction * work["for each edge"]


MISTAKES: dict[str, tuple[Mistake, ...]] = {
    "17a": (
        Mistake(
            "The whole gap on one piece",
            "Back and front are sewn at this seam: each takes half. With the whole gap on both, the shoulder "
            "stands up twice as much.",
            "Did you take the whole gap? The seam has two edges: give each of them half.",
            ("half of the gap",),
            taken(gap_at_the_shoulder=1.0),
            "whole-gap",
        ),
        Mistake(
            "The tip straight up",
            "The shoulder becomes longer or shorter than the one it is sewn to. Let them swing the tape "
            "from the "
            "neck.",
            "Did you mark the tip straight above the old one? Swing the old length from the neck to that "
            "level.",
            ("new shoulder tip",),
            value(_straight_up),
            "tip-straight-up",
        ),
        Mistake(
            "The armhole left below",
            "Then the armhole is larger by what the tip was raised, and the sleeve no longer fits.",
            "Did you leave the underarm where it was? Raise it as much as the tip: the armhole keeps its "
            "size.",
            ("new underarm point",),
            stays("underarm point"),
            "underarm-left",
        ),
    ),
    "17b": (
        Mistake(
            "As much width as length",
            "Half as much is usual. Show what the whole would do to the hip.",
            "Did you spread as much as you let down? Spread half of it.",
            ("spread",),
            taken(let_down_at_the_back=1.0),
            "whole-spread",
        ),
        Mistake(
            "The waist lowered",
            "The skirt is too short over the seat, so the paper must grow upward.",
            "Did you go down? The back is too short: raise the waist at the centre back.",
            ("new centre back waist",),
            scaled(-1.0),
            "waist-lowered",
        ),
        Mistake(
            "The dart left as it was",
            "The waist is then too long by what was spread; the waistband would not fit.",
            "Did you keep the old dart? Make it wider by all that the new waist is longer.",
            ("new dart mouth",),
            stays("dart mouth"),
            "dart-left",
        ),
    ),
    "17c": (
        Mistake(
            "Toile less person",
            "Then what is missing seems too much. Ask them which of the two is to become larger.",
            "Did you take the person from the toile? What is missing is the person less the toile.",
            tuple(f"missing {level}" for level in LEVELS),
            scaled(-1.0),
            "other-way-round",
        ),
        Mistake(
            "Small differences taken for a sign",
            "Two readings of one tape differ by 3 mm. Only the level that differs clearly speaks.",
            unseen="the differences are right, and only the sign that follows is asked for",
        ),
        Mistake(
            "The sign of another level",
            "Read the table from the level to the sign, and mind whether the toile is too small or too "
            "large.",
            "Does this sign belong to the level where cloth is missing or too much? Read the table again.",
            ("number of the sign",),
            value(_other_level),
            "another-sign",
        ),
    ),
    "18a": (
        Mistake(
            "Half of the pinch on each edge",
            "There are two side seams with two edges each: a quarter for each edge.",
            "Did you divide by two? Four edges share what was pinched: take a quarter.",
            ("for each edge",),
            taken(pinched_at_the_waist=0.5),
            "half-on-each",
        ),
        Mistake(
            "Let out in place of taken in",
            "The waist stands off, so the new side waist lies nearer the centre.",
            "Is the new side waist outside the old one? The waist is too loose: go in.",
            ("new side waist",),
            value(_let_out),
            "let-out",
        ),
        Mistake(
            "The half forgotten",
            "The plan is half a front, and the waistband goes across both halves.",
            "Is this the length of one half? The plan is half of the front: take it twice.",
            ("new front waist",),
            scaled(0.5),
            "one-half",
        ),
    ),
    "18b": (
        Mistake(
            "The whole pinch on the half",
            "The piece is half of the bib and has one end of the top.",
            "Did you take in the whole pinch on the half bib? Both ends share it: take half.",
            ("for each end",),
            taken(pinched_at_the_bib=1.0),
            "whole-on-half",
        ),
        Mistake(
            "The bib made wider",
            "The edge stands off, so it is too long.",
            "Does your new corner lie outside the old one? The edge is too long: go toward the centre.",
            ("new bib corner",),
            done(options={"way": "left"}),
            "bib-wider",
        ),
        Mistake(
            "The facing left as it was",
            "A facing is as long as the edge that it faces.",
            "Did you give one half of the top? The facing goes across the whole bib: take it twice.",
            ("new top of the facing",),
            scaled(0.5),
            "facing-half",
        ),
    ),
}

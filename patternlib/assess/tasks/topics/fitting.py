"""Lessons 17 and 18: from a sign and a pinch to the new draft, and from measures to the sign."""

from functools import lru_cache

from ....alterations import Level, level_by_level
from ....body import Body
from ....draft import Draft, Drafting
from ....survey import measures
from ..exercise import Exercise, ask
from ..own_numbers import OwnNumbers
from . import bodice, plans, skirt


def pinched(v: OwnNumbers, least: float, steps: int) -> float:
    """The pinch of a student, cm: from `least` up, so many steps of 0.2 cm, by the student's own girths."""
    return round(least + 0.2 * (round(10 * (v.body.hip_girth + v.body.bust_girth)) % steps), 1)


def _traced(d: Drafting, of: Draft, said: str, *names: str) -> None:
    for name in names:
        d.trace(name, of[name], said)


def square_shoulders(v: OwnNumbers) -> Draft:
    """The back of the bodice for square shoulders."""
    d = Drafting("the back for square shoulders")
    _traced(
        d, bodice.block(v), "the bodice block, back",
        "waist at centre back", "nape", "back neck point", "back shoulder tip", "back width point",
        "underarm point", "back side waist", "back neckline", "back shoulder", "back armhole", "back side",
    )  # fmt: skip
    d.given("gap at the shoulder", pinched(v, 1.2, 7), source="measured on the toile, in the whole seam")
    d.sum("half of the gap", {"gap at the shoulder": 0.5}, source="half of the gap at the shoulder")
    d.length("back shoulder, length", "back shoulder")
    d.go(
        "raised level", "back shoulder tip", "up", "half of the gap",
        because="back and front share the gap, as both are sewn there",
    )  # fmt: skip
    d.add(
        "new shoulder tip", "swing", ("back neck point", "raised level"), "back shoulder, length",
        side="right", because="the shoulder turns at the neck and keeps its length",
    )  # fmt: skip
    d.go("new back width point", "back width point", "up", "half of the gap")
    d.go(
        "new underarm point", "underarm point", "up", "half of the gap",
        because="the armhole keeps its size",
    )  # fmt: skip
    d.line("new shoulder", "back neck point", "new shoulder tip", style="style line")
    d.add("down from the shoulder, angle", "angle", ("new shoulder",), -90.0, at="end")
    d.curve(
        "new armhole", ["new shoulder tip", "new back width point", "new underarm point"],
        start="down from the shoulder, angle", end="right", style="style line",
        because="it stands square on the shoulder and on the side",
    )  # fmt: skip
    return d.finish()


def full_seat(v: OwnNumbers) -> Draft:
    """The back of the skirt for a full seat."""
    d = Drafting("the back for a full seat")
    _traced(
        d, skirt.block(v), "the skirt block, back",
        "centre back waist", "back side waist", "side hip", "side hem", "centre back hem", "back dart leg",
        "back dart leg 2", "back dart point", "back waist", "back hip curve", "back hem",
    )  # fmt: skip
    d.given("let down at the back", pinched(v, 0.8, 7), source="measured on the toile at the centre back")
    d.length("waist as drawn", "back waist")
    d.add("dart mouth", "distance", ("back dart leg", "back dart leg 2"))
    d.sum(
        "waist, dart closed", {"waist as drawn": 1.0, "dart mouth": -1.0}, source="waist less the dart mouth"
    )
    d.go("new centre back waist", "centre back waist", "up", "let down at the back")
    d.sum("spread", {"let down at the back": 0.5}, source="half of what was let down")
    for name in ("back side waist", "side hip", "side hem"):
        d.go(
            f"new {name}", name, "right", "spread",
            because="slashed from the dart to the hem, the side moves out as one",
        )  # fmt: skip
    d.add("square to the side, angle", "angle", ("back hip curve",), -90.0, at="end")
    d.curve(
        "new waist", ["new centre back waist", "new back side waist"], start="right",
        end="square to the side, angle", style="style line",
    )  # fmt: skip
    d.length("new waist as drawn", "new waist")
    d.sum(
        "new dart mouth", {"new waist as drawn": 1.0, "waist, dart closed": -1.0},
        source="new waist as drawn less the waist with its dart closed", because="the waist keeps its girth",
    )  # fmt: skip
    return d.finish()


DIFFERS: tuple[tuple[str, float, str], ...] = (
    ("waist_girth", 3.0, "round the waist"),
    ("hip_girth", -4.0, "round the hip"),
    ("back_waist_length", 1.2, "nape to waist at the centre back"),
    ("length_over_bust", 1.4, "neck over the bust to the waist"),
    ("shoulder_drop", -1.2, "fall of the shoulder"),
)
"""The one measure in which the person at the fitting differs, by how much (cm), and the level that shows
it."""


def at_the_fitting(v: OwnNumbers) -> tuple[int, tuple[Level, ...]]:
    """(which of DIFFERS, the levels of the student's toile on the person at the fitting)."""
    return _at_the_fitting(v.body)


@lru_cache(600)
def _at_the_fitting(body: Body) -> tuple[int, tuple[Level, ...]]:
    which = round(10 * (body.hip_girth + body.waist_girth)) % len(DIFFERS)
    name, by, _ = DIFFERS[which]
    known = {m: getattr(body, m) for m in measures()}  # so that nothing else is estimated again
    person = Body(**{**known, name: known[name] + by}, sex=body.sex)
    shown = {level for _, _, level in DIFFERS}
    return which, tuple(level for level in level_by_level(body, person) if level.name in shown)


def which_sign(v: OwnNumbers) -> Draft:
    """The levels compared, and the number of the sign that they speak for."""
    d = Drafting("which sign is this")
    which, rows = at_the_fitting(v)
    for row in rows:
        d.given(f"toile, {row.name}", round(row.toile, 1))
        d.given(f"person, {row.name}", round(row.body, 1))
    for row in rows:
        d.sum(
            f"missing {row.name}", {f"person, {row.name}": 1.0, f"toile, {row.name}": -1.0},
            source="person less toile",
        )  # fmt: skip
    d.given("number of the sign", float(which + 1))
    return d.finish()


LEVELS = tuple(level for _, _, level in DIFFERS)


def waist_taken_in(v: OwnNumbers) -> Draft:
    """The front plan with the waist taken in, and what the waistband becomes."""
    d = Drafting("the waist taken in")
    _traced(
        d, plans.front(v), "the front plan",
        "centre waist", "side waist", "side hip", "side hem", "waistline", "hip curve", "side line",
    )  # fmt: skip
    d.given("pinched at the waist", pinched(v, 1.6, 8), source="both side seams together, all layers")
    d.sum("for each edge", {"pinched at the waist": 0.25}, source="a quarter of what was pinched")
    d.on(
        "new side waist", "waistline", "for each edge", from_end=True,
        because="four edges meet at the two side seams",
    )  # fmt: skip
    d.add("run of the side, angle", "angle", ("side line",), at="end")
    d.curve(
        "new hip curve", ["side hip", "new side waist"], start="run of the side, angle", style="style line",
        because="the side still runs straight into it at the hip",
    )  # fmt: skip
    d.add("square to the side, angle", "angle", ("new hip curve",), 90.0, at="end")
    d.curve(
        "new waistline", ["centre waist", "new side waist"], start="left", end="square to the side, angle",
        style="style line", because="it stands square on centre and side",
    )  # fmt: skip
    d.length("new half waist", "new waistline")
    d.sum(
        "new front waist", {"new half waist": 2.0}, source="twice the half",
        because="the bib's lower edge and the waistband are as long",
    )  # fmt: skip
    return d.finish()


def gaping_bib(v: OwnNumbers) -> Draft:
    """The bib with its top taken in, and its facing."""
    d = Drafting("the bib with its top taken in")
    front = plans.front(v)
    _traced(
        d, front, "the front plan",
        "centre waist", "side waist", "bib top at centre front", "bib corner", "bib side", "bib top",
    )  # fmt: skip
    d.given("pinched at the bib", pinched(v, 1.0, 6), source="both ends of the top together, all layers")
    d.sum("for each end", {"pinched at the bib": 0.5}, source="half of what was pinched")
    d.go(
        "new bib corner", "bib corner", "right", "for each end",
        because="the piece is half of the bib, and each half has one end",
    )  # fmt: skip
    d.add("leaving the waist, angle", "angle", ("bib side",), at="start")
    d.curve(
        "new bib side", ["side waist", "new bib corner"], start="leaving the waist, angle", end="up",
        style="style line", because="the fold runs out at the waist, and the side meets the top square",
    )  # fmt: skip
    d.line("new bib top", "bib top at centre front", "new bib corner", style="style line")
    d.length("half of the new top", "new bib top")
    d.sum(
        "new top of the facing", {"half of the new top": 2.0}, source="twice the half of the new top",
        because="the facing is as long as the edge that it faces",
    )  # fmt: skip
    return d.finish()


EXERCISES = (
    Exercise(
        id="17a",
        title="Square shoulders",
        lesson=17,
        task="Slanting creases run from the tip of the shoulder toward the centre, and the seam stands "
        "off at "
        "the neck. You opened the shoulder seam at the tip until the creases were gone, and measured the "
        "gap. "
        "Carry it to the back of the bodice.",
        asked=(
            *ask("half of the gap", kind="number"),
            *ask("new shoulder tip", "new back width point", "new underarm point"),
            *ask("new armhole", kind="curve"),
        ),
        draw=square_shoulders,
        ready=("gap at the shoulder",),
    ),
    Exercise(
        id="17b",
        title="A full seat",
        lesson=17,
        task="The skirt rides up at the back and the hem lifts there. You let it down at the centre back "
        "until "
        "the hem was level, and measured how far. Carry it to the back of the skirt: length at the "
        "centre, half "
        "as much width from the dart to the hem, and the dart that takes it up.",
        asked=(
            *ask("spread", kind="number"),
            *ask("new centre back waist", "new back side waist", "new side hip", "new side hem"),
            *ask("new waist", kind="curve"),
            *ask("new dart mouth", kind="number"),
        ),
        draw=full_seat,
        ready=("let down at the back",),
    ),
    Exercise(
        id="17c",
        title="Which sign is this?",
        lesson=17,
        task="Your toile, its ease taken off, is put on a person who differs from you in one measure. "
        "Calculate at each level how much is missing: the person less the toile, under 0 where it is too "
        "large. Then give the number of the sign to expect: 1 waist too tight, 2 hip too loose, 3 round "
        "upper back, 4 full bust, 5 square shoulders. Write it as a length: 3 cm for sign 3. This is no "
        "simulation of cloth.",
        asked=(
            *ask(*(f"missing {level}" for level in LEVELS), kind="number", tolerance=0.15),
            *ask("number of the sign", kind="number", weight=3.0, tolerance=0.2),
        ),
        draw=which_sign,
        ready=tuple(f"{whose}, {level}" for level in LEVELS for whose in ("toile", "person")),
        rules={
            "number of the sign": "Give the number of the sign: the level where cloth is missing says which."
        },
    ),
    Exercise(
        id="18a",
        title="The waist taken in, on the front plan",
        lesson=18,
        task="The waist stands off. You pinned the same fold at both side seams and measured both "
        "together, all "
        "layers. Take in the front plan at the side from the waist to the hip, and say how long the "
        "waistband of "
        "the front becomes.",
        asked=(
            *ask("for each edge", kind="number"),
            *ask("new side waist"),
            *ask("new hip curve", "new waistline", kind="curve"),
            *ask("new front waist", kind="number"),
        ),
        draw=waist_taken_in,
        ready=("pinched at the waist",),
    ),
    Exercise(
        id="18b",
        title="A bib that gapes",
        lesson=18,
        task="The top of the bib stands off the chest. You pinned a fold at each end of the top that ran "
        "out at "
        "the waist, and measured both together, all layers. Draw the new bib, and say how long its facing "
        "is at "
        "the top.",
        asked=(
            *ask("for each end", kind="number"),
            *ask("new bib corner"),
            *ask("new bib side", kind="curve"),
            *ask("new top of the facing", kind="number"),
        ),
        draw=gaping_bib,
        ready=("pinched at the bib",),
    ),
)

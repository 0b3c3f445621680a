"""Lesson 4: darts are moved by turning paper about a pin; the angle stays."""

from ....draft import Draft, Drafting
from ....geometry import Curve, Move
from ..exercise import Exercise, ask
from ..own_numbers import OwnNumbers
from . import bodice, skirt


def _traced(d: Drafting, block: Draft, of: str, *names: str) -> None:
    """Points and lines of a front, its centre laid on x = 0."""
    shift = Move.shift(-block["waist at centre front"].x, 0)
    for name in names:
        value = block[name]
        d.trace(name, value.moved(shift) if isinstance(value, Curve) else shift(value), of)


def ruled(d: Drafting, *lines: tuple[str, str, str]) -> None:
    """Ruled lines that only make the drawing clear: they are not asked, and nothing rests on them."""
    for name, start, end in lines:
        d.line(name, start, end)


def waist_to_hem(v: OwnNumbers) -> Draft:
    """Close the front waist dart of the skirt; the paper is slashed from the hem up to the dart's point."""
    d = Drafting("the waist dart closed into flare")
    _traced(
        d,
        skirt.block(v),
        "the skirt block, front",
        "waist at centre front",
        "centre front hem",
        "front dart leg",
        "front dart leg 2",
        "front dart point",
        "front side waist",
        "side hip",
        "side hem",
        "front hip curve",
        "front hem",
    )
    d.add("slash at the hem", "upright crossing", ("front hem", "front dart point"))
    d.add("dart mouth", "distance", ("front dart leg", "front dart leg 2"))
    d.add("dart, angle", "dart angle", ("front dart point", "front dart leg"), "dart mouth")
    d.sum("closing, angle", {"dart, angle": -1.0}, source="the dart's angle, clockwise")
    for name, new in (
        ("front dart leg 2", "second leg, closed"),
        ("front side waist", "side waist, closed"),
        ("side hip", "side hip, closed"),
        ("side hem", "side hem, closed"),
        ("slash at the hem", "slash, opened"),
        ("front hip curve", "hip curve, closed"),
    ):
        d.add(new, "turn", (name, "front dart point"), "closing, angle")
    d.add("opened at the hem", "distance", ("slash at the hem", "slash, opened"))
    ruled(
        d,
        ("centre front", "waist at centre front", "centre front hem"),
        ("side below the hip", "side hip", "side hem"),
        ("dart, first side", "front dart point", "front dart leg"),
        ("dart, second side", "front dart point", "front dart leg 2"),
        ("cut", "front dart point", "slash at the hem"),
        ("cut, opened", "front dart point", "slash, opened"),
        ("side, closed", "side hip, closed", "side hem, closed"),
    )
    return d.finish()


DOWN_THE_SIDE, BACKED_OFF = 5.0, 3.0
"""cm; where the new dart starts below the armhole, and how far its end stays from the bust point."""


def shoulder_to_side(v: OwnNumbers) -> Draft:
    """Move the bust dart from the shoulder to the side seam."""
    d = Drafting("the bust dart moved to the side")
    _traced(
        d,
        bodice.block(v),
        "the bodice block, front",
        "waist at centre front",
        "centre front neck",
        "front neck point",
        "bust point",
        "bust dart leg",
        "bust dart leg 2",
        "front shoulder tip",
        "chest point",
        "underarm point",
        "front side waist",
        "front armhole",
        "front neckline",
        "front waist",
    )
    d.along("slash point", "underarm point", "front side waist", DOWN_THE_SIDE)
    d.add("dart mouth", "distance", ("bust dart leg", "bust dart leg 2"))
    d.add("dart, angle", "dart angle", ("bust point", "bust dart leg"), "dart mouth")
    d.sum("closing, angle", {"dart, angle": -1.0}, source="the dart's angle, clockwise")
    for name, new in (
        ("bust dart leg 2", "second leg, closed"),
        ("front shoulder tip", "shoulder tip, moved"),
        ("underarm point", "underarm point, moved"),
        ("slash point", "slash point, moved"),
        ("front armhole", "armhole, moved"),
    ):
        d.add(new, "turn", (name, "bust point"), "closing, angle")
    d.add("opened at the side", "distance", ("slash point", "slash point, moved"))
    d.add("middle of the new mouth", "middle", ("slash point", "slash point, moved"))
    d.along("new dart end", "bust point", "middle of the new mouth", BACKED_OFF)
    ruled(
        d,
        ("centre front", "waist at centre front", "centre front neck"),
        ("side", "underarm point", "front side waist"),
        ("dart, first side", "bust point", "bust dart leg"),
        ("dart, second side", "bust point", "bust dart leg 2"),
        ("new dart, lower side", "new dart end", "slash point"),
        ("new dart, upper side", "new dart end", "slash point, moved"),
        ("side above the new dart", "underarm point, moved", "slash point, moved"),
    )
    return d.finish()


WAIST_TO_HEM = Exercise(
    id="04a",
    title="The waist dart closed into flare",
    lesson=4,
    task="Slash from the hem to the dart's point, close the dart and trace what has moved.",
    asked=(
        *ask("slash at the hem"),
        *ask("dart, angle", kind="number"),
        *ask(
            "second leg, closed",
            "side waist, closed",
            "side hip, closed",
            "side hem, closed",
            "slash, opened",
        ),
        *ask("hip curve, closed", kind="curve"),
        *ask("opened at the hem", kind="number"),
    ),
    draw=waist_to_hem,
)

SHOULDER_TO_SIDE = Exercise(
    id="04b",
    title="The bust dart moved to the side seam",
    lesson=4,
    task="Slash from the side to the bust point, close the shoulder dart and trace what has moved.",
    asked=(
        *ask("slash point"),
        *ask("dart, angle", kind="number"),
        *ask("second leg, closed", "shoulder tip, moved", "underarm point, moved", "slash point, moved"),
        *ask("armhole, moved", kind="curve"),
        *ask("opened at the side", kind="number"),
        *ask("new dart end"),
    ),
    draw=shoulder_to_side,
)

EXERCISES = (WAIST_TO_HEM, SHOULDER_TO_SIDE)

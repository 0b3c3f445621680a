"""Boards of a body and of its blocks: measures, skirt, bodice, a dart that moves, a joined shoulder."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from .. import tolerances
from ..blocks import bodice_block, skirt_block, sleeve_block
from ..body import Body
from ..draft import Draft
from ..geometry import Outline, fair
from ..moves import align, block_outline, close_dart, dart_angle, joined_angle
from ..output.items import curve_path, join_boxes, path_box
from ..output.scene import draft_scene, replayed
from ..output.scene.garments import Handles
from ..output.scene.landmarks import measures_scene
from ..output.scene.outlines import outline_scene
from ..survey import measures
from ..units import write_length
from .board import Board
from .handles import BLOCK_POINTS, handles_of
from .picture import BoardStep, Picture
from .slider import Slider


@dataclass(frozen=True)
class Remark:
    """One sentence below a board's picture. severity: 'error', 'warning', 'note' or 'right'."""

    severity: str
    text: str
    where: str = ""


BUST_DART = ("bust dart, neck leg", "bust dart, armhole leg")

_RANGES = {
    "bust_girth": (70, 140), "waist_girth": (52, 130), "hip_girth": (76, 140), "height": (145, 200),
    "waist_to_hip": (14, 28), "back_waist_length": (33, 48), "front_waist_length": (26, 42),
    "armhole_depth": (14, 26), "neck_girth": (30, 46), "shoulder_length": (11, 18), "bust_span": (13, 26),
    "neck_to_bust": (20, 38), "shoulder_drop": (2.5, 9), "underbust_girth": (60, 125),
    "length_over_bust": (32, 50), "upper_arm_girth": (22, 48), "wrist_girth": (13, 24),
    "arm_length": (48, 70),
}  # fmt: skip
"""cm a slider of a measure covers; a body outside it widens it."""

_OPTIONS = {
    "length": ("Skirt length", 40, 90, 0.5, 60, "cm", "From the waist to the hem: taste."),
    "hip_ease": ("Hip ease", 0, 12, 0.5, 5, "cm", "For the whole way round the body."),
    "waist_ease": ("Waist ease", 0, 10, 0.5, 2.4, "cm", "For the whole way round the body."),
    "waist_drop": ("Waist lowered at centre back", 0, 2, 0.1, 1, "cm", "The back waist dips at the spine."),
    "bust_ease": ("Bust ease", 0, 20, 0.5, 10, "cm", "For the whole way round the body."),
    "shoulder_room": ("Room over the shoulder", 0, 3, 0.1, 1.5, "cm", "The tip over the shoulder point."),
    "back_shoulder_ease": ("Back shoulder ease", 0, 1.3, 0.1, 0.8, "cm", "The back shoulder is longer."),
    "cap_ease": ("Cap ease", 0, 6, 0.1, 2.5, "cm", "How much longer the cap is than the armhole."),
    "upper_arm_ease": ("Ease round the upper arm", 2, 15, 0.5, 5, "cm", "For the whole way round the arm."),
    "wrist_ease": ("Ease round the wrist", 2, 15, 0.5, 5, "cm", "For the whole way round the wrist."),
    "bust_dart": ("Bust dart at the shoulder", 0, 14, 0.1, 7, "cm", "Width of the dart at the shoulder."),
}  # fmt: skip


def measure_slider(body: Body, name: str) -> Slider:
    """The slider of one measure of a body, starting at what the body has, cm.

    >>> measure_slider(Body(bust_girth=88, waist_girth=70, hip_girth=95), "waist_girth").shown(70)
    'Waist girth 70 cm'
    """
    m, start = measures()[name], getattr(body, name)
    low, high = _RANGES[name]
    return Slider(
        name, m.term[0].upper() + m.term[1:], min(low, start), max(high, start), 0.1, start, "cm",
        f"Measure it {m.place}.",
    )  # fmt: skip


def body_board(
    body: Body, names: tuple[str, ...] = ("bust_girth", "waist_girth", "hip_girth", "height")
) -> Board:
    """A live board of measures: those of `names` move, the others stay given or are estimated."""

    def redraw(values: Mapping[str, float], unit: str = "cm") -> Picture:
        made = body.replace(**values)
        said = f"these measures go together; {len(made.estimated)} of {len(measures())} are estimated."
        remarks = [Remark("warning", text) for text in made.doubts()] or [Remark("right", said)]
        return Picture(measures_scene(made, unit=unit), remarks)

    return Board(redraw, [measure_slider(body, name) for name in names], title="Measures of a body")


def skirt_board(
    body: Body, names: tuple[str, ...] = ("waist_girth", "hip_girth", "waist_to_hip", "length", "hip_ease")
) -> Board:
    """A live board of the straight skirt block; names: measures of the body and options of skirt_block."""
    return _block_board("Straight skirt block", skirt_block, body, names, _skirt_account)


def bodice_board(
    body: Body,
    names: tuple[str, ...] = ("bust_girth", "underbust_girth", "back_waist_length", "shoulder_drop"),
) -> Board:
    """A live board of the bodice block; names: measures of the body and options of bodice_block."""
    return _block_board("Bodice block", bodice_block, body, names, _bodice_account)


def sleeve_board(
    body: Body, names: tuple[str, ...] = ("upper_arm_girth", "cap_ease", "upper_arm_ease", "wrist_ease")
) -> Board:
    """A live board of the sleeve block for the body's own bodice; names as for the other boards."""

    def block(changed: Body, **options: float) -> Draft:
        bodice = bodice_block(changed)
        return sleeve_block(changed, bodice["back armhole"], bodice["front armhole"], **options)

    return _block_board("Sleeve block", block, body, names, _sleeve_account)


def _block_board(title: str, block: Callable[..., Draft], body: Body, names, account) -> Board:
    sliders = [
        Slider(name, *_OPTIONS[name]) if name in _OPTIONS else measure_slider(body, name) for name in names
    ]

    def made(values: Mapping[str, float]) -> Draft:
        changed = body.replace(**{n: v for n, v in values.items() if n not in _OPTIONS})
        return block(changed, **{n: v for n, v in values.items() if n in _OPTIONS})

    ways: dict[str, Handles] = {}

    def handles() -> Handles:
        """The movable points, whose ways are those at the start of the board."""
        if not ways:
            ways["start"] = handles_of(BLOCK_POINTS[title], sliders, lambda v: {"block": made(v)})
        return ways["start"]

    def redraw(values: Mapping[str, float], unit: str = "cm") -> Picture:
        draft = made(values)
        scene = draft_scene(draft, unit=unit, lettering="screen", handles=handles())
        return Picture(scene, account(draft, unit))

    def steps(values: Mapping[str, float], unit: str = "cm") -> tuple[BoardStep, ...]:
        return tuple(BoardStep(*step) for step in replayed(made(values), unit=unit))

    return Board(redraw, sliders, title=title, steps=steps)


def _skirt_account(draft: Draft, unit: str) -> list[Remark]:
    """The bookkeeping of the half pattern in one sentence, and a remark where no dart is left."""
    hip = draft["hip line"].length
    mouths = {part: draft[n] for part in ("back", "front") if (n := f"{part} dart mouths") in draft}
    drawn = sum(draft[f"{part} waist"].length for part in ("back", "front"))
    darts = " and ".join(f"{write_length(v, unit)} in the {part}" for part, v in mouths.items()) or "none"
    said = [write_length(v, unit) for v in (hip, draft["side shaping"], drawn - sum(mouths.values()))]
    text = (
        "half hip with ease {0}; side shaping {1}, back and front each; dart mouths {darts}; "
        "half waist with its darts closed {2}."
    )
    out = [Remark("right", text.format(*said, darts=darts))]
    if not mouths:
        out.append(Remark("note", "hip and waist differ too little for darts: the side takes all of it."))
    return out


def _bodice_account(draft: Draft, unit: str) -> list[Remark]:
    back = draft["back shoulder"].length
    front = draft["front neck point"].distance(draft["shoulder tip, dart closed"])
    neck = 2 * (draft["back neckline"].length + draft["front neckline"].length)
    armhole = draft["back armhole"].length + draft["front armhole"].length
    said = [write_length(v, unit) for v in (draft["bust line"].length, neck, back, front, armhole)]
    text = "half bust with ease {0}; both necklines twice {1}; back shoulder {2}, front {3}; armhole {4}."
    return [Remark("right", text.format(*said))]


def _sleeve_account(draft: Draft, unit: str) -> list[Remark]:
    """The cap walked against its armholes."""
    said = []
    for part in ("front", "back"):
        cap, hole = draft[f"{part} cap"].length, draft[f"{part} armhole"].length
        lengths = (write_length(v, unit) for v in (cap, hole, cap - hole))
        said.append("{3} cap {0}, armhole {1}, ease {2}".format(*lengths, part))
    wide = write_length(draft["biceps line"].length, unit)
    high = write_length(draft["cap top"].y, unit)
    return [Remark("right", f"{'; '.join(said)}; cap height {high}, biceps line {wide}.")]


# -- a dart that moves


def dart_board(body: Body, *, start: float = 29.0) -> Board:
    """A live board that moves the bust dart to any place on the outline of the bodice front.

    The place is a share of the way round from the dart, anticlockwise, in %, the legs of darts left out;
    another slider says how much of the angle is moved.
    """
    block = bodice_block(body)
    before = block_outline(block, "front")
    sliders = [
        Slider("place", "Place round the outline", 1, 99, 0.5, start, "%", "0 and 100 are at the old dart."),
        Slider("share", "Share of the angle moved", 5, 100, 5, 100, "%", "100 closes the old dart."),
    ]

    def redraw(values: Mapping[str, float], unit: str = "cm") -> Picture:
        edge, at = place_round(before, BUST_DART, values["place"] / 100)
        moved = close_dart(
            before, BUST_DART, open_at=(edge, at), share=values["share"] / 100, still="centre front"
        )
        legs = ("moved dart, first leg", "moved dart, second leg")
        mouth = moved[legs[0]].start.distance(moved[legs[1]].end)
        angle = dart_angle(before, BUST_DART)
        text = (
            f"the dart opens on the {edge}, {write_length(at, unit)} from its start; its legs are "
            f"{write_length(moved[legs[0]].length, unit)} long, its mouth {write_length(mouth, unit)} wide; "
            f"{dart_angle(moved, legs):.1f} of {angle:.1f} degrees lie there."
        )
        scene = outline_scene(
            moved, beneath=[before], unit=unit, lettering="screen",
            title="Bodice front with its bust dart moved",
        )  # fmt: skip
        return Picture(scene, [Remark("right", text)])

    return Board(redraw, sliders, title="The bust dart moved")


def place_round(outline: Outline, legs: tuple[str, str], share: float) -> tuple[str, float]:
    """(edge, distance from its start, cm) of a place on an outline, so far round from a dart, 0 to 1.

    Legs of darts are passed over.

    >>> block = bodice_block(Body(bust_girth=88, waist_girth=70, hip_girth=95))
    >>> place_round(block_outline(block, "front"), BUST_DART, 0.05)[0]
    'shoulder, armhole part'
    """
    first = outline.names.index(legs[1]) + 1
    edges = [e for e in (*outline.edges[first:], *outline.edges[:first]) if not e[0].endswith(" leg")]
    left = share * sum(curve.length for _, curve in edges)
    for name, curve in edges:
        if left <= curve.length:
            return name, left
        left -= curve.length
    return edges[-1][0], edges[-1][1].length


# -- lines across a seam


def joined_board(body: Body) -> Board:
    """A live board of a front laid on its back along the shoulder: do neckline and armhole run on?

    The sliders turn the ends of the front's lines out of their proper direction, degrees.
    """
    block = bodice_block(body, bust_dart=0.0)
    sliders = [
        Slider(
            "neckline", "Front neckline turned at the shoulder", -30, 30, 1, 12, "degrees",
            "0 leaves the shoulder at a right angle.",
        ),
        Slider(
            "armhole", "Front armhole turned at the shoulder", -30, 30, 1, -15, "degrees",
            "0 leaves the shoulder at a right angle.",
        ),
    ]  # fmt: skip

    def redraw(values: Mapping[str, float], unit: str = "cm") -> Picture:
        draft = turned_ends(block, neckline=values["neckline"], armhole=values["armhole"])
        back, front = joined_shoulder(draft)
        remarks = []
        for name in ("neckline", "armhole"):
            angle = joined_angle(back[name], back["shoulder"], front[name], front["shoulder"])
            fine = abs(angle - 180) <= tolerances.SMOOTH
            shape = "runs on" if fine else "juts out" if angle < 180 else "dips in"
            text = f"the {name} {shape} at the shoulder: {angle:.0f} degrees, and 180 is smooth."
            remarks.append(Remark("right" if fine else "warning", text))
        names = ("neckline", "armhole", "shoulder")
        near = join_boxes(path_box(curve_path(part[name])) for part in (back, front) for name in names)
        scene = outline_scene(
            back, front, measures=names, window=near, unit=unit, lettering="screen",
            title="Bodice back and front joined at the shoulder",
        )  # fmt: skip
        return Picture(scene, remarks)

    return Board(redraw, sliders, title="Across the joined shoulder")


def turned_ends(block: Draft, *, neckline: float = 0.0, armhole: float = 0.0) -> Draft:
    """A bodice block without a bust dart, its front lines turned at the shoulder by so many degrees.

    More than 0 sharpens the corner of the front, less than 0 opens it.
    """
    neck, hole = block["front neckline"], block["front armhole"]
    turned = {
        "front neckline": fair(
            [neck.start, neck.end], start=neck.start_direction.turned(-neckline), end=neck.end_direction
        ),
        "front armhole": fair(
            [hole.start, block["chest point"], hole.end],
            start=hole.start_direction.turned(armhole), end=hole.end_direction,
        ),
    }  # fmt: skip
    return block.replay(points=turned)


def joined_shoulder(block: Draft) -> tuple[Outline, Outline]:
    """(back, front) of a bodice block without a bust dart, the front laid to the back at the shoulder."""
    back, front = block_outline(block, "back"), block_outline(block, "front")
    ease = back["shoulder"].length - front["shoulder"].length
    p, q = back["shoulder"].end, back["shoulder"].start
    move = align(front["shoulder"].start, front["shoulder"].end, p, q, ease=-ease)
    return back, front.moved(move)

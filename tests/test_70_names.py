"""Names on drafts: no line runs through them, each belongs to its point, in the room that a page has."""

from __future__ import annotations

import pytest
import shapely
from shapely import Polygon

from patternlib import chart, garment_names, make
from patternlib.blocks import skirt_block
from patternlib.errors import UnknownName
from patternlib.geometry import Point
from patternlib.output.items import Stroke, Text
from patternlib.output.lettering.taken import texts_for_screen
from patternlib.output.scene import draft_scene
from patternlib.output.scene.base import TALL, WIDE
from patternlib.output.scene.garments import sheet_scene
from patternlib.own_measures import own_sleeve
from tests.drawn import cut_area, path_lines


def texts(scene) -> list[Text]:
    return [item for item in scene.items if isinstance(item, Text)]


def names_on_lines(scene) -> tuple[int, list[str]]:
    """How many words a picture in a cell has, and those that a line runs through; by shapely."""
    x0, y0, x1, y1 = scene.bounds
    shown = texts_for_screen(scene.items, min(WIDE / (x1 - x0), TALL / (y1 - y0)))
    lines = shapely.union_all([g for s in scene.items if isinstance(s, Stroke) for g in path_lines(s.d)])
    return len(shown), [text.text for text in shown if Polygon(text.corners()).intersects(lines)]


@pytest.mark.parametrize("size", ["6", "18", "30"])
def test_no_line_runs_through_a_name(size):
    """Blocks and plans of three garments, whole and at three steps: all but one word in 300 stand clear."""
    body = chart("course").body(size)
    drafts = [skirt_block(body), *own_sleeve(body)]
    drafts += [
        d for g in garment_names() for d in make(g, body, size=size, date="2026-11-26").drafts.values()
    ]
    words, crossed = 0, []
    for draft in drafts:
        for upto in (None, *(len(draft.steps) * k // 4 for k in (1, 2, 3))):
            many, found = names_on_lines(draft_scene(draft, upto=upto, lettering="screen"))
            words += many
            crossed += [(draft.title, upto, name) for name in found]
    assert words > 900
    assert len(crossed) <= words / 300, crossed


def test_a_far_name_stands_nearest_to_its_own_point():
    """Beside a name that has no room close by, no other point lies nearer than its own."""
    draft = own_sleeve(chart("course").body("12"))[1]
    points = [s.value for s in draft.steps if isinstance(s.value, Point) and s.style != "aside"]
    for text in texts(draft_scene(draft, lettering="screen")):
        if text.style == "point":
            space, own = Polygon(text.corners()), draft[text.text]
            far = space.distance(shapely.Point(*own))
            assert far < text.size_cm or far <= min(space.distance(shapely.Point(*p)) for p in points) + 1e-6


def test_a_draft_is_looked_at_round_some_of_its_lines():
    """The frame of the sleeve without the room of the arm; its names are no smaller."""
    draft = own_sleeve(chart("course").body("12"))[1]
    whole = draft_scene(draft, upto="biceps line", lettering="screen")
    frame = draft_scene(draft, upto="biceps line", around=("cap top", "biceps line"), lettering="screen")
    x0, y0, x1, y1 = frame.bounds
    assert x0 < draft["back underarm"].x and x1 > draft["front underarm"].x
    assert y0 < 0 < draft["cap top"].y < y1 < draft["cap top"].y + 5
    assert y1 - y0 < (whole.bounds[3] - whole.bounds[1]) / 2
    assert {"cap top", "back underarm", "front underarm"} <= {text.text for text in texts(frame)}
    with pytest.raises(UnknownName):
        draft_scene(draft, around=("cap tap",))


@pytest.mark.parametrize("name", garment_names())
def test_names_on_a_board_lie_on_no_other_piece(name):
    """Plans beside pieces in the room of a board: neither names of pieces nor of points at the rim."""
    garment = make(name, chart("course").body("12"), size="12", date="2026-11-26")
    points = (("front plan", "side hem"), ("back plan", "side hem"))
    scene = sheet_scene(garment, handles={at: ("", {}) for at in points})
    x0, y0, x1, y1 = scene.bounds
    shown = texts_for_screen(scene.items, min(706 / (x1 - x0), 480 / (y1 - y0)))
    named = {word for text in shown for word in text.text.split(" · ")}
    assert len({piece.name for piece in garment.pieces} - named) <= 1  # one may find no room so small
    for text in shown:
        others = [piece.name for piece in garment.pieces if piece.name != text.piece]
        on = [other for other in others if cut_area(scene, other).intersects(Polygon(text.corners()))]
        assert not on, (text.text, on)

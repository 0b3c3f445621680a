"""Layout and lettering: boxes on shelves, labels in panels, words wrapped."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

from patternlib.output.layout import shelves
from patternlib.output.lettering.sizes import wrapped
from patternlib.output.scene import (
    piece_scene,
)
from patternlib.pieces import Edge, finish
from tests.drawn import marked, panel, path_lines
from tests.test_70_scene import strokes, texts

# --- layout and lettering -----------------------------------------------------------------------------------

sides = st.floats(0.5, 90)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(sides, sides), min_size=1, max_size=14),
    st.floats(0, 5),
    st.none() | st.floats(20, 200),
)
def test_boxes_on_shelves_keep_apart(sizes, gap, width):
    places = shelves(sizes, gap=gap, width=width)
    rooms = [box(x, y, x + w, y + h) for (x, y), (w, h) in zip(places, sizes, strict=True)]
    for i, a in enumerate(rooms):
        for b in rooms[i + 1 :]:
            assert a.distance(b) >= gap - 1e-9
            assert a.intersection(b).area < 1e-9


@settings(max_examples=40, deadline=None)
@given(st.floats(6, 60), st.floats(6, 60), st.floats(-90, 90))
def test_labels_of_any_panel_are_free(width, height, tilt):
    """Whatever the panel, its texts lie off all lines and off each other."""
    piece = finish(panel(width, height, tilt=tilt, label=("panel", "trial", "size 12", "cut 2 as a pair")))
    scene = piece_scene(piece, measures=True)
    rooms = [Polygon(t.corners()) for t in texts(scene)]
    lines = [g for s in strokes(scene) for g in path_lines(s.d)]
    assert rooms
    for k, room in enumerate(rooms):
        assert not any(room.intersects(g) for g in lines)
        assert all(room.intersection(other).area < 1e-9 for other in rooms[k + 1 :])


def test_words_are_wrapped_as_evenly_as_can_be():
    words = ["pinafore", "size 12", "cut 2", "main cloth", "2026-11-25"]
    for count in (1, 2, 3, 5, 9):
        lines = wrapped(words, count)
        assert len(lines) == min(count, 5) and " · ".join(lines) == " · ".join(words)
    assert max(map(len, wrapped(words, 2))) < 35


def test_an_edge_without_allowance_is_drawn():
    piece = panel(20, 20)
    bare = piece.replace(edges=tuple(Edge(e.name, e.curve, 0.0, e.turn) for e in piece.edges))
    scene = piece_scene(finish(marked(bare)))
    assert all(math.dist(s.d[0][1:], s.d[1][1:]) == pytest.approx(0.3) for s in strokes(scene, style="notch"))

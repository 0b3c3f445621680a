"""Figures: the scene's lines and letters in matplotlib, to scale, without pyplot."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex
from matplotlib.figure import Figure

from patternlib.errors import PatternError
from patternlib.output.figure import as_figure
from patternlib.output.items import Stroke, Text, text_width
from patternlib.output.scene import Scene, draft_scene, plan_scene
from patternlib.output.styles import LINES
from tests.drawn import drawn, path_length, pinafore

SQUARE = Stroke((("M", 0, 0), ("L", 10, 0), ("L", 10, 10), ("L", 0, 10), ("Z",)), "cut", "cut lines")
BEND = Stroke((("M", 0, 0), ("C", 0, 5, 5, 10, 10, 10)), "seam", "seam lines")


def test_pyplot_is_left_alone():
    """Loading the module loads no matplotlib; drawing loads it, never pyplot."""
    code = (
        "import sys; from patternlib.output.figure import as_figure;"
        "from patternlib.output.scene import Scene;"
        "assert 'matplotlib' not in sys.modules; as_figure(Scene((), 'empty', (0, 0, 9, 9)));"
        "assert 'matplotlib.figure' in sys.modules and 'matplotlib.pyplot' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("size", [None, (4, 9), (9, 3)])
def test_both_ways_have_one_scale(size):
    """10 cm across and 10 cm up cover equally many pixels, whatever the shape of the figure."""
    made = as_figure(Scene((SQUARE,), "square", (-2, -3, 30, 12)), size=size)
    ax = made.axes[0]
    FigureCanvasAgg(made).draw()
    a, b, c = ax.transData.transform([(0, 0), (10, 0), (0, 10)])
    assert b[0] - a[0] == pytest.approx(c[1] - a[1], rel=1e-6) and c[1] > a[1]


def test_curves_are_drawn_as_the_scene_has_them():
    made = as_figure(Scene((SQUARE, BEND), "two", (0, 0, 10, 10)))
    patches = {p.get_label(): p for p in made.axes[0].patches}
    bend = patches["seam line"].get_path()
    assert bend.vertices.tolist() == [[0, 0], [0, 5], [5, 10], [10, 10]]
    (flat,) = bend.interpolated(1).to_polygons(closed_only=False)
    steps = np.hypot(*np.diff(flat, axis=0).T).sum()
    assert steps == pytest.approx(path_length(BEND.d), rel=5e-3)
    assert patches["cut line"].get_path().to_polygons()[0].shape == (5, 2)


def test_line_styles_are_those_of_the_table():
    made = as_figure(drawn("12"))
    for patch in made.axes[0].patches:
        style = next(name for name, look in LINES.items() if look.words == patch.get_label())
        assert to_hex(patch.get_edgecolor()) == LINES[style].colour
        assert patch.get_linewidth() == pytest.approx(LINES[style].width * 2.4)
        dashes = patch.get_linestyle()
        assert (dashes == "solid") == (not LINES[style].dashes)
        if LINES[style].dashes:
            drawn_pt = np.array(dashes[1]) * patch.get_linewidth()
            assert drawn_pt == pytest.approx(np.array(LINES[style].dashes) * 1.5)


@pytest.mark.parametrize("size", ["6", "26"])
def test_letters_keep_clear_of_each_other(size):
    """With matplotlib's own measures of its letters: all in the figure, none on another."""
    plans = plan_scene(pinafore(size), lettering="screen", construction=False)
    for scene in (drawn(size, "screen"), plans):
        made = as_figure(scene)
        FigureCanvasAgg(made).draw()
        rooms = [t.get_window_extent() for t in made.axes[0].texts]
        assert len(rooms) > 12
        for k, a in enumerate(rooms):
            assert a.x0 >= -1 and a.x1 <= made.bbox.x1 + 1 and a.y0 >= -1 and a.y1 <= made.bbox.y1 + 1
            for b in rooms[k + 1 :]:
                across = min(a.x1, b.x1) - max(a.x0, b.x0)
                up = min(a.y1, b.y1) - max(a.y0, b.y0)
                assert across < 1 or up < 1


def test_letters_run_no_wider_than_reckoned():
    """text_width against DejaVu Sans as matplotlib measures it, for every text of the pinafore."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    font = FontProperties(family="DejaVu Sans")
    items = (*drawn("12").items, *plan_scene(pinafore("12")).items)
    words = {t.text for t in items if isinstance(t, Text)}
    assert len(words) > 60
    for text in words:
        real = TextPath((0, 0), text, size=100, prop=font).get_extents().x1
        assert real <= text_width(text, 100) * 1.05, text


def test_the_bar_has_its_length():
    made = as_figure(drawn("12"))
    (bar,) = made.axes[0].lines
    xs = bar.get_xdata()
    said = made.axes[0].texts[-1].get_text()
    assert max(xs) - min(xs) == pytest.approx(float(said.removesuffix(" cm"))) == 20


def test_it_draws_on_given_axes():
    own = Figure(figsize=(6, 4))
    axes = own.subplots(1, 2)
    assert as_figure(drawn("12", "screen"), ax=axes[1]) is own
    assert axes[1].patches and not axes[0].patches


def test_words_are_no_formulas():
    """A label with dollar signs is shown as it is."""
    scene = Scene((Text(5, 5, "cost $5^2$ \\frac", 1.0),), "words", (0, 0, 20, 10))
    made = as_figure(scene)
    FigureCanvasAgg(made).draw()
    text = made.axes[0].texts[0]
    assert text.get_text() == "cost $5^2$ \\frac" and not text.get_parse_math()


def test_a_notebook_shows_it():
    made = as_figure(draft_scene(pinafore("12").drafts["skirt block"], upto="side hip"))
    assert made._repr_png_().startswith(b"\x89PNG\r\n\x1a\n")


def test_a_size_that_cannot_be_is_refused():
    with pytest.raises(PatternError, match="1 to 60 inches"):
        as_figure(drawn("12"), size=(0, 4))

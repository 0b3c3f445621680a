"""The printed markers: the table of codes, and where they lie on paper."""

from __future__ import annotations

from itertools import combinations

import pytest

from patternlib.errors import PatternError
from patternlib.output.paper.tiles import LAP, MARGIN, SHEETS, TRIM
from patternlib.photo import codes, layouts

PAPERS = [(paper, across) for paper in layouts.PAPERS for across in (False, True)]


def test_the_codes_are_those_of_the_open_family():
    """Source: the table of 36h11 in OpenCV's `aruco` module, which reads the markers."""
    cv2 = pytest.importorskip("cv2")
    known = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    assert len(known.bytesList) == codes.MOST
    for number in range(codes.MOST):
        drawn = cv2.aruco.generateImageMarker(known, number, codes.SIDE) > 0
        assert drawn.tolist() == [list(row) for row in codes.marker_cells(number)], number


@pytest.mark.parametrize("number", [-1, codes.MOST])
def test_there_is_no_other_marker(number):
    with pytest.raises(PatternError, match="between 0 and 586"):
        codes.marker_cells(number)


@pytest.mark.parametrize("paper, across", PAPERS)
def test_markers_stay_on_what_is_left_of_a_page_when_pages_are_joined(paper, across):
    """They keep their white border, clear of each other, of the code and of the line to cut along."""
    layout = layouts.sheet_layout(paper, 2, across=across)
    wide, high = layout.size
    assert (wide, high) == (SHEETS[paper][::-1] if across else SHEETS[paper])
    assert sorted(layout.markers) == list(range(40, 60))
    room = [(c[3].x - 0.1, c[3].y - 0.1, c[1].x + 0.1, c[1].y + 0.1) for c in layout.markers.values()]
    for x0, y0, x1, y1 in [*room, layout.code]:
        assert x0 >= MARGIN + TRIM and y0 >= MARGIN + LAP
        assert x1 <= wide - MARGIN - LAP and y1 <= high - MARGIN - TRIM
    for a, b in combinations([*room, layout.code, layout.box], 2):
        if layout.code in (a, b) and layout.box in (a, b):
            continue  # the code alone reaches into the drawing
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
    assert layout.test_line[1].x - layout.test_line[0].x == pytest.approx(layouts.TEST_LINE)


def test_pages_next_to_each_other_share_no_marker():
    numbers = [set(layouts.sheet_layout("a4", page).markers) for page in range(15)]
    assert len(set().union(*numbers)) == 300 == layouts.FLAGS
    assert set(layouts.sheet_layout("a4", 15).markers) == numbers[0]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_four_strips_lie_on_a_page_and_none_shares_a_marker(paper):
    strips = [strip for page in (0, 1) for strip in layouts.strips_layout(paper, page)]
    assert [strip.name[-1] for strip in strips] == list("ABCDEFGH")
    assert len({number for strip in strips for number in strip.markers}) == 8 * 12
    assert max(max(strip.markers) for strip in strips) < codes.MOST
    for strip in strips:
        x0, y0, x1, y1 = strip.box
        assert x0 >= 0.6 and x1 <= SHEETS[paper][0] - 0.6 and y0 > strip.test_line[0].y + 0.3
        corners = [p for c in strip.markers.values() for p in c]
        assert all(x0 + 0.22 < p.x < x1 - 0.22 and y0 + 0.22 < p.y < y1 - 0.22 for p in corners)
        (mark,) = strip.marks.values()
        assert all(mark.distance(p) > 0.9 for p in corners)


def test_a_flag_points_below_its_marker():
    flag = layouts.flag_layout(179)
    assert list(flag.markers) == [479] and layouts.STRIPS > 479
    assert all(corner.y > flag.tip.y + 0.9 for corner in flag.markers[479])


@pytest.mark.parametrize(
    "call",
    [
        lambda: layouts.sheet_layout("a0", 0),
        lambda: layouts.sheet_layout("a4", -1),
        lambda: layouts.strips_layout("a3"),
        lambda: layouts.strips_layout("a4", 2),
        lambda: layouts.flag_layout(180),
    ],
)
def test_other_papers_and_numbers_are_refused(call):
    with pytest.raises(PatternError):
        call()

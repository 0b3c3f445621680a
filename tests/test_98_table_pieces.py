"""Pieces on the drafting table: traced, finished, judged.

- The listed mistakes of pieces, made on the table, get their remark.
- A piece is the same whichever way its edges were traced, and in whatever order.
- What cannot be done is a sentence that stops nothing else.
- A cut line drawn on the table is that of `pieces.finish` on the same seam lines.
"""

from __future__ import annotations

import itertools
import math

import msgspec
import pytest
import shapely
from msgspec.structs import replace

from patternlib.assess import exercises, judge
from patternlib.assess.sandbox.job import Job
from patternlib.assess.sandbox.one_job import _replayed
from patternlib.assess.table.board import DraftingTable
from patternlib.assess.table.folding import folded_corner
from patternlib.assess.table.kept import Kept
from patternlib.assess.table.laying import handed_in, lay
from patternlib.assess.table.tracing import Traced, round_of, told_pieces
from patternlib.assess.table.viewing import viewed
from patternlib.assess.tasks.record import StepTaken, read
from patternlib.geometry import Point, line
from tests.table_pieces import MADE_ON_THE_TABLE, all_steps, with_names

WITH_PIECES = [id for id, work in exercises().items() if work.finish]


def laid_for(id: str, student: str = "lena", change=None):
    work = exercises()[id]
    of = work.own_numbers(student)
    steps = all_steps(work, of)
    if change:
        steps = with_names([change(step) for step in steps])
    return work, of, lay(work, of, steps)


def test_all_pieces_that_are_asked_can_be_made():
    assert WITH_PIECES == ["09a", "09b", "10a", "10b", "11a", "11b"]
    listed = {
        (id, m.code) for id in WITH_PIECES for m in exercises()[id].mistakes if m.finish and not m.unseen
    }
    assert listed == set(MADE_ON_THE_TABLE)


@pytest.mark.parametrize("student", ["lena", "amir"])
@pytest.mark.parametrize(("id", "code"), MADE_ON_THE_TABLE, ids=str)
def test_a_listed_mistake_made_on_the_table_gets_its_remark(id, code, student):
    work, of, laid = laid_for(id, student, MADE_ON_THE_TABLE[id, code])
    assert not laid.faults
    mistake = next(m for m in work.mistakes if m.code == code and m.finish)
    verdict = judge(handed_in(work, of, laid, student=student))
    off = [line for line in verdict.lines if line.verdict == "off"]
    assert off and {line.slip for line in off if line.step in mistake.at} == {code}
    assert all(mistake.remark in line.text for line in off)
    assert {line.step for line in off} <= set(mistake.at)  # what follows from it is right


def test_a_piece_is_the_same_whichever_way_it_is_traced():
    """Every order of four sides, each traced forward or backward, gives the one anticlockwise round."""
    corners = Point(0, 0), Point(7, 1), Point(6, 12), Point(-1, 9)
    sides = [
        Traced(name, "p", name, line(a, b))
        for name, a, b in zip("abcd", corners, corners[1:] + corners[:1], strict=True)
    ]
    for order in itertools.permutations(sides):
        for turned in itertools.product((False, True), repeat=4):
            found = round_of([s.turned() if back else s for s, back in zip(order, turned, strict=True)])
            names = "".join(edge.step for edge in found.edges)
            assert found.closed and names in "abcdabcd"
            assert all(
                edge.curve.start == s.curve.start
                for s in sides
                for edge in found.edges
                if edge.step == s.step
            )


def test_an_open_run_of_edges_keeps_the_way_the_wheel_ran_where_it_is_flat():
    flat = [Traced("a", "p", "a", line((10, 0), (5, 0.1))), Traced("b", "p", "b", line((5, 0.1), (0, 0)))]
    assert [e.step for e in round_of(flat).edges] == ["a", "b"]
    hook = [Traced("a", "p", "a", line((0, 0), (0, 9))), Traced("b", "p", "b", line((0, 9), (9, 9)))]
    assert [e.step for e in round_of(hook).edges] == ["b", "a"] and not round_of(hook).closed


def test_the_steps_of_pieces_are_accepted_for_narrow_and_wide_bodies():
    """An open strap, however narrow, is walked the way round that its piece goes: 11b for forty students."""
    work = exercises()["11b"]
    for k in range(40):
        of = work.own_numbers(f"mia {k}")
        laid = lay(work, of, all_steps(work, of))
        assert not laid.faults
        (want,) = [n for p in work.finish(work.reference(of), of) for n in p.notches if n.edge == "base"]
        strap = laid.pieces["strap"]
        assert [strap.from_start(notch) for notch in strap.notches] == [pytest.approx(want.at, abs=1e-6)], k


def test_a_single_edge_and_one_that_lies_apart_are_no_closed_piece():
    far = Traced("b", "p", "b", line((50, 50), (60, 50)))
    found = round_of([Traced("a", "p", "a", line((0, 0), (9, 0))), far])
    assert not found.closed and found.apart == (far,)
    assert round_of([]).edges == ()


def test_the_cut_line_of_a_square_is_its_allowances_away():
    """A 12 cm square pocket, 1 cm round it and 2.5 cm at its opening, measures 14 by 15.5 cm."""
    work = exercises()["10a"]
    of = work.own_numbers("lena")
    corners = {"A": (0, 0), "B": (12, 0), "C": (12, 12), "D": (0, 12)}
    steps = [StepTaken("A", "go", ("pocket inner top",), "40", way="left")]
    steps += [
        StepTaken("B", "go", ("A",), "12", way="right"),
        StepTaken("C", "go", ("B",), "12", way="up"),
        StepTaken("D", "level", ("C", "A")),
    ]
    sides = {"inner side": "AB", "inner foot": "BC", "outer foot": "CD", "outer side": "DA"}
    steps += [StepTaken(name, "rule", tuple(ends)) for name, ends in sides.items()]
    steps += [StepTaken(f"x: {n}", "trace", (n,), piece="x", edge=n) for n in sides]
    wide = dict.fromkeys(sides, "1") | {"outer foot": "2.5"}
    steps += [StepTaken(f"allowance {n}", "allowance", (f"x: {n}",), wide[n], turn="seam") for n in sides]
    steps += [StepTaken("x: cut line", "cut line", piece="x")]
    laid = lay(work, of, steps)
    assert not laid.faults and corners
    ring = laid.pieces["x"].record()["cut_line"]
    across, up = zip(*ring, strict=True)
    assert (max(across) - min(across), max(up) - min(up)) == pytest.approx((14, 15.5))
    assert len(ring) == 4


def test_notches_on_both_edges_of_a_seam_lie_at_one_place_of_the_plan():
    """The yoke's seat and the strap's base are one line of the plan, traced twice: so are their notches."""
    _, _, laid = laid_for("11b")
    yoke, strap = (
        next((p, n) for n in laid.pieces[p].places() if n.edge == e)
        for p, e in (("back yoke", "strap seat"), ("strap", "base"))
    )
    spots = [laid.pieces[p].edge(f"{p}: {n.edge}").curve.at(n.at) for p, n in (yoke, strap)]
    assert math.dist(*spots) < 1e-6 and spots[0].distance(laid.values["seat notch"]) < 1e-6
    assert yoke[1].at + strap[1].at == pytest.approx(laid.values["strap seat, length"])


# -- what cannot be done

EDGE = StepTaken("front skirt: hem", "trace", ("hemline",), piece="front skirt", edge="hem")
SIDE = StepTaken("front skirt: side seam", "trace", ("side",), piece="front skirt", edge="side seam")


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (StepTaken("a", "trace", ("hemline",), piece="front skirt", edge="hm"), "Did you mean 'hem'"),
        (StepTaken("a", "trace", ("hemline",), piece="", edge="hem"), "Say which piece"),
        (StepTaken("a", "trace", ("hemline",), piece="front skirt", edge="hem"), "has its hem already"),
        (StepTaken("a", "trace", ("side", "centre hem", "hemline"), piece="x", edge="y"), "beside this line"),
        (StepTaken("a", "trace", ("side", "hemline"), piece="x", edge="y"), "where it ends"),
        (StepTaken("a", "trace", ("side", "hemline", "side hem"), piece="x", edge="y"), "at one place"),
        (
            StepTaken("a", "trace", ("side", "front neckline", "side hem"), piece="x", edge="y"),
            "does not meet",
        ),
        (StepTaken("a", "allowance", ("side",), "1", turn="seam"), "is not an edge of a piece"),
        (StepTaken("a", "allowance", ("front skirt: hem",), "− 1", turn="seam"), "between 0 and 30 cm"),
        (StepTaken("a", "allowance", ("front skirt: hem",), "1"), "what becomes of this edge"),
        (StepTaken("a", "corner", ("front skirt: hem",) * 2, first="hem"), "do not meet"),
        (StepTaken("a", "cut line", piece="front skirt"), "not cut free yet"),
        (StepTaken("a", "cut line", piece="bib"), "No edge of the bib is traced"),
        (StepTaken("a", "grain", ("hemline",), piece="", measure="5"), "Say which piece"),
        (StepTaken("a", "grain points", ("side hem", "side hem"), piece="x"), "two points that lie apart"),
        (StepTaken("a", "label", piece="x", count="two", how="single", cloth="main cloth"), "whole number"),
        (StepTaken("a", "label", piece="x", count="2", how="twice", cloth="main cloth"), "no way to cut"),
        (StepTaken("a", "label", piece="x", count="2", how="single"), "of which cloth"),
        (StepTaken("a", "notch", ("front skirt: hem", "side hem"), "900", count="single"), "only"),
        (StepTaken("a", "notch", ("front skirt: hem", "side hem"), "5", count="triple"), "single or double"),
        (StepTaken("a", "notch", ("front skirt: hem", "opening end"), "5", count="single"), "neither end"),
        (StepTaken("a", "notch", ("front skirt: hem", "hemline"), "5", count="single"), "both ends"),
        (
            StepTaken("a", "notch a seam", ("front skirt: hem", "side hem") * 2, "5", count="single"),
            "two edges",
        ),
    ],
    ids=lambda case: case if isinstance(case, str) else case.verb,
)
def test_what_cannot_be_done_to_a_piece_is_said(step, said):
    work = exercises()["09a"]
    laid = lay(work, work.own_numbers("lena"), (EDGE, step, SIDE))
    assert said in laid.faults["a"], laid.faults
    assert list(laid.faults) == ["a"] and "front skirt: side seam" in laid.values


def test_a_thing_is_added_once_and_a_closed_piece_takes_no_more_edges():
    work, of, laid = laid_for("10a")
    again = [
        replace(s, name=f"{s.name} again")
        for s in laid.steps
        if s.verb in ("allowance", "corner", "cut line")
    ]
    more = StepTaken("more", "trace", ("the opening",), piece="back pocket", edge="opening")
    faults = lay(work, of, (*laid.steps, *again, more)).faults
    assert all("is there already" in faults[s.name] for s in again)
    assert "already" in faults["more"] and len(faults) == len(again) + 1


def test_a_cut_line_waits_for_every_allowance():
    work, of, laid = laid_for("10a")
    bare = [s for s in laid.steps if s.name != "back pocket: allowance of opening"]
    assert "no allowance yet at opening" in lay(work, of, bare).faults["back pocket: cut line"]
    growing = lay(work, of, bare[:-1]).pieces["back pocket"]
    assert growing.cut_line and not growing.record()["cut_line"]


# -- handed in


def test_the_record_holds_the_pieces_and_the_steps_give_them_again(tmp_path):
    table = DraftingTable("10a", student="lena", folder=tmp_path)
    _, _, laid = laid_for("10a")
    table.put(Kept("10a", "lena", 1, laid.steps))
    record = table.record()
    assert set(record["finish"]) == {"back pocket"} and len(record["finish"]["back pocket"]["cut_line"]) > 5
    assert _replayed(read(record), Job("{}", "lena")) == "same"
    record["finish"]["back pocket"]["allowances"]["opening"] += 1
    assert _replayed(read(record), Job("{}", "lena")) == "differs"


# -- what the page is shown


def test_a_corner_is_shown_folded_each_way():
    """Cut for the opening to be folded first, it lies flat; cut straight on, it stands over or leaves a gap.

    The pocket's opening rises to the outer side: at the sharp corner a plain allowance stands over its edge,
    at the blunt one it does not reach it (fold a strip of paper at both corners).
    """
    _, _, laid = laid_for("10a")
    pocket = laid.pieces["back pocket"]
    sharp, blunt = (
        {way["first"]: way for way in folded_corner(pocket, f"back pocket: {a}", f"back pocket: {b}")}
        for a, b in (("outer side", "opening"), ("inner side", "opening"))
    )
    for ways, side in ((sharp, "outer side"), (blunt, "inner side")):
        assert set(ways) == {side, "opening", "neither"}
        for first in (side, "opening"):
            assert ways[first]["over"] == ways[first]["lacking"] == []
            assert ways[first]["said"] == f"{first} folded back lies flat"
    assert sharp["neither"]["over"] and not sharp["neither"]["lacking"]
    assert blunt["neither"]["lacking"] and not blunt["neither"]["over"]
    assert folded_corner(pocket, "back pocket: opening", "back pocket: inner foot") == []


def test_the_page_sees_each_piece_and_where_its_remarks_belong(tmp_path):
    table = DraftingTable("11b", student="lena", folder=tmp_path)
    _, _, laid = laid_for("11b")
    table.put(Kept("11b", "lena", 1, laid.steps))
    yoke, strap = table.sheet["pieces"]
    assert (yoke["name"], bool(yoke["fill"]), strap["fill"]) == ("back yoke", True, [])
    assert "cut free" in yoke["said"] and "Trace on" in strap["said"]
    assert len(yoke["ticks"]) == 4 and len(strap["ticks"]) == 2  # double notches
    lines = {line["step"]: line for line in table.compared()["lines"]}
    seat, base = lines["back yoke: notches of strap seat"], lines["strap: notches of base"]
    assert seat["at"] == base["at"] == "notches of back yoke: strap seat and strap: base"
    assert seat["spot"] == pytest.approx(base["spot"], abs=1e-3)
    assert lines["strap seat, length"]["verdict"] == "right" and "spot" not in lines["strap seat, length"]


def test_an_allowance_is_shown_before_it_is_set(tmp_path):
    table = DraftingTable("10a", student="lena", folder=tmp_path)
    _, _, laid = laid_for("10a")
    k = next(k for k, step in enumerate(laid.steps) if step.verb == "allowance")
    table.put(Kept("10a", "lena", 1, laid.steps[:k]))
    assert table.sheet["pieces"][0]["cut"] == []
    tried = table._tried({"step": msgspec.to_builtins(replace(laid.steps[k], name="?")), "at": k})
    (pocket,) = tried["pieces"]
    assert pocket["cut"] and not pocket["drawn"] and "value" not in tried
    assert table.kept.steps == laid.steps[:k]


def test_the_label_lies_inside_its_piece_and_clear_of_the_grain():
    _, _, laid = laid_for("09a")
    skirt = laid.pieces["front skirt"]
    spot, inside = Point(*viewed(skirt)["at"]), shapely.Polygon(skirt.piece().outline.flat(0.01))
    assert inside.contains(shapely.Point(spot))
    assert shapely.LineString(skirt.grain).distance(shapely.Point(spot)) > 3


def test_a_hole_is_drilled_by_measure_from_a_point():
    """11a's drill hole by the awl: the point that is asked, and a hole in the piece."""
    work, of, laid = laid_for("11a")
    bare = [s for s in laid.steps if s.name != "inner drill hole"]
    hole = StepTaken("inner drill hole", "hole", ("inner hole, level",), "1", way="down", piece="back skirt")
    drilled = lay(work, of, (*bare, hole))
    assert drilled.pieces["back skirt"].holes == (laid.values["inner drill hole"],)
    assert drilled.values["inner drill hole"] == laid.values["inner drill hole"]
    assert "drill a hole: mark inner drill hole" in drilled.said(hole, "cm")
    assert len(viewed(drilled.pieces["back skirt"])["holes"]) == 1
    nowhere = lay(work, of, (*bare, replace(hole, piece="")))
    assert "Say which piece" in nowhere.faults["inner drill hole"]


def test_what_is_to_be_done_to_the_pieces_is_told_for_each_asked_thing():
    told = " ".join(piece.said for piece in told_pieces("10a"))
    assert all(word in told for word in ("Trace the back pocket", "opening and inner side", "cut line"))
    assert told_pieces("12a") == []
    for id in WITH_PIECES:
        for asked in exercises()[id].asked:
            if asked.piece:
                assert any(asked.piece in told.said for told in told_pieces(id))

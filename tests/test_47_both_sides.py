"""A change on one side only: whole pieces whose right and left half are those of two drawings.

How such a pattern is cut, notched and sewn is common practice, no source.
"""

from __future__ import annotations

import pytest

from patternlib import make
from patternlib.alterations import ONE_SIDE, Change, Changes, save_changes
from patternlib.body import chart
from patternlib.errors import PatternError
from patternlib.garments import to_cut
from patternlib.garments.base import Garment
from patternlib.garments.toile import make_toile
from patternlib.geometry import Move, Point
from patternlib.laying import lay
from patternlib.making import cutting_list, sewing_order
from patternlib.output.files import garment_files, write_files
from patternlib.output.scene import garment_scene
from patternlib.pieces import Piece

from .bodies import simulated

BODY = chart("course").body("12")
GARMENTS = ("pinafore", "apron", "toile")


def drawn(name: str, changes: Changes, body=BODY) -> Garment:
    return make_toile(body, changes=changes) if name == "toile" else make(name, body, changes=changes)


def uneven(side: str = "right", cm: float = 1.5) -> Changes:
    return Changes((Change(f"{side} hip higher", cm, "2026-11-27"),))


def errors(garment: Garment) -> list[str]:
    return [f"{f.where}: {f.text}" for f in garment.findings if f.severity != "note"]


def folds(garment: Garment) -> set[str]:
    return {piece.name for piece in garment.pieces if piece.on_fold}


@pytest.mark.parametrize("name", GARMENTS)
@pytest.mark.parametrize("side", ["right", "left"])
def test_the_seams_of_each_side_walk_and_the_corners_are_square(name, side):
    whole = to_cut(drawn(name, uneven(side)))
    assert errors(whole) == []
    own = [seam.name for seam in whole.seams if seam.name.endswith((", right", ", left"))]
    assert {n.rsplit(", ", 1)[0] for n in own if n.endswith("right")} == {
        n.rsplit(", ", 1)[0] for n in own if n.endswith("left")
    }
    assert any("side" in n for n in own)


def side_length(whole: Garment, side: str) -> float:
    names = {"pinafore": ("side seam", "opening"), "apron": ("side seam",)}[whole.name]
    front = whole["front skirt" if whole.name == "pinafore" else "front panel"]
    return sum(front[f"{side} {name}"].curve.length for name in names)


@pytest.mark.parametrize("name", ["pinafore", "apron"])
@pytest.mark.parametrize("side", ["right", "left"])
def test_the_higher_hip_lies_on_its_own_side(name, side):
    """The side is longer on the higher side by what was pinched, but for the lean of the seam."""
    whole = to_cut(drawn(name, uneven(side)))
    more = side_length(whole, side) - side_length(whole, {"right": "left", "left": "right"}[side])
    assert 1.0 < more < 1.7
    # her right is on the left of the front as it is looked at, and on the right of the back
    front = whole["front skirt" if name == "pinafore" else "front panel"]
    assert front["right side seam"].curve.start.x < front["left side seam"].curve.start.x
    if name == "pinafore":
        back, facing = whole["back yoke"], whole["yoke facing"]
        assert back["right side"].curve.start.x > back["left side"].curve.start.x
        assert facing["right side"].curve.start.x < facing["left side"].curve.start.x


def test_left_is_right_turned_over():
    """The same change on the other side gives the same pattern, turned over."""
    one, other = (to_cut(drawn("pinafore", uneven(side))) for side in ("right", "left"))
    over = Move.mirror(Point(0, 0), Point(0, 1))
    for name in ("front skirt", "back yoke", "bib facing"):
        shift = None
        for edge in one[name].edges:
            side, _, rest = edge.name.partition(" ")
            twin = other[name][f"{'left' if side == 'right' else 'right'} {rest}"]
            gap = twin.curve.end - over(edge.curve.start)
            shift = shift or gap
            assert gap.distance(shift) < 1e-6
            assert twin.curve.length == pytest.approx(edge.curve.length, abs=1e-9)


def test_nothing_that_differs_is_cut_on_the_fold_or_as_a_pair():
    half = drawn("pinafore", uneven())
    whole = to_cut(half)
    assert folds(whole) == {"bib pocket"}  # it lies on both sides of the centre
    names = {piece.name for piece in whole.pieces}
    assert {"back extension, right", "back extension, left", "front facing, right"} <= names
    assert {"strap", "back pocket"} <= names  # these do not differ
    rows = {row.piece: row for row in cutting_list(whole) if row.cloth == "main cloth"}
    assert set(rows) == names
    assert (rows["front skirt"].cut, rows["front skirt"].how) == (1, "single")
    assert (rows["waistband"].cut, rows["waistband"].how) == (2, "as a pair")
    for piece in whole.pieces:
        label = " ".join(piece.label)
        assert "version 2, 2026-11-27" in label and f"cut {piece.cut}" in label
        assert "fold" in label if piece.on_fold else "fold" not in label
        assert piece.grain is not None
    assert ONE_SIDE in whole.facts and ONE_SIDE not in half.facts


def written(piece: Piece, whole: Garment) -> set[str]:
    return {getattr(i, "text", "") for i in garment_scene(whole).items if i.piece == piece.name}


def test_right_and_left_stand_on_every_whole_piece():
    for name in ("pinafore", "apron"):
        whole = to_cut(drawn(name, uneven("left")))
        opened = [p for p in whole.pieces if any(m.style == "written" for m in p.marks)]
        assert {p.name for p in opened} == folds(drawn(name, NOTHING)) - {"bib pocket"}
        for piece in opened:
            assert {"right", "left"} <= written(piece, whole)


NOTHING = Changes()


def test_the_centre_is_notched_where_the_fold_was():
    whole = to_cut(drawn("pinafore", uneven()))
    for name, edge in (("front skirt", "waistband edge"), ("waistband", "bib edge"), ("bib", "top")):
        piece = whole[name]
        centre = next(m.curve for m in piece.marks if m.name == "centre front").start.x
        ends = [piece.notch_point(n) for n in piece.notches if n.edge.endswith(edge)]
        assert any(abs(p.x - centre) < 1e-6 for p in ends), name


def test_a_pattern_with_both_sides_alike_stays_as_it_is():
    for changes in (NOTHING, Changes((Change("full seat", 1.0),))):
        garment = drawn("apron", changes)
        assert to_cut(garment) is garment
    smock = drawn("smock", uneven())  # it has no seam at the hip
    assert to_cut(smock).pieces == smock.pieces and ONE_SIDE not in to_cut(smock).facts
    whole = to_cut(drawn("apron", uneven()))
    assert to_cut(whole) is whole


def test_both_hips_and_other_changes_go_together():
    changes = Changes((
        Change("right hip higher", 1.0), Change("full seat", 1.0), Change("upper edge gapes", 1.0),
        Change("left hip higher", 0.4),
    ))  # fmt: skip
    whole = to_cut(drawn("pinafore", changes))
    assert errors(whole) == []
    assert 0.3 < side_length(whole, "right") - side_length(whole, "left") < 0.7
    plain = drawn("pinafore", Changes((Change("upper edge gapes", 1.0),)))
    assert whole["bib"]["right top"].curve.length == pytest.approx(plain["bib"]["top"].curve.length)


def test_the_order_of_making_is_that_of_the_halves():
    """Both sides are sewn alike: the order, the pictures and the thread follow the pattern of halves."""
    half = drawn("pinafore", uneven())
    whole = to_cut(half)
    assert [s.text for s in sewing_order(whole)] == [s.text for s in sewing_order(half)]


def test_whole_pieces_are_laid_in_one_layer_and_written_to_files(tmp_path):
    whole = to_cut(drawn("apron", uneven()))
    laid = lay(whole, width=150, seconds=0)
    assert sorted(p.piece.name for p in laid.pieces) == sorted(
        name for p in whole.pieces for name in [p.name] * p.cut
    )
    files = garment_files(drawn("apron", uneven()))
    assert b"back panel, left" in files["pattern.svg"] and "other-half-a4.pdf" not in files
    assert b"single" in files["cutting-list.csv"]
    save_changes(uneven(), tmp_path / "sheet.toml")
    said = write_files(
        "apron", chart_name="course", size="12", body_file=None, settings=[], out=str(tmp_path / "out"),
        changes_file=str(tmp_path / "sheet.toml"),
    )  # fmt: skip
    assert said[0].startswith("apron: 7 pieces")


def test_both_sides_of_other_bodies():
    tried = 0
    for body in (*simulated(2, "women", seed=31), *simulated(1, "men", seed=32)):
        for name in GARMENTS:
            for side, cm in (("right", 0.6), ("left", 2.0))[: 1 + (name == "apron")]:
                try:
                    half = drawn(name, uneven(side, cm), body)
                except PatternError:
                    continue
                before = {f.split(":")[0] for f in errors(half)}
                new = [f for f in errors(to_cut(half)) if not before]
                assert new == [], (name, side, body.bust_girth)
                tried += 1
    assert tried > 8


def test_a_sign_that_changes_no_piece_is_not_named_on_the_pieces():
    """The smock is cut from the bodice block: a higher hip changes nothing of it, a square shoulder does."""
    hip, shoulder = Change("right hip higher", 1.5), Change("square shoulders", 1.0)
    plain = make("smock", BODY)
    alone = make("smock", BODY, changes=Changes((hip,)))
    assert [p.label for p in alone.pieces] == [p.label for p in plain.pieces]
    assert to_cut(alone) is alone, "both sides are alike"
    both = make("smock", BODY, changes=Changes((hip, shoulder)))
    (said,) = {line for p in both.pieces for line in p.label if line.startswith("for: ")}
    assert said == "for: square shoulders 1 cm"
    assert all("version 3" in p.label for p in both.pieces), "the sheet's version, as on the other garments"
    (of_hip, of_shoulder) = (f for f in both.facts if "on the toile" in f or "after the toile" in f)
    assert "right hip higher" in of_hip and "changes no piece of this garment" in of_hip
    assert of_shoulder.startswith("Changed after the toile: square shoulders")
    rows = both.changes.rows()
    assert [row[0] for row in rows] == ["2", "3"]
    assert "no piece of this garment" in rows[0][4] and "no piece" not in rows[1][4]
    assert [c["idle"] for c in both.to_dict()["changes"]] == [True, False]


def test_what_is_named_on_a_piece_has_changed_one():
    both = Changes((Change("low bust", 1.0), Change("right hip higher", 1.5)))
    made = make("pinafore", BODY, changes=both)
    assert {line for p in made.pieces for line in p.label if line.startswith("for: ")} == {
        "for: right hip higher 1.5 cm"
    }
    assert len(made.changes.acting) == 1

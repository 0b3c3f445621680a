"""The order of sewing, judged as a cutter would, and the cutting list.

Properties: every seam and every turned edge comes in exactly one step; no step stands before one it waits
for; what a maker knows must come first does (common practice, no source, beside each pair); small made-up
garments show each rule alone. The cutting list holds every piece as garment.json has it.
"""

from __future__ import annotations

import csv
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

from patternlib import chart, garment_names, make
from patternlib.boards import booklet_button, piece_button
from patternlib.garments.base import Garment
from patternlib.geometry import Point, fair, line
from patternlib.making import (
    cutting_list,
    cutting_list_csv,
    making_page,
    sewing_order,
    sewing_order_csv,
    thread,
)
from patternlib.output.cells import steps_shown
from patternlib.output.items import Stroke
from patternlib.output.scene.sewing import step_scene
from patternlib.output.scene.sewing.panel import _thinned
from patternlib.pieces import DrillHole, Edge, Piece, Seam, finish


@pytest.fixture(scope="module")
def pinafore() -> Garment:
    return make("pinafore", chart("course").body("12"), size="12")


def step_of(garment, piece: str, edge: str, kind: str):
    (found,) = [s for s in sewing_order(garment) if s.kind == kind and (piece, edge) in s.edges]
    return found


def seam_step(garment, name: str):
    (found,) = [s for s in sewing_order(garment) if name in s.seams]
    return found


@pytest.mark.parametrize("size", ["6", "12", "24"])
@pytest.mark.parametrize("name", garment_names())
def test_every_seam_and_turned_edge_once_and_nothing_before_what_it_waits_for(name, size):
    garment = make(name, chart("course").body(size), size=size)
    steps = sewing_order(garment)
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    assert all(before < step.number for step in steps for before in step.after)
    assert sorted(seam for step in steps for seam in step.seams) == sorted(
        seam.name for seam in garment.seams
    )
    turned = [(p.name, e.name) for p in garment.pieces for e in p.edges if e.turn in ("hem", "fold-back")]
    done = [place for step in steps if step.kind in ("turn", "patch") for place in step.edges]
    assert sorted(done) == sorted(turned)
    sewn = {place for step in steps for place in step.edges}
    free = {(p.name, e.name) for p in garment.pieces for e in p.edges if e.turn != "fold"} - sewn
    assert not free, "an edge that no step mentions"


TURN, SEAM, PATCH, CLOSE = "turn", "seam", "patch", "close"
FIRST = (  # what a maker does before what, and why (common practice, no source)
    ((PATCH, "back pocket", "opening"), (SEAM, "side seam"), "pockets go on while the back lies flat"),
    ((PATCH, "bib pocket", "opening"), (SEAM, "bib side to facing"), "the pocket's stitches stay inside"),
    ((TURN, "strap", "straight side"), (SEAM, "strap to yoke"), "the hems' ends are caught in the seat"),
    ((TURN, "strap", "curved side"), (SEAM, "strap to yoke"), "the hems' ends are caught in the seat"),
    ((TURN, "strap loop", "side"), (SEAM, "ends of the strap loop"), "a strip is hemmed before it is folded"),
    ((SEAM, "ends of the strap loop"), (SEAM, "bib top to facing"), "the loops are caught in the bib's top"),
    ((SEAM, "strap to yoke"), (SEAM, "yoke to back skirt"), "yoke and facing are joined first"),
    ((TURN, "strap", "straight side"), (TURN, "strap", "end"), "the end is passed through when it is hemmed"),
    ((SEAM, "front opening"), (SEAM, "waistband to front skirt"), "the facing's upper edge is caught in it"),
    ((SEAM, "yoke to back skirt"), (SEAM, "back opening"), "the opening runs across that seam"),
    ((SEAM, "bib side to facing"), (SEAM, "bib to waistband"), "both layers are caught in the waistband"),
    ((TURN, "front facing", "inner edge"), (SEAM, "front opening"), "it lies flat still"),
    ((SEAM, "top of the extension"), (SEAM, "back opening"), "turned out before it is sewn on"),
    ((SEAM, "bottom of the extension"), (SEAM, "back opening"), "turned out before it is sewn on"),
    ((SEAM, "front opening"), (SEAM, "side seam"), "what is caught in the side seam is sewn on before"),
    ((SEAM, "back opening"), (SEAM, "side seam"), "what is caught in the side seam is sewn on before"),
    ((SEAM, "yoke side edge to facing"), (SEAM, "back opening"), "the extension ends at the finished edge"),
    ((SEAM, "side seam"), (TURN, "front skirt", "hem"), "one hem runs over the seam"),
    ((SEAM, "waistband ends"), (CLOSE, "waistband", "skirt edge"), "the inner layer hides all seams"),
)  # fmt: skip


@pytest.mark.parametrize(("first", "second", "why"), FIRST, ids=[f"{a[-2:]} {b[-2:]}" for a, b, _ in FIRST])
def test_a_maker_would_accept_the_order_of_the_pinafore(pinafore, first, second, why):
    a, b = (
        seam_step(pinafore, what[1]) if len(what) == 2 else step_of(pinafore, what[1], what[2], what[0])
        for what in (first, second)
    )
    assert a.number < b.number, why


def test_the_end_of_the_strap_waits_for_its_hems(pinafore):
    sides = step_of(pinafore, "strap", "straight side", TURN)
    assert sides.number in step_of(pinafore, "strap", "end", TURN).after


def test_what_is_one_step_on_the_pinafore(pinafore):
    assert {"bib to waistband", "bib facing to waistband"} <= set(
        seam_step(pinafore, "bib to waistband").seams
    )
    assert "bib top to facing" in seam_step(pinafore, "bib side to facing").seams
    hem = step_of(pinafore, "front skirt", "hem", TURN)
    assert ("back skirt", "hem") in hem.edges
    sewn = [step for step in sewing_order(pinafore) if step.kind != "fit"]
    assert hem.number >= len(sewn) - 1, "the hem is left to the end"
    assert "waistband ends" in seam_step(pinafore, "bib to waistband").seams, "the layers' ends, in one go"
    assert "top of the extension" in seam_step(pinafore, "bottom of the extension").seams
    assert "buttonholes of 1.8 cm" in sewing_order(pinafore)[-1].text
    seat = seam_step(pinafore, "strap to yoke")
    assert {f"yoke {part} edge to facing" for part in ("neck", "side")} <= set(seat.seams)


def panel(name: str, width: float, height: float, turns: dict[str, str], **more) -> Piece:
    """A rectangle with edges hem, right, top and left; turns: turn by edge, seams unless said."""
    c = [Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)]
    sides = [line(p, q) for p, q in zip(c, c[1:] + c[:1], strict=True)]
    names = ("hem", "right", "top", "left")
    turned = {"hem": "hem"} | turns
    edges = tuple(Edge(n, s, 1.0, turned.get(n, "seam")) for n, s in zip(names, sides, strict=True))
    return Piece(name, edges, **more)


def garment(pieces, seams, **more) -> Garment:
    body = chart("course").body("12")
    return Garment(
        name="test", body=body, style={}, drafts={}, pieces=tuple(pieces), seams=tuple(seams), **more
    )


def skirt(band: bool = True) -> Garment:
    """Two panels with both side seams, and a waistband sewn round when they are joined."""
    front, back = panel("front", 50, 60, {}), panel("back", 50, 60, {})
    seams = [
        Seam("right side", (("front", "right"),), (("back", "left"),)),
        Seam("left side", (("back", "right"),), (("front", "left"),)),
    ]
    if not band:
        return garment([front, back], seams)
    belt = panel("belt", 100, 6, {"hem": "seam", "top": "fold-back"})
    seams.insert(0, Seam("belt ends", (("belt", "right"),), (("belt", "left"),)))
    seams.insert(0, Seam("waist", (("belt", "hem"),), (("back", "top"), ("front", "top")), False, True))
    return garment([front, back, belt], seams)


def test_a_seam_that_runs_over_others_waits_for_them():
    made = skirt()
    waist, hem = seam_step(made, "waist"), step_of(made, "front", "hem", TURN)
    # the waist's long side runs from back to front over the right side seam
    assert seam_step(made, "right side").number in waist.after
    assert seam_step(made, "belt ends").number in waist.after
    assert ("back", "hem") in hem.edges and set(hem.after) == {
        seam_step(made, "right side").number, seam_step(made, "left side").number,
    }  # fmt: skip


def test_turned_edges_beside_a_seam_come_first_unless_they_run_on_over_it():
    made = skirt(band=False)
    flap = panel("flap", 5, 30, {"right": "hem", "left": "hem", "hem": "seam"})
    end = panel("end", 5, 30, {"hem": "seam"})  # its sides are raw: no hem can run on
    tied = garment([flap, end], [Seam("tie", (("flap", "top"),), (("end", "hem"),))])
    assert step_of(tied, "flap", "left", TURN).number < seam_step(tied, "tie").number
    assert ("flap", "right") in step_of(tied, "flap", "left", TURN).edges, "both sides in one step"
    both = garment([flap, panel("strap", 5, 60, {"right": "hem", "left": "hem", "hem": "seam"})],
                   [Seam("tie", (("flap", "top"),), (("strap", "hem"),))])  # fmt: skip
    assert step_of(both, "strap", "left", TURN).number < seam_step(both, "tie").number, (
        "a strip: hemmed first"
    )
    assert step_of(made, "front", "hem", TURN).number > seam_step(made, "right side").number


def test_a_patch_goes_on_first_and_says_where():
    made = skirt()
    pocket = panel(
        "pocket",
        12,
        14,
        dict.fromkeys(("hem", "right", "left"), "fold-back") | {"top": "hem"},
        cut=2,
        pair=True,
    )
    back = made.piece("back").replace(drill_holes=(DrillHole(Point(20, 40), "pocket"),))
    with_pocket = replace(made, pieces=(made.piece("front"), back, made.piece("belt"), pocket))
    (patch,) = [s for s in sewing_order(with_pocket) if s.kind == PATCH]
    assert "on the back at the drill holes" in patch.text
    assert patch.text.index("top 0.5 cm twice") < patch.text.index("hem 1 cm")
    assert patch.number < min(s.number for s in sewing_order(with_pocket) if "back" in s.pieces)
    assert patch.number in seam_step(with_pocket, "right side").after


def test_ease_notches_and_sides_are_said(pinafore):
    seam = replace(next(s for s in pinafore.seams if s.name == "yoke to back skirt"), ease=0.6)
    others = (s for s in pinafore.seams if s.name != seam.name)
    eased = replace(pinafore, seams=(*others, seam))
    assert "ease in 0.6 cm" in seam_step(eased, seam.name).text
    assert "ease in 1/4 in" in next(s.text for s in sewing_order(eased, unit="in") if seam.name in s.seams)
    assert "left and right" in seam_step(pinafore, "side seam").text
    assert "from side to side" in seam_step(pinafore, "waistband to front skirt").text
    assert "match the notches" in seam_step(pinafore, "side seam").text
    assert "the slide" in step_of(pinafore, "strap", "end", TURN).text
    assert "its ring" in seam_step(pinafore, "ends of the strap loop").text
    fitted = replace(skirt(), fittings=("3 buttons, 15 mm",))
    assert sewing_order(fitted)[-1].kind == "fit" and "3 buttons" in sewing_order(fitted)[-1].text


@pytest.mark.parametrize(
    ("deep", "said"), [(12.0, "too short: stretch it in pressing, or bind"), (-12.0, "too long: ease it in")]
)
def test_a_bent_hem_says_what_to_do_with_its_raw_edge(deep, said):
    """A hem of 3 cm on a line that turns by 90 degrees: 2 x 1.57 x 3 = 9 cm, short in a hollow, else long."""
    sheet = panel("sheet", 50, 60, {})
    hem = fair([Point(0, 0), Point(25, deep), Point(50, 0)])
    edges = (Edge("hem", hem, 3.0, "hem"), *sheet.edges[1:])
    bent = finish(sheet.replace(edges=edges, label=("sheet, cut 1",)))
    sides = [Seam("sides", (("sheet", "right"),), (("sheet", "left"),))]
    assert said in step_of(garment([bent], sides), "sheet", "hem", TURN).text


@pytest.mark.parametrize("name", garment_names())
def test_each_seam_says_how_far_from_the_raw_edge_it_is_sewn(name):
    """As far as the allowance of each of its edges; where they differ, each edge is named with its own."""
    made = make(name, chart("course").body("12"))
    for step in (s for s in sewing_order(made) if s.kind == "seam"):
        said = re.search(r"Sew ([^.]*(?:\.\d[^.]*)*) from the raw edges\.", step.text).group(1)
        sewn = {place for s in made.seams if s.name in step.seams for side in (s.a, s.b) for place in side}
        deep = {edge: made[piece][edge].allowance for piece, edge in sewn}
        if len(set(deep.values())) == 1:
            assert said == f"{deep.popitem()[1]:g} cm", step.text
            continue
        parts = [part.rsplit(" ", 2) for part in said.split(", ")]
        told = {edge: float(cm) for names, cm, _ in parts for edge in names.split(" and ")}
        assert told == deep, step.text


@pytest.mark.parametrize("name", garment_names())
def test_what_the_order_fuses_is_cut_from_fusing(name):
    made = make(name, chart("course").body("12"))
    said = " ".join(s.text for s in sewing_order(made) if "Fuse" in s.text)
    listed = {row.piece: row.cut for row in cutting_list(made) if row.cloth == "fusing"}
    words = [sentence for sentence in said.split(". ") if "Fuse" in sentence]
    assert bool(listed) == bool(words)
    assert all(any(piece.split()[-1] in sentence for sentence in words) for piece in listed)
    if name == "smock":
        assert listed == {"front facing": 2, "back facing": 1, "collar": 1}, "the under collar alone"
        (row,) = [r for r in cutting_list(made) if r.piece == "collar" and r.cloth == "main cloth"]
        assert row.cut == 2 and "1 of them fused" in row.note and "fusing: cut 1" in made["collar"].label


def test_what_carries_load_is_named(pinafore):
    """Straps pull on the yoke's seats and seam, on the loops and on the slide (common practice)."""
    for step, word in (
        (seam_step(pinafore, "strap to yoke"), "a second time"),
        (seam_step(pinafore, "strap to yoke"), "understitch"),
        (seam_step(pinafore, "yoke to back skirt"), "topstitch twice"),
        (seam_step(pinafore, "bib top to facing"), "bar tack"),
        (step_of(pinafore, "strap", "end", TURN), "a square with a cross"),
        (step_of(pinafore, "back pocket", "opening", PATCH), "bar tack"),
    ):
        assert word in step.text, step.text
    assert "between back yoke and yoke facing" in seam_step(pinafore, "strap to yoke").text
    for name in ("yoke to back skirt", "side seam"):
        assert "Neaten" in seam_step(pinafore, name).text


def test_the_cutting_list_holds_every_piece_as_the_record_does(pinafore):
    rows = list(csv.DictReader(cutting_list_csv(pinafore).splitlines()))
    record = pinafore.to_dict()
    pieces = [row for row in rows if row["cloth"]]
    listed = [(p, cloth) for p in record["pieces"] for cloth in p["cloths"]]
    assert [(r["piece"], int(r["cut"]), r["cloth"]) for r in pieces] == [
        (p["name"], p["cut"], cloth) for p, cloth in listed
    ]
    for row, (piece, _) in zip(pieces, listed, strict=True):
        assert row["how"] == (
            "on the fold" if piece["on_fold"] else "as a pair" if piece["pair"] else "single"
        )
        for edge in piece["edges"]:
            said = f"{edge['name']} {edge['allowance']:g} {edge['turn']}"
            assert (said in row["edges and allowances (cm)"]) is (edge["turn"] != "fold")
    assert [r["piece"] for r in rows if not r["cloth"]] == [*record["fittings"], "sewing thread"]
    assert "6 buttons, 15 mm" in record["fittings"]
    layered = {r["piece"] for r in pieces if r["note"] == "2 layers"}
    assert layered == {"waistband"}
    assert {r["piece"] for r in pieces if r["fused"]} == {"front facing"}


def test_fusing_is_a_cloth_of_its_own(pinafore):
    band = pinafore.piece("waistband").replace(cloths=("main cloth", "fusing"))
    fused = replace(pinafore, pieces=tuple(band if p.name == "waistband" else p for p in pinafore.pieces))
    rows = [row for row in cutting_list(fused) if row.piece == "waistband"]
    assert [(row.cloth, row.fused) for row in rows] == [("main cloth", True), ("fusing", False)]
    assert "waistband" in making_page(fused) and "fuse" in making_page(fused)


def test_thread_follows_from_the_sewn_length():
    """A skirt of two panels: two side seams of 60 cm and two hems of 50 cm; 2.5 cm of thread a cm (from
    memory), half as much again for ends and overcasting (common practice, no source)."""
    made = skirt(band=False)
    assert thread(made) == pytest.approx(2.5 * 1.5 * (2 * 60 + 2 * 50))
    halves = replace(made, pieces=tuple(p.replace(on_fold=True) for p in made.pieces))
    assert thread(halves) == pytest.approx(2 * thread(made))


def test_the_page_and_the_table_say_the_same(pinafore):
    page = making_page(pinafore)
    rows = list(csv.DictReader(sewing_order_csv(pinafore).splitlines()))
    flat = " ".join(page.split())
    for row in rows:
        assert f"{row['step']} {row['what']}" in flat
    for piece in pinafore.pieces:
        assert f"{piece.cut} x {piece.name}" in flat
    assert max(map(len, page.splitlines())) <= 100
    assert page.startswith("Pinafore, size 12")


def test_layers_caught_in_one_seam_are_joined_first_and_tubes_closed_last():
    """A yoke with a facing, both sewn to one skirt edge; the skirt's own sides close a round and wait."""
    yoke, facing = (panel(name, 50, 10, {"hem": "seam"}) for name in ("yoke", "facing"))
    front, back = panel("front", 50, 60, {}), panel("back", 50, 60, {})
    made = garment(
        [front, back, yoke, facing],
        [
            Seam("right side", (("front", "right"),), (("back", "left"),)),
            Seam("left side", (("back", "right"),), (("front", "left"),)),
            Seam("yoke", (("yoke", "hem"),), (("front", "top"),)),
            Seam("facing", (("facing", "hem"),), (("front", "top"),)),
            Seam("upper edge", (("yoke", "top"),), (("facing", "top"),), False, False),
        ],
    )
    caught = seam_step(made, "yoke")
    assert caught.seams == ("yoke", "facing") and seam_step(made, "upper edge").number in caught.after
    assert seam_step(made, "right side").number not in caught.after
    assert "yoke and facing, edge on edge, to front (top)" in caught.text
    sides = [seam_step(made, name).number for name in ("right side", "left side")]
    assert max(sides) > caught.number, "what closes the round comes after what joins pieces"


def test_the_layers_of_a_collar_are_sewn_round_its_corner_in_one_go():
    collar = panel("collar", 20, 6, {"hem": "seam"}, cut=2, on_fold=True)
    same = [Seam(edge, (("collar", edge),), (("collar", edge),), False, False) for edge in ("right", "top")]
    made = garment([collar], same)
    assert [step.seams for step in sewing_order(made)] == [("right", "top")]
    assert "along the right and top" in sewing_order(made)[0].text


def test_a_tie_is_hemmed_all_round_before_it_is_sewn_in():
    tie = panel("tie", 4, 60, {"hem": "seam", "right": "hem", "left": "hem", "top": "hem"})
    tie = tie.replace(folds={("right", "top"): "right", ("top", "left"): "left"})
    panels = [panel("front", 50, 60, {}), tie]
    made = garment(panels, [Seam("tie", (("tie", "hem"),), (("front", "top"),))])
    sides, end = step_of(made, "tie", "left", TURN), step_of(made, "tie", "top", TURN)
    assert sides.number in end.after, "the corners say that the sides are folded first"
    assert end.number < seam_step(made, "tie").number < step_of(made, "front", "hem", TURN).number


def test_a_facing_is_folded_while_it_lies_flat():
    """Common practice: the inner edge of a facing is turned before the facing is sewn on."""
    smock = make("smock", chart("course").body("12"))
    outer = step_of(smock, "front facing", "outer edge", TURN).number
    assert seam_step(smock, "facing shoulder").number < outer < seam_step(smock, "slit to facing").number
    assert outer < seam_step(smock, "facing to neckline").number
    assert (
        seam_step(smock, "facing below the slit").number
        < step_of(smock, "front facing", "bottom", TURN).number
    )


def test_a_strap_from_front_to_back_is_sewn_on_over_finished_edges():
    """Both of its ends have a place; the edges that it crosses are hemmed first."""
    apron = make("apron", chart("course").body("12"))
    strap = step_of(apron, "strap", "side", "patch")
    assert "on the front panel and back panel at the drill holes" in strap.text
    assert "cross the straps on the back" in strap.text
    for edge in ("top", "bib side"):
        assert step_of(apron, "front panel", edge, "seam").number < strap.number
    assert step_of(apron, "back panel", "upper edge", TURN).number < strap.number


def test_a_faced_bib_is_turned_before_the_side_seam_catches_it():
    apron = make("apron", chart("course").body("12"))
    by_seam = {name: step for step in sewing_order(apron) for name in step.seams}
    bib, side = by_seam["bib side to facing"], by_seam["side seam"]
    assert by_seam["bib top to facing"] is bib, "top and sides in one go"
    assert bib.number < side.number and ("bib facing", "side") in side.edges
    assert step_of(apron, "back panel", "upper edge", TURN).number < side.number
    assert "Snip the hollow" in bib.text and "caught in this seam" in side.text


def test_each_step_is_shown_with_its_words_its_seam_and_a_small_picture():
    for name in garment_names():
        garment = make(name, chart("course").body("12"))
        shown, steps = steps_shown(garment), sewing_order(garment)
        assert shown.html.count("<img ") == len(steps)
        for step in steps:
            assert f"{step.number}. {step.text}" in shown.text
            assert len(step_scene(garment, step.number).for_cell()) < 25_000


def test_a_thinned_line_keeps_its_corners_and_its_holes():
    """A square with a bump of half a millimetre and a hole: the bump goes, corners and hole stay."""
    square = [("M", 0, 0), ("L", 5, 0.02), ("L", 10, 0), ("L", 10, 10), ("L", 0, 10), ("Z",)]
    hole = [("M", 4, 4), ("L", 6, 4), ("L", 6, 6), ("Z",)]
    thin = _thinned(Stroke((*square, *hole), "contour", "garment"), 0.06)
    assert thin.d == tuple(square[:1] + square[2:] + hole)


def test_the_booklet_button_writes_a_pdf_beside_the_notebook(tmp_path):
    apron = make("apron", chart("course").body("12"))
    button = booklet_button(apron, folder=tmp_path)
    button.print()
    assert (tmp_path / "making apron.pdf").read_bytes()[:5] == b"%PDF-"
    assert 'download="making apron.pdf"' in button.said.value
    away = booklet_button(apron, folder=tmp_path / "away")
    away.print()
    assert "cannot be written" in away.said.value


def test_a_piece_is_printed_in_true_size(tmp_path):
    """A strap on letter paper, 215.9 x 279.4 mm [ANSI Y14.1, sheet A]."""
    strap = make("pinafore", chart("course").body("12"))["strap"]
    button = piece_button(strap, folder=tmp_path)
    button.paper.value = "letter"
    button.print()
    pages = PdfReader(tmp_path / "strap.pdf").pages
    wide, high = (float(side) / 72 * 25.4 for side in pages[0].mediabox[2:])
    assert (wide, high) == pytest.approx((215.9, 279.4), abs=0.1)
    assert len(pages) > 1 and "strap" in "".join(page.extract_text() for page in pages)

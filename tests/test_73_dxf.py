"""DXF and SVG read back by other libraries: ezdxf, svgelements, shapely."""

from __future__ import annotations

import io
import math
from collections import Counter
from functools import cache

import ezdxf
import pytest
import svgelements
from ezdxf import bbox
from ezdxf.math import Vec2
from shapely import LineString, Point, Polygon, union_all

from patternlib.body import chart
from patternlib.garments import make
from patternlib.garments.base import Garment
from patternlib.output.dxf import as_dxf
from patternlib.output.svg import as_svg
from patternlib.pieces import Piece, finish
from tests.drawn import SIZES, drawn, marked, panel, pinafore, rounds


@cache
def read(size: str):
    return ezdxf.read(io.StringIO(as_dxf(pinafore(size))))


def blocks(doc) -> dict:
    """Piece name, as its text key says it -> block."""
    return {
        text.removeprefix("Piece Name: "): block
        for block in doc.blocks
        for text in said(block)
        if text.startswith("Piece Name: ")
    }


def said(place) -> list[str]:
    return [text.dxf.text for text in place.query("TEXT")]


def lines(block, layer: int) -> list[LineString]:
    out = [LineString([e.dxf.start.vec2, e.dxf.end.vec2]) for e in block.query(f'LINE[layer=="{layer}"]')]
    for e in block.query(f'POLYLINE[layer=="{layer}"]'):
        ring = [p.vec2 for p in e.points()]
        out.append(LineString(ring + ring[:1] * e.is_closed))
    return out


def points(block, layer: int) -> list[Point]:
    return [Point(p.dxf.location.vec2) for p in block.query(f'POINT[layer=="{layer}"]')]


def boundary(block) -> Polygon:
    (ring,) = lines(block, 1)
    return Polygon(ring)


# --- the file -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_a_reader_finds_nothing_to_mend(size):
    found = read(size).audit()
    assert not found.errors and not found.fixes
    assert read(size).dxfversion == "AC1009"  # release 12


def test_one_block_a_piece_inserted_once():
    doc, names = read("12"), [piece.name for piece in pinafore("12").pieces]
    assert sorted(blocks(doc)) == sorted(names)
    inserted = Counter(insert.dxf.name for insert in doc.modelspace().query("INSERT"))
    assert inserted == Counter(block.name for block in blocks(doc).values())
    assert all(len(name) <= 31 and name.upper() == name and " " not in name for name in inserted)


def test_pieces_lie_apart():
    doc = read("12")
    laid = []
    for insert in doc.modelspace().query("INSERT"):
        block = doc.blocks.get(insert.dxf.name)
        at = Vec2(insert.dxf.insert)
        laid.append(Polygon([(x + at.x, y + at.y) for x, y in boundary(block).exterior.coords]))
    assert union_all(laid).area == pytest.approx(sum(p.area for p in laid))


def test_text_keys():
    doc, garment = read("12"), pinafore("12")
    keys = said(doc.modelspace())
    assert {"Style Name: pinafore", "Sample Size: 12", "Units: METRIC"} <= set(keys)
    for piece in garment.pieces:
        keys = said(blocks(doc)[piece.name])
        assert f"Quantity: {piece.cut * len(piece.cloths)}" in keys
        assert any("pair" in key for key in keys) == piece.pair


def test_the_scale_square_has_the_size_it_states():
    space = read("12").modelspace()
    (square,) = lines(space, 15)
    (words,) = [text for text in said(space) if "square" in text]
    x0, y0, x1, y1 = square.bounds
    assert words == f"Scale square: {x1 - x0:g} mm by {y1 - y0:g} mm" and x1 - x0 == 100
    assert Polygon(square).area == pytest.approx(100**2)


def test_the_same_garment_gives_the_same_file():
    assert as_dxf(pinafore("12")) == as_dxf(pinafore("12"))


@pytest.mark.parametrize("size", SIZES)
def test_the_header_states_the_extents_of_the_drawing(size):
    """$EXTMIN and $EXTMAX hold everything drawn, and no more; measured by ezdxf's own boxes."""
    doc = read(size)
    drawn_box = bbox.extents(doc.modelspace(), fast=True)
    (x0, y0, _), (x1, y1, _) = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
    assert x0 <= drawn_box.extmin.x + 0.01 and y0 <= drawn_box.extmin.y + 0.01
    assert x1 >= drawn_box.extmax.x - 0.01 and y1 >= drawn_box.extmax.y - 0.01
    assert x1 - x0 < drawn_box.size.x + 1 and y1 - y0 < drawn_box.size.y + 1
    assert doc.header["$LIMMIN"] == pytest.approx((x0, y0)) and doc.header["$LIMMAX"] == pytest.approx(
        (x1, y1)
    )


def letters_of(text) -> Polygon:
    """The space of a text, every letter as wide as it is high: the widest that a plain font draws them."""
    a, h, x, y = math.radians(text.dxf.rotation), text.dxf.height, *text.dxf.insert.vec2
    wide = h * len(text.dxf.text)
    corners = [(0, 0), (wide, 0), (wide, h), (0, h)]
    c, s = math.cos(a), math.sin(a)
    return Polygon([(x + u * c - v * s, y + u * s + v * c) for u, v in corners])


@pytest.mark.parametrize("name", ["pinafore", "apron", "smock"])
@pytest.mark.parametrize("size", ["6", "12", "16", "30"])
def test_text_stays_on_its_piece(name, size):
    """And off the grain line, the drill holes and the lines inside; in letters of 1 mm and more."""
    garment = make(name, chart("course").body(size), size=size)
    found = blocks(ezdxf.read(io.StringIO(as_dxf(garment))))
    for piece in garment.pieces:
        block = found[piece.name]
        on = boundary(block)
        for text in block.query("TEXT"):
            assert on.contains(letters_of(text)), f"{piece.name}: {text.dxf.text}"
            assert text.dxf.height >= 1
            for line in (*lines(block, 7), *lines(block, 8)):
                assert not letters_of(text).intersects(line), f"{piece.name}: {text.dxf.text}"
            assert not any(letters_of(text).contains(hole) for hole in points(block, 13))


# --- what it measures ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_areas(size):
    """Within 0.05 % of the cut piece; lengths are mm."""
    for piece in pinafore(size).pieces:
        got = boundary(blocks(read(size))[piece.name])
        assert got.is_valid
        assert got.area == pytest.approx(Polygon(piece.cut_line).area * 100, rel=5e-4), piece.name


@pytest.mark.parametrize("size", SIZES)
def test_sew_lines(size):
    """One line an edge, in the order of the edges, each within 0.02 cm of the true curve's length."""
    for piece in pinafore(size).pieces:
        got = lines(blocks(read(size))[piece.name], 14)
        want = [edge.curve.length for edge in piece.edges if edge.turn != "fold"]
        assert [line.length / 10 for line in got] == pytest.approx(want, abs=0.02), piece.name


def test_curves_are_followed_within_a_tenth_of_a_millimetre():
    """Points of the cubics themselves, read from the SVG, lie on the polylines."""
    ids = {el.id: el for el in svg_paths("12")}
    for piece in pinafore("12").pieces:
        block = blocks(read("12"))[piece.name]
        edges = [edge for edge in piece.edges if edge.turn != "fold"]
        for edge, line in zip(edges, lines(block, 14), strict=True):
            path = ids[f"{piece.name}.{edge.name}".replace(" ", "-")]
            start = complex(*path.point(0))
            first = complex(*line.coords[0])
            for k in range(201):
                z = complex(*path.point(k / 200)) - start
                assert line.distance(Point(first.real + z.real, first.imag - z.imag)) < 0.1


def test_notches_lie_on_the_boundary_and_holes_inside():
    for piece in pinafore("12").pieces:
        block = blocks(read("12"))[piece.name]
        ring = boundary(block)
        notches = points(block, 4)
        assert len(notches) == sum(notch.count for notch in piece.notches)
        assert all(ring.exterior.distance(p) < 0.05 for p in notches)
        holes = points(block, 13)
        assert len(holes) == len(piece.drill_holes) and all(ring.contains(p) for p in holes)


def test_turn_points_are_corners_and_every_curve_has_points():
    """Turn points and curve points together are the boundary's points where it changes direction."""
    for piece in pinafore("12").pieces:
        block = blocks(read("12"))[piece.name]
        ring = lines(block, 1)[0].coords[:-1]
        turns, curves = points(block, 2), points(block, 3)
        assert {p.coords[0] for p in (*turns, *curves)} <= {(x, y) for x, y in ring}
        assert len(turns) >= 3 and len(turns) + len(curves) <= len(ring)
    skirt = blocks(read("12"))["front skirt"]  # four corners; side and hem are curved
    assert len(points(skirt, 2)) == 4 and len(points(skirt, 3)) > 20
    pocket = blocks(read("12"))["bib pocket"]
    assert len(points(pocket, 2)) == 4 and not points(pocket, 3)


def test_half_pieces_have_a_mirror_line_on_the_boundary():
    for piece in pinafore("12").pieces:
        block = blocks(read("12"))[piece.name]
        mirror = lines(block, 6)
        assert len(mirror) == sum(edge.turn == "fold" for edge in piece.edges)
        assert all(boundary(block).exterior.buffer(0.01).covers(line) for line in mirror)


def test_grain_and_internal_lines_lie_inside():
    for piece in pinafore("12").pieces:
        block = blocks(read("12"))[piece.name]
        (grain,) = lines(block, 7)
        whole = math.dist(piece.grain.start, piece.grain.end)  # half of it leaves space for a narrow label
        assert grain.length / 10 == pytest.approx(whole) or grain.length / 10 == pytest.approx(whole / 2)
        inside = boundary(block).buffer(0.05)
        assert all(inside.covers(line) for line in (grain, *lines(block, 8)))


# --- odd garments -------------------------------------------------------------------------------------------


def of(*pieces: Piece) -> Garment:
    return Garment("étui <x>\n", None, {}, {}, pieces, ())


@pytest.mark.parametrize("name", ["Schürze ½", "a/b", "x" * 60, "%%u\x00{\\P}", "Σ 袖"])
def test_any_name_keeps_the_file_whole(name):
    pieces = [finish(marked(panel(40, 40, name=n, tilt=30))) for n in (name, name + "2")]
    text = as_dxf(of(*pieces))
    assert text.isascii()
    doc = ezdxf.read(io.StringIO(text))
    found = doc.audit()
    assert not found.errors and not found.fixes
    assert len(doc.modelspace().query("INSERT")) == 2
    names = {block.name for block in doc.blocks if not block.is_any_layout}
    assert len(names) == 2 and all(len(n) <= 31 for n in names)
    for block in (doc.blocks.get(n) for n in names):
        assert boundary(block).area == pytest.approx(Polygon(pieces[0].cut_line).area * 100, rel=5e-4)


def test_the_quantity_counts_every_cloth():
    pair = finish(panel(40, 40, cut=2, pair=True, cloths=("main cloth", "lining")))
    doc = ezdxf.read(io.StringIO(as_dxf(of(pair))))
    assert {"Quantity: 4", "Material: main cloth, lining"} <= set(said(blocks(doc)["panel"]))


# --- SVG read by another library ----------------------------------------------------------------------------


@cache
def svg_paths(size: str) -> tuple:
    text = io.StringIO(as_svg(drawn(size)))
    read = svgelements.SVG.parse(text, ppi=25.4)  # at 25.4 units an inch a unit is a mm
    return tuple(read.select(lambda e: isinstance(e, svgelements.Path)))


@pytest.mark.parametrize("size", SIZES)
def test_svg_seam_lengths_by_another_library(size):
    """Within 0.02 cm, by svgelements."""
    ids = {path.id: path for path in svg_paths(size)}
    for piece in pinafore(size).pieces:
        for edge in piece.edges:
            if edge.turn != "fold":
                path = ids[f"{piece.name}.{edge.name}".replace(" ", "-")]
                assert path.length(error=1e-5) / 10 == pytest.approx(edge.curve.length, abs=0.02), path.id


@pytest.mark.parametrize("size", SIZES)
def test_svg_areas_by_another_library(size):
    """Within 0.05 %: the cut line and the fold of each piece's group."""
    for piece in pinafore(size).pieces:
        own = [
            p.d(relative=False, smooth=False)
            for p in svg_paths(size)
            if p.values.get("data-piece") == piece.name
            and (p.values.get("data-style") == "cut" or (p.values.get("data-style") == "fold" and p.id))
        ]
        (area,) = rounds([_with_blanks(d) for d in own])
        assert area.area == pytest.approx(Polygon(piece.cut_line).area * 100, rel=5e-4), piece.name


def _with_blanks(d: str) -> str:
    return d.replace(",", " ")


def test_svg_groups_have_names_for_piece_and_layer():
    names = {e.id for e in svgelements.SVG.parse(io.StringIO(as_svg(drawn("12")))).select() if e.id}
    for piece in pinafore("12").pieces:
        stem = piece.name.replace(" ", "-")
        assert {stem, f"{stem}.cut-lines", f"{stem}.seam-lines", f"{stem}.marks", f"{stem}.labels"} <= names

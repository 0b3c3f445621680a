"""Calls as a user types them: sizes as bodies, lengths with units, names in brackets, pictures, help."""

import ast
import base64
import inspect
import pydoc
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import fields
from pathlib import Path

import pytest
from IPython.core.completer import IPCompleter, provisionalcompleter
from IPython.core.interactiveshell import InteractiveShell

import patternlib as pl
from patternlib.draft import Drafting
from patternlib.errors import PatternError, UnknownName, ValueAtFault
from patternlib.geometry import Curve, Outline, Point, line
from patternlib.laying import lay

ROOT = Path(__file__).parent.parent
INCH = 2.54  # exact since 1959 [NIST Special Publication 811]


@pytest.fixture(scope="module")
def garment():
    return pl.make("pinafore", "12")


@pytest.fixture
def drafting():
    d = Drafting("a corner")
    d.start("A", (0, 0))
    d.go("B", "A", "down", 20)
    d.line("edge", "A", "B")
    d.length("edge length", "edge")
    return d


# -- a body, a size, a length


def test_a_size_of_the_chart_is_a_body(garment):
    body = pl.chart("course")["12"]
    assert garment.body == body and garment.size == "12"
    assert garment.pieces == pl.make("pinafore", body, size="12").pieces
    assert pl.make("apron", 14).size == "14" and pl.make("apron", "14", size="Ada").size == "Ada"
    assert pl.skirt_block("12").points() == pl.skirt_block(body).points()
    assert pl.bodice_block("12").points() == pl.bodice_block(body).points()
    with pytest.raises(UnknownName, match="size of the chart 'course' is called '13'"):
        pl.make("pinafore", "13")
    with pytest.raises(ValueAtFault, match='Give a Body, or a size of the course chart, such as "12"'):
        pl.make("pinafore", None)


def test_a_chart_is_read_like_a_table():
    sizes = pl.chart("course")
    assert len(sizes) == len(sizes.sizes) and list(sizes) == list(sizes.keys()) == list(sizes.sizes)
    assert "12" in sizes and 12 in sizes and "13" not in sizes
    assert sizes[12] == sizes["12"] == dict(sizes)["12"]
    assert len(repr(sizes)) < 120 and "'course'" in repr(sizes)


def test_a_length_with_its_unit_is_taken_by_body_and_style():
    body = pl.Body(bust_girth="34 1/2 in", waist_girth="700 mm", hip_girth="95 cm", height="5' 5\"")
    assert (body.bust_girth, body.waist_girth, body.hip_girth) == (pytest.approx(34.5 * INCH), 70.0, 95.0)
    assert body.height == pytest.approx(65 * INCH) and body.replace(waist_girth="72 cm").waist_girth == 72
    made = pl.make("pinafore", "12", skirt_length="24 in", yoke_depth="7.5 cm")
    assert made.style["skirt_length"] == pytest.approx(24 * INCH) and made.style["yoke_depth"] == 7.5


@pytest.mark.parametrize("block", [pl.skirt_block, pl.bodice_block])
def test_a_length_with_its_unit_is_taken_by_every_option_of_a_block(block):
    body = pl.chart("course")["12"]
    parameters = inspect.signature(block).parameters.values()
    options = [p for p in parameters if "Length" in str(p.annotation)]
    assert len(options) >= 5
    for option in options:
        cm = 4.0 if option.default is None else option.default
        with_unit, plain = block(body, **{option.name: f"{cm * 10:g} mm"}), block(body, **{option.name: cm})
        assert with_unit.points() == plain.points(), option.name


def test_a_length_with_its_unit_is_taken_by_the_sleeve():
    bodice = pl.bodice_block("12")
    armholes = bodice.curve("back armhole"), bodice.curve("front armhole")
    plain = pl.sleeve_block("12", *armholes, cap_ease=2, length=50)
    assert pl.sleeve_block("12", *armholes, cap_ease="20 mm", length="50 cm").points() == plain.points()
    with pytest.raises(ValueAtFault, match=r"back_armhole.*must be a curve"):
        pl.sleeve_block("12", "back armhole", armholes[1])


def test_a_length_with_its_unit_is_taken_by_the_steps_of_a_draft(drafting):
    d = drafting
    assert d.go("C", "B", "right", "3 in").x == pytest.approx(3 * INCH)
    assert d.along("D", "A", "C", "100 mm").distance((0, 0)) == pytest.approx(10)
    assert d.on("E", "edge", "7,5 cm") == Point(0, -7.5)
    assert d.start("F", ("1 in", "-20 mm")) == Point(pytest.approx(INCH), -2)
    assert d.given("ease", "5 cm") == 5 and d.sum("half", {"edge length": 0.5}, "1 cm") == 11
    assert d.add("G", "parallel", ("edge",), "1 in").start.x == pytest.approx(-INCH)
    assert d.go("H", "A", "left", "edge length").x == -20
    assert d.given("2 hems", 6) == 6 and d.go("J", "A", "left", "2 hems").x == -6  # a step's name goes first
    draft = d.finish()
    assert draft.step("C").measure == pytest.approx(3 * INCH) and draft.step("C").measured_by == ""
    assert draft.replay(measures={"B": "18 cm"})["B"] == Point(0, -18)
    assert draft.replay(points={"B": ("0 cm", "-10 in")}).point("B").y == pytest.approx(-10 * INCH)
    with pytest.raises(UnknownName, match="edge length"):
        d.go("K", "A", "left", "edge lenght")
    with pytest.raises(ValueAtFault, match="number of degrees"):
        d.add("L", "turn", ("B", "A"), "30 cm")


def test_a_length_with_its_unit_is_taken_by_moves_and_the_lay(garment):
    outline = pl.moves.block_outline(pl.skirt_block("12", one_dart=True), "front")
    legs = ("waist dart, centre leg", "waist dart, side leg")
    place = outline["hem"].length / 2
    said = pl.moves.close_dart(outline, legs, open_at=("hem", f"{place * 10:.6f} mm"))
    assert said.length == pytest.approx(
        pl.moves.close_dart(outline, legs, open_at=("hem", place)).length, abs=1e-5
    )
    level = pl.moves.carry_level(line((0, 0), (0, 20)), line((30, 0), (30, 8)), "2 in")
    assert level.y == pytest.approx(2 * INCH)
    assert lay(garment, width="60 in", seconds=0).width == pytest.approx(60 * INCH)


# -- names in brackets


def test_pieces_edges_and_steps_are_found_by_name(garment):
    assert garment["bib"] is garment.piece("bib") and "bib" in garment and "sleeve" not in garment
    assert len(garment) == len(garment.pieces) == len(list(garment)) and list(garment.keys())[2] == "bib"
    bib = garment["bib"]
    assert bib["top"] is bib.edge("top") and list(bib.keys()) == [e.name for e in bib] and len(bib) == 4
    assert bib.outline["top"] is bib["top"].curve and list(bib.outline.keys()) == list(bib.keys())
    with pytest.raises(UnknownName, match="Did you mean 'bib'"):
        garment["bibb"]
    draft = garment.drafts["front plan"]
    assert (
        len(draft) == len(draft.steps) == len(draft.keys()) and dict(draft)["side hip"] == draft["side hip"]
    )


def test_a_draft_gives_what_a_step_made_by_its_kind(drafting):
    draft = drafting.finish()
    assert isinstance(draft.point("B"), Point) and isinstance(draft.curve("edge"), Curve)
    assert draft.number("edge length") == 20
    for ask, name, kind in (
        (draft.curve, "B", "point"),
        (draft.point, "edge", "curve"),
        (draft.number, "A", "point"),
    ):
        with pytest.raises(ValueAtFault, match=re.escape(f"Ask for it with .{kind}('{name}')")):
            ask(name)


# -- what a notebook shows


def _shown(value):
    """What a cell whose last line is `value` gives: its data by type."""
    InteractiveShell.instance()
    data, _ = InteractiveShell.instance().display_formatter.format(value)
    return data


def test_a_cell_shows_the_picture_and_a_short_text(garment):
    for value in (garment, garment["bib"], garment["bib"].outline, garment.drafts["back plan"]):
        data = _shown(value)
        assert len(data["text/plain"]) < 100 and data["text/plain"] == repr(value)
        found = re.fullmatch(
            r'<img alt="([^"]+)" .*src="data:image/svg\+xml;base64,([^"]+)">', data["text/html"]
        )
        drawing = ET.fromstring(base64.b64decode(found[2]))
        assert drawing.tag == "{http://www.w3.org/2000/svg}svg"
        assert 200 <= float(drawing.get("width")) <= 900 and float(drawing.get("height")) <= 1000
        assert len(drawing.findall(".//{http://www.w3.org/2000/svg}path")) >= 1
        assert "image/svg+xml" not in data  # hidden until a notebook is trusted
    pieces = base64.b64decode(_shown(garment)["text/html"].split("base64,")[1].split('"')[0]).decode()
    assert all(f'data-piece="{piece.name}"' in pieces for piece in garment)


def test_a_draft_without_steps_shows_its_text_alone():
    assert _shown(Drafting("nothing yet").finish()) == {"text/plain": "<draft of nothing yet: 0 steps>"}


def test_a_picture_is_drawn_by_output_and_loaded_only_then():
    code = (
        "import sys, patternlib as pl; piece = pl.make('apron', '12')['pocket'];"
        "print('patternlib.output' in sys.modules);"
        "piece._repr_mimebundle_(); print('patternlib.output' in sys.modules, 'matplotlib' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "True", "False"]


def test_completion_finds_what_is_there(garment):
    shell = InteractiveShell.instance()
    shell.user_ns.update(pl=pl, garment=garment, sizes=pl.chart("course"), piece=garment["bib"])
    shell.user_ns.update(draft=garment.drafts["front plan"])
    completer: IPCompleter = shell.Completer
    completer.use_jedi = False
    for text, wanted in (
        ("pl.ma", "make"), ("pl.mo", "moves"), ("pl.bo", "boards"), ("pl.ge", "geometry"),
        ("garment['bi", "bib"), ("sizes['1", "12"), ("draft['side h", "hip"), ("piece['to", "top"),
    ):  # fmt: skip
        with provisionalcompleter():
            found = [one.text for one in completer.completions(text, len(text))]
        assert any(wanted in match for match in found), text


# -- the front door


def test_dir_lists_every_name_and_nothing_else():
    names = {name for name in dir(pl) if not name.startswith("_")}
    assert {
        "make",
        "Body",
        "chart",
        "Drafting",
        "skirt_block",
        "moves",
        "pieces",
        "checking",
        "geometry",
        "boards",
    } <= names
    assert not {"annotations", "notebook", "importlib", "steps", "survey"} & names
    for name in names:
        assert getattr(pl, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'mkae'"):
        pl.mkae  # noqa: B018


def test_help_is_two_screens_and_names_every_name():
    text = pydoc.plain(pydoc.render_doc(pl))
    assert len(text.splitlines()) <= 80
    said = pl.__doc__
    for name in dir(pl):
        assert name.startswith("_") or re.search(rf"\b{name}\b", said), name


def test_the_version_is_the_installed_one():
    assert re.match(r"\d", pl.__version__)


def test_every_function_a_caller_sees_has_types():
    from patternlib import body, checking, draft, geometry, moves, pieces, sizes, steps, units

    found = {
        getattr(pl, name) for name in dir(pl) if callable(getattr(pl, name)) and not name.startswith("_")
    }
    for module in (body, checking, draft, geometry, moves, pieces, sizes, steps, units):
        found |= {
            value
            for name, value in vars(module).items()
            if callable(value) and name[0] != "_" and f"{value.__module__}".startswith("patternlib")
        }
    calls = set()
    for thing in found:
        if inspect.isclass(thing):
            calls |= {m for n, m in vars(thing).items() if inspect.isfunction(m) and not n.startswith("_")}
        elif inspect.isfunction(thing):
            calls.add(thing)
    assert len(calls) > 80
    bare = []
    for call in calls:
        signature = inspect.signature(call)
        if signature.return_annotation is signature.empty or any(
            p.annotation is p.empty for p in signature.parameters.values() if p.name not in ("self", "cls")
        ):
            bare.append(call.__qualname__)
    assert not sorted(bare)


# -- a wrong type is a sentence

WRONG = (
    None,
    [],
    {},
    object(),
    3 + 4j,
    float("nan"),
    float("inf"),
    "",
    "nonsense",
    "12 yd",
    b"12",
    -1e9,
    True,
    (1, 2, 3),
)


def _calls():
    body = pl.Body(bust_girth=88, waist_girth=70, hip_girth=95)
    bodice = pl.bodice_block(body)
    armholes = bodice.curve("back armhole"), bodice.curve("front armhole")
    for block, given in ((pl.skirt_block, ()), (pl.bodice_block, ()), (pl.sleeve_block, armholes)):
        yield lambda w, b=block, g=given: b(w, *g)
        for name, p in inspect.signature(block).parameters.items():
            if p.kind is p.KEYWORD_ONLY and name not in ("one_dart", "back_darts", "front_darts"):
                yield lambda w, b=block, g=given, n=name: b(body, *g, **{n: w})
    for name in ("bust_girth", "height", "shoulder_drop", "sex"):
        yield lambda w, n=name: pl.Body(**{"bust_girth": 88, "waist_girth": 70, "hip_girth": 95, n: w})
        yield lambda w, n=name: body.replace(**{n: w})
    yield lambda w: pl.Body.from_dict(w)
    yield pl.chart
    yield lambda w: pl.chart("course")[w]
    yield lambda w: pl.make(w, "12")
    yield lambda w: pl.make("pinafore", w)
    yield lambda w: pl.make("pinafore", "12", yoke_depth=w)
    yield pl.style_values
    garment = pl.make("pinafore", "12")
    yield lambda w: garment[w]
    yield lambda w: garment["bib"][w]
    yield lambda w: garment["bib"].outline[w]
    yield from (bodice.__getitem__, bodice.point, bodice.curve, bodice.number, bodice.step)
    yield lambda w: bodice.replay(measures={"nape": w})
    yield lambda w: bodice.replay(points={"nape": w})

    def step(write):
        def tried(w):
            d = Drafting("a draft")
            d.start("A")
            d.go("B", "A", "down", 20)
            d.line("edge", "A", "B")
            write(d, w)

        return tried

    yield step(lambda d, w: d.start("C", w))
    yield step(lambda d, w: d.start(w))
    for k in range(4):
        yield step(lambda d, w, k=k: d.go(*["C", "A", "down", 5][:k], w, *["C", "A", "down", 5][k + 1 :]))
        yield step(lambda d, w, k=k: d.along(*["C", "A", "B", 5][:k], w, *["C", "A", "B", 5][k + 1 :]))
    for k in range(3):
        yield step(lambda d, w, k=k: d.on(*["C", "edge", 5][:k], w, *["C", "edge", 5][k + 1 :]))
        yield step(lambda d, w, k=k: d.line(*["C", "A", "B"][:k], w, *["C", "A", "B"][k + 1 :]))
    yield step(lambda d, w: d.curve("C", w))
    yield step(lambda d, w: d.curve("C", ["A", "B"], start=w))
    yield step(lambda d, w: d.add("C", w))
    yield step(lambda d, w: d.length("C", w))
    yield step(lambda d, w: d.sum("C", w))
    yield step(lambda d, w: d.given("C", w))
    yield step(lambda d, w: d.line("C", "edge", "A"))  # a curve where a point is needed
    yield step(lambda d, w: d.on("C", "A", 3))
    yield step(lambda d, w: d.length("C", "A"))


def test_a_wrong_type_is_a_sentence_and_never_a_python_error():
    """Everything a caller can give, in every place: it is taken, or refused with a sentence."""
    refused, faults = 0, []
    for call in _calls():
        where = inspect.getsource(call).strip() if inspect.isfunction(call) else call
        for wrong in WRONG:
            try:
                call(wrong)
            except PatternError as error:
                text = str(error)
                refused += 1
                if not text.endswith((".", "?")) or "not supported" in text or "NoneType" in text:
                    faults.append(f"{text} for {wrong!r} in {where}")
            except Exception as error:
                faults.append(f"{type(error).__name__}: {error} for {wrong!r} in {where}")
    assert not faults, "\n".join(faults)
    assert refused > 600


def type_errors(*options: str) -> str:
    """What the type checker says, nothing where it is content; apart, since it changes Python's limits."""
    made = subprocess.run([sys.executable, "-m", "mypy", *options], cwd=ROOT, capture_output=True, text=True)
    return "" if made.returncode == 0 else made.stdout + made.stderr


def test_a_script_of_natural_calls_passes_a_type_checker(tmp_path):
    """As a user with an editor sees it: the wheel says it is typed (PEP 561)."""
    pytest.importorskip("mypy")
    (tmp_path / "mine.py").write_text(
        "import patternlib as pl\n"
        "from patternlib.geometry import Curve, Outline, Point\n"
        "from patternlib.pieces import Edge, Piece\n"
        'body: pl.Body = pl.chart("course")["12"]\n'
        'own = pl.Body(bust_girth="34 in", waist_girth=70, hip_girth="95 cm")\n'
        'garment = pl.make("pinafore", "12", yoke_depth="7.5 cm", skirt_length=60)\n'
        'bib: Piece = garment["bib"]\n'
        'top: Edge = bib["top"]\n'
        "round_it: Outline = bib.outline\n"
        'block: pl.Draft = pl.skirt_block(own, length="60 cm")\n'
        'hip: Point = block.point("side hip")\n'
        'hem: Curve = block.curve("front hem")\n'
        "width: float = hem.length + hip.x + own.bust_girth\n"
        'd = pl.Drafting("mine")\n'
        'b: Point = d.go("B", "A", "down", "7.5 cm")\n'
        "version: str = pl.__version__\n",
        encoding="utf-8",
    )
    file, options = str(tmp_path / "mine.py"), ["--strict", "--config-file=", "--follow-imports=silent"]
    assert not type_errors(*options, "--cache-dir", str(tmp_path), file)
    assert (ROOT / "patternlib" / "py.typed").exists()


def test_an_editor_is_told_every_measure_a_body_takes():
    """What a type checker reads of Body stands apart from its fields: the two must agree."""
    body = ast.parse((ROOT / "patternlib" / "body.py").read_text(encoding="utf-8"))
    (told,) = (n for n in ast.walk(body) if isinstance(n, ast.FunctionDef) and n.name == "__init__")
    assert [a.arg for a in told.args.kwonlyargs] == [f.name for f in fields(pl.Body) if f.init]


def test_the_public_face_has_no_type_errors():
    """Settings and rooms as pyproject.toml has them."""
    pytest.importorskip("mypy")
    assert not type_errors("--config-file", str(ROOT / "pyproject.toml"))


def test_outlines_and_pieces_are_values_that_can_be_kept(garment):
    bib, again = garment["bib"], pl.make("pinafore", "12")["bib"]
    assert hash(bib) == hash(again) and bib == again and len({bib, again, garment["strap"]}) == 2
    corner = Outline((("a", line((0, 0), (4, 0))), ("b", line((4, 0), (0, 3))), ("c", line((0, 3), (0, 0)))))
    assert "a" in corner and "d" not in corner and len(corner) == 3

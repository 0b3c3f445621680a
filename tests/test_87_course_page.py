"""The course without its heavy packages, and as a page that runs in a browser without any network."""

from __future__ import annotations

import base64
import hashlib
import importlib
import io
import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from shapely import Point as Spot
from shapely import Polygon

from patternlib import garment_names, make
from patternlib.assess import exercises, judge
from patternlib.course_page.browser_python import compiled
from patternlib.course_page.fetching import fetched
from patternlib.course_page.stills import still_where_missing
from patternlib.errors import PatternError

ROOT = Path(__file__).parent.parent

WITHOUT = """
import importlib.abc, importlib.util, json, sys

class Missing(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("shapely", "numpy", "matplotlib", "ezdxf", "PIL", "scipy"):
            raise ModuleNotFoundError(f"No module named '{name}'", name=name)

found = importlib.util.find_spec
importlib.util.find_spec = lambda name, *more: None if name == "PIL" else found(name, *more)
sys.meta_path.insert(0, Missing())
import patternlib as pl
from patternlib import assess
from patternlib.errors import PatternError
from patternlib.laying import lay

told = {"marks": {}, "findings": [], "refused": {}}
for id, work in assess.exercises().items():
    of = work.own_numbers("S01")
    try:
        verdict = assess.judge(work.record(of, work.reference(of), student="S01")).to_dict()
        told["marks"][id] = [verdict["mark"], verdict["out_of"]]
    except PatternError as error:
        told["refused"][id] = str(error)
for id in ("02a", "09a", "10a", "12a"):
    told["tables"] = len(assess.drafting_table(id, student="S01").said()) + told.get("tables", 0)
from patternlib.assess.table.laying import lay as laid_out
from patternlib.assess.table.viewing import middle_of, viewed
from tests.table_pieces import all_steps

pocket = assess.exercises()["10a"]
on_table = laid_out(pocket, pocket.own_numbers("S01"), all_steps(pocket, pocket.own_numbers("S01")))
traced = on_table.pieces.values()
told["pocket"] = [len(on_table.faults), *([piece.closed, *middle_of(piece)] for piece in traced)]
told["seen"] = [bool(viewed(piece)) for piece in traced]
pocket = assess.pocket_table(pl.own_body())
from patternlib.output.paper.pdf import as_pdf
from patternlib.output.scene import piece_scene
told["pdf"] = len(as_pdf(piece_scene(pl.make("pinafore", "12")["strap"])))
for name in pl.garment_names():
    garment = pl.make(name, "12")
    told["findings"] += [[f.code, f.severity, f.text] for f in garment.findings]
    told["pictures"] = garment._repr_mimebundle_()["text/html"][:20]
for what, ask in {
    "lay": lambda: lay(pl.make("pinafore", "12"), width=150),
    "drawing": lambda: pl.boards.garment_board("smock", pl.own_body(), ["length"], show=("drawing",)).draw(),
    "closing": lambda: pl.boards.closing_board(pl.own_body()).draw(),
}.items():
    try:
        ask()
        told["refused"][what] = "drawn"
    except PatternError as error:
        told["refused"][what] = str(error)
print("told:" + json.dumps(told))
"""


@pytest.fixture(scope="module")
def without():
    """What the library says where shapely, numpy and the like cannot be imported."""
    made = subprocess.run([sys.executable, "-c", WITHOUT], cwd=ROOT, capture_output=True, text=True)
    assert made.returncode == 0, made.stderr[-3000:]
    return json.loads(made.stdout.split("told:")[1])


def test_every_exercise_is_judged_without_the_heavy_packages(without):
    assert len(without["marks"]) > 25
    for id, work in exercises().items():
        of = work.own_numbers("S01")
        verdict = judge(work.record(of, work.reference(of), student="S01")).to_dict()
        assert without["marks"][id] == [verdict["mark"], verdict["out_of"]], id


def test_a_strap_is_printed_and_tables_are_laid_out(without):
    assert without["pdf"] > 2000 and without["tables"] == 0
    faults, (closed, x, y) = without["pocket"]
    assert faults == 0 and closed and without["seen"] == [True], "a piece is cut free on the table"
    work = exercises()["10a"]
    (pocket,) = work.finish(work.reference(work.own_numbers("S01")), work.own_numbers("S01"))
    assert Polygon(pocket.outline.flat()).covers(Spot(x, y)), "its name stands inside it"


def test_a_check_that_cannot_be_made_is_never_passed(without):
    """Each piece of each garment says that its outline was not checked; nothing else is found on them."""
    unchecked = [f for f in without["findings"] if f[1] == "unchecked"]
    assert len(unchecked) == sum(len(make(name, "12").pieces) for name in garment_names())
    assert all(f[0] == 801 and "not checked" in f[2] for f in unchecked)
    assert not [f for f in without["findings"] if f[1] in ("error", "warning")]
    assert without["pictures"].startswith("<")


@pytest.mark.parametrize("what", ["lay", "drawing", "closing"])
def test_what_cannot_be_drawn_is_refused_in_a_sentence(without, what):
    text = without["refused"][what]
    assert "shapely" in text and "missing here" in text and text.endswith(".")


def test_content_that_is_not_the_pinned_one_is_refused(tmp_path):
    """Hash of the empty file: SHA-256 of FIPS 180-4, as printed by any checksum program."""
    file = tmp_path / "x.bin"
    file.write_bytes(b"")
    empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert fetched(file.as_uri(), tmp_path / "kept", sha256=empty) == b""
    file.write_bytes(b"other")
    assert fetched(file.as_uri(), tmp_path / "kept", sha256=empty) == b"", "it is kept"
    with pytest.raises(PatternError, match="something else"):
        fetched(file.as_uri(), tmp_path / "elsewhere", sha256=empty)
    with pytest.raises(PatternError, match="online"):
        fetched((tmp_path / "nothing").as_uri(), tmp_path / "kept")


def test_only_what_a_lesson_imports_is_compiled(tmp_path, monkeypatch):
    """The archive is still a wheel (file names, RECORD: Binary distribution format, packaging.python.org)."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("tried/__init__.py", '"""Said."""\nfrom .used import WORD\n')
        archive.writestr("tried/used.py", "WORD = 'plain'\n")
        archive.writestr("tried/unused.py", "this is no Python\n")
        archive.writestr("jedi/__init__.py", "x = 1\n")
        archive.writestr("tried-1.dist-info/WHEEL", "Wheel-Version: 1.0\nTag: py3-none-any\n")
        archive.writestr("tried-1.dist-info/RECORD", "tried/used.py,,\n")
    place = next(p for p in sys.path if p.endswith("site-packages"))
    files = {f"{place}/tried/__init__.py", f"{place}/tried/used.py"}
    content, name = compiled(made.getvalue(), "tried-1-py3-none-any.whl", files)
    assert name == f"tried-1-cp{sys.version_info.major}{sys.version_info.minor}-none-any.whl"
    (tmp_path / name).write_bytes(content)
    with zipfile.ZipFile(tmp_path / name) as archive:
        names = archive.namelist()
        assert "Tag: cp" in archive.read("tried-1.dist-info/WHEEL").decode()
        for line in archive.read("tried-1.dist-info/RECORD").decode().splitlines()[:-1]:
            path, digest, size = line.split(",")
            inside = archive.read(path)
            found = base64.urlsafe_b64encode(hashlib.sha256(inside).digest()).decode().rstrip("=")
            assert (digest, int(size)) == (f"sha256={found}", len(inside))
    assert [n for n in names if not n.startswith("tried-1.")] == [
        "tried/__init__.pyc", "tried/used.pyc", "tried/unused.py",
    ]  # fmt: skip
    monkeypatch.syspath_prepend(str(tmp_path / name))
    tried = importlib.import_module("tried")
    assert tried.WORD == "plain" and tried.__doc__ == "Said."
    assert compiled(made.getvalue(), "tried-1-py3-none-any.whl", files)[0] == content, "the same each time"


def test_what_cannot_run_in_the_page_is_shown_as_it_was_saved(tmp_path):
    """A cell that needs what is left out, and one that needs its value; the cells beside them stay live."""

    def cell(id: str, source: str, **data: str) -> dict:
        shown = [{"output_type": "display_data", "metadata": {}, "data": data}] if data else []
        kind = {"cell_type": "code", "execution_count": 1, "metadata": {}}
        return {"id": id, "source": source, "outputs": shown, **kind}

    cells = [
        cell(
            "live",
            "from patternlib import make\nmade = make('pinafore', '12')",
            **{"text/plain": "x"},
        ),
        cell("lay", "from shapely import Point\nfar = Point(0, 0)", **{"image/svg+xml": "<svg/>"}),
        cell("after", "far.x", **{"text/plain": "0 < 1", "application/vnd.jupyter.widget-view+json": "w"}),
        cell("last", "made['strap'].name"),
    ]
    (tmp_path / "lessons").mkdir()
    book = {"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": cells}
    (tmp_path / "lessons" / "14.ipynb").write_text(json.dumps(book), encoding="utf-8")
    count = still_where_missing(tmp_path / "lessons", ["msgspec"], ["shapely", "numpy"], tmp_path / "tried")
    now = json.loads((tmp_path / "lessons" / "14.ipynb").read_text(encoding="utf-8"))["cells"]
    assert count == 2 and [c["cell_type"] for c in now] == ["code", "markdown", "markdown", "code"]
    assert [c["id"] for c in now] == ["live", "lay", "after", "last"] and now[0] == cells[0]
    lay, after = ("".join(c["source"]) for c in now[1:3])
    assert "built without shapely, numpy" in lay and 'src="data:image/svg+xml;base64,PHN2Zy8+"' in lay
    assert after.endswith("<pre>0 &lt; 1</pre>")

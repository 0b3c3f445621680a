"""`python -m patternlib make`: the files, the sentences, the exit status."""

from __future__ import annotations

import csv
import json
import math
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from patternlib.__main__ import main
from patternlib.checking import Finding

ROOT = Path(__file__).parent.parent


def files(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} if folder.exists() else set()


def test_make_writes_the_files_of_a_garment(tmp_path, capsys):
    out = tmp_path / "mine"
    assert main(["make", "pinafore", "--size", "12", "--set", "yoke_depth=7.5", "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert "13 pieces" in said and all(name in said for name in files(out))
    garment = json.loads((out / "garment.json").read_text(encoding="utf-8"))
    assert garment["format"] == "patternlib-garment" and garment["version"] == 1
    assert garment["style"]["yoke_depth"] == 7.5
    assert {"name", "a", "b", "ease"} <= set(garment["seams"][0])
    drawing = ET.parse(out / "pattern.svg").getroot()
    assert drawing.get("width").endswith("mm")
    rows = list(csv.reader((out / "cutting-list.csv").open(encoding="utf-8")))
    names = {piece["name"] for piece in garment["pieces"]}
    assert names <= {row[0] for row in rows}
    assert "side seam" in (out / "checks.txt").read_text(encoding="utf-8")


def test_make_for_own_measures_says_what_was_estimated(tmp_path, capsys):
    mine = tmp_path / "me.toml"
    mine.write_text('bust_girth = "36 in"\nwaist_girth = 74\nhip_girth = 99.5\n', encoding="utf-8")
    assert main(["make", "pinafore", "--body", str(mine), "--out", str(tmp_path / "out")]) == 0
    assert "neck_girth" in capsys.readouterr().out
    body = json.loads((tmp_path / "out" / "garment.json").read_text(encoding="utf-8"))["body"]
    assert body["bust_girth"] == pytest.approx(36 * 2.54)
    assert "neck_girth" in body["estimated"]


def not_finite(data, where="") -> list[str]:
    """Where plain data hold a number that is not finite."""
    if isinstance(data, dict):
        return [found for key, value in data.items() for found in not_finite(value, f"{where}/{key}")]
    if isinstance(data, list | tuple):
        return [found for k, value in enumerate(data) for found in not_finite(value, f"{where}/{k}")]
    return [where] if isinstance(data, float) and not math.isfinite(data) else []


def test_every_number_written_is_finite(tmp_path):
    """JSON knows no other numbers [RFC 8259, section 6]; a measure that does not exist is null."""
    mine, out = tmp_path / "me.toml", tmp_path / "out"
    measures = "bust_girth = 88\nwaist_girth = 70\nhip_girth = 95\nshoulder_length = 11\n"
    mine.write_text(measures, encoding="utf-8")
    words = ["make", "pinafore", "--body", str(mine), "--set", "bib_top=20", "--out", str(out)]
    assert main(words) == 0
    text = (out / "garment.json").read_text(encoding="utf-8")
    garment = json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} is not JSON"))
    assert not not_finite(garment)
    assert not_finite({"a": [1.0, float("nan")]}) == ["/a/1"]
    for path in out.iterdir():
        if path.suffix in (".txt", ".csv", ".svg", ".dxf", ".json"):
            assert not re.search(r"(?<![a-z])(nan|inf)(?![a-z])", path.read_text(encoding="utf-8"), re.I), (
                path
            )


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -float("inf")])
def test_a_finding_keeps_no_number_that_is_not_finite(number):
    found = Finding(750, "warning", "strap", number, number, 0.1, "it misses.")
    assert (found.got, found.want, found.tolerance) == (None, None, 0.1)
    assert json.dumps(found.to_dict(), allow_nan=False)


def test_a_second_run_replaces_its_own_files_and_no_others(tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    (out / "my notes.txt").write_text("keep me", encoding="utf-8")
    for depth in (6, 8):
        words = ["make", "pinafore", "--size", "14", "--set", f"yoke_depth={depth}", "--out", str(out)]
        assert main(words) == 0
    assert (out / "my notes.txt").read_text(encoding="utf-8") == "keep me"
    assert json.loads((out / "garment.json").read_text(encoding="utf-8"))["style"]["yoke_depth"] == 8


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["make", "pinafore", "--size", "99"], "99"),
        (["make", "pinafor", "--size", "12"], "pinafore"),
        (["make", "pinafore", "--chart", "corse", "--size", "12"], "course"),
        (["make", "pinafore", "--size", "12", "--set", "yoke_dept=7"], "yoke_depth"),
        (["make", "pinafore", "--size", "12", "--set", "yoke_depth=70"], "yoke_depth"),
        (["make", "pinafore", "--size", "12", "--set", "yoke_depth=nan"], "yoke_depth"),
        (["make", "pinafore", "--size", "12", "--set", "yoke_depth"], "NAME=VALUE"),
        (["make", "pinafore", "--size", "12", "--set", "strap_level=8", "back_rise=12"], "strap_level"),
        (["make", "pinafore"], "--size"),
        (["make", "pinafore", "--size", "12", "--body", "me.toml"], "--body"),
        (["make", "pinafore", "--body", "no such file.toml"], "no such file.toml"),
    ],
)
def test_a_wrong_input_is_one_sentence_and_leaves_nothing(arguments, word, tmp_path, capsys):
    out = tmp_path / "out"
    assert main([*arguments, "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert word in said and said.count("\n") == 1 and "Traceback" not in said
    assert files(tmp_path) == set()


@pytest.mark.parametrize("arguments", [[], ["mak"], ["make"], ["make", "pinafore", "--size", "12"]])
def test_unusable_arguments_end_with_status_2(arguments, capsys):
    with pytest.raises(SystemExit) as end:
        main(arguments)
    assert end.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_an_output_that_is_a_file_is_refused(tmp_path, capsys):
    (tmp_path / "out").write_text("a file", encoding="utf-8")
    assert main(["make", "pinafore", "--size", "12", "--out", str(tmp_path / "out")]) == 2
    assert (tmp_path / "out").read_text(encoding="utf-8") == "a file"
    assert "folder" in capsys.readouterr().err


def test_the_module_runs_as_a_program(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "patternlib", "make", "pinafore", "--size", "no", "--out", str(tmp_path)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2 and "Traceback" not in done.stderr


@pytest.mark.parametrize("garment", ["pinafore", "apron", "smock"])
def test_the_checks_of_a_sound_garment_have_nothing_to_mend(garment, tmp_path):
    assert main(["make", garment, "--size", "12", "--out", str(tmp_path / "out")]) == 0
    assert "Must be put right" not in (tmp_path / "out" / "checks.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "arguments",
    [["numbers", "lena"], ["--help"], ["assess", "--help"], ["worksheet", "--help"]],
    ids=lambda a: " ".join(a),
)
def test_a_reader_that_stops_reading_is_no_fault(arguments):
    """As in `... | head -0`: the other end of the pipe is closed before anything is written."""
    reading, writing = os.pipe()
    os.close(reading)
    command = [sys.executable, "-m", "patternlib", *arguments]
    try:
        ended = subprocess.run(command, cwd=ROOT, stdout=writing, stderr=subprocess.PIPE, text=True)
    finally:
        os.close(writing)
    assert (ended.returncode, ended.stderr) == (0, "")

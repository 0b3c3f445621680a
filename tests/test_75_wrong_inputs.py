"""Every command with wrong inputs: one sentence, status 2, nothing written, no traceback."""

import pytest

from patternlib.__main__ import main
from patternlib.arguments import plainly

MAKE = ("make", "pinafore", "--size", "12")
SHEET = ("worksheet", "02a", "--student", "ada")
CLASS = ("handouts", "02a", "--register", "class.csv")
OUT = {"make": "out", "assess": "out", "course-page": "out", "portfolio": "out.html"}
NO_FILES = ("missing", "a folder, ünïcode", "noise", "no table.csv", "")
"""What may stand where a file is asked for: missing, a folder, bytes of no kind, other words, no name."""
FILES = (*NO_FILES, "empty")
WRONG = [
    *((*MAKE[:2], "--body", name) for name in FILES),
    *((*MAKE, "--changes", name) for name in (*NO_FILES, "me.toml")),
    *((*CLASS[:3], name) for name in FILES),
    *(("assess", "handins", what, name) for what in ("--register", "--due", "--lengths") for name in FILES),
    *(("assess", "handins", "--rubric", name) for name in NO_FILES),
    *((command, name) for command in ("assess", "portfolio") for name in (*FILES, "empty.zip")),
    ("portfolio", "handins", "--student", "nobody"),
    *((*MAKE, "--cloth", cm) for cm in ("abc", "0", "nan", "150 miles", "")),
    *((*MAKE, "--lay-seconds", s) for s in ("abc", "-4", "nan")),
    *((*MAKE, "--set", f"yoke_depth{word}") for word in ("=", "=1e400", "=7=8", "ÿ=7")),
    *((*MAKE, "--set", word) for word in ("=7", "buttons=7")),
    *((*MAKE, "--paper", paper) for paper in ("a9", "roll", "roll=x", "roll=0", "roll=nan")),
    *((*MAKE, option, "nope") for option in ("--pieces", "--layers", "--sizes", "--nope", "--si")),
    *(("slips", "02", "--count", n) for n in ("0", "-1", "x", "1.5", "1e9", "")),
    *(("slips", lesson) for lesson in ("99", "02a", "16", "")),
    *((*SHEET, *more) for more in (("--scale", "double"), ("--paper", "a9"), ("--nope",))),
    *((*CLASS, *more) for more in (("--scale", "double"), ("--paper", "a9"), ("--group", "nope"))),
    *((command[0], work, *command[2:]) for command in (SHEET, CLASS) for work in ("99z", "", "../x")),
    ("worksheet", "16", "--student", "ada", "--strips"),
    *((*SHEET[:3], who) for who in ("", "  ", "a\nb", "x" * 81)),
    *(("assess", "handins", "--workers", n) for n in ("x", "0", "-2")),
    ("assess", "handins", "--protection", "nope"),
    ("course-page", "--nope"),
]
NO_OUT = [
    (), ("nope",), ("--nope",), ("make",), ("numbers",), ("numbers", ""), ("numbers", "a\nb"),
    ("numbers", "a", "b"), ("numbers", "x" * 81), ("assess", "handins"), ("exercise",), ("exercise", "02a"),
    ("exercise", "../p"), ("exercise", "02p", "--nope"), ("prepare-rerun", "--nope"), SHEET, CLASS,
    ("slips", "02"),
]  # fmt: skip
UNWRITABLE = ("", "a folder, ünïcode", "missing/x/y", "file.txt/x")


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """A folder with files of every kind, in which the command is given."""
    monkeypatch.chdir(tmp_path)
    for folder in ("a folder, ünïcode", "handins"):
        (tmp_path / folder).mkdir()
    (tmp_path / "handins" / "ada.ipynb").write_text('{"cells": [], "nbformat": 4}')
    for name in ("empty", "empty.zip"):
        (tmp_path / name).write_bytes(b"")
    (tmp_path / "noise").write_bytes(bytes(range(256)) * 3)
    (tmp_path / "no table.csv").write_text("apples,pears\n1,2\n")
    (tmp_path / "file.txt").write_text("a file of mine")
    (tmp_path / "class.csv").write_text("id\nada\n")
    (tmp_path / "me.toml").write_text("bust_girth = 88\nwaist_girth = 68\nhip_girth = 94\n")
    return tmp_path


def refused(words, desk, capsys) -> str:
    """What a command says that must be refused."""
    before = {path: path.stat().st_mtime_ns for path in desk.rglob("*")}
    try:
        status = main(list(words))
    except SystemExit as end:
        status = end.code
    out, said = capsys.readouterr()
    assert (status, out) == (2, ""), said
    assert said.count("\n") == 1 and "Traceback" not in said and said.startswith("python -m patternlib"), said
    assert said.rstrip()[-1] in ".?" and " argument " not in said and "invalid" not in said, said
    assert {path: path.stat().st_mtime_ns for path in desk.rglob("*")} == before
    return said


@pytest.mark.parametrize("words", WRONG, ids=" ".join)
def test_a_wrong_input_is_one_sentence_and_writes_nothing(words, desk, capsys):
    refused((*words, "--out", OUT.get(words[0], "out.pdf")), desk, capsys)


@pytest.mark.parametrize("words", NO_OUT, ids=" ".join)
def test_a_command_that_is_not_whole_is_one_sentence(words, desk, capsys):
    refused(words, desk, capsys)


@pytest.mark.parametrize("name", UNWRITABLE)
@pytest.mark.parametrize("words", [SHEET, CLASS, ("slips", "02", "--count", "1")], ids=lambda words: words[0])
def test_a_file_that_cannot_be_written_is_one_sentence(words, name, desk, capsys):
    assert "--out" in refused((*words, "--out", name), desk, capsys)


@pytest.mark.parametrize("name", ["", "file.txt", "file.txt/x"])
@pytest.mark.parametrize("words", [MAKE, ("assess", "handins"), ("course-page",)], ids=lambda words: words[0])
def test_a_folder_that_cannot_be_written_is_one_sentence(words, name, desk, capsys):
    refused((*words, "--out", name), desk, capsys)


def test_names_with_spaces_and_letters_of_any_kind_are_taken(desk, capsys):
    folder = "a folder, ünïcode"
    assert main(["worksheet", "01a", "--student", "Zoë 学生", "--out", f"{folder}/blätt 1.pdf"]) == 0
    assert main(["slips", "02", "--count", "1", "--seed", "ü 学", "--out", f"{folder}/s l.pdf"]) == 0
    assert main(["assess", "handins", "--out", f"{folder}/m arks"]) == 0
    assert "1 draft on" in capsys.readouterr().out
    assert {p.name for p in (desk / folder).iterdir()} == {"blätt 1.pdf", "s l.pdf", "m arks"}


@pytest.mark.parametrize(
    ("message", "said"),
    [
        (
            "argument COMMAND: invalid choice: 'x' (choose from make, assess)",
            "COMMAND: 'x' is not known. There are: make, assess.",
        ),
        ("argument --out: expected one argument", "--out: nothing stands behind it."),
        ("unrecognized arguments: --x", "not known here: --x. See --help."),
        ("something new", "something new"),
    ],
)
def test_what_the_parser_says_is_said_in_plain_words(message, said):
    assert plainly(message) == said

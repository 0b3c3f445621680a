"""The course as a whole: form of the notebooks, links, glossary, contents, criteria, spelling."""

from __future__ import annotations

import csv
import json
import re
import shlex
import subprocess
import sys
from contextlib import nullcontext
from itertools import pairwise
from pathlib import Path

import pytest

from patternlib.__main__ import _parser as command_parser
from patternlib.assess import exercises
from patternlib.assess.marking.command import _parser as marking_parser

ROOT = Path(__file__).parent.parent
LESSONS = sorted((ROOT / "lessons").glob("[0-9][0-9]_*.ipynb"))
NOTEBOOKS = [*LESSONS, *(p for d in ("exercises", "solutions") for p in sorted((ROOT / d).glob("*.ipynb")))]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "solutions").glob("*.md"))]

every_notebook = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: f"{p.parent.name}/{p.stem}")


def cells(path: Path, kind: str = "") -> list[dict]:
    found = json.loads(path.read_text(encoding="utf-8"))["cells"]
    for cell in found:
        cell["source"] = "".join(cell["source"])
    return [cell for cell in found if kind in ("", cell["cell_type"])]


def prose(path: Path) -> str:
    """The text of a notebook or page without its code blocks."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".ipynb":
        text = "\n\n".join(cell["source"] for cell in cells(path, "markdown"))
    return re.sub(r"```.*?```", "", text, flags=re.S)


@every_notebook
def test_headings_stand_in_order(path):
    levels = [len(marks) for marks in re.findall(r"^(#+) ", prose(path), re.M)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@every_notebook
def test_cells_are_short_and_plain(path):
    """Four lines of code at most, a heading comment not counted; no commands of the notebook program."""
    long = set()
    for cell in cells(path, "code"):
        lines = [line for line in cell["source"].splitlines() if line.strip() and line.lstrip()[0] != "#"]
        assert not [line for line in lines if line.lstrip()[0] in "!%"], cell["id"]
        if len(lines) > 4:
            long.add(cell["id"])
    assert not long


@every_notebook
def test_cell_ids_are_words_and_files_small(path):
    ids = [cell["id"] for cell in cells(path)]
    assert len(ids) == len(set(ids))
    assert not [id for id in ids if re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f-]+)?", id)], (
        "ids made up by a program"
    )
    assert path.stat().st_size < 600_000  # lesson 19 has a picture of each step of three garments
    assert not [cell["id"] for cell in cells(path) if "execution" in cell["metadata"]], "times of a run"


@every_notebook
def test_pictures_have_a_text_alternative(path):
    """An SVG has a title or a label [SVG 1.1, 5.4]; an HTML image has alt."""
    for cell in cells(path):
        shown = [cell["source"]] if cell["cell_type"] == "markdown" else []
        for output in cell.get("outputs", []):
            data = output.get("data", {})
            assert not [kind for kind in data if kind.startswith("image/") and kind != "image/svg+xml"], cell[
                "id"
            ]
            shown += ["".join(data[kind]) for kind in ("text/html", "image/svg+xml") if kind in data]
        for text in shown:
            for drawn in re.findall(r"<svg\b.*?</svg>", text, re.S):
                assert re.search(r"<title[^>]*>[^<]+</title>|aria-label=", drawn), cell["id"]
            assert not re.search(r"<img(?![^>]*\balt=)", text), cell["id"]
            assert not re.search(r"!\[\s*\]\(", text), cell["id"]


@pytest.mark.parametrize("path", [*NOTEBOOKS, *PAGES], ids=lambda p: f"{p.parent.name}/{p.name}")
def test_links_lead_somewhere(path):
    for link in re.findall(r"\]\(([^)\s]+)\)", prose(path)):
        file, _, place = link.partition("#")
        if "://" in link or not file:
            continue
        assert (path.parent / file).is_file(), link
        assert not place or file.endswith((".md", ".ipynb")), link


@pytest.mark.parametrize("page", [ROOT / "README.md", LESSONS[0]], ids=["README", "lesson 00"])
def test_the_contents_list_every_lesson_in_order(page):
    listed = re.findall(r"\[([^\]]+)\]\((?:lessons/)?(\d\d_\w+\.ipynb)\)", prose(page))
    wanted = LESSONS if page.suffix == ".md" else LESSONS[1:]
    assert [name for _, name in listed] == [p.name for p in wanted]
    for title, name in listed:
        assert title == re.search(r"^# (.+)$", prose(ROOT / "lessons" / name), re.M)[1]


def test_the_glossary_is_sorted_and_its_words_are_used():
    """Each word stands, in some form of it, in the lesson that the glossary names."""
    lines = re.findall(
        r"^- \*\*(.+?)\*\*: .+\(lesson (\d\d)\)$", (ROOT / "lessons/glossary.md").read_text("utf-8"), re.M
    )
    words = [word.casefold() for word, _ in lines]
    assert len(words) > 50 and words == sorted(set(words))
    text = {p.name[:2]: " ".join(cell["source"] for cell in cells(p)).casefold() for p in LESSONS}
    missing = []
    for word, lesson in lines:
        stems = [part[: max(4, len(part) - 2)] for part in re.findall(r"[a-z]{3,}", word.casefold())]
        if lesson in text and not all(re.search(rf"\b{stem}", text[lesson]) for stem in stems):
            missing.append((word, lesson))
    assert not missing


def test_every_published_criterion_has_its_place():
    """The table of the guide has each criterion once, and names only lessons and exercises that exist.

    Criteria: published units and rubrics, named line by line in tests/data/assessment_criteria.csv.
    """
    with open(ROOT / "tests/data/assessment_criteria.csv", encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    guide = (ROOT / "solutions/instructors_guide.md").read_text(encoding="utf-8")
    table = guide[guide.index("<!-- criteria -->") : guide.index("<!-- end of criteria -->")]
    told = {tuple(cell.strip() for cell in line.split("|")[1:4]) for line in table.splitlines()[3:]}
    assert {(c, w) for c, w, _ in told} == {(row["criterion"], row["where_published"]) for row in rows}
    assert len(told) == len(rows) > 20
    lessons = {p.name[:2] for p in LESSONS}
    for criterion, _, here in told:
        assert here.startswith(("covered: ", "partly: ", "not covered: ")), criterion
        assert set(re.findall(r"\b\d\d[a-z]\b", here)) <= exercises().keys(), criterion
        assert set(re.findall(r"\b\d\d\b", here)) <= lessons, criterion
        assert here.startswith("not covered") or re.search(r"lessons? \d\d|\d\d[a-z]", here), criterion


def test_the_guide_names_every_exercise_of_its_weeks():
    guide = (ROOT / "solutions/instructors_guide.md").read_text(encoding="utf-8")
    plan = guide[guide.index("## Term plan") : guide.index("## Learning outcomes")]
    lessons = {p.name[:2] for p in LESSONS}
    wanted = {id for id, e in exercises().items() if f"{e.lesson:02}" in lessons}
    assert wanted <= set(re.findall(r"\b\d\d[a-z]\b", plan))


def map_of_rooms() -> list[list[str]]:
    """The names in the first column of the map in DEVELOPERS.md, row by row."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text[text.index("| in `patternlib/`") :].partition("\n\n")[0]
    return [re.findall(r"`([^`]+)`", row.split("|")[1]) for row in table.splitlines()[2:]]


def test_the_map_names_every_room_and_each_name_exists():
    library = ROOT / "patternlib"
    named = [name.rstrip("/") for row in map_of_rooms() for name in row]
    for name in named:
        assert (library / name).is_dir() or (library / f"{name}.py").is_file(), name
    inside = {p.stem for p in library.iterdir() if p.suffix in ("", ".py") and p.name[0] != "_"} - {"py"}
    inside |= {f"assess/{p.name}" for p in (library / "assess").iterdir() if (p / "__init__.py").is_file()}
    assert inside <= set(named), sorted(inside - set(named))


def test_files_named_in_the_documents_exist():
    """Wherever a name ends like a file or a folder of the repository, from its top, from patternlib, or by
    its last part alone; names of files that a person makes are listed here."""
    made = {"me.toml", "my.toml", "../look/pattern.svg"}
    names = re.compile(r"`([\w.*/]*(?:\.(?:py|toml|txt|svg)|/)|\.ci/\w+|python -m tests\.\w+)`")
    for page in (ROOT / "DEVELOPERS.md", ROOT / "README.md"):
        text = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.S)
        for name in names.findall(text):
            file = name.replace("python -m tests.", "tests/") + ".py" * name.startswith("python")
            found = [*ROOT.glob(file), *(ROOT / "patternlib").glob(f"**/{file}")]
            assert name in made or found, f"{page.name}: {name}"


def test_the_rule_that_a_contributor_breaks_stands_where_the_guide_says():
    """The line that `sed` changes stands once in the file that is named, and the test exists."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    (told,) = re.findall(r"sed -i 's/\^(.+?)/(.+?)/' (\S+)\n.*pytest -x (\S+)\n", text)
    line, changed, file, test = told
    rules = (ROOT / file).read_text(encoding="utf-8").splitlines()
    assert rules.count(line) == 1 and changed != line and (ROOT / test).is_file()


COMMAND = re.compile(r"-m patternlib ([a-z][^`\n]*)")


def test_commands_named_in_the_documents_can_be_given():
    """Every command that a page or a lesson prints is read by the parser as it stands; none is left out."""
    parser, found = command_parser(), set()
    for page in [*PAGES, *LESSONS]:
        text = page.read_text(encoding="utf-8")
        if page.suffix == ".ipynb":
            text = "\n".join(cell["source"] for cell in cells(page))
        for line in COMMAND.findall(re.sub(r"\\\n\s*", "", text)):
            words = shlex.split(line)
            reader, rest = (marking_parser(), words[1:]) if words[0] == "assess" else (parser, words)
            with pytest.raises(SystemExit) if "--help" in words else nullcontext():
                reader.parse_args(rest)
            found.add(words[0])
    assert found == set(parser._subparsers._group_actions[0].choices)


def test_spelling(tmp_path):
    """Common misspellings [codespell's own list], in all prose and in the words of the library."""
    for path in [*NOTEBOOKS, *PAGES, ROOT / "lessons/glossary.md"]:
        (tmp_path / f"{path.parent.name}-{path.stem}.txt").write_text(prose(path), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "codespell_lib", "--skip", "*.csv,*.json", "-L", "aline,fro,atends,fillin",
         tmp_path, ROOT / "patternlib"], capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
    american = r"\b(?:centers?|centered|colors?|grays?|centimeters?|millimeters?)\b"
    for path in [*NOTEBOOKS, *PAGES, ROOT / "lessons/glossary.md"]:
        assert not re.findall(american, re.sub(r"`[^`]*`", "", prose(path))), path.name

"""Plain words: what a reader sees, in code, pages and notebooks, keeps to DEVELOPERS.md, "Words".

The list is the project's own rule. A word is looked for where people read: strings and docstrings of Python,
texts and comments of the page code, markdown, and the markdown cells of notebooks.
"""

import ast
import json
import re
from pathlib import Path

import pytest

from patternlib import Body, bodice_block, skirt_block, sleeve_block

ROOT = Path(__file__).parents[1]
BANNED = (
    r"reckon\w*", "anew", "afresh", "once more", "besides", "nought", "naught", "nobody's", "be it",
    "to and fro",
    "hence", "whence", "thence", "thus", "lest", "upon", "shall", "amongst", "ere", "unto",
    "hitherto", "seldom", "henceforth", "therein", "thereby", "ought to", "whoever", "whilst", "albeit",
    "oft", "save for", "so that no", "heretofore", "hereby", "thereof", "wherein", "whereby",
    "mend", "mends", "mended", "mending", "dust", "by a hair", "apiece", "amiss", "fain", "betwixt",
    r"hip ?/ ?4(?!\))", r"waist ?/ ?4(?!\))", r"half have \d+ ?%",
)  # fmt: skip
FOUND = re.compile(rf"(?<![\w-])(?:{'|'.join(BANNED)})(?![\w-])", re.IGNORECASE)
OPEN: set[str] = set()
"""Files that still have such words: work that is left. A file without one must leave the list."""
THIS = {
    "DEVELOPERS.md", "tests/test_04_words.py", "tests/test_92_common_mistakes.py", "tests/test_89_lessons.py",
}  # fmt: skip
"""Where lists of such words stand, or the id of a cell: the guide, here, and two more tests."""


def texts_of_python(source: str) -> list[str]:
    """Every string and docstring; what stands in braces of a text to fill in is a name and not read."""
    nodes = (node.value for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Constant))
    return [re.sub(r"\{\w*\}", "", value) for value in nodes if isinstance(value, str)]


def texts_of_notebook(source: str) -> list[str]:
    """The markdown cells, without code in them, and the comments of code cells."""
    cells = json.loads(source)["cells"]
    prose = [re.sub(r"`[^`]*`", "", "".join(c["source"])) for c in cells if c["cell_type"] == "markdown"]
    lines = [line for c in cells if c["cell_type"] == "code" for line in "".join(c["source"]).splitlines()]
    return prose + [line.partition("#")[2] for line in lines]


def texts_of_page(source: str) -> list[str]:
    """Texts in quotes and comments of page code."""
    return re.findall(r'"[^"\n]*"|`[^`]*`|//[^\n]*|/\*.*?\*/', source, re.DOTALL)


def texts_of(path: Path) -> list[str]:
    read = {".py": texts_of_python, ".ipynb": texts_of_notebook, ".js": texts_of_page, ".css": texts_of_page}
    source = path.read_text(encoding="utf-8")
    return read.get(path.suffix, lambda whole: [whole])(source)


def files() -> list[Path]:
    found = [*ROOT.glob("*.md"), *(ROOT / "tests").glob("*.py")]
    for folder in ("patternlib", "lessons", "exercises", "solutions"):
        for kind in ("py", "js", "css", "md", "toml", "ipynb"):
            found += (ROOT / folder).rglob(f"*.{kind}")
    names = {path: path.relative_to(ROOT).as_posix() for path in found}
    return sorted(p for p, name in names.items() if name not in THIS and "checkpoint" not in name)


def hits(path: Path) -> list[str]:
    return [
        f"'{match.group()}' in: {' '.join(text[max(0, match.start() - 50) : match.end() + 50].split())}"
        for text in texts_of(path)
        for match in FOUND.finditer(text)
    ]


@pytest.mark.parametrize("path", files(), ids=lambda path: path.relative_to(ROOT).as_posix())
def test_words_that_a_reader_sees_are_plain(path):
    name, found = path.relative_to(ROOT).as_posix(), hits(path)
    if name in OPEN:
        assert found, f"{name} has only plain words now: take it off OPEN"
    else:
        assert not found, f"{name}, see DEVELOPERS.md, Words: " + "; ".join(found)


@pytest.mark.parametrize(
    ("read", "source", "seen"),
    [
        (texts_of_python, 'x = f"{n} cm are mended"\n# anew\n', ["mended"]),
        (texts_of_python, '"""Reckon it."""\nsaid = "{reckoned} cm"', ["Reckon"]),
        (texts_of_page, '// laid anew\nconst mend = "once more";', ["anew", "once more"]),
        (
            texts_of_notebook,
            json.dumps({"cells": [
                {"cell_type": "markdown", "source": ["Take hip/4, ", "`mend`"]},
                {"cell_type": "code", "source": ["mend = 1  # besides"]},
            ]}),
            ["hip/4", "besides"],
        ),
    ],
)  # fmt: skip
def test_the_words_are_looked_for_where_people_read(read, source, seen):
    assert [word for text in read(source) for word in FOUND.findall(text)] == seen


def test_the_guide_names_the_words_that_are_looked_for():
    """Each of the first words stands in the table of the guide."""
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = guide.partition("## Words")[2].partition("\n## ")[0]
    first = ("reckon", *BANNED[1:6], "hence", "whence", "thus", "lest", "shall", "mend", "dust", "upon")
    assert all(word in table for word in first)


def test_no_address_of_a_service_stands_in_a_source():
    """Sources are named by author and title, or as common practice."""
    address = re.compile(r"\b[\w-]+\.(?:com|net)\b(?!\()", re.IGNORECASE)
    folders = (ROOT / "tests/data", ROOT / "patternlib/data")
    data = [p for folder in folders for p in folder.rglob("*") if p.suffix in (".csv", ".json", ".txt")]
    for path in [*files(), *data]:
        if path.relative_to(ROOT).as_posix() in OPEN:
            continue
        read = path.read_text(encoding="utf-8") if path in data else "\n".join(texts_of(path))
        assert not address.findall(read), path.relative_to(ROOT)


def test_a_sheet_in_inches_shows_no_centimetres():
    """Every block's steps; only a share ("of"), a divisor ("by") or an angle stands without a unit."""
    body = Body(bust_girth=88, waist_girth=68, hip_girth=94, height=165)
    bodice, skirt = bodice_block(body), skirt_block(body, back_wider=1)
    sleeve = sleeve_block(body, bodice.curve("back armhole"), bodice.curve("front armhole"))
    for step in (*bodice.steps, *skirt.steps, *sleeve.steps):
        said = step.text("in")
        assert not re.search(r"\bcm\b", said), said
        assert not re.search(r"(?<!by )(?<![\d.])\d+\.\d+(?![\d.°]| of )", said), said
    assert "a quarter of the hip + a quarter of the hip ease + 3/8 in" in skirt.step("side hip").text("in")

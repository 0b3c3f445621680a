"""The page's own code: modules joined to one text that a browser runs, and its unit tests, run by node."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from patternlib.boards.page_code import board_css, form_css, join_page

ROOT = Path(__file__).parent.parent
PAGES = sorted((ROOT / "patternlib").rglob("page/board.js"))
MODULES = sorted(p for folder in (ROOT / "patternlib").rglob("page") for p in folder.glob("*.[jc]s*"))


@pytest.fixture(scope="module")
def node() -> str:
    found = shutil.which("node")
    if not found:
        reason = "the page's own code is tested with node, which is not installed"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(reason)
    return found


def run(node: str, *command: str, text: str | None = None) -> str:
    done = subprocess.run([node, *command], cwd=ROOT, input=text, capture_output=True, text=True)
    failed = re.findall(r"^ *not ok .*(?:\n(?! *(?:not )?ok |# ).*)*", done.stdout, re.MULTILINE)
    assert done.returncode == 0, "\n".join(failed[:5]) or done.stdout[-3000:] + done.stderr[-2000:]
    return done.stdout


def test_page_code_passes_its_own_tests(node):
    said = run(node, "--test", *map(str, sorted((ROOT / "tests" / "page").glob("*.test.mjs"))))
    assert int(re.search(r"^# pass (\d+)", said, re.MULTILINE)[1]) > 100


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT / "patternlib")))
def test_page_modules_stay_short(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


@pytest.mark.parametrize("path", PAGES, ids=lambda p: str(p.relative_to(ROOT / "patternlib")))
def test_joined_code_is_one_module_with_a_render(path, node):
    text = join_page(path)
    assert not re.search(r"^import\b", text, re.MULTILINE)
    code = (
        "const text = require('node:fs').readFileSync(0, 'utf8');"
        "import('data:text/javascript;base64,' + Buffer.from(text).toString('base64'))"
        ".then((m) => console.log(Object.keys(m), typeof m.default.render));"
    )
    assert run(node, "--eval", code, text=text).strip() == "[ 'default' ] function"


def write(folder: Path, **modules: str) -> Path:
    for name, text in modules.items():
        (folder / f"{name}.js").write_text(text)
    return folder / "first.js"


def test_modules_stand_after_what_they_need_and_keep_their_own_names(tmp_path, node):
    first = write(
        tmp_path,
        first='import { twice } from "./b.js";\nimport {\n  size as wide,\n  Box,\n} from "./a.js";\n'
        "const own = 5;\nexport default twice(wide) + own + new Box().n;\n",
        b='import { size } from "./a.js";\nconst own = 2;\n'
        "export function twice(n) {\n  return own * n * size;\n}\n",
        a="const own = 3;\nexport const size = own;\nexport class Box {\n  n = own;\n}\n",
    )
    code = join_page(first)
    assert code.count("const own = 3;") == 1
    script = (
        "import('data:text/javascript,' + encodeURIComponent(require('node:fs').readFileSync(0, 'utf8')))"
    )
    assert run(node, "--eval", f"{script}.then((m) => console.log(m.default));", text=code).strip() == "26"


@pytest.mark.parametrize(
    ("modules", "said"),
    [
        (
            {"first": 'import { b } from "./b.js";\n', "b": 'import { a } from "./first.js";\n'},
            "imports itself",
        ),
        ({"first": 'import { b } from "./b.js";\n', "b": "const b = 1;\n"}, "does not export b"),
        ({"first": 'import b from "./b.js";\n', "b": "export const b = 1;\n"}, "cannot be joined"),
        ({"first": "export let b = 1;\n"}, "cannot be joined"),
        ({"first": 'export { b } from "./b.js";\n'}, "cannot be joined"),
        (
            {"first": 'import { b } from "./b.js";\n', "b": "export const b = 1;\nexport default 2;\n"},
            "only first.js",
        ),
    ],
)
def test_forms_that_cannot_be_joined_are_refused(tmp_path, modules, said):
    with pytest.raises(ValueError, match=said):
        join_page(write(tmp_path, **modules))


def test_looks_hold_each_line_and_lettering_once():
    css = board_css()
    for style in ("cut", "seam", "fold", "target", "size 12"):
        assert css.count(f'.db-line[data-style="{style}"]') == 1
    assert css.index('[data-style="cut"]') < css.index(".db-line.db-lit")


def test_shared_colours_stand_in_one_sheet():
    """A sheet of a form or table may name another value, never the same one again."""
    shared = dict.fromkeys(re.findall(r"(--\w+: [^;]+);", form_css()))
    again = [
        f"{path.name}: {name}: {value}"
        for path in MODULES
        if path.suffix == ".css"
        for selector, body in re.findall(r"([^{}]+)\{([^{}]*)\}", path.read_text(encoding="utf-8"))
        if re.search(r"\.(draft-table|paper-form|measuring|fitting-sheet)\s*$", selector)
        for name, value in re.findall(r"(--\w+): ([^;]+);", body)
        if f"{name}: {value}" in shared and name != "--tap"  # 44 px again under a finger
    ]
    assert len(shared) > 14 and not again

"""Cells that cannot run in a page without some packages show what they gave when the course was saved.

Which cells these are is tried here: the lessons run once in a process without what the page lacks. Nothing
that needs the value of such a cell runs either, so no sentence is told about a value that is not there.
"""

from __future__ import annotations

import base64
import json
import re
import subprocess
import sys
from collections.abc import Iterable, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any

from ..errors import PatternError
from ..not_here import MAY_BE_MISSING

NOTE = (
    "*As it was saved on size 12. This copy of the course cannot calculate it, because it was built without "
    "{}; everything else on this page is live.*"
)
MORE = ("scipy", "cv2", "pypdf")
"""Modules that lessons or other packages use where they are there."""

_TRY = """
import importlib.abc, importlib.util, json, os, sys
books, missing, out = json.load(sys.stdin)

class Missing(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in missing:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)

found = importlib.util.find_spec
importlib.util.find_spec = lambda name, *more: None if name in missing else found(name, *more)

from patternlib.not_here import NotHere  # also where a board says it, a cell is not what it should be
said, plain = [], NotHere.__init__
NotHere.__init__ = lambda self, *words: (said.append(words), plain(self, *words))[1]

def runs(source):
    said.clear()
    return shell.run_cell(source, store_history=False).success and not said

from IPython.core.interactiveshell import InteractiveShell
shell = InteractiveShell.instance()
sys.meta_path.insert(0, Missing())
sys.stdout = sys.stderr = open(os.devnull, "w")
failed = {}
for name, cells in books.items():
    failed[name] = []
    while True:  # until no cell needs what another one would have given
        shell.reset(new_session=False, aggressive=False)
        more = [id for id, source in cells if id not in failed[name] and not runs(source)]
        failed[name] += more
        if not more:
            break
with open(out, "w") as file:
    json.dump(failed, file)
"""


def still_where_missing(lessons: Path, modules: Iterable[str], missing: Sequence[str], work: Path) -> int:
    """Put saved pictures and words in place of the cells that cannot run; returns how many these are.

    lessons: a folder of notebooks, which are changed; modules: those that the page has; missing: what
    it was built without; work: a folder for what the lessons write.
    """
    books = {
        path.name: json.loads(path.read_text(encoding="utf-8")) for path in sorted(lessons.glob("*.ipynb"))
    }
    failed = _tried(books, sorted({*MAY_BE_MISSING, *MORE} - set(modules)), work)
    for name, book in books.items():
        if failed[name]:
            book["cells"] = [
                _still(cell, missing) if cell["id"] in failed[name] else cell for cell in book["cells"]
            ]
            (lessons / name).write_text(json.dumps(book, indent=1, ensure_ascii=False) + "\n", "utf-8")
    return sum(map(len, failed.values()))


def _tried(books: Mapping[str, Any], missing: Sequence[str], work: Path) -> dict[str, list[str]]:
    """The ids of the cells of each lesson that fail without these modules."""
    work.mkdir()
    code = {
        name: [[c["id"], "".join(c["source"])] for c in book["cells"] if c["cell_type"] == "code"]
        for name, book in books.items()
    }
    asked = json.dumps([code, missing, str(work / "failed.json")])
    made = subprocess.run(
        [sys.executable, "-c", _TRY],
        input=asked, cwd=work, capture_output=True, encoding="utf-8", errors="replace",
    )  # fmt: skip
    if made.returncode:
        raise PatternError(f"The lessons cannot be tried: {(made.stderr.strip().splitlines() or [''])[-1]}")
    found: dict[str, list[str]] = json.loads((work / "failed.json").read_text(encoding="utf-8"))
    return found


def _still(cell: Mapping[str, Any], missing: Sequence[str]) -> dict[str, Any]:
    shown = [_shown(output.get("data", {})) for output in cell["outputs"]]
    parts = [NOTE.format(", ".join(missing)), *filter(None, shown)] if any(shown) else []
    text = "\n\n".join(parts)
    return {"cell_type": "markdown", "id": cell["id"], "metadata": {}, "source": text.splitlines(True)}


def _shown(data: Mapping[str, Any]) -> str:
    """One output as HTML that stands in words: no blank lines, which would end it."""
    if "text/html" in data:
        whole = re.sub(r"<p>Still picture\..*?</p>", "", "".join(data["text/html"]))  # no cell is left to run
        return "\n".join(line for line in whole.splitlines() if line.strip())
    if "image/svg+xml" in data:
        packed = base64.b64encode("".join(data["image/svg+xml"]).encode()).decode()
        return f'<img alt="" src="data:image/svg+xml;base64,{packed}">'
    if "image/png" in data:
        return f'<img alt="" src="data:image/png;base64,{"".join(data["image/png"]).strip()}">'
    return f"<pre>{escape(''.join(data.get('text/plain', '')))}</pre>" if "text/plain" in data else ""

"""The code cells of a lesson run in this process, as a learner's own measures make them run.

A kernel for each lesson and body would take an hour. So the cells are run one after the other in one
namespace, in a folder of their own that holds `me.toml`; what a cell's last line gives is asked for its
picture, as a notebook does, and a board is drawn as it stands. Nothing is hidden: an error stops the run.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
import os
import tomllib
from pathlib import Path
from typing import Any

import patternlib.boards.board
from patternlib.body import Body, measures
from patternlib.errors import PatternError

LESSONS = sorted((Path(__file__).parent.parent / "lessons").glob("[0-9][0-9]_*.ipynb"))


def own_file(body: Body) -> str:
    """What a learner with these measures has saved: only what was measured."""
    lines = [f'sex = "{body.sex}"']
    lines += [f"{name} = {getattr(body, name)}" for name in measures() if name not in body.estimated]
    text = "\n".join(lines) + "\n"
    assert Body.from_dict(tomllib.loads(text)) == body
    return text


def run_lesson(path: Path, folder: Path, body: Body | None = None) -> tuple[dict[str, Any], dict[str, str]]:
    """Run a lesson in a folder; body: whose measures are saved there, None: no file.

    Gives the names that the lesson has made, and by cell what the reader is told in words.
    """
    if body is not None:
        (folder / "me.toml").write_text(own_file(body), encoding="utf-8")
    names: dict[str, Any] = {"__name__": "__main__"}
    said: dict[str, str] = {}
    here = Path.cwd()
    os.chdir(folder)
    shown = patternlib.boards.board.display
    patternlib.boards.board.display = lambda *_, **__: None  # the stand-in for a notebook's page
    try:
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] != "code":
                continue
            try:
                said[cell["id"]] = run_cell("".join(cell["source"]), names)
            except Exception as fault:
                raise AssertionError(
                    f"{path.stem}, cell {cell['id']}: {type(fault).__name__}: {fault}"
                ) from fault
    finally:
        os.chdir(here)
        patternlib.boards.board.display = shown
    return names, said


def run_cell(source: str, names: dict[str, Any]) -> str:
    """Run one cell, ask the value of its last line for its picture, and give what it says in words."""
    tree = ast.parse(source)
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        exec(compile(tree, "<cell>", "exec"), names)
        value = None if last is None else eval(compile(ast.Expression(last.value), "<cell>", "eval"), names)
        if isinstance(value, patternlib.boards.board.Board):
            with contextlib.suppress(PatternError):  # the board says so in a sentence
                value.draw()
            assert value.picture.get("all") or value.error
        for way in ("_repr_mimebundle_", "_repr_html_"):
            if hasattr(value, way):
                getattr(value, way)()
        if value is not None:
            print(repr(value))
    return said.getvalue()

"""Running the code cells of a notebook without a notebook program: a small stand-in, in a closed-in child.

Of all that cells show, only records of drafts are kept. Lines that begin with ! or % are passed over: they
are no Python. Widgets show their first values; nobody moves them here.
"""

from __future__ import annotations

import ast
import asyncio
import builtins
import inspect
import io
import json
import linecache
import os
import sys
from collections.abc import Sequence
from typing import Any, ClassVar

from ..tasks.record import MIME

TOO_MUCH_OUTPUT = 96
"""The exit status of a child that printed too much."""
MOST_OUTPUT = 1_000_000
"""characters"""
MOST_RECORDS = 60
MOST_FAULTS = 5


class _Screen(io.TextIOBase):
    """Takes what is printed, keeps nothing, and ends the process where it is too much."""

    def __init__(self):
        self.left = MOST_OUTPUT

    def writable(self) -> bool:
        return True

    def write(self, text: str) -> int:
        self.left -= len(text)
        if self.left < 0:
            os._exit(TOO_MUCH_OUTPUT)
        return len(text)


class _Display:
    """Stands in for the shell's publisher and formatter of rich output; keeps the records."""

    def __init__(self):
        self.records: list[Any] = []

    def publish(self, data=None, metadata=None, **_more) -> None:
        if isinstance(data, dict) and MIME in data:
            self.records.append(data[MIME])
            del self.records[:-MOST_RECORDS]

    def clear_output(self, wait: bool = False) -> None:
        pass

    def format(self, shown, include=None, exclude=None) -> tuple[dict, dict]:
        bundle = getattr(shown, "_repr_mimebundle_", None)
        if callable(bundle) and not isinstance(shown, type):
            data = bundle(include=include, exclude=exclude)
            data = data[0] if isinstance(data, tuple) else data
            if isinstance(data, dict) and MIME in data:
                return {MIME: data[MIME]}, {}
        return {}, {}


class _NoCallbacks:
    """Stands in for the shell's list of what to call when a cell ends; nothing is called."""

    def register(self, *_arguments) -> None:
        pass

    unregister = trigger = register


def stand_in() -> _Display:
    """Set up what notebooks expect of their surroundings; returns where records arrive."""
    from IPython.core.interactiveshell import InteractiveShell

    taken = _Display()

    class Shell(InteractiveShell):
        display_pub = display_formatter = taken
        events = _NoCallbacks()
        user_ns: ClassVar[dict] = {}

        def __init__(self):  # nothing of a real shell: no history, no files, no threads
            pass

        def run_line_magic(self, *_arguments, **_named):
            return None

        run_cell_magic = system = getoutput = enable_gui = run_line_magic

    shell = Shell()
    InteractiveShell._instance = shell
    builtins.get_ipython = lambda: shell
    builtins.display = __import__("IPython.display", fromlist=["display"]).display
    return taken


def run_cells(cells: Sequence[str]) -> bytes:
    """Run cells one after the other; returns JSON: {"records": [...], "faults": [[cell, kind, text], ...]}.

    A cell that fails does not stop the next ones.
    """
    display = stand_in()
    main = type(sys)("__main__")
    sys.modules["__main__"] = main
    sys.stdout = sys.stderr = _Screen()
    faults = []
    for number, cell in enumerate(cells, 1):
        try:
            _cell(cell, f"<cell {number}>", main.__dict__, display)
        except (Exception, KeyboardInterrupt, SystemExit) as fault:
            if len(faults) < MOST_FAULTS:
                faults.append([number, type(fault).__name__[:60], str(fault)[:300]])
    records = []
    for record in display.records:
        try:
            records.append(json.dumps(record, allow_nan=False))
        except (TypeError, ValueError, RecursionError):
            faults.append([0, "RecordError", "the record of a draft is not plain data"])
    return json.dumps({"records": records, "faults": faults}).encode()


def _cell(text: str, name: str, names: dict, display: _Display) -> None:
    if text.lstrip().startswith("%%"):
        return
    lines = ["pass" if line.lstrip()[:1] in ("!", "%") else line for line in text.splitlines()]
    text = "\n".join(lines) + "\n"
    linecache.cache[name] = (len(text), None, text.splitlines(True), name)
    tree = ast.parse(text, name)
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    _evaluate(compile(tree, name, "exec", ast.PyCF_ALLOW_TOP_LEVEL_AWAIT), names)
    if last is not None and not text.rstrip().endswith(";"):
        code = compile(ast.Expression(last.value), name, "eval", ast.PyCF_ALLOW_TOP_LEVEL_AWAIT)
        value = _evaluate(code, names)
        names["_"] = value
        if value is not None:
            display.publish(display.format(value)[0])


def _evaluate(code, names: dict):
    value = eval(code, names)
    if code.co_flags & inspect.CO_COROUTINE:
        return asyncio.run(value)
    return value

"""A class of broken and hostile hand-ins, made again for each test: nothing of it lies in the repository."""

from __future__ import annotations

import copy
import io
import json
import os
import zipfile
from functools import cache
from pathlib import Path

from patternlib.assess import MIME, exercises

EXERCISE = "02a"


@cache
def _drafted(student: str, exercise: str, key: str) -> str:
    work = exercises()[exercise]
    mine = work.own_numbers(student, key)
    reference = work.reference(mine)
    pieces = work.finish(reference, mine) if work.finish else ()
    return json.dumps(work.record(mine, reference, student=student, pieces=pieces))


def draft(student: str, exercise: str = EXERCISE, key: str = "") -> dict:
    """The record of a right draft on a student's own numbers."""
    return json.loads(_drafted(student, exercise, key))


def notebook(*records, cells=("measures = 1",), version: int = 4) -> dict:
    """A notebook file as data: code cells, then a checking cell for each record in whose output it stands."""

    def code(number: int, text: str, outputs: list) -> dict:
        place = {"id": f"cell-{number}", "metadata": {}, "execution_count": number}
        return {"cell_type": "code", "source": text, "outputs": outputs, **place}

    made = [code(i, text, []) for i, text in enumerate(cells)]
    for record in records:
        shown = {
            "output_type": "display_data",
            "metadata": {},
            "data": {MIME: record, "text/plain": "a draft"},
        }
        made.append(code(len(made), "pass", [shown]))
    return {"nbformat": version, "nbformat_minor": 5, "metadata": {}, "cells": made}


def drawn_by_code(student: str) -> tuple[str, ...]:
    """Cells that work a right draft of EXERCISE out from the student's numbers, and hand it in."""
    return (
        "import numpy as np",
        "import shapely",
        "import matplotlib.pyplot as plt",
        f"from patternlib.assess import MIME, exercise\nwork = exercise({EXERCISE!r})",
        f"mine = work.own_numbers({student!r})",
        "plan = work.draw(mine)",
        f"done = work.record(mine, plan, student={student!r})",
        "from IPython.display import display\ndisplay({MIME: done}, raw=True)",
    )


def changed(record: dict, **parts) -> dict:
    return {**copy.deepcopy(record), **parts}


def text(data) -> bytes:
    return json.dumps(data).encode()


def _first_points(record: dict, value) -> dict:
    return changed(record, points={**record["points"], next(iter(record["points"])): value})


def _zipped(entries: dict, **more) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries.items():
            entry = name if isinstance(name, zipfile.ZipInfo) else zipfile.ZipInfo(name)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, data)
    return out.getvalue()


def _link_entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name)
    entry.create_system = 3
    entry.external_attr = 0o120777 << 16
    return entry


@cache
def files() -> dict[str, tuple[bytes, str]]:
    """File name -> (content, words that the sentence about it must hold)."""
    good = text(notebook(draft("ada")))
    a_record = draft("someone")
    million = {"line": [[[0, 0], [1, 1], [2, 2], [3, 3]]] * 250_000}
    made = {
        "malformed.ipynb": (b'{"nbformat": 4, "cells": [}', "damaged"),
        "truncated.ipynb": (good[: len(good) // 2], "cut short"),
        "empty-file.ipynb": (b"", "empty"),
        "list.ipynb": (b"[]", "not a notebook"),
        "old-version.ipynb": (text(notebook(version=3)), "version 3"),
        "picture.ipynb": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\xff\xfe", "not a text file"),
        "nan.ipynb": (good.replace(b'"points": {', b'"points": {"x": [NaN, 1], ', 1), "without end"),
        "infinity.ipynb": (
            good.replace(b'"points": {', b'"points": {"x": [-Infinity, 1], ', 1),
            "without end",
        ),
        "huge-number.ipynb": (good.replace(b'"points": {', b'"points": {"x": [1e999, 1], ', 1), ""),
        "far-away.ipynb": (text(notebook(_first_points(a_record, [1e300, 0]))), "cannot be used"),
        "deep.ipynb": (
            b'{"nbformat": 4, "metadata": ' + b"[" * 200_000 + b"]" * 200_000 + b"}",
            "nested too deeply",
        ),
        "million-points.ipynb": (text(notebook(changed(a_record, curves=million))), "longer than"),
        "many-points.ipynb": (
            text(notebook(changed(a_record, points={f"p{i}": [0, 0] for i in range(500)}))),
            "cannot be used",
        ),
        "other-version.ipynb": (text(notebook(changed(a_record, version=9))), "version"),
        "unknown-exercise.ipynb": (text(notebook(changed(a_record, exercise="99z"))), "99z"),
        "doubled.ipynb": (good.replace(b'"way": ', b'"way": "paper", "way": ', 1), "twice"),
        "record-is-text.ipynb": (text(notebook("no record")), "is damaged"),
        "empty-notebook.ipynb": (text(notebook(cells=())), "empty"),
        "unanswered.ipynb": (text(notebook(cells=("# your answer here",))), "not begun"),
        "bomb.zip": (_zipped({"bomb.ipynb": b" " * 15_000_000}), "swells"),
        "escape.zip": (_zipped({"../../escape.ipynb": good, "/tmp/escape2.ipynb": good}), "outside itself"),
        "link.zip": (_zipped({_link_entry("link.ipynb"): b"/etc/passwd"}), "link"),
        "broken.zip": (_zipped({"a.ipynb": good})[:-40], "cut short"),
        "lying.zip": (_lying(), ""),
    }
    return made


def _lying() -> bytes:
    """A zip whose entry is damaged inside."""
    data = bytearray(_zipped({"lying.ipynb": text(notebook(draft("ada"))) * 3}))
    data[60:90] = bytes(30)
    return bytes(data)


def answers() -> dict[str, bytes]:
    """Hand-ins that can be read and judged, and try to be more than they are."""
    rude = draft("rude")
    script = "<script>alert(1)</script><img src=x onerror=alert(2)>"
    crossing = {"hip line": [[[0, 0], [90, 90], [-60, 90], [60, 0]], [[60, 0], [-80, 50], [80, 50], [0, 0]]]}
    scribble = [[(i * 37) % 90, (i * 53) % 70] for i in range(4000)]
    return {
        "ada.ipynb": text(notebook(draft("ada"))),
        "ben.ipynb": text(notebook(draft("ada"))),  # ada's record
        "carl.ipynb": text(
            notebook(changed(draft("ada"), student="carl", own_numbers=draft("carl")["own_numbers"]))
        ),
        "dora.ipynb": text(notebook(changed(draft("ada"), student="dora", points={"side hip": [20, -20]}))),
        "eve ada.ipynb": text(
            notebook(changed(draft("ada"), points={"side hip": [1, 1]}, curves={}, numbers={}))
        ),  # a second 'ada'
        "forged.ipynb": text(
            notebook(
                changed(draft("forged"), points={"side hip": [1, 1]}),
                {"exercise": EXERCISE, "student": "forged", "mark": 100, "out_of": 100, "lines": []},
                {"verdict": {"mark": 100}},
            )
        ),
        "rude.ipynb": text(
            notebook(changed(rude, points={**rude["points"], script: [1, 2], "=cmd|' /C calc'!A0": [3, 4]}))
        ),
        "=1+1.ipynb": text(notebook(draft("=1+1"))),
        "<b>x.ipynb": text(notebook(draft("<b>x"))),
        "turn\u202egpj.ipynb": text(notebook(draft("turn"))),
        "crossing.ipynb": text(notebook(changed(draft("crossing"), curves=crossing))),
        "scribble.ipynb": text(
            notebook(changed(draft("scribble", "10b"), finish={"back pocket": {"cut_line": scribble}}))
        ),
        "bom.ipynb": b"\xef\xbb\xbf" + text(notebook(draft("bom"))),
        "utf16.ipynb": json.dumps(notebook(draft("utf16"))).encode("utf-16"),
        "cp1252.ipynb": json.dumps(
            notebook(draft("cp1252"), cells=("# \xe4rmel",)), ensure_ascii=False
        ).encode("cp1252"),
        "surrogate.ipynb": text(notebook(draft("surrogate"), cells=("x = '\ud800'",))),
        "con.ipynb": text(notebook(draft("con"))),
    }


def write_class(folder: Path) -> dict[str, str]:
    """Write the whole corpus; returns the words that each bad file's sentence must hold."""
    folder.mkdir(parents=True)
    made = files()
    for name, (data, _) in made.items():
        (folder / name).write_bytes(data)
    for name, data in answers().items():
        (folder / name).write_bytes(data)
    told = {name: words for name, (_, words) in made.items()}
    with open(folder / "large.ipynb", "wb") as file:
        file.truncate(200_000_000)
    told["large.ipynb"] = "too large"
    os.symlink("/etc/passwd", folder / "linked.ipynb")
    told["linked.ipynb"] = "link"
    os.symlink("/dev/zero", folder / "endless.ipynb")
    told["endless.ipynb"] = "link"
    os.mkfifo(folder / "pipe.ipynb")
    told["pipe.ipynb"] = "pipe"
    os.symlink(folder, folder / "round")
    told["round"] = "link"
    return told


RUNNING: dict[str, tuple[str, str]] = {
    "endless": ("while True:\n    pass", "too long|processor time"),
    "asleep": ("import time\ntime.sleep(1000)", "too long by the clock"),
    "hog": ("hoard = []\nwhile True:\n    hoard.append(bytearray(10_000_000))", "emory|too long"),
    "storm": ("import os\nwhile True:\n    os.fork()", ""),
    "threads": (
        "import threading, time\nthreading.stack_size(65536)\n"
        "while True:\n    threading.Thread(target=time.sleep, args=(100,), daemon=True).start()",
        "",
    ),
    "flood": ("while True:\n    print('x' * 100_000)", "printed far too much"),
    "flood below": (
        "import os\nfor _ in range(10_000):\n    os.write(1, b'x' * 100_000)\n    os.write(2, b'x')",
        "",
    ),
    "filler": ("for i in range(200):\n    open(f'f{i}', 'wb').write(bytes(10_000_000))", "files|No space"),
    "large file": ("with open('f', 'wb') as f:\n    while True:\n        f.write(bytes(1_000_000))", ""),
    "killer": ("import os, signal\nos.kill(os.getppid(), signal.SIGKILL)", ""),
    "killer of all": ("import os, signal\nos.kill(-1, signal.SIGKILL)", ""),
    "quitter": ("import os\nos._exit(0)", "ended itself"),
    "stopped": ("import os, signal\nos.kill(os.getpid(), signal.SIGSTOP)", "too long by the clock"),
    "deaf": (
        "import signal\nfor s in range(1, 65):\n    try:\n        signal.signal(s, signal.SIG_IGN)\n"
        "    except (OSError, ValueError):\n        pass\nwhile True:\n    pass",
        "",
    ),
    "crash": ("import ctypes\nctypes.string_at(0)", "signal"),
    "liar": (
        "import gc, json, os\nfor number in range(3, 1024):\n    try:\n"
        '        os.write(number, b\'{"records": ["no"], "mark": 100}\' * 10)\n'
        "    except OSError:\n        pass\nos._exit(0)",
        "cannot be read",
    ),
    "long tale": (
        "import os\nfor number in range(3, 1024):\n    try:\n        while True:\n"
        "            os.write(number, b'x' * 1_000_000)\n    except OSError:\n        pass",
        "far more than a draft",
    ),
}
"""Name -> (a cell, words, | between, that the sentence about it must hold); none of them draws anything."""


def running(secret: Path, port: int) -> dict[str, str]:
    """Cells that try to reach what is not theirs; each ends by handing in a right draft."""
    return {
        "deleter": f"import shutil\nshutil.rmtree({str(secret.parent)!r}, ignore_errors=True)",
        "reader": f"stolen = open({str(secret)!r}).read()",
        "writer": f"open({str(secret.parent / 'planted')!r}, 'w').write('x')",
        "caller": f"import socket\nsocket.create_connection(('127.0.0.1', {port}), 1)",
        "shell": (
            f"import subprocess\nsubprocess.run(['touch', {str(secret.parent / 'planted')!r}], check=True)"
        ),
        "patcher": (
            "import patternlib.assess.judging.judgement as j, patternlib.assess as a\n"
            "a.judge = j.judge = lambda *x, **y: None\n"
            "open(j.__file__, 'a').write('x')"
        ),
        "finder": "import solutions",
    }

"""The warm parent: a process that has imported the libraries and forks a closed-in child for each notebook.

It never holds a student's text: the child reads its cells from a file handed over, and writes what it
found into a pipe handed over; both come from the main program, and this process only watches the clock,
the memory and the folder, ends the child, and says how it ended. It imports no solution, runs no thread.
"""

from __future__ import annotations

import gc
import json
import os
import shutil
import signal
import socket
import sys
import time
from collections.abc import Iterator

from . import limits
from .job import SOURCE

SECONDS = 15.0
"""A notebook may take this long by the clock; its processor time is limited more tightly."""
FOLDER = 64_000_000
"""bytes of all files in the throw-away home."""
BROKEN = 95
"""The exit status of a child that failed outside the cells."""
NOBODY = 65534


def serve(channel: int, settings: dict) -> None:
    """Serve until the other end closes. settings: 'work' a folder for homes, 'seconds' by the
    clock, 'readable' and 'alone' as for limits.close_in."""
    _import_libraries()
    limits.hide_memory()
    gc.collect()
    gc.freeze()
    link = socket.socket(fileno=channel)
    link.send(b"ready")
    number = 0
    while True:
        text, files, _, _ = socket.recv_fds(link, 65536, 2)
        if not text:
            return
        number += 1
        home = os.path.join(settings["work"], f"home-{number}")
        os.mkdir(home, 0o700)
        child = os.fork()
        if child == 0:
            _child(json.loads(text), files, home, settings)
        for file in files:
            os.close(file)
        ended = _watch(child, home, settings["seconds"])
        shutil.rmtree(home, ignore_errors=True)
        link.send(json.dumps(ended).encode())


def _import_libraries() -> None:
    import IPython.display
    import ipywidgets
    import matplotlib.pyplot
    import numpy
    import shapely

    from ..tasks.catalogue import exercises
    from . import cells

    exercises()
    if not SOURCE.name.endswith("-packages"):  # what lies beside the library is nobody's to import
        sys.path[:] = [p for p in sys.path if p != str(SOURCE)]
    cells.stand_in()
    matplotlib.pyplot.close(matplotlib.pyplot.figure())
    del IPython, ipywidgets, numpy, shapely


def _child(order: dict, files: list[int], home: str, settings: dict) -> None:
    """Close in and run; never returns."""
    try:
        os.setsid()
        _only(files)
        os.chdir(home)
        os.environ.update(HOME=home, TMPDIR=home)
        _drop_user(home, settings)
        limits.close_in(home, settings["readable"], alone=settings["alone"])
        with os.fdopen(files[0], "rb") as source:
            cells = json.loads(source.read())
        if order["second"]:
            _other_measurements(order["second"])
        import random

        import numpy

        from .cells import run_cells

        random.seed(0)
        numpy.random.seed(0)
        found = run_cells(cells)
        with os.fdopen(files[1], "wb") as sink:
            sink.write(found)
        os._exit(0)
    except BaseException:
        os._exit(BROKEN)


def _only(files: list[int]) -> None:
    """Leave open only the given files; the screen and the keyboard become /dev/null."""
    null = os.open(os.devnull, os.O_RDWR)
    for standard in (0, 1, 2):
        os.dup2(null, standard)
    for other in range(3, 1024):
        if other not in files:
            try:
                os.close(other)
            except OSError:
                continue


def _drop_user(home: str, settings: dict) -> None:
    """As root, become nobody, where nobody can read the libraries."""
    if settings["alone"] or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return
    if all(_open_to_all(path) for path in settings["readable"] if os.path.exists(path)) and _open_to_all(
        home, True
    ):
        os.chown(home, NOBODY, NOBODY)
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)


def _open_to_all(path: str, only_above: bool = False) -> bool:
    path = os.path.realpath(path)
    above = os.path.dirname(path) if only_above else path
    while True:
        if not os.stat(above).st_mode & 0o001:
            return False
        if above == os.path.dirname(above):
            return True
        above = os.path.dirname(above)


def _other_measurements(key: str) -> None:
    """Give every student other numbers, by another class key, wherever the library gives numbers out."""
    from ..tasks.own_numbers import numbers_for

    def other(student: str, _key: str = "", key: str = key):
        return numbers_for(student, key)

    def given(student: str, key: str = ""):
        return other(student)

    for name, module in list(sys.modules.items()):
        if name.startswith("patternlib.") and getattr(module, "numbers_for", None) is numbers_for:
            module.numbers_for = given


def _watch(child: int, home: str, seconds: float) -> dict:
    """Wait for a child, at most `seconds`; returns how it ended."""
    start, pause, why = time.monotonic(), 0.001, ""
    looked = start
    while True:
        ended, status, used = os.wait4(child, os.WNOHANG)
        if ended:
            break
        now = time.monotonic()
        if now - start > seconds:
            why = "time"
        elif now - looked > 0.1:
            looked = now
            why = _too_much(child, home)
        if why:
            _end(child)
            _, status, used = os.wait4(child, 0)
            break
        time.sleep(pause)
        pause = min(pause * 1.5, 0.02)
    _end_group(child)
    return {
        "why": why,
        "exit": os.WEXITSTATUS(status) if os.WIFEXITED(status) else None,
        "signal": os.WTERMSIG(status) if os.WIFSIGNALED(status) else None,
        "seconds": used.ru_utime + used.ru_stime,
    }


def _too_much(child: int, home: str) -> str:
    if sum(_sizes(home)) > FOLDER:
        return "files"
    if sum(_memory(child)) > limits.MEMORY:
        return "memory"
    return ""


def _sizes(folder: str) -> Iterator[int]:
    for above, _, names in os.walk(folder):
        for name in names:
            try:
                yield os.lstat(os.path.join(above, name)).st_blocks * 512
            except OSError:
                continue


def _memory(child: int) -> Iterator[int]:
    """Bytes in memory of a child and all that came from it, where the system shows them in /proc."""
    try:
        processes = [int(n) for n in os.listdir("/proc") if n.isdecimal()]
    except OSError:
        return
    for process in processes:
        try:
            with open(f"/proc/{process}/stat") as file:
                fields = file.read().rpartition(")")[2].split()
        except OSError:
            continue
        if process == child or int(fields[3]) == child:  # session
            yield int(fields[21]) * os.sysconf("SC_PAGE_SIZE")


def _end(child: int) -> None:
    _end_group(child)
    try:
        os.kill(child, signal.SIGKILL)
    except ProcessLookupError:
        return


def _end_group(child: int) -> None:
    try:
        os.killpg(child, signal.SIGKILL)
    except (ProcessLookupError, PermissionError):
        return

"""How fast a class is judged, as ratios taken in one run: `python tests/assess_benchmark.py [HAND-INS]`.

Without running: all hand-ins judged, against executing them with nbclient, a kernel each. With running: a
process each, against nbclient in a process each; both in bubblewrap where that works. Few are executed with
nbclient, for their mean.
"""

from __future__ import annotations

import json
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))
sys.path.insert(0, str(Path(__file__).parent))
import hostile

from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.sandbox import ways
from patternlib.assess.sandbox.running import locked

FEW = 8


def write_class(folder: Path, count: int) -> list[Path]:
    """Hand-ins of six cells with numpy, shapely and matplotlib, their record in the output."""
    folder.mkdir()
    paths = []
    for i in range(count):
        student = f"student {i:03d}"
        book = hostile.notebook(hostile.draft(student), cells=hostile.drawn_by_code(student))
        paths.append(folder / f"{student}.ipynb")
        paths[-1].write_text(json.dumps(book))
    return paths


class Peak:
    """The most memory (MB, resident, all processes together) that a process and its children took."""

    def __init__(self, process: subprocess.Popen):
        self.process, self.most = process, 0.0
        self.watch = threading.Thread(target=self._look)
        self.watch.start()

    def _look(self) -> None:
        while self.process.poll() is None:
            self.most = max(self.most, sum(self._sizes(self.process.pid)))
            time.sleep(0.02)

    def _sizes(self, pid: int):
        try:
            status = Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="utf-8")
            yield int(status.split("Pss:")[1].split()[0]) / 1000
            for task in Path(f"/proc/{pid}/task").iterdir():
                for child in (task / "children").read_text().split():
                    yield from self._sizes(int(child))
        except (OSError, IndexError):
            return


def assess(handins: Path, out: Path, *more: str) -> tuple[float, float]:
    """Seconds and MB of the command."""
    code = (
        "import sys; from patternlib.assess.marking.command import assess_command as a; "
        "sys.exit(a(sys.argv[1:]))"
    )
    start = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-c", code, str(handins), "--out", str(out), *more],
        cwd=Path(__file__).parent.parent, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    peak = Peak(process)
    assert process.wait() == 0
    peak.watch.join()
    return time.perf_counter() - start, peak.most


def with_nbclient(path: Path) -> None:
    """Execute one notebook with a kernel of its own."""
    import nbclient
    import nbformat

    book = nbformat.read(path, 4)
    nbclient.NotebookClient(book, timeout=60, kernel_name="python3").execute()


_FRESH = """
import sys, os
sys.path.insert(0, {root!r}); sys.path.insert(0, {tests!r})
os.environ["JUPYTER_RUNTIME_DIR"] = os.environ["HOME"]
import nbclient, nbformat
nbclient.NotebookClient(nbformat.read(sys.argv[1], 4), timeout=60, kernel_name="python3").execute()
"""


def nbclient_locked_in(path: Path, wrapped: bool) -> None:
    """Execute one notebook with nbclient in a fresh process, in bubblewrap where it works."""
    root = str(Path(__file__).parent.parent)
    code = _FRESH.format(root=root, tests=str(Path(__file__).parent))
    with tempfile.TemporaryDirectory() as home:
        work = "/tmp" if wrapped else home
        command = [sys.executable, "-B", "-c", code, str(path)]
        if wrapped:
            command = [*ways.wrapping(), "--proc", "/proc", "--ro-bind", str(path), str(path), *command]
        env = ways.surroundings(work) | {"PYTHONPATH": root}
        subprocess.run(command, env=env, check=True, capture_output=True)


def each(paths: list[Path], do) -> float:
    """Mean seconds, the first one left out, since it fills the caches."""
    do(paths[0])
    start = time.perf_counter()
    for path in paths:
        do(path)
    return (time.perf_counter() - start) / len(paths)


def main(count: int) -> None:
    os.environ["PYTHONPATH"] = str(Path(__file__).parent.parent)
    folder = Path(tempfile.mkdtemp())
    try:
        paths = write_class(folder / "in", count)
        plain = each(paths[:FEW], with_nbclient)
        print(f"nbclient, a kernel each: {plain:.2f} s a hand-in (mean of {FEW})")
        seconds, memory = assess(folder / "in", folder / "out", "--workers", "2")
        print(f"judged without running: {count} hand-ins in {seconds:.2f} s")
        print(f"  {plain * count / seconds:.0f} times faster than executing them; {memory:.0f} MB at most")
        seconds, _ = assess(folder / "in", folder / "out", "--workers", "2")
        print(f"a second run with nothing changed: {seconds:.2f} s")

        wrapped = ways.can_wrap()
        fresh = each(paths[:FEW], lambda path: nbclient_locked_in(path, wrapped))
        where = "in bubblewrap" if wrapped else "without bubblewrap"
        print(f"nbclient in a fresh process {where}: {fresh:.2f} s a hand-in")
        books = [read_notebook(p.read_bytes()) for p in paths]
        inside = locked(workers=1, least="limits")
        start = time.perf_counter()
        for book in books[:FEW]:
            records, because, _ = inside._once(book, "")
            assert records and not because, because
        mine = (time.perf_counter() - start) / FEW
        print(
            f"run again: {mine:.3f} s a hand-in, {fresh / mine:.1f} times faster; {inside.protection.level}"
        )
        print(f"this process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000:.0f} MB")
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)

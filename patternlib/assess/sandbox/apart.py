"""Judging many records: a pure function of one record, mapped through any `concurrent.futures` executor.

`judge_apart` judges in a process of its own that is ended when it takes too long, since even valid numbers
can make geometry run for minutes. On one machine a pool of threads looks after one such process each; on
many, an executor of dask.distributed maps the very same function.
"""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import weakref
from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager, suppress

import msgspec

from ...errors import PatternError
from ...not_here import python_here
from .job import SOURCE, Job, Judged

SECONDS = 20.0
"""One record may take this long to be judged; a usual one takes some hundredths."""
CONNECT = 10.0
"""seconds to wait for a scheduler to answer."""
MEMORY = 2_000_000_000
"""bytes of address space of a judging process."""


def judge_here(job: Job) -> Judged:
    """Judge one record in this very process, without any time limit."""
    from .one_job import judged  # the drafting code is imported in the judging process only

    try:
        return judged(job)
    except PatternError as error:
        return Judged(problem=str(error))
    except MemoryError:
        return Judged(
            problem="The draft needs more memory to be judged than a draft can; it was not judged.",
            settled=False,
        )
    except RecursionError:
        return Judged(problem="The draft is nested too deeply to be judged.")


def judge_apart(job: Job, seconds: float = SECONDS) -> Judged:
    """Judge one record in a process of its own; the same on every run and machine."""
    judge = getattr(_mine, "judge", None)
    if judge is None:
        judge = _mine.judge = _Judge()
    return judge.ask(job, seconds)


_mine = threading.local()


_CODE = f"import sys; sys.path.insert(0, {str(SOURCE)!r}); from {__name__} import _serve; _serve()"


class _Judge:
    """A judging process: started when needed, ended when it takes too long or when its thread ends."""

    _ended: weakref.finalize

    def __init__(self):
        self._process: subprocess.Popen | None = None

    def ask(self, job: Job, seconds: float) -> Judged:
        for _ in range(2):  # a process may have been ended for a former job just as it was done
            judged = self._try(job, seconds)
            if judged is not None:
                return judged
        return Judged(
            problem="Judging this draft failed on this machine; it has no mark. Run the command again.",
            settled=False,
        )

    def _try(self, job: Job, seconds: float) -> Judged | None:
        if self._process is None:
            self._process = self._start()
            self._ended = weakref.finalize(self, _end, self._process)
        process, late = self._process, threading.Event()

        def end():
            late.set()
            process.kill()

        clock = threading.Timer(seconds, end)
        clock.start()
        try:
            _send(process.stdin, msgspec.json.encode(job))
            return msgspec.json.decode(_receive(process.stdout), type=Judged)
        except (OSError, EOFError, ValueError, msgspec.MsgspecError):
            self._ended()
            self._process = None
            if late.is_set():
                return Judged(
                    problem=f"Judging this draft took longer than {seconds:g} seconds; it was stopped.",
                    settled=False,
                )
            return None
        finally:
            clock.cancel()

    @staticmethod
    def _start() -> subprocess.Popen:
        return subprocess.Popen(
            [sys.executable, "-P", "-B", "-c", _CODE],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONHASHSEED": "0"},
        )


def _end(process: subprocess.Popen) -> None:
    """End a process and close its pipes."""
    process.kill()
    with suppress(OSError), process:
        pass


def _send(stream, data: bytes) -> None:
    stream.write(len(data).to_bytes(4, "big") + data)
    stream.flush()


def _receive(stream) -> bytes:
    length = stream.read(4)
    if len(length) < 4:
        raise EOFError
    data = stream.read(int.from_bytes(length, "big"))
    if len(data) < int.from_bytes(length, "big"):
        raise EOFError
    return data


def _serve() -> None:
    """The judging process: a job in, its verdict out, until the other end is closed."""
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    source, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # nothing but answers may go there
    with suppress(EOFError, OSError):
        while True:
            job = msgspec.json.decode(_receive(source), type=Job)
            _send(answers, msgspec.json.encode(judge_here(job)))


@contextmanager
def executor(workers: int = 2, scheduler: str = "") -> Iterator[Executor]:
    """Give an executor: a pool on this machine, or a dask.distributed cluster at `scheduler`.

    Raises PatternError where the cluster cannot be reached.
    """
    if not scheduler:
        with ThreadPoolExecutor(workers) as pool:
            yield pool
        return
    try:
        from distributed import Client
    except ImportError:
        raise PatternError(
            f"--scheduler needs the package 'distributed': install it with {python_here()} -m pip install "
            "distributed, or leave --scheduler out."
        ) from None
    try:
        client = Client(scheduler, timeout=CONNECT, set_as_default=False)
    except (OSError, TimeoutError, ValueError):
        raise PatternError(
            f"No scheduler answers at {scheduler}. Start it, or leave --scheduler out."
        ) from None
    try:
        yield client.get_executor()
    finally:
        client.close()

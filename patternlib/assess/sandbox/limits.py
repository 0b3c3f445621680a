"""Limits that a process sets on itself for good, just before it runs a student's code.

What a system does not offer is left out; what really holds is found by trying (see protection.py), never
by what was asked for.

Source: setrlimit(2) of the Linux manual and of POSIX.1-2017.
"""

from __future__ import annotations

import mmap
import os
from contextlib import suppress

MEMORY = 1_000_000_000
"""bytes a notebook may take beyond what is loaded already."""
SECONDS = 5
"""seconds of processor time for one notebook."""
FILE_SIZE = 16_000_000
"""bytes of one file."""
PROCESSES = 64


def set_limits(*, alone: bool, seconds: int = SECONDS) -> None:
    """Limit processor time, memory, files and, if `alone`, processes of this process and its children.

    alone: it has a namespace of users to itself; elsewhere all the user's other programs would count too.
    seconds: of processor time. A limit that cannot be set here (macOS has none on memory) is passed over.
    """
    with suppress(ImportError):
        import resource

        used = resource.getrusage(resource.RUSAGE_SELF)
        spent = int(used.ru_utime + used.ru_stime) + 1
        _limit("RLIMIT_CPU", seconds + spent, 1)  # a signal of its own first, which tells why
        _limit("RLIMIT_FSIZE", FILE_SIZE)
        _limit("RLIMIT_CORE", 0)
        _limit("RLIMIT_NOFILE", 128)
        if alone:
            _limit("RLIMIT_NPROC", PROCESSES)
        with suppress(AttributeError, ValueError, OSError):
            _limit("RLIMIT_AS", MEMORY + _loaded())


def _limit(name: str, most: int, hard_more: int = 0) -> None:
    import resource

    with suppress(AttributeError, ValueError, OSError):
        which = getattr(resource, name)
        hard = resource.getrlimit(which)[1]
        most = most if hard == resource.RLIM_INFINITY else min(most, hard - hard_more)
        resource.setrlimit(which, (most, most + hard_more))


def _loaded() -> int:
    """Bytes of address space in use, found by trying where the system does not tell."""
    try:
        with open("/proc/self/statm", encoding="ascii") as file:
            return int(file.read().split()[0]) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, ValueError):
        return _found_by_trying()


def _found_by_trying() -> int:
    """The least limit of address space at which one page more can be had, to a megabyte."""
    import resource

    former = resource.getrlimit(resource.RLIMIT_AS)
    low, high = 0, 1 << 38
    try:
        while high - low > 1 << 20:
            middle = (low + high) // 2
            resource.setrlimit(resource.RLIMIT_AS, (middle, former[1]))
            try:
                mmap.mmap(-1, mmap.PAGESIZE).close()
                high = middle
            except (OSError, MemoryError):
                low = middle
    finally:
        resource.setrlimit(resource.RLIMIT_AS, former)
    return high

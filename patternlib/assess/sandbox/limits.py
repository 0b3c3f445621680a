"""Locking a process in, from inside, for good: limits, Landlock, and a filter of system calls (Linux).

Called in a child just before it runs a student's code. What a system does not offer is left out here;
what really holds is found by trying (see protection.py), never by what was asked for.

Sources: landlock(7), seccomp(2), prctl(2), the syscall tables of the Linux kernel for x86-64 and arm64.
"""

from __future__ import annotations

import ctypes
import os
import platform
import struct
import sys
from collections.abc import Iterable
from contextlib import suppress

MEMORY = 1_000_000_000
"""bytes a notebook may take beyond what is loaded already."""
SECONDS = 5
"""seconds of processor time for one notebook."""
FILE_SIZE = 16_000_000
"""bytes of one file."""
PROCESSES = 64

_NEW_PRIVILEGES, _NO_SECCOMP_FILTER, _DEATH_SIGNAL, _DUMPABLE = 38, 22, 1, 4
_KILL = 9


def close_in(home: str, readable: Iterable[str], *, alone: bool) -> None:
    """Close this process in: it may read below `readable`, write below `home`, and little else.

    alone: it has a namespace of users to itself, so that the number of processes can be limited.
    """
    _limits(alone)
    if not sys.platform.startswith("linux"):
        return
    libc = ctypes.CDLL(None, use_errno=True)
    libc.prctl(_DEATH_SIGNAL, _KILL, 0, 0, 0)
    if libc.prctl(_NEW_PRIVILEGES, 1, 0, 0, 0):
        return
    _drop_capabilities(libc)
    _landlock(libc, home, readable)
    _seccomp(libc)


def _limits(alone: bool) -> None:
    with suppress(ImportError):
        import resource

        def limit(name: str, most: int, hard_more: int = 0) -> None:
            with suppress(AttributeError, ValueError, OSError):
                which = getattr(resource, name)
                hard = resource.getrlimit(which)[1]
                most = most if hard == resource.RLIM_INFINITY else min(most, hard - hard_more)
                resource.setrlimit(which, (most, most + hard_more))

        limit("RLIMIT_CPU", SECONDS, 1)  # a signal of its own first, which tells why
        limit("RLIMIT_FSIZE", FILE_SIZE)
        limit("RLIMIT_CORE", 0)
        limit("RLIMIT_NOFILE", 128)
        if alone:  # elsewhere all the user's other programs would count too
            limit("RLIMIT_NPROC", PROCESSES)
        limit("RLIMIT_AS", MEMORY + _loaded())


def _loaded() -> int:
    """Bytes of address space in use, found by trying where the system does not tell."""
    try:
        with open("/proc/self/statm") as file:
            return int(file.read().split()[0]) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, ValueError):
        return _found_by_trying()


def _found_by_trying() -> int:
    """The least limit of address space at which one page more can be had, to a megabyte."""
    import mmap
    import resource

    former = resource.getrlimit(resource.RLIMIT_AS)
    low, high = 0, 1 << 38
    while high - low > 1 << 20:
        middle = (low + high) // 2
        resource.setrlimit(resource.RLIMIT_AS, (middle, former[1]))
        try:
            mmap.mmap(-1, mmap.PAGESIZE).close()
            high = middle
        except (OSError, MemoryError):
            low = middle
    resource.setrlimit(resource.RLIMIT_AS, former)
    return high


def _drop_capabilities(libc) -> None:
    """Root without any of root's powers: no capability can be used or won back."""
    for capability in range(64):
        libc.prctl(24, capability, 0, 0, 0)  # out of the bounding set
    header = (ctypes.c_uint32 * 2)(0x20080522, 0)
    libc.capset(header, (ctypes.c_uint32 * 6)())


# -- Landlock: files, TCP, signals to others

_WRITE_TO_HOME = (1 << 13) - 1
_READ = 0b1101  # run, read a file, read a folder
_CREATE, _ADD, _RESTRICT = 444, 445, 446


def _landlock(libc, home: str, readable: Iterable[str]) -> bool:
    version = libc.syscall(_CREATE, None, 0, 1)
    if version < 1:
        return False
    files = _WRITE_TO_HOME | (1 << 13 if version >= 2 else 0) | (1 << 14 if version >= 3 else 0)
    files |= 1 << 15 if version >= 5 else 0
    parts = [files] + ([0b11] if version >= 4 else []) + ([0b11] if version >= 6 else [])
    attributes = struct.pack(f"={len(parts)}Q", *parts)
    rules = libc.syscall(_CREATE, attributes, len(attributes), 0)
    if rules < 0:
        return False
    given = [(home, files), ("/dev/null", 0b110), ("/dev/urandom", 0b100), ("/dev/zero", 0b100)]
    for path, access in [*given, *((p, _READ) for p in readable)]:
        _allow(libc, rules, path, access)
    done = libc.syscall(_RESTRICT, rules, 0) == 0
    os.close(rules)
    return done


def _allow(libc, rules: int, path: str, access: int) -> None:
    try:
        place = os.open(path, getattr(os, "O_PATH", 0) | os.O_CLOEXEC)
    except OSError:
        return
    if not os.path.isdir(path):
        access &= 0b110 | 1 | 1 << 14
    libc.syscall(_ADD, rules, 1, struct.pack("=Qi", access, place), 0)
    os.close(place)


# -- seccomp: no other programs, no network, no other processes

_X86 = {
    "socket": 41, "connect": 42, "accept": 43, "accept4": 288, "bind": 49, "listen": 50, "fork": 57,
    "vfork": 58, "execve": 59, "execveat": 322, "ptrace": 101, "process_vm_readv": 310,
    "process_vm_writev": 311, "tkill": 200, "rt_sigqueueinfo": 129, "rt_tgsigqueueinfo": 297,
    "pidfd_open": 434, "pidfd_send_signal": 424, "pidfd_getfd": 438, "io_uring_setup": 425,
    "io_uring_enter": 426, "io_uring_register": 427, "mount": 165, "umount2": 166, "pivot_root": 155,
    "chroot": 161, "unshare": 272, "setns": 308, "bpf": 321, "perf_event_open": 298, "keyctl": 250,
    "add_key": 248, "request_key": 249, "userfaultfd": 323, "memfd_create": 319, "memfd_secret": 447,
    "shmget": 29, "shmat": 30, "semget": 64, "msgget": 68, "mq_open": 240, "name_to_handle_at": 303,
    "open_by_handle_at": 304, "kexec_load": 246, "init_module": 175, "finit_module": 313,
    "delete_module": 176, "reboot": 169, "swapon": 167, "swapoff": 168, "settimeofday": 164,
    "clock_settime": 227, "sethostname": 170, "personality": 135, "chmod": 90, "fchmod": 91,
    "fchmodat": 268, "fchmodat2": 452, "chown": 92, "fchown": 93, "lchown": 94, "fchownat": 260,
    "utime": 132, "utimes": 235, "utimensat": 280, "futimesat": 261, "setxattr": 188, "lsetxattr": 189,
    "fsetxattr": 190, "removexattr": 197, "lremovexattr": 198, "fremovexattr": 199, "setpriority": 141,
    "ioprio_set": 251, "sched_setscheduler": 144, "sched_setattr": 314, "mknod": 133, "mknodat": 259,
    "fsopen": 430, "fsmount": 432, "open_tree": 428, "move_mount": 429, "mount_setattr": 442,
    "inotify_init": 253, "inotify_init1": 294, "fanotify_init": 300, "syslog": 103, "acct": 163,
    "quotactl": 179, "migrate_pages": 256, "move_pages": 279, "process_madvise": 440, "kcmp": 312,
    "setsid": 112, "setpgid": 109,
}  # fmt: skip
_ARM = {
    "socket": 198, "connect": 203, "accept": 202, "accept4": 242, "bind": 200, "listen": 201,
    "execve": 221, "execveat": 281, "ptrace": 117, "process_vm_readv": 270, "process_vm_writev": 271,
    "tkill": 130, "rt_sigqueueinfo": 138, "rt_tgsigqueueinfo": 240, "pidfd_open": 434,
    "pidfd_send_signal": 424, "pidfd_getfd": 438, "io_uring_setup": 425, "io_uring_enter": 426,
    "io_uring_register": 427, "mount": 40, "umount2": 39, "pivot_root": 41, "chroot": 51, "unshare": 97,
    "setns": 268, "bpf": 280, "perf_event_open": 241, "keyctl": 219, "add_key": 217, "request_key": 218,
    "userfaultfd": 282, "memfd_create": 279, "memfd_secret": 447, "shmget": 194, "shmat": 196,
    "semget": 190, "msgget": 186, "mq_open": 180, "name_to_handle_at": 264, "open_by_handle_at": 265,
    "kexec_load": 104, "init_module": 105, "finit_module": 273, "delete_module": 106, "reboot": 142,
    "swapon": 224, "swapoff": 225, "settimeofday": 170, "clock_settime": 112, "sethostname": 161,
    "personality": 92, "fchmod": 52, "fchmodat": 53, "fchmodat2": 452, "fchown": 55, "fchownat": 54,
    "utimensat": 88, "setxattr": 5, "lsetxattr": 6, "fsetxattr": 7, "removexattr": 14,
    "lremovexattr": 15, "fremovexattr": 16, "setpriority": 140, "ioprio_set": 30,
    "sched_setscheduler": 119, "sched_setattr": 274, "mknodat": 33, "fsopen": 430, "fsmount": 432,
    "open_tree": 428, "move_mount": 429, "mount_setattr": 442, "inotify_init1": 26,
    "fanotify_init": 262, "syslog": 116, "acct": 89, "quotactl": 60, "migrate_pages": 238,
    "move_pages": 239, "process_madvise": 440, "kcmp": 272, "setsid": 157, "setpgid": 154,
}  # fmt: skip
_MACHINES = {  # audit number; denied calls; kill, tgkill, prlimit64, clone, clone3, ioctl, socketpair
    "x86_64": (0xC000003E, _X86, (62, 234, 302, 56, 435, 16, 53)),
    "aarch64": (0xC00000B7, _ARM, (129, 131, 261, 220, 435, 29, 199)),
}
_LOAD, _EQUAL, _AT_LEAST, _ANY_BIT, _GIVE = 0x20, 0x15, 0x35, 0x45, 0x06
_ALLOW, _REFUSE, _UNKNOWN, _END = 0x7FFF0000, 0x00050001, 0x00050026, 0x80000000
_NUMBER, _ARCHITECTURE, _FIRST, _SECOND = 0, 4, 16, 24
_THREAD = 0x00010000  # CLONE_THREAD
_LOCAL, _NO_STREAM = 1, 0xE  # AF_UNIX; any bit of a socket type other than SOCK_STREAM
_TYPE_FOR_ANOTHER = (0x5412, 0x541C)  # ioctl TIOCSTI, TIOCLINUX


def _seccomp(libc) -> bool:
    machine = _MACHINES.get(platform.machine())
    if machine is None or sys.byteorder != "little" or struct.calcsize("P") != 8:
        return False
    program = _program(*machine, os.getpid())
    code = b"".join(struct.pack("=HBBI", *line) for line in program)
    buffer = ctypes.create_string_buffer(code, len(code))

    class Program(ctypes.Structure):
        _fields_ = (("length", ctypes.c_ushort), ("code", ctypes.c_void_p))

    made = Program(len(program), ctypes.addressof(buffer))
    return libc.prctl(_NO_SECCOMP_FILTER, 2, ctypes.byref(made), 0, 0) == 0


def _program(audit: int, denied: dict[str, int], special: tuple[int, ...], me: int) -> list[tuple]:
    """The filter: a list of (code, jump if true, jump if false, value)."""
    kill, tgkill, prlimit, clone, clone3, ioctl, socketpair = special
    lines = [
        (_LOAD, 0, 0, _ARCHITECTURE),
        (_EQUAL, 1, 0, audit),
        (_GIVE, 0, 0, _END),
        (_LOAD, 0, 0, _NUMBER),
        (_AT_LEAST, 0, 1, 0x40000000),  # the second set of call numbers of x86-64
        (_GIVE, 0, 0, _REFUSE),
    ]

    def when(number: int, *then: tuple) -> None:
        lines.extend([(_EQUAL, 0, len(then), number), *then])

    for number in denied.values():
        when(number, (_GIVE, 0, 0, _REFUSE))
    when(clone3, (_GIVE, 0, 0, _UNKNOWN))  # so that threads are made by clone, whose flags can be seen
    when(
        clone, (_LOAD, 0, 0, _FIRST), (_ANY_BIT, 1, 0, _THREAD), (_GIVE, 0, 0, _REFUSE), (_GIVE, 0, 0, _ALLOW)
    )
    for number, others in ((kill, (me,)), (tgkill, (me,)), (prlimit, (0, me))):
        tests = [(_EQUAL, len(others) - i, 0, own) for i, own in enumerate(others)]
        when(number, (_LOAD, 0, 0, _FIRST), *tests, (_GIVE, 0, 0, _REFUSE), (_GIVE, 0, 0, _ALLOW))
    first, second = _TYPE_FOR_ANOTHER
    when(
        ioctl,
        (_LOAD, 0, 0, _SECOND),
        (_EQUAL, 1, 0, first),
        (_EQUAL, 0, 1, second),
        (_GIVE, 0, 0, _REFUSE),
        (_GIVE, 0, 0, _ALLOW),
    )
    when(  # a pair within the process, which Python's own event loop needs
        socketpair,
        (_LOAD, 0, 0, _FIRST),
        (_EQUAL, 0, 2, _LOCAL),
        (_LOAD, 0, 0, _SECOND),
        (_ANY_BIT, 0, 1, _NO_STREAM),
        (_GIVE, 0, 0, _REFUSE),
        (_GIVE, 0, 0, _ALLOW),
    )
    lines.append((_GIVE, 0, 0, _ALLOW))
    return lines


def hide_memory() -> None:
    """Keep other processes of this user from looking into this one."""
    if sys.platform.startswith("linux"):
        ctypes.CDLL(None).prctl(_DUMPABLE, 0, 0, 0, 0)
